"""The card as a PDF, letter or A4, in quarters: fold the sheet twice and it fits a pocket. Text 11 pt, figures 14."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from selector.card.blocks import (
    Block,
    Changes,
    Code,
    Head,
    Pairs,
    Panel,
    Reverse,
    Says,
    Selectors,
    SheetCell,
    SheetGrid,
    SheetList,
    words_of,
)
from selector.card.content import NO_CODE, Card
from selector.card.html import LARGER, SLOT, WIDTH, Paper
from selector.card.pdf_font import Fonts, fonts_for
from selector.card.pdf_panel import SheetPanel
from selector.draw.parts.layout import board_rows
from selector.draw.plots.strip import strips_figure

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINTS: dict[Paper, tuple[float, float]] = {"letter": (612.0, 792.0), "A4": (595.28, 841.89)}
TEXT, FIGURE, TITLE, HEADING = 11.0, 14.0, 16.0, 14.0
_SIZES = {"figure": FIGURE, "reverse": FIGURE}
_LEAD = 1.25
_QR = 113.0
"""40 mm."""


class QuarterPanel(SheetPanel):
    """A panel of quarters: where one is full the next begins, under the panel's name."""

    def __init__(self, canvas: Canvas, fonts: Fonts, sheet: tuple[float, float]) -> None:
        super().__init__(canvas, fonts, (sheet[0] / 2, sheet[1] / 2), TEXT)
        self.sheet = sheet
        self.number = -1
        self.title = ""
        self.drawing = True

    def next_quarter(self) -> None:
        """Go on at the head of the next quarter, of the next sheet after the fourth."""
        self.number += 1
        at = self.number % 4
        if at == 0:
            if self.number:
                self.canvas.showPage()
            wide, high = self.sheet
            self.canvas.setDash(2, 3)
            self.canvas.setLineWidth(0.5)
            self.canvas.line(wide / 2, 0, wide / 2, high)
            self.canvas.line(0, high / 2, wide, high / 2)
            self.canvas.setDash()
        self.origin = (self.width * (at % 2), self.height * (1 - at // 2))
        self.y = self.height - self.margin

    def need(self, high: float) -> None:
        """Go on in the next quarter where so many points are not left."""
        if self.y - high < self.margin and high < self.height - 2 * self.margin - 30:
            self.next_quarter()
            head, *more = self.fonts.wrapped(self.title, self.inner * 0.7, self.size, True)
            self.paragraph(f"{head}{'…' if more else ''}, continued", bold=True)
            self.y -= 4

    def begin(self, panel: Panel, *, first: bool) -> None:
        """A panel's head, in a quarter of its own."""
        self.title = panel.title
        self.next_quarter()
        size = TITLE if first else HEADING
        room = self.inner - (self.fonts.width(panel.note, size if first else TEXT, first) + 10 if panel.note else 0)
        lines = self.fonts.wrapped(panel.title, room, size, True)
        for n, line in enumerate(lines):
            self.need(size * 1.15)
            self.y -= size * 1.15
            self.text(self.margin, self.y, line, size, bold=True)
            if n == 0 and panel.note:
                right = self.margin + self.inner
                self.text(right, self.y, panel.note, size if first else TEXT, bold=first, anchor="end")
        self.y -= 5
        self.line(self.margin, self.y, self.margin + self.inner, self.y, 1.3)
        self.y -= 4

    # -- blocks

    def block(self, block: Block) -> None:
        """One block under what stands already."""
        if isinstance(block, Says):
            self.tone(0.29 if block.look == "soft" else 0)
            self.paragraph(block.text, bold=block.look == "bold")
            self.tone(0)
            self.y -= 3
        elif isinstance(block, Head):
            self.need(40)
            self.y -= 8
            self.paragraph(block.text, size=12.5, bold=True)
            self.y -= 2
        elif isinstance(block, Reverse):
            self._reverse(block)
        elif isinstance(block, SheetGrid):
            self._grid(block)
        elif isinstance(block, Pairs):
            self._pairs(block)
        elif isinstance(block, SheetList):
            self._items(block)
        elif isinstance(block, Selectors):
            for row in board_rows(block.pictures, WIDTH, detail="shortest", slot=SLOT, larger=LARGER, told=False):
                self.figure(row, min(self.inner / WIDTH, self.inner / row.width))
                self.y -= 4
        elif isinstance(block, Changes):
            figure = strips_figure(block.strips, WIDTH, LARGER)
            room = self.height - 2 * self.margin - 60
            self.figure(figure, min(self.inner / WIDTH, room / figure.height))
            self.y -= 4
        else:
            self._code(block)

    def _reverse(self, block: Reverse) -> None:
        inner = self.inner - 14
        lines = [(line, 12.0, True) for line in self.fonts.wrapped(block.text, inner, 12, True)]
        lines += [(line, TEXT, False) for line in (self.fonts.wrapped(block.more, inner, TEXT, False))]
        high = sum(size * _LEAD for _, size, _ in lines) + 8
        self.need(high + 6)
        self.y -= 3
        self.fill(self.margin, self.y - high, self.inner, high)
        y = self.y - 3
        self.tone(1)
        for line, size, bold in lines:
            y -= size * 1.18
            self.text(self.margin + 7, y, line, size, bold=bold)
        self.tone(0)
        self.y -= high + 4

    def _grid(self, grid: SheetGrid) -> None:
        edges = [0.0]
        for share in grid.shares:
            edges.append(edges[-1] + share * self.inner / 100)
        self._row([SheetCell(text=name, look="soft") for name in grid.heads], edges, grid, rule=1)
        for row in grid.rows:
            self._row(row, edges, grid, rule=0.5)
        self.y -= 4

    def _row(self, row: Sequence[SheetCell], edges: Sequence[float], grid: SheetGrid, rule: float) -> None:
        spans, at = [], 0
        for cell in row:
            spans.append((at, at + cell.over))
            at += cell.over
        texts = [
            self.fonts.wrapped(c.text, edges[b] - edges[a] - 4, _SIZES.get(c.look, TEXT), self._bold(c)) or [""]
            for c, (a, b) in zip(row, spans, strict=True)
        ]
        sizes = [_SIZES.get(c.look, TEXT) for c in row]
        tops = [size if grid.high else max(*sizes, TEXT) for size in sizes]
        high = max(
            1.1 * top + (len(lines) - 0.7) * size * 1.2 for lines, size, top in zip(texts, sizes, tops, strict=True)
        )
        high = max(high, 24.0) if grid.high else high
        self.need(high)
        for cell, lines, size, top, (a, b) in zip(row, texts, sizes, tops, spans, strict=True):
            right = a in grid.right and cell.over == 1
            for n, line in enumerate(lines):
                y = self.y - top * 1.1 - n * size * 1.2
                x = self.margin + (edges[b] - (2 if right else 0) if right else edges[a] + (3 if grid.high else 0))
                if cell.look == "reverse" and line:
                    wide = self.fonts.width(line, size, True)
                    left = x - wide - 3 if right else x - 3
                    self.fill(left, y - 3, wide + 6, size * 1.15)
                self.tone(1 if cell.look == "reverse" else 0.29 if cell.look == "soft" else 0)
                self.text(x, y, line, size, bold=self._bold(cell), anchor="end" if right else "start")
                self.tone(0)
        foot = self.y - high
        if grid.high:
            for edge in edges:
                self.line(self.margin + edge, self.y, self.margin + edge, foot, 0.5, 0.6)
        self.line(self.margin, foot, self.margin + self.inner, foot, rule, 0 if rule == 1 else 0.7)
        self.y = foot

    def _bold(self, cell: SheetCell) -> bool:
        return cell.look in ("figure", "reverse", "bold")

    def _pairs(self, block: Pairs) -> None:
        for name, value in block.rows:
            label = min(self.inner * 0.7, self.fonts.width(name, TEXT, False) + 10)
            names = self.fonts.wrapped(name, label - 4, TEXT, False)
            values = self.fonts.wrapped(value, self.inner - label, TEXT, True) if value else []
            step = TEXT * (_LEAD if value else 1.75)
            high = step + TEXT * _LEAD * (max(len(names), len(values), 1) - 1) + 3
            self.need(high)
            right = self.margin + self.inner
            for n, line in enumerate(names):
                self.text(self.margin, self.y - step - n * TEXT * _LEAD, line, TEXT)
            for n, line in enumerate(values):
                self.text(right, self.y - step - n * TEXT * _LEAD, line, TEXT, bold=True, anchor="end")
            self.y -= high
            if value:
                self.line(self.margin, self.y, right, self.y, 0.5, 0.7)
            else:
                self.line(self.margin + label, self.y + 1, right, self.y + 1, 0.8)
        self.y -= 4

    def _items(self, block: SheetList) -> None:
        for n, item in enumerate(block.texts, 1):
            lines = self.fonts.wrapped(item, self.inner - 18, TEXT, False)
            self.need(len(lines) * TEXT * _LEAD + 4)
            self.y -= 2
            for i, line in enumerate(lines):
                self.y -= TEXT * _LEAD
                if i == 0 and block.boxes:
                    self.frame(self.margin, self.y - 1, 9, 9)
                elif i == 0:
                    self.text(self.margin, self.y, str(n), TEXT, bold=True)
                self.text(self.margin + 18, self.y, line, TEXT)
            self.y -= 2
        self.y -= 2

    def _code(self, block: Code) -> None:
        if block.text:
            self.code(block.text, _QR)
        else:
            self.paragraph(NO_CODE)
        self.y -= 4


def card_pdf(card: Card, paper: Paper = "letter", font: str = "") -> bytes:
    """The sheets. `font`: path of a TrueType font for texts that the built-in fonts can't set; without one, a font of
    the machine is looked for.

    The same card gives the same bytes.
    """
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out, pagesize=POINTS[paper], invariant=1)
    blocks = [block for one in card.panels for block in one.blocks]
    drawn = [p for block in blocks if isinstance(block, Selectors) for p in block.pictures]
    marks = [mark for p in drawn for line in p.lines for mark in line.marks]
    fonts = fonts_for([card.title, *marks, *(text for one in card.panels for text in words_of(one))], font)
    canvas.setTitle(fonts.safe(f"{card.title}: card"))
    canvas.setSubject("Setting of a blower's control board")
    panel = QuarterPanel(canvas, fonts, POINTS[paper])
    for n, one in enumerate(card.panels):
        panel.begin(one, first=n == 0)
        for block in one.blocks:
            panel.block(block)
    canvas.showPage()
    canvas.save()
    return out.getvalue()
