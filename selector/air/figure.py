"""A figure with its inputs: `Given` is a leaf (typed, charted, a constant), `Worked` is computed; together a tree that
can be recomputed.

An expression is arithmetic over the names of the inputs: `heat / (factor * rise)`. It knows + - * / and brackets, plain
numbers, and
^ for a power, and sqrt(x) min(..) max(..) abs(x) nearest(x, n) up(x, n) down(x, n), the last three rounding to a
multiple of n (halves away
from zero).
A name is one lower-case word of letters, digits and underscores; the inputs of one figure have different names. Values
are exact Fractions.
"""

from __future__ import annotations

import re
from fractions import Fraction

from selector.air.number import Number
from selector.units import DIFFERENCES, UNITS, Kind, format_number, spelling
from selector.value import Struct, replace

FUNCTIONS = frozenset({"sqrt", "min", "max", "abs", "nearest", "up", "down"})


class Given(Struct, frozen=True, kw_only=True):
    """A figure taken from somewhere. `source`: where (file and line, page, `typed`, a reference). `shown`: how it is
    written in arithmetic
    (empty: value and unit); `bare`: written without its unit. `note`: words shown beside it. `kind`: that of its unit,
    where degrees are a temperature; None is what the unit says (degrees: a difference). `typed`: the text that a person
    typed.
    """

    name: str
    value: Fraction
    unit: str
    source: str = ""
    shown: str = ""
    bare: bool = False
    note: str = ""
    kind: Kind | None = None
    typed: str = ""

    def __post_init__(self) -> None:
        _check_name(self.name)


class Worked(Struct, frozen=True, kw_only=True):
    """A figure computed from others by `expression`. `places`: decimals shown (None: usual for the unit); `bare`,
    `note` and `kind` as in Given."""

    name: str
    value: Fraction
    unit: str
    expression: str
    inputs: tuple[Worked | Given, ...]
    places: int | None = None
    bare: bool = False
    note: str = ""
    kind: Kind | None = None

    def __post_init__(self) -> None:
        _check_name(self.name)
        names = [one.name for one in self.inputs]
        if len(set(names)) != len(names):
            raise ValueError(f"two inputs of {self.name} have one name: {' '.join(names)}")
        used = {word for word in tokens(self.expression) if word[0].isalpha() and word not in FUNCTIONS}
        if used != set(names):
            raise ValueError(
                f"{self.name}: the expression names {' '.join(sorted(used))}, the inputs are {' '.join(sorted(names))}"
            )


Figure = Worked | Given


def given(
    name: str,
    value: Number,
    unit: str = "",
    *,
    source: str = "",
    shown: str = "",
    bare: bool = False,
    note: str = "",
    kind: Kind | None = None,
    typed: str = "",
) -> Given:
    """A leaf. A float is taken at its exact binary value.

    >>> written(given("rise", 50, "F", source="typed"))
    '50 F'
    """
    return Given(
        name=name,
        value=Fraction(value),
        unit=unit,
        source=source,
        shown=shown,
        bare=bare,
        note=note,
        kind=kind,
        typed=typed,
    )


def renamed(figure: Figure, name: str) -> Figure:
    """The same figure under another name, where two inputs would have one name."""
    return replace(figure, name=name)


def written(figure: Figure) -> str:
    """The figure as arithmetic shows it: `1,852 cfm`, `50 F`, `1.08`. A given figure in full up to 6 decimals, a worked
    one rounded.

    >>> written(given("factor", Fraction(27, 25), "Btu/(h cfm F)", bare=True))
    '1.08'
    """
    if isinstance(figure, Given):
        if figure.shown:
            return figure.shown
        number = format_number(figure.value, 6).rstrip("0").rstrip(".")
    else:
        number = format_number(figure.value, _places(figure.unit) if figure.places is None else figure.places)
    return number if figure.bare or not figure.unit else f"{number} {figure.unit}"


def _places(unit: str) -> int:
    """Decimals usual for a unit's name; 3 for a plain ratio or an unknown unit."""
    known = DIFFERENCES.get(unit) or UNITS.get(spelling(unit))
    return known.places if known else 3


def arithmetic(worked: Worked) -> str:
    """The expression with the inputs' figures in place of their names.

    >>> heat, rise = given("heat", 100_000, "Btu/h"), given("rise", 50, "F")
    >>> arithmetic(Worked(name="ratio", value=Fraction(2000), unit="", expression="heat / rise", inputs=(heat, rise)))
    '100,000 Btu/h / 50 F'
    """
    figures = {one.name: written(one) for one in worked.inputs}
    parts = []
    before = ""
    for word in tokens(worked.expression):
        if word in "*/+-" and before not in ("", "(", ",", *"*/+-^"):
            parts.append(f" {'x' if word == '*' else word} ")
        elif word == ",":
            parts.append(", ")
        else:
            figure = figures.get(word, word)
            parts.append(f"({figure})" if figure[0] == "-" and word in figures and before in tuple("*/+-^") else figure)
        before = word
    return "".join(parts)


def text(figure: Figure) -> str:
    """One line: `100,000 Btu/h / (1.08 x 50 F) = 1,852 cfm` for a worked figure, `heat 100,000 Btu/h (typed)` for a
    given one.

    >>> text(given("rise", 50, "F", source="typed"))
    'rise 50 F (typed)'
    """
    plain = f"{figure.name.replace('_', ' ')} {written(figure)}"
    if isinstance(figure, Worked):
        return plain if arithmetic(figure) == written(figure) else f"{arithmetic(figure)} = {written(figure)}"
    return plain + (f" ({figure.source})" if figure.source else "")


def chain(figure: Figure) -> tuple[Figure, ...]:
    """Every figure that this one rests on, each once, inputs before what is computed from them, itself last."""
    listed: dict[Figure, None] = {}

    def walk(one: Figure) -> None:
        if one not in listed:
            for deeper in one.inputs if isinstance(one, Worked) else ():
                walk(deeper)
            listed[one] = None

    walk(figure)
    return tuple(listed)


def as_data(figure: Figure) -> dict[str, object]:
    """The tree as plain data for JSON: name, value (a number), unit, text, and source, or expression and inputs; note
    where there is one.

    >>> as_data(given("rise", 50, "F", source="typed"))
    {'name': 'rise', 'value': 50, 'unit': 'F', 'text': 'rise 50 F (typed)', 'source': 'typed'}
    """
    value = figure.value.numerator if figure.value.denominator == 1 else float(figure.value)
    data: dict[str, object] = {"name": figure.name, "value": value, "unit": figure.unit, "text": text(figure)}
    if isinstance(figure, Worked):
        data["expression"] = figure.expression
        data["inputs"] = [as_data(one) for one in figure.inputs]
    else:
        data["source"] = figure.source
    if figure.note:
        data["note"] = figure.note
    return data


def tokens(expression: str) -> list[str]:
    """Names, numbers, operators and brackets, in order. Anything else is a ValueError."""
    words = re.findall(r"[a-z][a-z0-9_]*|\d+(?:\.\d+)?|[-+*/^(),]|\S", expression)
    for word in words:
        if not re.match(r"[a-z0-9(),*/^+-]", word):
            raise ValueError(f"{word!r} can't stand in an expression: {expression}")
    return words


def _check_name(name: str) -> None:
    """Names are what expressions can hold."""
    if not re.fullmatch(r"[a-z][a-z0-9_]*", name) or name in FUNCTIONS:
        raise ValueError(
            f"{name!r} can't name a figure: a lower-case word with underscores, none of {' '.join(sorted(FUNCTIONS))}"
        )
