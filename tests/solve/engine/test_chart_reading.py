"""Reading a chart: straight lines along what runs on, blanks, words, rows that refuse or behave as another; by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.solve.board.facts import Facts
from selector.solve.engine.bends import may_bend
from selector.solve.engine.chart_reading import RowIndex, weights
from selector.solve.engine.engine import Engine
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.table import ABSENT, ANY, Cell, CellWord, Either, Key, No, Row
from selector.table.source import source_from_text


def outcome(text: str, positions: str, stage: str = "", **facts: str) -> list[Cell] | str:
    """What the chart `c` gives in positions (`02`, `-` for off its pins), or the code of its no."""
    table = build_table(source_from_text("format: selector table 1\n" + text), "page")[0]
    told = read_facts([(name.replace("_", " "), value) for name, value in facts.items()], table)
    call = next(iter(table.calls.values()))
    reading = Engine(table, told).chart(table.charts["c"], call, stage, "")
    found = reading.find(tuple(ABSENT if at == "-" else int(at) for at in positions))
    return found.kind if isinstance(found, No) else list(found)


STATIC = """\
unit: {title: Along static pressure}
units: {airflow: cfm, pressure: in. w.c.}
board:
  D1: {kind: dial, positions: 1 2 3 4 5, factory: 1}
charts:
  c:
    page: 7
    set: D1
    across: {static pressure: 0.2 0.4 0.8}
    gives: airflow, watts, label
    rows: |
      1 1000 300 a 900 320 a 700 380 b
      2 1000 - a 900 320 a ? 380 a
      3 none 300 a none 320 a 700 380 a
      4 900 or 1000 300 a 900 320 a 700 380 a
      5 reserved
calls:
  cooling: {terminals: Y1, airflow: c}
"""


@pytest.mark.parametrize(
    ("at", "static", "want"),
    [
        ("0", "0.2", [1000, 300, "a"]),
        ("0", "0.8", [700, 380, "b"]),
        ("0", "0.3", [950, 310, "a"]),  # halfway
        ("0", "0.5", [850, 335, CellWord.BLANK]),  # a quarter of the way; two words
        ("0", "0.7", [750, 365, CellWord.BLANK]),
        ("0", "0.19", "outside_chart"),
        ("0", "0.81", "outside_chart"),
        ("0", None, "not_known"),
        ("1", "0.2", [1000, CellWord.BLANK, "a"]),
        ("1", "0.3", [950, CellWord.BLANK, "a"]),  # no line across a blank
        ("1", "0.4", [900, 320, "a"]),
        ("1", "0.5", [CellWord.UNREADABLE, 335, "a"]),
        ("2", "0.3", [CellWord.NONE, 310, "a"]),
        ("2", "0.5", [CellWord.BLANK, 335, "a"]),  # a figure and none
        ("4", "0.2", "not_usable"),
        ("4", None, "not_usable"),  # at every static pressure
        ("4", "0.9", "not_usable"),  # of two noes the first of the five
    ],
)
def test_straight_lines_between_what_is_printed(at: str, static: str | None, want: list[Cell] | str) -> None:
    assert outcome(STATIC, at, **({} if static is None else {"static_pressure": static})) == want


def test_a_line_from_a_figure_that_is_one_of_two() -> None:
    """900 or 1,000 at 0.2, 900 at 0.4: halfway 900 or 950."""
    figure = outcome(STATIC, "3", static_pressure="0.3")[0]
    assert isinstance(figure, Either)
    assert [float(x) for x in figure.figures] == [900, 950]


def test_none_among_trims_is_0_on_a_line() -> None:
    text = STATIC.replace("airflow, watts, label", "trim").split("      1 1000")[0] + (
        "      1 none +10 % -10 %\n      2 - 0 0\n      3 0 0 0\n      4 0 0 0\n      5 0 0 0\n"
        "calls:\n  cooling: {terminals: Y1, airflow: [airflow: 900, c]}\n"
    )
    for static in ("0.3", "0.5"):  # half of 10; three quarters of 10 less a quarter of 10
        assert outcome(text, "0", static_pressure=static) == [Fraction(5)]


COLUMNS = """\
unit: {title: Columns, models: S T}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  J2: {kind: jumper, positions: X Y Z, factory: X}
charts:
  c:
    set: J1
    across: {model: S T, stage: low high}
    gives: airflow, watts
    rows: |
      A 100 1 200 2 300 3 400 4
      B 500 5 600 6 - 7 800 8
  d:
    set: J1 J2
    gives: label
    rows: |
      A X a
      A Y as A X
      A Z b
      B X as A -
      B Y as A Y
      B Z reserved
calls:
  cooling: {terminals: {low: Y1, high: Y1 Y2}, stages: low high, airflow: c}
"""


@pytest.mark.parametrize(
    ("at", "stage", "model", "want"),
    [
        ("0", "low", "S", [100, 1]),
        ("0", "high", "S", [200, 2]),
        ("0", "low", "T", [300, 3]),
        ("0", "high", "T", [400, 4]),
        ("1", "low", "T", [CellWord.BLANK, 7]),
        ("1", "high", "T", [800, 8]),
        ("0", "other", "S", "outside_chart"),
        ("0", "low", None, "not_known"),
        ("-", "low", "S", "outside_chart"),
    ],
)
def test_columns_run_over_their_heads(at: str, stage: str, model: str | None, want: list[Cell] | str) -> None:
    assert outcome(COLUMNS, at, stage, **({} if model is None else {"model": model})) == want


@pytest.mark.parametrize(
    ("at", "want"),
    [("00", ["a"]), ("01", ["a"]), ("02", ["b"]), ("10", ["a"]), ("11", ["a"]), ("12", "not_usable")],
)
def test_a_row_that_behaves_as_another_gives_what_that_gives(at: str, want: list[Cell] | str) -> None:
    assert (
        outcome(
            COLUMNS.replace("  c:\n", "  cc:\n").replace("  d:\n", "  c:\n").replace("airflow: c}", "airflow: cc}"), at
        )
        == want
    )


FACT = """\
unit: {title: A fact that is not given}
facts:
  filter: {values: thin thick}
board:
  J1: {kind: jumper, positions: A B C D, factory: A}
charts:
  c:
    set: J1
    across: {filter: thin thick}
    gives: airflow
    rows: |
      A 900 900
      B 900 800
      C - -
      D - 700
calls:
  cooling: {terminals: Y1, airflow: c}
"""


@pytest.mark.parametrize(
    ("at", "filter_", "want"),
    [
        ("0", None, [900]),  # it makes no difference
        ("1", None, "not_known"),
        ("1", "thin", [900]),
        ("1", "Thick", [800]),
        ("2", None, [CellWord.BLANK]),
        ("3", None, "not_known"),
    ],
)
def test_a_fact_that_is_not_given_counts_where_it_changes_something(
    at: str, filter_: str | None, want: list[Cell] | str
) -> None:
    assert outcome(FACT, at, **({} if filter_ is None else {"filter": filter_})) == want


@pytest.mark.parametrize(
    ("value", "want"),
    [
        ("0.2", {0: 1}),
        ("0.8", {2: 1}),
        ("0.3", {0: Fraction(1, 2), 1: Fraction(1, 2)}),
        ("0.5", {1: Fraction(3, 4), 2: Fraction(1, 4)}),
        ("0.1", None),
        ("0.9", None),
    ],
)
@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_weights(value: str, want: dict[int, Fraction] | None, order: tuple[int, ...]) -> None:
    """However the columns are ordered."""
    printed = [Fraction(x) for x in ("0.2", "0.4", "0.8")]
    key = Key(name="static pressure", kind="fact", numbers=tuple(printed[i] for i in order))
    found = weights(key, Fraction(value))
    if want is None:
        assert isinstance(found, No)
        assert found.kind == "outside_chart"
    else:
        assert not isinstance(found, No)
        assert {order[i]: share for i, share in found} == want


def test_rows_are_found_by_the_columns_they_name() -> None:
    rows = [
        Row(positions=(0, 0), cells=(Fraction(1),), line=1),
        Row(positions=(ANY, 1), cells=(Fraction(2),), line=2),
        Row(positions=(2, ANY), cells=(Fraction(3),), line=3),
    ]
    index = RowIndex(rows)
    lines = {(0, 0): 1, (0, 1): 2, (1, 1): 2, (2, 0): 3, (2, 2): 3, (1, 0): None, (0, 2): None}
    for at, line in lines.items():
        row = index.find(at)
        assert (None if row is None else row.line) == line
    others = RowIndex([*rows, Row(positions=(ANY, ANY), cells=(Fraction(4),), rest=True, line=4)])
    row = others.find((1, 0))
    assert row is not None
    assert (row.line, row.positions) == (4, (1, 0))


# -- engines

VOLTS = """\
unit: {title: Volts}
units: {airflow: cfm, heat: kW}
ratings: {heater voltage: RATED}
board:
  J1: {kind: jumper, positions: 5 10, factory: 5, gives: heater power}
  J2: {kind: jumper, positions: 5 10, factory: 5, gives: heater power}
charts:
  air: {gives: airflow, rows: 900}
calls:
  heater: {terminals: {low: W1, high: W1 W2}, stages: low high, airflow: air, heat: [J1, plus: J2]}
"""


@pytest.mark.parametrize(
    ("rated", "stage", "volts"),
    [
        ("240 V", "low", [240]),
        ("{low: 240 V, high: 208 V}", "low", [240]),
        ("{low: 240 V, high: 208 V}", "high", [208]),
        ("{J1: 240 V, J2: 208 V}", "low", [240, 208]),
    ],
)
def test_the_volts_that_heaters_are_rated_at(rated: str, stage: str, volts: list[int]) -> None:
    """One for all, by stage, or each its own."""
    table = build_table(source_from_text("format: selector table 1\n" + VOLTS.replace("RATED", rated)), "page")[0]
    engine = Engine(table, Facts())
    assert [*engine.heater_volts(stage)] == volts
    assert not may_bend(engine, table.calls["heater"], stage)
