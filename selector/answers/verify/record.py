"""What `verify` answers under --json."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.answers.danger import DangerData
from selector.answers.house.assumed import AssumedData
from selector.answers.parts import FigureTree, JudgedStageData, MoveData, SettingData
from selector.answers.remarks.remark import RemarkData
from selector.value import Published

Word = Literal["OK", "LOW", "HIGH", "No verdict"]


class FigureData(Published, frozen=True, kw_only=True):
    """A figure with what it comes of: `text` is its arithmetic as on paper."""

    value: Fraction
    unit: str
    text: str


class BandData(Published, frozen=True, kw_only=True):
    """A measured airflow as the chart counts it, with the ends of its band; `way`: how the chart is read up here."""

    way: str
    airflow: FigureData
    low: FigureData
    high: FigureData


class ReadData(Published, frozen=True, kw_only=True):
    """One airflow as it was read."""

    method: str
    airflow: FigureData
    band: Fraction


class LookData(Published, frozen=True, kw_only=True):
    """One thing to look at: what the table gives that fits the reading, and what speaks against it."""

    check: str
    words: str
    fits: tuple[str, ...]
    unlikely: str


class WhyData(Published, frozen=True, kw_only=True):
    """An explanation of the decision table."""

    row: str
    said: str
    condition: str
    look_at: tuple[LookData, ...]


class CrossData(Published, frozen=True, kw_only=True):
    """A figure beside the airflow: what it is, and the side of what it is held against that it lies on."""

    sort: str
    side: Literal["low", "inside", "high"]
    figure: FigureData
    said: str


class StaticData(Published, frozen=True, kw_only=True):
    """External static against the plate's and what the chart holds up to, in. w.c."""

    measured: FigureData
    word: str
    plate: FigureData | None
    holds_up_to: FigureData | None


class PartData(Published, frozen=True, kw_only=True):
    """One part of the air's way: drop and budget in in. w.c.; `by`: a share of the plate's static, of the total, or its
    own chart; `share` of the same whole (0 to 1)."""

    name: str
    drop: Fraction
    budget: Fraction | None
    by: Literal["plate", "total", "chart", ""]
    share: Fraction | None
    over: bool


class ProfileData(Published, frozen=True, kw_only=True):
    """Static part by part; `first`: the part to look at first; `counted`: the ports that the plate's static is taken
    between, or `why_not`."""

    parts: tuple[PartData, ...]
    counted: str
    why_not: RemarkData | None
    first: str
    face_fpm: Fraction | None
    face_limit_fpm: Fraction | None


class StaticThenData(Published, frozen=True, kw_only=True):
    """The static to expect at a setting, from the one measured: least and most; `over` its maximum, or may be."""

    call: str
    stage: str
    measured: FigureData
    low: FigureData
    high: FigureData
    maximum: FigureData | None
    over: Literal["", "over", "may be over"]


class CoolingData(Published, frozen=True, kw_only=True):
    """A measured coil: the split in F, capacities in Btu/h; `by`: what the verdict goes by."""

    verdict: Word
    by: Literal["capacity", "split", ""]
    said: str
    split: FigureData
    expected: FigureData | None
    capacity: FigureData | None
    delivered: FigureData | None
    sensible_share: Fraction | None
    airflow: FigureData | None
    airflow_measured: bool
    steps: tuple[str, ...]


class ChangeData(Published, frozen=True, kw_only=True):
    """What a setting changes in a stage, airflows in the table's unit; null where there is none."""

    call: str
    stage: str
    was: Fraction | None
    to: Fraction | None


class NextData(Published, frozen=True, kw_only=True):
    """What to do next; `moves` and what they change only where a setting is offered."""

    kind: Literal["nothing", "measure", "look", "set", "no setting", "not offered"]
    reason: str
    steps: tuple[str, ...]
    moves: tuple[MoveData, ...]
    setting: SettingData | None
    changes: tuple[ChangeData, ...]
    against: tuple[str, ...]


class JudgedData(Published, frozen=True, kw_only=True):
    """One state that was measured. Airflows in cfm. `set_for` null: `no` says which of the noes and `why`."""

    call: str
    stage: str
    firing_rate: str
    verdict: Word
    said: str
    against_setting: str
    stands: str | None
    by_chart: bool
    plate_heat: bool
    measured: tuple[ReadData, ...]
    delivered: tuple[BandData, ...]
    set_for: FigureData | None
    no: str
    why_no: str
    target: FigureData | None
    low: FigureData | None
    high: FigureData | None
    static: StaticData | None
    profile: ProfileData | None
    cooling: CoolingData | None
    static_then: StaticThenData | None
    checks: tuple[CrossData, ...]
    fits: tuple[str, ...]
    explanations: tuple[WhyData, ...]
    notes: tuple[RemarkData, ...]
    page_notes: tuple[str, ...]
    judged: JudgedStageData | None
    next: NextData


class UnusedData(Published, frozen=True, kw_only=True):
    """A reading that isn't used, and why."""

    line: int
    column: int
    code: str
    message: str


class VerifyAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector verify. Where a danger leaves no work (gas, CO, still live) `states` is empty."""

    version: Literal[2]
    table: str
    setting: SettingData | None
    dangers: tuple[DangerData, ...]
    first: tuple[str, ...]
    assumed: tuple[AssumedData, ...]
    notes: tuple[RemarkData, ...]
    settled: tuple[str, ...]
    states: tuple[JudgedData, ...]
    not_used: tuple[UnusedData, ...]
    why: tuple[FigureTree, ...] = ()
