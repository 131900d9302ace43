"""What a block of a page means as a chart: its positions, heads and figures, each row beside what was given."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise, product
from statistics import median

from selector.table.from_file.rows import TO_TYPE
from selector.transcribe.cells.columns import PlacedRows, is_figure, joined, phrases, placed
from selector.transcribe.cells.given import (
    EMPTY,
    FILLED,
    HOLLOW,
    NO_FIGURE,
    GivenCell,
    figure_given,
    position_given,
    refusing_word,
    without_dagger,
)
from selector.transcribe.cells.grid import Grid, GridCell, refused
from selector.transcribe.import_page.blocks import PageBlock, Row, blocks_of, no_chart
from selector.transcribe.import_page.footnotes import Dagger, PageFootnote, daggers_of, footnotes, note_of, said
from selector.transcribe.import_page.heads import Heads, Hints, bottom_heads, heads_over
from selector.transcribe.import_page.ledger import CELL, HEAD, NOTE, Use, uses_of
from selector.transcribe.import_page.meaning import Meaning, meaning_of, quantity_named
from selector.transcribe.import_page.pairs import paired_columns, parted_pairs
from selector.transcribe.import_page.rows import CORNER, REMARK, is_data, is_footnote, labels_at_start, labels_in
from selector.transcribe.import_page.titles import airflow_unit, page_of, pressure_unit, title_of
from selector.transcribe.typed.chart import laid_out
from selector.value import Struct, replace

_NO_BRACKETS = str.maketrans({"(": None, ")": None, ";": ",", "|": "/", "#": None, '"': None})
"""What has a meaning of its own within the note of a row."""
_MODEL = re.compile(r"models?|units?|sizes?|unit size", re.IGNORECASE)
_STATIC = re.compile(r"(?:external )?static\b|esp\b", re.IGNORECASE)
_MINUS = ("-", "\u2212", "\u2013")
_UNNAMED = "the page doesn't name the selectors of the positions"
_FAR_HEADS = 5
"""Most blank lines between a head that stands upright in a tall cell and the next line of heads."""
_FAR = 4.0
"""A figure so many times the middle of its column, that fits with its last digit off, may carry a footnote's digit."""


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
    """A chart as it was understood. `heads` are (name, words); a name is `_` where nothing tells what the columns are.

    `uses` say what was made of the words of the page, `lost` why some of its lines were left out; `airflow` is "" where
    the page names no unit; `dropped` counts the lines among the rows that have figures and weren't understood.
    """

    name: str
    page: str
    set: tuple[str, ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...]
    gives: tuple[str, ...]
    rows: tuple[UnderstoodRow, ...]
    airflow: str = ""
    pressure: str = ""
    source: str = ""
    remarks: tuple[str, ...] = ()
    uses: tuple[Use, ...] = ()
    lost: tuple[tuple[int, str], ...] = ()
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

    @property
    def labels(self) -> tuple[str, ...]:
        """The letters or words that a chart of labels gives, each once."""
        told = (row.cells[0] for row in self.rows if row.cells and self.gives == ("label",))
        return tuple(dict.fromkeys(label for label in told if label not in ("-", TO_TYPE)))

    def row_lines(self) -> list[str]:
        """The rows laid out, without indent."""
        return laid_out([(row.marks, row.text) for row in self.rows])


def understand(given: PageBlock | Grid, hints: Hints) -> Understood:
    """The chart of a block (of a page with one chart). Refused where no row of figures can be found; everything else
    that can't be read is left marked."""
    if isinstance(given, Grid):
        blocks = blocks_of(given)
        if not blocks:
            raise no_chart(given)
        given = blocks[0]
    return _Reader(given, hints).understood()


class _Reader:
    """One chart being read."""

    def __init__(self, block: PageBlock, hints: Hints) -> None:
        self.block, self.grid, self.hints = block, block.grid, hints
        self.fixed = block.grid.fixed and not block.parted
        self.above = [list(r) for r in block.above]
        self.data = [list(r) if self.fixed or block.parted else joined(r) for r in block.rows]
        if not self.fixed and not block.parted and self.above:
            self.data = _in_phrases(self.above[-1], block.rows, self.data)
        self.zone = (
            self.above[-1:] if block.parted else _below_title(self.above) if self.fixed else _close(self.above, block)
        )
        self.notes = footnotes(block.grid)
        self.remarks: list[str] = [*block.grid.remarks]
        self.uses: list[Use] = []
        self.lost: dict[int, str] = {}

    def understood(self) -> Understood:
        """The whole of it."""
        bottom = bottom_heads(self.zone, self.data, fixed=self.fixed)
        if len(self.hints.set) > 1 and not self.fixed:
            first = [r[0].text for r in self.data]
            count = len(self.hints.set)
            self.together = all(len(t) == count and not is_figure(t[1:]) for t in first)
        else:
            self.together = False
        names = self._named(bottom)
        lead = self._lead(bottom, names)
        beside = [r[lead].text for r in self.data if lead < len(r) - 1 and not _ruled_out(r)]
        if names and len(names) == lead and beside and all(quantity_named(t) for t in beside):
            lead, names = lead + 1, (*names, TO_TYPE)
        pages = [self.grid.page_of(r[0].line) for r in self.block.rows]
        body = placed(self.data, lead, bottom, fixed=self.fixed, pages=pages)
        if len(body.extents) - lead < 1:
            raise refused(
                self.grid.name,
                "no-figures",
                f"After {lead} positions no column of figures is left.",
                "Say which selectors set the chart: --set.",
            )
        body = self._split(body, lead)
        heads = heads_over(self.zone, body, lead, fixed=self.fixed)
        if len(body.extents) == lead + 1 and any(labels_in(d.split()[0]) for d in heads.doubtful):
            why = "several heads stand above the one column of figures"
            body = replace(body, rows=tuple((*r[:lead], *(replace(c, why=why) for c in r[lead:])) for r in body.rows))
        two = paired_columns(body, lead)
        if two:
            over = [" ".join(c.text for c in r if c.text) for r in self.above[-4:]]
            body, heads = parted_pairs(body, heads, lead, two, over)
        rows = [list(r) for r in body.rows]
        texts = [[r[k].text for r in rows if k < len(r) and not _ruled_out(r)] for k in range(lead, len(body.extents))]
        remarked = self._remark_columns(texts, heads)
        above = [r for r in self.above if not any(c in heads.used for c in r)]
        title, line = title_of([*above])
        about = " ".join(" ".join(c.text for c in r if c.text) for r in self.above[-4:])
        meaning = meaning_of(heads, texts, remarked, about, self.hints, self._sentences())
        if "seconds" in meaning.gives:
            minutes = any("min" in t for column in texts for t in column)
            self.remarks += ["a time in minutes was found: type it in seconds"] if minutes else []
        names = self._set(names, heads, lead, rows)
        names, meaning = _one_model(names, meaning, rows)
        self._refuse_unnamed(names, meaning, rows)
        self._refuse_figures(names, rows, lead)
        self._account(heads, line, above)
        self.remarks += meaning.remarks
        self.remarks += [f"it can't be told which columns this line stands over: {d}" for d in heads.doubtful]
        airflow = self.hints.airflow or self._unit()
        out = self._rows(body, rows, lead, names, meaning, heads, airflow)
        out, names, meaning = _turned(out, names, meaning)
        self.remarks += _doubled(out)
        pressure = self.hints.pressure or meaning.pressure or pressure_unit([about])
        if not any(n == "static pressure" for n, _ in meaning.heads):
            pressure = ""
        dropped = [row for row in self.block.between if _like_a_row(row)]
        for row in self.block.between:
            told = "it has figures but was not understood as a row" if row in dropped else "it stands among the rows"
            self.lost.setdefault(row[0].line, told)
        self.remarks += [
            f"this line has figures but was not understood as a row: {' '.join(c.text for c in row if c.text)}"
            for row in dropped
        ]
        if self.block.inherited:
            self.remarks.append("no heads of its own: those of the chart before were taken")
        return Understood(
            name=self.hints.name or _called(heads, meaning) or title or f"{meaning.gives[0]} chart",
            page=self.hints.page or page_of(above),
            airflow=airflow,
            pressure=pressure,
            source=self.grid.name,
            set=names,
            heads=meaning.heads,
            gives=meaning.gives,
            rows=tuple(out),
            remarks=tuple(dict.fromkeys(self.remarks)),
            uses=tuple(self.uses),
            lost=tuple(self.lost.items()),
            dropped=len(dropped),
        )

    def _sentences(self) -> list[str]:
        """The lines of the page that belong to no chart's rows."""
        rows = {r[0].line for r in self.block.rows}
        return [" ".join(c.text for c in r if c.text) for r in self.grid.rows if r and r[0].line not in rows]

    def _unit(self) -> str:
        near = airflow_unit([" ".join(c.text for c in r) for r in (*self.above, *self.block.rows)])
        return near or airflow_unit(self.grid.lines or [c.text for row in self.grid.rows for c in row])

    def _named(self, bottom: Sequence[GridCell]) -> tuple[str, ...]:
        """The selectors that the heads name for the positions, run together or one by one."""
        if self.hints.set:
            return self.hints.set
        width = max((len([c for c in r if c.text or c.why]) for r in self.data), default=0)
        for row in reversed([*self.above, list(bottom)]):
            cells = [c for c in (row if self.fixed else joined(row)) if c.text]
            labels = [labels_in(c.text) for c in cells]
            model = _models_first(cells)
            count = labels_at_start(cells[model:], width - model)
            if count:
                return ("model",) * model + tuple(name for found in labels[model : model + count] for name in found)
            if cells and labels[-1] and not any(labels[:-1]):
                return labels[-1]
        return ()

    def _lead(self, bottom: Sequence[GridCell], names: tuple[str, ...]) -> int:
        """How many cells at the left are positions."""
        if self.together:
            return 1
        if names and self.hints.set:
            return len(names)
        if names:
            for row in reversed([*self.above, list(bottom)]):
                cells = [c for c in (row if self.fixed else joined(row)) if c.text]
                width = max((len([c for c in r if c.text or c.why]) for r in self.data), default=0)
                model = _models_first(cells)
                count = labels_at_start(cells[model:], width - model)
                count += model if count else 0
                if labels_in(cells[-1].text) if cells and not count else False:
                    return len(names)
                if count:
                    return self._lead_of_cells(cells, count) if self.fixed else count
        plain = [r for r in self.data if not _ruled_out(r)]
        words = next((k for k, c in enumerate(bottom) if is_figure(c.text) or any(x.isdigit() for x in c.text)), 0)
        if words and all(CORNER.fullmatch(c.text) for c in bottom[:words]):
            return words
        plain = [r for r in plain if any(is_figure(c.text) for c in r[1:])] or plain
        width = max((len(r) for r in plain), default=0)
        plain = [r for r in plain if len(r) == width]
        count = 0
        for c in range(width):
            column = [r[c] for r in plain if c < len(r)]
            if not column or all(is_figure(x.text) and len(without_dagger(x.text)[0]) > 1 for x in column):
                break
            filled = [x for x in column if x.text and without_dagger(x.text)[0] not in EMPTY]
            if any(without_dagger(x.text)[0] in HOLLOW for x in column):
                count += 1
                continue
            if c > 0 and filled and sum(1 for x in filled if is_figure(x.text)) > len(filled) // 2:
                break
            if c > 0 and self._over(bottom, c):
                break
            count += 1
        return max(1, count)

    def _over(self, bottom: Sequence[GridCell], at: int) -> bool:
        """True where a head says what a column of words and marks gives."""
        head = bottom[at].text if at < len(bottom) else ""
        return bool(head and (quantity_named(head) or REMARK.fullmatch(head)))

    def _lead_of_cells(self, cells: Sequence[GridCell], count: int) -> int:
        """How many columns of a file with columns stand left of the first head that names no selector."""
        edge = cells[count].left if count < len(cells) else cells[-1].right
        held = {c.left for r in self.data for c in r if (c.text or c.down) and c.left < edge}
        held |= {c.left for c in cells[:count]}
        return max(count, len([k for k in held if k >= cells[0].left])) if held else count

    def _split(self, body: PlacedRows, lead: int) -> PlacedRows:
        """Words in columns of figures that are no figures are kept as they are; a cell a merged one covers from above
        repeats it."""
        rows = []
        last: dict[int, str] = {}
        for row in body.rows:
            cells = []
            for k, cell in enumerate(row):
                if cell.down and not cell.text and k < lead and k in last:
                    cell = replace(cell, text=last[k], line=0)
                elif cell.down and not cell.text and k >= lead and last.get(k, "") and is_figure(last[k]):
                    cell = replace(cell, why=f"`{last[k]}` stands across several rows")
                if cell.text:
                    last[k] = cell.text
                cells.append(cell)
            rows.append(tuple(cells))
        return replace(body, rows=tuple(rows))

    def _remark_columns(self, texts: Sequence[Sequence[str]], heads: Heads) -> list[int]:
        """Columns of words and letters behind the figures: remarks, yes and no."""
        out = []
        for k, column in enumerate(texts):
            filled = [t for t in column if t and without_dagger(t)[0].casefold() not in NO_FIGURE]
            head = next((c.text for level in reversed(heads.levels) if (c := level[k]) is not None), "")
            figures = sum(1 for t in filled if is_figure(t) or t.casefold() == "none")
            letters = filled and not figures and all(re.search("[A-Za-z]", t) for t in filled)
            if REMARK.fullmatch(head) or (letters and k > 0 and all(not _odd_figure(t) for t in filled)):
                out.append(k)
        return out if len(out) < len(texts) else []

    def _set(
        self, names: tuple[str, ...], heads: Heads, lead: int, rows: Sequence[Sequence[GridCell]]
    ) -> tuple[str, ...]:
        """The names of what sets the rows, `_` for each that nothing tells."""
        if names and (len(names) == lead or self.together or self._run_together(names, lead, rows)):
            return names
        if self.hints.set:
            return self.hints.set
        corner = sorted(heads.corner, key=lambda c: (c.left, c.line))
        words = [c.text for c in corner]
        told = [*words, *[""] * lead][:lead]
        self.remarks.append(_UNNAMED)
        return tuple(
            "model" if _MODEL.fullmatch(word) else "static pressure" if _STATIC.match(word) else TO_TYPE
            for word in told
        )

    def _refuse_unnamed(self, names: tuple[str, ...], meaning: Meaning, rows: Sequence[Sequence[GridCell]]) -> None:
        """Refuses figures that nothing above them and nothing left of them says anything of."""
        unknown = all(name == TO_TYPE for name in names) and any(
            word.startswith("column") for _, words in meaning.heads for word in words
        )
        marks = [without_dagger(r[0].text)[0].casefold() for r in rows]
        if unknown and not all(m in ("on", "off", "x", "", "-") or len(m) == 1 for m in marks):
            what = "No heads and no names of selectors were found above these figures."
            raise refused(self.grid.name, "no-heads", what, "Say which selectors set the chart: --set.")

    def _refuse_figures(self, names: tuple[str, ...], rows: Sequence[Sequence[GridCell]], lead: int) -> None:
        """Refuses a chart of which a column below the name of a selector, or behind the first, holds figures."""
        for k in range(min(lead, len(names))):
            marks = [r[k].text for r in rows if k < len(r) and r[k].text]
            thousands = [t for t in marks if re.fullmatch(r"\d{1,3}(?:,\d{3})+", t)]
            if (not labels_in(names[k]) and not k and not thousands) or self.together:
                continue
            figures = sum(1 for t in marks if re.fullmatch(r"\d{3,}(?:\.\d+)?", t))
            if thousands or (figures > len(marks) / 2 and len(set(marks)) > 1):
                below = f"Below {names[k]}" if labels_in(names[k]) else "Among the positions"
                what = f"{below} are figures like {marks[0]}, so its positions can't be told from them."
                raise refused(self.grid.name, "unclear-positions", what, "Say which selectors set the chart: --set.")

    def _run_together(self, names: tuple[str, ...], lead: int, rows: Sequence[Sequence[GridCell]]) -> bool:
        """True where one cell of a row holds the marks of several selectors."""
        first = [without_dagger(r[0].text)[0] for r in rows]
        fits = [len(t) == len(names) or len(t.split()) == len(names) for t in first]
        self.together = lead == 1 < len(names) and any(fits)
        return self.together

    def _account(self, heads: Heads, title: Sequence[GridCell], above: Sequence[Sequence[GridCell]]) -> None:
        """What was made of the lines above the rows."""
        self.uses += uses_of(HEAD, heads.used)
        self.uses += uses_of(HEAD, title)
        for repeated in self.block.again:
            self.uses += uses_of(HEAD, repeated)
        for row in above:
            text = " ".join(c.text for c in row)
            if labels_in(" ".join(c.text for c in row if c.text)):
                self.uses += uses_of(HEAD, row)
            if self.hints.page == "" and re.fullmatch(r"pages? [\d-]+\.?", text, re.IGNORECASE):
                self.uses += uses_of(HEAD, row)

    def _rows(
        self,
        body: PlacedRows,
        rows: list[list[GridCell]],
        lead: int,
        names: tuple[str, ...],
        meaning: Meaning,
        heads: Heads,
        airflow: str,
    ) -> list[UnderstoodRow]:
        fronts = [self._front(r, lead, len(names)) for r in rows]
        columns = [[f[c].text for f in fronts if c < len(f) and not f[c].why] for c in range(len(names))]
        filled = [_is_filled(column) for column in columns]
        if any(filled):
            filled = [f or {without_dagger(t)[0] for t in c} <= EMPTY for f, c in zip(filled, columns, strict=True)]
            self.remarks.append("a filled mark was read as ON, an empty cell in such columns as OFF")
        fronts = self._carried_down(fronts, filled)
        fronts = [_unmixed(f, columns) for f in fronts]
        if any(_beside_off(c) for c in columns):
            self.remarks.append("a filled mark in a column with OFF was read as ON")
        figures = self._figures(rows, lead, meaning, airflow)
        out = []
        for n, (row, front) in enumerate(zip(rows, fronts, strict=True)):
            behind = [*body.notes[n]]
            out.append(self._row(n, row, front, behind, lead, names, meaning, heads, filled, figures[n]))
        return out

    def _front(self, row: list[GridCell], lead: int, count: int) -> list[GridCell]:
        """The positions of a row, marks run together each in a cell of its own."""
        if not self.together:
            return row[:lead]
        bare, dagger = without_dagger(row[0].text)
        words = bare.split()
        marks = words if len(words) == count else list(bare)
        if len(marks) != count:
            return [replace(row[0], text=bare, why=f"`{bare}` is not {count} marks") for _ in range(count)]
        front = [replace(row[0], text=c) for c in marks]
        return [*front[:-1], replace(front[-1], text=front[-1].text + dagger)] if front else front

    def _carried_down(self, fronts: list[list[GridCell]], filled: Sequence[bool]) -> list[list[GridCell]]:
        """The positions with the mark of a first column that is printed once for the rows below it."""
        texts = [f[0].text for f in fronts if f]
        if len(fronts[0]) < 2 or filled[0] or len(texts) < len(fronts) or not texts[0] or all(texts):
            return fronts
        if any(f[0].why for f in fronts):
            return fronts
        mark = ""
        out = []
        for front in fronts:
            mark = front[0].text or mark
            out.append([front[0] if front[0].text else replace(front[0], text=mark, line=0), *front[1:]])
        self.remarks.append(f"an empty cell below {texts[0]} was read as {texts[0]}, and so on down the column")
        return out

    def _figures(
        self, rows: Sequence[Sequence[GridCell]], lead: int, meaning: Meaning, airflow: str
    ) -> list[list[GivenCell | None]]:
        """The cells of every row in the file's order, as text; None of a row that is ruled out."""
        unit = airflow or "cfm"
        out: list[list[GivenCell | None]] = []
        for row in rows:
            cells: list[GivenCell | None] = []
            for n, k in enumerate(meaning.order):
                quantity = meaning.gives[n % len(meaning.gives)]
                if k < 0:
                    cells.append(GivenCell(text="-"))
                    continue
                at = lead + k
                cell = row[at] if at < len(row) else None
                if cell is None:
                    cells.append(GivenCell(text=TO_TYPE, why="nothing stands here"))
                elif refusing_word(cell.text):
                    cells.append(GivenCell(text="-", dagger=""))
                else:
                    cells.append(figure_given(cell.text, quantity, unit, why=cell.why))
            out.append(cells)
        return _far_off(out, len(meaning.gives))

    def _row(
        self,
        n: int,
        row: list[GridCell],
        front: list[GridCell],
        behind: list[GridCell],
        lead: int,
        names: tuple[str, ...],
        meaning: Meaning,
        heads: Heads,
        filled: Sequence[bool],
        figures: list[GivenCell | None],
    ) -> UnderstoodRow:
        left: list[str] = []
        daggers: list[Dagger] = []
        told: list[str] = []
        marks: list[str] = []
        line = row[0].line
        for i, cell in enumerate(front[: len(names)]):
            if refusing_word(cell.text):
                break
            read = position_given(cell.text, self.hints.positions.get(names[i], ()), filled=filled[i], why=cell.why)
            marks.append(read.text)
            daggers += daggers_of(read.dagger, "", self.notes, cell.line)
            self.uses += uses_of(CELL, [cell])
            if read.why:
                left.append(f"{cell.place}: {read.why}")
        marks += [TO_TYPE] * (len(names) - len(marks))
        rest = row[lead:]
        word = self._word(row, lead, len(names))
        cells: list[str] = []
        if word:
            self.uses += uses_of(CELL, rest)
        else:
            columns = [" ".join(words) for words in product(*(words for _, words in meaning.heads))]
            for i, read_cell in enumerate(figures):
                k = meaning.order[i]
                given = rest[k] if 0 <= k < len(rest) else None
                column = columns[i // len(meaning.gives)] if len(columns) > 1 else ""
                assert read_cell is not None
                cells.append(read_cell.text)
                if given is not None:
                    daggers += daggers_of(read_cell.dagger, column, self.notes, given.line)
                    self.uses += uses_of(CELL, [given])
                    if refusing_word(given.text):
                        told.append(f"{column}: {refusing_word(given.text)}" if column else refusing_word(given.text))
                if read_cell.why:
                    place = given.place if given is not None else row[0].place
                    left.append(f"{place}: {read_cell.why}")
            self._unplaced(row, left)
            for k in meaning.notes:
                if k < len(rest) and rest[k].text:
                    told.append(self._remark(rest[k], heads, k))
            behind += rest[len(body_width(meaning)) :] if len(rest) > len(body_width(meaning)) else []
        for cell in behind:
            inner = cell.text[1:-1] if cell.text.startswith("(") and cell.text.endswith(")") else cell.text
            found = said(self.notes, f"({inner})", line) if len(inner) == 1 else None
            told.append(found.text if found else inner if len(inner) > 1 else f"the page has {cell.text} here")
            daggers += [Dagger(inner, "", found)] if found else []
            self.uses += uses_of(NOTE, [cell])
        for dagger in daggers:
            if dagger.note:
                self.uses += uses_of(NOTE, dagger.note.cells)
        notes = [t for t in (*told, note_of([d for d in daggers if d.note is None or d.note.text not in told])) if t]
        return UnderstoodRow(
            given=_given(self.grid, self.block.rows[n]),
            place=row[0].place,
            marks=tuple(marks),
            cells=tuple(cells),
            word=word,
            note=", ".join(dict.fromkeys(notes)).translate(_NO_BRACKETS),
            left=tuple(dict.fromkeys(left)),
        )

    def _unplaced(self, row: Sequence[GridCell], left: Sequence[str]) -> None:
        """Words of a row that couldn't be put into columns are left out, with the reason."""
        if any("doesn't tell their columns" in why or "more cells" in why for why in left):
            why = next(w for w in left if "doesn't tell" in w or "more cells" in w).partition(": ")[2]
            self.lost.setdefault(row[0].line, why)

    def _remark(self, cell: GridCell, heads: Heads, k: int) -> str:
        """What a column of remarks says in a row: the footnote of its letter, or its own words."""
        self.uses += uses_of(NOTE, [cell])
        found: PageFootnote | None = said(self.notes, cell.text, cell.line) if len(cell.text) <= 3 else None
        if found:
            self.uses += uses_of(NOTE, found.cells)
            return found.text
        head = " ".join(c.text for level in heads.levels if (c := level[k]) is not None)
        return cell.text if REMARK.fullmatch(head) or not head else f"{head}: {cell.text}"

    def _word(self, row: list[GridCell], lead: int, count: int) -> str:
        """What rules a whole row out, or sends it to another, "" for a row of figures."""
        rest = [c for c in row[lead:] if c.text]
        words = [refusing_word(c.text) for c in row if refusing_word(c.text)]
        figures = [c for c in rest if is_figure(c.text)]
        if words and not figures:
            return "do not use" if "do not use" in words else words[0]
        texts = " ".join(c.text for c in rest).split()
        if len(texts) == count + 1 and texts[0].casefold() == "as":
            return " ".join(["as", *texts[1:]])
        return ""


def _models_first(cells: Sequence[GridCell]) -> int:
    """1 where a line of heads begins with `model` and names selectors behind it, else 0."""
    return int(len(cells) > 2 and bool(_MODEL.fullmatch(cells[0].text) and labels_in(cells[1].text)))


def _one_model(
    names: tuple[str, ...], meaning: Meaning, rows: Sequence[Sequence[GridCell]]
) -> tuple[tuple[str, ...], Meaning]:
    """The names where `model` in the corner stands for the rows and the columns: it is that of the columns where the
    rows are letters or words without a figure; else what the columns are is to be typed."""
    if "model" not in names or not any(name == "model" for name, _ in meaning.heads):
        return names, meaning
    at = names.index("model")
    if not any(x.isdigit() for r in rows if at < len(r) for x in r[at].text):
        return (*names[:at], TO_TYPE, *names[at + 1 :]), meaning
    heads = tuple((TO_TYPE if name == "model" else name, words) for name, words in meaning.heads)
    return names, replace(meaning, heads=heads)


def _called(heads: Heads, meaning: Meaning) -> str:
    """The name of a chart of letters: the word above them, which other charts have above their rows."""
    words = [c.text for level in heads.levels for c in level if c is not None]
    return words[-1].casefold() if meaning.gives == ("label",) and words and words[-1].isalpha() else ""


def keyed(page: Understood, before: Sequence[Understood]) -> Understood:
    """The chart with the name of the one chart `before` it whose letters its rows go by, where nothing else names
    them."""
    out = list(page.set)
    for at, name in enumerate(page.set):
        marks = set(page.positions_of(at))
        fits = [p.name for p in before if p.gives == ("label",) and len(marks) > 1 and marks <= set(p.labels)]
        if name == TO_TYPE and len(fits) == 1 and fits[0] not in out:
            out[at] = fits[0]
    remarks = page.remarks if TO_TYPE in out else tuple(r for r in page.remarks if r != _UNNAMED)
    return replace(page, set=tuple(out), remarks=remarks)


def body_width(meaning: Meaning) -> range:
    """The columns of figures and remarks that a chart has."""
    return range(max((*meaning.order, *meaning.notes), default=-1) + 1)


def _like_a_row(row: Row) -> bool:
    """True for a line that may be a row: two figures of two digits or more, and hardly more words than figures."""
    words = " ".join(c.text for c in row).split()
    figures = sum(1 for w in words if is_figure(w) and sum(c.isdigit() for c in w) > 1)
    return figures > 1 and sum(1 for w in words if w.isalpha() and len(w) > 2) <= figures


def _below_title(above: list[list[GridCell]]) -> list[list[GridCell]]:
    """The lines of a file with columns below the last that has one cell alone at its left."""
    for n in range(len(above) - 1, -1, -1):
        filled = [c for c in above[n] if c.text]
        if len(filled) == 1 and filled[0].left == 0 and not labels_in(filled[0].text):
            return above[n + 1 :]
    return above


def _close(above: list[list[GridCell]], block: PageBlock) -> list[list[GridCell]]:
    """The lines above the rows that stand as close as the rows do to one another."""
    lines = block.grid.lines
    at = [r[0].line for r in block.rows]
    if not lines or at != sorted(at):
        return above

    def blanks(a: int, b: int) -> int:
        return sum(1 for line in lines[a : b - 1] if not line.strip())

    most = min(2, max([blanks(a, b) for a, b in pairwise(at)], default=0))
    out: list[list[GridCell]] = []
    below = at[0]
    for row in reversed(above):
        gap = blanks(row[0].line, below)
        if gap > max(most, 1 if not out else 0):
            inner = row[0].left > min((r[0].left for r in block.rows), default=0) + 4
            if gap > _FAR_HEADS or len(row) > 4 or not inner or is_footnote(" ".join(c.text for c in row)):
                break
        out.insert(0, row)
        below = row[0].line
    return out


def _in_phrases(heads: Sequence[GridCell], rows: Sequence[Row], words: list[list[GridCell]]) -> list[list[GridCell]]:
    """The rows in phrases where each has one below every head, begun where the head begins; else the `words`."""
    over = phrases(heads)
    apart = [phrases(r) for r in rows]
    begun = all(len(r) == len(over) and all(c.left == h.left for c, h in zip(r, over, strict=True)) for r in apart)
    return apart if begun and len(over) > 2 and len(rows) > 1 else words


def _odd_figure(text: str) -> bool:
    """True for what may be a figure with letters in place of digits."""
    return bool(re.fullmatch(r"[\dOoIlSB,.]+", text)) and any(c.isdigit() for c in text)


def _ruled_out(row: Sequence[GridCell]) -> bool:
    return any(refusing_word(c.text) or c.text.casefold() == "as" or c.text.casefold().startswith("as ") for c in row)


def _far_off(rows: list[list[GivenCell | None]], each: int) -> list[list[GivenCell | None]]:
    """The cells with those marked that are far above the others and would fit without their last digit, which may be a
    footnote's."""
    for q in range(each):
        values = [
            float(c.text.rstrip(" %"))
            for row in rows
            for c in row[q::each]
            if c is not None and re.fullmatch(r"\d+(?:\.\d+)?", c.text)
        ]
        middle = median(values) if len(values) > 2 else 0.0
        for row in rows:
            for n in range(q, len(row), each):
                cell = row[n]
                if cell is None or not middle or not re.fullmatch(r"\d{3,}", cell.text):
                    continue
                if float(cell.text) > _FAR * middle and min(values) / 2 <= float(cell.text[:-1]) <= 2 * middle + 1:
                    why = f"{cell.text} is far above the others; {cell.text[:-1]} with a footnote's {cell.text[-1]}?"
                    row[n] = GivenCell(text=TO_TYPE, dagger=cell.dagger, why=why)
    return rows


def _turned(
    rows: list[UnderstoodRow], names: tuple[str, ...], meaning: Meaning
) -> tuple[list[UnderstoodRow], tuple[str, ...], Meaning]:
    """A chart with its quantities down the side (`airflow`, `rise` before each row) with them beside one another."""
    if len(meaning.gives) != 1 or any(r.word for r in rows):
        return rows, names, meaning
    at = next((k for k in range(len(names)) if rows and all(quantity_named(r.marks[k]) for r in rows)), None)
    if at is None:
        return rows, names, meaning
    gives = tuple(dict.fromkeys(quantity_named(r.marks[at]) for r in rows))
    groups: dict[tuple[str, ...], dict[str, UnderstoodRow]] = {}
    for row in rows:
        rest = (*row.marks[:at], *row.marks[at + 1 :])
        groups.setdefault(rest, {})[quantity_named(row.marks[at])] = row
    whole = all(set(g) == set(gives) for g in groups.values())
    if len(gives) < 2 or not whole or sum(map(len, groups.values())) < len(rows):
        return rows, names, meaning
    out = []
    for marks, by in groups.items():
        first = by[gives[0]]
        cells = tuple(by[q].cells[n] for n in range(len(first.cells)) for q in gives)
        note = ", ".join(dict.fromkeys(r.note for r in by.values() if r.note))
        out.append(
            replace(first, marks=marks, cells=cells, note=note, left=tuple(x for r in by.values() for x in r.left))
        )
    return out, (*names[:at], *names[at + 1 :]), replace(meaning, gives=gives)


def _is_filled(texts: Sequence[str]) -> bool:
    bare = {without_dagger(t)[0] for t in texts}
    return bool(bare & FILLED) and (bare <= FILLED | EMPTY or bool(bare & HOLLOW))


def _beside_off(texts: Sequence[str]) -> bool:
    """True for a column of filled marks that has OFF in words in place of empty cells."""
    bare = {without_dagger(t)[0].casefold() for t in texts if not refusing_word(t)}
    return "off" in bare and bool(bare & FILLED) and bare <= FILLED | EMPTY | {"off"}


def _unmixed(front: Sequence[GridCell], columns: Sequence[Sequence[str]]) -> list[GridCell]:
    """The positions with an X beside OFF as ON; one among ON and OFF is marked: it may mean on, or either way."""
    out = list(front)
    for c, column in enumerate(columns):
        words = {t.casefold() for t in column}
        if c < len(out) and "+" in words and without_dagger(out[c].text)[0] in _MINUS:
            out[c] = replace(out[c], text="minus")
        if c < len(out) and without_dagger(out[c].text)[0] in FILLED:
            if {"on", "off"} <= words:
                out[c] = replace(out[c], why=f"`{out[c].text}` among ON and OFF may mean on, or either way")
            elif _beside_off(column):
                out[c] = replace(out[c], text="ON")
    return out


def _given(grid: Grid, given: Row) -> str:
    """A row as it was given, for people to hold beside what was understood."""
    line = given[0].line
    whole = grid.lines[line - 1].rstrip() if 0 < line <= len(grid.lines) else ""
    held = [c for row in grid.rows for c in row if c.line == line]
    if whole and len(given) >= len(held):
        return whole
    return (" | " if grid.fixed else "  ").join(c.text for c in given)


def _doubled(rows: Sequence[UnderstoodRow]) -> list[str]:
    seen: dict[tuple[str, ...], str] = {}
    out = []
    for row in rows:
        if TO_TYPE not in row.marks:
            if row.marks in seen:
                out.append(f"{row.place} has the positions of {seen[row.marks]} again: {' '.join(row.marks)}")
            seen.setdefault(row.marks, row.place)
    return out


__all__ = ["Hints", "Understood", "UnderstoodRow", "blocks_of", "is_data", "understand"]
