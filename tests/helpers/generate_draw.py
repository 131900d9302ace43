"""Where the choices of a drawn case come from, and what kind of case is wished for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Protocol, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")


class Draw(Protocol):
    """Where the choices come from."""

    def integer(self, low: int, high: int) -> int:
        """A whole number, ends included."""
        ...


class Seeded:
    """Choices from a seed."""

    def __init__(self, seed: int) -> None:
        self._random = Random(seed)

    def integer(self, low: int, high: int) -> int:
        """A whole number, ends included."""
        return self._random.randint(low, high)


class Drawn:
    """Choices from hypothesis."""

    def __init__(self, draw: st.DrawFn) -> None:
        self._draw = draw

    def integer(self, low: int, high: int) -> int:
        """A whole number, ends included."""
        return self._draw(st.integers(low, high))


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What to draw: boards of at most `most` settings, at most `calls` calls; `large` ones have several selectors,
    calls and targets.

    `grain` is the step of airflow figures, `degrees` that of rises; `heat_btuh` is the one figure that heats are (0:
    any). `modulating` makes
    the first call a heating call whose chart runs over firing rates, with a bound and a rise to keep.
    """

    most: int = 400
    calls: int = 6
    grain: int = 5
    degrees: int = 1
    heat_btuh: int = 0
    units: tuple[str, str, str, str] | None = None
    modulating: bool = False
    large: bool = False


class Chooser:
    """Choices of every kind out of whole numbers."""

    def __init__(self, draw: Draw, wish: Wish) -> None:
        self.draw = draw
        self.wish = wish

    def chance(self, percent: int) -> bool:
        """True in so many of a hundred; False is the simpler choice."""
        return self.draw.integer(0, 99) >= 100 - percent

    def pick(self, among: Sequence[T]) -> T:
        """One of them; the first is the simplest."""
        return among[self.draw.integer(0, len(among) - 1)]

    def some(self, among: Sequence[T], low: int, high: int) -> list[T]:
        """Some of them, in any order."""
        rest = list(among)
        count = min(len(rest), self.draw.integer(low, max(low, min(high, len(rest)))))
        return [rest.pop(self.draw.integer(0, len(rest) - 1)) for _ in range(count)]

    def shuffled(self, among: Sequence[T]) -> list[T]:
        """All of them, in any order."""
        return self.some(among, len(among), len(among))

    def grains(self, low: int, high: int) -> Fraction:
        """An airflow between two, by the grain."""
        g = self.wish.grain
        return Fraction(self.draw.integer(-(-low // g), high // g) * g)

    def degrees(self, low: int, high: int) -> Fraction:
        """A rise between two."""
        g = self.wish.degrees
        return Fraction(self.draw.integer(-(-low // g), high // g) * g)
