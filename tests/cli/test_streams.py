"""Streams as they may be: closed, full, a reader that stops, an encoding without the character; Ctrl-C at start."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from selector.cli.streams import terminal_columns

ROOT = Path(__file__).parents[2]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
SELECTOR = f"'{sys.executable}' -m selector"


def shell(line: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """A line for the shell, as a person types it."""
    return subprocess.run(
        ["bash", "-c", line], capture_output=True, check=False, cwd=ROOT, env={**ENVIRONMENT, **environment}
    )


def test_a_reader_that_stops_is_no_fault() -> None:
    done = shell(f"{SELECTOR} show quillhaven-p | head -1; echo ${{PIPESTATUS[0]}}")
    assert done.stdout.endswith(b"\n0\n")
    assert done.stderr == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
def test_a_full_disk_is_said() -> None:
    done = shell(f"{SELECTOR} show corvane-k14 > /dev/full")
    assert done.returncode == 2
    assert b"can't be written: no space left" in done.stderr


def test_a_closed_standard_output_is_said_and_a_closed_error_is_borne() -> None:
    done = shell(f"{SELECTOR} show corvane-k14 >&-")
    assert (done.returncode, done.stderr) == (2, b"there is no standard output to write the answer to\n")
    assert shell(f"{SELECTOR} show corvane-k14 2>&-").returncode == 0


@pytest.mark.parametrize("command", ["plan", "import -", "draft --out x.yaml", "check -"])
def test_a_closed_standard_input_is_no_fault_of_ours(command: str, tmp_path: Path) -> None:
    done = shell(f"cd '{tmp_path}' && {SELECTOR} {command} <&-")
    assert done.returncode in (1, 2), done.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "latin-1", "ascii"])
@pytest.mark.parametrize(
    "command", ["show wickerby-5", "find wickerby-5 Y1=300 --static 100 --plot", "schema table", "list"]
)
def test_an_encoding_without_a_character_gets_a_plain_one(encoding: str, command: str) -> None:
    done = shell(f"{SELECTOR} {command}", PYTHONIOENCODING=encoding)
    assert done.returncode in (0, 1, 2), done.stderr
    done.stdout.decode(encoding)
    assert b"selector failed" not in done.stderr


@pytest.mark.parametrize(
    ("text", "plain"),
    [("\u22126 % \u00b1 2 \u2192 x\u00b2", b"-6 % +/- 2 -> x2"), ("\u25cf \u6f22", b"# ?")],
)
def test_plain_characters_in_place_of_missing_ones(text: str, plain: bytes) -> None:
    from selector.cli import streams

    assert text.encode("ascii", streams.NAME) == plain


def test_an_interrupt_while_it_starts_prints_no_traceback() -> None:
    code = (
        "import builtins, sys\n"
        "real = builtins.__import__\n"
        "def interrupted(name, *rest, **more):\n"
        "    if name == 'selector.cli.main':\n"
        "        raise KeyboardInterrupt\n"
        "    return real(name, *rest, **more)\n"
        "builtins.__import__ = interrupted\n"
        "import selector.__main__ as start\n"
        "start.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False, cwd=ROOT, env=ENVIRONMENT)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


@pytest.mark.parametrize(("said", "columns"), [("132", 132), ("0", 80), ("wide", 80), ("", 80), ("-4", 80)])
def test_columns_are_those_told_else_80(said: str, columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the standard library's `shutil.get_terminal_size` has it where there is no terminal."""
    monkeypatch.setenv("COLUMNS", said)
    monkeypatch.setattr("sys.__stdout__", None)
    assert terminal_columns() == columns == shutil.get_terminal_size().columns
