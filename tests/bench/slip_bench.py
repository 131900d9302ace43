"""The review of slips on the page structures of `tests/exam/slips`, those worked on and those held back side by side.
Run: python -m tests.bench.slip_bench [--seed N] [--count N] [--held]

The held third is for the last measurement of a change: it is run with `--held` only, with a seed not used before.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from selector.problems import Refused
from selector.review.figures.finding import Finding
from selector.review.review import review
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from tests.exam.slips.exam import Finding as Told
from tests.exam.slips.exam import Report, score


def told(text: str) -> list[Told]:
    """The findings of a table as the exam takes them; for one that is refused its problems, which review prints too."""
    try:
        table, _ = build_table(source_from_text(text), "exam")
    except Refused as refused:
        return [(p.line, p.column, []) for p in refused.problems if p.severity == "problem"]
    return [_as_told(finding) for finding in review(table).findings]


def _as_told(finding: Finding) -> Told:
    first = finding.places[0]
    lines = sorted({place.line for place in finding.places})
    if len(lines) > 1:
        return first.line, lines, [" ".join(e.to for e in c.edits) for c in finding.corrections]
    if finding.code.startswith("odd-") or len(finding.places) == 1:
        at = [[e.to for e in c.edits if e.place == first] for c in finding.corrections]
        return first.line, first.column, [texts[0] for texts in at if texts]
    return first.line, None, [" ".join(e.to for e in c.edits) for c in finding.corrections]


def line_of(name: str, report: Report) -> str:
    """The two figures that count, and how many corrections are right."""
    whole = max(1, report.all.slips)
    return (
        f"{name:14s}{report.clean:4d} clean tables: {report.false_per_table:.2f} false a table;"
        f" {report.all.slips:4d} slips of 5 % or more: {100 * report.found:.1f} % among the first three,"
        f" {100 * report.all.right / whole:.1f} % with the right figure"
    )


def main(words: Sequence[str] | None = None) -> None:
    """Print the figures, and the report of the structures worked on."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=2)
    parser.add_argument("--held", action="store_true")
    chosen = parser.parse_args(words)
    seen = score(told, held=False, seed=chosen.seed, count=chosen.count)
    sys.stdout.write(seen.text() + "\n\n" + line_of("worked on", seen) + "\n")
    if chosen.held:
        unseen = score(told, held=True, seed=chosen.seed, count=chosen.count)
        sys.stdout.write(line_of("held back", unseen) + "\n")


if __name__ == "__main__":
    main()
