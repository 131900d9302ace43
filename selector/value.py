"""Values: records made of named fields, quick to define and to make.

`class Window(Struct, frozen=True, kw_only=True)` is a value that can't be changed; `replace` gives one with other
fields. A dataclass says the same,
but is put together anew from text for each class at every start; a hundred of them are a third of the time a command
takes.
"""

from __future__ import annotations

from msgspec import NODEFAULT, Struct, field
from msgspec.structs import fields, replace

__all__ = ["NODEFAULT", "Placed", "Struct", "field", "fields", "replace"]

_WHERE = frozenset({"file", "lines", "line", "column"})


class Placed(Struct, frozen=True, kw_only=True):
    """A value that also says where it was typed; two that say the same are equal wherever they stand."""

    def _said(self) -> tuple[object, ...]:
        return tuple([getattr(self, name) for name in self.__struct_fields__ if name not in _WHERE])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Placed) and other.__class__ is self.__class__ and self._said() == other._said()

    def __hash__(self) -> int:
        return hash((self.__class__, self._said()))
