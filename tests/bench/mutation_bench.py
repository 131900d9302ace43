"""Do the tests see a small change of the program? Mutants of a room, each held to the tests beside it.

Run: python -m tests.bench.mutation_bench ROOM [--count 100] [--seed 1] [--tests .venv/bin/python]

cosmic-ray makes the mutants (`pip install cosmic-ray`, in this environment or in one of its own: `--tests` names the
interpreter that has the test libraries). They are drawn at random over the places of the source, one a place. Left out
is what can't change an answer: unions of types, which nothing carries out; `is` for `==`; `strict` of a zip, `frozen`
and `kw_only` of a record, which only guard against calls that nobody makes. A mutant that the tests of its folder let
pass is held to those of its room, then to the worked answers, houses, advice and laws. A survivor is printed with the
line that was changed.
What is mutated is a copy of the files that git knows, never the checkout. Four to thirty seconds a mutant.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
HARMLESS = re.compile(r"(BitOr|Operator_(Is_Eq|Eq_Is|IsNot_NotEq|NotEq_IsNot))")
GUARD = re.compile(r"(strict|frozen|kw_only)=$")
LAST = (
    "tests/worked/test_answers.py",
    "tests/exam/test_cases.py",
    "tests/cli/test_cli.py",
    "tests/cli/test_advice.py",
    "tests/laws",
)


def places(copy: Path, room: str) -> list[list[tuple[str, str, int]]]:
    """Every place of a room that can be mutated, as the mutants it has: file, operator, which of them in the file."""
    config, session = copy / "mutants.toml", copy / "mutants.sqlite"
    config.write_text(
        f'[cosmic-ray]\nmodule-path = "selector/{room}"\ntimeout = 1.0\nexcluded-modules = []\ntest-command = "true"\n'
        '[cosmic-ray.distributor]\nname = "local"\n'
    )
    subprocess.run([sys.executable, "-m", "cosmic_ray.cli", "init", str(config), str(session)], cwd=copy, check=True)
    found: dict[tuple[str, int, int], list[tuple[str, str, int]]] = {}
    lines = {f: (copy / f).read_text(encoding="utf-8").splitlines() for f in map(str, _files(copy, room))}
    with sqlite3.connect(session) as base:
        for file, row, column, operator, occurrence in base.execute(
            "select module_path, start_pos_row, start_pos_col, operator_name, occurrence"
            " from mutation_specs order by 1, 2, 3, 4, 5"
        ):
            if not HARMLESS.search(operator) and not GUARD.search(lines[file][row - 1][:column]):
                found.setdefault((file, row, column), []).append((file, operator, occurrence))
    return list(found.values())


def _files(copy: Path, room: str) -> Iterator[Path]:
    return (file.relative_to(copy) for file in (copy / "selector" / room).rglob("*.py"))


def tests_of(file: str) -> Iterator[list[str]]:
    """The tests that a mutant is held to, the nearest first."""
    folder = Path("tests", *Path(file).parts[1:-1])
    if (ROOT / folder).is_dir():
        yield [str(folder)]
    if len(folder.parts) > 2:
        yield [str(Path(*folder.parts[:2]))]
    yield list(LAST)


def killed(copy: Path, file: str, python: str) -> bool:
    """True if a test fails, or runs for ever."""
    environment = {**os.environ, "CI": "true", "PYTHONDONTWRITEBYTECODE": "1"}
    for tests in tests_of(file):
        command = [python, "-m", "pytest", "-n", "0", "-x", "-q", "-p", "no:cacheprovider", *tests]
        try:
            done = subprocess.run(command, cwd=copy, env=environment, capture_output=True, timeout=300)
        except subprocess.TimeoutExpired:
            return True
        if done.returncode:
            return True
    return False


def main() -> None:
    """Mutants of one room, survivors, the share killed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room", choices=["air", "table", "solve", "judge", "job"])
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", default=str(ROOT / ".venv" / "bin" / "python"))
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in subprocess.run(
            ["git", "ls-files"], cwd=ROOT, check=True, capture_output=True, text=True
        ).stdout.split():
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, copy / name)
        all_places = places(copy, given.room)
        chance = random.Random(given.seed)
        taken = [chance.choice(place) for place in chance.sample(all_places, min(given.count, len(all_places)))]
        survived = 0
        for tried, (file, operator, occurrence) in enumerate(taken, 1):
            before = (copy / file).read_text(encoding="utf-8")
            subprocess.run(
                [sys.executable, "-m", "cosmic_ray.cli", "apply", file, operator, str(occurrence)],
                cwd=copy,
                check=True,
            )
            after = (copy / file).read_text(encoding="utf-8")
            if not killed(copy, file, given.tests):
                survived += 1
                for n, (old, new) in enumerate(zip(before.splitlines(), after.splitlines(), strict=False), 1):
                    if old != new:
                        sys.stdout.write(f"{file}:{n}: survived\n    - {old.strip()}\n    + {new.strip()}\n")
                        break
            (copy / file).write_text(before, encoding="utf-8")
            sys.stdout.flush()
            sys.stderr.write(f"{tried}/{len(taken)} tried, {survived} survived\n")
    sys.stdout.write(
        f"{given.room}: {len(taken) - survived} of {len(taken)} mutants killed"
        f" ({100 * (1 - survived / len(taken)):.1f} %), {len(all_places)} places, seed {given.seed}\n"
    )


if __name__ == "__main__":
    main()
