"""A call's instructions over all settings at once: leads that it doesn't read are not carried along; worked by hand."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.search import walk as walk_module
from selector.solve.search.space import groups_of, offered, space_of
from selector.solve.search.walk import Outcomes, walk
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from selector.value import replace

PAGE = """format: selector table 1
unit: {title: Air handler}
board:
  M1: {kind: taps, positions: 1 2 3 4, leads: Y1 W G}
charts:
  tap airflow: {set: M1, gives: airflow, rows: 1 600; 2 700; 3 800; 4 900}
calls:
  cooling: {terminals: Y1, lead: Y1, airflow: tap airflow}
  heating: {terminals: W, lead: W, airflow: [tap airflow, at least: call cooling]}
  fan: {terminals: G, lead: G, airflow: tap airflow}
"""


@pytest.mark.parametrize(
    ("call", "carried", "airflows"),
    [
        # Three leads on four taps, parked or not, never two on one tap: 24 ways with none parked, 3 x 12 with one,
        # 3 x 4 with two, one with all: 73. Cooling reads one lead alone: its tap or parked, 5 states. With Y1 on one
        # tap the others stand in 3 x 2 + 2 x 3 + 1 = 13 ways.
        ("cooling", 5, {600: 13, 700: 13, 800: 13, 900: 13}),
        # Heating reads two leads: 4 x 3 + 4 + 4 + 1 = 21 states. The higher of the two taps counts; a parked cooling
        # lead is no bound. G then has two taps left or is parked (3 ways); beside a parked Y1 three or parked (4).
        # 700: W on 2 with Y1 on 1, or W on 1 with Y1 on 2: 6, and W on 2 with Y1 parked: 4.
        ("heating", 21, {600: 4, 700: 10, 800: 16, 900: 22}),
    ],
)
def test_leads_that_a_call_does_not_read_are_carried_as_one(
    monkeypatch: pytest.MonkeyPatch, call: str, carried: int, airflows: dict[int, int]
) -> None:
    engine = Engine(build_table(source_from_text(PAGE), "page")[0], Facts())
    points = {name: engine.asked(one, "") for name, one in engine.table.calls.items()}
    every = [i for name, p in points.items() for i in engine.airflow(engine.table.calls[name], "", p.rate)]
    space = space_of(engine, (0, 1, 2), {}, range(3))
    domains = {p: tuple(range(5)) for p in range(3)}
    space = replace(space, domains=domains)
    look = offered(space)
    groups = groups_of(engine, space, tuple(dict.fromkeys(r for i in every for r in i.readings)), 1, look)
    tables = Outcomes(space, groups, {p: n for n, g in enumerate(groups) for p in g.parts}, look)
    sizes: list[int] = []
    branch = walk_module._branch

    def counted(*args: object) -> object:
        out = branch(*args)  # type: ignore[arg-type]
        sizes.append(len(out))
        return out

    monkeypatch.setattr(walk_module, "_branch", counted)
    instructions = engine.airflow(engine.table.calls[call], "", points[call].rate)
    states = walk(call, instructions, [points[call].airflow], groups, tables, set(), 1)
    told = Counter(state.registers[points[call].airflow] for state in states)
    assert max(sizes) == carried
    assert {x: n for x, n in told.items() if isinstance(x, Fraction)} == airflows
    assert len({state.classes for state in states}) == len(states) == 73
