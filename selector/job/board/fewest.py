"""The fewest moves that bring every call inside its window and limits, proved fewest, or what stands against it.

The search is the exact one (`selector.solve.search.find`) with the windows as aims: inside all of them the deviation is
0, and among settings of one
deviation the one with the fewest moves comes first. So the first answer is the proof: deviation 0, and no setting of
deviation 0 has fewer.
Where heat has to run that nothing judges, settings inside all windows are one group: the fewest moves first, then the
most air for that heat.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import islice, product

from selector.job.board.conflicting_limits import Obstacle, against
from selector.job.targets.stage_target import HIGHEST, Ends, Wanted, as_target, asked_of, ends, whys, windows
from selector.solve.board.marks import mark
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Found, Request, nearest
from selector.solve.search.read_back import decoded_back
from selector.solve.search.space import declared_position
from selector.solve.search.targets import Target
from selector.table.model.table import Chart, No, Row, Setting, Table
from selector.value import Struct, replace

WINDOWS = Fraction(10**15)
"""What a window weighs against the air of a heat that has none: being outside by the least that airflows differ
outweighs it all."""


MOST_WAYS = 36
"""In so many ways may what is installed stand open, each with a search of its own."""


class Move(Struct, frozen=True, kw_only=True):
    """One part from a position to another; `was` None where it couldn't be read and has to be set whatever it stands
    at."""

    part: int
    was: int | None
    to: int

    def text(self, table: Table) -> str:
        """`SW1-4 OFF -> ON`, with the marks printed on the board."""
        return f"{table.parts[self.part].name} {mark(table, self.part, self.was)} -> {mark(table, self.part, self.to)}"


class Fewest(Struct, frozen=True, kw_only=True):
    """`setting` None: none brings all inside; then `against` can't be had together, though any one less could (empty:
    every setting is refused).

    `first_read`: selectors that tell the board what is installed, can't be read, and on which the moves hang: nothing
    is offered before they are.
    `moves` counts marks that could be read; `to_set` are those that couldn't. `nearest`: the setting nearest to all
    windows, `shared` the parts
    that more than one call of `against` reads.
    """

    setting: Setting | None
    moves: tuple[Move, ...] = ()
    to_set: tuple[Move, ...] = ()
    against: tuple[Obstacle, ...] = ()
    nearest: Setting | None = None
    shared: tuple[int, ...] = ()
    first_read: tuple[int, ...] = ()

    @property
    def in_order(self) -> tuple[Move, ...]:
        """Every mark to set, as they stand on the board."""
        return tuple(sorted((*self.moves, *self.to_set), key=lambda move: move.part))


def fewest(engine: Engine, found: Setting, wanted: Sequence[Wanted], held: Mapping[int, int] | None = None) -> Fewest:
    """The fewest moves from `found`. Raises rank.TooLarge beyond the search's bound.

    A call that no setting gives an airflow, whatever is moved, doesn't stand against the others; a window of a stage
    that doesn't run and that
    nobody aims at isn't asked for.
    """
    held = dict(held or {})
    untold = _untold(engine, found, held)
    if untold:
        return _whatever_is_installed(engine, found, wanted, held, untold)
    wanted = _counting(engine, found, wanted)
    targets = _targets(engine.table, wanted)
    if targets is None:
        return Fewest(setting=None, against=tuple(Obstacle(words=words) for words in _reversed(engine.table, wanted)))
    open_heats, airy = _unwindowed_heats(engine, wanted)
    if airy:
        targets = tuple(replace(target, weight=WINDOWS) for target in targets)
    own = Engine(_as_it_stands(engine, found), engine.facts)
    leads, refused = _open(engine, found, targets)
    miss = None
    for more in dict.fromkeys(((*leads, *refused), leads)):
        asked = (*targets, *open_heats, *airy, *more)
        answer = nearest(own, Request(targets=asked, held=held, found=found, first=1, near=Fraction(100 * len(airy))))
        if answer is not None and answer.deviation <= len(airy):
            wrong = decoded_back(engine.table, engine.facts, answer.setting, answer.airflows)
            assert not wrong, f"the marks of the answer don't read back to its airflows: {wrong}"
            return _answer(found, answer)
        miss = miss or (answer.setting if answer is not None else None)
    running = tuple(as_target((t.call, t.stage), (None, None), engine.table) for t in (*open_heats, *airy))
    obstacles, shared = against(own, found, (*targets, *running), held, leads)
    return Fewest(setting=None, against=obstacles, shared=shared, nearest=miss)


def _untold(engine: Engine, found: Setting, held: Mapping[int, int]) -> tuple[int, ...]:
    """Parts that can't be read and tell the board what is installed, where no fact tells it either."""
    parts = [part.index for fact, part in engine.declarers.items() if declared_position(engine, part, fact) is None]
    return tuple(p for p in parts if found[p] is None and p not in held)


def _whatever_is_installed(
    engine: Engine, found: Setting, wanted: Sequence[Wanted], held: Mapping[int, int], untold: tuple[int, ...]
) -> Fewest:
    """The moves that are right wherever these parts stand; where they differ, nothing before they are read."""
    ways = list(islice(product(*(range(len(engine.table.parts[p].positions)) for p in untold)), MOST_WAYS + 1))
    answers = []
    for way in ways if len(ways) <= MOST_WAYS else ():
        at = dict(zip(untold, way, strict=True))
        answers.append(fewest(engine, tuple(at.get(i, p) for i, p in enumerate(found)), wanted, held))
        if answers[-1].setting is None or answers[-1].in_order != answers[0].in_order:
            return Fewest(setting=None, first_read=untold)
    if not answers or answers[0].setting is None:
        return Fewest(setting=None, first_read=untold)
    return replace(answers[0], setting=tuple(None if i in untold else p for i, p in enumerate(answers[0].setting)))


def _targets(table: Table, wanted: Sequence[Wanted]) -> tuple[Target, ...] | None:
    """Each stage's window as an aim; None where two windows of one stage exclude each other."""
    found = windows(wanted, table)
    if any(_empty(window) for window in found.values()):
        return None
    return tuple(as_target(key, window, table, whys(wanted, key)) for key, window in found.items())


def _unwindowed_heats(engine: Engine, wanted: Sequence[Wanted]) -> tuple[tuple[Target, ...], tuple[Target, ...]]:
    """Heat that has to run and has no window: where a limit of the table judges it, any airflow; else, of as few moves,
    those that give it most air.

    The second are aims that every airflow misses, by less than 1 each.
    """
    table, ends = engine.table, windows(wanted, engine.table)
    open_heats, airy = [], []
    for key in dict.fromkeys((one.call, one.stage) for one in wanted if one.must_run):
        if key in ends:
            continue
        call = table.calls[key[0]]
        if engine.limits(call, key[1], engine.asked(call, key[1]).rate)[0]:
            open_heats.append(as_target(key, (None, None), table))
        else:
            airy.append(as_target(key, (HIGHEST, None), table))
    return tuple(open_heats), tuple(airy)


def _counting(engine: Engine, found: Setting, wanted: Sequence[Wanted]) -> tuple[Wanted, ...]:
    """The windows of stages that run as found or are aimed at."""
    asked, board = asked_of(wanted), Board(engine, found)

    def runs(one: Wanted) -> bool:
        airflow = board.airflow(engine.asked(engine.table.calls[one.call], one.stage))
        return not (isinstance(airflow, No) and airflow.kind == "does_not_run")

    return tuple(one for one in wanted if (one.call, one.stage) in asked or runs(one))


def _open(engine: Engine, found: Setting, targets: Sequence[Target]) -> tuple[tuple[Target, ...], tuple[Target, ...]]:
    """Open windows that only widen the search: for running calls whose lead stands on a tap (a lead nobody asks about
    may make way for another),
    and for calls that the page refuses as they stand (their selectors have to move)."""
    table = engine.table
    exclusive = {p for s in table.selectors.values() if s.exclusive for p in s.parts}
    asked = {(t.call, t.stage) for t in targets}
    board = Board(engine, found)
    leads, refused = [], []
    for call in table.calls.values():
        for stage in call.stages:
            airflow = board.airflow(engine.asked(call, stage))
            no = airflow if isinstance(airflow, No) else None
            if (call.name, stage) in asked or (no is not None and no.kind == "does_not_run"):
                continue
            if call.lead.get(stage, call.lead.get("")) in exclusive:
                leads.append(as_target((call.name, stage), (None, None), table))
            elif no is not None and no.refused:
                refused.append(as_target((call.name, stage), (None, None), table))
    return tuple(leads), tuple(refused)


def _reversed(table: Table, wanted: Sequence[Wanted]) -> tuple[str, ...]:
    """The windows that exclude each other: those of a stage that are empty by themselves, else all of that stage."""
    bad = [key for key, window in windows(wanted, table).items() if _empty(window)]
    out = []
    for key in bad:
        mine = [w for w in wanted if (w.call, w.stage) == key]
        out += [w for w in mine if _empty(ends(w, table))] or mine
    return tuple(f"{w.title} {w.text(table)}" for w in out)


def _empty(window: Ends) -> bool:
    low, high = window
    return low is not None and high is not None and low > high


def _answer(found: Setting, answer: Found) -> Fewest:
    """The moves of a setting."""
    changed = [
        Move(part=i, was=was, to=to)
        for i, (was, to) in enumerate(zip(found, answer.setting, strict=True))
        if to is not None and was != to
    ]
    return Fewest(
        setting=answer.setting,
        moves=tuple(m for m in changed if m.was is not None),
        to_set=tuple(m for m in changed if m.was is None),
    )


def _as_it_stands(engine: Engine, found: Setting) -> Table:
    """The table for moves from `found`: unreadable parts stand nowhere in particular, and a row that behaves as
    another may stay as it is found."""
    table = engine.table
    parts = tuple(replace(part, factory={}) if found[part.index] is None else part for part in table.parts)
    charts = {name: _staying(chart, found) for name, chart in table.charts.items()}
    return replace(table, parts=parts, charts=charts)


def _staying(chart: Chart, found: Setting) -> Chart:
    """The chart with the row it is found on printed out, where that row behaves as another: such rows are never
    proposed, but may be left."""
    if any(key.kind != "part" for key in chart.keys):
        return chart
    at = tuple(found[key.part] for key in chart.keys)
    if any(position is None for position in at):
        return chart
    row = _row(chart, at)
    seen = 0
    target = row
    while target is not None and target.like and seen < 50:
        seen += 1
        target = _row(chart, tuple(own if p == -1 else p for p, own in zip(target.like, at, strict=True)))
    if row is None or not row.like or target is None or not target.cells:
        return chart
    plain = Row(
        positions=tuple(p for p in at if p is not None),
        cells=target.cells,
        typed=target.typed,
        note=row.note,
        line=row.line,
    )
    return replace(chart, rows=(plain, *(other for other in chart.rows if other.positions != plain.positions)))


def _row(chart: Chart, at: Sequence[int | None]) -> Row | None:
    """The row of these positions."""
    return next(
        (row for row in chart.rows if all(p in (-1, own) for p, own in zip(row.positions, at, strict=True))), None
    )
