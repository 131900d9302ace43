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


def test_a_mistake_without_danger_says_none(tmp_path: Path) -> None:
    job = tmp_path / "house.yaml"
    job.write_text(JOB)
    assert "DANGER" not in program("measure", str(job), "outlet limit=180 F").stderr
