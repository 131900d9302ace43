"""The Python functions: the README's and their own examples, what importing them costs, and that they say what the
commands say."""

from __future__ import annotations

import doctest
import json
import re
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import selector
from selector import functions
from selector.problems import Refused

ROOT = Path(__file__).parent.parent
JOBS = sorted((ROOT / "tests" / "examples" / "jobs").glob("*.yaml"))


def python(code: str) -> str:
    """What a fresh interpreter prints."""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT).stdout


def test_the_examples_of_the_functions() -> None:
    done = doctest.testmod(functions)
    assert done.attempted > 10
    assert done.failed == 0


def test_the_example_of_the_readme() -> None:
    blocks = re.findall(r"^```python\n(.*?)^```", (ROOT / "README.md").read_text(encoding="utf-8"), re.M | re.S)
    assert blocks
    for n, block in enumerate(blocks):
        example = doctest.DocTestParser().get_doctest(block, {}, f"README {n}", None, None)
        runner = doctest.DocTestRunner()
        assert runner.run(example).failed == 0


def test_importing_the_package_imports_nothing_of_it() -> None:
    code = "import sys, selector; print([m for m in sys.modules if m.startswith(('selector.', 'msgspec', 'yaml'))])"
    assert python(code).strip() == "[]"


def test_decoding_imports_neither_a_command_nor_what_draws() -> None:
    code = """
import sys, selector
selector.decode(selector.load("pellmere-si"), "D1=D D2=2 J1=3 SW1=10", {"static pressure": "120 Pa"})
print([m for m in sys.modules if m.split(".")[0] in ("click", "tabulate", "psychrolib", "reportlab", "jsonschema")
       or m.startswith(("selector.cli", "selector.draw", "selector.card", "selector.pocket"))])
"""
    assert python(code).strip() == "[]"


def test_every_name_is_there_and_no_other() -> None:
    for name in selector.__all__:
        assert getattr(selector, name) is getattr(functions, name)
        assert getattr(functions, name).__doc__
    with pytest.raises(AttributeError, match="no attribute 'fnd'"):
        selector.fnd  # type: ignore[attr-defined]  # noqa: B018


def test_find_and_decode_give_what_is_worked_by_hand() -> None:
    """Answer 4 of tables/pellmere-si.md."""
    table = selector.load("pellmere-si")
    facts = {"static pressure": "130 Pa"}
    result = selector.find(table, {"cooling": "430", "heating": "rise 30"}, facts, near=0, first=2)
    assert [selector.marks(table, one.setting) for one in result.found] == [
        "D1=E D2=4 J1=2 SW1=11",
        "D1=D D2=2 J1=2 SW1=00",
    ]
    # 495 L/s at 130 Pa (510 at 100, 485 at 150, straight between), less 15 %
    board = selector.decode(table, ["D1=E", "D2=4", "J1=2", "SW1=11"], facts)
    assert board.values["cooling", ""].airflows == (Fraction(495) * 85 / 100,)


def test_found_holds_what_is_to_stay() -> None:
    table = selector.load("pellmere-si")
    result = selector.find(table, {"cooling": "430"}, {"static pressure": "130 Pa"}, hold="D1=D", found="D1=A D2=1")
    assert result.found
    assert all(selector.marks(table, one.setting).startswith("D1=D ") for one in result.found)


@pytest.mark.parametrize(("first", "near"), [(0, 1), (1, -1)])
def test_what_is_out_of_range_is_refused(first: int, near: int) -> None:
    with pytest.raises(ValueError, match="first is 1 or more"):
        selector.find(selector.load("pellmere-si"), {"cooling": "430"}, first=first, near=near)


def test_a_mistyped_fact_is_refused_with_what_to_type() -> None:
    with pytest.raises(Refused) as refused:
        selector.decode(selector.load("pellmere-si"), "D1=D", {"static pressure": "0.5 psi"})
    assert "static pressure" in refused.value.problems[0].file


FOUND = [path for path in JOBS if "as found" in path.read_text(encoding="utf-8")]


@pytest.mark.parametrize("path", FOUND[:3], ids=lambda p: p.stem)
def test_a_board_as_found_is_what_its_command_says(path: Path) -> None:
    answer = command("found", path)
    one = selector.found(path)
    assert answer["version"] == 2
    assert answer["right"] is one.right
    assert len(answer["stages"]) == len(one.solution.now)


@pytest.mark.parametrize("path", JOBS[:3], ids=lambda p: p.stem)
def test_a_verdict_is_what_its_command_says(path: Path) -> None:
    answer = command("verify", path)
    assert len(answer.get("states", ())) == len(selector.verify(path).judged)


def command(name: str, path: Path) -> Any:
    """What a command answers under --json."""
    done = subprocess.run(
        [sys.executable, "-m", "selector", name, str(path), "--json"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert done.returncode in (0, 1)
    return json.loads(done.stdout)
