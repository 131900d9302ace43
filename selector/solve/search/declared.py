"""Selectors that tell the board what equipment is there, held against what is known of it."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.engine.engine import Engine
from selector.solve.search.space import declared_position
from selector.table.model.table import No, Setting
from selector.value import Struct


class DeclaredDifference(Struct, frozen=True, kw_only=True):
    """A selector that declares equipment other than what is known to be there."""

    selector: str
    fact: str
    board: str
    known: str


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


def tons_told(engine: Engine, setting: Setting) -> tuple[DeclaredDifference, ...]:
    """Selectors that give a call other tons than are known of the outdoor unit, each once; those that declare them are
    told by `differences`."""
    known = engine.tons()
    out: dict[str, DeclaredDifference] = {}
    for call in engine.table.calls.values():
        if known is None or not call.compressor:
            continue
        reading = engine.tons_in_force(call, call.last)
        if reading is None or any(setting[p] is None or engine.table.parts[p].declares for p in reading.parts):
            continue
        told = reading.at(setting)
        if isinstance(told, No) or told[0] == known or not isinstance(told[0], Fraction):
            continue
        names = " ".join(dict.fromkeys(engine.table.parts[p].selector for p in reading.parts))
        out[names] = DeclaredDifference(
            selector=names, fact="outdoor tons", board=f"{float(told[0]):g}", known=f"{float(known):g}"
        )
    return tuple(out.values())
