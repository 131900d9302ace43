"""One selector moved."""

from __future__ import annotations

from collections.abc import Collection

from selector.table.model.table import Setting
from selector.value import Struct


class Move(Struct, frozen=True, kw_only=True):
    """One part from a position to another; `was` None where it isn't known and has to be set whatever it stands at: it
    is not counted. `unread`: it was looked at and can't be read."""

    part: int
    was: int | None
    to: int
    unread: bool = False


def moves_between(before: Setting, after: Setting, unread: Collection[int] = ()) -> tuple[Move, ...]:
    """Every part that is to be set, in the order the selectors stand on the board."""
    return tuple(
        Move(part=i, was=was, to=to, unread=i in unread)
        for i, (was, to) in enumerate(zip(before, after, strict=True))
        if to is not None and was != to
    )
