"""Findings that were held against the page, recorded in the table itself: the lines to paste, or a new file with
them."""

from __future__ import annotations

from collections.abc import Sequence

from selector.review.figures.finding import ALMOST_SURE, Finding
from selector.review.review import Review, review
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text
from selector.table.text.quoting import quoted
from selector.value import Struct

_AS_PRINTED = "as printed"


class Chosen(Struct, frozen=True, kw_only=True):
    """Findings to be recorded; `sure` are those that are almost surely slips and weren't named, `strange` names that
    no finding has."""

    findings: tuple[Finding, ...]
    sure: tuple[Finding, ...] = ()
    strange: tuple[str, ...] = ()


def chosen(findings: Sequence[Finding], named: Sequence[str]) -> Chosen:
    """The findings of these names; without names all but those that are almost surely slips, which are recorded only
    by name."""
    if named:
        ids = {f.id for f in findings}
        return Chosen(
            findings=tuple(f for f in findings if f.id in named), strange=tuple(n for n in named if n not in ids)
        )
    sure = tuple(f for f in findings if f.sureness >= ALMOST_SURE)
    return Chosen(findings=tuple(f for f in findings if f not in sure), sure=sure)


def checked_lines(table: Table, findings: Sequence[Finding], reason: str = "") -> tuple[str, ...]:
    """The lines to paste: the key `checked:` too where the file has none yet. Each finding's letters, its figure and
    place, and the reason."""
    lines = [] if table.checked else ["checked:"]
    for finding in findings:
        typed = " ".join(dict.fromkeys(p.text for p in finding.places[:2]))
        lines.append(f"  {finding.id}: {quoted(_visible(f'{typed} in {finding.where}, {reason or _AS_PRINTED}'))}")
    return tuple(lines)


def with_checked(table: Table, findings: Sequence[Finding], reason: str = "") -> str:
    """The whole file with the lines in it: below its `checked:` where it has one, else at its end. Nothing else of
    it changes."""
    lines = list(table.lines)
    added = checked_lines(table, findings, reason)
    if table.checked:
        at = next(i for i, line in enumerate(lines) if line.startswith("checked:"))
        return "\n".join([*lines[: at + 1], *added, *lines[at + 1 :]]) + "\n"
    return "\n".join([*lines, *added]) + "\n"


def recorded(table: Table, findings: Sequence[Finding], reason: str = "") -> tuple[str, tuple[Finding, ...]]:
    """(the whole file with these findings recorded, what the review finds in it that it didn't find before).

    Findings that nothing is found for once the others are taken as they stand get no line.
    """
    again = _reviewed(with_checked(table, findings, reason))
    kept = [f for f in findings if f.id not in again.stale]
    text = with_checked(table, kept, reason)
    again = _reviewed(text)
    before = {f.id for f in review(table).findings}
    return text, tuple(f for f in again.findings if f.id not in before)


def _reviewed(text: str) -> Review:
    return review(build_table(source_from_text(text), "")[0])


def _visible(text: str) -> str:
    """The text with a blank for each character that can't be seen."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
