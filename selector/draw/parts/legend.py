"""How to read a drawing: in a few words for the sheet it stands on, and exactly, for whoever wants to read one off
its pixels."""

from __future__ import annotations

from collections.abc import Iterable

from selector.table.model.picture import Picture

KEY = (
    "Filled: stands here. Empty: free. Hatched: stood here before. ?: can't be read. "
    "The small black square marks the first corner; marks and numbers count from it."
)

TURNED = (
    "Where it says turned, the selector hangs so many degrees clockwise from upright: the square, holes "
    "and words are drawn where they are seen."
)


def key_of(pictures: Iterable[Picture]) -> str:
    """The few words for these drawings, with what being turned means where one is."""
    return f"{KEY} {TURNED}" if any(picture.turned for picture in pictures) else KEY


LEGEND = """\
One ink on a light ground, lengths in units; a drawing made for a phone is 360 units wide, and 1 unit is 1 pixel there
unless it is enlarged.

Frames. Every selector has a heading (its name in bold, then its kind) and under it one frame: a rectangle drawn with
a line 1.5 thick, nothing
outside it touching it. Frames stand in rows. The upper edges of the frames of a row are level; read a row from left
to right, then the next row
below. In this order the frames are the selectors in the order of the table.

First corner. In one corner of the frame, 3 from its outer edges, sits a filled square with a side of 6. It tells the
turn: upper left, the
selector is not turned; upper right, 90 degrees clockwise; lower right, 180; lower left, 270. Turn the frame back so
that the filled square is
upper left before reading on. Text stays upright at every turn, so read it before turning back, or go by the order of
the holes alone.

Holes. Each position is a hole: a square with an outer side of 16 and a line 1.4 thick. Nothing else is a square of
that size. Holes never touch
each other or anything outside them; two holes are at least 3 apart. Taken: the whole square is filled. Free: the
inside is empty, or holds two
dots of 2.5 (the pins of a jumper). Was taken before a change: the inside is hatched with slanted lines 1.4 thick,
about half of it inked. A part
that can't be read has a question mark in each of its holes and no filled or hatched one. So at most one hole of a
part is filled: that is where
it stands. No filled hole: it can't be read.

Which hole is which position, after turning back:
- Bank of switches: two rows of holes. Each column is a switch, the first switch leftmost. The upper row is the ON
  side (the second of the two
  marks of the table), the lower the other. So a switch is ON when its upper hole is filled. A long bank goes on in a
  second pair of rows under
  the first.
- Leads on taps: a row of holes for each lead, in the order of the leads from the top; in a row, the taps in their
  order from the left, `parked`
  last.
- Dial with up to 16 marks: a ring of holes, evenly spaced; the first mark is the topmost hole, the others follow
  clockwise.
- Every other selector, and a dial with more or longer marks: one part; the holes in reading order, from the left in
  rows from the top, are the
  marks in their order. Holes of a row are level.
A hole more than the table has positions, after the last, is the place off the pins (or unplugged); it is drawn only
where the part stands or
stood there.

Changes. A small filled triangle points at the switch, hole or row that was changed (in a dial an arrow runs from the
hatched hole to the filled
one), and words under the frame say from what to what.

In short form, on the card, a list of more than 12 entries shows only its ends and the entries near a place that
matters, or these places alone,
with `..` where some are left out; there the printed marks say which entry it is.
"""
