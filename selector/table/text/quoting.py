"""A text as a value of a file, in quotes where it would be read as something else."""

from __future__ import annotations

import re


def quoted(text: str, *, inline: bool = False) -> str:
    """The text as a value of a file: in quotes where it would be read as something else; `inline` within braces,
    where commas part entries."""
    if (
        text.casefold() in ("null", "~")
        or re.search(r": |:$| #|^[-?*&!%@`\"'|>#,~_]|[\[\]{}]", text)
        or (inline and re.search(r"[,:#]", text))
    ):
        return '"' + text.replace("\\", "/").replace('"', "'") + '"'
    return text
