"""Files as they go wrong in practice, at every command of transcription: a clear line, a bounded time, an exit code,
nothing written or lost."""

from __future__ import annotations

import datetime
import io
import os
from pathlib import Path

import openpyxl
import pytest

from selector.cli.main import run

TABLE = (Path(__file__).parents[2] / "tables" / "wickerby-5.yaml").read_text(encoding="utf-8")
HALF = TABLE[: TABLE.index("      3  450")]
MANY = "\n".join(f"      {a} {b} 1000" for a in range(1000) for b in range(100))
LONG = f"""format: selector table 1
unit: {{title: T}}
board:
  J1: {{kind: menu, positions: {" ".join(map(str, range(1000)))}}}
  J2: {{kind: menu, positions: {" ".join(map(str, range(100)))}}}
charts:
  long chart:
    set: J1 J2
    gives: airflow
    rows: |
{MANY}
calls:
  cooling: {{airflow: long chart}}
"""

BAD_TABLES = {
    "half a file": (HALF.encode(), "the file needs `calls`"),
    "half a line": (TABLE[: TABLE.index("ns: dry coil")].encode(), "conditio"),
    "a newer format": (
        TABLE.replace("table 1", "table 2").encode(),
        "this file is of format 2, newer than this program reads",
    ),
    "a formula": (TABLE.replace("305 270", "=B2*2 270").encode(), "`=B2*2` is not a figure for airflow"),
    "a date": (TABLE.replace("305 270", "2-Jan 270").encode(), "`2-Jan` is not a figure for airflow"),
    "two encodings": (
        TABLE.replace("dry coil", "dry c\u00f6il").encode() + "# caf\u00e9\n".encode("cp1252"),
        "isn't saved as UTF-8: byte E9",
    ),
    "UTF-16": (TABLE.encode("utf-16"), "saved as UTF-16, not as UTF-8"),
    "a control character": (
        TABLE.replace("dry coil", "dry\x07coil").encode(),
        "A character that can't be seen stands here (U+0007)",
    ),
    "a NUL": (TABLE.replace("dry coil", "dry\0coil").encode(), "A NUL"),
    "a spreadsheet": (b"PK\x03\x04" + bytes(range(256)) * 8, ""),
    "nothing": (b"", ""),
}
COMMANDS = {
    "check": ["check", "bad.yaml"],
    "compare": ["compare", "good.yaml", "bad.yaml"],
    "aloud": ["aloud", "bad.yaml"],
    "missing": ["draft", "--missing", "bad.yaml", "tap airflow"],
}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of one's own with a good table in it, and no terminal."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    (tmp_path / "good.yaml").write_text(TABLE, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("what", BAD_TABLES)
def test_a_bad_table_is_told_in_words_and_left_as_it_is(
    what: str, command: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data, says = BAD_TABLES[what]
    (folder / "bad.yaml").write_bytes(data)
    answered = (what, command) == ("half a file", "missing")  # broken off behind row 2 of 5
    assert run(COMMANDS[command]) in ((0,) if answered else (1, 2))
    told = capsys.readouterr()
    assert ("      3  _ _ _ _ _\n      4  _ _ _ _ _\n      5  _ _ _ _ _\n" if answered else says) in told.out + told.err
    assert "selector failed" not in told.err
    assert len(told.out + told.err) > 20
    assert (folder / "bad.yaml").read_bytes() == data
    assert sorted(os.listdir(folder)) == ["bad.yaml", "good.yaml"]


def test_a_table_of_a_hundred_thousand_rows_is_answered_by_every_command(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "bad.yaml").write_text(LONG, encoding="utf-8")
    assert run(["check", "bad.yaml"]) == 0
    assert "100,000 figures" in capsys.readouterr().out
    assert run(["compare", "bad.yaml", "bad.yaml"]) == 0
    assert "100,000 cells compared: no difference" in capsys.readouterr().out
    assert run(["draft", "--missing", "bad.yaml", "long chart"]) == 1
    assert "has 100,000 combinations, more than any page prints" in capsys.readouterr().err


def sheet(*rows: list[object]) -> bytes:
    """A spreadsheet written by openpyxl."""
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    for row in rows:
        page.append(row)
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


BAD_PAGES = {
    "half a spreadsheet": (
        "bad.xlsx",
        sheet(["J1", "cfm"], ["A", 800])[:900],
        2,
        "This spreadsheet is damaged or was cut off",
    ),
    "a formula": (
        "bad.xlsx",
        sheet(["J1", "cfm"], ["A", "=2*400"], ["B", 900]),
        0,
        "B2: this is a formula, not a figure of the page",
    ),
    "a date": (
        "bad.xlsx",
        sheet(["J1", "cfm"], [datetime.date(2026, 1, 2), 800], ["2-3", 900]),
        0,
        "A2: the spreadsheet made a date or time",
    ),
    "a date in a text": ("bad.csv", b"J1,cfm\n2-Jan,800\n2-3,900\n", 0, "the spreadsheet made a date or time"),
    "a quotation mark never closed": (
        "bad.csv",
        b'SW1-1,060\nOFF,"1020\nON,540\n',
        0,
        "a quotation mark is opened and never closed",
    ),
    "two encodings": (
        "bad.csv",
        "J1;cfm;\u2020\n".encode() + b"A;800\x86;x\nB;900;x\n",
        0,
        "line 2: not UTF-8, read as Windows-1252",
    ),
    "control characters": (
        "bad.txt",
        b"J1  cfm\nA  8\x0100\nB  900\n",
        0,
        "characters that can't be seen were left out on line 2",
    ),
    "a hundred thousand rows": (
        "bad.csv",
        b"SW1-1,060\n" + b"OFF,1020\n" * 100_000,
        1,
        "This has more than 70,000 rows",
    ),
    "a PDF": ("bad.pdf", b"%PDF-1.7\n", 2, "This is a PDF: open it, mark the chart, copy it and paste it as text"),
    "no text": ("bad.txt", bytes(range(256)) * 20, 2, "This is no text and no spreadsheet"),
    "nothing": ("bad.txt", b"", 2, "There is nothing in this file"),
}


@pytest.mark.parametrize("what", BAD_PAGES)
def test_a_bad_page_is_told_in_words_and_left_as_it_is(
    what: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name, data, code, says = BAD_PAGES[what]
    (folder / name).write_bytes(data)
    assert run(["import", name]) == code
    told = capsys.readouterr()
    assert says in told.out + told.err
    assert (folder / name).read_bytes() == data
    assert sorted(os.listdir(folder)) == sorted([name, "good.yaml"])


@pytest.mark.parametrize(("name", "says"), [("none.csv", "No such file."), (".", "This is a folder, not a file.")])
def test_a_page_that_isnt_there(name: str, says: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["import", name]) in (1, 2)
    assert says in capsys.readouterr().err
    assert os.listdir(folder) == ["good.yaml"]
