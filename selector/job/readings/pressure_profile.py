"""The static of one call part by part: what each part of the air's way takes, against its share of the plate's static
or against its own chart, and which part to look at first.

Shares are common practice, no source: of a plate's static a fifth each for return, filter and supply, two fifths for
the coil; what is inside the unit leaves its share to the ducts, half to each side.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from selector.air import arithmetic, arithmetic_duct
from selector.air.duct import FILTER_FACE_FPM
from selector.air.figure import Figure, Worked, given, renamed
from selector.air.measured.arithmetic_flow import medium_then, square_then
from selector.air.measured.pressure_drop import by_chart
from selector.job.file.model import Ceiling, Job, Reading
from selector.job.house.fact_figures import place, typed
from selector.job.readings.external_static import (
    PORTS,
    SUPPLY_SIDE,
    ExternalStatic,
    UnitParts,
    coil_before_blower,
    external_static,
    inside_of,
    is_profile,
)
from selector.job.readings.reading_faults import STATIC_APART_INWC, ReadingPlace
from selector.value import Struct

Group = Literal["return", "filter", "coil", "supply"]
SHARES: Mapping[Group, Fraction] = {
    "return": Fraction(20, 100),
    "filter": Fraction(20, 100),
    "coil": Fraction(40, 100),
    "supply": Fraction(20, 100),
}
_NAMES: Mapping[tuple[str, str], tuple[str, tuple[Group, ...]]] = {
    ("", "return grille"): ("return grille", ("return",)),
    ("", "before filter"): ("return duct and grille", ("return",)),
    ("return grille", "before filter"): ("return duct", ("return",)),
    ("", "after filter"): ("return and filter", ("return", "filter")),
    ("return grille", "after filter"): ("return duct and filter", ("return", "filter")),
    ("before filter", "after filter"): ("filter", ("filter",)),
    ("after filter", "before coil"): ("between filter and coil", ("return",)),
    ("before coil", "after coil"): ("coil", ("coil",)),
    ("after filter", "after coil"): ("coil", ("coil",)),
    ("before coil", SUPPLY_SIDE): ("coil", ("coil",)),
    ("after coil", SUPPLY_SIDE): ("supply plenum", ("supply",)),
}
"""From one port to the next: what lies between, and whose share it takes."""
SUPPLY = "supply duct and registers"


class PartDrop(Struct, frozen=True, kw_only=True):
    """One part: its `drop`, and what it is held to (`budget`, both in in. w.c.; None: inside the unit, and no chart).

    `by`: the budget is a share of the plate's static, of the total (no plate known), or its own chart. `share`: of the
    same whole, None for a part inside the unit.
    """

    name: str
    groups: tuple[Group, ...]
    drop: Figure
    budget: Figure | None = None
    by: Literal["plate", "total", "chart"] = "plate"
    share: Figure | None = None

    @property
    def over(self) -> bool:
        """True where it takes more than its own, by more than two ports are read apart."""
        return self.budget is not None and self.drop.value > self.budget.value + STATIC_APART_INWC


class Profile(Struct, frozen=True, kw_only=True):
    """`whole`: the plate's static, else the total. `face`: velocity at the filter (fpm), with the one it may have."""

    parts: tuple[PartDrop, ...]
    external: ExternalStatic
    whole: Figure
    plate: Figure | None
    airflow: Figure | None = None
    face: Figure | None = None
    face_limit: Figure | None = None

    @property
    def first(self) -> PartDrop | None:
        """The part that is furthest over its own, as a share of it; None where none is."""
        over = [one for one in self.parts if one.over and one.budget is not None]
        return max(over, key=lambda one: one.drop.value / (one.budget.value if one.budget else 1), default=None)

    @property
    def face_over(self) -> bool:
        """True where the filter's face is too fast."""
        return self.face is not None and self.face_limit is not None and self.face.value > self.face_limit.value

    def part(self, group: Group) -> PartDrop | None:
        """The part that is a group alone."""
        return next((one for one in self.parts if one.groups == (group,)), None)


def profile_of(
    reading: Reading, job: Job, unit: UnitParts, plate: Figure | None, volume: Figure | None
) -> Profile | None:
    """The profile of a reading that counts; None where it is none. `volume`: the actual airflow it was read at, cfm."""
    if not is_profile(reading):
        return None
    leaf = ReadingPlace(job, reading).figure
    external = external_static(reading, unit, leaf)
    assert external is not None
    inside, _ = inside_of(reading, unit)
    drawn = list(_drops(reading, job))
    whole = plate or external.figure or _sum([drop for _, groups, drop in drawn if not inside & set(groups)])
    shares = _shares(inside)
    halves = {group: sum(groups == (group,) for _, groups, _ in drawn) or 1 for group in SHARES}
    parts = tuple(
        _part(name, groups, drop, whole, shares, halves, inside, plate is not None, _own_chart(job, groups, volume))
        for name, groups, drop in drawn
    )
    face, limit = _face(job, volume)
    return Profile(
        parts=parts, external=external, whole=whole, plate=plate, airflow=volume, face=face, face_limit=limit
    )


def _drops(reading: Reading, job: Job) -> Iterator[tuple[str, tuple[Group, ...], Figure]]:
    """Name, groups and drop of every part, in the order of the air."""
    values = reading.values
    coil = [port for port in PORTS[3:] if port in values]
    drawn = coil_before_blower(reading)
    back = [*(port for port in PORTS[:3] if port in values), *(coil if drawn else [])]
    at = {
        port: given(
            port.replace(" ", "_"), abs(values[port].value), values[port].unit, source=place(job, values[port].line)
        )
        for port in (*PORTS, SUPPLY_SIDE)
        if port in values
    }
    for before, port in pairwise(("", *back)):
        name, groups = _NAMES.get((before, port), (f"return to {port}", ("return", "filter")))
        yield name, groups, _less(at[port], at[before]) if before else renamed(at[port], "drop")
    front = [*([] if drawn else coil), *([SUPPLY_SIDE] if SUPPLY_SIDE in values else [])]
    for before, port in pairwise(front):
        name, groups = _NAMES[before, port]
        yield name, groups, _less(at[before], at[port])
    if front and front[-1] != "before coil":
        yield SUPPLY, ("supply",), renamed(at[front[-1]], "drop")


def _less(more: Figure, less: Figure) -> Worked:
    value = more.value - less.value
    return Worked(
        name="drop", value=value, unit=more.unit, expression=f"{more.name} - {less.name}", inputs=(more, less)
    )


def _sum(drops: Sequence[Figure]) -> Worked:
    inputs = tuple(renamed(one, f"drop_{n}") for n, one in enumerate(drops, 1))
    total = sum((one.value for one in inputs), start=Fraction(0))
    expression = " + ".join(one.name for one in inputs)
    return Worked(name="total_drop", value=total, unit="in. w.c.", expression=expression, inputs=inputs)


def _shares(inside: frozenset[str]) -> Mapping[Group, Fraction]:
    """The shares of what is outside the unit."""
    out = dict(SHARES)
    for group in ("filter", "coil"):
        if group in inside:
            moved = out.pop(group)
            out["return"] += moved / 2
            out["supply"] += moved / 2
    return out


def _part(
    name: str,
    groups: tuple[Group, ...],
    drop: Figure,
    whole: Figure,
    shares: Mapping[Group, Fraction],
    halves: Mapping[Group, int],
    inside: frozenset[str],
    plate: bool,
    charted: Figure | None,
) -> PartDrop:
    outside = not inside & set(groups) and whole.value > 0
    share = arithmetic.quotient("share", drop.value / whole.value, "", drop, whole) if outside else None
    if charted is not None:
        return PartDrop(name=name, groups=groups, drop=drop, budget=charted, by="chart", share=share)
    if not outside:
        return PartDrop(name=name, groups=groups, drop=drop)
    part = sum((shares[group] / halves[group] for group in groups), start=Fraction(0))
    allowed = arithmetic.percent("usual_share", 100 * part, source="common practice")
    budget = arithmetic.product("its_share", whole.value * part, "in. w.c.", whole, allowed)
    return PartDrop(name=name, groups=groups, drop=drop, budget=budget, by="plate" if plate else "total", share=share)


def _ceiling(job: Job, name: str) -> Ceiling | None:
    return next((one for one in job.ceilings if one.name == name), None)


def _own_chart(job: Job, groups: tuple[Group, ...], volume: Figure | None) -> Figure | None:
    """The drop that a filter's or coil's own chart has for this airflow; beyond it by its nature, the most of it."""
    ceiling = _ceiling(job, groups[0]) if len(groups) == 1 else None
    if ceiling is None or ceiling.drop is None or volume is None:
        return None
    source = f"its chart, {place(job, ceiling.drop.line)}"
    printed = by_chart(ceiling.drop.points, volume.value)
    if printed is not None:
        return given("charted_drop", printed, "in. w.c.", source=source)
    q, p = min(ceiling.drop.points, key=lambda point: abs(point[0] - volume.value))
    drop, at = given("printed_drop", p, "in. w.c.", source=source), given("printed_airflow", q, "cfm", source=source)
    then = renamed(volume, "airflow_here")
    return medium_then(drop, at, then)[1] if groups == ("filter",) else square_then(drop, at, then, "charted_drop")


def _face(job: Job, volume: Figure | None) -> tuple[Figure | None, Figure | None]:
    """Velocity at the filter's face, and the one it may have."""
    ceiling = _ceiling(job, "filter")
    if ceiling is None or ceiling.area is None or volume is None:
        return None, None
    limit = (
        typed("velocity", ceiling.velocity, job)
        if ceiling.velocity is not None
        else given("velocity", FILTER_FACE_FPM, "fpm", source="assumed (common practice)")
    )
    return arithmetic_duct.face_velocity(renamed(volume, "airflow_here"), typed("area", ceiling.area, job)), limit


def with_twice_the_face(part: PartDrop) -> tuple[Figure, Figure]:
    """Least and most drop of a filter that has twice the face, at the same airflow."""
    return medium_then(part.drop, given("face", 2, source="twice the face"), given("face_now", 1, source="as it is"))
