"""A plan in lines for people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Figure, written
from selector.job.aims import Aim, StageAim
from selector.job.expected import Expected, State
from selector.job.house import House
from selector.job.measuring import to_measure
from selector.job.plan import Choice, Plan
from selector.job.settled import ComingUp
from selector.job.shown_units import airflow, difference, shown_arithmetic, temperature, whole_arithmetic, window
from selector.solve.marks import mark, marks_of
from selector.table.cautions import CUT, cautions
from selector.table.model import No, Setting, Table
from selector.table.units import format_number, plain


def lines_of(plan: Plan) -> Iterator[str]:
    """The whole answer, a blank line between its parts."""
    house = plan.house
    yield head(house)
    for part in (
        _part("Say first", plan.first),
        _part("Targets", _targets(house)),
        _part("Taken without being typed", plan.notes),
        _setting(plan),
        _part("Expected", _expected(plan)),
        _part("What else comes close", _close(plan)),
        _part("Wishes", plan.wishes),
        _part("Why nothing is offered" if plan.best is None else "To know", [c.words for c in plan.conflicts]),
        _part("Nearest miss", _nearest(plan)),
        _part("Static", [line for p in plan.pressures for line in p.lines()]),
        _part(
            "Fan power", [f"{w.name.replace('_', ' ')}: {shown_arithmetic(w, house.table)}" + (f" ({w.note})" if w.note else "") for w in plan.watts]
        ),
        _part("Not judged", plan.not_judged),
        _part("Measure afterwards", to_measure(plan) if plan.best is not None else ()),
        _part("Care", care(plan)),
    ):
        yield from part


def head(house: House) -> str:
    """`Corvane two-stage gas furnace, model 080 (manual K-14, page 23-24)`."""
    unit = house.table.unit
    words = f"{unit.maker} {unit.title[:1].lower()}{unit.title[1:]}" if unit.maker else unit.title
    model = house.known.facts.model
    words += f", model {model}" if model else ""
    source = [f"manual {unit.manual}" if unit.manual else "", f"page {unit.pages}" if unit.pages else ""]
    given = ", ".join(s for s in source if s)
    return f"{words} ({given})" if given else words


def _part(title: str, lines: Iterable[str]) -> Iterator[str]:
    listed = list(lines)
    if listed:
        yield ""
        yield title
        yield from (f"  {line}" for line in listed)


def _watts(figure: Figure, table: Table) -> str:
    note = f" ({figure.note})" if figure.note else ""
    return f"{figure.name.replace('_', ' ')}: {shown_arithmetic(figure, table)}{note}"


def _targets(house: House) -> Iterator[str]:
    for one in house.aims:
        yield f"{one.title}: {_aim(one.aim, house)}"
        yield from (f"  {line}" for line in _arithmetic(one, house))
        low, high = one.low, one.high
        if low is not None or high is not None:
            why = "; ".join(dict.fromkeys(b.words for b in (low, high) if b is not None))
            shown = window(low.figure.value if low is not None else None, high.figure.value if high is not None else None, house.table)
            yield f"  window {shown} ({why})" if not one.empty else f"  no airflow meets both ends of its window ({why})"
        yield from (f"  {remark}" for remark in one.remarks)


def _aim(aim: Aim, house: House) -> str:
    if aim.share_percent is not None:
        return f"aim {aim.words}"
    if aim.charted is None:
        return f"aim rise {difference(aim.rise_f.value, house.table)}, {aim.words}" if aim.rise_f is not None else f"no aim: {aim.why}"
    counts = "" if aim.counts else f" ({aim.why})"
    rise = f", rise {difference(aim.rise_f.value, house.table)}" if aim.rise_f is not None else ""
    return f"aim {airflow(aim.charted.value, house.table)} charted{rise}, {aim.words}{counts}"


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


# -- the setting ------------------------------------------------------------------------------------------------------------------------------


def _setting(plan: Plan) -> Iterator[str]:
    choice = plan.best
    if choice is None:
        return
    table = plan.house.table
    yield ""
    yield f"Set, from the board {'as delivered' if plan.delivered else 'as found'}"
    if not choice.moves:
        yield "  nothing moves: it stands right already"
    for move in choice.moves:
        yield f"  {move.text(table)}" + ("   couldn't be read: see that it stands so" if move.was is None else "")
    yield ""
    yield from (f"  {line}" for line in board_lines(table, plan.baseline, choice.setting))
    yield f"  as marks: {marks_of(choice.setting, table)}"


def board_lines(table: Table, before: Setting, after: Setting) -> Iterator[str]:
    """Every selector before and after; what moves is pointed at. Switches stand in the order of their numbers."""
    for selector in table.selectors.values():
        parts = [table.parts[i] for i in selector.parts]
        labels = [p.name[len(selector.name) + 1 :] if len(parts) > 1 else "" for p in parts]
        was = [mark(table, p.index, before[p.index]) for p in parts]
        now = [mark(table, p.index, after[p.index]) for p in parts]
        moved = ["^" * len(n) if before[p.index] != after[p.index] else "" for p, n in zip(parts, now, strict=True)]
        widths = [max(len(cell) for cell in column) for column in zip(labels, was, now, strict=True)]
        name = selector.name
        if len(parts) == 1:
            yield f"{name:<6} {was[0]} -> {now[0]}   moves" if moved[0] else f"{name:<6} {now[0]}"
            continue
        for first, cells in ((name, labels), ("before", was), ("after", now), ("", moved)):
            line = f"{first:<6} " + " ".join(f"{cell:<{w}}" for cell, w in zip(cells, widths, strict=True))
            if line.strip():
                yield line.rstrip()


# -- what to expect ---------------------------------------------------------------------------------------------------------------------------


def _expected(plan: Plan) -> Iterator[str]:
    if plan.best is not None:
        for one in plan.best.stages:
            yield from stage_lines(one, plan.house)


def stage_lines(one: Expected, house: House) -> Iterator[str]:
    """One stage: the charted airflow, then every reading with rise and air per ton, then ramp, average, split."""
    table = house.table
    if one.charted is None:
        yield f"{one.title}: {_no(one.answer.airflow)}"
        return
    broken = "; ".join(dict.fromkeys(b.words for b in one.broken))
    yield f"{one.title}: {airflow(one.charted.value, table)} charted" + (f", outside: {broken}" if broken else "")
    for read in one.read_as:
        said = [] if house.air.ratio is None else [f"{airflow(read.standard.value, table)} standard, {airflow(read.actual.value, table)} actual"]
        if read.rise is not None:
            nominal = "" if one.aim.role == "heat" else " nominal"
            leaving = f", leaving {temperature(read.leaving.value, table)}" if read.leaving is not None else ""
            said.append(f"rise {difference(read.rise.value, table)}{nominal}{leaving}")
        if read.per_ton is not None:
            said.append(f"{format_number(read.per_ton.value, 0)} cfm/ton of {written(one.aim.tons)}" if one.aim.tons is not None else "")
        if read.split is not None:
            said.append(f"split {difference(read.split.value, table)}")
        if said:
            by = f"{read.way.short}: " if len(one.read_as) > 1 else ""
            yield f"  {by}{', '.join(said)}"
    yield from (f"  {line}" for line in _comes_up(one))
    yield from (f"  {line}" for line in _delays(one))
    if one.average is not None:
        yield f"  average over the call {airflow(one.average.value, table)}"
    note = next((read.split.note for read in one.read_as if read.split is not None and read.split.note), "")
    if note:
        yield f"  split: {note}"
    if one.split_why and one.aim.role == "cooling" and one.aim.stage == house.table.calls[one.aim.call].last:
        yield f"  {one.split_why}"


def _no(found: Fraction | No) -> str:
    return f"{found.kind}: {found.why}" if isinstance(found, No) else "no airflow"


def _comes_up(one: Expected) -> Iterator[str]:
    if isinstance(one.coming, No):
        yield f"how it comes up is not known: {one.coming.why}"
    if not isinstance(one.coming, ComingUp):
        return
    if one.coming.full_s:
        ramp = f" (ramp `{one.coming.ramp}`)" if one.coming.ramp else ""
        yield f"full airflow after {format_number(one.coming.full_s, 0)} s{ramp}"
    below = [s for s in one.states if s.below]
    if below and one.below_s is not None and one.below_s.value:
        yield f"{format_number(one.below_s.value, 0)} s of the ramp below the floor of {plain(below[0].floor)} cfm/ton ({_steps(below)})"


def _steps(states: Sequence[State]) -> str:
    return ", ".join(f"{format_number(s.per_ton.value, 0)} cfm/ton at {plain(s.share)} %" for s in states if s.seconds is not None)


def _delays(one: Expected) -> Iterator[str]:
    if one.off_delay:
        yield f"blower runs on {format_number(one.off_delay, 0)} s after the call"


def _close(plan: Plan) -> Iterator[str]:
    best = plan.best
    if best is None:
        return
    for choice in plan.close:
        yield f"{marks_of(choice.setting, plan.house.table)}: {trade(best, choice, plan.house)}"


def trade(best: Choice, other: Choice, house: House) -> str:
    """What another setting gives for what: airflows and rises that differ, and its moves."""
    parts = []
    for mine, theirs in zip(best.stages, other.stages, strict=True):
        if mine.charted is None or theirs.charted is None or mine.charted.value == theirs.charted.value:
            continue
        text = f"{theirs.title} {airflow(theirs.charted.value, house.table)} instead of {airflow(mine.charted.value, house.table)}"
        if mine.aim.role == "heat" and theirs.read_as and mine.read_as:
            was, now = mine.read_as[0].rise, theirs.read_as[0].rise
            if was is not None and now is not None:
                text += f" (rise {difference(now.value, house.table)} instead of {difference(was.value, house.table)})"
        parts.append(text)
    moves = f"{other.counted} move{'s' if other.counted != 1 else ''} instead of {best.counted}"
    return "; ".join([*parts, moves])


def _nearest(plan: Plan) -> Iterator[str]:
    if plan.nearest is None or plan.best is not None:
        return
    yield f"{marks_of(plan.nearest.setting, plan.house.table)}, not to be set:"
    for one in plan.nearest.stages:
        if one.broken and one.charted is not None:
            ends = "; ".join(dict.fromkeys(f"{b.words}: {airflow(b.figure.value, plan.house.table)}" for b in one.broken))
            yield f"  {one.title} {airflow(one.charted.value, plan.house.table)} is outside {ends}"


def care(plan: Plan) -> tuple[str, ...]:
    """Cautions where the hand is about to move, and what this plan adds to them."""
    if plan.best is None or not plan.best.moves:
        return plan.careful
    changed = [a.aim.role for a, b in _changed(plan) if a is not b]
    heat = any(role == "heat" for role in changed) or not plan.as_found
    cooling = any(role in ("cooling", "dehumidify", "heat pump", "heat pump + auxiliary") for role in changed) or not plan.as_found
    own = [*plan.careful, *_water(plan)]
    if any(m.to in plan.house.table.parts[m.part].final for m in plan.best.moves):
        own.append(CUT)
    return (*dict.fromkeys(own), *cautions(plan.house.table, heat=heat, cooling=cooling))


def _changed(plan: Plan) -> list[tuple[Expected, Expected | None]]:
    """Stages whose airflow the moves change."""
    if plan.best is None:
        return []
    was = {one.title: one for one in plan.as_found}
    out: list[tuple[Expected, Expected | None]] = []
    for one in plan.best.stages:
        before = was.get(one.title)
        if before is None or before.answer.airflow != one.answer.airflow:
            out.append((one, before))
    return out


def _water(plan: Plan) -> Iterator[str]:
    """In humid climates ramp, constant fan and long run-on put water back."""
    climate = plan.house.job.site.climate
    if climate is None or climate.text != "humid" or plan.best is None:
        return
    cooling = [s for s in plan.best.stages if s.aim.role == "cooling"]
    run_on = any(s.off_delay for s in cooling)
    fan = any(s.aim.role == "fan" and s.charted is not None for s in plan.best.stages)
    what = [word for word, true in (("constant fan", fan), ("the blower running on after cooling", run_on)) if true]
    if what:
        yield f"humid climate: {' and '.join(what)} put water from the coil back into the air"
