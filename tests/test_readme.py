"""The examples of the README and of the guide to the format, run as they stand."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "tables" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```", GUIDE, re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("block", BLOCKS, ids=range(len(BLOCKS)))
def test_every_example_of_the_guide_passes(block: str) -> None:
    text = block if block.startswith("format:") else "format: selector table 1\nunit: {title: Example}\n" + block
    table, report = build_table(source_from_text(text, "guide"), "guide")
    assert not report.problems, report.problems
    assert table.calls


def test_the_guide_has_examples() -> None:
    assert len(BLOCKS) >= 5


def test_the_guide_names_every_key() -> None:
    from selector.table.grammar.table_file import TABLE
    from selector.table.text.shapes import Record

    missing = []
    for name, shape in TABLE.fields.items():
        inner = getattr(shape, "inner", None)
        record = shape if isinstance(shape, Record) else inner if isinstance(inner, Record) else None
        words = [name, *(record.fields if record is not None else ())]
        missing += [w for w in words if not re.search(rf"\b{re.escape(w)}\b", GUIDE)]
    assert not missing


README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = [
    (lines[0], tuple(lines[1:]))
    for block in re.findall(r"^```console\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    for lines in [part.rstrip("\n").split("\n") for part in re.split(r"^\$ ", block, flags=re.MULTILINE) if part]
]


@pytest.mark.parametrize(("words", "shown"), COMMANDS, ids=[c for c, _ in COMMANDS])
def test_every_command_of_the_readme_says_what_is_shown(words: str, shown: tuple[str, ...]) -> None:
    name, *arguments = shlex.split(words)
    assert name == "selector"
    done = subprocess.run(
        [sys.executable, "-m", "selector", *arguments], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode in (0, 1), done.stderr
    for line in shown:
        assert line in done.stdout, done.stdout


def test_the_main_command_of_the_readme_is_the_job_that_it_shows() -> None:
    """The find and the decode of the README's first command, without its set-up."""
    line = re.findall(r"<!-- main -->\n```sh\n(.*?)\n```", README, re.DOTALL)[0]
    outputs = []
    for part in line.split(" && "):
        if part.startswith(".venv/bin/selector "):
            done = subprocess.run(
                [sys.executable, "-m", *shlex.split(part[len(".venv/bin/") :])],
                capture_output=True,
                text=True,
                check=True,
                cwd=ROOT,
            )
            outputs.append(done.stdout)
    assert len(outputs) == 2
    assert "SW1=00011000" in outputs[0]
    assert "1,198 cfm" in outputs[0]
    assert "1,198 cfm" in outputs[1]


def test_the_readme_names_every_command() -> None:
    from selector.cli.main import COMMANDS as NAMES

    assert not [n for n in NAMES if f"`selector {n}" not in README]


def test_every_file_that_the_contributors_are_told_of_is_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = [w for w in re.findall(r"`([^`\s]+)`", text) if re.search(r"(\.(py|js|json|md)|/)$", w) and "NAME" not in w]
    assert len(named) > 50
    inner = {p.name for p in (ROOT / "selector").rglob("*") if p.is_dir()}
    files = {p.name for p in (ROOT / "selector").rglob("*.*")}
    assert not [
        w
        for w in named
        if not (ROOT / w).exists()
        and not (ROOT / "selector" / w).exists()
        and not ("/" not in w.rstrip("/") and w.rstrip("/") in inner | files)
    ]
