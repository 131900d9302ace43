"""Why nothing fits: limits that leave no airflow, one trim that cannot serve two calls, held positions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from selector.job.board.conflicting_limits import Obstacle, against
from selector.job.board.smallest_conflict import narrowed
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.job.targets.stage_target import as_target, windows
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Request
from selector.solve.search.space import baseline_of
from selector.table.model.table import No, Setting
from selector.value import Struct

REMEDY: Mapping[str, str] = {
    "face": "a larger face, or another way for the air",
    "zone": "a bypass, a larger smallest zone, or a lower stage for it",
    "static": "bring the static down first: filter, coil, dampers, duct",
    "leaving air": "less auxiliary heat at a time",
    "outlet": "less heat, or more airflow than is allowed here",
}
"""What else than a setting helps, by what sets the end that is in the way."""


class Conflict(Struct, frozen=True, kw_only=True):
    """One reason: a stage that no airflow suits (`empty`, short by so many cfm), or things that can't be had together.
    `shared`: names of the parts that more than one call in it reads."""

    empty: StageAim | None = None
    obstacles: tuple[Obstacle, ...] = ()
    shared: tuple[str, ...] = ()

    @property
    def remedy(self) -> str:
        """What else than a setting helps; empty where nothing is known."""
        if self.empty is None:
            return ""
        ends = [end.origin for end in (self.empty.high, self.empty.low) if end is not None]
        return next((REMEDY[origin] for origin in ends if origin in REMEDY), "")


def empty_windows(aims: Iterable[StageAim]) -> tuple[Conflict, ...]:
    """Stages whose limits leave no airflow at all."""
    return tuple(Conflict(empty=one) for one in aims if one.empty)


def conflicts(house: House, engine: Engine, request: Request, nearest: Setting | None) -> tuple[Conflict, ...]:
    """What stands against every setting: empty windows first, else a least set of windows, limits and held positions.

    Stages that don't run in the nearest miss (else as the board stands) ask for nothing. As exact as the search.
    """
    board = Board(house.engine, nearest if nearest is not None else baseline_of(engine, request.found))
    running = [one for one in house.aims if not _idle(board, one)]
    found = empty_windows(running)
    if found:
        return found
    wanted = [one.wanted() for one in running]
    table = house.engine.table
    ends = _and_table(windows(wanted, table), engine, house)
    targets = tuple(as_target(key, end, table) for key, end in ends.items())
    baseline = baseline_of(engine, request.found)
    own, asked = narrowed(house.engine, targets, baseline, request.held)
    obstacles, shared = against(own, baseline, asked, request.held)
    if not obstacles:
        return ()
    return (Conflict(obstacles=tuple(obstacles), shared=tuple(table.parts[p].name for p in shared)),)


def _idle(board: Board, one: StageAim) -> bool:
    airflow = board.airflow(board.engine.asked(board.engine.table.calls[one.call], one.stage))
    return isinstance(airflow, No) and airflow.kind == "does_not_run"


def _and_table(
    ends: Mapping[tuple[str, str], tuple[Fraction | None, Fraction | None]], engine: Engine, house: House
) -> dict[tuple[str, str], tuple[Fraction | None, Fraction | None]]:
    """The windows, with those that the plan has put on beside them (static above the plate)."""
    out = dict(ends)
    base = house.search.table.calls
    for name, call in engine.table.calls.items():
        for window in call.windows[len(base[name].windows) :]:
            low, high = out.get((name, window.stage), (None, None))
            if window.high is not None:
                high = window.high if high is None else min(high, window.high)
            out[name, window.stage] = (low, high)
    return out
