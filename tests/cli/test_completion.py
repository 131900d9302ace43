"""Completion in the shells themselves: bash with its own parting of words at `=`, zsh and fish by their functions."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    """A folder on the path with the program in it, as an installation puts it there."""
    program = tmp_path / "bin" / "selector"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m selector "$@"\n')
    program.chmod(0o755)
    (tmp_path / "my-table.yaml").write_text("format: selector table 1\n")
    (tmp_path / "notes.doc").write_text("x")
    return {
        **os.environ,
        "PATH": f"{program.parent}:{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
        "HOME": str(tmp_path),
    }


CASES = [
    ("selector de", ["decode"]),
    ("selector show tarnwick", ["tarnwick-d", "tarnwick-g"]),
    ("selector show ./my", ["./my-table.yaml"]),
    ("selector plan ./", ["./bin/", "./my-table.yaml"]),
    ("selector decode tarnwick-d J", ["J3=", "J4=", "J5="]),
    ("selector decode tarnwick-d J3=", ["1", "2", "3", "4"]),
    ("selector decode corvane-k14 SW1-3=O", ["off", "on"]),
    ("selector find corvane-k14 --model 0", ["060", "080"]),
    ("selector find corvane-k14 --hold SW1-3=of", ["off"]),
    ("selector find corvane-k14 fa", ["fan="]),
    ("selector plan corvane-k14 altit", ["altitude="]),
    ("selector schema fin", ["find"]),
]
"""What is typed, and the words offered for its last word (behind its last `=`): read off the pages and the commands."""


@pytest.mark.parametrize(("line", "words"), CASES)
def test_bash(line: str, words: list[str], environment: dict[str, str], tmp_path: Path) -> None:
    script = (
        "compopt() { :; }\n"
        "source <(selector completion bash)\n"
        f"COMP_LINE='{line}'; COMP_POINT=${{#COMP_LINE}}; _selector_completion selector\n"
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    done = subprocess.run(
        ["bash", "-c", script], capture_output=True, text=True, check=True, env=environment, cwd=tmp_path
    )
    assert done.stdout.split() == words


@pytest.mark.skipif(shutil.which("fish") is None, reason="fish is not on this machine; tests/setup.sh installs it")
@pytest.mark.parametrize(("line", "words"), CASES)
def test_fish(line: str, words: list[str], environment: dict[str, str], tmp_path: Path) -> None:
    script = f"selector completion fish | source; complete -C '{line}'"
    done = subprocess.run(
        ["fish", "-c", script], capture_output=True, text=True, check=True, env=environment, cwd=tmp_path
    )
    offered = [word.split("\t")[0].rpartition("=")[2] or word.split("\t")[0] for word in done.stdout.splitlines()]
    wanted = [w.removeprefix("./") for w in words]
    assert set(wanted) <= {o.removeprefix("./") for o in offered}


@pytest.mark.skipif(shutil.which("zsh") is None, reason="zsh is not on this machine; tests/setup.sh installs it")
@pytest.mark.parametrize(("line", "words"), CASES)
def test_zsh(line: str, words: list[str], environment: dict[str, str], tmp_path: Path) -> None:
    script = (
        "compdef() { :; }\n"
        "compadd() { print -l -- ${(P)@[-1]}; }\n"
        "_describe() { print -l -- ${(P)3}; }\n"
        "source <(selector completion zsh)\n"
        f"words=({line}); CURRENT=${{#words}}; _selector_completion"
    )
    done = subprocess.run(
        ["zsh", "-fc", script], capture_output=True, text=True, check=False, env=environment, cwd=tmp_path
    )
    told = done.stdout + done.stderr
    assert all(word in told for word in words), told
