"""Which settings serve the targets best: a loop over every setting of the board, nothing clever."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

from tests.oracle.oracle_evaluate import (
    AIRFLOW,
    DOES_NOT_RUN,
    REFUSED,
    UNREAD,
    Facts,
    Outcome,
    Setting,
    calls_read,
    every_position,
    installed,
    is_heating,
    may_share,
    off_pins_row,
    reads,
    row_matches,
    told_by_fact,
    window_charts,
)
from tests.oracle.oracle_judge import BROKEN, RISE, Known, StageVerdict, judge_stage
from tests.oracle.oracle_table import OFF_PINS, OTHERS, PARKED, Chart, Knob, OracleTable, TableError, Value


@dataclass(frozen=True)
class Target:
    """What is asked of a call. stage None: the last. aim: a figure or (low, high), in the unit of the file."""

    call: str
    aim: Fraction | tuple[Fraction, Fraction]
    stage: str | None = None
    quantity: str = AIRFLOW
    weight: Fraction = Fraction(1)


@dataclass(frozen=True)
class Answer:
    """setting: a position for every selector, `?` where none is given. moves None: not counted.

    got: the figure for each target, in their order.
    """

    setting: Mapping[str, str]
    deviation: Fraction
    moves: int | None
    got: tuple[Fraction, ...]
    order: tuple[int, ...]


@dataclass(frozen=True)
class Found:
    """answers: the first k in order, empty where nothing fits. total: how many answers there are in all.

    not_to_be_had: stages refused wherever they run, under the facts, holds released.
    """

    answers: tuple[Answer, ...]
    total: int
    not_to_be_had: frozenset[tuple[str, str]]


Stage = tuple[str, str]
Key = tuple[str | None, ...]


@dataclass(frozen=True)
class Options:
    known: Known = field(default_factory=Known)
    hold: Mapping[str, str] | None = None
    near: Fraction = Fraction(1)
    first: int = 10
    allow_cuts: bool = False
    park: frozenset[str] = frozenset()
    stop: frozenset[str] = frozenset()
    by_stage: bool = False


class Search:
    """The board, the facts and the targets of one question, with every stage judged once for what it reads."""

    def __init__(
        self, table: OracleTable, facts: Facts, targets: Sequence[Target], found: Setting, options: Options
    ) -> None:
        self.table = table
        self.facts = facts
        self.options = options
        self.targets = [(t, t.stage if t.stage is not None else table.calls[t.call].stages[-1]) for t in targets]
        self.hold = {k: table.knobs[k].read(p) for k, p in (options.hold or {}).items()}
        self.names = list(table.knobs)
        self.marks = {name: mark(table, found, facts, name) for name in self.names}
        self.asked = self.asked_knobs()
        self.candidates = {name: self.positions_for(table.knobs[name]) for name in self.names}
        self.open = [
            n
            for n in self.names
            if self.marks[n] is None and n not in self.asked and n not in self.hold and not table.knobs[n].declares
        ]
        for name in self.open:
            self.candidates[name] = list(every_position(table, table.knobs[name], seen=False))
        self.stages: list[Stage] = [(c, s) for c, call in table.calls.items() for s in call.stages]
        self.stage_knobs = {st: self.knobs_read(*st) for st in self.stages}
        self.memo: dict[Stage, dict[Key, StageVerdict]] = {st: {} for st in self.stages}
        self.orphans = [c for c in table.charts.values() if c.name not in charts_used(table)]
        self.base = {n: self.candidates[n][0] if table.knobs[n].declares else self.marks[n] for n in self.names}
        self.not_to_be_had = frozenset(st for st in self.stages if self.never(st))
        self.protected = frozenset(st for st in self.stages if self.is_protected(st))

    def asked_knobs(self) -> frozenset[str]:
        """Every selector that an asked call's airflow reads (all its stages, unless by_stage)."""
        out: set[str] = set()
        declared = {knob.declares for knob in self.table.knobs.values()}
        known = {name: installed(self.table, self.facts, name) for name in self.table.facts}
        known["model"] = self.facts.model
        told = {name: value for name, value in known.items() if name not in declared}
        for target, stage in self.targets:
            names = reads(
                self.table,
                target.call,
                stage if self.options.by_stage else None,
                heat=target.quantity == RISE,
                strict=True,
                sharing=False,
                told=told,
            )
            out.update(n for n in names if n in self.table.knobs)
        return frozenset(out)

    def knobs_read(self, call: str, stage: str) -> tuple[str, ...]:
        heat = is_heating(self.table, self.table.calls[call])
        names = set(reads(self.table, call, stage, heat=heat, delays=True))
        for knob in self.table.knobs.values():
            if knob.declares and knob.gives == "tons":
                names.add(knob.name)
            if knob.kind == "taps":
                names.add(knob.name)
        return tuple(n for n in self.names if n in names)

    def left_unknown(self, name: str) -> bool:
        return name in self.open and self.table.knobs[name].kind != "taps"

    def positions_for(self, knob: Knob) -> list[str | None]:
        """Where a knob may be in a setting, in declared order."""
        if knob.name in self.hold:
            return [self.hold[knob.name]]
        standing = self.marks[knob.name]
        if knob.declares:
            told = told_by_fact(self.table, self.facts, knob)
            return [told if told is not None else standing]
        known = standing not in (None, UNREAD)
        if knob.spare and known:
            return [standing]
        if knob.kind == "link" and standing == "cut":
            return [standing]
        out: list[str | None] = []
        every = [*knob.positions, *([OFF_PINS] if off_pins_row(self.table, knob.name) else [])]
        if standing == OFF_PINS and OFF_PINS not in every:
            every.append(OFF_PINS)
        for position in every:
            if position != standing:
                if position in knob.unused:
                    continue
                if knob.kind == "link" and position == "cut" and not self.options.allow_cuts:
                    continue
                if position == PARKED and knob.name not in self.options.park:
                    continue
                if knob.leave_at is not None and position != knob.leave_at:
                    continue
            out.append(position)
        return self.merged(knob, out, standing)

    def merged(self, knob: Knob, positions: list[str | None], standing: str | None) -> list[str | None]:
        """Positions with the same cells in every chart are one: the one that stands, else the first declared."""
        if knob.kind == "taps":
            return positions
        classes: list[list[str | None]] = []
        for position in positions:
            for group in classes:
                if same_cells(self.table, knob, str(group[0]), str(position)):
                    group.append(position)
                    break
            else:
                classes.append([position])
        chosen = {standing if standing in group else group[0] for group in classes}
        return [p for p in positions if p in chosen]

    def verdict(self, stage: Stage, setting: Mapping[str, str | None]) -> StageVerdict:
        key = tuple(setting[n] for n in self.stage_knobs[stage])
        memo = self.memo[stage]
        if key not in memo:
            part = dict(zip(self.stage_knobs[stage], key, strict=True))
            memo[key] = judge_stage(self.table, part, self.facts, self.options.known, *stage)
        return memo[key]

    def every_reading(self, stage: Stage, choices: Callable[[str], Iterable[str | None]]) -> Iterator[StageVerdict]:
        """The verdicts of a stage over every position of what it reads."""
        names = self.stage_knobs[stage]
        for key in itertools.product(*(list(choices(n)) for n in names)):
            setting = dict(zip(names, key, strict=True))
            if not on_one_tap(self.table, setting):
                yield self.verdict(stage, setting)

    def never(self, stage: Stage) -> bool:
        """Refused wherever it runs, at every position of the board under the facts, holds released."""

        def choices(name: str) -> Iterable[str | None]:
            knob = self.table.knobs[name]
            if knob.declares:
                told = told_by_fact(self.table, self.facts, knob)
                return [told if told is not None else self.marks[name]]
            return every_position(self.table, knob, seen=False)

        refused = False
        for verdict in self.every_reading(stage, choices):
            if is_refused(verdict.outcome):
                refused = True
            elif verdict.outcome.code != DOES_NOT_RUN:
                return False
        return refused

    def is_protected(self, stage: Stage) -> bool:
        """Runs as found (else as delivered) for certain, and some setting with the holds lets it run."""
        call, _ = stage
        if call in self.options.stop or call in self.facts.absent:
            return False
        outcome = self.verdict(stage, self.base).outcome
        if outcome.code == DOES_NOT_RUN or DOES_NOT_RUN in outcome.noes:
            return False
        return any(v.outcome.code != DOES_NOT_RUN for v in self.every_reading(stage, lambda n: self.candidates[n]))

    def deviation(self, setting: Mapping[str, str | None]) -> tuple[Fraction, tuple[Fraction, ...]] | None:
        """The joint deviation and the figures, or None where an asked call has no airflow."""
        total = Fraction(0)
        got = []
        for target, stage in self.targets:
            measures = self.verdict((target.call, stage), setting).measures
            if target.quantity not in measures:
                return None
            value = measures[target.quantity]
            got.append(value)
            total += target.weight * off_target(value, target.aim)
        return total, tuple(got)

    def counts(self, setting: Mapping[str, str | None]) -> bool:
        """Whether a setting counts, its asked calls apart."""
        for stage in self.stages:
            verdict = self.verdict(stage, setting)
            code = verdict.outcome.code
            if code == DOES_NOT_RUN and stage in self.protected:
                return False
            if is_refused(verdict.outcome) and stage not in self.not_to_be_had:
                return False
            if any(check.state == BROKEN for check in verdict.checks):
                return False
            for chart, index, kind in verdict.hits:
                if kind == "as" and not self.standing_there(self.table.charts[chart], index, self.leads_of(stage)):
                    return False
        for chart_ in self.orphans:
            hit = first_row(self.table, chart_, setting)
            if hit is not None and chart_.rows[hit].kind != "cells" and not self.standing_there(chart_, hit):
                return False
        return True

    def leads_of(self, stage: Stage) -> Mapping[str, str]:
        """The lead by which a stage reads a bank of taps."""
        out = {}
        for call, one in calls_read(self.table, *stage):
            for bank in self.table.leads:
                out[bank] = f"{bank}-{self.table.calls[call].lead.get(one)}"
        return out

    def standing_there(self, chart: Chart, index: int, leads: Mapping[str, str] = MappingProxyType({})) -> bool:
        """Whether nothing has to be moved into that row: what it names stands there already, is held there, or is set
        from what is installed."""
        row = chart.rows[index]
        names = [leads.get(n, n) for n in chart.knobs]
        fixed = {n for n in names if n in self.hold or n not in self.table.knobs or self.table.knobs[n].declares}
        stands = [p if n in fixed else self.marks.get(n) for n, p in zip(names, row.pattern, strict=True)]
        return row_matches(self.table, chart, row, stands)

    def moves(self, setting: Mapping[str, str | None]) -> int:
        return sum(
            1
            for n in self.names
            if n not in self.open and self.marks[n] not in (None, UNREAD) and setting[n] != self.marks[n]
        )

    def order(self, setting: Mapping[str, str | None]) -> tuple[int, ...]:
        out = []
        for name in self.names:
            knob = self.table.knobs[name]
            every = [*knob.positions, OFF_PINS]
            position = setting[name]
            out.append(every.index(position) if position in every and name not in self.open else -1)
        return tuple(out)

    def settings(self, fixed: Mapping[str, str] | None = None) -> Iterator[dict[str, str | None]]:
        """Every setting of the board, in file order."""
        choices = [[fixed[n]] if fixed and n in fixed else self.candidates[n] for n in self.names]
        for key in itertools.product(*choices):
            setting = dict(zip(self.names, key, strict=True))
            # leads share a tap only where what lets them is known to stand so
            if not on_one_tap(self.table, {n: None if self.left_unknown(n) else p for n, p in setting.items()}):
                yield setting

    def best(self) -> list[Answer]:
        """One answer for settings alike in what the asked calls read, each by its fewest moves."""
        counted = any(self.marks[n] not in (None, UNREAD) for n in self.names)
        asked = [n for n in self.names if n in self.asked]
        deviations: dict[Key, tuple[Fraction, tuple[Fraction, ...]] | None] = {}
        best: dict[Key, tuple[int, tuple[int, ...], dict[str, str | None]]] = {}
        for setting in self.settings():
            key = tuple(setting[n] for n in asked)
            if deviations.get(key) is None:  # a chart beside the steps may refuse an asked call in one of them
                deviations[key] = self.deviation(setting)
            if deviations[key] is None:
                continue
            rank = (self.moves(setting), self.order(setting))
            if key in best and best[key][:2] <= rank:
                continue
            if self.counts(setting):
                best[key] = (*rank, setting)
        answers = []
        for key, (moves, order, setting) in best.items():
            off = deviations[key]
            assert off is not None
            shown = {n: UNREAD if n in self.open else p or UNREAD for n, p in setting.items()}
            answers.append(Answer(shown, off[0], moves if counted else None, off[1], order))
        return answers


def is_refused(outcome: Outcome) -> bool:
    """Refused in every possible case."""
    return not outcome.airflows and bool(outcome.noes) and outcome.noes <= set(REFUSED)


def mark(table: OracleTable, found: Setting, facts: Facts, name: str) -> str | None:
    """The mark as typed, else as delivered, else None."""
    if found.get(name) is not None:
        return found[name]
    models: Sequence[str] = table.models if facts.model is None else [facts.model]
    return table.knobs[name].as_delivered(models)


def off_target(got: Fraction, aim: Fraction | tuple[Fraction, Fraction]) -> Fraction:
    """|got - aim| / aim; for a range the distance to the nearest end over that end, 0 inside."""
    if isinstance(aim, tuple):
        low, high = aim
        if got < low:
            return (low - got) / low
        return (got - high) / high if got > high else Fraction(0)
    return abs(got - aim) / aim


def on_one_tap(table: OracleTable, setting: Mapping[str, str | None]) -> bool:
    for bank in table.leads:
        leads = [n for n in table.knobs_of(bank) if setting.get(n) not in (None, UNREAD, PARKED)]
        for one, other in itertools.combinations(leads, 2):
            if setting[one] == setting[other] and not may_share(table, setting, one, other):
                return True
    return False


def first_row(table: OracleTable, chart: Chart, setting: Mapping[str, str | None]) -> int | None:
    if any(n not in table.knobs for n in chart.knobs):
        return None
    positions = [setting[n] for n in chart.knobs]
    return next((i for i, row in enumerate(chart.rows) if row_matches(table, chart, row, positions)), None)


def charts_used(table: OracleTable) -> set[str]:
    """Charts that some call reads for airflow, heat, limit, ramp or delay."""
    out: set[str] = set()

    def gather(value: Value) -> None:
        out.add(value.name)
        for part in value.stages.values():
            gather(part)

    for call in table.calls.values():
        for step in (*call.airflow, *call.heat):
            gather(step.value)
        for value in (*call.delays.values(), *((call.ramp,) if call.ramp else ())):
            gather(value)
        out.update(window_charts(table, call.name))
    return out


def same_cells(table: OracleTable, knob: Knob, one: str, other: str) -> bool:
    """Whether two positions have the same cells in every chart and mean the same to every `when`."""
    if (one in knob.unused) != (other in knob.unused) or knob.gives or knob.declares:
        return False
    for _, when in table.shares:
        for name, words in when:
            if name == knob.name and (one in words) != (other in words):
                return False
    for call in table.calls.values():
        for when in (call.when, *(step.when for step in (*call.airflow, *call.heat))):
            for name, words in when:
                if name == knob.name and (one in words) != (other in words):
                    return False
    for chart in table.charts.values():
        if knob.name in chart.knobs:
            place = chart.knobs.index(knob.name)
            others = [[""] if n == knob.name else down_the_side(table, chart, at) for at, n in enumerate(chart.knobs)]
            for key in itertools.product(*others):
                if row_cells(table, chart, key, place, one) != row_cells(table, chart, key, place, other):
                    return False
        if not same_columns(chart, knob.name, one, other):
            return False
    return True


def down_the_side(table: OracleTable, chart: Chart, place: int) -> list[str]:
    """What may stand in a column of positions: those of the selector, or the words of a fact as the rows have them."""
    knobs = table.knobs_of(chart.knobs[place])
    if knobs:
        return every_position(table, table.knobs[knobs[0]], seen=False)
    return list(dict.fromkeys(row.pattern[place] for row in chart.rows))


def row_cells(table: OracleTable, chart: Chart, key: Sequence[str], place: int, position: str) -> object:
    positions = [position if i == place else p for i, p in enumerate(key)]
    for row in sorted(chart.rows, key=lambda row: OTHERS in row.pattern):
        if row_matches(table, chart, row, positions):
            like = tuple(q if p == "-" else p for p, q in zip(row.like, positions, strict=True)) if row.like else ()
            return (row.kind, row.cells, like)
    return None


def same_columns(chart: Chart, name: str, one: str, other: str) -> bool:
    heads = [head for head, _ in chart.heads]
    if name not in heads:
        return True
    at = heads.index(name)
    listed = chart.heads[at][1]
    if (one in listed) != (other in listed):
        return False
    if one not in listed:
        return True
    for row in chart.rows:
        if row.kind != "cells":
            continue
        columns: dict[str, list[object]] = {one: [], other: []}
        combos = list(itertools.product(*(words for _, words in chart.heads), chart.gives))
        for combo, cell in zip(combos, row.cells, strict=True):
            if combo[at] in columns:
                columns[combo[at]].append(cell)
        if columns[one] != columns[other]:
            return False
    return True


def ranked(answers: Sequence[Answer], near: Fraction) -> list[Answer]:
    """Groups within `near` percentage points of the lowest left; inside, fewest moves, deviation, file order."""
    left = list(answers)
    out: list[Answer] = []
    while left:
        lowest = min(a.deviation for a in left)
        group = [a for a in left if a.deviation <= lowest + near / 100]
        group.sort(key=lambda a: (a.moves or 0, a.deviation, a.order))
        out.extend(group)
        left = [a for a in left if a.deviation > lowest + near / 100]
    return out


def find(
    table: OracleTable,
    facts: Facts,
    targets: Sequence[Target],
    *,
    found: Setting | None = None,
    options: Options | None = None,
) -> Found:
    """The first k answers, by L3 and L7. found: the marks as typed, `?` unread."""
    options = options or Options()
    if not targets:
        raise TableError("nothing asked")
    search = Search(table, facts, targets, found or {}, options)
    answers = ranked(search.best(), options.near)
    return Found(tuple(answers[: options.first]), len(answers), search.not_to_be_had)


def alternatives(
    table: OracleTable,
    facts: Facts,
    targets: Sequence[Target],
    answer: Answer,
    *,
    found: Setting | None = None,
    options: Options | None = None,
) -> list[dict[str, str]]:
    """Every setting that counts and is the same answer, in file order: what "any of" must cover and no more.

    Selectors shown `?` in the answer appear with each position that some counting completion has.
    """
    search = Search(table, facts, targets, found or {}, options or Options())
    fixed = {n: answer.setting[n] for n in search.asked}
    out = []
    for setting in search.settings(fixed):
        if search.deviation(setting) is not None and search.counts(setting):
            out.append({n: p or UNREAD for n, p in setting.items()})
    return out


def releases(
    table: OracleTable,
    facts: Facts,
    targets: Sequence[Target],
    *,
    found: Setting | None = None,
    options: Options,
) -> list[str]:
    """Holds that, let go alone, let something fit."""
    out = []
    for name in options.hold or {}:
        hold = {k: v for k, v in (options.hold or {}).items() if k != name}
        freed = Options(
            options.known, hold, options.near, 1, options.allow_cuts, options.park, options.stop, options.by_stage
        )
        if find(table, facts, targets, found=found, options=freed).answers:
            out.append(name)
    return out
