"""Which file a name stands for: of the personal folder, of folders in it, of the shipped tables; each by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.problems import Refused
from selector.table.library.library import (
    listed,
    load,
    path_of,
    personal_folder,
    shipped_names,
    shipped_text,
    table_name,
)

TABLE = """\
format: selector table 1
unit: {title: Mine}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: J1, gives: airflow, rows: A 900; B 1000}
calls:
  fan: {terminals: G, airflow: air}
"""


@pytest.fixture
def mine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The personal folder, with two tables, one of them in a folder, and what isn't one."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    folder = tmp_path / "selector" / "tables"
    (folder / "old").mkdir(parents=True)
    (folder / ".hidden").mkdir()
    (folder / "mine.yaml").write_text(TABLE, encoding="utf-8")
    (folder / "old" / "other.yml").write_text(TABLE, encoding="utf-8")
    (folder / ".hidden" / "lost.yaml").write_text(TABLE, encoding="utf-8")
    (folder / "notes.txt").write_text("", encoding="utf-8")
    return folder


def test_a_table_is_called_by_its_file() -> None:
    names = ("a/mine.yaml", "a/mine.yml", "mine.txt", "a.b.yaml")
    assert [table_name(path) for path in names] == ["mine", "mine", "mine.txt", "a.b"]


def test_what_a_name_stands_for(mine: Path) -> None:
    assert personal_folder() == str(mine)
    assert path_of("mine") == str(mine / "mine.yaml")
    assert path_of("MINE") == str(mine / "mine.yaml")
    assert path_of("other") == str(mine / "old" / "other.yml")
    assert Path(path_of("corvane-k14")).name == "corvane-k14.yaml"
    for path in ("-", "some/where", "there.yaml", "there.yml", str(mine)):
        assert path_of(path) == path
    found = listed()
    assert {"mine", "other", "corvane-k14"} <= set(found)
    assert not {"lost", "notes", "notes.txt"} & set(found)


def test_a_name_that_no_table_has_or_two(mine: Path) -> None:
    with pytest.raises(Refused) as missing:
        path_of("corvane-k41")
    assert missing.value.problems[0].code == "no-such-table"
    assert missing.value.problems[0].help == "did you mean corvane-k14?"
    with pytest.raises(Refused) as unlike:
        path_of("zzzzzz")
    assert "selector list" in unlike.value.problems[0].help
    (mine / "old" / "mine.yaml").write_text(TABLE, encoding="utf-8")
    with pytest.raises(Refused) as twice:
        path_of("mine")
    assert twice.value.problems[0].code == "two-tables-of-one-name"
    assert str(mine / "mine.yaml") in twice.value.problems[0].message


def test_a_table_of_a_name_or_a_path(mine: Path) -> None:
    for name in ("mine", str(mine / "mine.yaml")):
        table, remarks = load(name)
        assert (table.name, table.unit.title, remarks) == ("mine", "Mine", ())


def test_what_is_shipped() -> None:
    assert "corvane-k14" in shipped_names("tables")
    assert shipped_names("schemas") == sorted(set(shipped_names("schemas")))
    text = shipped_text("tables", "corvane-k14.yaml")
    assert text is not None
    assert text.startswith("format: selector table 1")
    assert shipped_text("tables", "nobody.yaml") is None
