"""The tables of a library that a board may belong to: those that the index rules out aren't read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from selector.job.file.model import Job
from selector.job.identify.identify import ChartCandidate, ruled_out
from selector.problems import Refused
from selector.table.library.index import TableSummary, summaries
from selector.table.library.library import load, table_name
from selector.table.model.table import Table, Unit, Units


def possible_tables(
    job: Job,
    paths: Sequence[str],
    *,
    refused: Callable[[str], None],
    kept: bool = True,
    told: Callable[[int, int], None] | None = None,
) -> Iterable[Table | ChartCandidate]:
    """Each table of the paths in their order: read, or as the candidate that its models or its board rule out.
    `refused` hears of each that can't be read; `kept`, `told`: as in `summaries`."""
    known = summaries(paths, kept=kept, told=told, tables=True)
    for path in paths:
        summary = known.get(path, TableSummary())
        ruled = None if summary.refused or not summary.names else ruled_out(job, summary.names, summary.models)
        if ruled is not None:
            yield ChartCandidate(table=_bare(path, summary), model="", fit="doesn't fit", held=(), why=(ruled,))
            continue
        try:
            yield load(path)[0]
        except Refused:
            refused(path)


def _bare(path: str, summary: TableSummary) -> Table:
    """What the index knows of a table, as one without a board."""
    unit = Unit(title=summary.title, maker=summary.maker, models=summary.models)
    return Table(
        file=path,
        name=table_name(path),
        lines=(),
        unit=unit,
        units=Units(),
        ratings={},
        facts={},
        selectors={},
        parts=(),
        charts={},
        ramps={},
        calls={},
    )
