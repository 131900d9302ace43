"""The plots that go with what was found: reachable airflows, ramp and static of every call asked for, and the rise
of every call that heats."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.answers.plots.stage import At, Ends, plate_rise, ramp_of, reach_of, rise_of, static_of
from selector.draw.parts.draw import describe
from selector.draw.plots.duct import on_one_scale
from selector.draw.plots.plot import Plot
from selector.draw.plots.plots import BoardShown, Shown
from selector.job.house.steady import coming_up
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, evaluate
from selector.solve.search.find import FindResult, Request
from selector.solve.search.targets import Target, got
from selector.table.model.table import Setting


def find_plots(engine: Engine, request: Request, result: FindResult) -> tuple[Shown, ...]:
    """Plots of the first setting, or of the nearest where nothing fits; reachable airflows alone where there is
    none."""
    best = result.found[0] if result.found else result.miss.nearest if result.miss is not None else None
    out: list[Shown] = []
    if best is not None:
        out.append(BoardShown(pictures=describe(engine.table, best.setting, request.found)))
    found = None if request.found is None else evaluate(engine, request.found, request.unread)
    for target in request.targets:
        at = At(engine=engine, space=result.space, call=target.call, stage=target.stage)
        if best is None:
            out.append(reach_of(at))
            continue
        s = best.answers[target.call].stage(target.stage)
        assert isinstance(s.airflow, Fraction)
        name = "chosen" if result.found else "nearest"
        reach = reach_of(
            at, target=_aimed(engine, target, s, best.answers), window=window_of(s), chosen=s.airflow, chosen_name=name
        )
        static = _static(engine, best.setting, s)
        out.append(reach if static is None else on_one_scale(static, reach))
        ramp = _ramp(engine, best.answers[target.call], s, None if found is None else found[target.call])
        out += [ramp] if ramp is not None else []
    for answer in best.answers.values() if best is not None else ():
        for s in answer.stages:
            if (
                isinstance(s.airflow, Fraction)
                and isinstance(s.heat, Fraction)
                and plate_rise(engine, s.call, s.stage) is not None
            ):
                at = At(engine=engine, space=result.space, call=s.call, stage=s.stage)
                plot = rise_of(at, s.heat, engine.factor, s.airflow)
                out += [plot] if plot is not None else []
    return tuple(out)


def _static(engine: Engine, setting: Setting, s: StageAnswer) -> Plot | None:
    """The charted curves of a stage with the static that is given, where the table has them."""
    static = engine.fact("static pressure", s.call, s.stage)
    if not isinstance(static, Fraction):
        return None
    assert isinstance(s.airflow, Fraction)
    return static_of(engine, setting, s.call, s.stage, at=(static, s.airflow))


def _ramp(engine: Engine, answer: CallAnswer, s: StageAnswer, found: CallAnswer | None) -> Plot | None:
    """The ramp of a stage over the one as found, where the table has one."""
    assert isinstance(s.airflow, Fraction)
    floor = max(
        (
            end
            for j in s.judged
            if j.limit.quantity == "airflow per ton" and (end := _as_airflow(s, j.low, j.value)) is not None
        ),
        default=None,
    )
    was = None if found is None else found.stage(s.stage).airflow
    before = (coming_up(found, s.stage), was) if found is not None and isinstance(was, Fraction) else None
    return ramp_of(engine.table, s.title, coming_up(answer, s.stage), s.airflow, None, floor, before)


def window_of(s: StageAnswer) -> Ends:
    """The narrowest ends that limits give to the airflow of a stage, at the firing rate it is told for."""
    lows: list[Fraction] = []
    highs: list[Fraction] = []
    for j in s.judged:
        if j.rate != s.rate or j.value is None:
            continue
        low, high = (j.low, j.high) if j.limit.quantity != "temperature rise" else (j.high, j.low)
        upside_down = j.limit.quantity == "temperature rise"
        lows += [end] if (end := _as_airflow(s, low, j.value, upside_down)) is not None else []
        highs += [end] if (end := _as_airflow(s, high, j.value, upside_down)) is not None else []
    return max(lows, default=None), min(highs, default=None)


def _as_airflow(
    s: StageAnswer, end: Fraction | None, value: Fraction | None, upside_down: bool = False
) -> Fraction | None:
    """The airflow at which a quantity that goes with it (or against it, `upside_down`) would be at its end."""
    if end is None or not value or not end or not isinstance(s.airflow, Fraction):
        return None
    return s.airflow * value / end if upside_down else s.airflow * end / value


def _aimed(
    engine: Engine, target: Target, s: StageAnswer, answers: Mapping[str, CallAnswer]
) -> tuple[Fraction, Fraction] | None:
    """The airflows that the ends of a target stand for in this setting, the lower first."""
    assert isinstance(s.airflow, Fraction)
    other = answers[target.of[0]].stage(target.of[1]).airflow if target.of is not None else None
    value = got(
        engine,
        target,
        s.airflow,
        s.heat if isinstance(s.heat, Fraction) else None,
        other if isinstance(other, Fraction) else None,
    )
    ends = [_as_airflow(s, end, value, target.quantity == "temperature rise") for end in (target.low, target.high)]
    known = sorted(end for end in ends if end is not None)
    return (known[0], known[-1]) if known else None
