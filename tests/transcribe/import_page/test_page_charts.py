"""Pages with several charts, charts in groups side by side, and files as other programs write them: each chart
found, nothing made up."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path

import pandas
import pytest
import xlsxwriter

from selector.problems import Refused
from selector.table.library.library import load
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.import_page.blocks import blocks_of
from selector.transcribe.import_page.import_page import answers_of, page_from_bytes
from selector.transcribe.import_page.understand import Hints, Understood, understand
from tests.helpers.typist import Terminal, without_terminal

DEDUCED = Hints(gives=(), airflow="")


def charts(data: bytes | str, hints: Hints = DEDUCED) -> list[Understood]:
    """The charts of a page."""
    grid = page_from_bytes(data.encode() if isinstance(data, str) else data, "page")
    return [understand(piece, hints) for piece in blocks_of(grid)]


def rows(page: Understood) -> list[str]:
    """Its rows: positions, a bar, what stands behind them."""
    return [f"{' '.join(row.marks)} | {row.text}" for row in page.rows]


PASTED = """Hollinsby furnace

Cooling airflow (cfm)  page 12

SW1-1   SW1-2    24     36
OFF     OFF     800  1,200
ON      OFF     610    925

SW1-3 is not used on this model and stays OFF.

Trim

SW1-4   SW1-5
OFF     OFF     none
ON      OFF     +6 %
OFF     ON      -6 %

Blower after cooling:

SW1-7
OFF     60 s
ON      90 s
"""


def test_three_charts_pasted_as_text_with_sentences_between_them() -> None:
    found = charts(PASTED)
    assert [(p.name, p.page, p.set, p.gives) for p in found] == [
        ("cooling airflow", "12", ("SW1-1", "SW1-2"), ("airflow",)),
        ("trim chart", "", ("SW1-4", "SW1-5"), ("trim",)),
        ("blower after cooling", "", ("SW1-7",), ("seconds",)),
    ]
    assert rows(found[0]) == ["OFF OFF | 800 1200", "ON OFF | 610 925"]
    assert rows(found[1]) == ["OFF OFF | none", "ON OFF | +6 %", "OFF ON | -6 %"]
    assert rows(found[2]) == ["OFF | 60", "ON | 90"]


@pytest.mark.parametrize(
    ("heads", "name", "words"),
    [
        (("50 Pa", "75 Pa"), "static pressure", ("50", "75")),
        (("0.1 in. w.c.", "0.3 in. w.c."), "static pressure", ("0.1", "0.3")),
        (("low fire", "high fire"), "stage", ("low fire", "high fire")),
        (("first stage", "second stage"), "stage", ("first stage", "second stage")),
        (("rise, F", "cfm, net"), "_", ("rise F", "cfm net")),
    ],
)
def test_heads_with_units_and_words(heads: tuple[str, str], name: str, words: tuple[str, str]) -> None:
    (page,) = charts(f"D1;{heads[0]};{heads[1]}\nA;800;1200\nB;610;925\n")
    assert page.heads == ((name, words),)


@pytest.mark.parametrize(
    ("text", "across", "says"),
    [
        (
            "SW;24;36\nA;800;1200\nB;610;925\n",
            "model",
            "SW is a bank; say which of its switches set the rows, such as SW-1",
        ),
        (
            "D1;small unit;large unit\nA;800;1200\nB;610;925\n",
            "model",
            "`small unit` can't be a model, with a blank in it",
        ),
    ],
)
def test_what_no_table_can_hold_is_refused_in_words(text: str, across: str, says: str) -> None:
    page = charts(text, Hints(set=(text.split(";")[0],), across=(across,), airflow=""))
    with pytest.raises(Refused) as refused:
        answers_of(page)
    assert says in refused.value.problems[0].message


def test_a_chart_parted_by_blank_lines_stays_one_chart() -> None:
    found = charts("D1  24  36\nA  800  1200\nB  610  925\n\nC  680  1010\nD  740  1110\n")
    assert [rows(p) for p in found] == [["A | 800 1200", "B | 610 925", "C | 680 1010", "D | 740 1110"]]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_two_charts_below_one_another_in_a_text_file(separator: str) -> None:
    lines = [
        "Cooling",
        "SW1-1,060,080",
        "OFF,1020,1380",
        "ON,540,720",
        "",
        "Trim",
        "SW1-2,adjust",
        "OFF,+6 %",
        "ON,-6 %",
    ]
    first, second = charts("\n".join(lines).replace(",", separator))
    assert (first.set, rows(first)) == (("SW1-1",), ["OFF | 1020 1380", "ON | 540 720"])
    assert (second.set, second.gives, rows(second)) == (("SW1-2",), ("trim",), ["OFF | +6 %", "ON | -6 %"])


def test_two_charts_on_a_sheet() -> None:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True})
    sheet = book.add_worksheet()
    for r, row in enumerate(
        [
            ["J1", "060", "080"],
            ["A", 1020, 1380],
            ["B", 540, 720],
            [],
            ["Constant fan"],
            ["J2", "share"],
            ["C", "30 %"],
            ["D", "45 %"],
        ]
    ):
        sheet.write_row(r, 0, row)
    book.close()
    first, second = charts(data.getvalue())
    assert rows(first) == ["A | 1020 1380", "B | 540 720"]
    assert (second.name, second.gives, rows(second)) == ("constant fan", ("share",), ["C | 30 %", "D | 45 %"])


GROUPS = """| J1 J2 | cfm || J1 J2 | cfm || J1 J2 | cfm |
|---|---|---|---|---|---|---|---|
| 1a |  640 || 1b |  705 || 1c |  770 |
| 2a |  830 || 2b |  890 || 2c |  985 |
"""


def test_groups_side_by_side_with_marks_run_together() -> None:
    (page,) = charts(GROUPS)
    assert page.set == ("J1", "J2")
    assert rows(page) == ["1 a | 640", "2 a | 830", "1 b | 705", "2 b | 890", "1 c | 770", "2 c | 985"]


def test_groups_of_which_the_last_is_short() -> None:
    (page,) = charts("SW1-1,SW1-2,cfm,SW1-1,SW1-2,cfm\nOFF,OFF,800,OFF,ON,900\nON,OFF,850,,,\n")
    assert rows(page) == ["OFF OFF | 800", "ON OFF | 850", "OFF ON | 900"]


def test_marks_that_dont_go_with_their_labels_are_left_marked() -> None:
    (page,) = charts(GROUPS.replace("2b", "2bx"))
    left = next(row for row in page.rows if "890" in row.cells)
    assert left.marks == ("_", "_")
    assert left.left[0].endswith("`2bx` is not 2 marks")


FRAME = pandas.DataFrame(
    [("OFF", "OFF", 1020, 1380.0), ("ON", "OFF", 540, 720.0), ("OFF", "ON", 660, None)],
    columns=["SW1-1", "SW1-2", "060", "080"],
)


@pytest.mark.parametrize("index", [True, False])
@pytest.mark.parametrize("engine", ["xlsxwriter", "openpyxl"])
def test_a_sheet_written_by_pandas(engine: str, index: bool) -> None:
    data = io.BytesIO()
    FRAME.to_excel(data, engine=engine, index=index)
    (page,) = charts(data.getvalue(), Hints(models=("060", "080")))
    assert rows(page) == ["OFF OFF | 1020 1380", "ON OFF | 540 720", "OFF ON | 660 -"]
    assert page.heads == (("model", ("060", "080")),)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("quoting", [0, 1, 2])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_a_text_file_written_by_pandas(separator: str, quoting: int, encoding: str, ending: str) -> None:
    data = FRAME.fillna(0).to_csv(sep=separator, quoting=quoting, lineterminator=ending).encode(encoding)
    if encoding == "utf-16-le":
        data = b"\xff\xfe" + data
    (page,) = charts(data, Hints(models=("060", "080")))
    assert rows(page) == ["OFF OFF | 1020 1380.0", "ON OFF | 540 720.0", "OFF ON | 660 0.0"]


def test_decimal_commas_are_left_marked() -> None:
    frame = pandas.DataFrame([("OFF", 1020.5), ("ON", 540.25)], columns=["SW1-1", "airflow"])
    (page,) = charts(frame.to_csv(sep=";", decimal=",", index=False))
    assert rows(page) == ["OFF | _", "ON | _"]
    assert page.rows[0].left == ("line 2, cell 2: the comma in 1020,5 may part thousands or decimals",)


@pytest.mark.parametrize("made", ["2-Jan", "02-Jan-2026", "Jan-02", "1/2/2026", "2026-01-02", "2026-01-02 00:00:00"])
def test_dates_in_a_text_file_are_left_marked_and_their_figures_kept(made: str) -> None:
    (page,) = charts(f"J1,cfm\n{made},800\n2-3,880\n3-4,950\n")
    assert rows(page) == ["_ | 800", "2-3 | 880", "3-4 | 950"]
    known, offered = answers_of([page])
    text = draft_text(draft_of({**offered, **known}))
    assert "  J1: {kind: jumper, positions: 2-3 3-4}" in text
    assert [line.split() for line in text.split("rows: |\n")[1].splitlines()[:3]] == [
        ["_", "800"],
        ["2-3", "880"],
        ["3-4", "950"],
    ]


def test_positions_that_stand_twice_are_said_and_both_rows_are_kept() -> None:
    (page,) = charts("J1  24  36\nA  800  1200\nB  610  925\nA  830  1200\n")
    assert page.remarks[-1] == "line 4 has the positions of line 2 again: A"
    (page,) = charts("J1  24  36\nA  800  1200\nB  610  925\nA  830  1200\n", Hints(models=("24", "36")))
    known, _ = answers_of([page])
    assert known["chart 1 rows"] == "A | 800 1200; B | 610 925; A | 830 1200"


@pytest.mark.parametrize(
    ("cells", "gives"),
    [
        (("+6 %", "-12 %"), "trim"),
        (("30 %", "45%"), "share"),
        (("60 s", "2 min"), "seconds"),
        (("1,020", "540"), "airflow"),
        (("as charted", "-6 %"), "trim"),
    ],
)
def test_what_figures_are_is_told_by_their_signs_and_units(cells: tuple[str, str], gives: str) -> None:
    (page,) = charts(f"SW1-1;figure\nOFF;{cells[0]}\nON;{cells[1]}\n")
    assert page.gives == (gives,)


MANUAL = Path(__file__).parents[2] / "examples" / "manual"


def test_a_page_with_the_bank_above_the_numbers_of_its_switches() -> None:
    """Heads in two lines, titles in capitals, a footnote, an X among ON and OFF, percent told by the title alone."""
    cooling, adjust, fan = charts(
        (MANUAL / "thornquay-ah.txt").read_bytes(), Hints(gives=(), airflow="", models=("024", "036", "048"))
    )
    assert (cooling.name, cooling.page, cooling.set) == ("cooling airflow", "14", ("SW1-1", "SW1-2", "SW1-3"))
    assert cooling.heads == (("model", ("024", "036", "048")),)
    assert rows(cooling) == [
        "OFF OFF OFF | 720 1080 1440",
        "ON OFF OFF | 800 1200 1600  (048: 0.8 in. w.c. maximum external static)",
        "OFF ON OFF | 880 1320 1760",
        "ON ON OFF | - 1400 1850",
        "_ _ ON | not used",
    ]
    assert cooling.rows[4].left[0] == "line 12: `X` among ON and OFF may mean on, or either way"
    assert (adjust.name, adjust.set, adjust.gives) == ("airflow adjust", ("SW1-4", "SW1-5"), ("trim",))
    assert rows(adjust) == ["OFF OFF | _", "ON OFF | +10 %", "OFF ON | -10 %", "ON ON | -15 %"]
    assert (fan.name, fan.gives) == ("continuous fan", ("share",))
    assert rows(fan) == ["OFF OFF | 50 %", "ON OFF | 75 %", "OFF ON | 100 %", "ON ON | 25 %"]


def test_a_page_with_models_down_the_side() -> None:
    (page,) = charts((MANUAL / "lindmarrow-lp.txt").read_bytes())
    assert (page.name, page.page, page.airflow, page.set) == ("airflow delivery", "31", "L/s", ("model", "_"))
    assert page.heads == (("static pressure", ("50", "75", "100", "125", "150", "175", "200")),)
    assert rows(page)[5] == "12 3 | 560 550 530 515 490 465 -"


def test_a_page_with_models_down_the_side_goes_on_to_a_table_that_passes(tmp_path: Path) -> None:
    (tmp_path / "page.txt").write_bytes((MANUAL / "lindmarrow-lp.txt").read_bytes())
    at = Terminal("import", "page.txt", "--out", "unit.yaml", cwd=tmp_path)
    at.lines(
        [
            "M1",
            "y",
            "Packaged unit LP",
            "Lindmarrow",
            "411-02 31",
            "",
            "",
            "",
            "",
            "M1 1-3 leads Y G",
            "",
            "",
            "",
            "torque",
        ]
    )
    at.lines(["cooling Y", "air", "", "fan G", "air", "", "", ""])
    assert at.end() == 0, at.said
    table = load(str(tmp_path / "unit.yaml"))[0]
    chart = table.charts["airflow delivery"]
    assert [(k.name, k.values[:3]) for k in chart.keys] == [("model", ("09", "12")), ("M1", ("1", "2", "3"))]
    assert [r.typed for r in chart.rows][1] == ("390", "375", "350", "330", "300", "270", "235")
    assert (table.units.airflow, table.units.pressure, table.unit.motor) == ("L/s", "Pa", "constant torque")


def test_a_page_with_the_model_printed_once_and_numbers_above_the_marks() -> None:
    (page,) = charts((MANUAL / "drossfield-ecm.txt").read_bytes())
    assert page.heads == (("static pressure", ("0.1", "0.3", "0.5", "0.7", "0.9")),)
    assert rows(page) == [
        "050-3 OFF OFF OFF OFF | 1065 1030 985 930 860",
        "050-3 ON OFF OFF OFF | 945 910 870 820 755",
        "050-3 OFF ON OFF OFF | 840 805 770 720 650",
        "080-4 OFF OFF OFF OFF | 1490 1450 1400 1335 1250",
        "080-4 ON OFF OFF OFF | 1340 1305 1260 1200 1125",
        "080-4 OFF ON OFF OFF | 1190 1155 1110 1055 985",
    ]
    assert "an empty cell below 050-3 was read as 050-3, and so on down the column" in page.remarks


def test_a_page_with_the_bank_among_the_heads_and_a_chart_in_words() -> None:
    cooling, adjust = charts((MANUAL / "marrowdale-mt.txt").read_bytes())
    assert (cooling.name, cooling.set) == ("cooling speed selection", ("SW2-1", "SW2-2", "SW2-3"))
    assert [words for _, words in cooling.heads] == [("045A", "070B", "090C")]
    assert rows(cooling) == [
        "0 0 0 | 1205 1395 1610",
        "1 0 0 | 600 800 1005",
        "0 1 0 | 800 1000 1200",
        "1 1 0 | 1000 1200 1400",
    ]
    # a chart in words has no figure to be read: every row keeps a blank to type over
    assert (adjust.name, adjust.set) == ("heating rise adjust", ("SW3-1",))
    assert all("_" in row.cells for row in adjust.rows)


def test_a_page_with_phrases_above_models() -> None:
    (page,) = charts(
        (MANUAL / "heat-kits.txt").read_bytes(),
        Hints(gives=("least airflow",), set=("J4",), across=("mode", "model"), airflow=""),
    )
    assert page.heads == (("mode", ("Without heat pump", "With heat pump")), ("model", ("018", "024", "036")))
    assert rows(page) == [
        "5 | 500 550 600 550 600 650",
        "8 | - 650 700 - 700 750",
        "10 | - 750 800 - 850 900",
        "15 | - - 1000 - - 1100",
    ]
    known, offered = answers_of([page])
    text = draft_text(draft_of({**offered, **known}))
    assert "    across: {mode: [Without heat pump, With heat pump], model: 018 024 036}" in text
    assert "  mode: {values: [Without heat pump, With heat pump]}" in text


def test_a_page_pasted_at_the_terminal_and_the_rest_asked(tmp_path: Path) -> None:
    at = Terminal("import", "-", "--across", "model", "--out", "unit.yaml", cwd=tmp_path)
    assert "Paste the page here" in at.said
    at.paste(PASTED)
    at.lines(
        [
            "y",
            "Furnace",
            "",
            "",
            "",
            "",
            "",
            "",
            "SW1 8 at off",
            "",
            "",
            "cooling Y",
            "cool, trim",
            "off blower",
            "",
            "y",
        ]
    )
    assert at.end() == 0, at.said
    table = load(str(tmp_path / "unit.yaml"))[0]
    assert [r.typed for r in table.charts["cooling airflow"].rows] == [("800", "1200"), ("610", "925")]
    assert table.calls["cooling"].off_delay


def test_import_by_options_alone_leaves_visible_blanks(tmp_path: Path) -> None:
    (tmp_path / "page.txt").write_text(PASTED, encoding="utf-8")
    done = without_terminal(
        "import",
        "page.txt",
        "--across",
        "model",
        "--answer",
        "board 1=SW1 8 at off",
        "--out",
        "unit.yaml",
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stderr
    assert "  SW1: {kind: switches, count: 8, factory: all off}" in (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    (tmp_path / "unit.yaml").unlink()
    told = ("--answer", "board 1=SW1 8 at off", "--answer", "SW1 not used=y")
    done = without_terminal("import", "page.txt", "--across", "model", *told, "--out", "unit.yaml", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    text = (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    assert [line.strip() for line in text.splitlines() if line.endswith(" _")] == ["title: _", "calls: _"]
    assert "  SW1: {kind: switches, count: 8, factory: all off, not used: 3 6 8}" in text
    assert "  models: 24 36" in text
    done = without_terminal("import", "page.txt", "--across", "model", "--out", "unit.yaml", cwd=tmp_path)
    assert (done.returncode, "is there already" in done.stderr, done.stdout) == (2, True, "")
    call = "calls: {cooling: {terminals: Y, airflow: [cooling airflow, trim chart], off delay: blower after cooling}}"
    mended = text.replace("title: _", "title: Furnace").replace("calls: _", call)
    (tmp_path / "unit.yaml").write_text(mended, encoding="utf-8")
    assert without_terminal("check", "unit.yaml", cwd=tmp_path).returncode == 0
    assert load(str(tmp_path / "unit.yaml"))[0].charts["trim chart"].page == "12"


def test_import_shows_what_it_understood_and_writes_nothing_without_a_name(tmp_path: Path) -> None:
    (tmp_path / "page.txt").write_text(PASTED, encoding="utf-8")
    done = without_terminal("import", "page.txt", cwd=tmp_path)
    assert done.returncode == 0
    assert re.search(r"^  ON {6}OFF {5}610 {4}925 +\|  ON  OFF  610 +925$", done.stdout, re.MULTILINE)
    assert os.listdir(tmp_path) == ["page.txt"]


def test_import_says_which_names_are_missing(tmp_path: Path) -> None:
    (tmp_path / "page.txt").write_text(PASTED, encoding="utf-8")
    done = without_terminal("import", "page.txt", "--out", "unit.yaml", cwd=tmp_path)
    assert done.returncode == 1
    assert "in cooling airflow, what sets the rows, or what the columns are, isn't known" in done.stderr
    assert os.listdir(tmp_path) == ["page.txt"]
