"""The figures of a page typed in Markdown, each under its head beside its positions, and how an import of it fares."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from selector.problems import Refused
from selector.transcribe.import_page.blocks import blocks_of
from selector.transcribe.import_page.import_page import read_page
from selector.transcribe.import_page.understand import Hints, Understood, understand


@dataclass
class PrintedFigure:
    """A figure of the page: the marks left of it, the words above it, whether it is a rise, and what became of it."""

    marks: str
    head: frozenset[str]
    rise: bool
    figure: str
    state: str = "left out"


@dataclass
class Fate:
    """Counts of a page's figures; `wrong` names those that the import has where the page has others."""

    kept: int = 0
    asked: int = 0
    left_out: int = 0
    wrong: list[str] = field(default_factory=list)


def plain(text: str) -> str:
    """A figure without commas, leading zeros and unit, "" for anything else."""
    bare = re.sub(r"(?<=\d) ?(?:\(\w\)|[*†‡§¹²³]+)$", "", text.strip().strip("*").strip())
    m = re.fullmatch(r"([+\-−]?)(\d[\d,]*(?:\.\d+)?) ?(?:%|s|sec|cfm|L/s)?", bare)
    if not m:
        return ""
    return ("-" if m.group(1) in ("-", "−") else "") + (m.group(2).replace(",", "").lstrip("0") or "0")


def words(text: str) -> frozenset[str]:
    """The words of a head, numbers without leading zeros: spreadsheets drop them; `M 9` is `M9`, as a page in narrow
    type has it."""
    close = re.sub(r"\b([a-z]{1,3}) (?=\d)", r"\1", text.lower())
    return frozenset(w.lstrip("0") or "0" for w in re.findall(r"[a-z0-9.]+", close))


def signs(marks: str) -> str:
    """Positions with every dash alike."""
    return re.sub(r"[-\u2212\u2013]|minus", "\u2013", marks)


def printed(markdown: str) -> list[PrintedFigure]:
    """The figures of all tables of a page."""
    charts: list[list[list[str]]] = []
    inside = False
    for line in markdown.split("## Worked answers")[0].split("\n"):
        if not line.lstrip().startswith("|"):
            inside = False
            continue
        cells = [c.strip() for c in line.strip().removeprefix("|").removesuffix("|").split("|")]
        if not inside:
            charts.append([])
        inside = True
        if not set("".join(cells)) <= set("-: "):
            charts[-1].append(cells)
    return [figure for chart in charts for figure in _figures(chart)]


def _figures(chart: list[list[str]]) -> list[PrintedFigure]:
    heads, rows = chart[0], chart[1:]
    if len(rows) > 1 and not (rows[0][0] and heads[0]) and not any(plain(c) for c in rows[0]):
        outer, both = "", []
        for upper, lower in zip(heads, rows[0], strict=True):
            outer = upper or outer
            both.append(f"{outer} {lower}".strip() if lower and outer else lower or upper)
        heads, rows = both, rows[1:]
    out = []
    for row in rows:
        for k, cell in enumerate(row):
            if k and plain(cell):
                start = max(g for g in range(k) if g == 0 or heads[g] == heads[0])
                marks = re.sub(r"\(\w\)|[*†]", "", "".join(row[start:k])).lower().replace(" ", "")
                rise = "rise" in heads[k].lower()
                head = words(heads[k]) | (words(heads[k - 1]) if rise else frozenset())
                out.append(PrintedFigure(marks, head, rise, plain(cell)))
    return out


def understood(path: Path) -> list[Understood]:
    """The charts of a page as another program gives it; those left out that are refused."""
    out = []
    for block in blocks_of(read_page(str(path))):
        try:
            out.append(understand(block, Hints(gives=(), airflow="")))
        except Refused:
            continue
    return out


def fate(markdown: str, path: Path) -> Fate:
    """What became of the figures of a page typed in Markdown."""
    return fate_of(printed(markdown), path)


def fate_of(figures: Sequence[PrintedFigure], path: Path) -> Fate:
    """What became of these figures of a page."""
    wrong: list[str] = []
    for chart in understood(path):
        columns: list[tuple[str, ...]] = [()]
        for _, level in chart.heads:
            columns = [(*c, w) for c in columns for w in level]
        unknown = any(w.startswith("column") for c in columns for w in c)
        named = not unknown and "_" not in chart.set and all(name != "_" for name, _ in chart.heads)
        for row in chart.rows:
            marks = "".join(row.marks).lower().replace(" ", "")
            for n, cell in enumerate(row.cells if not row.word else ()):
                if not plain(cell):
                    continue
                over = frozenset(w for word in columns[n // len(chart.gives)] for w in words(word))
                rise = chart.gives[n % len(chart.gives)] == "temperature rise"
                found = next((f for f in figures if _is(f, marks, over, cell, unknown=unknown, rise=rise)), None)
                if found is None:
                    wrong.append(f"{chart.name}, {' '.join(row.marks)}, {' '.join(sorted(over))}: {cell}")
                else:
                    found.state = "kept" if named and "_" not in row.marks else "asked"
    states = [f.state for f in figures]
    return Fate(states.count("kept"), states.count("asked"), states.count("left out"), wrong)


def _is(figure: PrintedFigure, marks: str, over: frozenset[str], cell: str, *, unknown: bool, rise: bool) -> bool:
    if figure.state != "left out" or figure.figure != plain(cell):
        return False
    if not signs(figure.marks).startswith(signs(marks)) and "_" not in marks:
        return False
    return unknown or (over <= figure.head and (rise == figure.rise or not over))
