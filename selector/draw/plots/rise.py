"""Temperature rise over airflow, with the window of the rating plate and the margin kept inside it."""

from __future__ import annotations

from selector.air.density import SENSIBLE_FACTOR
from selector.draw.plots.plot import Curve, Level, Plot, Spot, titled
from selector.draw.plots.scale import shown, stretched, whole

MARGIN_F = 5.0
_PIECES = 40


def inside(window: tuple[float, float], margin: float = MARGIN_F) -> tuple[float, float]:
    """The window less its margin at both ends; its middle twice where it is narrower than two margins."""
    low, high = window
    return (low + margin, high - margin) if high - low >= 2 * margin else ((low + high) / 2,) * 2


def judgement(rise: float, window: tuple[float, float], margin: float = MARGIN_F) -> str:
    """Where a rise lies, in words."""
    low, high = inside(window, margin)
    if not window[0] <= rise <= window[1]:
        return "outside the plate's window"
    if low == high or low <= rise <= high:
        return "inside the plate's window"
    return "inside the plate's window, nearer to its end than the margin"


def rise_plot(
    heat: float,
    airflows: tuple[float, float],
    window: tuple[float, float],
    chosen: float | None = None,
    *,
    factor: float = float(SENSIBLE_FACTOR),
    margin: float = MARGIN_F,
    call: str = "",
    airflow_unit: str = "cfm",
    temperature_unit: str = "F",
) -> Plot:
    """rise = heat / (factor x airflow), from the lesser to the greater of `airflows`; `heat` is delivered, in the unit
    that belongs to `factor`.

    ValueError where one of them isn't greater than nothing.
    """
    low, high = min(airflows), max(airflows)
    if low <= 0 or heat <= 0 or factor <= 0:
        raise ValueError("heat, factor and airflows are greater than nothing")
    steps = [low + (high - low) * i / _PIECES for i in range(_PIECES + 1)]
    points = tuple((q, heat / (factor * q)) for q in steps)
    kept = inside(window, margin)
    levels = [
        Level(at=window[0], name=f"plate {shown(window[0])}"),
        Level(at=window[1], name=f"plate {shown(window[1])}"),
    ]
    if kept[0] == kept[1]:
        levels.append(Level(at=kept[0], name=f"middle {shown(kept[0])}", dashed=True))
    else:
        levels += [Level(at=k, name=f"margin {shown(k)}", dashed=True) for k in kept]
    spots: tuple[Spot, ...] = ()
    notes = [
        f"plate {shown(window[0])} to {shown(window[1])} {temperature_unit}, margin {shown(margin)} {temperature_unit}"
    ]
    if chosen is not None:
        rise = heat / (factor * chosen)
        spots = (Spot(x=chosen, y=rise, name=f"{shown(rise)} {temperature_unit}", solid=True),)
        notes.insert(
            0,
            f"{whole(chosen)} {airflow_unit}: {shown(heat)} / ({factor:.4g} x {shown(chosen)}) = {shown(rise)}"
            f" {temperature_unit}, " + judgement(rise, window, margin),
        )
    xs = [low, high, *([chosen] if chosen is not None else [])]
    return Plot(
        title=titled("Temperature rise over airflow", call),
        x_name=f"airflow, {airflow_unit}",
        y_name=f"rise, {temperature_unit}",
        x=stretched(xs),
        y=stretched([y for _, y in points] + [s.y for s in spots] + [window[0] - 1, window[1] + 1]),
        bands=(window,),
        curves=(Curve(points=points),),
        levels=tuple(levels),
        spots=spots,
        notes=tuple(notes),
    )
