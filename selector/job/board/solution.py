"""One setting of the whole board for a house, or why there is none: the one search that plan, found and verify share.

What counts is the same for all: the facts, every limit of page, plate and house on every call that runs, the wishes,
the positions held. They differ in `near` alone: plan ranks by the deviation from its targets, found takes all settings
as one group, so that the fewest moves come first, then the deviation, then the order of the board.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.job.board.conflicts import Conflict, conflicts
from selector.job.board.expected import Expected, expected, judged
from selector.job.board.move import Move, moves_between
from selector.job.board.state_readings import settled_by
from selector.job.board.wishes import Granted, grant
from selector.job.readings.readings_by_state import by_state, taken_in
from selector.job.readings.settled_marks import SettledMark, completed
from selector.job.readings.static import Pressure, pressure
from selector.job.targets.house import House, must_run, targets_of
from selector.job.targets.stage_target import as_target
from selector.judge.judgement import Judgement
from selector.judge.known_facts import KnownFacts, OutsideLimit
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.declared import DeclaredDifference
from selector.solve.search.find import NEAR, FindResult, Found, Request, find
from selector.solve.search.read_back import decoded_back
from selector.table.model.range import Range
from selector.table.model.table import No, Setting
from selector.value import Struct, replace

FEWEST = Fraction(10**9)
"""`near`, in percentage points, for the fewest moves: all settings are one group."""
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
    (`start`); `judged` and `now`: how it stands and what every stage does there. `above`: static that is over plate or
    chart, so that no airflow is raised. `blame`: held positions without which something fits. `untold`: selectors that
    tell the board what is installed, where nothing here tells it. `held_back`: something has to be put right before any
    selector is moved. `settled`: what measurements say of marks that weren't known.
    """

    house: House
    before: Setting
    start: Start
    judged: Judgement
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
    settled: tuple[SettledMark, ...] = ()
    held_back: bool = False

    @property
    def contradictions(self) -> tuple[DeclaredDifference, ...]:
        """What the board's selectors tell it otherwise than is there; nothing of a board that is new."""
        return () if self.start == "factory" else self.judged.contradictions

    @property
    def untrue(self) -> tuple[DeclaredDifference, ...]:
        """Those of them that are faults."""
        return () if self.start == "factory" else self.judged.untrue

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
    more: Sequence[OutsideLimit] = (),
) -> Solution:
    """The settings of a house in their order. `marks`: the board as it stands (None: as left, else as found); `more`:
    limits beside those of the house. Raises rank.TooLarge where the search is beyond its bound."""
    found = marks if marks is not None else house.now
    start = _start(house, found)
    known = replace(house.known_facts, limits=(*house.known_facts.limits, *more))
    if start.above is not None:
        if found is None:
            return start
        known = replace(known, limits=(*known.limits, *_not_raised(house, start.judged.setting)))
    engine = known.engine(house.engine.table)
    targets = targets_of(house)
    aimed = {(t.call, t.stage) for t in targets}
    running = tuple(as_target(key) for key in sorted(must_run(house) - aimed))
    before = None if found is None else start.before
    request = Request(
        targets=(*targets, *running),
        held=house.known.held,
        found=before,
        unread=frozenset(i for i in house.known.unread if before is not None and before[i] is None),
        first=first,
        near=near,
        otherwise=False,
    )
    granted = grant(house, engine, replace(request, near=NEAR))
    request = replace(request, held=granted.held)
    result = find(engine, request)
    start = replace(start, granted=granted, untold=tuple(result.space.delivered_used))
    if not result.found:
        return _nothing(start, known, engine, request, result)
    for one in result.found[:1]:
        wrong = decoded_back(engine.table, engine.facts, one.setting, one.airflows)
        assert not wrong, f"the marks of the answer don't read back to its airflows: {wrong}"
    choices = [_choice(house, engine, start.before, f) for f in result.found]
    return replace(start, best=choices[0], others=tuple(choices[1:]))


def _start(house: House, found: Setting | None) -> Solution:
    measured = (
        tuple(_pressures(house, house.now))
        if house.now is not None
        else tuple(
            pressure(figure, call, stage, house.job, house.engine) for call, stage, figure in house.ducts.measured
        )
    )
    own = house.search
    settled = () if found is None else settled_by(house, found)
    at = own.table.delivered(own.plate_model()) if found is None else completed(found, settled)
    stands = judged(house, own, at)
    return Solution(
        house=house,
        settled=settled,
        before=stands.setting,
        start="factory" if found is None else "left" if found == house.known.left else "found",
        judged=stands,
        now=expected(house, own, stands),
        pressures=measured,
        above=next((p for p in measured if p.above), None),
    )


def _pressures(house: House, setting: Setting) -> Iterator[Pressure]:
    """Every static that was measured and counts, in its call and stage, held against plate and chart."""
    for key, readings in by_state(house.job, house.engine)[0].items():
        state = taken_in(key, readings, house.job, house.engine, setting, {}, {})
        for one in state.taken:
            if one.static is not None:
                yield pressure(one.static, state.call, state.stage, house.job, house.engine, setting)


def _choice(house: House, engine: Engine, before: Setting, found: Found) -> OfferedSetting:
    return OfferedSetting(
        setting=found.setting,
        deviation=found.deviation,
        moves=moves_between(before, found.setting, house.known.unread),
        stages=expected(house, engine, judged(house, engine, found.setting)),
    )


def _nothing(start: Solution, known: KnownFacts, engine: Engine, request: Request, result: FindResult) -> Solution:
    house, miss = start.house, result.miss
    nearest = None if miss is None or miss.nearest is None else _choice(house, engine, start.before, miss.nearest)
    return replace(
        start,
        nearest=nearest,
        conflicts=conflicts(house, known, request, start.judged.setting if nearest is None else nearest.setting),
        refused=() if miss is None else miss.refused,
        blame=() if miss is None else miss.blame,
        together=miss is not None and miss.together,
    )


def _not_raised(house: House, setting: Setting) -> list[OutsideLimit]:
    """Limits under which no airflow goes above what it is now."""
    engine = house.search
    board = Board(engine, setting)
    out = []
    for name, call in engine.table.calls.items():
        for stage in call.stages:
            now = board.airflow(engine.asked(call, stage))
            if isinstance(now, Fraction):
                out.append(
                    OutsideLimit(quantity="airflow", range=Range(high=now), source="not raised", call=name, stage=stage)
                )
    return out
