"""The facts that nobody gave and that a figure rests on: what was taken for each, said wherever it is used."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from fractions import Fraction

from selector.answers.call import how_to_give
from selector.answers.words.listing import listed
from selector.judge.assumed_facts import AssumedFact, Taken
from selector.table.model.table import Table
from selector.units import plain

_AS: dict[Taken, str] = {
    "supply voltage": "as the heater is rated",
    "firing rate": "the highest printed",
    "pump pressure": "as the nozzle is marked",
}


def assumed_fact_text(name: str, value: Fraction | None, unit: str) -> str:
    """`supply voltage: 240 V, as the heater is rated`."""
    figure = "" if value is None else f"{plain(value)} {unit}, "
    return f"{name}: {figure}{_AS[name]}" if name in _AS else name


def assumed_fact_texts(facts: Iterable[AssumedFact], calls: Collection[str] | None = None) -> list[str]:
    """Those that some of the calls rest on, of all calls where none are named."""
    return [
        f"{assumed_fact_text(x.name, x.value, x.unit)} ({listed(x.calls)})"
        for x in facts
        if calls is None or set(calls) & set(x.calls)
    ]


def assumed_fact_lines(table: Table, facts: Iterable[AssumedFact]) -> list[str]:
    """`Assumed, supply voltage: 240 V, as the heater is rated (auxiliary): add --volts ..`."""
    return [f"Assumed, {text}{how_to_give(table, x.name)}" for x in facts for text in assumed_fact_texts([x])]
