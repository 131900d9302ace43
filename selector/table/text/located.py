"""A table file as names and values, each with its place: text exactly as typed, nothing guessed."""

from __future__ import annotations

import gc
from collections.abc import Callable, Collection
from typing import Any

import yaml
from yaml.parser import Parser
from yaml.reader import Reader
from yaml.scanner import Scanner

from selector.problems import Problem, Refused
from selector.table.source import Source
from selector.table.text.nodes import Mapping, Node, Scalar, Sequence, Style
from selector.table.text.slips.find_slips import FREE_NAMES, ROW_NAMES, Slips, find_slips
from selector.table.text.slips.slip_list import SlipList

try:
    from yaml._yaml import CParser
except ImportError:  # the slower parser gives the same answers
    CParser = None  # type: ignore[assignment,misc]


def locate(
    source: Source,
    *,
    pure: bool = False,
    free_names: Collection[str] = FREE_NAMES,
    row_names: Collection[str] = ROW_NAMES,
) -> Mapping:
    """The table of a text. Raises `Refused` with all slips that can be told at once.

    `pure` takes the parser written in Python even where the faster one is there. `free_names` are names whose values
    are sentences,
    `row_names` those whose values are rows.
    """
    slips = find_slips(source, free_names=free_names, row_names=row_names)
    if slips.problems:
        raise Refused(slips.problems)
    was_collecting = gc.isenabled()
    gc.disable()
    try:
        return _build(source, slips, pure or CParser is None)
    except yaml.MarkedYAMLError as error:
        raise _not_understood(source, error) from error
    except (yaml.YAMLError, RecursionError) as error:
        raise Refused([_problem(source, 1, 1)]) from error
    finally:
        if was_collecting:
            gc.enable()


class _PureParser(Reader, Scanner, Parser):
    """The parser written in Python: events alone, nothing built."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        Parser.__init__(self)


def _build(source: Source, slips: Slips, pure: bool) -> Mapping:
    """The tree from the parser's events, without recursion."""
    text, stand_in = slips.text, ""
    if "?" in text:  # the two parsers disagree about it in braces; a value that begins with it has been refused already
        stand_in = _unused(text)
        text = text.replace("?", stand_in)
    next_event: Callable[[], Any] = (_PureParser(text) if pure else CParser(text)).get_event
    text_ends = slips.text_ends
    found = SlipList(source)
    items: list[Node] = []
    pairs: list[tuple[Scalar, Node]] | None = None
    key: Scalar | None = None
    key_end = (0, 0)
    outer: list[tuple[list[Node], list[tuple[Scalar, Node]] | None, Scalar | None]] = []
    node: Any
    while (event := next_event()) is not None:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            mark, end = event.start_mark, event.end_mark
            style = _STYLES[event.style or ""]
            value = event.value.replace(stand_in, "?") if stand_in else event.value
            last = text_ends.get(mark.line, end.line) if style in ("literal", "folded") else end.line
            if value or style != "plain" or key is None:
                node = Scalar(value, mark.line + 1, mark.column + 1, style, last + 1)
            else:
                line, column = _after_colon(source, *key_end)
                node = Scalar("", line, column, "plain", line)
            if pairs is not None and key is None:
                key, key_end = node, (end.line, end.column)
                continue
        elif kind is yaml.MappingStartEvent:
            node = Mapping([], event.start_mark.line + 1, event.start_mark.column + 1, bool(event.flow_style))
        elif kind is yaml.SequenceStartEvent:
            node = Sequence([], event.start_mark.line + 1, event.start_mark.column + 1, bool(event.flow_style))
        elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
            if pairs is not None and len(pairs) > 1:
                _check_doubled(found, pairs)
            items, pairs, key = outer.pop()
            continue
        elif kind is yaml.AliasEvent:
            raise _not_understood(source, None, event.start_mark)
        else:
            continue
        if event.anchor is not None or event.tag is not None:
            raise _not_understood(source, None, event.start_mark)
        if pairs is None:
            items.append(node)
        elif key is None:
            raise _not_understood(source, None, event.start_mark)
        else:
            pairs.append((key, node))
            key = None
        if kind is not yaml.ScalarEvent:
            outer.append((items, pairs, key))
            items, pairs, key = ([], node.items, None) if kind is yaml.MappingStartEvent else (node.items, None, None)
    if found.problems:
        raise Refused(found.problems)
    if len(items) != 1 or not isinstance(items[0], Mapping):
        raise Refused([_problem(source, 1, 1)])
    return items[0]


_STYLES: dict[str, Style] = {"": "plain", "'": "quoted", '"': "quoted", "|": "literal", ">": "folded"}


def _unused(text: str) -> str:
    """A character that doesn't stand in the text, nor its number."""
    lower = text.lower()
    return next(
        chr(number) for number in range(0xE000, 0xF8FF) if chr(number) not in text and f"{number:x}" not in lower
    )


def _after_colon(source: Source, line: int, column: int) -> tuple[int, int]:
    """The place, from 1, after the colon of the name that ends here."""
    text = source.lines[line]
    colon = text.find(":", column)
    return line + 1, (colon + 2 if colon >= 0 and not text[column:colon].strip() else column + 1)


def _check_doubled(found: SlipList, pairs: list[tuple[Scalar, Node]]) -> None:
    first: dict[str, int] = {}
    for key, _ in pairs:
        if key.text in first:
            found.doubled_key(key.line - 1, key.column - 1, key.text, first[key.text] - 1)
        first.setdefault(key.text, key.line)


def _not_understood(source: Source, error: yaml.MarkedYAMLError | None, mark: Any = None) -> Refused:
    """The refusal where the parser stumbles over something that no slip explains."""
    if error is not None:
        mark = error.problem_mark or error.context_mark
    return Refused([_problem(source, mark.line + 1, mark.column + 1) if mark else _problem(source, 1, 1)])


def _problem(source: Source, line: int, column: int) -> Problem:
    line = min(line, max(1, len(source.lines)))
    return Problem(
        file=source.file,
        line=line,
        column=column,
        code="not-understood",
        message="The file can't be read from here on.",
        help=(
            "Every line is `name: value`, or `name:` with lines below it that start further right. Put a text that"
            " holds : # [ or { in quotes."
        ),
        source=source.lines[line - 1] if source.lines else "",
    )
