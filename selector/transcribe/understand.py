"""What a given page means as a chart: its positions, heads and figures, each row beside what was given."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from selector.table.rows import TO_TYPE
from selector.transcribe.columns import aligned, is_figure, joined
from selector.transcribe.given import EMPTY, FILLED, figure_given, position_given, refusing_word, without_dagger
from selector.transcribe.grid import Grid, GridCell, refused
from selector.transcribe.typed_chart import laid_out, listed

_LABEL = re.compile(r"(?:SW|J|D|P|LK|M|N)\d{0,2}(?:-\d{1,2})?", re.IGNORECASE)
_STAGES = frozenset(["first", "second", "third", "fourth", "low", "medium", "high", "1st", "2nd", "3rd", "stage"])
_MARKS = frozenset(("off", "open", "closed", "none", "whole", "cut", "n/a"))
_RISE = re.compile(r"(?:temp(?:erature|\.)? )?rise.*|\u0394t.*|\u0394 ?t.*", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hints:
    """What a person says of the page: `set` the selectors of the rows, `positions` what each may be, `across` what stands along the top."""

    set: tuple[str, ...] = ()
    positions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    across: tuple[str, ...] = ()
    gives: tuple[str, ...] = ("airflow",)
    models: tuple[str, ...] = ()
    airflow: str = "cfm"
    name: str = "airflow chart"
    page: str = ""


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

    def lines(self, indent: int = 2) -> list[str]:
        """Its lines under `charts:`."""
        pad = " " * indent
        out = [f"{pad}{self.name}:"]
        if self.page:
            out.append(f"{pad}  page: {self.page}")
        out.append(f"{pad}  set: {' '.join(self.set)}")
        if self.heads:
            out.append(f"{pad}  across: {{{', '.join(f'{n}: {listed(words)}' for n, words in self.heads)}}}")
        out += [f"{pad}  gives: {', '.join(self.gives)}", f"{pad}  rows: |"]
        return out + [f"{pad}    {line}" for line in self.row_lines()]

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
    above = [joined(row) if not grid.fixed else list(row) for row in grid.rows[: at[0]]]
    names, heads, gives, remarks, used = _headings(above, lead, positions, figures, hints)
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
        name=hints.name, page=hints.page, set=names, heads=heads, gives=gives, rows=tuple(out), remarks=tuple(told), skipped=tuple(skipped)
    )


def _rows(grid: Grid, hints: Hints) -> tuple[list[list[GridCell]], list[int], int]:
    """The rows of the chart, equally long, which rows of the grid they are, and how many cells each has."""
    rows = [list(row) if grid.fixed else joined(row) for row in grid.rows]
    labels = {name.casefold() for name in hints.set}
    titled = [i for i, row in enumerate(rows) if any(c.text.casefold() in labels or (_LABEL.fullmatch(c.text) and "-" in c.text) for c in row)]
    titled = titled or [i for i, row in enumerate(rows) if row and _LABEL.fullmatch(row[0].text) and any(c.isdigit() for c in row[0].text)]
    first = titled[-1] + 1 if titled else 0
    at = [i for i in range(first, len(rows)) if _is_data(rows[i], headed=bool(titled))]
    if not grid.fixed:
        lead = 1 if len(hints.set) > 1 and at and all(len(rows[i][0].text) == len(hints.set) for i in at) else len(hints.set) or 1
        found, width = aligned([rows[i] for i in at], lead)
        return found, at, width
    lengths = Counter(_length(rows[i]) for i in at if not any(refusing_word(c.text) for c in rows[i]))
    if not lengths:
        return [], [], 0
    count = max(lengths, key=lambda n: (lengths[n], n))
    return [_fitted(rows[i], count) for i in at], at, count


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


def _is_data(row: Sequence[GridCell], *, headed: bool) -> bool:
    """True for a row with figures behind its first cell, or one that is ruled out; below a heading also for one that begins with ON or OFF."""
    behind = [c for c in row[1:] if c.text or c.why]
    if any(refusing_word(c.text) for c in behind):
        return True
    if headed and row and row[0].text.casefold() in ("on", "off", "open", "closed"):
        return True
    figures = sum(1 for c in behind if is_figure(c.text) or c.why or re.fullmatch(r"[\dOolI,.]{3,}", c.text))
    words = sum(
        1
        for c in row
        if re.search(r"[A-Za-z]{3,}", c.text) and not is_figure(c.text) and c.text.casefold() not in _MARKS and not c.text.startswith("(")
    )
    return figures > 0 and words <= figures // 2 and (headed or bool(row[0].text))


def _count_positions(rows: Sequence[Sequence[GridCell]], grid: Grid, first: int) -> int:
    """How many cells at the left are positions: those under labels, else those that aren't figures, at least one."""
    for row in reversed(grid.rows[:first]):
        labels = 0
        for cell in row:
            if not _LABEL.fullmatch(cell.text):
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


def _headings(
    above: Sequence[Sequence[GridCell]], lead: int, positions: int, figures: int, hints: Hints
) -> tuple[tuple[str, ...], tuple[tuple[str, tuple[str, ...]], ...], tuple[str, ...], list[str], set[int]]:
    """Names of the selectors, heads, quantities, remarks, and which rows above were used."""
    remarks: list[str] = []
    used: set[int] = set()
    names = hints.set
    levels: list[tuple[str, ...]] = []
    corner = ""
    for i in range(len(above) - 1, -1, -1):
        texts = _spread(above[i])
        labels = [t for t in texts if _LABEL.fullmatch(t)]
        head = _heads_in(texts, lead, figures, len(levels) > 0)
        if not names and len(labels) == positions:
            names = tuple(labels)
            used.add(i)
        if head is None and labels:
            used.add(i)
            continue
        if head is None or len(levels) == 2:
            break
        used.add(i)
        corner = " ".join([corner, *texts[: max(0, len(texts) - len(head))]])
        levels.insert(0, head)
    title = " ".join(c.text for row in above for c in row).casefold()
    if not names:
        names = (TO_TYPE,) * positions
        remarks.append("which selectors the positions belong to isn't said here")
    gives = hints.gives
    words = levels[-1] if levels else ()
    if words and len(words) % 2 == 0 and len(gives) == 1 and all(_RISE.fullmatch(w) for w in words[1::2]) and not _RISE.fullmatch(words[0]):
        gives = ("airflow", "temperature rise")
        words = words[::2]
        remarks.append("every second column was read as the temperature rise")
    elif words and len(gives) > 1 and len(words) == figures:
        words = words[:: len(gives)]
    columns = figures // len(gives) if figures % len(gives) == 0 else figures
    heads: list[tuple[str, tuple[str, ...]]] = []
    if columns > 1:
        inner = words if len(words) == columns else ()
        outer = levels[0] if len(levels) == 2 else ()
        if len(outer) == columns and len(set(outer)) < columns:
            outer = tuple(dict.fromkeys(outer))
        if inner and outer and columns % len(outer) == 0 and len(outer) < columns and inner == inner[: columns // len(outer)] * len(outer):
            heads = [
                (_head_name(outer, hints, 0, title, corner), outer),
                (_head_name(inner[: columns // len(outer)], hints, 1, title, corner), inner[: columns // len(outer)]),
            ]
        elif inner and len(set(inner)) == columns:
            heads = [(_head_name(inner, hints, 0, title, corner), inner)]
        elif columns > 1:
            given = hints.models if len(hints.models) == columns else tuple(f"column{i + 1}" for i in range(columns))
            heads = [("model" if given == hints.models else TO_TYPE, given)]
            remarks.append(f"no heads were found above the {columns} columns" + (": the models were taken" if given == hints.models else ""))
    for name, _ in heads:
        if name == TO_TYPE:
            remarks.append("what stands along the top isn't said here: model, static pressure, stage or a name of the board")
    return names, tuple(heads), gives, remarks, used


def _spread(row: Sequence[GridCell]) -> list[str]:
    """The texts of a heading row; a merged cell counts for each column it covers."""
    out: list[str] = []
    for cell in row:
        out += [cell.text] * cell.span
    while out and not out[-1]:
        out.pop()
    return out


def _heads_in(texts: Sequence[str], lead: int, figures: int, above_another: bool) -> tuple[str, ...] | None:
    """The heads of the figure columns in a heading row, None where it isn't one."""
    behind = list(texts[lead:]) if len(texts) > figures else list(texts)
    if len(texts) == lead + figures and all(texts[lead:]):
        return tuple(without_dagger(t)[0] for t in texts[lead:])
    filled = [t for t in behind if t]
    if len(texts) > lead and len(behind) == figures and behind[0] and 0 < len(filled) < figures and figures % len(filled) == 0:
        out: list[str] = []
        for t in behind:
            out.append(t or out[-1])
        return tuple(out)
    words = [t for t in texts if t and not _LABEL.fullmatch(t)]
    for count in (figures, *(figures // k for k in range(2, figures) if figures % k == 0 and figures // k > 1 and above_another)):
        tail = words[-count:]
        before = words[: len(words) - count]
        if (
            len(tail) == count
            and len(before) <= max(lead, 2)
            and all(len(t.split()) <= 2 for t in tail)
            and (any(c.isdigit() for c in "".join(tail)) or {t.casefold() for t in tail} <= _STAGES)
        ):
            return tuple(without_dagger(t)[0] for t in tail)
    return None


def _head_name(words: Sequence[str], hints: Hints, at: int, title: str, corner: str) -> str:
    if at < len(hints.across):
        return hints.across[at]
    if hints.models and set(words) <= set(hints.models):
        return "model"
    if {w.casefold() for w in words} <= _STAGES:
        return "stage"
    about = f"{corner} {title}".casefold()
    numbers = all(re.fullmatch(r"\d*\.?\d+", w) for w in words)
    if numbers and re.search(r"static|pressure|in\. ?w|\besp\b|\bpa\b", about):
        return "static pressure"
    if re.search(r"\bmodels?\b|\bsizes?\b", about):
        return "model"
    return TO_TYPE


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
