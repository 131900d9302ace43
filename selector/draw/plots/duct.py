"""Airflow against static pressure: the charted curves of a motor's taps, and the duct curve through the measured
point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from selector.air.duct import crossings, duct_k
from selector.draw.plots.plot import Curve, Level, Plot, Spot, titled
from selector.draw.plots.rows import ReachPlot
from selector.draw.plots.scale import shown, stretched, whole
from selector.value import replace

_PIECES = 40


def duct_plot(
    curves: Mapping[str, Sequence[tuple[float, float | None]]],
    measured: tuple[float, float] | None = None,
    plate: float | None = None,
    *,
    at: tuple[float, float] | None = None,
    call: str = "",
    airflow_unit: str = "cfm",
    pressure_unit: str = "in. w.c.",
) -> Plot:
    """`curves`: name -> (static, airflow) as printed, by rising static, None for a blank. `measured`: (static,
    airflow). `plate`: greatest static.

    The duct curve is static = k x airflow squared through the measured point; every charted crossing is marked and
    said. `at`: (static, airflow)
    of a setting where static is known without having been measured in it; no duct curve goes through it.
    """
    shown_curves = [Curve(points=points, name=name) for name, printed in curves.items() for points in _pieces(printed)]
    xs = [x for c in shown_curves for x, _ in c.points]
    ys = [y for c in shown_curves for _, y in c.points]
    spots: list[Spot] = []
    notes: list[str] = []
    if measured is not None:
        static, airflow = measured
        k = duct_k(Fraction(static), Fraction(airflow))
        xs, ys = [*xs, airflow], [*ys, static]
        spots.append(Spot(x=airflow, y=static, name="measured", solid=True, measured=True))
        notes.append(
            f"measured: {whole(airflow)} {airflow_unit} at {shown(static)} {pressure_unit}; on the same ducts:"
        )
        for name, printed in curves.items():
            exact = [(Fraction(p), None if q is None else Fraction(q)) for p, q in printed]
            found = crossings(exact, k)
            spots.extend(Spot(x=float(c.airflow), y=float(c.static)) for c in found)
            notes.extend(
                f"{name}: {whole(float(c.airflow))} {airflow_unit} at {shown(float(c.static))} {pressure_unit}"
                for c in found
            )
            if not found:
                notes.append(f"{name}: not within the printed figures")
    if at is not None:
        static, airflow = at
        xs, ys = [*xs, airflow], [*ys, static]
        spots.append(Spot(x=airflow, y=static, name="set so", solid=True))
        notes.append(f"set so (filled): {whole(airflow)} {airflow_unit} at {shown(static)} {pressure_unit}")
    y_range = stretched([*ys, *([plate] if plate is not None else [])], from_zero=True)
    x_range = stretched(xs, from_zero=True)
    if measured is not None:
        steps = [x_range[1] * i / _PIECES for i in range(_PIECES + 1)]
        points = tuple((x, float(k) * x * x) for x in steps if float(k) * x * x <= y_range[1])
        shown_curves.append(Curve(points=points, name="ducts", dashed=True))
    return Plot(
        title=titled("Airflow against static pressure", call),
        x_name=f"airflow, {airflow_unit}",
        y_name=f"static pressure, {pressure_unit}",
        x=x_range,
        y=y_range,
        curves=tuple(shown_curves),
        bands=((0.0, plate),) if plate is not None else (),
        levels=(Level(at=plate, name=f"plate {shown(plate)}", dashed=True),) if plate is not None else (),
        spots=tuple(spots),
        notes=tuple(notes),
    )


def on_one_scale(plot: Plot, reach: ReachPlot) -> Plot:
    """The plot with what is reached, aimed at and measured under it, on its own scale: the airflows are those at which
    the duct curve meets the charted ones, where there is one."""
    crossings = tuple(sorted(spot.x for spot in plot.spots if not spot.solid))
    under = replace(reach, airflows=crossings) if crossings else reach
    said = [note for note in under.notes if not note.startswith("measured")]
    x = stretched([*plot.x, *under.x], from_zero=True)
    return replace(plot, x=x, under=under, notes=(*plot.notes, *said))


def _pieces(printed: Sequence[tuple[float, float | None]]) -> list[tuple[tuple[float, float], ...]]:
    """(airflow, static) points, cut where the chart has a blank; a single figure between blanks is a point twice."""
    out = []
    for blank, group in groupby(printed, key=lambda p: p[1] is None):
        if not blank:
            points = tuple((float(q), float(p)) for p, q in group if q is not None)
            out.append(points if len(points) > 1 else points * 2)
    return out
