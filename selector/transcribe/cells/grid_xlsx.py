"""Grids from spreadsheets. The only module that imports openpyxl, and only when a spreadsheet is read."""

from __future__ import annotations

import datetime
import functools
import io
import re
import warnings
import zipfile
from typing import Any

from selector.problems import Refused
from selector.transcribe.cells.given import MADE_A_DATE
from selector.transcribe.cells.grid import MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Grid, GridCell, refused, too_large

_UNPACKED = 40_000_000
"""Most bytes a spreadsheet may unpack to."""


def grid_from_xlsx(data: bytes, path: str, sheet: str = "") -> Grid:
    """The grid of a sheet (the first that holds anything, or the one named). Formulas and dates are marked, never
    taken for what was typed."""
    try:
        import openpyxl
    except ImportError as error:
        raise refused(
            path,
            "no-xlsx",
            "Reading spreadsheets needs an extra library.",
            "Install it with: pip install 'blower-selector[xlsx]'; or save as CSV.",
        ) from error
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # of styles and extensions, which no figure depends on
            _measure(openpyxl, data, path, sheet)
            book = openpyxl.load_workbook(io.BytesIO(data), data_only=False, keep_links=False)
    except Refused:
        raise
    except zipfile.BadZipFile as error:
        message = "This spreadsheet is damaged or was cut off."
        raise refused(
            path, "unreadable-file", message, "Copy it again, or open it, save it as xlsx or CSV, and give that."
        ) from error
    except Exception as error:  # whatever a damaged file makes the library raise
        raise refused(
            path,
            "unreadable-file",
            f"This spreadsheet can't be read: {error}.",
            "Open it, save it as xlsx or CSV, and give that.",
        ) from error
    names = book.sheetnames
    if sheet and sheet not in names:
        raise refused(path, "no-such-sheet", f"There is no sheet called {sheet}.", f"Its sheets: {', '.join(names)}.")
    chosen = (
        book[sheet]
        if sheet
        else next((book[n] for n in names if book[n].max_row and book[n].dimensions != "A1:A1"), book[names[0]])
    )
    if chosen.max_row > MOST_ROWS:
        raise too_large(path, MOST_ROWS + 1)
    remarks = (
        [f"sheet {chosen.title} was read; the others are {', '.join(n for n in names if n != chosen.title)}"]
        if len(names) > 1
        else []
    )
    covered, spans = _merged(chosen)
    rows: list[tuple[GridCell, ...]] = []
    hidden: list[int] = []
    row: Any
    for row in chosen.iter_rows(max_col=min(chosen.max_column, MOST_COLUMNS)):
        cells = [_cell(c, spans.get((c.row, c.column), 1), covered) for c in row]
        while cells and not cells[-1].text and not cells[-1].why and not cells[-1].down:
            cells.pop()
        if cells and chosen.row_dimensions[row[0].row].hidden:
            hidden.append(row[0].row)
        elif any(c.text or c.why for c in cells):
            rows.append(tuple(cells))
    if hidden:
        remarks.append(f"hidden in the sheet and not read: row{'s' if len(hidden) > 1 else ''} {_numbers(hidden)}")
    return Grid(name=path, rows=tuple(rows), remarks=tuple(remarks))


def _measure(openpyxl: Any, data: bytes, path: str, sheet: str) -> None:
    """Refuses a spreadsheet that unpacks to too much before a library reads it: bytes, cells, merged cells, rows."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(entry.file_size for entry in archive.infolist()) > _UNPACKED:
            raise too_large(path, MOST_ROWS + 1)
        cells, rows = 0, 0
        for entry in archive.infolist():
            if not entry.filename.startswith("xl/worksheets/"):
                continue
            with archive.open(entry) as packed:
                text = packed.read(_UNPACKED + 1)
            cells += text.count(b"<c ") + text.count(b"<c>") + sum(_covers(area) for area in _AREA.findall(text))
            rows = max(rows, text.count(b"<row"), *(int(n) for n in _ROW.findall(text)), 0)
        if rows > MOST_ROWS:
            raise too_large(path, MOST_ROWS + 1)
        if cells > MOST_CELLS:
            raise too_large(path, MOST_CELLS + 1, "cells")
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
    try:
        for name in book.sheetnames:
            rows = book[name].max_row
            if name == (sheet or book.sheetnames[0]) and rows is not None and rows > MOST_ROWS:
                raise too_large(path, MOST_ROWS + 1)
    finally:
        book.close()


_ROW = re.compile(rb'<row [^>]*?\br="(\d{1,9})"')
_AREA = re.compile(rb'<mergeCell [^>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')


def _covers(area: tuple[bytes, bytes, bytes, bytes]) -> int:
    """How many cells a merged area covers.

    >>> _covers((b"A", b"1", b"AB", b"2"))
    56
    """
    left, right = (functools.reduce(lambda n, letter: n * 26 + letter - 64, name, 0) for name in (area[0], area[2]))
    return (right - left + 1) * (int(area[3]) - int(area[1]) + 1)


def _numbers(found: list[int]) -> str:
    return ", ".join(str(n) for n in found[:8]) + (", .." if len(found) > 8 else "")


def _merged(sheet: Any) -> tuple[dict[tuple[int, int], bool], dict[tuple[int, int], int]]:
    """Cells that a merged one covers, True for those below it, and how many columns each merged one spans."""
    covered: dict[tuple[int, int], bool] = {}
    spans: dict[tuple[int, int], int] = {}
    for area in sheet.merged_cells.ranges:
        for r in range(area.min_row, area.max_row + 1):
            spans[r, area.min_col] = area.max_col - area.min_col + 1
            for c in range(area.min_col, area.max_col + 1):
                if (r, c) != (area.min_row, area.min_col):
                    covered[r, c] = r > area.min_row
    return covered, spans


def _cell(cell: Any, span: int, covered: dict[tuple[int, int], bool]) -> GridCell:
    at = (cell.row, cell.column)
    text, why = ("", "") if at in covered else _read(cell)
    left = cell.column - 1
    return GridCell(
        text=text,
        place=cell.coordinate,
        why=why,
        line=cell.row,
        left=left,
        right=left + span,
        down=covered.get(at, False),
    )


def _read(cell: Any) -> tuple[str, str]:
    """The text of a cell, and why it can't be read."""
    value = cell.value
    if value is None:
        return "", ""
    if isinstance(value, datetime.datetime | datetime.date | datetime.time | datetime.timedelta):
        return value.date().isoformat() if isinstance(value, datetime.datetime) else str(value), MADE_A_DATE
    if cell.data_type == "f" or (isinstance(value, str) and value.startswith("=")):
        return str(value), "this is a formula, not a figure of the page"
    if cell.data_type == "e":
        return str(value), "the spreadsheet has an error here"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE", "the spreadsheet has TRUE or FALSE here"
    if isinstance(value, int | float):
        percent = "%" in (cell.number_format or "")
        text = f"{value * 100 if percent else value:.10g}"
        if "e" in text:
            return text, "this figure is too long for a chart"
        digits = (cell.number_format or "").strip()
        if not percent and digits and set(digits) == {"0"} and text.isdecimal():
            text = text.zfill(len(digits))
        return f"{text} %" if percent else text, ""
    return " ".join(str(value).split()), ""
