"""One measurement, taken as what it can be: an airflow with its band, a static pressure, watts, an input, or nothing,
and then why.

A reading that can't count is never computed with: it comes back as problems at its place in the job file.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from selector.air import arithmetic, measure
from selector.air.figure import Figure, Given, Worked, given
from selector.air.measured.arithmetic_flow import traverse, velocity_of
from selector.air.measured.traverse import FEW_POINTS
from selector.air.number import square_root
from selector.job.file.model import Amount, Job, Reading
from selector.job.house.air import density_ratio
from selector.job.readings.cooling_air import CoolingAir, cooling_air, split_faults
from selector.job.readings.external_static import external_static, is_profile
from selector.job.readings.port_faults import port_faults
from selector.job.readings.reading_faults import (
    PROBES_F,
    Missing,
    ReadingPlace,
    ReadingState,
    before_change,
    circumstances,
    contradictions,
    too_soon,
)
from selector.job.remark import Remark, remark
from selector.problems import Problem
from selector.value import Struct

Basis = Literal["standard", "actual"]
"""What a method reads: mass, as standard air, or the volume that moves."""
INPUT_PERCENT, FACTOR_PERCENT = Fraction(5), Fraction(2)
"""Parts of the band of the rise method (common practice, no source)."""
DIRECT = {
    method.name: method for method in (measure.HOOD, measure.PLATE, measure.TRAVERSE, measure.VANE, measure.HOT_WIRE)
}


class Flow(Struct, frozen=True, kw_only=True):
    """A measured airflow, cfm, by volume or mass (`basis`), with the band as a share of it. `heat`: what it was worked
    out from, Btu/h; `plate_heat`: that was not measured."""

    airflow: Figure
    band: Figure
    method: str
    basis: Basis
    heat: Figure | None = None
    plate_heat: bool = False


class Taken(Struct, frozen=True, kw_only=True):
    """What a reading gives. Static in in. w.c., watts in W, `asked` the airflow the board or control shows, `input`
    of gas in Btu/h, rise in F, `air` before and after a cooling coil."""

    reading: Reading
    flow: Flow | None = None
    static: Figure | None = None
    watts: Figure | None = None
    asked: Figure | None = None
    rise: Figure | None = None
    input: Figure | None = None
    air: CoolingAir | None = None
    remarks: tuple[Remark, ...] = ()


def take(reading: Reading, state: ReadingState, job: Job) -> Taken | tuple[Problem, ...]:
    """The reading as figures, or every reason why it doesn't count."""
    place = ReadingPlace(job, reading)
    problems = [*before_change(place), *too_soon(place, state), *circumstances(place, state), *_faults(place)]
    if not problems:
        try:
            return _figures(place, state)
        except Missing as missing:
            problems.append(missing.problem)
    return tuple(problems)


def _faults(place: ReadingPlace) -> Iterator[Problem]:
    """Why a reading can't be right in itself."""
    yield from (*contradictions(place), *port_faults(place), *split_faults(place))


def static_of(reading: Reading, state: ReadingState, job: Job) -> Figure | None:
    """The external static of a reading that may be too early for everything else, in. w.c.; None where it was read
    otherwise than the plate counts it, or can't be right."""
    place = ReadingPlace(job, reading)
    found = external_static(reading, state.unit, place.figure)
    wrong = any(p.code != "no-heat" for p in circumstances(place, state)) or any(_faults(place))
    return None if found is None or wrong else found.figure


def _figures(place: ReadingPlace, state: ReadingState) -> Taken:
    """The figures of a reading that counts."""
    method = place.reading.method.text
    remarks: list[Remark] = []
    rise = None if state.cooling else rise_of(place)
    watts = place.amount("watts")
    flow, asked, fired = None, None, None
    if method in DIRECT:
        flow = _direct(place, method, remarks)
    elif method == "shown":
        asked = place.figure("airflow shown", place.need("airflow", "a figure shown by the board"))
        remarks.append(remark("shown, not delivered"))
    elif method == "electric":
        flow = _electric(place, rise, watts)
        counted = watts is not None and blower_counts(place.job)
        remarks.append(remark("blower heat counted" if counted else "blower heat not counted"))
        if place.word("compressor") != "off":
            remarks.append(remark("compressor taken off"))
    elif method == "clocked gas":
        fired = clocked_of(place)
        flow = _by_burner(place, state, rise, fired)
    elif method == "rise":
        if rise is None:
            raise Missing(
                place.problem(
                    "reading-incomplete", "rise needs a rise, or supply air and return air", "add rise to the reading"
                )
            )
        assert state.heat is not None
        flow = _by_heat(state.heat, rise, method, plate_heat=not state.clocked)
        if not state.clocked:
            remarks.append(remark("heat from the plate"))
    elif method == "watts":
        place.need("watts", method)
    static = _static(place, state, remarks)
    if method == "static" and static is None and not is_profile(place.reading):
        raise Missing(
            place.problem(
                "reading-incomplete",
                "static needs static pressure, or return and supply static",
                "add it to the reading",
            )
        )
    air = cooling_air(place, state, remarks)
    if air is not None and air.leaving is not None and not air.probe:
        remarks.append(remark("probe not stated"))
    if air is not None and air.from_job:
        remarks.append(air.from_job)
    return Taken(
        reading=place.reading,
        flow=flow,
        static=static,
        watts=place.figure("watts", watts) if watts is not None else None,
        asked=asked,
        rise=rise,
        input=fired,
        air=air,
        remarks=tuple(remarks),
    )


def _direct(place: ReadingPlace, method: str, remarks: list[Remark]) -> Flow:
    """A meter's airflow, as what the meter shows."""
    airflow: Figure = _traversed(place, remarks) or place.figure("measured airflow", place.need("airflow", method))
    typed = place.word("shows")
    shows = typed or measure.USUALLY_SHOWS[method]
    altitude = place.job.site.altitude
    if altitude is not None and altitude.value and shows == "uncorrected":
        ratio = density_ratio(given("altitude", altitude.value, altitude.unit, source=f"typed {altitude.text}"))
        airflow = Worked(
            name="standard_airflow",
            value=airflow.value * square_root(ratio.value),
            unit="cfm",
            expression="measured_airflow * sqrt(density_ratio)",
            inputs=(airflow, ratio),
        )
    if altitude is not None and altitude.value and not typed:
        remarks.append(remark("meter assumed to show", method=method, shows=shows))
    basis: Basis = "actual" if shows == "actual" else "standard"
    return Flow(airflow=airflow, band=_flat_band(DIRECT[method]), method=method, basis=basis)


def _traversed(place: ReadingPlace, remarks: list[Remark]) -> Figure | None:
    """The airflow of a traverse from its velocities; None where it was typed as one figure."""
    read = place.reading.velocities
    if not read:
        return None
    area = place.figure("duct area", place.need("duct area", "velocities"))
    points: list[Figure] = []
    for number, one in enumerate(read, 1):
        leaf = place.figure("velocity", one, f"reading_{number}")
        points.append(leaf if one.unit == "fpm" else velocity_of(leaf, f"velocity_{number}"))
    if len(read) < FEW_POINTS:
        remarks.append(remark("few points", count=str(len(read))))
    return traverse(points, area, "measured_airflow")


def rise_of(place: ReadingPlace) -> Figure | None:
    """The rise, typed or from the two temperatures."""
    typed, supply, back = place.amount("rise"), place.amount("supply air"), place.amount("return air")
    if typed is not None:
        return place.figure("rise", typed)
    if supply is None or back is None:
        return None
    inputs = (place.figure("supply air", supply), place.figure("return air", back))
    return Worked(
        name="rise", value=supply.value - back.value, unit="F", expression="supply_air - return_air", inputs=inputs
    )


def _flat_band(method: measure.Method) -> Given:
    return arithmetic.percent("band", method.band_percent, source=f"{method.words} (common practice)")


def rise_band(rise: Figure, *, plate_heat: bool = False) -> Worked:
    """The band of the rise method, a share: 7 %, 15 % on the plate's heat, more where the probes' 2 F weigh more in a
    small rise."""
    usual = measure.PLATE_HEAT_PERCENT if plate_heat else measure.RISE.band_percent
    percent = max(usual, measure.rise_band_percent(rise.value, INPUT_PERCENT, FACTOR_PERCENT, PROBES_F))
    return Worked(
        name="band",
        value=percent / 100,
        unit="",
        expression=f"max(usual_band, sqrt((probes / {rise.name})^2 + input_band^2 + factor_band^2))",
        inputs=(
            arithmetic.percent("usual_band", usual, source="common practice"),
            given("probes", PROBES_F, "F", source="common practice"),
            rise,
            arithmetic.percent("input_band", INPUT_PERCENT, source="common practice"),
            arithmetic.percent("factor_band", FACTOR_PERCENT, source="common practice"),
        ),
    )


def _by_heat(heat: Figure, rise: Figure, method: str, *, plate_heat: bool = False) -> Flow:
    """Airflow that takes up the heat at the rise."""
    airflow = arithmetic.airflow_from_heat(heat, rise, name="measured_airflow")
    band = rise_band(rise, plate_heat=plate_heat)
    return Flow(airflow=airflow, band=band, method=method, basis="standard", heat=heat, plate_heat=plate_heat)


def blower_counts(job: Job) -> bool:
    """True unless the job says that the blower's heat is not counted."""
    said = job.heat.blower_heat if job.heat is not None else None
    return said is None or said.text == "counted"


def _electric(place: ReadingPlace, rise: Figure | None, watts: Amount | None) -> Flow:
    """Airflow from volts, amps and rise; the blower's watts warm the air too, where they were read, unless the job says
    that they are not counted."""
    volts, amps = place.need("volts", "electric"), place.need("amps", "electric")
    if rise is None:
        raise Missing(
            place.problem(
                "reading-incomplete", "electric needs a rise, or supply air and return air", "add rise to the reading"
            )
        )
    phases = place.amount("phases")
    blower = place.figure("watts", watts, "blower_watts") if watts is not None and blower_counts(place.job) else None
    power = arithmetic.line_power(
        place.figure("volts", volts), place.figure("amps", amps), 1 if phases is None else int(phases.value), blower
    )
    heat = arithmetic.heat_from_power(power)
    airflow = arithmetic.airflow_from_heat(heat, rise, name="measured_airflow")
    return Flow(airflow=airflow, band=_flat_band(measure.ELECTRIC), method="electric", basis="standard", heat=heat)


def clocked_of(place: ReadingPlace) -> Worked:
    """The gas input by the meter."""
    why = "clocked gas"
    volume, time, heat = place.need("volume", why), place.need("time", why), place.need("heat of gas", why)
    return arithmetic.clocked_input(
        place.figure("volume", volume), place.figure("time", time), place.figure("heat of gas", heat)
    )


def _by_burner(place: ReadingPlace, state: ReadingState, rise: Figure | None, fired: Figure) -> Flow | None:
    """Airflow from the clocked input, where the rise was read with it."""
    if rise is None:
        return None
    if state.efficiency is None:
        raise Missing(
            place.problem(
                "reading-incomplete",
                "the efficiency is not known: the clocked input gives no airflow",
                "give it in the job",
            )
        )
    return _by_heat(arithmetic.delivered_from_input(fired, state.efficiency), rise, "clocked gas and rise")


def _static(place: ReadingPlace, state: ReadingState, remarks: list[Remark]) -> Figure | None:
    """External static where the plate counts it, with what was said of where it was measured."""
    found = external_static(place.reading, state.unit, place.figure)
    if found is None:
        return None
    if found.figure is None:
        remarks += [remark("static not counted by the plate", why=found.why)] if found.why is not None else []
        return None
    ports, inside = place.word("ports"), place.word("inside")
    if found.where:
        remarks.append(remark("static between", ports=found.where))
        remarks += [found.assumed] if found.assumed is not None else []
    elif ports:
        remarks.append(remark("static measured at", ports=ports))
    elif inside:
        remarks.append(remark("static measured across", inside=inside))
    else:
        remarks.append(remark("ports not stated"))
    coil = place.word("coil")
    if coil:
        remarks.append(remark("coil", state=coil))
    return found.figure
