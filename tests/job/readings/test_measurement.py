"""One measurement: what it gives by each method, its band, and every reason why it doesn't count."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.air.figure import Figure, given
from selector.job.file.model import Job, Reading
from selector.job.file.read import job_from_text
from selector.job.house.steady import ComingUp, coming_up
from selector.job.readings.measurement import Taken, rise_band, take
from selector.job.readings.reading_faults import ReadingState
from selector.job.remark import remark
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.library.library import load
from selector.table.model.table import Call, No
from selector.value import replace
from tests.helpers.recompute import mismatches

HEAD = "format: selector job 1\nmeasurements:\n"
AT_ONCE = ComingUp(delay_s=Fraction(0), steps=(), last_share=Fraction(100), full_s=Fraction(0))
GAS = Call(name="heating", stages=("second",), airflow=(), terminals={"second": ("W1", "W2")})
PUMP = Call(name="heat pump", stages=("",), airflow=(), terminals={"": ("Y1",)})


def reading(line: str, more: str = "") -> tuple[Reading, Job]:
    job, _ = job_from_text(f"{HEAD}- {line}\n{more}", "job.yaml")
    return job.measurements[0], job


def state(
    call: Call = GAS,
    stage: str = "second",
    heat: int = 0,
    efficiency: str = "",
    coming: ComingUp | No = AT_ONCE,
    clocked: bool = False,
    fuel: str | None = None,
) -> ReadingState:
    return ReadingState(
        call=call,
        stage=stage,
        coming=coming,
        heat=given("delivered_heat", heat, "Btu/h", source="typed") if heat else None,
        efficiency=given("efficiency", Fraction(efficiency), source="typed") if efficiency else None,
        clocked=clocked,
        fuel=fuel,
    )


def taken(line: str, where: ReadingState, more: str = "") -> Taken:
    got = take(*_order(line, where, more))
    assert isinstance(got, Taken), got
    for figure in (
        got.flow.airflow if got.flow else None,
        got.flow.band if got.flow else None,
        got.static,
        got.input,
        got.rise,
    ):
        assert figure is None or mismatches(figure) == ()
    return got


def _order(line: str, where: ReadingState, more: str) -> tuple[Reading, ReadingState, Job]:
    one, job = reading(line, more)
    return one, where, job


def codes(line: str, where: ReadingState, more: str = "") -> list[str]:
    got = take(*_order(line, where, more))
    assert not isinstance(got, Taken), got
    return [problem.code for problem in got]


def airflow(got: Taken) -> float:
    assert got.flow is not None
    return float(got.flow.airflow.value)


# -- methods


def test_rise_from_two_temperatures() -> None:
    # training text on the temperature-rise method: 100,000 Btu/h, supply 120 F, return 70 F: 1,852 cfm
    got = taken("{call: heating, minutes: 15, method: rise, return air: 70 F, supply air: 120 F}", state(heat=100_000))
    assert round(airflow(got)) == 1852
    assert got.flow is not None
    assert got.flow.basis == "standard"
    assert (got.flow.band.value, got.flow.plate_heat) == (Fraction(15, 100), True)
    clocked = taken(
        "{call: heating, minutes: 15, method: rise, return air: 70 F, supply air: 120 F}",
        state(heat=100_000, clocked=True),
    )
    assert clocked.flow is not None
    assert (clocked.flow.band.value, clocked.flow.plate_heat) == (Fraction(7, 100), False)


def test_rise_typed_in_celsius_is_a_difference() -> None:
    # a rise of 30 C is 54 F, no 32: 54,000 / (1.08 x 54) = 925.9 cfm
    got = taken("{call: heating, minutes: 15, method: rise, rise: 30 C}", state(heat=54_000))
    assert round(airflow(got), 1) == 925.9


def test_electric_one_and_three_phases() -> None:
    # training text: 235 V x 75 A, rise 36 F: 1,547 cfm; 17,625 W x 3.412142 / 38.88 = 1,546.8, x sqrt 3 = 2,679.1 on
    # three phases
    line = "{call: heating, minutes: 15, method: electric, volts: 235, amps: 75, rise: 36 F"
    one = taken(line + "}", state())
    assert round(airflow(one)) == 1547
    assert one.flow is not None
    assert one.flow.band.value == Fraction(4, 100)
    assert round(airflow(taken(line + ", phases: 3}", state()))) == 2679


def test_blower_heat_is_counted_where_its_watts_were_read_unless_the_job_says_otherwise() -> None:
    # 10 kW and 500 W of the blower: (10,000 + 500) / 1000 x 3412.1416 / (1.08 x 40) = 829.3 cfm; without them 789.8
    line = "{call: heating, minutes: 15, method: electric, volts: 200, amps: 50, rise: 40 F, watts: 500}"
    assert round(airflow(taken(line, state())), 1) == 829.3
    assert round(airflow(taken(line, state(), "heat: {blower heat: not counted}\n")), 1) == 789.8


def test_clocked_gas_is_an_input_and_with_a_rise_an_airflow() -> None:
    # 2 ft3 in 90 s at 1,037 Btu/ft3: 82,960 Btu/h (3600 x 2 / 90 x 1,037); x 80 % / (1.08 x 50) = 1,229.0 cfm
    line = "{call: heating, minutes: 15, method: clocked gas, volume: 2 ft3, time: 90 s, heat of gas: 1037 Btu/ft3"
    alone = taken(line + "}", state())
    assert alone.flow is None
    assert alone.input is not None
    assert alone.input.value == 82_960
    assert round(airflow(taken(line + ", rise: 50 F}", state(efficiency="0.8"))), 1) == 1229.0


def test_a_hood_reads_with_5_percent_and_a_flow_plate_with_7() -> None:
    for method, band in (("hood", 5), ("flow plate", 7)):
        got = taken(f"{{call: heating, minutes: 15, method: {method}, airflow: 500 L/s}}", state())
        # 500 L/s / 0.4719474432 = 1,059.4 cfm (NIST SP 811)
        assert round(airflow(got), 1) == 1059.4
        assert got.flow is not None
        assert got.flow.band.value == Fraction(band, 100)


def test_external_static_adds_the_two_readings_without_their_signs() -> None:
    got = taken(
        "{call: heating, minutes: 15, method: static, return static: -0.22 in. w.c., supply static: 0.31 in. w.c.}",
        state(),
    )
    assert got.static is not None
    assert got.static.value == Fraction("0.53")
    assert got.flow is None


def test_a_shown_airflow_is_no_measurement() -> None:
    got = taken("{call: heating, minutes: 15, method: shown, airflow: 1200 cfm}", state())
    assert got.flow is None
    assert got.asked is not None
    assert got.asked.value == 1200
    assert got.remarks[0] == remark("shown, not delivered")


@pytest.mark.parametrize(
    ("rise", "percent"),
    [
        # sqrt(5^2 + 2^2 + (100 x 2 / rise)^2): 6.7 at 50 F, so the usual 7 holds; 20 F: sqrt(25 + 4 + 100) = 11.358
        (50, 7.0),
        (80, 7.0),
        (20, 11.358),
    ],
)
def test_the_band_of_a_rise_grows_where_2_f_weigh_more(rise: int, percent: float) -> None:
    band = rise_band(given("rise", rise, "F", source="typed"))
    assert round(100 * float(band.value), 3) == percent
    assert mismatches(band) == ()


# -- what doesn't count

GOOD = "{call: heating, minutes: 15, method: rise, rise: 50 F"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("{call: heating, minutes: 1, method: rise, rise: 50 F}", "too-early"),
        ("{call: heating, method: rise, rise: 50 F}", "minutes-missing"),
        (GOOD + ", dehumidify: calling}", "other-stage"),
        (GOOD + ", filter: out}", "filter-out"),
        (GOOD + ", panels: off}", "panels-off"),
        (GOOD + ", zones: some closed}", "zones-closed"),
        (GOOD + ", compressor: on}", "compressor-on"),
        ("{call: heating, minutes: 15, method: rise, return air: 120 F, supply air: 70 F}", "rise-reversed"),
        (
            "{call: heating, minutes: 15, method: rise, rise: 50 F, return air: 70 F, supply air: 130 F}",
            "readings-contradict",
        ),
        ("{call: heating, minutes: 15, method: rise}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: electric, volts: 240, rise: 50 F}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: electric, volts: 240, amps: 50}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: hood}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: static}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: watts}", "reading-incomplete"),
        ("{call: heating, minutes: 15, method: clocked gas, volume: 2 ft3, time: 90 s}", "reading-incomplete"),
        (
            (
                "{call: heating, minutes: 15, method: clocked gas, volume: 2 ft3, time: 90 s, heat of gas: 1037"
                " Btu/ft3, rise: 50 F}"
            ),
            "reading-incomplete",
        ),
        (
            (
                "{call: heating, minutes: 9, method: static, static pressure: 0.8 in. w.c., return static: -0.2 in."
                " w.c., supply static: 0.3 in. w.c.}"
            ),
            "readings-contradict",
        ),
    ],
)
def test_a_reading_that_does_not_count_says_why_at_its_place(line: str, code: str) -> None:
    assert codes(line, state(heat=50_000)) == [code]
    one, job = reading(line)
    got = take(one, state(heat=50_000), job)
    assert isinstance(got, tuple)
    assert (got[0].file, got[0].line) == ("job.yaml", 3)
    assert got[0].column > 1
    assert got[0].source.startswith("- {call: heating")
    assert got[0].help


@pytest.mark.parametrize("line", ["volts: 208 V, amps: 36 A", "volts: 236 V", "amps: 36 A"])
def test_volts_and_amps_beside_a_rise_of_a_heater_are_not_passed_over(line: str) -> None:
    one, job = reading(f"{GOOD}, {line}}}")
    heater = replace(state(heat=34_121), fuel="")
    got = take(one, heater, job)
    assert isinstance(got, tuple)
    assert [p.code for p in got] == ["volts-unused"]
    assert got[0].help.startswith("type method: electric to use volts and amps")
    assert got[0].source[got[0].column - 1 :].startswith(line.partition(": ")[2].partition(",")[0])
    taken(
        f"{GOOD}, {line}}}".replace("method: rise", "method: electric").replace(line, "volts: 208 V, amps: 36 A"),
        heater,
    )


def test_a_place_points_at_the_figure_that_is_wrong() -> None:
    one, job = reading(GOOD + ", filter: out}")
    got = take(one, state(heat=50_000), job)
    assert isinstance(got, tuple)
    assert got[0].source[got[0].column - 1 :].startswith("out")


def test_every_reason_is_said_at_once() -> None:
    assert codes("{call: heating, minutes: 1, method: rise, rise: 50 F, filter: out, panels: off}", state(heat=1)) == [
        "too-early",
        "filter-out",
        "panels-off",
    ]


def test_the_heat_has_to_be_known_and_the_compressor_off() -> None:
    assert codes("{call: heating, minutes: 15, method: rise, rise: 50 F}", state()) == ["no-heat"]
    pump = state(PUMP, "", heat=30_000)
    assert codes("{call: heat pump, minutes: 15, method: rise, rise: 20 F}", pump) == ["compressor-on"]
    taken("{call: heat pump, minutes: 15, method: rise, rise: 20 F, compressor: off}", pump)


def test_zones_closed_count_where_the_job_has_zoning() -> None:
    taken(GOOD + ", zones: some closed}", state(heat=50_000), "zoning: {smallest zone: 400 cfm}\n")


def test_dehumidify_may_call_in_its_own_call() -> None:
    own = Call(name="dehumidify", stages=("",), airflow=(), terminals={"": ("Y1", "DH")})
    taken("{call: dehumidify, minutes: 15, method: hood, airflow: 900 cfm, dehumidify: calling}", state(own, ""))


# -- coming up


def ramp_of(marks: str, call: str, stage: str) -> ComingUp | No:
    table, _ = load("garrowby-r")
    answers = evaluate(Engine(table, Facts()), setting_of(read_marks([marks], table), table))
    return coming_up(answers[call], stage, table.ramps.values())


def test_the_ramp_and_delay_of_the_page_hold_a_reading_back() -> None:
    # Garrowby page 32 and the call's delay: second stage waits 8 s; D1 = 3: 90 s at 40 %, 180 s at 75 %, then full:
    # full after 8 + 90 + 180 = 278 s
    up = ramp_of("SW1=01000000 D1=3 J1=A J2=1", "cooling", "second")
    assert isinstance(up, ComingUp)
    assert up.full_s == 278
    assert [up.share_at(Fraction(s)) for s in (0, 7, 8, 97, 98, 277, 278, 900)] == [0, 0, 40, 40, 75, 75, 100, 100]
    assert mismatches(up.full()) == ()
    cooling = Call(name="cooling", stages=("second",), airflow=(), terminals={"second": ("Y1", "Y2")})
    where = state(cooling, "second", coming=up)
    line = "{{call: cooling, minutes: {}, method: hood, airflow: 1200 cfm}}"
    assert codes(line.format("200 s"), where) == ["during-the-ramp"]
    one, job = reading(line.format("200 s"))
    got = take(one, where, job)
    assert isinstance(got, tuple)
    assert "75 %" in got[0].message
    assert "278 s" in got[0].message
    assert "5 minutes" in got[0].help
    taken(line.format("278 s"), where)


def test_a_heat_method_waits_some_minutes_more() -> None:
    # heating waits 30 s (SW1-7,8 OFF OFF), comes up 45 s at 70 %: 75 s; what burns is steady after 10 minutes, electric
    # heat 5 after the last sequencer, cooling and heat pump 15 (common practice, no source)
    up = ramp_of("SW1=01000000 D1=1 J1=A J2=1", "heating", "high")
    where = state(coming=up, heat=48_600)
    line = "{{call: heating, minutes: {}, method: rise, rise: 45 F}}"
    assert codes(line.format("20 s"), where) == ["during-the-ramp"]
    assert codes(line.format("60 s"), where) == ["during-the-ramp"]
    assert codes(line.format("599 s"), where) == ["too-early"]
    taken(line.format("600 s"), where)
    electric = state(coming=up, heat=48_600, fuel="")
    assert codes(line.format("299 s"), electric) == ["too-early"]
    taken(line.format("300 s"), electric)


def test_an_early_reading_says_how_early_and_what_it_misleads_to() -> None:
    line = "{call: heating, minutes: 4, method: rise, rise: 45 F}"
    problems = take(*_order(line, state(heat=48_600), ""))
    assert not isinstance(problems, Taken)
    (problem,) = problems
    assert problem.message == (
        "taken 4 minutes after heating second began, 6 minutes early: the rise is still coming up and shows more"
        " airflow than there is"
    )


def test_a_supply_side_below_the_rooms_pressure_is_no_supply_side() -> None:
    # a return of -0.05 with a supply typed negative isn't 0.15
    line = "{call: heating, minutes: 15, method: static, return static: -0.05 in. w.c., supply static: -0.10 in. w.c.}"
    assert codes(line, state()) == ["static-signs"]


def test_an_unreadable_ramp_is_taken_as_the_slowest_and_an_unreadable_delay_is_not_known() -> None:
    # slowest of the page: 450 s at 82 %; cooling waits 8 s
    up = ramp_of("SW1=01000000 D1=? J1=A J2=1", "cooling", "second")
    assert isinstance(up, ComingUp)
    assert up.full_s == 458
    wait = ramp_of("SW1=010000?0 D1=1 J1=A J2=1", "heating", "high")
    assert isinstance(wait, No)
    assert codes("{call: heating, minutes: 15, method: rise, rise: 45 F}", state(coming=wait, heat=48_600)) == [
        "ramp-not-known"
    ]


def test_without_a_ramp_nothing_but_a_heat_method_needs_minutes() -> None:
    taken("{call: heating, method: hood, airflow: 900 cfm}", state())
    figure: Figure = AT_ONCE.full()
    assert figure.value == 0
