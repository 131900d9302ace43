"""What Python answers for boards and targets, in the words the pocket page is asked for: to be held against what the
page answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from math import prod
from random import Random
from typing import Any

from selector.answers.assumed_facts import assumed_fact_text
from selector.answers.words.contradiction import contradiction_text
from selector.answers.words.listing import listed
from selector.judge.decode import decode, may_be_told
from selector.judge.floors_and_ceilings import engine_of
from selector.judge.judge import judge_stage
from selector.judge.judgement import LimitCheck, Note, StageJudgement
from selector.pocket.facts import offered_by
from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN, Facts
from selector.solve.board.marks import tapped_twice
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, beyond, evaluate
from selector.solve.engine.together import energised, known_terminals
from selector.solve.rank.rank import TooLarge
from selector.solve.search import declared
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.targets import Asked, Target
from selector.table.model.table import ABSENT, NOES, CellWord, No, Ramp, Setting, Table
from selector.units import format_number
from selector.value import replace

JAVASCRIPT = """
(() => {
  const { Engine, energised, find, figure, isNo, openOf, otherwise, possibleWords, ratio } = pocket;
  const exact = (x) => (x === null || x === undefined ? null : x.d === 1 ? `${x.n}` : `${x.n}/${x.d}`);
  const said = (x) => (x === null || x === undefined ? null : isNo(x) ? `no ${x.k}: ${x.w}` : x.s !== undefined ? x.s : `${figure(x)} = ${exact(x)}`);
  const check = (j) => [j.quantity, j.source, j.state, exact(j.value), exact(j.low), exact(j.high), j.depends, j.facts,
    j.state === "not_judged" || j.state === "depends" ? j.why : ""];
  const words = (e, t, at) => { const w = possibleWords(e, t, at); return w && [...new Set(w.map((x) => (isNo(x) ? "no " + x.k : said(x))))].sort(); };
  const stage = (e, at) => (s, c, i) => [s.call, s.stage, said(s.air), said(s.heat), exact(s.rise), exact(s.perTon), exact(s.rate), s.told.map(said),
    s.judged.map(check), [...new Set(s.pages)], [...new Set(s.notes)].sort(), s.assumed,
    [s.airflows.map(exact), s.noes.map((x) => x.k), s.depends, s.facts, s.airflows.map((x) => s.which.get(`${x.n}/${x.d}`) || [])],
    e.plan(c, i).told.map((t) => words(e, t, at))];
  const each = (calls, f) => calls.flatMap((call, c) => call.map((s, i) => f(s, c, i)));
  const engine = (data, q) => new Engine(data, data.models.findIndex((m) => m.model === q.model), new Map(
    Object.entries(q.facts).map(([n, v]) => [n, v.word !== undefined ? v.word : ratio(v.number)])));
  globalThis.answered = (data, questions) => {
    let last = "", e = null;
    return JSON.stringify(JSON.parse(questions).map((q) => {
      const key = JSON.stringify([q.model, q.facts]);
      if (key !== last) { e = engine(data, q); last = key; }
      e.half(new Map(q.half));
      if (!q.targets) {
        const calls = e.evaluate(q.setting), running = energised(data, calls, new Set(q.terminals));
        return [each(calls, stage(e, q.setting)), e.beyond, e.contradictions(q.setting).map((d) => d.said).sort(), [running.stages.map((s) => [s.call, s.stage]), said(running.air)]];
      }
      const targets = q.targets.map((t) => ({ ...t, low: ratio(t.low), high: ratio(t.high), weight: ratio(t.weight) }));
      let r;
      try { r = find(e, targets, q.found, new Map(q.held)); } catch (error) { if (error instanceof pocket.TooMuch) return "too much"; throw error; }
      const open = (s) => openOf(s).map(([limit, why]) => [s.call, s.stage, limit, why]);
      return [r.ranked.map((x) => [x.setting, exact(x.deviation), x.moved, e.evaluate(x.setting).flat().map((s) => said(s.air)),
          otherwise(r.search, x.setting).map((one) => [one.parts, one.choices])]),
        r.notJudged.map(([s, l, w]) => [s.call, s.stage, l, w]), r.miss && [r.miss.broken.map(([s, j]) => [s.call, s.stage, j.source, exact(j.miss)]),
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
    half: Mapping[int, tuple[int, ...]] = field(default_factory=dict)

    def engine(self, table: Table) -> Engine:
        """The table under the facts, some marks half read."""
        return engine_of(table.half_read(self.half), self.facts())

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
            "half": [[p, list(at)] for p, at in self.half.items()],
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
    """What Python says."""
    if q.targets:
        found = q.setting if q.found else None
        request = Request(targets=q.targets, found=found, held=q.held, unread=frozenset(q.half if q.found else ()))
        return found_answer(engine, find(engine, request))
    answers, judged = evaluate(engine, q.setting), _judged(engine, q.setting)
    certain = {
        name: replace(call, stages=tuple(replace(s, airflow=judged[name, s.stage].outcome) for s in call.stages))
        for name, call in answers.items()
    }
    running = energised(table, certain, q.terminals)
    return [
        [
            _stage(engine, s, answers[s.call], judged[s.call, s.stage], q.setting)
            for c in certain.values()
            for s in c.stages
        ],
        list(beyond(engine)),
        sorted(f"{contradiction_text(table, d)}." for d in declared.differences(engine, q.setting)),
        [[[s.call, s.stage] for s in running.stages], _said(running.airflow)],
    ]


def _judged(engine: Engine, setting: Setting) -> dict[tuple[str, str], StageJudgement]:
    """Every stage of a board on which a part without a position stands nobody knows where."""
    stages = ((call, stage) for call in engine.table.calls.values() for stage in call.stages)
    return {(call.name, stage): judge_stage(engine, call, stage, setting, frozenset()) for call, stage in stages}


def _check(check: LimitCheck) -> list[Any]:
    worst = check.certain
    return [
        check.limit.quantity,
        check.limit.source,
        check.state,
        _exact(worst.value),
        _exact(worst.range.low),
        _exact(worst.range.high),
        list(check.depends),
        list(check.facts),
        check.why if check.state in ("not_judged", "depends") else "",
    ]


def _pairs(pairs: Iterable[tuple[int, int]]) -> list[list[int]]:
    return [list(pair) for pair in pairs]


def _words(options: tuple[object, ...] | None) -> list[str] | None:
    return None if options is None else sorted({_word(x) for x in options})


def _word(x: object) -> str:
    if x in [w.value for w in CellWord]:
        return "no 1"
    return f"no {NOES.index(str(x))}" if x in NOES else str(_said(x))


def _stage(engine: Engine, s: StageAnswer, answer: CallAnswer, judged: StageJudgement, setting: Setting) -> list[Any]:
    ramp, on, off = answer.ramp.get(s.stage), answer.on_delay.get(s.stage), answer.off_delay.get(s.stage)
    call, air = engine.table.calls[s.call], s.airflow
    tons = engine.running_tons(call, s.stage)
    rise = (
        s.heat / (engine.factor * air) if isinstance(air, Fraction) and isinstance(s.heat, Fraction) and air else None
    )
    atoms = (by.get(s.stage, by.get("")) for by in (call.ramp, call.on_delay, call.off_delay))
    return [
        s.call,
        s.stage,
        _said(air),
        _said(s.heat),
        _exact(rise or None),
        _exact(air / tons) if isinstance(air, Fraction) and tons and call.compressor else None,
        s.rate or None,
        [ramp.name if isinstance(ramp, Ramp) else _said(ramp), _said(on), _said(off)],
        [_check(c) for c in judged.checks],
        list(dict.fromkeys(t.page for t in s.trail if t.page)),
        sorted({_note(n) for n in judged.notes if n.of not in ("unit", "call")}),
        [assumed_fact_text(x.name, x.value, x.unit) for x in judged.assumed_facts],
        [
            [str(x) for x in judged.airflows],
            [NOES.index(no.kind) for no in judged.noes],
            list(judged.depends),
            list(judged.facts),
            [_pairs(judged.which.get(x, ())) for x in judged.airflows],
        ],
        [_words(may_be_told(engine, atom, call, s.stage, setting) or None) for atom in atoms],
    ]


def _note(note: Note) -> str:
    """As the page says it."""
    copied = "this row behaves as another, and is never proposed"
    return f"{note.name}: {copied if note.of == 'copied row' else note.text}"


def _not_judged(stages: Iterable[StageJudgement]) -> list[list[str]]:
    """Calls whose airflow isn't known, and limits that can't be judged for want of a fact."""
    out = []
    for s in stages:
        said = [("", s.outcome.why)] if isinstance(s.outcome, No) and s.outcome.rank >= NOES.index("unreadable") else []
        said += [
            (c.limit.source, c.why or f"depends on {listed(c.facts)}")
            for c in s.checks
            if c.state in ("not_judged", "depends") and not c.depends
        ]
        out += [[s.call, s.stage, limit, why] for limit, why in said]
    return out


def found_answer(engine: Engine, result: FindResult) -> Any:
    """What `find` says, as the page is asked for it."""
    miss = result.miss
    nearest = miss.nearest if miss is not None else None
    first = result.found[0] if result.found else nearest
    stages = _judged(engine, first.setting if first is not None else result.space.standing).values()
    return [
        [
            [
                list(f.setting),
                str(f.deviation),
                list(f.changed),
                [_said(s.outcome) for s in _judged(engine, f.setting).values()],
                [[list(one.parts), [list(way) for way in one.choices]] for one in f.any_of],
            ]
            for f in result.found
        ],
        _not_judged(stages),
        None
        if miss is None
        else [
            []
            if nearest is None
            else [[s.call, s.stage, j.limit.source, str(j.miss)] for s in stages for j in s.broken],
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
        terminals, half = random_terminals(random, table), random_half(random, table, setting)
        out.append(Question(model=model, values=values, setting=setting, terminals=terminals, half=half))
    return out


def random_half(random: Random, table: Table, setting: Setting) -> dict[int, tuple[int, ...]]:
    """Half of the positions that can't be read are half read, where there are more than two."""
    open_ = [p for p in table.parts if setting[p.index] is None and len(p.positions) > 2]
    return {p.index: tuple(sorted(random.sample(range(len(p.positions)), 2))) for p in open_ if random.random() < 0.5}


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
        half = random_half(random, table, setting) if found else {}
        one = Question(model=model, values=values, setting=setting, found=found, held=held, targets=targets, half=half)
        out.append(one)
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
        key = (q.model, tuple(q.values.items()), tuple(q.half.items()))
        engine = engines.get(key) or engines.setdefault(key, q.engine(table))
        try:
            expected = answer(table, engine, q)
        except (TooLarge, Refused):
            continue
        if expected != said:
            asked = f"{table.name} {q.model} {dict(q.values)} {q.setting} {q.targets} {q.held} {q.terminals}"
            out.append(f"{asked}\n  Python: {expected}\n  page:   {said}")
    return out


__all__ = ["JAVASCRIPT", "Question", "boards", "counted", "differences", "every_board", "wishes"]
