"""One run shows the mistakes of every layer: spelling, keys, rows, names, and what only a whole table shows. The places
were marked by hand in the text."""

from __future__ import annotations

import pytest

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

TEXT = """\
format: selector table 1
unit: {title: Trial unit, models: 24 36}
board:
  SW1: {kind: switches, count: 4, factory: 0001}
  J1: {kind: jumper, positions: A, B, factory: A}
  D1: {kind: dial, positions: 0 to 3}
charts:
  fan airflow:
    set: SW1-1
    gives: airflow
    rows: |
      OFF  1,200
      ON   90O
  jumper trims:
    set: J1
    gives: trim
    rows: |
      A none
      B +8 %
  dial:
    set: D1
    gives: airflow
    rows: |
      0 100
      0 200
  shares:
    set: SW1-3
    gives: share
    rows: |
      OFF 120 %
      ON -
calls:
  cooling:
    terminals: Y1
    airflow: [fan airflow, jumper trims]
  fan: {terminals: G, airflow: [call coolin, share: 0.5]}
  two: {terminals: W, airflow: [airflow: 700, airflow: 800]}
  circle: {terminals: O, airflow: call circle}
  colour: {terminal: O, airflow: dial}
  after: {terminals: B, airflow: [call fan, trim: +5 %]}
"""
PLACES = {
    (5, "comma-in-braces"),
    (12, "thousands-comma"),
    (13, "letter-for-digit"),
    (25, "overlapping-rows"),
    (30, "share-over-100"),
    (36, "unknown-call"),
    (36, "percent-as-fraction"),
    (37, "two-starts"),
    (38, "circle"),
    (39, "unknown-key"),
}


def told(text: str) -> set[tuple[int, str]]:
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(text), "trial")
    found = [(p.line, p.code) for p in refused.value.problems]
    assert len(found) == len(set(found))
    return set(found)


def test_one_run_shows_the_mistakes_of_every_layer() -> None:
    """Nothing is told of J1 and of the trims that need it: its line alone is to be mended."""
    assert told(TEXT) == PLACES


def test_the_same_is_told_without_the_slip_of_spelling() -> None:
    assert told(TEXT.replace("A, B,", "A B,")) == {at for at in PLACES if at[0] != 5}


def test_a_list_of_models_with_a_slip_hides_nothing_else() -> None:
    """The models are not known then, and no model is called unknown for that."""
    text = """\
format: selector table 1
unit:
  title: Trial unit
  models: 24 36 # both of them
board:
  J1: {kind: jumper, positions: A B, factory: {24: A, 36: B}}
charts:
  fan airflow:
    set: J1
    across: {model: 24 36}
    gives: airflow
    rows: |
      A 800 1,000
      B 700 900
calls:
  fan: {terminals: G, airflow: fan airflow}
"""
    assert {(4, "comment-after-text"), (13, "thousands-comma")} <= told(text)
    assert not {code for _, code in told(text)} & {"unknown-model", "unknown-head"}
