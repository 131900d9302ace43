"""What plan and found say to a complaint: what moved for it, what didn't and why, what to look at first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from fractions import Fraction

from selector.air.figure import written
from selector.answers.house.allowed import per_ton_limit
from selector.answers.remarks.complaint_words import FORBIDDEN, LOOK
from selector.answers.remarks.remark import remark_text
from selector.answers.words.airflow import airflow_number, airflow_text
from selector.answers.words.arithmetic import airflow, as_typed, difference
from selector.answers.words.listing import listed
from selector.answers.words.move import move_text
from selector.job.board.complaints import Turn
from selector.job.board.expected import Expected
from selector.job.readings.static import Pressure
from selector.job.targets.aims import Aim
from selector.job.targets.complaint_aims import ways
from selector.job.targets.complaint_rows import forbidding, looked_at
from selector.job.targets.house import House
from selector.table.model.table import Table

FIRST = ("thaw", "limit", "roll-out")
"""What comes before everything: said as a caution, not as a question."""
DANGER_OF = {"thaw": "iced coil", "limit": "limit", "roll-out": "roll-out"}
"""The danger that says the same."""


def quoted(house: House) -> str:
    """`"Cool air in heat"`, as the customer said it."""
    row = house.eased.row
    said = house.job.complaint
    name = said.text if said is not None else row.name if row is not None else ""
    return f'"{name[:1].upper()}{name[1:]}"'


def first_lines(house: House, told: Collection[str] = ()) -> list[str]:
    """What to do before anything else, where no danger has `told` it: thaw an iced coil, leave a limit alone."""
    row = house.eased.row
    if row is None:
        return []
    names = looked_at(row, house.job, house.table)
    return [f"{_level(name)}{LOOK[name]}" for name in FIRST if name in names and DANGER_OF[name] not in told]


def _level(name: str) -> str:
    return "WARNING: iced coil. " if name == "thaw" else ""


def looks(house: House) -> list[str]:
    """What to look at before the board, each once."""
    row = house.eased.row
    if row is None:
        return []
    return [LOOK[name] for name in looked_at(row, house.job, house.table) if name not in FIRST]


def sentences(texts: Iterable[str]) -> str:
    """The texts run together, each begun as a sentence but the first, which stands behind a colon."""
    first, *rest = [*texts, ""]
    return " ".join([first, *(f"{text[:1].upper()}{text[1:]}" for text in rest if text)]).strip()


def moved_lines(house: House) -> Iterator[str]:
    """Each target that moved for the complaint, and those that stay with the reason."""
    said: set[str] = set()
    for now, before in zip(house.aims, house.without, strict=True):
        shown, was = _target(now.aim, house), _target(before.aim, house)
        if now.aim.counts and shown != was:
            said.add(now.role)
            yield f"{now.title} target {shown}, not {was}."
    yield from (f"{remark_text(why, house.table)}." for why in house.eased.stays)


def against_lines(house: House, now: tuple[Expected, ...], then: tuple[Expected, ...]) -> Iterator[str]:
    """Each call that a setting moves against the complaint: never in silence."""
    row = house.eased.row
    if row is None:
        return
    wanted = dict(ways(row))
    before = {one.title: one.answer.airflow for one in now}
    for one in then:
        way, was, airflow_then = wanted.get(one.aim.role), before.get(one.title), one.answer.airflow
        if (
            way is None
            or not isinstance(was, Fraction)
            or not isinstance(airflow_then, Fraction)
            or was == airflow_then
        ):
            continue
        if (airflow_then > was) != (way == "up"):
            more = "more" if airflow_then > was else "less"
            yield (
                f"{one.title} gets {more} air all the same ({airflow_text(house.table, was)} to"
                f" {airflow_text(house.table, airflow_then)}): its limits and target come first."
            )


def limits_on(house: House) -> list[str]:
    """What forbids a move for it here."""
    row = house.eased.row
    return [] if row is None else [FORBIDDEN[name] for name in forbidding(row, house.job, house.table)]


def _blocked(static: Pressure) -> str:
    """`static 0.95 in. w.c. is above the plate's 0.8 in. w.c.: no airflow is raised`."""
    ends = (f"the {'plate' if end.name == 'plate_static' else 'chart'}'s {as_typed(end)}" for end in static.above)
    return f"static {written(static.measured)} is above {listed(ends)}: no airflow is raised"


def turn_text(turn: Turn, table: Table) -> str:
    """`cooling second down: 1,198 -> 1,130 cfm, SW1-4 ON -> OFF`."""
    title = f"{turn.call} {turn.stage}".strip()
    more = "more" if turn.way == "up" else "less"
    if turn.met:
        return f"{title}, {more} air: it has its target already ({airflow_text(table, turn.now)})."
    if turn.blocked is not None:
        return f"{title}, {more} air: not while {_blocked(turn.blocked)}."
    if turn.clock:
        return f"{title}, less air: clock the input before you ask for a higher rise."
    if turn.measure:
        return f"{title}, more air: only if it measures low on a clear coil."
    if turn.choice is None or turn.then is None:
        return f"{title}, {more} air: no setting inside the limits."
    moves = ", ".join(move_text(table, m) for m in turn.choice.moves)
    now = airflow_number(table, turn.now)
    return f"{title}, {more} air: {moves} ({now} to {airflow_text(table, turn.then)})."


def _target(aim: Aim, house: House) -> str:
    rise = f"rise {difference(aim.rise_f.value, house.table)}" if aim.rise_f is not None else ""
    if aim.charted is None:
        return rise or "none"
    return airflow(aim.charted.value, house.table) + (f" ({rise})" if rise else "")


__all__ = [
    "against_lines",
    "first_lines",
    "limits_on",
    "looks",
    "moved_lines",
    "per_ton_limit",
    "quoted",
    "sentences",
    "turn_text",
]
