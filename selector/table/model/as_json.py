"""A table's values as plain JSON, and the same values made of it again.

A record is an object with the name of its class under "" and every field that isn't as it would be left out; anything
else JSON lacks is a list behind a number that says what it is. Only the records named in `table.py` are made, so that
what others wrote can be a wrong table and nothing worse.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from selector.table.model import table as _model
from selector.value import NODEFAULT, Struct, fields

_TUPLE, _SET, _MAP, _FRACTION, _WORD = range(5)
_DEEP = (dict, list)
_EXACT = 1 << 53
"""Whole numbers below this are the same to everything that reads JSON."""


def plain_of(value: Any) -> Any:
    """A value of the model, or one that holds such values, as JSON. Raises TypeError for anything else."""
    kind = type(value)
    if value is None or kind in (str, int, bool):
        return value
    if kind is tuple:
        return [_TUPLE, *map(plain_of, value)]
    if kind is Fraction:
        small = abs(value.numerator) < _EXACT and value.denominator < _EXACT
        return [_FRACTION, value.numerator, value.denominator] if small else [_FRACTION, str(value)]
    if kind is frozenset:
        return [_SET, *sorted(map(plain_of, value), key=repr)]
    if kind is _model.CellWord:
        return [_WORD, value.name]
    if _records().get(kind.__name__) is kind:
        left_out = _left_out(kind)
        said = {name: getattr(value, name) for name in kind.__struct_fields__}
        return {"": kind.__name__} | {n: plain_of(x) for n, x in said.items() if n not in left_out or x != left_out[n]}
    if isinstance(value, Mapping):
        return [_MAP, *(plain_of(x) for pair in value.items() for x in pair)]
    raise TypeError(f"{kind.__name__} is no value of a table")


def value_of(plain: Any) -> Any:
    """The value that `plain_of` made this of. Raises KeyError, TypeError, ValueError or IndexError for others."""
    if type(plain) not in _DEEP:
        return plain
    if type(plain) is dict:
        record = _records()[plain.pop("")]
        return record(**{name: x if type(x) not in _DEEP else value_of(x) for name, x in plain.items()})
    kind = plain[0]
    if kind == _FRACTION:
        return _fraction(*plain[1:])
    if kind == _WORD:
        return _model.CellWord[plain[1]]
    values = [x if type(x) not in _DEEP else value_of(x) for x in plain[1:]]
    if kind == _TUPLE:
        return tuple(values)
    if kind == _SET:
        return frozenset(values)
    if kind == _MAP:
        return dict(zip(values[::2], values[1::2], strict=True))
    raise ValueError(f"no value begins with {kind!r}")


@lru_cache(4096)
def _fraction(*typed: Any) -> Fraction:
    return Fraction(*typed)


@cache
def _records() -> dict[str, type[Struct]]:
    """The records that a table is made of, by name."""
    found = vars(_model).values()
    return {x.__name__: x for x in found if isinstance(x, type) and issubclass(x, Struct) and x is not Struct}


@cache
def _left_out(kind: type[Struct]) -> dict[str, Any]:
    """The fields that need not be given, with what they are then."""
    return {
        f.name: f.default if f.default is not NODEFAULT else f.default_factory()
        for f in fields(kind)
        if f.default is not NODEFAULT or f.default_factory is not NODEFAULT
    }
