"""Whether a file that was written holds every row of the pages as it was shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.problems import Refused
from selector.table.from_file.build import build_unfinished
from selector.table.from_file.rows import TO_TYPE
from selector.table.model.table import ANY, Chart, Row, Table
from selector.table.source import Source
from selector.transcribe.import_page.understand import Understood, UnderstoodRow


def not_kept(source: Source, pages: Sequence[Understood]) -> tuple[str, ...]:
    """What a written file, read back as a table, doesn't hold of the rows of these pages, in words; nothing where it
    holds all of them."""
    try:
        table = build_unfinished(source, "")
    except Refused as refused:
        first = refused.problems[0]
        return (f"the file can't be compared with the page yet: line {first.line}: {first.message}; {first.help}",)
    return tuple(told for page in pages for told in _apart(table, page))


def _apart(table: Table, page: Understood) -> Iterator[str]:
    """What differs; nothing for a chart that can't be read from the file before it is typed what stands along its
    top."""
    if any(name == TO_TYPE for name, _ in page.heads):
        return
    chart = table.charts.get(page.name)
    if chart is None:
        yield f"there is no chart {page.name} in the file"
        return
    if tuple(k.name for k in chart.keys) != page.set:
        yield (
            f"{page.name} is set by {' '.join(k.name for k in chart.keys)} in the file, by {' '.join(page.set)} on the"
            " page"
        )
        return
    if tuple((h.name, h.values) for h in chart.heads) != page.heads or chart.gives != page.gives:
        yield f"{page.name} has other heads in the file than on the page"
        return
    shown = [row for row in page.rows if TO_TYPE not in row.marks]
    for row, kept in zip(shown, chart.rows, strict=False):
        if not _same(row, kept, chart):
            yield f"{row.place} is another row in the file (line {kept.line}): {row.given.strip()}"
    for row in shown[len(chart.rows) :]:
        yield f"{row.place} is not in the file: {row.given.strip()}"


def _same(row: UnderstoodRow, kept: Row, chart: Chart) -> bool:
    marks = [("-" if p == ANY else key.values[p]).casefold() for key, p in zip(chart.keys, kept.positions, strict=True)]
    if marks != [m.casefold() for m in row.marks]:
        return False
    return kept.word == row.word and (bool(row.word) or kept.typed == row.cells)
