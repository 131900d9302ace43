"""What `show` says: a table's charts as printed, its calls as formulas, its board at the factory setting."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import partial
from typing import Literal

from selector.answers.parts import VERSION, SettingData, UnitsData, setting_data, units_data
from selector.answers.words.figure import as_printed, figure
from selector.answers.words.fold import Block, Raw, fold
from selector.answers.words.grid import grid_lines
from selector.answers.words.head import head
from selector.answers.words.ramp_and_delay import DELAYS, ramp_text
from selector.draw.parts.text import board_text
from selector.solve.board.marks import mark
from selector.table.model.figure_units import unit_of_head, unit_of_quantity, unit_of_rating
from selector.table.model.formula import condition_text, formula, heads_of, row_words, when_text
from selector.table.model.quantities import HEAT_INPUT
from selector.table.model.table import (
    ANY,
    Atom,
    Call,
    CallValue,
    Chart,
    Footnote,
    Named,
    Part,
    Rating,
    Row,
    Step,
    Table,
)
from selector.value import Published


class RowData(Published, frozen=True, kw_only=True):
    """A printed row, its positions first; `line` is where it stands in the file."""

    words: tuple[str, ...]
    note: str
    line: int


class ChartData(Published, frozen=True, kw_only=True):
    """A chart: the selectors it is set by, its heads outermost first, what it gives, what it holds only with, and its
    footnotes: mark -> text."""

    name: str
    page: str
    set: tuple[str, ...]
    heads: tuple[tuple[str, ...], ...]
    gives: tuple[str, ...]
    holds_up_to: Fraction | None
    only: tuple[str, ...]
    note: str
    footnotes: dict[str, str]
    rows: tuple[RowData, ...]


class FormulaData(Published, frozen=True, kw_only=True):
    """A call's stage as a formula; `capacity`: the share of the outdoor unit or the burner that runs, where it is
    told."""

    call: str
    stage: str
    formula: str
    capacity: Fraction | None


class WindowData(Published, frozen=True, kw_only=True):
    """What the page allows a call's stage, in the table's units; model, stage and condition are empty where it holds
    for all."""

    call: str
    stage: str
    model: str
    when: str
    quantity: str
    low: Fraction | None
    high: Fraction | None


class CallTimeData(Published, frozen=True, kw_only=True):
    """How a call comes up, waits or runs on: a ramp's name, seconds, or the chart that says them."""

    call: str
    stage: str
    what: Literal["ramp", "on delay", "off delay"]
    told: str


class RatingData(Published, frozen=True, kw_only=True):
    """A figure of the rating plate; `low` and `high` are equal where it is one figure, model and stage empty where it
    holds for all; `stage` names the positions of a selector where they decide it."""

    name: str
    model: str
    stage: str
    low: Fraction
    high: Fraction
    unit: str


class ShowAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector show."""

    version: Literal[2]
    table: str
    title: str
    maker: str
    models: tuple[str, ...]
    units: UnitsData
    ratings: tuple[RatingData, ...]
    charts: tuple[ChartData, ...]
    calls: tuple[FormulaData, ...]
    windows: tuple[WindowData, ...]
    times: tuple[CallTimeData, ...]
    ramps: dict[str, str]
    factory: SettingData
    holds_up_to: Fraction | None
    only: tuple[str, ...]
    notes: tuple[str, ...]


def show_answer(table: Table, model: str | None) -> ShowAnswer:
    """A table for JSON; `model` chooses the factory setting and the ratings."""
    return ShowAnswer(
        version=VERSION,
        table=table.name,
        title=table.unit.title,
        maker=table.unit.maker,
        models=table.unit.models,
        units=units_data(table),
        ratings=tuple(r for rating in table.ratings.values() for r in _ratings(table, rating, model)),
        charts=tuple(map(_chart_data, table.printed_charts, [table] * len(table.printed_charts))),
        calls=tuple(
            FormulaData(
                call=call.name,
                stage=stage,
                formula=formula(table, call, stage),
                capacity=call.capacity.get(stage, call.capacity.get("")),
            )
            for call in table.calls.values()
            for stage in call.stages
        ),
        windows=tuple(
            WindowData(
                call=call.name,
                stage=w.stage,
                model=w.model,
                when=" and ".join(condition_text(table, c) for c in w.when),
                quantity=w.quantity,
                low=w.low,
                high=w.high,
            )
            for call in table.calls.values()
            for w in call.windows
        ),
        times=tuple(
            CallTimeData(call=call.name, stage=stage, what=what, told=_atom(atom, "" if what == "ramp" else " s"))
            for call in table.calls.values()
            for what, by_stage in _times(call)
            for stage, atom in by_stage.items()
        ),
        ramps=table.typed_ramps(ramp_text),
        factory=setting_data(table.delivered(model), table),
        holds_up_to=table.unit.holds_up_to,
        only=tuple(condition_text(table, c) for c in table.unit.only),
        notes=tuple(note for note in (table.unit.note, *(c.note for c in table.calls.values())) if note),
    )


def _chart_data(chart: Chart, table: Table) -> ChartData:
    return ChartData(
        name=chart.name,
        page=chart.page,
        set=tuple(k.name for k in chart.keys),
        heads=tuple(map(tuple, heads_of(chart))),
        gives=chart.gives,
        holds_up_to=chart.holds_up_to,
        only=tuple(condition_text(table, c) for c in chart.only),
        note=chart.note,
        footnotes={n.mark: _footnote_text(table, n) for n in chart.notes},
        rows=tuple(RowData(words=tuple(printed_row(table, chart, r)), note=r.note, line=r.line) for r in chart.rows),
    )


def _ratings(table: Table, rating: Rating, model: str | None) -> Iterator[RatingData]:
    unit = unit_of_rating(rating.name, table.units)
    scale = Fraction(100) if unit == "%" else 1 / table.heat_factor if unit == table.units.heat else Fraction(1)
    for (one, stage), value in rating.printed(partial(condition_text, table)).items():
        if model and one and one.casefold() != model.casefold():
            continue
        low, high = value if isinstance(value, tuple) else (value, value)
        yield RatingData(name=rating.name, model=one, stage=stage, low=low * scale, high=high * scale, unit=unit)


def lines(table: Table, model: str | None, *, wide: bool, columns: int) -> list[Block]:
    """The answer for people."""
    out: list[Block] = [head(table, model), *unit_lines(table, model)]
    for chart in table.printed_charts:
        out += ["", *chart_lines(chart, table, columns)]
    if table.ramps:
        out += ["", "Ramps", *(f"  {name}: {text}" for name, text in table.typed_ramps(ramp_text).items())]
    out += ["", "Calls (each step works on the result so far)"]
    for call in table.calls.values():
        out += [f"  {line}" for line in call_lines(table, call)]
    for heading, told in (("Facts", _told_of_facts(table)), ("Selectors", _told_of_selectors(table))):
        if told:
            out += ["", heading, *(f"  {line}" for line in told)]
    factory = table.delivered(model)
    if not any(at is not None for at in factory):
        return [*out, "", "Factory setting: not printed"]
    drawn = board_text(table, factory, wide=wide, columns=columns - 2)
    return [*out, "", "Factory setting", Raw(lines=tuple(f"  {line}".rstrip() for line in drawn))]


def _figure(table: Table, value: Fraction) -> str:
    """A figure as it is printed; in other units than the page's, or typed in another, to a tenth."""
    return figure(value) if table.units.converted or (1000 * value).denominator != 1 else as_printed(value)


def unit_lines(table: Table, model: str | None) -> list[str]:
    """What the table says of the unit and its rating plate."""
    unit = table.unit
    out = [f"{key}: {value}" for key, value in unit.applies_to.items()]
    if unit.note:
        out.append(f"Note: {unit.note}")
    if unit.reads:
        out.append(f"The board reads its selectors {'at power-up' if unit.reads == 'at power-up' else 'at all times'}.")
    if unit.motor:
        out.append(f"Motor: {unit.motor}")
    if unit.airflow_means:
        meant = "of standard air" if unit.airflow_means == "standard air" else "the volume that moves"
        out.append(f"The printed airflow is {meant}.")
    if unit.holds_up_to is not None:
        out.append(f"Holds up to {_figure(table, unit.holds_up_to)} {table.units.pressure}")
    if unit.only:
        out.append(f"Holds only with {', '.join(condition_text(table, c) for c in unit.only)}")
    return out + [f"Plate: {rating.name} {_rating_text(table, rating, model)}" for rating in table.ratings.values()]


def _rating_text(table: Table, rating: Rating, model: str | None) -> str:
    """`060 60,000, 080 80,000, 110 110,000 Btu/h`; `45 low 29,000, high 45,000`."""
    words: list[str] = []
    last = ""
    unit = ""
    for r in _ratings(table, rating, model):
        figure = _figure(table, r.low) + (f" to {_figure(table, r.high)}" if r.high != r.low else "")
        named = " ".join(w for w in (r.model if r.model != last else "", r.stage, figure) if w)
        between = "" if not words else "; " if r.stage and r.model != last else ", "
        words.append(between + named)
        last, unit = r.model, r.unit
    return f"{''.join(words)} {unit}".rstrip()


def call_lines(table: Table, call: Call) -> list[str]:
    """A call with its formulas and what else is said of it."""
    out = [f"{f'{call.name} {s}'.strip()} = {formula(table, call, s)}" for s in call.stages]
    said = [f"{s} {' '.join(call.terminals_of(s))}".strip() for s in call.terminals]
    if said:
        out.append(f"  terminals: {', '.join(said)}")
    if call.lead:
        leads = ", ".join(f"{s} {table.parts[p].name}".strip() for s, p in call.lead.items())
        out.append(f"  motor lead: {leads}")
    if call.purpose:
        out.append(f"  for {call.purpose}")
    if call.capacity:
        out.append(f"  capacity: {', '.join(f'{s} {as_printed(c * 100)} %'.strip() for s, c in call.capacity.items())}")
    if call.heat:
        out.append(f"  heat: {', then '.join(_heat_step(table, s) for s in call.heat)}")
    for what, by_stage in _times(call):
        if by_stage:
            unit = "" if what == "ramp" else " s"
            shown = [f"{s} {_atom(a, unit)}".strip() for s, a in by_stage.items()]
            out.append(f"  {_TIMES[what]}: {', '.join(shown)}")
    for w in call.windows:
        unit = unit_of_quantity(w.quantity, table.units)
        scale = table.heat_factor if w.quantity == HEAT_INPUT else Fraction(1)
        ends = [_figure(table, end / scale) for end in (w.low, w.high) if end is not None]
        word = "allowed " if len(ends) == 2 else "minimum " if w.low is not None else "maximum "
        quantity = "" if w.quantity in ("airflow", "airflow per ton") else f"{w.quantity} "
        with_ = " and ".join(condition_text(table, c) for c in w.when)
        stage = w.stage or ("every stage" if w.when and len(call.stages) > 1 else "")
        of = " ".join(word for word in (w.model, with_, stage) if word)
        out.append(f"  {f'{of} ' if of else ''}{quantity}{word}{' to '.join(ends)} {unit}".rstrip())
    for step in call.limits:
        word = "minimum" if step.op == "at least" else "maximum"
        out += [f"  {f'{stage} ' if stage else ''}{word} {_atom(a)}" for stage, a in step.by_stage.items()]
    out += [f"  with {other}: {rule}" for other, rule in call.together.items()]
    if call.note:
        out.append(f"  Note: {call.note}")
    return out


def _times(call: Call) -> tuple[tuple[Literal["ramp", "on delay", "off delay"], Mapping[str, Atom]], ...]:
    return ("ramp", call.ramp), ("on delay", call.on_delay), ("off delay", call.off_delay)


_TIMES = {"ramp": "ramp", "on delay": DELAYS["on"], "off delay": DELAYS["off"]}


def _told_of_facts(table: Table) -> list[str]:
    """Each fact of the file: what it may be, and the quantity it gives."""
    out: list[str] = []
    for fact in table.facts.values():
        low, high = fact.low, fact.high
        ends = "" if low is None or high is None else f"{as_printed(low)} to {as_printed(high)}"
        gives = f", gives {fact.gives}" if fact.gives else ""
        out.append(f"{fact.name}: {ends or ', '.join(fact.values)}{gives}")
    return out


def _told_of_selectors(table: Table) -> list[str]:
    """What the file says of each selector beside its positions: what it gives, what it tells the board, where it is to
    be left, what shares its tap, its note."""
    out: list[str] = []
    for selector in table.selectors.values():
        if selector.gives:
            out.append(f"{selector.name}: gives {selector.gives}")
        parts = [table.parts[i] for i in selector.parts]
        for part in parts:
            said = []
            if part.declares:
                words = ((mark(table, part.index, i), part.tells(i)) for i in range(len(part.positions)))
                told = ", ".join(f"{printed} {word}" for printed, word in words if printed != word)
                said.append(f"tells the board {part.declares}" + (f" ({told})" if part.says else ""))
            if part.may_cut:
                said.append("may be cut at set-up")
            if part.leave_at is not None:
                said.append(f"leave {mark(table, part.index, part.leave_at)}")
            said += [f"model {m}: leave {mark(table, part.index, at)}" for m, at in part.leave_with.items()]
            if part.unused_with:
                models = [m for m in table.unit.models if m in part.unused_with]
                said.append(f"not used with model {', '.join(models)}")
            if part.idle and not part.unused:
                said.append(f"not used: {', '.join(mark(table, part.index, i) for i in sorted(part.idle))}")
            for model, gone in part.idle_with.items():
                own = [p for i, p in enumerate(part.positions) if i not in gone]
                said.append(
                    f"model {model}: {own[0]} to {own[-1]}" if len(own) > 6 else f"model {model}: {' '.join(own)}"
                )
            if part.note:
                said.append(part.note)
            out += [f"{part.name}: {text}" for text in said]
        if any(model for part in parts for model in part.factory):
            by_model = ", ".join(f"{m} {_delivered(table, parts, m)}" for m in table.unit.models)
            out.append(f"{selector.name}: factory setting by model: {by_model}")
        for leads, conditions in selector.may_share:
            names = " and ".join(table.parts[i].name for i in sorted(leads))
            out.append(f"{names} may share a tap{when_text(table, conditions)}")
        if selector.note:
            out.append(f"{selector.name}: {selector.note}")
    return out


def _delivered(table: Table, parts: list[Part], model: str) -> str:
    """The marks of a selector as delivered in a model, ? where they aren't printed."""
    found = [(p.index, p.delivered(model)) for p in parts]
    return " ".join("?" if at is None else mark(table, index, at) for index, at in found)


def _atom(atom: object, unit: str = "") -> str:
    if isinstance(atom, CallValue):
        return f"call {atom.call} {atom.stage}".strip()
    return atom.name if isinstance(atom, Named) else f"{as_printed(atom)}{unit}" if isinstance(atom, Fraction) else ""


def _heat_step(table: Table, step: Step) -> str:
    text = ", ".join(f"{s} {_atom(a)}".strip() for s, a in step.by_stage.items())
    return (text if step.op == "use" else f"{step.op} {text}") + when_text(table, step.when)


def chart_lines(chart: Chart, table: Table, columns: int) -> list[Block]:
    """A chart as the page has it, with the units of its figures in its title."""
    page = f" (page {chart.page})" if chart.page else ""
    out: list[Block] = [f"{chart.name}{page}: {in_units(chart, table)}"]
    if chart.holds_up_to is not None:
        out.append(f"  Holds up to {_figure(table, chart.holds_up_to)} {table.units.pressure}")
    if chart.conditions:
        out.append(f"  Holds for {chart.conditions}")
    if chart.only:
        out.append(f"  Holds only with {', '.join(condition_text(table, c) for c in chart.only)}")
    if chart.note:
        out.append(f"  Note: {chart.note}")
    heads = [line for level in heads_of(chart) for line in _stacked(level)]
    lead = [k.name for k in chart.keys]
    marks = {r.note: f"({n})" for n, r in enumerate((r for r in chart.rows if r.note), start=1)}
    width = len(lead) + (len(heads[-1]) if heads else 0)
    rows = [["" for _ in lead] + line for line in heads[:-1]] + [lead + (heads[-1] if heads else [])]
    rows += [_padded(printed_row(table, chart, row), width) for row in chart.rows]
    if marks:
        signs = ["" for _ in range(len(rows) - len(chart.rows))] + [marks.get(r.note, "") for r in chart.rows]
        rows = [[*row, sign] for row, sign in zip(rows, signs, strict=True)]
    out.append(Raw(lines=tuple(f"  {line}".rstrip() for line in grid_lines(rows, len(lead), columns - 2))))
    notes = [text for note, sign in marks.items() for text in fold(f"  {sign} {note}", columns)]
    notes += [text for n in chart.notes for text in fold(f"  {n.mark}  {_footnote_text(table, n)}", columns)]
    return [*out, Raw(lines=tuple(notes))] if notes else out


def _footnote_text(table: Table, note: Footnote) -> str:
    """A footnote with what its figures hold under, where its words don't say it."""
    held = f"only {', '.join(condition_text(table, c) for c in note.only)}" if note.only else ""
    return note.text if not held or held.casefold() == note.text.casefold() else f"{held} ({note.text})"


def _stacked(level: list[str]) -> list[list[str]]:
    """One line of heads in as many as its longest head has words: `temperature rise` one word under the other."""
    words = [head.split(" ") if len(head) > 10 else [head] for head in level]
    deepest = max(len(w) for w in words)
    return [[(([""] * (deepest - len(w))) + w)[n] for w in words] for n in range(deepest)]


def _padded(words: list[str], width: int) -> list[str]:
    return words + [""] * (width - len(words))


def printed_row(table: Table, chart: Chart, row: Row) -> list[str]:
    """A row with the marks as the board has them printed, and its cells as they were typed."""
    words = row_words(chart, row)
    for i, (key, at) in enumerate(zip(chart.keys, row.positions, strict=True)):
        if key.kind == "part" and at != ANY and 0 <= at < len(table.parts[key.part].positions):
            words[i] = words[i].replace(key.values[at], mark(table, key.part, at), 1)
    return words


def in_units(chart: Chart, table: Table) -> str:
    """`airflow in L/s, one column per static pressure in Pa`: what a chart gives, by what, each with its unit."""
    gives = [f"{name} in {unit}" if (unit := unit_of_quantity(name, table.units)) else name for name in chart.gives]
    heads = [
        f"{head.name} in {unit}" if (unit := unit_of_head(head.name, table)) else head.name for head in chart.heads
    ]
    return ", ".join(gives) + (f", one column per {', '.join(heads)}" if heads else "")
