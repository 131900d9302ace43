"""Verdicts for people and for JSON: what was measured, what it is held against, why, and what comes next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from selector.air.figure import Figure, Worked, as_data, text, written
from selector.job.as_found.text import caution_lines, moves_data
from selector.job.board.judged_by import first_of
from selector.job.house.metric import in_table_units, in_table_words, is_metric
from selector.job.readings.measured_airflow import MovedAir, as_charted
from selector.job.readings.static import said
from selector.job.targets.house import House
from selector.job.targets.stage_target import flow
from selector.job.verify.causes import Explanation
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verdict import Verdict
from selector.problems import Problem
from selector.solve.board.marks import marks_of
from selector.table.model.table import No, Setting
from selector.units import convert, format_number

WORDS = {
    "inside": "inside the window",
    "likely inside": "likely inside the window, whose end its band reaches over",
    "likely below": "likely below the window",
    "likely above": "likely above the window",
    "below": "below the window",
    "above": "above the window",
}
LABELS = {"not offered": "no setting is offered: ", "no setting": "no setting will do it: "}
DELIVERED = {"low": "less than selected", "as selected": "as selected", "high": "more than selected"}


def lines_of(house: House, setting: Setting, judged: Sequence[JudgedState], aside: Sequence[Problem]) -> list[str]:
    """The answer for people."""
    out = [f"set: {marks_of(setting, house.table)}"]
    unread = [part.name for part, at in zip(house.table.parts, setting, strict=True) if at is None]
    out += [f"not read: {', '.join(unread)}"] if unread else []
    out += [f"FIRST: {note}." for note in first_of(house, setting)]
    out += [f"note: {note}" for note in house.notes if note not in house.known.notes]
    for one in judged:
        out += ["", *_state(one, house)]
    if aside:
        out += ["", "these readings don't count:", *(f"  line {p.line}: {p.message}" for p in sorted(aside))]
    moved = [
        m.part for one in judged if one.step.kind == "set" and one.step.moves is not None for m in one.step.moves.moves
    ]
    if moved:
        out += ["", "before setting it:", *(f"  {line}" for line in caution_lines(house.engine, setting, moved))]
    return out


def _state(one: JudgedState, house: House) -> list[str]:
    verdict = one.verdict
    out = [verdict.state.title]
    out += [f"  {line}" for line in _readings(verdict, house)]
    out.append(f"  selected   {_selected(verdict, house)}")
    if verdict.aim is not None:
        out.append(f"  aim        {written(in_table_units(verdict.aim, house.table))}")
    if verdict.low is not None or verdict.high is not None:
        out.append(f"  window     {_window(verdict, house)}")
    if verdict.static is not None:
        out += [f"  static     {line}" for line in verdict.static.lines()]
    out += [
        f"  beside     {_figure(figure, house)}: {in_table_words(words, house.table)}"
        for words, figure in verdict.notes
    ]
    out += [
        f"  note       {remark}" for taken in verdict.state.taken for remark in taken.remarks if taken.asked is None
    ]
    out.append(f"  verdict    {in_table_words(verdict_words(verdict), house.table)}")
    unit = house.table.units.airflow
    out += [f"  fits       {s.words} {flow(s.airflow)} {unit}" for s in verdict.fits]
    out += [f"  {line}" for e in verdict.explanations for line in _explanation(e)]
    out.append(f"  next       {LABELS.get(one.step.kind, '')}{in_table_words(one.step.words, house.table)}")
    if one.step.moves is not None:
        out += [f"    {line}" for line in _moves(one, house)]
    return out


def _readings(verdict: Verdict, house: House) -> Iterable[str]:
    several = sum(one.flow is not None for one in verdict.state.taken) > 1
    for one in verdict.state.taken:
        if one.flow is not None and (len(verdict.moved) != 1 or several):
            yield f"measured   {_figure(one.flow.airflow, house)} ({one.flow.method}, +-{_percent(one.flow.band)} %)"
            for way in house.air.ways:
                charted = as_charted(one.flow, way, house.air)
                if charted.value != one.flow.airflow.value:
                    read_as = f", if {way.words}" if len(house.air.ways) > 1 else ""
                    yield f"           as the chart counts it{read_as}: {text(in_table_units(charted, house.table))}"
        if one.asked is not None:
            yield (
                f"shown      {written(in_table_units(one.asked, house.table))}: what was asked for, not what was"
                " delivered"
            )
        if one.input is not None:
            yield f"clocked    {text(in_table_units(one.input, house.table))}"
    for moved in verdict.moved:
        yield f"delivered  {_delivered(moved, house)} ({moved.measured.method}, +-{_percent(moved.band)} %)"


def _percent(band: Figure) -> str:
    return format_number(100 * band.value, 1).removesuffix(".0")


def _figure(figure: Figure, house: House) -> str:
    """A worked figure with its arithmetic, a given one plainly; in the units of a metric table."""
    own = in_table_units(figure, house.table)
    if isinstance(own, Worked):
        return text(own)
    return written(own) if own.unit != figure.unit else said(own)


def _delivered(moved: MovedAir, house: House) -> str:
    low, high = (written(in_table_units(end, house.table)) for end in (moved.low, moved.high))
    words = f"{_figure(moved.airflow, house)}, {low} to {high}"
    own = house.table.units.airflow
    if own != "cfm" and not is_metric(house.table):
        words += f" ({format_number(convert(moved.airflow.value, 'cfm', own), 1)} {own})"
    return words + (
        f", if {moved.way.words}" if len(house.air.ways) > 1 else f" ({moved.way.words})" if moved.way.words else ""
    )


def _selected(verdict: Verdict, house: House) -> str:
    if isinstance(verdict.selected, No):
        return f"{verdict.selected.kind}: {verdict.selected.why}"
    return _figure(verdict.selected, house)


def _window(verdict: Verdict, house: House) -> str:
    low, high = (
        None if end is None else written(in_table_units(end, house.table)) for end in (verdict.low, verdict.high)
    )
    if low is not None and high is not None:
        empty = verdict.low is not None and verdict.high is not None and verdict.low.value > verdict.high.value
        words = f"at least {low}, at most {high}: no airflow meets both" if empty else f"{low} to {high}"
        return words + (f" ({in_table_words(verdict.ceiling, house.table)})" if verdict.ceiling else "")
    if high is not None and verdict.ceiling:
        return f"at most {high} ({in_table_words(verdict.ceiling, house.table)})"
    return f"at least {low}" if low is not None else f"at most {high}"


def verdict_words(verdict: Verdict) -> str:
    """The verdict in one line."""
    if verdict.apart is not None:
        one, other = verdict.apart.one, verdict.apart.other
        apart, bands = format_number(verdict.apart.apart_cfm, 0), format_number(verdict.apart.bands_cfm, 0)
        return (
            f"none: {one.method} and {other.method} are {apart} cfm apart, more than their bands together ({bands} cfm)"
        )
    if verdict.by_chart:
        words = "read from the chart at the static measured, not measured itself"
        return f"{words}: {WORDS[verdict.standing]}" if verdict.standing is not None else words
    if not verdict.moved:
        return (
            "none on the airflow: no reading of it counts"
            if verdict.state.problems
            else "none on the airflow: it was not measured here"
        )
    if verdict.against not in DELIVERED:
        return "none against the selected airflow"
    words = DELIVERED[verdict.against]
    return f"{words}, {WORDS[verdict.standing]}" if verdict.standing is not None else words


def _explanation(e: Explanation) -> list[str]:
    condition = f"{e.condition}: " if e.condition else ""
    out = [f"why        {condition}{e.said}"]
    for check in e.checks:
        fits = f" [{'; '.join(check.evidence)}]" if check.evidence else ""
        out.append(f"  look at  {check.words}{fits}" + (f" (unlikely: {check.unlikely})" if check.unlikely else ""))
    return out


def _moves(one: JudgedState, house: House) -> list[str]:
    moves = one.step.moves
    assert moves is not None
    if one.step.kind == "set":
        return [m.text(house.table) for m in moves.moves]
    if not moves.against:
        return ["the page refuses every setting, or a fact is missing"]
    nearest = [o for o in moves.against if o.nearest is not None]
    if len(moves.against) == 1 and nearest:
        value = format_number(nearest[0].nearest or Fraction(0), 1)
        return [
            f"{nearest[0].words} can't be had: the nearest any setting gives is {value} {house.table.units.airflow}"
        ]
    return [f"can't be had together: {'; '.join(o.words for o in moves.against)}"]


# -- data


def figures_of(one: JudgedState) -> tuple[Figure, ...]:
    """Every figure a state's verdict rests on."""
    verdict = one.verdict
    out: list[Figure] = [f for t in verdict.state.taken if t.flow is not None for f in (t.flow.airflow, t.flow.band)]
    out += [f for moved in verdict.moved for f in (moved.airflow, moved.band, moved.low, moved.high)]
    out += [
        f
        for f in (verdict.selected, verdict.aim, verdict.low, verdict.high, verdict.watts)
        if f is not None and not isinstance(f, No)
    ]
    if verdict.static is not None:
        out += [f for f in (verdict.static.measured, verdict.static.plate, verdict.static.holds) if f is not None]
    return (*out, *(figure for _, figure in verdict.notes), *one.step.figures)


def data_of(
    house: House, setting: Setting, judged: Sequence[JudgedState], aside: Sequence[Problem]
) -> dict[str, object]:
    """The answer for JSON."""
    return {
        "version": 1,
        "table": house.table.name,
        "set": marks_of(setting, house.table),
        "first": list(first_of(house, setting)),
        "notes": [note for note in house.notes if note not in house.known.notes],
        "states": [_data(one, house) for one in judged],
        "set aside": [
            {"line": p.line, "column": p.column, "code": p.code, "message": p.message} for p in sorted(aside)
        ],
    }


def _data(one: JudgedState, house: House) -> dict[str, object]:
    verdict = one.verdict
    selected = verdict.selected
    return {
        "call": verdict.state.call,
        "stage": verdict.state.stage,
        "firing rate": verdict.state.rate,
        "measured": [
            {"method": t.flow.method, "airflow": as_data(t.flow.airflow), "band": as_data(t.flow.band)}
            for t in verdict.state.taken
            if t.flow is not None
        ],
        "delivered": [
            {"reading": m.way.way, "airflow": as_data(m.airflow), "low": as_data(m.low), "high": as_data(m.high)}
            for m in verdict.moved
        ],
        "selected": {"no": selected.kind, "why": selected.why} if isinstance(selected, No) else as_data(selected),
        "aim": None if verdict.aim is None else as_data(verdict.aim),
        "window": [None if end is None else as_data(end) for end in (verdict.low, verdict.high)],
        "static": None
        if verdict.static is None
        else {
            "measured": as_data(verdict.static.measured),
            "word": verdict.static.word,
            "plate": None if verdict.static.plate is None else as_data(verdict.static.plate),
            "holds up to": None if verdict.static.holds is None else as_data(verdict.static.holds),
        },
        "beside": [{"words": words, "figure": as_data(figure)} for words, figure in verdict.notes],
        "verdict": {
            "against selected": verdict.against,
            "standing": verdict.standing,
            "words": verdict_words(verdict),
            "by chart": verdict.by_chart,
        },
        "fits": [{"words": s.words, "airflow": float(s.airflow)} for s in verdict.fits],
        "explanations": [
            {
                "row": e.row,
                "said": e.said,
                "condition": e.condition,
                "look at": [
                    {"check": c.name, "words": c.words, "fits": list(c.evidence), "unlikely": c.unlikely}
                    for c in e.checks
                ],
            }
            for e in verdict.explanations
        ],
        "next": {
            "kind": one.step.kind,
            "words": one.step.words,
            "moves": None
            if one.step.moves is None
            else moves_data(one.step.moves, house.table, offered=one.step.kind == "set"),
        },
    }
