"""The facts of a job typed as (name, text) pairs, as options of a command are: the same keys, the same checks, the same job."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from selector.job import fields
from selector.job.grammar import JOB
from selector.job.model import Job
from selector.job.read import job_from_node
from selector.problems import Problem, Refused, close_match
from selector.table.located import Mapping, Node, Scalar
from selector.table.source import Source

SHORT: dict[str, tuple[str, ...]] = {
    "tons": ("outdoor unit", "capacity"),
    "humid": ("site", "climate"),
    "return": ("site", "return air"),
    "wet bulb": ("site", "return wet bulb"),
    "static": ("site", "static pressure"),
    "kw": ("heat", "heater"),
    "volts": ("heat", "supply voltage"),
    "amps": ("heat", "current"),
    "found": ("as found",),
    "left": ("as left",),
    "target": ("targets",),
    "window": ("windows",),
    "wish": ("wishes",),
    "fact": ("facts",),
    "ceiling": ("ceilings",),
}
"""Short names for a quick answer; every key of a job file may be typed too, with its part before it where two parts have it."""
_OPEN_PARTS = ("board", "facts", "targets", "windows", "hold", "wishes", "as found", "as left")
_PREFERRED = {"capacity": "outdoor unit", "least per ton": "outdoor unit", "kind": "heat", "volume": "site", "calls": "zoning", "aim": "heat"}


@dataclass(slots=True)
class _Entry:
    path: tuple[str, ...]
    text: str
    line: int
    column: int


def job_from_pairs(pairs: Iterable[tuple[str, str]], file: str = "command line") -> tuple[Job, tuple[Problem, ...]]:
    """The job that pairs of name and text stand for, with remarks. Raises Refused with every problem; a problem's line is the pair's number.

    Names are those of a job file: `altitude`, `heat input`, `heat input low` (a stage), `found SW1`, `target cooling second`, and `SHORT` ones.
    """
    listed = list(pairs)
    source = Source(file=file, text="", lines=tuple(f"{name}: {text}" for name, text in listed))
    entries: list[_Entry] = []
    problems: list[Problem] = []
    for number, (name, text) in enumerate(listed, 1):
        path = path_of(name)
        if path is None:
            problems.append(_unknown(name, number, source))
            continue
        before = next((entry for entry in entries if entry.path == path), None)
        if before is not None:
            problems.append(_twice(name, number, before.line, source))
        entries.append(_Entry(path, _completed(name, path, text), number, len(name) + 3))
    if problems:
        raise Refused(problems)
    root = Mapping([(Scalar("format", 0, 1, "plain"), Scalar("selector job 1", 0, 1, "plain"))], 1, 1, False)
    for entry in entries:
        _put(root, entry)
    return job_from_node(root, source)


def path_of(name: str) -> tuple[str, ...] | None:
    """Where a name belongs in a job file: keys from the outside in; None if no key is meant."""
    words = [word for word in re.split(r"[\s.]+", name.strip()) if word]
    for cut in range(len(words), 0, -1):
        head, rest = " ".join(words[:cut]).casefold(), words[cut:]
        found = _head(head)
        if found is None:
            continue
        path = _finished(found, rest)
        if path is not None:
            return path
    return None


def _head(head: str) -> tuple[str, ...] | None:
    if head in SHORT:
        return SHORT[head]
    if head in JOB.fields and head not in ("format", "measurements"):
        return (head,)
    if head == "outdoor":
        return ("outdoor unit",)
    for section in fields.SECTIONS:
        if any(part.key == head for part in section.parts):
            return section.key, head
    sections = [s for s in fields.SECTIONS for f in s.fields if f.key == head]
    if len(sections) == 1:
        return sections[0].key, head
    if len(sections) > 1 and head in _PREFERRED:
        return _PREFERRED[head], head
    return None


def _finished(found: tuple[str, ...], rest: list[str]) -> tuple[str, ...] | None:
    """The path with what follows the first key: a key of its part, a stage, a selector, a call."""
    if found[0] in _OPEN_PARTS:
        return (*found, " ".join(rest)) if rest else None
    if found == ("ceilings",):
        return _ceiling(rest)
    section = next((s for s in fields.SECTIONS if s.key == found[0]), None)
    if section is None:
        return None if rest else found
    if len(found) == 1:
        return _in_section(section, rest)
    field = next((f for f in section.fields if f.key == found[1]), None)
    return _in_section(section, [found[1], *rest]) if field is None else _staged(found, field, rest)


def _staged(path: tuple[str, ...], field: fields.Field, rest: list[str]) -> tuple[str, ...] | None:
    if not rest:
        return path
    return (*path, " ".join(rest)) if field.form in ("by stage", "range by stage") else None


def _in_section(section: fields.Section, rest: list[str]) -> tuple[str, ...] | None:
    for cut in range(len(rest), 0, -1):
        key = " ".join(rest[:cut]).casefold()
        field = next((f for f in section.fields if f.key == key), None)
        if field is not None:
            path = _staged((section.key, key), field, rest[cut:])
            if path is not None:
                return path
        part = next((p for p in section.parts if p.key == key), None)
        if part is not None:
            inner = _in_section(part, rest[cut:])
            if inner is not None:
                return (section.key, *inner)
    return None


def _ceiling(rest: list[str]) -> tuple[str, ...] | None:
    for cut in range(len(rest) - 1, 0, -1):
        name, key = " ".join(rest[:cut]).casefold(), " ".join(rest[cut:]).casefold()
        if name in fields.CEILING_NAMES and any(f.key == key for f in fields.CEILING):
            return "ceilings", name, key
    return None


def _completed(name: str, path: tuple[str, ...], text: str) -> str:
    """The unit or word that a short name carries with it."""
    short = name.strip().casefold()
    bare = not any(c.isalpha() for c in text)
    if short == "tons" and bare:
        return f"{text} tons"
    if short == "kw" and bare:
        return f"{text} kW"
    if short == "humid" and path == ("site", "climate") and text.casefold() in ("yes", "true", ""):
        return "humid"
    return text


def _put(root: Mapping, entry: _Entry) -> None:
    """One entry into the tree; a figure without a stage beside figures with one stands for the stages not named."""
    at = root
    for key in entry.path[:-1]:
        inner = next((node for k, node in at.items if k.text == key), None)
        if inner is None:
            inner = Mapping([], entry.line, 1, False)
            at.items.append((Scalar(key, entry.line, 1, "plain"), inner))
        if not isinstance(inner, Mapping):
            inner = _with_stages(at, key, inner)
        at = inner
    at.items.append((Scalar(entry.path[-1], entry.line, 1, "plain"), Scalar(entry.text, entry.line, entry.column, "plain", entry.line)))


def _with_stages(at: Mapping, key: str, plain: Node) -> Mapping:
    grown = Mapping([(Scalar("", plain.line, 1, "plain"), plain)], plain.line, 1, False)
    at.items[:] = [(k, grown if k.text == key else node) for k, node in at.items]
    return grown


def _twice(name: str, number: int, first: int, source: Source) -> Problem:
    return Problem(
        file=source.file,
        line=number,
        column=1,
        code="typed-twice",
        message=f"`{name}` is typed twice, first as {source.lines[first - 1]}",
        help="leave one",
        source=source.lines[number - 1],
        length=len(name),
    )


def _unknown(name: str, number: int, source: Source) -> Problem:
    known = [
        *SHORT,
        *JOB.fields,
        *(f.key for s in fields.SECTIONS for f in s.fields),
        *(f"{s.key} {f.key}" for s in fields.SECTIONS for f in s.fields),
    ]
    near = close_match(name, known)
    return Problem(
        file=source.file,
        line=number,
        column=1,
        code="unknown-key",
        message=f"`{name}` is not a fact of a job",
        help=f"did you mean `{near}`?" if near else "for example tons, altitude, heat input, efficiency, rise",
        source=source.lines[number - 1],
        length=len(name),
    )
