"""Houses worked by hand from the pages and from common practice by someone who had not seen the program.

`facts`, `must_say`, `must_not_say` and `working` are those of the hand-worked case. `ask` is how the program is asked:
the words of the line, where `job` and `table` stand for the texts typed beside it. `first`, `says` and `never` are
patterns of what the answer begins with (behind the line that names the unit), holds and may not hold.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.cli.test_cli import run

CASES = sorted((Path(__file__).parent / "cases").glob("*.yaml"))
TYPED = {"job": "job", "typed_table": "table"}


def answer(case: dict[str, Any], folder: Path) -> str:
    """What the program says, on one line."""
    words = list(case["ask"])
    for key, word in TYPED.items():
        if key not in case:
            continue
        path = folder / f"{word}.yaml"
        path.write_text(case[key].replace("table: table\n", f"table: {folder}/table.yaml\n"), encoding="utf-8")
        words = [str(path) if one == word else one for one in words]
    done = run(*words)
    assert done.returncode in (0, 1), done.stderr
    lines = (done.stdout or done.stderr).splitlines()
    headed = len(lines) > 1 and re.search(r"\((manual|pages?) ", lines[0])
    return " ".join(" ".join(lines[1:] if headed and "first" in case else lines).split())


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_a_case_is_answered_as_worked_by_hand(path: Path, tmp_path: Path) -> None:
    case = yaml.safe_load(path.read_text(encoding="utf-8"))
    said = answer(case, tmp_path)
    assert re.match(case.get("first", ""), said), said
    missing = [pattern for pattern in case["says"] if not re.search(pattern, said)]
    assert not missing, said
    wrong = [pattern for pattern in case["never"] if re.search(pattern, said)]
    assert not wrong, said
