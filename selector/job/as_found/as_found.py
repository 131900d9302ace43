"""A board as found: what it does, how that sits with the house, and the fewest moves that put it right, or why none
does.

What is to be known first is said first: a board that believes other equipment, switches that may be dead, marks that
can't be read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Figure
from selector.job.as_found.record import AsFound
from selector.job.as_found.text import data_of, lines_of
from selector.job.board import complaints
from selector.job.board.expected import tracer_of
from selector.job.board.fewest import fewest
from selector.job.board.judged_by import first_of, pressures_of, wanted_of
from selector.job.board.stage_verdicts import Standing, of_setting, refused_charts
from selector.job.board.unread import Unread, unread
from selector.job.file.model import Job
from selector.job.file.report import Report
from selector.job.house.lines_to_add import marks_to_add
from selector.job.house.trace import Tracer
from selector.job.readings.static import Pressure
from selector.job.targets.house import House
from selector.job.targets.stage_target import Wanted, asked_of, windows
from selector.problems import Problem
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.decode import differences
from selector.table.model.table import Setting
from selector.value import replace


def as_found(house: House) -> Report:
    """The answer for a job whose marks as found are known. No marks at all: a problem. Raises rank.TooLarge as the
    search does."""
    if house.known.found is None:
        return _no_marks(house)
    wanted = wanted_of(house)
    answer = judge_board(house, wanted, pressures_of(house))
    tracer = tracer_of(house, house.engine, evaluate(house.engine, house.known.found))
    named = tuple(_named(answer, wanted, tracer))
    return Report(
        lines=tuple(lines_of(answer, house.search, wanted)),
        data=data_of(answer, house.search, wanted),
        exit_code=0 if answer.right and not answer.first else 1,
        figures=tuple(dict.fromkeys(figure for _, figure in named)),
        named=named,
    )


def _named(answer: AsFound, wanted: Sequence[Wanted], tracer: Tracer) -> Iterator[tuple[str, Figure]]:
    """Every figure of the answer under the name of its call and stage; those of the complaint's advice under their
    own."""
    for stage in answer.standings:
        charted = tracer.airflow(stage.call, stage.stage)
        if charted is not None:
            yield f"{stage.title}, charted airflow", charted
    for one in wanted:
        title = f"{one.call} {one.stage}".strip()
        ends = (
            (one.aim, "charted airflow aimed at"),
            (one.low, "lower end of the window"),
            (one.high, "upper end of the window"),
        )
        yield from ((f"{title}, {name}", figure) for figure, name in ends if figure is not None)
    if answer.advice is not None:
        yield from ((figure.name.replace("_", " "), figure) for figure in answer.advice.figures)


def _no_marks(house: House) -> Report:
    job, help = house.job, marks_to_add("as found", house.table, house.known.facts.model)
    problem = Problem(
        file=job.file,
        line=0,
        column=0,
        code="no-marks",
        message="the job says nothing of how the board was found",
        help=help,
    )
    return Report(lines=(), exit_code=1, problems=(problem,))


def judge_board(house: House, wanted: Sequence[Wanted], pressures: Sequence[Pressure] = ()) -> AsFound:
    """The whole answer as values; the board has marks as found."""
    job, engine, known = house.job, house.search, house.known
    assert known.found is not None
    setting = known.found
    ends = windows(wanted, engine.table)
    asked = asked_of(wanted)
    stands = of_setting(engine, setting, ends, asked)
    open_marks = unread(engine, setting, ends, asked) if None in setting else None
    answer = AsFound(
        setting=setting,
        first=(*first_of(house, setting), *(above for p in pressures if (above := p.against_raising()))),
        declared=differences(engine, setting),
        standings=stands,
        refused=refused_charts(engine, setting),
        unread=open_marks,
        moves=None,
        offered=job.in_force is None or job.in_force.text != "thermostat",
        remarks=_remarks(job, engine, setting, stands),
        advice=complaints.advise(job, engine, known, setting, wanted, pressures, moving=_readable(open_marks)),
    )
    if answer.right is not False:
        return answer
    moves = fewest(engine, setting, wanted, known.held)
    left = of_setting(engine, moves.setting, ends, asked) if moves.setting is not None else ()
    return replace(answer, moves=moves, left=left)


def _readable(open_marks: Unread | None) -> bool:
    return open_marks is None or not open_marks.looks


def _remarks(job: Job, engine: Engine, setting: Setting, stands: Sequence[Standing]) -> tuple[str, ...]:
    """What is worth telling though no window is broken."""
    return (*_dehumidify(job, engine, setting), *_water(job, engine, setting, stands))


def _dehumidify(job: Job, engine: Engine, setting: Setting) -> list[str]:
    """A cut link with nothing wired reduces for ever; a whole one ignores the humidistat."""
    humidistat = (
        job.dehumidify.humidistat.text if job.dehumidify is not None and job.dehumidify.humidistat is not None else ""
    )
    out = []
    for call in engine.table.calls.values():
        terminals = {t.upper() for words in call.terminals.values() for t in words}
        for condition in call.when:
            if "DH" not in terminals or condition.part < 0:
                continue
            part = engine.table.parts[condition.part]
            at = setting[part.index]
            if at is None or not humidistat:
                continue
            enabled = at in condition.allowed
            if enabled and humidistat == "none":
                reduced = (
                    "and a cut link with nothing wired runs reduced for ever"
                    if part.word(at) == "cut"
                    else "and it would run reduced"
                )
                out.append(
                    f"{part.name} is {part.word(at)}, so {call.name} is enabled; there is no humidistat, {reduced}"
                )
            elif not enabled and humidistat != "none":
                out.append(f"{part.name} is {part.word(at)}: the humidistat is ignored, {call.name} never runs")
    return out


def _water(job: Job, engine: Engine, setting: Setting, stands: Sequence[Standing]) -> list[str]:
    """In a humid climate: ramp, run-on and constant fan put water back into the house."""
    from selector.job.board.moisture import water_put_back

    if job.site.climate is None or job.site.climate.text != "humid":
        return []
    return water_put_back(
        engine, setting, {(s.call, s.stage): s.airflow for s in stands if isinstance(s.airflow, Fraction)}
    )
