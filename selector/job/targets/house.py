"""One job on its table, worked out as far as its facts go: what plan, verdict and record start from."""

from __future__ import annotations

import os
from collections.abc import Mapping
from fractions import Fraction

from selector.job.file.model import Job
from selector.job.file.stages import with_stages
from selector.job.house.air import HouseAir, house_air
from selector.job.house.at_visit import at_last_visit
from selector.job.house.contradictions import contradictions
from selector.job.house.fact_figures import stage_share
from selector.job.house.heating import HeatReader
from selector.job.house.job_names import Known, known
from selector.job.house.metric import with_celsius
from selector.job.targets.aims import Bound, StageAim
from selector.job.targets.complaint_aims import Eased, eased
from selector.job.targets.ducts import Ducts, ducts_of, with_ducts
from selector.job.targets.meant import meant, standing
from selector.job.targets.static_ceiling import most_airflow
from selector.job.targets.targets import stage_aims
from selector.problems import Problem, Refused
from selector.solve.engine.engine import Engine
from selector.solve.search.targets import Target
from selector.table.library.library import load
from selector.table.model.roles import COMPRESSOR, Role, roles
from selector.table.model.table import Call, Rating, Table, Window
from selector.units import convert, rise
from selector.value import Struct, replace


class House(Struct, frozen=True, kw_only=True):
    """`engine` judges the board by the table's own limits under the job's facts; `search` also by the windows of the
    house.

    `table` is the table as loaded. `aims` have every call and stage in its order; they are moved for the complaint
    (`eased`), and `without` has
    them as they would be without it. `notes` say what was taken without being typed.
    """

    job: Job
    table: Table
    known: Known
    air: HouseAir
    aims: tuple[StageAim, ...]
    ducts: Ducts
    engine: Engine
    search: Engine
    roles: Mapping[str, Role]
    eased: Eased
    without: tuple[StageAim, ...]
    notes: tuple[str, ...] = ()

    def aim(self, call: str, stage: str) -> StageAim:
        """The aim of one stage; KeyError if there is none."""
        for one in self.aims:
            if (one.call, one.stage) == (call, stage):
                return one
        raise KeyError(f"{call} {stage}")


def house_of(job: Job, table: Table | None = None) -> House:
    """Everything worked out for a job as it stands after its last visit. Raises Refused where the table can't be read
    or doesn't have what the job speaks of."""
    table = with_celsius(table_of(job) if table is None else table)
    typed = with_stages(at_last_visit(job, table), table)
    ease = eased(typed, table)
    job = ease.job
    facts = known(job, table)
    differs = contradictions(typed, table, facts)
    air = house_air(job, table)
    aims = stage_aims(job, table, facts, air)
    ducts = ducts_of(job, table, facts, aims)
    adjusted = _adjusted(job, ducts.table)
    delivered = {(a.call, a.stage): a.full_heat.value for a in aims if a.full_heat is not None}
    burned = HeatReader(job, table, facts.facts).burned()
    all_facts = replace(with_ducts(facts.facts, ducts), delivered=delivered, air=air.carries, burned=burned)
    engine = Engine(adjusted, all_facts)
    most = most_airflow(job, engine, facts, aims, air)
    ceilings = tuple(
        Bound(end="high", figure=one.figure, origin="static", words=one.words, way=one.way) for one in most
    )
    aims = tuple(replace(one, bounds=(*one.bounds, *ceilings)) for one in aims)
    return House(
        job=job,
        table=table,
        known=facts,
        air=air,
        aims=aims,
        ducts=ducts,
        engine=engine,
        search=Engine(_windowed(adjusted, aims, air), all_facts),
        roles=roles(table),
        eased=ease,
        without=stage_aims(typed, table, facts, air) if ease.moved else aims,
        notes=(*facts.notes, *facts.not_typed, *differs, *ducts.notes),
    )


def table_of(job: Job) -> Table:
    """The job's table: by name in the library, or by its path, also from the job file's folder. Raises Refused."""
    if job.table is None:
        help = "type table: and its name; selector list shows the tables"
        raise Refused(
            [
                Problem(
                    file=job.file or "job",
                    line=1,
                    column=1,
                    code="no-table",
                    message="the job names no table",
                    help=help,
                )
            ]
        )
    name = job.table.text
    beside = os.path.join(os.path.dirname(job.file), name) if job.file else name
    if name.endswith((".yaml", ".yml")) and not os.path.exists(name) and os.path.exists(beside):
        name = beside
    try:
        return load(name)[0]
    except Refused as refused:
        if any(p.line for p in refused.problems):
            raise
        from selector.job.house.job_names import moved

        word = job.table
        raise Refused([moved(job, word, p) for p in refused.problems]) from refused


def _adjusted(job: Job, table: Table) -> Table:
    """The table with what the job knows better: the plate's rise, the shares of the outdoor unit that run."""
    ratings = dict(table.ratings)
    spans = job.heat.rise if job.heat is not None else {}
    closed = {stage: span for stage, span in spans.items() if span.low is not None and span.high is not None}
    if closed:
        values: dict[tuple[str, str], Fraction | tuple[Fraction, Fraction]] = {}
        for stage, span in closed.items():
            assert span.low is not None
            assert span.high is not None
            values["", stage] = (
                rise(span.low, "F", table.units.temperature),
                rise(span.high, "F", table.units.temperature),
            )
        ratings["temperature rise"] = Rating(
            name="temperature rise", values=values, line=next(iter(closed.values())).line
        )
    of = roles(table)
    calls = {name: _running(job, table, call) if of[name] in COMPRESSOR else call for name, call in table.calls.items()}
    return replace(table, ratings=ratings, calls=calls)


def _running(job: Job, table: Table, call: Call) -> Call:
    shares = {
        stage: share.value for stage in call.stages if (share := stage_share(job, table, call, stage)) is not None
    }
    return replace(call, capacity={**call.capacity, **shares})


def _windowed(table: Table, aims: tuple[StageAim, ...], air: HouseAir) -> Table:
    """The table with the windows of the house beside its own."""
    added: dict[str, list[Window]] = {}
    for one in aims:
        added.setdefault(one.call, []).extend(windows_of(one, table, air))
    return replace(
        table,
        calls={
            name: replace(call, windows=(*call.windows, *added.get(name, []))) for name, call in table.calls.items()
        },
    )


def windows_of(one: StageAim, table: Table, air: HouseAir) -> list[Window]:
    """The bounds of a stage in the table's units; those that come from a rise stay rises, so that they hold at every
    firing rate."""
    out: list[Window] = []
    for bound in one.bounds:
        if bound.rise_f is not None:
            # the engine reckons the rise by the first way; under another way the same limit stands elsewhere
            limit = rise(bound.rise_f * bound.way.carries / air.carries, "F", table.units.temperature)
            low, high = (None, limit) if bound.end == "low" else (limit, None)
            out.append(Window(quantity="temperature rise", low=low, high=high, stage=one.stage))
        else:
            limit = convert(bound.figure.value, "cfm", table.units.airflow)
            low, high = (limit, None) if bound.end == "low" else (None, limit)
            out.append(Window(quantity="airflow", low=low, high=high, stage=one.stage))
    return out


def targets_of(house: House) -> tuple[Target, ...]:
    """The aims that stand in the ranking, in the table's units: of calls that are meant to run here."""
    now = house.known.left if house.known.left is not None else house.known.found
    counted = meant(house.job, house.engine, house.aims, standing(house.engine, now))
    return tuple(t for one in counted if (t := target_of(one, house)) is not None)


def target_of(one: StageAim, house: House) -> Target | None:
    """One stage's aim as the search takes it; None where it has none or doesn't count."""
    aim, table, air = one.aim, house.table, house.air
    if not aim.counts:
        return None
    text = aim.words
    if aim.share_percent is not None:
        return Target(
            call=one.call,
            stage=one.stage,
            quantity="share",
            low=aim.share_percent,
            high=aim.share_percent,
            of=aim.of,
            text=text,
        )
    if aim.rise_f is not None:
        # under two ways the middle between them is aimed at, see `aims.between_ways`
        mean = sum((w.carries for w in air.ways), start=Fraction(0)) / len(air.ways)
        wanted = rise(aim.rise_f.value * mean / air.carries, "F", table.units.temperature)
        return Target(call=one.call, stage=one.stage, quantity="temperature rise", low=wanted, high=wanted, text=text)
    if aim.charted is None:
        return None
    low, high = (
        (aim.charted.value, aim.charted.value)
        if aim.low_cfm is None or aim.high_cfm is None
        else (aim.low_cfm, aim.high_cfm)
    )
    unit = table.units.airflow
    return Target(
        call=one.call,
        stage=one.stage,
        quantity="airflow",
        low=convert(low, "cfm", unit),
        high=convert(high, "cfm", unit),
        text=text,
    )
