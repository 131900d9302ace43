"""What would make it fit is said by found as by plan: worked by hand."""

from __future__ import annotations

import pytest

from tests.cli.test_cli import run

FACTS = ("corvane-k14", "model=080", "heat input=100 MBH", "rise=35 to 65 F", "ceiling filter velocity=300 fpm")


@pytest.mark.parametrize(
    ("area", "said"),
    [
        # 100,000 x .95 / (1.08 x 65) = 1,353.3 cfm at least; 576 in2 = 4 ft2 x 300 = 1,200 cfm at most: 4.51 ft2
        ("576 in2", True),
        # 720 in2 = 5 ft2 x 300 = 1,500 cfm; SW1-1 OFF and SW1-5 ON: 1,350 x 1.06 = 1,431 cfm (page 23)
        ("720 in2", False),
    ],
)
def test_where_nothing_fits_the_least_face_is_said(area: str, said: bool) -> None:
    done = run("found", *FACTS, f"ceiling filter area={area}", "found SW1=00000000")
    assert done.returncode == 1, done.stderr
    assert ("What would make it fit" in done.stdout) is said
    assert ("filter of at least 4.51 ft2" in done.stdout) is said
