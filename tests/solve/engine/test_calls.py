"""What one board tells beside its airflow: calls at once, delays and ramps, told cells, the steps; each by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.evaluate import Board, beyond, evaluate, told
from selector.solve.engine.together import energised, known_terminals, rule_of
from selector.solve.search.declared import differences
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.table import ABSENT, CellWord, No
from selector.table.source import source_from_text


def engine_of(text: str, **facts: str) -> Engine:
    table = build_table(source_from_text("format: selector table 1\n" + text), "page")[0]
    return Engine(table, read_facts([(name.replace("_", " "), value) for name, value in facts.items()], table))


TOGETHER = """\
unit: {title: Together}
board:
  LK1: {kind: link, positions: in out, factory: in}
charts:
  low: {gives: airflow, rows: 600}
  high: {gives: airflow, rows: 1000}
  drying: {set: LK1, gives: airflow, rows: in 500; out none}
calls:
  cooling: {terminals: {first: Y1, second: Y1 Y2}, stages: first second, airflow: {use: {first: low, second: high}}}
  fan: {terminals: G, airflow: {airflow: 700}, together: {cooling: highest}}
  heater: {terminals: W, airflow: {airflow: 900}, together: {cooling: this}}
  dry: {terminals: DH, airflow: drying, together: {heater: that}}
  humid: {terminals: H, airflow: {airflow: 400}}
"""


@pytest.mark.parametrize(
    ("on", "link", "stages", "airflow"),
    [
        ("Y1", 0, ["cooling first"], 600),
        ("y1 y2", 0, ["cooling second"], 1000),  # the first is wholly inside the second
        ("Y2", 0, [], "does_not_run"),
        ("", 0, [], "does_not_run"),
        ("G", 0, ["fan"], 700),
        ("Y1 G", 0, ["cooling first", "fan"], 700),  # the highest
        ("Y1 Y2 G", 0, ["cooling second", "fan"], 1000),
        ("Y1 W", 0, ["cooling first", "heater"], 900),  # this: the heater's
        ("Y1 Y2 W", 0, ["cooling second", "heater"], 900),
        ("DH W", 0, ["heater", "dry"], 900),  # that: the heater's too
        ("DH G", 0, ["fan", "dry"], "not_known"),  # the page doesn't say
        ("DH W", 1, ["heater"], 900),  # dry does not run
        ("DH", 1, [], "does_not_run"),
        ("Y1 W G", 0, ["cooling first", "fan", "heater"], "not_known"),
    ],
)
def test_calls_at_once(on: str, link: int, stages: list[str], airflow: int | str) -> None:
    engine = engine_of(TOGETHER)
    found = energised(engine.table, evaluate(engine, (link,)), on.split())
    assert [one.title for one in found.stages] == stages
    assert (found.airflow.kind if isinstance(found.airflow, No) else found.airflow) == airflow


def test_the_rule_of_two_calls_is_read_from_either_side() -> None:
    table = engine_of(TOGETHER).table
    assert rule_of(table, "heater", "cooling") == "this"
    assert rule_of(table, "cooling", "heater") == "that"
    assert rule_of(table, "dry", "heater") == "that"
    assert rule_of(table, "heater", "dry") == "this"
    assert rule_of(table, "fan", "cooling") == rule_of(table, "cooling", "fan") == "highest"
    assert rule_of(table, "fan", "fan") == "highest"
    assert rule_of(table, "fan", "humid") is None
    assert known_terminals(table) == ("Y1", "Y2", "G", "W", "DH", "H")


TOLD = """\
unit: {title: Told}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: A B C, factory: A}
  J2: {kind: jumper, positions: 1 2, factory: 1}
ramps: {slow: 30 s at 50 %, quick: 10 s at 80 %}
charts:
  air: {page: 4, set: J1, gives: [airflow, watts], rows: A 900 300; B 1000 340; C 1100 -}
  more: {page: 5, set: J2, gives: trim, rows: 1 none; 2 +10 %}
  run-on: {set: J1, gives: seconds, rows: A 30 s; B none; C 60 or 90 s}
  rising: {set: J1, gives: ramp, rows: A slow; B quick; C none}
  lock-out: {set: J2, gives: label, rows: 1 40 F; 2 none}
calls:
  cooling: {terminals: Y1, airflow: [air, more], ramp: rising, on delay: 5 s, off delay: run-on}
  fan: {terminals: G, airflow: [call cooling, share: 50 %], ramp: slow}
"""


@pytest.mark.parametrize(
    ("at", "ramp", "off"),
    [(0, "slow", 30), (1, "quick", 0), (2, None, "unreadable"), (None, "unreadable", "unreadable")],
)
def test_delays_and_ramps(at: int | None, ramp: str | None, off: int | str) -> None:
    engine = engine_of(TOLD)
    cooling = evaluate(engine, (at, 0), {0})["cooling"]
    assert cooling.on_delay == {"": Fraction(5)}
    found = cooling.off_delay[""]
    assert (found.kind if isinstance(found, No) else found) == off
    rises = cooling.ramp.get("")
    assert (rises.kind if isinstance(rises, No) else None if rises is None else rises.name) == ramp
    fan = evaluate(engine, (0, 0))["fan"].ramp[""]
    assert not isinstance(fan, No)
    assert fan.name == "slow"


@pytest.mark.parametrize(
    ("setting", "want"),
    [
        ((0, 0), {("lock-out", "label"): "40 F", ("air", "watts"): Fraction(300)}),
        ((1, 1), {("lock-out", "label"): CellWord.NONE}),  # the trim changes the airflow that the watts go with
        ((2, 0), {("lock-out", "label"): "40 F", ("air", "watts"): CellWord.BLANK}),
        ((ABSENT, 0), {("lock-out", "label"): "40 F"}),
    ],
)
def test_what_is_told_beside_the_calls(setting: tuple[int, ...], want: dict[tuple[str, str], object]) -> None:
    found = told(Board(engine_of(TOLD), setting))
    assert {(one.chart, one.quantity): one.cell for one in found} == want
    assert {one.call for one in found if one.chart == "air"} <= {"cooling"}


def test_the_steps_that_led_to_an_airflow() -> None:
    board = Board(engine_of(TOLD), (1, 1))
    assert board.airflow(Point("cooling", "")) == 1100
    assert board.airflow(Point("fan", "")) == 550  # half of it
    steps = {call: board.trail(("airflow", call, "", "")) for call in ("cooling", "fan")}
    assert [f"{one.word} {one.value} {one.result} page {one.page}" for one in steps["cooling"]] == [
        "airflow 1000 1000 page 4",
        "trim 10 1100 page 5",
    ]
    assert [f"{one.word} {one.value} {one.result}" for one in steps["fan"]] == ["call 1100 1100", "share 50 550"]
    assert board.trail(("airflow", "nobody", "", "")) == ()


HELD = """\
unit: {title: Holds, holds up to: 0.8}
units: {airflow: cfm, pressure: in. w.c.}
ratings: {plate static: 0.5}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: J1, gives: airflow, holds up to: 0.7, rows: A 900; B 1000}
calls:
  cooling: {terminals: Y1, airflow: air}
"""


@pytest.mark.parametrize(
    ("static", "said"), [(None, 0), ("0.5", 0), ("0.51", 1), ("0.7", 1), ("0.71", 2), ("0.8", 2), ("0.81", 3)]
)
def test_a_static_pressure_beyond_what_is_held_to(static: str | None, said: int) -> None:
    """Each end is still inside."""
    engine = engine_of(HELD, **({} if static is None else {"static_pressure": static}))
    assert len(beyond(engine)) == said


DECLARED = """\
unit: {title: Declared, models: S T}
facts:
  heater: {values: 5 10}
board:
  J1: {kind: jumper, positions: A B, factory: A, declares: heater, says: {A: 5, B: 10}}
  J2: {kind: jumper, positions: S T, factory: S, declares: model}
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  size: {set: D1, gives: tons, rows: 1 2; 2 2.5; 3 3}
  per: {gives: airflow per ton, rows: 400}
calls:
  cooling: {terminals: Y1, airflow: [size, per]}
"""


@pytest.mark.parametrize(
    ("setting", "facts", "said"),
    [
        ((0, 0, 0), {}, []),
        ((0, 0, 0), {"heater": "5", "model": "S"}, []),
        ((1, 1, 0), {"heater": "5", "model": "S"}, [("J1", "10", "5", True), ("J2", "T", "S", True)]),
        ((ABSENT, 0, 0), {"heater": "5"}, [("J1", "off pins", "5", True)]),
        ((None, None, None), {"heater": "5", "model": "S", "outdoor tons": "2"}, []),
        ((0, 0, 1), {"outdoor tons": "2"}, [("D1", "2.5", "2", False)]),
        ((0, 0, 0), {"outdoor tons": "2"}, []),
        ((0, 0, 0), {"outdoor tons": "2.2"}, []),  # under a quarter of a ton off is that size
        ((0, 0, 0), {"outdoor tons": "2.25"}, [("D1", "2", "2.25", False)]),
    ],
)
def test_what_the_board_is_told_against_what_is_known(
    setting: tuple[int | None, ...], facts: dict[str, str], said: list[tuple[str, str, str, bool]]
) -> None:
    engine = engine_of(DECLARED, **{name.replace(" ", "_"): value for name, value in facts.items()})
    found = differences(engine, setting)
    assert [(one.selector, one.board, one.known, one.declares) for one in found] == said
