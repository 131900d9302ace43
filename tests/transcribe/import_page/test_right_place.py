"""Layouts that once put figures in another's place without a word. What is right was read off each page by hand; what
can't be told is left marked, never placed."""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pytest

from selector.problems import Refused
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.import_page.blocks import blocks_of, no_chart
from selector.transcribe.import_page.import_page import answers_of, page_from_bytes
from selector.transcribe.import_page.understand import Hints, Understood, keyed, understand
from tests.bench.import_bench import fates
from tests.helpers.page_truth import fate

ROOT = Path(__file__).parents[3]
PRODUCERS = ROOT / "tests" / "examples" / "producers"


def charts(data: str | bytes, name: str = "page.txt") -> list[Understood]:
    grid = page_from_bytes(data.encode() if isinstance(data, str) else data, name)
    return [understand(block, Hints(gives=(), airflow="")) for block in blocks_of(grid)]


def rows(page: Understood) -> list[str]:
    return [f"{' '.join(row.marks)} | {row.text}" for row in page.rows]


def test_an_empty_last_column_shifts_no_figure() -> None:
    (page,) = charts("SW1-1    060     080     110\nOFF     1020    1380\nON       540     720\n")
    assert page.heads[0][1] == ("060", "080", "110")
    assert rows(page) == ["OFF | 1020 1380 -", "ON | 540 720 -"]


def test_an_empty_first_column_shifts_no_figure() -> None:
    (page,) = charts("SW1-1    060     080     110\nOFF             1020    1380\nON               540     720\n")
    assert rows(page) == ["OFF | - 1020 1380", "ON | - 540 720"]


def test_heads_of_two_words_stand_over_their_own_columns() -> None:
    text = "SW1-1   first stage   second stage\nOFF         700           1000\nON          770           1100\n"
    (page,) = charts(text)
    assert page.heads == (("stage", ("first stage", "second stage")),)
    assert rows(page) == ["OFF | 700 1000", "ON | 770 1100"]


@pytest.mark.parametrize("figure", ["10201", "1,0201"])
def test_a_footnotes_digit_behind_a_figure_is_no_digit_of_it(figure: str) -> None:
    (page,) = charts(f"SW1-1    060     080\nOFF    {figure}    1380\nON       540     720\n1 With the large filter.\n")
    assert rows(page)[0] == "OFF | _ 1380"


def test_airflows_and_then_rises_are_no_pairs() -> None:
    text = (
        "          Airflow, cfm           Temperature rise, F\n"
        "SW1-1    060    080    110      060    080    110\n"
        "OFF     1080   1350   1810       49     52     53\n"
        "ON       930   1180   1600       57     60     60\n"
    )
    (page,) = charts(text)
    assert (page.gives, page.heads[0][1]) == (("airflow", "temperature rise"), ("060", "080", "110"))
    assert rows(page) == ["OFF | 1080 49 1350 52 1810 53", "ON | 930 57 1180 60 1600 60"]


def test_two_charts_side_by_side_are_two() -> None:
    text = (
        "Cooling airflow, cfm         Heating airflow, cfm\n"
        "J1    24     36              J2    24     36\n"
        "A    800   1200              A    700   1000\n"
        "B    610    925              B    560    820\n"
    )
    cooling, heating = charts(text)
    assert (cooling.name, cooling.set, rows(cooling)) == ("cooling airflow", ("J1",), ["A | 800 1200", "B | 610 925"])
    assert (heating.name, heating.set, rows(heating)) == ("heating airflow", ("J2",), ["A | 700 1000", "B | 560 820"])


def test_two_charts_below_one_another_without_a_rule_are_two() -> None:
    text = "SW1-1  060  080\nOFF   1020 1380\nON     540  720\nSW1-2  060  080\nOFF   1000 1300\nON     500  700\n"
    first, second = charts(text)
    assert (first.set, second.set) == (("SW1-1",), ("SW1-2",))
    assert rows(second) == ["OFF | 1000 1300", "ON | 500 700"]


def test_a_head_repeated_behind_a_page_break_loses_no_row() -> None:
    text = "Cooling airflow, cfm\nD1    24     36\n0    600    900\n1    650    975\n\nManual A-7   page 13\n\f"
    text += "Cooling airflow, cfm (continued)\nD1    24     36\n2    700   1050\n3    750   1125\n"
    (page,) = charts(text)
    assert rows(page) == ["0 | 600 900", "1 | 650 975", "2 | 700 1050", "3 | 750 1125"]


def test_quantities_down_the_side_are_no_selector() -> None:
    text = "SW1-1   Quantity     060    080\nOFF     Airflow     1080   1350\nOFF     Rise          49     52\n"
    text += "ON      Airflow      930   1180\nON      Rise          57     60\n"
    (page,) = charts(text)
    assert (page.set, page.gives) == (("SW1-1",), ("airflow", "temperature rise"))
    assert rows(page) == ["OFF | 1080 49 1350 52", "ON | 930 57 1180 60"]


def test_models_are_no_pressures() -> None:
    text = "Airflow at 50 Pa external static pressure, L/s\nD1    050    070    100\n0     200    300    400\n"
    (page,) = charts(text + "1     220    330    440\n")
    assert page.heads[0][0] == "_"


def test_a_trim_without_a_sign_is_no_share() -> None:
    (page,) = charts("SW1-1   Trim\nOFF     none\nON      6 %\n")
    assert (page.gives, rows(page)) == (("trim",), ["OFF | none", "ON | _"])


def test_beside_pascals_the_airflow_is_not_taken_for_cfm() -> None:
    (page,) = charts("D1    50 Pa   100 Pa\n0       200     180\n1       250     225\n")
    assert (page.airflow, page.pressure) == ("", "Pa")
    with pytest.raises(Refused) as refusal:
        answers_of([page])
    assert "unit of airflow is not stated" in refusal.value.problems[0].message


def test_each_mark_has_its_own_footnote() -> None:
    text = "D1    24      36\n0    600*    900**\n1    650     975\n* one star\n** two stars\n"
    assert rows(charts(text)[0])[0] == "0 | 600 900  (24: one star, 36: two stars)"


def test_a_heading_in_bold_is_no_note() -> None:
    (page,) = charts("**Cooling airflow**\nD1    24      36\n0    600     900*\n1    650     975\n* one star\n")
    assert (page.name, rows(page)[0]) == ("cooling airflow", "0 | 600 900  (36: one star)")


def test_a_footer_is_no_share() -> None:
    (page,) = charts("SW1-6   Trim\nOFF     none\nON      +6 %\n\nForm 7 %    Rev. 2\n")
    assert rows(page) == ["OFF | none", "ON | +6 %"]


def test_rows_with_a_mark_a_remark_or_yes_and_no_are_kept() -> None:
    text = "SW1-1      060    080    Heat pump\nOFF       1020   1380    yes\nON (1)     540    720    no\n"
    text += "(1) not on a roof\n"
    (page,) = charts(text)
    assert rows(page) == ["OFF | 1020 1380  (Heat pump: yes)", "ON | 540 720  (Heat pump: no, not on a roof)"]


def test_the_line_of_heads_is_no_row() -> None:
    (page,) = charts("       060    080    110\nOFF   1020   1380   1960\nON     540    720   1060\n")
    assert rows(page) == ["OFF | 1020 1380 1960", "ON | 540 720 1060"]
    assert page.heads[0][1] == ("060", "080", "110")


def test_models_named_like_motor_taps_are_heads() -> None:
    (page,) = charts("SW1-1    M1     M2     M3\nOFF     1020   1380   1960\nON       540    720   1060\n")
    assert (page.set, page.heads[0][1]) == (("SW1-1",), ("M1", "M2", "M3"))


def sheet(
    fill: list[tuple[str, str | float | bool]], merged: tuple[str, ...] = (), hidden: tuple[int, ...] = ()
) -> bytes:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    for place, value in fill:
        page[place] = value
    for area in merged:
        page.merge_cells(area)
    for row in hidden:
        page.row_dimensions[row].hidden = True
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()


def test_merged_cells_keep_what_stands_right_of_them_in_place() -> None:
    """An offset start, a blank row, heads of two levels merged, a mark merged down, a figure merged across."""
    cells: list[tuple[str, str | float | bool]] = [("C3", "Cooling airflow, cfm"), ("C5", "SW1-1")]
    cells += [("D5", "060"), ("F5", "080")]
    cells += [("D6", "low"), ("E6", "high"), ("F6", "low"), ("G6", "high")]
    cells += [("C8", "OFF"), ("D8", 700), ("E8", 1000), ("F8", 910), ("G8", 1300)]
    cells += [("C9", "ON"), ("D9", 770), ("F9", 1000), ("G9", 1430)]
    (page,) = charts(sheet(cells, ("D5:E5", "F5:G5", "D9:E9")), "page.xlsx")
    assert [words for _, words in page.heads] == [("060", "080"), ("low", "high")]
    assert rows(page) == ["OFF | 700 1000 910 1300", "ON | _ _ 1000 1430"]


def test_true_and_false_formulas_and_hidden_rows_are_said() -> None:
    cells: list[tuple[str, str | float | bool]] = [("A1", "SW1-1"), ("B1", "060"), ("A2", False), ("B2", 700)]
    cells += [("A3", True)]
    cells += [("B3", "=B2*1.1"), ("A4", "ON"), ("B4", 800)]
    (page,) = charts(sheet(cells, hidden=(4,)), "page.xlsx")
    assert rows(page) == ["_ | 700", "_ | _"]
    assert any("hidden in the sheet and not read: row 4" in remark for remark in page.remarks)


def test_a_text_without_its_layout_is_refused_with_the_true_reason() -> None:
    grid = page_from_bytes((PRODUCERS / "corvane-k14.chromium.plain.txt").read_bytes(), "page.txt")
    assert blocks_of(grid) == ()
    assert no_chart(grid).problems[0].help == "Take the text with its layout: pdftotext -layout PAGE.pdf"


PAGES = sorted(p for p in PRODUCERS.glob("[a-l]*.*") if p.suffix != ".md")


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.name)
def test_no_figure_of_a_page_by_another_program_is_in_anothers_place(path: Path) -> None:
    page = PRODUCERS / f"{path.name.split('.')[0]}.md"
    assert fate(page.read_text(encoding="utf-8"), path).wrong == []


def test_no_figure_of_the_pages_written_without_sight_of_the_import_is_in_anothers_place() -> None:
    """Their places come from the header cells of the HTML they were set in type from."""
    found = dict(fates(unseen=True))
    assert {name: fate.wrong for name, fate in found.items() if fate.wrong} == {}
    assert sum(fate.kept + fate.asked for fate in found.values()) > 600


def test_a_page_with_heads_of_two_lines_and_charts_side_by_side() -> None:
    cooling, first, second, last = charts((PRODUCERS / "mixed.chromium.layout.txt").read_bytes())
    assert [words for _, words in cooling.heads] == [("060", "080"), ("first stage", "second stage")]
    assert rows(cooling)[1] == "ON OFF | 540 720 610 -"
    assert (rows(first), rows(second)) == (["A | 800 1200", "B | 610 925"], ["A | +5 % +6 %", "B | none -4 %"])
    assert last.set == ("D1",)


def test_a_line_that_was_moved_is_asked() -> None:
    """The figure of B stands between the two columns; the marks of the last line stand further left than the others."""
    (page,) = charts("J1     S70      S100\nA      470      1645\nB         470\nC     1,660     890\n")
    assert rows(page)[1] == "B | _ _"
    (page,) = charts(
        "SW1-1   SW1-2   24   36\nOFF     OFF          1,015\nON      OFF          1,955\nON  ON         1990\n"
    )
    assert rows(page) == ["OFF OFF | - 1015", "ON OFF | - 1955", "ON ON | _ _"]


def test_a_line_of_the_page_is_no_head() -> None:
    text = "Air handler   Manual A-7   page 12\n\nSW1-1   060    080     110\nOFF     490   1,490    850\n"
    (page,) = charts(text + "ON      690     600   1965\n")
    assert page.heads[0][1] == ("060", "080", "110")


def test_words_in_columns_with_figures_of_something_else_are_no_airflow() -> None:
    """A mains voltage, then a least airflow in words: nothing of it is a row of airflows."""
    text = "Reheater   Mains                    Airflow\n3,0 kW     1/N 230 V                at least 340 m³/h\n"
    text += (
        "6,0 kW     1/N 230 V or 3/N 400 V   at least 620 m³/h\n9,0 kW     3/N 400 V                at least 880 m³/h\n"
    )
    for block in blocks_of(page_from_bytes(text.encode(), "page.txt")):
        try:
            page = understand(block, Hints(gives=(), airflow=""))
        except Refused:
            continue
        assert all(set(row.cells) <= {"_"} for row in page.rows)


def test_hollow_marks_are_off_and_never_any_position() -> None:
    text = "1 2   A     B\n○ ○   700   800\n● ○   750   900\n○ ● , ● ●   reserved\n"
    (page,) = charts(text)
    assert "OFF OFF | 700 800" in rows(page)
    assert not any("-" in row.marks for row in page.rows)


def test_watts_named_by_the_title_are_no_airflow() -> None:
    (page,) = charts("Electrical input, W\n\nD1    24     36\nA     38     57\nB     74    102\n")
    assert page.gives == ("watts",)


def test_a_printed_minus_beside_a_plus_is_a_position() -> None:
    (page,) = charts("J1     cfm\n+     1110\n0     1000\n–      890\n")
    assert [row.marks for row in page.rows] == [("+",), ("0",), ("minus",)]


LETTERS = "SW1-1  SW1-2  letter\nopen   open   A\nclosed open   B\nopen   closed reserved\nclosed closed C\n\n"


def test_rows_that_go_by_a_letter_are_set_by_the_chart_of_letters() -> None:
    text = (
        LETTERS
        + "COOLING AIRFLOW, cfm\nletter   24     36\nA       610    900\nB     700(1)  1050\nC      -   1200(1)(2)\n"
    )
    letters, plain = charts(text + "(1) not on a roof\n(2) on a low return\n\nModels 24, 36\n")
    cooling = keyed(plain, [letters])
    assert (letters.gives, rows(letters)[2:]) == (("label",), ["open closed | reserved", "closed closed | C"])
    assert (plain.set, cooling.set) == (("_",), (letters.name,))
    assert rows(cooling)[0] == "A | 610 900"
    assert rows(cooling)[2] == "C | - 1200  (36: not on a roof, 36: on a low return)"
    known, offered = answers_of([letters, cooling])
    text = draft_text(draft_of({**offered, **known}))
    assert "    set: SW1-1 SW1-2\n    gives: label\n" in text
    assert "    set: letter\n" in text


def test_letters_that_two_charts_have_are_asked() -> None:
    first, second, cooling = charts(
        LETTERS + LETTERS.replace("SW1", "SW2") + "\nletter   24   36\nA       610   900\nB    700  1050\n"
    )
    assert keyed(cooling, [first, second]).set == ("_",)


@pytest.mark.parametrize("name", ["page.txt", "page.csv"])
def test_two_figures_in_a_cell_go_to_the_two_that_the_page_names(name: str) -> None:
    text = "HEATING, CFM, HIGH FIRE / LOW FIRE\nSW1-6      24           36\nOPEN    890 / 740   1230 / 1010\n"
    text += "CLOSED   770 / 640  1060 /  870 (1)\n(1) the large filter\n"
    if name == "page.csv":
        text = '"HEATING, CFM, HIGH FIRE / LOW FIRE",,\nSW1-6,24,36\nOPEN,890/740,1230/1010\nCLOSED,770/640,1060/870\n'
    (page,) = charts(text, name)
    assert page.heads[1] == ("stage", ("high fire", "low fire"))
    assert [r.cells for r in page.rows] == [("890", "740", "1230", "1010"), ("770", "640", "1060", "870")]


def test_two_figures_that_nothing_names_are_asked() -> None:
    (page,) = charts(
        "Cooling airflow, cfm\nSW1-6      24           36\n"
        "OPEN    890 / 740   1230 / 1010\nCLOSED   770 / 640  1060 /  870\n"
    )
    assert page.heads[1] == ("_", ("column1", "column2"))
    (odd,) = charts(
        "Cooling airflow, cfm\nSW1-6      24           36\nOPEN    890 / 740   1230\nCLOSED   770 / 640  1060\n"
    )
    assert [row.cells[0] for row in odd.rows] == ["_", "_"]


def test_charts_beside_each_other_whose_names_are_alike_are_two() -> None:
    text = (
        "TRIM                           LOW STAGE\n"
        "SW2-1   SW2-2                   SW2-3\n"
        "OPEN    OPEN      none          OPEN    68 % of the high stage\n"
        "CLOSED  OPEN      +7 %          CLOSED  80 % of the high stage\n"
    )
    trim, low = charts(text)
    assert (trim.set, trim.gives, rows(trim)) == (
        ("SW2-1", "SW2-2"),
        ("trim",),
        ["OPEN OPEN | none", "CLOSED OPEN | +7 %"],
    )
    assert (low.name, low.set, low.gives) == ("low stage", ("SW2-3",), ("share",))
    assert rows(low) == ["OPEN | 68 %  (of the high stage)", "CLOSED | 80 %  (of the high stage)"]


MOVED = {
    "figures of a row": "J1  060    080   110\nA   1,105  1910  1750\nB    545   1775  1090\nC      770   935\n",
    "heads": "SW1-1  A2   A3  A4\nOFF     715   1980\nON     1545  1,310\n",
}


@pytest.mark.parametrize("what", MOVED)
def test_a_row_whose_words_stand_each_another_way_is_left_marked(what: str) -> None:
    (page,) = charts(MOVED[what])
    assert set(page.rows[-1].cells) == {"_"}


def test_heads_that_were_moved_are_put_over_no_column() -> None:
    (page,) = charts("             first  second\nSW1-1  stage  stage\nOFF    1,200   940\nON       -     1660\n")
    assert page.heads[0][0] == "_"


def test_figures_above_the_heads_of_the_next_chart_are_no_row() -> None:
    text = "J1   070    100\nA    930    530\nB    735   1440\n\n24               36\n"
    text += "        first   second   first   second\n"
    first = charts(text + "SW2-1   stage    stage   stage    stage\nOFF      700     1000     900     1300\n")[0]
    assert rows(first) == ["A | 930 530", "B | 735 1440"]


def test_a_first_row_of_dashes_is_no_line_of_heads() -> None:
    (page,) = charts("Heating airflow, cfm\nJ2  24     36\nA   -      -\nB   1,030  -\nC   575    -\n")
    assert (page.heads[0][1], rows(page)) == (("24", "36"), ["A | - -", "B | 1030 -", "C | 575 -"])


def test_two_heads_above_one_column_of_figures_leave_it_marked() -> None:
    heads = "Cooling airflow, cfm\n                        first   second\nSW1-1 SW1-2   stage    stage\n"
    (page,) = charts(heads + "OFF     OFF      1210\nON  OFF     1,875\n")
    assert rows(page) == ["OFF OFF | _", "ON OFF | _"]


def test_names_with_their_positions_beside_them_are_no_heads() -> None:
    text = "LK1 cut    LK2 whole   350\nLK1 cut    LK2 cut     325  (1)\n\n            least       greatest\n"
    (page,) = charts(text + "AH-3       500 cfm     1250 cfm\nAH-5       700 cfm     2000 cfm\n")
    assert page.set == ("_",)
    assert rows(page) == ["AH-3 | 500 1250", "AH-5 | 700 2000"]


def test_a_head_between_strokes_stands_over_all_that_the_strokes_do() -> None:
    text = (
        "            -------- Q24 -------     ------------ Q42 --------------\n"
        " ESP        T1     T2     T3         T1     T2     T3     T4     T5\n"
        " 0.10       520    640    760        845   1020   1190   1370   1560\n"
        " 0.20        -     605    730        805    985   1160   1345   1540\n"
    )
    (page,) = charts("AIRFLOW, cfm\n" + text)
    assert page.set == ("static pressure",)
    assert page.heads[0][1][2:4] == ("Q24 T3", "Q42 T1")
    assert rows(page)[1] == "0.20 | - 605 730 805 985 1160 1345 1540"


def test_model_in_the_corner_is_of_the_rows_or_of_the_columns() -> None:
    (columns,) = charts("model,R045,R070,R095\nA,525,610,800\nB,610,735,990\n", "page.csv")
    assert (columns.set, columns.heads[0][0]) == (("_",), "model")
    (down,) = charts("model,R1,R2\n045,525,610\n060,610,735\n", "page.csv")
    assert (down.set, down.heads[0][0]) == (("model",), "_")
    (both,) = charts("Model,SW1-1,cfm\n045,OFF,525\n045,ON,610\n060,OFF,725\n060,ON,810\n", "page.csv")
    assert (both.set, both.gives, rows(both)[1]) == (("model", "SW1-1"), ("airflow",), "045 ON | 610")
