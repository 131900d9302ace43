"""A number over what a table says, so that what was written down under one edition is not read with another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import Enum
from fractions import Fraction
from functools import cache
from hashlib import blake2b

from selector.table.model.table import Table
from selector.value import NODEFAULT, Struct, fields

_SPELLING = frozenset({"file", "name", "lines", "line", "column", "text", "typed"})
"""Fields that say how a file is written, and a table's name, which is its file's."""
_PROSE = frozenset({"note", "conditions", "transcribed", "page", "pages", "turned"})
"""Fields that change no airflow and no position."""


def edition(table: Table) -> str:
    """Eight digits: the same for every spelling of the same table, another once a figure, a mark, a step or a name is
    another.

    Comments, layout, line numbers, notes, page numbers and the order of entries in maps don't count; the order of rows
    and selectors does.
    """
    said = "".join(_written(table.printed or table)).encode("utf-8", "surrogatepass")
    return f"{int.from_bytes(blake2b(said, digest_size=16).digest(), 'big') % 10**8:08d}"


@cache
def _defaults(kind: type[Struct]) -> tuple[tuple[str, object], ...]:
    """Each field of a class with its default; NODEFAULT where it has none."""
    return tuple((f.name, f.default if f.default_factory is NODEFAULT else f.default_factory()) for f in fields(kind))


def _written(value: object, top: bool = True) -> Iterator[str]:
    """A value as one text; a field at its default is left out, so that a field added later changes nothing."""
    if isinstance(value, Struct):
        yield f"{type(value).__name__}("
        for name, default in _defaults(type(value)):
            inner = getattr(value, name)
            if name in _PROSE or (name in _SPELLING and (top or name != "name")):
                continue
            if default is NODEFAULT or inner != default:
                yield f"{name}="
                yield from _written(inner, top=False)
        yield ")"
    elif isinstance(value, Mapping):
        yield "{"
        for key, inner in sorted(value.items(), key=lambda item: repr(item[0])):
            yield repr(key) + ":"
            yield from _written(inner, top=False)
        yield "}"
    elif isinstance(value, (tuple, list)):
        yield "["
        for inner in value:
            yield from _written(inner, top=False)
            yield ","
        yield "]"
    elif isinstance(value, frozenset):
        yield from _written(sorted(value, key=repr), top=False)
    elif isinstance(value, Enum):
        yield value.name
    elif isinstance(value, Fraction):
        yield f"{value.numerator}/{value.denominator}"
    else:
        yield repr(value)
