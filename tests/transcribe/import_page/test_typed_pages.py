"""Pages as PDF viewers and spreadsheets give them, imported and written: every figure of the page stands in the file,
or is said and left to type.

The wanted rows were read off the pages by hand.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
import xlsxwriter

from selector.table.from_file.build import build_unfinished
from selector.table.source import source_from_text
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.import_page.blocks import blocks_of
from selector.transcribe.import_page.conservation import not_kept
from selector.transcribe.import_page.import_page import answers_of, page_from_bytes
from selector.transcribe.import_page.understand import Hints, Understood, understand
from tests.helpers.typist import ROOT, Terminal

WORDS = Hints(gives=(), airflow="")


def pages_of(data: str | bytes, hints: Hints = WORDS, name: str = "page.txt") -> list[Understood]:
    grid = page_from_bytes(data.encode() if isinstance(data, str) else data, name)
    return [understand(piece, hints) for piece in blocks_of(grid)]


def rows(page: Understood) -> list[str]:
    return [f"{' '.join(row.marks)} | {row.text}" for row in page.rows]


def written(pages: list[Understood], **answers: str) -> str:
    """The file that import writes, held against the pages."""
    known, offered = answers_of(pages)
    text = draft_text(
        draft_of({**offered, **known, **{name.replace("_", " "): answer for name, answer in answers.items()}})
    )
    assert not_kept(source_from_text(text), pages) == ()
    return text


def rows_in(text: str, chart: str) -> list[str]:
    """The rows of a chart as they stand in a file."""
    body = text.split(f"\n  {chart}:\n")[1].split("rows: |\n")[1]
    lines = []
    for line in body.splitlines():
        if not line.startswith("      "):
            break
        lines.append(" ".join(line.split()))
    return lines


def import_(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "selector", "import", *words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )


def test_pairs_of_pins_are_positions() -> None:
    (page,) = pages_of(
        "Jumper J1    12   24\n1-2         700  900\n2-3         800 1000\n", Hints(set=("J1",), across=("model",))
    )
    text = written([page])
    assert "  J1: {kind: jumper, positions: 1-2 2-3}" in text
    assert rows_in(text, page.name) == ["1-2 700 900", "2-3 800 1000"]


COOLING = """Cooling  airflow, second stage (cfm)
 SW1-1   SW1-2  SW1-3     060      080     110
 OFF     OFF    OFF      1,020   1,380   1,960
 X       OFF    OFF        540     720   1,060 †
 OFF     X      OFF        660     860   1,220
 X       X      OFF        780     990   1,380
 OFF     OFF    X          890   1,130   1,540
 X       OFF    X        1,150   1,520   2,080
 -       X      X        do not use
† only with the large filter
"""
HEATING = """SW1-6   060   rise F   080   rise F   110   rise F
OFF     1,080   49     1,350   52     1,810   53
ON        930   57     1,180   60     1,600   60
"""


def test_a_page_with_x_and_off_beside_one_with_on_and_off_keeps_every_row() -> None:
    (cooling,) = pages_of(COOLING, Hints(across=("model",), name="cooling airflow"))
    (heating,) = pages_of(HEATING, Hints(across=("model",), name="heating airflow"))
    assert "a filled mark in a column with OFF was read as ON" in cooling.remarks
    text = written([cooling, heating])
    assert "  SW1: {kind: switches, count: 6}" in text
    assert rows_in(text, "cooling airflow") == [
        "OFF OFF OFF 1020 1380 1960",
        "ON OFF OFF 540 720 1060 (110: only with the large filter)",
        "OFF ON OFF 660 860 1220",
        "ON ON OFF 780 990 1380",
        "OFF OFF ON 890 1130 1540",
        "ON OFF ON 1150 1520 2080",
        "- ON ON do not use",
    ]
    assert rows_in(text, "heating airflow") == ["OFF 1080 49 1350 52 1810 53", "ON 930 57 1180 60 1600 60"]


def spreadsheet(lines: list[list[object]], merged: dict[int, list[tuple[int, int, str]]] | None = None) -> bytes:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True})
    page = book.add_worksheet()
    for r, line in enumerate(lines):
        for c, value in enumerate(line):
            if value != "":
                page.write(r, c, value)
    for r, spans in (merged or {}).items():
        for first, last, text in spans:
            page.merge_range(r, first, r, last, text)
    book.close()
    return data.getvalue()


def test_heads_of_two_words_are_the_models() -> None:
    (page,) = pages_of(
        spreadsheet([["SW1-1", "model 060", "model 080"], ["OFF", 100, 200], ["ON", 110, 210]]), name="page.xlsx"
    )
    assert page.heads == (("model", ("060", "080")),)
    assert rows_in(written([page]), page.name) == ["OFF 100 200", "ON 110 210"]


BLANK_THOUSANDS = """                          Model
SW1-1  SW1-2   SW1-3    060     080     110
OFF    OFF     OFF     1 020   1 380   1 960
ON     OFF     OFF       540     720   1 060
OFF    OFF     ON        890   1 130   1 540
ON     OFF     ON      1 150   1 520   2 080
-      ON      ON      do not use
"""


def test_a_blank_between_thousands_is_read_by_the_number_of_heads() -> None:
    (page,) = pages_of(BLANK_THOUSANDS)
    assert page.heads == (("model", ("060", "080", "110")),)
    assert rows(page) == [
        "OFF OFF OFF | 1020 1380 1960",
        "ON OFF OFF | 540 720 1060",
        "OFF OFF ON | 890 1130 1540",
        "ON OFF ON | 1150 1520 2080",
        "- ON ON | do not use",
    ]
    assert page.left == 0


FILLED = """Table 4 – Cooling airflow (CFM)                        24
DIP switch           Unit size
SW1-1  SW1-2    060      080      110
                1,020    1,380    1,960
X                 540†     720      860‡
       X        1,150      —      1,220
X      X        N/A      990    1 380
† With large filter.
‡ See page 30
"""


def test_one_blank_among_commas_shifts_no_column() -> None:
    (page,) = pages_of(FILLED)
    assert page.name == "cooling airflow"
    assert rows(page) == [
        "OFF OFF | 1020 1380 1960",
        "ON OFF | 540 720 860  (060: With large filter, 110: See page 30)",
        "OFF ON | 1150 - 1220",
        "ON ON | - 990 1380",
    ]


def test_words_that_could_be_put_together_in_two_ways_are_left_to_type_and_said_once() -> None:
    """1 150 890 720 is 1,150 890 720 alone; 9 1 100 1 200 under three heads can't be told from a row with a figure
    too many."""
    page = pages_of(
        "J1   24    36    48\nA    1 150  890  720\nB    1 100  900  800  700\nC    600  700  800\n",
        Hints(across=("model",)),
    )[0]
    assert rows(page) == ["A | 1150 890 720", "B | _ _ _", "C | 600 700 800"]
    assert len(page.rows[1].left) == 1


def test_a_comma_file_of_three_digit_figures_is_split_at_its_commas() -> None:
    data = "tap,25,75,125,175,225\n1,305,270,230,185,135\n2,375,345,310,270,225\n"
    (page,) = pages_of(data, Hints(set=("M1",), across=("static pressure",)), "w.csv")
    assert page.heads == (("static pressure", ("25", "75", "125", "175", "225")),)
    assert rows(page) == ["1 | 305 270 230 185 135", "2 | 375 345 310 270 225"]


@pytest.mark.parametrize(
    "text",
    [
        "tap   25    75    125\n1     305   270   230\n2     375   345   310\n3     450   425   395\n",
        (
            "tap   Airflow, L/s, at external static, Pa\n      25    75    125\n1     305   270   230\n2     375   345 "
            "  310\n3     450   425   395\n"
        ),
        "tap   25 Pa  75 Pa  125 Pa\n1     305   270   230\n2     375   345   310\n3     450   425   395\n",
    ],
    ids=["figures", "two lines", "with their unit"],
)
def test_heads_that_are_figures_stand_along_the_top(text: str) -> None:
    (page,) = pages_of(text, Hints(set=("M1",), across=("static pressure",), gives=()))
    assert page.heads == (("static pressure", ("25", "75", "125")),)
    assert rows(page) == ["1 | 305 270 230", "2 | 375 345 310", "3 | 450 425 395"]


def test_heads_with_pascals_say_what_they_are() -> None:
    (page,) = pages_of("tap,25 Pa,75 Pa\n1,305,270\n2,375,345\n3,450,425\n", Hints(set=("M1",), gives=()), "w3.csv")
    assert page.heads == (("static pressure", ("25", "75")),)
    assert page.pressure == "Pa"


TWO_LINES = """SW1-6   060            080            110
        cfm   rise F   cfm   rise F   cfm   rise F
OFF     1,080   49     1,350   52     1,810   53
ON        930   57     1,180   60     1,600   60
"""
TWO_LINES_SHEET = spreadsheet(
    [
        ["SW1-6"],
        ["", "cfm", "rise F", "cfm", "rise F", "cfm", "rise F"],
        ["OFF", 1080, 49, 1350, 52, 1810, 53],
        ["ON", 930, 57, 1180, 60, 1600, 60],
    ],
    {0: [(1, 2, "060"), (3, 4, "080"), (5, 6, "110")]},
)


@pytest.mark.parametrize("data", [TWO_LINES, TWO_LINES_SHEET], ids=["text", "merged cells"])
def test_heads_above_what_each_column_gives(data: str | bytes) -> None:
    (page,) = pages_of(data, Hints(across=("model",), gives=()), "page.xlsx" if isinstance(data, bytes) else "page.txt")
    assert (page.set, page.gives) == (("SW1-6",), ("airflow", "temperature rise"))
    assert page.heads == (("model", ("060", "080", "110")),)
    assert rows(page) == ["OFF | 1080 49 1350 52 1810 53", "ON | 930 57 1180 60 1600 60"]


BLOCKS = """J1 J2   cfm    J1 J2   cfm    J1 J2   cfm
1a      640    1b      705    1c      770
2a      830    2b      890    2c      985
3a     1010    3b     1095    3c     1150
"""


def test_blocks_side_by_side_in_a_text_with_marks_run_together() -> None:
    (page,) = pages_of(BLOCKS)
    wanted = ["1 a 640", "2 a 830", "3 a 1010", "1 b 705", "2 b 890", "3 b 1095", "1 c 770", "2 c 985", "3 c 1150"]
    assert rows_in(written([page]), page.name) == wanted


def test_marks_run_together_in_some_rows_only() -> None:
    (page,) = pages_of("J1 J2   cfm\n1a      640\n1b 705\n1c      770\n2a      830\n2 b      890\n")
    assert rows(page) == ["1 a | 640", "1 b | 705", "1 c | 770", "2 a | 830", "2 b | 890"]


def test_as_charted_and_0_among_trims() -> None:
    (page,) = pages_of("SW1-4 SW1-5\nOFF OFF as charted\nON OFF +6 %\nOFF ON -6%\nON ON −12 %\n")
    assert rows(page) == ["OFF OFF | _", "ON OFF | +6 %", "OFF ON | -6 %", "ON ON | -12 %"]
    assert page.rows[0].left == ("line 2: `as charted` is no figure; type none if it means no change",)
    (page,) = pages_of("SW1-4 SW1-5 trim\nOFF OFF 0\nON OFF +6 %\nOFF ON -6%\nON ON −12 %\n")
    assert (page.gives, rows(page)) == (
        ("trim",),
        ["OFF OFF | none", "ON OFF | +6 %", "OFF ON | -6 %", "ON ON | -12 %"],
    )


def test_letters_for_digits_are_called_so() -> None:
    (page,) = pages_of("SW1-1   060   080\n ON     540   66O\n OFF    l380  720\n", Hints(across=("model",)))
    assert rows(page) == ["ON | 540 _", "OFF | _ 720"]
    assert [row.left[0].partition(": ")[2] for row in page.rows] == [
        "66O has letters that look like digits",
        "l380 has letters that look like digits",
    ]


def test_rows_stay_in_the_order_of_the_page() -> None:
    (page,) = pages_of("SW1-1 SW1-2 cfm\nON  ON  780\nOFF OFF 1020\nON  OFF 540\n")
    assert rows_in(written([page]), page.name) == ["ON ON 780", "OFF OFF 1020", "ON OFF 540"]


def test_a_jumper_along_the_top_stands_on_the_board() -> None:
    (page,) = pages_of(
        "J1      a       b       c\n1      640     705     770\n2      830     890     985\n",
        Hints(across=("J2",), gives=()),
    )
    text = written([page])
    assert "  J1: {kind: jumper, positions: 1 2}\n  J2: {kind: jumper, positions: a b c}" in text
    assert "facts:" not in text


def test_a_quantity_that_no_chart_gives_is_refused_at_once(tmp_path: Path) -> None:
    (tmp_path / "page.txt").write_text(COOLING, encoding="utf-8")
    done = import_("page.txt", "--across", "model", "--gives", "fish", "--out", "unit.yaml", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "`fish` is nothing a chart gives" in done.stderr


def test_nothing_and_half_a_spreadsheet_are_said_to_be_that(tmp_path: Path) -> None:
    (tmp_path / "a0.txt").write_bytes(b"\n")
    assert "There is nothing in this file." in import_("a0.txt", cwd=tmp_path).stderr
    (tmp_path / "t.xlsx").write_bytes(TWO_LINES_SHEET[:3000])
    assert "This spreadsheet is damaged or was cut off." in import_("t.xlsx", cwd=tmp_path).stderr


def test_what_a_file_does_not_hold_of_a_page_is_said() -> None:
    (page,) = pages_of(COOLING, Hints(across=("model",), name="cooling airflow"))
    text = written([page])
    changed = text.replace("660", "666").replace("      ON  OFF ON   1150 1520 2080\n", "")
    told = not_kept(source_from_text(changed), [page])
    assert told == (
        "line 5 is another row in the file (line 17): OFF     X      OFF        660     860   1,220",
        "line 8 is another row in the file (line 20): X       OFF    X        1,150   1,520   2,080",
        "line 9 is not in the file: -       X      X        do not use",
    )
    assert not_kept(source_from_text(text.replace("  cooling airflow:", "  heating airflow:")), [page]) == (
        "there is no chart cooling airflow in the file",
    )
    assert build_unfinished(source_from_text(text), "").charts["cooling airflow"].rows[2].typed == (
        "660",
        "860",
        "1220",
    )


def test_import_says_that_a_row_was_not_kept_and_ends_with_1(tmp_path: Path) -> None:
    """The board answered with other senses than the page's: the rows stand in the file and the person is told."""
    (tmp_path / "page.txt").write_text(COOLING, encoding="utf-8")
    answer = "board 1=SW1 switches 3 OPEN CLOSED"
    done = import_("page.txt", "--across", "model", "--answer", answer, "--out", "unit.yaml", cwd=tmp_path)
    assert done.returncode == 1
    assert "the file can't be compared with the page yet" in done.stderr
    assert "OFF OFF OFF  1020 1380 1960" in (tmp_path / "unit.yaml").read_text(encoding="utf-8")


TONS_AND_TRIM = """Hollinsby H-7  Installer's guide                                                   page 31
TABLE 6.  BLOWER AIRFLOW, COOLING  (CFM)

DIP switch SW2          Outdoor unit, tons
SW2-1   SW2-2      2         2.5        3         3.5
OFF     OFF       700        875      1 050      1 225*
ON      OFF       650        812        975      1 138
OFF     ON        600        750        900      1 050
ON      ON       do not use
* with the 20 x 25 filter only

SW2-3   Adjustment (trim)
OFF     as shown above
ON      − 10 %
"""


def test_a_page_by_tons_with_a_trim_below_it() -> None:
    cooling, trim = pages_of(TONS_AND_TRIM)
    assert (cooling.name, cooling.page, trim.name) == ("blower airflow", "31", "trim chart")
    text = written([cooling, trim])
    assert "  outdoor tons: {gives: tons, values: 2 2.5 3 3.5}" in text
    assert "    across: {outdoor tons: 2 2.5 3 3.5}" in text
    assert rows_in(text, "blower airflow") == [
        "OFF OFF 700 875 1050 1225 (3.5: with the 20 x 25 filter only)",
        "ON OFF 650 812 975 1138",
        "OFF ON 600 750 900 1050",
        "ON ON do not use",
    ]
    assert rows_in(text, "trim chart") == ["OFF _", "ON -10 %"]


SPEEDS = """Table 12  Electric heat airflow, L/s
Speed   External static pressure, Pa
        50     100     150     200
Low     310    280     245     —
Med     420    395     360     320
Hi      555    525     490     450 (1)
(1) Not with horizontal discharge.
"""


def test_a_page_of_speeds_under_pressures_on_a_line_of_their_own() -> None:
    (page,) = pages_of(SPEEDS, Hints(set=("M1",), gives=(), airflow=""))
    assert (page.airflow, page.pressure) == ("L/s", "Pa")
    assert page.heads == (("static pressure", ("50", "100", "150", "200")),)
    assert rows(page) == [
        "Low | 310 280 245 -",
        "Med | 420 395 360 320",
        "Hi | 555 525 490 450  (200: Not with horizontal discharge)",
    ]
    assert "pressure: Pa" in written([page], board_1="M1 Low Med Hi leads Y G")


def test_a_name_of_two_words_along_the_top_keeps_both() -> None:
    (page,) = pages_of(SPEEDS, Hints(set=("M1",), across=("return openings",), gives=(), airflow=""))
    text = written([page], board_1="M1 Low Med Hi leads Y G")
    assert "  return openings: {values: 50 100 150 200}" in text
    assert rows_in(text, page.name)[0] == "Low 310 280 245 -"


def test_a_line_of_figures_that_is_no_row_is_said_and_counted() -> None:
    (page,) = pages_of(
        "J1   24    36\nA    600   700\nB    see   note   800  900\nC    640   740\n", Hints(across=("model",))
    )
    assert rows(page) == ["A | 600 700", "C | 640 740"]
    assert "this line has figures but was not understood as a row: B see note 800 900" in page.remarks
    assert page.left == 1


SHORT_ROWS = """Cooling airflow
SW2-1  SW2-2    VH24    VH36
OFF    OFF       800    1200
ON     OFF       700    1050
OFF    ON                900
ON     ON        525
"""


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (SHORT_ROWS, ["OFF OFF | 800 1200", "ON OFF | 700 1050", "OFF ON | - 900", "ON ON | 525 -"]),
        (
            SHORT_ROWS.replace("ON     OFF       700    1050\n", "").replace("700", ""),
            ["OFF OFF | 800 1200", "OFF ON | - 900", "ON ON | 525 -"],
        ),
        ("SW2-1  VH24    VH36\nOFF     800\nON             1200\n", ["OFF | 800 -", "ON | - 1200"]),
        (
            "SW2-1 SW2-2     VH24    VH36\nOFF OFF     800     1200\nON ON       525\n",
            ["OFF OFF | 800 1200", "ON ON | 525 -"],
        ),
    ],
    ids=["two full rows", "one full row", "no full row", "ragged marks"],
)
def test_a_short_row_goes_under_the_heads_it_stands_under(text: str, wanted: list[str]) -> None:
    (page,) = pages_of(text, Hints(across=("model",)))
    assert page.heads == (("model", ("VH24", "VH36")),)
    assert rows(page) == wanted


@pytest.mark.parametrize(
    "text",
    [
        "SW2-1 SW2-2 VH24 VH36\nOFF OFF 800 1200\nON OFF 700\nOFF ON 600 900\n",
        "SW2-1 SW2-2 VH24 VH36\nOFF OFF 800 1200\nOFF OFF 600\n",
        (
            "SW2-1  SW2-2    VH24    VH36\nOFF    OFF       800    1200\nON     OFF          700\nOFF    ON        600 "
            "    900\n"
        ),
    ],
    ids=["no columns", "one blank between words", "between two columns"],
)
def test_a_short_row_whose_place_tells_nothing_is_left_to_type(text: str) -> None:
    (page,) = pages_of(text, Hints(across=("model",)))
    short = next(row for row in page.rows if row.left)
    assert (short.marks[1], short.cells) == ("OFF", ("_", "_"))
    assert short.left[0].endswith(
        "3 words where the other rows have 4, and where they stand doesn't tell their columns"
    )
    assert page.left == 2


def test_reserved_do_not_use_is_one_word_that_rules_a_row_out() -> None:
    (page,) = pages_of(
        "SW2-1  SW2-2   cfm\nOFF    OFF     800\nON     OFF     700\nON     ON      Reserved - do not use\n"
    )
    assert rows(page) == ["OFF OFF | 800", "ON OFF | 700", "ON ON | do not use"]
    assert page.left == 0


RAGGED = """HEATING AIRFLOW AND TEMPERATURE RISE
        VH24    VH36
SW2-3 SW2-4  CFM  Rise F CFM Rise F
OFF OFF   850  37 1,275  41
   ON  OFF 775    41     1150 45
 OFF ON  700 45  1025    51
ON    ON   Reserved - do not use
"""
REST = ["y", "Air handler", "", "", "", "", "", "", "SW2 4", "", "", "heating W", "heat", "", ""]


def answered(tmp_path: Path, *answers: str) -> tuple[Terminal, str]:
    """The ragged page imported at a terminal, with these answers to what stands along its top; what was said to
    them."""
    (tmp_path / "page.txt").write_text(RAGGED, encoding="utf-8")
    at = Terminal("import", "page.txt", "--out", "unit.yaml", "--name", "heating chart", cwd=tmp_path)
    return at, "".join(at.line(answer) for answer in answers)


def test_heads_above_cfm_and_rise_are_the_models() -> None:
    (page,) = pages_of(RAGGED, Hints(across=("model",), gives=()))
    assert (page.name, page.heads) == ("heating airflow and temperature rise", (("model", ("VH24", "VH36")),))
    assert rows(page) == [
        "OFF OFF | 850 37 1275 41",
        "ON OFF | 775 41 1150 45",
        "OFF ON | 700 45 1025 51",
        "ON ON | do not use",
    ]


def test_what_stands_along_the_top_is_asked_until_it_can_be_taken_and_each_refusal_says_why(tmp_path: Path) -> None:
    at, said = answered(tmp_path, "<", "seconds", "static pressure", "model")
    assert "`<` can't stand in the name <" in said
    assert "`seconds` has a meaning of its own" in said
    assert "`VH24` is no figure, so these are no static pressure" in said
    assert said.rstrip().endswith("go on with this? [Y/n]:")
    at.lines(REST)
    assert at.end() == 0
    assert "    across: {model: VH24 VH36}\n" in (tmp_path / "unit.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("answer", ["", "skip"])
def test_what_stands_along_the_top_may_be_typed_later(answer: str, tmp_path: Path) -> None:
    at, said = answered(tmp_path, answer)
    assert said.rstrip().endswith("go on with this? [Y/n]:")
    at.lines(["y", "Air handler", "", "VH24 VH36", "", "", "", "", "", "SW2 4", "", "", "heating W", "heat", "", ""])
    assert at.end() == 0
    text = (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    assert "    across: {_: VH24 VH36}\n" in text
    assert "Fill in each _" in at.said


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Cooling airflow", "cooling airflow"),
        ("ECM airflow", "ECM airflow"),
        ("Vh24 airflow", "Vh24 airflow"),
        ("COOLING AIRFLOW", "cooling airflow"),
    ],
)
def test_a_title_keeps_its_models_and_abbreviations(title: str, name: str) -> None:
    assert pages_of(f"{title}\nSW1-1  cfm\nOFF    800\nON     700\n")[0].name == name
