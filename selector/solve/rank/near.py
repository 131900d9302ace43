"""The first solutions by moves, then cost, then order, among those whose cost is at most a given one.

Works on what is within reach of that cost. A label is one integer: moves, cost and order, packed so that integers
compare as the triple
does and add as the triples add. A front is the list of labels worth having at a place: ascending, so with rising moves,
and with falling
costs. From fronts the best label of any part-way choice is exact, so no walk meets a dead end.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import itemgetter

from selector.solve.rank.elimination import Bucket
from selector.solve.rank.within_cost import RankReach, TooMany
from selector.value import Struct, field

Label = int
Front = list[Label]
Ways = Callable[[int, int], Sequence[tuple[int, int]]]
"""Of a variable and a value: (moves, order) of each alternative, ascending."""
Choice = tuple[int, int, int, list[int], list[int]]
"""Moves, cost, order; the value of each variable and the alternative of each."""
_Taken = tuple[Label, Label, int, int, int]
"""The best label that can come of it, the label so far, the next state, and the value and alternative chosen to get
there."""
_Waiting = tuple[Label, Label, int, int, int, int, list[int], list[int]]
"""The same, the variable they were chosen for, and the values and alternatives chosen for the variables before it."""


class _State(Struct, kw_only=True):
    """A place in a bucket's message, where its variable is to be decided, and after it another state.

    `front` is that of all that is left to decide; `options` is filled in when met.
    """

    bucket: int
    place: int
    after: int
    front: Front
    options: list[tuple[int, Label, int]] | None = field(default=None)


def nearest(
    buckets: Sequence[Bucket],
    reached: Sequence[RankReach],
    ways: Ways,
    *,
    lowest: int,
    stop: int,
    count: int,
    most: int,
) -> list[Choice]:
    """The first `count` solutions with a cost of at most `stop`, in order of moves, cost, order.

    `reached` is what is within reach of `stop`, `lowest` the least cost there is. Raises `TooMany` beyond `most`
    labels.
    """
    packing = _Packing.of(buckets, reached, ways, stop=stop)
    fronts = _fronts(buckets, reached, packing, most)
    walk = _Walk(buckets=buckets, reached=reached, fronts=fronts, packing=packing, room=stop - lowest)
    start = 0
    for number, bucket in enumerate(buckets):
        if bucket.parent < 0:
            start = walk.state(number, 0, start)
    return walk.first(start, stop=stop, count=count)


class _Packing(Struct, kw_only=True):
    """Where cost and moves stand inside a label, and the labels of the alternatives that are still possible."""

    cost_at: int
    moves_at: int
    alternatives: list[dict[int, list[Label]]]

    @classmethod
    def of(cls, buckets: Sequence[Bucket], reached: Sequence[RankReach], ways: Ways, *, stop: int) -> _Packing:
        """A packing wide enough for every sum of labels that costs at most a few times `stop`."""
        pairs: list[dict[int, Sequence[tuple[int, int]]]] = [{} for _ in buckets]
        for bucket, one in zip(buckets, reached, strict=True):
            values = {option[0] for options in one.options.values() for option in options}
            pairs[bucket.variable] = {value: ways(bucket.variable, value) for value in values}
        cost_at = sum([max([order for some in of.values() for _, order in some]) for of in pairs]).bit_length()
        moves_at = cost_at + (8 * stop + 8).bit_length()
        alternatives = [
            {value: [(moves << moves_at) + order for moves, order in some] for value, some in of.items()}
            for of in pairs
        ]
        return cls(cost_at=cost_at, moves_at=moves_at, alternatives=alternatives)

    @property
    def mask(self) -> int:
        """Leaves cost and order of a label."""
        return (1 << self.moves_at) - 1

    def past(self, cost: int) -> Label:
        """What cost and order of a label stay below as long as it costs no more."""
        return (cost + 1) << self.cost_at

    def cost(self, label: Label) -> int:
        """The cost in a label."""
        return (label & self.mask) >> self.cost_at


def _join(one: Front, other: Front, *, limit: int, mask: int) -> Front:
    """The front of the sums of two fronts, without those whose cost and order reach `limit`."""
    if len(one) == 1:
        add = one[0]
        sums = [add + label for label in other]
    elif len(other) == 1:
        add = other[0]
        sums = [add + label for label in one]
    else:
        return _front([a + b for a in one for b in other], limit=limit, mask=mask)
    if sums[0] & mask >= limit:
        sums = [label for label in sums if label & mask < limit]
    return sums


def _front(labels: list[Label], *, limit: int, mask: int) -> Front:
    labels.sort()
    front = []
    for label in labels:
        cost = label & mask
        if cost < limit:
            front.append(label)
            limit = cost
    return front


def _fronts(
    buckets: Sequence[Bucket], reached: Sequence[RankReach], packing: _Packing, most: int
) -> list[dict[int, Front]]:
    """The front of every place in every bucket. Raises `TooMany` beyond `most` labels."""
    at = packing.cost_at
    mask = packing.mask
    fronts: list[dict[int, Front]] = []
    for number, (bucket, one) in enumerate(zip(buckets, reached, strict=True)):
        message = bucket.message
        alternatives = packing.alternatives[bucket.variable]
        below = [fronts[child] for child in bucket.children]
        out: dict[int, Front] = {}
        for place, options in one.options.items():
            limit = packing.past(message[place] + one.rooms[place])
            labels: list[Label] = []
            for value, cost, *places in options:
                some = [alternatives[value][0] + (cost << at)]
                for front, child in zip(below, places, strict=True):
                    some = _join(some, front[child], limit=limit, mask=mask)
                labels += some
            most -= len(labels)
            if most < 0:
                raise TooMany(number)
            out[place] = _front(labels, limit=limit, mask=mask) if len(labels) > 1 else labels
        fronts.append(out)
    return fronts


class _Walk(Struct, kw_only=True):
    """Choices made one after the other, in states that are shared by all walks that have the same left to decide."""

    buckets: Sequence[Bucket]
    reached: Sequence[RankReach]
    fronts: list[dict[int, Front]]
    packing: _Packing
    room: int
    states: list[_State] = field(default_factory=lambda: [_State(bucket=-1, place=0, after=-1, front=[0])])
    known: dict[tuple[int, int, int], int] = field(default_factory=dict)

    def state(self, bucket: int, place: int, after: int) -> int:
        """The number of the state in which that place is next and `after` is what remains then."""
        key = (bucket, place, after)
        number = self.known.get(key)
        if number is None:
            number = self.known[key] = len(self.states)
            own = self.fronts[bucket][place]
            rest = self.states[after].front
            if len(own) == 1 and len(rest) == 1:
                front = [own[0] + rest[0]]
            else:
                mask = self.packing.mask
                front = _join(
                    own, rest, limit=(own[-1] & mask) + (rest[-1] & mask) + self.packing.past(self.room), mask=mask
                )
            self.states.append(_State(bucket=bucket, place=place, after=after, front=front))
        return number

    def options(self, state: _State) -> list[tuple[int, Label, int]]:
        """(value, label, next state) of each option of a state."""
        if state.options is None:
            bucket = self.buckets[state.bucket]
            labels = self.packing.alternatives[bucket.variable]
            at = self.packing.cost_at
            out = []
            for value, cost, *places in self.reached[state.bucket].options[state.place]:
                after = state.after
                for child, at_child in zip(bucket.children, places, strict=True):
                    after = self.state(child, at_child, after)
                out.append((value, labels[value][0] + (cost << at), after))
            state.options = out
        return state.options

    def first(self, start: int, *, stop: int, count: int) -> list[Choice]:
        """The first `count` solutions from `start` on, in order of their labels, with a cost of at most `stop`."""
        packing, states = self.packing, self.states
        found: list[Choice] = []
        waiting: list[_Waiting] = []
        limit = -1
        so_far, state = 0, start
        values, choices = [0] * len(self.buckets), [0] * len(self.buckets)
        while True:
            while state:
                here = states[state]
                variable = self.buckets[here.bucket].variable
                options = self.options(here)
                if len(options) == 1:
                    value, label, after = options[0]
                    if len(packing.alternatives[variable][value]) == 1:
                        so_far, state, values[variable], choices[variable] = so_far + label, after, value, 0
                        continue
                fits = self._fitting(options, variable, so_far, packing.past(stop), limit)
                taken = min(fits)
                waiting += [(*each, variable, values, choices) for each in fits if each is not taken]
                _, so_far, state, values[variable], choices[variable] = taken
            found.append(
                (
                    so_far >> packing.moves_at,
                    packing.cost(so_far),
                    so_far & ((1 << packing.cost_at) - 1),
                    values,
                    choices,
                )
            )
            left = count - len(found)
            waiting.sort(key=itemgetter(0))
            del waiting[left:]
            if not waiting:
                return found
            if len(waiting) == left:
                limit = waiting[-1][0]
            _, so_far, state, value, choice, variable, values, choices = waiting.pop(0)
            values, choices = list(values), list(choices)
            values[variable], choices[variable] = value, choice

    def _fitting(
        self, options: list[tuple[int, Label, int]], variable: int, so_far: Label, past: Label, limit: Label
    ) -> list[_Taken]:
        """What can be chosen without reaching `past` in cost, each with the best that can come of it, up to `limit`
        if that is not negative."""
        mask = self.packing.mask
        out = []
        for value, label, after in options:
            part = so_far + label
            for rest in self.states[after].front:
                whole = part + rest
                if whole & mask < past:
                    break
            else:
                continue
            labels = self.packing.alternatives[variable][value]
            for choice, other in enumerate(labels):
                more = other - labels[0]
                if 0 <= limit < whole + more:
                    break
                out.append((whole + more, part + more, after, value, choice))
        return out
