"""Reads a text line by line for how it is laid out, and finds the slips people make who have never been told the rules.

It follows names, list items, texts below a bar, braces and quotes just far enough to say in plain words what is wrong and what to type.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Literal

from selector.table.slip_braces import Braces
from selector.table.slip_list import DEEPEST, LONGEST_NAME, SlipList, clipped, in_column, in_quotes
from selector.table.slip_quotes import end_of_quotes
from selector.table.slip_rows import RowText

_COLON = re.compile(r":(?= |$)")
_TIGHT = re.compile(r"([^\W\d][^:]*):(?!//)(?=[^ ])")
_OTHER_COLON = re.compile(r"([^\W\d][\w. -]*?) *[=;\uff1a] *(.*)")
_LONG_NAME = re.compile(
    "(?:heat input|heat output|heat per gallon|temperature rise|outlet limit|heater voltage|nozzle pressure|pump pressure|plate static|static pressure"
    "|firing rate|not used|leave at|holds up to|on delay|off delay|applies to|airflow means|at least|at most|round up|round down)(?= |$)",
    re.IGNORECASE,
)
"""Names of more than one word, to tell where a colon is missing."""
_BEFORE_BRACE = re.compile(r"(.*[^ :]) +[{\[]")
_BAR = re.compile(r"([|>][-+]?)(?= |$) *")
_BLANKS = re.compile("[\t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")
_INDENT = re.compile(r"[ \t]*")


@dataclass(slots=True)
class _Group:
    """Names, or list items, that stand level."""

    column: int
    kind: Literal["names", "items"]
    keys: dict[str, int] = field(default_factory=dict)
    newest: str = ""
    newest_line: int = 0


@dataclass(slots=True)
class _Key:
    text: str
    column: int
    value: int
    """Where the value may begin."""


class Layout:
    """What one reading of a text found: slips (into the list given), where texts below a bar end, and where free text stands."""

    def __init__(self, slips: SlipList, free_names: Collection[str], row_names: Collection[str]) -> None:
        source = slips.source
        self.slips = slips
        self.free_names = free_names
        self.row_names = row_names
        self.tabs = "\t" in source.text
        self.lines = source.lines
        if self.tabs or not source.text.isascii():
            self.lines = tuple(_BLANKS.sub(" ", line) for line in source.lines)
        self.text_ends: dict[int, int] = {}
        """For the line of each `|` or `>`, counted from 0, the last line of its text."""
        self.free_texts: list[tuple[int, int]] = []
        """First line and line after the last of texts in which any letters may stand."""
        self.free_spans: dict[int, list[tuple[int, int]]] = {}
        """By line, from column and up to column, of free text beside a name."""
        self.level_tabs: set[int] = set()
        """Lines whose tabs stand among cells, not before them."""
        self.ragged = False
        """Whether there are lines of nothing but blanks."""
        self._groups: list[_Group] = []
        self._at = 0
        self._awaited = False
        self._state: Literal["start", "value", "text", "done", "rows"] = "start"
        self._key = _Key("", 0, 0)
        self._value_at = (0, 0)
        self._comment: int | None = None
        self._seen = False
        self._marks = 0
        self._trust_columns = not (self.tabs and any("\t" in _INDENT.match(line)[0] for line in source.lines if line.strip()))  # type: ignore[index]
        self._read()

    def is_free(self, name: str) -> bool:
        return name.lower() in self.free_names

    def _read(self) -> None:
        while self._at < len(self.lines):
            line = self.lines[self._at]
            body = line.lstrip(" ")
            if not body:
                self.ragged = self.ragged or bool(line)
                self._at += 1
            elif body[0] == "#":
                if self._state == "text" and self._comment is None:
                    self._comment = self._at
                self._at += 1
            elif line.startswith(("---", "...")) and line[3:4] in ("", " "):
                self._document_mark(line)
            else:
                self._line(len(line) - len(body))
        if not self._seen:
            message = "There is nothing in this file." if not self.lines else "There is nothing in this file but blank lines and comments."
            self.slips.add(0, 0, "empty-file", message, "Type the table: `format: selector table 1` is its first line.")

    def _document_mark(self, line: str) -> None:
        self._marks += 1
        if line.startswith("...") and not any(text.strip(" ") and text.lstrip(" ")[0] != "#" for text in self.lines[self._at + 1 :]):
            self._at = len(self.lines)
            return
        if self._seen or self._marks > 1 or line.startswith("...") or line[3:].strip(" "):
            message = f"`{line[:3]}` alone on a line begins another file inside this one; one file holds one table."
            self.slips.add(self._at, 0, "several-documents", message, "Take the line out, or put what follows into a file of its own.", 3)
        self._groups.clear()
        self._state, self._awaited = "start", False
        self._at += 1

    # One line of names, items and values

    def _line(self, column: int) -> None:
        at, line = self._at, self.lines[self._at]
        self._at += 1
        self._seen = True
        if self._state == "text" and self._continues(at, column, line):
            return
        start = column
        while line[column] == "-" and line[column + 1 : column + 2] in ("", " "):
            if not self._place(at, column, "items"):
                return
            self._groups[-1].newest, self._groups[-1].newest_line = "-", at
            self._awaited, self._state, self._key = True, "value", _Key("", column, 0)
            column = _skip(line, column + 1)
            if column >= len(line):
                return
        key = self._key_at(line, column)
        if key is None:
            self._text_line(at, column, line, start)
            return
        if self._place(at, column, "names"):
            self._name(at, key, line)
            self._awaited, self._state, self._key = True, "value", key
            self._value(at, _skip(line, key.value), line)

    def _key_at(self, line: str, column: int) -> _Key | None:
        """The name that ends in a colon here, if there is one."""
        if line[column] in "\"'":
            quoted = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\']|\'\')*\'').match(line, column)
            if not quoted:
                return None
            colon = _skip(line, quoted.end())
            if line[colon : colon + 1] == ":" and line[colon + 1 : colon + 2] in ("", " "):
                return _Key(quoted[0][1:-1], column, colon + 1)
            return None
        if line[column] in "{[":
            return None
        comment = line.find(" #", column)
        end = comment if comment >= 0 else len(line)
        colon_at = _COLON.search(line, column, end)
        return _Key(line[column : colon_at.start()].rstrip(" "), column, colon_at.end()) if colon_at else None

    def _name(self, at: int, key: _Key, line: str) -> None:
        """Check a name and keep it, for doubled names and for what is said about lines below it."""
        group = self._groups[-1]
        group.newest, group.newest_line = key.text, at
        if not key.text and line[key.column] not in "\"'":
            self.slips.no_name(at, key.column)
            return
        if len(key.text) > LONGEST_NAME:
            self.slips.long_name(at, key.column)
            return
        if line[key.column] not in "\"'":
            brace = _BEFORE_BRACE.match(key.text)
            if brace:
                self._missing_colon(at, key.column + brace.end(1), brace[1], line[key.column + brace.end() - 1 :])
                self._at, key.value, key.text = at + 1, key.column + brace.end() - 1, brace[1]
            else:
                self.slips.special_first(at, key.column, key.text, what="name")
        if key.text in group.keys:
            self.slips.doubled_key(at, key.column, key.text, group.keys[key.text])
        group.keys.setdefault(key.text, at)

    def _value(self, at: int, column: int, line: str) -> None:
        """Read the value that begins here, with the lines it goes on for."""
        key = self._key
        if column >= len(line):
            if key.text.lower() in self.row_names and self._rows_without_bar(at):
                return
            return
        first = line[column]
        outer = self._groups[-1].column
        if first == "#":
            self.slips.comment_after_text(at, column, len(line) - column)
            return
        self._awaited = False
        self._value_at = (at, column)
        self._comment = None
        if first in "|>":
            self._below_bar(at, column, line, outer)
        elif first in "{[":
            self._state = "done"
            braces = Braces(self.lines, self.slips, self.is_free, self._note_free, outer, len(self._groups))
            ended = braces.read(at, column)
            self._at = braces.line + 1
            if ended == "too deep":
                self._at = len(self.lines)
            elif ended == "closed":
                self._after(braces.line, braces.column, "braces" if first == "{" else "brackets")
        elif first in "\"'":
            self._state = "done"
            end = end_of_quotes(self.lines, at, column, outer, self.slips)
            self._note_free(key.text, at, column, len(line))
            if end is not None:
                self._at = end[0] + 1
                self._after(*end, "quotes")
        else:
            self._state = "text"
            self._plain(at, column, line)

    def _plain(self, at: int, column: int, line: str) -> None:
        """Check a value without quotes, or a line that continues one."""
        key = self._key
        comment = line.find(" #", column)
        end = comment if comment >= 0 else len(line)
        text = line[column:end].rstrip(" ")
        if self.is_free(key.text):
            self._note_free(key.text, at, column, end)
        if (at, column) == self._value_at and self.slips.special_first(at, column, text, key.text):
            pass
        elif colon := _COLON.search(text):
            self.slips.second_colon(at, column + colon.start(), key.text, text, continued=at != self._value_at[0])
        elif text[-1:] in ("}", "]") and ("{" if text[-1] == "}" else "[") not in text and not self.is_free(key.text):
            self.slips.unopened(at, column + len(text) - 1, text[-1])
        if comment >= 0:
            self.slips.comment_after_text(at, comment + 1, len(line) - comment - 1)

    def _after(self, at: int, column: int, what: str) -> None:
        """Nothing may follow a closing brace, bracket or quote on its line."""
        line = self.lines[at]
        rest = _skip(line, column)
        if rest >= len(line):
            return
        if line[rest] == "#":
            self.slips.comment_after_text(at, rest, len(line) - rest)
        elif line[rest] == ":" and what != "quotes":
            self.slips.key_not_text(at, rest)
        elif what == "quotes":
            whole = line[self._value_at[1] if at == self._value_at[0] else 0 :].replace(line[column - 1], "").strip(" ")
            message = "The text goes on after its closing quote."
            remedy = f"Leave the quotes out: `{clipped(whole)}`, or put them around the whole text."
            self.slips.add(at, rest, "text-after-quote", message, remedy, len(line) - rest)
        elif line[rest] in "}]":
            self.slips.unopened(at, rest, line[rest])
        else:
            message = f"The line goes on after its closing {'}' if what == 'braces' else ']'}."
            remedy = "Put it inside, after a comma and a blank, or take it out."
            self.slips.add(at, rest, "text-after-brace", message, remedy, len(line) - rest)

    def _note_free(self, name: str, line: int, start: int, end: int) -> None:
        if self.is_free(name):
            self.free_spans.setdefault(line, []).append((start, end))

    # Texts of several lines

    def _below_bar(self, at: int, column: int, line: str, outer: int) -> None:
        self._state = "rows"
        key = self._key
        bar = _BAR.match(line, column)
        rest = bar.end() if bar else column + 1
        if line[column] == ">" and (rest < len(line) and line[rest] != "#"):
            self.slips.special_first(at, column, line[column:])
            return
        if line[column] == ">" and not self.is_free(key.text):
            name = f"{key.text}: " if key.text else ""
            message = "`>` would join all the lines below into one."
            self.slips.add(at, column, "joining-mark", message, f"Type a bar instead: `{name}|`.")
        if rest < len(line):
            if line[rest] == "#" and bar:
                self.slips.comment_after_text(at, rest, len(line) - rest)
            else:
                message = "Nothing else can stand on the line of the bar."
                remedy = "Type the bar alone, and this on the line below, further right."
                self.slips.add(at, rest, "text-after-bar", message, remedy, len(line) - rest)
        self._text_below(at, outer)

    def _text_below(self, at: int, outer: int) -> None:
        items = {group.column for group in self._groups if group.kind == "items"}
        rows = RowText(self.lines, self.slips, at, outer, items, self._is_name_line, self._key.text)
        rows.read()
        self.text_ends[at] = rows.last
        self.ragged = self.ragged or rows.ragged
        self._at = rows.after
        self._awaited = False
        if self.is_free(self._key.text):
            self.free_texts.append((at + 1, rows.after))
        if self.tabs and rows.column:
            pad = " " * rows.column
            self.level_tabs.update(row for row in range(at + 1, rows.after) if self.slips.source.lines[row].startswith(pad))

    def _rows_without_bar(self, at: int) -> bool:
        """Whether rows stand below a name that has no bar after its colon; said if so."""
        outer = self._groups[-1].column
        for below in range(at + 1, len(self.lines)):
            line = self.lines[below]
            column = _skip(line, 0)
            if column >= len(line) or line[column] == "#":
                continue
            dash = line[column] == "-" and line[column + 1 : column + 2] in ("", " ")
            if column < outer or (column == outer and not dash) or self._is_name_line(below) or line[column] in "|>":
                return False
            self._tell_without_bar(at)
            self._text_below(at, outer if column > outer else outer - 1)
            self._state = "rows"
            return True
        return False

    def _tell_without_bar(self, at: int) -> None:
        name = self._key.text
        message = f"There is no bar after `{clipped(name)}:`, so all the rows below would run together into one."
        remedy = f"Type `{clipped(name)}: |`, and each row on a line of its own below, further right."
        self.slips.add(at, self._key.column, "rows-without-bar", message, remedy, len(name) + 1)

    def _is_name_line(self, at: int) -> bool:
        """Whether this line begins with a name and a colon, perhaps after a list item's dash."""
        line = self.lines[at]
        column = _skip(line, 0)
        while line[column : column + 2] == "- ":
            column = _skip(line, column + 2)
        return column < len(line) and self._key_at(line, column) is not None

    def _continues(self, at: int, column: int, line: str) -> bool:
        """Whether this line only continues the value above it."""
        key = self._key
        if column <= self._groups[-1].column:
            return False
        free = self.is_free(key.text)
        dash = line[column] == "-" and line[column + 1 : column + 2] in ("", " ")
        name = self._key_at(line, column)
        if (dash and not free) or (name and (not free or name.text.count(" ") < 2)):
            return False
        if self._comment is not None:
            message = "A comment can't stand between two lines of one text."
            comment_column = _skip(self.lines[self._comment], 0)
            self.slips.add(self._comment, comment_column, "comment-inside-text", message, "Put the comment above the name of the text.")
            self._comment = None
        if key.text.lower() in self.row_names:
            self._tell_without_bar(self._value_at[0])
            self._text_below(at - 1, self._groups[-1].column)
            self._state = "rows"
            return True
        self._plain(at, column, line)
        return True

    # Lines that stand where they can't

    def _text_line(self, at: int, column: int, line: str, start: int) -> None:
        """A line, or the rest of a list item, that has no name before a colon."""
        comment = line.find(" #", column)
        text = line[column : comment if comment >= 0 else len(line)].rstrip(" ")
        fits = self._awaited and (column > self._groups[-1].column if self._groups else True)
        if not self._groups:
            follow = any(self._is_name_line(below) for below in range(at + 1, min(at + 30, len(self.lines))) if self.lines[below].strip(" "))
            if line[column] in "{[":
                before = len(self.slips.problems)
                self._groups.append(_Group(-1, "names"))
                self._value(at, column, line)
                if line[column] == "[" and len(self.slips.problems) == before:
                    self._no_names(at, column)
                self._groups.clear()
                self._groups.append(_Group(0, "names"))
            elif follow or _TIGHT.match(text) or _OTHER_COLON.match(text):
                self._groups.append(_Group(column, "names"))
                self._no_colon(at, column, line, text)
            else:
                self._no_names(at, column)
                self._at = len(self.lines)
            return
        if fits:
            tight = _TIGHT.match(text)
            if tight and line[column] not in "\"'{[" and not self.is_free(self._key.text):
                self._groups.append(_Group(column, "names", newest=tight[1], newest_line=at))
                self._no_colon(at, column, line, text)
            else:
                self._value(at, column, line)
            return
        if self._place(at, start, "names"):
            if line[column] in "{[\"'":
                self._stray(at, column, line)
            else:
                self._no_colon(at, column, line, text)

    def _no_names(self, at: int, column: int) -> None:
        message = "A table is made of lines `name: value`; this file doesn't begin with one."
        self.slips.add(at, column, "no-names", message, "Type `format: selector table 1` as the first line, and the rest of the table below it.")

    def _no_colon(self, at: int, column: int, line: str, text: str) -> None:
        """A line without a name, where one has to stand."""
        group = self._groups[-1]
        tight, other, brace = _TIGHT.match(text), _OTHER_COLON.fullmatch(text), _BEFORE_BRACE.match(text)
        name = text
        if tight:
            name = tight[1]
            self.slips.tight_colon(at, column + tight.end(1), name, text[tight.end() :])
        elif other:
            name = other[1]
            self._missing_colon(at, column + other.end(1), name, other[2])
        elif brace:
            name = brace[1]
            self._missing_colon(at, column + brace.end(1), name, text[brace.end() - 1 :])
        else:
            below = next((low for low in range(at + 1, len(self.lines)) if self.lines[low].strip(" ")), at)
            if below > at and _skip(self.lines[below], 0) > column and self._is_name_line(below):
                self._missing_colon(at, column + len(text), name, "")
            else:
                known = _LONG_NAME.match(text)
                name = known[0] if known else text.partition(" ")[0]
                self._missing_colon(at, column + len(name), name, text[len(name) :].strip(" "))
        if text.startswith(("&", "*", "!", "%", "@", "`", "?")):
            self.slips.problems.pop()
            self.slips.special_first(at, column, text, what="line" if column == 0 else "name")
        group.newest, group.newest_line = name, at
        comment = line.find(" #", column)
        if comment >= 0:
            self.slips.comment_after_text(at, comment + 1, len(line) - comment - 1)
        self._awaited, self._state, self._key = True, "value", _Key(name, column, 0)

    def _missing_colon(self, at: int, column: int, name: str, value: str) -> None:
        whole = f"{name}: {value}" if value else f"{name}:"
        message = f"A colon is missing after `{clipped(name)}`."
        self.slips.add(at, column, "missing-colon", message, f"Type `{clipped(whole)}`.")

    def _stray(self, at: int, column: int, line: str) -> None:
        message = "This stands where a name and a colon have to stand."
        remedy = f"Type a name, a colon and a blank before it, or take it out: `name: {clipped(line[column:])}`."
        self.slips.add(at, column, "missing-name", message, remedy)
        self._awaited, self._state, self._key = False, "done", _Key("", column, 0)
        self._value(at, column, line)

    def _place(self, at: int, column: int, kind: Literal["names", "items"]) -> bool:
        """Find the group this name or item belongs to, or begin one. False if reading has to stop."""
        left: _Group | None = None
        while self._groups and self._groups[-1].column > column:
            left = self._groups.pop()
        if left:
            self._awaited = False
        top = self._groups[-1] if self._groups else None
        if top is None:
            if left:
                self._wrong_start(at, column, left, None)
            elif kind == "items":
                self._no_names(at, column)
                self._at = len(self.lines)
                return False
        elif top.column == column:
            return self._place_level(at, column, kind, top)
        elif not self._awaited and kind == "items" and left is None and self._trust_columns:
            name = clipped(top.newest)
            message = f"A `-` begins a list item, and `{name}` in line {top.newest_line + 1} has its value already."
            remedy = f"For a list type `{name}:` alone on its line, and each item with its dash on a line below."
            self.slips.add(at, column, "stray-item", message, remedy)
        elif not self._awaited:
            self._wrong_start(at, column, left, top)
        if len(self._groups) >= DEEPEST:
            self.slips.too_deep(at, column)
            self._at = len(self.lines)
            return False
        self._groups.append(_Group(column, kind))
        self._awaited = False
        return True

    def _place_level(self, at: int, column: int, kind: Literal["names", "items"], top: _Group) -> bool:
        if top.kind == kind:
            pass
        elif kind == "items":
            if self._awaited:
                self._groups.append(_Group(column, "items"))
            else:
                rest = self.lines[at][column + 1 :].strip(" ")
                message = "A `-` begins a list item, and no list can stand here."
                self.slips.add(at, column, "stray-item", message, f"Take the dash out, or put the text in quotes: `{in_quotes('- ' + rest)}`.")
                self._awaited = False
                self._state = "done"
                return False
        elif len(self._groups) > 1 and self._groups[-2].column == column:
            self._groups.pop()
        else:
            message = f"The lines level with this one are list items that begin with `- `, as in line {top.newest_line + 1}; this one doesn't."
            self.slips.add(at, column, "missing-dash", message, "Type `- ` before it, or start it level with the name it belongs to.")
            self._groups.append(_Group(column, "names"))
        self._awaited = False
        return True

    def _wrong_start(self, at: int, column: int, left: _Group | None, top: _Group | None) -> None:
        if not self._trust_columns:
            return
        if left is None and top is not None and self._level_value(at, column):
            return
        choices = [group for group in (left, top) if group is not None and group.column >= 0]
        message = "This line doesn't start level with any line it could belong to."
        if left is None and top is not None:
            message = f"This line starts further right than `{clipped(top.newest)}` in line {top.newest_line + 1}, which has its value already."
        starts = [f"{in_column(group.column)}, level with `{clipped(group.newest)}` in line {group.newest_line + 1}" for group in choices]
        self.slips.add(at, column, "wrong-start", message, f"Start it {', or '.join(starts)}.")

    def _level_value(self, at: int, column: int) -> bool:
        """Whether the lines above, level with this one, lack their colons; said if so."""
        first, value_column = self._value_at
        if self._state != "text" or value_column != column or _skip(self.lines[first], 0) != column:
            return False
        group = _Group(column, "names")
        self._groups.append(group)
        awaited = self._awaited
        for above in range(first, at):
            line = self.lines[above]
            if _skip(line, 0) == column < len(line) and line[column] != "#":
                comment = line.find(" #", column)
                text = line[:comment] if comment >= 0 else line  # the comment has been told
                self._no_colon(above, column, text, text[column:].rstrip(" "))
        self._awaited = awaited
        self._groups.pop()
        return True


def _skip(line: str, column: int) -> int:
    """The column of the first character from here on that isn't a blank; the line's length if there is none."""
    rest = line[column:]
    return column + len(rest) - len(rest.lstrip(" "))
