"""The index of a library says what reading the files says, whatever happened to them or to it."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from selector.cli.main import run
from selector.table.library import cache, index
from selector.table.library.index import summaries, summary_of

TABLES = Path(__file__).parents[3] / "tables"
LONG_AGO = 1_700_000_000


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two tables in folders of one's own, one of them with a mistake, written long ago; an empty cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("SELECTOR_TABLES", str(tmp_path / "mine"))
    monkeypatch.delenv(cache.OFF, raising=False)
    monkeypatch.setattr("sys.platform", "linux")
    (tmp_path / "mine" / "corvane").mkdir(parents=True)
    text = (TABLES / "corvane-k14.yaml").read_text(encoding="utf-8")
    (tmp_path / "mine" / "corvane" / "first.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "mine" / "broken.yaml").write_text(text.replace("count: 8", "count: 80"), encoding="utf-8")
    return tmp_path / "mine"


def paths(library: Path) -> list[str]:
    """Every file of it."""
    return sorted(str(p) for p in library.rglob("*.yaml"))


def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that are read and built from now on."""
    out: list[str] = []

    def read(path: str) -> index.TableSummary:
        out.append(os.path.basename(path))
        return summary_of(path)

    monkeypatch.setattr(index, "summary_of", read)
    return out


def test_the_second_time_nothing_is_read(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = summaries(paths(library))
    assert {os.path.basename(p): s.refused for p, s in first.items()} == {"first.yaml": False, "broken.yaml": True}
    assert first[str(library / "corvane" / "first.yaml")].models == ("060", "080", "110")
    read = opened(monkeypatch)
    assert summaries(paths(library)) == first
    assert not read


def test_a_change_is_seen_even_where_size_and_time_stay(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Written again in the same moment with as many bytes: the title is the new one."""
    path = library / "corvane" / "first.yaml"
    summaries(paths(library))
    at = path.stat()
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Two-stage gas furnace", "Two-stage gas FURNACE"), encoding="utf-8")
    os.utime(path, ns=(at.st_atime_ns, at.st_mtime_ns))
    read = opened(monkeypatch)
    assert summaries(paths(library))[str(path)].title == "Two-stage gas FURNACE"
    assert read == ["first.yaml"]


def test_a_file_moved_or_touched_is_not_read_again(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The content is known."""
    summaries(paths(library))
    (library / "corvane" / "first.yaml").rename(library / "second.yaml")
    os.utime(library / "second.yaml", (LONG_AGO, LONG_AGO))
    read = opened(monkeypatch)
    assert summaries([str(library / "second.yaml")])[str(library / "second.yaml")].title == "Two-stage gas furnace"
    assert not read


@pytest.mark.parametrize("data", [b"", b"{", b"[1, 2]", b'{"program": "x"}', b"\x80\x04K\x01."])
def test_a_spoilt_index_is_made_anew(data: bytes, library: Path) -> None:
    first = summaries(paths(library))
    file = Path(cache.cache_folder()) / "tables.json"
    json.loads(file.read_text(encoding="utf-8"))
    file.write_bytes(data)
    assert summaries(paths(library)) == first
    file.unlink()
    assert summaries(paths(library)) == first


def test_another_program_reads_again(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    summaries(paths(library))
    monkeypatch.setattr(index, "program_mark", lambda: "another")
    read = opened(monkeypatch)
    summaries(paths(library))
    assert sorted(read) == ["broken.yaml", "first.yaml"]


def test_off(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """By an option and by the environment: nothing is written."""
    summaries(paths(library), kept=False)
    monkeypatch.setenv(cache.OFF, "off")
    summaries(paths(library))
    assert not Path(cache.cache_folder()).exists()


def test_many_are_read_by_all_cores(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(index, "_MANY", 2)
    told: list[tuple[int, int]] = []
    found = summaries(paths(library), told=lambda done, count: told.append((done, count)))
    assert found == {p: summary_of(p) for p in paths(library)}
    assert told[-1] == (2, 2)


@pytest.mark.parametrize(
    ("words", "names"),
    [
        (["first"], ["first"]),
        (["corvane", "080"], ["corvane-k14", "first"]),
        (["GAS FURNACE", "first"], ["first"]),
        (["no such"], []),
    ],
)
def test_list_searches(words: list[str], names: list[str], library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Name, maker, title, model; folders in the own folder count."""
    assert library.is_dir()
    for _ in range(2):
        assert run(["list", "--json", *words]) == 0
        found = [t["name"] for t in json.loads(capsys.readouterr().out)["tables"] if not t["problems"]]
        assert found == sorted(found, key=names.index) == names or set(found) == set(names)


def test_check_says_the_same_with_and_without(library: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for words in ([], [], ["--no-index"]):
        assert run(["check", str(library), *words]) == 1
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] == said[2]
    assert "broken.yaml" in said[0]
