"""One job on its table, worked out as far as its facts go: what plan, verdict and record start from."""

from __future__ import annotations

import os
from collections.abc import Mapping
from fractions import Fraction

from selector.amount import ALTITUDE
from selector.job.file.model import Job
from selector.job.file.stages import with_stages
from selector.job.house.air import HouseAir, house_air
from selector.job.house.at_visit import at_last_visit, with_heat_read
from selector.job.house.before_change import read_again_notes
from selector.job.house.contradictions import contradictions
from selector.job.house.fact_figures import stage_share
from selector.job.house.heater_marks import as_printed
from selector.job.house.heating import HeatReader, two_heats_notes
from selector.job.house.job_facts import Known, known
from selector.job.remark import Remark
from selector.job.targets.aims import StageAim
from selector.job.targets.complaint_aims import Eased, eased
from selector.job.targets.ducts import Ducts, ducts_of, needs_static, with_ducts
from selector.job.targets.heater_floor import heater_floor
from selector.job.targets.meant import meant, standing
from selector.job.targets.static_ceiling import most_airflow
from selector.job.targets.targets import stage_aims
from selector.job.targets.windows import RETURN_F
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.problems import Problem, Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import half_read
from selector.solve.engine.engine import Engine
from selector.solve.search.targets import Target
from selector.table.library.library import load
from selector.table.model.in_units import with_celsius
from selector.table.model.range import Range
from selector.table.model.roles import COMPRESSOR, Role, has_heat_pump_call, roles
from selector.table.model.table import Call, Rating, Setting, Table
from selector.units import convert, rise
from selector.value import Struct, replace


class House(Struct, frozen=True, kw_only=True):
    """`engine` has the table's limits under the job's facts, `search` also those of the house (`known_facts`): boards
    are judged and settings searched under it.

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
    known_facts: KnownFacts
    search: Engine
    roles: Mapping[str, Role]
    eased: Eased
    without: tuple[StageAim, ...]
    notes: tuple[Remark, ...] = ()

    @property
    def now(self) -> Setting | None:
        """The marks the board stands at: as left, else as found; None where there are none."""
        return self.known.left if self.known.left is not None else self.known.found

    def marks(self, setting: Setting) -> BoardMarks:
        """A setting of this board with what of it was looked at and can't be read."""
        unread = frozenset(i for i in self.known.unread if setting[i] is None)
        return BoardMarks(setting=setting, unread=unread)

    def aim(self, call: str, stage: str) -> StageAim:
        """The aim of one stage; KeyError if there is none."""
        for one in self.aims:
            if (one.call, one.stage) == (call, stage):
                return one
        raise KeyError(f"{call} {stage}")


def house_of(job: Job, table: Table | None = None, *, tried: bool = False) -> House:
    """Everything worked out for a job as it stands after its last visit. `tried`: a what-if. Raises Refused where the
    table can't be read or doesn't have what the job speaks of."""
    table = with_celsius(table_of(job) if table is None else table)
    typed, of_heater = as_printed(with_stages(with_heat_read(at_last_visit(job, table), table), table), table)
    ease = eased(typed, table)
    job = ease.job
    facts = known(job, table)
    table = table.half_read(half_read([f"{m.selector}={m.text}" for m in (*job.found, *job.left)], table))
    differs = contradictions(typed, table, facts, tried=tried)
    air = house_air(job, table)
    aims = stage_aims(job, table, facts, air)
    ducts = ducts_of(job, table, facts, aims)
    adjusted = _adjusted(job, ducts.table)
    delivered = {(a.call, a.stage): a.full_heat.value for a in aims if a.full_heat is not None}
    burned = HeatReader(job, table, facts.facts).burned()
    all_facts = replace(_at_site(job, table, facts.facts, ducts), delivered=delivered, air=air.carries, burned=burned)
    engine = Engine(adjusted, all_facts)
    ceilings = most_airflow(job, engine, facts, aims, air)
    aims = tuple(replace(one, bounds=(*one.bounds, *heater_floor(engine, facts, one, air), *ceilings)) for one in aims)
    known_facts = KnownFacts(facts=all_facts, limits=tuple(x for one in aims for x in limits_of(one, adjusted, air)))
    return House(
        job=job,
        table=table,
        known=facts,
        air=air,
        aims=aims,
        ducts=ducts,
        engine=engine,
        known_facts=known_facts,
        search=known_facts.engine(adjusted),
        roles=roles(table),
        eased=ease,
        without=stage_aims(typed, table, facts, air) if ease.moved else aims,
        notes=(
            *facts.notes,
            *read_again_notes(job),
            *facts.not_typed,
            *differs,
            *of_heater,
            *ducts.notes,
            *two_heats_notes(job, has_heat_pump_call(table)),
        ),
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
        from selector.job.house.job_facts import moved

        word = job.table
        raise Refused([moved(job, word, p) for p in refused.problems]) from refused


def _at_site(job: Job, table: Table, facts: Facts, ducts: Ducts) -> Facts:
    """The facts with the return air, the height where the table counts in it, and the static of each call; a static
    that was expected gives way to measured ones, where no chart needs it."""
    typed = job.site.return_air
    back = convert(RETURN_F if typed is None else typed.value, "F", table.units.temperature)
    values = {**facts.values, "return air": back}
    if job.site.altitude is not None and ALTITUDE.key in table.facts:
        values[ALTITUDE.key] = job.site.altitude.value
    if ducts.measured and not needs_static(table):
        values.pop("static pressure", None)
    return with_ducts(replace(facts, values=values), ducts)


def _adjusted(job: Job, table: Table) -> Table:
    """The table with what the job knows better: the plate's rise, its greatest static and supply air, the shares of the
    outdoor unit that run."""
    ratings = dict(table.ratings)
    for name, typed, unit, own in (
        ("plate static", job.site.plate_static, "in. w.c.", table.units.pressure),
        ("outlet limit", job.heat.outlet_limit if job.heat is not None else None, "F", table.units.temperature),
    ):
        if typed is not None and (name in ratings or name == "plate static"):
            ratings[name] = Rating(name=name, values={("", ""): convert(typed.value, unit, own)}, line=typed.line)
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


def limits_of(one: StageAim, table: Table, air: HouseAir) -> list[OutsideLimit]:
    """The bounds of a stage in the table's units; those that come from a rise stay rises, so that they hold at every
    firing rate."""
    out: list[OutsideLimit] = []
    for bound in one.bounds:
        if bound.of_page:
            continue
        if bound.rise_f is not None:
            # the engine reckons the rise by the first way; under another way the same limit stands elsewhere
            end = rise(bound.rise_f * bound.way.carries / air.carries, "F", table.units.temperature)
            quantity, allowed = "temperature rise", Range(high=end) if bound.end == "low" else Range(low=end)
        else:
            end = convert(bound.figure.value, "cfm", table.units.airflow)
            quantity, allowed = "airflow", Range(low=end) if bound.end == "low" else Range(high=end)
        out.append(OutsideLimit(quantity=quantity, range=allowed, source=bound.origin, call=one.call, stage=one.stage))
    return out


def without_static(house: House) -> House:
    """The house without the ceiling that a measured static sets: where static is judged by itself, against the
    airflow that was measured."""
    aims = tuple(replace(one, bounds=tuple(b for b in one.bounds if b.origin != "static")) for one in house.aims)
    limits = tuple(x for x in house.known_facts.limits if x.source != "static")
    known_facts = replace(house.known_facts, limits=limits)
    return replace(house, aims=aims, known_facts=known_facts, search=known_facts.engine(house.engine.table))


def must_run(house: House) -> frozenset[tuple[str, str]]:
    """The stages that have to run: somebody aims at them, or their heat is known to be there."""
    heats = {(a.call, a.stage) for a in house.aims if a.role == "heat" and a.heat is not None and a.heat.value > 0}
    return frozenset((t.call, t.stage) for t in targets_of(house)) | heats


def targets_of(house: House) -> tuple[Target, ...]:
    """The aims that stand in the ranking, in the table's units: of calls that are meant to run here."""
    counted = meant(house.job, house.engine, house.aims, standing(house.engine, house.now))
    return tuple(t for one in counted if (t := target_of(one, house)) is not None)


def target_of(one: StageAim, house: House) -> Target | None:
    """One stage's aim as the search takes it; None where it has none or doesn't count."""
    aim, table, air = one.aim, house.table, house.air
    if not aim.counts:
        return None
    text = ""
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
