"""Read-back: every cell of every shipped table as typed (law L1), and rows in words by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.answers.words.caution import cautions_for
from selector.cli.main import run
from selector.table.library.library import load
from selector.transcribe.compare.read_back import layout, spoken
from selector.transcribe.compare.read_back_rest import spoken_rest
from selector.transcribe.compare.spoken_words import figure_in_words

TABLES = sorted((Path(__file__).parents[3] / "tables").glob("*.yaml"))


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_the_layout_holds_every_cell_as_typed(path: Path) -> None:
    table, _ = load(str(path))
    text = layout(table)
    for chart in table.printed_charts:
        start = next(
            i for i, line in enumerate(text) if line == chart.name + (f" (page {chart.page})" if chart.page else "")
        )
        body = text[next(i for i in range(start, len(text)) if text[i].strip("- ") == "" and text[i].strip()) + 1 :]
        for row, line in zip(chart.rows, body, strict=False):
            words = line.split("  (")[0].replace("(", " ").split()
            figures = [w for cell in row.typed for w in cell.split()] or (row.word or "as").split()
            left = iter(words)
            figures = ["same", "as"] if row.same else figures
            assert all(any(w == word for word in left) for w in figures), (chart.name, row.line)


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_every_row_is_said_with_all_its_figures(path: Path) -> None:
    table, _ = load(str(path))
    rows = list(spoken(table))
    assert len(rows) == sum(len(c.rows) for c in table.printed_charts)
    for said, row in zip(rows, (r for c in table.printed_charts for r in c.rows), strict=True):
        assert said.line == row.line
        assert "same as" in said.text if row.same else all(figure_in_words(t) in said.text for t in row.typed)


def test_a_row_as_two_people_read_it() -> None:
    table, _ = load("corvane-k14")
    rows = [r.text for r in spoken(table, "cooling airflow")]
    assert (
        rows[0]
        == "switch 2 off, switch 3 off, switch 4 off: zero six zero, one thousand twenty; zero eight zero, one thousand"
        " three hundred eighty; one one zero, one thousand nine hundred sixty"
    )
    assert rows[6] == "switch 2 either way, switch 3 on, switch 4 on: do not use"
    assert [r.text for r in spoken(table, "trims")][3] == "switch 5 on, switch 6 on: minus twelve percent"


def test_pressures_are_said_as_figures_and_pins_and_models_sign_by_sign() -> None:
    table, _ = load("wickerby-5")
    assert (
        next(spoken(table)).text
        == "M1 one: twenty-five, three hundred five; seventy-five, two hundred seventy; one hundred twenty-five, two"
        " hundred thirty; one hundred seventy-five, one hundred eighty-five; two hundred twenty-five, one hundred"
        " thirty-five"
    )


def test_the_page_as_a_neat_text() -> None:
    table, _ = load("wickerby-5")
    text = "\n".join(layout(table))
    assert (
        """tap airflow (page 5)
  holds for dry coil, filter in
  M1   25   75  125  175  225
  ---------------------------
  1   305  270  230  185  135
  2   375  345  310  270  225"""
        in text
    )


@pytest.mark.parametrize(
    ("chart", "first"), [("", "Wickerby Air handler with a five-tap motor"), ("tap airflow", "tap airflow (page 5)")]
)
def test_the_layout_is_printed(chart: str, first: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["aloud", "wickerby-5", "--laid-out", *(["--chart", chart] if chart else [])]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == first
    assert ["5", "615", "595", "565", "530", "470"] in [line.split() for line in lines]


def test_the_layout_tells_all_of_a_call_and_of_a_ramp() -> None:
    text = layout(load("corvane-k14")[0])
    at = text.index("  heating first = heating airflow, then x (1 + trims), then x 70 %")
    assert text[at + 2] == "    terminals W1, W1 W2; capacity stage 1 0.7"
    at = text.index("  fan = call cooling second, then x fan share, then at least 400 cfm")
    assert text[at + 1] == "    terminals G"
    assert "in cfm, in. w.c., F, Btu/h" in text
    text = layout(load("saltmarsh-12")[0])
    assert "    terminals Y O; ramp start in cooling" in text
    assert "  three steps: 60 s at 45 %, 240 s at 78 %, then 100 %, after the call 90 s at 40 %" in text


def test_what_stands_beside_the_charts_is_read_aloud_too() -> None:
    said = {(r.chart, r.number): r.text for r in spoken_rest(load("saltmarsh-12")[0])}
    assert said["rating plate", 1] == "heater voltage: two hundred forty"
    assert (
        said["ramps", 3]
        == "three steps: sixty seconds at forty-five percent, two hundred forty seconds at seventy-eight percent, then"
        " one hundred percent, after the call ninety seconds at forty percent"
    )
    assert said["calls", 2].startswith(
        "dehumidify is call cooling, then times eighty-four percent (when LK1 is cut); terminals Y O DH"
    )
    said = {(r.chart, r.number): r.text for r in spoken_rest(load("corvane-k14")[0])}
    assert (
        said["rating plate", 1]
        == "heat input: zero six zero: sixty thousand, zero eight zero: eighty thousand, one one zero: one hundred ten"
        " thousand"
    )
    assert (
        said["calls", 3]
        == "fan is call cooling second, then times fan share, then at least four hundred cfm; terminals G"
    )


def test_aloud_says_them_after_the_charts_and_counts_in_plain_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["aloud", "saltmarsh-12"]) == 0
    headings = [line for line in capsys.readouterr().out.splitlines() if not line.startswith(" ")]
    assert headings[-3:] == ["rating plate, 1 row", "ramps, 3 rows", "calls, 6 rows"]
    assert run(["aloud", "saltmarsh-12", "--chart", "start in cooling"]) == 0
    assert "rating plate" not in capsys.readouterr().out


def test_a_board_that_nothing_is_said_of_may_read_its_selectors_at_power_up() -> None:
    said, unsaid = load("corvane-k14")[0], load("saltmarsh-12")[0]
    assert (said.unit.reads, unsaid.unit.reads) == ("at power-up", "")
    then = [cautions_for(one, heat=False, cooling=False).then[0] for one in (said, unsaid)]
    assert [text.partition("board ")[2] for text in then] == [
        "reads its selectors only at power-up.",
        "may read its selectors only at power-up.",
    ]
