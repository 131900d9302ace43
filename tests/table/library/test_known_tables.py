"""A table that was read before is the table of its file, whatever happened to the file, to the program or to what was
kept."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from selector.table.library import cache, known_tables
from selector.table.library.library import ASKED_UNITS, load
from selector.table.library.program import reader_signs

TABLES = Path(__file__).parents[3] / "tables"
TEXT = (TABLES / "corvane-k14.yaml").read_text(encoding="utf-8")


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A table of one's own, and an empty cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv(cache.OFF, raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    path = tmp_path / "mine.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that YAML is read of."""
    out: list[str] = []
    really = known_tables._read

    def one(path: str, name: str, data: bytes | None = None) -> object:
        out.append(os.path.basename(path))
        return really(path, name, data)

    monkeypatch.setattr(known_tables, "_read", one)
    return out


def kept() -> list[Path]:
    """The files in the cache."""
    return sorted((Path(cache.cache_folder()) / "built").glob("*"))


def test_the_second_time_it_is_not_read(file: Path, read: list[str]) -> None:
    """Its lines, its file and its remarks, with the file they are in, are there too."""
    file.write_text(text := (TABLES / "fenwarren-4m.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    first = load(str(file))
    again = load(str(file))
    assert read == ["mine.yaml"]
    assert again == first
    assert repr(again) == repr(first)
    assert again[0].file == str(file)
    assert again[0].lines == tuple(text.splitlines())
    assert [p.file for p in again[1]] == [str(file)]


def test_a_change_is_seen_even_where_size_and_time_stay(file: Path, read: list[str]) -> None:
    load(str(file))
    at = file.stat()
    file.write_text(TEXT.replace("Two-stage gas furnace", "Two-stage gas FURNACE"), encoding="utf-8")
    os.utime(file, ns=(at.st_atime_ns, at.st_mtime_ns))
    assert load(str(file))[0].unit.title == "Two-stage gas FURNACE"
    assert len(kept()) == 1  # the one of the older text is gone
    assert len(read) == 2


def test_what_is_kept_under_the_name_of_another_counts_for_its_own_text(file: Path, read: list[str]) -> None:
    """Two files whose names in the cache are the same by chance: each is the table of its own text."""
    load(str(file))
    (own,) = kept()
    other = file.with_name("other.yaml")
    other.write_text(TEXT.replace("Two-stage", "One-stage"), encoding="utf-8")
    load(str(other))
    (theirs,) = set(kept()) - {own}
    theirs.write_bytes(own.read_bytes())
    assert load(str(other))[0].unit.title == "One-stage gas furnace"
    assert read == ["mine.yaml", "other.yaml", "other.yaml"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{",
        b"[1, 2]",
        b"\x80\x04K\x01.",
        b'{"signs": "SIGNS", "text": TEXT, "table": {}, "remarks": []}',
        b'{"signs": "SIGNS", "text": TEXT, "table": {"": "Popen", "args": "true"}, "remarks": []}',
        b'{"signs": "SIGNS", "text": TEXT, "table": {"": "Row", "positions": [0]}, "remarks": []}',
        b'{"signs": "SIGNS", "text": TEXT, "table": ' + b'{"a": ' * 3000 + b"1" + b"}" * 3000 + b', "remarks": []}',
    ],
    ids=range(8),
)
def test_spoilt_it_is_read_again(data: bytes, file: Path, read: list[str]) -> None:
    first = load(str(file))
    (one,) = kept()
    data = data.replace(b"SIGNS", reader_signs().encode()).replace(b"TEXT", json.dumps(TEXT).encode())
    one.write_bytes(data)
    assert load(str(file)) == first
    assert len(read) == 2
    assert load(str(file)) == first
    assert len(read) == 2


def test_another_program_reads_again(file: Path, read: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    load(str(file))
    monkeypatch.setattr(known_tables, "reader_signs", lambda: "another")
    load(str(file))
    assert len(read) == 2


def test_of_too_many_the_older_half_goes(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three are kept and two are the most: the oldest goes, and is read again when it is asked for."""
    monkeypatch.setattr(known_tables, "_MOST", 2)
    for n, name in enumerate(("one.yaml", "two.yaml", "three.yaml")):
        load(str(file.rename(file.with_name(name))))
        file = file.with_name(name)
        os.utime(next(p for p in kept() if p.name.startswith(name.removesuffix(".yaml"))), (n, n))
    known_tables._make_room.cache_clear()
    load(str(file.rename(file.with_name("four.yaml"))))
    assert [p.name.partition("-")[0] for p in kept()] == ["four", "three", "two"]


def test_off(file: Path, read: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache.OFF, "off")
    load(str(file))
    load(str(file))
    assert len(read) == 2
    assert not kept()


def test_a_folder_that_others_may_write_in_is_not_used(file: Path, read: list[str]) -> None:
    """They could put other figures there."""
    load(str(file))
    os.chmod(cache.cache_folder(), 0o777)
    load(str(file))
    assert len(read) == 2


def test_a_table_that_is_refused_is_read_each_time(file: Path, read: list[str]) -> None:
    from selector.problems import Refused

    file.write_text(TEXT.replace("count: 8", "count: 80"), encoding="utf-8")
    for _ in range(2):
        with pytest.raises(Refused):
            load(str(file))
    assert len(read) == 2
    assert not kept()


def test_it_is_asked_for_in_any_units(file: Path, read: list[str]) -> None:
    """What is kept is in the table's own units."""
    load(str(file))
    before = ASKED_UNITS.set("L/s")
    try:
        assert load(str(file))[0].units.airflow == "L/s"
    finally:
        ASKED_UNITS.reset(before)
    assert load(str(file))[0].units.airflow == "cfm"
    assert read == ["mine.yaml"]
