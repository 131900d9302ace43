"""What becomes of the figures of pages as other programs give them. Run: python -m tests.bench.import_bench [--unseen]

Kept: in its place with every name known; asked: in its place, a name of the chart is left to type; left out: named as
left out or left as a blank; wrong: in another's place, which must not be. `--unseen`: the pages of
`tests/exam/producers`, written and set in type without sight of the import.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from tabulate import tabulate

from tests.exam.producers.html_page import figures_of, page_of
from tests.helpers.page_truth import Fate, fate, fate_of

ROOT = Path(__file__).parents[2]
PRODUCERS = ROOT / "tests" / "examples" / "producers"
UNSEEN = ROOT / "tests" / "exam" / "producers"


def fates(*, unseen: bool) -> Iterator[tuple[str, Fate]]:
    """Each file by its name, and what became of its figures."""
    folder = UNSEEN if unseen else PRODUCERS
    for path in sorted(folder.iterdir()):
        if path.suffix not in (".txt", ".csv", ".xlsx"):
            continue
        name = path.name.split(".")[0]
        html = folder / f"{name}.html"
        if html.exists():
            yield path.name, fate_of(figures_of(page_of(html.read_text(encoding="utf-8"))), path)
            continue
        found = [p for p in (folder / f"{name}.md", ROOT / "tests" / "exam" / "pages" / f"{name}.md") if p.exists()]
        if found:
            yield path.name, fate(found[0].read_text(encoding="utf-8"), path)


def main() -> None:
    """Print the table, page by page."""
    lines: list[list[str | int]] = []
    for name, found in fates(unseen="--unseen" in sys.argv):
        whole = found.kept + found.asked + found.left_out
        lines.append([name, whole, found.kept, found.asked, found.left_out, len(found.wrong)])
    total = [sum(int(line[k]) for line in lines) for k in range(1, 6)]
    heads = ["page", "figures", "kept", "asked", "left out", "wrong"]
    sys.stdout.write(tabulate([*lines, ["all", *total]], headers=heads) + "\n")


if __name__ == "__main__":
    main()
