"""How many slips the review finds, by kind: `python -m tests.bench.tuning_bench [TABLES] [FIRST SEED]`.

Measured on the tables of `tuning_tables`, which the thresholds were tuned on with other seeds: an exam of somebody
else's tables says more.
`Case` and `measure` take any exam.
"""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from selector.problems import Refused
from selector.review.figures.finding import corrected
from selector.review.review import review
from selector.table.build.build import build_table
from selector.table.source import source_from_text


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """One slipped file: its text, the text it came from, the kind of slip, line and column of each figure that
    changed."""

    kind: str
    text: str
    clean: str
    places: frozenset[tuple[int, int]]
    findable: bool


@dataclass(slots=True)
class Tally:
    """Counts of one kind: `found` among the first three, `right` where the found one's first correction gives the
    clean file."""

    findable: int = 0
    found: int = 0
    right: int = 0
    hard: int = 0
    unfindable: int = 0
    found_all_the_same: int = 0
    missed: list[str] = field(default_factory=list)


def measure(cases: Iterable[Case]) -> dict[str, Tally]:
    """A tally for each kind. A file that is refused as a hard error counts apart."""
    out: dict[str, Tally] = {}
    for case in cases:
        tally = out.setdefault(case.kind, Tally())
        try:
            table, _ = build_table(source_from_text(case.text), "exam")
        except Refused:
            tally.hard += 1
            continue
        top = [f for f in review(table).findings[:3] if any((p.line, p.column) in case.places for p in f.places)]
        if not case.findable:
            tally.unfindable += 1
            tally.found_all_the_same += bool(top)
            continue
        tally.findable += 1
        if top:
            tally.found += 1
            edits = top[0].corrections[0].edits if top[0].corrections else ()
            tally.right += bool(edits) and _words("\n".join(corrected(case.text.split("\n"), edits))) == _words(
                case.clean
            )
    return out


def _words(text: str) -> list[list[str]]:
    return [line.split() for line in text.split("\n") if line.strip()]


def tuning_cases(count: int, first: int) -> Iterator[Case]:
    """Slips of every kind in our own tables."""
    from tests.helpers.tuning_tables import KINDS, draw_table, make_slip

    for seed in range(first, first + count):
        clean = draw_table(seed)
        for kind in KINDS:
            slip = make_slip(seed, kind)
            if slip is None:
                continue
            text, before = slip.table.text(), clean.text()
            yield Case(
                kind=kind,
                text=text,
                clean=before,
                places=frozenset(changed_words(before, text)),
                findable=slip.findable,
            )


def changed_words(before: str, after: str) -> Iterator[tuple[int, int]]:
    """Line and column, from 1, of each word of a text that is another in the text before, line by line and word by
    word."""
    for number, (old, new) in enumerate(zip(before.split("\n"), after.split("\n"), strict=True), 1):
        for was, word in zip(old.split(), re.finditer(r"\S+", new), strict=True):
            if was != word.group():
                yield number, word.start() + 1


def main(count: int, first: int) -> None:
    """Prints the tallies and the false findings of the clean tables."""
    from tests.helpers.tuning_tables import draw_table

    write = sys.stdout.write
    began = time.perf_counter()
    false = [
        len(review(build_table(source_from_text(draw_table(s).text()), "clean")[0]).findings)
        for s in range(first, first + count)
    ]
    write(
        f"{count} clean tables: {sum(false) / count:.3f} false findings a table, {time.perf_counter() - began:.0f} s\n"
    )
    tallies = measure(tuning_cases(count, first))
    write(f"{'kind':18}{'findable':>9}{'found':>8}{'right':>8}{'apart':>8}{'of them found':>15}\n")
    for kind, t in tallies.items():
        write(
            f"{kind:18}{t.findable:9}{t.found / max(1, t.findable):8.1%}{t.right / max(1, t.found):8.1%}"
            f"{t.unfindable:8}{t.found_all_the_same:15}\n"
        )
    findable, found, right = (sum(getattr(t, n) for t in tallies.values()) for n in ("findable", "found", "right"))
    write(f"{'all':18}{findable:9}{found / findable:8.1%}{right / found:8.1%}   {time.perf_counter() - began:.0f} s\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 30, int(sys.argv[2]) if len(sys.argv) > 2 else 900_000)
