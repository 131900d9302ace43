"""What the page needs to judge a measurement: plates, roles and times of the table, and the rules and words of
verify."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from selector.air import measure
from selector.answers.danger import STAYS, WAITS
from selector.answers.remarks.danger_words import FIRST, HEAT, TAPPED, steps
from selector.answers.verify.row_words import CLOCKING, NEXT
from selector.answers.verify.steps import DO
from selector.answers.verify.verdict import AFTER_DANGER, LESS_STILL, OVER_PLATE, PAST_CHART, STANDS, STANDS_AT
from selector.job.danger.measured import METER_PERCENT
from selector.job.file.model import Job
from selector.job.house.heating import INPUT_OFF, HeatReader, fuel_of
from selector.job.house.plate import outlet_limit, plate_rise
from selector.job.house.steady import ramp_seconds
from selector.job.observed.danger_table import DANGERS
from selector.job.readings.decision_table import ROWS
from selector.job.readings.measurement import FACTOR_PERCENT, INPUT_PERCENT
from selector.job.readings.reading_faults import BURNER_STEADY_S, PROBES_F, SETTLE_S, STEADY_S
from selector.job.readings.readings_by_state import efficiency_of
from selector.job.readings.static import LOW_SHARE, footnote_ends, holds_up_to, plate_static, prints_static
from selector.job.targets.windows import HEATING, RETURN_F
from selector.job.verify.verdict import OVER, SLIGHT
from selector.judge.floors_and_ceilings import assumed_per_ton
from selector.pocket.export import number
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.table.model.edition import edition
from selector.table.model.roles import has_burner, roles
from selector.table.model.table import Call, CallValue, Table
from selector.units import convert, rise
from selector.value import replace

SPOKEN = (
    *("rise over", "rise under", "outlet over", "input over", "static over"),
    *("smaller heater", "smaller nozzle", "unread heater", "unread nozzle"),
)
METHODS = (measure.HOOD, measure.PLATE)
"""Ways to read an airflow that the page offers, beside the rise."""


def rules() -> dict[str, Any]:
    """The rules that are the same for every table."""
    return {
        "methods": {m.name: number(m.band_percent) for m in METHODS},
        "rise": [number(x) for x in (measure.RISE.band_percent, measure.PLATE_HEAT_PERCENT)],
        "parts": [number(x) for x in (PROBES_F, INPUT_PERCENT, FACTOR_PERCENT)],
        "slight": number(SLIGHT),
        "fired": number(INPUT_OFF),
        "fire": [number(1 - measure.PLATE_HEAT_PERCENT / 100), number(1 + INPUT_OFF)],
        "meter": number(METER_PERCENT),
        "lowStatic": number(LOW_SHARE),
        "settle": number(SETTLE_S),
        "rows": [
            {"is": r.delivered, "static": r.static, "blower": r.blower, "also": r.also, "then": r.then} for r in ROWS
        ],
        "next": NEXT,
        "clock": CLOCKING,
        "do": DO,
        "stands": STANDS,
        "standsAt": STANDS_AT,
        "lessStill": LESS_STILL,
        "over": OVER_PLATE,
        "afterDanger": AFTER_DANGER,
        "pastChart": PAST_CHART,
        "waits": WAITS,
        "stays": STAYS,
        "danger": {
            what: {
                "level": DANGERS[what].level,
                "stop": DANGERS[what].leaves != "all",
                "halts": DANGERS[what].leaves == "nothing",
                "over": what in OVER,
                "first": FIRST[what],
                "do": {fuel: steps(what, fuel) for fuel in ("", *HEAT)},
                "order": list(DANGERS).index(what),
            }
            for what in (*SPOKEN, *TAPPED)
        },
    }


def plates(table: Table, given: Facts, models: Sequence[str | None]) -> dict[str, Any]:
    """Roles, times and plates of one table, the plates for each model; figures in its own units, heat in Btu/h."""
    of, job, air = roles(table), Job(), table.units.airflow

    def per_ton(cfm: Fraction) -> Any:
        return number(convert(cfm, "cfm", air))

    def ends(call: Call) -> list[Any]:
        usual = assumed_per_ton(table, call, call.last, of[call.name])
        return [None if end is None else per_ton(end) for end in (usual.low, usual.high)]

    def steady(call: Call, stage: str) -> Fraction:
        terminals = call.terminals.get(stage, call.terminals.get("", ()))
        if any(t.upper().startswith("Y") for t in terminals):
            return STEADY_S["cooling"]
        return STEADY_S["electric"] if fuel_of(job, table, call) == "" else BURNER_STEADY_S

    taps = any(s.exclusive for s in table.selectors.values())
    whole = Engine(table, given)
    return {
        "edition": edition(table),
        "seen": [[what, words] for what, words in TAPPED.items() if _may_be_seen(table, what)],
        "pressure": table.units.pressure,
        "inch": number(convert(Fraction(1), "in. w.c.", table.units.pressure)),
        "degree": number(rise(Fraction(1), "F", table.units.temperature)),
        "cooler": number(convert(RETURN_F, "F", table.units.temperature)),
        "blower": "taps" if taps else "constant airflow" if table.unit.motor in ("", "constant airflow") else "other",
        "ramps": {r.name: number(ramp_seconds(r)) for r in table.ramps.values()},
        "calls": [
            {
                "role": of[c.name],
                "fuel": fuel_of(job, table, c),
                "warm": of[c.name] in HEATING,
                "steady": [number(steady(c, s)) for s in c.stages],
                "prints": not _follows(c) and prints_static(c, whole),
                "ends": [number(end) for end in footnote_ends(c, whole)],
                "perTon": ends(c),
            }
            for c in table.calls.values()
        ],
        "models": [_plate(table, replace(given, model=m), job) for m in models],
    }


FLUE = frozenset({"flue CO", "spillage", "roll-out", "flame", "soot"})


def _may_be_seen(table: Table, what: str) -> bool:
    """True for a danger that a unit of this table can have."""
    gives = {s.gives for s in table.selectors.values()} | {g for chart in table.charts.values() for g in chart.gives}
    if what in FLUE:
        return has_burner(table)
    if what == "oil":
        return "nozzle rate" in gives
    if what == "two speeds":
        return any(selector.exclusive for selector in table.selectors.values())
    if what in ("iced coil", "high head"):
        return any(call.compressor for call in table.calls.values())
    return what != "limit" or any(call.heats for call in table.calls.values())


def _follows(call: Call) -> bool:
    """True for a call that is worked out from another, which a static read in this one says nothing of."""
    return any(isinstance(atom, CallValue) for step in call.airflow for atom in step.by_stage.values())


def _plate(table: Table, facts: Facts, job: Job) -> dict[str, Any]:
    engine = Engine(table, facts)
    model, reader = engine.plate_model(), HeatReader(job, table, engine.facts)
    unit, pressure = table.units.temperature, table.units.pressure
    static = plate_static(job, engine)

    def stage_of(call: Call, stage: str) -> list[Any]:
        low, high = plate_rise(job, table, engine.facts, stage)
        outlet = outlet_limit(job, table, model, stage)
        put_in = reader.plate_input(call, stage) if call.heats or call.heat else None
        share = efficiency_of(engine, stage)
        return [
            None if low is None else number(rise(low.value, "F", unit)),
            None if high is None else number(rise(high.value, "F", unit)),
            None if outlet is None else number(convert(outlet.value, "F", unit)),
            None if put_in is None else number(put_in.value),
            None if share is None else number(share.value),
        ]

    return {
        "static": None if static is None else number(convert(static.value, "in. w.c.", pressure)),
        "holds": [
            None if (x := holds_up_to(c, engine)) is None else number(convert(x.value, "in. w.c.", pressure))
            for c in table.calls.values()
        ],
        "stages": [[stage_of(c, s) for s in c.stages] for c in table.calls.values()],
    }
