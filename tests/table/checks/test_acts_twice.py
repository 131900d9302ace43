"""A chart after `call X` that acted in X is remarked, except a limit that what stands between may cross again."""

from __future__ import annotations

import pytest

from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

TABLE = """format: selector table 1
unit: {title: One call begins with another}
board:
  D1: {kind: dial, positions: 1 2, factory: 1}
charts:
  coil: {set: D1, gives: airflow, rows: 1 400; 2 800}
  low: {gives: least airflow, rows: 500}
  high: {gives: most airflow, rows: 700}
calls:
  cooling: {terminals: Y1, airflow: [coil, low, high]}
  dry: {terminals: Y1 DH, airflow: [call cooling, STEPS]}
"""


@pytest.mark.parametrize(
    ("steps", "remarked"),
    [
        ("low", True),
        ("share: 50 %, low", False),  # 500 x 50 % is below the least of 500 again
        ("trim: +5 %, high", False),  # 700 x 105 % is above the most of 700 again
        ("share: 50 %, high", True),  # a share only lowers
        ("offset: +20, low, high", False),  # an offset goes either way
    ],
)
def test_a_limit_is_remarked_where_nothing_crosses_it_again(steps: str, remarked: bool) -> None:
    _, report = build_table(source_from_text(TABLE.replace("STEPS", steps)), "a")
    assert [p.code for p in report.problems if p.code == "acts-twice"] == ["acts-twice"] * remarked
