"""The cells of a row: figures with their units, words, and what people type in their place."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from selector.table.from_file.figures import HEAT, PERCENT, SHARES, TIME
from selector.table.from_file.implausible import fault
from selector.table.model.quantities import QUANTITIES, Quantity
from selector.table.model.table import ABOUT, Cell, CellWord, Either
from selector.table.text.report import FileReport, listed, meant
from selector.table.text.words import TO_TYPE, Item
from selector.units import BTUH_PER_KW, BTUH_PER_TON
from selector.value import Struct, field

_NUMBER = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{0,9})?|\.\d{1,9})$")
_ATTACHED = re.compile(r"([+-]?(?:\d{1,15}(?:\.\d{0,9})?|\.\d{1,9}))([A-Za-z%/°\"]\S*)$")
_FOOTNOTED = re.compile(r"([+-]?\d+(?:\.\d+)?)[*†‡§#^]+$")
_LETTERS_FOR_DIGITS = str.maketrans("OoIl", "0011")

UNIT_WORDS: dict[str, dict[str, Fraction]] = {
    "percent": PERCENT,
    "time": TIME,
    "heat": HEAT,
    "tons": {"ton": Fraction(1), "tons": Fraction(1)},
    "power": {"kw": Fraction(1), "w": Fraction(1, 1000)},
    "watts": {"w": Fraction(1), "kw": Fraction(1000)},
    "oil rate": {"gph": Fraction(1)},
    "speed": {"rpm": Fraction(1)},
}


def unit_words(kind: str, airflow: str, temperature: str) -> dict[str, Fraction]:
    """The unit words a cell may carry, folded, with the factor to the unit the column is in."""
    if kind == "airflow":
        return {airflow.casefold(): Fraction(1)}
    if kind == "airflow per ton":
        words = {f"{airflow}/ton": Fraction(1), f"{airflow}/kW": BTUH_PER_TON / BTUH_PER_KW, airflow: Fraction(1)}
        return {word.casefold(): factor for word, factor in words.items()}
    if kind == "temperature difference":
        return {temperature.casefold(): Fraction(1), f"°{temperature}".casefold(): Fraction(1)} | (
            {"k": Fraction(1)} if temperature == "C" else {}
        )
    return UNIT_WORDS.get(kind, {})


def _share(items: Sequence[Item]) -> tuple[str, str] | None:
    """`half`, `two thirds` as they stand and as they are typed; None for other words."""
    for length in (2, 1):
        words = " ".join(p.text for p in items[:length])
        if words.casefold() in SHARES:
            return words, SHARES[words.casefold()]
    return None


def has_comma(item: Item, report: FileReport) -> bool:
    """True where a word is told as a figure with a comma in it."""
    text = item.text
    thousands = re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?", text)
    if thousands or re.fullmatch(r"[+-]?\d+,\d+", text):
        code, point = ("thousands-comma", "") if thousands else ("decimal-comma", ".")
        report.at(item, code, f"`{text}` has a comma", f"type {text.replace(',', point)}")
        return True
    return False


class CellReader(Struct):
    """Reads the cells of one chart's rows; the quantities vary fastest, then the heads. Problems go to the report."""

    chart: str
    gives: Sequence[str]
    heads: int
    units: Mapping[str, Mapping[str, Fraction]]
    heat_default: Fraction
    ramps: Sequence[str]
    report: FileReport
    unfinished: bool = False
    """What is still to type is a cell that can't be read, and no problem."""
    others: Mapping[str, Quantity] = field(default_factory=dict)
    """What is given beside the quantities: columns in another unit."""
    known: dict[tuple[str, str], Cell] = field(default_factory=dict)
    """Cells of one word read before, by quantity and text."""
    set_by_menu: Sequence[str] = ()
    """Ramps whose seconds or percents a menu sets."""

    def read(self, rest: Sequence[Item], end: Item) -> list[tuple[Cell, str]] | None:
        """Every cell with its text, None after a problem. `end` is the last word of the row."""
        wanted = [self.others.get(g) or QUANTITIES[g] for g in self.gives] * self.heads
        if self._to_type(rest):
            return None
        out: list[tuple[Cell, str]] = []
        at = 0
        for i, quantity in enumerate(wanted):
            if at >= len(rest):
                message = f"this row has {i or 'none'} of the {self._needed(len(wanted))}"
                self.report.add(
                    end.line, end.column + len(end.text), "row-too-short", message, "type - where no figure is printed"
                )
                return None
            taken, cell = self._cell(rest, at, quantity, last=i == len(wanted) - 1)
            if cell is None:
                self._rest(rest[at + 1 :], wanted)
                return None
            if taken == 1 and quantity.content == "number":
                self.known[quantity.name, rest[at].text] = cell
            out.append((cell, " ".join(p.text for p in rest[at : at + taken])))
            at += taken
        if at < len(rest):
            dash = next((p for p, q in pairwise(rest) if p.text == "-" and q.text[0].isdigit()), None)
            if dash is not None and any(
                c is CellWord.BLANK and q.signed for (c, _), q in zip(out, wanted, strict=True)
            ):
                words = {w for words in self.units.values() for w in words}
                number, *unit = (p.text for p in rest[rest.index(dash) + 1 :][:2])
                typed = " ".join((number, *(u for u in unit if u.casefold() in words)))
                remedy = f"type -{typed} with no blank after the sign"
                self.report.at(dash, "sign-apart", "a sign must touch its number", remedy)
                return None
            if any(p.text == "/" for p in rest):
                self._not_a_figure(rest, next(i for i, p in enumerate(rest) if p.text == "/"), wanted[-1])
                return None
            if at and rest[at].text.casefold() in {w for words in self.units.values() for w in words}:
                self._not_a_figure(rest, at, wanted[-1])
                return None
            message = f"`{rest[at].text}` is more than the {self._needed(len(wanted))}"
            self.report.at(rest[at], "row-too-long", message, "take it out, or add its head to across:")
            return None
        return out

    def takes_words(self, rest: Sequence[Item]) -> bool:
        """True where the cells are words, and as many as there are."""
        return QUANTITIES[self.gives[0]].content == "word" and len(rest) == self.heads * len(self.gives)

    def _needed(self, wanted: int) -> str:
        if wanted == 1:
            return f"one figure that a row of `{self.chart}` has"
        return (
            f"{wanted} figures that the heads of `{self.chart}` need"
            if self.heads > 1
            else f"{wanted} figures that gives: of `{self.chart}` needs"
        )

    def _to_type(self, rest: Sequence[Item]) -> bool:
        blanks = [p for p in rest if p.text == TO_TYPE]
        if not blanks or self.unfinished:
            return False
        one = len(blanks) == 1
        self.report.add(
            blanks[0].line,
            blanks[0].column,
            "still-to-type",
            f"{'a figure' if one else f'{len(blanks)} figures'} of this row {'is' if one else 'are'} still to type",
            f"type {'it' if one else 'them'} in place of the {TO_TYPE}, - where the page has none, ? where it can't be"
            " read",
            length=blanks[-1].column - blanks[0].column + 1,
        )
        return True

    def _cell(self, rest: Sequence[Item], at: int, quantity: Quantity, *, last: bool) -> tuple[int, Cell | None]:
        """How many words a cell takes, and the cell; None after a problem."""
        item = rest[at]
        text = item.text
        if quantity.content == "number" and at + 1 < len(rest):
            if text.casefold() == ABOUT:
                taken, cell = self._cell(rest, at + 1, quantity, last=last)
                return taken + 1, cell
            if any(p.text.casefold() == "or" for p in rest[at + 1 : at + 4]):
                return self._either(rest, at, quantity)
        return self._one(rest, at, quantity, last=last)

    def _either(self, rest: Sequence[Item], at: int, quantity: Quantity) -> tuple[int, Cell | None]:
        """`900 or 1100`: figures with the word or between them."""
        first = at
        figures: list[Fraction] = []
        while True:
            taken, cell = self._one(rest, at, quantity, last=False)
            if not isinstance(cell, Fraction):
                if cell is not None and figures:
                    message = f"`{rest[at].text}` is no figure that may be meant in place of the one before or"
                    self.report.at(rest[at], "not-a-figure", message, "type the figures, for example 900 or 1100")
                    return at + taken - first, None
                return taken, cell
            figures.append(cell)
            at += taken
            if at + 1 >= len(rest) or rest[at].text.casefold() != "or":
                break
            at += 1
        place = (rest[first].line, rest[first].column)
        open_ = Either(tuple((frozenset({(*place, n)}), x) for n, x in enumerate(figures)))
        return at - first, open_ if len(open_.figures) > 1 else figures[0]

    def _one(self, rest: Sequence[Item], at: int, quantity: Quantity, *, last: bool) -> tuple[int, Cell | None]:
        """A cell of one figure or word."""
        item = rest[at]
        text = item.text
        if text == "-":
            return 1, CellWord.BLANK
        if text == "?" or (text == TO_TYPE and self.unfinished):
            return 1, CellWord.UNREADABLE
        if quantity.content == "word":
            if quantity.name == "label":
                if text.casefold() == "none":
                    return 1, CellWord.NONE
                said = [p.text for p in rest[at:]] if last else [text]
                return len(said), " ".join(said)
            return self._ramp(rest, at, last=last)
        if text.casefold() == "none":
            return 1, CellWord.NONE
        words = self.units.get(quantity.unit, {})
        factor = self.heat_default if quantity.unit == "heat" else Fraction(1)
        number, taken = text, 1
        if not _NUMBER.match(text):
            m = _ATTACHED.match(text)
            if m is None or m[2].casefold() not in words:
                self._not_a_figure(rest, at, quantity)
                return 1, None
            number, factor = m[1], words[m[2].casefold()]
        else:
            for length in (2, 1):
                word = " ".join(p.text for p in rest[at + 1 : at + 1 + length]).casefold()
                if word in words:
                    factor, taken = words[word], 1 + length
                    break
        value = Fraction(number) * factor
        wrong = fault(quantity, value, number, percent=taken > 1 or number != text)
        if wrong is not None:
            self.report.at(item, *wrong)
            return taken, None
        return taken, value

    def _ramp(self, rest: Sequence[Item], at: int, *, last: bool) -> tuple[int, Cell | None]:
        for length in range(min(len(rest) - at, 12) if last else 1, 0, -1):
            name = " ".join(p.text for p in rest[at : at + length]).casefold()
            found = next((r for r in self.ramps if r.casefold() == name), None)
            if found is not None:
                return length, found
            by_menu = next((r for r in self.set_by_menu if r.casefold() == name), None)
            if by_menu is not None:
                message = f"the ramp `{by_menu}` goes by a menu, so no chart can choose it"
                own = "type a ramp for each position of the menu, and choose between those"
                remedy = f"name it in the call, ramp: {by_menu}; or {own}"
                self.report.at(rest[at], "unknown-ramp", message, remedy)
                return length, None
        if rest[at].text.casefold() == "none":
            return 1, CellWord.NONE
        remedy = "add it under ramps:, as name: 30 s at 50 %, then 100 %"
        known = (
            meant(rest[at].text, self.ramps, f"add it under ramps:, or type one of {listed(self.ramps)}")
            if self.ramps
            else remedy
        )
        self.report.at(rest[at], "unknown-ramp", f"`{rest[at].text}` is not a ramp of this file", known)
        return 1, None

    def _rest(self, items: Sequence[Item], wanted: Sequence[Quantity]) -> None:
        """The slips of a row behind the first one, where a word alone shows what was meant."""
        if all(q.content == "number" for q in wanted):
            for item in items:
                self._mistyped(item)

    def _mistyped(self, item: Item) -> bool:
        """True where a word is told as a figure with a slip in it that the word alone shows."""
        text = item.text
        digits = text.translate(_LETTERS_FOR_DIGITS)
        if has_comma(item, self.report):
            return True
        if digits != text and _NUMBER.match(digits):
            self.report.at(
                item, "letter-for-digit", f"`{text}` holds a letter where a digit is meant", f"type {digits}"
            )
        elif m := _FOOTNOTED.match(text):
            remedy = _under_notes(text[len(m[1]) :])
            self.report.at(item, "footnote-at-figure", f"`{text}` holds a footnote's mark", remedy)
        else:
            return False
        return True

    def _not_a_figure(self, rest: Sequence[Item], at: int, quantity: Quantity) -> None:
        """What was typed where a figure belongs, and what to type."""
        item = rest[at]
        text = whole = item.text
        if text == "/" and at and at + 1 < len(rest):
            item, whole = rest[at - 1], f"{rest[at - 1].text}/{rest[at + 1].text}"
        if self._mistyped(item):
            return
        if re.fullmatch(r"[*†‡§#^]+", text):
            remedy = _under_notes(text)
            self.report.at(item, "footnote-at-figure", f"`{text}` is a footnote's mark", remedy)
        elif quantity.unit == "percent" and (share := _share(rest[at : at + 2])):
            self.report.at(item, "not-a-figure", f"`{share[0]}` is no figure", f"type {share[1]}")
        elif text in ("+", "±"):
            self.report.at(item, "sign-apart", "a sign must touch its number", "type +6 % with no blank after the sign")
        elif re.match(r"[+-]?[\d.]{16,}", text):
            self.report.at(
                item,
                "number-too-long",
                f"this figure has {len(text)} digits; no chart has that many",
                "type the figure as printed",
            )
        elif m := re.fullmatch(r"(\d{1,4})/([1-9]\d{0,3})", whole):
            part = int(m[1]) < int(m[2]) <= 16
            percent = 100 if quantity.unit == "percent" else 1
            remedy = (
                f"type {float(percent * Fraction(int(m[1]), int(m[2]))):.4g}{' %' * (percent > 1)}"
                if part
                else f"type {m[1]} or {m[2]} if it is one of the two; if they are two columns, give each its head"
            )
            self.report.at(item, "not-a-figure", f"`{whole}` is not a figure for {quantity.name}", remedy)
        elif m := _ATTACHED.match(text):
            self.report.at(
                item, "wrong-unit", f"`{m[2]}` is not a unit of {quantity.name} in this file", f"type {m[1]}"
            )
        elif at and text.casefold() in {w for words in self.units.values() for w in words}:
            message = f"`{text}` is not a unit of the figure before it"
            remedy = f"is {rest[at - 1].text} printed with {text}? then mend gives: or units:; else take {text} out"
            self.report.at(item, "wrong-unit", message, remedy)
        else:
            remedy = (
                "type the figure as printed, - where none is printed, ? where it can't be read; for a row without use:"
                " not used"
            )
            self.report.at(item, "not-a-figure", f"`{text}` is not a figure for {quantity.name}", remedy)


def _under_notes(mark: str) -> str:
    """What to type for a footnote's mark; `#` begins a comment there."""
    if "#" in mark:
        return f"{mark} begins a comment: type another mark at the figure and under notes:, as (a) and its text"
    return f"type what the footnote says under notes: of the chart, as {mark} its text"
