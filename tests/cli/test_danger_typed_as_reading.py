"""A danger that is typed where a reading belongs is said before the mistake, with how to type it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.helpers.program import program

JOB = """format: selector job 1
table: corvane-k14
model: 080
outdoor unit: {capacity: 3 tons}
as left: {SW1: '00011000'}
"""


@pytest.mark.parametrize("typed", ["gas smell", "heating second rise=47 F minutes=15 CO=620 ppm"])
def test_the_danger_comes_first(tmp_path: Path, typed: str) -> None:
    job = tmp_path / "house.yaml"
    job.write_text(JOB)
    said = program("measure", str(job), typed)
    assert said.stderr.startswith("DANGER: gas or CO. Everyone out.")
    assert 'seen="gas smell"' in said.stderr
    assert max(map(len, said.stderr.split("Nothing else")[0].split("\n"))) <= 80
    assert said.returncode == 1


def test_what_shuts_the_heat_off_is_not_beside_running_it() -> None:
    """Rise 69 F is over the plate's 65; 2 ft3 in 81 s of 1,037 Btu/ft3 are 92,178 Btu/h on a plate of 80,000: heat off,
    and nobody is told to run it beside that. The rise alone may be looked at while it runs (common practice)."""
    rise = ("model=080", "tons=3", "left=SW1=00000000", "measured=heating second rise=69 F minutes=15")
    clocked = "measured=heating second volume=2 ft3 time=81 s heat of gas=1037 Btu/ft3"
    both = " ".join(program("verify", "corvane-k14", *rise, clocked).stdout.split())
    assert "Heat off. A licensed person" in both
    assert "Run it only" not in both
    assert "Run it only while you measure" in " ".join(program("verify", "corvane-k14", *rise).stdout.split())


def test_beside_gas_nothing_is_to_be_done_but_to_leave() -> None:
    """Common practice, no source: everyone out, and nobody takes out a jumper or looks at a filter first."""
    facts = ("model=080", "tons=3", "found=factory", "seen=gas smell, limit trips, soot")
    said = " ".join(program("found", "corvane-k14", *facts).stdout.split())
    assert "Everyone out" in said
    assert "Touch no switch, no phone inside" in said
    assert "Jumpered?" not in said
    assert "Air out" not in said


def test_a_mistake_without_danger_says_none(tmp_path: Path) -> None:
    job = tmp_path / "house.yaml"
    job.write_text(JOB)
    assert "DANGER" not in program("measure", str(job), "outlet limit=180 F").stderr
