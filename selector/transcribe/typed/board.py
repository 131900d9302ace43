"""A selector of the board as a person types it in one line: `SW1 switches 8`, `J1 1-5 at 3`, `M1 taps 1-5 leads Y1
Y2 W G`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import prod

from selector.table.kinds import KINDS
from selector.table.model.quantities import FIGURES
from selector.table.text.quoting import quoted
from selector.transcribe.typed.text import noted, odd_word
from selector.value import Struct, replace

_BY_LABEL = (
    ("SW", "switches"),
    ("LK", "link"),
    ("J", "jumper"),
    ("D", "dial"),
    ("P", "plug"),
    ("M", "taps"),
    ("N", "menu"),
)
_LABEL = re.compile(r"[A-Za-z][A-Za-z0-9]*")
_SPAN = re.compile(r"([A-Za-z]|\d{1,4})-([A-Za-z]|\d{1,4})")
_MOST = 200
_FILLERS = ("pin", "pins", "position", "positions")
"""Words before the positions that are none."""


class MistypedAnswer(ValueError):
    """A line that can't be read; the text says what to type instead."""


class TypedSelector(Struct, frozen=True, kw_only=True):
    """One selector. `positions` of a bank are its two senses; `count` and `leads` only where the kind has them."""

    label: str
    kind: str
    positions: tuple[str, ...] = ()
    count: int = 0
    leads: tuple[str, ...] = ()
    factory: str = ""
    gives: str = ""
    declares: str = ""
    not_used: str = ""
    note: str = ""

    def parts(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """(name, positions) of everything a chart may be set by."""
        if self.kind == "switches":
            return tuple((f"{self.label}-{i + 1}", self.positions) for i in range(self.count))
        return ((self.label, self.positions),)

    def line(self) -> str:
        """Its line under `board:`."""
        pieces = [f"kind: {self.kind}"]
        if self.kind == "switches":
            pieces.append(f"count: {self.count}")
            if self.positions != ("OFF", "ON"):
                pieces.append(f"positions: {' '.join(self.positions)}")
        elif self.kind != "link" or self.positions != ("whole", "cut"):
            pieces.append(f"positions: {' '.join(self.positions)}")
        if self.leads:
            pieces.append(f"leads: {' '.join(self.leads)}")
        if self.factory:
            pieces.append(f"factory: {self.factory}")
        if self.not_used:
            pieces.append(f"not used: {self.not_used}")
        if self.gives:
            pieces.append(f"gives: {self.gives}")
        if self.declares:
            pieces.append(f"declares: {self.declares}")
        if self.note:
            pieces.append(f"note: {quoted(self.note, inline=True)}")
        return f"  {self.label}: {{{', '.join(pieces)}}}"


def read_selector(text: str, known: Sequence[str] = ()) -> TypedSelector:
    """The selector of a line, with a note in parentheses at its end. Mistyped says what is wrong; `known` are labels
    that are taken."""
    text, note = noted(text)
    words = text.translate(str.maketrans(",:\"'", "    ")).split()
    if not words:
        raise MistypedAnswer("type its label and what it is: SW1 switches 8")
    label, rest = words[0], words[1:]
    if not _LABEL.fullmatch(label):
        raise MistypedAnswer(f"`{label}` is no label; type the label as on the board first: SW1, J2, D1")
    if label.casefold() in (k.casefold() for k in known):
        raise MistypedAnswer(f"{label} stands already")
    kind = next((k for k in KINDS if rest and len(rest[0]) > 1 and k.startswith(rest[0].casefold().rstrip("s"))), "")
    if kind:
        rest = rest[1:]
    else:
        kind = kind_by_label(label)
    if not kind:
        raise MistypedAnswer(f"say what {label} is: {', '.join(KINDS)}")
    options: dict[str, list[str]] = {"": []}
    at = ""
    if len(rest) > 1 and rest[0].casefold() in _FILLERS:
        rest = rest[1:]
    for word in rest:
        folded = word.casefold()
        if folded in ("at", "leads", "gives", "declares", "unused") and (folded != "leads" or kind == "taps"):
            at = folded
            options[at] = []
        else:
            options[at].append(word)
    odd = odd_word(word for words in options.values() for word in words)
    if odd:
        raise MistypedAnswer(f"`{odd}` can't be a position; type its mark in letters and figures")
    positions = _positions(options[""])
    factory, not_used = " ".join(options.get("at", [])), " ".join(spread(options.get("unused", [])))
    gives, declares = " ".join(options.get("gives", ())), " ".join(options.get("declares", ()))
    if gives and gives not in FIGURES:
        raise MistypedAnswer(f"`{gives}` is no figure that a position can give; type one of {', '.join(FIGURES)}")
    if kind == "switches":
        return replace(_bank(label, positions, factory, not_used), note=note)
    if kind == "link" and not positions:
        positions = ("whole", "cut")
    if kind == "taps" and not options.get("leads"):
        raise MistypedAnswer(
            f"which leads go on the taps of {label}? type {label} {' '.join(options[''])} leads Y1 Y2 W G"
        )
    if len(positions) < 2:
        raise MistypedAnswer(f"type the printed positions of {label} after it: {label} A B C, or {label} 1-5")
    if len(set(positions)) < len(positions):
        raise MistypedAnswer(f"a position of {label} is listed twice. Delete one.")
    if (
        factory
        and kind != "taps"
        and factory not in positions
        and not ("to" in positions and factory.replace(".", "").isdecimal())
    ):
        raise MistypedAnswer(f"`{factory}` is no position of {label}; its positions are {' '.join(positions)}")
    return TypedSelector(
        label=label,
        kind=kind,
        positions=positions,
        leads=tuple(options.get("leads", ())),
        factory=factory,
        gives=gives or declared_as(declares),
        declares=declares,
        not_used=not_used,
        note=note,
    )


def declared_as(fact: str) -> str:
    """What the positions of a selector give that tells the board a fact, by the fact's name; "" for one that is no
    figure."""
    return "tons" if "tons" in fact.split() else "heater power" if "heater" in fact.split() else ""


def kind_by_label(label: str) -> str:
    """What a label commonly stands for: SW a bank of switches, J a jumper; "" for one that says nothing."""
    return next((k for start, k in _BY_LABEL if label.upper().startswith(start)), "")


def _bank(label: str, words: tuple[str, ...], factory: str, not_used: str) -> TypedSelector:
    if not words or not words[0].isdecimal() or not 1 <= int(words[0]) <= 16:
        raise MistypedAnswer(f"how many switches has {label}? type {label} switches 8")
    senses = words[1:] or ("OFF", "ON")
    if len(senses) != 2:
        raise MistypedAnswer(
            f"a switch has two senses; type the one for off first: {label} switches {words[0]} OPEN CLOSED"
        )
    sense = next((s for s in senses if factory.casefold().removeprefix("all ") == s.casefold()), "")
    if factory and not sense and len(factory.replace(" ", "")) < int(words[0]):
        raise MistypedAnswer(
            f"`{factory}` is not how {label} is delivered; type at {senses[0].lower()}, or the position of each: at"
            f" {'01' * 2}.."
        )
    return TypedSelector(
        label=label,
        kind="switches",
        positions=senses,
        count=int(words[0]),
        factory=f"all {sense.lower()}" if sense else factory,
        not_used=not_used,
    )


def spread(words: Sequence[str]) -> tuple[str, ...]:
    """`1-5` as `1 2 3 4 5`, `a-c` as `a b c`; other words as they are. Mistyped for a span that is too long."""
    out: list[str] = []
    for word in words:
        m = _SPAN.fullmatch(word)
        if m and m.group(1).isdecimal() and m.group(2).isdecimal() and int(m.group(1)) < int(m.group(2)):
            first, last = int(m.group(1)), int(m.group(2))
            if last - first > _MOST:
                raise MistypedAnswer(f"{word} are more than {_MOST} positions")
            out += [str(i) for i in range(first, last + 1)]
        elif (
            m
            and m.group(1).isalpha()
            and m.group(2).isalpha()
            and m.group(1).islower() == m.group(2).islower()
            and m.group(1) < m.group(2)
        ):
            out += [chr(i) for i in range(ord(m.group(1)), ord(m.group(2)) + 1)]
        else:
            out.append(word)
    return tuple(out)


def _positions(words: Sequence[str]) -> tuple[str, ...]:
    """Positions as typed: one `1-5` is those five; several such words, or a short one among others, are pins as
    printed: `1-2 2-3`."""
    spans = [w for w in words if _SPAN.fullmatch(w)]
    if len(spans) == 1 and (len(words) == 1 or len(spread(spans)) > 2):
        return spread(words)
    return tuple(words)


def combinations_of(parts: Sequence[tuple[str, tuple[str, ...]]]) -> int:
    """How many rows a chart set by these parts has."""
    return prod(len(positions) for _, positions in parts)
