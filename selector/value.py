"""Equality, hash and printing of values, written once.

A dataclass generates these anew for each class when it is imported; for the hundred or so values of this program that is a third of the time
a command takes to start. Classes say `@dataclass(frozen=True, kw_only=True, slots=True, eq=False, repr=False)` and derive from `ByFields`.
"""

from __future__ import annotations


class ByFields:
    """Equal to another of the same class with the same fields; printed with its fields."""

    __slots__: tuple[str, ...] = ()

    def _fields(self) -> tuple[object, ...]:
        return tuple([getattr(self, name) for name in self.__slots__])

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, ByFields):
            return NotImplemented
        return self is other or (other.__class__ is self.__class__ and self._fields() == other._fields())

    def __hash__(self) -> int:
        return hash((self.__class__, self._fields()))

    def __repr__(self) -> str:
        shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__slots__)
        return f"{self.__class__.__name__}({shown})"
