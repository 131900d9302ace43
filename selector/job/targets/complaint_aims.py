"""What a complaint moves: the aims of the calls it names, one step its way where the person typed none, and the ramp
and dehumidify to try.

The steps are those of the trade (common practice, no source): airflow per ton 350, 400, 450, a heat pump's own floor
never passed; rise from the
middle of the plate's window to 5 F inside one of its ends, where the plate has a rise. Ceilings, floors and static stay
as they are and still forbid.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from selector.job.file.model import Amount, Dehumidify, Heat, Job, Outdoor, TypedWord
from selector.job.targets.complaint_rows import ROWS, Complaint, Way, has_plate_rise, knows_plate_rise
from selector.table.model.roles import roles
from selector.table.model.table import Table
from selector.units import plain
from selector.value import Struct, field, replace

STEPS = ("moisture", "usual", "dry")
"""Airflow per ton by name, least first: 350, 400, 450 cfm/ton."""
OF_CLIMATE: Mapping[str, str] = {"humid": "moisture", "usual": "usual", "dry": "dry"}
HEAT_PUMP_STEPS: Mapping[Way, int] = {"up": 450, "down": 350}
HEAT_PUMP_USUAL = 400
"""What a heat pump aims at without a complaint, cfm/ton."""
RISE: Mapping[Way, str] = {"up": "low rise", "down": "high rise"}
"""More air is a lower rise."""


class Eased(Struct, frozen=True, kw_only=True):
    """The job with its aims moved for its complaint. `moved`: roles whose aims moved, with their way; `stays`: why
    another's didn't.

    `slower_ramp`, `dehumidify`: to be tried where no window is broken. `row` is None where there is no complaint.
    """

    job: Job
    row: Complaint | None = None
    moved: Mapping[str, Way] = field(default_factory=dict)
    stays: tuple[str, ...] = ()
    slower_ramp: bool = False
    dehumidify: bool = False


def eased(job: Job, table: Table) -> Eased:
    """The aims that the complaint of a job moves; a typed aim always stands."""
    row = ROWS.get(job.complaint.text) if job.complaint is not None else None
    if row is None:
        return Eased(job=job)
    found = Eased(job=job, row=row, slower_ramp="slower ramp" in row.other)
    has = set(roles(table).values())
    for role, way in ways(row):
        if role not in has:
            continue
        if role == "cooling":
            found = _cooling(found, way)
        elif role == "heat":
            found = _heat(found, table, way)
        elif role == "heat pump":
            found = _heat_pump(found, table, way)
    return _dehumidify(found, "dehumidify" in has) if "dehumidify" in row.other else found


def ways(row: Complaint) -> Iterator[tuple[str, Way]]:
    """The roles that move; `any` is each of those that have an aim of their own."""
    for role, way in row.moves:
        yield from (((one, way) for one in ("cooling", "heat pump", "heat")) if role == "any" else ((role, way),))


def _stay(found: Eased, words: str) -> Eased:
    return replace(found, stays=(*found.stays, words))


def _typed_target(job: Job, table_roles: Mapping[str, str], role: str) -> bool:
    """True where the person aims at a call of the role outright."""
    return any(
        key.casefold().startswith(name.casefold())
        for key in job.targets
        for name, one in table_roles.items()
        if one == role
    )


def _no_tons(what: str, way: Way) -> str:
    return (
        f"{what} may go {way}, but its tons are not known, so it has no aim to move (outdoor unit: {{capacity: 3"
        " tons})"
    )


def _cooling(found: Eased, way: Way) -> Eased:
    job, outdoor = found.job, found.job.outdoor or Outdoor()
    own = outdoor.airflow_per_ton
    if (
        own is not None
        or outdoor.sensible_load is not None
        or any(key.casefold().startswith("cooling") for key in job.targets)
    ):
        typed = (
            f"airflow per ton: {own.text}"
            if own is not None
            else "sensible load"
            if outdoor.sensible_load is not None
            else "target"
        )
        return _stay(found, f"cooling may go {way}, but your own aim stands ({typed}); take it out, or type another")
    if outdoor.capacity is None:
        return _stay(found, _no_tons("cooling", way))
    climate = job.site.climate
    name = OF_CLIMATE[climate.text] if climate is not None else "usual"
    at = STEPS.index(name) + (1 if way == "up" else -1)
    if found.row is not None and found.row.name == "humid":
        at = 0 if name != STEPS[0] else -1
    if not 0 <= at < len(STEPS):
        ends = (
            "350 cfm/ton, the least usual: a lower figure is yours to type (airflow per ton: 330 cfm/ton), down to the"
            " floor"
        )
        return _stay(
            found,
            f"cooling aims at {ends}"
            if way == "down"
            else "cooling aims at 450 cfm/ton, the most usual: it goes no higher",
        )
    line = job.complaint.line if job.complaint is not None else 0
    moved = replace(outdoor, airflow_per_ton=TypedWord(text=STEPS[at], line=line))
    return replace(found, job=replace(job, outdoor=moved), moved={**found.moved, "cooling": way})


def _heat(found: Eased, table: Table, way: Way) -> Eased:
    """Moved by the plate's rise, so not where the plate has none: then a typed rise in degrees or a target is all
    that could follow."""
    job, heat = found.job, found.job.heat or Heat()
    wanted = RISE[way]
    if not has_plate_rise(job, table):
        said = "by the plate's rise, and none is known here: no aim of it is moved for the complaint"
        return found if "heat pump" in roles(table).values() else _stay(found, f"heating would go {way} {said}")
    if heat.aim or any(key.casefold().startswith("heat") for key in job.targets):
        own = ", ".join(f"{stage} {one.text}".strip() for stage, one in heat.aim.items()) or "target"
        if own == wanted and knows_plate_rise(job, table):
            return _stay(
                found,
                f"heating aims at {wanted} already, 5 F inside the plate's end: it goes no"
                f" {'higher' if way == 'up' else 'lower'}",
            )
        instead = (
            f'"heat aim={wanted}" would follow the complaint'
            if knows_plate_rise(job, table)
            else "the plate's rise is not known"
        )
        return _stay(found, f"heating may go {way}, but your own aim stands ({own}); {instead}")
    line = job.complaint.line if job.complaint is not None else 0
    return replace(
        found,
        job=replace(job, heat=replace(heat, aim={"": TypedWord(text=wanted, line=line)})),
        moved={**found.moved, "heat": way},
    )


def _heat_pump(found: Eased, table: Table, way: Way) -> Eased:
    job, of = found.job, roles(table)
    if _typed_target(job, of, "heat pump"):
        return _stay(found, f"the heat pump's airflow may go {way}, but your own target stands")
    if (job.outdoor or Outdoor()).capacity is None:
        return _stay(found, _no_tons("the heat pump", way))
    cfm = Fraction(HEAT_PUMP_STEPS[way])
    own = job.heat.least_per_ton if job.heat is not None else None
    if way == "down" and own is not None and own.value > cfm:
        cfm = own.value
        if cfm >= HEAT_PUMP_USUAL:
            return _stay(
                found, f"the heat pump's airflow may go down, but your own floor stands (least per ton: {own.text})"
            )
    line = job.complaint.line if job.complaint is not None else 0
    amount = Amount(value=cfm, unit="cfm/ton", text=f"{plain(cfm)} cfm/ton", line=line)
    targets = {
        **job.targets,
        **{name: {call.last: amount} for name, call in table.calls.items() if of[name] == "heat pump"},
    }
    return replace(found, job=replace(job, targets=targets), moved={**found.moved, "heat pump": way})


def _dehumidify(found: Eased, has: bool) -> Eased:
    """Dehumidify is tried only where it is known how the humidistat contacts: a board without one would run reduced
    for ever."""
    wish = found.job.dehumidify or Dehumidify()
    if not has or wish.wanted is not None:
        return found
    if wish.humidistat is None:
        return _stay(
            found,
            "dehumidify may help: say first how the humidistat contacts (dehumidify: {humidistat: opens on rise})",
        )
    if wish.humidistat.text == "none":
        return _stay(found, "dehumidify would help, but nothing asks for it: there is no humidistat")
    line = found.job.complaint.line if found.job.complaint is not None else 0
    return replace(
        found,
        job=replace(found.job, dehumidify=replace(wish, wanted=TypedWord(text="yes", line=line))),
        dehumidify=True,
    )
