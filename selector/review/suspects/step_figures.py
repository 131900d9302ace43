"""Figures that stand in the steps of calls: a share, a limit or a trim out of what such figures are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from math import exp, log

from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.misread import UNIT_FACTORS, WORDS, candidates, converted
from selector.review.figures.places import FigurePlace
from selector.table.model.table import Call, Step, Table

_SAID_TWICE = 1.5
"""How much likelier a figure is that another call has too (tuned on tables of our own; no source)."""
_NUMBER = re.compile(r"(?<![\w.])[+-]?(?:\d+(?:\.\d*)?|\.\d+)")
FIGURES = ("share", "reduction", "trim", "at least", "at most", "airflow", "offset", "airflow per ton")


def step_figures(table: Table, prior: float) -> Iterator[Finding]:
    """Every figure of a step as a finding, however unlikely; `prior` is the log odds of a slip before anything is
    looked at."""
    most = _most_airflow(table)
    for call in table.calls.values():
        for step in call.airflow:
            if step.op not in FIGURES:
                continue
            for stage, value in step.by_stage.items():
                if isinstance(value, Fraction):
                    place = _place(table, step, stage, value)
                    if place is not None:
                        yield _finding(table, call, step, stage, place, most, prior)


def count_of_figures(table: Table) -> int:
    """How many figures stand in steps."""
    return sum(
        1
        for c in table.calls.values()
        for s in c.airflow
        if s.op in FIGURES
        for v in s.by_stage.values()
        if isinstance(v, Fraction)
    )


def _most_airflow(table: Table) -> float:
    """The greatest airflow that a chart prints; 0 where none does."""
    found = [
        float(cell)
        for chart in table.charts.values()
        for row in chart.rows
        for n, cell in enumerate(row.cells)
        if isinstance(cell, Fraction) and chart.gives[n % len(chart.gives)] == "airflow"
    ]
    found.sort()
    return found[(9 * len(found)) // 10] if found else 0.0


def _place(table: Table, step: Step, stage: str, value: Fraction) -> FigurePlace | None:
    """Where the figure stands: the first number of this value after the step's word (after the stage's, where it has
    one), there or just below."""
    named = not stage
    for number in range(step.line, min(step.line + 8, len(table.lines) + 1)):
        line = table.lines[number - 1]
        at = 0
        if number == step.line:
            word = line.find(step.op)
            at = max(0, step.column - 1, word if step.column < 1 else 0)
        if not named:
            found = re.compile(rf"\b{re.escape(stage)}\s*:").search(line, at)
            if found is None:
                continue
            named, at = True, found.end()
        for figure in _NUMBER.finditer(line, at):
            if Fraction(figure.group()) == value:
                return FigurePlace(line=number, column=figure.start() + 1, text=figure.group())
    return None


def _finding(
    table: Table, call: Call, step: Step, stage: str, place: FigurePlace, most: float, prior: float
) -> Finding:
    lower = bool(stage) and stage != call.last
    same = _same_elsewhere(table, step, lower)

    def weigh(typed: str) -> float:
        value = float(typed)
        out = _sense(step.op, value, most, lower=lower, fan=_is_fan(call), unit=table.units.airflow)
        return (
            out
            + (-4.0 if "." in typed else 0.0)
            - (0.0 if value % 5 == 0 else 1.0)
            + (_SAID_TWICE if Fraction(typed) in same else 0.0)
        )

    units = UNIT_FACTORS[table.units.airflow] if step.op in ("at least", "at most", "airflow") else {}
    options: list[tuple[float, str, str]] = []
    for one in candidates(
        place.text, units, signed=step.op in ("trim", "offset"), percent=step.op in ("share", "reduction")
    ):
        typed, chance = one.typed, one.log_chance
        if one.kind == "unit":
            typed = f"{round(float(typed) / 5) * 5:g}"
            if float(typed) <= 0:
                continue
            chance += converted(float(place.text), float(typed), float(place.text) / float(one.typed))
        options.append((chance + weigh(typed), typed, one.kind))
    options.sort(key=lambda o: (-o[0], o[1]))
    top = options[0][0]
    total = top + log(sum(exp(o[0] - top) for o in options))
    where = " ".join(w for w in (f"call {call.name}", stage) if w) + f", {step.op}"
    return Finding(
        code="odd-step",
        where=where,
        why=f"{place.text} is out of what {_A[step.op]} commonly is",
        places=(place,),
        corrections=tuple(
            Correction(
                words=f"{typed} ({WORDS[kind]})", edits=(Edit(place=place, to=typed),), share=exp(weight - total)
            )
            for weight, typed, kind in options[:3]
            if exp(weight - total) > 0.05
        ),
        log_odds=prior + total - weigh(place.text),
        id=finding_id("odd-step", where, [place.text]),
    )


_A = {
    "share": "a share",
    "reduction": "a reduction",
    "trim": "a trim",
    "at least": "a least airflow",
    "at most": "a greatest airflow",
    "airflow": "an airflow of this unit",
    "offset": "an offset",
    "airflow per ton": "airflow per ton",
}


def _sense(op: str, value: float, most: float, *, lower: bool, fan: bool, unit: str) -> float:
    """Log of how much less likely a figure is than one that makes sense (common practice, no source)."""
    if op == "share":
        if not 20 <= value < 100:
            return -5.5 if 14 < value < 20 else -6.5 if value == 100 else -9.0 if value < 110 else -12.0
        middle, wide = (68.0, 9.0) if lower else (48.0, 16.0) if fan else (75.0, 25.0)
        return max(-((value - middle) ** 2) / (2 * wide * wide), -5.0 if lower and value < 42 else -3.0)
    if op == "reduction":
        return _box(value, 5.0, 35.0, 0.7)
    if op == "trim":
        return 0.0 if abs(value) <= 20 else -(abs(value) - 20) / 4 - 1
    if op == "airflow per ton":
        factor = {"cfm": 1.0, "L/s": 0.4719474432, "m3/h": 1.69901079552}[unit]
        return _box(value / factor, 300.0, 450.0, 0.83)
    if not most:
        return 0.0
    if op == "at least":
        return _box(value / most, 0.12, 0.8, 0.75)
    if op == "at most":
        return _box(value / most, 0.5, 1.6, 0.75)
    if op == "airflow":
        return _box(value / most, 0.15, 1.6, 0.75)
    return _box(abs(value) / most, 0.01, 0.3, 0.6)


def _is_fan(call: Call) -> bool:
    """Whether a call is the fan alone: G and nothing else, or named so."""
    names = {t.upper() for words in call.terminals.values() for t in words}
    return names == {"G"} or "fan" in call.name.casefold().split()


def _same_elsewhere(table: Table, step: Step, lower: bool) -> frozenset[Fraction]:
    """The figures that steps of the same kind have in other places, for lower stages apart from the others."""
    return frozenset(
        value
        for call in table.calls.values()
        for other in call.airflow
        for stage, value in other.by_stage.items()
        if other is not step
        and other.op == step.op
        and isinstance(value, Fraction)
        and (bool(stage) and stage != call.last) == lower
    )


def _box(value: float, low: float, high: float, soft: float) -> float:
    """0 inside, -2.5 a little outside, -7 far outside."""
    if low <= value <= high:
        return 0.0
    return -2.5 if low * soft <= value <= high / soft else -7.0
