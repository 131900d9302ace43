"""What the kinds of selector share: the shape of an entry, parts made from it, marks read against it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from selector.table.model import ABSENT, Part, Selector
from selector.table.quantities import QUANTITIES
from selector.table.shapes import Choice, Fields, Nested, Record, Report, Shape, Text, Words
from selector.table.words import Item, Names, expand_steps, items_of, match_names

COMMON: dict[str, Shape] = {
    "also": Nested(Words(), 1, "Other marks printed for a position, or other words for it.", "{on: closed, off: open}"),
    "gives": Choice(tuple(QUANTITIES), "What the positions mean when they are figures themselves.", "airflow per ton"),
    "declares": Text("The fact of the equipment that this selector tells the board; it is set from the fact, never searched.", "heater power"),
    "leave at": Nested(Text(), 1, "The position it is to be left at; for a bank, by switch.", "off"),
    "note": Text("Anything worth telling with it.", "under the cover"),
}
POSITIONS: Shape = Words("The printed marks, in order, with blanks between.", "A B C D")
FACTORY: Shape = Nested(Words(), 1, "The position as delivered, or `all off`; by model where that differs.", "all off")
NOT_USED: Shape = Words("Positions, or switches of a bank, that the manual calls not used.", "8")


def record(kind: str, own: Mapping[str, Shape], required: tuple[str, ...] = (), example: str = "") -> Record:
    """The entry of a kind: its own keys and the common ones."""
    return Record(
        {"kind": Choice((kind,), "What the selector is.", kind), **own, "factory": FACTORY, "not used": NOT_USED, **COMMON},
        ("kind", *required),
        f"A selector of the kind {kind}.",
        example,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """How a selector looks: one line of holes for each part.

    `lines` holds, for each part, (label, marks in printed order, index of the filled mark or None for unreadable, ABSENT for off its pins).
    `upright` is True for a bank, whose switches stand side by side and whose marks stand above one another.
    """

    name: str
    kind: str
    upright: bool
    lines: tuple[tuple[str, tuple[str, ...], int | None], ...]


class MarkError(ValueError):
    """Marks that can't be on this selector; the text says what to type instead."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """One kind of selector: its entry, how parts are made of it, how marks are read and how it looks."""

    name: str
    record: Record
    build: Callable[[str, Fields, Report, int], tuple[Selector, tuple[Part, ...]] | None]
    read_marks: Callable[[Selector, Sequence[Part], str], dict[int, int | None]]
    upright: bool = False

    def picture(self, selector: Selector, parts: Sequence[Part], at: Sequence[int | None]) -> Picture:
        """What a person sees, for positions `at` of the whole board."""
        lines = tuple(
            (
                label(selector, part),
                part.positions + ((part.absent,) if at[part.index] == ABSENT else ()),
                len(part.positions) if at[part.index] == ABSENT else at[part.index],
            )
            for part in parts
        )
        return Picture(name=selector.name, kind=selector.kind, upright=self.upright, lines=lines)


def label(selector: Selector, part: Part) -> str:
    """What is printed beside a part: the number of a switch, the name of a lead, nothing for a selector that is one part."""
    return part.name[len(selector.name) + 1 :] if len(selector.parts) > 1 else ""


def positions_of(node: Any, name: str, report: Report) -> tuple[str, ...] | None:
    """Declared positions: words, or a range with a step; None when they were refused."""
    lines = report.source.lines
    text = getattr(node, "text", None)
    if text is not None:
        try:
            stepped = expand_steps(text)
        except ValueError as wrong:
            report.at(node, "bad-range", f"the range of {name} can't be counted: {wrong}", "for example 300 to 450 step 5")
            return None
        if stepped:
            return tuple(stepped)
    items = items_of(node, lines)
    seen: dict[str, Item] = {}
    for item in items:
        if item.text in ("-", "*", "?"):
            report.at(
                item,
                "bad-position",
                f"`{item.text}` can't be a position of {name}",
                "type the word minus" if item.text == "-" else "type the printed mark",
            )
            return None
        if item.text in seen:
            report.at(item, "doubled-position", f"the position `{item.text}` stands twice at {name}", "take one out")
            return None
        seen[item.text] = item
    if len(seen) < 2:
        report.at(node, "too-few-positions", f"{name} needs at least two positions", "type all its printed marks with blanks between")
        return None
    return tuple(seen)


def marks_of(positions: Sequence[str], fields: Fields, name: str, report: Report, *, own: Mapping[str, int] | None = None) -> dict[str, int]:
    """Every accepted mark, folded, to the index of its position. `also` adds marks; exact marks win over folded ones."""
    marks = {p: i for i, p in enumerate(positions)}
    counts: dict[str, int] = {}
    for p in positions:
        counts[p.casefold()] = counts.get(p.casefold(), 0) + 1
    for i, p in enumerate(positions):
        if counts[p.casefold()] == 1:
            marks.setdefault(p.casefold(), i)
    names = Names(positions)
    also = fields.get("also")
    if isinstance(also, dict):
        for position, (key, node) in also.items():
            found = names.find(position)
            if found is None:
                report.at(key, "unknown-position", f"`{position}` is not a position of {name}", f"its positions are {' '.join(positions)}")
                continue
            for item in items_of(node, report.source.lines):
                other = marks.get(item.text, marks.get(item.text.casefold()))
                if other is not None and other != positions.index(found):
                    report.at(item, "mark-of-two-positions", f"the mark `{item.text}` stands for two positions of {name}", "take one out")
                    continue
                marks[item.text] = positions.index(found)
                marks.setdefault(item.text.casefold(), positions.index(found))
    elif also is not None:
        report.at(also, "keys-expected", f"`also` of {name} needs the position each mark stands for", "for example also: {on: closed, off: open}")
    for mark, i in (own or {}).items():
        marks.setdefault(mark, i)
    return marks


def position_in(marks: Mapping[str, int], text: str) -> int | None:
    """The position a mark stands for, None if none."""
    text = " ".join(text.split())
    found = marks.get(text)
    return marks.get(text.casefold()) if found is None else found


def factory_of(fields: Fields, count: int, marks: Mapping[str, int], name: str, report: Report) -> tuple[dict[str, int], ...]:
    """For each part, model -> position as delivered ("" for every model)."""
    out: tuple[dict[str, int], ...] = tuple({} for _ in range(count))
    factory = fields.get("factory")
    if factory is None:
        return out
    for model, node in [("", factory)] if not isinstance(factory, dict) else [(m, n) for m, (_, n) in factory.items()]:
        items = items_of(node, report.source.lines)
        texts = [i.text for i in items]
        if texts and texts[0].casefold() == "all":
            at = position_in(marks, " ".join(texts[1:]))
            found = [at] * count
        elif len(texts) == 1 and count > 1:
            found = [position_in(marks, c) for c in texts[0]] if len(texts[0]) == count else [position_in(marks, texts[0]), None]
        elif count == 1:
            found = [position_in(marks, " ".join(texts))]
        else:
            names = Names(list(marks))
            matched = match_names(items, names)
            found = [None] * count if matched.unknown else [position_in(marks, n) for n, _ in matched.found]
        if len(found) != count or any(f is None for f in found):
            known = " ".join(dict.fromkeys(m for m in marks))
            what = "a position" if count == 1 else f"{count} positions, or `all` and one position"
            report.at(node, "unknown-position", f"`{' '.join(texts)}` can't be how {name} is delivered", f"type {what} out of {known}")
            continue
        for i, at in enumerate(found):
            if at is not None:
                out[i][model] = at
    return out


def build_single(
    kind: str,
    name: str,
    fields: Fields,
    report: Report,
    first: int,
    *,
    default: tuple[str, ...] = (),
    absent: str = "",
    own: Mapping[str, int] | None = None,
    final: str = "",
) -> tuple[Selector, tuple[Part, ...]] | None:
    """A selector that is one part: jumper, dial, plug, link, menu."""
    node = fields.get("positions")
    positions = positions_of(node, name, report) if node is not None else default
    if not positions:
        return None
    if absent and absent in (p.casefold() for p in positions):
        absent = ""
    marks = marks_of(positions, fields, name, report, own=own)
    leave: int | None = None
    left = fields.get("leave at")
    if left is not None:
        leave = position_in(marks, left.text) if hasattr(left, "text") else None
        if leave is None:
            report.at(
                left if hasattr(left, "line") else fields.keys["leave at"],
                "unknown-position",
                f"that is not a position of {name}",
                f"its positions are {' '.join(positions)}",
            )
    part = Part(
        index=first,
        name=name,
        selector=name,
        positions=positions,
        marks=marks,
        factory=factory_of(fields, 1, marks, name, report)[0],
        leave_at=leave,
        absent=absent,
        values=figures_of(positions, fields, name, report),
        final=frozenset([positions.index(final)]) if final in positions else frozenset(),
        idle=idle_of(positions, fields, name, report),
    )
    return selector_of(kind, name, fields, (part,)), (part,)


def idle_of(positions: Sequence[str], fields: Fields, name: str, report: Report) -> frozenset[int]:
    """Indices of the positions that are called not used."""
    node = fields.get("not used")
    if node is None:
        return frozenset()
    matched = match_names(items_of(node, report.source.lines), Names(positions))
    for item in matched.unknown:
        report.at(item, "unknown-position", f"`{item.text}` is not a position of {name}", f"its positions are {' '.join(positions)}")
    return frozenset(positions.index(p) for p, _ in matched.found)


def figures_of(positions: Sequence[str], fields: Fields, name: str, report: Report) -> tuple[Fraction | None, ...]:
    """The positions as figures where the selector `gives` a quantity."""
    gives = fields.get("gives")
    if gives is None:
        return ()
    out: list[Fraction | None] = []
    for p in positions:
        if p.casefold() == "none":
            out.append(None)
            continue
        number = p.split()[0].rstrip("%")
        try:
            out.append(Fraction(number))
        except (ValueError, ZeroDivisionError):
            report.at(
                gives,
                "position-not-a-figure",
                f"{name} gives {gives.text}, but its position `{p}` is not a figure",
                "use a chart with `set: " + name + "` instead",
            )
            return ()
    return tuple(out)


def selector_of(kind: str, name: str, fields: Fields, parts: Sequence[Part], *, exclusive: bool = False) -> Selector:
    """The selector an entry describes, over its parts."""

    def text(key: str) -> str:
        node = fields.get(key)
        return node.text if hasattr(node, "text") else ""

    return Selector(
        name=name,
        kind=kind,
        parts=tuple(p.index for p in parts),
        gives=text("gives"),
        declares=text("declares"),
        note=text("note"),
        exclusive=exclusive,
        line=fields.keys["kind"].line,
    )


UNREADABLE = "?"


def read_one(part: Part, text: str) -> int | None:
    """A mark on one part: its position, None for `?`; MarkError otherwise."""
    text = " ".join(text.split())
    if text in (UNREADABLE, "unread"):
        return None
    found = position_in(part.marks, text)
    if found is not None:
        return found
    if part.absent and text.casefold() == part.absent:
        return ABSENT
    raise MarkError(
        f"{part.name} has no position `{text}`; type one of {' '.join(part.positions)}"
        + (f", `{part.absent}`" if part.absent else "")
        + ", or ? if it can't be read"
    )


def read_single(_: Selector, parts: Sequence[Part], text: str) -> dict[int, int | None]:
    """The mark of a selector that is one part."""
    return {parts[0].index: read_one(parts[0], text)}


def with_positions(part: Part, positions: tuple[str, ...]) -> Part:
    """The same part with more positions (a jumper off its pins, once a row names it)."""
    marks = {**part.marks, **{p: i for i, p in enumerate(positions)}}
    return replace(part, positions=positions, marks=marks, absent="")
