"""A board as found: what it does, how that sits with the house, and the fewest moves that put it right, or why none
does."""

from __future__ import annotations

from collections.abc import Iterator

from selector.job.as_found.record import AsFound, Humidistat
from selector.job.board.complaints import turns_of
from selector.job.board.moisture import water_put_back
from selector.job.board.solution import FEWEST, solution
from selector.job.board.would_fit import would_fit
from selector.job.house.lines_to_add import marks_to_add
from selector.job.targets.house import House
from selector.judge.marks_to_read import open_marks
from selector.problems import Problem, Refused
from selector.table.model.table import Setting
from selector.value import replace

MOVES = 4
"""How many settings are looked at for others with as few moves."""


def as_found(house: House, *, offered: bool = True) -> AsFound:
    """The answer for a job whose marks as found are known; `offered` False: no selector may be moved yet. Raises
    Refused where there are no marks, rank.TooLarge as the search does."""
    marks = house.known.found
    if marks is None:
        raise Refused([no_marks(house)])
    found = solution(house, near=FEWEST, first=MOVES, marks=marks)
    left_open = open_marks(house.search, found.judged) if found.judged.open else None
    in_force = house.job.in_force
    offered = offered and (in_force is None or in_force.text != "thermostat")
    read = left_open is None or not left_open.looks
    answer = AsFound(
        solution=found,
        unread=left_open,
        offered=offered,
        humidistats=tuple(_humidistats(house, found.before)),
        water=water_put_back(house, found.now),
        turns=turns_of(house, found.before, found.pressures) if offered and read else (),
    )
    return replace(answer, fits=would_fit(found)) if answer.right is False else answer


def no_marks(house: House) -> Problem:
    """What is said of a job without marks as found."""
    return Problem(
        file=house.job.file,
        line=0,
        column=0,
        code="no-marks",
        message="The job says nothing of how the board was found.",
        help=marks_to_add("as found", house.table, house.known.facts.model),
    )


def _humidistats(house: House, setting: Setting) -> Iterator[Humidistat]:
    """A cut link with nothing wired reduces for ever; a whole one ignores the humidistat."""
    dehumidify, engine = house.job.dehumidify, house.engine
    humidistat = dehumidify.humidistat.text if dehumidify is not None and dehumidify.humidistat is not None else ""
    for call in engine.table.calls.values():
        terminals = {t.upper() for words in call.terminals.values() for t in words}
        for condition in call.when:
            at = setting[condition.part] if condition.part >= 0 else None
            if "DH" not in terminals or at is None or not humidistat:
                continue
            enabled = at in condition.allowed
            if enabled == (humidistat == "none"):
                yield Humidistat(part=condition.part, at=at, call=call.name, enabled=enabled)
