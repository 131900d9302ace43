"""The targets of a plan in lines: the aim and window of every stage, the last step of its arithmetic or all of it."""

from __future__ import annotations

from collections.abc import Iterator

from selector.job.house.metric import in_table_words
from selector.job.house.shown_units import airflow, difference, shown_arithmetic, whole_arithmetic, window
from selector.job.targets.aims import Aim, StageAim
from selector.job.targets.house import House


def target_lines(house: House, *, details: bool) -> Iterator[str]:
    """Aim and window of every stage; with `details` what sets them."""
    if not details:
        yield from (_short_target(one, house) for one in house.aims)
        yield from dict.fromkeys(remark for one in house.aims for remark in one.remarks)
        return
    for one in house.aims:
        yield f"{one.title}: {_aim(one.aim, house)}"
        yield from (f"  {line}" for line in _arithmetic(one, house))
        if one.bounds:
            why = _why_ends(one, house)
            yield (
                f"  window {_window(one, house)} ({why})"
                if not one.empty
                else f"  no airflow meets both ends of its window ({why})"
            )
        yield from (f"  {remark}" for remark in one.remarks)


def _window(one: StageAim, house: House) -> str:
    low, high = one.low, one.high
    return window(
        low.figure.value if low is not None else None, high.figure.value if high is not None else None, house.table
    )


def _why_ends(one: StageAim, house: House) -> str:
    return in_table_words("; ".join(dict.fromkeys(b.words for b in (one.low, one.high) if b is not None)), house.table)


def _short_target(one: StageAim, house: House) -> str:
    """One line: the last step of the arithmetic, what is aimed at, the window."""
    said = f"{one.title}: {_short_aim(one, house)}"
    if one.empty:
        return f"{said}; no airflow meets both ends of its window ({_why_ends(one, house)})"
    return said + (f"; window {_window(one, house)}" if one.bounds else "")


def _short_aim(one: StageAim, house: House) -> str:
    """The last step of the arithmetic, with what is aimed at: `60,800 Btu/h / (1.08 x 50.0 F) = 1,126 cfm, mid
    rise`."""
    aim, table = one.aim, house.table
    if aim.charted is None or aim.share_percent is not None:
        return _aim(aim, house)
    figure = aim.standard if aim.standard is not None and aim.standard is not aim.charted else aim.charted
    shown = shown_arithmetic(figure, table)
    if aim.charted.value != figure.value:
        shown += f", charted {airflow(aim.charted.value, table)}"
    words = [word for word in in_table_words(aim.words, table).split(", ") if word.partition(" ")[0] not in shown]
    return ", ".join([shown, *words])


def _aim(aim: Aim, house: House) -> str:
    if aim.share_percent is not None:
        return f"aim {aim.words}"
    if aim.charted is None:
        if aim.rise_f is None:
            return f"no aim: {aim.why}"
        words = aim.words.partition(", (")[0].partition(", rise ")[0]
        return f"aim rise {difference(aim.rise_f.value, house.table)}, {words}"
    counts = "" if aim.counts else f" ({aim.why})"
    rise = f", rise {difference(aim.rise_f.value, house.table)}" if aim.rise_f is not None else ""
    return (
        f"aim {airflow(aim.charted.value, house.table)} charted{rise}, {in_table_words(aim.words, house.table)}{counts}"
    )


def _arithmetic(one: StageAim, house: House) -> Iterator[str]:
    """The arithmetic of an aim: heat, rise, standard airflow, volume, and what to look for under each reading."""
    lines: dict[str, None] = {}
    for figure in (one.heat, one.aim.rise_f, one.aim.standard):
        if figure is not None:
            lines.update(dict.fromkeys(whole_arithmetic(figure, house.table)))
    if one.aim.volume is not None and house.air.ratio is not None and len(house.air.ways) == 1:
        lines[f"volume here: {shown_arithmetic(one.aim.volume, house.table)}"] = None
    if len(house.air.ways) > 1:
        for way, figure in zip(house.air.ways, one.aim.by_way, strict=False):
            if figure is not one.aim.standard:
                lines[f"{way.short}: {shown_arithmetic(figure, house.table)}"] = None
        if one.aim.charted is not None and len(one.aim.by_way) > 1:
            lines[f"between the two: {shown_arithmetic(one.aim.charted, house.table)}"] = None
    yield from lines
