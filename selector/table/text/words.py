"""Words with their places: lists as people type them, and declared names matched as wholes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Sequence as Seq
from fractions import Fraction

from selector.table.text.nodes import Mapping, Node, Scalar, Sequence
from selector.value import Struct

TO_TYPE = "_"
"""Stands where something is still to be typed, as a form has a line to write on."""


class Item(Struct, frozen=True):
    """A word or a name, and where it stands."""

    text: str
    line: int
    column: int


_WORD = re.compile(r"\S+")


def items_of(node: Node, lines: Seq[str]) -> list[Item]:
    """The words of a scalar, one item for each element of a sequence; commas split where they stand, `300 to 450
    step 5` is counted out."""
    if isinstance(node, Sequence):
        each = [n for n in node.items if isinstance(n, Scalar)]
        return [Item(word, n.line, n.column) for n in each for word in _counted(n.text) or [n.text.strip()]]
    if isinstance(node, Mapping):
        return []
    if " step " in node.text and (counted := _counted(node.text)):
        return [Item(word, node.line, node.column) for word in counted]
    pieces = _pieces(node, lines)
    if any("," in text for text, _, _ in pieces):
        return [item for piece in pieces for item in _split(piece, re.compile(r"[^,]+"))]
    return [item for piece in pieces for item in _split(piece, _WORD)]


def _counted(text: str) -> list[str] | None:
    try:
        return expand_steps(text)
    except ValueError:
        return None


def _pieces(node: Scalar, lines: Seq[str]) -> list[tuple[str, int, int]]:
    if node.style == "plain" and node.end_line > node.line:
        first = lines[node.line - 1][node.column - 1 :]
        out = [(first, node.line, node.column)]
        for number in range(node.line + 1, node.end_line + 1):
            text = lines[number - 1]
            out.append((text, number, 1))
        return out
    if node.style in ("literal", "folded"):
        return [(lines[n - 1], n, 1) for n in range(node.line + 1, node.end_line + 1)]
    return [(node.text, node.line, node.column + (1 if node.style == "quoted" else 0))]


def _split(piece: tuple[str, int, int], pattern: re.Pattern[str]) -> list[Item]:
    text, line, column = piece
    out = []
    for m in pattern.finditer(text):
        word = m.group().strip()
        if word:
            out.append(Item(word, line, column + m.start() + len(m.group()) - len(m.group().lstrip())))
    return out


class Names:
    """A set of declared names. Case is ignored unless two differ only by it."""

    def __init__(self, names: Iterable[str]) -> None:
        self.names: tuple[str, ...] = tuple(names)
        self._exact = set(self.names)
        self._folded: dict[str, str] = {}
        double: set[str] = set()
        for name in self.names:
            key = name.casefold()
            if key in self._folded and self._folded[key] != name:
                double.add(key)
            self._folded.setdefault(key, name)
        for key in double:
            del self._folded[key]
        self.longest = max((len(n.split()) for n in self.names), default=1)

    def __contains__(self, text: object) -> bool:
        return isinstance(text, str) and self.find(text) is not None

    def find(self, text: str) -> str | None:
        """The declared name a text stands for, or None."""
        text = " ".join(text.split())
        if text in self._exact:
            return text
        return self._folded.get(text.casefold())


class Matched(Struct, frozen=True):
    """The result of reading a list against declared names: what was matched, what wasn't, and whether two readings
    are complete."""

    found: tuple[tuple[str, Item], ...]
    unknown: tuple[Item, ...]
    ambiguous: bool = False


def match_names(items: Seq[Item], names: Names) -> Matched:
    """Read words as declared names, as wholes and longest first. Two complete readings are reported as ambiguous."""
    words = list(items)
    found: list[tuple[str, Item]] = []
    unknown: list[Item] = []
    at = 0
    while at < len(words):
        for length in range(min(names.longest, len(words) - at), 0, -1):
            name = names.find(" ".join(w.text for w in words[at : at + length]))
            if name is not None:
                found.append((name, Item(name, words[at].line, words[at].column)))
                at += length
                break
        else:
            unknown.append(words[at])
            at += 1
    return Matched(tuple(found), tuple(unknown), names.longest > 1 and _readings([w.text for w in words], names) > 1)


def _readings(words: list[str], names: Names) -> int:
    """How many complete readings a list has, counted up to 2."""
    ways = [0] * (len(words) + 1)
    ways[0] = 1
    for end in range(1, len(words) + 1):
        for length in range(1, min(names.longest, end) + 1):
            if ways[end - length] and names.find(" ".join(words[end - length : end])) is not None:
                ways[end] += ways[end - length]
        ways[end] = min(ways[end], 2)
    return ways[-1]


_STEPPED = re.compile(
    r"(?<!\S)([+-]?\d{1,9}(?:\.\d{1,6})?) to ([+-]?\d{1,9}(?:\.\d{1,6})?) step (\d{1,9}(?:\.\d{1,6})?)(?![^\s,])",
    re.IGNORECASE,
)


def expand_steps(text: str) -> list[str] | None:
    """`300 to 450 step 5` as its words, also behind others as in `0 300 to 450 step 50`; None if the text has no such
    range; ValueError in plain words when it can't be counted."""
    out: list[str] = []
    text, at = " ".join(text.split()), 0
    for m in _STEPPED.finditer(text):
        before = text[at : m.start()]
        out += [p.strip() for p in before.split(",") if p.strip()] if "," in text else before.split()
        out += _counted_out(m)
        at = m.end()
    if not at:
        return None
    return out + ([p.strip() for p in text[at:].split(",") if p.strip()] if "," in text else text[at:].split())


def _counted_out(m: re.Match[str]) -> list[str]:
    """The figures of one range."""
    low, high, step = (Fraction(g) for g in m.groups())
    places = max(len(g.partition(".")[2]) for g in m.groups())
    if step == 0 or high < low:
        raise ValueError("the first number must be the lower one and the step more than 0")
    count = (high - low) / step
    if count.denominator != 1:
        raise ValueError(f"{m.group(2)} isn't reached by steps of {m.group(3)} from {m.group(1)}")
    if count > 2000:
        raise ValueError("that makes more than 2,000 entries")
    figures = [f"{float(low + step * i):.{places}f}" for i in range(int(count) + 1)]
    shown = [f.rstrip("0").rstrip(".") if "." in f else f for f in figures]
    signed = m.group(2).startswith("+")
    return [f"+{f}" if signed and Fraction(f) > 0 else f for f in shown]
