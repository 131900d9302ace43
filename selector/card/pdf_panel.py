"""A room on a printed sheet that is filled from its head: paragraphs, pairs, drawings, the code."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from selector.card.pdf_font import Fonts
from selector.card.qr import runs, squares
from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, cut_outline, hatch

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

MARGIN = 17.0
"""6 mm, from the edge and from a fold."""
GRAY = {"ink": 0.0, "soft": 0.29, "edge": 0.46, "hair": 0.87, "paper": 1.0, "mark": 0.0, "label": 0.0}


class SheetPanel:
    """A quarter of the sheet, filled from the top; y counts points from its bottom. Nothing is drawn until `drawing`
    is set."""

    def __init__(self, canvas: Canvas, fonts: Fonts, room: tuple[float, float], size: float) -> None:
        self.canvas = canvas
        self.fonts = fonts
        self.width, self.height = room
        self.size = size
        self.margin = MARGIN
        self.origin = (0.0, 0.0)
        self.drawing = False
        self.flows = False
        self.y = self.height - MARGIN

    def need(self, high: float) -> None:
        """Go on at the head of a new sheet where so many points are not left; only for a part that has whole sheets
        to itself."""
        if self.flows and self.y - high < MARGIN and high < self.height - 2 * MARGIN:
            self.canvas.showPage()
            self.y = self.height - MARGIN

    @property
    def inner(self) -> float:
        """Width between the margins."""
        return self.width - 2 * MARGIN

    def text(self, x: float, y: float, text: str, size: float, bold: bool = False, anchor: str = "start") -> None:
        """A text with its foot at y."""
        if not self.drawing:
            return
        self.canvas.setFont(self.fonts.bold if bold else self.fonts.plain, size)
        draw = {
            "start": self.canvas.drawString,
            "middle": self.canvas.drawCentredString,
            "end": self.canvas.drawRightString,
        }[anchor]
        draw(self.origin[0] + x, self.origin[1] + y, self.fonts.safe(text))

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.5, gray: float = 0) -> None:
        """A straight line."""
        if self.drawing:
            self.canvas.setStrokeGray(gray)
            self.canvas.setLineWidth(width)
            self.canvas.line(self.origin[0] + x1, self.origin[1] + y1, self.origin[0] + x2, self.origin[1] + y2)

    def paragraph(self, text: str, *, size: float = 0, bold: bool = False, indent: float = 0, first: str = "") -> None:
        """A text in as many lines as it takes, under what stands already."""
        size = size or self.size
        for i, line in enumerate(self.fonts.wrapped(text, self.inner - indent, size, bold)):
            self.need(size * 1.22)
            self.y -= size * 1.22
            if i == 0 and first:
                self.text(MARGIN + indent - size, self.y, first, size)
            self.text(MARGIN + indent, self.y, line, size, bold)

    def heading(self, text: str) -> None:
        """A heading with a rule under it."""
        self.y -= self.size * 0.7
        self.paragraph(text, size=self.size + 1.5, bold=True)
        self.line(MARGIN, self.y - 2, MARGIN + self.inner, self.y - 2, 0.8)
        self.y -= 3

    def pairs(self, pairs: Sequence[tuple[str, str]]) -> None:
        """Names and values; an empty value is a line to write on, with room for a pen."""
        label = min(
            self.inner * 0.5, max((self.fonts.width(name, self.size, False) for name, _ in pairs), default=0) + 8
        )
        for name, value in pairs:
            names = self.fonts.wrapped(name, label - 6, self.size, False)
            values = self.fonts.wrapped(value, self.inner - label, self.size, True) if value else []
            step = self.size * (1.22 if value else 1.75)
            self.need(step + self.size * 1.22 * max(len(names), len(values)))
            top = self.y
            for i in range(max(len(names), len(values), 1)):
                self.y -= step if i == 0 else self.size * 1.22
                if i < len(names):
                    self.text(MARGIN, self.y, names[i], self.size)
                if i < len(values):
                    self.text(MARGIN + label, self.y, values[i], self.size, bold=True)
            if not value:
                self.line(MARGIN + label, top - step - 1.5, MARGIN + self.inner, top - step - 1.5)

    def figure(self, figure: Drawing, scale: float) -> None:
        """A drawing under what stands already."""
        self.need(figure.height * scale + 2)
        top = self.y - 2
        self.y = top - figure.height * scale
        if self.drawing:
            for shape in figure.shapes:
                self._shape(shape, top, scale)
            self.canvas.setDash()

    def _shape(self, shape: Shape, top: float, scale: float) -> None:
        left, base = self.origin[0] + MARGIN, self.origin[1] + top
        if isinstance(shape, Lettering):
            self._words(shape, top, scale)
            return
        ink = GRAY[shape.tone]
        outline = GRAY["edge"] if isinstance(shape, Box) and shape.solid and shape.tone == "paper" else ink
        self.canvas.setStrokeGray(outline)
        self.canvas.setFillGray(ink)
        self.canvas.setDash([d * scale for d in shape.dashes] if shape.dashes else [])
        self.canvas.setLineWidth(max(shape.line * scale, 0.3))
        if isinstance(shape, Box):
            self._box(shape, (left, base), scale)
            for x1, y1, x2, y2 in hatch(shape) if shape.hatched else ():
                self.canvas.setLineWidth(1.8 * scale)
                self.canvas.line(left + x1 * scale, base - y1 * scale, left + x2 * scale, base - y2 * scale)
        else:
            self._path(shape.points, (left, base), scale, solid=shape.solid, closed=shape.closed)
        self.canvas.setFillGray(0)
        self.canvas.setStrokeGray(0)

    def _box(self, box: Box, origin: tuple[float, float], scale: float) -> None:
        inset = box.line / 2
        x, y = box.x + inset, box.y + inset
        wide, high = box.width - 2 * inset, box.height - 2 * inset
        if box.cut:
            self._path(cut_outline(box), origin, scale, solid=box.solid, closed=True)
            return
        corner = min(box.round * scale, wide * scale / 2)
        left, foot = origin[0] + x * scale, origin[1] - (y + high) * scale
        stroke, fill = int(box.line > 0), int(box.solid)
        self.canvas.roundRect(left, foot, wide * scale, high * scale, corner, stroke=stroke, fill=fill)

    def _path(
        self,
        points: Sequence[tuple[float, float]],
        origin: tuple[float, float],
        scale: float,
        *,
        solid: bool,
        closed: bool,
    ) -> None:
        path = self.canvas.beginPath()
        for i, (x, y) in enumerate(points):
            (path.lineTo if i else path.moveTo)(origin[0] + x * scale, origin[1] - y * scale)
        if solid or closed:
            path.close()
        self.canvas.drawPath(path, stroke=int(not solid), fill=int(solid))

    def _words(self, words: Lettering, top: float, scale: float) -> None:
        size = words.size * scale
        self.canvas.setFillGray(GRAY[words.tone])
        self.text(
            MARGIN + words.x * scale, top - words.y * scale - 0.36 * size, words.text, size, words.bold, words.anchor
        )
        self.canvas.setFillGray(0)

    def code(self, text: str, side: float) -> None:
        """The code as squares, and to be typed beside them."""
        self.need(side + 8)
        rows = squares(text)
        module = side / len(rows)
        top = self.y - 4
        for x, y, length in runs(rows):
            self.fill(MARGIN + x * module, top - (y + 1) * module, length * module, module)
        foot: float = top - 2
        for line in self.fonts.wrapped(text, self.inner - side - 6, self.size, False):
            foot -= self.size * 1.22
            self.text(MARGIN + side + 6, foot, line, self.size)
        self.y = min(top - side, foot)

    def fill(self, x: float, y: float, wide: float, high: float) -> None:
        """A rectangle of ink, its foot at y."""
        if self.drawing:
            self.canvas.rect(self.origin[0] + x, self.origin[1] + y, wide, high, stroke=0, fill=1)

    def frame(self, x: float, y: float, wide: float, high: float) -> None:
        """A rectangle to tick, its foot at y."""
        if self.drawing:
            self.canvas.setLineWidth(1.1)
            self.canvas.rect(self.origin[0] + x, self.origin[1] + y, wide, high, stroke=1, fill=0)

    def tone(self, gray: float) -> None:
        """The gray that words and fills have from here on."""
        if self.drawing:
            self.canvas.setFillGray(gray)
