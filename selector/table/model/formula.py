"""A call as a formula in words, and a chart as a grid: what a person holds beside the page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import product
from types import MappingProxyType

from selector.table.model.quantities import FORMS, STARTS, STEPS, acting, operation_of
from selector.table.model.table import (
    ABOUT,
    ANY,
    Atom,
    Call,
    CallValue,
    Chart,
    Condition,
    Either,
    PerTon,
    Ramp,
    Row,
    Table,
)
from selector.units import format_number, plain

Names = Mapping[str, str]


def number(value: Fraction) -> str:
    """A figure as short as it is exact, else to six places."""
    try:
        return plain(value)
    except ValueError:
        return f"{float(value):g}"


def _unit(table: Table, op: str) -> str:
    kind = STEPS[op].unit if op in STEPS else "airflow"
    return {
        "percent": " %",
        "airflow": f" {table.units.airflow}",
        "temperature difference": f" {table.units.temperature}",
        "tons": " tons",
        "airflow per ton": f" {table.units.airflow} per ton",
    }.get(kind, "")


def _name(table: Table, atom: Atom, op: str, names: Names) -> str:
    if isinstance(atom, Fraction):
        sign = "+" if op in STEPS and STEPS[op].signed and atom > 0 else ""
        shown = format_number(atom, 1, commas=False) if table.units.converted else number(atom)
        return f"{sign}{shown}{_unit(table, op)}"
    if isinstance(atom, PerTon):
        return f"{number(atom.value)} {table.units.airflow} per ton"
    if isinstance(atom, Either):
        return f"{atom.words}{_unit(table, op)}"
    if isinstance(atom, CallValue):
        return f"call {names.get(atom.call, atom.call)} {atom.stage}".strip()
    by = f" by {names.get(atom.by, atom.by)}" if atom.by else ""
    return f"{names.get(atom.name, atom.name)}{by}"


def _acts(table: Table, atom: Atom, op: str) -> list[str]:
    """The operations `use: NAME` stands for."""
    if op != "use" or isinstance(atom, (Fraction, Either, PerTon, CallValue)):
        return [op]
    if atom.kind == "chart":
        return list(acting(table.charts[atom.name].gives))
    if atom.kind == "part":
        return [table.selectors[table.parts[atom.part].selector].gives]
    if atom.kind == "fact":
        return [table.facts[atom.name].gives]
    return [atom.name]


def when_text(table: Table, conditions: tuple[Condition, ...], names: Names = MappingProxyType({})) -> str:
    """` (when LK1 is cut and J1 is A or B)`; empty without conditions."""
    words = [condition_text(table, c, names, " is ") for c in conditions]
    return f" (when {' and '.join(words)})" if words else ""


def condition_text(table: Table, c: Condition, names: Names = MappingProxyType({}), between: str = " ") -> str:
    """`LK1 cut`, `static pressure up to 0.5`: a name and its values."""
    values = [table.parts[c.part].word(i) for i in sorted(c.allowed)] if c.part >= 0 else list(c.words)
    return f"{names.get(c.name, c.name)}{between}{' or '.join(values)}"


def formula(table: Table, call: Call, stage: str, names: Names = MappingProxyType({})) -> str:
    """`cooling airflow, then x (1 + trims), then x 66 %, then at least 400 cfm`: each step works on the
    result so far.

    What stands in `names` is told by other names: those of a table that is held against this one.
    """
    out: list[str] = []
    for step in call.airflow:
        atom = step.value(stage)
        if atom is None:
            continue
        for op in _acts(table, atom, step.op):
            out.append(_joined(_step(table, atom, op, names), bool(out), op, when_text(table, step.when, names)))
    return "".join(out) + when_text(table, call.when, names)


def _step(table: Table, atom: Atom, op: str, names: Names) -> str:
    operation = operation_of(op)
    words = FORMS[operation].words.format(_name(table, atom, op, names))
    return words.replace("+ +", "+ ").replace("+ -", "- ")


def _joined(text: str, later: bool, op: str, when: str) -> str:
    if not later:
        return text + when
    operation = operation_of(op)
    if operation == "product":
        return f" x {text}{when}"
    return f"{', or ' if operation in STARTS else ', then '}{text}{when}"


def ramp_words(
    ramp: Ramp,
    seconds: Callable[[Fraction], str],
    share: Callable[[Fraction], str],
    of_call: Callable[[CallValue], str] = lambda _: "",
) -> list[str]:
    """The parts of a ramp in words: `60 s at 45 %`, `30 s from 0 % to 100 %`, `then 100 %`, `after the call 90 s
    at call fan`. `of_call` adds to the words of another call."""
    out: list[str] = []
    first = [step for step in ramp.steps if not step.after]
    if len(first) > 1 and first[-2].start is not None and first[-2].share == first[-1].share:
        first.pop()  # it stays where it has climbed to
    before = len(first)
    for n, step in enumerate([*first, *(step for step in ramp.steps if step.after)], start=1):
        other = step.call
        at = share(step.share) if other is None else f"call {other.call} {other.stage}".strip() + of_call(other)
        if step.start is not None:
            text = f"{seconds(step.seconds)} from {share(step.start)} to {at}"
        else:
            text = f"{seconds(step.seconds)} at {at}" if step.seconds else at
        out.append(f"after the call {text}" if step.after else f"then {text}" if n == before > 1 else text)
    return out


def heads_of(chart: Chart) -> list[list[str]]:
    """The lines of heads above the figures, outermost first; the quantities last where a head has several."""
    columns: list[tuple[str, ...]] = [()]
    for head in chart.heads:
        columns = [(*c, v) for c, v in product(columns, head.values)]
    wide = [(*c, q) for c in columns for q in chart.gives] if len(chart.gives) > 1 or not chart.heads else columns
    return [[c[i] for c in wide] for i in range(len(wide[0]))] if wide else []


def row_words(chart: Chart, row: Row) -> list[str]:
    """A row as printed: its positions and its cells as they were typed (one word for a row without figures)."""
    marks = ["-" if p == ANY else key.values[p] for key, p in zip(chart.keys, row.positions, strict=True)]
    if row.rest:
        marks = ["others", *([""] * (len(marks) - 1))]
    at = dict.fromkeys((cell for cell, _ in row.marks), "")
    for cell, mark in row.marks:
        at[cell] += f" {mark}" if mark != ABOUT else ""
    if -1 in at and marks:
        marks[-1] += at[-1]
    if row.word:
        return [*marks, row.word]
    if row.like:
        return [
            *marks,
            "as " + " ".join("-" if p == ANY else key.values[p] for key, p in zip(chart.keys, row.like, strict=True)),
        ]
    if row.same:
        return [*marks, "same as " + " ".join(key.values[p] for key, p in zip(chart.keys, row.same, strict=True))]
    beside = [f" ({text})" if text else "" for text in row.beside] or [""] * len(row.typed)
    return [*marks, *(typed + at.get(n, "") + beside[n] for n, typed in enumerate(row.typed))]
