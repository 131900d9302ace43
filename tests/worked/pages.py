"""Reads the paper pages in `tables/*.md`: Markdown tables by heading, figures in sentences, worked answers by number.

Small and strict: a page that isn't laid out as expected is a ValueError, never a guess. Knows nothing of the program.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

TABLES = Path(__file__).parents[2] / "tables"
ANSWERS = "Worked answers"
_NUMBER = re.compile(r"[+-]?(\d{1,3}(,\d{3})+|\d+)?(\.\d+)?")
_RULE = re.compile(r"\|(\s*:?-{3,}:?\s*\|)+")


def number(text: str) -> Fraction:
    """The number in one cell, exactly: `1,190`, `+6 %`, `.66`; a percent sign is dropped."""
    bare = text.strip().removesuffix("%").strip()
    if not any(sign.isdigit() for sign in bare) or not _NUMBER.fullmatch(bare):
        raise ValueError(f"not a number: {text!r}")
    return Fraction(bare.replace(",", ""))


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """One Markdown table: its heads and its rows of cells, as printed."""

    heading: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def folded(self, width: int) -> "Table":
        """The table printed in blocks side by side, each `width` columns wide, put below one another; empty rows
        left out."""
        if len(self.heads) % width:
            raise ValueError(f"{self.heading}: {len(self.heads)} columns are no whole number of blocks of {width}")
        starts = range(0, len(self.heads), width)
        if len({self.heads[at : at + width] for at in starts}) != 1:
            raise ValueError(f"{self.heading}: the blocks have different heads")
        rows = tuple(row[at : at + width] for at in starts for row in self.rows if any(row[at : at + width]))
        return Table(heading=self.heading, heads=self.heads[:width], rows=rows)

    def lookup(self, keys: int) -> dict[tuple[str, ...], tuple[str, ...]]:
        """The cells after the first `keys` columns, by the cells of those columns; a row printed twice is a
        ValueError."""
        found = {row[:keys]: row[keys:] for row in self.rows}
        if len(found) != len(self.rows):
            raise ValueError(f"{self.heading}: a row stands twice")
        return found


@dataclass(frozen=True, kw_only=True, slots=True)
class Page:
    """One paper page: the text before the worked answers, its tables by heading, the worked answers by number."""

    name: str
    text: str
    tables: dict[str, Table]
    answers: dict[int, str]

    def table(self, heading: str) -> Table:
        """The table under the heading; KeyError if there is none."""
        return self.tables[heading]

    def figures(self, pattern: str) -> tuple[Fraction, ...]:
        """The numbers in the groups of the one place in the text that matches the pattern (line ends count as
        blanks)."""
        places = list(re.finditer(pattern, self.text))
        if len(places) != 1:
            raise ValueError(f"{self.name}: {len(places)} places match {pattern!r}")
        return tuple(number(group) for group in places[0].groups())

    def figure(self, pattern: str) -> Fraction:
        """The one number in the one place in the text that matches the pattern."""
        (value,) = self.figures(pattern)
        return value


def _cells(line: str) -> tuple[str, ...]:
    if not (line.startswith("|") and line.endswith("|") and len(line) > 1):
        raise ValueError(f"a table line without bars at both ends: {line!r}")
    return tuple(cell.strip() for cell in line[1:-1].split("|"))


def _table(heading: str, lines: list[str]) -> Table:
    if len(lines) < 3 or not _RULE.fullmatch(lines[1]):
        raise ValueError(f"{heading}: a table needs heads, a rule and rows")
    heads, rows = _cells(lines[0]), tuple(_cells(line) for line in lines[2:])
    for row in rows:
        if len(row) != len(heads):
            raise ValueError(f"{heading}: {len(heads)} heads but {len(row)} cells: {row}")
    return Table(heading=heading, heads=heads, rows=rows)


def parse(name: str, text: str) -> Page:
    """The page in the text; ValueError for two tables under one heading, a ragged table, answers out of order."""
    heading, block, prose = "", list[str](), list[str]()
    tables: dict[str, Table] = {}
    answers: dict[int, str] = {}
    for line in [*(each.strip() for each in text.splitlines()), ""]:
        if line.startswith("|"):
            block.append(line)
            continue
        if block:
            if heading in tables:
                raise ValueError(f"{name}: two tables under {heading!r}")
            tables[heading] = _table(heading, block)
            block = []
        if line.startswith("#"):
            heading = line.lstrip("#").strip()
        elif heading != ANSWERS:
            prose.append(line)
        elif start := re.match(r"(\d+)\. ", line):
            if int(start[1]) != len(answers) + 1:
                raise ValueError(f"{name}: answer {start[1]} is out of order")
            answers[int(start[1])] = line[start.end() :]
        elif line and answers:
            answers[len(answers)] += " " + line
    return Page(name=name, text=re.sub(r"\s+", " ", " ".join(prose)), tables=tables, answers=answers)


def read(name: str) -> Page:
    """The page `tables/NAME.md`."""
    return parse(name, (TABLES / f"{name}.md").read_text(encoding="utf-8"))
