"""Records of boards at random: settings of shipped tables in several spellings, with what is left out or mistyped."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from selector.solve.board.marks import marks_of
from selector.table.model.table import Table


def rows_of(columns: Any) -> Iterator[tuple[Any, ...]]:
    """The rows of Arrow columns."""
    return zip(*(part.to_pylist() for part in columns.columns), strict=True)


TONS = ("", "2", "2.5", "3", "3 tons", "36000 Btu/h", "5", "10.5 kW", "nine", "3.3333333")
READINGS = ("", "", "1180", "hood=900 cfm", "560 L/s", "flow plate=1,350", "much", "vane=0")
STATIC = ("", "0.3 in. w.c.", "0.55 in. w.c.", "0.95 in. w.c.", "150 Pa", "0.8", "wet")


def random_record(random: Random, table: Table) -> dict[str, str]:
    """table, model, marks, tons, static and the facts a table asks for."""
    setting: list[int | None] = [random.randrange(len(p.positions)) for p in table.parts]
    if random.random() < 0.6:
        setting = list(table.delivered(table.unit.models[0] if table.unit.models else None))
        for _ in range(2):
            part = random.choice(table.parts)
            setting[part.index] = random.randrange(len(part.positions))
    for _ in range(random.choice((0, 0, 0, 1, 2))):
        setting[random.randrange(len(setting))] = None
    marks = marks_of(tuple(setting), table)
    if random.random() < 0.2:
        marks = marks.lower()
    if random.random() < 0.1:
        marks = marks.rpartition(" ")[0]
    if random.random() < 0.04:
        marks = marks.replace("=", "", 1)
    facts = {
        fact.name: random.choice(fact.values)
        for fact in table.facts.values()
        if fact.values and fact.gives != "tons" and random.random() < 0.8
    }
    return {
        "table": table.name,
        "model": random.choice((*table.unit.models, *table.unit.models, "", "no such")),
        "marks": marks,
        "tons": random.choice(TONS),
        "static": random.choice(STATIC),
        "facts": "; ".join(f"{name}={value}" for name, value in facts.items()),
        "cooling measured": random.choice(READINGS),
        "fan measured": random.choice(READINGS),
    }
