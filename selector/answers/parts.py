"""Pieces that the published answers are made of."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from selector.judge.assumed_facts import AssumedFact
from selector.judge.judgement import LimitCheck, Note, StageJudgement
from selector.solve.board.marks import mark_by_part, marks_of
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.table import Setting, Table
from selector.value import Published, replace

VERSION: Literal[2] = 2
"""The version of every answer's shape."""


class UnitsData(Published, frozen=True, kw_only=True):
    """The units of an answer's figures; heat is in Btu/h, times in seconds, shares in percent."""

    airflow: str
    temperature: str
    pressure: str


class SettingData(Published, frozen=True, kw_only=True):
    """A setting of the whole board: as it would be typed, and the printed mark of every switch and selector (? where
    it can't be read)."""

    marks: str
    positions: dict[str, str]


class RangeData(Published, frozen=True, kw_only=True):
    """What is allowed; an end that is null is open."""

    low: Fraction | None
    high: Fraction | None


class LimitData(Published, frozen=True, kw_only=True):
    """A limit and how a stage sits with it; `ok` is null where it can't be checked, then `why` says what is missing and
    `needs` the fact that would settle it. `state`: kept, broken, depends (in its worst case here; on the selectors and
    facts of `depends`) or not_judged. `beyond`: how far over (positive) or below (negative)."""

    limit: str
    quantity: str
    ok: bool | None
    value: Fraction | None
    allowed: RangeData
    beyond: Fraction
    firing_rate: str
    why: str
    needs: str
    state: str
    depends: tuple[str, ...]


class NoteData(Published, frozen=True, kw_only=True):
    """A note of the manual: of a unit, call, chart, row, copied row (then it names the row this one behaves as) or
    selector."""

    of: str
    name: str
    text: str
    page: str


class AssumedFactData(Published, frozen=True, kw_only=True):
    """A fact not given and what was taken for it: `value` in `unit`, null where the page doesn't print it; `calls`
    rest on it."""

    fact: str
    value: Fraction | None
    unit: str
    calls: tuple[str, ...]


class JudgedStageData(Published, frozen=True, kw_only=True):
    """How the judge has a stage: every limit on it, the notes of the manual that apply, the facts that its figures rest
    on and that nobody gave."""

    call: str
    stage: str
    limits: tuple[LimitData, ...]
    notes: tuple[NoteData, ...]
    assumed_facts: tuple[AssumedFactData, ...]


class ContradictionData(Published, frozen=True, kw_only=True):
    """A selector that is set for other equipment than is installed."""

    selector: str
    fact: str
    set_for: str
    installed: str


class MoveData(Published, frozen=True, kw_only=True):
    """One selector moved; `was` is null where it couldn't be read."""

    selector: str
    was: str | None
    to: str


class FigureTree(Published, frozen=True, kw_only=True):
    """A figure with all it rests on: a leaf has a `source`, a computed one its `expression` over its inputs' names."""

    name: str
    value: Fraction
    unit: str
    text: str
    source: str = ""
    expression: str = ""
    inputs: tuple[FigureTree, ...] = ()
    note: str = ""


def units_data(table: Table) -> UnitsData:
    """The units a table's answers are in."""
    units = table.units
    return UnitsData(airflow=units.airflow, temperature=units.temperature, pressure=units.pressure)


def setting_data(setting: Setting, table: Table) -> SettingData:
    """A setting for JSON."""
    return SettingData(marks=marks_of(setting, table), positions=mark_by_part(setting, table))


def limit_data(judged: JudgedLimit) -> LimitData:
    """A limit for JSON."""
    return LimitData(
        limit=judged.limit.source,
        quantity=judged.limit.quantity,
        ok=judged.ok,
        value=judged.value,
        allowed=RangeData(low=judged.low, high=judged.high),
        beyond=judged.beyond,
        firing_rate=judged.rate,
        why=judged.why,
        needs=judged.needs,
        state="not_judged" if judged.ok is None else "kept" if judged.ok else "broken",
        depends=(),
    )


def check_data(table: Table, check: LimitCheck) -> LimitData:
    """A limit as it was judged, for JSON."""
    depends = (*(table.parts[p].name for p in check.depends), *check.facts)
    return replace(limit_data(check.certain), needs=check.needs, state=check.state, depends=depends)


def judged_stage_data(table: Table, judged: StageJudgement) -> JudgedStageData:
    """A judged stage for JSON."""
    return JudgedStageData(
        call=judged.call,
        stage=judged.stage,
        limits=tuple(check_data(table, check) for check in judged.checks),
        notes=notes_data(judged.notes),
        assumed_facts=assumed_facts_data(judged.assumed_facts),
    )


def assumed_facts_data(facts: Iterable[AssumedFact]) -> tuple[AssumedFactData, ...]:
    """Facts not given for JSON."""
    return tuple(AssumedFactData(fact=x.name, value=x.value, unit=x.unit, calls=x.calls) for x in facts)


def notes_data(notes: Iterable[Note]) -> tuple[NoteData, ...]:
    """Notes for JSON."""
    return tuple(NoteData(of=n.of, name=n.name, text=n.text, page=n.page) for n in notes)


def contradictions_data(differences: Iterable[DeclaredDifference]) -> tuple[ContradictionData, ...]:
    """What the board is set for beside what is installed, for JSON."""
    return tuple(
        ContradictionData(selector=d.selector, fact=d.fact, set_for=d.board, installed=d.known) for d in differences
    )
