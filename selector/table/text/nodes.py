"""Names and values of a file, each with its place. What only looks at them needs no parser."""

from __future__ import annotations

from typing import Literal

from selector.value import Struct

Style = Literal["plain", "quoted", "literal", "folded"]


class Scalar(Struct):
    """One text as typed. Line and column, from 1, are those of its first character (of the bar, where it stands below
    one).

    `end_line` is the last source line it covers: the rows below a bar are `source.lines[line:end_line]`.
    """

    text: str
    line: int
    column: int
    style: Style
    end_line: int = 0


class Mapping(Struct):
    """Names with their values, in file order; no name twice. `flow` where it is written in braces."""

    items: list[tuple[Scalar, Node]]
    line: int
    column: int
    flow: bool


class Sequence(Struct):
    """Values in file order. `flow` where they are written in brackets."""

    items: list[Node]
    line: int
    column: int
    flow: bool


Node = Scalar | Mapping | Sequence
