"""The plan of a job: one joint setting for the whole board, what it is expected to do, what comes close, what to
measure, or why there is none."""

from __future__ import annotations

from fractions import Fraction

from selector.air.figure import Figure
from selector.job.board.expected import watts_of
from selector.job.board.moisture import WaterPutBack, water_put_back
from selector.job.board.solution import Solution, solution
from selector.job.board.would_fit import WouldFit, would_fit
from selector.job.targets.house import House
from selector.solve.search.find import NEAR
from selector.value import Struct

CLOSE = 2
"""How many other settings are shown."""


class Plan(Struct, frozen=True, kw_only=True):
    """`solution.best` None: no setting is offered. `watts`: the blower's power by the fan laws; `water`: what puts
    water back into a humid house; `fits`: what would make a setting fit where none does."""

    solution: Solution
    watts: tuple[Figure, ...] = ()
    water: WaterPutBack | None = None
    fits: tuple[WouldFit, ...] = ()

    @property
    def house(self) -> House:
        """The house that is planned for."""
        return self.solution.house

    @property
    def exit_code(self) -> int:
        """0 where a setting is offered, 1 where none is or the board contradicts the equipment."""
        return 0 if self.solution.best is not None and not self.solution.untrue else 1


def plan(house: House, *, first: int = CLOSE + 1, near: Fraction = NEAR) -> Plan:
    """The plan of a house. Raises rank.TooLarge where the search is beyond its bound."""
    found = solution(house, first=first, near=near)
    if found.best is None:
        return Plan(solution=found, fits=would_fit(found))
    known = found.now if found.start != "factory" else ()
    return Plan(
        solution=found,
        watts=watts_of(house, known, found.best.stages),
        water=water_put_back(house, found.best.stages),
    )
