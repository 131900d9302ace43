"""How every call and stage of a board stands: inside its limits, or not and by what."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.job.board.expected import Expected
from selector.job.targets.house import House
from selector.solve.engine.limit import JudgedLimit
from selector.table.model.table import No, NoKind
from selector.value import Struct

Place = NoKind | Literal["inside", "outside", "not_judged", "stopped"]
"""`not_judged`: there is an airflow and no limit that a fact judges; `stopped`: it has to run here and does not; else
one of the five noes."""
WRONG: frozenset[Place] = frozenset({"outside", "not_usable", "outside_chart", "stopped"})


class Standing(Struct, frozen=True, kw_only=True):
    """One stage. `broken`: the limits it breaks; `unjudged`: those that no fact judges. `needed`: it has to run."""

    stage: Expected
    place: Place
    broken: tuple[JudgedLimit, ...] = ()
    unjudged: tuple[JudgedLimit, ...] = ()
    needed: bool = False

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return self.stage.title

    @property
    def wrong(self) -> bool:
        """True where this stage can't stay as it is."""
        return self.place in WRONG


def must_run(house: House, targets: frozenset[tuple[str, str]]) -> frozenset[tuple[str, str]]:
    """The stages that have to run: somebody aims at them, or their heat is known to be there."""
    heats = {(a.call, a.stage) for a in house.aims if a.role == "heat" and a.heat is not None and a.heat.value > 0}
    return targets | frozenset(heats)


def place_of(airflow: Fraction | No, judged: Sequence[JudgedLimit], *, asked: bool) -> Place:
    """Where an airflow stands; `asked`: it has to run here, so that not running is wrong too."""
    if isinstance(airflow, No):
        return "stopped" if asked and airflow.kind == "does_not_run" else airflow.kind
    if any(j.ok is False for j in judged):
        return "outside"
    return "inside" if any(j.ok for j in judged) else "not_judged"


def standings(stages: Sequence[Expected], asked: frozenset[tuple[str, str]]) -> tuple[Standing, ...]:
    """Every stage in the table's order."""
    return tuple(_standing(one, asked) for one in stages)


def _standing(one: Expected, asked: frozenset[tuple[str, str]]) -> Standing:
    needed = (one.aim.call, one.aim.stage) in asked
    judged = one.answer.judged
    return Standing(
        stage=one,
        place=place_of(one.answer.airflow, judged, asked=needed),
        broken=tuple(j for j in judged if j.ok is False),
        unjudged=tuple(j for j in judged if j.ok is None),
        needed=needed,
    )
