"""What a complaint asks of a board as found: the fewest moves that change each call its way, and what forbids them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.measure import ELECTRIC
from selector.job.board.solution import FEWEST, OfferedSetting, solution
from selector.job.readings.static import Pressure
from selector.job.targets.complaint_aims import absent, heat_is_measured, ways
from selector.job.targets.complaint_rows import Complaint, Way
from selector.job.targets.house import House
from selector.judge.known_facts import OutsideLimit
from selector.solve.engine.evaluate import StageAnswer, evaluate
from selector.table.model.range import Range
from selector.table.model.table import Setting
from selector.units import convert, rise
from selector.value import Struct, replace

LEAST_CHANGE = ELECTRIC.band_percent / 100
"""A change under the narrowest band of any method couldn't be measured: a move has to make at least this share."""
BELOW_TOP_F = Fraction(5)
"""How far the rise stays under the plate's upper end (common practice, no source)."""


class Turn(Struct, frozen=True, kw_only=True):
    """One call moved one way: the airflow now in the table's unit and the moves (None: no setting does it).

    `blocked` by static that is over its end; `clock` where the heat has to be measured first; `measure` where the
    airflow has to be; `met`: it has the airflow of the target that was moved for the complaint.
    """

    call: str
    stage: str
    way: Way
    now: Fraction
    choice: OfferedSetting | None = None
    blocked: Pressure | None = None
    clock: bool = False
    measure: bool = False
    met: bool = False

    @property
    def then(self) -> Fraction | None:
        """The airflow after the moves."""
        for one in self.choice.stages if self.choice is not None else ():
            if (one.aim.call, one.aim.stage) == (self.call, self.stage) and isinstance(one.answer.airflow, Fraction):
                return one.answer.airflow
        return None


def turns_of(house: House, setting: Setting, pressures: Sequence[Pressure]) -> tuple[Turn, ...]:
    """What the complaint of the job asks for; empty where there is none. Raises rank.TooLarge as the search does."""
    row = house.eased.row
    if row is None:
        return ()
    answers = evaluate(house.engine, setting, house.known.unread)
    out = []
    gone = absent(house.job)
    for role, way in (one for one in ways(row) if one[0] not in gone):
        for name, call in house.engine.table.calls.items():
            answer = answers[name].stage(call.last)
            if house.roles[name] == role and isinstance(answer.airflow, Fraction):
                out.append(_turn(house, setting, pressures, answer, answer.airflow, way, row))
    return tuple(out)


def _turn(
    house: House,
    setting: Setting,
    pressures: Sequence[Pressure],
    answer: StageAnswer,
    now: Fraction,
    way: Way,
    row: Complaint,
) -> Turn:
    """The fewest moves that change one call by more than a measurement's band, everything else staying inside."""
    turn = Turn(call=answer.call, stage=answer.stage, way=way, now=now)
    if _met(house, turn):
        return replace(turn, met=True)
    high = next((p for p in pressures if p.above), None)
    if way == "up" and high is not None:
        return replace(turn, blocked=high)
    heats = house.roles[answer.call] == "heat"
    if heats and way == "down" and not heat_is_measured(house.job, house.table):
        return replace(turn, clock=True)
    if "iced coil" in row.names and way == "up":
        return replace(turn, measure=True)
    end = now * (1 + LEAST_CHANGE if way == "up" else 1 - LEAST_CHANGE)
    top = _rise_top(house, answer) if heats and "plate rise" in row.forbids else None
    asked: dict[str, Range] = {"airflow": Range(low=end) if way == "up" else Range(high=end)}
    if top is not None:
        asked["temperature rise"] = Range(high=top)
    more = [
        OutsideLimit(quantity=quantity, range=allowed, source="complaint", call=answer.call, stage=answer.stage)
        for quantity, allowed in asked.items()
    ]
    return replace(turn, choice=solution(house, near=FEWEST, first=1, marks=setting, more=more).best)


def _met(house: House, turn: Turn) -> bool:
    """Whether a call has the airflow of its target, which was moved this way for the complaint."""
    target = house.aim(turn.call, turn.stage).aim.charted
    if target is None or house.eased.moved.get(house.roles[turn.call]) != turn.way:
        return False
    wanted = convert(target.value, "cfm", house.table.units.airflow)
    return turn.now >= wanted if turn.way == "up" else turn.now <= wanted


def _rise_top(house: House, answer: StageAnswer) -> Fraction | None:
    """The greatest rise, 5 F under the plate's upper end, in the table's degrees."""
    window = house.engine.table.plate("temperature rise", house.engine.plate_model(), answer.stage)
    top = window.high if window is not None else None
    return None if top is None else top - rise(BELOW_TOP_F, "F", house.table.units.temperature)
