"""What a given page means as a chart: its positions, heads and figures, each row beside what was given."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import product

from selector.table.build.rows import TO_TYPE
from selector.transcribe.cells.columns import is_figure, joined
from selector.transcribe.cells.given import EMPTY, FILLED, figure_given, position_given, refusing_word, without_dagger
from selector.transcribe.cells.grid import Grid, GridCell, refused
from selector.transcribe.import_page.chart_rows import chart_rows, count_positions
from selector.transcribe.import_page.footnotes import Dagger, footnotes, line_of, note_of, said
from selector.transcribe.import_page.headings import Hints, headings
from selector.transcribe.import_page.tidy import tidied
from selector.transcribe.import_page.titles import airflow_unit, lines_above, page_of, pressure_unit, title_of
from selector.transcribe.typed.chart import laid_out
from selector.value import Struct, replace

_NO_BRACKETS = str.maketrans({"(": None, ")": None, ";": ",", "|": "/"})
"""What has a meaning of its own within the note of a row."""


class UnderstoodRow(Struct, frozen=True, kw_only=True):
    """One row: what was `given`, its positions, its cells or the word that rules it out, and what was left marked
    and why."""

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


class Understood(Struct, frozen=True, kw_only=True):
    """A chart as it was understood. `heads` are (name, words); a name is `_` where nothing tells what stands along the
    top.

    `skipped` are the lines that were passed over, `dropped` how many of them stand among the rows and hold figures.
    """

    name: str
    page: str
    set: tuple[str, ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...]
    gives: tuple[str, ...]
    rows: tuple[UnderstoodRow, ...]
    airflow: str = "cfm"
    pressure: str = ""
    source: str = ""
    remarks: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    dropped: int = 0

    @property
    def left(self) -> int:
        """How many places are left to type."""
        return (
            sum(row.marks.count(TO_TYPE) + row.cells.count(TO_TYPE) for row in self.rows)
            + [n for n, _ in self.heads].count(TO_TYPE)
            + self.set.count(TO_TYPE)
            + self.dropped
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
    """The chart of a grid. Refused where no row of figures can be found; everything else that can't be read is left
    marked."""
    grid, hints = tidied(grid, hints)
    rows, at, width = chart_rows(grid, hints)
    if not rows:
        raise refused(
            grid.name,
            "no-rows",
            "No row with positions and figures was found here.",
            "Give the part of the page with the chart; see --set.",
        )
    positions = len(hints.set) or count_positions(rows, grid, at[0])
    together = (
        positions > 1
        and not grid.fixed
        and all(len(r[0].text) == positions and not is_figure(r[0].text[1:]) for r in rows)
        and len(hints.set) > 1
    )
    lead = 1 if together else positions
    figures = width - lead
    if figures < 1:
        raise refused(
            grid.name,
            "no-figures",
            f"After {positions} positions no column of figures is left.",
            "Say which selectors set the chart: --set.",
        )
    if not hints.airflow:
        hints = replace(hints, airflow=airflow_unit(grid.lines or [c.text for row in grid.rows for c in row]) or "cfm")
    if not hints.gives:
        hints = replace(
            hints, gives=(_quantity([c.text for row in rows for c in row[lead:]], lines_above(grid, at[0])[-2:]),)
        )
    above = [joined(row) if not grid.fixed else list(row) for row in grid.rows[: at[0]]]
    names, heads, gives, remarks, used = headings(above, lead, positions, figures, hints)
    columns = [[r[c].text for r in rows if c < len(r) and not r[c].why] for c in range(lead)]
    filled = [_is_filled(column) for column in columns]
    if any(filled):
        filled = [
            f or {without_dagger(t)[0] for t in column} <= EMPTY for f, column in zip(filled, columns, strict=True)
        ]
    rows, carried = _carried_down(rows, lead, filled)
    rows = [_unmixed(row, columns) for row in rows]
    notes = footnotes(grid)
    out = []
    for row, n in zip(rows, at, strict=True):
        out.append(_row(row, grid, n, names, positions, lead, figures, gives, hints, filled, together, notes, heads))
    told = [*grid.remarks, *remarks]
    if any(filled):
        told.append("a filled mark was read as ON, an empty cell in such columns as OFF")
    told += carried
    if any(_beside_off(column) for column in columns):
        told.append("a filled mark in a column with OFF was read as ON")
    told += _doubled(out)
    told_of = " ".join(row.note for row in out)
    kept = {number for number, _, text in notes if text.translate(_NO_BRACKETS) in told_of}
    skipped = [
        _given(grid, i)
        for i in range(len(grid.rows))
        if i not in at and i not in used and line_of(grid.rows[i][0].place) not in kept
    ]
    dropped = [
        _given(grid, i)
        for i in range(at[0], len(grid.rows))
        if i not in at and _has_figures(grid.rows[i]) and _given(grid, i) in skipped
    ]
    told += [f"this line has figures but was not understood as a row: {' '.join(line.split())}" for line in dropped]
    return Understood(
        name=hints.name or title_of(grid, at[0]) or f"{gives[0]} chart",
        page=hints.page or page_of(grid, at[0]),
        airflow=hints.airflow,
        pressure=(hints.pressure or pressure_unit(lines_above(grid, at[0])))
        if any(n == "static pressure" for n, _ in heads)
        else "",
        source=grid.name,
        set=names,
        heads=heads,
        gives=gives,
        rows=tuple(out),
        remarks=tuple(told),
        skipped=tuple(skipped),
        dropped=len(dropped),
    )


def _quantity(texts: Sequence[str], above: Sequence[str]) -> str:
    """What the figures are by their signs and units, or by a percentage in the lines above them."""
    bare = [without_dagger(t)[0] for t in texts if is_figure(t)]
    if any(t.endswith("%") for t in bare) and all(t.endswith("%") or re.fullmatch(r"0(?:\.0+)?", t) for t in bare):
        return "trim" if any(t[0] in "+-\u2212\u2013" for t in bare) else "share"
    if bare and all(re.search(r"\d ?(?:s|sec\.?|seconds|min)$", t) for t in bare):
        return "seconds"
    numbers = [t.lstrip("+-\u2212\u2013") for t in bare]
    if (
        numbers
        and any(re.search(r"\bpercent|%", line, re.IGNORECASE) for line in above)
        and all(re.fullmatch(r"1?\d?\d(?:\.\d+)?", n) for n in numbers)
    ):
        return "trim" if any(t != n for t, n in zip(bare, numbers, strict=True)) else "share"
    return "airflow"


def _has_figures(row: Sequence[GridCell]) -> bool:
    """True for a line that may be a row: two figures of two digits or more, and hardly more words than figures."""
    words = " ".join(c.text for c in row).split()
    figures = sum(1 for w in words if is_figure(w) and sum(c.isdigit() for c in w) > 1)
    return figures > 1 and sum(1 for w in words if w.isalpha() and len(w) > 2) <= figures


def _is_filled(texts: Sequence[str]) -> bool:
    bare = {without_dagger(t)[0] for t in texts}
    return bool(bare & FILLED) and bare <= FILLED | EMPTY


def _carried_down(
    rows: Sequence[Sequence[GridCell]], lead: int, filled: Sequence[bool]
) -> tuple[list[list[GridCell]], list[str]]:
    """The rows with the mark of a first column that is printed once for the rows below it, and the remark on it."""
    out = [list(row) for row in rows]
    texts = [row[0].text for row in rows if row]
    if lead < 2 or filled[0] or len(texts) < len(rows) or not texts[0] or all(texts) or any(row[0].why for row in rows):
        return out, []
    mark = ""
    for i, row in enumerate(rows):
        mark = row[0].text or mark
        out[i] = [replace(row[0], text=mark), *row[1:]]
    return out, [f"an empty cell below {texts[0]} was read as {texts[0]}, and so on down the column"]


def _beside_off(texts: Sequence[str]) -> bool:
    """True for a column of filled marks that has OFF in words in place of empty cells."""
    bare = {without_dagger(t)[0].casefold() for t in texts if not refusing_word(t)}
    return "off" in bare and bool(bare & FILLED) and bare <= FILLED | EMPTY | {"off"}


def _unmixed(row: Sequence[GridCell], columns: Sequence[Sequence[str]]) -> list[GridCell]:
    """The row with an X beside OFF as ON; one among ON and OFF is marked: it may mean on, or either way."""
    out = list(row)
    for c, column in enumerate(columns):
        words = {t.casefold() for t in column}
        if c < len(row) and _beside_off(column) and without_dagger(row[c].text)[0] in FILLED:
            out[c] = replace(row[c], text="ON")
        if c < len(row) and without_dagger(row[c].text)[0] in FILLED and {"on", "off"} <= words:
            out[c] = replace(row[c], why=f"`{row[c].text}` among ON and OFF may mean on, or either way")
    return out


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
    notes: Sequence[tuple[int, str, str]],
    heads: Sequence[tuple[str, tuple[str, ...]]],
) -> UnderstoodRow:
    columns = [" ".join(words) for words in product(*(words for _, words in heads))]
    left: list[str] = []
    daggers: list[Dagger] = []
    front = list(row[:lead])
    if together:
        front = [GridCell(text=c, place=row[0].place) for c in row[0].text]
    marks: list[str] = []
    for i, cell in enumerate(front[:positions]):
        if refusing_word(cell.text):
            break
        read = position_given(
            cell.text, hints.positions.get(names[i], ()), filled=filled[0 if together else i], why=cell.why
        )
        marks.append(read.text)
        daggers += [Dagger(mark, "", said(notes, mark, cell.place)) for mark in read.dagger]
        if read.why:
            left.append(f"{cell.place}: {read.why}")
    marks += [TO_TYPE] * (positions - len(marks))
    word = next((refusing_word(c.text) for c in row if refusing_word(c.text)), "")
    note = next((c.text[1:-1] for c in row[lead:] if c.text.startswith("(") and c.text.endswith(")")), "")
    cells: list[str] = []
    if not word:
        for i in range(figures):
            cell = (
                row[lead + i]
                if lead + i < len(row)
                else GridCell(text="", place=row[-1].place, why="nothing stands here")
            )
            read = figure_given(cell.text, gives[i % len(gives)], hints.airflow, why=cell.why)
            cells.append(read.text)
            column = columns[i // len(gives)] if 1 < len(columns) == figures // len(gives) else ""
            daggers += [Dagger(mark, column, said(notes, mark, cell.place)) for mark in read.dagger]
            if read.why:
                left.append(f"{cell.place}: {read.why}")
    if note.isdecimal():
        note = said(notes, f"({note})", row[0].place) or f"the page has ({note}) here"
    note = note or note_of(daggers)
    return UnderstoodRow(
        given=_given(grid, n),
        place=row[0].place,
        marks=tuple(marks),
        cells=tuple(cells),
        word=word,
        note=note.translate(_NO_BRACKETS),
        left=tuple(dict.fromkeys(left)),
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
