"""The program as a command line calls it, in this process: what it printed and its exit code, without a start."""

from __future__ import annotations

import io
import os
import subprocess
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path
from unittest import mock

from selector.cli.main import run

ROOT = Path(__file__).parents[2]


def program(*words: str, columns: int | None = None, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """`selector WORDS` in a folder (the checkout where none is given), with a terminal so many columns wide."""
    env = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    if columns is not None:
        env["COLUMNS"] = str(columns)
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    with (
        mock.patch.dict(os.environ, env, clear=True),
        chdir(folder or ROOT),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        code = run(words)
    said, told = (stream.detach().getvalue().decode() for stream in (out, err))
    return subprocess.CompletedProcess(list(words), code, said, told)
