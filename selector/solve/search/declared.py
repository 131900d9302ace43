"""Selectors that tell the board what equipment is there, held against what is known of it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.solve.engine.chart_reading import ChartReading
from selector.solve.engine.engine import Engine
from selector.solve.search.space import declared_position
from selector.table.model.table import No, Setting
from selector.value import Struct

HALF_STEP_TONS = Fraction(1, 4)
"""Outdoor units come in sizes of half a ton: nearer than this to a size is that size (common practice, no source)."""


class DeclaredDifference(Struct, frozen=True, kw_only=True):
    """A selector that tells the board of other equipment than is known to be there. `declares`: that is what it is for,
    and it is set from the fact; else a call takes its tons from it, and it may be set otherwise for its airflow."""

    selector: str
    fact: str
    board: str
    known: str
    declares: bool = True


def differences(engine: Engine, setting: Setting) -> tuple[DeclaredDifference, ...]:
    """Every selector that tells other equipment than is known to be there, each once."""
    return tuple(dict.fromkeys((*declared_otherwise(engine, setting), *_tons_told(engine, setting))))


def declared_otherwise(engine: Engine, setting: Setting) -> Iterator[DeclaredDifference]:
    """Those that are there to tell it."""
    for fact, part in engine.declarers.items():
        known = engine.facts.model if fact == "model" else engine.facts.values.get(fact)
        at = setting[part.index]
        if known is None or at is None or declared_position(engine, part, fact) == at:
            continue
        yield DeclaredDifference(
            selector=part.name,
            fact=fact,
            board=part.word(at) if at < 0 else part.tells(at),
            known=known if isinstance(known, str) else f"{float(known):g}",
        )


def _tons_told(engine: Engine, setting: Setting) -> Iterator[DeclaredDifference]:
    """Those that give a call other tons than are known of the outdoor unit."""
    known = engine.tons()
    if known is None:
        return
    for names, reading in told_tons(engine):
        told = reading.at(setting) if all(setting[p] is not None for p in reading.parts) else (None,)
        if isinstance(told, No) or not isinstance(told[0], Fraction) or abs(told[0] - known) < HALF_STEP_TONS:
            continue
        board, there = (f"{float(tons):g}" for tons in (told[0], known))
        yield DeclaredDifference(selector=names, fact="outdoor tons", board=board, known=there, declares=False)


def told_tons(engine: Engine) -> Iterator[tuple[str, ChartReading]]:
    """The selectors that a call with a compressor takes its tons from, none of them there to declare equipment, and
    what they give."""
    for call in engine.table.calls.values():
        reading = engine.tons_in_force(call, call.last) if call.compressor else None
        if reading is not None and reading.parts and not any(engine.table.parts[p].declares for p in reading.parts):
            yield " ".join(dict.fromkeys(engine.table.parts[p].selector for p in reading.parts)), reading
