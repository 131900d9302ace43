"""Which charts of a library a board may belong to, from its marks and what was measured, when nobody knows its table.

Error model, the same for every chart: an airflow fits where the chart's figure under these marks lies inside the
reading's band (hood and flow
plate 5 %, electric 4 %, rise 7 % or what 2 F in it makes); it may fit inside twice the band, or where a mark or a fact
that the chart asks for
isn't known and some value of it would fit. Anything further off, and marks that can't stand on the board, don't fit.
Names of charts are all that comes of it: never a setting, a verdict or a card.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import islice, product
from typing import Literal

from selector.air import measure
from selector.air.figure import Figure
from selector.job.file.model import Job, Reading
from selector.job.house.air import house_air
from selector.job.house.heating import HeatReader
from selector.job.house.job_facts import all_marks, call_of, known
from selector.job.house.steady import coming_up
from selector.job.readings.external_static import external_static, unit_parts
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.measurement import Taken, take
from selector.job.readings.reading_faults import ReadingState
from selector.job.readings.readings_by_state import efficiency_of, heat_of
from selector.job.readings.settled_marks import SettledMark, completed, settle
from selector.job.readings.static import native_static
from selector.job.remark import Remark, remark
from selector.judge.decode import decode
from selector.judge.floors_and_ceilings import engine_of
from selector.judge.judgement import StageJudgement
from selector.judge.known_facts import BoardMarks
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import no_such_selector, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.roles import Role, roles
from selector.table.model.table import Call, Setting, Table
from selector.table.text.words import Names
from selector.units import convert, format_number, plain
from selector.value import Struct, replace

Fit = Literal["fits", "may fit", "doesn't fit"]
TWICE = 2
MOST_VARIANTS = 64
"""So many combinations of facts that aren't known are tried."""


class HeldReading(Struct, frozen=True, kw_only=True):
    """One reading held against one chart: how it fits, the charted airflow nearest to it (cfm), the reading as
    charted, why; `settled`: what it says of marks that aren't known, and `then` the airflows of the call's stages (cfm)
    with the marks it settles; `stands`: how the stage stands as marked; `contradictions`: selectors that tell this
    chart's board of other equipment."""

    title: str
    fit: Fit
    charted: Fraction | None
    read: Figure | None
    why: tuple[Remark, ...]
    settled: tuple[SettledMark, ...] = ()
    then: tuple[tuple[str, Fraction], ...] = ()
    stands: StageJudgement | None = None
    contradictions: tuple[DeclaredDifference, ...] = ()


class ChartCandidate(Struct, frozen=True, kw_only=True):
    """One table for one model: the worst of its readings, or why its board can't show these marks."""

    table: Table
    model: str
    fit: Fit
    held: tuple[HeldReading, ...]
    why: tuple[Remark, ...] = ()

    @property
    def name(self) -> str:
        """`corvane-k14, model 080`."""
        return self.table.name + (f", model {self.model}" if self.model else "")


def candidates(job: Job, tables: Iterable[Table | ChartCandidate]) -> tuple[ChartCandidate, ...]:
    """Every table and model, in the order of the tables; a table that was ruled out before stands as its candidate. The
    marks are those as left, which was measured, else as found; readings without an airflow are passed over."""
    return tuple(
        one for table in tables for one in ((table,) if isinstance(table, ChartCandidate) else _of_table(job, table))
    )


def ruled_out(job: Job, names: Iterable[str], models: Sequence[str]) -> Remark | None:
    """Why a table can't be the board's, as far as its models and the names of its selectors and parts tell."""
    typed = job.model or job.plate_model
    if typed is not None and models and typed.text.casefold() not in (m.casefold() for m in models):
        return remark("other models", typed=typed.text, models=tuple(models))
    known = Names(names)
    for mark in job.left or job.found:
        if known.find(mark.selector) is None:
            return remark("marks of another board", problem=no_such_selector(mark.selector))
    return None


def _of_table(job: Job, table: Table) -> Iterable[ChartCandidate]:
    ruled = ruled_out(job, table.mark_names, table.unit.models)
    if ruled is not None:
        yield ChartCandidate(table=table, model="", fit="doesn't fit", held=(), why=(ruled,))
        return
    try:
        read = all_marks(job, job.left or job.found, table)
    except Refused as refused:
        why = remark("marks of another board", problem=refused.problems[0].message)
        yield ChartCandidate(table=table, model="", fit="doesn't fit", held=(), why=(why,))
        return
    setting = setting_of(read, table)
    # nothing is taken as delivered on a board that isn't known yet: what wasn't typed may stand anywhere
    marks = BoardMarks(setting=setting, unread=frozenset(i for i, at in enumerate(setting) if at is None))
    unnamed = [s for s in table.selectors.values() if not any(p in read for p in s.parts)]
    typed = job.model or job.plate_model
    models = table.unit.models or ("",)
    if typed is not None and table.unit.models:
        models = tuple(m for m in table.unit.models if m.casefold() == typed.text.casefold())
    for model in models:
        plate = _other_plate(job, table, model)
        if plate is not None:
            yield ChartCandidate(table=table, model=model, fit="doesn't fit", held=(), why=(plate,))
            continue
        held = tuple(h for reading in job.measurements if (h := _held(job, table, model, marks, reading)) is not None)
        yield _candidate(table, model, held, [s.name for s in unnamed])


PLATE_OFF = Fraction(1, 100)
"""Inputs of two plates further apart than this are of two units (our choice)."""


def _other_plate(job: Job, table: Table, model: str) -> Remark | None:
    """Why the plate's heat input isn't that of this chart's unit; None where nothing speaks against it."""
    typed = max(job.heat.input.values(), key=lambda a: a.value, default=None) if job.heat is not None else None
    rating = table.ratings.get("heat input")
    if typed is None or rating is None:
        return None
    reader = HeatReader(Job(), table, Facts(model=model or None, values={}))
    printed = [
        found.value
        for call in table.calls.values()
        if call.heats
        for stage in call.stages
        if (found := reader.plate_input(call, stage)) is not None
    ]
    if not printed or any(abs(value - typed.value) <= PLATE_OFF * typed.value for value in printed):
        return None
    return remark("other plate", typed=typed.text, printed=f"{format_number(max(printed), 0)} Btu/h")


def _candidate(table: Table, model: str, held: tuple[HeldReading, ...], unnamed: Sequence[str]) -> ChartCandidate:
    """The worst of the readings; without one that agrees nothing more than `may fit`."""
    fits = {h.fit for h in held}
    fit: Fit = (
        "doesn't fit" if "doesn't fit" in fits else "may fit" if "may fit" in fits or not held or unnamed else "fits"
    )
    why = () if held else (remark("only the marks"),)
    if unnamed and fit == "may fit":
        why = (*why, remark("marks missing", selectors=tuple(unnamed)))
    return ChartCandidate(table=table, model=model, fit=fit, held=held, why=why)


def _held(job: Job, table: Table, model: str, marks: BoardMarks, reading: Reading) -> HeldReading | None:
    """A reading against the stages it may have been taken in; None where it has no airflow and no rise."""
    stages = _stages(job, table, reading)
    words = f"{reading.call.text} {reading.stage.text if reading.stage is not None else ''}".strip()
    if not {"airflow", "rise", "supply air"} & set(reading.values) or reading.method.text in (
        "shown",
        "static",
        "watts",
    ):
        return None
    if not stages:
        why = (remark("no call like it", title=words),)
        return HeldReading(title=words, fit="doesn't fit", charted=None, read=None, why=why)
    named = any(word in _PLACES for word in words.casefold().replace("-", " ").split())
    open_stage = len(stages) > 1 or (named and len(table.calls[stages[0][0]].stages) == 1)
    found = [_best(job, table, model, marks, reading, stage, open_stage) for stage in stages]
    return min(found, key=lambda h: ("fits", "may fit", "doesn't fit").index(h.fit))


def _stages(job: Job, table: Table, reading: Reading) -> list[tuple[str, str]]:
    """The stages a reading may mean here: by name or terminals, else by the role of its call and its stage as
    counted on any board."""
    try:
        call, stage = call_of(job, table, reading.call, reading.stage)
        several = (
            len(table.calls[call].stages) > 1
            and reading.stage is None
            and reading.call.text.casefold() == call.casefold()
        )
        return [(call, s) for s in table.calls[call].stages] if several else [(call, stage)]
    except Refused:
        wanted = roles_meant(reading.call.text)
    found = roles(table)
    words = f"{reading.call.text} {reading.stage.text if reading.stage is not None else ''}"
    calls = [call for name, call in table.calls.items() if found[name] in wanted]
    return [(call.name, stage) for call in calls for stage in stages_meant(words, call.stages)]


def stages_meant(text: str, stages: Sequence[str]) -> Sequence[str]:
    """The stages of a call that words may mean on a board with other names for them: the first two of two, either by
    its place; else all.

    >>> stages_meant("cooling second", ("low", "high")), stages_meant("cooling", ("low", "high")), stages_meant("third
    stage", ("low", "high"))
    (('high',), ('low', 'high'), ())
    """
    words = text.casefold().replace("-", " ").split()
    place = next((_PLACES[word] for word in words if word in _PLACES), None)
    if place is None or len(stages) < 2:
        return stages
    return tuple(stages[place:][:1]) if place < len(stages) else ()


_PLACES = {
    "first": 0,
    "low": 0,
    "1": 0,
    "1st": 0,
    "second": 1,
    "high": -1,
    "2": 1,
    "2nd": 1,
    "third": 2,
    "3": 2,
    "3rd": 2,
}


_TERMINALS = re.compile(r"(?:Y[12]?|W[123]?|E|G|O|B|DH)(?:\s+(?:Y[12]?|W[123]?|E|G|O|B|DH))*", re.IGNORECASE)


def roles_meant(text: str) -> tuple[Role, ...]:
    """The roles that a name of a call, or terminals, may mean on a board whose table isn't known.

    >>> roles_meant("Y G"), roles_meant("first-stage cooling")
    (('cooling', 'heat pump'), ('cooling',))
    """
    if _TERMINALS.fullmatch(text.strip()):
        names = set(text.upper().split())
        outdoor, heat = any(n.startswith("Y") for n in names), any(n.startswith("W") or n == "E" for n in names)
        if "DH" in names:
            return ("dehumidify",)
        if outdoor:
            return (
                ("heat pump + auxiliary",)
                if heat
                else ("cooling",)
                if "O" in names
                else ("heat pump",)
                if "B" in names
                else ("cooling", "heat pump")
            )
        return ("heat",) if heat else ("fan",)
    folded = text.casefold()
    return next((meant for word, meant in _MEANT if word in folded), ())


_MEANT: tuple[tuple[str, tuple[Role, ...]], ...] = (
    ("dehumid", ("dehumidify",)),
    ("auxiliary", ("heat pump + auxiliary",)),
    ("heat pump", ("heat pump",)),
    ("cool", ("cooling",)),
    ("heat", ("heat",)),
    ("fan", ("fan",)),
)


def _best(
    job: Job, table: Table, model: str, marks: BoardMarks, reading: Reading, stage: tuple[str, str], open_stage: bool
) -> HeldReading:
    """The reading against every airflow that the chart may give in a stage."""
    assumed = [
        _against(job, table, facts, words, marks, reading, stage)
        for facts, words in _variants(job, table, model, reading)
    ]
    best = min(assumed, key=lambda h: (("fits", "may fit", "doesn't fit").index(h.fit), _off(h)))
    if open_stage and best.fit != "doesn't fit":
        only = len(table.calls[stage[0]].stages) == 1 and not stage[1]
        said = remark("one stage" if only else "if it was", title=best.title)
        return replace(best, fit="may fit", why=(said, *best.why))
    return best


def _off(held: HeldReading) -> Fraction:
    """How far the reading is from the chart, over the chart; large where there is nothing to compare."""
    if held.charted is None or held.read is None or not held.charted:
        return Fraction(10**6)
    return abs(held.read.value - held.charted) / held.charted


def _variants(job: Job, table: Table, model: str, reading: Reading) -> list[tuple[Facts, str]]:
    """What may be known of the unit: what the job and the reading say, and every printed value of the other facts that
    no selector tells the board."""
    declared = {p.declares for p in table.parts}
    said = dict(_facts_of(job, table))
    static = external_static(reading, unit_parts(table))
    if static is not None and static.figure is not None:
        said["static pressure"] = native_static(static.figure, Engine(table, Facts(model=model or None, values={})))
    choices: list[list[tuple[str, Fraction | str]]] = []
    statics = sorted(
        {
            n
            for c in table.charts.values()
            for k in (*c.keys, *c.heads)
            if k.name == "static pressure"
            for n in k.numbers
        }
    )
    if statics and "static pressure" not in said:
        choices.append([("static pressure", n) for n in statics])
    for fact in table.facts.values():
        if fact.name in declared or fact.name in said:
            continue
        if fact.values:
            choices.append([(fact.name, value) for value in fact.values])
        elif fact.low is not None and fact.high is not None:
            choices.append([(fact.name, fact.low), (fact.name, fact.high)])
    out = []
    for combination in islice(product(*choices), MOST_VARIANTS):
        values = dict(combination)
        words = ", ".join(
            f"{name} {value if isinstance(value, str) else f'{float(value):g}'}" for name, value in values.items()
        )
        out.append((Facts(model=model or None, values={**said, **values}), words))
    return out


def _facts_of(job: Job, table: Table) -> Mapping[str, Fraction | str]:
    """The job's facts under this table's names; none where it can't have them."""
    try:
        return known(replace(job, model=None, plate_model=None, found=(), left=(), hold=()), table).facts.values
    except Refused:
        return {}


def _against(
    job: Job, table: Table, facts: Facts, assumed: str, marks: BoardMarks, reading: Reading, stage: tuple[str, str]
) -> HeldReading:
    """One reading against one stage under assumed facts."""
    title = f"{stage[0]} {stage[1]}".strip()
    engine = engine_of(table, facts)
    decoded = decode(engine, marks.setting, marks.unread)
    setting = decoded.judgement.setting
    values = decoded.values[stage]
    unit = table.units.airflow
    charted = [convert(x, unit, "cfm") for x in values.airflows]
    if not charted:
        no = values.noes[0]
        fit: Fit = "may fit" if no.kind in ("unreadable", "not_known") else "doesn't fit"
        none = (remark("no airflow", why=no.why),)
        return HeldReading(title=title, fit=fit, charted=None, read=None, why=none, stands=values)
    call = table.calls[stage[0]]
    answer = decoded.answers[stage[0]].stage(stage[1])
    coming = coming_up(decoded.answers[stage[0]], stage[1], table.ramps.values())
    state = ReadingState(
        call=call, stage=stage[1], coming=coming, heat=heat_of(answer), efficiency=efficiency_of(engine, stage[1])
    )
    taken = take(reading, state, job)
    if not isinstance(taken, Taken) or taken.flow is None:
        if isinstance(taken, Taken):
            said = remark("reading says nothing")
        else:
            said = remark("reading refused", problem=taken[0].message)
        return HeldReading(title=title, fit="may fit", charted=None, read=None, why=(said,))
    flow = taken.flow
    air = house_air(job, table)
    found = [one for way in air.ways if not isinstance(one := moved_air([flow], way, air), Apart)]
    fits = [_fit(one.measured, x) for one in found for x in charted]
    best = min(charted, key=lambda x: abs(found[0].airflow.value - x) / x if x else Fraction(10**6))
    sure = len(charted) == 1 and not values.noes and len(set(fits)) == 1
    fit = fits[0] if sure else "may fit" if {"fits", "may fit"} & set(fits) else "doesn't fit"
    why: list[Remark] = []
    if assumed:
        why.append(remark("if", assumed=assumed))
        fit = "may fit" if fit == "fits" else fit
    settled: tuple[SettledMark, ...] = ()
    then: tuple[tuple[str, Fraction], ...] = ()
    if len(charted) > 1 and len(found) == 1:
        ends = [convert(figure.value, "cfm", unit) for figure in (found[0].low, found[0].airflow, found[0].high)]
        settled = settle(engine, setting, call, stage[1], *ends)
        then = tuple(_then(engine, completed(setting, settled), call)) if any(s.settles for s in settled) else ()
    if len(charted) > 1 and not any(s.settles for s in settled):
        why.append(remark("one of several", count=str(len(charted))))
    static = engine.static_of(call, stage[1])
    held = [x.range.high for x in engine.static_limits(call, stage[1]) if x.source != "rating plate" and x.range.high]
    if static is not None and held and static > min(held):
        there, most = (f"{plain(x)} {table.units.pressure}" for x in (static, min(held)))
        why.append(remark("static over the chart's", static=there, most=most))
        fit = "may fit" if fit == "fits" else fit
    read = found[0].airflow
    return HeldReading(
        title=title,
        fit=fit,
        charted=best,
        read=read,
        why=tuple(why),
        settled=settled,
        then=then,
        stands=values,
        contradictions=decoded.differences,
    )


def _then(engine: Engine, setting: Setting, call: Call) -> Iterable[tuple[str, Fraction]]:
    """The airflows (cfm) of a call's stages with the marks that are settled."""
    for stage in call.stages:
        airflow = Board(engine, setting).airflow(engine.asked(call, stage))
        if isinstance(airflow, Fraction):
            yield f"{call.name} {stage}".strip(), convert(airflow, engine.table.units.airflow, "cfm")


def _fit(read: measure.Measured, charted: Fraction) -> Fit:
    """How a charted airflow sits with a reading, by the error model."""
    band = measure.band_cfm(read.airflow_cfm, read.band_percent)
    off = abs(charted - read.airflow_cfm)
    return "fits" if off <= band else "may fit" if off <= TWICE * band else "doesn't fit"
