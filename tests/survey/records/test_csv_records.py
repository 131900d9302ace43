"""No record is lost, however the file was spoilt; what was done is said."""

from __future__ import annotations

import io

import pytest

from selector.problems import Refused
from selector.survey.columns import of_texts, read_parquet, without_formulas, write_csv, write_parquet
from selector.survey.records.csv_records import LONGEST_LINE, CsvRecords
from tests.helpers.survey_records import rows_of


def read(data: bytes) -> tuple[list[tuple[str, ...]], CsvRecords]:
    """Rows of all chunks (of two), notes last."""
    records = CsvRecords(io.BytesIO(data), "r.csv")
    return [row for chunk in records.chunks(2) for row in rows_of(chunk)], records


def test_ragged_rows_keep_their_place_and_cells() -> None:
    rows, records = read(b"a,b,c\n1,2,3\n1,2\n1,2,3,4,5\n\n\n6,7,8\n")
    assert rows == [
        ("1", "2", "3", ""),
        ("1", "2", "", "1 of 3 cells missing"),
        ("1", "2", "3", "more cells than columns: 4 | 5"),
        ("6", "7", "8", ""),
    ]
    assert (records.blank, records.flagged) == (2, 2)


def test_bytes_that_are_no_utf8() -> None:
    rows, _ = read(b"a,b\nx,caf\xe9\ny,caf\xc3\xa9\n")
    assert rows == [("x", "caf\ufffd", "bytes that are no UTF-8 were replaced"), ("y", "caf\u00e9", "")]


def test_a_quoted_cell_over_lines_is_one_record() -> None:
    rows, _ = read(b'a,b\r\n"x\r\ny",2\r\n3,4\r\n')
    assert rows == [("x\r\ny", "2", "a quoted cell runs over 2 lines"), ("3", "4", "")]


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_marks_between_cells(mark: str) -> None:
    rows, records = read(f"a{mark}b\n1{mark}2\n".encode())
    assert records.names == ("a", "b")
    assert rows == [("1", "2", "")]


def test_a_mark_at_the_start_and_a_nul() -> None:
    rows, records = read(b"\xef\xbb\xbfa,b\n1,\x002\n")
    assert records.names[0] == "a"
    assert rows == [("1", "\x002", "")]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "This file is empty."),
        (b"\xff\xfea\x00", "This file is in UTF-16."),
        (b"a,b\n" + b"x" * (LONGEST_LINE + 1) + b"\n", "Line 2 is longer than 4,000,000 bytes: no record is."),
        (b"a,b\r1,2\r", "Line 1 has a line end of another kind (CR alone) in it."),
        (b"a,b\n1,2\r3,4\n", "Line 2 has a line end of another kind (CR alone) in it."),
        (b'a,b\n1,"2\n' + b"3,4\n" * 300 + b'"', "A quoted cell runs over 302 lines, up to line 303."),
        (b'a,b\n1,"' + b"x" * 200_000 + b'"\n', "Line 2 can't be read: field larger than field limit (131072)."),
    ],
)
def test_what_is_no_csv_of_records(data: bytes, said: str) -> None:
    with pytest.raises(Refused) as refused:
        read(data)
    assert refused.value.problems[0].message.startswith(said)


def test_cells_that_a_spreadsheet_takes_for_formulas(tmp_path: object) -> None:
    """= + - @ and a tab at the start (OWASP, CSV injection); a plain number stays a number."""
    columns = of_texts([["=1+1", "+x", "-cmd", "@a", "\tb", "-12.5", "+1", "a=b", None]], ["=head"])
    assert [row[0] for row in rows_of(without_formulas(columns))] == [
        "'=1+1",
        "'+x",
        "'-cmd",
        "'@a",
        "'\tb",
        "-12.5",
        "+1",
        "a=b",
        None,
    ]
    part, out = f"{tmp_path}/p.parquet", f"{tmp_path}/o.csv"
    write_parquet(columns, part)
    write_csv([part], out)
    with open(out, encoding="utf-8-sig") as file:
        assert file.readline() == '"\'=head"\n'
    assert read_parquet(part).column_names == ["=head"]
