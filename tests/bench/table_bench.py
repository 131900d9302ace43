"""A table of 5,000 rows read and checked, beside PyYAML's C loader on the same rows written as lists. Run: python -m
tests.bench.table_bench

Medians of 21 turns; each turn does both, so that whatever else the machine does meets both alike. Three kinds of rows:
marks of dials with figures of
three models, a bank of switches in words, and percents with their signs, units and notes. Last, how the time grows to
60,000 rows.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice, product
from random import Random
from statistics import median
from time import perf_counter

import yaml

from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

TURNS = 21
ROWS = 5_000
MANY = 60_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Rows:
    """One kind of rows: what stands above them, and the words of each."""

    name: str
    head: str
    rows: tuple[tuple[str, ...], ...]

    def text(self) -> str:
        """The table as it is typed."""
        body = "".join(f"      {'  '.join(row)}\n" for row in self.rows)
        return f"{self.head}    rows: |\n{body}calls:\n  cooling: {{airflow: [{self._steps()}]}}\n"

    def lists(self) -> str:
        """The same with each row as a list."""
        body = "".join(f"      - [{', '.join(row)}]\n" for row in self.rows)
        return f"{self.head}    rows:\n{body}calls:\n  cooling: {{airflow: [{self._steps()}]}}\n"

    def _steps(self) -> str:
        return "airflow: 1200, chart" if "gives: trim" in self.head else "chart"


def dials(count: int) -> Rows:
    """Four dials, three models, an airflow in each cell."""
    random = Random(1)
    marks = ["ABCDEFGHIJKLMNOPQRST"[: count // 250], "0123456789", "abcde", "PQRST"]
    board = "".join(f"  D{i}: {{kind: dial, positions: {' '.join(m)}}}\n" for i, m in enumerate(marks, 1))
    head = (
        "format: selector table 1\nunit: {title: Dials, models: 060 080 110}\nboard:\n"
        + board
        + "charts:\n  chart:\n    set: D1 D2 D3 D4\n"
        "    across: {model: 060 080 110}\n    gives: airflow\n"
    )
    rows = ((*at, *(str(random.randrange(300, 2400)) for _ in range(3))) for at in islice(product(*marks), count))
    return Rows(name="dials, 3 models", head=head, rows=tuple(rows))


def switches(count: int) -> Rows:
    """A bank of 16 switches read in words."""
    random = Random(2)
    names = " ".join(f"SW1-{i}" for i in range(1, 17))
    head = (
        "format: selector table 1\nunit: {title: Switches}\nboard:\n  SW1: {kind: switches, count: 16}\ncharts:\n "
        f" chart:\n    set: {names}\n    gives: airflow\n"
    )
    rows = (
        tuple(["ON" if n >> i & 1 else "OFF" for i in range(16)] + [str(random.randrange(300, 2400))])
        for n in range(count)
    )
    return Rows(name="16 switches", head=head, rows=tuple(rows))


def trims(count: int) -> Rows:
    """Percents with signs and units; every tenth row has a note."""
    random = Random(3)
    marks = ["ABCDEFGHIJKLMNOPQRST"[: count // 250], "0123456789", "abcde", "PQRST"]
    board = "".join(f"  D{i}: {{kind: dial, positions: {' '.join(m)}}}\n" for i, m in enumerate(marks, 1))
    head = (
        "format: selector table 1\nunit: {title: Trims}\nboard:\n"
        + board
        + "charts:\n  chart:\n    set: D1 D2 D3 D4\n    gives: trim\n"
    )
    rows = (
        (
            *at,
            f"{random.choice('+-')}{random.randrange(1, 30)} %",
            *(["(with the large filter)"] if n % 10 == 0 else []),
        )
        for n, at in enumerate(islice(product(*marks), count))
    )
    return Rows(name="trims with % and notes", head=head, rows=tuple(rows))


def seconds(what: Callable[[], object]) -> float:
    """How long a call takes."""
    gc.collect()
    start = perf_counter()
    what()
    return perf_counter() - start


def main() -> None:
    """Print medians and ratios."""
    sys.stdout.write(f"{'5,000 rows':<26} {'read and checked':>17} {'yaml.load':>10} {'ratio':>6}\n")
    for kind in (dials(ROWS), switches(ROWS), trims(ROWS)):
        text, lists = kind.text(), kind.lists()
        table, _ = build_table(source_from_text(text), "bench")
        assert len(table.charts["chart"].rows) == ROWS
        ours: list[float] = []
        theirs: list[float] = []
        for _ in range(TURNS):
            ours.append(seconds(lambda t=text: build_table(source_from_text(t), "bench")))  # type: ignore[misc]
            theirs.append(seconds(lambda t=lists: yaml.load(t, Loader=yaml.CSafeLoader)))  # type: ignore[misc]
        sys.stdout.write(
            f"{kind.name:<26} {median(ours) * 1000:>14.1f} ms {median(theirs) * 1000:>7.1f} ms"
            f" {median(ours) / median(theirs):6.2f}\n"
        )
    few, many = switches(ROWS).text(), switches(MANY).text()
    times = [
        (
            seconds(lambda: build_table(source_from_text(few), "few")),
            seconds(lambda: build_table(source_from_text(many), "many")),
        )
        for _ in range(5)
    ]
    one, other = (median(t) for t in zip(*times, strict=True))
    sys.stdout.write(f"60,000 rows of switches: {other:.2f} s, {other / one:.1f} times the 5,000\n")


if __name__ == "__main__":
    main()
