"""What the kinds of selector share: the shape of an entry, marks read against a part, and how a selector looks."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence

from selector.table.kinds.parts import position_in
from selector.table.model.picture import Form, Line, Picture
from selector.table.model.quantities import FIGURES
from selector.table.model.table import ABSENT, Part, Selector, Setting
from selector.table.text.refusing import TWO_OR_MORE
from selector.table.text.shapes import Choice, Fields, FileReport, MapOf, Nested, Record, Shape, Text, Words
from selector.value import Struct

COMMON: dict[str, Shape] = {
    "also": MapOf(Words(), "Other marks printed for a position, or other words for it.", "{on: closed, off: open}"),
    "gives": Choice(FIGURES, "What the positions mean when they are figures themselves.", "airflow per ton"),
    "declares": Text(
        "The fact of the equipment that this selector tells the board; it is set from the fact, never searched.",
        "heater power",
    ),
    "says": MapOf(
        Text(), "What each position tells of the fact it declares, where the marks don't say it.", "{A: 5, B: 10}"
    ),
    "leave at": Text("The position it is to be left at.", "A"),
    "turned": Choice(
        ("90", "180", "270"),
        "How far it hangs turned on the board, in degrees clockwise; its drawings turn with it.",
        "180",
    ),
    "note": Text("Anything worth telling with it.", "under the cover"),
}
POSITIONS: Shape = Words("The printed marks, in order, with blanks between.", "A B C D", TWO_OR_MORE)
POSITIONS_BY_MODEL: Shape = Nested(
    Words(more=TWO_OR_MORE),
    1,
    "The printed marks, in order, with blanks between; by model where they differ.",
    "A B C D",
)
FACTORY: Shape = Nested(Words(), 1, "The position as delivered, or `all off`; by model where that differs.", "all off")
NOT_USED: Shape = Words("Positions, or switches of a bank, that the manual calls not used.", "8")


def record(
    kind: str,
    own: Mapping[str, Shape],
    required: tuple[str, ...] = (),
    example: str = "",
    *,
    without: Collection[str] = (),
) -> Record:
    """The entry of a kind: its own keys and the common ones, but for those it can't have."""
    common = {"factory": FACTORY, "not used": NOT_USED, **COMMON}
    return Record(
        {
            "kind": Choice((kind,), "What the selector is.", kind),
            **{k: s for k, s in common.items() if k not in without},
            **own,
        },
        ("kind", *required),
        f"A selector of the kind {kind}.",
        example,
    )


class MarkError(ValueError):
    """Marks that can't be on this selector; the text says what to type instead."""


def as_declared(part: Part) -> tuple[str, ...]:
    """The marks as they stand on the board: the positions as the table declares them."""
    return part.positions


class Kind(Struct, frozen=True, kw_only=True):
    """One kind of selector: its entry, how parts are made of it, how marks are read and how it looks."""

    name: str
    record: Record
    build: Callable[[str, Fields, FileReport, int], tuple[Selector, tuple[Part, ...]] | None]
    read_marks: Callable[[Selector, Sequence[Part], str], dict[int, int | None]]
    form: Form
    printed: Callable[[Part], tuple[str, ...]] = as_declared
    upright: bool = False

    def digits(self, part: Part) -> bool:
        """True for a switch that may be written 0 for its first position and 1 for its second."""
        return self.upright and part.marks.get("0") == 0 and part.marks.get("1") == 1

    def picture(
        self,
        selector: Selector,
        parts: Sequence[Part],
        setting: Setting,
        before: Setting | None = None,
        turned: int = 0,
        offered: bool = False,
    ) -> Picture:
        """What a person sees in a setting of the whole board, and what it was before; the board turned so many degrees
        clockwise. `offered`: with the place off its pins wherever that may be.

        A menu is at the thermostat and doesn't turn with the board.
        """
        return Picture(
            name=selector.name,
            kind=selector.kind,
            form=self.form,
            lines=tuple(_line(selector, part, self.printed(part), setting, before, offered) for part in parts),
            digits=self.digits(parts[0]),
            turned=(selector.turned + (0 if self.form == "list" else turned)) % 360,
        )


def _line(
    selector: Selector,
    part: Part,
    marks: tuple[str, ...],
    setting: Setting,
    before: Setting | None,
    offered: bool,
) -> Line:
    """One part; a place is added for being off its pins where it is or was."""
    at = setting[part.index]
    was = at if before is None else before[part.index]
    away = len(marks)
    off = ABSENT in (at, was) or (offered and bool(part.absent))
    return Line(
        part=part.index,
        label="" if part.name == selector.name else part.name[len(selector.name) + 1 :],
        marks=(*marks, part.absent) if off else marks,
        filled=away if at == ABSENT else at,
        was=away if was == ABSENT else was,
        changed=at is not None and at != was,
        spare=part.unused,
        away=off,
        idle=part.idle,
        may_be=part.may_be if at is None else (),
    )


UNREADABLE = "?"
_OR = re.compile(r"\s+or\s+", re.IGNORECASE)


def is_unread(text: str) -> bool:
    """True for the word that says of a whole selector, or of one mark, that it can't be read."""
    return text.strip().casefold() == "unread"


def may_be(part: Part, text: str) -> tuple[int, ...]:
    """The positions of a mark that was half read, `R9 or T4`; nothing for other marks, MarkError for a position that
    isn't there."""
    words = _OR.split(text.strip())
    if len(words) == 1 or position_in(part.marks, text) is not None:
        return ()
    return tuple(sorted({at for word in words if (at := read_one(part, word)) is not None}))


def read_one(part: Part, text: str) -> int | None:
    """A mark on one part: its position, None for `?` and for one that was half read; MarkError otherwise."""
    text = " ".join(text.split())
    if text == UNREADABLE or is_unread(text):
        return None
    half = may_be(part, text)
    if half:
        return half[0] if len(half) == 1 else None
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
