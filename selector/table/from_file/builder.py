"""The state of one build, and the small readings every part of it uses."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from selector.table.from_file.figures import BadFigure, figure, figure_range
from selector.table.model.quantities import QUANTITIES, RESERVED_WORDS
from selector.table.model.table import Call, Chart, Fact, Part, Ramp, Rating, Selector, Units
from selector.table.source import Source
from selector.table.text.nodes import Scalar
from selector.table.text.report import FileReport, meant
from selector.table.text.shapes import Fields
from selector.table.text.words import TO_TYPE, Item, Names, items_of
from selector.units import BTUH_PER_KW
from selector.value import Struct, field

REQUIRED = ("board", "charts")
"""Keys that a file must have: where one is missing, the names that would stand under it are no problems of their
own."""
HEAT_FACTOR = {"Btu/h": Fraction(1), "MBH": Fraction(1000), "kW": BTUH_PER_KW}


class Builder(Struct):
    """The state of one build: the report, and what has been declared so far."""

    source: Source
    report: FileReport
    unfinished: bool = False
    """Figures still to type are no problems."""
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
    written: dict[str, frozenset[str]] = field(default_factory=dict)
    """Names of the person's own by the key they stand under, folded; one that wasn't built has had its problem told
    already."""
    unsound_calls: set[str] = field(default_factory=set)
    """Calls with a problem, or that name what has one."""
    missed: int = 0
    """How often a name was met that wasn't built."""
    plate_by: list[tuple[str, str, Scalar, dict[str, tuple[Scalar, Any]]]] = field(default_factory=list)
    """Rises of the plate by the positions of a selector: its name, where it stands, the rise of each position."""
    strange: tuple[str, ...] = ()
    """Keys of the file that aren't known: what stands under them may have been meant."""
    unit_table: dict[str, dict[str, Fraction]] = field(default_factory=dict)

    def words(self, node: Any) -> list[Item]:
        """The items of a list node."""
        return items_of(node, self.source.lines)

    def declare(self, name: str, key: Scalar) -> bool:
        """Take a name; a problem if it is taken or reserved."""
        folded = name.casefold()
        why = ""
        if not folded:
            why = "there is no name before this colon"
        elif folded in RESERVED_WORDS or folded.startswith("call ") or folded in ("-", "?", "*", TO_TYPE):
            why = f"`{name}` has a meaning of its own and can't be a name of yours"
        elif "," in name or ";" in name:
            why = f"the name `{name}` holds a comma or semicolon, which part the names of a list"
        elif _is_figure(name):
            why = f"`{name}` is a figure and can't be a name of yours"
        if why:
            plain = " ".join(name.replace(",", " ").replace(";", " ").split())
            if folded in QUANTITIES:
                why += ": it is a quantity"
            self.report.at(
                key,
                "reserved-name",
                why,
                f"type another name, for example {plain if plain != name else f'my {plain}'.strip()}",
            )
            return False
        if folded in self.taken:
            first = self.taken[folded].line
            self.report.at(
                key,
                "name-taken",
                f"the name `{name}` is listed twice, first on line {first}",
                "give one of them another name",
            )
            return False
        self.taken[folded] = Item(name, key.line, key.column)
        return True

    def lost(self, text: str, keys: Iterable[str]) -> bool:
        """Whether a name that isn't known is that of something with a problem of its own, or of a switch or lead of
        it."""
        if not self.report.failed:
            return False
        if any(key in REQUIRED and key not in self.written for key in keys):
            return True
        folded = " ".join(text.casefold().split())
        whole = {n.casefold() for n in (*self.selectors, *self.facts, *self.charts, *self.ramps)}
        names = {n for key in (*keys, *self.strange) for n in self.written.get(key, ())} - whole
        return any(folded == n or folded.startswith(f"{n}-") for n in names)

    def some_lost(self, key: str) -> bool:
        """Whether something written under a key of the file couldn't be built."""
        whole = {n.casefold() for n in (*self.selectors, *self.facts, *self.charts, *self.ramps)}
        return self.report.failed and not self.written.get(key, frozenset()) <= whole

    def unknown_name(
        self, node: Any, text: str, what: str, known: Iterable[str], keys: Iterable[str], otherwise: str = ""
    ) -> None:
        """A name that nothing under these keys of the file has; nothing is said where what has it wasn't built."""
        if self.lost(text, keys):
            self.missed += 1
        else:
            self.unknown(node, text, "unknown-name", what, known, otherwise)

    def unknown(self, node: Any, text: str, code: str, what: str, known: Iterable[str], otherwise: str = "") -> None:
        """A word that isn't one of those known."""
        if text == TO_TYPE:
            self.report.at(node, "still-to-type", "a word is still to type here", f"type it in place of the {TO_TYPE}")
            return
        self.report.at(node, code, f"`{text}` is not {what}", meant(text, known, otherwise))


def _is_figure(name: str) -> bool:
    try:
        figure(name, {"%": Fraction(1)})
    except BadFigure:
        return False
    return True


def text_of(fields: Fields | None, key: str) -> str:
    """The text of a key, empty where it isn't there."""
    node = fields.get(key) if fields is not None else None
    return node.text if isinstance(node, Scalar) else ""


def static_of(b: Builder, fields: Fields) -> Fraction | None:
    """`holds up to`, in the file's unit of pressure."""
    node = fields.get("holds up to")
    return positive_of(b, node, {b.units.pressure.casefold(): Fraction(1)}) if node is not None else None


def figure_of(b: Builder, node: Scalar, words: dict[str, Fraction], default: Fraction = Fraction(1)) -> Fraction | None:
    """A figure in the units allowed here, None after a problem."""
    if node.text == TO_TYPE:
        b.report.at(node, "still-to-type", "a figure is still to type here", f"type it in place of the {TO_TYPE}")
        return None
    try:
        return figure(node.text, words, default)
    except BadFigure as wrong:
        b.report.at(node, "bad-figure", str(wrong), f"type {wrong.instead}")
        return None


def positive_of(
    b: Builder, node: Scalar, words: dict[str, Fraction], default: Fraction = Fraction(1)
) -> Fraction | None:
    """A figure above 0, None after a problem."""
    value = figure_of(b, node, words, default)
    if value is not None and value <= 0:
        b.report.at(node, "not-above-0", f"`{node.text}` must be more than 0", "type the figure as the page prints it")
        return None
    return value


def range_of(
    b: Builder, node: Scalar, words: dict[str, Fraction], default: Fraction = Fraction(1), *, below_0: bool = False
) -> tuple[Fraction, Fraction] | None:
    """A range in the units allowed here; None after a problem."""
    try:
        found = figure_range(node.text, words, default)
    except BadFigure as wrong:
        b.report.at(node, "bad-range", str(wrong), f"type {wrong.instead}")
        return None
    if found[0] < 0 and not below_0:
        b.report.at(
            node, "bad-range", f"the range `{node.text}` begins below 0", "type the lower figure without a sign"
        )
        return None
    return found


def indent_of(b: Builder, line: int) -> int:
    """The column of the first character of a line."""
    text = b.source.lines[line - 1]
    return len(text) - len(text.lstrip()) + 1
