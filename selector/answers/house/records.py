"""Pieces of the published answers of plan and found: targets, stages, limits, moves."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from selector.answers.call import NoData
from selector.answers.house.allowed import end_words
from selector.answers.house.why import Named, why_data
from selector.answers.parts import LimitData, MoveData, NoteData, SettingData, check_data, notes_data, setting_data
from selector.answers.remarks.remark import RemarkData, remark_data
from selector.answers.words.move import move_text
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.board.move import Move
from selector.job.board.solution import OfferedSetting, Solution
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.solve.board.marks import mark
from selector.table.model.table import No, NoKind, Table
from selector.units import convert, rise
from selector.value import Published, field


class TargetData(Published, frozen=True, kw_only=True):
    """What is aimed at in one stage: an airflow as the chart counts it, a rise, or a share in percent of another call.

    `counts`: it stands in the ranking; `basis`: what it comes of, `more` is to be said of that; `why`: why there is no
    target of its own.
    """

    call: str
    stage: str
    role: str
    airflow: Fraction | None
    rise: Fraction | None
    share: Fraction | None
    counts: bool
    typed: bool
    basis: RemarkData | None
    more: RemarkData | None
    why: RemarkData | None
    heat: Fraction | None
    nameplate_heat: Fraction | None
    tons: Fraction | None
    not_known: tuple[RemarkData, ...]
    notes: tuple[RemarkData, ...]


class AllowedData(Published, frozen=True, kw_only=True):
    """What is allowed, with whose limits the ends are."""

    low: Fraction | None
    high: Fraction | None
    low_by: str
    high_by: str


class ReadAsData(Published, frozen=True, kw_only=True):
    """A charted airflow read one way: standard and actual airflow, rise, supply air, airflow per ton, cooling split."""

    way: str
    standard: Fraction
    actual: Fraction
    rise: Fraction | None
    supply: Fraction | None
    per_ton_cfm: Fraction | None
    split: Fraction | None


class StartStateData(Published, frozen=True, kw_only=True):
    """A step of the start (`seconds` null: it holds): percent of the airflow, cfm per ton beside the minimum."""

    share: Fraction
    seconds: Fraction | None
    per_ton_cfm: Fraction
    minimum_cfm: Fraction
    below: bool


class HouseStageData(Published, frozen=True, kw_only=True):
    """One stage in one setting: an airflow, or one of the five noes (`no`, `why`); `airflows`, `noes`: all that may
    be; `rise`: as charted."""

    call: str
    stage: str
    airflow: Fraction | None
    no: NoKind | None
    why: str
    airflows: tuple[Fraction, ...]
    noes: tuple[NoData, ...]
    rise: Fraction | None
    allowed: AllowedData
    limits: tuple[LimitData, ...]
    notes: tuple[NoteData, ...]
    read_as: tuple[ReadAsData, ...]
    start: tuple[StartStateData, ...]
    below_minimum_s: Fraction | None
    off_delay_s: Fraction | None
    average: Fraction | None


class ChoiceData(Published, frozen=True, kw_only=True):
    """A setting with its moves; `off_target` is its joint deviation from the targets."""

    setting: SettingData
    off_target: Fraction
    moves: tuple[MoveData, ...]
    stages: tuple[HouseStageData, ...]


class WishData(Published, frozen=True, kw_only=True):
    """A wish; `why` not, where it wasn't granted."""

    wish: RemarkData
    granted: bool
    why: RemarkData | None


class ConflictData(Published, frozen=True, kw_only=True):
    """What stands against every setting; `shared`: selectors that several of these calls read."""

    words: str
    shared: tuple[str, ...]


class WhyStepData(Published, frozen=True, kw_only=True, omit_defaults=True):
    """A figure: a leaf has `source`; a computed one `expression` and `inputs` (name there -> id of its step).

    A value that no number holds exactly stands as `numerator/denominator` under `exact` too.
    """

    id: int
    name: str
    value: int | float
    unit: str
    printed: str
    exact: str = ""
    expression: str = ""
    inputs: dict[str, int] = field(default_factory=dict)
    arithmetic: str = ""
    source: str = ""
    note: str = ""


class WhyAnswerData(Published, frozen=True, kw_only=True):
    """A figure that is printed, and the step it comes from."""

    what: str
    step: int
    value: int | float
    unit: str
    printed: str


class WhyChains(Published, frozen=True, kw_only=True):
    """Where every figure comes from: steps stand after those they rest on, each once."""

    answers: tuple[WhyAnswerData, ...]
    steps: tuple[WhyStepData, ...]


class WaterData(Published, frozen=True, kw_only=True):
    """What puts water back into a humid house."""

    off_delay_s: Fraction
    ramp_down: bool
    constant_fan: bool


def target_data(house: House, one: StageAim) -> TargetData:
    """One target."""
    aim, table = one.aim, house.table
    flow = None if aim.charted is None else convert(aim.charted.value, "cfm", table.units.airflow)
    return TargetData(
        call=one.call,
        stage=one.stage,
        role=one.role,
        airflow=flow,
        rise=None if aim.rise_f is None else rise(aim.rise_f.value, "F", table.units.temperature),
        share=aim.share_percent,
        counts=aim.counts,
        typed=aim.typed,
        basis=None if aim.basis is None else remark_data(aim.basis, table),
        more=None if aim.more is None else remark_data(aim.more, table),
        why=None if aim.why is None else remark_data(aim.why, table),
        heat=None if one.heat is None else one.heat.value,
        nameplate_heat=None if one.nameplate is None else one.nameplate.value,
        tons=None if one.tons is None else one.tons.value,
        not_known=tuple(remark_data(why, table) for why in one.unknown),
        notes=tuple(remark_data(note, table) for note in one.remarks),
    )


def choice_data(house: House, one: OfferedSetting) -> ChoiceData:
    """A setting."""
    return ChoiceData(
        setting=setting_data(one.setting, house.table),
        off_target=one.deviation,
        moves=tuple(move_data(m, house.table) for m in one.moves),
        stages=tuple(stage_data(house, s) for s in one.stages),
    )


def move_data(move: Move, table: Table) -> MoveData:
    """A move."""
    was = None if move.was is None else mark(table, move.part, move.was)
    return MoveData(selector=table.parts[move.part].name, was=was, to=mark(table, move.part, move.to))


def stage_data(house: House, one: Expected) -> HouseStageData:
    """A stage in a setting."""
    table, found = house.table, one.answer.airflow
    allowed = allowed_of(house, one)

    def degrees(f: Fraction) -> Fraction:
        return rise(f, "F", table.units.temperature)

    return HouseStageData(
        call=one.aim.call,
        stage=one.aim.stage,
        airflow=found if isinstance(found, Fraction) else None,
        no=found.kind if isinstance(found, No) else None,
        why=found.why if isinstance(found, No) else "",
        airflows=one.stands.airflows,
        noes=tuple(NoData(code=no.kind, why=no.why, needs=no.needs) for no in one.stands.noes),
        rise=one.answer.rise,
        allowed=AllowedData(
            low=allowed.range.low,
            high=allowed.range.high,
            low_by="" if allowed.low is None else end_words(house, allowed.low).words,
            high_by="" if allowed.high is None else end_words(house, allowed.high).words,
        ),
        limits=tuple(check_data(table, c) for c in one.stands.checks),
        notes=notes_data(one.stands.notes),
        read_as=tuple(
            ReadAsData(
                way=r.way.way,
                standard=convert(r.standard.value, "cfm", table.units.airflow),
                actual=convert(r.actual.value, "cfm", table.units.airflow),
                rise=None if r.rise is None else degrees(r.rise.value),
                supply=None if r.leaving is None else convert(r.leaving.value, "F", table.units.temperature),
                per_ton_cfm=None if r.per_ton is None else r.per_ton.value,
                split=None if r.split is None else degrees(r.split.value),
            )
            for r in one.read_as
        ),
        start=tuple(
            StartStateData(
                share=s.share, seconds=s.seconds, per_ton_cfm=s.per_ton.value, minimum_cfm=s.floor, below=s.below
            )
            for s in one.states
        ),
        below_minimum_s=None if one.below_s is None else one.below_s.value,
        off_delay_s=one.off_delay,
        average=None if one.average is None else convert(one.average.value, "cfm", table.units.airflow),
    )


def why_of(named: Iterable[Named]) -> WhyChains:
    """The chains of figures under the names they are printed by."""
    data: Any = why_data(named)
    return WhyChains(
        answers=tuple(WhyAnswerData(**one) for one in data["answers"]),
        steps=tuple(WhyStepData(**one) for one in data["steps"]),
    )


def wishes(solution: Solution) -> tuple[WishData, ...]:
    """Every wish and what became of it."""
    table = solution.house.table
    return tuple(
        WishData(
            wish=remark_data(w.wish, table),
            granted=w.why is None,
            why=None if w.why is None else remark_data(w.why, table),
        )
        for w in solution.granted.outcomes
    )


def moves_text(moves: tuple[Move, ...], table: Table) -> str:
    """`SW1-3 OFF -> ON, SW1-4 ON -> OFF`."""
    return ", ".join(move_text(table, m) for m in moves)
