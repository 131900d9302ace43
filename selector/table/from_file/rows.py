"""The rows of a chart: one text that looks like the page, read line by line into positions and cells."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from selector.table.from_file.cells import CellReader
from selector.table.kinds.parts import shown_marks
from selector.table.model.table import ABOUT, ANY, Cell, CellWord, Either, Row
from selector.table.text.nodes import Scalar
from selector.table.text.report import FileReport, listed, meant
from selector.table.text.words import TO_TYPE as TO_TYPE
from selector.table.text.words import Item
from selector.value import Struct, field, replace

REFUSING = ("not used", "reserved", "do not use", "kept for service", "not fitted", "not permitted")
REST = "others"
"""Begins the row for all positions that no other row names."""
_OPEN, _CLOSE = "\x02", "\x03"
"""Stand for the parentheses of a footnote's mark while its row is read."""
_TOKEN = re.compile(r"\S+")
_RULE = frozenset("-|:+ \t")


class Column(Struct):
    """One word of a row's positions: every accepted mark (exact and folded) to an index; `words` how many words a mark
    has at most.

    A column that is `open` learns its values from the rows (a fact that isn't declared with values); where it is
    `continuous` they are figures.
    """

    name: str
    marks: dict[str, int]
    words: int = 1
    single: bool = False
    open: bool = False
    continuous: bool = False
    learned: list[str] = field(default_factory=list)
    absent: int | None = None
    absent_used: bool = False
    seen: dict[str, int] = field(default_factory=lambda: {"-": ANY})
    """Words read before, as they were typed."""

    def find(self, text: str) -> int | None:
        """Index of a mark, ANY for `-`, None when it isn't one."""
        at = self.seen.get(text)
        if at is not None:
            return at
        at = self.marks.get(text)
        if at is None:
            at = self.marks.get(text.casefold())
        if at is None and self.open:
            at = self._learn(text)
        if at is not None:
            self.seen[text] = at
            if at == self.absent:
                self.absent_used = True
        return at

    def _learn(self, text: str) -> int | None:
        if text == TO_TYPE:
            return None
        if self.continuous:
            number = plain_number(text)
            if number is None:
                return None
            for i, known in enumerate(self.learned):
                if plain_number(known) == number:
                    return i
        self.learned.append(text)
        self.marks[text] = len(self.learned) - 1
        return self.marks[text]


def plain_number(text: str) -> Fraction | None:
    """A value of a fact as a number, with or without a percent sign; None if it is none."""
    m = re.fullmatch(r"([+-]?(?:\d{1,15}(?:\.\d{0,9})?|\.\d{1,9})) ?%?", text)
    return Fraction(m[1]) if m else None


def figure_help(text: str) -> str:
    """What to type for a value that is no number."""
    return (
        f"type {text.replace(',', '.')}"
        if re.fullmatch(r"[+-]?\d+,\d+", text)
        else "type the figure as printed, without its unit"
    )


class RowReader(Struct):
    """Reads the rows of one chart. Problems go to the report."""

    columns: Sequence[Column]
    cells: CellReader
    report: FileReport
    marks: Sequence[str] = ()
    """Marks of the chart's footnotes."""
    _cycle: tuple[str, ...] = ()
    _quick: bool = False
    _run: bool = False
    _footnoted: re.Pattern[str] = _TOKEN
    """A mark in parentheses, as `950 (b)`."""
    _at_marks: re.Pattern[str] = _TOKEN
    """A mark at a word's end: in parentheses, alone, or behind a figure."""
    _apart: set[str] = field(default_factory=set)
    """Words as long as a row's positions run together that aren't that."""
    _tails: dict[tuple[str, ...], tuple[tuple[Cell, ...], tuple[str, ...]]] = field(default_factory=dict)
    """Cells of more than one word each, by the words of a row after its positions."""

    def __post_init__(self) -> None:
        self._cycle = tuple(self.cells.gives) * self.cells.heads
        self._quick = all(c.words == 1 for c in self.columns)
        self._run = len(self.columns) > 1 and all(c.single for c in self.columns)
        every = [re.escape(m) for m in sorted(self.marks, key=len, reverse=True)]
        signs = [re.escape(m) for m in sorted(self.marks, key=len, reverse=True) if not m.isascii() or not m.isalnum()]
        self._footnoted = re.compile(rf"\(({'|'.join(every)})\)")
        self._at_marks = re.compile(
            rf"{_OPEN}({'|'.join(every)}){_CLOSE}$" + (rf"|(?<![^\s\d.%])({'|'.join(signs)})$" if signs else "|(?!)()")
        )

    def read(self, node: Scalar) -> list[Row]:
        """Every readable row with its line."""
        lines = self.report.source.lines
        before = len(self.report.problems)
        rows: list[Row] = []
        if node.style in ("literal", "folded"):
            for number in range(node.line + 1, node.end_line + 1):
                self._line(lines[number - 1], number, 0, rows)
        elif node.end_line > node.line:
            self.report.at(
                node,
                "rows-need-bar",
                "rows on several lines need a bar",
                "type rows: | and the rows below it, further right",
            )
        else:
            start = node.column - 1 + (1 if node.style == "quoted" else 0)
            self._line(lines[node.line - 1][: start + len(node.text)], node.line, start, rows)
        if not rows and len(self.report.problems) == before:
            message = f"the chart `{self.cells.chart}` has no rows"
            self.report.at(node, "no-rows", message, "type rows: | and the rows below it, further right")
        return rows

    def _line(self, line: str, number: int, start: int, rows: list[Row]) -> None:
        text = line[start:] if start else line
        bare = text.strip()
        if not bare or bare[0] == "#":
            return
        if "---" in bare and _RULE.issuperset(bare):
            return
        if "|" in text:
            bare = self._without_bars(text, number, start)
            if not bare:
                return
            text = bare
        if ";" not in text:
            self._row(text, number, start, rows)
            return
        at = 0
        depth = 0
        for i, c in enumerate(text + ";"):
            depth += (c == "(") - (c == ")" and depth > 0)
            if c == ";" and (depth == 0 or i == len(text)):
                if text[at:i].strip():
                    self._row(text[at:i], number, start + at, rows)
                at = i + 1

    def _without_bars(self, text: str, number: int, start: int) -> str:
        """The row with blanks for its bars, nothing after a problem."""
        first, last = text.find("|"), text.rfind("|")
        lead, tail = not text[:first].strip(), not text[last + 1 :].strip()
        bars = [i for i, c in enumerate(text) if c == "|"]
        for a, b in pairwise(bars):
            if not text[a + 1 : b].strip() and not (b == a + 1 and (lead or tail) and b == bars[-1]):
                self.report.add(
                    number,
                    start + a + 2,
                    "empty-cell",
                    "empty cell",
                    "type - where no figure is printed",
                )
                return ""
        return text.replace("|", " ")

    def _row(self, text: str, number: int, start: int, rows: list[Row]) -> None:
        """One row, quickly where all its words have been read before."""
        note = ""
        if self.marks:
            text = self._footnoted.sub(lambda m: f"{_OPEN}{m[1]}{_CLOSE}", text)
        if "(" in text or ")" in text:
            cut = self._note_start(text, number, start)
            if cut is None:
                return
            note, text = text[cut + 1 :].rstrip()[:-1].strip(), text[:cut]
        tokens = text.split()
        n = len(self.columns)
        if self._quick and len(tokens) > 1 and not any(m in text for m in self.marks):
            together = self._run and len(tokens[0]) == n and tokens[0] not in self._apart
            row = self._known(tokens[0] if together else tokens, tokens[1 if together else n :], note, number)
            if row is not None:
                rows.append(row)
                return
        items = [Item(m.group(), number, start + m.start() + 1) for m in _TOKEN.finditer(text)]
        if not items:
            self.report.add(
                number,
                start + len(text) + 1,
                "note-alone",
                "this row has a note and nothing else",
                "type the note at the end of its row",
            )
            return
        row = self._words(items, note)
        if row is not None:
            rows.append(row)

    def _known(self, marks: Sequence[str], words: list[str], note: str, number: int) -> Row | None:
        """The row if all its words have been read before in their places. `marks` begins with its positions; `words`
        are what follows them."""
        tail = tuple(words)
        try:
            positions = tuple([c.seen[t] for c, t in zip(self.columns, marks, strict=False)])
            if len(tail) == len(self._cycle):
                known = self.cells.known
                cells = tuple([known[g, t] for g, t in zip(self._cycle, tail, strict=True)])
                return Row(positions=positions, cells=cells, typed=tail, note=note, line=number)
            cells, typed = self._tails[tail]
        except KeyError:
            return None
        return Row(positions=positions, cells=cells, typed=typed, note=note, line=number)

    def _note_start(self, text: str, number: int, start: int) -> int | None:
        """Where the note at the row's end begins; None after a problem."""
        end = text.rstrip()
        depth = 0
        if end.endswith(")"):
            for i in range(len(end) - 1, -1, -1):
                depth += (end[i] == ")") - (end[i] == "(")
                if depth == 0:
                    before = end[:i]
                    if "(" in before or ")" in before:
                        break
                    return i
        at = next(i for i, c in enumerate(text) if c in "()")
        closed = text[at] == "(" and ")" in text[at:]
        message = (
            "a note in parentheses stands at the end of its row"
            if closed
            else f"the parenthesis {text[at]} has no other one"
        )
        remedy = "move it to the end of the row" if closed else "type a note as (words), at the end of the row"
        self.report.add(number, start + at + 1, "note-not-last" if closed else "note-not-closed", message, remedy)
        return None

    def _words(self, items: Sequence[Item], note: str) -> Row | None:
        marked = self._without_marks(items) if self.marks else None
        if marked is None:
            return self._unmarked(items, note)[0]
        plain, marks = marked
        row, starts = self._unmarked(plain, note) if plain else (None, [])
        if row is None or not marks:
            return row
        found = tuple((bisect_right(starts, after) - 1, mark) for after, mark in marks)
        return replace(row, marks=(*row.marks, *found))

    def _without_marks(self, items: Sequence[Item]) -> tuple[list[Item], list[tuple[int, str]]]:
        """The words of a row without its footnotes' marks, and each mark with the number of the word before it."""
        plain: list[Item] = []
        marks: list[tuple[int, str]] = []
        for item in items:
            text = item.text
            found: list[str] = []
            while (m := self._at_marks.search(text)) is not None:
                found.insert(0, m[1] or m[2])
                text = text[: m.start()]
            if text:
                plain.append(Item(text, item.line, item.column))
            marks += [(len(plain) - 1, mark) for mark in found]
        return plain, marks

    def _unmarked(self, items: Sequence[Item], note: str) -> tuple[Row | None, list[int]]:
        """The row, and the number of the word that each of its cells begins with."""
        number = items[0].line
        rest_of_all = bool(self.columns) and items[0].text.casefold() == REST and self.columns[0].find(REST) is None
        if rest_of_all:
            at, positions = 1, tuple([ANY] * len(self.columns))
        else:
            at, found = self._positions(items, items[0])
            if found is None:
                return None, []
            positions = found
        row = self._after_positions(items, at, positions, note, number)
        if row is None:
            return None, []
        starts = [at]
        for typed in row.typed[:-1]:
            starts.append(starts[-1] + len(typed.split()))
        return (replace(row, rest=True) if rest_of_all else row), starts

    def _after_positions(
        self, items: Sequence[Item], at: int, positions: tuple[int, ...], note: str, number: int
    ) -> Row | None:
        rest = items[at:]
        words = " ".join(p.text for p in rest).casefold()
        refusing = next((w for w in REFUSING if words and words.replace(w, "").strip() == ""), "")
        if refusing:
            return Row(positions=positions, word=refusing, note=note, line=number)
        if words == "none":
            return Row(
                positions=positions, cells=(CellWord.NONE,) * len(self._cycle), typed=("none",), note=note, line=number
            )
        if (
            [p.text.casefold() for p in rest[:2]] == ["same", "as"]
            and self.columns
            and (self._names_row(rest[2:]) or not self.cells.takes_words(rest))
        ):
            copy = self._copy(rest[1:], positions, note)
            return replace(copy, like=(), same=copy.like) if copy is not None else None
        copies = len(rest) == 1 or self._names_row(rest[1:]) or not self.cells.takes_words(rest)
        if rest and rest[0].text.casefold() == "as" and copies:
            return self._copy(rest, positions, note)
        cells = self.cells.read(rest, items[-1])
        if cells is None:
            return None
        found, typed = tuple(c for c, _ in cells), tuple(t for _, t in cells)
        rough = tuple((i, ABOUT) for i, t in enumerate(typed) if t.casefold().startswith(f"{ABOUT} "))
        if len(rest) != len(self._cycle) and not rough and not any(isinstance(c, Either) for c in found):
            self._tails[tuple([p.text for p in rest])] = found, typed
        return Row(positions=positions, cells=found, typed=typed, marks=rough, note=note, line=number)

    def _names_row(self, items: Sequence[Item]) -> bool:
        """True where these words are positions of a row, whatever else they may be."""
        if self._run and len(items) == 1 and len(items[0].text) == len(self.columns):
            return all(c in column.marks for column, c in zip(self.columns, items[0].text, strict=True))
        known = [
            item.text == "-" or item.text in column.marks or item.text.casefold() in column.marks
            for column, item in zip(self.columns, items, strict=False)
        ]
        return len(items) == len(self.columns) and all(known)

    def _copy(self, rest: Sequence[Item], positions: tuple[int, ...], note: str) -> Row | None:
        """`as P..`."""
        if not self.columns:
            message = f"`{self.cells.chart}` has no set:, so there is no other row to behave as"
            self.report.at(rest[0], "copy-of-nothing", message, "type the figures of this row")
            return None
        used, like = self._positions(rest[1:], rest[0], copied=True)
        if like is None:
            return None
        if used < len(rest) - 1:
            message = "more stands after the row it behaves as"
            self.report.at(rest[1 + used], "row-too-long", message, "type as and the other row's positions only")
            return None
        return Row(positions=positions, like=like, note=note, line=rest[0].line)

    def _positions(
        self, items: Sequence[Item], before: Item, copied: bool = False
    ) -> tuple[int, tuple[int, ...] | None]:
        """How many words the positions take, and the positions; None after a problem. `before` is the word they
        follow where there are none."""
        if self._run and items and len(items[0].text) == len(self.columns):
            run = [c.find(ch) for c, ch in zip(self.columns, items[0].text, strict=True)]
            if None in run:
                self._apart.add(items[0].text)
            else:
                return 1, tuple(p for p in run if p is not None)
        out: list[int] = []
        at = 0
        for column in self.columns:
            if at >= len(items):
                last = items[-1] if items else before
                names = listed(c.name for c in self.columns)
                message = f"this row ends before the position of {column.name}"
                self.report.at(
                    last,
                    "row-too-short",
                    message,
                    f"type a position for each of {names}{'' if copied else ', then the figures'}",
                )
                return at, None
            for length in range(min(column.words, len(items) - at), 0, -1):
                found = column.find(" ".join(p.text for p in items[at : at + length]) if length > 1 else items[at].text)
                if found is not None:
                    out.append(found)
                    at += length
                    break
            else:
                if out and not copied and self._ends_early(column, items[at:]):
                    self._short(len(out), items[at])
                else:
                    self._unknown(column, items[at])
                return at, None
        return at, tuple(out)

    def _ends_early(self, column: Column, rest: Sequence[Item]) -> bool:
        """True where the figures begin in place of a position: a figure where no position of it is one, or too few
        words are left for the other positions and the figures."""
        figure = plain_number(rest[0].text) is not None and all(plain_number(m) is None for m in column.marks)
        left = len(self.columns) - self.columns.index(column) + len(self._cycle)
        return figure or (column.words == 1 and rest[0].text not in ("-", TO_TYPE) and len(rest) < left)

    def _short(self, found: int, item: Item) -> None:
        """A row with fewer positions than its chart is set by."""
        names = listed(c.name for c in self.columns)
        message = (
            f"this row has {found} position{'s' if found > 1 else ''}, `{self.cells.chart}` needs {len(self.columns)}"
        )
        self.report.at(item, "row-too-short", message, f"type a position for each of {names}, then the figures")

    def _unknown(self, column: Column, item: Item) -> None:
        """A word that is no position of its column."""
        if item.text == TO_TYPE and self.cells.unfinished:
            return
        if item.text == TO_TYPE:
            message = f"the position of {column.name} is still to type"
            self.report.at(item, "still-to-type", message, f"type it in place of the {TO_TYPE}")
        elif column.continuous:
            message = f"`{item.text}` is not a figure for {column.name}"
            self.report.at(item, "value-not-a-figure", message, figure_help(item.text))
        else:
            remedy = meant(item.text, column.marks, f"type one of {listed(shown_marks(column.marks))}, or - for any")
            self.report.at(item, "unknown-position", f"`{item.text}` is not a position of {column.name}", remedy)
