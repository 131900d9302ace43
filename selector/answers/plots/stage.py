"""The plots of one call's stage, in the units of its table, out of what finding, planning and judging know of it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import product

from selector.air.heat import airflow_cfm
from selector.draw.plots.duct import duct_plot
from selector.draw.plots.plot import Plot
from selector.draw.plots.ramp import ramp_plot
from selector.draw.plots.rise import MARGIN_F, rise_plot
from selector.draw.plots.rows import ReachPlot
from selector.job.house.steady import ComingUp
from selector.solve.board.marks import mark
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.possible_airflows import reachable
from selector.solve.search.space import Space
from selector.table.model.table import No, Setting, Table
from selector.units import rise
from selector.value import Struct, replace

Ends = tuple[Fraction | None, Fraction | None]
USUAL_CALL_S = 600
"""Length of a call that a ramp is averaged over where none is given (our choice, no source)."""
MOST_CURVES = 6
"""More charted curves than this can't be told apart in one plot: then the chosen one stands alone."""


class At(Struct, frozen=True, kw_only=True):
    """A call's stage in an engine, with the settings that may be searched."""

    engine: Engine
    space: Space
    call: str
    stage: str

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()

    @property
    def airflows(self) -> tuple[Fraction, ...]:
        """Every airflow that can be reached."""
        return reachable(self.engine, self.space, self.engine.asked(self.engine.table.calls[self.call], self.stage))


def reach_of(
    at: At,
    *,
    target: tuple[Fraction, Fraction] | None = None,
    window: Ends = (None, None),
    chosen: Fraction | None = None,
    chosen_name: str = "chosen",
    measured: tuple[Fraction, Fraction, Fraction] | None = None,
    beside: str = "",
) -> ReachPlot:
    """Reachable airflows with what is asked, allowed, chosen and measured; `beside` is said behind the title."""
    return ReachPlot(
        title=f"Airflow in {at.title}" + (f", {beside}" if beside else ""),
        unit=at.engine.table.units.airflow,
        airflows=tuple(float(q) for q in at.airflows),
        target=None if target is None else (float(target[0]), float(target[1])),
        window=(None if window[0] is None else float(window[0]), None if window[1] is None else float(window[1])),
        chosen=None if chosen is None else float(chosen),
        chosen_name=chosen_name,
        measured=None if measured is None else (float(measured[0]), float(measured[1]), float(measured[2])),
    )


def plate_rise(engine: Engine, call: str, stage: str) -> tuple[Fraction, Fraction] | None:
    """The rise that the rating plate allows in a stage, in the table's degrees."""
    allowed = engine.table.plate("temperature rise", engine.plate_model(), stage)
    if allowed is None or allowed.low is None or allowed.high is None or not engine.table.calls[call].heats:
        return None
    return allowed.low, allowed.high


def rise_of(at: At, heat: Fraction, factor: Fraction, airflow: Fraction, beside: str = "") -> Plot | None:
    """Rise over airflow for heat in Btu/h, the factor in Btu/h for each of the table's units; None where the plate's
    window isn't known."""
    window = plate_rise(at.engine, at.call, at.stage)
    if window is None or heat <= 0 or airflow <= 0:
        return None
    units = at.engine.table.units
    across = [q for q in (*at.airflows, airflow, *(airflow_cfm(heat, end, factor) for end in window if end)) if q > 0]
    return rise_plot(
        float(heat),
        (float(min(across)), float(max(across))),
        (float(window[0]), float(window[1])),
        float(airflow),
        factor=float(factor),
        margin=float(rise(Fraction(MARGIN_F), "F", units.temperature)),
        call=at.title + (f", {beside}" if beside else ""),
        airflow_unit=units.airflow,
        temperature_unit=units.temperature,
    )


def ramp_of(
    table: Table,
    title: str,
    coming: ComingUp | No | None,
    airflow: Fraction,
    length: Fraction | None,
    floor: Fraction | None,
    before: tuple[ComingUp | No | None, Fraction] | None = None,
) -> Plot | None:
    """How a call comes up over its length in seconds, laid over how it came up as found (`before`, with its airflow);
    None where nothing is known of a ramp."""
    if not isinstance(coming, ComingUp) or not coming.ramp:
        return None
    after = [
        (float(step.seconds), float(step.share))
        for step in table.ramps[coming.ramp].steps
        if step.after and step.seconds and step.call is None
    ]
    whole = length if length is not None else max(Fraction(USUAL_CALL_S), coming.full_s)
    below = None if floor is None else float(floor)
    was = None
    if before is not None and isinstance(before[0], ComingUp):
        was = _steps(before[0]), float(before[1])
    now = _steps(coming), float(airflow)
    return ramp_plot(
        *now,
        float(whole),
        below,
        after,
        before=None if was == now else was,
        call=title,
        unit=table.units.airflow,
    )


def _steps(coming: ComingUp) -> list[tuple[float, float]]:
    """(seconds, percent) of a start, the last percent holding."""
    steps = [(float(end - start), float(share)) for start, end, share in coming.steps]
    return [*steps, (0, float(coming.last_share))]


def static_of(
    engine: Engine,
    setting: Setting,
    call: str,
    stage: str,
    *,
    measured: tuple[Fraction, Fraction] | None = None,
    at: tuple[Fraction, Fraction] | None = None,
    plate: Fraction | None = None,
) -> Plot | None:
    """Airflow against static pressure, (static, airflow) points in the table's units; None where no chart of the
    call prints static."""
    of, table = engine.table.calls[call], engine.table
    head = next((h for c in engine.charts_of(of) for h in (*c.heads, *c.keys) if h.name == "static pressure"), None)
    if head is None:
        return None
    curves = _curves(engine, setting, call, stage, sorted(head.numbers))
    if plate is None and (rated := table.plate("plate static", engine.plate_model())) is not None:
        plate = rated.high
    return duct_plot(
        {
            name: tuple((float(p), None if q is None else float(q)) for p, q in points)
            for name, points in curves.items()
        },
        None if measured is None else (float(measured[0]), float(measured[1])),
        None if plate is None else float(plate),
        at=None if at is None else (float(at[0]), float(at[1])),
        call=f"{call} {stage}".strip(),
        airflow_unit=table.units.airflow,
        pressure_unit=table.units.pressure,
    )


Points = list[tuple[Fraction, Fraction | None]]


def _curves(engine: Engine, setting: Setting, call: str, stage: str, printed: list[Fraction]) -> Mapping[str, Points]:
    """The airflow of a call's stage at every printed static: a curve for each way its chart of static may be set, by
    the marks."""
    table = engine.table
    parts = [
        p
        for chart in engine.charts_of(table.calls[call])
        if any(h.name == "static pressure" for h in (*chart.heads, *chart.keys))
        for p in engine.chart(chart, table.calls[call], stage, engine.asked(table.calls[call], stage).rate).parts
    ]
    engines = [
        Engine(table, replace(engine.facts, static={}, values={**engine.facts.values, "static pressure": p}))
        for p in printed
    ]
    ways: list[tuple[int | None, ...]] = list(product(*(_positions(table, p) for p in parts)))
    if len(ways) > MOST_CURVES:
        ways = [tuple(setting[p] for p in parts)]
    out: dict[str, Points] = {}
    for way in ways:
        moved = _moved(table, setting, dict(zip(parts, way, strict=True)))
        points: Points = []
        for static, one in zip(printed, engines, strict=True):
            airflow = Board(one, moved).airflow(one.asked(table.calls[call], stage))
            points.append((static, airflow if isinstance(airflow, Fraction) else None))
        if any(q is not None for _, q in points):
            out[" ".join(mark(table, p, at) for p, at in zip(parts, way, strict=True))] = points
    return out


def _positions(table: Table, part: int) -> range:
    """Positions of a part; of a lead the taps alone."""
    one = table.parts[part]
    return range(len(one.positions) - table.selectors[one.selector].exclusive)


def _moved(table: Table, setting: Setting, to: Mapping[int, int | None]) -> Setting:
    """The setting with some parts elsewhere; other leads of a motor are taken off, since two never stand on one tap."""
    out = list(setting)
    for part, at in to.items():
        selector = table.selectors[table.parts[part].selector]
        for other in selector.parts if selector.exclusive else ():
            out[other] = len(table.parts[other].positions) - 1
        out[part] = at
    return tuple(out)
