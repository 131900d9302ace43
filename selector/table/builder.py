"""The state of one build, and the small readings every part of it uses."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from selector.table.figures import BadFigure, figure, figure_range
from selector.table.located import Scalar
from selector.table.model import Call, Chart, Fact, Part, Ramp, Rating, Selector, Units
from selector.table.quantities import RESERVED_WORDS
from selector.table.shapes import Fields, Report
from selector.table.source import Source
from selector.table.units import BTUH_PER_KW
from selector.table.words import Item, Names, items_of

HEAT_FACTOR = {"Btu/h": Fraction(1), "MBH": Fraction(1000), "kW": BTUH_PER_KW}


@dataclass(slots=True)
class Builder:
    """The state of one build: the report, and what has been declared so far."""

    source: Source
    report: Report
    units: Units = field(default_factory=Units)
    models: tuple[str, ...] = ()
    facts: dict[str, Fact] = field(default_factory=dict)
    selectors: dict[str, Selector] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)
    ratings: dict[str, Rating] = field(default_factory=dict)
    ramps: dict[str, Ramp] = field(default_factory=dict)
    charts: dict[str, Chart] = field(default_factory=dict)
    calls: dict[str, Call] = field(default_factory=dict)
    call_names: Names = field(default_factory=lambda: Names(()))
    stage_names: Names = field(default_factory=lambda: Names(()))
    taken: dict[str, Item] = field(default_factory=dict)
    unit_table: dict[str, dict[str, Fraction]] = field(default_factory=dict)

    def words(self, node: Any) -> list[Item]:
        """The items of a list node."""
        return items_of(node, self.source.lines)

    def heat_words(self) -> dict[str, Fraction]:
        """Units of heat as factors to Btu/h."""
        return {
            "btu/h": Fraction(1),
            "btuh": Fraction(1),
            "mbh": Fraction(1000),
            "kbtu/h": Fraction(1000),
            "kw": BTUH_PER_KW,
            "w": BTUH_PER_KW / 1000,
        }

    def declare(self, name: str, key: Scalar) -> bool:
        """Take a name; a problem if it is taken or reserved."""
        folded = name.casefold()
        if folded in RESERVED_WORDS or folded.startswith("call "):
            self.report.at(key, "reserved-name", f"`{name}` has a meaning of its own and can't be a name of yours", f"for example `{name} chart`")
            return False
        if folded in self.taken:
            self.report.at(
                key, "name-taken", f"the name `{name}` stands twice, first on line {self.taken[folded].line}", "give one of them another name"
            )
            return False
        self.taken[folded] = Item(name, key.line, key.column)
        return True


def text_of(fields: Fields | None, key: str) -> str:
    """The text of a key, empty where it isn't there."""
    node = fields.get(key) if fields is not None else None
    return node.text if isinstance(node, Scalar) else ""


def static_of(b: Builder, fields: Fields) -> Fraction | None:
    """`holds up to`, in the file's unit of pressure."""
    node = fields.get("holds up to")
    return figure_of(b, node, {b.units.pressure.casefold(): Fraction(1)}) if node is not None else None


def figure_of(b: Builder, node: Scalar, words: dict[str, Fraction], default: Fraction = Fraction(1)) -> Fraction | None:
    """A figure in the units allowed here, None after a problem."""
    try:
        return figure(node.text, words, default)
    except BadFigure as wrong:
        b.report.at(node, "bad-figure", str(wrong), f"type {wrong.instead}" if wrong.instead else "")
        return None


def range_of(b: Builder, node: Scalar, words: dict[str, Fraction]) -> tuple[Fraction, Fraction] | None:
    """A range in the units allowed here, None after a problem."""
    try:
        return figure_range(node.text, words)
    except BadFigure as wrong:
        b.report.at(node, "bad-range", str(wrong), f"type {wrong.instead}" if wrong.instead else "")
        return None


def indent_of(b: Builder, line: int) -> int:
    """The column of the first character of a line."""
    text = b.source.lines[line - 1]
    return len(text) - len(text.lstrip()) + 1
