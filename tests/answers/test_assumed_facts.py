"""What is taken of a fact that nobody gave stands under Assumed, with the calls that rest on it; once
given, it goes."""

from __future__ import annotations

from typing import Any

import pytest

from tests.helpers.commands_here import said_here

VOLTS = ["J1=10", "J2=none"]
"""Eskerby E, page 7: the heater of 10 kW is rated at 240 V."""


def told(command: str, *words: str) -> tuple[str, Any]:
    answer = said_here(command, *words)
    assert answer is not None
    return answer.text, answer.data


@pytest.mark.parametrize(
    ("command", "words"),
    [
        ("decode", ("eskerby-e", "SW1=010000", *VOLTS)),
        ("find", ("eskerby-e", "cooling=1000", "--fact", "heater fitted=10")),
    ],
)
def test_a_supply_voltage_that_nobody_gave(command: str, words: tuple[str, ...]) -> None:
    text, data = told(command, *words)
    assert "supply voltage: 240 V, as the heater is rated" in text
    assert [one["fact"] for one in data["assumed_facts"]] == ["supply voltage"]
    text, data = told(command, *words, "--volts", "208")
    assert "as the heater is rated" not in text
    assert data["assumed_facts"] == []


def test_a_chart_that_is_identified_by_a_rise() -> None:
    """The reading itself rests on it: 10 kW x 3,412.14 = 34,121 Btu/h at 240 V; / (1.08 x 32 F) = 987 cfm."""
    words = ("identify", f"found=SW1=010000 {' '.join(VOLTS)}", "measured=heater alone rise=32 F minutes=20")
    text, data = told(*words)
    assert "assumed, supply voltage: 240 V, as the heater is rated (heater alone)" in text
    (one,) = data["fits"]
    (taken,) = one["readings"][0]["judged"]["assumed_facts"]
    assert (taken["fact"], taken["value"], taken["calls"]) == ("supply voltage", 240, ["heater alone"])
    text, _ = told(*words, "supply voltage=240 V")
    assert "assumed" not in text


def test_the_job_says_it_as_decode_does() -> None:
    said, _ = told("found", "eskerby-e", "heater=10 kW", f"found=SW1=010000 {' '.join(VOLTS)}")
    assert "supply voltage" in said[said.index("Assumed") :]
    said, _ = told("found", "eskerby-e", "heater=10 kW", f"found=SW1=010000 {' '.join(VOLTS)}", "supply voltage=208 V")
    assert "240 V" not in said
