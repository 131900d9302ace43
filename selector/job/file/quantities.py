"""Figures of a job as people type them: one text to one exact amount, or a problem at its place that names the
likely slip."""

from __future__ import annotations

import re
from fractions import Fraction

from selector.job.file.fields import Field
from selector.job.file.model import Aim, Amount, Span, TypedWord
from selector.table.text.located import Scalar
from selector.table.text.shapes import FileReport
from selector.units import (
    CANONICAL,
    DIFFERENCES,
    UNITS,
    Kind,
    Mistyped,
    TypedFigure,
    UnitOfMeasure,
    convert,
    difference_unit,
    format_number,
    parse_quantity,
    plain,
    unit_named,
)
from selector.value import Struct

_TO = re.compile(r"\s+to\s+", re.IGNORECASE)
_OPEN = re.compile(r"^(at least|at most)\s+(.+)$", re.IGNORECASE)
_DASHED = re.compile(r"^([\d.,]+)\s*[-–]\s*([\d.,]+)(.*)$")


class _Figure(Struct, frozen=True):
    value: Fraction
    unit: UnitOfMeasure
    number: Fraction


def word_of(node: Scalar) -> TypedWord:
    """The text of a node with its place."""
    return TypedWord(text=" ".join(node.text.split()), line=node.line, column=node.column)


def amount_of(node: Scalar, field: Field, report: FileReport) -> Amount | None:
    """The amount a text stands for, None once a problem was reported."""
    if not field.kinds:
        return _plain_number(node, field, report)
    try:
        found = _figure(parse_quantity(node.text), field)
    except Mistyped as wrong:
        report.at(
            node,
            "not-a-quantity",
            f"`{field.key}`: {wrong.message}",
            f"type {wrong.instead}" if wrong.instead else f"for example {field.example}",
        )
        return None
    if _doubtful(found, field, node, report):
        return None
    return Amount(
        value=found.value, unit=found.unit.name, text=" ".join(node.text.split()), line=node.line, column=node.column
    )


def _plain_number(node: Scalar, field: Field, report: FileReport) -> Amount | None:
    try:
        quantity = parse_quantity(node.text)
    except Mistyped as wrong:
        report.at(
            node,
            "not-a-quantity",
            f"`{field.key}`: {wrong.message}",
            f"type {wrong.instead}" if wrong.instead else f"for example {field.example}",
        )
        return None
    if quantity.unit is not None or quantity.value < 0:
        report.at(node, "not-a-quantity", f"`{field.key}` is a plain number", f"for example {field.example}")
        return None
    return Amount(value=quantity.value, unit="", text=" ".join(node.text.split()), line=node.line, column=node.column)


def held_unit(field: Field, kind: Kind) -> UnitOfMeasure:
    """The unit a field's amounts of a kind are held in."""
    if kind == "temperature difference":
        return DIFFERENCES["F"]
    if field.unit and kind == field.kinds[0]:
        return unit_named(field.unit)
    return CANONICAL[kind]


def _figure(quantity: TypedFigure, field: Field, beside: UnitOfMeasure | None = None) -> _Figure:
    """The quantity in the field's unit; `beside` is the unit typed at the other end of a range. Raises Mistyped."""
    unit = quantity.unit or beside
    if unit is None and field.bare:
        unit = unit_named(field.bare)
    if unit is None:
        known = [one for one in _units_of(field) if _believable(quantity.value, one, field)] or _units_of(field)
        raise Mistyped(
            f"{quantity.text.strip()!r} has no unit",
            " or ".join(f"{plain(quantity.value)} {one.name}" for one in known[:2]),
        )
    if unit.kind == "temperature" and "temperature difference" in field.kinds:
        unit = difference_unit(unit)
    if unit.kind not in field.kinds:
        from selector.units import value_of

        value_of(TypedFigure(value=quantity.value, unit=unit, text=quantity.text), field.kinds[0])
        raise Mistyped(f"{quantity.text!r} is not a {field.kinds[0]}")
    held = held_unit(field, unit.kind)
    return _Figure(convert(quantity.value, unit, held), held, quantity.value)


def _believable(number: Fraction, unit: UnitOfMeasure, field: Field) -> bool:
    return (
        field.least is None
        or field.most is None
        or field.least <= convert(number, unit, held_unit(field, unit.kind)) <= field.most
    )


def _units_of(field: Field) -> list[UnitOfMeasure]:
    """Every unit a field takes, the usual first."""
    found = dict.fromkeys(
        unit
        for kind in field.kinds
        for unit in (DIFFERENCES.values() if kind == "temperature difference" else UNITS.values())
        if unit.kind == kind
    )
    return list(found)


def _doubtful(found: _Figure, field: Field, node: Scalar, report: FileReport) -> bool:
    """True, and said, where a figure can't be true; with the unit that would make it so."""
    if field.key == "efficiency":
        return _efficiency(found, node, report)
    if field.least is None or field.most is None or field.least <= found.value <= field.most:
        return False
    help = _likely_unit(found, field)
    shown = f"{_commas(found.value)} {found.unit.name}".strip()
    typed = " ".join(node.text.split())
    said = f"`{typed}`" + (f" is {shown}, which" if spelled(typed) != spelled(shown) else "")
    report.at(
        node,
        "impossible-figure",
        f"{said} can't be the {field.key}: {_commas(field.least)} to {_commas(field.most)} {found.unit.name} is what is"
        " found in houses",
        help,
    )
    return True


def _commas(value: Fraction) -> str:
    """A figure as people read it, with commas and no needless decimals."""
    text = format_number(value, 6)
    return text.rstrip("0").rstrip(".")


def spelled(text: str) -> str:
    """A figure with its unit as it is compared."""
    return text.replace(" ", "").replace(",", "").casefold()


def _likely_unit(found: _Figure, field: Field) -> str:
    if field.least is None or field.most is None:
        return ""
    if field.key == "stages" and found.number < field.least:
        return f"if that is how many stages there are: type the share that runs in each, for example {field.example}"
    if found.number < 0 <= field.most:
        fits = field.least <= -found.value <= field.most
        return (
            f"did you mean {_commas(-found.value)} {found.unit.name}, without the minus?"
            if fits
            else f"for example {field.example}"
        )
    if field.kinds[:1] == ("pressure",) and field.least <= found.value / 10 <= field.most:
        return f"did you mean {plain(found.value / 10)} {found.unit.name}?"
    for unit in _units_of(field):
        value = convert(found.number, unit, held_unit(field, unit.kind))
        if field.least <= value <= field.most:
            return f"did you mean {plain(found.number)} {unit.name}?"
    for times in (10, 100, 1000):
        for value in (found.value / times, found.value * times):
            if field.least <= value <= field.most:
                return f"a digit too {'many' if value < found.value else 'few'}? for example {field.example}"
    return f"for example {field.example}"


def _efficiency(found: _Figure, node: Scalar, report: FileReport) -> bool:
    typed = found.number
    if Fraction(1, 2) <= typed <= Fraction(11, 10) or 50 <= typed <= 100:
        return False
    report.at(
        node,
        "bad-efficiency",
        f"`{node.text.strip()}` can't be an efficiency: 0.5 to 1.1 is read as a fraction, 50 to 100 as a percent",
        f"did you mean {plain(typed * 10)} %?" if 5 <= typed < 10 else "for example 95 %",
    )
    return True


def efficiency_of(amount: Amount, typed: Fraction) -> Amount:
    """An efficiency held in percent, whichever way it was typed."""
    value = typed if typed >= 50 else typed * 100
    return Amount(value=value, unit="%", text=amount.text, line=amount.line, column=amount.column)


def span_of(node: Scalar, field: Field, report: FileReport) -> Span | None:
    """A range: `35 to 65 F`, `at least 350 cfm`; reversed or beyond what can be true is a problem."""
    text = " ".join(node.text.split())
    dashed = _DASHED.match(text)
    if dashed and not _TO.search(text):
        report.at(
            node,
            "range-with-dash",
            f"`{text}`: a range is written with the word to",
            f"type {dashed[1]} to {dashed[2]}{dashed[3]}",
        )
        return None
    opened = _OPEN.match(text)
    parts = _TO.split(opened[2] if opened else text)
    if len(parts) != (1 if opened else 2):
        report.at(
            node,
            "not-a-range",
            f"`{field.key}` is a range: two figures with the word to between",
            f"for example {field.example}",
        )
        return None
    try:
        quantities = [parse_quantity(part) for part in parts]
        beside = next((q.unit for q in reversed(quantities) if q.unit is not None), None)
        figures = [_figure(q, field, beside) for q in quantities]
    except Mistyped as wrong:
        instead = wrong.instead if len(parts) == 1 or " or " in wrong.instead else ""
        if " or " in instead and len(parts) == 2:
            instead = " or ".join(f"{text} {unit.name}" for unit in _units_of(field)[:2])
        report.at(
            node,
            "not-a-quantity",
            f"`{field.key}`: {wrong.message}",
            f"type {instead}" if instead else f"for example {field.example}",
        )
        return None
    if any(_doubtful(figure, field, node, report) for figure in figures):
        return None
    if len(figures) == 2 and figures[0].value >= figures[1].value:
        same = figures[0].value == figures[1].value
        message = (
            f"`{text}` is no range: both ends are one figure"
            if same
            else f"`{text}` is reversed: the first figure is the higher one"
        )
        unit = f" {beside.name}" if beside is not None else ""
        swapped = f"type {plain(figures[1].number)} to {plain(figures[0].number)}{unit}"
        report.at(node, "reversed-range", message, f"for example {field.example}" if same else swapped)
        return None
    low: Fraction | None = figures[0].value
    high: Fraction | None = figures[-1].value
    if opened:
        low, high = (low, None) if opened[1].casefold() == "at least" else (None, high)
    return Span(low=low, high=high, unit=figures[0].unit.name, text=text, line=node.line, column=node.column)


def aim_of(node: Scalar, field: Field, report: FileReport) -> Aim | None:
    """A word the field takes, an amount, or a range."""
    text = " ".join(node.text.split())
    if text.casefold() in field.words:
        return TypedWord(text=text.casefold(), line=node.line, column=node.column)
    if _TO.search(text) or _OPEN.match(text):
        return span_of(node, field, report)
    if field.words and not any(c.isdigit() for c in text):
        from selector.problems import close_match

        near = close_match(text, field.words)
        report.at(
            node,
            "not-an-aim",
            f"`{text}` is not a word for `{field.key}`",
            f"did you mean `{near}`?" if near else f"type {', '.join(field.words)}, or a figure",
        )
        return None
    return amount_of(node, field, report)
