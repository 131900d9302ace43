"""`selector survey` as it is typed."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator

from selector.cli.main import run
from selector.published import shape

BOARDS = str(Path(__file__).parents[1] / "examples" / "surveys" / "boards.csv")


def test_from_records_to_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every record comes back in its place with its own columns; the picture is whole; nothing else is left."""
    out, picture = tmp_path / "v.csv", tmp_path / "v.svg"
    assert run(["survey", BOARDS, "--out", str(out), "--picture", str(picture), "--moves"]) == 1
    with open(BOARDS, encoding="utf-8") as file:
        records = list(csv.DictReader(file))
    with out.open(encoding="utf-8-sig") as file:
        verdicts = list(csv.DictReader(file))
    assert [{k: v[k] for k in records[0]} for v in verdicts] == records
    assert [int(v["record"]) for v in verdicts] == list(range(1, len(records) + 1))
    # samples.md, 3: SW1-2 OFF brings it inside
    assert (verdicts[1]["moves"], verdicts[1]["set"]) == ("1", "Set SW1-2: ON -> OFF")
    assert ElementTree.parse(picture).getroot().tag.endswith("svg")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["v.csv", "v.svg"]
    assert "12 records read, 12 written to" in re.sub(r"\s+", " ", capsys.readouterr().out)


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["survey", BOARDS, "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    Draft202012Validator(shape("survey")).validate(found)
    assert sum(v["records"] for v in found["verdicts"]) == found["records"] == found["written"] == 12


def test_all_fine_is_exit_code_0(tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_text("Unit;Dip switches;Size;t\ncorvane-k14;SW1=00000000;080;3.5\n", encoding="utf-8")
    columns = ["--columns", "table=unit", "--columns", "marks=Dip switches", "--columns", "model=Size"]
    assert run(["survey", str(path), *columns, "--columns", "tons=t"]) == 0


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["nowhere.csv"], 2, "No such file."),
        ([BOARDS, "--out", "x.txt"], 2, "End the name in .csv or .parquet."),
        ([BOARDS, "--out", "there.csv"], 2, "This file is there already."),
        ([BOARDS, "--out", "no/x.csv"], 2, "There is no folder"),
        ([BOARDS, "--columns", "marks=Markz"], 2, "There is no column `Markz`."),
        (["bad.csv"], 2, "No column is called `table`."),
        (["cut.parquet"], 2, "This Parquet file is damaged or was cut off."),
        (["empty.csv"], 2, "This file is empty."),
        ([BOARDS, "--picture", "x.png"], 2, "x.svg"),
    ],
)
def test_what_cannot_be_done_is_said(
    words: list[str],
    code: int,
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.csv").write_text("kept", encoding="utf-8")
    (tmp_path / "bad.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    (tmp_path / "empty.csv").write_text("", encoding="utf-8")
    (tmp_path / "cut.parquet").write_bytes(b"PAR1" + b"x" * 100)
    assert run(["survey", *words]) == code
    assert says in capsys.readouterr().err
    assert (tmp_path / "there.csv").read_text(encoding="utf-8") == "kept"
    assert not list(tmp_path.glob("*.parts"))
