"""What `compare` says: where two transcriptions of one page differ."""

from __future__ import annotations

from typing import Literal

from selector.answers.parts import VERSION
from selector.answers.words.fold import Block
from selector.answers.words.listing import counted
from selector.transcribe.compare.compare import Comparison
from selector.transcribe.compare.difference import Difference
from selector.value import Published


class DifferenceData(Published, frozen=True, kw_only=True):
    """One place; `a` and `b` are what each says, null where it isn't in that file; lines are 0 where there is none."""

    where: str
    line_a: int
    line_b: int
    a: str | None
    b: str | None


class CompareAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector compare."""

    version: Literal[2]
    cells: int
    same: tuple[str, ...]
    differences: tuple[DifferenceData, ...]


def compare_answer(found: Comparison) -> CompareAnswer:
    """A comparison for JSON."""
    return CompareAnswer(
        version=VERSION, cells=found.cells, same=found.taken_as_same, differences=tuple(map(_data, found.differences))
    )


def _data(d: Difference) -> DifferenceData:
    return DifferenceData(where=d.where, line_a=d.line_a, line_b=d.line_b, a=d.a, b=d.b)


def lines(answer: CompareAnswer, first: str, second: str) -> list[Block]:
    """The answer for people; `first` and `second` are the files as they were typed."""
    out: list[Block] = [f"compared as the same: {same}" for same in answer.same]
    for d in answer.differences:
        a, b = _at(first, d.line_a), _at(second, d.line_b)
        if d.a is None or d.b is None:
            there, missing = (b, first) if d.a is None else (a, second)
            out.append(f"{d.where}: in {there}; not in {missing}")
        else:
            out.append(f"{d.where}: {a} has {d.a}; {b} has {d.b}")
    count = len(answer.differences)
    differ = counted(count, "difference") if count else "no difference"
    return [*out, f"{counted(answer.cells, 'cell')} compared: {differ}"]


def _at(file: str, line: int) -> str:
    """The file with the line, or alone where there is no line."""
    return f"{file}:{line}" if line else file
