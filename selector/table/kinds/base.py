"""What the kinds of selector share: the shape of an entry, marks read against a part, and how a selector looks."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from selector.table.model import ABSENT, Part, Selector
from selector.table.parts import position_in
from selector.table.quantities import QUANTITIES
from selector.table.shapes import Choice, Fields, Nested, Record, Report, Shape, Text, Words

COMMON: dict[str, Shape] = {
    "also": Nested(Words(), 1, "Other marks printed for a position, or other words for it.", "{on: closed, off: open}"),
    "gives": Choice(tuple(QUANTITIES), "What the positions mean when they are figures themselves.", "airflow per ton"),
    "declares": Text("The fact of the equipment that this selector tells the board; it is set from the fact, never searched.", "heater power"),
    "leave at": Nested(Text(), 1, "The position it is to be left at; for a bank, by switch.", "off"),
    "note": Text("Anything worth telling with it.", "under the cover"),
}
POSITIONS: Shape = Words("The printed marks, in order, with blanks between.", "A B C D")
FACTORY: Shape = Nested(Words(), 1, "The position as delivered, or `all off`; by model where that differs.", "all off")
NOT_USED: Shape = Words("Positions, or switches of a bank, that the manual calls not used.", "8")


def record(kind: str, own: Mapping[str, Shape], required: tuple[str, ...] = (), example: str = "") -> Record:
    """The entry of a kind: its own keys and the common ones."""
    return Record(
        {"kind": Choice((kind,), "What the selector is.", kind), **own, "factory": FACTORY, "not used": NOT_USED, **COMMON},
        ("kind", *required),
        f"A selector of the kind {kind}.",
        example,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """How a selector looks: one line of holes for each part.

    `lines` holds, for each part, (label, marks in printed order, index of the filled mark or None for unreadable, ABSENT for off its pins).
    `upright` is True for a bank, whose switches stand side by side and whose marks stand above one another.
    """

    name: str
    kind: str
    upright: bool
    lines: tuple[tuple[str, tuple[str, ...], int | None], ...]


class MarkError(ValueError):
    """Marks that can't be on this selector; the text says what to type instead."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """One kind of selector: its entry, how parts are made of it, how marks are read and how it looks."""

    name: str
    record: Record
    build: Callable[[str, Fields, Report, int], tuple[Selector, tuple[Part, ...]] | None]
    read_marks: Callable[[Selector, Sequence[Part], str], dict[int, int | None]]
    upright: bool = False

    def picture(self, selector: Selector, parts: Sequence[Part], at: Sequence[int | None]) -> Picture:
        """What a person sees, for positions `at` of the whole board."""
        lines = tuple(
            (
                label(selector, part),
                part.positions + ((part.absent,) if at[part.index] == ABSENT else ()),
                len(part.positions) if at[part.index] == ABSENT else at[part.index],
            )
            for part in parts
        )
        return Picture(name=selector.name, kind=selector.kind, upright=self.upright, lines=lines)


def label(selector: Selector, part: Part) -> str:
    """What is printed beside a part: the number of a switch, the name of a lead, nothing for a selector that is one part."""
    return part.name[len(selector.name) + 1 :] if len(selector.parts) > 1 else ""


UNREADABLE = "?"


def read_one(part: Part, text: str) -> int | None:
    """A mark on one part: its position, None for `?`; MarkError otherwise."""
    text = " ".join(text.split())
    if text in (UNREADABLE, "unread"):
        return None
    found = position_in(part.marks, text)
    if found is not None:
        return found
    if part.absent and text.casefold() == part.absent:
        return ABSENT
    raise MarkError(
        f"{part.name} has no position `{text}`; type one of {' '.join(part.positions)}"
        + (f", `{part.absent}`" if part.absent else "")
        + ", or ? if it can't be read"
    )


def read_single(_: Selector, parts: Sequence[Part], text: str) -> dict[int, int | None]:
    """The mark of a selector that is one part."""
    return {parts[0].index: read_one(parts[0], text)}
