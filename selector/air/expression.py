"""The evaluator of expressions of figures (grammar in `figure.py`)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from selector.air.figure import tokens
from selector.air.number import Number, square_root


def _round(value: Fraction, step: Fraction) -> Fraction:
    """To the nearest multiple of step, halves away from zero."""
    scaled = abs(value / step)
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    return step * whole * (1 if value >= 0 else -1)


def _power(base: Fraction, exponent: Fraction) -> Fraction:
    """Whole powers exact, others as floats."""
    return base**exponent.numerator if exponent.denominator == 1 else Fraction(float(base) ** float(exponent))


_FUNCTIONS: dict[str, Callable[..., Fraction]] = {
    "sqrt": lambda x: square_root(x),
    "min": lambda *values: min(values),
    "max": lambda *values: max(values),
    "abs": lambda x: abs(x),
    "nearest": _round,
    "up": lambda x, n: -(-x // n) * n,
    "down": lambda x, n: x // n * n,
}


def evaluate(expression: str, values: Mapping[str, Number]) -> Fraction:
    """The value of an expression over named values; plain numbers in it are exact decimals. A slip in it is a
    ValueError, a name missing a KeyError.

    >>> evaluate("heat / (1.08 * rise)", {"heat": 54000, "rise": 50})
    Fraction(1000, 1)
    """
    words = tokens(expression)
    at = 0

    def take(wanted: str = "") -> str:
        nonlocal at
        word = words[at] if at < len(words) else ""
        if not word or (wanted and word != wanted):
            raise ValueError(
                f"{expression!r}: {f'{wanted!r} is missing' if wanted else 'it ends too early'} at word {at + 1}"
            )
        at += 1
        return word

    def peek() -> str:
        return words[at] if at < len(words) else ""

    def added() -> Fraction:
        value = multiplied()
        while peek() in ("+", "-"):
            value = value + multiplied() if take() == "+" else value - multiplied()
        return value

    def multiplied() -> Fraction:
        value = signed()
        while peek() in ("*", "/"):
            value = value * signed() if take() == "*" else value / signed()
        return value

    def signed() -> Fraction:
        if peek() == "-":
            take()
            return -signed()
        base = single()
        if peek() != "^":
            return base
        take()
        return _power(base, signed())

    def single() -> Fraction:
        word = take()
        if word == "(":
            value = added()
            take(")")
            return value
        if word in _FUNCTIONS:
            take("(")
            arguments = [added()]
            while peek() == ",":
                take(",")
                arguments.append(added())
            take(")")
            return _FUNCTIONS[word](*arguments)
        if word[0].isdigit():
            return Fraction(word)
        if word[0].isalpha():
            return Fraction(values[word])
        raise ValueError(f"{expression!r}: {word!r} stands where a figure should")

    result = added()
    if at != len(words):
        raise ValueError(f"{expression!r}: {words[at]!r} is left over")
    return result
