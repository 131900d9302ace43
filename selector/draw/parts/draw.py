"""The board as pictures: one neutral description, from which text, SVG, the card and the page are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from selector.draw.parts.shapes import PITCH, SMALL, text_width
from selector.table.kinds import KINDS
from selector.table.model.picture import TURNS, Line, Picture
from selector.table.model.table import Setting, Table
from selector.value import replace

LONG_LIST = 12
"""Lists with more entries than this are drawn in part where room is short."""
NEIGHBOURS = 1
GAP_HERE = -1
Detail = Literal["whole", "short", "shortest"]
"""How much of a long list is drawn: every entry, its ends and what is near a place that matters, or these places
alone."""


def describe(
    table: Table, setting: Setting, before: Setting | None = None, turned: int = 0, *, offered: bool = False
) -> tuple[Picture, ...]:
    """Every selector of the board in the table's order. `turned` is 0, 90, 180 or 270 degrees clockwise; ValueError
    otherwise. `offered`: with every place that can be touched, off its pins too."""
    if turned not in TURNS:
        raise ValueError(f"a board can be turned 90, 180 or 270 degrees, not {turned}")
    pictures = (
        KINDS[selector.kind].picture(
            selector, [table.parts[i] for i in selector.parts], setting, before, turned, offered
        )
        for selector in table.selectors.values()
    )
    return tuple(replace(p, groups=_groups(table, p.lines)) if p.bank else p for p in pictures)


def _groups(table: Table, lines: Sequence[Line]) -> tuple[tuple[int, int, str], ...]:
    """What neighbors in a bank set together: the first chart that reads them, in a word or two; none for a bank that
    is read as one."""
    out: list[tuple[int, int, str]] = []
    charts = [
        next((c.name for c in table.charts.values() if any(k.part == one.part for k in c.keys)), "") for one in lines
    ]
    for i, (line, name) in enumerate(zip(lines, charts, strict=True)):
        said = "not used" if line.spare else name
        if out and out[-1][2] == said:
            out[-1] = (out[-1][0], i + 1, said)
        else:
            out.append((i, i + 1, said))
    shown = [(a, b, said) for a, b, said in out if said and (said != "not used" or b - a > 1)]
    short = [_short(said, b - a) for a, b, said in shown]
    twice = {
        words for words in short if len({said for (*_, said), w in zip(shown, short, strict=True) if w == words}) > 1
    }
    told = [
        _short(said.rpartition(" ")[2], b - a) if words in twice else words
        for (a, b, said), words in zip(shown, short, strict=True)
    ]
    return tuple((a, b, words) for (a, b, _), words in zip(shown, told, strict=True)) if len(shown) > 1 else ()


def _short(name: str, switches: int) -> str:
    """As many of the name's words as fit under so many switches, without the word that every chart has; none where not
    even one does."""
    words = [word for word in name.split() if word != "airflow"] or name.split()
    while words and 0.9 * text_width(" ".join(words), SMALL) > switches * PITCH:
        words.pop()
    while words and words[-1] in _LOOSE:
        words.pop()
    return " ".join(words)


_LOOSE = frozenset(["a", "after", "and", "at", "before", "by", "for", "in", "of", "on", "or", "the", "to", "with"])


def heading(picture: Picture) -> str:
    """What stands beside a selector's name: kind and position, the ON side of a bank, the turn."""
    turned = f", turned {picture.turned}" if picture.turned else ""
    if picture.bank:
        off, on = picture.lines[0].marks[:2]
        side = "" if on == "ON" else f", {on} is the ON side"
        return f"{len(picture.lines)} {picture.kind} {off}/{on}{side}{turned}"
    if len(picture.lines) > 1:
        return f"{picture.kind}{turned}"
    line = picture.lines[0]
    return f"{picture.kind}: {line.read}{turned}"


def captions(picture: Picture) -> list[str]:
    """What stands under a selector: switches not used, and every change in words."""
    spare = [line.label for line in picture.lines if line.spare]
    out = [f"not used: {' '.join(spare)}"] if spare else []
    alike: dict[tuple[str, str], list[str]] = {}
    for line in picture.changed:
        was = "not known" if line.was is None else line.was_word
        alike.setdefault((was, line.word), []).append(line.label)
    for (was, now), labels in alike.items():
        names = " ".join(label for label in labels if label)
        out.append(f"{names} {was} -> {now}" if names else f"{was} -> {now}")
    return out


def said(pictures: Sequence[Picture]) -> str:
    """The board in words: `SW1-1 OFF, SW1-2 ON, J2 b`, and what was changed."""
    words: list[str] = []
    for picture in pictures:
        for line in picture.lines:
            name = f"{picture.name}-{line.label}" if line.label else picture.name
            was = f" (was {'not known' if line.was is None else line.was_word})" if line.changed else ""
            words.append(f"{name} {line.read}{was}")
    return ", ".join(words)


def shown_of(lines: Sequence[Line], detail: Detail = "short") -> list[int]:
    """Which holes are drawn: all, or in a long list those that the detail leaves; GAP_HERE for a gap (at the end
    alone in the shortest)."""
    count = max(len(line.marks) for line in lines)
    if count <= LONG_LIST or detail == "whole":
        return list(range(count))
    matter = {
        at for line in lines for at in (line.filled, line.was if line.changed else None, *line.may_be) if at is not None
    }
    if detail == "shortest":
        return [*sorted(matter or {0}), GAP_HERE]
    near = {h for at in matter for h in range(at - NEIGHBOURS, at + NEIGHBOURS + 1)}
    out: list[int] = []
    for h in sorted(k for k in {0, count - 1, *near} if 0 <= k < count):
        if out and h != out[-1] + 1:
            out.append(GAP_HERE)
        out.append(h)
    return out
