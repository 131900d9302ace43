"""How to read a drawing: in a few words for the sheet it stands on, and exactly, for whoever wants to read one off
its pixels."""

from __future__ import annotations

from collections.abc import Iterable

from selector.table.model.picture import Picture

TURNED = "Where it says turned, the selector hangs so many degrees clockwise from upright; words stay upright."


def key_of(pictures: Iterable[Picture]) -> str:
    """The few words for these drawings: what is met on them, and what being turned means where one is."""
    seen = list(pictures)
    lines = [line for picture in seen for line in picture.lines]
    words = [
        "Filled: set.",
        "Hatched: was here." if any(line.changed and line.was is not None for line in lines) else "",
        "Dashed, ?: unreadable." if any(line.filled is None for line in lines) else "",
        "The heavy bar is the ON side." if any(picture.bank for picture in seen) else "",
        TURNED if any(picture.turned for picture in seen) else "",
    ]
    return " ".join(word for word in words if word)


LEGEND = """\
One ink on a light ground, lengths in units; 1 unit is 1 pixel unless the drawing is enlarged.

Every position of every part has a place: a box whose left, upper edge, width and height the drawing tells
(`data-part`, `data-position`, `data-box` in SVG). Set: the place is filled with ink; what is printed on it is left out
in the ground's color, so that at least three quarters of the place are ink. Was set before a change: hatched with
slanted lines, and the first few units inside two opposite edges are about two fifths ink. Otherwise the ground
shows: a mark, a pin, an outline, or where leads run the lines of leads, and there it is a quarter ink at most.
A part that can't be read has a dashed edge and a question mark and no place filled. A switch that isn't used is drawn
with thin gray lines and has no place filled.

Words on the drawing: the name of the selector over it, the number under each switch, the mark at each place, `to OFF`
under a switch that was changed, and under the drawing what was changed from what to what.
"""
