"""A job file's next version: its text as the person left it, with readings and sightings added."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from selector.job.file.text import quoted

_NUMBER = re.compile(r"(.*?)(?:-(\d+))?(\.ya?ml)?", re.DOTALL)


def next_name(name: str, taken: Iterable[str]) -> str:
    """The name of the next version, the first that is free.

    >>> next_name("smith.yaml", ()), next_name("smith-2.yaml", ["smith-3.yaml"])
    ('smith-2.yaml', 'smith-4.yaml')
    """
    match = _NUMBER.fullmatch(name)
    assert match is not None
    used, number = set(taken), int(match[2] or 1) + 1
    while (found := f"{match[1]}-{number}{match[3] or '.yaml'}") in used:
        number += 1
    return found


def with_readings(lines: Sequence[str], readings: Sequence[tuple[str, Mapping[str, str]]], seen: Sequence[str]) -> str:
    """The text of the file with readings (call, keys) behind those it has, and what was seen behind what was seen
    before."""
    out = list(lines)
    while out and not out[-1].strip():
        out.pop()
    if readings:
        out = _with_items(out, readings)
    if seen:
        out = _with_seen(out, seen)
    return "\n".join(out) + "\n"


def _with_items(lines: list[str], readings: Sequence[tuple[str, Mapping[str, str]]]) -> list[str]:
    at = _key(lines, "measurements")
    if at is None:
        return [*lines, "measurements:", *_items(readings, "  ")]
    end = _end(lines, at, dashes=True)
    dash = next((line for line in lines[at + 1 : end] if line.lstrip().startswith("- ")), "  - ")
    indent = dash[: len(dash) - len(dash.lstrip())]
    return [*lines[:end], *_items(readings, indent), *lines[end:]]


def _items(readings: Sequence[tuple[str, Mapping[str, str]]], indent: str) -> list[str]:
    out = []
    for call, keys in readings:
        out.append(f"{indent}- call: {quoted(call)}")
        out += [f"{indent}  {key}: {quoted(text)}" for key, text in keys.items()]
    return out


def _with_seen(lines: list[str], seen: Sequence[str]) -> list[str]:
    at = _key(lines, "seen")
    if at is None:
        return [*lines, "seen: |", *(f"  {one}" for one in seen)]
    before = lines[at].partition(":")[2].strip()
    end = _end(lines, at, dashes=True)
    if before == "|":
        return [*lines[:end], *(f"  {one}" for one in seen), *lines[end:]]
    if before:
        return [*lines[:at], "seen: |", f"  {before.strip(chr(39))}", *(f"  {one}" for one in seen), *lines[at + 1 :]]
    dash = next((line for line in lines[at + 1 : end] if line.lstrip().startswith("- ")), "  - ")
    indent = dash[: len(dash) - len(dash.lstrip())]
    return [*lines[:end], *(f"{indent}- {quoted(one)}" for one in seen), *lines[end:]]


def _key(lines: Sequence[str], key: str) -> int | None:
    """The line a key of the file stands on."""
    return next((n for n, line in enumerate(lines) if line.startswith(f"{key}:")), None)


def _end(lines: Sequence[str], at: int, *, dashes: bool) -> int:
    """The line behind what belongs to a key: the first that begins a key of its own, blank lines before it left out."""
    end = next(
        (
            n
            for n in range(at + 1, len(lines))
            if lines[n].strip() and not lines[n].startswith((" ", "\t", "#")) and not (dashes and lines[n][:1] == "-")
        ),
        len(lines),
    )
    while end > at + 1 and (not lines[end - 1].strip() or lines[end - 1].startswith("#")):
        end -= 1
    return end
