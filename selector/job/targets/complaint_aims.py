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

from selector.air.cooling import DRY_CLIMATE_CFM_PER_TON, MOISTURE_CFM_PER_TON, USUAL_CFM_PER_TON
from selector.air.figure import Given, given
from selector.job.file.model import Amount, Dehumidify, Heat, Job, Outdoor, TypedWord
from selector.job.house.heating import dual_fuel, kind_of, measured_heat
from selector.job.remark import Remark, remark
from selector.job.targets.complaint_rows import Complaint, Way, complaint_of, has_plate_rise, knows_plate_rise
from selector.table.model.roles import burns, roles
from selector.table.model.table import Table
from selector.units import plain
from selector.value import Struct, field, replace

LOWER_CFM_PER_TON = 330
"""A target below the steps, as an example of one that is somebody's own."""
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
    stays: tuple[Remark, ...] = ()
    slower_ramp: bool = False
    dehumidify: bool = False


def eased(job: Job, table: Table) -> Eased:
    """The aims that the complaint of a job moves; a typed aim always stands."""
    row = complaint_of(job)
    if row is None:
        return Eased(job=job)
    found = Eased(job=job, row=row, slower_ramp="slower ramp" in row.other)
    for role in row.torn:
        found = _stay(found, remark("complaints torn", role=role))
    has = set(roles(table).values()) - absent(job)
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


def absent(job: Job) -> frozenset[str]:
    """The roles that the job says nothing here has: no heat pump where a burner or water heats."""
    if dual_fuel(job.heat):
        return frozenset()
    return HEAT_PUMPS if kind_of(job.heat) in ("gas", "oil", "hydronic") else frozenset()


HEAT_PUMPS = frozenset({"heat pump", "heat pump + auxiliary"})


def ways(row: Complaint) -> Iterator[tuple[str, Way]]:
    """The roles that move; `any` is each of those that have an aim of their own."""
    for role, way in row.moves:
        every = (one for one in ("cooling", "heat pump", "heat") if one not in row.torn)
        yield from (((one, way) for one in every) if role == "any" else ((role, way),))


def _stay(found: Eased, why: Remark) -> Eased:
    return replace(found, stays=(*found.stays, why))


def _typed_target(job: Job, table_roles: Mapping[str, str], role: str) -> bool:
    """True where the person aims at a call of the role outright."""
    return any(
        key.casefold().startswith(name.casefold())
        for key in job.targets
        for name, one in table_roles.items()
        if one == role
    )


def _no_tons(what: str) -> Remark:
    return remark("no target without tons", what=what)


def _kept(what: str, own: str) -> Remark:
    return remark("own target kept", what=what, own=own)


def _cooling(found: Eased, way: Way) -> Eased:
    job, outdoor = found.job, found.job.outdoor or Outdoor()
    own = outdoor.airflow_per_ton
    if own is not None:
        return _stay(found, _kept("cooling", own.text))
    if outdoor.sensible_load is not None:
        return _stay(found, _kept("cooling", "sensible load"))
    if any(key.casefold().startswith("cooling") for key in job.targets):
        return _stay(found, _kept("cooling", "targets"))
    if outdoor.capacity is None:
        return _stay(found, _no_tons("cooling"))
    climate = job.site.climate
    name = OF_CLIMATE[climate.text] if climate is not None else "usual"
    to = _step(name, way, found.row.names if found.row is not None else ())
    if to == name:
        return _stay(found, _no_step(name, way, found.row.names if found.row is not None else ()))
    line = job.complaint.line if job.complaint is not None else 0
    moved = replace(outdoor, airflow_per_ton=TypedWord(text=to, line=line))
    return replace(found, job=replace(job, outdoor=moved), moved={**found.moved, "cooling": way})


def _step(name: str, way: Way, complaints: tuple[str, ...]) -> str:
    """The step that is aimed at: for a humid house the least, for an iced coil the usual, else the next."""
    if "humid" in complaints and way == "down":
        return STEPS[0]
    if "iced coil" in complaints and way == "up":
        return max(name, "usual", key=STEPS.index)
    return STEPS[min(max(STEPS.index(name) + (1 if way == "up" else -1), 0), len(STEPS) - 1)]


def _no_step(name: str, way: Way, complaints: tuple[str, ...]) -> Remark:
    if way == "down":
        lower = given("lower", LOWER_CFM_PER_TON, "cfm/ton")
        return remark("cooling at its lowest step", step=_per_ton(MOISTURE_CFM_PER_TON), lower=lower)
    if "iced coil" in complaints and name == "usual":
        return remark("cooling stays for an iced coil", step=_per_ton(USUAL_CFM_PER_TON))
    return remark("cooling at its highest step", step=_per_ton(DRY_CLIMATE_CFM_PER_TON))


def _per_ton(cfm: int) -> Given:
    return given("step", cfm, "cfm/ton")


def _heat(found: Eased, table: Table, way: Way) -> Eased:
    """Moved by the plate's rise, so not where the plate has none: then a typed rise in degrees or a target is all
    that could follow. A higher rise only on heat that was measured."""
    job, heat = found.job, found.job.heat or Heat()
    wanted = RISE[way]
    if not has_plate_rise(job, table):
        return found if "heat pump" in roles(table).values() else _stay(found, remark("heating without a rise"))
    clock = way == "down" and not heat_is_measured(job, table)
    if heat.aim or any(key.casefold().startswith("heat") for key in job.targets):
        own = ", ".join(f"{stage} {one.text}".strip() for stage, one in heat.aim.items()) or "target"
        if own == wanted and knows_plate_rise(job, table):
            return _stay(found, remark("heating at its step", rise=wanted))
        return _stay(found, remark("own rise kept, clock first" if clock else "own rise kept", own=own, rise=wanted))
    if clock:
        return _stay(found, remark("mid rise kept, clock first"))
    line = job.complaint.line if job.complaint is not None else 0
    return replace(
        found,
        job=replace(job, heat=replace(heat, aim={"": TypedWord(text=wanted, line=line)})),
        moved={**found.moved, "heat": way},
    )


def heat_is_measured(job: Job, table: Table) -> bool:
    """True where the heat of every heating call was read in the house and not off a plate."""
    return all(
        measured_heat(job, burns(table, table.calls[name])) for name, role in roles(table).items() if role == "heat"
    )


def _heat_pump(found: Eased, table: Table, way: Way) -> Eased:
    job, of = found.job, roles(table)
    if _typed_target(job, of, "heat pump"):
        return _stay(found, _kept("heat pump", "targets"))
    if (job.outdoor or Outdoor()).capacity is None:
        return _stay(found, _no_tons("the heat pump"))
    cfm = Fraction(HEAT_PUMP_STEPS[way])
    own = job.heat.least_per_ton if job.heat is not None else None
    if way == "down" and own is not None and own.value > cfm:
        cfm = own.value
        if cfm >= HEAT_PUMP_USUAL:
            return _stay(found, remark("heat pump at its minimum", own=own.text))
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
        return _stay(found, remark("humidistat not stated"))
    if wish.humidistat.text == "none":
        return _stay(found, remark("no humidistat"))
    line = found.job.complaint.line if found.job.complaint is not None else 0
    return replace(
        found,
        job=replace(found.job, dehumidify=replace(wish, wanted=TypedWord(text="yes", line=line))),
        dehumidify=True,
    )
