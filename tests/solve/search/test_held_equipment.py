"""Equipment that is held is what is there: K is delivered, M is held, and no move leads from one to the other. By hand:
M on 1 gives 1,330 cfm, on 2 1,580; the dial is delivered at 1, so 1,580 takes one move, the dial's."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

TABLE = build_table(
    source_from_text(
        """\
format: selector table 1
unit: {title: Furnace}
board:
  P1: {kind: plug, positions: K M, factory: K, declares: motor letter}
  D1: {kind: dial, positions: 1 2, factory: 1}
charts:
  heating airflow: {set: D1, across: {P1: K M}, gives: airflow, rows: 1 820 1330; 2 905 1580}
calls:
  heating: {terminals: W, airflow: heating airflow}
""",
        "page.yaml",
    ),
    "page",
)[0]
AIM = Target(call="heating", stage="", quantity="airflow", low=Fraction(1580), high=Fraction(1580))


def first(held: str, found: str = "") -> tuple[tuple[int | None, ...], int]:
    seen = setting_of(read_marks(found.split(), TABLE), TABLE) if found else None
    held_at = {p: at for p, at in read_marks([held], TABLE).items() if at is not None}
    best = find(Engine(TABLE, Facts()), Request(targets=(AIM,), held=held_at, found=seen)).found[0]
    return best.setting, best.moves


def test_a_held_plug_is_no_move() -> None:
    assert first("P1=M") == ((1, 1), 1)


def test_one_that_was_found_otherwise_is_one() -> None:
    assert first("P1=M", "P1=K D1=1") == ((1, 1), 2)
