"""Text in quotes: where it ends, and what can go wrong inside."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.table.text.slips.slip_list import SlipList

_DOUBLE = re.compile(r'[^"\\]*(?:\\.[^"\\]*)*')
_SINGLE = re.compile(r"[^']*(?:''[^']*)*")
_BACKSLASH = re.compile(r"\\(x[0-9A-Fa-f]{2}|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.|$)")


def end_of_quotes(lines: Sequence[str], line: int, column: int, outer: int, slips: SlipList) -> tuple[int, int] | None:
    """The place after the closing quote of the text opened at this place; None, and said, where it is never closed.

    Lines that continue it must start further right than column `outer`. Places count from 0.
    """
    mark = lines[line][column]
    inside = _DOUBLE if mark == '"' else _SINGLE
    at, start = line, column + 1
    while True:
        text = lines[at]
        match = inside.match(text, start)
        end = match.end() if match else start
        if mark == '"':
            _check_backslashes(text, at, start, end, slips)
        if text[end : end + 1] == mark:
            return at, end + 1
        at += 1
        while at < len(lines) and not lines[at].strip(" "):
            at += 1
        if (
            at >= len(lines)
            or len(lines[at]) - len(lines[at].lstrip(" ")) <= outer
            or lines[at].startswith(("---", "..."))
        ):
            name = "double" if mark == '"' else "single"
            remedy = f"Type {mark} at the end of the text, or leave the quotes out: most texts need none."
            slips.add(line, column, "unclosed-quote", f"The {name} quote {mark} opened here is never closed.", remedy)
            return None
        start = len(lines[at]) - len(lines[at].lstrip(" "))


def _check_backslashes(text: str, line: int, start: int, end: int, slips: SlipList) -> None:
    for match in _BACKSLASH.finditer(text, start, end):
        escape = match[1]
        if escape[:1] in ("x", "u", "U") and len(escape) > 1:
            number = int(escape[1:], 16)
            if (
                0xA0 <= number <= 0xD7FF
                or 0xE000 <= number <= 0xFFFD
                or 0x10000 <= number <= 0x10FFFF
                or 0x20 <= number <= 0x7E
            ):
                continue
        elif escape in ('"', "\\", "/", "n", "t", ""):
            continue
        slips.add(
            line,
            match.start(),
            "backslash-in-quotes",
            f"Within double quotes a backslash has a meaning of its own, and `{match[0]}` has none.",
            "Use single quotes ' around the text instead, or type the backslash twice.",
            len(match[0]),
        )
