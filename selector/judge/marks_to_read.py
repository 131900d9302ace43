"""What the marks without a position leave open on a board: whether anything is wrong, and which mark to read first.

Each stage's judgement is a table over the open parts it reads; the least and the greatest number of wrong stages over
all boards that this one may be come from eliminating those parts one by one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations, product

from selector.judge.judgement import WRONG, Judgement
from selector.solve.board.marks import clashes
from selector.solve.engine.engine import Engine
from selector.solve.rank.rank import Alternative, Factor, TooLarge, Variable, lowest
from selector.solve.search.space import declared_position, motors
from selector.value import Struct

_ONLY = (Alternative(moves=0, order=0, payload=None),)


class WrongCount(Struct, frozen=True, kw_only=True):
    """How many stages are wrong and selectors tell the board other equipment than is there, at least and at most,
    over every board that this one may be."""

    least: int
    most: int

    @property
    def verdict(self) -> bool | None:
        """True: nothing is wrong whatever the marks are; False: something is; None: it depends."""
        return True if self.most == 0 else False if self.least > 0 else None


class MarkToRead(Struct, frozen=True, kw_only=True):
    """One open part: for each position it may have, what would then be known; `open` counts stages still undecided."""

    part: int
    positions: tuple[int, ...]
    wrong: tuple[WrongCount, ...]
    open: tuple[int, ...]

    @property
    def decides(self) -> bool:
        """True where reading it settles whether the board is right, one way or the other."""
        return {w.verdict for w in self.wrong} == {True, False}

    @property
    def unsettled(self) -> int:
        """In how many of its positions it stays open whether the board is right."""
        return sum(w.verdict is None for w in self.wrong)


class OpenMarks(Struct, frozen=True, kw_only=True):
    """`looks`: open parts in the order to read them; `idle` those that no verdict hangs on."""

    wrong: WrongCount
    looks: tuple[MarkToRead, ...]
    idle: tuple[int, ...]


class _Table(Struct, frozen=True):
    """Positions of some open parts (`scope`, ascending) -> whether something is then wrong."""

    scope: tuple[int, ...]
    wrong: Mapping[tuple[int, ...], bool]


def open_marks(engine: Engine, judgement: Judgement) -> OpenMarks:
    """What the open parts of a judged board leave open. Raises rank.TooLarge where too much is open to be worked
    out."""
    boards = _Boards(engine, judgement)
    looks = [boards.look(part) for part in judgement.open if boards.matters(part)]
    looks.sort(key=lambda look: (Fraction(look.unsettled, len(look.wrong)), sum(look.open)))
    kept = {look.part for look in looks}
    return OpenMarks(
        wrong=boards.count({}),
        looks=tuple(looks),
        idle=tuple(part for part in judgement.open if part not in kept),
    )


class _Boards:
    """Every board that one with open parts may be, as tables; `untold` stages have too much open to be listed."""

    def __init__(self, engine: Engine, judgement: Judgement) -> None:
        parts = engine.table.parts
        for s in judgement.stages.values():
            if s.reads and not s.cases:
                raise TooLarge(variables=tuple(parts[p].name for p in s.reads), factors=(s.title,), entries=0)
        self.stages = [_stage(s.reads, s.cases) for s in judgement.stages.values() if s.cases]
        self.untold = sum(not s.cases for s in judgement.stages.values())
        self.told = [_told(engine, judgement, fact) for fact in engine.declarers if _known(engine, fact)]
        self.every = [*self.stages, *self.told]
        self.domains = {part: self._domain(part, parts[part].open_positions) for part in judgement.open}
        self.table, self.setting = engine.table, judgement.setting
        self.apart = {
            (a, b): sorted(
                {
                    a,
                    b,
                    *(c.part for some, held in s.may_share if {a, b} <= some for c in held if c.part in self.domains),
                }
            )
            for s in engine.table.selectors.values()
            if s.exclusive
            for a, b in combinations([p for p in s.parts if p in self.domains], 2)
        }
        of_a_motor = motors(engine.table)
        self.like = {part: {} if part in of_a_motor else self._alike(part) for part in self.domains}

    def _domain(self, part: int, every: Sequence[int]) -> tuple[int, ...]:
        seen = [{at[t.scope.index(part)] for at in t.wrong} for t in self.stages if part in t.scope]
        return tuple(sorted(set.intersection(*seen))) if seen else tuple(every)

    def _alike(self, part: int) -> dict[int, int]:
        """Position -> the first one that no table tells from it."""
        first: dict[object, int] = {}
        return {
            at: first.setdefault(tuple(self._rest(t, part, at) for t in self.every), at) for at in self.domains[part]
        }

    def _rest(self, table: _Table, part: int, at: int) -> object:
        if part not in table.scope:
            return None
        n = table.scope.index(part)
        return frozenset(((*key[:n], *key[n + 1 :]), wrong) for key, wrong in table.wrong.items() if key[n] == at)

    def count(self, pinned: Mapping[int, int]) -> WrongCount:
        """The least and the greatest number of what is wrong with some parts pinned to positions."""
        most = len(self.every) + self.untold - self._least(pinned, wrong=False)
        return WrongCount(least=self._least(pinned, wrong=True), most=most)

    def _least(self, pinned: Mapping[int, int], *, wrong: bool) -> int:
        """The least number of tables that are wrong over all boards, or of those that aren't."""
        choices = {
            part: [self.like[part].get(pinned[part], pinned[part])]
            if part in pinned
            else list(dict.fromkeys(self.like[part].get(at, at) for at in domain))
            for part, domain in self.domains.items()
        }
        number = {part: n for n, part in enumerate(choices)}
        variables = [Variable(name=str(part), values=tuple(_ONLY for _ in own)) for part, own in choices.items()]
        factors = []
        for n, table in enumerate(self.every):
            places = [{at: i for i, at in enumerate(choices[part])} for part in table.scope]
            costs = {
                tuple(place[p] for place, p in zip(places, at, strict=True)): int(value is wrong)
                for at, value in table.wrong.items()
                if all(p in place for place, p in zip(places, at, strict=True))
            }
            factors.append(Factor(name=str(n), scope=tuple(number[p] for p in table.scope), costs=costs))
        for pair, scope in self.apart.items():
            ways = product(*(enumerate(choices[p]) for p in scope))
            costs = {tuple(n for n, _ in way): 0 for way in ways if self._may(pair, scope, [at for _, at in way])}
            factors.append(Factor(name=str(pair), scope=tuple(number[p] for p in scope), costs=costs))
        found = lowest(variables, factors)
        assert found is not None, "some board always exists"
        return found

    def _may(self, pair: tuple[int, int], scope: Sequence[int], way: Sequence[int]) -> bool:
        """Whether two leads may stand so with what decides about their taps."""
        at = dict(zip(scope, way, strict=True))
        setting = tuple(at.get(p, was) for p, was in enumerate(self.setting))
        return pair not in clashes(setting, self.table)

    def matters(self, part: int) -> bool:
        """True where a stage, or what the board is told, turns from right to wrong by this part alone."""
        for table in self.every:
            if part not in table.scope:
                continue
            n = table.scope.index(part)
            rights: dict[tuple[int, ...], bool] = {}
            for at, wrong in table.wrong.items():
                if rights.setdefault((*at[:n], *at[n + 1 :]), wrong) is not wrong:
                    return True
        return False

    def look(self, part: int) -> MarkToRead:
        """What reading this part would tell."""
        counts: dict[int, tuple[WrongCount, int]] = {}
        for at in self.domains[part]:
            like = self.like[part].get(at, at)
            if like not in counts:
                counts[like] = (self.count({part: like}), sum(self._undecided(t, part, like) for t in self.stages))
        found = [counts[self.like[part].get(at, at)] for at in self.domains[part]]
        return MarkToRead(
            part=part,
            positions=self.domains[part],
            wrong=tuple(wrong for wrong, _ in found),
            open=tuple(left for _, left in found),
        )

    def _undecided(self, table: _Table, part: int, at: int) -> bool:
        n = table.scope.index(part) if part in table.scope else None
        return len({wrong for key, wrong in table.wrong.items() if n is None or key[n] == at}) > 1


def _stage(reads: Sequence[int], cases: Mapping[tuple[int, ...], str]) -> _Table:
    order = sorted(range(len(reads)), key=reads.__getitem__)
    return _Table(
        tuple(reads[n] for n in order),
        {tuple(at[n] for n in order): stands in WRONG for at, stands in cases.items()},
    )


def _known(engine: Engine, fact: str) -> bool:
    return (engine.facts.model if fact == "model" else engine.facts.values.get(fact)) is not None


def _told(engine: Engine, judgement: Judgement, fact: str) -> _Table:
    """WrongCount where a selector tells the board other equipment than is known to be there."""
    part = engine.declarers[fact]
    there, at = declared_position(engine, part, fact), judgement.setting[part.index]
    if at is not None:
        return _Table((), {(): at != there})
    return _Table((part.index,), {(p,): p != there for p in part.open_positions})
