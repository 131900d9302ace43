"""A plan in lines for people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Figure, written
from selector.job.board.expected import Expected, RunningState
from selector.job.house.metric import in_table_units, in_table_words, per_ton
from selector.job.house.shown_units import airflow, difference, shown_arithmetic, temperature
from selector.job.house.steady import ComingUp
from selector.job.plan.cautions import care, care_short
from selector.job.plan.complaint import complaint_lines
from selector.job.plan.measuring import to_measure
from selector.job.plan.plan import Plan, PlannedSetting
from selector.job.plan.target_lines import target_lines
from selector.job.targets.house import House
from selector.solve.board.marks import mark, marks_of
from selector.table.model.table import No, Setting, Table
from selector.units import format_number, plain

READ_AS = ("the job says", "the table says", "the table doesn't say")
"""How notes begin that tell how the charted airflow is read."""


def lines_of(plan: Plan, *, details: bool = False) -> Iterator[str]:
    """The answer, a blank line between its parts; with `details` the arithmetic from the facts on, what else comes
    close, and how calls come up."""
    house = plan.house
    yield head(house)
    read_as, differs, taken = _taken(plan.notes)
    refused = plan.best is None
    for part in (
        _part("Say first", plan.first),
        _part("Targets", target_lines(house, details=details)),
        _part(f"Complaint: {house.eased.row.name}" if house.eased.row is not None else "", complaint_lines(plan)),
        _part("How the chart is read", read_as),
        _part("Job and table differ", differs),
        _part("Taken without being typed", taken),
        _setting(plan),
        _part("With fewer moves", () if details else _fewer(plan)),
        _part("Expected", _expected(plan) if details else _expected_short(plan)),
        _part("What else comes close", _close(plan) if details else ()),
        _part("Wishes", plan.wishes),
        _part(
            "Why nothing is offered" if refused else "To know",
            [in_table_words(c.words, house.table) for c in plan.conflicts],
        ),
        _part("Nearest miss", _nearest(plan)),
        _part("Static", [line for p in plan.pressures for line in p.lines()]),
        _part("Fan power", [_watts(w, house.table) for w in plan.watts]),
        _part("Not judged", _not_judged(plan)),
        _part("Measure afterwards", to_measure(plan) if plan.best is not None else ()),
        _part("Care", care(plan) if details else care_short(plan)),
        () if details else _more(plan),
    ):
        yield from part


def _taken(notes: Iterable[str]) -> tuple[list[str], list[str], list[str]]:
    """Notes on how the charted airflow is read, on which of two figures is used, and on what was taken without being
    typed."""
    read_as = [note for note in notes if note.startswith(READ_AS)]
    differs = [note for note in notes if " is used, not " in note]
    return read_as, differs, [note for note in notes if note not in read_as and note not in differs]


def _more(plan: Plan) -> Iterator[str]:
    """How to see the rest."""
    stage = next((one.title for one in reversed(plan.house.aims) if one.aim.counts), "")
    close = (
        f"{len(plan.close)} other setting{'s that come' if len(plan.close) > 1 else ' that comes'} close, "
        if plan.close
        else ""
    )
    why = f'; --why "{stage}" (where its figures come from)' if stage else ""
    yield ""
    yield f"More: --details ({close}the whole arithmetic, ramps and delays){why}"


def head(house: House) -> str:
    """`Corvane two-stage gas furnace, model 080 (manual K-14, pages 23-24)`."""
    unit = house.table.unit
    words = unit.named
    model = house.known.facts.model
    words += f", model {model}" if model else ""
    source = [
        f"manual {unit.manual}" if unit.manual else "",
        f"page{'s' if '-' in unit.pages or ' ' in unit.pages else ''} {unit.pages}" if unit.pages else "",
    ]
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


# -- the setting


def _setting(plan: Plan) -> Iterator[str]:
    choice = plan.best
    if choice is None:
        return
    table = plan.house.table
    yield ""
    yield f"Set, from the board {plan.start}"
    if not choice.moves:
        yield "  nothing moves: it stands right already"
    for move in choice.moves:
        yield f"  {move.text(table)}" + ("   couldn't be read: see that it stands so" if move.was is None else "")
    yield from (f"  {line}" for line in plan.also)
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


# -- what to expect


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
        said = (
            []
            if house.air.ratio is None
            else [f"{airflow(read.standard.value, table)} standard, {airflow(read.actual.value, table)} actual"]
        )
        if read.rise is not None:
            nominal = "" if one.aim.role == "heat" else " nominal"
            leaving = f", leaving {temperature(read.leaving.value, table)}" if read.leaving is not None else ""
            said.append(f"rise {difference(read.rise.value, table)}{nominal}{leaving}")
        if read.per_ton is not None:
            said.append(_per_ton(read.per_ton, one, house))
        if read.split is not None:
            said.append(f"split {difference(read.split.value, table)}")
        if said:
            by = f"{read.way.short}: " if len(one.read_as) > 1 else ""
            yield f"  {by}{', '.join(said)}"
    yield from (f"  {line}" for line in _comes_up(one, table))
    yield from (f"  {line}" for line in _delays(one))
    if one.average is not None:
        yield f"  average over the call {airflow(one.average.value, table)}"
    note = next((read.split.note for read in one.read_as if read.split is not None and read.split.note), "")
    if note:
        yield f"  split: {note}"
    if one.split_why and one.aim.role == "cooling" and one.aim.stage == house.table.calls[one.aim.call].last:
        yield f"  {one.split_why}"


def _expected_short(plan: Plan) -> Iterator[str]:
    """One line a stage: airflow, rise, airflow per ton, split; what is outside its window, and seconds of a ramp
    below the floor."""
    if plan.best is None:
        return
    width = max((len(one.title) for one in plan.best.stages), default=0)
    for one in plan.best.stages:
        if one.charted is None:
            yield f"{one.title:<{width}}  {_no(one.answer.airflow)}"
            continue
        said = [airflow(one.charted.value, plan.house.table), *_short_reads(one, plan.house)]
        broken = "; ".join(dict.fromkeys(in_table_words(b.words, plan.house.table) for b in one.broken))
        yield f"{one.title:<{width}}  {', '.join(said)}" + (f", outside: {broken}" if broken else "")
        yield from (
            f"  {line}" for line in _comes_up(one, plan.house.table) if "below the floor" in line or "not known" in line
        )


def _short_reads(one: Expected, house: House) -> Iterator[str]:
    """Rise, air per ton and split; two figures where the chart can be read two ways."""
    table = house.table
    rises = dict.fromkeys(difference(r.rise.value, table) for r in one.read_as if r.rise is not None)
    leaving = dict.fromkeys(temperature(r.leaving.value, table) for r in one.read_as if r.leaving is not None)
    tons = dict.fromkeys(_per_ton(r.per_ton, one, house) for r in one.read_as if r.per_ton is not None)
    splits = dict.fromkeys(difference(r.split.value, table) for r in one.read_as if r.split is not None)
    if rises:
        yield (
            f"rise {' or '.join(rises)}"
            + ("" if one.aim.role == "heat" else " nominal")
            + (f", leaving {' or '.join(leaving)}" if leaving else "")
        )
    if tons:
        yield " or ".join(tons)
    if splits:
        yield f"split {' or '.join(splits)}"


def _per_ton(figure: Figure, one: Expected, house: House) -> str:
    """`354 cfm/ton of 3 tons`, `48.2 L/s/kW of 7 kW`."""
    tons = one.aim.tons
    return per_ton(figure.value, house.table) + (
        f" of {written(in_table_units(tons, house.table))}" if tons is not None else ""
    )


def _no(found: Fraction | No) -> str:
    return f"{found.kind}: {found.why}" if isinstance(found, No) else "no airflow"


def _comes_up(one: Expected, table: Table) -> Iterator[str]:
    if isinstance(one.coming, No):
        yield f"how it comes up is not known: {one.coming.why}"
    if not isinstance(one.coming, ComingUp):
        return
    if one.coming.full_s:
        ramp = f" (ramp `{one.coming.ramp}`)" if one.coming.ramp else ""
        yield f"full airflow after {format_number(one.coming.full_s, 0)} s{ramp}"
    below = [s for s in one.states if s.below]
    if below and one.below_s is not None and one.below_s.value:
        floor = per_ton(below[0].floor, table)
        yield f"{format_number(one.below_s.value, 0)} s of the ramp below the floor of {floor} ({_steps(below, table)})"


def _steps(states: Sequence[RunningState], table: Table) -> str:
    return ", ".join(
        f"{per_ton(s.per_ton.value, table)} at {plain(s.share)} %" for s in states if s.seconds is not None
    )


def _delays(one: Expected) -> Iterator[str]:
    if one.off_delay:
        yield f"blower runs on {format_number(one.off_delay, 0)} s after the call"


def _not_judged(plan: Plan) -> Iterator[str]:
    """What couldn't be judged, one line for each reason; a missing model with those there are."""
    by_why: dict[str, list[str]] = {}
    for one in plan.not_judged:
        title, _, why = one.partition(": ")
        by_why.setdefault(why, []).append(title)
    for why, titles in by_why.items():
        models = f" (type model={' or '.join(plan.house.table.unit.models)})" if why == "model is not given" else ""
        yield f"{', '.join(titles)}: {why}{models}" if why else ", ".join(titles)


def _fewer(plan: Plan) -> Iterator[str]:
    """The close setting with the fewest moves, where it spares at least two."""
    best = plan.best
    if best is None:
        return
    spare = min(plan.close, key=lambda choice: choice.counted, default=best)
    if spare.counted <= best.counted - SPARED:
        yield f"{marks_of(spare.setting, plan.house.table)}: {trade(best, spare, plan.house)}"


SPARED = 2
"""Moves that another setting must spare to be spoken of."""


def _close(plan: Plan) -> Iterator[str]:
    best = plan.best
    if best is None:
        return
    for choice in plan.close:
        yield f"{marks_of(choice.setting, plan.house.table)}: {trade(best, choice, plan.house)}"


def trade(best: PlannedSetting, other: PlannedSetting, house: House) -> str:
    """What another setting gives for what: airflows and rises that differ, and its moves."""
    parts = []
    for mine, theirs in zip(best.stages, other.stages, strict=True):
        if mine.charted is None or theirs.charted is None or mine.charted.value == theirs.charted.value:
            continue
        text = (
            f"{theirs.title} {airflow(theirs.charted.value, house.table)} instead of"
            f" {airflow(mine.charted.value, house.table)}"
        )
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
            ends = "; ".join(
                dict.fromkeys(f"{b.words}: {airflow(b.figure.value, plan.house.table)}" for b in one.broken)
            )
            yield f"  {one.title} {airflow(one.charted.value, plan.house.table)} is outside {ends}"
