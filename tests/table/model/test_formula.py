"""A call as a formula, what its calls are for and in which units its figures are: read off a small page by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.table.from_file.build import build_table
from selector.table.model.figure_units import unit_of_head, unit_of_quantity, unit_of_rating
from selector.table.model.formula import formula, heads_of, number, row_words
from selector.table.model.roles import burns, by_heater, roles
from selector.table.model.table import Table, Units
from selector.table.source import source_from_text
from selector.table.text.quoting import quoted

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: S T}
units: {airflow: cfm, temperature: F, heat: kW}
facts:
  grille: {values: +50 +60, gives: offset}
  kit: {values: 5 10, gives: heater power}
ratings: {heater voltage: 240 V}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  J2: {kind: jumper, positions: 50 60, factory: 50, gives: share}
  LK1: {kind: link, factory: whole}
charts:
  air:
    set: J1
    across: {model: S T, stage: low high}
    gives: airflow
    rows: |
      A 900 950 1000 1050 (loud)
      B as A
  size: {set: LK1, gives: tons, rows: whole 2; cut reserved}
  per: {gives: airflow per ton, rows: 300 or 350}
  more: {set: LK1, gives: trim, notes: "* see page 3", rows: whole none *; others +5 %}
  least: {set: kit, gives: least airflow, rows: 5 300; 10 500}
calls:
  cooling:
    terminals: {low: Y1 O, high: Y1 Y2 O}
    stages: low high
    airflow: [air, {use: more, when: {LK1: cut, J1: A B}}, share: {low: 66 %}, trim: -5 %, offset: +20, round: 5]
    window: {airflow: {low: 300 to 900}}
  heat pump: {terminals: Y1, when: {LK1: whole}, airflow: [size, per, grille, at most: 1600]}
  heat: {terminals: W1, airflow: [call cooling high, J2, at least: 290 cfm/ton, at least: call fan], heat: kit}
  fan: {terminals: G, airflow: [airflow: 900 or 1000]}
  dry: {terminals: Y1 O DH, airflow: [call cooling low]}
  both: {terminals: Y1 W1, airflow: [call cooling, minus: 100]}
"""


@pytest.fixture(scope="module")
def table() -> Table:
    return build_table(source_from_text(PAGE), "page")[0]


@pytest.mark.parametrize(
    ("call", "stage", "want"),
    [
        (
            "cooling",
            "low",
            "air, then x (1 + more) (when LK1 is cut and J1 is A or B), then x 66 %, then x (1 - 5 %), then + 20 cfm,"
            " then rounded to 5 cfm",
        ),
        (
            "cooling",
            "high",
            "air, then x (1 + more) (when LK1 is cut and J1 is A or B), then x (1 - 5 %), then + 20 cfm, then rounded"
            " to 5 cfm",
        ),
        ("heat pump", "", "size x per, then + grille, then at most 1600 cfm (when LK1 is whole)"),
        ("heat", "", "call cooling high, then x J2, then at least 290 cfm per ton, then at least call fan"),
        ("fan", "", "900 or 1000 cfm"),
        ("dry", "", "call cooling low"),
        ("both", "", "call cooling, then - 100 cfm"),
    ],
)
def test_a_formula(table: Table, call: str, stage: str, want: str) -> None:
    assert formula(table, table.calls[call], stage) == want


def test_a_formula_by_other_names(table: Table) -> None:
    told = formula(table, table.calls["heat"], "", {"cooling": "cool", "J2": "K2", "fan": "blow"})
    assert told == "call cool high, then x K2, then at least 290 cfm per ton, then at least call blow"


def test_figures_are_as_short_as_they_are_exact() -> None:
    assert [number(Fraction(x)) for x in ("900", "0.5", "66.7", "-12")] == ["900", "0.5", "66.7", "-12"]
    assert number(Fraction(2, 3)) == "0.666667"


def test_a_chart_as_a_grid(table: Table) -> None:
    air, size, more = (table.charts[name] for name in ("air", "size", "more"))
    assert heads_of(air) == [["S", "S", "T", "T"], ["low", "high", "low", "high"]]
    assert heads_of(size) == [["tons"]]
    assert [row_words(air, row) for row in air.rows] == [["A", "900", "950", "1000", "1050"], ["B", "as A"]]
    assert [row_words(size, row) for row in size.rows] == [["whole", "2"], ["cut", "reserved"]]
    assert [row_words(more, row) for row in more.rows] == [["whole", "none *"], ["others", "+5 %"]]


def test_what_the_calls_are_for(table: Table) -> None:
    assert roles(table) == {
        "cooling": "cooling",
        "heat pump": "heat pump",  # Y alone, where cooling has O
        "heat": "heat",
        "fan": "fan",
        "dry": "dehumidify",
        "both": "heat pump + auxiliary",
    }


def test_what_heat_comes_from_and_which_chart_goes_by_the_heater(table: Table) -> None:
    assert {name: burns(table, call) for name, call in table.calls.items() if burns(table, call)} == {
        "heat": "heater power"
    }
    assert [name for name, chart in table.charts.items() if by_heater(table, chart)] == ["least"]


@pytest.mark.parametrize(
    ("name", "units", "want"),
    [
        ("airflow", Units(), "cfm"),
        ("airflow", Units(airflow="L/s"), "L/s"),
        ("airflow per ton", Units(), "cfm per ton"),
        ("temperature rise", Units(temperature="C"), "C"),
        ("heat input", Units(heat="MBH"), "MBH"),
        ("heater power", Units(), "kW"),
        ("nozzle rate", Units(), "gph"),
        ("tons", Units(), "tons"),
        ("watts", Units(), "W"),
        ("speed", Units(), "rpm"),
        ("static pressure", Units(pressure="Pa"), "Pa"),
        ("trim", Units(), ""),
        ("seconds", Units(), ""),
        ("label", Units(), ""),
        ("nobody", Units(), ""),
    ],
)
def test_the_unit_of_a_quantity(name: str, units: Units, want: str) -> None:
    assert unit_of_quantity(name, units) == want


def test_the_unit_of_a_rating_and_of_a_head(table: Table) -> None:
    ratings = ("efficiency", "temperature rise", "outlet limit", "heat input", "plate static", "heater voltage")
    assert [unit_of_rating(name, Units()) for name in ratings] == ["%", "F", "F", "Btu/h", "in. w.c.", "V"]
    rest = ("pump pressure", "heat per gallon", "nobody")
    assert [unit_of_rating(name, Units()) for name in rest] == ["psi", "Btu/gal", ""]
    heads = ("static pressure", "firing rate", "airflow", "kit", "grille", "nobody")
    assert [unit_of_head(name, table) for name in heads] == ["in. w.c.", "%", "cfm", "kW", "cfm", ""]


@pytest.mark.parametrize(
    ("text", "inline", "want"),
    [
        ("Air handler", False, "Air handler"),
        ("060", False, "060"),
        ("null", False, '"null"'),
        ("~", False, '"~"'),
        ("a: b", False, '"a: b"'),
        ("a:", False, '"a:"'),
        ("a:b", False, "a:b"),
        ("a #1", False, '"a #1"'),
        ("a#1", False, "a#1"),
        ("- a", False, '"- a"'),
        ("?", False, '"?"'),
        ("[a]", False, '"[a]"'),
        ("a, b", False, "a, b"),
        ("a, b", True, '"a, b"'),
        ("a:b", True, '"a:b"'),
        ('say "a": b', False, "\"say 'a': b\""),
        ("a\\b: c", False, '"a/b: c"'),
    ],
)
def test_a_text_in_quotes_where_it_would_be_read_as_something_else(text: str, inline: bool, want: str) -> None:
    assert quoted(text, inline=inline) == want
