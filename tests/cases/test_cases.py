"""House cases worked by hand from the pages and from common practice: what is asked, what the answer has to say and may
not say.

Each file has `facts`, `must_say`, `must_not_say` and `working` in words; `ask` is the command with a job (`job`) or the
words of the line, `says` patterns of what the answer must hold (the first of them in its first line), `never` patterns
it may not hold. Figures come from `working`, never from the program.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.cli.test_cli import run

CASES = sorted(Path(__file__).parent.glob("*.yaml"))


def answer(case: dict[str, Any], folder: Path) -> str:
    """What the program says, its lines folded back, each sentence on one line."""
    words = list(case["ask"])
    for key in ("job", "table_file"):
        if key in case:
            path = folder / f"{key}.yaml"
            path.write_text(case[key], encoding="utf-8")
            words = [str(path) if word == key else word for word in words]
    done = run(*words)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_a_case_is_answered_as_worked_by_hand(path: Path, tmp_path: Path) -> None:
    case = yaml.safe_load(path.read_text(encoding="utf-8"))
    said = answer(case, tmp_path)
    whole = " ".join(said.split())
    missing = [pattern for pattern in case["says"] if not re.search(pattern, whole)]
    assert not missing, said
    assert re.match(case["says"][0], whole), said
    assert not [pattern for pattern in case.get("never", ()) if re.search(pattern, whole)], said
