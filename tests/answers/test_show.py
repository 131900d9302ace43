"""What `show` prints beside charts and formulas: all that a page says of facts, selectors, leads and footnotes can be
held beside it."""

from __future__ import annotations

from fractions import Fraction

from selector.answers.show import lines
from selector.answers.words.fold import Raw
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Water coil, models: 24 36}
units: {airflow: m3/h, temperature: C, heat: kW}
facts:
  water temperature: {range: 40 to 80}
  kit: {values: yes no}
board:
  SW1: {kind: switches, count: 3, factory: all off, note: set with the power off}
  SW1-2: {kind: switch, declares: outdoor kind, says: {off: cool only, on: heat pump}}
  SW1-3: {kind: switch, leave at: {36: on}, not used: 24, note: for the 36 alone}
  D1: {kind: dial, positions: 1 2 3, not used: 3, factory: {24: 1, 36: 2}}
  M1: {kind: taps, positions: 1 2, leads: Y1 G, factory: 1 2, may share: {Y1 G: {D1: 2}}}
charts:
  coil airflow:
    set: SW1-1 D1
    gives: airflow
    notes: |
      (a)  as shipped
      *    only kit yes (needs the kit)
    rows: |
      OFF 1 (a)  900
      ON  1     1000 *
      -   2     1100
  tap airflow: {set: M1, gives: airflow, rows: 1 500; 2 600}
  when heat pump: {set: outdoor kind, gives: trim, rows: cool only none; heat pump +5 %}
calls:
  coil: {terminals: W, for: heating, airflow: [coil airflow, when heat pump], heat: [heat output: 12]}
  cooling: {terminals: Y1, lead: Y1, airflow: tap airflow}
  fan: {terminals: G, lead: G, airflow: tap airflow}
"""
TABLE = build_table(source_from_text(PAGE), "page")[0]


def test_all_that_is_said_of_facts_selectors_and_footnotes_is_printed() -> None:
    """Read off the text above by hand."""
    blocks = lines(TABLE, None, wide=False, columns=80)
    said = [line.strip() for b in blocks for line in (b.lines if isinstance(b, Raw) else [b]) if isinstance(line, str)]
    for wanted in (
        "water temperature: 40 to 80",
        "kit: yes, no",
        "SW1: set with the power off",
        "SW1-2: tells the board outdoor kind (OFF cool only, ON heat pump)",
        "SW1-3: model 36: leave ON",
        "SW1-3: not used with model 24",
        "SW1-3: for the 36 alone",
        "D1: not used: 3",
        "D1: factory setting by model: 24 1, 36 2",
        "D1  dial: not known",
        "M1-Y1 and M1-G may share a tap (when D1 is 2)",
        "motor lead: M1-Y1",
        "OFF    1 a  900",
        "ON     1    1000 *",
        "a  as shipped",
        "*  only kit yes (needs the kit)",
    ):
        assert wanted in said, wanted


def test_a_bare_figure_of_heat_in_a_step_is_in_the_unit_of_the_file() -> None:
    """1 Btu is 1055.05585262 J (NIST SP 811, international table): 12 kW x 3600 s / that."""
    setting = setting_of(read_marks(["SW1=000", "D1=1", "M1=1 2"], TABLE), TABLE)
    answers = evaluate(Engine(TABLE, Facts(values={"kit": "yes"})), setting)
    assert answers["coil"].stages[0].heat == 12_000 * 3600 / Fraction("1055.05585262")
