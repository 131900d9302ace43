"""The jobs of a folder: every file that begins as a job, each in its newest version; what is left out, and why."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from itertools import pairwise
from typing import Literal

from selector.problems import Refused
from selector.table.source import read_source
from selector.value import Struct

_VERSION = re.compile(r"(?P<stem>.+)-(?P<number>[2-9]|[1-9]\d+)")
_SAME = 0.8
"""A version keeps at least this share of the lines before it; another house doesn't."""


class OtherFile(Struct, frozen=True, kw_only=True):
    """A file that isn't counted: an older version of `instead`, or no job."""

    name: str
    why: Literal["older", "no job"]
    instead: str = ""


class FolderJobs(Struct, frozen=True, kw_only=True):
    """Names of the jobs in their order, and of the files left out."""

    folder: str
    names: tuple[str, ...]
    left_out: tuple[OtherFile, ...]

    def path(self, name: str) -> str:
        """Where a file lies."""
        return os.path.join(self.folder, name)


def jobs_of(folder: str) -> FolderJobs:
    """The jobs of a folder, by name, numbers in them by their size. OSError where it can't be read."""
    names = sorted((n for n in os.listdir(folder) if n.casefold().endswith((".yaml", ".yml"))), key=_natural)
    lines = {name: _lines(os.path.join(folder, name)) for name in names}
    jobs = [name for name in names if _is_job(lines[name])]
    newer = dict(_older(jobs, lines))
    left_out = [OtherFile(name=name, why="older", instead=_newest(name, newer)) for name in jobs if name in newer]
    left_out += [OtherFile(name=name, why="no job") for name in names if name not in jobs]
    return FolderJobs(folder=folder, names=tuple(name for name in jobs if name not in newer), left_out=tuple(left_out))


def _natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """`unit-2` before `unit-10`; the plain name before its versions."""
    parts = re.split(r"(\d+)", os.path.splitext(name)[0].casefold())
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in parts if part)


def _lines(path: str) -> tuple[str, ...]:
    try:
        return read_source(path).lines
    except Refused:
        return ()


def _is_job(lines: Iterable[str]) -> bool:
    """True for a file that says so in its first line, and for one that says nothing: what is wrong with it is said
    where it is read."""
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    key, _, value = first.partition(":")
    return key.strip() != "format" or value.split()[:2] == ["selector", "job"]


def _older(jobs: Iterable[str], lines: dict[str, tuple[str, ...]]) -> Iterable[tuple[str, str]]:
    """(older, newer) for versions of one job that follow each other: `smith`, `smith-2`, `smith-3`."""
    found: dict[str, list[tuple[int, str]]] = {}
    for name in jobs:
        stem = os.path.splitext(name)[0]
        version = _VERSION.fullmatch(stem)
        base, number = (version["stem"], int(version["number"])) if version is not None else (stem, 1)
        found.setdefault(base, []).append((number, name))
    for versions in found.values():
        ordered = [name for _, name in sorted(versions)]
        if sorted(versions)[0][0] != 1:
            continue
        for before, after in pairwise(ordered):
            if _keeps(lines[before], lines[after]):
                yield before, after


def _keeps(before: Iterable[str], after: Iterable[str]) -> bool:
    own = [line.strip() for line in before if line.strip()]
    there = {line.strip() for line in after}
    return bool(own) and sum(line in there for line in own) >= _SAME * len(own)


def _newest(name: str, newer: dict[str, str]) -> str:
    while name in newer:
        name = newer[name]
    return name
