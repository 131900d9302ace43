"""One setting of the whole board for a house, or why there is none: the one search that plan and found share.

What counts is the same for both: the facts, every limit of page, plate and house on every call that runs, the wishes,
the positions held. They differ in `near` alone: plan ranks by the deviation from its targets, found takes all settings
as one group, so that the fewest moves come first, then the deviation, then the order of the board.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.job.board.conflicts import Conflict, conflicts
from selector.job.board.expected import Expected, expected
from selector.job.board.fewest import ONE_GROUP
from selector.job.board.judged_by import pressures_of, setting_now
from selector.job.board.move import Move, moves_between
from selector.job.board.open_targets import as_it_stands, open_targets
from selector.job.board.stage_verdicts import must_run
from selector.job.board.wishes import Granted, grant
from selector.job.readings.static import Pressure, pressure
from selector.job.targets.house import House, targets_of
from selector.job.targets.stage_target import as_target
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, evaluate
from selector.solve.search.decode import DeclaredDifference, differences
from selector.solve.search.find import NEAR, FindResult, Found, Request, find
from selector.solve.search.read_back import decoded_back
from selector.solve.search.space import baseline_of
from selector.table.model.table import No, Setting, Window
from selector.value import Struct, replace

FEWEST = ONE_GROUP
"""`near` for the fewest moves."""
Start = Literal["factory", "found", "left"]


class OfferedSetting(Struct, frozen=True, kw_only=True):
    """A setting with its moves in the order the selectors stand on the board, and what every stage does in it.

    `deviation` is that from the targets of the house; a move whose `was` is None is not counted.
    """

    setting: Setting
    deviation: Fraction
    moves: tuple[Move, ...]
    stages: tuple[Expected, ...]

    @property
    def counted(self) -> int:
        """How many moves there are."""
        return sum(m.was is not None for m in self.moves)


class Solution(Struct, frozen=True, kw_only=True):
    """`best` None: no setting is offered; `conflicts` say why and `nearest` is the nearest miss.

    `before` is what the moves start from: the board as left where that is recorded, else as found, else as delivered
    (`start`); `now` is what every stage does there, `differs` what its selectors tell the board otherwise than is
    there. `above`: static that is over plate or chart, so that no airflow is raised. `blame`: held positions without
    which something fits. `untold`: selectors that tell the board what is installed, where nothing here tells it.
    `held_back`: something has to be put right before any selector is moved.
    """

    house: House
    before: Setting
    start: Start
    now: tuple[Expected, ...]
    best: OfferedSetting | None = None
    others: tuple[OfferedSetting, ...] = ()
    nearest: OfferedSetting | None = None
    conflicts: tuple[Conflict, ...] = ()
    refused: tuple[tuple[str, str, No], ...] = ()
    blame: tuple[int, ...] = ()
    together: bool = False
    granted: Granted = Granted(held={})
    pressures: tuple[Pressure, ...] = ()
    above: Pressure | None = None
    untold: tuple[str, ...] = ()
    differs: tuple[DeclaredDifference, ...] = ()
    held_back: bool = False

    @property
    def targets(self) -> frozenset[tuple[str, str]]:
        """The stages that are aimed at."""
        return frozenset((t.call, t.stage) for t in targets_of(self.house))


def solution(
    house: House,
    *,
    near: Fraction = NEAR,
    first: int = 3,
    marks: Setting | None = None,
    more: Sequence[tuple[str, Window]] = (),
) -> Solution:
    """The settings of a house in their order. `marks`: the board as it stands (None: as left, else as found); `more`:
    limits of single calls beside those of the house. Raises rank.TooLarge where the search is beyond its bound."""
    found = marks if marks is not None else setting_now(house)
    start = _start(house, found)
    engine = _with(house.search, more)
    if start.above is not None:
        if found is None:
            return start
        engine = _not_raised(engine, found)
    targets = targets_of(house)
    aimed = frozenset((t.call, t.stage) for t in targets)
    heats = tuple(as_target(key, (None, None), house.table) for key in sorted(must_run(house, aimed) - aimed))
    request = Request(targets=(*targets, *heats), held=house.known.held, found=found, first=first, near=near)
    granted = grant(house, engine, replace(request, near=NEAR))
    request = replace(request, held=granted.held)
    result = _found(engine, request, start.before)
    start = replace(start, granted=granted, untold=tuple(result.space.delivered_used))
    if not result.found:
        return _nothing(start, engine, request, result)
    choices = [_choice(house, engine, start.before, f) for f in result.found]
    return replace(start, best=choices[0], others=tuple(choices[1:]))


def _start(house: House, found: Setting | None) -> Solution:
    measured = (
        pressures_of(house)
        if setting_now(house) is not None
        else tuple(
            pressure(figure, call, stage, house.job, house.engine) for call, stage, figure in house.ducts.measured
        )
    )
    own = house.search
    before = own.table.delivered(own.plate_model()) if found is None else found
    return Solution(
        house=house,
        before=before,
        start="factory" if found is None else "left" if found == house.known.left else "found",
        now=expected(house, own, evaluate(own, before)),
        pressures=measured,
        above=next((p for p in measured if p.above), None),
        differs=() if found is None else differences(house.engine, found),
    )


def _found(engine: Engine, request: Request, before: Setting) -> FindResult:
    """The search, with windows left open for calls whose leads stand in the way or that the page refuses as they
    stand; without the refused ones where those are refused everywhere."""
    at = before if request.found is not None else baseline_of(engine, None)
    own = Engine(as_it_stands(engine, at), engine.facts) if request.found is not None else engine
    leads, refused = open_targets(engine, at, request.targets)
    results = []
    for opened in dict.fromkeys(((*leads, *refused), leads)):
        results.append(find(own, replace(request, targets=(*request.targets, *opened))))
        if results[-1].found:
            break
    for one in results[-1].found[:1]:
        wrong = decoded_back(own.table, own.facts, one.setting, one.airflows)
        assert not wrong, f"the marks of the answer don't read back to its airflows: {wrong}"
    return results[-1] if results[-1].found else results[0]


def _choice(house: House, engine: Engine, before: Setting, found: Found) -> OfferedSetting:
    answers = evaluate(engine, found.setting)
    return OfferedSetting(
        setting=found.setting,
        deviation=found.deviation,
        moves=moves_between(before, found.setting),
        stages=expected(house, engine, answers),
    )


def _nothing(start: Solution, engine: Engine, request: Request, result: FindResult) -> Solution:
    house, miss = start.house, result.miss
    nearest = None if miss is None or miss.nearest is None else _choice(house, engine, start.before, miss.nearest)
    reasons = conflicts(house, engine, request, None if nearest is None else nearest.setting)
    return replace(
        start,
        nearest=nearest,
        conflicts=tuple(dict.fromkeys(reasons)),
        refused=() if miss is None else miss.refused,
        blame=() if miss is None else miss.blame,
        together=miss is not None and miss.together,
    )


# -- limits beside those of the house


def _with(engine: Engine, more: Sequence[tuple[str, Window]]) -> Engine:
    if not more:
        return engine
    calls = dict(engine.table.calls)
    for name, window in more:
        calls[name] = replace(calls[name], windows=(*calls[name].windows, window))
    return Engine(replace(engine.table, calls=calls), engine.facts)


def _not_raised(engine: Engine, setting: Setting) -> Engine:
    """The engine under which no airflow goes above what it is now."""
    board = Board(engine, setting)
    tops = []
    for name, call in engine.table.calls.items():
        for stage in call.stages:
            moved = board.airflow(engine.asked(call, stage))
            if isinstance(moved, Fraction):
                tops.append((name, Window(quantity="airflow", low=None, high=moved, stage=stage)))
    return _with(engine, tops)
