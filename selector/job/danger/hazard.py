"""One danger or warning as a fact: which row of the table, where, the figure, whose limit it passes."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from selector.air.figure import Figure
from selector.job.board.move import Move
from selector.job.house.plate import LimitOwner
from selector.job.observed.danger_table import DANGERS, Danger
from selector.value import Struct


class Raised(Struct, frozen=True, kw_only=True):
    """The stage that a move gives more airflow, `now` and `then` in the table's unit. `static_then`: what the static
    read there comes to by the square, in in. w.c.; `most`: what it may be, where that is known."""

    title: str
    now: Fraction
    then: Fraction
    static_then: Figure | None = None
    most: Figure | None = None

    @property
    def times(self) -> Fraction:
        """How many times the static it takes in the same ducts."""
        return (self.then / self.now) ** 2


class Hazard(Struct, frozen=True, kw_only=True):
    """`value` passes `limit`, which is `whose`; both None where something was seen.

    `call` and `stage` say where it was measured, empty for the whole unit. `subject`: the equipment or selector it is
    about. `fuel`: what the call burns, empty for electric heat and cooling. `seen`: the words as typed, the customer's
    where `complained`. `by_chart`: the figure was worked out, not measured. `if_sea_level`: what a clocked input comes
    to, high up, where the gas's heating value is one of sea level. `move`: what puts the selector right, `raised`: the
    airflow it raises most.
    """

    what: str
    call: str = ""
    stage: str = ""
    value: Figure | None = None
    limit: Figure | None = None
    whose: LimitOwner | None = None
    subject: str = ""
    fuel: str = ""
    seen: str = ""
    complained: bool = False
    by_chart: bool = False
    line: int = 0
    if_sea_level: Figure | None = None
    move: Move | None = None
    raised: Raised | None = None

    @property
    def row(self) -> Danger:
        """Its row in the table."""
        return DANGERS[self.what]

    @property
    def past(self) -> Fraction:
        """How far the figure is past its limit, 0 where there is none."""
        return Fraction(0) if self.value is None or self.limit is None else abs(self.value.value - self.limit.value)

    @property
    def title(self) -> str:
        """The call and stage it was measured in."""
        return f"{self.call} {self.stage}".strip()


def in_order(found: Iterable[Hazard]) -> tuple[Hazard, ...]:
    """Dangers before warnings; of each, what was measured or seen before what was worked out; then the table's order.
    One place and kind is said once, by its worst figure."""
    order = list(DANGERS)
    once: dict[tuple[str, str, str, str], Hazard] = {}
    for one in found:
        key = (one.what, one.call, one.stage, one.subject)
        once[key] = max(once.get(key, one), one, key=lambda it: it.past)
    return tuple(
        sorted(once.values(), key=lambda one: (one.row.level != "DANGER", one.by_chart, order.index(one.what)))
    )


def stops(found: Iterable[Hazard]) -> bool:
    """True where nothing else may follow: nobody touches a selector."""
    return any(one.row.leaves == "nothing" for one in found)


def no_moves(found: Iterable[Hazard]) -> bool:
    """True where no selector may be moved yet."""
    return any(one.row.leaves != "all" and not one.by_chart for one in found)
