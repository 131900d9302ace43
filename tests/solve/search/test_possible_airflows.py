"""Airflows that can be reached: the same as every setting evaluated one by one gives."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.possible_airflows import reachable
from selector.solve.search.space import space_of
from selector.table.library.library import load


def test_taps_reach_their_printed_airflows() -> None:
    """Wickerby page, at 125 Pa: taps 1 to 5 give 230, 310, 395, 480, 565 L/s, whatever the other leads stand on."""
    table, _ = load("wickerby-5")
    engine = Engine(table, Facts(values={"static pressure": Fraction(125)}))
    space = space_of(engine, (0, 3, 2, 1), {}, range(4))
    assert reachable(engine, space, engine.asked(table.calls["cooling"], "low")) == tuple(
        map(Fraction, (230, 310, 395, 480, 565))
    )


def test_a_held_lead_keeps_its_tap_from_the_others() -> None:
    table, _ = load("wickerby-5")
    engine = Engine(table, Facts(values={"static pressure": Fraction(125)}))
    space = space_of(engine, (0, 3, 2, 1), {1: 3}, range(4))
    assert reachable(engine, space, engine.asked(table.calls["fan"], "")) == tuple(map(Fraction, (230, 310, 395, 565)))


@pytest.mark.parametrize("call", ["cooling", "heating", "fan"])
def test_every_setting_of_the_bank_is_counted(call: str) -> None:
    """Corvane has eight switches: 256 settings, those on rows that aren't to be used left out."""
    table, _ = load("corvane-k14")
    engine = Engine(table, Facts(model="080"))
    space = space_of(engine, None, {}, range(len(table.parts)))
    point = engine.asked(table.calls[call], table.calls[call].last)
    one_by_one = {Board(engine, setting).airflow(point) for setting in product((0, 1), repeat=8)}
    assert set(reachable(engine, space, point)) == {x for x in one_by_one if isinstance(x, Fraction)}
