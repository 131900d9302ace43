"""A job file's next version: its text as the person left it, with what a visit read, saw and did added."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from selector.job.file.text import quoted
from selector.value import Struct, field

_DASH = re.compile(r"( *)- ")
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


class Added(Struct, frozen=True, kw_only=True):
    """What is added to a job or a visit: readings (call, keys), marks by selector, sentences."""

    by: str = ""
    found: Mapping[str, str] = field(default_factory=dict)
    left: Mapping[str, str] = field(default_factory=dict)
    readings: tuple[tuple[str, Mapping[str, str]], ...] = ()
    seen: tuple[str, ...] = ()
    cleared: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def with_added(lines: Sequence[str], added: Added) -> str:
    """The text of the file with what is added behind what it has."""
    return "\n".join(_with(_trimmed(lines), added)) + "\n"


def with_visit(lines: Sequence[str], date: str, added: Added) -> str:
    """The text of the file with what is added at the visit of that date, the first one included; a new visit behind
    the others where it has none. A visit written in braces on one line can't be added to: ValueError."""
    out = _trimmed(lines)
    if any(line.split() == ["date:", date] for line in out if line.startswith("date:")):
        return with_added(lines, added)
    at = _key(out, "visits")
    if at is None:
        return "\n".join([*out, "visits:", *_entry(["date: " + date], added, "  ")]) + "\n"
    end = _end(out, at, dashes=True)
    dashes = [n for n in range(at + 1, end) if _DASH.match(out[n])]
    indent = min((len(_DASH.match(out[n])[1]) for n in dashes), default=2)  # type: ignore[index]
    starts = [n for n in dashes if len(_DASH.match(out[n])[1]) == indent]  # type: ignore[index]
    for start, stop in zip(starts, [*starts[1:], end], strict=True):
        if out[start].strip(" -").startswith("{"):
            if re.search(rf"\bdate:\s*{re.escape(date)}\b", out[start]):
                raise ValueError(f"line {start + 1}")
            continue
        body = [line[indent + 2 :] for line in (out[start].replace("-", " ", 1), *out[start + 1 : stop])]
        if any(line.split() == ["date:", date] for line in body):
            return "\n".join([*out[:start], *_entry(body, added, " " * indent), *out[stop:]]) + "\n"
    return "\n".join([*out[:end], *_entry(["date: " + date], added, " " * indent), *out[end:]]) + "\n"


def _entry(body: Sequence[str], added: Added, indent: str) -> list[str]:
    """An entry of a list with what is added to it."""
    lines = _with(_trimmed(body), added)
    return [f"{indent}{'- ' if n == 0 else '  '}{line}".rstrip() for n, line in enumerate(lines)]


def _trimmed(lines: Sequence[str]) -> list[str]:
    out = list(lines)
    while out and not out[-1].strip():
        out.pop()
    return out


def _with(lines: list[str], added: Added) -> list[str]:
    if added.by:
        lines = [*lines, f"by: {quoted(added.by)}"]
    for key, marks in (("as found", added.found), ("as left", added.left)):
        if marks:
            lines = _with_marks(lines, key, marks)
    if added.readings:
        lines = _with_items(lines, added.readings)
    for key in ("seen", "cleared", "done", "notes"):
        sentences = getattr(added, key)
        if sentences:
            lines = _with_sentences(lines, key, sentences)
    return lines


def _with_marks(lines: list[str], key: str, marks: Mapping[str, str]) -> list[str]:
    new = [f"  {selector}: {quoted(text)}" for selector, text in marks.items()]
    at = _key(lines, key)
    if at is None:
        return [*lines, f"{key}:", *new]
    end = _end(lines, at, dashes=False)
    return [*lines[:end], *new, *lines[end:]]


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


def _with_sentences(lines: list[str], key: str, new: Sequence[str]) -> list[str]:
    at = _key(lines, key)
    if at is None:
        return [*lines, f"{key}: |", *(f"  {one}" for one in new)]
    before = lines[at].partition(":")[2].strip()
    end = _end(lines, at, dashes=True)
    if before == "|":
        return [*lines[:end], *(f"  {one}" for one in new), *lines[end:]]
    if before:
        return [*lines[:at], f"{key}: |", f"  {before.strip(chr(39))}", *(f"  {one}" for one in new), *lines[at + 1 :]]
    dash = next((line for line in lines[at + 1 : end] if line.lstrip().startswith("- ")), "  - ")
    indent = dash[: len(dash) - len(dash.lstrip())]
    return [*lines[:end], *(f"{indent}- {quoted(one)}" for one in new), *lines[end:]]


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
