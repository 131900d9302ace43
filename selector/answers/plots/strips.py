"""The strips of a board: the airflow of every call from as found to as left on one axis, and the rises on the plate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from selector.answers.plots.find import window_of
from selector.answers.plots.stage import plate_rise
from selector.draw.plots.rise import MARGIN_F
from selector.draw.plots.strip import RiseBar, Strip, Strips
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer
from selector.units import format_number, rise

Answers = Mapping[str, CallAnswer]


def board_strips(engine: Engine, now: Answers, before: Answers | None = None) -> Strips:
    """Every stage that has one airflow in either, on the limits of page and plate."""
    pairs = [
        (one, None if before is None else before[call].stage(one.stage)) for call, a in now.items() for one in a.stages
    ]
    return Strips(
        unit=engine.table.units.airflow,
        rows=tuple(
            Strip(
                name=one.title,
                was=None if was is None else flow(was),
                now=flow(one),
                allowed=tuple(None if end is None else float(end) for end in window_of(one)),  # type: ignore[arg-type]
                said=("" if was is None else said(was), said(one)),
            )
            for one, was in pairs
        ),
        bars=rise_bars(engine, pairs),
    )


def flow(one: StageAnswer) -> float | None:
    """The airflow, where there is one."""
    return float(one.airflow) if isinstance(one.airflow, Fraction) else None


def said(one: StageAnswer) -> str:
    """The same in whole units."""
    return format_number(one.airflow, 0) if isinstance(one.airflow, Fraction) else ""


def rise_bars(engine: Engine, stages: Iterable[tuple[StageAnswer, StageAnswer | None]]) -> tuple[RiseBar, ...]:
    """A bar for each call and window, its stages alike on one; those whose rise isn't known have none."""
    unit = engine.table.units.temperature
    margin = float(rise(Fraction(MARGIN_F), "F", unit))
    alike: dict[tuple[object, ...], int] = {}
    bars: dict[tuple[object, ...], RiseBar] = {}
    for one, before in stages:
        plate = plate_rise(engine, one.call, one.stage)
        if plate is None or one.rise is None:
            continue
        earlier = before.rise if before is not None else None
        texts = ("" if earlier is None else format_number(earlier, 1), format_number(one.rise, 1))
        key = (one.call, plate, texts)
        alike[key] = alike.get(key, 0) + 1
        bars[key] = RiseBar(
            name=f"rise, {one.call if alike[key] > 1 else one.title}, {unit}",
            plate=(float(plate[0]), float(plate[1])),
            margin=margin,
            was=None if earlier is None else float(earlier),
            now=float(one.rise),
            said=texts,
        )
    return tuple(bars.values())
