"""Figures of a job as people type them: one text to one exact amount, or a problem at its place that names the
likely slip."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise, takewhile

from selector.amount import ReadFigure, doubtful, figure_in, remedy_of, units_of
from selector.job.file.fields import Field
from selector.job.file.model import Aim, Amount, DropChart, Span, TypedWord
from selector.table.model.table import Units
from selector.table.text.nodes import Scalar
from selector.table.text.shapes import FileReport
from selector.units import Mistyped, TypedFigure, convert, parse_quantity, plain, unit_named, value_of
from selector.value import replace

_TO = re.compile(r"\s+to\s+", re.IGNORECASE)
_OPEN = re.compile(r"^(at least|at most)\s+(.+)$", re.IGNORECASE)
_SIDES = re.compile(r"([\d.]+)\s*(?:x|by|×)\s*([\d.]+)\s*(\S+)", re.IGNORECASE)
_ROUND = re.compile(r"(?:round|dia(?:meter)?)?\s*([\d.]+)\s*(\S+?)(?:\s+(?:round|dia(?:meter)?))?", re.IGNORECASE)
PI = Fraction("3.14159265358979")
_AT = re.compile(r"(.+?)\s+at\s+(.+)", re.IGNORECASE)
_DASHED = re.compile(r"^([\d.,]+)\s*[-–]\s*([\d.,]+)(.*)$")


def word_of(node: Scalar) -> TypedWord:
    """The text of a node with its place."""
    return TypedWord(text=" ".join(node.text.split()), line=node.line, column=node.column)


def amount_of(node: Scalar, field: Field, report: FileReport) -> Amount | None:
    """The amount a text stands for, None once a problem was reported."""
    if not field.kinds:
        return _plain_number(node, field, report)
    try:
        found = figure_in(_sides(node.text) if "area" in field.kinds else parse_quantity(node.text), field)
    except Mistyped as wrong:
        _report(wrong, node, field, report)
        return None
    if _doubtful(found, field, node, report):
        return None
    return Amount(
        value=found.value,
        unit=found.unit.name,
        text=" ".join(node.text.split()),
        kind=found.unit.kind,
        line=node.line,
        column=node.column,
    )


def _sides(text: str) -> TypedFigure:
    """An area typed as such, as two sides (`20 x 12 in`) or as a round duct (`14 in round`). Raises Mistyped."""
    sides = _SIDES.fullmatch(text.strip())
    round_ = _ROUND.fullmatch(text.strip()) if re.search(r"round|dia", text, re.IGNORECASE) else None
    found = sides or round_
    if found is None:
        return parse_quantity(text)
    unit = unit_named(found[found.re.groups])
    first, last = (
        value_of(parse_quantity(f"{number} {unit.name}"), "length")
        for number in (found[1], found[2] if sides else found[1])
    )
    square = first * last * (1 if sides else PI / 4)
    return TypedFigure(value=convert(square, "ft2", "in2"), unit=unit_named("in2"), text=text)


def several_of(node: Scalar, field: Field, report: FileReport) -> tuple[Amount, ...]:
    """Figures with blanks or commas between and one unit behind the last (`620 655 640 605 fpm`); empty once a problem
    was reported."""
    text = " ".join(node.text.split())
    parts = re.split(r",\s+|;\s*|\s+", text)
    words = list(takewhile(lambda part: part[:1].isdigit() or part[:1] in "+-.", parts))
    unit = " ".join(parts[len(words) :])
    out = []
    for word in words if unit else ():
        one = amount_of(Scalar(f"{word} {unit}", node.line, node.column, node.style, node.end_line), field, report)
        if one is None:
            return ()
        out.append(one)
    if not out:
        message = f"`{field.key}` are figures with one unit behind the last"
        report.at(node, "not-a-quantity", message, f"for example {field.example}")
    return tuple(out)


_DROP = Field(
    key="drop", attr="", help="", example="0.10 in. w.c.", kinds=("pressure",), least=Fraction(0), most=Fraction(3)
)
_AIRFLOW = Field(
    key="airflow", attr="", help="", example="800 cfm", kinds=("airflow",), least=Fraction(50), most=Fraction(10_000)
)


def drop_chart_of(node: Scalar, field: Field, report: FileReport) -> DropChart | None:
    """`0.10 in. w.c. at 800 cfm, 0.20 at 1200`: a unit typed once holds for what follows. None once a problem was
    reported."""
    text = " ".join(node.text.split())
    points: list[tuple[Fraction, Fraction]] = []
    beside: list[str] = ["", ""]
    for part in re.split(r"\s*[,;]\s+|\s*;\s*", text):
        pair = _AT.fullmatch(part)
        if pair is None:
            report.at(node, "not-a-drop", f"`{part}` is no drop at an airflow", f"for example {field.example}")
            return None
        found = []
        for n, one in enumerate((_DROP, _AIRFLOW)):
            words = pair[n + 1].strip()
            bare = re.fullmatch(r"[\d.,]+", words) is not None
            whole = f"{words} {beside[n]}" if bare and beside[n] else words
            amount = amount_of(Scalar(whole, node.line, node.column, node.style, node.end_line), one, report)
            if amount is None:
                return None
            beside[n] = beside[n] if bare else re.sub(r"^[\d.,\s]+", "", words)
            found.append(amount.value)
        points.append((found[1], found[0]))
    points.sort()
    if any(q == r or p > s for (q, p), (r, s) in pairwise(points)):
        message = f"`{text}`: the drop has to rise with the airflow"
        report.at(node, "not-a-drop", message, f"for example {field.example}")
        return None
    return DropChart(points=tuple(points), text=text, line=node.line, column=node.column)


def asked_units(units: Units) -> dict[str, str]:
    """What a bare figure typed on the line is taken to be in, by its kind, of the units asked for with a command."""
    metric = units.temperature == "C"
    return {
        "airflow": units.airflow,
        "pressure": units.pressure,
        "temperature": units.temperature,
        "temperature difference": units.temperature,
        "heat rate": "kW" if metric else units.heat,
        "length": "m" if metric else "ft",
    }


def _report(wrong: Mistyped, node: Scalar, field: Field, report: FileReport) -> None:
    remedy = f"type {wrong.instead}" if wrong.instead else f"for example {field.example}"
    on_the_line = node.line > len(report.source.text.splitlines())
    asked = wrong.bare and on_the_line and asked_units(Units()).keys() & set(field.kinds)
    more = ", and the command names none (--units us or metric)" if asked else ""
    report.at(node, "not-a-quantity", f"`{field.key}`: {wrong.message}{more}", remedy)


def _plain_number(node: Scalar, field: Field, report: FileReport) -> Amount | None:
    try:
        quantity = parse_quantity(node.text)
    except Mistyped as wrong:
        _report(wrong, node, field, report)
        return None
    if quantity.unit is not None or quantity.value < 0:
        report.at(node, "not-a-quantity", f"`{field.key}` is a plain number", f"for example {field.example}")
        return None
    return Amount(value=quantity.value, unit="", text=" ".join(node.text.split()), line=node.line, column=node.column)


def _doubtful(found: ReadFigure, field: Field, node: Scalar, report: FileReport) -> bool:
    """True, and said, where a figure can't be true; with what was likely meant. Its ends are those of its first
    kind."""
    if field.kinds and found.unit.kind != field.kinds[0]:
        return False
    doubt = doubtful(found, field, node.text)
    if doubt is None:
        return False
    code = "bad-efficiency" if field.key == "efficiency" else "impossible-figure"
    counted = field.key == "stages" and found.number < (field.least or 0)
    remedy = f"if that is how many stages there are: type the share that runs in each, for example {field.example}"
    report.at(node, code, doubt[0], remedy if counted else remedy_of(field, doubt[1]))
    return True


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
        figures = [figure_in(q, field, beside) for q in quantities]
    except Mistyped as wrong:
        instead = wrong.instead if len(parts) == 1 or " or " in wrong.instead else ""
        if " or " in instead and len(parts) == 2:
            instead = " or ".join(f"{text} {unit.name}" for unit in units_of(field)[:2])
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


_OFF = re.compile(r"([\d.]+) ?% ?(?:(off|less|lower|comes off|taken off)|(left|of input|remains))?", re.IGNORECASE)


def _alike(text: str) -> str:
    """A word as it is compared: `from 2000ft` is `from 2,000 ft`."""
    return "".join(text.casefold().replace(",", "").split())


def _left(m: re.Match[str], node: Scalar, field: Field, report: FileReport) -> Amount | None:
    """What is left of a share that is typed as what comes off or as what is left; a bare percent that may be either is
    asked for."""
    typed = Fraction(m[1])
    if not m[2] and not m[3] and typed < UNSAID:
        message = f"`{node.text}`: does it come off, or is it what is left?"
        report.at(node, "off-or-left", message, f"type {m[1]} % off or {m[1]} % left")
        return None
    found = amount_of(replace(node, text=f"{plain(100 - typed if m[2] else typed)} %"), field, report)
    return replace(found, text=" ".join(node.text.split())) if found is not None else None


UNSAID = 60
"""A bare percent from here on can only be what is left: no maker takes so much off."""


def aim_of(node: Scalar, field: Field, report: FileReport) -> Aim | None:
    """A word the field takes, an amount, or a range."""
    text = " ".join(node.text.split())
    word = next((w for w in field.words if _alike(w) == _alike(text)), None)
    if word is not None:
        return TypedWord(text=word, line=node.line, column=node.column)
    if field.off and (m := _OFF.fullmatch(text)):
        return _left(m, node, field, report)
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
