"""Slips found in one text, gathered as problems with their places; and what several slips have to say."""

from __future__ import annotations

import re

from selector.problems import Problem
from selector.table.source import Source

MOST_SLIPS = 200
"""Once so many have been found, the rest of the file isn't looked at."""

LONGEST_NAME = 500
LONGEST_LINE = 20_000
MOST_VALUES = 200_000
"""Most names, list items and values in braces and brackets; rows below a bar count as one."""

DEEPEST = 40
"""Most levels that braces, brackets, list items and names with lines below them may be nested."""


class SlipList:
    """Gathers problems of one source. Lines and columns given to `add` count from 0, as the text is indexed."""

    __slots__ = ("_values", "full", "problems", "source")

    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self.full = False
        self._values = 0

    def add(self, line: int, column: int, code: str, message: str, remedy: str, length: int = 1) -> None:
        if len(self.problems) >= MOST_SLIPS:
            self.full = True
            return
        shown = self.source.lines[line] if line < len(self.source.lines) else ""
        self.problems.append(
            Problem(
                file=self.source.file,
                line=line + 1,
                column=column + 1,
                code=code,
                message=message,
                help=remedy,
                source=shown,
                length=max(1, length),
            )
        )

    def sorted(self) -> list[Problem]:
        """All problems in the order of their places; a last one says where there are more."""
        problems = sorted(self.problems)
        if self.full:
            message = f"There are more than {MOST_SLIPS} problems; the others are shown once these are mended."
            problems.append(
                Problem(
                    file=self.source.file,
                    line=len(self.source.lines),
                    column=1,
                    code="too-many-problems",
                    message=message,
                    severity="remark",
                )
            )
        return problems

    def comment_after_text(self, line: int, column: int, length: int) -> None:
        self.add(
            line,
            column,
            "comment-after-text",
            "A `#` after a blank starts a comment, so the rest of this line would be dropped.",
            "Put the comment on a line of its own above this one, beginning with `#`. If it belongs to the text, put"
            " the text in quotes.",
            length,
        )

    def too_deep(self, line: int, column: int) -> None:
        message = f"This is nested more than {DEEPEST} levels deep; a table needs five or six."
        self.add(line, column, "too-deep", message, "Check that every { and [ is closed where it should be.")

    def too_many_values(self, line: int, column: int) -> bool:
        """Count one more value; whether there are too many, which is said once."""
        self._values += 1
        if self._values == MOST_VALUES + 1:
            message = f"There are more than {MOST_VALUES:,} values in this file, too many for a table."
            self.add(
                line,
                column,
                "too-many-values",
                message,
                "Type long charts as rows below `rows: |`, and each unit into a file of its own.",
            )
        return self._values > MOST_VALUES

    def doubled_key(self, line: int, column: int, key: str, first_line: int) -> None:
        where = f": here and in line {first_line + 1}" if first_line != line else " in this line"
        message = f"`{clipped(key)}` is listed twice{where}."
        self.add(line, column, "doubled-key", message, "Take one of the two out, or give one another name.", len(key))

    def second_colon(self, line: int, column: int, key: str, value: str, *, continued: bool = False) -> None:
        if continued:
            remedy = f"Type `{clipped(key)}: |`, and the whole text on the lines below, further right."
        else:
            whole = f"{clipped(key)}: {in_quotes(value)}" if key else in_quotes(value)
            remedy = f"Put the text in quotes: `{whole}`. If it names another value, give that a line of its own."
        self.add(
            line,
            column,
            "second-colon",
            "There is a second colon in this value; only the first one, after the name, can stand free.",
            remedy,
        )

    def tight_colon(self, line: int, column: int, key: str, value: str) -> None:
        remedy = f"Type `{clipped(key)}: {clipped(value)}`."
        self.add(
            line, column, "no-blank-after-colon", f"There is no blank after the colon of `{clipped(key)}`.", remedy
        )

    def unopened(self, line: int, column: int, closing: str) -> None:
        name, opening = ("brace", "{") if closing == "}" else ("bracket", "[")
        message = f"The {name} {closing} closes nothing: no {opening} is open here."
        self.add(line, column, f"unopened-{name}", message, f"Take it out, or type {opening} where the values begin.")

    def no_name(self, line: int, column: int) -> None:
        self.add(
            line,
            column,
            "missing-name",
            "There is no name before this colon.",
            "Type the name of the value before the colon.",
        )

    def key_not_text(self, line: int, column: int) -> None:
        message = "A list or a group in braces can't be a name."
        self.add(line, column, "key-not-text", message, "Type a plain word or words before the colon.")

    def long_name(self, line: int, column: int) -> None:
        message = f"This name is longer than {LONGEST_NAME} characters, or goes over more than one line."
        self.add(line, column, "long-name", message, "Type a short name on one line, then a colon and a blank.")

    def special_first(self, line: int, column: int, text: str, key: str = "", what: str = "value") -> bool:
        """Whether `text`, a value or a name, begins with a character that can't begin one; said if so."""
        first, rest = text[0], text[1:]
        name = _NAME_MARK.match(text)
        if first == "-":
            if rest[:1] not in ("", " ", ",", "]", "}"):
                return False
            if key.lower() == "rows":
                remedy = "Type `rows: |`, and each row on a line of its own below, further right."
            elif key.lower() in ("positions", "factory"):
                remedy = f"A position that is printed as - is typed as the word minus: `minus{rest.rstrip()}`."
            elif rest.strip(" "):
                touching = clipped(f"-{rest.strip(' ')}")
                remedy = (
                    f"If it is a minus, let it touch its number: `{touching}`. For a list, type the words with blanks"
                    " between, without `-`."
                )
            else:
                remedy = 'Leave it out if nothing is meant. If the mark itself is meant, put it in quotes: `"-"`.'
            self.add(line, column, "dash-first", "A value can't begin with a `-` that stands alone.", remedy)
        elif name:
            what, purpose = {
                "&": ("anchor", "give this part of the file a name, to repeat it elsewhere"),
                "*": ("alias", "repeat another part of the file here"),
                "!": ("tag", "change how the value is read"),
            }[first]
            message = f"`{clipped(name[0])}` would {purpose}; tables don't do that."
            self.add(
                line,
                column,
                what,
                message,
                f"Type the value itself. If this is text, put it in quotes: `{in_quotes(text)}`.",
                len(name[0]),
            )
        elif first in "}]":
            self.unopened(line, column, first)
        elif first in "-?*&!%@`|>:,":
            shown = "a backtick" if first == "`" else f"`{first}`"
            remedy = (
                f"Put it in quotes: `{in_quotes(text)}`."
                if what == "value"
                else "Take it out, or put the name in quotes."
            )
            self.add(line, column, "special-first-character", f"A {what} can't begin with {shown}.", remedy)
        else:
            return False
        return True


_NAME_MARK = re.compile(r"[&*!][^ ,\[\]{}]+")


def in_column(column: int) -> str:
    """How a column, counted from 0, is said: its number from 1, and the blanks to type."""
    blanks = "no blank" if not column else "1 blank" if column == 1 else f"{column} blanks"
    return f"in column {column + 1} ({blanks} before it)"


def in_quotes(text: str) -> str:
    """The text in double quotes, or in single ones where it holds double ones or a backslash."""
    text = clipped(text)
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def clipped(text: str, most: int = 60) -> str:
    """The text, cut where it is too long to be repeated in a sentence."""
    return text if len(text) <= most else text[: most - 3] + "..."
