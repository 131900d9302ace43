"""All that a stage may be while positions and facts are open: case by case its airflow and limits, and what decides."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from selector.judge.applying_notes import MOST_ROWS, notes_of_stage
from selector.judge.assumed_facts import assumed_of_stage
from selector.judge.judgement import WRONG, LimitCheck, StageJudgement, Stands, State
from selector.solve.board.marks import deciding_a_tap
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.engine.limit import JudgedLimit
from selector.solve.engine.open_cases import MOST_CASES, too_much_open
from selector.solve.search.possible_airflows import airflows_over
from selector.solve.search.space import SelectorGroup, Space, groups_of, read_back
from selector.table.model.table import Call, No, Setting, figures_of
from selector.value import Struct, replace

OFF_PINS = "off pins"
Filled = Mapping[int, int]


class PossibleCase(Struct, frozen=True):
    """What a stage may be: `key` is what was filled in (facts, then classes of open positions), `filled` positions that
    stand for it; the airflow, and every limit in its worst point."""

    key: tuple[object, ...]
    filled: Filled
    airflow: Fraction | No
    limits: Mapping[tuple[object, ...], JudgedLimit]


class PossibleCases:
    """One stage of a board: what of it is open, and everything that it may be."""

    def __init__(
        self,
        engine: Engine,
        call: Call,
        stage: str,
        setting: Setting,
        unread: frozenset[int],
        boards: dict[tuple[object, ...], Board],
    ) -> None:
        """`boards`: boards without open positions, by the facts filled in, shared by all stages."""
        self.engine, self.call, self.stage, self.setting, self.unread = engine, call, stage, setting, unread
        self.boards = boards
        self.program = engine.all_read(call, stage)
        needs = [n for i in self.program for r in i.readings for n in r.needs]
        needs += [limit.needs for limit in engine.limits(call, stage, engine.asked(call, stage).rate)[0] if limit.needs]
        self.facts = engine.cases(needs)
        read = dict.fromkeys(p for i in self.program for r in i.readings for p in r.parts)
        self.sharing = deciding_a_tap(setting, engine.table, read)
        self.needed = tuple(p for p in dict.fromkeys((*read, *self.sharing)) if setting[p] is None)
        programs = [self.program if e is engine else e.all_read(call, stage) for _, e in self.facts]
        readings = tuple(dict.fromkeys(r for program in programs for i in program for r in i.readings))
        self.look = read_back(engine, setting, self.sharing)
        self.groups = groups_of(engine, self._space(), readings, 1, self.look) if self.needed else []
        self.exact = prod(len(g.classes) for g in self.groups) * len(self.facts) <= MOST_CASES

    def judged(self, *, needed: bool, noted: bool) -> StageJudgement:
        """How the stage stands; `needed`: it has to run here; `noted`: with the notes and pages of what it reads."""
        cases = [case for told, engine in self.facts for case in self._cases(told, engine)]
        outcomes = [(c.airflow.kind, c.airflow.either) if isinstance(c.airflow, No) else c.airflow for c in cases]
        depends, facts = self._deciding(cases, outcomes)
        airflows = tuple(sorted({x for c in cases for x in figures_of(c.airflow)}))
        noes = {c.airflow.kind: c.airflow for c in reversed(cases) if isinstance(c.airflow, No)}
        which: dict[Fraction, tuple[tuple[int, int], ...]] = {}
        stopped = all(isinstance(c.airflow, No) and c.airflow.kind == "does_not_run" for c in cases)
        program = () if stopped else self.program
        notes, pages = notes_of_stage(self.engine, self.call, self.stage, program, self.setting) if noted else ((), ())
        outcome = cases[0].airflow
        if depends or facts:
            seen = any(p in self.unread for p in depends)
            names = (*(self.engine.table.parts[p].name for p in depends), *facts)
            missing = f"{' and '.join(names)} {'are' if len(names) > 1 else 'is'} not given"
            outcome = No(
                kind="unreadable" if seen else "not_known",
                why=f"depends on {', '.join(names)}" if depends else missing,
                needs=names[0] if len(names) == 1 else "",
            )
        if len(depends) == 1 and not facts and self.exact:
            for case in cases:
                if isinstance(case.airflow, Fraction):
                    which[case.airflow] = (*which.get(case.airflow, ()), *self._positions(depends[0], case))
        return StageJudgement(
            call=self.call.name,
            stage=self.stage,
            outcome=outcome,
            airflows=airflows,
            noes=tuple(noes[k] for k in sorted(noes, key=lambda kind: noes[kind].rank)),
            depends=depends,
            facts=facts,
            which={airflow: tuple(sorted(set(positions))) for airflow, positions in which.items()},
            checks=self._checks(cases) if self.exact else self._unchecked(airflows),
            notes=notes,
            pages=pages,
            rate=self.engine.asked(self.call, self.stage).rate,
            reads=self.needed,
            cases=self._listed(cases, needed=needed),
            needed=needed,
            assumed_facts=assumed_of_stage(self.engine, self._board({}, self.engine), self.call, self.stage),
        )

    # -- everything that the stage may be

    def _cases(self, told: Mapping[str, Fraction | str], engine: Engine) -> Iterator[PossibleCase]:
        values = tuple(told.values())
        if not self.needed:
            yield self._case(values, {}, self._board(told, engine))
            return
        if not self.exact:
            may_be: dict[Fraction | No, None] = {}
            asked = engine.asked(self.call, self.stage)
            space = self._space()
            space = replace(space, searched=tuple(p for p in self.needed if p not in self.sharing))
            for way in product(*(space.domains[p] for p in self.sharing)):
                at = dict(zip(self.sharing, way, strict=True))
                whole = tuple(at.get(i, was) for i, was in enumerate(self.setting))
                airflows, noes = airflows_over(engine, space.where(at), asked, read_back(engine, whole))
                may_be |= dict.fromkeys((*airflows, *noes))
            yield from (PossibleCase((*values, n), {}, x, {}) for n, x in enumerate(may_be))
            return
        for classes in product(*(range(len(g.classes)) for g in self.groups)):
            filled = {
                p: at
                for g, c in zip(self.groups, classes, strict=True)
                for p, at in zip(g.parts, g.first[c], strict=True)
            }
            whole = tuple(filled.get(i, was) for i, was in enumerate(self.setting))
            yield self._case((*values, *classes), filled, Board(engine, whole, self.unread))

    def _board(self, told: Mapping[str, Fraction | str], engine: Engine) -> Board:
        """The board as it stands under facts that were filled in."""
        key = tuple(told.items())
        if key not in self.boards:
            self.boards[key] = Board(engine, self.setting, self.unread)
        return self.boards[key]

    def _space(self) -> Space:
        """The open positions that the stage reads, whatever may be proposed. One that was looked at isn't off its
        pins."""
        parts = self.engine.table.parts
        return Space(
            baseline=self.setting,
            as_seen=True,
            fixed={i: (at, "as found") for i, at in enumerate(self.setting) if i not in self.needed},
            searched=self.needed,
            domains={
                p: tuple(
                    i
                    for i in parts[p].open_positions
                    if p not in self.unread or parts[p].may_be or parts[p].positions[i] != OFF_PINS
                )
                for p in self.needed
            },
        )

    def _case(self, key: tuple[object, ...], filled: Filled, board: Board) -> PossibleCase:
        airflow = board.airflow(board.engine.asked(self.call, self.stage))
        if not figures_of(airflow):
            return PossibleCase(key, filled, airflow, {})
        limits: dict[tuple[object, ...], JudgedLimit] = {}
        for point in (*board.engine.points(self.call, self.stage), *board.bends(self.call, self.stage)):
            for one in board.judged(point):
                at = (one.limit.quantity, one.limit.source, one.limit.line, one.limit.least is None)
                limits[at] = max(limits.get(at, one), one, key=_badness)
        return PossibleCase(key, filled, airflow, limits)

    # -- what decides

    def _deciding(
        self, cases: Sequence[PossibleCase], results: Sequence[object]
    ) -> tuple[tuple[int, ...], tuple[str, ...]]:
        """The parts and facts that change a result by themselves in some case; all, where only together they do."""
        if len(set(results)) <= 1:
            return (), ()
        names = tuple(self.facts[0][0])
        if not self.exact:
            return self.needed, names
        at = {case.key: result for case, result in zip(cases, results, strict=True)}
        facts = tuple(name for n, name in enumerate(names) if _alone(at, n, None))
        parts = [
            p
            for n, g in enumerate(self.groups)
            for m, p in enumerate(g.parts)
            if _alone(at, len(names) + n, _neighbours(g, m))
        ]
        return (tuple(p for p in self.needed if p in parts), facts) if parts or facts else (self.needed, names)

    def _listed(self, cases: Sequence[PossibleCase], *, needed: bool) -> dict[tuple[int, ...], Stands]:
        """The positions of all that is read and open -> how the stage then stands, whatever the facts not given are;
        not known where one of those decides its airflow, unless it is wrong in every case."""
        if not self.exact or prod(len(g.ways) for g in self.groups) > MOST_ROWS:
            return {}
        order = [p for g in self.groups for p in g.parts]
        places = [order.index(p) for p in self.needed]
        by: dict[tuple[object, ...], set[Stands]] = {}
        flows: dict[tuple[object, ...], set[object]] = {}
        for case in cases:
            key = case.key[len(self.facts[0][0]) :]
            by.setdefault(key, set()).add(_stands(case, needed=needed))
            flows.setdefault(key, set()).add(case.airflow.kind if isinstance(case.airflow, No) else case.airflow)
        out: dict[tuple[int, ...], Stands] = {}
        for classes, stands in by.items():
            ways = [
                [way for way, c in zip(g.ways, g.class_of, strict=True) if c == mine]
                for g, mine in zip(self.groups, classes, strict=True)
            ]
            told: Stands = next(iter(stands)) if len(stands) == 1 else "depends"
            if len(flows[classes]) > 1 and told not in WRONG:
                told = "not_known"
            for way in product(*ways):
                at = [position for one in way for position in one]
                out[tuple(at[n] for n in places)] = told
        return out

    def _positions(self, part: int, case: PossibleCase) -> list[tuple[int, int]]:
        """The positions of a part that its class in a case stands for."""
        for n, g in enumerate(self.groups):
            if part in g.parts:
                at = g.parts.index(part)
                mine = case.key[len(self.facts[0][0]) + n]
                return [(part, way[at]) for way, c in zip(g.ways, g.class_of, strict=True) if c == mine]
        return []

    def _checks(self, every: Sequence[PossibleCase]) -> tuple[LimitCheck, ...]:
        """Every limit over all cases in which the stage has an airflow."""
        cases = [c for c in every if figures_of(c.airflow)]
        out = []
        for at in dict.fromkeys(at for case in cases for at in case.limits):
            judged = [case.limits[at] for case in cases if at in case.limits]
            oks = [case.limits[at].ok if at in case.limits else True for case in cases]  # no limit, nothing to break
            state: State = "kept" if set(oks) == {True} else "broken" if set(oks) == {False} else "depends"
            if set(oks) == {None}:
                state = "not_judged"
            distinct = {(j.ok, j.value, j.low, j.high, j.why): j for j in judged}
            worst = sorted(distinct.values(), key=_badness, reverse=True)
            open_ = next((j for j in worst if j.ok is None), None)
            parts, facts = self._deciding(cases, oks)
            out.append(
                LimitCheck(
                    limit=worst[0].limit,
                    state=state,
                    judged=tuple(worst),
                    depends=parts,
                    facts=facts,
                    needs=open_.needs if open_ is not None else "".join(facts[:1]),
                    why=open_.why if open_ is not None else "",
                )
            )
        return tuple(out)

    def _unchecked(self, airflows: Collection[Fraction]) -> tuple[LimitCheck, ...]:
        """The limits on a stage that has too many cases to hold each against them."""
        limits, _ = self.engine.limits(self.call, self.stage, self.engine.asked(self.call, self.stage).rate)
        why = too_much_open([*(self.engine.table.parts[p].name for p in self.needed), *self.facts[0][0]])
        judged = (
            JudgedLimit(limit=one, ok=None, range=one.range, why=one.missing or why, needs=one.needs)
            for one in (limits if airflows else ())
        )
        return tuple(
            LimitCheck(limit=one.limit, state="not_judged", judged=(one,), needs=one.needs, why=one.why)
            for one in judged
        )


def _stands(case: PossibleCase, *, needed: bool) -> Stands:
    if isinstance(case.airflow, No):
        return "stopped" if needed and case.airflow.kind == "does_not_run" else case.airflow.kind
    if any(j.ok is False for j in case.limits.values()):
        return "outside"
    return "inside" if any(j.ok for j in case.limits.values()) else "not_judged"


def _badness(judged: JudgedLimit) -> tuple[int, Fraction]:
    return (2 if judged.ok is False else 1 if judged.ok is None else 0, abs(judged.beyond))


def _neighbours(group: SelectorGroup, part: int) -> frozenset[tuple[int, int]]:
    """Pairs of classes that lie one move of a part apart."""
    by: dict[tuple[int, ...], set[int]] = {}
    for way, c in zip(group.ways, group.class_of, strict=True):
        by.setdefault((*way[:part], *way[part + 1 :]), set()).add(c)
    return frozenset((a, b) for classes in by.values() for a in classes for b in classes if a != b)


def _alone(at: Mapping[tuple[object, ...], object], n: int, pairs: frozenset[tuple[int, int]] | None) -> bool:
    """True where results differ between two keys that differ in place `n` alone, by one of the pairs where given."""
    by: dict[tuple[object, ...], list[tuple[object, object]]] = {}
    for key, result in at.items():
        by.setdefault((*key[:n], *key[n + 1 :]), []).append((key[n], result))
    return any(
        a != b and (pairs is None or (x, y) in pairs)
        for same in by.values()
        if len({result for _, result in same}) > 1
        for x, a in same
        for y, b in same
    )
