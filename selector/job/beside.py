"""What speaks beside a measured airflow: the rise against the plate, the fire against the plate, the rise against the airflow, the watts."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air import fan, shown, shown_duct, shown_fan
from selector.air.figure import Figure, Worked, given
from selector.job.air import HouseAir
from selector.job.measurement import FACTOR_PERCENT
from selector.job.model import Job
from selector.job.moved_air import MovedAir
from selector.job.objections import PROBES_F
from selector.job.taken_in import TakenIn
from selector.table.model import No
from selector.table.units import rise

INPUT_OFF = Fraction(5, 100)
"""A clocked input further than this from the plate's is over-fired or under-fired: the part of the rise method's band that stands for the input."""


def beside(
    state: TakenIn, job: Job, air: HouseAir, moved: Sequence[MovedAir], selected: Figure | No, watts: Figure | None
) -> tuple[list[tuple[str, Figure]], set[str]]:
    """Figures beside the airflow with their words, and the words of the table's column `also`."""
    notes: list[tuple[str, Figure]] = []
    also: set[str] = set()
    _rise_on_plate(state, job, notes, also)
    _fired(state, notes, also)
    _rise_expected(state, air, notes, also)
    if watts is not None and (moved or not isinstance(selected, No)):
        airflow = moved[0].airflow if moved else selected
        assert not isinstance(airflow, No)
        per = shown_fan.watts_per_cfm(watts, airflow)
        gas = job.heat is not None and job.heat.kind is not None and job.heat.kind.text == "gas"
        most = fan.MOST_W_PER_CFM_CALIFORNIA_GAS_FURNACE if gas else fan.MOST_W_PER_CFM_CALIFORNIA_OTHER
        high = per.value > most
        if high:
            also.add("watts high")
        word = "much" if high else "not much"
        notes.append((f"{word}, against {float(most):g} W/cfm (a yardstick: California Energy Code 2022 s.150.0(m)13)", per))
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
        if one.rise.value > high:
            also.add("rise high")
            notes.append((f"rise above the plate's {said}", one.rise))
        elif one.rise.value < low:
            also.add("rise low")
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


def _fired(state: TakenIn, notes: list[tuple[str, Figure]], also: set[str]) -> None:
    """The clocked input against the plate's."""
    rating = state.engine.table.ratings.get("heat input")
    value = rating.get(state.engine.plate_model(), state.stage) if rating is not None else None
    call = state.engine.table.calls[state.call]
    if not isinstance(value, Fraction) or rating is None:
        return
    own = any(stage == state.stage for _, stage in rating.values) and state.stage != ""
    plate = value if own else value * call.share_of_full(state.stage)
    for one in state.taken:
        if one.input is None:
            continue
        printed = given("plate_input", plate, "Btu/h", source=f"input of this stage by the plate, line {rating.line} of the table")
        share = shown.quotient("fired", one.input.value / plate, "", one.input, printed)
        if share.value > 1 + INPUT_OFF:
            also.add("rise high")
            notes.append(("over-fired: the clocked input over the plate's", share))
        elif share.value < 1 - INPUT_OFF:
            also.add("rise low")
            notes.append(("under-fired: the clocked input over the plate's", share))
        else:
            notes.append(("fired as the plate says", share))


def _rise_expected(state: TakenIn, air: HouseAir, notes: list[tuple[str, Figure]], also: set[str]) -> None:
    """The rise that the heat gives at the airflow read directly, against the rise measured."""
    flow = next((one.flow for one in state.taken if one.flow is not None and one.flow.basis == "actual"), None)
    warmed = next((one.rise for one in state.taken if one.rise is not None), None)
    if flow is None or warmed is None or state.heat is None:
        return
    standard = flow.airflow if air.ratio is None else shown_duct.standard_airflow(flow.airflow, air.ratio)
    expected = shown.rise_from_airflow(state.heat, standard, name="expected_rise")
    probes = given("probes", PROBES_F, "F", source="common practice")
    factor = shown.percent("factor_band", FACTOR_PERCENT, source="common practice")
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
        notes.append((f"rise {'higher' if off > 0 else 'lower'} than the heat gives at the airflow read", expected))
        notes.append(("and beyond what the readings may be off together", allowed))
