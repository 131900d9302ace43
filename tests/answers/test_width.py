"""Every answer folds at 40, 80 and 120 columns: no line is wider than the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.answers.words.fold import width_of
from tests.helpers.program import program

ROOT = Path(__file__).parents[2]
ANSWERS = {
    "list": ["list"],
    "show switches": ["show", "corvane-k14", "--model", "080"],
    "show menus": ["show", "quillhaven-p"],
    "show long charts": ["show", "brindlemoor-16s"],
    "find": ["find", "corvane-k14", "cooling=1200", "--model", "080", "--tons", "3"],
    "find drawn": ["find", "quillhaven-p", "cooling high=1200", "--draw", "all"],
    "find, nothing fits": [
        *["find", "corvane-k14", "cooling=1200", "heating=rise 60", "--model", "080"],
        *["--hold", "SW1-1=on", "--hold", "SW1-5=on", "--hold", "SW1-6=on"],
    ],
    "find, unknown": ["find", "corvane-k14", "cooling=1200"],
    "decode": ["decode", "corvane-k14", "SW1=10010?00", "--model", "080"],
    "decode, other": ["decode", "saltmarsh-12", "J1=2 J2=b J3=1 J4=5 J5=1 LK1=whole", "--fact", "heater=15"],
    "compare": ["compare", "corvane-k14", "fenwarren-4m"],
    "review": ["review", "brindlemoor-16s"],
}


@pytest.mark.parametrize("columns", [40, 80, 120])
@pytest.mark.parametrize("name", ANSWERS)
def test_no_line_is_wider_than_the_terminal(name: str, columns: int) -> None:
    done = program(*ANSWERS[name], columns=columns)
    assert done.returncode in (0, 1), done.stderr
    lines = done.stdout.splitlines()
    assert len(lines) >= 1
    assert not [line for line in lines if width_of(line) > columns and len(line.split()) > 1]


def test_nothing_fits_reads_as_it_should() -> None:
    """Corvane pages 23 and 24, model 080: SW1-1 ON 1,180 cfm, trim -12 %; 76,000 / (1.08 x 1,038.4) = 67.8 F."""
    done = program(*ANSWERS["find, nothing fits"], columns=80)
    assert done.returncode == 1
    assert done.stdout.splitlines() == [
        "Corvane two-stage gas furnace, model 080 (manual K-14, pages 23-24)",
        "Nothing fits with SW1-1, SW1-5 and SW1-6 held ON.",
        "Release any one of them and a setting fits.",
        "",
        "Closest (do not set): SW1=10001100",
        "  heating first and second: rise 67.8 F, 2.8 F over the plate's 65 F",
        "  cooling second  1,214 cfm  target 1,200",
        "  heating second  1,038 cfm  target rise 60 F",
    ]
