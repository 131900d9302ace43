"""What was measured in one state, held against what was selected, against its window, and against plate and chart;
and what to do next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from selector.air import measure
from selector.air.figure import Figure, Worked, renamed
from selector.job.board.allowed import allowed_in, figure_of
from selector.job.danger.hazard import Hazard
from selector.job.file.model import Job
from selector.job.house.heating import fuel_of
from selector.job.readings.decision_table import Blower, Delivered, Seen, chosen, deciding
from selector.job.readings.measured_airflow import Apart, MovedAir, moved_air
from selector.job.readings.readings_by_state import TakenIn
from selector.job.readings.static import Pressure, pressure, prints_static
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.job.targets.stage_target import HIGHEST
from selector.job.verify.causes import Explanation, Suspect, explain
from selector.job.verify.commanded import asked_for, suspects
from selector.job.verify.cross_checks import CrossCheck, cross_checks
from selector.judge.judgement import Judgement, Note, StageJudgement
from selector.solve.engine.engine import Engine
from selector.table.model.range import Range
from selector.table.model.table import No
from selector.value import Struct, replace

SLIGHT = Fraction(10, 100)
"""No cause is sought for an airflow this near to selected, inside its window: air is commonly balanced to 10 %
(common practice, no source)."""

OFF = ("low", "high", "unclocked low", "unclocked high")
"""The airflow isn't the selected one, or wouldn't be if the heat were the plate's."""
OVER = ("rise over", "outlet over", "input over")
"""Dangers of a call that less air makes worse, or that hide behind it."""
COLD_COIL = ("cooling", "dehumidify", "fan")
"""Roles whose air passes a coil that ice may close."""
PASSING = (None, "inside", "likely inside")
"""Standings that nothing but static may spoil."""


class Verdict(Struct, frozen=True, kw_only=True):
    """One state judged. Airflows in cfm as the chart counts them.

    `moved`: one for each way to read the chart; `apart` where two methods contradict each other (then there is no
    verdict). `against` is the
    word against the selected airflow, `standing` against the window (None: no window, or no verdict); `notes` are
    figures that speak beside it.
    `by_chart`: the airflow was read from the chart at the static measured, not measured itself; the standing is then
    that of the charted figure.
    `asked`: what the board shows, where that isn't what the marks select; `fits`: what this table has that would move
    what was read, or shown.
    `slight`: how far from selected, where that is more than the band but no cause is sought for so little.
    `over`: its rise, supply air or input is over the plate; `iced`: the coil is iced, so what was read says nothing.
    `plate_heat`: the airflow rests on heat that was not measured, `derated` its share of the nameplate's; `fuel`: what
    it burns, or hot water.
    `by_static`: it is above its window by the ceiling of static alone; `ceiling`: static sets the upper end; `face`:
    the thing whose face does.
    """

    state: TakenIn
    selected: Figure | No
    moved: tuple[MovedAir, ...]
    apart: Apart | None
    against: Delivered
    standing: measure.Standing | None
    low: Figure | None
    high: Figure | None
    aim: Figure | None
    static: Pressure | None
    watts: Figure | None
    seen: Seen
    explanations: tuple[Explanation, ...]
    deciding: str
    notes: tuple[CrossCheck, ...]
    by_chart: bool = False
    asked: Figure | None = None
    fits: tuple[Suspect, ...] = ()
    slight: Figure | None = None
    by_static: bool = False
    ceiling: bool = False
    face: str = ""
    board: StageJudgement | None = None
    notes_of_page: tuple[Note, ...] = ()
    fuel: str = ""
    plate_heat: bool = False
    derated: Fraction = Fraction(1)
    over: bool = False
    iced: bool = False

    @property
    def judged(self) -> bool:
        """True where there is a verdict on the airflow."""
        return bool(self.moved) and self.against in ("low", "as selected", "high")

    @property
    def heater_short(self) -> bool:
        """True where volts x amps are well under the heater's rating: not all of it is on."""
        return any(check.sort == "power" and check.side == "low" for check in self.notes)

    @property
    def may_be_lower(self) -> bool:
        """True where the limits are known and leave the airflow that was measured inside, and nothing is over the
        plate: less is no advice elsewhere."""
        low = self.low
        inside = low is not None and bool(self.moved) and all(one.low.value >= low.value for one in self.moved)
        return inside and not self.over and "rise high" not in self.seen.also

    @property
    def fine(self) -> bool:
        """True where the airflow is as selected, not outside its window, and nothing speaks against it."""
        inside = self.standing in ("inside", "likely inside") or (self.low is None and self.high is None)
        alarms = (
            self.over
            or {"rise high", "rise low"} & self.seen.also
            or self.seen.static == "high"
            or self.asked is not None
        )
        as_set = self.against == "as selected" or self.slight is not None or self.by_chart
        return as_set and inside and not alarms and not self.heater_short


def judge_state(
    state: TakenIn,
    selected: Figure | No,
    house: House,
    board: Judgement,
    dangers: Iterable[Hazard] = (),
) -> Verdict:
    """The verdict on one state of a house; `selected` is the airflow the marks give in it, cfm; `board`: how the whole
    board stands; `dangers`: what of the house can hurt."""
    engine, job, air, known = state.engine, house.job, house.air, house.known
    told = {one.what for one in dangers if not one.call or (one.call, one.stage) == (state.call, state.stage)}
    iced = "iced coil" in told and house.roles[state.call] in COLD_COIL
    flows = [] if iced else [one.flow for one in state.taken if one.flow is not None]
    moved: list[MovedAir] = []
    apart = None
    for way in air.ways if flows else ():
        found = moved_air(flows, way, air)
        if isinstance(found, Apart):
            apart = found
        else:
            moved.append(found)
    plate_heat = any(one.plate_heat for one in flows)
    against = _against(moved, apart, selected, unclocked=bool(flows) and all(one.plate_heat for one in flows))
    aim = house.aim(state.call, state.stage)
    low, high, by = _allowed(house, aim, state, board)
    top = by == "static"
    _, other_high, _ = _allowed(
        house, replace(aim, bounds=tuple(b for b in aim.bounds if b.origin != "static")), state, board
    )
    counted = low
    floor = aim.heater_floor
    if floor is not None and not floor.name and not (moved and all(m.high.value < floor.figure.value for m in moved)):
        # what the page gives a heater is what the board is set for: a band that reaches over it is no fault
        others = tuple(bound for bound in aim.bounds if bound.origin != "heater")
        counted = _allowed(house, replace(aim, bounds=others), state, board)[0] or replace(
            floor.figure, value=Fraction(0)
        )
    static = _pressure(state, job)
    prints = prints_static(state.engine.table.calls[state.call], state.engine)
    by_chart = prints and not flows and not iced and static is not None and isinstance(selected, Figure)
    charted = selected.value if by_chart and isinstance(selected, Figure) else None

    def stands(least: Figure | None, most: Figure | None) -> measure.Standing | None:
        if charted is not None:
            return _charted_standing(charted, least, most)
        return _standing(moved, least, most) if apart is None else None

    otherwise = stands(counted, other_high)
    standing = otherwise
    if top and (otherwise in ("inside", "likely inside") or (counted is None and other_high is None)):
        under = stands(None, high)
        standing = under if otherwise is None or under != "inside" else otherwise
    by_static = standing != otherwise and standing in ("above", "likely above")
    watts = next((one.watts for one in state.taken if one.watts is not None), None)
    notes, also = cross_checks(state, job, air, moved, selected, watts, board.setting)
    if plate_heat and against == "as selected" and also & {"rise high", "rise low"}:
        against = "unclocked low" if "rise high" in also else "unclocked high"
    seen = Seen(
        delivered=against,
        static=static.word if static is not None else "not known",
        blower=_blower(engine),
        also=also,
    )
    asked, unlikely = asked_for(state, selected)
    heats = house.roles[state.call] in ("heat", "heat pump", "heat pump + auxiliary")
    fits = suspects(state, board.setting, known, moved, selected) if asked is not None or against in OFF else ()
    fits = tuple(s for s in fits if not (heats and s.check == "dehumidify"))
    slight = _slight(moved, selected) if against in ("low", "high") and otherwise in PASSING and asked is None else None
    if {"rise high", "rise low"} & also or seen.static == "high" or any(s.check == "dehumidify" for s in fits):
        slight = None
    explanations = explain(seen, fits, unlikely, heats=heats) if slight is None else ()
    return Verdict(
        state=state,
        selected=selected,
        moved=tuple(moved) if apart is None else (),
        apart=apart,
        against=against,
        standing=standing,
        low=low,
        high=high,
        aim=aim.aim.charted,
        static=static,
        watts=watts,
        seen=seen,
        explanations=explanations,
        deciding=deciding(seen, chosen(seen)) if slight is None else "",
        notes=notes,
        by_chart=by_chart,
        asked=asked,
        fits=fits if slight is None else (),
        slight=slight,
        by_static=by_static,
        ceiling=top,
        face="" if top else by,
        notes_of_page=(*board.notes, *board.stages[state.call, state.stage].notes),
        board=board.stages[state.call, state.stage],
        fuel=fuel_of(job, engine.table, engine.table.calls[state.call]) or "",
        plate_heat=plate_heat,
        derated=Fraction(1) if aim.heat is None or aim.nameplate is None else aim.heat.value / aim.nameplate.value,
        over=bool(told & set(OVER)),
        iced=iced,
    )


def _against(
    moved: Sequence[MovedAir], apart: Apart | None, selected: Figure | No, *, unclocked: bool = False
) -> Delivered:
    """The word against the selected airflow; not known where the ways to read the chart don't agree on it. Where the
    heat was not measured neither low nor high is spoken."""
    if apart is not None:
        return "disagree"
    if not moved or isinstance(selected, No):
        return "not known"
    words = {measure.against_selected(one.measured, selected.value) for one in moved}
    if len(words) > 1:
        return "not known"
    word = words.pop()
    if unclocked and word != "as selected":
        return "unclocked low" if word == "low" else "unclocked high"
    return word


def _slight(moved: Sequence[MovedAir], selected: Figure | No) -> Figure | None:
    """How far the airflow is from selected, as a share of it, where that is at most SLIGHT however the chart is
    read; else None."""
    if isinstance(selected, No) or not selected.value or not moved:
        return None
    off = [abs(one.airflow.value - selected.value) / selected.value for one in moved]
    if max(off) > SLIGHT:
        return None
    inputs = (renamed(moved[0].airflow, "delivered"), renamed(selected, "selected"))
    return Worked(name="off", value=off[0], unit="", expression="abs(delivered - selected) / selected", inputs=inputs)


def _allowed(house: House, aim: StageAim, state: TakenIn, board: Judgement) -> tuple[Figure | None, Figure | None, str]:
    """The ends of what is allowed in this stage, cfm, and what sets the upper one: static, or the name of a face."""
    unit = house.table.units.airflow
    heat = aim.heat.value if aim.heat is not None else None
    found = allowed_in(house, aim, board.stages[state.call, state.stage], heat)
    bound = None if found.high is None else found.high.bound
    by = "" if bound is None else "static" if bound.origin == "static" else bound.name if bound.origin == "face" else ""
    return figure_of(found.low, unit), figure_of(found.high, unit), by


def _standing(moved: Sequence[MovedAir], low: Figure | None, high: Figure | None) -> measure.Standing | None:
    """Where the airflow stands in its window; the weaker word where the ways to read the chart differ, None where
    they contradict."""
    if not moved or (low is None and high is None):
        return None
    least, most = Fraction(0) if low is None else low.value, HIGHEST if high is None else high.value
    if least > most:  # no airflow meets both ends: what isn't above one is below the other
        return "above" if all(one.measured.low_cfm > most for one in moved) else "below"
    words = {measure.standing(one.measured, least, most) for one in moved}
    if len(words) == 1:
        return words.pop()
    sides = {word.removeprefix("likely ") for word in words}
    if len(sides) > 1:
        return None
    return next(word for word in words if word.startswith("likely"))


def _charted_standing(airflow: Fraction, low: Figure | None, high: Figure | None) -> measure.Standing | None:
    """Where a charted figure stands, which has no band; None without a window."""
    if low is None and high is None:
        return None
    return Range(None if low is None else low.value, None if high is None else high.value).side(airflow)


def _pressure(state: TakenIn, job: Job) -> Pressure | None:
    static = next((one.static for one in state.taken if one.static is not None), None)
    return None if static is None else pressure(static, state.call, state.stage, job, state.engine, state.setting)


def _blower(engine: Engine) -> Blower:
    """Which of the table's blowers this is: taps on a motor, or one that holds its airflow (what a board of
    selectors commonly drives)."""
    if any(selector.exclusive for selector in engine.table.selectors.values()):
        return "taps"
    return "constant airflow" if engine.table.unit.motor in ("", "constant airflow") else "other"
