"""The figures of a table's charts, each with its place in the text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

WORDS = ("not used", "reserved", "do not use", "as ")
TOKEN = re.compile(r"off pins|[+-]?\d+(?:\.\d+)?(?: ?(?:%|s\b|kW\b))?|\S+")
FIGURE = re.compile(r"([+-]?)(\d+(?:\.\d+)?)(.*)")


@dataclass(frozen=True)
class Cell:
    """One figure: `line` and `column` count from 1, `row` and `head` from 0 within the chart."""

    chart: str
    quantity: str
    line: int
    column: int
    row: int
    head: int
    text: str

    @property
    def sign(self) -> str:
        """The typed sign, or nothing."""
        return self._part(1)

    @property
    def digits(self) -> str:
        """The figure without sign and unit."""
        return self._part(2)

    @property
    def unit(self) -> str:
        """What stands after the digits."""
        return self._part(3)

    def _part(self, group: int) -> str:
        found = FIGURE.fullmatch(self.text)
        assert found is not None
        return found.group(group)

    def typed(self, digits: str, sign: str | None = None) -> str:
        """This cell's text with other digits."""
        return (self.sign if sign is None else sign) + digits + self.unit


def weight(quantity: str, text: str) -> float:
    """What a figure does: trims and reductions as the factor they are, all else as typed."""
    found = FIGURE.fullmatch(text)
    assert found is not None
    figure = float(found.group(1) + found.group(2))
    if quantity == "trim":
        return 1 + figure / 100
    return 1 - figure / 100 if quantity == "reduction" else figure


def cells(text: str) -> list[Cell]:
    """All figures in the rows of the charts of a table made by `pages`."""
    found: list[Cell] = []
    rows: dict[str, int] = {}
    lines = text.splitlines()
    start, end = lines.index("charts:"), lines.index("calls:")
    name, selectors, quantities, inside = "", 0, [""], False
    for number in range(start + 1, end):
        line = lines[number]
        indent = len(line) - len(line.lstrip())
        if indent == 0:
            break
        if indent == 2:
            name, selectors, quantities, inside = line.strip(" :"), 0, [""], False
        elif indent == 4:
            key, _, value = line.strip().partition(": ")
            inside = key == "rows"
            if key == "set":
                selectors = len(value.split())
            elif key == "gives":
                quantities = value.split(", ")
        elif inside:
            offset = 0
            for part in line.split(";"):
                row = rows[name] = rows.get(name, -1) + 1
                found += _row(part, name, quantities, selectors, row, number + 1, offset)
                offset += len(part) + 1
    return found


def _row(part: str, name: str, quantities: list[str], selectors: int, row: int, line: int, offset: int) -> list[Cell]:
    plain = part.partition("(")[0]
    tokens = list(TOKEN.finditer(plain))
    if selectors > 1 and len(tokens[0].group()) == selectors and tokens[0].group() not in ("ON", "OFF"):
        tokens = tokens[1:]
    else:
        tokens = tokens[selectors:]
    rest = plain[tokens[0].start() :] if tokens else ""
    if rest.startswith(WORDS):
        return []
    return [
        Cell(name, quantities[head % len(quantities)], line, offset + token.start() + 1, row, head, token.group())
        for head, token in enumerate(tokens)
        if FIGURE.fullmatch(token.group())
    ]


def edited(text: str, changes: Mapping[Cell, str]) -> tuple[str, dict[Cell, int]]:
    """The text with these cells typed otherwise, and the column where each now begins."""
    lines = text.split("\n")
    places: dict[Cell, int] = {}
    for number in {cell.line for cell in changes}:
        shift = 0
        for cell in sorted((cell for cell in changes if cell.line == number), key=lambda cell: cell.column):
            line = lines[number - 1]
            at = cell.column - 1 + shift
            assert line[at : at + len(cell.text)] == cell.text
            lines[number - 1] = line[:at] + changes[cell] + line[at + len(cell.text) :]
            places[cell] = at + 1
            shift += len(changes[cell]) - len(cell.text)
    return "\n".join(lines), places
