"""A heater that the page names by a word and rates otherwise: Quillhaven page 7 prints 4.8, 7.7, 9.6, 14.4, 19.2 kW for
5, 8, 10, 15, 20; Saltmarsh's J4 is its kW."""

from __future__ import annotations

import pytest

from selector.job.house.job_names import Known
from selector.job.targets.house import House
from selector.problems import Refused
from selector.units import BTUH_PER_KW
from tests.helpers.judging import house


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
