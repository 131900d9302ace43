"""What to measure once a setting is made, and when: the call, how long after its start, what to expect."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.job.board.expected import Expected
from selector.job.house.heating import kind_of
from selector.job.house.shown_units import airflow, difference
from selector.job.house.steady import ComingUp
from selector.job.plan.plan import Plan
from selector.job.readings.reading_faults import SETTLE_S
from selector.table.model.roles import burns
from selector.table.model.table import Table
from selector.units import convert, format_number


def to_measure(plan: Plan) -> Iterator[str]:
    """One line for each measurement, in the order to make them."""
    if plan.best is None:
        return
    table, job = plan.house.table, plan.house.job
    if plan.best.moves and table.unit.reads == "at power-up":
        yield "first switch the power off and on: the board reads its selectors only then"
    stages = [s for s in plan.best.stages if s.charted is not None]
    heats = [s for s in stages if s.aim.role == "heat"]
    for one in heats:
        yield from _heat(one, plan, kind_of(job.heat))
    greatest = max(stages, key=lambda s: s.charted.value if s.charted is not None else Fraction(0), default=None)
    if greatest is not None:
        plate = job.site.plate_static
        under = (
            f", to stay under {plate.text} on the plate" if plate is not None else "; the plate says how much it may be"
        )
        yield f"static in {greatest.title}, filter in, panels on: across the unit{under}"
    for one in (s for s in stages if s.aim.role == "cooling" and s.aim.stage == table.calls[s.aim.call].last):
        splits = [difference(r.split.value, table) for r in one.read_as if r.split is not None]
        if splits:
            about = " or ".join(dict.fromkeys(splits))
            yield f"split in {one.title}, at least {_minutes(one)} min after it began: about {about}; then the charge"
    if job.fan is not None and job.fan.watts is not None and greatest is not None:
        yield f"watts of the blower in {greatest.title}"
    if not heats:
        cooling = next((s for s in stages if s.aim.role == "cooling"), None)
        if cooling is not None and cooling.charted is not None:
            yield (
                f"airflow in {cooling.title} with a hood or a flow plate: about {airflow(cooling.charted.value, table)}"
            )


def _heat(one: Expected, plan: Plan, kind: str) -> Iterator[str]:
    rises = [r.rise for r in one.read_as if r.rise is not None]
    if not rises:
        return
    expect = " or ".join(dict.fromkeys(difference(r.value, plan.house.table) for r in rises))
    low, high = (
        next((b for b in one.aim.bounds if b.end == end and b.origin == "rise"), None) for end in ("low", "high")
    )
    ends = [b.rise_f for b in (high, low) if b is not None and b.rise_f is not None]
    plate = f", plate {_range(ends, plan.house.table)}" if len(ends) == 2 else ""
    electric = kind == "electric" or burns(plan.house.table, plan.house.table.calls[one.aim.call]) == "heater power"
    how = "compressor off, volts and amps read" if electric else "stage locked, probes out of sight of the exchanger"
    yield f"rise in {one.title}, at least {_minutes(one)} min after it began, {how}: about {expect}{plate}"


def _range(ends: list[Fraction], table: Table) -> str:
    first, last = (difference(e, table, 0) for e in sorted(ends))
    return f"{first.partition(' ')[0]} to {last}"


def _minutes(one: Expected) -> str:
    """Minutes until a reading counts: the ramp's last step and the settling after it, rounded up."""
    full = one.coming.full_s if isinstance(one.coming, ComingUp) else Fraction(0)
    minutes = convert(full + SETTLE_S, "s", "min")
    return format_number(-(-minutes // 1), 0)
