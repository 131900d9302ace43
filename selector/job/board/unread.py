"""Marks that can't be read: what the verdict on each call may be, and which mark to look at first because it would
decide.

Worked out over the outcomes of charts, never by listing completions: each call's stage becomes a table over classes of
unreadable selectors, and
the least and the greatest number of wrong stages over all completions come from eliminating those classes one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from selector.job.board.stage_verdicts import WRONG, Place, place_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import judged_limit
from selector.solve.engine.instructions import Instruction, Register, finished
from selector.solve.engine.readings import ChartReading, Outcome
from selector.solve.rank.rank import Alternative, Factor, Variable, lowest
from selector.solve.search.space import SelectorGroup, Space, declared_position, groups_of, read_back
from selector.solve.search.walk import Outcomes, walk
from selector.table.model.table import No, Part, Setting
from selector.value import Struct

Stage = tuple[str, str]


class Wrong(Struct, frozen=True, kw_only=True):
    """How many stages are wrong and selectors tell the board other equipment than is there, at least and at most,
    over every completion."""

    least: int
    most: int

    @property
    def verdict(self) -> bool | None:
        """True: nothing is wrong whatever the marks are; False: something is; None: it depends."""
        return True if self.most == 0 else False if self.least > 0 else None


class Look(Struct, frozen=True, kw_only=True):
    """One unreadable part: for each position it may have, what would then be known; `open` counts stages still
    undecided."""

    part: int
    positions: tuple[int, ...]
    wrong: tuple[Wrong, ...]
    open: tuple[int, ...]

    @property
    def decides(self) -> bool:
        """True where reading it settles whether the board is right, one way or the other."""
        verdicts = {w.verdict for w in self.wrong}
        return verdicts == {True, False}

    @property
    def unsettled(self) -> int:
        """In how many of its positions it stays open whether the board is right."""
        return sum(w.verdict is None for w in self.wrong)

    @property
    def settles(self) -> bool:
        """True where reading it leaves no stage open."""
        return not any(self.open)


class Unread(Struct, frozen=True, kw_only=True):
    """`places`: everything each stage may be; `wrong_stages` counts stages alone.

    `looks`: unreadable parts in the order to look at them; `idle` those that no verdict hangs on.
    """

    places: Mapping[Stage, frozenset[Place]]
    wrong: Wrong
    wrong_stages: Wrong
    looks: tuple[Look, ...]
    idle: tuple[int, ...]


def unread(engine: Engine, setting: Setting, asked: frozenset[Stage] = frozenset()) -> Unread:
    """What the unreadable marks leave open; the stages in `asked` have to run. Raises rank.TooLarge where too much
    is unreadable to be worked out."""
    map_ = _Map(engine, setting, asked)
    looks = [map_.look(part) for part in map_.space.searched if map_.matters(part)]
    looks.sort(
        key=lambda look: (
            not look.decides,
            Fraction(look.unsettled, len(look.wrong)),
            max(look.open),
            sum(look.open),
            look.part,
        )
    )
    kept = {look.part for look in looks}
    idle = tuple(i for i, at in enumerate(setting) if at is None and i not in kept)
    return Unread(
        places=map_.places(),
        wrong=map_.wrong({}),
        wrong_stages=map_.wrong({}, stages_only=True),
        looks=tuple(looks),
        idle=idle,
    )


def _rights(places: frozenset[Place]) -> set[bool]:
    return {place not in WRONG for place in places}


Classes = Mapping[int, frozenset[int]]
"""Groups of parts that are pinned down -> the classes they may still be in."""


Table = dict[tuple[tuple[int, int], ...], set[Place]]
"""Classes of groups -> what is then said."""


class _Map:
    """Each stage's place over the classes of the unreadable selectors it reads; and whether a selector tells the
    board what is there."""

    def __init__(self, engine: Engine, setting: Setting, asked: frozenset[Stage]) -> None:
        self.engine, self.asked = engine, asked
        programs = {
            (call.name, stage): _program(engine, call.name, stage)
            for call in engine.table.calls.values()
            for stage in call.stages
        }
        told = tuple(_told(engine))
        readings = tuple(
            dict.fromkeys((*(r for program in programs.values() for i in program for r in i.readings), *told))
        )
        read = {p for r in readings for p in r.parts}
        needed = [i for i, at in enumerate(setting) if at is None and i in read]
        self.space = Space(
            baseline=setting,
            fixed={i: (at, "as found") for i, at in enumerate(setting) if i not in needed},
            searched=tuple(needed),
            weights=dict.fromkeys(needed, 0),
            domains={i: tuple(range(len(engine.table.parts[i].positions))) for i in needed},
        )
        look = read_back(engine, setting)
        self.groups: list[SelectorGroup] = groups_of(engine, self.space, readings, 1, look)
        self.homes = {p: n for n, g in enumerate(self.groups) for p in g.parts}
        self.outcomes = Outcomes(self.space, self.groups, self.homes, look)
        self.stages = {stage: self._places(stage, program) for stage, program in programs.items()}
        self.judged: list[Table] = [*self.stages.values(), *(self._telling(reading) for reading in told)]

    def _telling(self, reading: ChartReading) -> Table:
        """Right where the selector tells the board what is there, wrong where it tells something else."""
        n = self.homes.get(reading.parts[0])
        classes = range(len(self.groups[n].classes)) if n is not None else ()
        if n is None:
            return {(): {_place(reading.at(self.space.baseline))}}
        return {((n, c),): {_place(self.outcomes.at(reading, (c,)))} for c in classes}

    def _places(self, stage: Stage, program: Sequence[Instruction]) -> Table:
        """Classes of the groups the stage reads -> what it then is (one place; more only where a class merges what
        nothing tells apart)."""
        call = self.engine.table.calls[stage[0]]
        points = self.engine.points(call, stage[1])
        asked = self.engine.asked(call, stage[1])
        keep: list[Register] = [asked.airflow]
        for point in points:
            keep += [point.airflow, point.heat, *(i.target for i in self.engine.limits(call, stage[1], point.rate)[1])]
        out: Table = {}
        for classes, registers in walk(stage[0], program, keep, self.groups, self.outcomes, set(), 1):
            values = dict(registers)
            judged = []
            for point in points:
                airflow = finished(values.get(point.airflow))
                heat = values.get(point.heat)
                if not isinstance(airflow, No):
                    limits = self.engine.limits(call, stage[1], point.rate)[0]
                    known = None if heat is None else finished(heat)
                    judged += [judged_limit(self.engine, x, call, point, airflow, known, values) for x in limits]
            place = place_of(
                finished(values.get(asked.airflow)),
                tuple(judged),
                asked=stage in self.asked,
            )
            out.setdefault(tuple(sorted(classes)), set()).add(place)
        return out

    def pinned(self, part: int, at: int) -> Classes:
        """The classes left to a part's group when it stands at a position."""
        n = self.homes[part]
        group = self.groups[n]
        slot = group.parts.index(part)
        return {n: frozenset(c for way, c in zip(group.ways, group.class_of, strict=True) if way[slot] == at)}

    def places(self, pinned: Classes | None = None) -> dict[Stage, frozenset[Place]]:
        """Everything each stage may be."""
        out: dict[Stage, frozenset[Place]] = {}
        for stage, table in self.stages.items():
            out[stage] = frozenset(
                place for classes, places in table.items() if _allowed(classes, pinned or {}) for place in places
            )
        return out

    def wrong(self, pinned: Classes, *, stages_only: bool = False) -> Wrong:
        """The least and the greatest number of what is wrong."""
        judged = list(self.stages.values()) if stages_only else self.judged
        return Wrong(
            least=self._least(judged, pinned, wrong=True), most=len(judged) - self._least(judged, pinned, wrong=False)
        )

    def _least(self, judged: Sequence[Table], pinned: Classes, *, wrong: bool) -> int:
        """The least number of tables that are wrong over all completions, or of those that aren't."""
        variables = [
            Variable(name=str(n), values=tuple((_ONLY,) for _ in group.classes)) for n, group in enumerate(self.groups)
        ]
        factors = [Factor(name="read", scope=(n,), costs={(c,): 0 for c in allowed}) for n, allowed in pinned.items()]
        for number, table in enumerate(judged):
            scope = tuple(n for n, _ in next(iter(table)))
            costs = {
                tuple(c for _, c in classes): min(int((place in WRONG) is wrong) for place in places)
                for classes, places in table.items()
            }
            factors.append(Factor(name=str(number), scope=scope, costs=costs))
        found = lowest(variables, factors)
        assert found is not None, "some completion always exists"
        return found

    def matters(self, part: int) -> bool:
        """True where a stage, or what the board is told, turns from right to wrong by this part alone."""
        n = self.homes[part]
        group = self.groups[n]
        slot = group.parts.index(part)
        together: dict[tuple[int, ...], set[int]] = {}
        for way, c in zip(group.ways, group.class_of, strict=True):
            together.setdefault((*way[:slot], *way[slot + 1 :]), set()).add(c)
        for table in self.judged:
            rights: dict[tuple[tuple[int, int], ...], dict[int, bool]] = {}
            for classes, places in table.items():
                rest = tuple(one for one in classes if one[0] != n)
                for own in (c for m, c in classes if m == n):
                    rights.setdefault(rest, {})[own] = not places & WRONG
            if any(
                len({by_class[c] for c in classes if c in by_class}) > 1
                for by_class in rights.values()
                for classes in together.values()
            ):
                return True
        return False

    def look(self, part: int) -> Look:
        """What reading this part would tell."""
        positions, wrong, left = [], [], []
        for at in self.space.domains[part]:
            pinned = self.pinned(part, at)
            if not next(iter(pinned.values())):
                continue
            positions.append(at)
            wrong.append(self.wrong(pinned))
            left.append(sum(len(_rights(places)) > 1 for places in self.places(pinned).values()))
        return Look(part=part, positions=tuple(positions), wrong=tuple(wrong), open=tuple(left))


_ONLY = Alternative(moves=0, order=0, payload=None)


def _allowed(classes: tuple[tuple[int, int], ...], pinned: Classes) -> bool:
    return all(c in pinned[n] for n, c in classes if n in pinned)


def _told(engine: Engine) -> Iterator[ChartReading]:
    """For each selector that tells the board equipment which is known: 1 where it tells what is there, 0 where it
    doesn't."""
    for fact, part in engine.declarers.items():
        if (engine.facts.model if fact == "model" else engine.facts.values.get(fact)) is not None:
            yield _tells(part, declared_position(engine, part, fact))


def _tells(part: Part, there: int | None) -> ChartReading:
    def find(positions: tuple[int, ...]) -> Outcome:
        return (Fraction(positions[0] == there),)

    return ChartReading(f"what {part.name} tells the board", (part.index,), find, lambda _: None)


def _place(outcome: Outcome) -> Place:
    return "inside" if outcome == (Fraction(1),) else "outside"


def _program(engine: Engine, name: str, stage: str) -> tuple[Instruction, ...]:
    """Everything that has to be carried out to judge a stage."""
    call = engine.table.calls[name]
    out: dict[Instruction, None] = {}
    for point in (*engine.points(call, stage), engine.asked(call, stage)):
        limits, extra = engine.limits(call, stage, point.rate)
        for i in (*engine.airflow(call, stage, point.rate), *extra):
            out[i] = None
        if any(limit.of_heat for limit in limits):
            for i in engine.heat(call, stage, point.rate):
                out[i] = None
    return tuple(out)
