"""Import: twenty ragged pages, files written by other programs, and everything that can't be read left marked and
said."""

from __future__ import annotations

import datetime
import io
from pathlib import Path

import pandas
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from selector.transcribe.cells.grid import MOST_ROWS
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.import_page.import_page import answers_of, beside, page_from_bytes, read_page
from selector.transcribe.import_page.understand import Hints, Understood, understand
from tests.helpers.draft_asked import next_question

RAGGED = sorted((Path(__file__).parents[2] / "examples" / "ragged").glob("*.wanted"))


def hints_of(head: str) -> Hints:
    """The hints that a sample's first lines give."""
    given_hints = dict(line.split(": ", 1) for line in head.strip().split("\n"))
    return Hints(
        set=tuple(given_hints["set"].split()),
        models=tuple(given_hints.get("models", "").split()),
        gives=tuple(given_hints.get("gives", "airflow").split(", ")),
        across=tuple(a for a in given_hints.get("across", "").split(", ") if a),
        airflow=given_hints.get("airflow", "cfm"),
    )


def told(page: Understood, gives: tuple[str, ...]) -> str:
    """A chart as the samples write it."""
    out = []
    if page.heads:
        out.append("across: " + ", ".join(f"{name} {' '.join(words)}" for name, words in page.heads))
    if page.gives != gives:
        out.append("gives: " + ", ".join(page.gives))
    out += [f"{' '.join(row.marks)} | {row.text}" for row in page.rows]
    if page.left:
        out.append(f"left: {page.left}")
    return "\n".join(out) + "\n"


def test_there_are_twenty_ragged_pages() -> None:
    assert len(RAGGED) >= 20


@pytest.mark.parametrize("path", RAGGED, ids=lambda p: p.stem)
def test_a_ragged_page_is_understood(path: Path) -> None:
    head, _, wanted = path.read_text(encoding="utf-8").partition("---\n")
    hints = hints_of(head)
    page = understand(read_page(str(path.with_suffix(""))), hints)
    assert told(page, hints.gives) == wanted


@pytest.mark.parametrize("path", RAGGED, ids=lambda p: p.stem)
def test_each_row_stands_beside_what_was_given(path: Path) -> None:
    given_path = path.with_suffix("")
    text = given_path.read_text(encoding="utf-8")
    pairs = beside(
        understand(read_page(str(given_path)), hints_of(path.read_text(encoding="utf-8").partition("---\n")[0]))
    )
    lines = [line.rstrip() for line in text.splitlines()]
    rows = [left for left, right in pairs if left and right != "(passed over)"]
    assert all(row in lines for row in rows)
    marked = sum(right.count("_") for _, right in pairs)
    assert marked == sum(1 for _, right in pairs for word in right.split("   <- ")[0].split() if word == "_")


ROWS = [("OFF", "OFF", 1020, 1380), ("ON", "OFF", 540, 720), ("OFF", "ON", 660, 860)]
HINTS = Hints(models=("060", "080"))
WANTED = "across: model 060 080\nOFF OFF | 1020 1380\nON OFF | 540 720\nOFF ON | 660 860\n"


def sheet(fill: object) -> bytes:
    """A spreadsheet written by XlsxWriter."""
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True})
    fill(book, book.add_worksheet("chart"))  # type: ignore[operator]
    book.close()
    return data.getvalue()


def plain_rows(_book: object, page: object) -> None:
    for c, head in enumerate(("SW1-1", "SW1-2", "060", "080")):
        page.write_string(0, c, head)  # type: ignore[attr-defined]
    for r, row in enumerate(ROWS, start=1):
        for c, value in enumerate(row):
            page.write(r, c, value)  # type: ignore[attr-defined]


def test_a_spreadsheet_of_another_program() -> None:
    page = understand(page_from_bytes(sheet(plain_rows), "page.xlsx"), HINTS)
    assert told(page, ("airflow",)) == WANTED
    assert page.set == ("SW1-1", "SW1-2")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_text_file_of_another_program(separator: str, encoding: str) -> None:
    frame = pandas.DataFrame(ROWS, columns=["SW1-1", "SW1-2", "060", "080"])
    data = frame.to_csv(index=False, sep=separator).encode(encoding)
    page = understand(page_from_bytes(data, "page.csv"), HINTS)
    assert told(page, ("airflow",)) == WANTED


def test_merged_headings_of_a_spreadsheet() -> None:
    def fill(_book: object, page: object) -> None:
        page.merge_range(0, 1, 0, 2, "060")  # type: ignore[attr-defined]
        page.merge_range(0, 3, 0, 4, "080")  # type: ignore[attr-defined]
        for c, head in enumerate(("SW1-1", "low", "high", "low", "high")):
            page.write(1, c, head)  # type: ignore[attr-defined]
        for r, row in enumerate((("OFF", 700, 1000, 910, 1300), ("ON", 770, 1100, 1000, 1430)), start=2):
            for c, value in enumerate(row):
                page.write(r, c, value)  # type: ignore[attr-defined]

    page = understand(page_from_bytes(sheet(fill), "page.xlsx"), Hints(set=("SW1-1",), models=("060", "080")))
    assert page.heads == (("model", ("060", "080")), ("stage", ("low", "high")))
    assert [row.cells for row in page.rows] == [("700", "1000", "910", "1300"), ("770", "1100", "1000", "1430")]


def test_dates_and_formulas_are_left_marked_and_said() -> None:
    def fill(book: object, page: object) -> None:
        day = book.add_format({"num_format": "d-mmm"})  # type: ignore[attr-defined]
        for c, head in enumerate(("J1", "cfm")):
            page.write(0, c, head)  # type: ignore[attr-defined]
        page.write_datetime(1, 0, datetime.datetime(2026, 1, 2), day)  # type: ignore[attr-defined]
        page.write(1, 1, 800)  # type: ignore[attr-defined]
        page.write(2, 0, "2-3")  # type: ignore[attr-defined]
        page.write_formula(2, 1, "=B2*1.1", None, 880)  # type: ignore[attr-defined]
        page.write(3, 0, "3-4")  # type: ignore[attr-defined]
        page.write(3, 1, 950)  # type: ignore[attr-defined]

    page = understand(page_from_bytes(sheet(fill), "page.xlsx"), Hints(set=("J1",)))
    assert [(row.marks, row.cells) for row in page.rows] == [
        (("_",), ("800",)),
        (("2-3",), ("_",)),
        (("3-4",), ("950",)),
    ]
    assert page.rows[0].left == ("A2: the spreadsheet made a date or time of what was typed (1-2 becomes one)",)
    assert page.rows[1].left == ("B3: this is a formula, not a figure of the page",)
    assert "=B2*1.1" in beside(page)[2][0]


def test_percent_formats_and_leading_zeros_of_a_spreadsheet() -> None:
    def fill(book: object, page: object) -> None:
        percent = book.add_format({"num_format": "0%"})  # type: ignore[attr-defined]
        page.write_row(0, 0, ["SW1-1", "trim"])  # type: ignore[attr-defined]
        page.write(1, 0, "OFF")  # type: ignore[attr-defined]
        page.write_number(1, 1, -0.12, percent)  # type: ignore[attr-defined]
        page.write(2, 0, "ON")  # type: ignore[attr-defined]
        page.write_number(2, 1, 0.06, percent)  # type: ignore[attr-defined]

    page = understand(page_from_bytes(sheet(fill), "page.xlsx"), Hints(set=("SW1-1",), gives=("trim",)))
    assert [row.cells for row in page.rows] == [("-12 %",), ("_",)]
    assert page.rows[1].left == ("B3: 6 % has no sign",)


def test_a_sheet_that_isnt_there_names_the_others() -> None:
    with pytest.raises(Refused) as refused:
        page_from_bytes(sheet(plain_rows), "page.xlsx", "charts")
    assert refused.value.problems[0].help == "Its sheets: chart."


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"%PDF-1.7 ...", "not-text"),
        (b"PK\x03\x04 torn", "unreadable-file"),
        (b"\xd0\xcf\x11\xe0old", "not-text"),
        (b"a\0b\0\0\0", "not-text"),
        (b"", "nothing-came"),
        (b"nothing but words here\nand here\n", "no-rows"),
        (b'SW1-1,060\nOFF,"1020\nON,540\n' + b'x,"' + b"y" * 200_000, "bad-csv"),
    ],
)
def test_what_is_no_page_is_refused_in_words(data: bytes, code: str) -> None:
    with pytest.raises(Refused) as refused:
        understand(page_from_bytes(data, "page"), Hints())
    assert [p.code for p in refused.value.problems] == [code]
    assert refused.value.problems[0].help


def test_a_hundred_thousand_rows_are_refused() -> None:
    data = ("SW1-1,060\n" + "OFF,1020\n" * 100_000).encode()
    with pytest.raises(Refused) as refused:
        page_from_bytes(data, "page.csv")
    assert refused.value.problems[0].message == f"This has more than {MOST_ROWS:,} rows; no chart has as many."


def test_a_spreadsheet_of_a_hundred_thousand_rows_is_refused_before_it_is_read() -> None:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"constant_memory": True, "in_memory": False})
    page = book.add_worksheet()
    page.write(99_999, 0, "ON")
    book.close()
    with pytest.raises(Refused) as refused:
        page_from_bytes(data.getvalue(), "page.xlsx")
    assert refused.value.problems[0].code == "too-many-rows"


def test_lines_of_two_encodings_are_read_and_said() -> None:
    data = "D1  24  36\nA  800  1200†\n".encode() + b"B  610\x86  925\n" + b"C  680  1010\n"
    page = understand(page_from_bytes(data, "page.txt"), Hints(set=("D1",), models=("24", "36")))
    assert page.remarks[0] == "line 3: not UTF-8, read as Windows-1252"
    assert [row.cells for row in page.rows] == [("800", "1200"), ("610", "925"), ("680", "1010")]


def test_characters_that_cant_be_seen_are_left_out_and_said() -> None:
    page = understand(
        page_from_bytes(b"D1  24  36\nA  8\x0000  1200\x1b\nB  610  925\n".replace(b"\x00", b"\x01"), "page.txt"),
        Hints(set=("D1",), models=("24", "36")),
    )
    assert page.remarks[0] == "characters that can't be seen were left out on line 2"


@given(st.text(alphabet="OFN onx•-—|,;\t\n0123456789+%.†()", max_size=300))
@settings(max_examples=300, deadline=None)
def test_any_text_is_understood_or_refused_and_nothing_is_made_up(text: str) -> None:
    try:
        page = understand(page_from_bytes(text.encode(), "page"), Hints(set=("SW1-1",)))
    except Refused:
        return
    digits = "".join(c for c in text if c.isdigit())
    for row in page.rows:
        for cell in row.cells:
            figure = cell.replace(" %", "").lstrip("+-")
            assert figure in ("_", "none", "") or all(d in digits for d in figure if d.isdigit())
            assert figure in ("_", "none", "") or figure.replace(".", "") in "".join(
                c for c in row.given if c.isdigit()
            )


PASTED = """Cooling airflow, second stage (cfm)

SW1-1   SW1-2   SW1-3    060    080    110
OFF     OFF     OFF     1,020  1,380  1,960
ON      OFF     OFF       540    720  1,060
OFF     ON      OFF       660    860  1,220
ON      ON      OFF       780    990  1,380
OFF     OFF     ON        890  1,130  1,540
ON      OFF     ON      1,150  1,520  2,080
-       ON      ON      do not use
"""


def test_a_pasted_chart_goes_on_as_a_draft_and_passes_with_few_keys() -> None:
    page = understand(
        page_from_bytes(PASTED.encode(), "page"), Hints(models=("060", "080", "110"), name="cooling airflow", page="23")
    )
    assert page.left == 0
    known, offered = answers_of([page])
    assert offered == {"board 1": "SW1 switches 3", "airflow": "cfm"}
    answers = {**offered, **known}
    keys = len("selector import page.txt --out new.yaml --answer 'models=060 080 110'\n")
    typed = iter(
        [
            "Two-stage gas furnace",
            "Corvane",
            "K-14 23-24",
            "",
            "",
            "",
            "",
            "",
            "cooling Y1, Y1 Y2",
            "cool, 66% first",
            "",
        ]
    )
    while (question := next_question(answers)) is not None:
        answer = next(typed)
        assert not question.complaint(answer), (question.name, question.complaint(answer))
        answers[question.name] = question.meant(answer)
        keys += len(answer) + 1
    table, report = build_table(source_from_text(draft_text(draft_of(answers))), "pasted")
    assert not report.failed
    assert [row.typed for row in table.charts["cooling airflow"].rows][:2] == [
        ("1020", "1380", "1960"),
        ("540", "720", "1060"),
    ]
    printed = len("".join(PASTED.split()))
    assert keys / printed < 1.3


def test_names_that_are_missing_are_asked_for() -> None:
    page = understand(page_from_bytes(b"OFF  1020  1380\nON  540  720\n", "page"), Hints())
    assert page.set == ("_",)
    with pytest.raises(Refused) as refused:
        answers_of([page])
    assert refused.value.problems[0].code == "names-missing"
