"""Delivered heat and every kind of limit on pages of a few rows: each figure by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.solve.board.facts import Facts, same_value
from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.evaluate import Board
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.range import ANYWHERE, Range
from selector.table.model.table import No, Table
from selector.table.source import source_from_text


def table_of(text: str) -> Table:
    return build_table(source_from_text("format: selector table 1\n" + text), "page")[0]


def board_of(text: str, setting: str, **facts: str) -> Board:
    """The board of a page in a setting (`011`: position by position), under facts as typed."""
    table = table_of(text)
    told = read_facts([(name.replace("_", " "), value) for name, value in facts.items()], table)
    return Board(Engine(table, told), tuple(int(at) for at in setting))


def heat(board: Board, call: str, stage: str = "", rate: str = "") -> Fraction | str | None:
    found = board.heat(Point(call, stage, rate))
    return found.kind if isinstance(found, No) else found


FURNACE = """\
unit: {title: Furnace, models: 060 080}
units: {airflow: cfm, heat: Btu/h, temperature: F}
ratings:
  heat input: {060: 60000, 080: {first: 52000, second: 80000}}
  efficiency: 95 %
  temperature rise: 35 to 65
board:
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  air: {set: SW1-1, gives: airflow, rows: OFF 1000; ON 800}
calls:
  heating: {terminals: {first: W1, second: W1 W2}, stages: first second, capacity: {first: 65 %}, airflow: air}
  fan: {terminals: G, airflow: air}
"""


@pytest.mark.parametrize(
    ("facts", "stage", "want"),
    [
        ({"model": "060"}, "second", 57000),  # 60,000 x 0.95
        ({"model": "060"}, "first", 37050),  # 60,000 x 0.95 x 0.65
        ({"model": "080"}, "second", 76000),  # 80,000 x 0.95
        ({"model": "080"}, "first", 49400),  # 52,000 x 0.95: printed for the stage, its capacity isn't counted again
        ({}, "second", "not_known"),
    ],
)
def test_heat_by_the_plate(facts: dict[str, str], stage: str, want: int | str) -> None:
    assert heat(board_of(FURNACE, "0", **facts), "heating", stage) == want
    assert heat(board_of(FURNACE, "0", **facts), "fan") is None


def test_output_on_the_plate_counts_before_input_and_efficiency() -> None:
    text = FURNACE.replace("  efficiency:", "  heat output: {060: 56000}\n  efficiency:")
    assert heat(board_of(text, "0", model="060"), "heating", "second") == 56000
    assert heat(board_of(text, "0", model="080"), "heating", "second") == 76000


def test_a_plate_without_efficiency_tells_no_heat() -> None:
    text = FURNACE.replace("  efficiency: 95 %\n", "")
    assert heat(board_of(text, "0", model="060"), "heating", "second") == "not_known"


OIL = """\
unit: {title: Oil furnace}
units: {airflow: cfm, heat: Btu/h, temperature: F}
ratings: {efficiency: 80 %, heat per gallon: 140000 PRESSURES}
board:
  D1: {kind: dial, positions: 1 2, factory: 1}
charts:
  air: {set: D1, gives: airflow, rows: 1 900; 2 1000}
  nozzle: {set: D1, gives: nozzle rate, rows: 1 0.5; 2 0.75}
calls:
  heating: {terminals: W, airflow: air, heat: nozzle}
"""


@pytest.mark.parametrize(
    ("pressures", "want"),
    [
        ("", 84000),  # 0.75 x 140,000 x 0.8
        (", pump pressure: 144 psi", 100800),  # marked for 100 psi (oil-heat practice): x 12 / 10
        (", pump pressure: 144 psi, nozzle pressure: 144 psi", 84000),
        (", nozzle pressure: 144 psi", 84000),
    ],
)
def test_heat_by_the_nozzle(pressures: str, want: int) -> None:
    assert heat(board_of(OIL.replace(" PRESSURES", pressures), "1"), "heating") == want


ELECTRIC = """\
unit: {title: Air handler}
units: {airflow: cfm, heat: kW, temperature: F}
ratings: {heater voltage: 240 V, temperature rise: 10 to 40, outlet limit: 130}
board:
  J1: {kind: jumper, positions: 5 10, factory: 5, gives: heater power}
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  air: {set: SW1-1, gives: airflow, rows: OFF 900; ON 700}
calls:
  heater: {terminals: {low: W1, high: W1 W2}, stages: low high, capacity: {low: 50 %}, airflow: air, heat: J1}
"""
BTUH = 3_600_000 / Fraction("1055.05585262")
"""For each kW, by the joules of the international table Btu (NIST SP 811, from memory)."""


@pytest.mark.parametrize(
    ("setting", "stage", "facts", "want"),
    [
        ("10", "high", {}, 10 * BTUH),
        ("00", "high", {}, 5 * BTUH),
        ("10", "low", {}, 5 * BTUH),  # half the capacity
        ("10", "high", {"supply_voltage": "208"}, 10 * BTUH * Fraction(208, 240) ** 2),
        ("10", "high", {"supply_voltage": "240"}, 10 * BTUH),
    ],
)
def test_heat_of_a_heater(setting: str, stage: str, facts: dict[str, str], want: Fraction) -> None:
    assert heat(board_of(ELECTRIC, setting, **facts), "heater", stage) == want


MODULATING = """\
unit: {title: Modulating furnace}
units: {airflow: cfm, heat: Btu/h, temperature: F}
ratings: {heat output: 60000, temperature rise: 30 to 60}
board:
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  air:
    set: SW1-1
    across: {firing rate: 40 100}
    gives: airflow
    rows: |
      OFF 500 1100
      ON  300 1200
calls:
  heating: {terminals: W, airflow: [air, at least: FLOOR]}
"""


def test_heat_and_airflow_follow_the_firing_rate() -> None:
    """By hand: at 70 % halfway between 500 and 1,100 is 800; 60,000 x 0.7 = 42,000."""
    board = board_of(MODULATING.replace("FLOOR", "400"), "0", firing_rate="70")
    point = Point("heating", "", "70")
    assert board.airflow(point) == 800
    assert heat(board, "heating", "", "70") == 42000
    assert [p.rate for p in board.engine.points(board.engine.table.calls["heating"], "")] == ["40", "100", "70"]
    assert board.engine.asked(board.engine.table.calls["heating"], "") == point


@pytest.mark.parametrize(
    ("floor", "setting", "want"),
    [
        ("600", "0", ["50"]),  # 500 + 10 for each point over 40: 600 at 50
        ("600", "1", ["60"]),  # 300 + 15: 600 at 60
        ("500", "0", []),  # it ends where the printed rate is
        ("400", "0", []),
        ("1100", "0", []),
        ("600, at most: 900", "0", ["50", "80"]),
        ("600, at most: 600", "0", ["50"]),
        ("600, at least: 800", "0", ["50", "70"]),  # the first bound no longer shows, the second does
    ],
)
def test_where_a_bound_begins_to_act_between_firing_rates(floor: str, setting: str, want: list[str]) -> None:
    board = board_of(MODULATING.replace("FLOOR", floor), setting)
    call = board.engine.table.calls["heating"]
    found = [Fraction(p.rate) for p in board.bends(call, "")]
    assert found == sorted(set(found) - {40, 100})
    assert {Fraction(rate) for rate in want} <= set(found)  # a rate more that is judged does no harm
    assert bool(found) is bool(want)


def test_a_call_without_firing_rates_has_no_bend() -> None:
    board = board_of(ELECTRIC.replace("airflow: air,", "airflow: [air, at least: 800],"), "00")
    assert board.bends(board.engine.table.calls["heater"], "low") == ()


# -- limits


def oks(board: Board, call: str, stage: str = "") -> dict[str, bool | None]:
    return {j.limit.quantity: j.ok for j in board.judged(Point(call, stage))}


@pytest.mark.parametrize(
    ("setting", "rise", "return_air", "want"),
    [
        # 10 kW: 34,121.4 / (1.08 x 900) = 35.1 F; / (1.08 x 700) = 45.1 F, over 40
        ("10", "35.1", "70", {"temperature rise": True, "outlet limit": True}),
        ("11", "45.1", "70", {"temperature rise": False, "outlet limit": True}),
        ("10", "35.1", "96", {"temperature rise": True, "outlet limit": False}),  # 131.1 F over 130
        ("10", "35.1", "94", {"temperature rise": True, "outlet limit": True}),  # 129.1 F
        ("10", "35.1", None, {"temperature rise": True, "outlet limit": None}),
        ("01", "22.6", "70", {"temperature rise": True, "outlet limit": True}),
    ],
)
def test_rise_and_supply_air(setting: str, rise: str, return_air: str | None, want: dict[str, bool | None]) -> None:
    facts = {} if return_air is None else {"return_air": return_air}
    board = board_of(ELECTRIC, setting, **facts)
    assert oks(board, "heater", "high") == want
    judged = {j.limit.quantity: j for j in board.judged(Point("heater", "high"))}
    value = judged["temperature rise"].value
    assert value is not None
    assert f"{float(value):.1f}" == rise
    assert judged["outlet limit"].needs == ("return air" if return_air is None else "")


COOLER = """\
unit: {title: Air handler, holds up to: 0.8}
units: {airflow: cfm, pressure: in. w.c.}
ratings: {plate static: 0.5}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  air: {set: D1, gives: airflow, rows: 1 400; 2 800; 3 1200}
  least: {set: SW1-1, gives: least airflow, rows: OFF none; ON 600}
  most: {set: SW1-1, gives: most airflow, rows: OFF 1000; ON none}
calls:
  cooling:
    terminals: {low: Y1, high: Y1 Y2}
    stages: low high
    capacity: {low: 50 %}
    airflow: air
    window: {airflow per ton: 350 to 450, airflow: {high: 400 to 900}}
"""


@pytest.mark.parametrize(
    ("setting", "stage", "tons", "static", "want"),
    [
        # 800 cfm of 2 tons at full capacity: 400; at half of it 800
        ("10", "high", "2", None, [True, True, True, True]),
        ("10", "low", "2", None, [False, True, True]),
        ("10", "low", "4", None, [True, True, True]),
        ("10", "high", None, None, [None, True, True, True]),
        ("00", "high", "1", None, [True, True, True, True]),  # 400 is the window's own end
        ("01", "high", "1", None, [True, True, False, True]),  # under 600
        ("20", "high", "3", None, [True, False, True, False]),  # over 900, over 1,000
        ("21", "high", "3", None, [True, False, True, True]),  # `none` is no bound
        ("10", "high", "2", "0.5", [True, True, True, True, True, True]),
        ("10", "high", "2", "0.6", [True, True, True, True, False, True]),
        ("10", "high", "2", "0.9", [True, True, True, True, False, False]),
    ],
)
def test_windows_bounds_and_static(
    setting: str, stage: str, tons: str | None, static: str | None, want: list[bool | None]
) -> None:
    """In order: per ton, (the airflow of the high stage,) least, most, plate static, what the page holds to."""
    facts = {k: v for k, v in (("outdoor_tons", tons), ("static_pressure", static)) if v is not None}
    assert [j.ok for j in board_of(COOLER, setting, **facts).judged(Point("cooling", stage))] == want


def test_what_would_settle_a_limit_that_isn_t_judged() -> None:
    judged = board_of(COOLER, "10").judged(Point("cooling", "high"))
    assert [(j.limit.quantity, j.needs) for j in judged if j.ok is None] == [("airflow per ton", "outdoor tons")]
    untold = board_of(COOLER.replace("    capacity: {low: 50 %}\n", ""), "10", outdoor_tons="2")
    low = untold.judged(Point("cooling", "low"))
    assert [(j.limit.quantity, j.needs) for j in low if j.ok is None] == [("airflow per ton", "stages")]


def test_a_model_that_isn_t_given_leaves_the_plate_s_rise_unjudged() -> None:
    text = FURNACE.replace("temperature rise: 35 to 65", "temperature rise: {060: 35 to 65}")
    for facts, needs, missing in (
        ({}, "model", "model is not given"),
        ({"model": "080"}, "", "the plate's temperature rise for 080 is not printed"),
    ):
        (judged,) = board_of(text, "0", **facts).judged(Point("heating", "second"))
        assert (judged.ok, judged.needs, judged.why) == (None, needs, missing)


# -- ranges


@pytest.mark.parametrize(
    ("low", "high", "value", "side", "beyond", "deviation"),
    [
        (350, 450, 349, "below", -1, Fraction(1, 350)),
        (350, 450, 350, "inside", 0, 0),
        (350, 450, 450, "inside", 0, 0),
        (350, 450, 451, "above", 1, Fraction(1, 450)),
        (None, 450, 0, "inside", 0, 0),
        (None, 450, 500, "above", 50, Fraction(50, 450)),
        (350, None, 10_000, "inside", 0, 0),
        (350, None, 300, "below", -50, Fraction(50, 350)),
        (None, None, 0, "inside", 0, 0),
        (0, 0, 3, "above", 3, 3),  # an end of 0: the distance itself
        (0, None, -3, "below", -3, 3),
        (500, 400, 450, "below", -50, Fraction(50, 500)),  # empty: below while under the lower end
        (500, 400, 600, "above", 200, Fraction(200, 400)),
    ],
)
def test_a_range(
    low: int | None, high: int | None, value: int, side: str, beyond: int, deviation: Fraction | int
) -> None:
    ends = [None if end is None else Fraction(end) for end in (low, high)]
    one = Range(*ends)
    assert one.side(Fraction(value)) == side
    assert one.beyond(Fraction(value)) == beyond
    assert one.deviation(Fraction(value)) == deviation
    judged = JudgedLimit(limit=Limit("airflow", one, "x"), ok=None, value=Fraction(value), range=one)
    assert (judged.beyond, judged.miss, judged.low, judged.high) == (beyond, deviation, *ends)


def test_ranges_open_empty_and_shared() -> None:
    def ends(low: int | None, high: int | None) -> Range:
        return Range(None if low is None else Fraction(low), None if high is None else Fraction(high))

    assert ANYWHERE.open
    assert not ends(1, None).open
    assert not ends(None, 1).open
    assert ends(2, 1).empty
    assert not ends(1, 1).empty
    assert not ends(1, None).empty
    assert not ends(None, 1).empty
    assert ends(1, 5).within(ends(3, 9)) == ends(3, 5)
    assert ends(None, 5).within(ends(3, None)) == ends(3, 5)
    assert ends(1, 2).within(ends(3, 4)).empty
    assert ANYWHERE.within(ANYWHERE) == ANYWHERE
    nothing = JudgedLimit(limit=Limit("airflow", ends(1, 2), "x"), ok=None, range=ends(1, 2))
    assert nothing.beyond == 0
    assert nothing.miss == 0


@pytest.mark.parametrize(
    ("word", "value", "want"),
    [
        ("080", "080", True),
        ("S100", "s100", True),
        ("080", "80", False),  # leading zeros belong to a name
        ("80", "080", False),
        ("5", "5.0", True),
        ("5 kW", "5", True),
        ("5", "6", False),
        ("none", "5", False),
        ("5", Fraction(5), True),
        ("5 tons", Fraction(5), True),
        ("2.5", Fraction(5, 2), True),
        ("5", Fraction(6), False),
        ("", Fraction(6), False),
        ("none", Fraction(6), False),
        ("1/0", Fraction(6), False),
    ],
)
def test_when_a_printed_word_is_the_value_that_is_known(word: str, value: Fraction | str, want: bool) -> None:
    assert same_value(word, value) is want


def test_tons_of_a_stage_s_share() -> None:
    """800 cfm at half of 2 tons is 800 a ton; without the tons, or the share, nothing is known."""
    engine = Engine(table_of(COOLER), Facts(values={"outdoor tons": Fraction(2)}))
    call = engine.table.calls["cooling"]
    assert engine.per_ton(call, "low", Fraction(800)) == 800
    assert engine.per_ton(call, "high", Fraction(800)) == 400
    assert engine.per_ton(call, "high", None) is None
    assert Engine(engine.table, Facts()).per_ton(call, "high", Fraction(800)) is None


@pytest.mark.parametrize(("heat", "airflow"), [(0, 900), (-1, 900), (54000, 0), (54000, -1)])
def test_no_rise_without_heat_or_air(heat: int, airflow: int) -> None:
    engine = Engine(table_of(COOLER), Facts())
    assert engine.rise(Fraction(heat), Fraction(airflow)) is None
    assert engine.rise(Fraction(54000), Fraction(1000)) == 50  # 54,000 / (1.08 x 1,000)
    assert engine.rise(No(kind="not_known", why=""), Fraction(900)) is None
    assert engine.rise(None, Fraction(900)) is None
