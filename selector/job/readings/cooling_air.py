"""The air before and after a cooling coil, as it was read: the split, and the moisture of both sides where a wet bulb
or a humidity was read too."""

from __future__ import annotations

from collections.abc import Iterator

from selector.air.figure import Figure, Worked
from selector.air.measured.arithmetic_coil_capacity import AirState, by_humidity, by_wet_bulb
from selector.job.house.cooling_split import local_pressure
from selector.job.readings.reading_faults import STEADY_S, Missing, ReadingPlace, ReadingState
from selector.job.remark import Remark, remark
from selector.problems import Problem
from selector.value import Struct


class CoolingAir(Struct, frozen=True, kw_only=True):
    """`split` in F; `entering` and `leaving` None where their moisture isn't known. `capacity`: by the maker's table at
    this air, Btu/h, where it was typed. `from_job`: what of the entering air was taken from the job, not read with it.
    """

    split: Figure
    pressure: Figure
    entering: AirState | None = None
    leaving: AirState | None = None
    capacity: Figure | None = None
    probe: str = ""
    from_job: Remark | None = None


def split_faults(place: ReadingPlace) -> Iterator[Problem]:
    """A split that can't be right in itself."""
    back, supply, split = place.amount("return air"), place.amount("supply air"), place.amount("split")
    if place.reading.method.text != "split":
        return
    if back is not None and supply is not None and supply.value >= back.value:
        message = f"supply air {supply.text} is not cooler than return air {back.text}"
        yield place.problem("split-reversed", message, "Were the two exchanged, or does it heat?", supply)
    elif split is not None and back is not None and supply is not None:
        apart = back.value - supply.value
        if abs(apart - split.value) > 2:
            message = f"split {split.text} is not return air less supply air, {float(apart):g} F"
            yield place.problem("readings-contradict", message, "Leave the one that was read.", split)


def cooling_air(place: ReadingPlace, state: ReadingState, remarks: list[Remark]) -> CoolingAir | None:
    """The air of a reading in a call that cools; None where it has no split. Raises Missing where it can't be, or where
    the method is split and there is none."""
    if not state.cooling:
        if place.reading.method.text == "split":
            back, supply = place.amount("return air"), place.amount("supply air")
            if (state.call.heats or state.compressor) and back is not None and supply is not None:
                message = f"supply air {supply.text} is below return air {back.text}, and {state.title} heats"
                raise Missing(place.problem("rise-reversed", message, "Were the two swapped?", supply))
            message = f"{state.title} doesn't cool"
            raise Missing(place.problem("not-cooling", message, "Measure in a call that cools, or type a rise."))
        return None
    split = _split(place)
    if split is None:
        if place.reading.method.text == "split":
            message = "split needs return air and supply air, or the split"
            raise Missing(place.problem("reading-incomplete", message, "Add return air and supply air."))
        return None
    minutes = place.reading.minutes
    if minutes is None or minutes.value < STEADY_S["cooling"]:
        remarks.append(remark("split too soon"))
        return None
    pressure = local_pressure(place.job)
    try:
        entering, from_job = _entering(place, pressure)
        leaving = _air(place, "supply", pressure)
    except ValueError as wrong:
        raise Missing(place.problem("no-such-air", f"{wrong}", "Read both bulbs again.")) from wrong
    typed = place.amount("capacity")
    return CoolingAir(
        capacity=None if typed is None else place.figure("capacity", typed),
        split=split,
        pressure=pressure,
        entering=entering,
        leaving=leaving,
        probe=place.word("probe"),
        from_job=from_job,
    )


def _split(place: ReadingPlace) -> Figure | None:
    back, supply, split = place.amount("return air"), place.amount("supply air"), place.amount("split")
    if back is not None and supply is not None:
        if supply.value >= back.value:
            return None
        inputs = (place.figure("return air", back), place.figure("supply air", supply))
        return Worked(
            name="split", value=back.value - supply.value, unit="F", expression="return_air - supply_air", inputs=inputs
        )
    return None if split is None else place.figure("split", split)


def _air(place: ReadingPlace, side: str, pressure: Figure) -> AirState | None:
    """The air of a side: its dry bulb with a wet bulb or a humidity."""
    dry, wet, damp = (place.amount(f"{side} {name}") for name in ("air", "wet bulb", "humidity"))
    if dry is None:
        return None
    bulb = place.figure(f"{side} air", dry)
    if wet is not None:
        return by_wet_bulb(bulb, place.figure("wet bulb", wet), pressure, side)
    return None if damp is None else by_humidity(bulb, place.figure("humidity", damp), pressure, side)


def _entering(place: ReadingPlace, pressure: Figure) -> tuple[AirState | None, Remark | None]:
    """The entering air as read, with what the job has of the house where the reading lacks it."""
    read = _air(place, "return", pressure)
    if read is not None:
        return read, None
    site, dry = place.job.site, place.amount("return air")
    if site.return_wet_bulb is None or (dry is None and site.return_air is None):
        return None, None
    bulb = place.figure("return air", dry) if dry is not None else None
    if bulb is None:
        assert site.return_air is not None
        bulb = place.figure("return air", site.return_air)
    wet = place.figure("wet bulb", site.return_wet_bulb)
    if wet.value > bulb.value:
        return None, None
    told = remark("wet bulb of the job", typed=site.return_wet_bulb.text)
    return by_wet_bulb(bulb, wet, pressure, "return"), told
