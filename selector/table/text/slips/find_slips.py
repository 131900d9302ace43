"""Finds the slips of people who have never heard of the rules a table file keeps: each in plain words, at its place,
with what to type."""

from __future__ import annotations

from collections.abc import Collection

from selector.problems import Problem
from selector.table.source import Source
from selector.table.text.slips.layout import Layout
from selector.table.text.slips.slip_list import LONGEST_LINE, SlipList
from selector.table.text.slips.tabs import check_tabs
from selector.value import Struct

FREE_NAMES = frozenset({"title", "note", "conditions", "transcribed"})
"""Names whose values are sentences: any letters may stand in them."""

ROW_NAMES = frozenset({"rows"})
"""Names whose values are rows: they need a bar."""


class Slips(Struct, frozen=True, kw_only=True):
    """The problems found, sorted; the text with tabs and empty lines made plain, every character still at its place;
    where texts below a bar end."""

    problems: tuple[Problem, ...]
    text: str
    text_ends: dict[int, int]


def odd_letters(source: Source, first: int = 0) -> list[Problem]:
    """Letters that look like others, and characters that can't be seen, in lines from `first` on that are sentences
    each: facts typed on a command line."""
    from selector.table.text.slips.letters import check_letters

    found = SlipList(source)
    check_letters(found, [(first, len(source.lines))], {})
    return found.sorted()


def find_slips(
    source: Source, *, free_names: Collection[str] = FREE_NAMES, row_names: Collection[str] = ROW_NAMES
) -> Slips:
    """All slips of a text. `text_ends` tells for the line of each bar (counted from 0) the last line of the text
    below it."""
    found = SlipList(source)
    for at, line in enumerate(source.lines):
        if len(line) > LONGEST_LINE:
            message = f"This line is longer than {LONGEST_LINE:,} characters."
            remedy = "Type each name and value, and each row, on a line of its own."
            long_line = Problem(file=source.file, line=at + 1, column=1, code="long-line", message=message, help=remedy)
            return Slips(problems=(long_line,), text=source.text, text_ends={})
    layout = Layout(found, free_names, row_names)
    if layout.tabs:
        check_tabs(found, layout.level_tabs)
    if not source.text.isascii():
        from selector.table.text.slips.letters import check_letters  # 4 ms, for few files

        check_letters(found, layout.free_texts, layout.free_spans)
    text = source.text.replace("\t", " ") if layout.tabs else source.text
    if layout.ragged:
        text = "\n".join(line if line.strip(" ") else "" for line in text.split("\n"))
    return Slips(problems=tuple(found.sorted()), text=text, text_ends=layout.text_ends)
