"""The plots that go with a plan and with the verdicts on what was measured, in the units of the table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from selector.air.figure import Figure, Worked
from selector.answers.plots.stage import At, ramp_of, reach_of, rise_of, static_of
from selector.answers.remarks.way_words import WAY_SHORT
from selector.answers.words.static_parts import pressure_text
from selector.draw.parts.draw import describe
from selector.draw.plots.duct import on_one_scale
from selector.draw.plots.plot import Plot, titled
from selector.draw.plots.plots import BoardShown, Shown
from selector.draw.plots.pressure import PressureBar, PressurePart
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.plan.plan import Plan
from selector.job.readings.external_static import coil_before_blower
from selector.job.readings.static import plate_static
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verdict import Verdict
from selector.job.verify.verify import Verified
from selector.solve.engine.engine import Engine, native_factor
from selector.solve.search.space import space_of
from selector.table.model.table import Setting
from selector.units import convert, rise


def plan_plots(plan: Plan) -> tuple[Shown, ...]:
    """Plots of the setting that is planned, or of the nearest where none is offered."""
    house, choice = plan.house, plan.solution.best or plan.solution.nearest
    if choice is None:
        return ()
    of = {(e.aim.call, e.aim.stage): e for e in choice.stages}
    out: list[Shown] = [BoardShown(pictures=describe(house.table, choice.setting, plan.solution.before))]
    for one in choice.stages:
        if one.charted is None or not (one.aim.bounds or one.aim.aim.charted or one.aim.aim.share_percent):
            continue
        at = _at(house, house.search, house.now, one.aim.call, one.aim.stage)
        name = "chosen" if plan.solution.best is not None else "nearest"
        reach = reach_of(
            at,
            target=_aimed(house, one.aim, of),
            window=allowed_of(house, one).range.ends,
            chosen=_flow(house, one.charted.value),
            chosen_name=name,
        )
        ducts = _ducts(house, choice.setting, one.aim)
        out.append(reach if ducts is None else on_one_scale(ducts, reach))
    found = None if house.now is None else {(e.aim.call, e.aim.stage): e for e in plan.solution.now}
    for one in choice.stages:
        out += _expected(house, one, None if found is None else found.get((one.aim.call, one.aim.stage)))
    return tuple(out)


def _expected(house: House, one: Expected, found: Expected | None) -> Iterator[Shown]:
    """The ramp of a stage over the one as found, and its rise under every reading of the chart."""
    if one.charted is None:
        return
    airflow, fan = _flow(house, one.charted.value), house.job.fan
    length = fan.call_length.value if fan is not None and fan.call_length is not None else None
    before = None
    if found is not None and found.charted is not None:
        before = (found.coming, _flow(house, found.charted.value))
    ramp = ramp_of(house.table, one.title, one.coming, airflow, length, _floor(house, one), before)
    if ramp is not None:
        yield ramp
    at = _at(house, house.search, house.now, one.aim.call, one.aim.stage)
    for read in one.read_as:
        if one.aim.heat is not None and read.rise is not None:
            factor = native_factor(house.table) * read.way.carries
            plot = rise_of(
                at, one.aim.heat.value, factor, airflow, WAY_SHORT[read.way.way] if len(one.read_as) > 1 else ""
            )
            if plot is not None:
                yield plot


def _ducts(house: House, setting: Setting, aim: StageAim) -> Plot | None:
    """The charted curves with the duct curve through the reading of static, where one was taken in this stage with a
    board that is known."""
    k = house.ducts.k
    if not isinstance(k, Worked) or not house.ducts.measured:
        return None
    static, airflow = (figure.value for figure in k.inputs)
    call, stage, _ = house.ducts.measured[0]
    if (call, stage) != (aim.call, aim.stage):
        return None
    printed = Engine(house.table, house.known.facts)
    return static_of(printed, setting, call, stage, measured=(static, airflow), plate=_plate(house))


def verify_plots(verified: Verified) -> tuple[Shown, ...]:
    """For every state that was judged: the airflow selected and measured, the rise, the static."""
    if verified.setting is None:
        return ()
    out: list[Shown] = [BoardShown(pictures=describe(verified.house.table, verified.setting))]
    for one in verified.judged:
        out += _judged(verified.house, verified.setting, one.verdict)
        out += _static_parts(verified.house, one)
    return tuple(out) if verified.judged else ()


def _static_parts(house: House, one: JudgedState) -> Iterator[PressureBar]:
    """The static of a state part by part."""
    profile, state = one.profile, one.verdict.state
    if profile is None:
        return
    coil_first = any(coil_before_blower(taken.reading) for taken in state.taken)
    before = {"return", "filter", *(["coil"] if coil_first else [])}

    def shown(figure: Figure) -> tuple[float, str]:
        return float(figure.value), pressure_text(figure, house, unit=False)

    parts = tuple(
        PressurePart(
            name=part.name,
            drop=shown(part.drop)[0],
            said=shown(part.drop)[1],
            side="return" if before.issuperset(part.groups) else "supply",
            inside=part.share is None,
        )
        for part in profile.parts
    )
    total = profile.external.figure
    if total is None or not parts or any(part.drop < 0 for part in parts):
        return
    blower = next((part.name for part in parts if part.side == "supply"), "")
    yield PressureBar(
        title=titled("Static part by part", state.answer.title),
        unit=house.table.units.pressure,
        parts=parts,
        total=shown(total),
        plate=None if profile.plate is None else shown(profile.plate),
        notes=(f"in the order of the air; the blower is before: {blower}",) if blower else (),
    )


def _judged(house: House, setting: Setting, verdict: Verdict) -> Iterator[Shown]:
    state, units = verdict.state, house.table.units
    at = _at(house, state.engine, setting, state.call, state.stage)
    selected = state.answer.airflow if isinstance(state.answer.airflow, Fraction) else None
    ends = [None if figure is None else _flow(house, figure.value) for figure in (verdict.low, verdict.high)]
    aim = None if verdict.aim is None else _flow(house, verdict.aim.value)
    target = None if aim is None else (aim, aim)
    degrees = next((rise(t.rise.value, "F", units.temperature) for t in state.taken if t.rise is not None), None)
    static = _measured_static(house, setting, verdict, selected)
    if not verdict.moved:
        reach = reach_of(at, target=target, window=(ends[0], ends[1]), chosen=selected, chosen_name="selected")
        yield reach if static is None else on_one_scale(static, reach)
    for moved in verdict.moved:
        low, airflow, high = (_flow(house, figure.value) for figure in (moved.low, moved.airflow, moved.high))
        beside = WAY_SHORT[moved.way.way] if len(verdict.moved) > 1 else ""
        band = (low, airflow, high)
        reach = reach_of(
            at,
            target=target,
            window=(ends[0], ends[1]),
            chosen=selected,
            chosen_name="selected",
            measured=band,
            beside=beside,
        )
        yield on_one_scale(static, reach) if static is not None and moved is verdict.moved[0] else reach
        factor = native_factor(house.table) * moved.way.carries
        plot = (
            rise_of(at, degrees * factor * airflow, factor, airflow, beside or "as measured")
            if degrees is not None
            else None
        )
        if plot is not None:
            yield plot


def _measured_static(house: House, setting: Setting, verdict: Verdict, selected: Fraction | None) -> Plot | None:
    """The charted curves with the duct curve through what was measured."""
    state, units = verdict.state, house.table.units
    delivered = _flow(house, verdict.moved[0].airflow.value) if verdict.moved else selected
    if verdict.static is None or delivered is None:
        return None
    static = convert(verdict.static.measured.value, "in. w.c.", units.pressure)
    return static_of(state.engine, setting, state.call, state.stage, measured=(static, delivered), plate=_plate(house))


def _at(house: House, engine: Engine, found: Setting | None, call: str, stage: str) -> At:
    """A stage with every selector open that isn't held or set from the equipment."""
    space = space_of(engine, found, house.known.held, range(len(engine.table.parts)))
    return At(engine=engine, space=space, call=call, stage=stage)


def _flow(house: House, cfm: Fraction) -> Fraction:
    """An airflow in the table's unit."""
    return convert(cfm, "cfm", house.table.units.airflow)


def _plate(house: House) -> Fraction | None:
    """The greatest static of the plate in the table's unit."""
    figure = plate_static(house.job, house.engine)
    return None if figure is None else convert(figure.value, "in. w.c.", house.table.units.pressure)


def _floor(house: House, one: Expected) -> Fraction | None:
    """The floor per ton as an airflow, read the way the steps of the ramp are."""
    floor = next((b for b in one.aim.bounds if b.origin == "floor"), None)
    if floor is None or not one.states:
        return None
    return _flow(house, floor.figure.value * floor.way.carries / one.states[0].way.carries)


def _aimed(house: House, one: StageAim, of: Mapping[tuple[str, str], Expected]) -> tuple[Fraction, Fraction] | None:
    """The airflows aimed at, the lower first; a share is taken of the airflow that is chosen for its call."""
    aim = one.aim
    if aim.share_percent is not None and aim.of is not None:
        other = of[aim.of].charted
        share = None if other is None else _flow(house, other.value * aim.share_percent / 100)
        return None if share is None else (share, share)
    if aim.low_cfm is not None and aim.high_cfm is not None:
        return _flow(house, aim.low_cfm), _flow(house, aim.high_cfm)
    return None if aim.charted is None else (_flow(house, aim.charted.value),) * 2
