"""A heater that the page names by a word and rates otherwise: Quillhaven page 7 prints 4.8, 7.7, 9.6, 14.4, 19.2 kW for
5, 8, 10, 15, 20; Saltmarsh's J4 is its kW."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.job.house.job_facts import Known
from selector.job.targets.house import House
from selector.problems import Refused
from selector.units import BTUH_PER_KW
from tests.helpers.judging import house

VOLTS = """format: selector table 1
unit: {title: T}
facts:
  supply voltage: {values: 240 208}
board:
  J3: {kind: jumper, positions: 0 5 10, factory: 0, declares: heater}
charts:
  kw:
    set: J3
    across: {supply voltage: 240 208}
    gives: heater power
    rows: |
      0 none none
      5 5.0 3.75
      10 10.0 7.5
  a: {set: J3, gives: airflow, rows: 0 none; 5 700; 10 900}
calls:
  heater: {terminals: W, airflow: a, heat: kw}
"""


def of(table: str, heat: str, more: str = "") -> House:
    return house(f"table: {table}\noutdoor unit: {{capacity: 3 tons}}\nheat: {{{heat}}}\n{more}")


@pytest.mark.parametrize(
    ("table", "typed", "word", "kilowatts"),
    [
        ("quillhaven-p", "9.6 kW", "10", "9.6"),
        ("quillhaven-p", "10 kW", "10", "9.6"),
        ("quillhaven-p", "14.4 kW", "15", "14.4"),
        ("saltmarsh-12", "10 kW", "10", "10"),
    ],
)
def test_the_word_sets_the_selector_and_the_printed_power_heats(
    table: str, typed: str, word: str, kilowatts: str
) -> None:
    for key in ("heater", "auxiliary"):
        one = of(table, f"kind: heat pump + auxiliary, {key}: {typed}")
        known: Known = one.known
        assert str(known.facts.values["heater"]) == word
        assert one.job.heat is not None
        there = one.job.heat.heater or one.job.heat.most_auxiliary
        assert there is not None
        assert there.value / BTUH_PER_KW == pytest.approx(float(kilowatts))
        assert any(note.code == "heater by the page" for note in one.notes) == (typed == "10 kW" != f"{kilowatts} kW")


def test_a_heater_that_is_not_printed_is_asked_for_by_the_nearest() -> None:
    with pytest.raises(Refused) as refused:
        of("quillhaven-p", "heater: 9 kW")
    (problem,) = refused.value.problems
    assert "10 (9.6 kW)" in problem.message
    assert "heater: 10" in problem.help


def test_the_word_typed_beside_its_power_is_no_contradiction() -> None:
    assert of("quillhaven-p", "heater: 9.6 kW", "facts: {heater: 10}\n").known.facts.values["heater"] == "10"
    with pytest.raises(Refused, match="contradict"):
        of("quillhaven-p", "heater: 9.6 kW", "facts: {heater: 15}\n")


def test_a_heater_chart_by_jumper_and_voltage_asks_no_voltage_of_a_typed_heater(tmp_path: Path) -> None:
    """By hand: the page prints 10.0 kW at 240 V for jumper 10; 10 kW is no supply voltage."""
    page = tmp_path / "page.yaml"
    page.write_text(VOLTS, encoding="utf-8")
    values = of(str(page), "heater: 10 kW").known.facts.values
    assert "supply voltage" not in values
