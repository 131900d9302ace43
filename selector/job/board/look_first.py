"""What is known here of a thing to look at first: said beside it, empty where the job and the table say nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from selector.air.arithmetic_duct import face_velocity
from selector.air.figure import given, text, written
from selector.job.file.model import Job
from selector.job.house.steady import coming_up, ramp_seconds
from selector.job.readings.static import Pressure
from selector.job.targets.stage_target import flow
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer
from selector.solve.search.decode import differences
from selector.table.model.cautions import CUT
from selector.table.model.roles import Role, roles
from selector.table.model.table import Call, Named, No, Setting
from selector.units import convert, plain
from selector.value import Struct


class _Here(Struct, frozen=True):
    """Everything that is known."""

    job: Job
    engine: Engine
    setting: Setting
    answers: Mapping[str, CallAnswer]
    pressures: Sequence[Pressure]


def said_here(
    name: str,
    job: Job,
    engine: Engine,
    setting: Setting,
    answers: Mapping[str, CallAnswer],
    pressures: Sequence[Pressure],
) -> str:
    """What the job, the table and the marks say of one thing of the complaints' table."""
    known = _SAID.get(name)
    return known(_Here(job, engine, setting, answers, pressures)) if known is not None else ""


def _of_role(here: _Here, role: Role) -> tuple[Call, ...]:
    found = roles(here.engine.table)
    return tuple(call for call in here.engine.table.calls.values() if found[call.name] == role)


def _fan(here: _Here) -> str:
    found = [
        f"{call.name} {flow(airflow)} {here.engine.table.units.airflow}"
        for call in _of_role(here, "fan")
        for answer in here.answers[call.name].stages
        if isinstance(airflow := answer.airflow, Fraction)
    ]
    return ", ".join(found)


def _seconds(here: _Here, role: Role, which: str) -> str:
    found = []
    for call in _of_role(here, role):
        answer = here.answers[call.name]
        for stage, delay in (answer.off_delay if which == "off" else answer.on_delay).items():
            if isinstance(delay, Fraction):
                found.append(f"{call.name} {stage}".strip() + f" {plain(delay)} s")
    return ", ".join(found)


def _humidistat(here: _Here) -> str:
    facts = here.job.dehumidify
    said = f"humidistat {facts.humidistat.text}" if facts is not None and facts.humidistat is not None else ""
    running = [
        f"{call.name}"
        f" {'runs' if isinstance(here.answers[call.name].stage(call.last).airflow, Fraction) else 'does not run'} when"
        " it asks"
        for call in _of_role(here, "dehumidify")
    ]
    return ", ".join(s for s in (said, *running) if s)


def _pressure(here: _Here) -> str:
    return "; ".join(line for p in here.pressures for line in p.lines())


def _faces(here: _Here, *names: str) -> str:
    """Face velocities of the job's ceilings at the greatest airflow of this setting."""
    flows = [s.airflow for a in here.answers.values() for s in a.stages if isinstance(s.airflow, Fraction)]
    if not flows:
        return ""
    most = given(
        "greatest_airflow", convert(max(flows), here.engine.table.units.airflow, "cfm"), "cfm", source="by the table"
    )
    out = []
    for ceiling in here.job.ceilings:
        if ceiling.area is not None and any(name in ceiling.name for name in names):
            area = given("area", ceiling.area.value, ceiling.area.unit, source=f"typed {ceiling.area.text}")
            limit = (
                f", limit {written(given('limit', ceiling.velocity.value, 'fpm'))}"
                if ceiling.velocity is not None
                else ""
            )
            out.append(f"{ceiling.name} {text(face_velocity(most, area))}{limit}")
    return "; ".join(out)


def _rise(here: _Here) -> str:
    unit = here.engine.table.units.temperature
    found = [
        f"{answer.title} {plain(round(answer.rise, 1))} {unit}"
        for call in _of_role(here, "heat")
        for answer in here.answers[call.name].stages
        if answer.rise is not None
    ]
    return "by the marks " + ", ".join(found) if found else ""


def _plug(here: _Here) -> str:
    found = [
        f"{d.selector} tells the board {d.fact} {d.board}, but {d.known} is there"
        for d in differences(here.engine, here.setting)
    ]
    return "; ".join(found)


def _slower(here: _Here) -> str:
    """The marks of a slower ramp than cooling's own."""
    table, out = here.engine.table, []
    for call in _of_role(here, "cooling"):
        atom = call.ramp.get(call.last, call.ramp.get(""))
        now = coming_up(here.answers[call.name], call.last)
        if not isinstance(atom, Named) or atom.kind != "chart" or isinstance(now, No):
            continue
        chart = table.charts[atom.name]
        for row in chart.rows:
            ramp = table.ramps.get(str(row.cells[0])) if row.cells else None
            if ramp is not None and now.delay_s + ramp_seconds(ramp) > now.full_s:
                marks = " ".join(
                    f"{key.name} {'-' if at < 0 else key.values[at]}"
                    for key, at in zip(chart.keys, row.positions, strict=True)
                )
                out.append(f"{marks}: {plain(ramp_seconds(ramp))} s to full airflow")
    return "; ".join(out) or "no slower ramp than it has"


def _enabled(here: _Here) -> str:
    """What enables dehumidify; a cut is named, never proposed."""
    table, out = here.engine.table, []
    for call in _of_role(here, "dehumidify"):
        for condition in call.when:
            if condition.part < 0:
                continue
            part, at = table.parts[condition.part], here.setting[condition.part]
            words = " or ".join(part.positions[i] for i in sorted(condition.allowed))
            cut = f" ({CUT.rstrip('.')}: not proposed unasked)" if condition.allowed & part.final else ""
            out.append(
                f"{call.name} is enabled"
                if at in condition.allowed
                else f"{part.name} {words} enables {call.name}{cut}"
            )
    return "; ".join(out) or "this board has none that a mark enables"


_SAID: Mapping[str, Callable[[_Here], str]] = {
    "fan mode": _fan,
    "run-on": lambda here: _seconds(here, "cooling", "off"),
    "on-delay": lambda here: _seconds(here, "heat", "on"),
    "humidistat": _humidistat,
    "stuck dehumidify": _humidistat,
    "static": _pressure,
    "filter": _pressure,
    "coil": _pressure,
    "zones": lambda here: "the job has zones" if here.job.zoning is not None else "",
    "low rise": _rise,
    "high fire": _rise,
    "filter area": lambda here: _faces(here, "filter", "grille"),
    "grille": lambda here: _faces(here, "grille"),
    "face velocity": lambda here: _faces(here, "coil"),
    "power cycle": lambda here: (
        f"this board reads its marks {here.engine.table.unit.reads}" if here.engine.table.unit.reads else ""
    ),
    "control in force": lambda here: f"{here.job.in_force.text} in force" if here.job.in_force is not None else "",
    "plug": _plug,
    "slower ramp": _slower,
    "dehumidify": _enabled,
}
