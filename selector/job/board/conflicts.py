"""Why nothing fits, in words: windows that leave no airflow, one trim that cannot serve two calls, floors that
stack, held positions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from selector.air.figure import Figure, Worked, renamed, text
from selector.job.board.conflicting_limits import Obstacle, against
from selector.job.board.smallest_conflict import narrowed
from selector.job.targets.aims import Bound, StageAim
from selector.job.targets.house import House
from selector.job.targets.stage_target import as_target, windows
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Request
from selector.solve.search.space import baseline_of
from selector.table.model.roles import COMPRESSOR
from selector.table.model.table import No, Setting
from selector.units import convert, format_number
from selector.value import Struct

REMEDY: Mapping[str, str] = {
    "face": "a larger face, or another way for the air, would be needed",
    "zone": "a bypass, a larger smallest zone, or a lower stage for it would be needed",
    "static": "the static has to come down first: filter, coil, dampers, duct",
    "leaving air": "less auxiliary heat at a time would be needed",
    "outlet": "less heat, or more airflow than this window has, would be needed",
}
"""What else than a setting helps, by what sets the end that is in the way."""


class Conflict(Struct, frozen=True, kw_only=True):
    """One reason in words, with the figures it rests on. `shared`: names of the parts that more than one call in it
    reads."""

    words: str
    figures: tuple[Figure, ...] = ()
    shared: tuple[str, ...] = ()


def empty_windows(aims: Iterable[StageAim]) -> tuple[Conflict, ...]:
    """Stages whose window leaves no airflow at all."""
    return tuple(_empty(one) for one in aims if one.empty)


def _empty(one: StageAim) -> Conflict:
    low, high = one.low, one.high
    assert low is not None
    assert high is not None
    least, most = renamed(low.figure, "least"), renamed(high.figure, "most")
    short = Worked(
        name="short_by",
        value=1 - most.value / least.value,
        unit="",
        expression="1 - most / least",
        inputs=(most, least),
    )
    words = (
        f"{one.title} needs at least {_cfm(low)} ({low.words}) and may have at most {_cfm(high)} ({high.words}):"
        f" no setting meets both, {format_number(100 * short.value, 0)} % are missing"
    )
    remedy = REMEDY.get(high.origin) or REMEDY.get(low.origin)
    return Conflict(words=f"{words}; {remedy}" if remedy else words, figures=(low.figure, high.figure, short))


def _cfm(bound: Bound) -> str:
    return f"{format_number(bound.figure.value, 0)} cfm"


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
    return (_together(house, obstacles, shared),) if obstacles else ()


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


def _together(house: House, obstacles: Iterable[Obstacle], shared: tuple[int, ...]) -> Conflict:
    listed = list(obstacles)
    names = tuple(house.table.parts[p].name for p in shared)
    unit = house.table.units.airflow
    parts = []
    for one in listed:
        nearest = (
            f" (the nearest there is by itself: {format_number(one.nearest, 0)} {unit})"
            if one.nearest is not None
            else ""
        )
        parts.append(f"{_because(house, one.words)}{nearest}")
    if len(parts) == 1:
        return Conflict(words=f"no setting gives {parts[0]}", shared=names)
    words = f"these can't be had together: {'; '.join(parts)}"
    if names:
        words += f"; {' '.join(names)} {'serves' if len(names) == 1 else 'serve'} all of them at once"
    return Conflict(words=words, shared=names)


def _because(house: House, words: str) -> str:
    """An obstacle's window with what sets its ends."""
    for one in sorted(house.aims, key=lambda a: -len(a.title)):
        if words.startswith(one.title + " "):
            why = [b.words for b in (one.low, one.high) if b is not None]
            return f"{words} ({'; '.join(dict.fromkeys(why))})" if why else words
    return words


def stacked_floors(house: House) -> Iterable[Conflict]:
    """Trim x low stage x dehumidify, per ton of the running capacity, where the aims themselves end under the floor."""
    for one in house.aims:
        if one.role not in COMPRESSOR or one.aim.standard is None or one.tons is None:
            continue
        low = next((b for b in one.bounds if b.origin == "floor"), None)
        if low is None or one.aim.charted is None or one.aim.charted.value >= low.figure.value:
            continue
        words = f"the aim of {one.title}, {text(one.aim.standard)}, is under its {low.words}"
        yield Conflict(words=words, figures=(one.aim.standard, low.figure))


def native(cfm: Fraction, house: House) -> Fraction:
    """An airflow of the job in the table's unit."""
    return convert(cfm, "cfm", house.table.units.airflow)
