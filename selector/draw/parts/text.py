"""The board drawn with characters.

How to read it. A selector is a heading and a field of places: `[#]` stands where it is set, `[ ]` where it isn't (`:`
for free pins), `[/]` where it was before the change, `[?]` at every place of a part that can't be read; ` - `, `(#)`
and `( )` belong to a switch that isn't used. `===` or `|` runs along the printed ON side of a bank, its numbers on the
other side. A pointer `<` or `^` and a line in words tell what is changed. `wide` draws the same in boxes: a full block
where it is set, a light one where it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from unicodedata import east_asian_width

from selector.draw.parts.draw import GAP_HERE, captions, describe, heading, shown_of
from selector.table.model.picture import Line, Picture
from selector.table.model.table import Setting, Table
from selector.value import Struct

TAKEN, FREE, WAS, UNREAD = "#", " ", "/", "?"
WIDE = {TAKEN: "█", FREE: " ", WAS: "░", UNREAD: "?"}
SPARE, PINS = "-", ":"
BAR, BAR_WIDE = ("=", "|"), ("═", "║")
ASIDE = -2
_BETWEEN = {GAP_HERE: "..", ASIDE: "|"}
_BARE = frozenset([SPARE, PINS, "|"])
LEAST_COLUMNS = 20


def board_text(
    table: Table,
    setting: Setting,
    before: Setting | None = None,
    *,
    wide: bool = False,
    turned: int = 0,
    columns: int = 80,
) -> list[str]:
    """Lines that draw every selector in the order of the table, and a line that explains the signs. At least 20
    columns."""
    columns = max(columns, LEAST_COLUMNS)
    pictures = describe(table, setting, before, turned)
    out: list[str] = []
    used: set[str] = set()
    for picture in pictures:
        out += _selector(picture, wide, columns, used)
        out.append("")
    return out + _signs(used, wide, columns)


def picture_text(picture: Picture, columns: int = 80) -> list[str]:
    """One selector as it stands, without the line that explains the signs."""
    return _selector(picture, False, max(columns, LEAST_COLUMNS), set())


def _signs(used: set[str], wide: bool, columns: int) -> list[str]:
    words = {TAKEN: "set", FREE: "free", WAS: "was here", UNREAD: "not known"}
    items = [f"{_hole(sign, wide)} {word}" for sign, word in words.items() if sign in used]
    return _wrapped(items, columns, "   ")


def _hole(sign: str, wide: bool) -> str:
    return f"│{WIDE[sign]}│" if wide else f"[{sign}]"


def _wrapped(items: Sequence[str], columns: int, between: str, indent: str = "") -> list[str]:
    """Items side by side, in as many lines as it takes; every line but the first is indented."""
    out: list[str] = []
    for item in items:
        if out and _width(out[-1]) + len(between) + _width(item) <= columns:
            out[-1] += between + item
        else:
            out.append((indent if out else "") + item)
    return out


def _width(text: str) -> int:
    return sum(2 if east_asian_width(c) in "WF" else 1 for c in text)


def _padded(text: str, width: int, where: str = "left") -> str:
    gap = max(0, width - _width(text))
    before = 0 if where == "left" else gap if where == "right" else gap // 2
    return " " * before + text + " " * (gap - before)


def _clipped(text: str, width: int) -> str:
    """The text, cut with `~` where it is too long."""
    if _width(text) <= width:
        return text
    while _width(text) > width - 1:
        text = text[:-1]
    return text + "~"


class _Field(Struct, frozen=True, kw_only=True):
    """Signs in rows and columns, with what is written beside and over them; `pointed` are the lines that were changed.
    `bar`: the printed ON side of a bank as quarter turns from the upper side. The labels that count (numbers, marks)
    lie away from it: `below` the columns, or on the `right` of the rows."""

    rows: tuple[tuple[str, ...], ...]
    beside: tuple[str, ...]
    over: tuple[str, ...]
    pointed_rows: frozenset[int] = frozenset()
    pointed_columns: frozenset[int] = frozenset()
    bar: int | None = None
    on: str = ""
    below: bool = True
    right: bool = False

    def quarter(self) -> _Field:
        """The field turned a quarter clockwise: the first row becomes the last column."""
        n = len(self.rows)
        return _Field(
            rows=tuple(tuple(row[i] for row in reversed(self.rows)) for i in range(len(self.over))),
            beside=self.over,
            over=tuple(reversed(self.beside)),
            pointed_rows=self.pointed_columns,
            pointed_columns=frozenset(n - 1 - i for i in self.pointed_rows),
            bar=None if self.bar is None else (self.bar + 1) % 4,
            on=self.on,
            below=self.right,
            right=not self.below,
        )


def _sign(picture: Picture, line: Line, hole: int) -> str:
    if line.spare:
        return SPARE if line.filled is None else "(#)" if hole == line.filled else "( )"
    if line.filled is None and (not line.may_be or hole in line.may_be):
        return UNREAD
    if hole == line.filled:
        return TAKEN
    if line.changed and hole == line.was:
        return WAS
    return PINS if picture.form == "pins" and not (line.away and hole == len(line.marks) - 1) else FREE


def _field(picture: Picture) -> _Field:
    """As printed at turn 0: a bank has its ON side first and its switches in columns; anything else a row for each
    part."""
    lines = picture.lines
    changed = frozenset(i for i, line in enumerate(lines) if line.changed)
    if picture.bank:
        holes = range(len(lines[0].marks) - 1, -1, -1)
        field = _Field(
            rows=tuple(tuple(_sign(picture, line, h) for line in lines) for h in holes),
            beside=tuple(lines[0].marks[h] for h in holes),
            over=tuple(f"({line.label})" if line.spare else line.label for line in lines),
            pointed_columns=changed,
            bar=0,
            on=lines[0].marks[-1],
        )
    else:
        shown = shown_of(lines)
        marks = max((line.marks for line in lines), key=len)
        if len(lines) == 1 and lines[0].away:  # off its pins it lies beside
            shown.insert(-1, ASIDE)
        field = _Field(
            rows=tuple(
                tuple(
                    _BETWEEN.get(h, "") if h < 0 else _sign(picture, line, h) if h < len(line.marks) else ""
                    for h in shown
                )
                for line in lines
            ),
            beside=tuple(line.label for line in lines),
            over=tuple(_BETWEEN[h] if h < 0 else marks[h] for h in shown),
            pointed_rows=changed,
            below=len(lines) == 1,
        )
    for _ in range(picture.turned // 90):
        field = field.quarter()
    return field


def _selector(picture: Picture, wide: bool, columns: int, used: set[str]) -> list[str]:
    field = _field(picture)
    used.update(sign for row in field.rows for sign in row if sign)
    out = _wrapped(f"{picture.name}  {heading(picture)}".split(" "), columns, " ", "    ")
    beside = max(_width(label) for label in field.beside)
    beside = min(beside, columns // 3)
    room = columns - 2 - beside - 1 - (2 if field.pointed_rows else 0) - (2 if field.bar in (1, 3) else 0)
    cell = min(max(3, *(_width(label) for label in field.over)), max(3, room - 2))
    pitch = cell + 1
    per_band = max(1, (room - (1 if wide else 0)) // pitch)
    n = len(field.over)
    bands = -(-n // per_band)
    per_band = -(-n // bands)
    for first in range(0, n, per_band):
        out += _band(field, range(first, min(n, first + per_band)), beside, cell, wide, columns)
    out += _reading(picture, columns)
    for text in captions(picture):
        out += _wrapped(["  " + text.split(" ")[0], *text.split(" ")[1:]], columns, " ", "    ")
    return out


def _band(field: _Field, span: range, beside: int, cell: int, wide: bool, columns: int) -> list[str]:
    """The columns of one span with their labels, one line for each row (three in boxes)."""
    edge, bar = 1 if wide else 0, BAR_WIDE if wide else BAR
    lead = 0 if field.right else beside + 1
    before = f"{bar[1]} " if field.bar == 3 else ""
    indent = "  " + " " * lead + " " * len(before)

    def line(cells: Iterable[str]) -> str:
        return (indent + " " * edge + " ".join(cells)).rstrip()

    numbers = line(_padded(_clipped(field.over[c], cell), cell, "middle") for c in span)
    labels = [numbers] if numbers.strip() else []
    on = line(bar[0] * 3 if cell == 3 else _padded(bar[0] * 3, cell, "middle") for c in span)
    said = f"  {field.on} side"
    on += said if _width(on + said) <= columns else ""
    rule = "─" * cell
    body: list[str] = [indent + "┌" + "┬".join(rule for _ in span) + "┐"] if wide else []
    for r, row in enumerate(field.rows):
        label = _clipped(field.beside[r], beside)
        start = "  " + ("" if field.right else _padded(label, beside) + " ") + before
        pointer = " <" if r in field.pointed_rows and any(row[c] in (TAKEN, WAS) for c in span) else ""
        after = (f" {bar[1]}" if field.bar == 1 else "") + (f" {label}" if field.right else "") + pointer
        if wide:
            if r:
                body.append(indent + "├" + "┼".join(rule for _ in span) + "┤")
            body.append((f"{start}│" + "│".join(_inside(row[c], cell) for c in span) + "│" + after).rstrip())
        else:
            body.append((start + " ".join(_padded(_drawn(row[c]), cell, "middle") for c in span) + after).rstrip())
    if wide:
        body.append(indent + "└" + "┴".join(rule for _ in span) + "┘")
    out = [on] if field.bar == 0 else []
    out += body if field.below else labels + body
    out += labels if field.below else []
    out += [on] if field.bar == 2 else []
    if any(c in field.pointed_columns for c in span):
        out.append(line(_padded("^" if c in field.pointed_columns else "", cell, "middle") for c in span))
    return out


def _drawn(sign: str) -> str:
    """A sign in three cells: in brackets where something can stand."""
    return sign if len(sign) != 1 or sign in _BARE else f"[{sign}]"


def _inside(sign: str, cell: int) -> str:
    if len(sign) != 1:
        return _padded(sign, cell, "middle")
    fill = WIDE.get(sign, sign)
    return _padded(fill * (cell - 2 if fill in "█░" else 1), cell, "middle")


def _reading(picture: Picture, columns: int) -> list[str]:
    """The bank in words, in the order of switch numbers; the leads of a motor with their taps."""
    if picture.bank:
        last = picture.lines[-1].label
        if picture.digits:
            words = ["?" if line.filled is None else str(line.filled) for line in picture.lines]
            head = f"  1 to {last}, 1 = {picture.lines[0].marks[1]}:"
        else:
            words = [line.word for line in picture.lines]
            head = f"  1 to {last}:"
        return _wrapped([head, *words], columns, " ", "    ")
    if len(picture.lines) > 1:
        return _wrapped([" ", *(f"{line.label}={line.word}" for line in picture.lines)], columns, " ", "    ")
    return []
