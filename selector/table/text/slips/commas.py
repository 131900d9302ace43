"""Commas within braces and brackets that end a value where none was meant to end, and colons without a blank."""

from __future__ import annotations

import re
from typing import Literal

from selector.table.text.slips.slip_list import SlipList, clipped, in_quotes
from selector.value import Struct, field

_TIGHT_IN_BRACES = re.compile(r"([^:]+):(?!//)(?=[^ ])")
_TIGHT_IN_BRACKETS = re.compile(r"([^\W\d][^:]*):(?!//)(?=[^ ])")
_THREE_DIGITS = re.compile(r"\d{3}(?!\d)")
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+")
_FIRST_DIGITS = re.compile(r"(?<![\w.,])[1-9]\d{0,2}$")


class Entry(Struct):
    """What stands between two commas: a value, or a name and a value. `slot` tells what stands in the place being
    read."""

    slot: Literal["empty", "text", "quoted", "closed", "cut"] = "empty"
    text: str = ""
    line: int = 0
    column: int = 0
    colon: bool = False
    key: str = ""
    told: bool = False
    """Whether a problem of this entry has been told, so that what follows from it isn't told as well."""


class Opening(Struct):
    """One brace or bracket that is open."""

    char: str
    line: int
    column: int
    entry: Entry = field(default_factory=Entry)
    before: Entry | None = None
    """The last entry that was whole."""
    comma: tuple[int, int] = (0, 0)
    pieces: list[str] = field(default_factory=list)
    """Parts of one value that commas have split, the value first."""
    pieces_at: tuple[int, int] = (0, 0)
    thousands: bool = False
    """Whether the value before has been told as a number with a comma in it."""
    bare: bool = False
    """Whether a value without a name has been told, or follows from a problem that has."""
    keys: dict[str, int] = field(default_factory=dict)


def tight_colon(slips: SlipList, char: str, entry: Entry) -> bool:
    """Whether a colon without a blank stands where a name and a value were meant."""
    if entry.slot != "text" or entry.colon:
        return False
    match = (_TIGHT_IN_BRACES if char == "{" else _TIGHT_IN_BRACKETS).match(entry.text)
    if match:
        column = min(entry.column + match.end(1), len(slips.source.lines[entry.line]))
        slips.tight_colon(entry.line, column, match[1], entry.text[match.end() :])
    return bool(match)


def number_with_comma(slips: SlipList, opened: Opening, entry: Entry) -> bool:
    """Whether this entry is the last three digits of a number with a comma in it."""
    before = opened.before
    if (
        before is None
        or entry.colon
        or entry.slot != "text"
        or before.slot != "text"
        or opened.comma != (entry.line, entry.column - 1)
    ):
        return False
    first, rest = _FIRST_DIGITS.search(before.text), _THREE_DIGITS.match(entry.text)
    if not rest:
        return False
    if opened.thousands:
        return True
    if not first or before.line != entry.line or before.column + len(before.text) != entry.column - 1:
        return False
    opened.thousands = True
    column = entry.column - 1 - len(first[0])
    number = _THOUSANDS.match(slips.source.lines[entry.line], column)
    whole = number[0] if number else f"{first[0]},{rest[0]}"
    message = f"The comma splits `{whole}` into values of their own: {' and '.join(whole.split(','))}."
    apart = whole.replace(",", ", ") if opened.char == "[" else whole.replace(",", " ")
    remedy = f"For one number type `{whole.replace(',', '')}`; for several type `{apart}`."
    slips.add(entry.line, column, "thousands-comma", message, remedy, len(whole))
    return True


def tell_split(slips: SlipList, opened: Opening, *, free: bool) -> None:
    """Tell of a value that commas have split, once all its pieces are known."""
    pieces, before = opened.pieces, opened.before
    if pieces and before is not None:
        key = clipped(before.key)
        message = f"In braces a comma ends a value: `{clipped(pieces[1])}` is cut off from `{key}`."
        if free:
            remedy = f"Put the text in quotes: `{key}: {in_quotes(', '.join(pieces))}`."
        elif any(" " in piece for piece in pieces):
            remedy = f"Give it a line of its own, outside the braces: `{key}: {clipped(', '.join(pieces))}`."
        else:
            remedy = f"Type blanks between the words, without commas: `{key}: {clipped(' '.join(pieces))}`."
        slips.add(*opened.pieces_at, "comma-in-braces", message, remedy)
    opened.pieces = []
