"""Values: records made of named fields, quick to define and to make.

`class Window(Struct, frozen=True, kw_only=True)` is a value that can't be changed; `replace` gives one with other
fields. A dataclass says the same,
but is put together anew from text for each class at every start; a hundred of them are a third of the time a command
takes.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any, TypeVar

import msgspec
from msgspec import NODEFAULT, Struct, field
from msgspec.structs import asdict, fields, replace

__all__ = [
    "NODEFAULT",
    "Placed",
    "Published",
    "Struct",
    "asdict",
    "data_of",
    "field",
    "fields",
    "json_of",
    "of_json",
    "replace",
    "shape_of",
]

T = TypeVar("T")
_WHERE = frozenset({"file", "lines", "line", "column"})


class Placed(Struct, frozen=True, kw_only=True):
    """A value that also says where it was typed; two that say the same are equal wherever they stand."""

    def _said(self) -> tuple[object, ...]:
        return tuple([getattr(self, name) for name in self.__struct_fields__ if name not in _WHERE])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Placed) and other.__class__ is self.__class__ and self._said() == other._said()

    def __hash__(self) -> int:
        return hash((self.__class__, self._said()))


class Published(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A value whose JSON and published schema come from itself: `data_of` makes the one, `shape_of` the other.

    Its docstring becomes the description; a field without a default is always there. A Fraction becomes a number.
    """


def data_of(value: object) -> Any:
    """A value as plain data for JSON: dicts, lists, texts, numbers."""
    return msgspec.to_builtins(value, enc_hook=_plain)


def json_of(value: object) -> bytes:
    """A value as JSON that `of_json` makes the same value of."""
    return msgspec.json.encode(value)


def of_json(data: bytes, kind: type[T]) -> T:
    """The value of a class out of its JSON. Raises ValueError for anything else."""
    return msgspec.json.decode(data, type=kind)


def shape_of(kind: type) -> dict[str, Any]:
    """The JSON Schema (2020-12) of what `data_of` makes of a value of this class."""
    return msgspec.json.schema(kind, schema_hook=_number)


def _plain(value: object) -> int | float:
    if not isinstance(value, Fraction):
        raise NotImplementedError(f"{type(value).__name__} has no JSON")
    return value.numerator if value.denominator == 1 else float(value)


def _number(kind: type) -> dict[str, Any]:
    if kind is not Fraction:
        raise NotImplementedError(f"{kind} has no JSON")
    return {"type": "number"}
