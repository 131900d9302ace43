"""Ports of a pressure profile that can't be right together: signs, order along the air."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from selector.job.file.model import Amount
from selector.job.readings.external_static import (
    PORTS,
    RETURN_SIDE,
    SUPPLY_SIDE,
    coil_before_blower,
    is_profile,
)
from selector.job.readings.reading_faults import STATIC_APART_INWC, ReadingPlace
from selector.problems import Problem

COIL = ("before coil", "after coil")


def port_faults(place: ReadingPlace) -> Iterator[Problem]:
    """Every reason why the ports of a profile can't be as typed; nothing where none were read."""
    reading = place.reading
    if not is_profile(reading):
        return
    values = reading.values
    if RETURN_SIDE in values:
        message = f"{RETURN_SIDE} beside the ports of a profile doesn't say which port it is"
        yield place.problem(
            "port-unclear", message, "Type it as before filter or as after filter.", values[RETURN_SIDE]
        )
    back = [(port, values[port]) for port in PORTS[:3] if port in values]
    yield from _signs(place, back, "the return side is below the room")
    coil = [(port, values[port]) for port in COIL if port in values]
    yield from _signs(place, coil, "both are on one side of the blower")
    drawn = coil_before_blower(reading)
    yield from _order(place, [*back, *(coil if drawn else [])], falls=False)
    supply = [(SUPPLY_SIDE, values[SUPPLY_SIDE])] if SUPPLY_SIDE in values else []
    yield from _order(place, [*([] if drawn else coil), *supply], falls=True)


def _signs(place: ReadingPlace, ports: Sequence[tuple[str, Amount]], why: str) -> Iterator[Problem]:
    """Two ports of one side with different signs."""
    for (one, low), (other, high) in pairwise(ports):
        if low.value * high.value < 0:
            message = f"{one} {low.text} and {other} {high.text} have different signs, but {why}"
            yield place.problem("static-signs", message, "Were the two hoses exchanged? Type each with its sign.", high)
            return


def _order(place: ReadingPlace, ports: Sequence[tuple[str, Amount]], *, falls: bool) -> Iterator[Problem]:
    """A port that is nearer to the room's pressure than the air's way allows."""
    for (one, low), (other, high) in pairwise(ports):
        gained = (abs(high.value) - abs(low.value)) * (1 if falls else -1)
        if low.value * high.value >= 0 and gained > Fraction(STATIC_APART_INWC):
            message = f"{other} {high.text} can't follow {one} {low.text}: the air loses pressure on its way"
            yield place.problem("ports-exchanged", message, "Were the two ports exchanged? Read both again.", high)
            return
