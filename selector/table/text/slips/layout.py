"""Reads a text line by line for how it is laid out, and finds the slips people make who have never been told the rules.

It follows names, list items, texts below a bar, braces and quotes just far enough to say in plain words what is wrong
and what to type.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Literal

from selector.table.text.slips.braces import Braces
from selector.table.text.slips.levels import Kind, LevelGroup, Levels, no_names
from selector.table.text.slips.names import (
    Name,
    brace_after_name,
    comment_column,
    has_other_colon,
    has_tight_colon,
    meant_name,
    name_at,
    skip_blanks,
    starts_with_name,
)
from selector.table.text.slips.quotes import end_of_quotes
from selector.table.text.slips.rows import RowText
from selector.table.text.slips.slip_list import LONGEST_NAME, SlipList, clipped

_BAR = re.compile(r"([|>][-+]?)(?= |$) *")
_TAB_AT_START = re.compile(r" *\t[ \t]*[^ \t]")
_BLANKS = re.compile("[\t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")


class Layout:
    """What one reading of a text found: slips (into the list given), where texts below a bar end, and where free text
    stands.

    Lines and columns count from 0 throughout.
    """

    def __init__(self, slips: SlipList, free_names: Collection[str], row_names: Collection[str]) -> None:
        source = slips.source
        self.tabs = "\t" in source.text
        self.ragged = False
        """Whether there are lines of nothing but blanks."""
        self.text_ends: dict[int, int] = {}
        """For the line of each `|` or `>` the last line of its text."""
        self.free_texts: list[tuple[int, int]] = []
        """First line and line after the last of texts in which any letters may stand."""
        self.free_spans: dict[int, list[tuple[int, int]]] = {}
        """By line, from column and up to column, of free text beside a name."""
        self.level_tabs: set[int] = set()
        """Lines whose tabs stand among cells, not before them."""
        self._slips = slips
        self._free_names = free_names
        self._row_names = row_names
        self._lines = source.lines
        if self.tabs or not source.text.isascii():
            self._lines = tuple(_BLANKS.sub(" ", line) for line in source.lines)
        trusted = not (self.tabs and any(_TAB_AT_START.match(line) for line in source.lines))
        self._levels = Levels(self._lines, slips, trusted=trusted)
        self._at = 0
        self._state: Literal["other", "text"] = "other"
        """`text` while a text without quotes may go on in the next line."""
        self._name = Name("", 0)
        self._value_at = (0, 0)
        self._comment: int | None = None
        """Line of the first comment since the last line of a text."""
        self._seen = False
        self._marks = 0
        self._read()

    def _is_free(self, name: str) -> bool:
        return name.lower() in self._free_names

    def _read(self) -> None:
        while self._at < len(self._lines) and not self._slips.full:
            line = self._lines[self._at]
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
            message = (
                "There is nothing in this file but blank lines and comments."
                if self._lines
                else "There is nothing in this file."
            )
            self._slips.add(
                0, 0, "empty-file", message, "Type the table: `format: selector table 1` is its first line."
            )

    def _document_mark(self, line: str) -> None:
        self._marks += 1
        below = (self._lines[low].lstrip(" ") for low in range(self._at + 1, len(self._lines)))
        if line.startswith("...") and not any(text and text[0] != "#" for text in below):
            self._stop()
            return
        if self._seen or self._marks > 1 or line.startswith("...") or line[3:].strip(" "):
            message = f"`{line[:3]}` alone on a line begins another file inside this one; one file holds one table."
            self._slips.add(
                self._at,
                0,
                "several-documents",
                message,
                "Take the line out, or put what follows into a file of its own.",
                3,
            )
        self._levels.groups.clear()
        self._levels.awaited, self._state = False, "other"
        self._at += 1

    def _stop(self) -> None:
        self._at = len(self._lines)

    # One line of names, items and values

    def _line(self, column: int) -> None:
        at, line = self._at, self._lines[self._at]
        self._at += 1
        self._seen = True
        if self._state == "text" and self._continues(at, column, line):
            return
        start = column
        while line[column] == "-" and line[column + 1 : column + 2] in ("", " "):
            if not self._place(at, column, "items"):
                return
            self._levels.groups[-1].newest, self._levels.groups[-1].newest_line = "-", at
            if self._slips.too_many_values(at, column):
                self._stop()
                return
            self._await(Name("", column))
            column = skip_blanks(line, column + 1)
            if column >= len(line):
                return
        name = name_at(line, column)
        if name is None:
            self._line_without_name(at, column, line, start)
            return
        self._colons_missing_above(at, column)
        if self._place(at, column, "names"):
            self._check_name(at, name, line)
            self._await(name)
            self._value(at, skip_blanks(line, name.value), line)

    def _await(self, name: Name) -> None:
        self._levels.awaited, self._state, self._name = True, "other", name

    def _place(self, at: int, column: int, kind: Kind) -> bool:
        placed = self._levels.place(at, column, kind)
        if placed == "stop":
            self._stop()
        elif placed == "stray":
            self._levels.awaited, self._state = False, "other"
        return placed == "placed"

    def _check_name(self, at: int, name: Name, line: str) -> None:
        """Check a name and keep it, for doubled names and for what is said about lines below it."""
        group = self._levels.groups[-1]
        group.newest, group.newest_line = name.text, at
        if self._slips.too_many_values(at, name.column):
            self._stop()
            return
        quoted = line[name.column] in "\"'"
        if not name.text and not quoted:
            self._slips.no_name(at, name.column)
            return
        if len(name.text) > LONGEST_NAME:
            self._slips.long_name(at, name.column)
            return
        if not quoted and (brace := brace_after_name(name.text)):
            self._missing_colon(at, name.column, brace[0], line[name.column + brace[1] :])
            name.text, name.value = brace[0], name.column + brace[1]
            group.newest = name.text
        elif not quoted:
            self._slips.special_first(at, name.column, name.text, what="name")
        if name.text in group.keys:
            self._slips.doubled_key(at, name.column, name.text, group.keys[name.text])
        group.keys.setdefault(name.text, at)

    def _value(self, at: int, column: int, line: str) -> None:
        """Read the value that begins here, with the lines it goes on for."""
        if column >= len(line):
            if self._name.text.lower() in self._row_names:
                self._rows_without_bar(at)
            return
        first, outer = line[column], self._levels.column
        if first == "#":
            self._slips.comment_after_text(at, column, len(line) - column)
            return
        self._levels.awaited, self._state = False, "other"
        self._value_at, self._comment = (at, column), None
        if first in "|>":
            self._below_bar(at, column, line, outer)
        elif first in "{[":
            braces = Braces(self._lines, self._slips, self._is_free, self._note_free, outer, len(self._levels.groups))
            ended = braces.read(at, column)
            self._at = braces.line + 1
            if ended == "stop":
                self._stop()
            elif ended == "closed":
                self._after(braces.line, braces.column, first)
        elif first in "\"'":
            end = end_of_quotes(self._lines, at, column, outer, self._slips)
            self._note_free(self._name.text, at, column, len(line))
            if end is not None:
                self._at = end[0] + 1
                self._after(*end, first)
        else:
            self._state = "text"
            self._text(at, column, line)

    def _text(self, at: int, column: int, line: str) -> None:
        """Check a value without quotes, or a line that continues one."""
        name = self._name.text
        end = comment_column(line, column)
        text = line[column:end].rstrip(" ")
        self._note_free(name, at, column, end)
        begins = (at, column) == self._value_at
        if not (begins and self._slips.special_first(at, column, text, name)):
            colon = (text + " ").find(": ")
            if colon >= 0:
                self._slips.second_colon(at, column + colon, name, text, continued=not begins)
            elif text[-1:] in ("}", "]") and ("{" if text[-1] == "}" else "[") not in text and not self._is_free(name):
                self._slips.unopened(at, column + len(text) - 1, text[-1])
        self._comment_after(at, end, line)

    def _comment_after(self, at: int, end: int, line: str) -> None:
        if end < len(line):
            self._slips.comment_after_text(at, end + 1, len(line) - end - 1)

    def _after(self, at: int, column: int, first: str) -> None:
        """Nothing may follow a closing brace, bracket or quote on its line."""
        line = self._lines[at]
        rest = skip_blanks(line, column)
        if rest >= len(line):
            return
        length = len(line) - rest
        if line[rest] == "#":
            self._slips.comment_after_text(at, rest, length)
        elif first in "\"'":
            whole = line[self._value_at[1] if at == self._value_at[0] else 0 :].replace(first, "").strip(" ")
            remedy = f"Leave the quotes out: `{clipped(whole)}`, or put them around the whole text."
            self._slips.add(at, rest, "text-after-quote", "The text goes on after its closing quote.", remedy, length)
        elif line[rest] == ":":
            self._slips.key_not_text(at, rest)
        elif line[rest] in "}]":
            self._slips.unopened(at, rest, line[rest])
        else:
            message = f"The line goes on after its closing {'}' if first == '{' else ']'}."
            self._slips.add(
                at,
                rest,
                "text-after-brace",
                message,
                "Put it inside, after a comma and a blank, or take it out.",
                length,
            )

    def _note_free(self, name: str, line: int, start: int, end: int) -> None:
        if self._is_free(name):
            self.free_spans.setdefault(line, []).append((start, end))

    # Texts of several lines

    def _below_bar(self, at: int, column: int, line: str, outer: int) -> None:
        bar = _BAR.match(line, column)
        rest = bar.end() if bar else column + 1
        if line[column] == ">" and rest < len(line) and line[rest] != "#":
            self._slips.special_first(at, column, line[column:])
            return
        if line[column] == ">" and not self._is_free(self._name.text):
            name = f"{clipped(self._name.text)}: " if self._name.text else ""
            self._slips.add(
                at,
                column,
                "joining-mark",
                "`>` would join all the lines below into one.",
                f"Type a bar instead: `{name}|`.",
            )
        if rest < len(line):
            if line[rest] == "#" and bar:
                self._slips.comment_after_text(at, rest, len(line) - rest)
            else:
                remedy = "Type the bar alone, and this on the line below, further right."
                self._slips.add(
                    at,
                    rest,
                    "text-after-bar",
                    "Nothing else can stand on the line of the bar.",
                    remedy,
                    len(line) - rest,
                )
        self._text_below(at, outer)

    def _text_below(self, at: int, outer: int) -> None:
        rows = RowText(self._lines, self._slips, at, outer, self._levels.item_columns(), self._name.text)
        rows.read()
        self.text_ends[at] = rows.last
        self.ragged = self.ragged or rows.ragged
        self._at = rows.after
        self._levels.awaited, self._state = False, "other"
        if self._is_free(self._name.text):
            self.free_texts.append((at + 1, rows.after))
        if self.tabs and rows.column:
            pad = " " * rows.column
            self.level_tabs.update(
                row for row in range(at + 1, rows.after) if self._slips.source.lines[row].startswith(pad)
            )

    def _rows_without_bar(self, at: int) -> None:
        """Tell of rows that stand below a name without a bar after its colon, if they do."""
        outer = self._levels.column
        below = next(
            (
                low
                for low in range(at + 1, len(self._lines))
                if self._lines[low].strip(" ") and self._lines[low].lstrip(" ")[0] != "#"
            ),
            None,
        )
        if below is None:
            return
        line = self._lines[below]
        column = skip_blanks(line, 0)
        dash = line[column] == "-" and line[column + 1 : column + 2] in ("", " ")
        if column > outer or (column == outer and dash):
            if starts_with_name(line) or line[column] in "|>":
                return
            self._tell_no_bar(at)
            self._text_below(at, outer if column > outer else outer - 1)

    def _tell_no_bar(self, at: int) -> None:
        name = clipped(self._name.text)
        message = f"There is no bar after `{name}:`, so all the rows below would run together into one."
        remedy = f"Type `{name}: |`, and each row on a line of its own below, further right."
        self._slips.add(at, self._name.column, "rows-without-bar", message, remedy, len(name) + 1)

    def _continues(self, at: int, column: int, line: str) -> bool:
        """Whether this line only continues the text above it."""
        if column <= self._levels.column:
            return False
        free = self._is_free(self._name.text)
        dash = line[column] == "-" and line[column + 1 : column + 2] in ("", " ")
        name = name_at(line, column)
        if (dash and not free) or (name and (not free or name.text.count(" ") < 2)):
            return False
        if self._comment is not None:
            where = skip_blanks(self._lines[self._comment], 0)
            message = "A comment can't stand between two lines of one text."
            self._slips.add(
                self._comment, where, "comment-inside-text", message, "Put the comment above the name of the text."
            )
            self._comment = None
        if self._name.text.lower() in self._row_names:
            self._tell_no_bar(self._value_at[0])
            self._text_below(at - 1, self._levels.column)
        else:
            self._text(at, column, line)
        return True

    # Lines without a name

    def _line_without_name(self, at: int, column: int, line: str, start: int) -> None:
        """A line, or the rest of a list item, that has no name before a colon."""
        text = line[column : comment_column(line, column)].rstrip(" ")
        levels = self._levels
        if not levels.groups:
            self._first_line(at, column, line, text)
        elif levels.awaited and column > levels.column:
            if line[column] not in "\"'{[" and has_tight_colon(text) and not self._is_free(self._name.text):
                levels.groups.append(LevelGroup(column, "names"))
                self._no_colon(at, column, line, text)
            else:
                self._value(at, column, line)
        elif self._place(at, start, "names"):
            if line[column] in "{[\"'":
                message = "This stands where a name and a colon have to stand."
                remedy = (
                    f"Type a name, a colon and a blank before it, or take it out: `name: {clipped(line[column:])}`."
                )
                self._slips.add(at, column, "missing-name", message, remedy)
                self._name = Name("", column)
                self._value(at, column, line)
            else:
                self._no_colon(at, column, line, text)

    def _first_line(self, at: int, column: int, line: str, text: str) -> None:
        """The file doesn't begin with a name: it is in braces, lacks a colon, or is no table."""
        levels = self._levels
        if line[column] in "{[":
            told = len(self._slips.problems)
            levels.groups.append(LevelGroup(-1, "names"))
            self._value(at, column, line)
            if line[column] == "[" and len(self._slips.problems) == told:
                no_names(self._slips, at, column)
            levels.groups[:] = [LevelGroup(0, "names")]
        elif (
            has_tight_colon(text) or has_other_colon(text) or any(map(starts_with_name, self._lines[at + 1 : at + 30]))
        ):
            levels.groups.append(LevelGroup(column, "names"))
            self._no_colon(at, column, line, text)
        else:
            no_names(self._slips, at, column)
            self._stop()

    def _no_colon(self, at: int, column: int, line: str, text: str) -> None:
        """A line without a name and a colon, where they have to stand."""
        if not self._slips.special_first(at, column, text, what="line" if column == 0 else "name"):
            below = next((low for low in range(at + 1, len(self._lines)) if self._lines[low].strip(" ")), at)
            alone = below > at and skip_blanks(self._lines[below], 0) > column and starts_with_name(self._lines[below])
            name, value, tight = meant_name(text, alone=alone)
            if tight:
                self._slips.tight_colon(at, column + len(name), name, value)
            else:
                self._missing_colon(at, column, name, value)
            text = name
        self._levels.groups[-1].newest, self._levels.groups[-1].newest_line = text, at
        self._comment_after(at, comment_column(line, column), line)
        self._await(Name(text, column))

    def _missing_colon(self, at: int, column: int, name: str, value: str) -> None:
        bare = name.rstrip(", ") or name
        whole = f"{bare}: {value}" if value else f"{bare}:"
        message = f"A colon is missing after `{clipped(name)}`."
        if bare != name:
            message = f"A comma stands where the colon of `{clipped(bare)}` belongs."
        self._slips.add(
            at,
            column + len(name),
            "missing-colon",
            message,
            f"Type `{clipped(whole)}`.",
        )

    def _colons_missing_above(self, at: int, column: int) -> None:
        """Tell of the lines above, level with this name, that were taken for the text of the name they belong to."""
        first, value_column = self._value_at
        levels = self._levels
        own_line = value_column == column and skip_blanks(self._lines[first], 0) == column
        if self._state != "text" or levels.awaited or column <= levels.column or not own_line:
            return
        levels.groups.append(LevelGroup(column, "names"))
        for above in range(first, at):
            line = self._lines[above]
            if skip_blanks(line, 0) == column < len(line) and line[column] != "#":
                text = line[: comment_column(line, column)].rstrip(" ")  # a comment after it has been told
                self._no_colon(above, column, text, text[column:])
        levels.groups.pop()
