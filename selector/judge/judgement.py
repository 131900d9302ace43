"""What is judged of a board: records of facts, no words."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from selector.judge.assumed_facts import AssumedFact, of_all
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.table import No, NoKind, Setting
from selector.value import Struct, field, replace

State = Literal["kept", "broken", "depends", "not_judged"]
Stands = NoKind | Literal["inside", "outside", "not_judged", "stopped", "depends"]
"""How a stage stands on one board. `not_judged`: there is an airflow and no limit that a fact judges; `stopped`: it has
to run here and does not; `depends`: an open position decides whether a limit holds; else one of the five noes."""
WRONG: frozenset[Stands] = frozenset({"outside", "not_usable", "outside_chart", "stopped"})
NoteOf = Literal["unit", "chart", "row", "copied row", "selector", "call"]


class Note(Struct, frozen=True, kw_only=True):
    """A note of the page, what it belongs to, and its page ("" where none is given). That of a copied row is the row it
    behaves as."""

    of: NoteOf
    name: str
    text: str
    page: str = ""


class LimitCheck(Struct, frozen=True, kw_only=True):
    """One limit on one stage. `judged`: the distinct ways it comes out, the worst first; one where nothing is open.

    `depends`, `facts`: parts whose open position and facts not given that decide. `needs` names the fact that would
    settle what can't be judged, `why` says what is missing.
    """

    limit: Limit
    state: State
    judged: tuple[JudgedLimit, ...]
    depends: tuple[int, ...] = ()
    facts: tuple[str, ...] = ()
    needs: str = ""
    why: str = ""

    @property
    def certain(self) -> JudgedLimit:
        """How it comes out whatever isn't known: of a limit that is broken on one side in every case the way that
        breaks it least; of any other its worst way."""
        if self.state != "broken" or len({j.beyond > 0 for j in self.judged}) > 1:
            return self.judged[0]
        return replace(self.judged[-1], at_least=len({j.beyond for j in self.judged}) > 1)

    @property
    def by(self) -> tuple[Fraction, ...]:
        """How far beyond, signed, in the limit's own unit: every amount that is possible, rising."""
        return tuple(sorted({j.beyond for j in self.judged if j.ok is False}))


class StageJudgement(Struct, frozen=True, kw_only=True):
    """How a stage stands. `outcome` is its airflow, or the first of the five noes; where an open position or a fact not
    given can change it `airflows` (rising) and `noes` (one a code) hold all that is possible, `depends` the parts and
    `facts` the facts that decide. Where one part alone decides, `which` gives for each airflow the (part, position)
    pairs that lead to it.

    `pages`: the pages of the charts it reads. `reads`: the open parts that its judgement reads; `cases`: their
    positions -> how it then stands (empty where they are too many to list). `needed`: it has to run here.
    `assumed_facts`: facts not given that its figures rest on.
    """

    call: str
    stage: str
    outcome: Fraction | No
    airflows: tuple[Fraction, ...]
    noes: tuple[No, ...]
    depends: tuple[int, ...]
    checks: tuple[LimitCheck, ...]
    notes: tuple[Note, ...]
    facts: tuple[str, ...] = ()
    which: Mapping[Fraction, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    rate: str = ""
    reads: tuple[int, ...] = ()
    cases: Mapping[tuple[int, ...], Stands] = field(default_factory=dict)
    needed: bool = False
    pages: tuple[str, ...] = ()
    assumed_facts: tuple[AssumedFact, ...] = ()

    @property
    def certain(self) -> bool:
        """True where everything open makes no difference to its airflow."""
        return len(self.airflows) + len(self.noes) == 1

    @property
    def stands(self) -> Stands:
        """How it stands whatever the open positions are; else what is said of it."""
        places = set(self.cases.values())
        if len(places) == 1:
            return next(iter(places))
        return self.outcome.kind if isinstance(self.outcome, No) else "depends"

    @property
    def wrong(self) -> bool:
        """True where it can't stay as it is, whatever the open positions are."""
        return bool(self.cases) and all(stands in WRONG for stands in self.cases.values())

    @property
    def broken(self) -> tuple[JudgedLimit, ...]:
        """The limits that are broken for certain, each in the way that breaks it least."""
        return tuple(c.certain for c in self.checks if c.state == "broken")

    @property
    def ways(self) -> tuple[JudgedLimit, ...]:
        """Every way that every limit comes out."""
        return tuple(j for c in self.checks for j in c.judged)

    @property
    def unjudged(self) -> tuple[JudgedLimit, ...]:
        """The limits that no fact judges."""
        return tuple(c.judged[0] for c in self.checks if c.state == "not_judged")

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class Judgement(Struct, frozen=True, kw_only=True):
    """One board. `setting` is what was judged, `assumed` the parts that nobody typed and that count as delivered or as
    their fact says; `open` the parts without a position.

    `contradictions`: selectors that tell the board other equipment than is there. `shared`: leads that stand on one
    tap. `cut`: links that are cut. `not_left`: parts that don't stand where the page says to leave them. `refused`:
    charts that no call reads, standing on a row the page refuses.
    """

    setting: Setting
    open: tuple[int, ...]
    assumed: tuple[int, ...]
    stages: Mapping[tuple[str, str], StageJudgement]
    contradictions: tuple[DeclaredDifference, ...]
    shared: tuple[tuple[int, ...], ...]
    cut: tuple[int, ...]
    not_left: tuple[int, ...]
    refused: tuple[tuple[str, No], ...]
    notes: tuple[Note, ...]

    @property
    def assumed_facts(self) -> tuple[AssumedFact, ...]:
        """The facts not given that a figure rests on, each once."""
        return of_all(one for s in self.stages.values() for one in s.assumed_facts)

    @property
    def untrue(self) -> tuple[DeclaredDifference, ...]:
        """The contradictions that are faults: selectors that are there to tell what is installed."""
        return tuple(d for d in self.contradictions if d.declares)

    @property
    def broken(self) -> tuple[tuple[StageJudgement, LimitCheck], ...]:
        """Every limit that is broken for certain."""
        return self.checks("broken")

    def checks(self, state: State) -> tuple[tuple[StageJudgement, LimitCheck], ...]:
        """Every limit in a state, stage by stage."""
        return tuple((s, c) for s in self.stages.values() for c in s.checks if c.state == state)

    @property
    def every_note(self) -> tuple[Note, ...]:
        """The notes of unit and stages, each once."""
        return tuple(dict.fromkeys((*self.notes, *(n for s in self.stages.values() for n in s.notes))))

    @property
    def pages(self) -> tuple[str, ...]:
        """The pages of the charts that are read, rising."""
        return tuple(sorted({p for s in self.stages.values() for p in s.pages}, key=lambda p: (len(p), p)))
