"""What is judged of a board: records of facts, no words."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from selector.solve.engine.limit import JudgedLimit, Limit
from selector.solve.search.decode import DeclaredDifference
from selector.table.model.table import No, Setting
from selector.value import Struct

State = Literal["kept", "broken", "depends", "not_judged"]
NoteOf = Literal["unit", "chart", "row", "selector", "call"]


class Note(Struct, frozen=True, kw_only=True):
    """A note of the page, what it belongs to, and its page ("" where none is given)."""

    of: NoteOf
    name: str
    text: str
    page: str = ""


class LimitCheck(Struct, frozen=True, kw_only=True):
    """One limit on one stage. `judged`: the distinct ways it comes out, the worst first; one where nothing is open.

    `depends`: parts whose open position decides. `needs` names the fact that would settle what can't be judged, `why`
    says what is missing.
    """

    limit: Limit
    state: State
    judged: tuple[JudgedLimit, ...]
    depends: tuple[int, ...] = ()
    needs: str = ""
    why: str = ""

    @property
    def by(self) -> tuple[Fraction, ...]:
        """How far beyond, signed, in the limit's own unit: every amount that is possible, rising."""
        return tuple(sorted({j.beyond for j in self.judged if j.ok is False}))


class StageJudgement(Struct, frozen=True, kw_only=True):
    """How a stage stands. `outcome` is its airflow, or the first of the five noes; where an open position can change it
    `airflows` (rising) and `noes` (one a code) hold all that is possible and `depends` the parts that decide."""

    call: str
    stage: str
    outcome: Fraction | No
    airflows: tuple[Fraction, ...]
    noes: tuple[No, ...]
    depends: tuple[int, ...]
    checks: tuple[LimitCheck, ...]
    notes: tuple[Note, ...]
    rate: str = ""

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
    def broken(self) -> tuple[tuple[StageJudgement, LimitCheck], ...]:
        """Every limit that is broken for certain."""
        return tuple((s, c) for s in self.stages.values() for c in s.checks if c.state == "broken")
