"""What speaks beside a measured airflow: the rise against the plate, the fire against the plate, the rise against
the airflow, the watts."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air import arithmetic, arithmetic_duct, arithmetic_fan, fan
from selector.air.figure import Figure, Worked, given, renamed
from selector.job.file.model import Job
from selector.job.house.air import HouseAir
from selector.job.house.heating import HeatReader, clocked_by
from selector.job.readings.measured_airflow import MovedAir
from selector.job.readings.measurement import FACTOR_PERCENT
from selector.job.readings.reading_faults import PROBES_F
from selector.job.readings.readings_by_state import TakenIn
from selector.solve.engine.engine import Engine
from selector.table.model.table import Chart, No, Setting
from selector.units import convert, format_number, rise

INPUT_OFF = Fraction(5, 100)
"""A clocked input further than this from the plate's is over-fired or under-fired: the part of the rise method's
band that stands for the input."""


def beside(
    state: TakenIn,
    job: Job,
    setting: Setting,
    air: HouseAir,
    moved: Sequence[MovedAir],
    selected: Figure | No,
    watts: Figure | None,
) -> tuple[list[tuple[str, Figure]], set[str]]:
    """Figures beside the airflow with their words, and the words of the table's column `also`."""
    notes: list[tuple[str, Figure]] = []
    also: set[str] = set()
    _rise_on_plate(state, job, notes, also)
    _fired(state, job, notes, also)
    _rise_expected(state, air, notes, also)
    _under_least(state, setting, moved, notes)
    if watts is not None and (moved or not isinstance(selected, No)):
        airflow = moved[0].airflow if moved else selected
        assert not isinstance(airflow, No)
        per = arithmetic_fan.watts_per_cfm(watts, airflow)
        gas = job.heat is not None and job.heat.kind is not None and job.heat.kind.text == "gas"
        most = fan.MOST_W_PER_CFM_CALIFORNIA_GAS_FURNACE if gas else fan.MOST_W_PER_CFM_CALIFORNIA_OTHER
        high = per.value > most
        if high:
            also.add("watts high")
        word = "much" if high else "not much"
        notes.append(
            (f"{word}, against {float(most):g} W/cfm (a yardstick: California Energy Code 2022 s.150.0(m)13)", per)
        )
    return notes, also


def _rise_on_plate(state: TakenIn, job: Job, notes: list[tuple[str, Figure]], also: set[str]) -> None:
    """The measured rise against the plate's window."""
    ends = _plate_rise(state, job)
    if ends is None or not state.engine.table.calls[state.call].heats:
        return
    low, high = ends
    said = f"{float(low):g} to {float(high):g} F"
    for one in state.taken:
        if one.rise is None:
            continue
        assumed = (
            one.reading.method.text == "rise"
            and not clocked_by(job)
            and all(other.input is None for other in state.taken)
        )
        if one.rise.value > high:
            also.update(("rise high", "rise high, heat taken") if assumed else ("rise high",))
            notes.append((f"rise above the plate's {said}", one.rise))
        elif one.rise.value < low:
            also.update(("rise low", "rise low, heat taken") if assumed else ("rise low",))
            notes.append((f"rise below the plate's {said}", one.rise))
        else:
            notes.append((f"rise inside the plate's {said}", one.rise))


def _plate_rise(state: TakenIn, job: Job) -> tuple[Fraction, Fraction] | None:
    """The plate's rise, F: of the job, else of the table."""
    spans = job.heat.rise if job.heat is not None else {}
    span = spans.get(state.stage, spans.get(""))
    if span is not None and span.low is not None and span.high is not None:
        return span.low, span.high
    rating = state.engine.table.ratings.get("temperature rise")
    window = rating.get(state.engine.plate_model(), state.stage) if rating is not None else None
    if not isinstance(window, tuple):
        return None
    unit = state.engine.table.units.temperature
    return rise(window[0], unit, "F"), rise(window[1], unit, "F")


def _fired(state: TakenIn, job: Job, notes: list[tuple[str, Figure]], also: set[str]) -> None:
    """The clocked input against what plate, job and derate let expect."""
    call = state.engine.table.calls[state.call]
    reader = HeatReader(job, state.engine.table, state.engine.facts)
    expected = reader.expected_input(call, state.stage) if call.heats or call.heat else None
    read = [one.input for one in state.taken if one.input is not None]
    by_job = reader.clocked_input(call, state.stage) if not read and expected is not None else None
    for clocked in read or ([by_job] if by_job is not None else []):
        if expected is None:
            continue
        printed, words = expected
        share = arithmetic.quotient(
            "fired", clocked.value / printed.value, "", renamed(clocked, "clocked_input"), printed
        )
        if share.value > 1 + INPUT_OFF:
            also.update(("rise high", "over-fired"))
            notes.append((f"over-fired: the clocked input over the plate's{words}", share))
        elif share.value < 1 - INPUT_OFF:
            also.update(("rise low", "under-fired"))
            notes.append((f"under-fired: the clocked input over the plate's{words}", share))
        else:
            notes.append((f"fired as the plate says{words}", share))


def _rise_expected(state: TakenIn, air: HouseAir, notes: list[tuple[str, Figure]], also: set[str]) -> None:
    """The rise that the heat gives at the airflow read directly, against the rise measured."""
    flow = next((one.flow for one in state.taken if one.flow is not None and one.flow.basis == "actual"), None)
    warmed = next((one.rise for one in state.taken if one.rise is not None), None)
    if flow is None or warmed is None or state.heat is None:
        return
    standard = flow.airflow if air.ratio is None else arithmetic_duct.standard_airflow(flow.airflow, air.ratio)
    expected = arithmetic.rise_from_airflow(state.heat, standard, name="expected_rise")
    probes = given("probes", PROBES_F, "F", source="common practice")
    factor = arithmetic.percent("factor_band", FACTOR_PERCENT, source="common practice")
    band = probes.value / warmed.value + factor.value + flow.band.value
    off = (warmed.value - expected.value) / expected.value
    if abs(off) > band:
        also.add("rise high" if off > 0 else "rise low")
        allowed = Worked(
            name="expected_band",
            value=band,
            unit="",
            expression=f"probes / {warmed.name} + factor_band + band",
            inputs=(probes, warmed, factor, flow.band),
        )
        notes.append(
            (
                (
                    f"the rise this heat gives at the airflow read; {format_number(abs(off) * 100, 0)} %"
                    f" {'more' if off > 0 else 'less'} was read"
                ),
                expected,
            )
        )
        notes.append((f"so far may rise and airflow be off together, {format_number(band * 100, 0)} %", allowed))


def _under_least(state: TakenIn, setting: Setting, moved: Sequence[MovedAir], notes: list[tuple[str, Figure]]) -> None:
    """The page's least airflow for a heater, where the measured air is under it; where it is a step or a limit of
    this call it is said elsewhere."""
    engine = state.engine
    call = engine.table.calls[state.call]
    judged = {one.limit.source for one in state.answer.judged}
    for chart in engine.table.charts.values():
        if (
            not moved
            or not call.heats
            or "least airflow" not in chart.gives
            or not _of_heater(engine, chart)
            or chart.name in judged
        ):
            continue
        reading = engine.chart(chart, call, state.stage, state.rate, installed=True)
        outcome = reading.at(setting)
        cell = None if isinstance(outcome, No) else outcome[chart.gives.index("least airflow")]
        if not isinstance(cell, Fraction):
            continue
        least = convert(cell, engine.table.units.airflow, "cfm")
        if all(one.airflow.value < least for one in moved):
            page = f"page {chart.page}, " if chart.page else ""
            notes.append(
                (
                    f"under this: {page}`{chart.name}`",
                    given("least_airflow", least, "cfm", source=f"{page}`{chart.name}`"),
                )
            )


def _of_heater(engine: Engine, chart: Chart) -> bool:
    """True where a chart goes by the heater: by a selector that declares one, or that its heat is read from."""
    if engine.by_heater(chart):
        return True
    read = {
        p
        for call in engine.table.calls.values()
        for stage in call.stages
        for i in engine.heat(call, stage)
        for r in i.readings
        for p in r.parts
    }
    return any(key.kind == "part" and key.part in read for key in (*chart.keys, *chart.heads))
