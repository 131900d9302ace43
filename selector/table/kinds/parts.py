"""Parts made from an entry of the board: positions, marks, how they are delivered and left, what they give."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import partial
from typing import Any

from selector.table.model.table import ABSENT, Part, Selector
from selector.table.text.nodes import Scalar
from selector.table.text.report import FileReport, listed, meant
from selector.table.text.shapes import Fields
from selector.table.text.words import Item, Names, expand_steps, items_of, match_names
from selector.value import replace

RESERVED_MARKS = ("-", "*", "?")
"""Marks with a meaning of their own: any position, nothing, not readable."""


_WITH_UNIT = re.compile(r"([+-]?\d+(?:\.\d+)?) (%|V|kW|W|tons?|cfm|L/s|Pa|s|min|ft)(?!\S)")
"""A position with its unit, as `45 %`."""
MOST_COUNTED = 100
"""Positions that `0 to 99` may stand for."""


def counted(items: Sequence[Item]) -> list[Item]:
    """The words with `0 to 15`, `00 to 15` and `A to F` counted out; the lower end first."""
    out: list[Item] = []
    for i, item in enumerate(items):
        if out and item.text.casefold() == "to" and i + 1 < len(items):
            between = _between(out[-1].text, items[i + 1].text)
            if between is not None:
                out += [Item(text, item.line, item.column) for text in between]
                continue
        out.append(item)
    return out


def _between(first: str, last: str) -> list[str] | None:
    """What stands between two ends that are counted; None for words that aren't two such ends."""
    if first.isdecimal() and last.isdecimal() and first.isascii() and last.isascii():
        padded = len(first) == len(last)
        if not padded and first.startswith("0") and first != "0":
            return None
        low, high = int(first), int(last)
        if not low < high <= low + MOST_COUNTED:
            return None
        return [f"{n:0{len(first)}}" if padded else str(n) for n in range(low + 1, high)]
    alike = (str.isupper, str.islower)
    if len(first) == len(last) == 1 and first < last and any(k(first) and k(last) for k in alike):
        return [chr(code) for code in range(ord(first) + 1, ord(last))]
    return None


def distinct(node: Any, what: str, report: FileReport, at: str = "") -> tuple[str, ...] | None:
    """The words of a list, no two the same and none with a meaning of its own; None after a problem. `at` says whose
    they are."""
    items: dict[str, None] = {}
    where = f" at {at}" if at else ""
    for item in counted(items_of(node, report.source.lines)):
        if item.text in RESERVED_MARKS:
            remedy = (
                f"a {what} that is printed as - is typed as the word minus"
                if item.text == "-"
                else "type it as it is printed, or take it out"
            )
            report.at(item, f"bad-{what}", f"`{item.text}` can't be a {what}{where}", remedy)
            return None
        if item.text in items:
            remedy = "Delete one."
            if what == "model" and isinstance(node, Scalar) and "," not in node.text:
                ways = re.split(rf"\s+(?={re.escape(item.text)}\s)", node.text.strip())
                remedy += f" A name that holds a blank needs commas between all: {', '.join(ways)}."
            report.at(item, f"doubled-{what}", f"the {what} `{item.text}` is listed twice{where}", remedy)
            return None
        items[item.text] = None
    return tuple(items)


def shown_marks(marks: Mapping[str, int]) -> list[str]:
    """The marks that are accepted, without those that differ from another of the same position by case alone."""
    shown: dict[tuple[str, int], str] = {}
    for mark, at in marks.items():
        shown.setdefault((mark.casefold(), at), mark)
    return list(shown.values())


_STEPS = re.compile(r"(\S+ to [^\s,]+),? (?:by|every|steps of|in steps of) (\S+)", re.IGNORECASE)
_UP_TO = re.compile(r"(?<!\S)(\w+)(?: - | ?(?:\.{2,3}|\u2026) ?| thru | through | until )(\w+)(?!\S)", re.IGNORECASE)
_FALLING = re.compile(r"(?<!\S)(\w+) to (\w+)(?!\S)", re.IGNORECASE)


def _in_other_words(text: str) -> tuple[str, str] | None:
    """(what is typed, what to type) of a range that is no range yet: `0 - 9`, `A thru F`, `9 to 0`, `300 to 450 by
    5`."""
    if m := _STEPS.fullmatch(text):
        return text, f"{m[1]} step {m[2]}"
    if (m := re.fullmatch(r"(\d+)-(\d+)", text)) and not _between(m[1], m[2]):
        return text, f"{m[1]} to {m[2]} step 5, with the step that is printed"
    if m := next(
        (m for m in (*re.finditer(r"^(\w+)-(\w+)$", text), *_UP_TO.finditer(text)) if _between(m[1], m[2])), None
    ):
        return m[0], f"{m[1]} to {m[2]}"
    if m := next((m for m in _FALLING.finditer(text) if _between(m[2], m[1])), None):
        return m[0], f"{m[2]} to {m[1]}"
    return None


def positions_of(
    node: Any, name: str, report: FileReport, what: str = "position", *, least: int = 2
) -> tuple[str, ...] | None:
    """Declared positions (or values of a fact): words, or a range with a step; None when they were refused."""
    typed = " ".join(getattr(node, "text", "").split())
    if (other := _in_other_words(typed)) is not None:
        message = f"the range `{other[0]}` of {name} can't be counted"
        report.at(node, "bad-range", message, f"if all of them are meant, type {other[1]}")
        return None
    if re.fullmatch(rf"(?:{_WITH_UNIT.pattern} ?){{2,}}", typed):
        figures = ", ".join(m[0] for m in _WITH_UNIT.finditer(typed))
        message = f"a {what} of {name} with a space in it needs commas between the {what}s"
        report.at(node, f"bad-{what}", message, f"type [{figures}]")
        return None
    try:
        expand_steps(getattr(node, "text", ""))
    except ValueError as wrong:
        report.at(node, "bad-range", f"the range of {name} can't be counted: {wrong}", "for example 300 to 450 step 5")
        return None
    found = distinct(node, what, report, name)
    if found is not None and "to" in found:
        at = found.index("to")
        ends = " ".join(found[max(at - 1, 0) : at + 2])
        message = f"the range `{ends}` of {name} can't be counted"
        remedy = "type the step, for example 300 to 450 step 5; or type all that are printed"
        report.at(node, "bad-range", message, remedy)
        return None
    if found is not None and len(found) < least:
        report.at(
            node,
            f"too-few-{what}s",
            f"{name} needs at least two {what}s",
            "type all that are printed, with blanks between",
        )
        return None
    return found


def other_spellings(positions: Sequence[str]) -> dict[str, int]:
    """Other ways to write positions: 2.0 for 2 among figures with a decimal, 25 for +25, - for minus."""
    figures = [number_of(p) is not None for p in positions]
    decimals = all(figures) and any("." in p for p in positions)
    out = {f"{p}.0": i for i, p in enumerate(positions) if decimals and "." not in p}
    out |= {p[1:]: i for i, p in enumerate(positions) if all(figures) and p.startswith("+")}
    return out | ({"-": positions.index("minus")} if "minus" in positions else {})


def marks_of(
    positions: Sequence[str], fields: Fields, name: str, report: FileReport, *, own: Mapping[str, int] | None = None
) -> dict[str, int]:
    """Every accepted mark, folded, to the index of its position. `also` adds marks; exact marks win over folded
    ones."""
    marks = {p: i for i, p in enumerate(positions)}
    counts: dict[str, int] = {}
    for p in positions:
        counts[p.casefold()] = counts.get(p.casefold(), 0) + 1
    for i, p in enumerate(positions):
        if counts[p.casefold()] == 1:
            marks.setdefault(p.casefold(), i)
    for spelled, place in other_spellings(positions).items():
        marks.setdefault(spelled, place)
    names = Names(positions)
    also = fields.get("also")
    if also is not None:
        for position, (key, node) in also.items():
            found = names.find(position)
            if found is None:
                report.at(
                    key, "unknown-position", f"`{position}` is not a position of {name}", meant(position, positions)
                )
                continue
            for item in items_of(node, report.source.lines):
                if item.text in RESERVED_MARKS:
                    report.at(
                        item, "bad-position", f"`{item.text}` can't be a mark of {name}", "type the mark as a word"
                    )
                    continue
                other = marks.get(item.text, marks.get(item.text.casefold()))
                if other is not None and other != positions.index(found):
                    report.at(
                        item,
                        "mark-of-two-positions",
                        f"the mark `{item.text}` stands for two positions of {name}",
                        "take one out",
                    )
                    continue
                marks[item.text] = positions.index(found)
                marks.setdefault(item.text.casefold(), positions.index(found))
    for mark, i in (own or {}).items():
        marks.setdefault(mark, i)
    return marks


def position_in(marks: Mapping[str, int], text: str) -> int | None:
    """The position a mark stands for, None if none."""
    text = " ".join(text.split())
    found = marks.get(text)
    return marks.get(text.casefold()) if found is None else found


NOT_PRINTED = -2
"""Stands for how a part is delivered where the page doesn't say, typed ?."""


def _delivered(texts: list[str], count: int, marks: Mapping[str, int]) -> list[int | None]:
    """The position of each part, None where a word is none; as many as are typed."""
    if not texts:
        return []
    marks = {"?": NOT_PRINTED, **marks}
    whole = " ".join(texts)
    if count == 1:
        one = position_in(marks, whole)
        return [position_in(marks, " ".join(texts[1:])) if one is None and texts[0].casefold() == "all" else one]
    if texts[0].casefold() == "all":
        return [position_in(marks, " ".join(texts[1:]))] * count
    if len(texts) == 1 and position_in(marks, whole) is None:
        return [position_in(marks, c) for c in whole]
    matched = match_names([Item(t, 0, 0) for t in texts], Names(list(marks)))
    return [None] * count if matched.unknown else [position_in(marks, n) for n, _ in matched.found]


def factory_of(
    fields: Fields, count: int, marks: Mapping[str, int], name: str, report: FileReport, noun: str = "position"
) -> tuple[dict[str, int], ...]:
    """For each part, model -> position as delivered ("" for every model)."""
    out: tuple[dict[str, int], ...] = tuple({} for _ in range(count))
    factory = fields.get("factory")
    if factory is None:
        return out
    for model, node in [("", factory)] if not isinstance(factory, dict) else [(m, n) for m, (_, n) in factory.items()]:
        items = items_of(node, report.source.lines)
        whole = " ".join(i.text for i in items)
        found = _delivered([i.text for i in items], count, marks)
        if len(found) != count:
            typed = "1 position is" if len(found) == 1 else f"{len(found)} positions are"
            remedy = "type one" if count == 1 else f"type {count}, or for example all {next(iter(marks))}"
            report.at(node, "factory-length", f"{name} has {count} {noun}, but {typed} typed", remedy)
            continue
        if None in found:
            what = "a position" if count == 1 else f"{count} positions"
            report.at(
                node,
                "unknown-position",
                f"`{whole}` can't be how {name} is delivered",
                f"type {what} out of {listed(shown_marks(marks))}",
            )
            continue
        for i, at in enumerate(found):
            if at is not None and at != NOT_PRINTED:
                out[i][model] = at
    return out


def build_single(
    kind: str,
    name: str,
    fields: Fields,
    report: FileReport,
    first: int,
    *,
    default: tuple[str, ...] = (),
    absent: str = "",
    own: Mapping[str, int] | None = None,
    final: str = "",
) -> tuple[Selector, tuple[Part, ...]] | None:
    """A selector that is one part: jumper, dial, plug, link, menu."""
    node = fields.get("positions")
    least = 1 if kind == "menu" else 2  # a menu may print the one number to leave it at
    read = partial(positions_of, name=name, report=report, least=least)
    by_model = {m: read(n) or () for m, (_, n) in node.items()} if isinstance(node, dict) else {}
    positions = (
        tuple(dict.fromkeys(p for some in by_model.values() for p in some))
        if by_model
        else (read(node) or ())
        if node is not None
        else default
    )
    if by_model and all(number_of(p) is not None for p in positions):
        positions = tuple(sorted(positions, key=lambda p: number_of(p) or 0))
    if not positions:
        return None
    if absent and absent in (p.casefold() for p in positions):
        absent = ""
    marks = marks_of(positions, fields, name, report, own=own)
    leave: int | None = None
    left = fields.get("leave at")
    if left is not None:
        leave = position_in(marks, left.text)
        if leave is None:
            report.at(
                left, "unknown-position", f"`{left.text}` is not a position of {name}", meant(left.text, positions)
            )
    part = Part(
        index=first,
        name=name,
        selector=name,
        positions=positions,
        marks=marks,
        factory=factory_of(fields, 1, {**marks, absent: ABSENT} if absent else marks, name, report)[0],
        leave_at=leave,
        absent=absent,
        final=frozenset([positions.index(final)]) if final in positions else frozenset(),
        idle=idle_of(positions, fields, name, report),
        idle_with={m: frozenset(i for i, p in enumerate(positions) if p not in some) for m, some in by_model.items()},
        declares=_text(fields, "declares"),
        says=says_of(positions, fields, name, report),
    )
    return selector_of(kind, name, fields, (part,)), (part,)


def idle_of(positions: Sequence[str], fields: Fields, name: str, report: FileReport) -> frozenset[int]:
    """Indices of the positions that are called not used."""
    node = fields.get("not used")
    if node is None:
        return frozenset()
    matched = match_names(items_of(node, report.source.lines), Names(positions))
    for item in matched.unknown:
        report.at(item, "unknown-position", f"`{item.text}` is not a position of {name}", meant(item.text, positions))
    if len({p for p, _ in matched.found}) == len(positions):
        report.at(
            node,
            "all-not-used",
            f"every position of {name} is called not used",
            "name those that the page calls so, or leave not used: out",
        )
    return frozenset(positions.index(p) for p, _ in matched.found)


def number_of(position: str) -> Fraction | None:
    """A position that is a plain figure; None for a word."""
    return Fraction(position) if re.fullmatch(r"[+-]?\d{1,9}(\.\d{1,9})?", position) else None


def says_of(positions: Sequence[str], fields: Fields, name: str, report: FileReport) -> tuple[str, ...]:
    """What each position tells of the fact that is declared; nothing where the marks say it."""
    typed = fields.get("says")
    if not isinstance(typed, dict):
        return ()
    names, out = Names(positions), list(positions)
    for position, (key, node) in typed.items():
        found = names.find(position)
        if found is None:
            report.at(key, "unknown-position", f"`{position}` is not a position of {name}", meant(position, positions))
        else:
            out[positions.index(found)] = node.text
    return tuple(out)


def selector_of(kind: str, name: str, fields: Fields, parts: Sequence[Part], *, exclusive: bool = False) -> Selector:
    """The selector an entry describes, over its parts."""
    turned = _text(fields, "turned")
    return Selector(
        name=name,
        kind=kind,
        parts=tuple(p.index for p in parts),
        gives=_text(fields, "gives"),
        turned=int(turned) if turned in ("90", "180", "270") else 0,
        note=_text(fields, "note"),
        exclusive=exclusive,
        line=fields.keys["kind"].line,
    )


def _text(fields: Fields, key: str) -> str:
    node = fields.get(key)
    return node.text if isinstance(node, Scalar) else ""


def with_positions(part: Part, positions: tuple[str, ...]) -> Part:
    """The same part with more positions (a jumper off its pins, once a row names it)."""
    marks = {**part.marks, **{p: i for i, p in enumerate(positions)}}
    factory = {model: len(positions) - 1 if at == ABSENT else at for model, at in part.factory.items()}
    says = (*part.says, *positions[len(part.says) :]) if part.says else ()
    return replace(part, positions=positions, marks=marks, absent="", factory=factory, says=says)
