"""Reading a board as found: every call's airflow, and where something can't be read, every airflow it may be."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.evaluate import Board, CallAnswer, evaluate
from selector.solve.engine.readings import ChartReading, Outcome
from selector.solve.search.reach import airflows_over
from selector.solve.search.space import Space, Why, declared_position, read_back
from selector.table.model.table import Atom, Call, CellWord, Either, Named, No, Setting, figures_of
from selector.value import Struct, field


class Values(Struct, frozen=True, kw_only=True):
    """What a call's stage may be doing: the distinct airflows, rising, and the reasons why it may have none.

    Where a single unread part decides, `which` gives for each airflow the (part, position) pairs that lead to it.
    """

    airflows: tuple[Fraction, ...]
    noes: tuple[No, ...]
    which: Mapping[Fraction, tuple[tuple[int, int], ...]] = field(default_factory=dict)

    @property
    def certain(self) -> bool:
        """True where everything unreadable makes no difference."""
        return len(self.airflows) + len(self.noes) == 1


class DeclaredDifference(Struct, frozen=True, kw_only=True):
    """A selector that declares equipment other than what is known to be there."""

    selector: str
    fact: str
    board: str
    known: str


class Decoded(Struct, frozen=True, kw_only=True):
    """A board as found. `values` has every stage; `answers` are exact where nothing a stage needs is unreadable."""

    setting: Setting
    answers: Mapping[str, CallAnswer]
    values: Mapping[tuple[str, str], Values]
    differences: tuple[DeclaredDifference, ...]
    unread: tuple[int, ...]
    spoken: Mapping[tuple[str, str, str], tuple[object, ...]]


def with_declared(engine: Engine, setting: Setting, unread: Collection[int] = ()) -> Setting:
    """The setting with what nobody typed but a fact tells: a selector that declares the model or the heater stands at
    what is there. One that was looked at and can't be read stays open."""
    told = {
        part.index: declared_position(engine, part, fact)
        for fact, part in engine.declarers.items()
        if setting[part.index] is None and part.index not in unread
    }
    return tuple(told.get(i) if at is None else at for i, at in enumerate(setting))


def decode(engine: Engine, setting: Setting, unread: Collection[int] = ()) -> Decoded:
    """Everything a setting says. `unread`: the parts that were looked at and can't be read; others without a position
    are not known. Raises rank.TooLarge naming charts where too much is open to be worked out."""
    answers = evaluate(engine, setting, unread)
    values: dict[tuple[str, str], Values] = {}
    spoken: dict[tuple[str, str, str], tuple[object, ...]] = {}
    missing = tuple(i for i, at in enumerate(setting) if at is None)
    for call in engine.table.calls.values():
        for answer in answers[call.name].stages:
            values[call.name, answer.stage] = _values(engine, call, answer.stage, setting, answer.airflow, missing)
            for what, by_stage in (("ramp", call.ramp), ("on delay", call.on_delay), ("off delay", call.off_delay)):
                found = _words(engine, by_stage.get(answer.stage, by_stage.get("")), call, answer.stage, setting)
                if found:
                    spoken[call.name, answer.stage, what] = found
    return Decoded(
        setting=setting,
        answers=answers,
        values=values,
        differences=differences(engine, setting),
        unread=missing,
        spoken=spoken,
    )


def _values(
    engine: Engine, call: Call, stage: str, setting: Setting, airflow: Fraction | No, unread: tuple[int, ...]
) -> Values:
    point = engine.asked(call, stage)
    instructions = engine.airflow(call, stage, point.rate)
    needed = [p for p in dict.fromkeys(p for i in instructions for r in i.readings for p in r.parts) if p in unread]
    if not needed:
        if isinstance(airflow, No) and airflow.either is not None:
            return Values(airflows=airflow.either.figures, noes=())
        return (
            Values(airflows=(airflow,), noes=())
            if isinstance(airflow, Fraction)
            else Values(airflows=(), noes=(airflow,))
        )
    return _completions(engine, point, setting, needed)


def _completions(engine: Engine, point: Point, setting: Setting, needed: list[int]) -> Values:
    table = engine.table
    fixed: dict[int, tuple[int | None, Why]] = {i: (at, "as found") for i, at in enumerate(setting) if i not in needed}
    space = Space(
        baseline=setting,
        fixed=fixed,
        searched=tuple(needed),
        weights=dict.fromkeys(needed, 0),
        domains={i: tuple(range(len(table.parts[i].positions))) for i in needed},
    )
    certain, noes = airflows_over(engine, space, point, read_back(engine, setting))
    airflows = tuple(sorted({*certain, *(x for no in noes for x in figures_of(no))}))
    noes = tuple(no for no in noes if no.either is None)
    which: dict[Fraction, tuple[tuple[int, int], ...]] = {}
    if len(needed) == 1:
        for at in range(len(table.parts[needed[0]].positions)):
            board = Board(engine, tuple(at if i == needed[0] else was for i, was in enumerate(setting)))
            x = board.airflow(point)
            if isinstance(x, Fraction):
                which[x] = (*which.get(x, ()), (needed[0], at))
    return Values(airflows=airflows, noes=noes, which=which)


def _words(engine: Engine, atom: Atom | None, call: Call, stage: str, setting: Setting) -> tuple[object, ...]:
    """The distinct things a delay or ramp may be when its selector can't be read; empty where it can."""
    if not isinstance(atom, Named) or atom.kind == "ramp":
        return ()
    point = engine.asked(call, stage)
    for quantity, _, reading, cell, _ in engine.operands("seconds", atom, call, stage, point.rate):
        if reading is not None and quantity in ("ramp", "seconds") and any(setting[p] is None for p in reading.parts):
            every = (o.kind if isinstance(o, No) else o[cell] for o in _every(engine, reading, setting))
            said = (x for one in every for x in (one.figures if isinstance(one, Either) else (one,)))
            return tuple(
                dict.fromkeys(
                    Fraction(0) if one is CellWord.NONE else one.value if isinstance(one, CellWord) else one
                    for one in said
                )
            )
    return ()


def _every(engine: Engine, reading: ChartReading, setting: Setting) -> list[Outcome]:
    found: list[Outcome] = []
    open_parts: list[tuple[int, ...]] = [()]
    for p in reading.parts:
        at = setting[p]
        choices = range(len(engine.table.parts[p].positions)) if at is None else [at]
        open_parts = [(*o, c) for o in open_parts for c in choices][:70_000]
    for positions in open_parts:
        found.append(reading.find(positions))
    return found


def differences(engine: Engine, setting: Setting) -> tuple[DeclaredDifference, ...]:
    """Selectors whose declaration isn't the known equipment."""
    out: list[DeclaredDifference] = []
    for fact, part in engine.declarers.items():
        known = engine.facts.model if fact == "model" else engine.facts.values.get(fact)
        at = setting[part.index]
        if known is None or at is None or declared_position(engine, part, fact) == at:
            continue
        out.append(
            DeclaredDifference(
                selector=part.name,
                fact=fact,
                board=part.word(at) if at < 0 else part.tells(at),
                known=known if isinstance(known, str) else f"{float(known):g}",
            )
        )
    return tuple(out)
