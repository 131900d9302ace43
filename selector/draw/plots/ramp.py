"""How the blower comes up in one call: its airflow over the seconds, the average, and how long it runs below the
floor."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from selector.draw.plots.plot import Curve, Level, Plot, PlotSpan, titled
from selector.draw.plots.scale import shown, stretched, whole

Stretch = tuple[float, float, float]
Steps = Sequence[tuple[float, float]]


def stretches(steps: Steps, airflow: float, length: float, after: Steps = ()) -> list[Stretch]:
    """(start, end, airflow) of a call of `length` seconds.

    `steps`: (seconds, percent of `airflow`), the last percent holding to the end of the call whatever its seconds; a
    delay is a first step at
    0 %. `after`: the same once the call has ended. A call shorter than its ramp ends inside it.
    """
    out: list[Stretch] = []
    ends = [*accumulate(seconds for seconds, _ in steps[:-1]), length]
    start = 0.0
    for end, (_, percent) in zip(ends, steps, strict=True):
        end = min(end, length)
        if end > start:
            out.append((start, end, airflow * percent / 100))
        start = max(start, end)
    start = length
    for seconds, percent in after:
        out.append((start, start + seconds, airflow * percent / 100))
        start += seconds
    return out


def average(found: Sequence[Stretch]) -> float:
    """The airflow averaged over the seconds; 0 where nothing runs."""
    long = sum(end - start for start, end, _ in found)
    return sum((end - start) * airflow for start, end, airflow in found) / long if long else 0.0


def seconds_below(found: Sequence[Stretch], floor: float) -> float:
    """Seconds the blower runs with less airflow than `floor`; a delay, in which it stands, doesn't count."""
    return sum(end - start for start, end, airflow in found if 0 < airflow < floor)


def ramp_plot(
    steps: Steps,
    airflow: float,
    length: float,
    floor: float | None = None,
    after: Steps = (),
    *,
    before: tuple[Steps, float] | None = None,
    call: str = "",
    unit: str = "cfm",
) -> Plot:
    """`steps`, `after` as for `stretches`. The average and the seconds below `floor` are those of the call itself,
    not of what runs on after it. `before`: steps and airflow as found, laid under it."""
    pieces = stretches(steps, airflow, length, after)
    running = [s for s in pieces if s[0] < length]
    mean = average(running)
    points = tuple(p for start, end, q in pieces for p in ((start, q), (end, q)))
    curves = [Curve(points=points, name="as left" if before is not None else "")] if points else []
    if before is not None:
        was = stretches(before[0], before[1], length)
        curves.insert(
            0, Curve(points=tuple(p for a, b, q in was for p in ((a, q), (b, q))), name="as found", dashed=True)
        )
    levels = [Level(at=mean, name=f"average {whole(mean)}", dashed=True)]
    spans: list[PlotSpan] = []
    notes = [
        f"average over {shown(length)} s: {whole(mean)} {unit}, {shown(100 * mean / airflow if airflow else 0)} % of"
        f" {whole(airflow)}"
    ]
    if floor is not None:
        levels.append(Level(at=floor, name=f"floor {whole(floor)}"))
        below = seconds_below(running, floor)
        for start, end, q in running:
            if 0 < q < floor:
                low = spans.pop().low if spans and spans[-1].high == start else start
                spans.append(PlotSpan(low=low, high=end))
        notes.append(
            f"{shown(below)} s below the floor of {whole(floor)} {unit} (the bar along the seconds)"
            if below
            else f"never below the floor of {whole(floor)} {unit}"
        )
    if before is not None:
        notes.append(f"as found: {whole(average(was))} {unit} over the same {shown(length)} s (dotted)")
    if after:
        notes.append(f"runs on {shown(sum(s for s, _ in after))} s after the call")
    return Plot(
        title=titled("How the blower comes up", call),
        x_name="seconds from the start of the call",
        y_name=f"airflow, {unit}",
        x=(0.0, max(pieces[-1][1] if pieces else length, 1.0)),
        y=stretched(
            [1.05 * q for curve in curves for _, q in curve.points] + [1.05 * level.at for level in levels],
            from_zero=True,
        ),
        curves=tuple(curves),
        levels=tuple(levels),
        spans=tuple(spans),
        notes=tuple(notes),
    )
