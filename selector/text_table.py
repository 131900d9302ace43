"""Tables kept as text in the code, for a technician to read and change: a line of heads, a rule, rows; cells between
bars."""

from __future__ import annotations

from collections.abc import Mapping


def read_table(text: str) -> tuple[dict[str, str], ...]:
    """The rows of a table kept as text, by head. A row of another width than the heads is a ValueError."""
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    heads, body = lines[0], [line for line in lines[1:] if not set("".join(line)) <= {"-"}]
    for line in body:
        if len(line) != len(heads):
            raise ValueError(f"{len(line)} cells under {len(heads)} heads: {' | '.join(line)}")
    return tuple(dict(zip(heads, line, strict=True)) for line in body)


def words_of(text: str) -> Mapping[str, str]:
    """A text of two columns as a map."""
    rows = read_table(text)
    key, value = rows[0].keys()
    return {row[key]: row[value] for row in rows}
