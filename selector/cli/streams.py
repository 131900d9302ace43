"""Standard output and error as they may be: closed, full, a pipe nobody reads, an encoding without the character."""

from __future__ import annotations

import codecs
import errno
import os
import sys
from contextlib import suppress

PLAIN = {
    "\u2212": "-",
    "\u2013": "-",
    "\u2014": "-",
    "\u00d7": "x",
    "\u00b1": "+/-",
    "\u00b0": " deg ",
    "\u00b2": "2",
    "\u00b3": "3",
    "\u00bd": "1/2",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u2192": "->",
    "\u2026": "...",
    "\u2018": "'",
    "\u2019": "'",
    "\u201c": '"',
    "\u201d": '"',
    "\u25cf": "#",
    "\u25cb": "o",
    "\u2588": "#",
}
"""What stands in place of a character that an encoding lacks; any other becomes `?`."""


NAME = "selector-plain"


def plainly(error: UnicodeError) -> tuple[str, int]:
    """An error handler for codecs: the plain replacement, the same everywhere.

    >>> "\u22126 %".encode("cp437", "selector-plain")
    b'-6 %'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(PLAIN.get(c, "?") for c in error.object[error.start : error.end]), error.end


codecs.register_error(NAME, plainly)


def prepare() -> str:
    """Makes the streams take any text; the reason where there is no standard output at all, else nothing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=NAME)
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115 - it stands for the whole run
    return "" if sys.stdout is not None else "there is no standard output to write the answer to"


def terminal_columns() -> int:
    """Columns of the terminal, as COLUMNS or the terminal itself tells them; 80 where there is none. The standard
    library's `shutil` says the same and brings four modules of archives with it."""
    with suppress(ValueError):
        if (told := int(os.environ.get("COLUMNS", "0"))) > 0:
            return told
    with suppress(AttributeError, ValueError, OSError):  # closed, replaced, or no terminal
        return os.get_terminal_size(sys.__stdout__.fileno()).columns or 80  # type: ignore[union-attr]
    return 80


def failed(error: OSError) -> tuple[int, str]:
    """(exit code, words) for an answer that couldn't be written. A reader that stops early is no fault: nothing is
    said, and nothing more is written."""
    silent = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr) if error.errno == errno.EPIPE else (sys.stdout,):
        try:
            stream.flush()
        except (OSError, ValueError):
            os.dup2(silent, stream.fileno())
    if error.errno == errno.EPIPE:
        return 0, ""
    return 2, f"the answer can't be written: {(error.strerror or type(error).__name__).lower()}"
