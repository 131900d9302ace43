"""What Python answers for boards and targets, in the words the pocket page is asked for: to be held against what the
page answers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from math import prod
from random import Random
from typing import Any

import pytest

from selector.judge.assumed_limits import engine_of
from selector.judge.decode import decode, may_be_told
from selector.judge.judge import judge_stage
from selector.judge.judgement import Note, StageJudgement
from selector.pocket.facts import offered_by
from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN, Facts
from selector.solve.board.marks import tapped_twice
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, StageAnswer, beyond, evaluate
from selector.solve.engine.together import energised, known_terminals
from selector.solve.rank.rank import TooLarge
from selector.solve.search import worlds
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.reach import airflows_over
from selector.solve.search.space import Space, read_back
from selector.solve.search.targets import Asked, Target
from selector.table.model.table import ABSENT, NOES, Call, CellWord, No, Ramp, Setting, Table, figures_of
from selector.units import format_number

JAVASCRIPT = """
(() => {
  const { Engine, energised, find, figure, limitsOver, isNo, possible, possibleWords, ratio } = pocket;
  const exact = (x) => (x === null || x === undefined ? null : x.d === 1 ? `${x.n}` : `${x.n}/${x.d}`);
  const said = (x) => (x === null || x === undefined ? null : isNo(x) ? `no ${x.k}: ${x.w}` : x.s !== undefined ? x.s : `${figure(x)} = ${exact(x)}`);
  const stage = (s) => [s.call, s.stage, said(s.air), said(s.heat), exact(s.rise), exact(s.perTon), exact(s.rate), s.told.map(said),
    s.judged.map((j) => [j.source, j.ok, exact(j.value), exact(j.low), exact(j.high), j.why]), [...new Set(s.pages)], [...new Set(s.notes)].sort()];
  const engine = (data, q) => new Engine(data, data.models.findIndex((m) => m.model === q.model), new Map(
    Object.entries(q.facts).map(([n, v]) => [n, v.word !== undefined ? v.word : ratio(v.number)])));
  globalThis.answered = (data, questions) => {
    let last = "", e = null;
    return JSON.stringify(JSON.parse(questions).map((q) => {
      const key = JSON.stringify([q.model, q.facts]);
      if (key !== last) { e = engine(data, q); last = key; }
      if (!q.targets) {
        const calls = e.evaluate(q.setting);
        const open = q.setting.includes(null) ? calls.map((call, c) => call.map((s, i) => {
          const p = possible(e, c, i, q.setting);
          const which = (x) => p.which.get(`${x.n}/${x.d}`) || [];
          const open = p && p.airflows.length + p.noes.length > 1;
          const limits = limitsOver(e, c, i, q.setting);
          return [limits && limits.map((j) => [j.quantity, j.source, j.state, j.depends]).sort(), open ? [p.airflows.map(exact), p.noes.map((x) => x.k).sort(), p.airflows.map(which)] : null, e.stages[c][i].told.map((t) => {
            const w = possibleWords(e, t, q.setting);
            return w && [...new Set(w.map((x) => (isNo(x) ? "no " + x.k : said(x))))].sort();
          })];
        })) : null;
        const running = energised(data, calls, new Set(q.terminals));
        return [calls.flat().map(stage), open && open.flat(), e.beyond, [running.stages.map((s) => [s.call, s.stage]), said(running.air)]];
      }
      const targets = q.targets.map((t) => ({ ...t, low: ratio(t.low), high: ratio(t.high), weight: ratio(t.weight) }));
      let r;
      try { r = find(e, targets, q.found, new Map(q.held)); } catch (error) { if (error instanceof pocket.TooMuch) return "too much"; throw error; }
      const nj = [...new Set(r.notJudged.map(([s, l, w]) => JSON.stringify([s.call, s.stage, l, w])))];
      return [r.ranked.map((x) => [x.setting, exact(x.deviation), x.moved, e.evaluate(x.setting).flat().map((s) => said(s.air))]),
        nj, r.miss && [r.miss.broken.map(([s, j]) => [s.call, s.stage, j.source, exact(j.miss)]),
          r.miss.refused.map((s) => [s.call, s.stage, said(s.air)]), r.miss.blame, r.miss.together],
        r.nearer && [r.nearer.setting, exact(r.nearer.deviation)]];
    }));
  };
})()
"""


def _exact(x: Fraction | None) -> str | None:
    return None if x is None else str(x)


def _said(x: object) -> str | None:
    if x is None:
        return None
    if isinstance(x, No):
        return f"no {NOES.index(x.kind)}: {x.why}"
    if isinstance(x, Fraction):
        return f"{format_number(x, 1).removesuffix('.0')} = {x}"
    return str(x)


@dataclass(frozen=True, kw_only=True)
class Question:
    """One board to decode with terminals energised, or targets to find settings for with positions held."""

    model: str | None
    values: Mapping[str, Fraction | str]
    setting: Setting
    targets: tuple[Target, ...] = ()
    found: bool = False
    held: Mapping[int, int] = field(default_factory=dict)
    terminals: tuple[str, ...] = ()

    def facts(self) -> Facts:
        """The facts as Python takes them."""
        return Facts(model=self.model, values=self.values)

    def data(self, table: Table) -> dict[str, Any]:
        """The question for the page."""
        calls = list(table.calls)
        out: dict[str, Any] = {
            "model": self.model,
            "facts": {n: {"word": v} if isinstance(v, str) else {"number": str(v)} for n, v in self.values.items()},
            "setting": list(self.setting),
            "terminals": [t.casefold() for t in self.terminals],
        }
        if self.targets:
            out["held"] = [list(pair) for pair in self.held.items()]
            out["found"] = list(self.setting) if self.found else None
            out["targets"] = [
                {
                    "call": calls.index(t.call),
                    "stage": table.calls[t.call].stages.index(t.stage),
                    "quantity": t.quantity,
                    "low": str(t.low),
                    "high": str(t.high),
                    "weight": str(t.weight),
                    "of": [calls.index(t.of[0]), table.calls[t.of[0]].stages.index(t.of[1])] if t.of else None,
                }
                for t in self.targets
            ]
        return out


def answer(table: Table, engine: Engine, q: Question) -> Any:
    """What Python says. Facts that aren't given are left alone, as the page leaves them: it tries none of what they may
    be, so that it calls a limit not judged that holds for every model."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Engine, "cases", lambda self, _: [({}, self)])
        patched.setattr(worlds, "MOST", 0)
        return _answer(table, engine, q)


def _answer(table: Table, engine: Engine, q: Question) -> Any:
    if q.targets:
        request = Request(targets=q.targets, found=q.setting if q.found else None, held=q.held)
        return found_answer(engine, find(engine, request))
    answers = evaluate(engine, q.setting)
    judged = {
        (a.call, a.stage): judge_stage(engine, table.calls[a.call], a.stage, q.setting, frozenset())
        for c in answers.values()
        for a in c.stages
    }
    open_ones: list[Any] | None = None
    if None in q.setting:
        open_ones = []
        for call in table.calls.values():
            for s in call.stages:
                found, noes, which = _possible(engine, call, s, q.setting)
                told = [
                    may_be_told(engine, by.get(s, by.get("")), call, s, q.setting) or None
                    for by in (call.ramp, call.on_delay, call.off_delay)
                ]
                airflows = [
                    [str(x) for x in found],
                    sorted(NOES.index(n.kind) for n in noes),
                    [_pairs(which.get(x, ())) for x in found],
                ]
                limits = _limits(engine, judged[call.name, s])
                open_ones.append([limits, None if len(found) + len(noes) == 1 else airflows, [_words(w) for w in told]])
    notes = {at: [n for n in s.notes if n.of not in ("unit", "call")] for at, s in judged.items()}
    running = energised(table, answers, q.terminals)
    return [
        [_stage(a, answers[a.call], notes[a.call, a.stage]) for c in answers.values() for a in c.stages],
        open_ones,
        list(beyond(engine)),
        [[[s.call, s.stage] for s in running.stages], _said(running.airflow)],
    ]


MOST_BOARDS = 300
"""As many boards does the page try for a stage's limits."""
UNTOLD = "not compared"


def _limits(engine: Engine, s: StageJudgement) -> Any:
    """Every limit with its state; not compared where it is too much for either."""
    parts = engine.table.parts
    if not s.reads:
        return None
    many = prod(len(parts[p].positions) for p in s.reads) > MOST_BOARDS
    if not s.cases:
        return UNTOLD
    told: list[Any] = [[c.limit.quantity, c.limit.source, c.state, sorted(c.depends)] for c in s.checks]
    told.sort(key=lambda one: ",".join((*one[:3], *map(str, one[3]))))  # as JavaScript sorts
    return None if many else told


def _possible(
    engine: Engine, call: Call, stage: str, setting: Setting
) -> tuple[tuple[Fraction, ...], tuple[No, ...], dict[Fraction, tuple[tuple[int, int], ...]]]:
    """What open positions leave of an airflow, facts that aren't given left alone as the page leaves them."""
    point = engine.asked(call, stage)
    parts = dict.fromkeys(p for i in engine.airflow(call, stage, point.rate) for r in i.readings for p in r.parts)
    needed = [p for p in parts if setting[p] is None]
    which: dict[Fraction, tuple[tuple[int, int], ...]] = {}
    if needed:
        space = Space(
            baseline=setting,
            fixed={i: (at, "as found") for i, at in enumerate(setting) if i not in needed},
            searched=tuple(needed),
            weights=dict.fromkeys(needed, 0),
            domains={i: tuple(range(len(engine.table.parts[i].positions))) for i in needed},
        )
        certain, noes = airflows_over(engine, space, point, read_back(engine, setting))
        for at in range(len(engine.table.parts[needed[0]].positions)) if len(needed) == 1 else ():
            board = Board(engine, tuple(at if i == needed[0] else was for i, was in enumerate(setting)))
            for x in figures_of(board.airflow(point)):
                which[x] = (*which.get(x, ()), (needed[0], at))
    else:
        alone = Board(engine, setting).airflow(point)
        certain, noes = ((alone,), ()) if isinstance(alone, Fraction) else ((), (alone,))
    found = tuple(sorted({*certain, *(x for no in noes for x in figures_of(no))}))
    return found, tuple(no for no in noes if no.either is None), which


def _pairs(pairs: Iterable[tuple[int, int]]) -> list[list[int]]:
    return [list(pair) for pair in pairs]


def _words(options: tuple[object, ...] | None) -> list[str] | None:
    return None if options is None else sorted({_word(x) for x in options})


def _word(x: object) -> str:
    if x in [w.value for w in CellWord]:
        return "no 1"
    return f"no {NOES.index(str(x))}" if x in NOES else str(_said(x))


def _stage(s: StageAnswer, call: Any, notes: Iterable[Note]) -> list[Any]:
    ramp, on, off = call.ramp.get(s.stage), call.on_delay.get(s.stage), call.off_delay.get(s.stage)
    pages = list(dict.fromkeys(t.page for t in s.trail if t.page))
    return [
        s.call,
        s.stage,
        _said(s.airflow),
        _said(s.heat),
        _exact(s.rise),
        _exact(s.per_ton),
        s.rate or None,
        [ramp.name if isinstance(ramp, Ramp) else _said(ramp), _said(on), _said(off)],
        [[j.limit.source, j.ok, _exact(j.value), _exact(j.low), _exact(j.high), j.why] for j in s.judged],
        pages,
        sorted(set(map(_note, notes))),
    ]


def _note(note: Note) -> str:
    """As the page says it."""
    copied = "this row behaves as another, and is never proposed"
    return f"{note.name}: {copied if note.of == 'copied row' else note.text}"


def _not_judged(engine: Engine, setting: Setting) -> list[str]:
    """Limits that can't be judged for want of a fact, and calls without an airflow."""
    out: dict[str, None] = {}
    board = Board(engine, setting)
    for call in engine.table.calls.values():
        for stage in call.stages:
            for point in engine.points(call, stage):
                x = board.airflow(point)
                said = [("", x.why)] if isinstance(x, No) and x.kind != "does_not_run" else []
                if not isinstance(x, No):
                    said = [(j.limit.source, j.why) for j in board.judged(point) if j.ok is None]
                for limit, why in said:
                    told = [call.name, stage, limit, why]
                    out[json.dumps(told, separators=(",", ":"), ensure_ascii=False)] = None
    return list(out)


def found_answer(engine: Engine, result: FindResult) -> Any:
    """What `find` says, as the page is asked for it."""
    miss = result.miss
    standing = result.found[0].setting if result.found else result.space.standing
    not_judged = _not_judged(
        engine, miss.nearest.setting if miss is not None and miss.nearest is not None else standing
    )
    return [
        [
            [
                list(f.setting),
                str(f.deviation),
                list(f.changed),
                [_said(s.airflow) for a in f.answers.values() for s in a.stages],
            ]
            for f in result.found
        ],
        not_judged,
        None
        if miss is None
        else [
            [[c, s, j.limit.source, str(j.miss)] for c, s, j in miss.broken],
            [[c, s, _said(no)] for c, s, no in miss.refused],
            list(miss.blame),
            miss.together,
        ],
        None if result.nearer is None else [list(result.nearer.setting), str(result.nearer.deviation)],
    ]


def random_facts(random: Random, table: Table) -> tuple[str | None, dict[str, Fraction | str]]:
    """A model and facts, some left out, numbers between the printed ones and outside them too."""
    model = random.choice(table.unit.models) if table.unit.models and random.random() < 0.85 else None
    values: dict[str, Fraction | str] = {}
    for fact in offered_by(table, NOTHING_KNOWN).values():
        if random.random() < 0.25:
            continue
        if fact.words:
            values[fact.name] = random.choice(fact.words)
        elif fact.figures:
            low, high = fact.figures[0], fact.figures[-1]
            x = (
                random.choice(fact.figures)
                if random.random() < 0.4
                else low + (high - low) * Fraction(random.randint(-5, 45), 40)
            )
            values[fact.name] = max(Fraction(1, 10), x)
        else:
            values[fact.name] = (
                Fraction(random.randint(3, 10), 2) if fact.unit == "tons" else Fraction(random.randint(200, 250))
            )
    return model, values


def random_setting(random: Random, table: Table, unread: float) -> Setting:
    """Positions at random, some not readable or off their pins."""
    out: list[int | None] = []
    for part in table.parts:
        if random.random() < unread:
            out.append(None)
        elif part.absent and random.random() < 0.05:
            out.append(ABSENT)
        else:
            out.append(random.randrange(len(part.positions)))
    return tuple(out)


def random_targets(random: Random, table: Table, engine: Engine) -> tuple[Target, ...]:
    """One to three targets; airflows near what the board does, now and then far from it."""
    stages = [(c.name, s) for c in table.calls.values() for s in c.stages]
    chosen = random.sample(stages, min(len(stages), random.choice((1, 1, 2, 2, 3))))
    like = decode(engine, without_clash(table, random_setting(random, table, 0)))
    out = []
    for call, stage in chosen:
        seen = like.answers[call].stage(stage).airflow
        around = seen if isinstance(seen, Fraction) and seen > 0 else Fraction(900)
        low = Fraction(int(around * random.randint(80, 120) / 100) + 1)
        quantity: Asked = random.choice(
            ("airflow", "airflow", "airflow", "airflow per ton", "temperature rise", "share")
        )
        of = None
        if quantity == "airflow per ton":
            low = Fraction(random.randint(250, 450))
        elif quantity == "temperature rise":
            low = Fraction(random.randint(30, 70))
        elif quantity == "share":
            of = random.choice(stages)
            low = Fraction(random.randint(20, 100))
        high = low * Fraction(11, 10) if random.random() < 0.3 else low
        weight = random.choice((Fraction(1), Fraction(1), Fraction(2), Fraction(1, 2), Fraction(5, 3)))
        out.append(Target(call=call, stage=stage, quantity=quantity, low=low, high=high, weight=weight, of=of))
    return tuple(out)


def boards(random: Random, table: Table, count: int) -> list[Question]:
    """Boards to decode under random facts, every third with positions that can't be read."""
    out = []
    for i in range(count):
        if i % 10 == 0:
            model, values = random_facts(random, table)
        setting = random_setting(random, table, 0.15 if i % 3 == 0 else 0)
        out.append(Question(model=model, values=values, setting=setting, terminals=random_terminals(random, table)))
    return out


def random_terminals(random: Random, table: Table) -> tuple[str, ...]:
    """Some of the terminals that a table names: those of a call or two, or any."""
    named = known_terminals(table)
    if random.random() < 0.3:
        return tuple(t for t in named if random.random() < 0.4)
    called = random.sample(list(table.calls.values()), min(2, len(table.calls)))
    return tuple(dict.fromkeys(w for call in called for w in random.choice(list(call.terminals.values()) or [()])))


def random_held(random: Random, table: Table) -> dict[int, int]:
    """Positions held: none, one, or a few."""
    parts = random.sample(table.parts, min(len(table.parts), random.choice((0, 0, 1, 1, 2, 4))))
    return {
        p.index: ABSENT if p.absent and random.random() < 0.1 else random.randrange(len(p.positions)) for p in parts
    }


def every_board(table: Table, model: str | None, most: int, random: Random) -> list[Question]:
    """Every setting of a table whose positions can all be read, for a model; a random share where there are more
    than `most`."""
    size = prod(len(p.positions) for p in table.parts)
    if size > most:
        settings: Iterable[Setting] = (random_setting(random, table, 0) for _ in range(most))
    else:
        settings = product(*(range(len(p.positions)) for p in table.parts))
    values = random_facts(random, table)[1]
    return [
        Question(model=model, values=values, setting=s, terminals=random_terminals(random, table)) for s in settings
    ]


def wishes(random: Random, table: Table, count: int) -> list[Question]:
    """Targets under random facts, half of them from a board as found, two in three with positions held."""
    out = []
    for _ in range(count):
        model, values = random_facts(random, table)
        engine = engine_of(table, Facts(model=model, values=values))
        setting = random_setting(random, table, 0.1)
        targets = random_targets(random, table, engine)
        found, held = random.random() < 0.5, random_held(random, table)
        out.append(Question(model=model, values=values, setting=setting, found=found, held=held, targets=targets))
    return out


def counted(answers: Sequence[Any]) -> dict[str, int]:
    """Of the answers to targets: how many there are, how many without a setting, and how many settings a limit or a
    row refuses."""
    whole = [a for a in answers if a != "too much"]
    none = [a for a in whole if not a[0]]
    return {"answers": len(whole), "none": len(none), "refused": sum(1 for a in none if a[2][0] or a[2][1])}


def without_clash(table: Table, setting: Setting) -> Setting:
    """The setting with leads parked that share a tap."""
    at = list(setting)
    for p in tapped_twice(setting, table):
        at[p] = len(table.parts[p].positions) - 1
    return tuple(at)


def differences(table: Table, questions: Sequence[Question], answers: Sequence[Any]) -> list[str]:
    """Where the page says something else than Python."""
    out = []
    engines: dict[tuple[Any, ...], Engine] = {}
    for q, said in zip(questions, answers, strict=True):
        key = (q.model, tuple(q.values.items()))
        engine = engines.setdefault(key, engine_of(table, q.facts()))
        try:
            expected = answer(table, engine, q)
        except (TooLarge, Refused):
            continue
        for mine, page in zip(expected[1] or (), said[1] or (), strict=True) if not q.targets else ():
            if mine[0] == UNTOLD or (page[0] is None and not any(limit[2] == "depends" for limit in mine[0] or ())):
                mine[0] = page[0] = UNTOLD
            if mine[1] and page[1] and not any(mine[1][2]):
                page[1][2] = mine[1][2]  # a part that only says whether a stage runs hides the one that decides
        if expected != said:
            asked = f"{table.name} {q.model} {dict(q.values)} {q.setting} {q.targets} {q.held} {q.terminals}"
            out.append(f"{asked}\n  Python: {expected}\n  page:   {said}")
    return out


__all__ = ["JAVASCRIPT", "Question", "boards", "counted", "differences", "every_board", "wishes"]
