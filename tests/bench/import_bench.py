"""What becomes of the figures of pages as other programs give them. Run: python -m tests.bench.import_bench [FOLDER]

Kept: in its place with every name known; asked: in its place, a name of the chart is left to type; left out: named as
left out or left as a blank; wrong: in another's place, which must not be.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tabulate import tabulate

from tests.helpers.page_truth import fate

ROOT = Path(__file__).parents[2]
PRODUCERS = ROOT / "tests" / "examples" / "producers"


def main() -> None:
    """Print the table, page by page."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else PRODUCERS
    lines: list[list[str | int]] = []
    for path in sorted(folder.iterdir()):
        page = folder / f"{path.name.split('.')[0]}.md"
        if path.suffix not in (".txt", ".csv", ".xlsx") or not page.exists():
            continue
        found = fate(page.read_text(encoding="utf-8"), path)
        whole = found.kept + found.asked + found.left_out
        lines.append([path.name, whole, found.kept, found.asked, found.left_out, len(found.wrong)])
    total = [sum(int(line[k]) for line in lines) for k in range(1, 6)]
    heads = ["page", "figures", "kept", "asked", "left out", "wrong"]
    sys.stdout.write(tabulate([*lines, ["all", *total]], headers=heads) + "\n")


if __name__ == "__main__":
    main()
