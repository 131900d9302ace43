"""The facts of a job typed as (name, text) pairs, as options of a command are: the same keys, the same checks, the same
job.

They make a job of their own, or stand on top of a job file, whose facts of the same names they replace.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from selector.job.file.grammar import each_line
from selector.job.file.model import Job
from selector.job.file.read import job_from_node, locate_job
from selector.job.file.stages import heat_stages, outdoor_stages
from selector.job.line.asked_units import in_asked_units
from selector.job.line.by_stage import stages_in
from selector.job.line.typed_line import typed_reading
from selector.job.line.typed_names import MARKS, READINGS, field_of, path_of, unknown
from selector.problems import Problem, Refused
from selector.solve.board.marks import marks_of
from selector.table.library.library import load
from selector.table.model.table import Table
from selector.table.source import Source, source_from_text
from selector.table.text.nodes import Mapping, Node, Scalar
from selector.table.text.nodes import Sequence as Items
from selector.table.text.slips.find_slips import odd_letters
from selector.table.text.words import Names
from selector.value import Struct

Pair = tuple[str, str]


class _Entry(Struct, frozen=True):
    path: tuple[str, ...]
    text: str
    line: int
    column: int


def job_from_pairs(pairs: Iterable[Pair], file: str = "command line") -> tuple[Job, tuple[Problem, ...]]:
    """The job that pairs of name and text stand for, with remarks. Raises Refused with every problem; a problem's line
    is the pair's number.

    Names are those of a job file: `altitude`, `heat input`, `heat input low` (a stage), `found SW1`, `target cooling
    second`, and `SHORT` ones.
    """
    listed = list(pairs)
    source = Source(file=file, text="", lines=tuple(f"{name}: {text}" for name, text in listed))
    root = Mapping([(Scalar("format", 0, 1, "plain"), Scalar("selector job 1", 0, 1, "plain"))], 1, 1, False)
    for entry in _entries(listed, source, 0, _named_table(listed)):
        _put(root, entry)
    _add_readings(root, listed, source, 0)
    return job_from_node(root, source)


def job_with_pairs(source: Source, pairs: Iterable[Pair]) -> tuple[Job, tuple[Problem, ...]]:
    """The job of a file with pairs on top: each replaces the fact of its name, or is added. Raises Refused with every
    problem.

    The pairs count as further lines of the file, so that every figure still has its place.
    """
    listed = list(pairs)
    lines = (*source.lines, *(f"{name}: {text}" for name, text in listed))
    both = Source(file=f"{source.file} + command line", text=source.text, lines=lines)
    root = locate_job(source)
    table = _named_table([*((k.text, v.text) for k, v in root.items if isinstance(v, Scalar)), *listed])
    now = _last_visit(root)
    for entry in _entries(listed, both, len(source.lines), table):
        _put(now if entry.path[0] in ("as found", "as left") else root, entry, len(source.lines))
    _add_readings(now, listed, both, len(source.lines))
    return job_from_node(root, both)


def _last_visit(root: Mapping) -> Mapping:
    """Where marks and readings that are typed now belong: the last visit, where the file has any."""
    visits = next((node for key, node in root.items if key.text == "visits"), None)
    last = visits.items[-1] if isinstance(visits, Items) and visits.items else None
    return last if isinstance(last, Mapping) else root


def _add_readings(root: Mapping, pairs: Sequence[Pair], source: Source, before: int) -> None:
    """Every `measured` as one more entry of the measurements, what was seen with it behind what was seen. Raises
    Refused with every one that can't be read."""
    problems = []
    for number, (name, text) in enumerate(pairs, before + 1):
        if name.strip().casefold() not in READINGS:
            continue
        read = typed_reading(text)
        if isinstance(read, Problem):
            problems.append(_problem(read.code, read.message, read.help, number, name, source))
            continue
        column = len(name) + 3

        def leaf(word: str, *, of: str = text, line: int = number, column: int = column) -> Scalar:
            return Scalar(word, line, column + max(0, of.find(word)), "plain", line)

        if read.keys:
            keys = {"call": read.call, **read.keys}
            _append(root, "measurements", Mapping([(leaf(k), leaf(v)) for k, v in keys.items()], number, column, False))
        for word in read.seen:
            _append(root, "seen", leaf(word))
    if problems:
        raise Refused(problems)


def _append(root: Mapping, key: str, node: Node) -> None:
    """One more item of a list."""
    there = next((old for k, old in root.items if k.text == key), None)
    items = list(there.items) if isinstance(there, Items) else [] if there is None else each_line(there)
    _replace(root, Scalar(key, node.line, 1, "plain"), Items([*items, node], node.line, 1, False))


def _named_table(pairs: Sequence[Pair]) -> Table | None:
    """The table that is named last, where it can be read; what is wrong with it is said elsewhere."""
    named = [text for name, text in pairs if name.casefold() == "table"]
    try:
        return load(named[-1])[0] if named else None
    except Refused:
        return None


def _entries(pairs: Sequence[Pair], source: Source, before: int, table: Table | None) -> list[_Entry]:
    """Every pair at its path, one with figures by stage as one entry a stage. Raises Refused with every name that
    belongs nowhere."""
    entries: list[_Entry] = []
    for line in source.lines[before:]:
        source_from_text(line, source.file)
    problems = odd_letters(source, before)
    for number, (name, text) in enumerate(pairs, before + 1):
        if name.strip().casefold() in READINGS:
            continue
        meant = _as_delivered(text, table, pairs) if name.strip().casefold() in MARKS else text
        found = list(_of_pair(name, meant, number, table))
        if not found:
            message, help = unknown(name, text, table)
            problems.append(_problem("unknown-key", message, help, number, name, source))
        for one in found:
            first = next((entry for entry in entries if entry.path == one.path), None)
            if first is not None:
                problems.append(_twice(name, number, first.line, source))
        entries += found
    if problems:
        raise Refused(problems)
    return entries


_NEVER_SET = ("factory", "factory setting", "as delivered", "delivered", "never set")


def _as_delivered(text: str, table: Table | None, pairs: Sequence[Pair]) -> str:
    """The marks that `found=never set` stands for: those of the factory, of this model where it is told."""
    if table is None or " ".join(text.casefold().split()) not in _NEVER_SET:
        return text
    typed = next((told for name, told in reversed(pairs) if name.casefold() == "model"), "")
    return marks_of(table.delivered(Names(table.unit.models).find(typed)), table)


def _of_pair(name: str, text: str, number: int, table: Table | None) -> Iterator[_Entry]:
    """A pair's entries; none where its name belongs nowhere."""
    column = len(name) + 3
    path = path_of("airflow per ton" if name.strip().casefold() == "aim" and "/ton" in text.replace(" ", "") else name)
    if path is None:
        if name.strip().casefold() in MARKS and "=" in text:
            yield from (
                _Entry(path, marks, number, column)
                for selector, marks in several_marks(text)
                if (path := path_of(f"{name} {selector}")) is not None
            )
        return
    field = field_of(path)
    by_stage = (
        stages_in(text, field, _stage_names(path, table)) if field is not None and "by stage" in field.form else None
    )
    if by_stage is None:
        yield _Entry(path, in_asked_units(_completed(name, path, text), field), number, column)
        return
    for stage, figure in by_stage.items():
        yield _Entry((*path, stage), figure, number, column + max(0, text.find(figure)))


def several_marks(text: str) -> list[Pair]:
    """`SW1=0010 J2=a` as pairs; leads of taps (`M1=Y1=2 Y2=5`) stay together."""
    first, _, rest = text.partition("=")
    if "=" in rest.partition(" ")[0]:
        return [(first.strip(), rest)]
    return re.findall(r"(\S+?)=(.*?)\s*(?=\S+=|$)", text)


def _stage_names(path: tuple[str, ...], table: Table | None) -> tuple[str, ...]:
    if table is None:
        return ()
    return outdoor_stages(table) if path[0] == "outdoor unit" else heat_stages(table)


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


def _put(root: Mapping, entry: _Entry, before: int = 0) -> None:
    """One entry into the tree, in the place of what stands there from the file (its lines end at `before`).

    A figure without a stage beside typed figures with one stands for the stages not named.
    """
    at = root
    for key in entry.path[:-1]:
        inner = next((node for k, node in at.items if k.text == key), None)
        if inner is None or (isinstance(inner, Scalar) and not inner.text):
            inner = Mapping([], entry.line, 1, False)
            _replace(at, Scalar(key, entry.line, 1, "plain"), inner)
        if not isinstance(inner, Mapping):
            inner = _with_stages(at, key, inner)
        at = inner
    key = entry.path[-1]
    there = next((node for k, node in at.items if k.text == key), None)
    if isinstance(there, Mapping) and there.line > before:
        at, key = there, ""
    _replace(at, Scalar(key, entry.line, 1, "plain"), Scalar(entry.text, entry.line, entry.column, "plain", entry.line))


def _replace(at: Mapping, key: Scalar, node: Node) -> None:
    """The node under its key, in the place of one that is there."""
    if any(k.text == key.text for k, _ in at.items):
        at.items[:] = [(key, node) if k.text == key.text else (k, old) for k, old in at.items]
    else:
        at.items.append((key, node))


def _with_stages(at: Mapping, key: str, plain: Node) -> Mapping:
    grown = Mapping([(Scalar("", plain.line, 1, "plain"), plain)], plain.line, 1, False)
    at.items[:] = [(k, grown if k.text == key else node) for k, node in at.items]
    return grown


def _twice(name: str, number: int, first: int, source: Source) -> Problem:
    message = f"`{name}` is typed twice, first as {source.lines[first - 1]}"
    return _problem("typed-twice", message, "leave one", number, name, source)


def _problem(code: str, message: str, help: str, number: int, name: str, source: Source) -> Problem:
    return Problem(
        file=source.file,
        line=number,
        column=1,
        code=code,
        message=message,
        help=help,
        source=source.lines[number - 1],
        length=len(name),
    )
