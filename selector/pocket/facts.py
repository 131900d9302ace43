"""What the engine makes of a table for every value a fact may have: worked out by asking it, never by knowing its
rules.

A thing made from facts becomes a tree. Where the engine looks at a fact, the tree branches: on each word of the page,
or, for a number, on the
printed figures and the gaps between them. In a gap everything is sampled at several figures and written as polynomials
of the fact; a figure more
checks them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any

from selector.solve.board.facts import Facts
from selector.solve.search.typed_facts import declared_positions
from selector.table.from_file.made_charts import ALTITUDE
from selector.table.model.table import Condition, Table
from selector.value import Struct

Tree = Any
"""A nested value of tuples, texts, fractions, truths, None; `("by", ...)` where it branches."""


class Offered(Struct, frozen=True, kw_only=True):
    """A fact that may be given on the page: one of `words`, or a number in `unit` with its `figures` where anything
    changes its form."""

    name: str
    words: tuple[str, ...] = ()
    figures: tuple[Fraction, ...] = ()
    unit: str = ""


def offered_by(table: Table, given: Facts) -> dict[str, Offered]:
    """The facts that matter to this table and aren't given already."""
    out: dict[str, Offered] = {}
    printed: dict[str, set[Fraction]] = {}
    for chart in table.charts.values():
        for key in (*chart.keys, *chart.heads):
            if key.continuous:
                printed.setdefault(key.name, set()).update(key.numbers)
    for one in _conditions(table):
        if one.ranged:
            printed.setdefault(one.name, set()).update(x for x in (one.low, one.high) if x is not None)
    for name, words in declared_positions(table).items():
        out[name] = Offered(name=name, words=words)
    for fact in table.facts.values():
        if fact.values:
            out[fact.name] = Offered(name=fact.name, words=fact.values)
        else:
            ends = {x for x in (fact.low, fact.high) if x is not None}
            figures = tuple(sorted(ends | printed.get(fact.name, set())))
            out[fact.name] = Offered(name=fact.name, figures=figures, unit="ft" if fact.name == ALTITUDE else "")
    held = [table.unit.holds_up_to, *(c.holds_up_to for c in table.charts.values())]
    windows = [w for call in table.calls.values() for w in call.windows if w.quantity == "static pressure"]
    ends = {x for x in (*held, *(end for w in windows for end in (w.low, w.high))) if x is not None}
    if "plate static" in table.ratings:
        ends |= {x for x in table.ratings["plate static"].values.values() if isinstance(x, Fraction)}
    if ends:
        printed["static pressure"] = ends | printed.get("static pressure", set())
    for name, unit in (("static pressure", table.units.pressure), ("firing rate", "%")):
        if name in printed:
            out[name] = Offered(name=name, figures=tuple(sorted(printed[name])), unit=unit)
    if "heater voltage" in table.ratings:
        out.setdefault("supply voltage", Offered(name="supply voltage", unit="V"))
    if not any(f.gives == "tons" or f.name in ("outdoor tons", "tons") for f in table.facts.values()) and any(
        c.compressor or any(w.quantity == "airflow per ton" for w in c.windows) for c in table.calls.values()
    ):
        out.setdefault("outdoor tons", Offered(name="outdoor tons", unit="tons"))
    return {name: one for name, one in out.items() if name not in given.values}


def _conditions(table: Table) -> Iterator[Condition]:
    """Everything that holds only under something."""
    yield from table.unit.only
    for chart in table.charts.values():
        yield from chart.only
        yield from (c for note in chart.notes for c in note.only)
    for call in table.calls.values():
        yield from call.when
        yield from (c for step in (*call.airflow, *call.heat) for c in step.when)
        yield from (c for window in call.windows for c in window.when)


class Unasked(Exception):
    """The engine looked at a fact that is still open."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class Asking(Mapping[str, "Fraction | str"]):
    """Known facts; a look at one that is still open raises Unasked."""

    def __init__(self, known: Mapping[str, Fraction | str | None], open_names: frozenset[str]) -> None:
        self._known, self._open = known, open_names

    def __getitem__(self, name: str) -> Fraction | str:
        value = self._known.get(name)
        if value is None:
            if name in self._open and name not in self._known:
                raise Unasked(name)
            raise KeyError(name)
        return value

    def __iter__(self) -> Iterator[str]:
        return (name for name, value in self._known.items() if value is not None)

    def __len__(self) -> int:
        return sum(1 for _ in self)


Make = Callable[[Mapping[str, "Fraction | str | None"]], Tree]


def explored(
    make: Make, offered: Mapping[str, Offered], merge: Callable[[Sequence[Tree], str, Sequence[Fraction]], Tree]
) -> Tree:
    """The tree of what `make` gives for every value of every fact it looks at."""

    def go(known: Mapping[str, Fraction | str | None]) -> Tree:
        try:
            return make(known)
        except Unasked as open_one:
            fact = offered[open_one.name]
        if fact.words:
            return (
                "by",
                fact.name,
                go({**known, fact.name: None}),
                tuple((w, go({**known, fact.name: w})) for w in fact.words),
            )
        gaps = []
        for samples in samples_of(fact.figures):
            gaps.append(merge([go({**known, fact.name: x}) for x in samples], fact.name, samples))
        return (
            "along",
            fact.name,
            go({**known, fact.name: None}),
            tuple((x, go({**known, fact.name: x})) for x in fact.figures),
            tuple(gaps),
        )

    return go({})


def samples_of(figures: Sequence[Fraction]) -> list[list[Fraction]]:
    """Four figures below the first, in each gap, and above the last."""
    if not figures:
        return [[Fraction(i) for i in (2, 3, 5, 7)]]
    shares = (Fraction(1, 7), Fraction(2, 7), Fraction(4, 7), Fraction(5, 7))
    first, last = figures[0], figures[-1]
    span = max(abs(first), Fraction(1))
    out = [[first - span * (1 - s) * (1 if first <= 0 else Fraction(9, 10)) for s in shares]]
    for a, b in pairwise(figures):
        out.append([a + (b - a) * s for s in shares])
    out.append([last + span * s for s in shares])
    return out


def fitted(values: Sequence[Fraction], xs: Sequence[Fraction]) -> tuple[Fraction, Fraction, Fraction]:
    """The polynomial of degree 2 through the first three; ValueError if the others don't lie on it."""
    (x0, x1, x2), (y0, y1, y2) = xs[:3], values[:3]
    first = (y1 - y0) / (x1 - x0)
    second = ((y2 - y1) / (x2 - x1) - first) / (x2 - x0)
    c = (y0 - first * x0 + second * x0 * x1, first - second * (x0 + x1), second)
    if any(c[0] + c[1] * x + c[2] * x * x != y for x, y in zip(xs, values, strict=True)):
        raise ValueError("not a polynomial of the fact")
    return c


def general(x: Fraction) -> str:
    """A number as the reasons of a No print it."""
    return f"{float(x):g}"


__all__ = ["Asking", "Offered", "Tree", "Unasked", "explored", "fitted", "general", "offered_by"]
