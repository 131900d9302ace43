"""The list of page structures."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from .form import Page

Build = Callable[[random.Random], Page]


@dataclass(frozen=True)
class Structure:
    """One way a manual lays out a page; `build` makes a page of it."""

    name: str
    family: str
    build: Build

    def text(self, rng: random.Random) -> str:
        """The text of one table file."""
        return self.build(rng).text()


BOOK: list[Structure] = []


def structure(family: str) -> Callable[[Build], Build]:
    """Enters a builder under its own name into the book."""

    def enter(build: Build) -> Build:
        BOOK.append(Structure(build.__name__, family, build))
        return build

    return enter
