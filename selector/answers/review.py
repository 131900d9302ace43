"""What `review` says: figures that may have been mistyped."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from selector.answers.parts import VERSION
from selector.answers.words.fold import Block
from selector.answers.words.listing import counted
from selector.review.figures.finding import Finding
from selector.review.folder import Checked
from selector.value import Published


class FindingData(Published, frozen=True, kw_only=True):
    """One suspect figure; `sureness` is the chance that it is a slip, 0 to 1, `perhaps` what it was meant to be."""

    file: str
    id: str
    code: str
    line: int
    column: int
    where: str
    why: str
    perhaps: tuple[str, ...]
    sureness: float


class ReviewAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector review; `unread` are files that have problems, `stale` lines under `checked:` that are no
    longer needed."""

    version: Literal[2]
    findings: tuple[FindingData, ...]
    unread: tuple[str, ...]
    stale: tuple[str, ...]


def review_answer(tables: Iterable[Checked]) -> ReviewAnswer:
    """The reviews of several tables for JSON."""
    listed = list(tables)
    return ReviewAnswer(
        version=VERSION,
        findings=tuple(_data(one.path, f) for one in listed for f in one.review.findings),
        unread=tuple(one.path for one in listed if one.refused),
        stale=tuple(f"{one.path}: {line}" for one in listed for line in one.review.stale),
    )


def _data(path: str, f: Finding) -> FindingData:
    place = f.places[0]
    return FindingData(
        file=path,
        id=f.id,
        code=f.code,
        line=place.line,
        column=place.column,
        where=f.where,
        why=f.why,
        perhaps=tuple(c.words for c in f.corrections),
        sureness=round(f.sureness, 4),
    )


def lines(one: Checked) -> list[Block]:
    """What is said of one table."""
    if one.refused:
        return [f"{one.path}: {counted(len(one.problems), 'problem')}. Type selector check {one.path}"]
    out: list[Block] = []
    for f in one.review.findings:
        place = f.places[0]
        out.append(f"{one.path}:{place.line}:{place.column}: {finding_text(f)}")
        out += [f"  {text}" for text in (f.why, *(f"perhaps: {c.words}" for c in f.corrections[:3]))]
    if not one.review.findings:
        checked = f" ({len(one.review.quiet)} checked)" if one.review.quiet else ""
        out.append(f"{one.path}: no suspect figures{checked}")
    out += [f"{one.path}: `{stale}` under `checked:` is no longer needed. Delete it." for stale in one.review.stale]
    return out


def finding_text(f: Finding) -> str:
    """`cooling airflow, ON OFF OFF, 080: perhaps a slip (wpstwg)`."""
    return f"{f.where}: {f.how_sure} ({f.id})"
