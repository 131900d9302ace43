"""The one description of a board from which text, pictures, the card and the page are drawn."""

from __future__ import annotations

from dataclasses import dataclass

from selector.table.kinds import KINDS
from selector.table.model import ABSENT, Part, Selector, Setting, Table

TURNS = (0, 90, 180, 270)


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One part of a selector: a hole for each mark, one of them filled.

    `filled` is the index of the filled hole, None where it can't be read; `was` the same before, where it differs (`changed`). `spare`: not used.
    """

    part: int
    label: str
    marks: tuple[str, ...]
    filled: int | None
    was: int | None = None
    changed: bool = False
    spare: bool = False

    @property
    def word(self) -> str:
        """The mark of the filled hole, `?` where it can't be read."""
        return "?" if self.filled is None else self.marks[self.filled]

    @property
    def was_word(self) -> str:
        """The mark before the change."""
        return "?" if self.was is None else self.marks[self.was]


@dataclass(frozen=True, kw_only=True, slots=True)
class Drawing:
    """One selector. In a bank the lines are switches and stand side by side; the mark printed last is its ON side.

    `digits`: 0 is the first mark and 1 the second. `turned`: degrees clockwise.
    """

    name: str
    kind: str
    bank: bool
    lines: tuple[Line, ...]
    digits: bool = False
    turned: int = 0

    @property
    def changed(self) -> tuple[Line, ...]:
        """The lines that were changed."""
        return tuple(line for line in self.lines if line.changed)


def printed(selector: Selector, part: Part) -> tuple[str, ...]:
    """The marks as they stand on the board: those of `also` where the table gives any for a bank, ON and OFF in capitals."""
    if not KINDS[selector.kind].upright:
        return part.positions
    out: list[str] = []
    for i, position in enumerate(part.positions):
        others = [m for m, at in part.marks.items() if at == i and m.casefold() != position.casefold() and not (m in ("0", "1") and m == str(i))]
        word = others[0] if others else position
        out.append(word.upper() if word.casefold() in ("on", "off") else word)
    return tuple(out)


def describe(table: Table, setting: Setting, before: Setting | None = None, turned: int = 0) -> tuple[Drawing, ...]:
    """Every selector of the board in the table's order. `turned` is 0, 90, 180 or 270 degrees clockwise; ValueError otherwise."""
    if turned not in TURNS:
        raise ValueError(f"a board can be turned 90, 180 or 270 degrees, not {turned}")
    return tuple(_drawing(table, selector, setting, before, turned) for selector in table.selectors.values())


def _drawing(table: Table, selector: Selector, setting: Setting, before: Setting | None, turned: int) -> Drawing:
    parts = [table.parts[i] for i in selector.parts]
    bank = KINDS[selector.kind].upright
    return Drawing(
        name=selector.name,
        kind=selector.kind,
        bank=bank,
        lines=tuple(_line(selector, part, setting, before) for part in parts),
        digits=bank and parts[0].marks.get("0") == 0 and parts[0].marks.get("1") == 1,
        turned=turned,
    )


def _line(selector: Selector, part: Part, setting: Setting, before: Setting | None) -> Line:
    at = setting[part.index]
    was = at if before is None else before[part.index]
    marks = printed(selector, part)
    if ABSENT in (at, was):
        marks = (*marks, part.absent or "off")
    away = len(part.positions)
    alone = len(selector.parts) == 1 and not KINDS[selector.kind].upright
    return Line(
        part=part.index,
        label="" if alone else part.name[len(selector.name) + 1 :],
        marks=marks,
        filled=away if at == ABSENT else at,
        was=away if was == ABSENT else was,
        changed=at is not None and at != was,
        spare=part.unused,
    )
