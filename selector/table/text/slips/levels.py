"""Which lines stand level, which belong below which, and lines that fit nowhere."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from selector.table.text.slips.slip_list import DEEPEST, SlipList, clipped, in_column, in_quotes
from selector.value import Struct, field

Kind = Literal["names", "items"]


class LevelGroup(Struct):
    """Names, or list items, that stand level; `keys` holds each name's line, `newest` what the last line of the
    group says."""

    column: int
    kind: Kind
    keys: dict[str, int] = field(default_factory=dict)
    newest: str = ""
    newest_line: int = 0


class Levels:
    """The groups that are open at one place of a file, outermost first. Lines and columns count from 0."""

    __slots__ = ("_lines", "_slips", "awaited", "groups", "trusted")

    def __init__(self, lines: Sequence[str], slips: SlipList, *, trusted: bool) -> None:
        self._lines = lines
        self._slips = slips
        self.groups: list[LevelGroup] = []
        self.awaited = False
        """Whether the name or item before has no value yet."""
        self.trusted = trusted
        """Whether columns mean anything: not where tabs stand before text."""

    @property
    def column(self) -> int:
        """Column of the innermost group; -1 before the first line."""
        return self.groups[-1].column if self.groups else -1

    def item_columns(self) -> set[int]:
        return {group.column for group in self.groups if group.kind == "items"}

    def place(self, at: int, column: int, kind: Kind) -> Literal["placed", "stray", "stop"]:
        """Find the group this name or item belongs to, or open one. `stop` where reading can't go on."""
        left: LevelGroup | None = None
        while self.groups and self.groups[-1].column > column:
            left = self.groups.pop()
        if left:
            self.awaited = False
        top = self.groups[-1] if self.groups else None
        if top is not None and top.column == column:
            return self._place_level(at, column, kind, top)
        if top is None and left is None and kind == "items":
            no_names(self._slips, at, column)
            return "stop"
        if (top is not None or left is not None) and not self.awaited and self.trusted:
            self._tell(at, column, kind, left, top)
        if len(self.groups) >= DEEPEST:
            self._slips.too_deep(at, column)
            return "stop"
        self.groups.append(LevelGroup(column, kind))
        self.awaited = False
        return "placed"

    def _place_level(self, at: int, column: int, kind: Kind, top: LevelGroup) -> Literal["placed", "stray"]:
        if top.kind == kind:
            pass
        elif kind == "items":
            if not self.awaited:
                rest = self._lines[at][column + 1 :].strip(" ")
                message = "A `-` begins a list item, and no list can stand here."
                remedy = f"Take the dash out, or put the text in quotes: `{in_quotes('- ' + rest)}`."
                self._slips.add(at, column, "stray-item", message, remedy)
                return "stray"
            self.groups.append(LevelGroup(column, "items"))
        elif len(self.groups) > 1 and self.groups[-2].column == column:
            self.groups.pop()
        else:
            message = (
                f"The lines level with this one are list items that begin with `- `, as in line {top.newest_line + 1};"
                " this one doesn't."
            )
            self._slips.add(
                at,
                column,
                "missing-dash",
                message,
                "Type `- ` before it, or start it level with the name it belongs to.",
            )
            self.groups.append(LevelGroup(column, "names"))
        self.awaited = False
        return "placed"

    def _tell(self, at: int, column: int, kind: Kind, left: LevelGroup | None, top: LevelGroup | None) -> None:
        """A line starts where nothing it could belong to does. `left` is the outermost group it has left, `top` the
        one it is in."""
        if left is None and top is not None:
            above = f"`{clipped(top.newest)}` in line {top.newest_line + 1}"
            if kind == "items":
                message = f"A `-` begins a list item, and {above} has its value already."
                remedy = (
                    f"For a list type `{clipped(top.newest)}:` alone on its line, and each item with its dash on a line"
                    " below."
                )
                self._slips.add(at, column, "stray-item", message, remedy)
                return
            message = f"This line starts further right than {above}, which has its value already."
        else:
            message = "This line doesn't start level with any line it could belong to."
        starts = [
            f"{in_column(group.column)}, level with `{clipped(group.newest)}` in line {group.newest_line + 1}"
            for group in (left, top)
            if group is not None and group.column >= 0
        ]
        self._slips.add(at, column, "wrong-start", message, f"Start it {', or '.join(starts)}.")


def no_names(slips: SlipList, at: int, column: int) -> None:
    message = "A table is made of lines `name: value`; this file doesn't begin with one."
    slips.add(
        at,
        column,
        "no-names",
        message,
        "Type `format: selector table 1` as the first line, and the rest of the table below it.",
    )
