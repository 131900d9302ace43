"""What is left of the filled buckets when only solutions up to a given cost matter."""

from __future__ import annotations

from collections.abc import Sequence

from selector.solve.rank.elimination import Bucket
from selector.solve.rank.flat_table import Scope
from selector.value import Struct, field

Option = tuple[int, ...]
"""A value, the cost of the bucket's own factors with it, and where it stands in each child's message."""


class RankReach(Struct, frozen=True, kw_only=True):
    """What such solutions can pass through in one bucket, by place in its message.

    `rooms`: how much dearer than the least a solution through that place may become below it. `options`: what can be
    chosen there.
    """

    rooms: dict[int, int] = field(default_factory=dict)
    options: dict[int, list[Option]] = field(default_factory=dict)


class TooMany(Exception):
    """More is within reach than can be handled: in which bucket it became too much."""

    def __init__(self, bucket: int) -> None:
        self.bucket = bucket
        super().__init__(f"bucket {bucket}")


def reach(buckets: Sequence[Bucket], sizes: Sequence[int], *, room: int, most: int) -> list[RankReach]:
    """For each bucket what a solution at most `room` above the least cost can pass through, with nothing but such
    options.

    Raises `TooMany` beyond `most` options.
    """
    out = [RankReach() if bucket.parent >= 0 else RankReach(rooms={0: room}) for bucket in buckets]
    for number in range(len(buckets) - 1, -1, -1):
        bucket = buckets[number]
        inner, block, table, message = bucket.inner, bucket.inner * bucket.size, bucket.table, bucket.message
        below = [
            (out[child].rooms, buckets[child].message, _drops(bucket.scope, buckets[child].outer, sizes))
            for child in bucket.children
        ]
        found = out[number].options
        for place, space in out[number].rooms.items():
            outside, inside = divmod(place, inner)
            start = outside * block + inside
            limit = message[place] + space
            options = found[place] = []
            for value, cost in enumerate(table[start : start + block : inner]):
                if cost > limit:
                    continue
                left = limit - cost
                places = []
                for rooms, child_message, drops in below:
                    at = start + value * inner
                    for drop_inner, drop_block in drops:
                        at = at // drop_block * drop_inner + at % drop_inner
                    cost -= child_message[at]
                    places.append(at)
                    if rooms.get(at, -1) < left:
                        rooms[at] = left
                options.append((value, cost, *places))
            most -= len(options)
            if most < 0:
                raise TooMany(number)
    return out


def solutions_at_least(reached: Sequence[RankReach]) -> int:
    """A number of solutions that is certainly within reach: every option beyond the first of a place leads to one
    more."""
    return 1 + sum([len(options) - 1 for one in reached for options in one.options.values()])


def _drops(have: Scope, want: Scope, sizes: Sequence[int]) -> list[tuple[int, int]]:
    """(inner size, block) of each axis of `have` that `want` lacks, outermost first: how a place in one becomes a
    place in the other."""
    drops = []
    inner = 1
    for variable in reversed(have):
        if variable not in want:
            drops.append((inner, inner * sizes[variable]))
        inner *= sizes[variable]
    drops.reverse()
    return drops
