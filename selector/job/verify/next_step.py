"""What to do after a verdict: nothing, measure, look, set this, or nothing that can be set; and why none may be
offered."""

from __future__ import annotations

from typing import Literal

from selector.air.figure import Figure, renamed
from selector.job.board.solution import FEWEST, OfferedSetting, Solution, solution
from selector.job.readings.pressure_profile import Profile
from selector.job.readings.static_then import airflow_at_static
from selector.job.targets.house import House
from selector.job.verify.verdict import PASSING, Verdict
from selector.judge.judgement import Judgement
from selector.judge.known_facts import OutsideLimit
from selector.table.model.range import Range
from selector.table.model.table import No
from selector.units import convert
from selector.value import Struct

Kind = Literal["nothing", "measure", "look", "set", "no setting", "not offered"]
Reason = Literal[
    "iced",
    "apart",  # two methods disagree
    "board calls for less",
    "restriction first",
    "measure the airflow",
    "marks not read",
    "what the chart means",
    "slight",
    "read again",
    "row",  # what the decision table says comes next
    "input known",
    "narrower method",
    "at a price",
    "other equipment",
    "record",
    "record by chart",
    "nothing to hold it to",
    "selectors dead",
    "static in the way",
    "danger first",
    "moves",
    "no setting",
    "static of another call",
]


class NextStep(Struct, frozen=True, kw_only=True):
    """`kind` and `reason` say it; `row` the step of the decision table; `asks` what to type or measure first because it
    decides between explanations (static, plate static); `moves` only with `set` (the setting offered) and `no setting`
    (what stands against one).

    `lower`: the airflow asked for may be lowered if it stays; `clock`: the heat comes first, it was not measured.
    `most`: the airflow these ducts let through at the end of static; `then`: the static to expect at a setting that is
    not offered for it; `over_fired`: besides; `untrue`: selectors set for other equipment.
    """

    kind: Kind
    reason: Reason
    row: str = ""
    asks: str = ""
    moves: Solution | None = None
    most: Figure | None = None
    then: Figure | None = None
    over_fired: bool = False
    untrue: tuple[str, ...] = ()
    lower: bool = False
    clock: bool = False

    @property
    def figures(self) -> tuple[Figure, ...]:
        """What it rests on."""
        return tuple(figure for figure in (self.most, self.then) if figure is not None)


class Marks(Struct, frozen=True, kw_only=True):
    """What a setting is looked for with: the house (without the ceiling of a measured static, which is judged by
    itself), how its board stands. `profile`: the static of the state part by part, where it was read so.

    `dead`: the thermostat is in force; `danger`: something must be put right before any selector is moved.
    """

    house: House
    board: Judgement
    profile: Profile | None = None
    dead: bool = False
    danger: bool = False


def next_step(verdict: Verdict, board: Marks) -> NextStep:
    """The next step after one verdict."""
    if verdict.iced:
        return NextStep(kind="look", reason="iced")
    if verdict.apart is not None:
        clock = any(one.flow is not None and one.flow.plate_heat for one in verdict.state.taken)
        return NextStep(kind="measure", reason="apart", row=verdict.explanations[0].then, clock=clock)
    if verdict.asked is not None:
        return NextStep(kind="look", reason="board calls for less")
    if verdict.by_chart:
        return _as_selected(verdict, board)
    if not verdict.moved:
        above = verdict.static is not None and bool(verdict.static.above)
        return (
            NextStep(kind="not offered", reason="restriction first")
            if above
            else NextStep(kind="measure", reason="measure the airflow")
        )
    if verdict.against == "not known":
        if verdict.static is not None and verdict.static.above:
            return NextStep(kind="not offered", reason="restriction first")
        unread = isinstance(verdict.selected, No)
        return NextStep(kind="measure", reason="marks not read" if unread else "what the chart means")
    if verdict.slight is not None:
        return NextStep(kind="nothing", reason="slight")
    if verdict.against != "as selected":
        return _off(verdict, board)
    if {"rise high", "rise low"} & verdict.seen.also:
        if not verdict.plate_heat:
            return NextStep(kind="look", reason="input known")
        return NextStep(kind="look", reason="row", row="clock it")
    return _as_selected(verdict, board)


def _off(verdict: Verdict, board: Marks) -> NextStep:
    """Low or high: causes come before marks."""
    row = "clock it" if verdict.against.startswith("unclocked") else "measure again"
    asks = ""
    if verdict.explanations and not verdict.against.startswith("unclocked"):
        row = verdict.explanations[0].then
        if verdict.deciding:
            asks = "plate static" if verdict.static is not None else "static"
    fired = "over-fired" in verdict.seen.also
    clock = verdict.plate_heat and verdict.over and row != "clock it"
    above = verdict.static is not None and bool(verdict.static.above)
    # what the ducts pass is no figure to conclude from while the heat is the plate's
    most = _through_ducts(verdict, board) if above and not verdict.against.startswith("unclocked") else None
    if most is not None and verdict.low is not None and most.value < verdict.low.value:
        return NextStep(kind="no setting", reason="row", row=row, asks=asks, most=most, over_fired=fired, clock=clock)
    told = bool(verdict.explanations) or row == "clock it"
    return NextStep(
        kind="look",
        reason="row" if told else "read again",
        row=row,
        asks=asks,
        most=most,
        over_fired=fired,
        lower=verdict.may_be_lower and not board.danger,
        clock=clock,
    )


def _airflow(verdict: Verdict) -> Figure:
    """The airflow that goes with the static: as measured (the least, where the chart can be read two ways), else as
    charted at it."""
    if verdict.moved:
        return min((one.airflow for one in verdict.moved), key=lambda figure: figure.value)
    assert isinstance(verdict.selected, Figure)
    return verdict.selected


def _through_ducts(verdict: Verdict, board: Marks) -> Figure | None:
    """The airflow these ducts let through at the end of static; None where none is known."""
    static = verdict.static
    ends = [end for end in (static.plate, static.holds) if end is not None] if static is not None else []
    if static is None or not ends:
        return None
    end, job = min(ends, key=lambda one: one.value), board.house.job
    return airflow_at_static(static.measured, board.profile, _airflow(verdict), end, job, "most_airflow")


def _as_selected(verdict: Verdict, board: Marks) -> NextStep:
    if verdict.by_static:
        return NextStep(kind="look", reason="at a price")
    if verdict.standing in ("likely below", "likely above"):
        return NextStep(kind="measure", reason="narrower method")
    above = verdict.static is not None and bool(verdict.static.above)
    if verdict.standing in PASSING:
        if verdict.over:
            return NextStep(kind="not offered", reason="danger first", clock=verdict.plate_heat)
        if above:
            return NextStep(kind="look", reason="at a price")
        if board.board.untrue and not board.dead:
            untrue = tuple(d.selector for d in board.board.untrue)
            return NextStep(kind="look", reason="other equipment", untrue=untrue)
        if verdict.standing is None:
            known = verdict.low is not None or verdict.high is not None
            if known:
                return NextStep(kind="measure", reason="what the chart means")
            return NextStep(kind="nothing", reason="nothing to hold it to")
        reason: Reason = "record by chart" if verdict.by_chart else "record"
        return NextStep(kind="nothing", reason=reason, clock=verdict.plate_heat and reason == "record")
    if verdict.plate_heat and not board.dead:
        return NextStep(kind="look", reason="row", row="clock it")
    if board.dead:
        return NextStep(kind="not offered", reason="selectors dead")
    if board.danger:
        return NextStep(kind="not offered", reason="danger first")
    if verdict.standing == "below" and above:
        return NextStep(kind="not offered", reason="static in the way")
    return _setting(verdict, board)


def _setting(verdict: Verdict, board: Marks) -> NextStep:
    """The fewest moves that bring every call inside, raising none beyond what the ducts take."""
    if board.board.open:
        return NextStep(kind="measure", reason="marks not read")
    found = solution(board.house, near=FEWEST, first=1, marks=board.board.setting, more=_caps(verdict, board))
    if found.best is not None:
        return NextStep(kind="set", reason="moves", moves=found)
    if verdict.static is not None:
        without = solution(board.house, near=FEWEST, first=1, marks=board.board.setting)
        if without.best is not None:
            return _too_much_static(verdict, without.best)
    return NextStep(kind="no setting", reason="no setting", moves=found)


def _caps(verdict: Verdict, board: Marks) -> list[OutsideLimit]:
    """The airflow at which static comes to its end in these ducts, as a ceiling of every call; what runs above it
    now may stay, but not rise."""
    greatest = _through_ducts(verdict, board)
    if greatest is None:
        return []
    most = convert(greatest.value, "cfm", board.house.table.units.airflow)
    return [
        OutsideLimit(
            quantity="airflow",
            range=Range(high=max(most, *one.airflows) if one.airflows else most),
            source="not raised",
            call=one.call,
            stage=one.stage,
        )
        for one in board.board.stages.values()
    ]


def _too_much_static(verdict: Verdict, choice: OfferedSetting) -> NextStep:
    """A setting there is, but its airflow would take the static above plate or chart."""
    assert verdict.static is not None
    state = verdict.state
    then = next((one for one in choice.stages if (one.aim.call, one.aim.stage) == (state.call, state.stage)), None)
    if then is None or then.charted is None:
        return NextStep(kind="not offered", reason="static of another call")
    return NextStep(
        kind="not offered",
        reason="static of another call",
        then=verdict.static.at(_airflow(verdict), renamed(then.charted, "airflow_then")),
    )
