"""Where in a line of a table something stands, for findings that know their line."""

from __future__ import annotations

import re

from selector.table.model.table import Table


def column_of(table: Table, line: int) -> int:
    """The column of a line's first character, from 1."""
    text = table.lines[line - 1] if 0 < line <= len(table.lines) else ""
    return len(text) - len(text.lstrip()) + 1


def place_of(table: Table, line: int, word: str) -> int:
    """The column where a word stands in a line, after its first colon if it stands there; that of the line's first
    character if it doesn't."""
    text = table.lines[line - 1] if 0 < line <= len(table.lines) else ""
    pattern = re.compile(rf"(?<![\w-]){re.escape(word)}(?![\w-])")
    found = pattern.search(text, text.find(":") + 1) or pattern.search(text)
    return found.start() + 1 if found and word else column_of(table, line)
