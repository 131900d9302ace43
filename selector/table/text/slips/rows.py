"""A text below a bar: where it ends, and rows that stand further left than the others."""

from __future__ import annotations

from collections.abc import Container, Sequence

from selector.table.text.slips.names import starts_with_name
from selector.table.text.slips.slip_list import SlipList, clipped, in_column


class RowText:
    """Reads the lines below a bar. `column` is where the rows start, `last` the last row, `after` the line that
    follows; all count from 0."""

    def __init__(
        self,
        lines: Sequence[str],
        slips: SlipList,
        bar_line: int,
        outer: int,
        item_columns: Container[int],
        name: str,
    ) -> None:
        self._lines = lines
        self._slips = slips
        self._bar_line = bar_line
        self._outer = outer
        self._item_columns = item_columns
        self._name = name
        self._sample: list[list[str]] | None = None
        """Cells of the first rows, to tell a row from a name without a colon."""
        self._text_line = -1
        self.column = 0
        self.last = bar_line
        self.after = bar_line + 1
        self.ragged = False

    def read(self) -> None:
        lines, count = self._lines, len(self._lines)
        at = self.after
        pad = ""
        left: list[int] = []
        while at < count:
            line = lines[at]
            if pad and line.startswith(pad):
                self.last = at
            elif body := line.lstrip(" "):
                column = len(line) - len(body)
                if column > self._outer:
                    if pad:
                        left.append(at)
                    else:
                        self.column, pad = column, " " * column
                elif not self._belongs(at, column, bool(pad)):
                    break
                else:
                    left.append(at)
                    if not pad:
                        at = self._whole_text_left(at, column)
                        left.clear()
                        continue
                self.last = at
            elif line:
                self.ragged = True
            at += 1
        self.after = at
        while self.last > self._bar_line and not lines[self.last].strip(" "):
            self.last -= 1
        if left:
            self._tell(left)

    def _belongs(self, at: int, column: int, rows_above: bool) -> bool:
        """Whether a line no further right than the name is meant as a row, or as a comment among rows."""
        line = self._lines[at]
        if line.startswith(("---", "...")) and line[3:4] in ("", " "):
            return False
        below = self._next_text(at)
        if below >= len(self._lines):
            return False
        if below > at:
            next_line = self._lines[below]
            return rows_above and len(next_line) - len(next_line.lstrip(" ")) > self._outer
        if starts_with_name(line):
            return False
        body = line[column:]
        if (body == "-" or body.startswith("- ")) and column in self._item_columns:
            return False
        if not body[0].isalpha():
            return True
        return not self._lacks_colon(at, column)

    def _lacks_colon(self, at: int, column: int) -> bool:
        """Whether this line is more likely a name whose colon was forgotten than a row."""
        first, _, rest = self._lines[at][column:].partition(" ")
        if ":" in first or rest[:1] == "{":
            return True
        below = self._next_text(at + 1)
        if below < len(self._lines):
            next_line = self._lines[below]
            if len(next_line) - len(next_line.lstrip(" ")) > column and starts_with_name(next_line):
                return True
        if self._sample is None:
            self._sample = [
                row.split() for row in self._lines[self._bar_line + 1 : min(at, self._bar_line + 100)] if row.strip(" ")
            ]
        if not self._sample or any(first == row[0] for row in self._sample):
            return False
        return not any(len(row) == 1 + len(rest.split()) for row in self._sample)

    def _next_text(self, at: int) -> int:
        """The first line from here on that is neither empty nor a comment."""
        if self._text_line < at:
            below = at
            while below < len(self._lines) and (
                not self._lines[below].strip(" ") or self._lines[below].lstrip(" ")[0] == "#"
            ):
                below += 1
            self._text_line = below
        return self._text_line

    def _whole_text_left(self, at: int, column: int) -> int:
        """All rows stand no further right than their name: said once. The line after them."""
        name = clipped(self._name) or "-"
        self._text_line = -1
        message = f"The rows have to start further right than `{name}`, the name they belong to."
        self._slips.add(
            at, column, "rows-too-far-left", message, f"Start every row {in_column(self._outer + 2)} or further right."
        )
        while at < len(self._lines):
            body = self._lines[at].lstrip(" ")
            if body and not self._belongs(at, len(self._lines[at]) - len(body), True):
                break
            if body:
                self.last = at
            at += 1
        return at

    def _tell(self, left: list[int]) -> None:
        lines = self._lines
        rows = [at for at in range(self._bar_line + 1, self.after) if lines[at].strip(" ")]
        columns = {at: len(lines[at]) - len(lines[at].lstrip(" ")) for at in left}
        leftmost = min(columns.values())
        if leftmost > self._outer and len(left) * 2 > len(rows):
            first = rows[0]
            message = "This row starts further right than the rows below it."
            self._slips.add(
                first, self.column, "row-too-far-right", message, f"Start it {in_column(leftmost)}, like the others."
            )
            return
        for at, column in columns.items():
            comment = lines[at][column] == "#"
            code, what = ("comment-too-far-left", "comment") if comment else ("row-too-far-left", "row")
            message = f"This {what} starts further left than the rows above it, which would end there."
            remedy = f"Start it {in_column(self.column)}, like the others."
            if not comment and column <= self._outer and lines[at][column].isalpha():
                remedy += " If it is no row but a name, type a colon and a blank after the name."
            self._slips.add(at, column, code, message, remedy)
