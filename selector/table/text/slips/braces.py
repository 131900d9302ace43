"""Lists in brackets and named values in braces: where they end, and the slips made inside."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Literal

from selector.table.text.slips.commas import Entry, Opening, number_with_comma, tell_split, tight_colon
from selector.table.text.slips.quotes import end_of_quotes
from selector.table.text.slips.slip_list import DEEPEST, LONGEST_NAME, SlipList, clipped, in_column

_PLAIN = re.compile(r"(?:[^,\[\]{}: ]|:(?![ ,\[\]{}]|$)| (?!#))+")
_VALUE = re.compile(r"[^,\]}]*")
_AFTER_COLON = ("", " ", ",", "[", "]", "{", "}")


class Braces:
    """Reads one value that begins with `{` or `[`; `line` and `column` are then the place after it, counted from 0."""

    __slots__ = ("_depth", "_is_free", "_lines", "_note_free", "_open", "_outer", "_slips", "column", "line")

    def __init__(
        self,
        lines: Sequence[str],
        slips: SlipList,
        is_free: Callable[[str], bool],
        note_free: Callable[[str, int, int, int], None],
        outer: int,
        depth: int,
    ) -> None:
        self._lines = lines
        self._slips = slips
        self._is_free = is_free
        self._note_free = note_free
        self._outer = outer
        self._depth = depth
        self._open: list[Opening] = []
        self.line = self.column = 0

    def read(self, line: int, column: int) -> Literal["closed", "unclosed", "stop"]:
        """How it ended. Lines that continue the value must start further right than column `outer`."""
        self.line, self.column = line, column + 1
        self._open.append(Opening(self._lines[line][column], line, column))
        while self._open:
            if self._slips.full:
                return "stop"
            text = self._lines[self.line]
            while text[self.column : self.column + 1] == " ":
                self.column += 1
            char = text[self.column : self.column + 1]
            entry = self._open[-1].entry
            if char in ("", "#"):
                if not self._next_line(text):
                    self._never_closed()
                    return "unclosed"
            elif char in "{[":
                if len(self._open) + self._depth >= DEEPEST:
                    self._slips.too_deep(self.line, self.column)
                    return "stop"
                if entry.slot != "empty":
                    self._no_comma(entry, char)
                self._open.append(Opening(char, self.line, self.column))
                self.column += 1
            elif char in "}]":
                self._close(char)
            elif char == ",":
                self._end_entry(comma=True)
                if self._slips.too_many_values(self.line, self.column):
                    return "stop"
                self.column += 1
            elif char == ":" and (
                entry.slot in ("quoted", "closed") or text[self.column + 1 : self.column + 2] in _AFTER_COLON
            ):
                self._colon(entry, text)
            elif char in "\"'" and entry.slot == "empty":
                if not self._quotes(entry, text):
                    return "unclosed"
            else:
                self._plain(entry, text)
        return "closed"

    def _next_line(self, text: str) -> bool:
        """Go to the next line that goes on with the value; False if there is none."""
        if self.column < len(text):
            self._slips.comment_after_text(self.line, self.column, len(text) - self.column)
        line, body = self.line + 1, ""
        while line < len(self._lines):
            body = self._lines[line].lstrip(" ")
            if body and body[0] != "#":
                break
            if body and self._open[-1].entry.slot == "text":
                self._open[-1].entry.slot = "cut"
            line += 1
        else:
            return False
        column = len(self._lines[line]) - len(body)
        if column == 0 and body.startswith(("---", "...")):
            return False
        if column <= self._outer and body[0] not in "}]":
            if sum(map(body.count, "}]")) <= sum(map(body.count, "{[")):
                return False
            message = (
                f"This line goes on with what was opened in line {self._open[0].line + 1}, so it has to start further"
                " right."
            )
            self._slips.add(
                line, column, "wrong-start", message, f"Start it {in_column(self._outer + 2)} or further right."
            )
        self.line, self.column = line, column
        return True

    def _never_closed(self) -> None:
        first = self._open[0]
        name = "brace" if first.char == "{" else "bracket"
        closing = "".join("}" if opened.char == "{" else "]" for opened in reversed(self._open))
        message = f"The {name} {first.char} opened here is never closed."
        remedy = f"Type {closing} where the values end."
        if self.line == first.line:
            remedy = f"Type {closing} at the end: `{clipped(self._lines[self.line].strip(' '))}{closing}`."
        self._slips.add(first.line, first.column, f"unclosed-{name}", message, remedy)
        self.column = len(self._lines[self.line])

    def _close(self, char: str) -> None:
        self._end_entry(comma=False)
        wanted = "{" if char == "}" else "["
        while self._open[-1].char != wanted and any(other.char == wanted for other in self._open):
            self._wrongly_closed(self._open.pop(), char)
        opened = self._open.pop()
        if opened.char != wanted:
            self._wrongly_closed(opened, char)
        tell_split(self._slips, opened, free=opened.before is not None and self._is_free(opened.before.key))
        if self._open:
            self._open[-1].entry.slot = "closed"
        self.column += 1

    def _wrongly_closed(self, opened: Opening, char: str) -> None:
        name, closing = ("brace", "}") if opened.char == "{" else ("bracket", "]")
        message = f"The {name} {opened.char} opened here isn't closed before the {char} in line {self.line + 1}."
        self._slips.add(
            opened.line, opened.column, f"unclosed-{name}", message, f"Type {closing} where its values end."
        )

    def _quotes(self, entry: Entry, text: str) -> bool:
        end = end_of_quotes(self._lines, self.line, self.column, self._outer, self._slips)
        if end is None:
            self.column = len(text)
            return False
        entry.slot, entry.line, entry.column = "quoted", self.line, self.column
        entry.text = text[self.column + 1 : end[1] - 1] if end[0] == self.line else " " * (LONGEST_NAME + 1)
        self._note_free(entry.key, self.line, self.column, end[1] if end[0] == self.line else len(text))
        self.line, self.column = end
        return True

    def _plain(self, entry: Entry, text: str) -> None:
        match = _PLAIN.match(text, self.column)
        end = match.end() if match else self.column + 1
        piece = text[self.column : end].rstrip(" ")
        if entry.slot == "text":
            entry.text += " " + piece
        elif entry.slot == "empty":
            entry.slot, entry.text, entry.line, entry.column = "text", piece, self.line, self.column
            if self._slips.special_first(self.line, self.column, piece, entry.key):
                entry.told = True
        else:
            self._no_comma(entry, "")
        self._note_free(entry.key, self.line, self.column, end)
        self.column = end

    def _no_comma(self, entry: Entry, char: str) -> None:
        """Something follows a value that is complete."""
        if entry.told:
            return
        entry.told = True
        if entry.slot == "quoted" and not char:
            message = "The text goes on after its closing quote."
            self._slips.add(
                self.line,
                self.column,
                "text-after-quote",
                message,
                "Leave the quotes out, or put them around the whole text.",
            )
        elif char and entry.slot == "text" and not entry.colon:
            message = f"A colon is missing after `{clipped(entry.text)}`."
            self._slips.add(
                self.line,
                self.column,
                "missing-colon",
                message,
                f"Type a colon and a blank: `{clipped(entry.text)}: {char}`.",
            )
        else:
            message = "A comma is missing before this: between two values in braces or brackets there is one."
            self._slips.add(self.line, self.column, "missing-comma", message, "Type a comma and a blank before it.")

    def _colon(self, entry: Entry, text: str) -> None:
        after = text[self.column + 1 : self.column + 2]
        told = entry.told
        entry.told = True
        if told:
            pass
        elif entry.slot == "empty":
            self._slips.no_name(self.line, self.column)
        elif entry.colon and entry.line != self.line:
            end = len(self._lines[entry.line].rstrip(" "))
            message = (
                f"A comma is missing at the end of line {entry.line + 1}: between two values in braces there is one."
            )
            self._slips.add(entry.line, end - 1, "missing-comma", message, "Type a comma there.")
        elif entry.colon:
            value = _VALUE.match(text, entry.column)
            self._slips.second_colon(self.line, self.column, entry.key, value[0].strip(" ") if value else entry.text)
        elif entry.slot == "closed":
            self._slips.key_not_text(self.line, self.column)
        elif entry.line != self.line or len(entry.text) > LONGEST_NAME:
            self._slips.long_name(entry.line, entry.column)
        elif entry.slot == "text" and after and after in ",[]{}":
            self._slips.tight_colon(self.line, self.column, entry.text, after if after in "{[" else "...")
        else:
            entry.told = False
            self._new_key(entry)
        entry.colon, entry.key = True, entry.text
        entry.slot, entry.text = "empty", ""
        self.column += 1

    def _new_key(self, entry: Entry) -> None:
        opened = self._open[-1]
        if opened.char == "{":
            if entry.text in opened.keys:
                self._slips.doubled_key(entry.line, entry.column, entry.text, opened.keys[entry.text])
            opened.keys.setdefault(entry.text, entry.line)

    def _end_entry(self, *, comma: bool) -> None:
        """Judge the entry that ends at this comma or closing."""
        opened, entry = self._open[-1], self._open[-1].entry
        if entry.slot == "empty" and not entry.colon:
            if comma:
                self._slips.add(
                    self.line, self.column, "extra-comma", "There is no value before this comma.", "Take the comma out."
                )
        elif entry.told or tight_colon(self._slips, opened.char, entry):
            opened.before, opened.bare = None, True
        elif opened.char == "[" or entry.colon:
            if not number_with_comma(self._slips, opened, entry):
                tell_split(self._slips, opened, free=opened.before is not None and self._is_free(opened.before.key))
                opened.thousands = False
                opened.before = entry
        elif opened.before is None:
            if not opened.bare:
                opened.bare = True
                name = clipped(entry.text, 20) or "..."
                message = f"`{name}` has no colon: in braces every value has a name, a colon and a blank before it."
                remedy = (
                    f"Type `{name}: ` and its value. For a list, type the words with blanks between, without braces."
                )
                self._slips.add(entry.line, entry.column, "missing-colon", message, remedy, len(entry.text))
        elif not number_with_comma(self._slips, opened, entry):
            if not opened.pieces:
                opened.pieces.append(opened.before.text)
                opened.pieces_at = opened.comma
            opened.pieces.append(entry.text)
        opened.comma = (self.line, self.column)
        opened.entry = Entry()
