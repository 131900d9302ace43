"""The rows a chart already begun still lacks, as text to paste below it."""

from __future__ import annotations

import re
from itertools import pairwise, product

from selector.problems import Problem, Refused, close_match
from selector.table.from_file.build import build_unfinished
from selector.table.from_file.rows import TO_TYPE
from selector.table.model.table import ANY, Chart, Table
from selector.table.source import Source
from selector.transcribe.typed.chart import MOST_ROWS, laid_out


def missing_rows(source: Source, chart: str) -> tuple[str, ...]:
    """The lines of the rows that a chart of a file lacks, indented like its own, every figure still to type; none where
    it has them all.

    What is still to type elsewhere in the file doesn't matter, nor do its calls. Refused for a file with other
    problems, or a chart that isn't there.
    """
    table = build_unfinished(source, "")
    found = table.charts.get(chart)
    if found is None:
        near = close_match(chart, list(table.charts))
        help = f"did you mean {near}?" if near else f"its charts: {', '.join(table.charts)}"
        raise Refused(
            [
                Problem(
                    file=source.file,
                    line=0,
                    column=0,
                    code="no-such-chart",
                    message=f"there is no chart called {chart}",
                    help=help,
                )
            ]
        )
    return _lines(table, found)


def _lines(table: Table, chart: Chart) -> tuple[str, ...]:
    domains = []
    for key in chart.keys:
        idle = table.parts[key.part].idle if key.kind == "part" else frozenset()
        absent = table.parts[key.part].absent if key.kind == "part" else ""
        domains.append(
            [
                i
                for i, v in enumerate(key.values)
                if i not in idle and v not in ("parked", absent or None, "off pins", "unplugged")
            ]
        )
    count = 1
    for domain in domains:
        count *= len(domain)
    if count > MOST_ROWS * 16:
        message = f"{chart.name} has {count:,} combinations, more than any page prints"
        raise Refused(
            [
                Problem(
                    file=table.file,
                    line=chart.line,
                    column=1,
                    code="too-many-rows",
                    message=message,
                    help="type the rows the page has",
                )
            ]
        )
    masks: dict[tuple[int, ...], set[tuple[int, ...]]] = {}
    for row in chart.rows:
        mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
        masks.setdefault(mask, set()).add(tuple(row.positions[i] for i in mask))
    lacking = [
        c
        for c in _ordered(chart, domains)
        if not any(tuple(c[i] for i in mask) in have for mask, have in masks.items())
    ]
    spelling, together = _spelling(table, chart)
    blanks = " ".join(TO_TYPE for _ in range(chart.cells_per_row))
    rows = []
    for combination in lacking:
        marks = tuple(
            spelling.get((k, p), key.values[p]) for k, (key, p) in enumerate(zip(chart.keys, combination, strict=True))
        )
        rows.append((("".join(marks),) if together else marks, blanks))
    first = chart.rows[0].line
    pad = re.match(r"\s*", table.lines[first - 1])
    indent = pad.group() if pad and "rows:" not in table.lines[first - 1] else " " * 6
    return tuple(indent + line for line in laid_out(rows))


def _ordered(chart: Chart, domains: list[list[int]]) -> list[tuple[int, ...]]:
    """All combinations in the order that the chart's own rows go: the first position or the last changes fastest."""
    full = [r.positions for r in chart.rows if ANY not in r.positions]
    first = sum(1 for a, b in pairwise(full) if a[0] != b[0])
    last = sum(1 for a, b in pairwise(full) if a[-1] != b[-1])
    if first > last:
        return [tuple(reversed(c)) for c in product(*reversed(domains))]
    return list(product(*domains))


def _spelling(table: Table, chart: Chart) -> tuple[dict[tuple[int, int], str], bool]:
    """How the chart's own rows write each position, and whether they run them together; a mark they don't show is
    written as another key's is."""
    out: dict[tuple[int, int], str] = {}
    alike: dict[tuple[tuple[str, ...], int], str] = {}
    together = False
    count = len(chart.keys)
    for row in chart.rows:
        words = table.lines[row.line - 1].replace("|", " ").split()
        if not words or "rows:" in words[0]:
            continue
        marks = words[:count]
        if count > 1 and len(words[0]) == count and all(_is_mark(table, chart, k, c) for k, c in enumerate(words[0])):
            marks, together = list(words[0]), True
        for k, (mark, p) in enumerate(zip(marks, row.positions, strict=False)):
            if p != ANY and mark != "-":
                out.setdefault((k, p), mark)
                alike.setdefault((chart.keys[k].values, p), mark)
    for k, key in enumerate(chart.keys):
        for p in range(len(key.values)):
            if (k, p) not in out and (key.values, p) in alike:
                out[k, p] = alike[key.values, p]
    return out, together


def _is_mark(table: Table, chart: Chart, k: int, mark: str) -> bool:
    key = chart.keys[k]
    return mark == "-" or (mark in table.parts[key.part].marks if key.kind == "part" else mark in key.values)
