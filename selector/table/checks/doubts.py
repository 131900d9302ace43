"""Checks of what a sound file may mean otherwise than its page: each is one small function; its docstring is its page
of documentation."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.table.model.cell_places import column_of, place_of
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import Condition, Named, Part, PerTon, Table
from selector.table.text.report import FileReport
from selector.units import convert, plain

LEAST_PER_TON_CFM = 150
"""Lower figures are printed for no unit (common practice, no source): 43 to 60 L/s a kW are 320 to 450 cfm/ton."""
_DUCT_IN_WC = (Fraction(1, 50), Fraction(4))
"""The highest static pressure of a page lies between, whatever it prints (common practice, no source)."""
STATIC = "static pressure"
_FIGURES = {"heater": "heater power", "outdoor tons": "tons"}
"""Facts that are figures without being declared."""
_UNIT = {"heater power": "kW", "tons": "tons"}


def check_free_tons(table: Table, report: FileReport) -> None:
    """free-tons (a remark): a selector of tons that declares nothing is searched for an airflow, whatever the outdoor
    unit is."""
    for selector in table.selectors.values():
        parts = [table.parts[i] for i in selector.parts]
        if selector.gives == "tons" and not any(p.declares for p in parts):
            message = f"{selector.name} gives tons and declares nothing: find may set other tons than the unit has"
            remedy = "right if the page lets tons be chosen for airflow; else add declares: outdoor tons"
            at = place_of(table, selector.line, selector.name)
            report.add(selector.line, at, "free-tons", message, remedy, length=len(selector.name), remark=True)


def check_free_plugs(table: Table, report: FileReport) -> None:
    """free-plug (a remark): a plug or nozzle that the heat goes by and that declares nothing is taken for equipment."""
    for part in table.parts:
        selector = table.selectors[part.selector]
        if selector.kind == "plug" and part.declares == part.name:
            message = f"{part.name} decides the heat, so it is taken for equipment: find and plan never change it"
            remedy = (
                f"name what it tells, as declares: nozzle; then --fact nozzle={part.positions[0]} says what is fitted"
            )
            at = place_of(table, selector.line, part.name)
            report.add(selector.line, at, "free-plug", message, remedy, length=len(part.name), remark=True)


def check_static_unit(table: Table, report: FileReport) -> None:
    """static-unit (a remark): static pressures that no duct has in the file's unit, and any duct has in the other."""
    unit = table.units.pressure
    found = list(_statics(table))
    most, line = max(found, default=(Fraction(0), 0))
    least_high, most_high = (convert(end, "in. w.c.", unit) for end in _DUCT_IN_WC)
    if not found or least_high <= most <= most_high:
        return
    other = "Pa" if most > most_high else "in. w.c."
    why = "no duct has so much" if most > most_high else "that is next to nothing"
    message = f"static pressure {plain(most)} {unit}: {why}"
    at = column_of(table, line)
    report.add(
        line, at, "static-unit", message, f"if the page counts in {other}: units: {{pressure: {other}}}", remark=True
    )


def _statics(table: Table) -> Iterator[tuple[Fraction, int]]:
    """Every static pressure that a chart, condition or window prints, with its line."""
    conditions: list[Condition] = [*table.unit.only]
    for chart in table.charts.values():
        yield from ((n, chart.line) for k in (*chart.keys, *chart.heads) if k.name == STATIC for n in k.numbers)
        conditions += (*chart.only, *(c for note in chart.notes for c in note.only))
    for call in table.calls.values():
        conditions += (*call.when, *(c for step in call.airflow for c in step.when))
        yield from (
            (end, w.line) for w in call.windows if w.quantity == STATIC for end in (w.low, w.high) if end is not None
        )
    yield from ((end, c.line) for c in conditions if c.name == STATIC for end in (c.low, c.high) if end is not None)


def check_whose_lead(table: Table, report: FileReport) -> None:
    """whose-lead (a remark): a chart by motor taps that no call uses is told for the lead of one of them alone."""
    if report.failed:
        return
    used = {
        atom.name
        for call in table.calls.values()
        for step in (*call.airflow, *call.heat, *call.limits)
        for atom in step.by_stage.values()
        if isinstance(atom, Named)
    }
    led = {key.name for chart in table.charts.values() for key in (*chart.keys, *chart.heads) if key.kind == "chart"}
    for chart in table.charts.values():
        taps = next((k.name for k in (*chart.keys, *chart.heads) if k.kind == "taps"), "")
        if not taps or chart.name in used | led or any(QUANTITIES[g].role != "note" for g in chart.gives):
            continue
        leads = {table.parts[p].name: c.name for c in table.calls.values() for p in c.lead.values()}
        if len(leads) > 1:
            lead, call = next(iter(leads.items()))
            message = f"`{chart.name}` goes by a motor lead: it is told for {lead}, of `{call}`"
            others = [name for name in leads if name != lead]
            remedy = f"right if it is meant so; else say whose it is, set: {others[0]}"
            at = column_of(table, chart.line)
            report.add(chart.line, at, "whose-lead", message, remedy, length=len(chart.name), remark=True)


def check_marks_as_figures(table: Table, report: FileReport) -> None:
    """marks-as-figures (a remark): bare positions of a selector that declares kW or tons are taken for these, where the
    page may only count them."""
    for part in table.parts:
        fact = table.facts.get(part.declares)
        gives = fact.gives if fact is not None and fact.gives else _FIGURES.get(part.declares, "")
        if gives not in _UNIT or part.says or part.values:
            continue
        numbers = {p: Fraction(p) for p in part.positions if p.replace(".", "", 1).isdigit()}
        told = dict(_printed(table, part, gives))
        other = next((p for p, x in numbers.items() if p in told and not any(_near(x, kw) for kw in told[p])), None)
        counted = [*numbers] in ([str(n + first) for n in range(len(numbers))] for first in (0, 1))
        sure = "0" in numbers or gives == "heater power"
        if other is not None or (not told and counted and sure and len(numbers) > 2):
            selector = table.selectors[part.selector]
            last = other if other is not None else [*numbers][-1]
            message = f"the positions of {part.name} are taken for {_UNIT[gives]}: {last} means {last} {_UNIT[gives]}"
            told_as = f"{float(min(told[last])):g}" if last in told else ".."
            remedy = f"right if the marks are {_UNIT[gives]}; else say what each is, says: {{{last}: {told_as}, ...}}"
            at = place_of(table, selector.line, part.name)
            report.add(selector.line, at, "marks-as-figures", message, remedy, length=len(part.name), remark=True)


def _near(mark: Fraction, printed: Fraction) -> bool:
    """A heater's mark is its rating in round figures: 5 for 4.8 kW, or for 3.6 on another supply."""
    return abs(mark - printed) <= printed * 2 / 5


def _printed(table: Table, part: Part, gives: str) -> Iterator[tuple[str, set[Fraction]]]:
    """What charts by a part alone print of a quantity for each of its positions."""
    for chart in table.charts.values():
        if chart.gives == (gives,) and len(chart.keys) == 1 and chart.keys[0].part == part.index:
            for row in chart.rows:
                cells = {c for c in row.cells if isinstance(c, Fraction)}
                if cells and row.positions[0] >= 0:
                    yield part.positions[row.positions[0]], cells


def check_low_per_ton(table: Table, report: FileReport) -> None:
    """low-per-ton (a remark): airflow for a ton that is as low as airflow for a kW."""
    for call in table.calls.values():
        found = [(w.line, w.high or w.low) for w in call.windows if w.quantity == "airflow per ton"]
        for step in (*call.airflow, *call.limits):
            found += [(step.line, atom.value) for atom in step.by_stage.values() if isinstance(atom, PerTon)]
        for line, value in found:
            if value is not None and convert(value, table.units.airflow, "cfm") < LEAST_PER_TON_CFM:
                figure, unit = f"{float(value):g}", table.units.airflow
                message = f"{figure} {unit} a ton in `{call.name}` is less than any unit moves"
                remedy = f"if the page means a kW of cooling, type {figure} {unit}/kW"
                report.add(line, column_of(table, line), "low-per-ton", message, remedy, remark=True)
                break
