"""Every danger and warning of a house: seen, measured, and how the board is set for the equipment that is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from selector.air.figure import given
from selector.job.board.move import Move
from selector.job.danger.charted import charted, cold_return, overfired
from selector.job.danger.hazard import Hazard, Raised, in_order
from selector.job.danger.measured import measured, pressures_read
from selector.job.danger.seen import seen
from selector.job.observed.danger_table import shared_tap
from selector.job.targets.house import House
from selector.judge.danger import may_be_set_for_less, set_for_less
from selector.solve.board.facts import number_in
from selector.solve.board.marks import shared_taps
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.declared import differences
from selector.solve.search.space import declared_position
from selector.table.model.table import Setting


def hazards(house: House, setting: Setting | None) -> tuple[Hazard, ...]:
    """In the order they are said. `setting`: the marks the board stands at, None where they aren't known."""
    board: tuple[Hazard, ...] = ()
    if setting is not None:
        unread = [part for part in house.known.unread if setting[part] is None]
        board = (*_set_for(house, setting), *may_be_set_for(house.engine, unread), *_shared_taps(house, setting))
        board += tuple(overfired(house, setting))
    return in_order((*seen(house.job), *measured(house, setting), *board))


def hazards_of_board(house: House, setting: Setting | None) -> tuple[Hazard, ...]:
    """The same with what the chart gives: a board that nobody measured yet is judged by it."""
    by_chart = charted(house, setting) if setting is not None else ()
    return in_order((*hazards(house, setting), *by_chart, *cold_return(house)))


def _set_for(house: House, setting: Setting) -> Iterator[Hazard]:
    """Selectors that tell the board a smaller heater or nozzle than is installed."""
    for one in differences(house.engine, setting):
        what = set_for_less(house.table, one)
        if what is None:
            continue
        told, there = number_in(one.board), number_in(one.known) or 0
        move = _move(house, setting, one.fact)
        yield Hazard(
            what=what[0],
            subject=one.selector,
            value=given("set_for", told or 0, what[1], source=f"{one.selector} on {one.board}", shown=one.board),
            limit=given("installed", there, what[1], source="the job"),
            by_chart=True,
            move=move,
            raised=None if move is None else _raised(house, setting, move),
        )


def _move(house: House, setting: Setting, fact: str) -> Move | None:
    """The position that tells what is there; None where none does."""
    part = house.engine.declarers.get(fact)
    to = None if part is None else declared_position(house.engine, part, fact)
    return None if part is None or to is None else Move(part=part.index, was=setting[part.index], to=to)


def _raised(house: House, setting: Setting, move: Move) -> Raised | None:
    """The stage whose airflow a move raises most; None where it raises none."""
    left = tuple(move.to if part == move.part else at for part, at in enumerate(setting))
    before, after = Board(house.engine, setting), Board(house.engine, left)
    out: list[Raised] = []
    for call in house.engine.table.calls.values():
        for stage in call.stages:
            asked = house.engine.asked(call, stage)
            now, then = before.airflow(asked), after.airflow(asked)
            if isinstance(now, Fraction) and isinstance(then, Fraction) and 0 < now < then:
                read = next(pressures_read(house, setting, call, stage), None)
                ends = [] if read is None else [one for one in (read.plate, read.holds) if one is not None]
                flows = [given(name, x, "cfm", source="the setting") for name, x in (("now", now), ("then", then))]
                out.append(
                    Raised(
                        title=f"{call.name} {stage}".strip(),
                        now=now,
                        then=then,
                        static_then=None if read is None else read.at(*flows),
                        most=min(ends, key=lambda end: end.value, default=None),
                    )
                )
    return max(out, key=lambda one: one.times, default=None)


def may_be_set_for(engine: Engine, unread: Iterable[int]) -> Iterator[Hazard]:
    """Those that can't be read and may tell it so."""
    for what, unit, one in may_be_set_for_less(engine, unread):
        limit = given("installed", number_in(one.known) or 0, unit, source="the job")
        yield Hazard(what=what, subject=one.selector, limit=limit, by_chart=True)


def _shared_taps(house: House, setting: Setting) -> Iterator[Hazard]:
    """Leads that stand on one tap, each pair once."""
    for lead, other, tap in shared_taps(setting, house.table):
        what = shared_tap(house.table.unit.motor).what
        yield Hazard(what=what, subject=f"{lead} and {other} share tap {tap}", by_chart=True)
