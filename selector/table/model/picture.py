"""The neutral description of how a selector looks; text, pictures, the card and the page are drawn from it."""

from __future__ import annotations

from typing import Literal

from selector.value import Struct

Form = Literal["bank", "pins", "ring", "sockets", "bridges", "list", "leads"]
"""What the holes are: slides of a bank, pins under a cap, marks around a dial, sockets of a plug, ends of a link,
entries, terminals for leads."""
TURNS = (0, 90, 180, 270)


class Line(Struct, frozen=True, kw_only=True):
    """One part of a selector: a hole for each mark, one of them filled.

    `label` is what is printed beside the part: the number of a switch, the name of a lead, nothing for a selector that
    is one part.
    `filled` is the index of the filled hole, None where it isn't known; `was` the same before, where it differs
    (`changed`). `spare`: not used. `away`: the last mark is the place off the pins. `idle`: positions not used. `held`:
    it is to stay. `may_be`: the holes one of which is filled, where it was half read.
    """

    part: int
    label: str
    marks: tuple[str, ...]
    filled: int | None
    was: int | None = None
    changed: bool = False
    spare: bool = False
    away: bool = False
    idle: frozenset[int] = frozenset()
    held: bool = False
    may_be: tuple[int, ...] = ()

    @property
    def word(self) -> str:
        """The mark of the filled hole, `?` where it isn't known; `4 or 9` where it was half read."""
        half = " or ".join(self.marks[i] for i in self.may_be) or "?"
        return half if self.filled is None else self.marks[self.filled]

    @property
    def read(self) -> str:
        """The word, `not known` where nothing of it was read."""
        return "not known" if self.filled is None and not self.may_be else self.word

    @property
    def was_word(self) -> str:
        """The mark before the change."""
        return "?" if self.was is None else self.marks[self.was]


class Picture(Struct, frozen=True, kw_only=True):
    """One selector. In a bank the lines are switches, side by side, and the mark printed last is the ON side.

    `digits`: 0 stands for the first mark and 1 for the second. `turned`: degrees clockwise from the way the form is
    drawn first. `groups`: what neighbors in a bank set together, as first switch, switch after the last, words.
    """

    name: str
    kind: str
    form: Form
    lines: tuple[Line, ...]
    digits: bool = False
    turned: int = 0
    groups: tuple[tuple[int, int, str], ...] = ()

    @property
    def bank(self) -> bool:
        """True for a bank of switches."""
        return self.form == "bank"

    @property
    def changed(self) -> tuple[Line, ...]:
        """The lines that were changed."""
        return tuple(line for line in self.lines if line.changed)

    @property
    def held(self) -> bool:
        """True where a part is to stay as it is."""
        return any(line.held for line in self.lines)
