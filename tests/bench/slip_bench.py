"""The slip exam put to the review of slips. Run: python -m tests.bench.slip_bench [--files N]

2,400 slipped files (or N, shared out among the kinds), 300 clean ones (N where that is less). Found: one of the first
three findings points at
a cell of the slip: it looks at it first, or it is about two places at most and one is such a cell. A figure of a call's
step is found by its line.
False findings are all those on clean tables. The right correction comes first where the first correction of that
finding, carried out, gives
the clean text back (blanks apart). What counts as findable stands in `tests/helpers/slip_exam_judge.py`; the rest is
counted apart.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from tabulate import tabulate

from selector.problems import Refused
from selector.review.review import review
from selector.table.build.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text
from tests.helpers.slip_exam import Question, clean_file, question, questions
from tests.helpers.slip_exam_kinds import KINDS

CLEAN = 300
FIRST = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Result:
    """How one slipped file went. `refused`: it doesn't load, and is no question; `place`: which finding met it, 0
    for none."""

    kind: str
    refused: bool = False
    changes_airflow: bool = False
    findable: bool = False
    reasons: tuple[str, ...] = ()
    quantity: str = ""
    found: bool = False
    place: int = 0
    corrected: bool = False
    seed: int = 0
    step: bool = False


def loaded(text: str) -> Table | None:
    """The table of a text; None where it is refused."""
    try:
        table, report = build_table(source_from_text(text), "exam")
    except Refused:
        return None
    return None if any(p.severity == "problem" for p in report.problems) else table


def with_edits(text: str, edits: Iterable[tuple[int, int, str, str]]) -> str:
    """The text after replacements (line, column, old, new), carried out from the end."""
    lines = text.split("\n")
    for line, column, old, new in sorted(edits, reverse=True):
        there = lines[line - 1]
        lines[line - 1] = there[: column - 1] + new + there[column - 1 + len(old) :]
    return "\n".join(lines)


def same(a: str, b: str) -> bool:
    """Whether two texts are the same, blanks within lines apart."""
    return [line.split() for line in a.split("\n")] == [line.split() for line in b.split("\n")]


def mark(question: Question) -> Result:
    """One question put to the review."""
    table = loaded(question.text)
    if table is None:
        return Result(kind=question.kind, refused=True)
    cells = {(s.line, s.column) for s in question.spots if not s.step}
    lines = {s.line for s in question.spots if s.step}
    at = 0
    corrected = False
    for n, finding in enumerate(review(table).findings[:FIRST], 1):
        hit = [(p.line, p.column) in cells or p.line in lines for p in finding.places]
        if hit and (hit[0] or (len(hit) <= 2 and any(hit))):
            at = n
            first = finding.corrections[0].edits if finding.corrections else ()
            edits = [(e.place.line, e.place.column, e.place.text, e.to) for e in first]
            corrected = bool(edits) and same(with_edits(question.text, edits), question.clean)
            break
    return Result(
        kind=question.kind,
        changes_airflow=question.changes_airflow,
        findable=question.findable,
        reasons=question.reasons,
        quantity=question.quantity,
        found=at > 0,
        place=at,
        corrected=corrected,
        seed=question.seed,
        step=bool(lines),
    )


def ask(asked: tuple[str, int]) -> Result | None:
    """The question of a kind and seed; None where there is none."""
    found = question(*asked)
    return None if found is None else mark(found)


def on_clean(seed: int) -> Counter[str] | None:
    """Findings of each code on a clean table; None where it doesn't load."""
    table = loaded(clean_file(seed))
    return None if table is None else Counter(f.code for f in review(table).findings)


def percent(part: int, whole: int) -> str:
    """A share for people."""
    return f"{100 * part / whole:.1f} %" if whole else "-"


def line_of(name: str, results: Sequence[Result]) -> list[str | int]:
    """A line of the report."""
    asked = [r for r in results if not r.refused]
    good = [r for r in asked if r.findable]
    found = [r for r in good if r.found]
    apart = [r for r in asked if not r.findable]
    small = [r for r in apart if not r.changes_airflow]
    right = sum(r.corrected for r in found)
    return [
        name,
        len(asked),
        len(results) - len(asked),
        len(good),
        percent(len(found), len(good)),
        percent(sum(r.place == 1 for r in good), len(good)),
        percent(right, len(found)),
        len(small),
        len(apart) - len(small),
        percent(sum(r.found for r in apart), len(apart)),
    ]


def main() -> None:
    """Print the report."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--files", type=int, default=2400)
    parser.add_argument("--start", type=int, default=0)
    parser.add_argument("--misses", action="store_true", help="list the findable slips that were not found")
    chosen = parser.parse_args()
    each = -(-chosen.files // len(KINDS))
    with ProcessPoolExecutor(2) as pool:
        asked = [(kind, q.seed) for kind in KINDS for q in questions(kind, each, chosen.start)]
        everything = [r for r in pool.map(ask, asked, chunksize=4) if r is not None]
        seeds = range(chosen.start, chosen.start + min(CLEAN, chosen.files))
        clean = list(pool.map(on_clean, seeds, chunksize=20))
    out = [line_of(kind, [r for r in everything if r.kind == kind]) for kind in KINDS]
    out.append(line_of("all", everything))
    heads = [
        "kind",
        "files",
        "refused",
        "findable",
        "in first 3",
        "first",
        "right correction",
        "apart: under 5 %",
        "apart: irregular",
        "apart, found",
    ]
    sys.stdout.write(tabulate(out, headers=heads, disable_numparse=True) + "\n\n")
    good = [r for r in everything if r.findable]
    why = sorted({reason for r in good for reason in r.reasons})
    by_reason = [
        [w, len(s), percent(sum(r.found for r in s), len(s))] for w in why if (s := [r for r in good if w in r.reasons])
    ]
    in_calls = [r for r in good if r.step]
    by_reason.append(["(in a step of a call)", len(in_calls), percent(sum(r.found for r in in_calls), len(in_calls))])
    sys.stdout.write(
        tabulate(by_reason, headers=["stands out by", "findable", "in first 3"], disable_numparse=True) + "\n\n"
    )
    counted = [c for c in clean if c is not None]
    total = sum(sum(c.values()) for c in counted)
    codes = ", ".join(f"{code} {n}" for code, n in sum(counted, Counter()).most_common())
    sys.stdout.write(
        f"clean tables {len(counted)}, refused {len(clean) - len(counted)}; false findings {total},"
        f" {total / max(len(counted), 1):.3f} a table\n"
    )
    sys.stdout.write(f"with a finding: {sum(bool(c) for c in counted)}; by code: {codes or 'none'}\n")
    if chosen.misses:
        for r in everything:
            if r.findable and not r.found:
                sys.stdout.write(f"{r.kind} {r.seed}: {r.quantity}; {', '.join(r.reasons)}\n")


if __name__ == "__main__":
    main()
