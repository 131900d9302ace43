"""What a given page means as a chart: its positions, heads and figures, each row beside what was given."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from selector.table.rows import TO_TYPE
from selector.transcribe.columns import aligned, is_figure, joined
from selector.transcribe.given import EMPTY, FILLED, figure_given, is_date, position_given, refusing_word, without_dagger
from selector.transcribe.grid import Grid, GridCell, refused
from selector.transcribe.headings import LABEL, Hints, headings
from selector.transcribe.titles import airflow_unit, page_of, title_of
from selector.transcribe.typed_chart import laid_out

_MARKS = frozenset(("off", "open", "closed", "none", "whole", "cut", "n/a"))


@dataclass(frozen=True, kw_only=True, slots=True)
class UnderstoodRow:
    """One row: what was `given`, its positions, its cells or the word that rules it out, and what was left marked and why."""

    given: str
    place: str
    marks: tuple[str, ...]
    cells: tuple[str, ...] = ()
    word: str = ""
    note: str = ""
    left: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """What stands behind the positions."""
        note = f"  ({self.note})" if self.note else ""
        return (self.word or " ".join(self.cells)) + note


@dataclass(frozen=True, kw_only=True, slots=True)
class Understood:
    """A chart as it was understood. `heads` are (name, words); a name is `_` where nothing tells what stands along the top."""

    name: str
    page: str
    set: tuple[str, ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...]
    gives: tuple[str, ...]
    rows: tuple[UnderstoodRow, ...]
    airflow: str = "cfm"
    source: str = ""
    remarks: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()

    @property
    def left(self) -> int:
        """How many places are left to type."""
        return (
            sum(row.marks.count(TO_TYPE) + row.cells.count(TO_TYPE) for row in self.rows)
            + [n for n, _ in self.heads].count(TO_TYPE)
            + self.set.count(TO_TYPE)
        )

    def positions_of(self, at: int) -> tuple[str, ...]:
        """The positions that a column of the rows shows, in the order they come; off before on."""
        found = list(dict.fromkeys(row.marks[at] for row in self.rows if row.marks[at] not in ("-", TO_TYPE)))
        if sorted(w.casefold() for w in found) in (["on"], ["off"], ["off", "on"]):
            return ("OFF", "ON")
        return tuple(found)

    def row_lines(self) -> list[str]:
        """The rows laid out, without indent."""
        return laid_out([(row.marks, row.text) for row in self.rows])


def understand(grid: Grid, hints: Hints) -> Understood:
    """The chart of a grid. Refused where no row of figures can be found; everything else that can't be read is left marked."""
    rows, at, width = _rows(grid, hints)
    if not rows:
        raise refused(
            grid.name, "no-rows", "No row with positions and figures was found here.", "Give the part of the page with the chart; see --set."
        )
    positions = len(hints.set) or _count_positions(rows, grid, at[0])
    together = (
        positions > 1 and not grid.fixed and all(len(r[0].text) == positions and not is_figure(r[0].text[1:]) for r in rows) and len(hints.set) > 1
    )
    lead = 1 if together else positions
    figures = width - lead
    if figures < 1:
        raise refused(
            grid.name, "no-figures", f"After {positions} positions no column of figures is left.", "Say which selectors set the chart: --set."
        )
    if not hints.airflow:
        hints = replace(hints, airflow=airflow_unit(grid.lines or [c.text for row in grid.rows for c in row]) or "cfm")
    if not hints.gives:
        hints = replace(hints, gives=(_quantity([c.text for row in rows for c in row[lead:]]),))
    above = [joined(row) if not grid.fixed else list(row) for row in grid.rows[: at[0]]]
    names, heads, gives, remarks, used = headings(above, lead, positions, figures, hints)
    filled = [_is_filled([r[c].text for r in rows if c < len(r) and not r[c].why]) for c in range(lead)]
    out = []
    for row, n in zip(rows, at, strict=True):
        out.append(_row(row, grid, n, names, positions, lead, figures, gives, hints, filled, together))
    told = [*grid.remarks, *remarks]
    if any(filled):
        told.append("a filled mark was read as ON, an empty cell in the same column as OFF")
    told += _doubled(out)
    skipped = [_given(grid, i) for i in range(len(grid.rows)) if i not in at and i not in used]
    return Understood(
        name=hints.name or title_of(grid, at[0]) or "airflow chart",
        page=hints.page or page_of(grid, at[0]),
        airflow=hints.airflow,
        source=grid.name,
        set=names,
        heads=heads,
        gives=gives,
        rows=tuple(out),
        remarks=tuple(told),
        skipped=tuple(skipped),
    )


def _rows(grid: Grid, hints: Hints) -> tuple[list[list[GridCell]], list[int], int]:
    """The rows of the chart, equally long, which rows of the grid they are, and how many cells each has."""
    rows = [list(row) if grid.fixed else joined(row) for row in grid.rows]
    first = _first_row(rows, grid, hints)
    at = [i for i in range(first, len(rows)) if i not in grid.ruled and is_data(rows[i], headed=first > 0)]
    if not grid.fixed:
        lead = 1 if len(hints.set) > 1 and at and all(len(rows[i][0].text) == len(hints.set) for i in at) else len(hints.set) or 1
        found, width = aligned([rows[i] for i in at], lead)
        return found, at, width
    lengths = Counter(_length(rows[i]) for i in at if not any(refusing_word(c.text) for c in rows[i]))
    if not lengths:
        return [], [], 0
    count = max(lengths, key=lambda n: (lengths[n], n))
    return [_fitted(rows[i], count) for i in at], at, count


def _quantity(texts: Sequence[str]) -> str:
    """What the figures are by their signs and units."""
    bare = [without_dagger(t)[0] for t in texts if is_figure(t)]
    if bare and all(t.endswith("%") for t in bare):
        return "trim" if any(t[0] in "+-\u2212\u2013" for t in bare) else "share"
    if bare and all(re.search(r"\d ?(?:s|sec\.?|seconds|min)$", t) for t in bare):
        return "seconds"
    return "airflow"


def _first_row(rows: Sequence[Sequence[GridCell]], grid: Grid, hints: Hints) -> int:
    """Where the rows below the last heading begin that has any below it; 0 where no heading is found."""
    labels = {name.casefold() for name in hints.set}
    titled = {i for i, row in enumerate(rows) if any(c.text.casefold() in labels or (LABEL.fullmatch(c.text) and "-" in c.text) for c in row)}
    titled = titled or {i for i, row in enumerate(rows) if row and LABEL.fullmatch(row[0].text) and any(c.isdigit() for c in row[0].text)}
    for i in sorted(titled | grid.ruled, reverse=True):
        if any(is_data(row, headed=True) for row in rows[i + 1 :]):
            return i + 1
    return 0


def _fitted(row: list[GridCell], count: int) -> list[GridCell]:
    """A row of a file with columns, as long as the others."""
    row = row + [GridCell(text="", place=row[-1].place)] * (count - len(row))
    extra = [c for c in row[count:] if c.text]
    if not extra or any(refusing_word(c.text) for c in row):
        return row[:count]
    note = [c for c in extra if c.text.startswith("(")]
    if note:
        return row[:count] + note
    return [GridCell(text=c.text, place=c.place, why=f"more cells than the {count} of the other rows") for c in row[:count]]


def _length(row: Sequence[GridCell]) -> int:
    return max((i + 1 for i, c in enumerate(row) if (c.text or c.why) and not c.text.startswith("(")), default=0)


def is_data(row: Sequence[GridCell], *, headed: bool) -> bool:
    """True for a row with figures behind its first cell, or one that is ruled out; below a heading also for one that begins with ON or OFF."""
    behind = [c for c in row[1:] if c.text or c.why]
    if any(refusing_word(c.text) for c in behind) and len(_words(row)) <= 1:
        return True
    if headed and row and row[0].text.casefold() in ("on", "off", "open", "closed"):
        return True
    figures = sum(1 for c in behind if is_figure(c.text) or c.why or re.fullmatch(r"[\dOolI,.]{3,}", c.text) or c.text.casefold() == "none")
    return figures > 0 and len(_words(row)) <= figures // 2 and (headed or bool(row[0].text))


def _words(row: Sequence[GridCell]) -> list[str]:
    """What stands in a row that is neither a figure nor a position, nor rules it out."""
    return [
        c.text
        for c in row
        if re.search(r"[A-Za-z]{3,}", c.text)
        and not is_figure(c.text)
        and c.text.casefold() not in _MARKS
        and not c.text.startswith("(")
        and not refusing_word(c.text)
        and not is_date(c.text)
    ]


def _count_positions(rows: Sequence[Sequence[GridCell]], grid: Grid, first: int) -> int:
    """How many cells at the left are positions: those under labels, else those that aren't figures, at least one."""
    for row in reversed(grid.rows[:first]):
        labels = 0
        for cell in row:
            if not LABEL.fullmatch(cell.text):
                break
            labels += 1
        if labels:
            return labels
    count = 0
    for c in range(len(rows[0])):
        column = [row[c] for row in rows if c < len(row) and not any(refusing_word(x.text) for x in row)]
        if not column or all(is_figure(x.text) and len(without_dagger(x.text)[0]) > 1 for x in column):
            break
        if sum(1 for x in column if is_figure(x.text)) > len(column) // 2 and c > 0:
            break
        count += 1
    return max(1, count)


def _is_filled(texts: Sequence[str]) -> bool:
    bare = {without_dagger(t)[0] for t in texts}
    return bool(bare & FILLED) and bare <= FILLED | EMPTY


def _row(
    row: Sequence[GridCell],
    grid: Grid,
    n: int,
    names: Sequence[str],
    positions: int,
    lead: int,
    figures: int,
    gives: Sequence[str],
    hints: Hints,
    filled: Sequence[bool],
    together: bool,
) -> UnderstoodRow:
    left: list[str] = []
    daggers = ""
    front = list(row[:lead])
    if together:
        front = [GridCell(text=c, place=row[0].place) for c in row[0].text]
    marks: list[str] = []
    for i, cell in enumerate(front[:positions]):
        if refusing_word(cell.text):
            break
        read = position_given(cell.text, hints.positions.get(names[i], ()), filled=filled[0 if together else i], why=cell.why)
        marks.append(read.text)
        daggers += read.dagger
        if read.why:
            left.append(f"{cell.place}: {read.why}")
    marks += [TO_TYPE] * (positions - len(marks))
    word = next((refusing_word(c.text) for c in row if refusing_word(c.text)), "")
    note = next((c.text[1:-1] for c in row[lead:] if c.text.startswith("(") and c.text.endswith(")")), "")
    cells: list[str] = []
    if not word:
        for i in range(figures):
            cell = row[lead + i] if lead + i < len(row) else GridCell(text="", place=row[-1].place, why="nothing stands here")
            read = figure_given(cell.text, gives[i % len(gives)], hints.airflow, why=cell.why)
            cells.append(read.text)
            daggers += read.dagger
            if read.why:
                left.append(f"{cell.place}: {read.why}")
    if daggers and not note:
        note = f"the page has {' '.join(dict.fromkeys(daggers))} here"
    return UnderstoodRow(
        given=_given(grid, n),
        place=row[0].place,
        marks=tuple(marks),
        cells=tuple(cells),
        word=word,
        note=note.replace("(", "").replace(")", ""),
        left=tuple(left),
    )


def _given(grid: Grid, n: int) -> str:
    """A row as it was given, for people to hold beside what was understood."""
    row = grid.rows[n]
    found = re.match(r"line (\d+)", row[0].place)
    if found and grid.lines:
        return grid.lines[int(found.group(1)) - 1].rstrip()
    return " | ".join(c.text for c in row)


def _doubled(rows: Sequence[UnderstoodRow]) -> list[str]:
    seen: dict[tuple[str, ...], str] = {}
    out = []
    for row in rows:
        if TO_TYPE not in row.marks:
            if row.marks in seen:
                out.append(f"{row.place} has the positions of {seen[row.marks]} again: {' '.join(row.marks)}")
            seen.setdefault(row.marks, row.place)
    return out


__all__ = ["Hints", "Understood", "UnderstoodRow", "understand"]
