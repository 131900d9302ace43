"""What each command's record says of a board, as sets: every limit with its state, every no, every note. Read out of
the plain data of the published records, never out of words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Any

from selector.judge.judgement import Judgement, StageJudgement
from selector.solve.board.marks import marks_of
from selector.table.model.table import Setting, Table
from selector.value import data_of

Said = frozenset[tuple[str, ...]]
PRESSURES = (Fraction(1, 10), Fraction(1, 2), Fraction(9, 10), Fraction(2))


@dataclass(frozen=True, kw_only=True)
class DrawnBoard:
    """A table, facts as typed, and marks: a position, None (looked at and unreadable), or left out."""

    table: Table
    facts: Mapping[str, str]
    setting: Setting
    left_out: frozenset[int]

    @property
    def unread(self) -> frozenset[int]:
        """The parts looked at without a position."""
        return frozenset(i for i, at in enumerate(self.setting) if at is None) - self.left_out

    @property
    def marks(self) -> str:
        """The marks as typed."""
        typed = [i for i in range(len(self.setting)) if i not in self.left_out]
        return marks_of(self.setting, self.table, typed)

    def job(self) -> dict[str, str]:
        """The same as facts of a job, marks as found."""
        own = {f"fact {name}" if name in self.table.facts else name: text for name, text in self.facts.items()}
        if "outdoor tons" in own:
            own["tons"] = own.pop("outdoor tons")
        return {"table": self.table.name, **own, "found": self.marks}

    def __repr__(self) -> str:
        return f"{self.table.name} {self.marks} {dict(self.facts)}"


def drawn_board(random: Random, table: Table, *, whole: bool = False) -> DrawnBoard:
    """`whole`: every mark is read. Facts are left out one time in four, static pressures go beyond what is printed."""
    facts: dict[str, str] = {}
    if table.unit.models and random.random() < 0.8:
        facts["model"] = random.choice(table.unit.models)
    for fact in table.facts.values():
        if random.random() < 0.75:
            ends = (fact.low, fact.high)
            if fact.values:
                facts[fact.name] = random.choice(fact.values)
            elif ends[0] is not None and ends[1] is not None:
                facts[fact.name] = str(float(random.choice([ends[0], ends[1], (ends[0] + ends[1]) / 2])))
    if random.random() < 0.6:
        scale = 249 if table.units.pressure == "Pa" else 1
        facts["static pressure"] = f"{float(random.choice(PRESSURES) * scale):g} {table.units.pressure}"
    if "tons" not in {f.gives for f in table.facts.values()} and random.random() < 0.5:
        facts["outdoor tons"] = random.choice(("2", "3", "5"))
    setting: list[int | None] = [random.randrange(len(p.positions)) for p in table.parts]
    if random.random() < 0.5:
        delivered = table.delivered(facts.get("model"))
        setting = [b if b is not None and random.random() < 0.8 else a for a, b in zip(setting, delivered, strict=True)]
    left_out = set()
    for _ in range(0 if whole else random.choice((0, 1, 1, 2))):
        part = random.choice(table.parts)
        setting[part.index] = None
        if random.random() < 0.4 and table.selectors[part.selector].parts == (part.index,):
            left_out.add(part.index)
    return DrawnBoard(table=table, facts=facts, setting=tuple(setting), left_out=frozenset(left_out))


def limits_of(stages: Iterable[Mapping[str, Any]]) -> Said:
    """(call, stage, quantity, source, state, on what it depends, whether it is above or below) of stages."""
    return frozenset(
        (s["call"], s["stage"], x["quantity"], x["limit"], x["state"], " ".join(x["depends"]), _side(x["beyond"]))
        for s in stages
        for x in s["limits"]
    )


def _side(beyond: float | Fraction) -> str:
    return "above" if beyond > 0 else "below" if beyond < 0 else ""


def notes_of(notes: Iterable[Mapping[str, Any]]) -> Said:
    """(of what, its name, text, page) of the notes in a record."""
    return frozenset((n["of"], n["name"], n["text"], n["page"]) for n in notes)


def told_of(contradictions: Iterable[Mapping[str, Any]]) -> Said:
    """(selector, fact, what the board is set for, what is installed) of the contradictions in a record."""
    return frozenset((x["selector"], x["fact"], x["set_for"], x["installed"]) for x in contradictions)


def judged_told(judgement: Judgement) -> Said:
    """The same out of a judgement."""
    return frozenset((d.selector, d.fact, d.board, d.known) for d in judgement.contradictions)


def assumed_of(facts: Iterable[Mapping[str, Any]]) -> Said:
    """(fact, what was taken, its unit, call) of the facts not given in a record, call by call."""
    named = ((x.get("fact") or x["what"], x) for x in facts)
    return frozenset((name, str(x["value"]), x["unit"], call) for name, x in named for call in x["calls"])


def judged_assumed(stages: Iterable[StageJudgement]) -> Said:
    """The same out of a judgement."""
    facts = data_of([one for s in stages for one in s.assumed_facts])
    return frozenset((x["name"], str(x["value"]), x["unit"], call) for x in facts for call in x["calls"])


def judged_limits(table: Table, stages: Iterable[StageJudgement]) -> Said:
    """The same out of a judgement."""
    names = [p.name for p in table.parts]
    return frozenset(
        (
            s.call,
            s.stage,
            c.limit.quantity,
            c.limit.source,
            c.state,
            " ".join((*(names[p] for p in c.depends), *c.facts)),
            _side(c.judged[0].beyond),
        )
        for s in stages
        for c in s.checks
    )


def judged_notes(judgement: Judgement) -> Said:
    """The same out of a judgement."""
    return frozenset((n.of, n.name, n.text, n.page) for n in judgement.every_note)
