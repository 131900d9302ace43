"""A tiny typist: lines typed at a program's questions on a pseudo-terminal, and blanks filled in a file, every key
counted."""

from __future__ import annotations

import os
import pty
import re
import select
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
_ANSI = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
_START = (
    "import fcntl, runpy, sys, termios\n"
    "fcntl.ioctl(0, termios.TIOCSCTTY, 0)\n"
    "sys.argv[0] = 'selector'\n"
    "runpy.run_module('selector', run_name='__main__', alter_sys=True)\n"
)
"""The program with the pseudo-terminal as its own, so that Ctrl-C reaches it."""
_PATIENCE = 60.0
"""Seconds after which a program that says nothing is taken to hang; nothing is measured by it."""


def without_terminal(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The program without a terminal."""
    return subprocess.run(
        [sys.executable, "-m", "selector", *words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )


class Terminal:
    """`selector` at a pseudo-terminal. `keys` counts what was typed: one for each character and one for Enter; the
    command's own line too."""

    def __init__(self, *words: str, cwd: Path) -> None:
        self.keys = 0 if not words else len("selector " + " ".join(f'"{w}"' if " " in w else w for w in words)) + 1
        self.said = ""
        self._master, slave = pty.openpty()
        self._process = subprocess.Popen(
            [sys.executable, "-c", _START, *words],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            cwd=cwd,
            env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb", "COLUMNS": "200"},
            start_new_session=True,
        )
        os.close(slave)
        self._open = True
        self.wait()

    def wait(self) -> str:
        """What the program says until it asks (or ends); the question is the last line."""
        new = ""
        while self._open and not new.endswith(": "):
            if not select.select([self._master], [], [], _PATIENCE)[0]:
                self._process.kill()
                self._process.wait()
                raise TimeoutError(f"nothing more came after: {(self.said + new)[-300:]}")
            try:
                piece = os.read(self._master, 65536)
            except OSError:
                piece = b""
            if not piece:
                self._open = False
            new = _ANSI.sub("", new + piece.decode("utf-8", "replace"))
        self.said += new
        return new

    def line(self, text: str) -> str:
        """Types a line and Enter; what the program says to it."""
        self.keys += len(text) + 1
        os.write(self._master, text.encode() + b"\n")
        return self.wait()

    def paste(self, text: str) -> str:
        """Pastes a text and ends it: three keys (paste, Enter, Ctrl-D), however long it is."""
        self.keys += 3
        os.write(self._master, text.encode() + b"\n\x04")
        return self.wait()

    def key(self, code: bytes) -> str:
        """One key that ends the program, such as Ctrl-C; pressed again where it came between two looks of the
        interpreter, as a person does."""
        for _ in range(20):
            self.keys += 1
            os.write(self._master, code)
            try:
                self._process.wait(2)
                break
            except subprocess.TimeoutExpired:
                continue
        return self.wait()

    def lines(self, texts: Sequence[str]) -> None:
        """Types line after line."""
        for text in texts:
            self.line(text)

    def end(self) -> int:
        """The exit code of a program that has nothing more to ask."""
        while self._open:
            self.wait()
        os.close(self._master)
        return self._process.wait(_PATIENCE)


class Editor:
    """A plain editor on one file. Search for the next blank is one key after the first search, which takes its three
    keys to type."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._text = path.read_text(encoding="utf-8")
        self._at = 0
        self.keys = len("f_\n")
        """Ctrl-F, the blank, Enter."""

    def fill(self, words: Sequence[str]) -> None:
        """Goes to one blank after another and types a word over it: one key for each move, one for each character."""
        for n, word in enumerate(words):
            found = next(
                (
                    m
                    for m in re.finditer(r"(?<!\S)_(?!\S)", self._text[self._at :])
                    if not self._in_comment(self._at + m.start())
                ),
                None,
            )
            assert found is not None, f"no blank is left for {word}"
            start = self._at + found.start()
            self._text = self._text[:start] + word + self._text[start + 1 :]
            self._at = start + len(word)
            self.keys += len(word) + (1 if n else 0)

    def save(self) -> None:
        """Ctrl-S."""
        self.keys += 1
        self._path.write_text(self._text, encoding="utf-8")

    def _in_comment(self, at: int) -> bool:
        return self._text[self._text.rfind("\n", 0, at) + 1 : at].lstrip().startswith("#")
