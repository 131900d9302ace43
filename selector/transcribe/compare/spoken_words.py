"""Numbers and marks in words, as one person reads them to another."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.table.model.table import ABOUT

_TO_NINE = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TO_NINETEEN = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
_ONES = (*_TO_NINE, *_TO_NINETEEN)
_TENS = ("", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_FIGURES = "0123456789"
_GROUPS = ("", " thousand", " million", " billion", " trillion")


def whole_in_words(number: int) -> str:
    """`one thousand three hundred eighty`. ValueError below 0 or from a thousand trillion.

    >>> whole_in_words(1380)
    'one thousand three hundred eighty'
    """
    if not 0 <= number < 10**15:
        raise ValueError(f"{number} is not a number to be read aloud")
    if number == 0:
        return "zero"
    groups: list[str] = []
    at = 0
    while number:
        number, group = divmod(number, 1000)
        if group:
            groups.append(_hundreds(group) + _GROUPS[at])
        at += 1
    return " ".join(reversed(groups))


def _hundreds(number: int) -> str:
    hundreds, rest = divmod(number, 100)
    words = [f"{_ONES[hundreds]} hundred"] if hundreds else []
    if rest:
        tens, ones = divmod(rest, 10)
        words.append(_ONES[rest] if rest < 20 else _TENS[tens] + (f"-{_ONES[ones]}" if ones else ""))
    return " ".join(words)


def figure_in_words(typed: str) -> str:
    """A typed figure: its sign, its whole part, and the digits behind the point one by one; other texts as they are.

    >>> figure_in_words("-12.5 %"), figure_in_words("0.3"), figure_in_words("-"), figure_in_words("8 or 9")
    ('minus twelve point five percent', 'zero point three', 'no figure', 'eight or nine')
    """
    text = typed.strip()
    if text == "-":
        return "no figure"
    if text == "?":
        return "not readable"
    for word in (" or ", f"{ABOUT} "):
        before, found, after = text.partition(word)
        if found and after:
            return (
                f"{figure_in_words(before)}{word}{figure_in_words(after)}" if before else word + figure_in_words(after)
            )
    number, _, unit = text.partition(" ")
    sign = {"+": "plus ", "-": "minus "}.get(number[:1], "")
    body = number[1:] if sign else number
    whole, point, places = body.partition(".")
    if not (whole or places) or not (whole + places).isdecimal() or not (whole + places).isascii() or len(whole) > 15:
        return text
    words = sign + whole_in_words(int(whole or "0"))
    if point and places:
        words += " point " + " ".join(_ONES[int(d)] for d in places)
    spoken = {"%": "percent", "s": "seconds", "min": "minutes"}.get(unit, unit)
    return f"{words} {spoken}".strip()


def code_in_words(code: str) -> str:
    """A model or another code, sign by sign: figures as `zero`, never `oh`, which is the letter; words without a figure
    as they are.

    >>> code_in_words("080"), code_in_words("S070-2"), code_in_words("low")
    ('zero eight zero', 'S zero seven zero dash two', 'low')
    """
    if not any(c in _FIGURES for c in code):
        return code
    signs = {"-": "dash", ".": "point", "/": "slash", "O": "letter O", "o": "small letter o"}
    said = [_ONES[int(c)] if c in _FIGURES else signs.get(c, f"small {c}" if c.islower() else c) for c in code]
    return " ".join(w for w in said if w.strip())


def mark_in_words(mark: str, others: Sequence[str] = ()) -> str:
    """A position as it is said: ON as `on`, 3 as `three`, 0110 or 2A sign by sign.

    A letter is called `capital` or `small` where only its case tells it from one of the `others`.
    """
    if mark == "-":
        return "either way"
    if mark.isdecimal() and mark.isascii() and not mark.startswith("0") and len(mark) < 3:
        return whole_in_words(int(mark))
    if any(c in _FIGURES for c in mark):
        return code_in_words(mark)
    if any(o != mark and o.casefold() == mark.casefold() for o in others):
        return f"{'capital' if mark.isupper() else 'small'} {mark}"
    return mark.lower() if mark.isupper() and len(mark) > 1 else mark


def value_in_words(value: Fraction) -> str:
    """A whole or decimal number in words; a fraction that no decimal ends is given to three places."""
    text = f"{float(value):.3f}".rstrip("0").rstrip(".")
    return figure_in_words(text)
