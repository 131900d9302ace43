"""A sheet for a person as a PDF, letter or A4. For the helper text of 15 pt, small lines of 12, numbers of 25, a box to
tick at the right of each step; for the owner text of 12."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from selector.answers.sheets.sheet import BlankLine, PersonSheet, Run, SheetSection, SheetStep
from selector.card.html import Paper
from selector.card.pdf import POINTS
from selector.card.pdf_font import Fonts, fonts_for
from selector.card.pdf_panel import MARGIN, SheetPanel
from selector.card.sheets.typeset import printed
from selector.draw.parts.layout import picture_figure
from selector.draw.plots.strip import Strips, strips_figure

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

EDGE, INDENT, BOX = 40.0, 40.0, 21.0
TITLE, NUMBER, TEXT, SMALL = 22.0, 25.0, 15.0, 12.0
SOFT, HAIR = 0.29, 0.8
_LEAD = 1.26
_BLANK = 62.0
"""Least width of a line to write on."""
BAR, LETTERS = 0.75, 1.0
"""The width of the plate's range as a share of the room; the scale of the words on it, the smallest of 11 pt."""
_PICTURE = 0.92
"""Greatest scale of a drawn selector: its smallest words stay 11 pt."""


class PageSheet(SheetPanel):
    """Whole pages, filled from the top; a step that doesn't fit begins the next page, under the title."""

    def __init__(self, canvas: Canvas, fonts: Fonts, page: tuple[float, float], sheet: PersonSheet) -> None:
        super().__init__(canvas, fonts, page, TEXT)
        self.drawing = True
        self.sheet = sheet
        self.number = 0

    @property
    def room(self) -> float:
        """Width between the edges."""
        return self.width - 2 * EDGE

    def rule(self, width: float, gray: float = 0) -> None:
        """A line across the page."""
        self.canvas.setStrokeGray(gray)
        self.canvas.setLineWidth(width)
        self.canvas.line(EDGE, self.y, self.width - EDGE, self.y)
        self.canvas.setStrokeGray(0)

    def begin(self) -> None:
        """The head of a page."""
        if self.number:
            self.canvas.showPage()
        self.number += 1
        self.y = self.height - EDGE
        right = self.width - EDGE
        beside = [printed(text) for text in (self.sheet.unit, self.sheet.place) if text]
        beside = beside if self.number == 1 else [f"page {self.number}"]
        wide = max((self.fonts.width(text, SMALL, False) for text in beside), default=0)
        wide = min(wide, self.room * 0.32)
        lines = [line for text in beside for line in self.fonts.wrapped(text, wide + 1, SMALL, False)]
        heads = self.fonts.wrapped(self.sheet.title, self.room - wide - 20, TITLE, True)
        for n, line in enumerate(heads):
            self.text(EDGE, self.y - TITLE * (0.85 + 1.15 * n), line, TITLE, bold=True)
        for n, line in enumerate(lines):
            self.text(right, self.y - SMALL * (0.85 + _LEAD * n), line, SMALL, anchor="end")
        self.y -= max(TITLE * 1.15 * len(heads), SMALL * _LEAD * len(lines)) + 6
        self.rule(2.2)
        self.y -= 8

    def fit(self, high: float) -> None:
        """A new page where so many points are not left."""
        if self.y - high < EDGE and high < self.height - 3 * EDGE:
            self.begin()

    def soft(self, gray: float) -> None:
        """The gray of the words that follow."""
        self.canvas.setFillGray(gray)

    def reverse(self, texts: Sequence[str]) -> None:
        """What comes before everything, light on dark."""
        size = 13.0
        lines = [line for text in texts for line in self.fonts.wrapped(text, self.room - 20, size, True)]
        high = len(lines) * size * _LEAD + 10
        self.canvas.setFillGray(0)
        self.canvas.roundRect(EDGE, self.y - high, self.room, high, 3, stroke=0, fill=1)
        self.canvas.setFillGray(1)
        y = self.y - 3
        for line in lines:
            y -= size * _LEAD
            self.text(EDGE + 10, y, line, size, bold=True)
        self.canvas.setFillGray(0)
        self.y -= high + 8

    # -- steps

    def step(self, number: int, step: SheetStep) -> None:
        """One act with its number, its box, and a hairline under it."""
        self.fit(self._height(step))
        top = self.y
        self.text(EDGE, top - NUMBER * 0.76, str(number), NUMBER, bold=True)
        self.canvas.setLineWidth(1.6)
        self.canvas.roundRect(self.width - EDGE - BOX, top - BOX, BOX, BOX, 2.5, stroke=1, fill=0)
        left, room = EDGE + INDENT, self._inner()
        self.y = top
        for runs in _lines(step.do, self.fonts, room):
            self.y -= TEXT * (_LEAD if self.y < top else 1.16)
            x = left
            for run in runs:
                self.text(x, self.y, run.text, TEXT, bold=run.bold)
                x += self.fonts.width(run.text, TEXT, run.bold)
        self.y -= 4
        for text, bold in self._small(step):
            self.soft(0 if bold else SOFT)
            for line in _wrapped(text, self.fonts, room, bold):
                self.y -= SMALL * _LEAD
                self.text(left, self.y, line, SMALL, bold=bold)
        self.soft(0)
        for picture in step.pictures:
            figure = picture_figure(picture, 480, detail="short")
            scale = min(_PICTURE, room / figure.width)
            self.y -= 8
            self.origin = (left - MARGIN, 0)
            self.figure(figure, scale)
            self.origin = (0.0, 0.0)
        for row in _blank_rows(step.blanks, self.fonts, room):
            self._blanks(row, left, room)
        if step.bars is not None:
            self.y -= 8
            self._strips(step.bars, left, room * BAR)
        self.y = min(self.y, top - BOX) - 10
        self.rule(0.6, HAIR)
        self.y -= 9

    def _inner(self) -> float:
        return self.room - INDENT - BOX - 12

    def _small(self, step: SheetStep) -> list[tuple[str, bool]]:
        return [(printed(text), False) for text in step.more] + [(printed(text), True) for text in step.stop]

    def _height(self, step: SheetStep) -> float:
        room = self._inner()
        high = len(list(_lines(step.do, self.fonts, room))) * TEXT * _LEAD + 24
        high += sum(len(_wrapped(text, self.fonts, room, bold)) * SMALL * _LEAD for text, bold in self._small(step))
        for picture in step.pictures:
            figure = picture_figure(picture, 480, detail="short")
            high += 10 + figure.height * min(_PICTURE, room / figure.width)
        high += strips_figure(step.bars, room * BAR, LETTERS).height + 10 if step.bars is not None else 0
        return high + len(list(_blank_rows(step.blanks, self.fonts, room))) * TEXT * 1.9

    def _blanks(self, row: Sequence[BlankLine], left: float, room: float) -> None:
        """Blanks in one line, each as wide as its neighbors."""
        self.y -= TEXT * 1.9
        each = room / len(row)
        for n, blank in enumerate(row):
            x = left + n * each
            self.text(x, self.y, blank.name, SMALL)
            x += self.fonts.width(blank.name, SMALL, False) + 5
            unit = self.fonts.width(blank.unit, SMALL, False) + 5 if blank.unit else 0
            end = left + (n + 1) * each - 12 - unit
            self.canvas.setLineWidth(1.2)
            self.canvas.line(x, self.y - 2, end, self.y - 2)
            self.text(end + 5, self.y, blank.unit, SMALL)

    def _strips(self, strips: Strips, left: float, room: float) -> None:
        """Strips or the plate's range, as wide as the room."""
        figure = strips_figure(strips, room, LETTERS)
        self.origin = (left - MARGIN, 0)
        self.figure(figure, 1)
        self.origin = (0.0, 0.0)

    # -- sections

    def section(self, section: SheetSection) -> None:
        """A heading, its sentences, its rows."""
        size = SMALL
        self.fit(size * 6)
        self.y -= 19
        self.text(EDGE, self.y, section.title, 14, bold=True)
        self.y -= 2
        for text in section.lines:
            lines = self.fonts.wrapped(printed(text), self.room - 22, size, False)
            self.fit(len(lines) * size * _LEAD + 4)
            self.y -= 2
            for n, line in enumerate(lines):
                self.y -= size * _LEAD
                if n == 0 and section.boxes:
                    self.canvas.setLineWidth(1.2)
                    self.canvas.roundRect(EDGE, self.y - 1.5, 10, 10, 1.5, stroke=1, fill=0)
                self.text(EDGE + (20 if section.boxes else 0), self.y, line, size)
        if section.rows:
            self._table(section)
        if section.strips is not None:
            self.fit(strips_figure(section.strips, self.room, LETTERS).height + 8)
            self.y -= 6
            self._strips(section.strips, EDGE, self.room)
        self.y -= 4

    def _table(self, section: SheetSection) -> None:
        shares = [0.34, *([0.66 / (len(section.heads) - 1)] * (len(section.heads) - 1))]
        edges = [EDGE]
        for share in shares:
            edges.append(edges[-1] + share * self.room)
        self.y -= 4
        for n, row in enumerate((section.heads, *section.rows)):
            self.fit(24)
            self.y -= 16
            for i, text in enumerate(row):
                self.soft(SOFT if n == 0 else 0)
                size = SMALL if n == 0 or i in (0, len(row) - 1) else 14.0
                if i == 0:
                    self.text(edges[0], self.y, printed(text), size)
                else:
                    self.text(edges[i + 1], self.y, printed(text), size, bold=i == 2 and n > 0, anchor="end")
            self.soft(0)
            self.y -= 5
            self.rule(1.0 if n == 0 else 0.6, 0 if n == 0 else HAIR)
        self.y -= 2

    def end(self) -> None:
        """Words at the foot, and lines for names."""
        for text in self.sheet.foot:
            lines = self.fonts.wrapped(printed(text), self.room, SMALL, True)
            self.fit(len(lines) * SMALL * _LEAD + 10)
            self.y -= 6
            for line in lines:
                self.y -= SMALL * _LEAD
                self.text(EDGE, self.y, line, SMALL, bold=self.sheet.reader == "owner")
        self.fit(34)
        self.y -= 30
        each = self.room / max(1, len(self.sheet.signed))
        for n, (name, value) in enumerate(self.sheet.signed):
            x, end = EDGE + n * each, EDGE + (n + 1) * each - 16
            self.text(x, self.y, name, SMALL)
            x += self.fonts.width(name, SMALL, False) + 6
            if value:
                self.text(x, self.y, value, SMALL, bold=True)
            else:
                self.canvas.setLineWidth(1.2)
                self.canvas.line(x, self.y - 2, end, self.y - 2)


def sheet_pdf(sheet: PersonSheet, paper: Paper = "letter", font: str = "") -> bytes:
    """The pages. The same sheet gives the same bytes. `font`: path of a TrueType font for signs that the built-in ones
    lack."""
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out, pagesize=POINTS[paper], invariant=1)
    fonts = fonts_for(_texts(sheet), font)
    canvas.setTitle(fonts.safe(f"{sheet.title}: {sheet.unit}"))
    page = PageSheet(canvas, fonts, POINTS[paper], sheet)
    page.begin()
    if sheet.first:
        page.reverse([printed(text) for text in sheet.first])
    for number, step in enumerate(sheet.steps):
        page.step(number, step)
    for section in sheet.sections:
        page.section(section)
    page.end()
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def _texts(sheet: PersonSheet) -> list[str]:
    out = [sheet.title, sheet.unit, sheet.place, *sheet.first, *sheet.foot]
    out += [text for pair in sheet.signed for text in pair]
    for step in sheet.steps:
        out += [
            *(run.text for run in step.do),
            *step.more,
            *step.stop,
            *(t for b in step.blanks for t in (b.name, b.unit)),
        ]
        out += [m for p in step.pictures for line in p.lines for m in (line.label, *line.marks)]
    for section in sheet.sections:
        out += [section.title, *section.lines, *section.heads, *(cell for row in section.rows for cell in row)]
    return out


def _wrapped(text: str, fonts: Fonts, room: float, bold: bool) -> list[str]:
    """A small line in as many as it takes; a figure stays with its unit."""
    return ["".join(run.text for run in runs) for runs in _lines((Run(text, bold),), fonts, room, SMALL)]


def _lines(runs: Sequence[Run], fonts: Fonts, room: float, size: float = TEXT) -> Iterator[tuple[Run, ...]]:
    """Runs in lines no wider than the room, broken between words."""
    line: list[Run] = []
    used = 0.0
    for run in runs:
        for word in _words(printed(run.text)):
            wide = fonts.width(word.rstrip(), size, run.bold)
            if line and used + wide > room:
                yield tuple(line)
                line, used, word = [], 0.0, word.lstrip()
            if wide > room:
                *whole, word = fonts.wrapped(word, room, size, run.bold)
                yield from ((Run(piece, run.bold),) for piece in whole)
            line.append(Run(word, run.bold))
            used += fonts.width(word, size, run.bold)
    if line:
        yield tuple(line)


def _words(text: str) -> list[str]:
    """Words with the blank behind each, so that nothing is lost when they are put together."""
    out, word = [], ""
    for sign in text:
        word += sign
        if sign == " ":
            out.append(word)
            word = ""
    return [*out, word] if word else out


def _blank_rows(blanks: Sequence[BlankLine], fonts: Fonts, room: float) -> Iterator[tuple[BlankLine, ...]]:
    """As many blanks in a line as are wide enough to write on."""
    row: list[BlankLine] = []
    for blank in blanks:
        need = max(_need(one, fonts) for one in (*row, blank))
        if row and need * (len(row) + 1) > room:
            yield tuple(row)
            row = []
        row.append(blank)
    if row:
        yield tuple(row)


def _need(blank: BlankLine, fonts: Fonts) -> float:
    return fonts.width(blank.name, SMALL, False) + fonts.width(blank.unit, SMALL, False) + _BLANK + 22
