"""Findings that were held against the page, recorded in the table itself: the lines to paste, or a new file with them."""

from __future__ import annotations

from collections.abc import Sequence

from selector.table.model import Table
from selector.transcribe.finding import Finding


def checked_lines(table: Table, findings: Sequence[Finding], reason: str = "") -> tuple[str, ...]:
    """The lines to paste: the key `checked:` too where the file has none yet. Each finding's letters, its figure and place, and the reason."""
    lines = [] if table.checked else ["checked:"]
    for finding in findings:
        typed = " ".join(dict.fromkeys(p.text for p in finding.places[:2]))
        lines.append(f"  {finding.id}: {_plain(f'{typed} in {finding.where}')}, {_plain(reason) or 'as printed'}")
    return tuple(lines)


def with_checked(table: Table, findings: Sequence[Finding], reason: str = "") -> str:
    """The whole file with the lines in it: below its `checked:` where it has one, else at its end. Nothing else of it changes."""
    lines = list(table.lines)
    added = checked_lines(table, findings, reason)
    if table.checked:
        at = next(i for i, line in enumerate(lines) if line.startswith("checked:"))
        return "\n".join([*lines[: at + 1], *added, *lines[at + 1 :]]) + "\n"
    return "\n".join([*lines, *added]) + "\n"


def _plain(text: str) -> str:
    """The text without what has a meaning in the file."""
    out = text.replace(": ", ", ").replace(" #", " no. ").strip().rstrip(":")
    return "".join(c if c.isprintable() else " " for c in out)
