"""What in a setting puts water from the coil back into the house: a blower-off delay or a ramp down after cooling, and
a constant fan; not a starting ramp (common practice, no source)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.job.board.expected import Expected
from selector.job.targets.house import House
from selector.value import Struct


class WaterPutBack(Struct, frozen=True, kw_only=True):
    """`off_delay_s`: the longest after cooling, 0 for none."""

    off_delay_s: Fraction = Fraction(0)
    ramp_down: bool = False
    constant_fan: bool = False


def water_put_back(house: House, stages: Sequence[Expected]) -> WaterPutBack | None:
    """What puts water back in a humid climate or where the people say it is humid; None where nothing does."""
    climate, row = house.job.site.climate, house.eased.row
    humid = (climate is not None and climate.text == "humid") or (row is not None and "humid" in row.names)
    cooling = [s for s in stages if s.aim.role == "cooling" and s.charted is not None]
    found = WaterPutBack(
        off_delay_s=max((s.off_delay for s in cooling if s.off_delay is not None), default=Fraction(0)),
        ramp_down=any(s.ramps_down for s in cooling),
        constant_fan=any(s.aim.role == "fan" and s.charted is not None and s.charted.value > 0 for s in stages),
    )
    return found if humid and found != WaterPutBack() else None
