"""What one line of a page says of many settings: percent for each 1,000 ft, so much for each number of a dial, seconds
of a menu, heaters each rated at their own volts, plugs by model; worked by hand from the page below."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.formula import formula
from selector.table.model.in_units import METRIC, in_units
from selector.table.model.table import No, Ramp, RampStep, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36}
ratings: {heater voltage: {J1: 240 V, J2: 230 V}}
board:
  D1: {kind: dial, positions: 0 to 5, factory: 0}
  N1: {kind: menu, positions: 0 to 60 step 20, factory: 20, gives: seconds}
  N2: {kind: menu, positions: 0 to 60 step 30, factory: 0, gives: seconds}
  N3: {kind: menu, positions: -100 to 100 step 50, factory: 0, gives: offset}
  J1: {kind: jumper, positions: none 5 10, factory: none, gives: heater power, declares: heater}
  J2: {kind: jumper, positions: none 3, factory: none, gives: heater power, declares: second heater}
  P1: {kind: plug, positions: {24: A B, 36: B C}, factory: {24: A, 36: C}}
charts:
  base:
    set: P1
    gives: airflow, airflow in L/s
    rows: |
      A  800 378
      B 1000 472
      C 1200 566
ramps:
  soft: climbs from 30 to 100 % in N1, after N2 at 50 %
calls:
  cooling:
    terminals: Y1
    airflow: [base, {offset: +25 per D1}, {trim: +4 % per 1000 ft above 2000 ft up to 8000 ft}, N3]
    ramp: soft
  fan: {terminals: G, airflow: [call cooling, {reduction: 1 % per 300 m}], ramp: soft}
  strips: {terminals: W, airflow: [airflow: 1000], heat: [J1, plus: J2]}
"""
MARKS = ("D1=4", "N1=40", "N2=30", "N3=0", "J1=10", "J2=3", "P1=B")


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def answers(*marks: str, **facts: str) -> dict[str, CallAnswer]:
    table = table_of()
    known = read_facts([(k.replace("_", " "), v) for k, v in {"model": "36", **facts}.items()], table)
    changed = {m.partition("=")[0] for m in marks}
    every = [m for m in MARKS if m.partition("=")[0] not in changed] + list(marks)
    return evaluate(Engine(table, known), setting_of(read_marks(every, table), table))


def airflow(call: str, *marks: str, **facts: str) -> Fraction | No:
    return answers(*marks, **facts)[call].stage("").airflow


def test_percent_for_each_1000_ft_above_a_height() -> None:
    """1,000 + 4 x 25 = 1,100; at 5,000 ft 3 x 4 % = 12 % more, 1,232; nothing below 2,000 ft; no figure over 8,000."""
    assert airflow("cooling", altitude="5000") == 1232
    assert airflow("cooling", altitude="1,524 m") == 1232
    assert airflow("cooling", altitude="0") == 1100
    assert airflow("cooling", altitude="2,000 ft") == 1100
    assert airflow("cooling", altitude="8000") == 1100 * Fraction(124, 100)
    above = airflow("cooling", altitude="8001")
    assert isinstance(above, No)
    assert above.kind == "outside_chart"
    unknown = airflow("cooling")
    assert isinstance(unknown, No)
    assert (unknown.kind, unknown.needs) == ("not_known", "altitude")


def test_percent_for_each_300_m() -> None:
    """5,000 ft are 1,524 m, 5.08 times 300 m: 5.08 % off."""
    assert airflow("fan", altitude="5000") == 1232 * (1 - Fraction("0.0508"))


def test_so_much_for_each_number_of_a_dial() -> None:
    assert [airflow("cooling", f"D1={n}", altitude="0") for n in range(6)] == [1000, 1025, 1050, 1075, 1100, 1125]


def test_a_menu_that_prints_no_plus() -> None:
    """-100 to 100: the positive ones carry no sign on the page."""
    assert [airflow("cooling", f"N3={n}", altitude="0") for n in ("-50", "0", "100")] == [1050, 1100, 1200]


def test_seconds_of_a_menu() -> None:
    """N1 at 40: 40 s from 30 to 100 %; N2 at 30: 30 s at half once the call has ended; 0: that part falls away."""
    ramp = answers(altitude="0")["cooling"].ramp[""]
    assert isinstance(ramp, Ramp)
    assert ramp.steps == (
        RampStep(seconds=Fraction(40), share=Fraction(100), start=Fraction(30)),
        RampStep(seconds=Fraction(0), share=Fraction(100)),
        RampStep(seconds=Fraction(30), share=Fraction(50), after=True),
    )
    at_once = answers("N1=0", "N2=0", altitude="0")["cooling"].ramp[""]
    assert isinstance(at_once, Ramp)
    assert at_once.steps == (RampStep(seconds=Fraction(0), share=Fraction(100)),)


def test_heaters_each_at_their_own_volts() -> None:
    """At 208 V: 10 kW x (208/240)^2 + 3 kW x (208/230)^2; a kWh is 3.6 MJ, an international table Btu 1,055.05585262 J
    (ISO 80000-5)."""
    per_kw = 3_600_000 / Fraction("1055.05585262")
    at_208 = answers(altitude="0", supply_voltage="208")["strips"].stage("").heat
    assert at_208 == (10 * Fraction(208, 240) ** 2 + 3 * Fraction(208, 230) ** 2) * per_kw
    assert answers(altitude="0")["strips"].stage("").heat == 13 * per_kw


def test_a_plug_of_the_other_model_is_never_proposed() -> None:
    table = table_of()
    facts = Facts(model="24", values={"altitude": Fraction(0), "heater": "none", "second heater": "none"})
    wanted = Target(call="cooling", stage="", quantity="airflow", low=Fraction(1350), high=Fraction(1350))
    found = find(Engine(table, facts), Request(targets=(wanted,)))
    plug = next(p.index for p in table.parts if p.name == "P1")
    assert found.found
    assert {table.parts[plug].word(one.setting[plug]) for one in found.found} == {"B"}


def test_the_formula_is_told_as_it_is_typed() -> None:
    table = table_of()
    assert formula(table, table.calls["cooling"], "") == (
        "base, then + 25 per D1, then x (1 + 4 % per 1000 ft above 2000 ft up to 8000 ft), then + N3"
    )
    assert [c.name for c in table.printed_charts] == ["base"]
    assert table.typed_ramps(lambda r: r.name) == {"soft": "climbs from 30 to 100 % in N1, after N2 at 50 %"}


def test_the_same_in_other_units() -> None:
    table = in_units(table_of(), METRIC)
    known = read_facts([("model", "36"), ("altitude", "5000")], table)
    setting = setting_of(read_marks(list(MARKS), table), table)
    found = evaluate(Engine(table, known), setting)["cooling"].stage("").airflow
    assert isinstance(found, Fraction)
    assert abs(found - 1232 * Fraction("0.4719474432")) < Fraction(1, 10**6)  # L/s in a cfm: 0.3048^3 / 60 x 1000


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("{offset: 25 per D1}", "unsigned-offset"),
        ("{offset: +25 per P1}", "wrong-quantity"),
        ("{offset: +25 per D9}", "unknown-name"),
        ("{trim: +4 % per 0 ft}", "bad-figure"),
    ],
)
def test_what_can_not_be_meant(typed: str, code: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("{offset: +25 per D1}", typed))
    assert [p.code for p in refused.value.problems] == [code]


def test_a_ramp_needs_seconds() -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("100 % in N1", "100 % in D1"))
    assert [p.message for p in refused.value.problems] == ["`D1` gives no seconds"]
