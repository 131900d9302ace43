"""What changed at a unit since its baseline: marks that somebody moved, and figures that differ by more than both their
bands. Common practice, no source: two readings whose bands meet tell no change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.job.verify.verdict import Verdict
from selector.job.visits.causes import Cause, Side, Way, causes_of
from selector.job.visits.measured_at import SIDES, WHOLE, MeasuredFigure, VisitRecord
from selector.job.visits.other_setting import at_setting
from selector.table.model.table import Setting
from selector.value import Struct

State = tuple[str, str]


class MovedMark(Struct, frozen=True, kw_only=True):
    """A part that was left in one position (`left_on`: the day) and found in another."""

    part: int
    was: int
    now: int
    left_on: str


class Change(Struct, frozen=True, kw_only=True):
    """One figure at the baseline (`since`: the day) and now. `way`: same where the bands meet. Where the setting was
    changed between them `read` is what was read then, at `set_for` (then and now, cfm), and `was` what that comes to at
    the setting now."""

    was: MeasuredFigure
    now: MeasuredFigure
    since: str
    way: Way
    read: MeasuredFigure | None = None
    set_for: tuple[Fraction, Fraction] | None = None


class NotCompared(Struct, frozen=True, kw_only=True):
    """A figure that was measured before under another setting: what it was set for then and is now, cfm."""

    figure: MeasuredFigure
    since: str
    set_for_then: Fraction | None
    set_for_now: Fraction | None


class StateChanges(Struct, frozen=True, kw_only=True):
    """What changed in one call and stage, and what it points to."""

    call: str
    stage: str
    changes: tuple[Change, ...]
    causes: tuple[Cause, ...]

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class VisitChanges(Struct, frozen=True, kw_only=True):
    """A unit after a visit, against the visits before."""

    moved: tuple[MovedMark, ...]
    states: tuple[StateChanges, ...]
    not_compared: tuple[NotCompared, ...]


def changes_at(visits: Sequence[VisitRecord]) -> VisitChanges:
    """A unit after these visits against its baseline: every figure as it was read last, while the selectors of its call
    stood as they do now, against the first visit that read it so. A single visit has nothing to be compared with."""
    *before, now = visits
    new_filter = any("filter" in word.text.casefold() for word in now.job.done)
    compared: dict[State, list[Change]] = {}
    left_out: list[NotCompared] = []
    seen: set[State] = set()
    for n, visit in reversed(list(enumerate(visits))):
        here = {(f.call, f.stage) for f in visit.figures} - seen
        seen |= here
        for figure in visit.figures:
            at = (figure.call, figure.stage)
            if at not in here or visit.positions(*at) != now.positions(*at):
                continue
            found = _baseline(visits[:n], visit, figure)
            if isinstance(found, NotCompared):
                left_out.append(found)
            elif found is not None:
                compared.setdefault(at, []).append(found)
    return VisitChanges(
        moved=tuple(_moved(before[-1], now)) if before else (),
        states=tuple(
            StateChanges(
                call=call,
                stage=stage,
                changes=tuple(found),
                causes=causes_of(
                    _ways(found),
                    _side(found),
                    _part(found),
                    new_filter=new_filter,
                    at_plate=_fired_as_plate(now, (call, stage)),
                ),
            )
            for (call, stage), found in compared.items()
        ),
        not_compared=tuple(left_out),
    )


def _baseline(before: Sequence[VisitRecord], now: VisitRecord, figure: MeasuredFigure) -> Change | NotCompared | None:
    at = (figure.call, figure.stage)
    other: Change | NotCompared | None = None
    for visit in before:
        was = next((f for f in visit.figures if (f.call, f.stage, f.name) == (*at, figure.name)), None)
        if was is None:
            continue
        if figure.name != "input" and visit.positions(*at) != now.positions(*at):
            other = other or _under_other_marks(was, figure, visit, now)
            continue
        return Change(was=was, now=figure, since=visit.date, way=way_of(was, figure))
    return other


def _under_other_marks(
    was: MeasuredFigure, figure: MeasuredFigure, visit: VisitRecord, now: VisitRecord
) -> Change | NotCompared:
    """A figure against one that was read at another setting, where a law takes it from there to here: a blower that
    didn't follow its setting then has none."""
    at = (figure.call, figure.stage)
    then, today = visit.set_for.get(at), now.set_for.get(at)
    known = then is not None and today is not None and not _off_setting(visit, at)
    here = at_setting(was, then, today) if known and then is not None and today is not None else None
    if here is None or then is None or today is None:
        return NotCompared(figure=figure, since=visit.date, set_for_then=then, set_for_now=today)
    way = way_of(here, figure)
    return Change(was=here, now=figure, since=visit.date, way=way, read=was, set_for=(then, today))


def _judged(visit: VisitRecord, at: State) -> Verdict | None:
    verdicts = (one.verdict for one in visit.verdicts.judged)
    return next((one for one in verdicts if (one.state.call, one.state.stage) == at), None)


def _off_setting(visit: VisitRecord, at: State) -> bool:
    """True where the airflow read at a visit was not the one its setting gives."""
    verdict = _judged(visit, at)
    return verdict is not None and bool(verdict.moved) and verdict.against != "as selected"


def _fired_as_plate(visit: VisitRecord, at: State) -> bool:
    """True where the input clocked at a visit is what plate and job let expect."""
    verdict = _judged(visit, at)
    return verdict is not None and any(one.sort == "fired" and one.side == "inside" for one in verdict.notes)


def way_of(was: MeasuredFigure, now: MeasuredFigure) -> Way:
    """`up` or `down` only where the two are further apart than both bands together."""
    if abs(now.value - was.value) <= now.band + was.band:
        return "same"
    return "up" if now.value > was.value else "down"


def _ways(found: Sequence[Change]) -> dict[str, Way]:
    """Each figure's way; a static of one side stands for the whole where the whole wasn't read."""
    ways = {change.now.name: change.way for change in found}
    sides = {ways[name] for name in ("return static", "supply static") if name in ways}
    if "static pressure" not in ways and len(sides - {"same"}) == 1:
        ways["static pressure"] = next(iter(sides - {"same"}))
    return ways


def _side(found: Sequence[Change]) -> Side:
    """The side whose static changed by itself."""
    ways: dict[str, Literal["up", "down", "same"]] = {change.now.name: change.way for change in found}
    back, supply = ways.get("return static", "same"), ways.get("supply static", "same")
    if back != "same" and supply == "same" and "supply static" in ways:
        return "return"
    return "supply" if supply != "same" and back == "same" and "return static" in ways else ""


def _part(found: Sequence[Change]) -> str:
    """The part of the air's way whose drop changed most beyond both bands, the way the whole did."""
    whole = _ways(found).get("static pressure", "same")
    parts = [one for one in found if one.now.name not in (*WHOLE, *SIDES) and one.way == whole != "same"]
    return max(parts, key=lambda one: abs(one.now.value - one.was.value)).now.name if parts else ""


def _moved(before: VisitRecord, now: VisitRecord) -> Iterator[MovedMark]:
    left: Setting | None = before.left
    if left is None or now.found is None:
        return
    for part, (was, at) in enumerate(zip(left, now.found, strict=True)):
        if was is not None and at is not None and was != at:
            yield MovedMark(part=part, was=was, now=at, left_on=before.date)
