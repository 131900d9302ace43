"""Gives the pages to other programs and keeps what they write. Run: python -m tests.exam.producers.make PDFTOTEXT

A browser sets each page in type; its PDF is taken out as text with its layout and plain, and what a person copies from
the browser is kept as well. Spreadsheets are written by two libraries, with merged heads and an offset start.
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

import openpyxl
import xlsxwriter
from markdown_it import MarkdownIt
from playwright.sync_api import sync_playwright

from tests.exam.producers.html_page import Page, page_of, placed

HERE = Path(__file__).parent
PAGES = HERE.parent / "pages"
STYLE = "<style>table{border-collapse:collapse;margin:3mm 0}td,th{border:.3pt solid;padding:1mm 2.5mm}</style>"


def sheet_xlsxwriter(page: Page, path: Path) -> None:
    """The whole page in one sheet from B3, spans merged, numbers as numbers."""
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("page")
    top = 2
    for part in page.parts:
        if isinstance(part, str):
            sheet.write(top, 1, part)
            top += 2
            continue
        seen: set[int] = set()
        for (y, x), slot in sorted(placed(part).items()):
            if id(slot) in seen:
                continue
            seen.add(id(slot))
            bare = slot.text.replace(",", "")
            value = float(bare) if bare.isdigit() else slot.text
            if slot.rows * slot.columns > 1:
                sheet.merge_range(top + y, 1 + x, top + y + slot.rows - 1, x + slot.columns, value)
            else:
                sheet.write(top + y, 1 + x, value)
        top += len(part) + 1
    book.close()


def sheet_openpyxl(page: Page, path: Path) -> None:
    """A sheet for each table, from A1, everything as text, spans unmerged: the text in the first cell alone."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for n, part in enumerate(p for p in page.parts if not isinstance(p, str)):
        sheet = book.create_sheet(f"table {n + 1}")
        seen: set[int] = set()
        for (y, x), slot in sorted(placed(part).items()):
            if id(slot) not in seen:
                sheet.cell(y + 1, x + 1, slot.text)
            seen.add(id(slot))
    book.save(path)


def comma_separated(page: Page, path: Path, mark: str) -> None:
    """The page as a CSV: paragraphs on lines of their own, a cell that spans in its first place alone."""
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, delimiter=mark)
        for part in page.parts:
            if isinstance(part, str):
                out.writerow([part])
                continue
            grid = placed(part)
            seen: set[int] = set()
            for y in range(len(part)):
                row = []
                for x in range(1 + max(x for _, x in grid)):
                    slot = grid.get((y, x))
                    row.append("" if slot is None or id(slot) in seen else slot.text)
                    seen.add(id(slot))
                out.writerow(row)
            out.writerow([])


def main(pdftotext: str) -> None:
    """Write every file anew."""
    sources = {path.stem: path.read_text(encoding="utf-8") for path in sorted(HERE.glob("*.html"))}
    for name in ("eltrave-av", "pellidor-ld", "skelmoor-gp", "tarnwick-m9"):
        text = (PAGES / f"{name}.md").read_text(encoding="utf-8")
        sources[name] = f"<meta charset=utf-8>{STYLE}" + MarkdownIt().enable("table").render(text)
    with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        tab = browser.new_page()
        for name, html in sources.items():
            tab.set_content(html)
            pdf = Path(folder) / f"{name}.pdf"
            tab.pdf(path=str(pdf), format="A4")
            subprocess.run([pdftotext, "-layout", str(pdf), str(HERE / f"{name}.layout.txt")], check=True)
            if name in ("candlewick-h", "aldermoor-v"):
                copied = tab.evaluate("document.body.innerText")
                (HERE / f"{name}.copied.txt").write_text(copied, encoding="utf-8")
            if name in ("farrowby-w", "aldermoor-v"):
                subprocess.run([pdftotext, str(pdf), str(HERE / f"{name}.plain.txt")], check=True)
            page = page_of(html)
            if name in ("brackwater-t", "eastlow-z", "eltrave-av"):
                sheet_xlsxwriter(page, HERE / f"{name}.xlsx")
            if name in ("dunnerdale-m", "farrowby-w"):
                sheet_openpyxl(page, HERE / f"{name}.xlsx")
            if name in ("candlewick-h", "pellidor-ld", "eastlow-z"):
                comma_separated(page, HERE / f"{name}.csv", ",")
            if name == "dunnerdale-m":
                comma_separated(page, HERE / f"{name}.csv", ";")
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1])
