"""What a printed sheet is made of, with nothing said of the format it ends up in: panels of blocks, each a quarter of
the sheet or more."""

from __future__ import annotations

from typing import Literal

from selector.draw.parts.draw import heading
from selector.draw.plots.strip import Strips
from selector.table.model.picture import Picture
from selector.value import Struct

Look = Literal["", "bold", "soft", "figure", "reverse"]


class Says(Struct, frozen=True, kw_only=True):
    """A paragraph."""

    text: str
    look: Look = ""


class Head(Struct, frozen=True, kw_only=True):
    """A heading inside a panel."""

    text: str


class Reverse(Struct, frozen=True, kw_only=True):
    """A limit that is broken, light on dark, with what to do next under it."""

    text: str
    more: str = ""


class SheetCell(Struct, frozen=True, kw_only=True):
    """A cell of a grid; `over`: how many columns it takes."""

    text: str
    look: Look = ""
    over: int = 1


class SheetGrid(Struct, frozen=True, kw_only=True):
    """Rows under heads; `shares` of the width in percent; `right`: columns set to the right. `high`: rows as high as a
    pen needs, with lines between the columns."""

    heads: tuple[str, ...]
    rows: tuple[tuple[SheetCell, ...], ...]
    shares: tuple[int, ...]
    right: frozenset[int] = frozenset()
    high: bool = False


class Pairs(Struct, frozen=True, kw_only=True):
    """Names and values; an empty value is a line to write on."""

    rows: tuple[tuple[str, str], ...]


class SheetList(Struct, frozen=True, kw_only=True):
    """A list: with numbers, or with boxes to tick."""

    texts: tuple[str, ...]
    boxes: bool = False


class Selectors(Struct, frozen=True, kw_only=True):
    """The selectors of a board."""

    pictures: tuple[Picture, ...]


class Changes(Struct, frozen=True, kw_only=True):
    """Airflows on one axis, rises on the plate."""

    strips: Strips


class Code(Struct, frozen=True, kw_only=True):
    """The code as squares, its parts in words beside it; empty where the marks are too long for one."""

    text: str


Block = Says | Head | Reverse | SheetGrid | Pairs | SheetList | Selectors | Changes | Code


class Panel(Struct, frozen=True, kw_only=True):
    """A part of a sheet under a heading; `note` stands at the heading's right end."""

    title: str
    blocks: tuple[Block, ...]
    note: str = ""


def words_of(panel: Panel) -> list[str]:
    """Every text of a panel, in order."""
    out = [panel.title, panel.note]
    for block in panel.blocks:
        if isinstance(block, SheetGrid):
            out += [*block.heads, *(cell.text for row in block.rows for cell in row)]
        elif isinstance(block, Pairs):
            out += [text for pair in block.rows for text in pair]
        elif isinstance(block, SheetList):
            out += block.texts
        elif isinstance(block, Reverse):
            out += [block.text, block.more]
        elif isinstance(block, Selectors):
            out += [text for p in block.pictures for text in (p.name, heading(p), *(one.label for one in p.lines))]
        elif isinstance(block, Changes):
            out += [one.name for one in block.strips.rows] + [one.name for one in block.strips.bars]
        else:
            out.append(block.text)
    return out
