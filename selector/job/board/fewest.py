"""The fewest moves that bring every call inside its windows and limits, or what stands against them.

The search is the exact one with every setting in one group: the fewest moves first, then the nearest to the aims.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.job.board.conflicting_limits import Obstacle, against
from selector.job.board.move import Move, moves_between
from selector.job.board.open_targets import as_it_stands, open_targets
from selector.job.targets.stage_target import Ends, Wanted, as_target, asked_of, ends, native, whys, windows
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Found, Request, nearest
from selector.solve.search.read_back import decoded_back
from selector.solve.search.targets import Target
from selector.table.model.table import No, Setting, Table, Window
from selector.value import Struct, replace

ONE_GROUP = Fraction(10**9)
"""`near`, in percentage points, that makes one group of all settings."""


class Fewest(Struct, frozen=True, kw_only=True):
    """`setting` None: none brings all inside; then `against` can't be had together, though any one less could (empty:
    every setting is refused). `moves` counts marks that could be read; `to_set` are those that couldn't. `nearest`: the
    setting nearest to all windows, `shared` the parts that more than one call of `against` reads."""

    setting: Setting | None
    moves: tuple[Move, ...] = ()
    to_set: tuple[Move, ...] = ()
    against: tuple[Obstacle, ...] = ()
    nearest: Setting | None = None
    shared: tuple[int, ...] = ()

    @property
    def in_order(self) -> tuple[Move, ...]:
        """Every mark to set, as they stand on the board."""
        return tuple(sorted((*self.moves, *self.to_set), key=lambda move: move.part))


def fewest(engine: Engine, found: Setting, wanted: Sequence[Wanted], held: Mapping[int, int] | None = None) -> Fewest:
    """The fewest moves from `found`. Raises rank.TooLarge beyond the search's bound.

    A call that no setting gives an airflow, whatever is moved, doesn't stand against the others; a window of a stage
    that doesn't run and that nobody aims at isn't asked for.
    """
    held = dict(held or {})
    wanted = _counting(engine, found, wanted)
    ends_of = windows(wanted, engine.table)
    bad = [key for key, window in ends_of.items() if _empty(window)]
    if bad:
        return Fewest(
            setting=None, against=tuple(Obstacle(words=words) for words in _reversed(engine.table, wanted, bad))
        )
    own = Engine(as_it_stands(engine, found), engine.facts)
    within = Engine(_windowed(own.table, ends_of), own.facts)
    asked = _asked(engine.table, wanted, ends_of)
    leads, refused = open_targets(engine, found, asked)
    for more in dict.fromkeys(((*leads, *refused), leads)):
        answer = nearest(within, Request(targets=(*asked, *more), held=held, found=found, first=1, near=ONE_GROUP))
        if answer is not None:
            return _answer(within, found, answer)
    targets = [as_target(key, window, engine.table, whys(wanted, key)) for key, window in ends_of.items()]
    targets += [replace(t, low=Fraction(0)) for t in asked if (t.call, t.stage) not in ends_of]
    obstacles, shared = against(own, found, targets, held, leads)
    miss = nearest(own, Request(targets=(*targets, *leads), held=held, found=found, first=1, near=Fraction(0)))
    return Fewest(setting=None, against=obstacles, shared=shared, nearest=None if miss is None else miss.setting)


def _windowed(table: Table, ends_of: Mapping[tuple[str, str], Ends]) -> Table:
    calls = dict(table.calls)
    for (name, stage), (low, high) in ends_of.items():
        window = Window(quantity="airflow", low=low, high=high, stage=stage)
        calls[name] = replace(calls[name], windows=(*calls[name].windows, window))
    return replace(table, calls=calls)


def _asked(table: Table, wanted: Sequence[Wanted], ends_of: Mapping[tuple[str, str], Ends]) -> tuple[Target, ...]:
    """The aims; an open target for every stage that has a window or has to run without one."""
    out: dict[tuple[str, str], Target] = {}
    for one in wanted:
        aim = native(one.aim, table)
        if aim is not None:
            exact = as_target((one.call, one.stage), (aim, aim), table)
            out[one.call, one.stage] = exact
        elif one.must_run or (one.call, one.stage) in ends_of:
            out.setdefault((one.call, one.stage), as_target((one.call, one.stage), (None, None), table))
    return tuple(out.values())


def _counting(engine: Engine, found: Setting, wanted: Sequence[Wanted]) -> tuple[Wanted, ...]:
    """The windows of stages that run as found or are aimed at."""
    asked, board = asked_of(wanted), Board(engine, found)

    def runs(one: Wanted) -> bool:
        airflow = board.airflow(engine.asked(engine.table.calls[one.call], one.stage))
        return not (isinstance(airflow, No) and airflow.kind == "does_not_run")

    return tuple(one for one in wanted if (one.call, one.stage) in asked or runs(one))


def _reversed(table: Table, wanted: Sequence[Wanted], bad: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """The windows that exclude each other: those of a stage that are empty by themselves, else all of that stage."""
    out = []
    for key in bad:
        mine = [w for w in wanted if (w.call, w.stage) == key]
        out += [w for w in mine if _empty(ends(w, table))] or mine
    return tuple(f"{w.title} {w.text(table)}" for w in out)


def _empty(window: Ends) -> bool:
    low, high = window
    return low is not None and high is not None and low > high


def _answer(engine: Engine, found: Setting, answer: Found) -> Fewest:
    """The moves of a setting, read back from its marks."""
    wrong = decoded_back(engine.table, engine.facts, answer.setting, answer.airflows)
    assert not wrong, f"the marks of the answer don't read back to its airflows: {wrong}"
    changed = moves_between(found, answer.setting)
    return Fewest(
        setting=answer.setting,
        moves=tuple(m for m in changed if m.was is not None),
        to_set=tuple(m for m in changed if m.was is None),
    )
