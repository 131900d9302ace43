"""The exam: clean and slipped tables of every structure, and the score of a reviewer on them."""

from __future__ import annotations

import argparse
import json
import random
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from .pages import HELD, pages
from .slips import SHARES, Fault, Slip, slip

# line (from 1); column (from 1) of the suspected text, or the lines concerned, or None; texts to type instead, best
# first
Finding = tuple[int, int | Sequence[int] | None, Sequence[str]]
Review = Callable[[str], Sequence[Finding]]
FIRST = 3
COUNTED = 0.05
FIGURE = re.compile(r"[+-]?\d+(?:\.\d+)?")


@dataclass(frozen=True)
class Paper:
    """One table of the exam; `slip` is None for a clean one."""

    structure: str
    family: str
    held: bool
    number: int
    text: str
    slip: Slip | None


def papers(seed: int = 1, count: int = 4, held: bool | None = None) -> Iterator[Paper]:
    """`count` clean and `count` slipped tables of each structure; nine slips in ten change a figure by 5 % or more."""
    for page in pages(held):
        chosen = page.name in HELD
        for number in range(count):
            text = page.text(random.Random(f"{seed} {page.name} {number} clean"))
            yield Paper(page.name, page.family, chosen, number, text, None)
        for number in range(count):
            rng = random.Random(f"{seed} {page.name} {number} slipped")
            text = page.text(rng)
            made = slip(rng, text, least=COUNTED if rng.random() < 0.9 else 0.0)
            if made is not None:
                yield Paper(page.name, page.family, chosen, number, *made)


@dataclass
class Tally:
    """Counts of slips: how many, named among the first three, named first, first three with the right text first."""

    slips: int = 0
    named: int = 0
    first: int = 0
    right: int = 0

    def add(self, other: Tally) -> None:
        """Adds another's counts."""
        self.slips += other.slips
        self.named += other.named
        self.first += other.first
        self.right += other.right

    def text(self) -> str:
        """One line of shares."""
        whole = max(1, self.slips)
        return (
            f"{self.slips:5d} slips  named {100 * self.named / whole:5.1f} %  first {100 * self.first / whole:5.1f} %"
            f"  right {100 * self.right / whole:5.1f} %"
        )


@dataclass
class Report:
    """The score; slips under 5 % stand apart in `small` and count nowhere else."""

    clean: int = 0
    false: int = 0
    quiet: int = 0
    extra: int = 0
    all: Tally = field(default_factory=Tally)
    small: Tally = field(default_factory=Tally)
    kinds: dict[str, Tally] = field(default_factory=dict)
    families: dict[str, Tally] = field(default_factory=dict)
    structures: dict[str, Tally] = field(default_factory=dict)
    alarms: dict[str, list[int]] = field(default_factory=dict)
    missed: list[Paper] = field(default_factory=list)

    @property
    def false_per_table(self) -> float:
        """False findings a clean table."""
        return self.false / max(1, self.clean)

    @property
    def found(self) -> float:
        """Share of the counted slips named among the first three."""
        return self.all.named / max(1, self.all.slips)

    def text(self) -> str:
        """The report in lines."""
        lines = [
            f"clean tables {self.clean}: {self.false_per_table:.2f} false findings a table, {self.quiet} without any",
            f"slips of 5 % or more {self.all.text()}",
            f"smaller slips        {self.small.text()}",
            f"findings beside the slip, a slipped table: {self.extra / max(1, self.all.slips + self.small.slips):.2f}",
        ]
        for title, part in (("kind", self.kinds), ("family", self.families), ("structure", self.structures)):
            lines.append(f"by {title}")
            for name, tally in part.items():
                alarms = f"  false {self.alarms[name]}" if title == "structure" else ""
                lines.append(f"  {name:22s}{tally.text()}{alarms}")
        return "\n".join(lines)


def hit(made: Slip, finding: Finding) -> bool:
    """True if the finding names a line of the slip, and its cell where a column is given.

    A finding of several lines counts if one is the slip's and they are no more than the slip's own lines or two.
    """
    line, place, _ = finding
    if place is None:
        return line in made.lines
    if isinstance(place, int):
        return any(fault.line == line and _covers(fault, place) for fault in made.faults)
    lines = {line, *place}
    return len(lines) <= max(2, len(made.lines)) and bool(lines & made.lines)


def _covers(fault: Fault, column: int) -> bool:
    return fault.column <= column < fault.column + len(fault.typed)


def right(made: Slip, finding: Finding) -> bool:
    """True if the first text to type instead is the true figure of a wrong cell on that line (or all of them)."""
    line, place, suggestions = finding
    if not suggestions:
        return False
    told = _figures(suggestions[0])
    faults = [fault for fault in made.faults if fault.line == line] or list(made.faults)
    if isinstance(place, int):
        faults = [fault for fault in faults if _covers(fault, place)] or faults
    if any(told == _figures(fault.true) for fault in faults):
        return True
    return len(told) > 1 and sorted(told) == sorted(f for fault in faults for f in _figures(fault.true))


def _figures(text: str) -> list[float]:
    return [float(figure) for figure in FIGURE.findall(text)]


def score(review: Review, held: bool | None = None, *, seed: int = 1, count: int = 4) -> Report:
    """Runs `review` on the papers (held structures, the others, or all if None) and counts."""
    report = Report(kinds={kind: Tally() for kind in SHARES})
    for paper in papers(seed, count, held):
        findings = list(review(paper.text))
        alarms = report.alarms.setdefault(paper.structure, [])
        report.structures.setdefault(paper.structure, Tally())
        if paper.slip is None:
            report.clean += 1
            report.false += len(findings)
            report.quiet += not findings
            alarms.append(len(findings))
            continue
        made = paper.slip
        hits = [hit(made, finding) for finding in findings]
        report.extra += len(hits) - sum(hits)
        place = next((i for i, named in enumerate(hits[:FIRST]) if named), None)
        named = place is not None
        tally = Tally(1, named, place == 0, place is not None and right(made, findings[place]))
        if made.change < COUNTED:
            report.small.add(tally)
            continue
        if not named:
            report.missed.append(paper)
        for part in (
            report.all,
            report.kinds[made.kind],
            report.families.setdefault(paper.family, Tally()),
            report.structures[paper.structure],
        ):
            part.add(tally)
    return report


def write(folder: Path, seed: int = 1, count: int = 4, held: bool | None = None) -> int:
    """Writes the papers as files and the answers as `answers.json`; the number of files."""
    folder.mkdir(parents=True, exist_ok=True)
    answers: dict[str, object] = {}
    for paper in papers(seed, count, held):
        name = f"{paper.structure.replace('_', '-')}-{paper.number}{'-slip' if paper.slip else ''}.yaml"
        (folder / name).write_text(paper.text, encoding="utf-8")
        answers[name] = {"held": paper.held, "slip": asdict(paper.slip) if paper.slip else None}
    (folder / "answers.json").write_text(json.dumps(answers, indent=1), encoding="utf-8")
    return len(answers)


def main() -> None:
    """Writes the exam into a folder."""
    parser = argparse.ArgumentParser(description="Write the exam's tables and answers into a folder.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=4)
    parser.add_argument("--part", choices=("all", "open", "held"), default="all")
    told = parser.parse_args()
    write(told.folder, told.seed, told.count, {"all": None, "open": False, "held": True}[told.part])


if __name__ == "__main__":
    main()
