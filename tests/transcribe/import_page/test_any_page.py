"""Pages torn, doubled, shifted and spotted at random: each is read with its blanks marked or refused in words, and
no figure is made up."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from selector.problems import Refused
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.import_page.blocks import blocks_of
from selector.transcribe.import_page.import_page import answers_of, beside, page_from_bytes
from selector.transcribe.import_page.understand import Hints, Understood, understand

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = [
    p.read_text(encoding="utf-8")
    for p in sorted([*(EXAMPLES / "manual").glob("*.txt"), *(EXAMPLES / "ragged").glob("*.[tc]*")])
]
SPOTS = (
    "|",
    ",",
    "  ",
    "\n",
    "\t",
    ";",
    "X",
    "-",
    '"',
    "SW1",
    "J1-2",
    "(",
    ")",
    "%",
    "*",
    "0",
    "ON",
    "\x01",
    "\u2022",
    "1,020",
    "do not use",
)


def torn(page: str, rnd: random.Random) -> str:
    """The page with up to eight mishaps."""
    for _ in range(rnd.randint(1, 8)):
        at = rnd.randrange(max(1, len(page)))
        lines = page.split("\n")
        line = rnd.randrange(len(lines))
        page = rnd.choice(
            (
                page[:at] + page[at + rnd.randint(1, 30) :],
                page[:at] + rnd.choice(SPOTS) + page[at:],
                "\n".join([*lines[:line], lines[line], *lines[line:]]),
                "\n".join([*lines[:line], *lines[line + 1 :]]),
                page.replace("  ", " ", rnd.randint(1, 20)),
                page + rnd.choice(PAGES),
            )
        )
    return page


def understood(page: str) -> list[Understood]:
    """The charts of a page, those left out that are refused."""
    out = []
    for piece in blocks_of(page_from_bytes(page.encode(), "page")):
        try:
            out.append(understand(piece, Hints(gives=(), airflow="", across=("model",))))
        except Refused:
            continue
    return out


@pytest.mark.parametrize("seed", range(80))
def test_any_page_is_read_or_refused_and_nothing_is_made_up(seed: int) -> None:
    rnd = random.Random(seed)
    page = torn(rnd.choice(PAGES), rnd)
    try:
        charts = understood(page)
        known, offered = answers_of(charts) if charts else ({}, {})
    except Refused:
        return
    given = re.sub(r"[^\d.]", "", page)
    for chart in charts:
        assert all(right for _, right in beside(chart))
        for cell in (c for row in chart.rows for c in row.cells):
            assert re.sub(r"[^\d.]", "", cell) in given
    text = draft_text(draft_of({**offered, **known}))
    assert text.startswith("format: ")
