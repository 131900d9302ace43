"""A bank of switches: each switch is off or on; a bank may be printed with other words."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.table.kinds.base import COMMON, Kind, MarkError, is_unread, read_one, record
from selector.table.kinds.parts import distinct, factory_of, marks_of, position_in, says_of, selector_of
from selector.table.model.table import Part, Selector
from selector.table.text.nodes import Scalar
from selector.table.text.refusing import COUNT
from selector.table.text.report import FileReport, meant
from selector.table.text.shapes import Choice, Fields, Nested, Record, Text, Words
from selector.table.text.words import Names, items_of, match_names
from selector.value import replace

_DIGITS = {"0": 0, "1": 1}
_DOTS = (("○", "●"), ("◯", "●"), ("□", "■"), ("◻", "◼"))
"""Positions drawn empty and filled: which is on needs no word."""
RECORD = record(
    "switches",
    {
        "count": Text("How many switches the bank has, 1 to 16.", "8", COUNT),
        "positions": Words("The two senses, off first.", "off on"),
        "leave at": Nested(Text(), 1, "The position its switches are to be left at, or by switch.", "{7: off}"),
    },
    ("count",),
    "{kind: switches, count: 8, factory: all off, not used: 8}",
    without=("gives", "declares", "says"),
)
MEMBER = Record(
    {
        "kind": Choice(("switch",), "One switch of a bank above that differs from the others.", "switch"),
        "declares": COMMON["declares"],
        "says": COMMON["says"],
        "leave at": Nested(Text(), 1, "The side it is to be left at, or by model.", "off"),
        "not used": Words("The models with which it is not used, or all.", "060 080"),
        "note": COMMON["note"],
    },
    ("kind",),
    "One switch of a bank above that differs from the others: it stands under its name, as SW1-7.",
    "{kind: switch, declares: outdoor kind, says: {off: air conditioner, on: heat pump}}",
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part for each switch, named NAME-1, NAME-2 and so on."""
    count_node = fields.get("count")
    if count_node is None:
        return None
    if not re.fullmatch(r"0?[1-9]|1[0-6]", count_node.text):
        report.at(
            count_node,
            "bad-count",
            f"{name} can't have `{count_node.text}` switches",
            "type a whole number from 1 to 16",
        )
        return None
    count = int(count_node.text)
    node = fields.get("positions")
    positions = distinct(node, "position", report, name) if node is not None else ("off", "on")
    if positions is None:
        return None
    if len(positions) != 2:
        report.at(
            node,
            "two-positions",
            f"a switch of {name} has two positions, not {len(positions)}",
            "type the word for off, then the word for on",
        )
        return None
    factory_node = fields.get("factory")
    typed = [n for _, n in factory_node.values()] if isinstance(factory_node, dict) else [factory_node]
    digits = any(isinstance(n, Scalar) and re.fullmatch(r"[01?]{2,}", n.text) for n in typed)
    plain = node is None and ("also" not in fields or digits)
    own = _DIGITS if plain else {**_DIGITS, "off": 0, "on": 1} if positions in _DOTS else {}
    marks = marks_of(positions, fields, name, report, own=own)
    if any(marks.get(d) == i for d, i in _DIGITS.items()):
        for d, i in _DIGITS.items():  # where one of them is printed, the other is understood
            marks.setdefault(d, i)
    factory = factory_of(fields, count, {**_DIGITS, **marks}, name, report, "switches")
    unused = _numbers("not used", name, count, fields, report)
    leave = _leave(name, count, marks, fields, report)
    parts = tuple(
        Part(
            index=first + i,
            name=f"{name}-{i + 1}",
            selector=name,
            positions=positions,
            marks=marks,
            factory=factory[i],
            leave_at=leave.get(i + 1),
            unused=i + 1 in unused,
        )
        for i in range(count)
    )
    return selector_of("switches", name, fields, parts), parts


def member(part: Part, fields: Fields, models: Sequence[str], report: FileReport) -> Part:
    """A switch of a bank with what an entry of its own says of it."""
    leave, leave_with = part.leave_at, {}
    left = fields.get("leave at")
    entries = [("", left, left)] if isinstance(left, Scalar) else [(k, key, n) for k, (key, n) in (left or {}).items()]
    for model, key, node in entries:
        at = position_in(part.marks, node.text)
        if model and model not in models:
            report.at(key, "unknown-model", f"`{model}` is not a model of this file", meant(model, models))
        elif at is None:
            report.at(
                node,
                "unknown-position",
                f"`{node.text}` is not a position of {part.name}",
                meant(node.text, part.marks),
            )
        elif model:
            leave_with[model] = at
        else:
            leave = at
    node = fields.get("not used")
    items = items_of(node, report.source.lines) if node is not None else []
    every = [i.text.casefold() for i in items] == ["all"]
    matched = match_names([] if every else items, Names(models))
    for item in matched.unknown:
        report.at(item, "unknown-model", f"`{item.text}` is not a model of this file", meant(item.text, models, "all"))
    declares, note = fields.get("declares"), fields.get("note")
    return replace(
        part,
        declares=declares.text if isinstance(declares, Scalar) else "",
        says=says_of(part.positions, fields, part.name, report),
        leave_at=leave,
        leave_with=leave_with,
        unused=part.unused or every,
        unused_with=frozenset(m for m, _ in matched.found),
        note=note.text if isinstance(note, Scalar) else "",
    )


def _number(text: str, name: str) -> int:
    text = text[len(name) + 1 :] if text.casefold().startswith(name.casefold() + "-") else text
    return int(text) if re.fullmatch(r"0?\d\d?", text) else 0


def _numbers(key: str, name: str, count: int, fields: Fields, report: FileReport) -> set[int]:
    out: set[int] = set()
    node = fields.get(key)
    for item in items_of(node, report.source.lines) if node is not None else ():
        number = _number(item.text, name)
        if not 1 <= number <= count:
            report.at(item, "unknown-switch", f"{name} has no switch `{item.text}`", _switches(count))
        out.add(number)
    return out


def _switches(count: int) -> str:
    return f"its switches are 1 to {count}" if count > 1 else "it has the switch 1 alone"


def _leave(name: str, count: int, marks: dict[str, int], fields: Fields, report: FileReport) -> dict[int, int]:
    left = fields.get("leave at")
    if left is None:
        return {}
    every = range(1, count + 1)
    entries = left.items() if isinstance(left, dict) else [("", (left, left))]
    out: dict[int, int] = {}
    for switch, (key, node) in entries:
        numbers, at = [_number(switch, name)] if switch else every, position_in(marks, node.text)
        if not set(numbers) <= set(every):
            report.at(key, "unknown-switch", f"{name} has no switch `{switch}`", _switches(count))
        elif at is None:
            report.at(node, "unknown-position", f"`{node.text}` is not a position of {name}", meant(node.text, marks))
        else:
            out |= dict.fromkeys(numbers, at)
    return out


def read_marks(selector: Selector, parts: Sequence[Part], text: str) -> dict[int, int | None]:
    """`10010110`, `all off`, or a word for each; `?` where it can't be read. MarkError says how many are missing or
    what to type."""
    words = text.split()
    n = len(parts)
    if len(words) == 2 and words[0].casefold() == "all":
        words = words[1:] * n
    if is_unread(text):
        return {part.index: None for part in parts}
    if len(words) == 1 and n > 1 and (len(words[0]) == n or all(c in "01?" for c in words[0])):
        words = list(words[0])
        marks = parts[0].marks
        if any(c in _DIGITS for c in words) and not any(d in marks for d in _DIGITS):
            off, on = _printed(parts[0])
            raise MarkError(
                f"{selector.name} is printed {off.upper()}/{on.upper()}, so 0 and 1 can be taken either way; type {off}"
                f" or {on} for each switch"
            )
    if len(words) == 1 and words[0] == "?" and n > 1:
        raise MarkError(f"a single ? for {selector.name} is one switch of {n}; type {'?' * n}, or unread")
    if len(words) != n:
        raise MarkError(
            f"{selector.name} has {n} switches, but {len(words)} marks are given; type one for each, ? where it can't"
            " be read"
        )
    return {part.index: read_one(part, word) for part, word in zip(parts, words, strict=True)}


def _printed(part: Part) -> tuple[str, str]:
    """The words printed beside the switch, off first: those added by `also` where there are any."""
    off = [m for m, i in part.marks.items() if i == 0]
    on = [m for m, i in part.marks.items() if i == 1]
    return off[-1], on[-1]


def printed(part: Part) -> tuple[str, ...]:
    """The words printed beside a switch, off first: those of `also` where there are any; ON and OFF in capitals."""
    out: list[str] = []
    if part.positions in _DOTS:
        return part.positions
    for i, position in enumerate(part.positions):
        added = [m for m, at in part.marks.items() if at == i and m.casefold() != position.casefold() and m != str(i)]
        out.append(added[0] if added else "")
    if any(out):  # where a word is printed on one side and a digit on the other
        out = [word or (str(i) if str(i) in part.marks else "") for i, word in enumerate(out)]
    words = [word or position for word, position in zip(out, part.positions, strict=True)]
    return tuple([word.upper() if word.casefold() in ("on", "off") else word for word in words])


KIND = Kind(
    name="switches", record=RECORD, build=build, read_marks=read_marks, form="bank", printed=printed, upright=True
)
