"""A page in HTML: its tables as grids, after the table model of the HTML standard (rows, spans, header cells)."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

from tests.helpers.page_truth import PrintedFigure, plain, words


@dataclass
class Slot:
    """A cell where it begins, with its spans; `row_head` names a row, `head` a column."""

    text: str = ""
    head: bool = False
    row_head: bool = False
    rows: int = 1
    columns: int = 1


@dataclass
class Page(HTMLParser):
    """`parts`: titles and paragraphs as text, tables as lists of rows of slots, in the order of the page."""

    parts: list[str | list[list[Slot]]] = field(default_factory=list)
    text: str | None = None

    def __post_init__(self) -> None:
        super().__init__()
        self.rows: list[list[Slot]] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "table":
            self.rows = []
            self.parts.append(self.rows)
        elif tag == "tr" and self.rows is not None:
            self.rows.append([])
        elif tag in ("td", "th") and self.rows is not None:
            spans = int(given.get("rowspan") or 1), int(given.get("colspan") or 1)
            row_head = tag == "th" and given.get("scope") == "row"
            self.rows[-1].append(Slot("", tag == "th" and not row_head, row_head, *spans))
        elif tag in ("p", "h1", "h2", "h3", "li", "pre"):
            self.text = ""
        elif tag == "br":
            self.handle_data(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag == "table":
            self.rows = None
        elif tag in ("p", "h1", "h2", "h3", "li", "pre") and self.text is not None and self.rows is None:
            self.parts.append(self.text.strip())
            self.text = None

    def handle_data(self, data: str) -> None:
        if self.rows and self.rows[-1]:
            self.rows[-1][-1].text = f"{self.rows[-1][-1].text}{data}".replace("\n", "")
        elif self.text is not None:
            self.text += data


def page_of(html: str) -> Page:
    """The page of a text in HTML."""
    page = Page()
    page.feed(html)
    return page


def placed(rows: list[list[Slot]]) -> dict[tuple[int, int], Slot]:
    """Which cell covers each place (row, column): a cell takes the first free place of its row."""
    grid: dict[tuple[int, int], Slot] = {}
    for y, row in enumerate(rows):
        x = 0
        for slot in row:
            while (y, x) in grid:
                x += 1
            grid |= {(y + dy, x + dx): slot for dy in range(slot.rows) for dx in range(slot.columns)}
    return grid


def figures_of(page: Page) -> list[PrintedFigure]:
    """Every figure of the tables under its header cells and beside those of its row."""
    out = []
    for rows in (part for part in page.parts if not isinstance(part, str)):
        grid = placed(rows)
        for (y, x), slot in sorted(grid.items()):
            if slot.head or slot.row_head or not plain(slot.text) or slot.columns > 1:
                continue
            marks = "".join(grid[y, k].text for k in range(x) if grid[y, k].row_head)
            over = list(dict.fromkeys(grid[k, x].text for k in range(y) if grid[k, x].head))
            rise = any("rise" in text.lower() for text in over)
            left = [grid[k, x - 1].text for k in range(y) if grid[k, x - 1].head] if rise else []
            head = words(" ".join([*over, *left]))
            out.append(PrintedFigure(marks.lower().replace(" ", ""), head, rise, plain(slot.text)))
    return out
