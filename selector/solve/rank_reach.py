"""What is left of the filled buckets when only solutions up to a given cost matter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from selector.solve.rank_order import Bucket
from selector.solve.rank_table import Scope

Option = tuple[int, int, list[int]]
"""A value, the cost of the cell's own factors with it, and where it stands in each child's message."""


@dataclass(kw_only=True, slots=True)
class Cell:
    """One entry of a message that such a solution can pass through: how much dearer than the least it may become, and what can be chosen in it."""

    room: int
    options: list[Option] = field(default_factory=list)


Cells = list[dict[int, Cell]]
"""For each bucket its cells, by their place in the message."""


class TooMany(Exception):
    """More is within reach than can be handled: in which bucket it became too much."""

    def __init__(self, bucket: int) -> None:
        self.bucket = bucket
        super().__init__(f"bucket {bucket}")


def reach(buckets: Sequence[Bucket], sizes: Sequence[int], *, room: int, most: int) -> Cells:
    """The cells that a solution at most `room` above the least cost can pass through, with only such options.

    Raises `TooMany` beyond `most` options.
    """
    cells: Cells = [{} if bucket.parent >= 0 else {0: Cell(room=room)} for bucket in buckets]
    for number in range(len(buckets) - 1, -1, -1):
        bucket = buckets[number]
        inner, block, table, message = bucket.inner, bucket.inner * bucket.size, bucket.table, bucket.message
        below = [(cells[child], buckets[child].message, _drops(bucket.scope, buckets[child].outer, sizes)) for child in bucket.children]
        for place, cell in cells[number].items():
            outside, inside = divmod(place, inner)
            start = outside * block + inside
            limit = message[place] + cell.room
            options = cell.options
            for value, cost in enumerate(table[start : start + block : inner]):
                if cost > limit:
                    continue
                left = limit - cost
                places = []
                for child_cells, child_message, drops in below:
                    at = start + value * inner
                    for drop_inner, drop_block in drops:
                        at = at // drop_block * drop_inner + at % drop_inner
                    cost -= child_message[at]
                    places.append(at)
                    known = child_cells.get(at)
                    if known is None:
                        child_cells[at] = Cell(room=left)
                    elif known.room < left:
                        known.room = left
                options.append((value, cost, places))
            most -= len(options)
            if most < 0:
                raise TooMany(number)
    return cells


def solutions_at_least(cells: Cells) -> int:
    """A number of solutions that is certainly within reach: every option beyond the first of a cell leads to one more."""
    return 1 + sum([len(cell.options) - 1 for own in cells for cell in own.values()])


def _drops(have: Scope, want: Scope, sizes: Sequence[int]) -> list[tuple[int, int]]:
    """(inner size, block) of each axis of `have` that `want` lacks, outermost first: how a place in one becomes a place in the other."""
    drops = []
    inner = 1
    for variable in reversed(have):
        if variable not in want:
            drops.append((inner, inner * sizes[variable]))
        inner *= sizes[variable]
    drops.reverse()
    return drops
