"""All page structures in one list; every third is held back."""

from __future__ import annotations

from . import curves, heats, jumpers, models, orders, steps
from .registry import BOOK, Structure

FAMILIES = tuple(module.__name__.rpartition(".")[2] for module in (models, orders, heats, curves, jumpers, steps))
PAGES: tuple[Structure, ...] = tuple(sorted(BOOK, key=lambda page: FAMILIES.index(page.family)))
HELD: frozenset[str] = frozenset(page.name for page in PAGES[2::3])


def pages(held: bool | None = None) -> list[Structure]:
    """The structures; only those held back, or only the others, when asked."""
    return [page for page in PAGES if held is None or (page.name in HELD) == held]
