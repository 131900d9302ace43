"""The card as a PDF of one sheet, letter or A4, in four quarters: fold it twice and it fits a pocket."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from selector.card.content import AS_LEFT, FOUND, FOUND_REST, HATCHED, NO_CODE, Card
from selector.card.fit import LEAST_BESIDE_MARKS, LEAST_SCALE, shared
from selector.card.html import Paper
from selector.card.pdf_font import Fonts, fonts_for
from selector.card.pdf_panel import MARGIN, SheetPanel
from selector.draw.parts.legend import key_of
from selector.table.model.picture import Picture

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINTS: dict[Paper, tuple[float, float]] = {"letter": (612.0, 792.0), "A4": (595.28, 841.89)}
_SIZES = (8.0, 7.5, 7.0, 6.5, 6.0, 5.5)
_NEXT = "This part is too long for a quarter of the sheet; it stands on a sheet of its own."


def card_pdf(card: Card, paper: Paper = "letter", font: str = "") -> bytes:
    """The sheet. `font`: path of a TrueType font for texts that the built-in fonts can't set; without one, a font of
    the machine is looked for.

    The same card gives the same bytes.
    """
    from reportlab.pdfgen.canvas import Canvas

    width, height = POINTS[paper]
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(width, height), invariant=1)
    fonts = fonts_for(_texts(card), font)
    canvas.setTitle(fonts.safe(f"{card.title}: card"))
    canvas.setSubject("Setting of a blower's control board")
    panels = [_fitting(canvas, fonts, (width / 2, height / 2), card, part) for part in _PARTS]
    found = _places(card, panels)
    for i, (part, tried) in enumerate(zip(_PARTS, panels, strict=True)):
        panel = SheetPanel(canvas, fonts, (width / 2, height / 2), tried.size)
        panel.origin = (width / 2 * (i % 2), height / 2 * (1 - i // 2))
        panel.drawing = True
        if tried.y < MARGIN:
            panel.paragraph(_NEXT)
        else:
            part(panel, card)
        if i in found:
            _found(panel, card, *found[i])
    canvas.setDash(2, 3)
    canvas.setLineWidth(0.5)
    canvas.line(width / 2, 0, width / 2, height)
    canvas.line(0, height / 2, width, height / 2)
    canvas.showPage()
    for part in (part for part, tried in zip(_PARTS, panels, strict=True) if tried.y < MARGIN):
        rest = SheetPanel(canvas, fonts, (width, height), _SIZES[0])
        rest.drawing = rest.flows = True
        part(rest, card)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _texts(card: Card) -> list[str]:
    """Every text of the card."""
    out = [card.title, card.left_marks, card.found_marks, card.code, *card.warnings, *card.extras, *card.cautions]
    out += [text for pair in (*card.about, *card.blanks, *card.signed) for text in pair]
    out += [
        text
        for row in card.rows
        for text in (row.name, row.terminals, row.airflow, row.target, row.expected, row.measured, row.method)
    ]
    return out + [
        text
        for p in (*card.left, *card.found)
        for text in (p.name, p.kind, *(m for line in p.lines for m in (line.label, *line.marks)))
    ]


def _fitting(
    canvas: Canvas, fonts: Fonts, room: tuple[float, float], card: Card, part: Callable[[SheetPanel, Card], None]
) -> SheetPanel:
    """A panel in the largest size of type with which the part fits, the part set in it without being drawn; below
    its foot if none fits."""
    for size in _SIZES:
        panel = SheetPanel(canvas, fonts, room, size)
        part(panel, card)
        if panel.y >= MARGIN:
            return panel
    return panel


def _identity(panel: SheetPanel, card: Card) -> None:
    panel.paragraph(card.title, size=panel.size + 4, bold=True)
    panel.y -= 3
    panel.pairs((*card.signed, *card.about))
    if card.warnings:
        panel.heading("Outside its limits or contradictory")
        panel.bullets(card.warnings)
    panel.heading("Code")
    if card.code:
        panel.code(card.code)
    else:
        panel.paragraph(NO_CODE)


def _left(panel: SheetPanel, card: Card) -> None:
    panel.heading("As left")
    panel.paragraph(card.left_marks)
    key = len(panel.fonts.wrapped(key_of(card.left), panel.inner, panel.size - 1, False)) * (panel.size - 1) * 1.22
    if not panel.board(card.left, panel.y - MARGIN - key - 6, LEAST_SCALE):
        panel.y = -1
        return
    panel.y -= 2
    panel.paragraph(key_of(card.left), size=panel.size - 1)


def _calls(panel: SheetPanel, card: Card) -> None:
    panel.heading("Calls")
    panel.y -= 2
    panel.table(card.rows)
    panel.y -= 2
    panel.bullets(card.extras)


def _after(panel: SheetPanel, card: Card) -> None:
    panel.heading("Measured and checked")
    panel.pairs(card.blanks)
    panel.heading("Before a hand goes to the board")
    panel.bullets(card.cautions)


def _places(card: Card, panels: Sequence[SheetPanel]) -> dict[int, tuple[str, Sequence[Picture]]]:
    """Heading and selectors of the board as found for the panels that have most room left, by their numbers; for one
    where that does."""
    if not card.found_marks:
        return {}
    roomiest = sorted(range(len(panels)), key=lambda i: -panels[i].y)
    if not card.found:
        return {roomiest[0]: (FOUND, ())}
    rooms = [(panels[i].inner, panels[i].left_for("" if n else card.found_marks)) for n, i in enumerate(roomiest)]
    return {
        i: (FOUND_REST if n else FOUND, part)
        for n, (i, part) in enumerate(zip(roomiest, shared(card.found, rooms), strict=True))
        if part
    }


def _found(panel: SheetPanel, card: Card, head: str, pictures: Sequence[Picture]) -> None:
    """The board as it was found, in whatever room is left; the drawing as left shows it too, hatched."""
    panel.heading(head)
    if not card.found:
        panel.paragraph(AS_LEFT)
        return
    if pictures[0] is card.found[0]:
        panel.paragraph(card.found_marks)
    if not panel.board(pictures, panel.y - MARGIN - 2, LEAST_BESIDE_MARKS):
        panel.paragraph(HATCHED)


_PARTS: tuple[Callable[[SheetPanel, Card], None], ...] = (_identity, _left, _calls, _after)
