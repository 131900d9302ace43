"""Every figure, mark and word of a page ends in a cell, a head or a note, or is named as left out; none in another's
place. The pages are laid out at random from charts that are known."""

from __future__ import annotations

import re
from collections import Counter
from itertools import product

import pytest

from selector.problems import Refused
from selector.transcribe.import_page.blocks import blocks_of
from selector.transcribe.import_page.import_page import page_from_bytes
from selector.transcribe.import_page.ledger import Ledger, ledger_of
from selector.transcribe.import_page.understand import Hints, Understood, understand
from tests.helpers.page_layouts import KnownChart, page

HINTS = Hints(gives=(), airflow="")


def account(text: str) -> tuple[list[Understood], Ledger]:
    grid = page_from_bytes(text.encode(), "page.txt")
    charts: list[Understood] = []
    why: dict[int, str] = {}
    for block in blocks_of(grid):
        try:
            charts.append(understand(block, HINTS))
        except Refused as refusal:
            why |= {row[0].line: refusal.problems[0].message for row in block.rows}
    for chart in charts:
        why |= dict(chart.lost)
    return charts, ledger_of(grid, [use for chart in charts for use in chart.uses], why)


def figures(text: str) -> Counter[str]:
    """The figures of three digits and more of a text, without their commas."""
    return Counter(re.findall(r"(?<![A-Za-z\d])\d{3,}", re.sub(r"(?<=\d),(?=\d{3})", "", text)))


def in_place(chart: Understood, known: tuple[KnownChart, ...]) -> tuple[int, list[str]]:
    """How many figures of a chart stand where their author knows them, and those that don't."""
    columns = list(product(*(words for _, words in chart.heads)))
    right, wrong = 0, []
    for row in chart.rows:
        for column, cell in zip(columns, row.cells[:: len(chart.gives)], strict=False):
            if not cell.isdecimal():
                continue
            if any(word.startswith("column") for word in column) or "_" in row.marks:
                continue
            fits = [k for k in known if k.labels == chart.set]
            at = {k.figures.get((row.marks, column), "?") for k in fits}
            if cell in at:
                right += 1
            else:
                wrong.append(f"{chart.set} {row.marks} {column}: {cell}, not {at}")
    return right, wrong


@pytest.mark.parametrize("broken", [False, True])
@pytest.mark.parametrize("start", range(0, 660, 20))
def test_every_word_is_accounted_for_and_no_figure_is_in_anothers_place(start: int, broken: bool) -> None:
    for seed in range(start, start + 20):
        laid = page(seed, broken=broken)
        charts, ledger = account(laid.text)
        assert ledger.cells + ledger.heads + ledger.notes + ledger.lost == ledger.words == len(laid.text.split())
        for chart in charts:
            assert in_place(chart, laid.charts)[1] == [], laid.text
        told = [" ".join([*r.marks, *r.cells, r.note]) for c in charts for r in c.rows]
        told += [" ".join(words) for c in charts for _, words in c.heads]
        told += [f"{c.page} {' '.join(c.set)}" for c in charts] + [left.text for left in ledger.left_out]
        told += [why for c in charts for r in c.rows for why in r.left]
        missing = figures(laid.text) - figures("\n".join(told))
        heads = {word for chart in laid.charts for words in chart.heads for word in words}
        assert {m: n for m, n in missing.items() if m not in heads} == {}, laid.text


def test_most_figures_of_whole_pages_are_kept() -> None:
    """A page that nobody broke keeps nine figures in ten; the rest is asked."""
    right = whole = 0
    for seed in range(100):
        laid = page(seed, broken=False)
        charts, _ = account(laid.text)
        right += sum(in_place(chart, laid.charts)[0] for chart in charts)
        whole += sum(1 for k in laid.charts for figure in k.figures.values() if figure)
    assert right / whole > 0.9, f"{right} of {whole}"
