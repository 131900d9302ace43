"""Every shipped table's pocket page held against Python, in a real Chromium: `python -m tests.helpers.pocket_all`.

Every setting of every table for every model (a random 100,000 where there are more), 1,000 random target sets a table.
Takes about an hour of one
core, most of it Python's; prints one line a table and the total, and ends with 1 if anything differs. In parts that run
side by side:
`python -m tests.helpers.pocket_all 100000 1000 corvane-k14 drossfield-x`.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from random import Random

from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import NAMES, asked, shipped
from tests.helpers.pocket_cases import boards, counted, differences, every_board, wishes

MOST = 100_000
TARGET_SETS = 1000


def say(*lines: str) -> None:
    """Lines on stdout at once."""
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    sys.stdout.flush()


def main(names: list[str], most: int, target_sets: int) -> int:
    """1 where anything differs."""
    wrong = 0
    total = {"answers": 0, "none": 0, "refused": 0}
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        for name in names:
            table, random = shipped(name), Random(name)
            models = table.unit.models or (None,)
            questions = [q for m in models for q in every_board(table, m, most // len(models), random)] + boards(
                random, table, 300
            )
            found = differences(table, questions, asked(browser, Path(folder), table, questions))
            asks = wishes(random, table, target_sets)
            answers = asked(browser, Path(folder), table, asks)
            found += differences(table, asks, answers)
            counts = counted(answers)
            total = {key: total[key] + counts[key] for key in total}
            say(f"{name}: {len(questions):,} boards, {counts}, {len(found)} differences", *found[:3])
            wrong += len(found)
    say(f"target sets: {total}; {wrong} differences")
    return int(bool(wrong) or total["none"] < 200 or total["refused"] < 200)


if __name__ == "__main__":
    sys.exit(main(sys.argv[3:] or list(NAMES), *(int(a) for a in (sys.argv[1:3] or (MOST, TARGET_SETS)))))
