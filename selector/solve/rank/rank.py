"""The first k of all combinations of alternatives, ranked by cost, moves and file order, found exactly without listing
the combinations.

Knows nothing of boards: variables have values, a value can be reached in one or more alternatives, and factors give the
values of a few
variables together a cost. Variables are eliminated one by one, so the work grows with the tables that the factors
share, not with the
number of combinations.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from math import prod
from operator import itemgetter

from selector.solve.rank.cost import cheapest
from selector.solve.rank.elimination import Bucket, buckets
from selector.solve.rank.near import Choice, nearest
from selector.solve.rank.sweep import sweep
from selector.solve.rank.within_cost import RankReach, TooMany, reach, solutions_at_least
from selector.value import Struct

BOUND = 4_000_000
"""Entries that all tables together may have; with costs of thousands of bits fewer, for their memory."""

WIDE_BITS = 256
"""An entry counts as one more for every so many bits of the largest cost."""

REACH = 150_000
"""How much of the tables may stand within `near` of the lowest cost, and labels in them."""

SPARE = 8
"""How many more solutions than wanted are listed by cost, so that small groups need no more than sorting."""


class Alternative(Struct, frozen=True, kw_only=True):
    """One concrete way to be in a value of a variable.

    `moves` and `order` are at least 0 and add up over the variables; the sum of `order` is unique to each whole
    solution.
    """

    moves: int
    order: int
    payload: object


class Variable(Struct, frozen=True, kw_only=True):
    """`values[i]` holds the alternatives of value i, ascending by (moves, order): at least one, and of more than k
    the first k do."""

    name: str
    values: tuple[tuple[Alternative, ...], ...]


class Factor(Struct, frozen=True, kw_only=True):
    """`costs` of the values of the variables in `scope` (variable numbers, ascending), at least 0; values without an
    entry can't be together."""

    name: str
    scope: tuple[int, ...]
    costs: Mapping[tuple[int, ...], int]


class Ranked(Struct, frozen=True, kw_only=True):
    """One solution: an alternative for each variable, the sums of cost, moves and order, and the number of its group
    from 0."""

    cost: int
    moves: int
    order: int
    alternatives: tuple[Alternative, ...]
    group: int


class TooLarge(Exception):
    """More would be needed than the bound allows: the variables of the largest table, the factors that meet in it,
    the entries of all tables."""

    def __init__(self, *, variables: tuple[str, ...], factors: tuple[str, ...], entries: int) -> None:
        self.variables = variables
        self.factors = factors
        self.entries = entries
        super().__init__(f"{', '.join(factors)} over {', '.join(variables)}: {entries:,} entries")


def lowest(variables: Sequence[Variable], factors: Sequence[Factor], *, bound: int = BOUND) -> int | None:
    """The least cost of all, None where nothing fits. Raises `TooLarge`."""
    if not all(variable.values for variable in variables):
        return None
    return _Problem.of(variables, factors, bound).lowest(keep=False)


def rank(
    variables: Sequence[Variable], factors: Sequence[Factor], *, k: int, near: int, bound: int = BOUND
) -> list[Ranked]:
    """The first `k` solutions, fewer where there are fewer. Raises `TooLarge`.

    The solutions whose cost is within `near` of the lowest not yet ranked form a group; inside it they stand in order
    of moves, then cost,
    then order. When a group is used up, the next begins. `near` 0 therefore ranks by cost, moves, order.
    """
    if k < 1 or not all(variable.values for variable in variables):
        return []
    problem = _Problem.of(variables, factors, bound)
    least = problem.lowest(keep=True)
    if least is None:
        return []
    return [problem.ranked(choice, group) for group, choice in problem.first(least - problem.constant, k=k, near=near)]


class _Problem(Struct, frozen=True, kw_only=True):
    """The variables and factors, the buckets to eliminate them with, and a cost that no solution reaches (None where
    everything fits)."""

    variables: Sequence[Variable]
    factors: Sequence[Factor]
    sizes: list[int]
    buckets: list[Bucket]
    missing: int | None

    @classmethod
    def of(cls, variables: Sequence[Variable], factors: Sequence[Factor], bound: int) -> _Problem:
        """Nothing is built yet. Raises `TooLarge`."""
        sizes = [len(variable.values) for variable in variables]
        plan = buckets(sizes, [factor.scope for factor in factors])
        entries = sum([bucket.entries for bucket in plan])
        count = entries
        if bound // 100 < entries <= bound:
            count *= (
                1
                + max([max(factor.costs.values(), default=0).bit_length() for factor in factors], default=0)
                // WIDE_BITS
            )
        if count > bound:
            raise _too_large(variables, factors, max(plan, key=lambda bucket: bucket.entries), entries)
        missing = None
        if any(len(factor.costs) < prod([sizes[v] for v in factor.scope]) for factor in factors):
            missing = 1 + sum([max(factor.costs.values(), default=0) for factor in factors])
        return cls(variables=variables, factors=factors, sizes=sizes, buckets=plan, missing=missing)

    @property
    def constant(self) -> int:
        """The cost of the factors without variables."""
        return sum([factor.costs.get((), self.missing or 0) for factor in self.factors if not factor.scope])

    def lowest(self, *, keep: bool) -> int | None:
        """The least cost, None where nothing fits. Fills in the buckets; for `first` only with `keep`."""
        scopes = [factor.scope for factor in self.factors]
        costs = [factor.costs for factor in self.factors]
        cost = sweep(self.buckets, self.sizes, scopes, costs, missing=self.missing or 0, keep=keep) + self.constant
        return cost if self.missing is None or cost < self.missing else None

    def first(self, lowest: int, *, k: int, near: int) -> list[tuple[int, Choice]]:
        """(group, choice) of the first `k` solutions, from filled buckets whose least cost is `lowest`."""
        if near:
            if not any(way.moves for variable in self.variables for value in variable.values for way in value):
                return _grouped([choice for _, choice in self.first(lowest, k=k, near=0)], near)
            reached = self.reach(lowest, lowest + near)
            if solutions_at_least(reached) >= k:
                return [(0, choice) for choice in self.nearest(reached, lowest, lowest + near, k)]
        count = k + SPARE
        some = cheapest(self.buckets, self.sizes, lowest=lowest, missing=self.missing, count=count, stop=lowest + near)
        complete = some is not None and len(some) < count
        costed = some or [(lowest, [])]
        out: list[tuple[int, Choice]] = []
        at = group = 0
        while at < len(costed) and len(out) < k:
            start = costed[at][0]
            stop = start + near
            end = bisect_right(costed, stop, key=itemgetter(0))
            if end < len(costed) or complete:
                choices = sorted([choice for cost, values in costed[at:end] for choice in self.ways(cost, values, k)])
            else:
                choices = [
                    choice for choice in self.nearest(self.reach(lowest, stop), lowest, stop, k) if choice[1] >= start
                ]
            out += [(group, choice) for choice in choices[: k - len(out)]]
            at = end
            group += 1
        return out

    def reach(self, lowest: int, stop: int) -> list[RankReach]:
        """What is within reach of `stop`. Raises `TooLarge`."""
        if self.missing is not None:
            stop = min(stop, self.missing - 1)
        try:
            return reach(self.buckets, self.sizes, room=stop - lowest, most=REACH)
        except TooMany as error:
            raise _too_large(self.variables, self.factors, self.buckets[error.bucket], REACH) from None

    def nearest(self, reached: list[RankReach], lowest: int, stop: int, k: int) -> list[Choice]:
        """The first `k` of what was reached by moves, cost, order. Raises `TooLarge`."""
        try:
            return nearest(self.buckets, reached, self.pairs, lowest=lowest, stop=stop, count=k, most=REACH)
        except TooMany as error:
            raise _too_large(self.variables, self.factors, self.buckets[error.bucket], REACH) from None

    def pairs(self, variable: int, value: int) -> list[tuple[int, int]]:
        """(moves, order) of each alternative."""
        return [(way.moves, way.order) for way in self.variables[variable].values[value]]

    def ways(self, cost: int, values: list[int], k: int) -> list[Choice]:
        """The first `k` choices of alternatives for these values, by moves and order."""
        several = [
            (variable, value)
            for variable, value in enumerate(values)
            if len(self.variables[variable].values[value]) > 1
        ]
        only = [self.variables[variable].values[value][0] for variable, value in enumerate(values)]
        ways = [(sum([way.moves for way in only]), sum([way.order for way in only]), [0] * len(values))]
        for variable, value in several:
            pairs = self.pairs(variable, value)
            least_moves, least_order = pairs[0]
            more = [
                (
                    moves + other_moves - least_moves,
                    order + other_order - least_order,
                    [*choices[:variable], number, *choices[variable + 1 :]],
                )
                for moves, order, choices in ways
                for number, (other_moves, other_order) in enumerate(pairs)
            ]
            ways = sorted(more)[:k]
        return [(moves, cost, order, values, choices) for moves, order, choices in ways]

    def ranked(self, choice: Choice, group: int) -> Ranked:
        """A choice as the caller knows it."""
        moves, cost, order, values, choices = choice
        alternatives = tuple(
            [v.values[value][number] for v, value, number in zip(self.variables, values, choices, strict=True)]
        )
        return Ranked(cost=cost + self.constant, moves=moves, order=order, alternatives=alternatives, group=group)


def _too_large(variables: Sequence[Variable], factors: Sequence[Factor], bucket: Bucket, entries: int) -> TooLarge:
    """Names what meets in a bucket."""
    inside = set(bucket.scope)
    meeting = [
        factor.name
        for factor in factors
        if len(inside.intersection(factor.scope)) > 1 or inside.issuperset(factor.scope)
    ]
    return TooLarge(variables=tuple([variables[v].name for v in bucket.scope]), factors=tuple(meeting), entries=entries)


def _grouped(choices: list[Choice], near: int) -> list[tuple[int, Choice]]:
    """Choices in order of cost, each with its group."""
    out: list[tuple[int, Choice]] = []
    group, start = -1, -near - 1
    for choice in choices:
        if choice[1] > start + near:
            group, start = group + 1, choice[1]
        out.append((group, choice))
    return out
