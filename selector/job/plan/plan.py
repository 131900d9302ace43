"""The plan of a job: one joint setting for the whole board, what it is expected to do, what comes close, what to
measure, or why there is none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, written
from selector.job.board.conflicts import Conflict, conflicts, empty_windows, stacked_floors
from selector.job.board.expected import Expected, expected, watts_of
from selector.job.board.fewest import Move
from selector.job.board.judged_by import setting_now
from selector.job.board.wishes import grant
from selector.job.house.shown_units import airflow
from selector.job.readings.static import Pressure, pressure
from selector.job.targets.house import House, targets_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, JudgedLimit, evaluate
from selector.solve.search.decode import DeclaredDifference, differences
from selector.solve.search.find import NEAR, FindResult, Found, NotJudged, Request, find
from selector.table.model.table import Setting, Window
from selector.units import convert, format_number
from selector.value import Struct, replace

CLOSE = 2
"""How many other settings are shown."""
LITTLE = Fraction(3, 100)
"""A change of airflow up to this share isn't spoken of (our choice, no source: under the band of any measurement)."""
Start = Literal["as delivered", "as found", "as left"]


class PlannedSetting(Struct, frozen=True, kw_only=True):
    """A setting with its moves in the order the selectors stand on the board, and what it is expected to do.

    A move whose `was` is None is a mark that couldn't be read: it is to be seen that it stands so, and is not counted.
    """

    setting: Setting
    deviation: Fraction
    moves: tuple[Move, ...]
    stages: tuple[Expected, ...]

    @property
    def counted(self) -> int:
        """How many moves there are."""
        return sum(m.was is not None for m in self.moves)


class Plan(Struct, frozen=True, kw_only=True):
    """`best` None: no setting is offered, and `conflicts` say why; `nearest` is then the nearest miss.

    `baseline`: what the moves start from, the board as left where that is recorded, else as found, else as delivered
    (`start`); `now` is what it
    does as it stands, empty as delivered. `first`: what has to be said before anything; `also`: airflows that change
    though nothing judges them.
    """

    house: House
    baseline: Setting
    start: Start
    best: PlannedSetting | None
    close: tuple[PlannedSetting, ...] = ()
    nearest: PlannedSetting | None = None
    now: tuple[Expected, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    first: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    wishes: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    careful: tuple[str, ...] = ()
    not_judged: tuple[str, ...] = ()
    pressures: tuple[Pressure, ...] = ()
    watts: tuple[Figure, ...] = ()
    differences: tuple[DeclaredDifference, ...] = ()

    @property
    def exit_code(self) -> int:
        """0 where a setting is offered, 1 where none is."""
        return 0 if self.best is not None else 1


def plan(house: House, *, first: int = CLOSE + 1, near: Fraction = NEAR) -> Plan:
    """The plan of a house. Raises rank.TooLarge where the search is beyond its bound."""
    pressures = _pressures(house)
    found = setting_now(house)
    engine, said = _not_raised(house, pressures)
    request = Request(targets=targets_of(house), held=house.known.held, found=found, first=first, near=near)
    start = _start(house, engine, found)
    if not request.targets:
        aimless = "nothing is aimed at: type the tons, the heat, or a target; only limits are judged"
        start = replace(start, first=(*start.first, aimless))
    if engine is None:
        return replace(start, conflicts=(Conflict(words=said),), pressures=pressures)
    start = replace(start, pressures=pressures, first=(*start.first, *([said] if said else [])))
    granted = grant(house, engine, request)
    result = find(engine, replace(request, held=granted.held))
    stays = [f"{name} stays as it is: what is installed isn't told" for name in result.space.delivered_used]
    start = replace(start, wishes=granted.said, careful=granted.careful, not_judged=(*_unjudged(house, result), *stays))
    if not result.found:
        return _nothing(start, house, engine, request, result)
    choices = [_choice(house, engine, start.baseline, f) for f in result.found]
    return replace(
        start,
        best=choices[0],
        also=tuple(_unasked(house, start.baseline, choices[0])),
        close=tuple(choices[1:]),
        conflicts=tuple(stacked_floors(house)),
        watts=watts_of(house, start.now, choices[0].stages),
    )


def _start(house: House, engine: Engine | None, found: Setting | None) -> Plan:
    """What is known before the search: where the board stands, what differs from the equipment, what was taken."""
    own = engine or house.search
    baseline = own.table.delivered(own.plate_model()) if found is None else found
    apart = differences(house.engine, found) if found is not None else ()
    first = [f"{d.selector} tells the board {d.fact} {d.board}, but {d.known} is what is there" for d in apart]
    if house.job.in_force is not None and house.job.in_force.text == "thermostat":
        first.append(
            "the thermostat is in force: the selectors on the board may be dead, and moving them may do nothing"
        )
    if house.job.plate_model is not None and house.known.facts.board_model is not None:
        first += [note for note in house.known.notes if "the board believes" in note]
    now = expected(house, house.engine, evaluate(house.engine, found)) if found is not None else ()
    return Plan(
        house=house,
        baseline=baseline,
        start="as left" if house.known.left is not None else "as found" if found is not None else "as delivered",
        best=None,
        now=now,
        first=tuple(first),
        notes=tuple(note for note in house.notes if note not in first),
        differences=apart,
    )


def _choice(house: House, engine: Engine, baseline: Setting, found: Found) -> PlannedSetting:
    moves = tuple(
        Move(part=i, was=was, to=to)
        for i, (was, to) in enumerate(zip(baseline, found.setting, strict=True))
        if to is not None and was != to
    )
    return PlannedSetting(
        setting=found.setting,
        deviation=found.deviation,
        moves=moves,
        stages=expected(house, engine, dict(found.answers)),
    )


def _unasked(house: House, baseline: Setting, best: PlannedSetting) -> Iterator[str]:
    """Each call of cooling or heat that the setting changes by more than a few percent, with neither an aim nor a
    limit on that side."""
    before = {one.title: one.answer.airflow for one in expected(house, house.engine, evaluate(house.engine, baseline))}
    for one in best.stages:
        aim = house.aim(one.aim.call, one.aim.stage)
        was, then = before[one.title], one.answer.airflow
        if aim.role == "fan" or aim.aim.counts or not isinstance(was, Fraction) or not isinstance(then, Fraction):
            continue
        if abs(then - was) > was * LITTLE and not any(_limits(j, less=then < was) for j in one.answer.judged):
            shown = [airflow(convert(x, house.table.units.airflow, "cfm"), house.table) for x in (was, then)]
            yield (
                f"this also changes {one.title} from {shown[0]} to {shown[1]} ({_percent(was, then)}), which nothing"
                " here judges"
            )


def _limits(one: JudgedLimit, *, less: bool) -> bool:
    """True where a limit that could be judged ends the airflow on the side it goes to; less air is a greater rise."""
    low, high = (one.high, one.low) if one.limit.quantity == "temperature rise" else (one.low, one.high)
    return one.ok is not None and (low if less else high) is not None


def _percent(was: Fraction, then: Fraction) -> str:
    share = format_number(abs(then - was) / was * 100, 0) if was else "all"
    return f"{share} % {'less' if then < was else 'more'}"


def _nothing(start: Plan, house: House, engine: Engine, request: Request, result: FindResult) -> Plan:
    miss = result.miss
    nearest = (
        _choice(house, engine, start.baseline, miss.nearest) if miss is not None and miss.nearest is not None else None
    )
    reasons = list(
        conflicts(
            house, engine, request, miss.nearest.setting if miss is not None and miss.nearest is not None else None
        )
    )
    if miss is not None:
        reasons += [Conflict(words=f"{c} {s}: {no.why}".replace(" :", ":")) for c, s, no in miss.refused]
        if miss.blame:
            names = " ".join(house.table.parts[p].name for p in miss.blame)
            free = "it" if len(miss.blame) == 1 else "one of them"
            reasons.append(Conflict(words=f"held where it is: {names}; let go of {free} and something fits"))
    return replace(
        start,
        nearest=nearest,
        conflicts=tuple(dict.fromkeys(reasons)) or (Conflict(words="no setting of this board fits"),),
    )


# -- static


def _pressures(house: House) -> tuple[Pressure, ...]:
    """Every static that was measured, held against the plate and the chart."""
    return tuple(pressure(figure, call, stage, house.job, house.engine) for call, stage, figure in house.ducts.measured)


def _not_raised(house: House, pressures: Sequence[Pressure]) -> tuple[Engine | None, str]:
    """The engine to search with; where static is above the plate or the chart's end, no airflow goes above what it is
    now.

    None, and why, where nothing may be offered: static is above and nobody knows how the board is set.
    """
    high = next((p for p in pressures if p.above), None)
    if high is None:
        return house.search, ""
    ends = " and ".join(f"the {'plate' if e.name == 'plate_static' else 'chart'}'s {written(e)}" for e in high.above)
    where = f"{high.call} {high.stage}".strip()
    said = f"static {written(high.measured)} in {where} is above {ends}"
    setting = setting_now(house)
    if setting is None:
        return (
            None,
            (
                f"{said}: none is offered; filter, coil, dampers and duct first. How the board is set now isn't known,"
                " so nothing can be lowered"
            ),
        )
    board = Board(house.engine, setting)
    calls = dict(house.search.table.calls)
    for name, call in calls.items():
        tops = []
        for stage in call.stages:
            moved = board.airflow(house.engine.asked(call, stage))
            if isinstance(moved, Fraction):
                tops.append(Window(quantity="airflow", low=None, high=moved, stage=stage))
        calls[name] = replace(call, windows=(*call.windows, *tops))
    return Engine(
        replace(house.search.table, calls=calls), house.search.facts
    ), f"{said}: no airflow is raised; filter, coil, dampers and duct first"


def _unjudged(house: House, result: FindResult) -> tuple[str, ...]:
    """Calls and limits that couldn't be judged, with the fact that is missing."""
    out: dict[str, None] = {}
    for one in result.not_judged:
        out[_words(one)] = None
    for aim in house.aims:
        for why in aim.unknown:
            out[f"{aim.title}: {why}"] = None
    return tuple(out)


def _words(one: NotJudged) -> str:
    title = f"{one.call} {one.stage}".strip()
    return f"{title}: {one.limit + ': ' if one.limit else ''}{one.why}"


__all__ = ["CLOSE", "Plan", "PlannedSetting", "empty_windows", "plan"]
