"""What `visits` answers under --json."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.answers.danger import DangerData
from selector.answers.parts import MoveData, SettingData, UnitsData
from selector.answers.verify.record import VerifyAnswer, Word
from selector.value import Published


class VisitStateData(Published, frozen=True, kw_only=True):
    """A call and stage measured at a visit, with its verdict."""

    call: str
    stage: str
    verdict: Word
    said: str


class VisitData(Published, frozen=True, kw_only=True):
    """One visit. `date` is empty where none was typed; `found` and `left` are null where no marks are known."""

    date: str
    by: str
    found: SettingData | None
    left: SettingData | None
    states: tuple[VisitStateData, ...]
    seen: tuple[str, ...]
    done: tuple[str, ...]
    notes: tuple[str, ...]


class ChangedFigureData(Published, frozen=True, kw_only=True):
    """A figure then and now, with the band of each to either side; `way` is same where the bands meet. Where the
    setting was changed between them `read` is what was read then, `was` what that comes to at the setting now; else
    null."""

    figure: str
    since: str
    read: Fraction | None
    was: Fraction
    was_band: Fraction
    now: Fraction
    now_band: Fraction
    unit: str
    way: Literal["up", "down", "same"]


class CauseData(Published, frozen=True, kw_only=True):
    """What the changes of a stage point to, and what to do."""

    cause: str
    side: str
    part: str
    said: str
    do: str


class StateChangeData(Published, frozen=True, kw_only=True):
    """What changed in a call and stage."""

    call: str
    stage: str
    figures: tuple[ChangedFigureData, ...]
    causes: tuple[CauseData, ...]


class NotComparedData(Published, frozen=True, kw_only=True):
    """A figure read before under other marks: what the call was set for then and is now."""

    call: str
    stage: str
    figure: str
    since: str
    set_for_then: Fraction | None
    set_for_now: Fraction | None


class VerifiedStageData(Published, frozen=True, kw_only=True):
    """A stage measured under the marks that stand now."""

    call: str
    stage: str
    date: str
    fine: bool


class OwedData(Published, frozen=True, kw_only=True):
    """Something still to be done; `season` says when it can be."""

    work: str
    call: str
    stage: str
    season: Literal["warm", "cold", "any"]
    since: str
    said: str


class VisitsAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector visits: every visit to a unit, what changed since its baseline, what is verified and owed.

    Airflows are in `units.airflow`, statics in its pressure, rises in its degrees; input in Btu/h, watts in W.
    `moved`: selectors that were found otherwise than they were left. `verdict`: as selector verify answers, of the
    readings that hold now; null where there are none.
    """

    version: Literal[2]
    table: str
    model: str | None
    place: str
    units: UnitsData
    dangers: tuple[DangerData, ...]
    visits: tuple[VisitData, ...]
    moved: tuple[MoveData, ...]
    changes: tuple[StateChangeData, ...]
    not_compared: tuple[NotComparedData, ...]
    verified: tuple[VerifiedStageData, ...]
    owed: tuple[OwedData, ...]
    verdict: VerifyAnswer | None
