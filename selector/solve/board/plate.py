"""Figures of the rating plate for what is installed."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.board.facts import Facts, same_value
from selector.table.model.range import Range
from selector.table.model.table import Condition, Table


def plate_figure(table: Table, facts: Facts, model: str | None, name: str, stage: str) -> Fraction | None:
    """A rating for a model and stage, that of the equipment that is known to be there where a selector decides it; in
    the table's unit. None where the plate doesn't tell."""
    rating = table.ratings.get(name)
    if rating is None:
        return None
    value = next((x for condition, x in rating.by if _installed(table, facts, condition)), rating.get(model, stage))
    return value if isinstance(value, Fraction) else None


def plate_span(table: Table, facts: Facts, name: str, stage: str) -> tuple[Range, int] | None:
    """What the rating plate allows of a quantity, that of the equipment that is known to be there where a selector
    decides it, in the table's unit, and its line. None where it says nothing for this stage."""
    by = (w for call in table.calls.values() for w in call.windows if w.quantity == name and w.source and w.when)
    here = (w for w in by if w.stage in ("", stage) and all(_installed(table, facts, c) for c in w.when))
    allowed = table.plate(name, table.unit.plate_model(facts.model), stage)
    plate = None if allowed is None else (allowed, table.ratings[name].line)
    return next(((Range(low=w.low, high=w.high), w.line) for w in here), plate)


def _installed(table: Table, facts: Facts, condition: Condition) -> bool:
    """True where what a selector declares is one of the things of a condition."""
    part = table.parts[condition.part]
    told = facts.values.get(part.declares)
    return told is not None and any(same_value(part.tells(i), told) for i in condition.allowed if i >= 0)
