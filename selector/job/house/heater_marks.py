"""A heater that the page names by a word (`10`) and prints another power for (9.6 kW): the word sets its selector, the
printed power heats."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.air.figure import given
from selector.job.file.model import Amount, Job
from selector.job.remark import Remark, remark
from selector.solve.board.facts import same_value
from selector.table.model.table import Chart, Fact, Table
from selector.units import BTUH_PER_KW, plain
from selector.value import replace


def rates_heater(table: Table, fact: Fact) -> Chart | None:
    """The chart of heater power that a fact without a quantity of its own is read in; None where there is none. A fact
    beside a selector, such as the supply voltage, tells no heater."""
    if fact.gives:
        return None
    names = {fact.name, *(p.name for p in table.parts if p.declares == fact.name)}
    selectors = {p.name for p in table.parts} - names

    def tells(chart: Chart) -> bool:
        return not any(k.name in selectors for k in (*chart.keys, *chart.heads))

    charts = (c for c in table.charts.values() if "heater power" in c.gives)
    return next((c for c in charts if any(k.name in names for k in (*c.keys, *c.heads)) and tells(c)), None)


def printed_powers(table: Table, fact: Fact) -> Mapping[str, Fraction]:
    """Each word of such a fact with the power that its chart prints, kW; empty where more than the fact decides it."""
    chart = rates_heater(table, fact)
    if chart is None or len(chart.keys) != 1 or chart.heads or len(chart.gives) != 1:
        return {}
    words = chart.keys[0].values
    return {
        words[row.positions[0]]: row.cells[0]
        for row in chart.rows
        if row.positions[0] >= 0 and row.cells and isinstance(row.cells[0], Fraction)
    }


def word_of(table: Table, fact: Fact, kilowatts: Fraction) -> str | None:
    """The page's word for a heater of so many kW: its own number, else the one word that this power is printed for."""
    named = next((word for word in fact.values if same_value(word, kilowatts)), None)
    printed = [word for word, power in printed_powers(table, fact).items() if power == kilowatts]
    return named if named is not None else printed[0] if len(printed) == 1 else None


def as_printed(job: Job, table: Table) -> tuple[Job, tuple[Remark, ...]]:
    """The job with the power that the page prints for its heater in the place of the word's number; what is said of
    it."""
    heat = job.heat
    told = [fact for fact in table.facts.values() if printed_powers(table, fact)]
    if heat is None or len(told) != 1:
        return job, ()
    powers, chart = printed_powers(table, told[0]), rates_heater(table, told[0])
    notes: dict[Remark, None] = {}

    def turned(amount: Amount) -> Amount:
        kilowatts = amount.value / BTUH_PER_KW
        word = word_of(table, told[0], kilowatts)
        power = powers.get(word or "")
        if power is None or power == kilowatts:
            return amount
        page = "" if chart is None or not chart.page else f", page {chart.page}"
        shown = given("heater", power, "kW", shown=f"{plain(power)} kW")
        notes[remark("heater by the page", typed=amount.text, power=shown, page=page)] = None
        return replace(amount, value=power * BTUH_PER_KW)

    heater = None if heat.heater is None else turned(heat.heater)
    auxiliary = {stage: turned(amount) for stage, amount in heat.auxiliary.items()}
    return replace(job, heat=replace(heat, heater=heater, auxiliary=auxiliary)), tuple(notes)
