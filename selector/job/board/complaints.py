"""A complaint held against a board: what to look at before it, which way a mark may move, and what forbids it here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from selector.air import arithmetic
from selector.air.figure import Figure, given
from selector.air.measure import ELECTRIC
from selector.job.board.fewest import Fewest, fewest
from selector.job.board.look_first import said_here
from selector.job.file.model import Job
from selector.job.house.job_names import Known
from selector.job.readings.static import Pressure
from selector.job.targets.complaint_rows import FORBIDDEN, LOOK, ROWS, Complaint, Way, forbidding, looked_at, may_move
from selector.job.targets.stage_target import Wanted, flow
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, evaluate
from selector.table.model.roles import Role, roles
from selector.table.model.table import Call, Setting
from selector.units import rise
from selector.value import Struct, replace

LEAST_CHANGE = ELECTRIC.band_percent / 100
"""A change under the narrowest band of any method couldn't be measured: a move has to make at least this share."""
BELOW_TOP_F = Fraction(5)
"""How far the rise stays under the plate's upper end (common practice, no source)."""


class Turn(Struct, frozen=True, kw_only=True):
    """One call moved one way: the airflow now and then in the table's unit, the moves, or why it isn't."""

    call: str
    stage: str
    way: Way
    now: Fraction
    then: Fraction | None
    moves: Fewest | None
    forbidden: str = ""


class Advice(Struct, frozen=True, kw_only=True):
    """`look`: what to look at first with what is known of it here; `other` (what else may move) and `forbids`
    likewise; `turns` the moves."""

    complaint: Complaint
    look: tuple[tuple[str, str], ...]
    other: tuple[tuple[str, str], ...]
    forbids: tuple[tuple[str, str], ...]
    turns: tuple[Turn, ...]
    figures: tuple[Figure, ...] = ()


def advise(
    job: Job,
    engine: Engine,
    known: Known,
    setting: Setting,
    wanted: Sequence[Wanted],
    pressures: Sequence[Pressure],
    *,
    moving: bool = True,
) -> Advice | None:
    """What the complaint of the job asks for; None where there is none. Raises rank.TooLarge as the search does.

    `moving` False: marks that decide can't be read yet, so no move is worked out.
    """
    row = ROWS.get(job.complaint.text) if job.complaint is not None else None
    if row is None:
        return None
    answers = evaluate(engine, setting)
    look = tuple(
        (LOOK[name], said_here(name, job, engine, setting, answers, pressures))
        for name in looked_at(row, job, engine.table)
    )
    other = tuple((name, said_here(name, job, engine, setting, answers, pressures)) for name in row.other)
    figures: list[Figure] = []
    turns = [
        _turn(engine, known, setting, wanted, pressures, answer, way, row, figures)
        for role, way in may_move(row, engine.table)
        for call in _calls(engine, role)
        for answer in (_running(answers, call) if moving else ())
    ]
    forbids = tuple(
        (FORBIDDEN[name], _forbidden_here(name, engine, pressures)) for name in forbidding(row, job, engine.table)
    )
    return Advice(complaint=row, look=look, other=other, forbids=forbids, turns=tuple(turns), figures=tuple(figures))


def _calls(engine: Engine, role: str) -> tuple[Call, ...]:
    found = roles(engine.table)
    return tuple(call for call in engine.table.calls.values() if role in ("any", found[call.name]))


def _running(answers: Mapping[str, CallAnswer], call: Call) -> Iterable[StageAnswer]:
    """The call's last stage, where it has an airflow."""
    answer = answers[call.name].stage(call.last)
    if isinstance(answer.airflow, Fraction):
        yield answer


def _turn(
    engine: Engine,
    known: Known,
    setting: Setting,
    wanted: Sequence[Wanted],
    pressures: Sequence[Pressure],
    answer: StageAnswer,
    way: Way,
    row: Complaint,
    figures: list[Figure],
) -> Turn:
    """The fewest moves that change one call by more than a measurement's band, everything else staying inside."""
    now = answer.airflow
    assert isinstance(now, Fraction)
    table = engine.table
    end = now * (1 + LEAST_CHANGE if way == "up" else 1 - LEAST_CHANGE)
    least = given(
        "changed",
        end,
        table.units.airflow,
        source=f"{flow(now)} {table.units.airflow} changed by more than a measurement's band",
    )
    why = f"changed by more than a reading can tell, from {flow(now)}"
    mine = Wanted(
        call=answer.call,
        stage=answer.stage,
        low=least if way == "up" else None,
        high=least if way == "down" else None,
        why=why,
    )
    asked = [*wanted, mine]
    if "plate rise" in row.forbids and roles(table)[answer.call] == "heat":
        floor = _rise_floor(engine, answer)
        if floor is not None:
            figures.append(floor)
            asked.append(Wanted(call=answer.call, stage=answer.stage, low=floor, why="the plate's rise less 5 F"))
    turn = Turn(call=answer.call, stage=answer.stage, way=way, now=now, then=None, moves=None)
    blocked = next((why for p in pressures if way == "up" and (why := p.against_raising())), "")
    if blocked:
        return replace(turn, forbidden=blocked)
    moves = fewest(engine, setting, asked, known.held)
    if moves.setting is None:
        return replace(turn, moves=moves)
    then = evaluate(engine, moves.setting)[answer.call].stage(answer.stage).airflow
    assert isinstance(then, Fraction)
    return replace(turn, moves=moves, then=then, forbidden=_raised(pressures, answer, now, then, engine))


def _raised(pressures: Sequence[Pressure], answer: StageAnswer, now: Fraction, then: Fraction, engine: Engine) -> str:
    """Why a raise is too much for the ducts, where static was measured in this very stage."""
    unit = engine.table.units.airflow
    for p in pressures:
        if (p.call, p.stage) == (answer.call, answer.stage):
            return p.against_raising(
                given("airflow_now", now, unit, source="by the table"),
                given("airflow_then", then, unit, source="by the table"),
            )
    return ""


def _rise_floor(engine: Engine, answer: StageAnswer) -> Figure | None:
    """The least airflow at which the rise stays 5 F under the plate's upper end."""
    rating = engine.table.ratings.get("temperature rise")
    window = rating.get(engine.plate_model(), answer.stage) if rating is not None else None
    if not isinstance(window, tuple) or not isinstance(answer.heat, Fraction):
        return None
    top = rise(window[1], engine.table.units.temperature, "F") - BELOW_TOP_F
    heat = given("delivered_heat", answer.heat, "Btu/h", source=f"heat of {answer.title}")
    highest = given("highest_rise", top, "F", source="the plate's upper end less 5 F")
    air = given("standard_air", engine.facts.air, source="standard air that one charted unit of airflow carries here")
    return arithmetic.airflow_from_heat(
        heat, highest, arithmetic.factor_at(air) if engine.facts.air != 1 else arithmetic.FACTOR, name="least_airflow"
    )


def _forbidden_here(name: str, engine: Engine, pressures: Sequence[Pressure]) -> str:
    """What is known here of a thing that forbids a move."""
    if name == "static":
        said = [line for p in pressures for line in p.lines()]
        return "; ".join(said) or "static is not measured: measure it first"
    if name in ("stacked floor", "heat-pump floor", "floors"):
        return (
            "held by the windows of every stage"
            if engine.tons() is not None
            else "not judged by airflow per ton: outdoor tons are not given"
        )
    if name == "shared trim":
        return _shared(engine)
    if name == "heater least":
        return "held by the table where it prints a least airflow"
    if name == "rise":
        return "held by the search"
    return "after the move" if name == "combustion" else ""


def _shared(engine: Engine) -> str:
    """The parts that the heat pump shares with cooling."""

    def read_by(role: Role) -> set[int]:
        return {
            part
            for call in _calls(engine, role)
            for stage in call.stages
            for instruction in engine.airflow(call, stage, engine.asked(call, stage).rate)
            for reading in instruction.readings
            for part in reading.parts
        }

    both = sorted(read_by("cooling") & read_by("heat pump"))
    return f"shared here: {' '.join(engine.table.parts[p].name for p in both)}" if both else "nothing is shared here"


def _ways(advice: Advice, engine: Engine) -> list[str]:
    """What may move here, and which way: `heat down`, `slower ramp`."""
    return [f"{role} {way}" for role, way in may_move(advice.complaint, engine.table)] + list(advice.complaint.other)


def lines(advice: Advice, engine: Engine) -> list[str]:
    """The advice for people."""
    table, unit = engine.table, engine.table.units.airflow
    out = [f"complaint: {advice.complaint.name}", "  look first, before the board:"]
    out += [f"    {words}" + (f" [here: {here}]" if here else "") for words, here in advice.look]
    ways = _ways(advice, engine)
    out.append(f"  a setting may move: {', '.join(ways)}" if ways else "  no setting helps: none is offered")
    out += [f"    {name}" + (f" [here: {here}]" if here else "") for name, here in advice.other]
    out += [f"  forbidden by: {words}" + (f" [here: {here}]" if here else "") for words, here in advice.forbids]
    for turn in advice.turns:
        title = f"{turn.call} {turn.stage}".strip()
        if turn.forbidden:
            out.append(f"  {title} {turn.way}: not offered, {turn.forbidden}")
        elif turn.moves is not None and turn.moves.setting is not None and turn.then is not None:
            moves = [*turn.moves.moves, *turn.moves.to_set]
            count = f"{len(moves)} move{'s' if len(moves) != 1 else ''}"
            out.append(
                f"  {title} {turn.way}: {flow(turn.now)} -> {flow(turn.then)} {unit} with {count}:"
                f" {', '.join(m.text(table) for m in moves)}"
            )
        elif turn.moves is not None:
            against = "; ".join(o.words for o in turn.moves.against)
            out.append(
                f"  {title} {turn.way}: no setting does it" + (f"; against it stand {against}" if against else "")
            )
    return out


def data(advice: Advice, engine: Engine) -> dict[str, object]:
    """The advice for JSON."""
    table = engine.table

    def moves(fewest: Fewest | None) -> list[str]:
        return [m.text(table) for m in (*fewest.moves, *fewest.to_set)] if fewest is not None else []

    return {
        "complaint": advice.complaint.name,
        "look first": [{"what": words, "here": here} for words, here in advice.look],
        "may move": _ways(advice, engine),
        "other": [{"what": name, "here": here} for name, here in advice.other],
        "forbidden by": [{"what": words, "here": here} for words, here in advice.forbids],
        "turns": [
            {
                "call": t.call,
                "stage": t.stage,
                "way": t.way,
                "now": float(t.now),
                "then": None if t.then is None or t.forbidden else float(t.then),
                "moves": [] if t.forbidden else moves(t.moves),
                "not offered": t.forbidden,
                "against": [o.words for o in t.moves.against] if t.moves is not None else [],
            }
            for t in advice.turns
        ],
    }
