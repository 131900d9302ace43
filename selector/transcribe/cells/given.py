"""A single cell as given, read as a position or a figure; what can't be read stays marked, with the reason."""

from __future__ import annotations

import re

from selector.table.from_file.rows import REFUSING, TO_TYPE
from selector.table.model.quantities import QUANTITIES
from selector.value import Struct

FILLED = frozenset("xX\u2022\u25cf\u25a0\u2713\u2714\u2612\u2716\u00d7")
"""Marks that pages print for a switch that is on."""
HOLLOW = frozenset("\u25cb\u25a1\u2610")
"""Marks that pages print for a switch that is off, beside filled ones."""
EMPTY = frozenset(("", "-", "--", "---", "\u2013", "\u2014", "\u2212")) | HOLLOW
DAGGERS = "\u2020\u2021\u00a7\u00b6*\u00b9\u00b2\u00b3"
BRACKETED = r"(?:\(\w\)|\[[\di-x]{1,3}\])"
"""A footnote's mark in brackets: (1), (a), [12], [ii]."""
NO_FIGURE = frozenset(("-", "--", "---", "\u2013", "\u2014", "n/a", "na", "n.a.", ""))
_NUMBER = re.compile(
    r"([+\-\u2212\u2013]?)\s?(\d{1,3}(?:,\d{3})+|\d{1,3}(?: \d{3})+|\d+)(\.\d+)?\s*(%|[A-Za-z/.\u00b0\u00b33 ]*)$"
)
_WORDS = {
    "do not use": "do not use",
    "don't use": "do not use",
    "not used": "not used",
    "not use": "not used",
    "reserved": "reserved",
    "unused": "not used",
}
_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE = re.compile(
    rf"\d{{1,2}}[-/. ]{_MONTH}(?:[-/. ]\d{{2,4}})?|{_MONTH}[-/. ]\d{{1,4}}|\d{{1,4}}[-/.]\d{{1,2}}[-/.]\d{{1,4}}(?:["
    r" T][\d:.]+)?",
    re.IGNORECASE,
)
MADE_A_DATE = "the spreadsheet made a date or time of what was typed (1-2 becomes one)"
_LOOK_ALIKE = re.compile(r"[\dOoIlSB|,.]+")


class GivenCell(Struct, frozen=True, kw_only=True):
    """What a cell means as typed text, the dagger it carried, and why it is marked (empty where it was read)."""

    text: str
    dagger: str = ""
    why: str = ""


def without_dagger(text: str) -> tuple[str, str]:
    """The text and the footnote marks at its end or beginning.

    >>> without_dagger("890(2)**")
    ('890', '(2)**')
    """
    bare = text.strip()
    tail = re.search(rf"(?<=.)(?:\s*(?:{BRACKETED}|[{re.escape(DAGGERS)}]))+$", bare)
    if tail is not None:
        bare = bare[: tail.start()]
    marks = "".join(tail.group().split()) if tail is not None else ""
    if len(bare) > 1 and bare[0] in DAGGERS.replace("*", ""):
        return bare[1:].lstrip(), bare[0] + marks
    return bare, marks


def footnote_marks(dagger: str) -> tuple[str, ...]:
    """The single marks of several: a sign repeated is one mark.

    >>> footnote_marks("**(2)")
    ('**', '(2)')
    """
    return tuple(m.group() for m in re.finditer(rf"{BRACKETED}|(.)\1*", dagger))


def is_date(text: str) -> bool:
    """True for what a spreadsheet makes of 1-2: a day or a month."""
    return bool(_DATE.fullmatch(text))


def refusing_word(text: str) -> str:
    """`do not use`, `not used` or `reserved` for the words a page has for such a row; "" for anything else.

    >>> refusing_word("Reserved - do not use")
    'do not use'
    """
    folded = " ".join(without_dagger(text)[0].casefold().split()).rstrip(".")
    said = [word if word in REFUSING else _WORDS.get(word, "") for word in re.split(r" ?[-\u2013\u2014,;:/] ?", folded)]
    return "" if not all(said) else "do not use" if "do not use" in said else said[0]


def figure_given(text: str, quantity: str, unit: str, *, why: str = "") -> GivenCell:
    """A figure of a chart. `unit` is the table's unit of it, which may stand behind it; any other unit leaves it
    marked."""
    if why:
        return GivenCell(text=TO_TYPE, why=why)
    bare, dagger = without_dagger(text)
    if bare.casefold() in NO_FIGURE:
        return GivenCell(text="-", dagger=dagger)
    if bare.casefold() == "none":
        return GivenCell(text="none", dagger=dagger)
    if quantity == "label" and re.fullmatch(r"[A-Za-z][\w-]*", bare):
        return GivenCell(text=bare, dagger=dagger)
    m = _NUMBER.fullmatch(bare)
    if m is None or (re.search(r"\d[OoIlSB]+$", bare) and _LOOK_ALIKE.fullmatch(bare)):
        return GivenCell(text=TO_TYPE, dagger=dagger, why=_not_a_figure(bare, quantity))
    sign = "-" if m.group(1) in ("-", "\u2212", "\u2013") else m.group(1)
    whole, places, behind = re.sub("[, ]", "", m.group(2)), m.group(3) or "", " ".join(m.group(4).split())
    percent = _percent(quantity)
    if places and len(places) == 4 and len(whole) <= 2 and not percent and unit in ("cfm", "L/s", "m3/h"):
        return GivenCell(text=TO_TYPE, dagger=dagger, why=f"the point in {bare} may part thousands")
    if behind and behind.casefold() not in _behind(quantity, unit):
        return GivenCell(text=TO_TYPE, dagger=dagger, why=f"`{behind}` is not the unit of this chart")
    number = f"{sign}{whole}{places}"
    if quantity == "trim":
        if not float(number):
            return GivenCell(text="none", dagger=dagger)
        if not sign:
            return GivenCell(text=TO_TYPE, dagger=dagger, why=f"{bare} has no sign")
    elif sign and quantity != "offset":
        return GivenCell(text=TO_TYPE, dagger=dagger, why=f"{bare} has a sign, which {quantity} can't have")
    if percent and not behind and 0 < abs(float(number)) < 1:
        return GivenCell(text=TO_TYPE, dagger=dagger, why=f"{bare} may be a fraction or a percentage")
    return GivenCell(text=f"{number} %" if percent else number, dagger=dagger)


def _percent(quantity: str) -> bool:
    return quantity in QUANTITIES and QUANTITIES[quantity].unit == "percent"


def _behind(quantity: str, unit: str) -> tuple[str, ...]:
    if _percent(quantity):
        return ("%",)
    if quantity == "seconds":
        return ("s", "sec", "sec.", "seconds")
    if quantity == "temperature rise":
        return ("f", "\u00b0f", "\u00b0", "c", "\u00b0c")
    return (
        unit.casefold(),
        "scfm" if unit == "cfm" else unit.casefold(),
        "l/sec" if unit == "L/s" else unit.casefold(),
        "m\u00b3/h" if unit == "m3/h" else unit,
    )


def _not_a_figure(text: str, quantity: str) -> str:
    if _LOOK_ALIKE.fullmatch(text) and any(c.isdigit() for c in text):
        if re.fullmatch(r"\d{1,2},\d{4}", text):
            return f"{text} may have a footnote's digit behind it"
        if "," in text:
            return f"the comma in {text} may part thousands or decimals"
        return f"{text} has letters that look like digits"
    if "/" in text:
        return f"`{text}` has two figures, and what each is isn't told"
    if quantity == "trim":
        return f"`{text}` is no figure; type none if it means no change"
    return f"`{text}` is no figure"


def position_given(text: str, known: tuple[str, ...], *, filled: bool, why: str = "") -> GivenCell:
    """A position. `known` are the marks it may be (empty: any); in a column of `filled` marks X or a dot is on and
    an empty cell off."""
    if why:
        return GivenCell(text=TO_TYPE, why=why)
    bare, dagger = without_dagger(text)
    if is_date(bare) and bare not in known:
        return GivenCell(text=TO_TYPE, dagger=dagger, why=MADE_A_DATE)
    if filled and (bare in FILLED or bare in EMPTY):
        on, off = (known[1], known[0]) if len(known) == 2 else ("ON", "OFF")
        return GivenCell(text=on if bare in FILLED else off, dagger=dagger)
    if bare in HOLLOW:
        return GivenCell(text=TO_TYPE, dagger=dagger, why=f"{bare} may mean off")
    if bare in EMPTY:
        return (
            GivenCell(text="-", dagger=dagger)
            if bare
            else GivenCell(text=TO_TYPE, dagger=dagger, why="nothing stands here")
        )
    if known:
        exact = [k for k in known if k == bare] or [k for k in known if k.casefold() == bare.casefold()]
        if not exact and {k.casefold() for k in known} == {"off", "on"} and bare in ("0", "1"):
            exact = [known[int(bare)]]
        if len(exact) != 1:
            return GivenCell(text=TO_TYPE, dagger=dagger, why=f"`{bare}` is none of {' '.join(known)}")
        return GivenCell(text=exact[0], dagger=dagger)
    if bare.casefold() in ("on", "off"):
        return GivenCell(text=bare.upper(), dagger=dagger)
    return GivenCell(text=bare, dagger=dagger)
