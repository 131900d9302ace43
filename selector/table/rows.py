"""The rows of a chart: one text that looks like the page, read line by line into positions and cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from selector.table.located import Scalar
from selector.table.model import ANY, Cell, Row, Word
from selector.table.quantities import QUANTITIES, Quantity
from selector.table.shapes import Report

TO_TYPE = "_"
"""Stands in a row where something is still to be typed, as a form has a line to write on."""
REFUSING = ("not used", "reserved", "do not use")
_TOKEN = re.compile(r"\S+")
_NUMBER = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{0,9})?|\.\d{1,9})$")
_ATTACHED = re.compile(r"([+-]?\d+(?:\.\d+)?)([A-Za-z%/°\"][^\s]*)$")
_RULE = frozenset("-|:+ \t")
_NOTE = re.compile(r"\(([^()]*)\)\s*$")

UNIT_WORDS: dict[str, dict[str, Fraction]] = {
    "percent": {"%": Fraction(1)},
    "time": {"s": Fraction(1), "sec": Fraction(1), "seconds": Fraction(1), "min": Fraction(60), "minutes": Fraction(60)},
    "tons": {"ton": Fraction(1), "tons": Fraction(1)},
    "power": {"kw": Fraction(1), "w": Fraction(1, 1000)},
    "watts": {"w": Fraction(1), "kw": Fraction(1000)},
    "oil rate": {"gph": Fraction(1)},
    "speed": {"rpm": Fraction(1)},
}
_HEAT = {
    "Btu/h": {"btu/h": Fraction(1), "btuh": Fraction(1), "mbh": Fraction(1000), "kbtu/h": Fraction(1000)},
    "MBH": {"mbh": Fraction(1), "kbtu/h": Fraction(1), "btu/h": Fraction(1, 1000)},
    "kW": {"kw": Fraction(1), "w": Fraction(1, 1000)},
}


def unit_words(kind: str, airflow: str, temperature: str, heat: str) -> dict[str, Fraction]:
    """The unit words a cell may carry, folded, with the factor to the unit the column is in."""
    if kind == "airflow":
        return {airflow.casefold(): Fraction(1)}
    if kind == "airflow per ton":
        return {f"{airflow}/ton".casefold(): Fraction(1), airflow.casefold(): Fraction(1)}
    if kind == "temperature difference":
        return {temperature.casefold(): Fraction(1), f"°{temperature}".casefold(): Fraction(1)} | ({"k": Fraction(1)} if temperature == "C" else {})
    if kind == "heat":
        return _HEAT[heat]
    return UNIT_WORDS.get(kind, {})


@dataclass(slots=True)
class Column:
    """One word of a row's positions: every accepted mark (exact and folded) to an index; `words` how many words a mark has at most.

    A column that is `open` learns its values from the rows (a fact that isn't declared with values).
    """

    name: str
    marks: dict[str, int]
    words: int = 1
    single: bool = False
    open: bool = False
    learned: list[str] = field(default_factory=list)
    absent: int | None = None
    absent_used: bool = False

    def find(self, text: str) -> int | None:
        """Index of a mark, ANY for `-`, None when it isn't one."""
        if text == "-":
            return ANY
        at = self.marks.get(text)
        if at is None:
            at = self.marks.get(text.casefold())
        if at is None and self.open:
            self.learned.append(text)
            at = self.marks[text] = len(self.learned) - 1
        if at is not None and at == self.absent:
            self.absent_used = True
        return at


@dataclass(slots=True)
class RowReader:
    """Reads the rows of one chart."""

    chart: str
    columns: Sequence[Column]
    gives: Sequence[str]
    heads: int
    units: dict[str, dict[str, Fraction]]
    ramps: frozenset[str]
    report: Report
    numbers: dict[tuple[str, str], Fraction] = field(default_factory=dict)
    heat_default: Fraction = Fraction(1)
    cycle: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        self.cycle = tuple(self.gives) * self.heads

    def read(self, node: Scalar) -> list[Row]:
        """Every readable row with its line; problems go to the report."""
        lines = self.report.source.lines
        rows: list[Row] = []
        if node.style in ("literal", "folded"):
            for number in range(node.line + 1, node.end_line + 1):
                self._line(lines[number - 1], number, 0, rows)
        else:
            start = node.column - 1 + (1 if node.style == "quoted" else 0)
            if ";" not in node.text and len(node.text.split("\n")) > 1:
                return rows
            self._line(lines[node.line - 1][: start + len(node.text)], node.line, start, rows)
        if not rows and not self.report.failed:
            self.report.at(node, "no-rows", f"the chart `{self.chart}` has no rows", "type rows: | and the rows below it, further right")
        return rows

    def _line(self, line: str, number: int, start: int, rows: list[Row]) -> None:
        text = line[start:]
        bare = text.strip()
        if not bare or bare[0] == "#":
            return
        if "---" in bare and _RULE.issuperset(bare):
            return
        if "|" in text:
            text = self._without_bars(text, number, start)
        if ";" not in text:
            self._row(text, number, start, rows)
            return
        at = 0
        depth = 0
        for i, c in enumerate(text + ";"):
            depth += (c == "(") - (c == ")")
            if c == ";" and depth <= 0:
                if text[at:i].strip():
                    self._row(text[at:i], number, start + at, rows)
                at = i + 1

    def _without_bars(self, text: str, number: int, start: int) -> str:
        first, last = text.find("|"), text.rfind("|")
        lead, tail = not text[:first].strip(), not text[last + 1 :].strip()
        bars = [i for i, c in enumerate(text) if c == "|"]
        for a, b in pairwise(bars):
            if not text[a + 1 : b].strip() and not (b == a + 1 and (lead or tail) and b == bars[-1]):
                self.report.add(number, start + a + 2, "empty-cell", "nothing stands between these bars", "type - where no figure is printed")
        return text.replace("|", " ")

    def _row(self, text: str, number: int, start: int, rows: list[Row]) -> None:
        note = ""
        if "(" in text:
            m = _NOTE.search(text)
            if m:
                note, text = m.group(1).strip(), text[: m.start()]
        tokens = text.split()
        columns, gives = self.columns, self.gives
        n, wanted = len(columns), self.heads * len(gives)
        if len(tokens) == n + wanted and not note:
            positions = tuple([c.marks.get(t, ANY if t == "-" else None) for c, t in zip(columns, tokens, strict=False)])
            if None not in positions and not any(c.open or c.absent is not None for c in columns):
                known = self.numbers
                try:
                    cells = tuple([known[g, t] for g, t in zip(self.cycle, tokens[n:], strict=True)])
                except KeyError:
                    pass
                else:
                    rows.append(Row(positions=positions, cells=cells, typed=tuple(tokens[n:]), line=number))  # type: ignore[arg-type]
                    return
        places = [(m.group(), number, start + m.start() + 1) for m in _TOKEN.finditer(text)]
        row = self._slow(places, number, note)
        if row is not None:
            rows.append(row)

    def _slow(self, places: list[tuple[str, int, int]], number: int, note: str) -> Row | None:
        at, positions = self._positions(places)
        if positions is None:
            return None
        rest = places[at:]
        words = " ".join(p[0] for p in rest).casefold()
        refusing = next((w for w in REFUSING if words and words.replace(w, "").strip() == ""), "")
        if refusing:
            return Row(positions=positions, word=refusing, note=note, line=number)
        if words == "none":
            return Row(positions=positions, cells=(Word.NONE,) * (self.heads * len(self.gives)), typed=("none",), note=note, line=number)
        if rest and rest[0][0].casefold() == "as" and (len(rest) == 1 or not self._takes_word(rest)):
            used, like = self._positions(rest[1:], own=positions)
            if like is None:
                return None
            if used < len(rest) - 1:
                self.report.add(
                    number, rest[1 + used][2], "row-too-long", "more stands after the row it behaves as", "type as and the other row's positions only"
                )
                return None
            return Row(positions=positions, like=like, note=note, line=number)
        cells = self._cells(rest, number, places)
        if cells is None:
            return None
        return Row(positions=positions, cells=tuple(c for c, _ in cells), typed=tuple(t for _, t in cells), note=note, line=number)

    def _takes_word(self, rest: list[tuple[str, int, int]]) -> bool:
        return QUANTITIES[self.gives[0]].content == "word" and len(rest) == self.heads * len(self.gives)

    def _positions(self, places: list[tuple[str, int, int]], own: tuple[int, ...] = ()) -> tuple[int, tuple[int, ...] | None]:
        """How many words the positions take, and the positions; None after a problem."""
        n = len(self.columns)
        if n > 1 and places and len(places[0][0]) == n and all(c.single for c in self.columns):
            run = [c.find(ch) for c, ch in zip(self.columns, places[0][0], strict=True)]
            if None not in run:
                return 1, tuple(own[i] if p == ANY and own else p for i, p in enumerate(run) if p is not None)
        out: list[int] = []
        at = 0
        for column in self.columns:
            if at >= len(places):
                line, end = (places[-1][1], places[-1][2]) if places else (0, 1)
                self.report.add(
                    line,
                    end,
                    "row-too-short",
                    f"this row ends before the position of {column.name}",
                    f"type a position for each of {' '.join(c.name for c in self.columns)}, then the figures",
                )
                return at, None
            for length in range(min(column.words, len(places) - at), 0, -1):
                found = column.find(" ".join(p[0] for p in places[at : at + length]))
                if found is not None:
                    out.append(own[len(out)] if found == ANY and own else found)
                    at += length
                    break
            else:
                text, line, col = places[at]
                if text == TO_TYPE:
                    what = f"the position of {column.name} is still to type"
                    self.report.add(line, col, "still-to-type", what, f"type it in place of the {TO_TYPE}")
                    return at, None
                from selector.problems import close_match

                names = list(dict.fromkeys(column.marks))
                near = close_match(text, names)
                self.report.add(
                    line,
                    col,
                    "unknown-position",
                    f"`{text}` is not a position of {column.name}",
                    f"did you mean `{near}`?" if near else f"type one of {' '.join(names)}, or - for any",
                    length=len(text),
                )
                return at, None
        return at, tuple(out)

    def _cells(self, rest: list[tuple[str, int, int]], number: int, places: list[tuple[str, int, int]]) -> list[tuple[Cell, str]] | None:
        wanted = [QUANTITIES[g] for _ in range(self.heads) for g in self.gives]
        blanks = [p for p in rest if p[0] == TO_TYPE]
        if blanks:
            one, many = len(blanks) == 1, f"{len(blanks)} figures"
            self.report.add(
                number,
                blanks[0][2],
                "still-to-type",
                f"{'a figure' if one else many} of this row {'is' if one else 'are'} still to type",
                f"type {'it' if one else 'them'} in place of the {TO_TYPE}, - where the page has none, ? where it can't be read",
                length=blanks[-1][2] - blanks[0][2] + 1,
            )
            return None
        out: list[tuple[Cell, str]] = []
        at = 0
        for i, quantity in enumerate(wanted):
            if at >= len(rest):
                line, col, text = (number, places[-1][2] + len(places[-1][0]), "") if places else (number, 1, "")
                self.report.add(
                    line,
                    col,
                    "row-too-short",
                    f"this row has {i} of the {len(wanted)} figures that the heads of `{self.chart}` need",
                    "type - where no figure is printed",
                )
                return None
            taken, cell = self._cell(rest, at, quantity, last=i == len(wanted) - 1)
            if cell is None:
                return None
            out.append((cell, " ".join(p[0] for p in rest[at : at + taken])))
            at += taken
        if at < len(rest):
            text, line, col = rest[at]
            self.report.add(
                line,
                col,
                "row-too-long",
                f"`{text}` is one more than the {len(wanted)} figures that the heads of `{self.chart}` need",
                "take it out, or add its head to across:",
                length=len(text),
            )
            return None
        return out

    def _cell(self, rest: list[tuple[str, int, int]], at: int, quantity: Quantity, *, last: bool) -> tuple[int, Cell | None]:
        text, line, col = rest[at]
        if text == "-":
            return 1, Word.BLANK
        if text == "?":
            return 1, Word.UNREADABLE
        if text.casefold() == "none" and quantity.content == "number":
            return 1, Word.NONE
        if quantity.content == "word":
            if quantity.name == "label":
                said = [p[0] for p in rest[at:]] if last else [text]
                return len(said), " ".join(said)
            return self._ramp(rest, at, last=last)
        words = self.units.get(quantity.unit, {})
        factor = self.heat_default if quantity.unit == "heat" else Fraction(1)
        taken = 1
        if not _NUMBER.match(text):
            m = _ATTACHED.match(text)
            if m and m.group(2).casefold() in words:
                text, factor = m.group(1), words[m.group(2).casefold()]
            else:
                self._not_a_number(text, line, col, quantity, at)
                return 1, None
        if taken == 1 and at + 1 < len(rest) and not _NUMBER.match(rest[at + 1][0]):
            for length in (2, 1):
                word = " ".join(p[0] for p in rest[at + 1 : at + 1 + length]).casefold()
                if word in words:
                    factor, taken = words[word], 1 + length
                    break
        value = Fraction(text) * factor
        if not self._sound(value, text, quantity, line, col, percent=taken > 1 or text != rest[at][0]):
            return taken, None
        if taken == 1 and text == rest[at][0]:
            self.numbers[quantity.name, text] = value
        return taken, value

    def _ramp(self, rest: list[tuple[str, int, int]], at: int, *, last: bool) -> tuple[int, Cell | None]:
        for length in range(len(rest) - at if last else 1, 0, -1):
            name = " ".join(p[0] for p in rest[at : at + length])
            found = next((r for r in self.ramps if r.casefold() == name.casefold()), None)
            if found is not None:
                return length, found
        text, line, col = rest[at]
        self.report.add(
            line,
            col,
            "unknown-ramp",
            f"`{text}` is not a ramp of this file",
            f"add it under ramps:, or type one of {' '.join(sorted(self.ramps)) or 'none declared'}",
            length=len(text),
        )
        return 1, None

    def _not_a_number(self, text: str, line: int, col: int, quantity: Quantity, at: int) -> None:
        if text in ("+", "-", "±") or (text[0] in "+-" and len(text) == 1):
            self.report.add(line, col, "sign-apart", "a sign must touch its number", "type +6 % with no blank after the sign")
        elif re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?", text):
            self.report.add(line, col, "thousands-comma", f"`{text}` has a comma", f"type {text.replace(',', '')}", length=len(text))
        elif re.fullmatch(r"[+-]?\d+,\d+", text):
            self.report.add(line, col, "decimal-comma", f"`{text}` has a comma", f"type {text.replace(',', '.')}", length=len(text))
        elif re.fullmatch(r"[+-]?\d{16,}(?:\.\d*)?", text):
            self.report.add(line, col, "number-too-long", f"this number has {len(text)} digits; no chart has that many", "type the figure as printed")
        else:
            m = _ATTACHED.match(text)
            if m:
                self.report.add(
                    line, col, "wrong-unit", f"`{m.group(2)}` is not a unit of {quantity.name} in this file", f"type {m.group(1)}", length=len(text)
                )
            elif at and text.casefold() in {w for words in self.units.values() for w in words}:
                self.report.add(
                    line,
                    col,
                    "wrong-unit",
                    f"`{text}` is not a unit of the figure before it",
                    "take it out, or mend `gives:` or `units:`",
                    length=len(text),
                )
            else:
                self.report.add(
                    line,
                    col,
                    "not-a-figure",
                    f"`{text}` is not a figure for {quantity.name}",
                    "type the figure as printed, - where none is printed, ? where it can't be read; for a row without use: not used",
                    length=len(text),
                )

    def _sound(self, value: Fraction, text: str, quantity: Quantity, line: int, col: int, *, percent: bool) -> bool:
        def bad(code: str, message: str, help: str) -> bool:
            self.report.add(line, col, code, message, help, length=len(text))
            return False

        signed = text[0] in "+-"
        if quantity.signed and not signed and value != 0:
            return bad(f"unsigned-{quantity.name}", f"{quantity.name} `{text}` has no sign", f"type +{text} or -{text}, as the page means it")
        if quantity.signed is False and signed:
            return bad(
                f"signed-{quantity.name.replace(' ', '-')}",
                f"{quantity.name} `{text}` has a sign",
                f"type {text[1:]}" + ("; for more or less use gives: trim" if quantity.unit == "percent" else ""),
            )
        if quantity.unit == "percent" and not percent and value and abs(value) < 1:
            return bad("percent-as-fraction", f"`{text}` looks like a fraction; {quantity.name} is in percent", f"type {float(value * 100):g} %")
        if quantity.name == "reduction" and value > 100:
            return bad("reduction-over-100", f"a reduction of {text} % leaves less than nothing", "type the percent taken off, 0 to 100")
        return True
