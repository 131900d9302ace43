"""Grids from texts: comma, semicolon or tab between the cells, bars as in a table of a manual, or columns held apart
by blanks."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

from selector.transcribe.cells.grid import MOST_COLUMNS, MOST_ROWS, Grid, GridCell, refused, too_large

_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060\ufeff\ufffe\uffff]")
_THOUSANDS = re.compile(r"(?<![\w:.\-])[+\-]?\d{1,3}(?:,\d{3})+(?!\d)")
_LARGEST = 8_000_000
_TOKEN = re.compile(r"\S+(?: \S+)*")
_WORD = re.compile(r"[-=]{4,} ?(?P<head>[^\s=-][^\s=]*(?: [^\s=-][^\s=]*)*?) ?[-=]{4,}|\S+")
"""A word; one that stands between two strokes, `---- 024 ----`, reaches as far as they do."""


def grid_from_bytes(data: bytes, name: str) -> Grid:
    """The grid of a text file. UTF-8 and UTF-16 are told by themselves; lines in neither are read as Windows-1252,
    with a remark."""
    if not data.strip():
        raise refused(
            name,
            "nothing-came",
            "There is nothing in this file.",
            "Copy the chart on the page, paste it into the file, and save it.",
        )
    if len(data) > _LARGEST:
        raise refused(
            name,
            "file-too-large",
            f"This file is larger than {_LARGEST // 1_000_000} MB.",
            "Give the part of it with the chart.",
        )
    remarks: list[str] = []
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", "replace")
    else:
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError:
            text, odd = _mixed(data.removeprefix(b"\xef\xbb\xbf"))
            numbers = ", ".join(str(n) for n in odd[:6]) + (", .." if len(odd) > 6 else "")
            remarks.append(f"line{'s' if len(odd) > 1 else ''} {numbers}: not UTF-8, read as Windows-1252")
    return grid_from_text(text, name, remarks)


def _mixed(data: bytes) -> tuple[str, list[int]]:
    out: list[str] = []
    odd: list[int] = []
    for number, line in enumerate(data.splitlines(keepends=True), start=1):
        try:
            out.append(line.decode("utf-8"))
        except UnicodeDecodeError:
            out.append(line.decode("cp1252", "replace"))
            odd.append(number)
    return "".join(out), odd


def grid_from_text(text: str, name: str, remarks: Sequence[str] = ()) -> Grid:
    """The grid of a text, its columns told by the mark that stands between the cells."""
    told = list(remarks)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    breaks = tuple(n for n, line in enumerate(text.replace("\x0c", "\n\x0c").split("\n"), start=1) if "\x0c" in line)
    text = text.replace("\x0c", "\n")
    if _CONTROL.search(text):
        numbers = [i for i, line in enumerate(text.split("\n"), start=1) if _CONTROL.search(line)]
        told.append(
            "characters that can't be seen were left out on line"
            f" {', '.join(str(n) for n in numbers[:6])}{', ..' if len(numbers) > 6 else ''}"
        )
        text = _CONTROL.sub("", text)
    text = text.replace("\u00a0", " ").replace("\u2009", " ").replace("\u202f", " ")
    lines = text.split("\n")
    if len(lines) > MOST_ROWS + 1 and any(line.strip() for line in lines[MOST_ROWS:]):
        raise too_large(name, MOST_ROWS + 1)
    mark = _mark(lines, by_commas=name.casefold().endswith(".csv"))
    if mark == "|" and all(line.lstrip().startswith("|") for line in lines if "|" in line and not _is_rule(line)):
        rows = [(n, _barred(line)) for n, line in enumerate(lines, start=1) if line.strip() and not _is_rule(line)]
    elif mark:
        rows = _separated(text, mark, name)
        if text.count('"') % 2 and rows and any("\n" in cell for cell in rows[-1][1]):
            told.append("a quotation mark is opened and never closed; lines behind it may have been taken for one cell")
    else:
        words = _by_blanks(lines)
        ruled = _ruled(lines, [n for n, _ in words])
        return Grid(
            name=name,
            rows=tuple(row for _, row in words),
            remarks=tuple(told),
            fixed=False,
            lines=tuple(lines),
            ruled=ruled,
            breaks=breaks,
        )
    rows = [(n, row) for n, row in rows if any(t.strip() for t in row)]
    cells = tuple(
        tuple(
            GridCell(text=" ".join(t.split()), place=f"line {n}, cell {i}", line=n, left=i - 1, right=i)
            for i, t in enumerate(row, start=1)
        )
        for n, row in rows
    )
    if any(len(row) > MOST_COLUMNS for row in cells):
        raise refused(
            name,
            "too-many-columns",
            f"This has more than {MOST_COLUMNS} columns; no chart has as many.",
            "Give the part of it with the chart.",
        )
    return Grid(
        name=name, rows=cells, remarks=tuple(told), lines=tuple(lines), ruled=_ruled(lines, [n for n, _ in rows])
    )


def _ruled(lines: Sequence[str], numbers: Sequence[int]) -> frozenset[int]:
    """Indices (into the line numbers of the rows) of the rows above the first line drawn in their block, where at
    most two rows stand above it."""
    at = {n: i for i, n in enumerate(numbers)}
    out: set[int] = set()
    above: list[int] = []
    drawn = False
    for n, line in enumerate(lines, start=1):
        if not line.strip():
            above, drawn = [], False
        elif not _is_rule(line):
            above.append(n)
        elif above and not drawn:
            drawn = True
            if len(above) <= 2 and above[-1] in at:
                out.add(at[above[-1]])
    return frozenset(out)


def _mark(lines: Sequence[str], *, by_commas: bool = False) -> str:
    """The mark between the cells: the one that stands equally often in most lines; "" where blanks hold the columns
    apart.

    Where the file's name says that it is parted `by_commas`, every comma parts.
    """
    if sum(1 for line in lines if line.lstrip().startswith("|") and line.rstrip().endswith("|")) > 2:
        return "|"
    full = [line for line in lines if line.strip() and not _is_rule(line)][:200]
    for mark in ("\t", "|", ";", ","):
        counts = [_outside_quotes(line, mark) for line in full]
        have = [c for c in counts if c]
        named = by_commas and mark == "," and any(c > 1 for c in have)
        if len(have) < max(1, (2 * len(full)) // 3) and not named:
            continue
        if mark == "," and not by_commas:
            # commas between thousands part no cells; where nothing else could, every comma does
            bare = [_THOUSANDS.sub("", line).count(",") for line in full]
            alone = len(set(counts)) == 1 and not any(re.search(r"\S\s+\S", line) for line in full)
            if not alone and sum(1 for b in bare if b) < (2 * len(full)) // 3:
                continue
        return mark
    return ""


def _outside_quotes(line: str, mark: str) -> int:
    return re.sub(r'"[^"]*"', "", line).count(mark)


def _is_rule(line: str) -> bool:
    return bool(line.strip()) and not line.strip("-=_+|: \t\u2500\u2501\u2502\u253c\u2014")


def _barred(line: str) -> list[str]:
    return [c.strip() for c in line.strip().removeprefix("|").removesuffix("|").split("|")]


def _separated(text: str, mark: str, name: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text), delimiter=mark)
    rows: list[tuple[int, list[str]]] = []
    try:
        for row in reader:
            rows.append((reader.line_num, row))
    except csv.Error as error:
        raise refused(
            name,
            "bad-csv",
            f"Line {reader.line_num + 1} can't be read: {error}.",
            "Save it again from the program it came from.",
        ) from error
    return rows


def _by_blanks(lines: Sequence[str]) -> list[tuple[int, tuple[GridCell, ...]]]:
    out: list[tuple[int, tuple[GridCell, ...]]] = []
    for n, line in enumerate(lines, start=1):
        if not line.strip() or _is_rule(line):
            continue
        out.append(
            (
                n,
                tuple(
                    GridCell(text=m["head"] or m.group(), place=f"line {n}", line=n, left=m.start(), right=m.end())
                    for m in _WORD.finditer(line.expandtabs())
                ),
            )
        )
    return out
