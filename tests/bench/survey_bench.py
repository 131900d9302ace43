"""How long a survey takes beside the bare sorted join of DuckDB in the same run, Parquet to Parquet.

`python -m tests.bench.survey_bench 1000000 [10000000 ..]`: for each count of records, of which one in forty is a board
of its own: the bare join (a lookup of these boards by table, model, marks and tons, ordered by the record's number),
and the survey with its evaluation. Each in a process of its own; seconds, their ratio, the greatest memory. The load of
the machine is printed: only ratios of one run count.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import perf_counter

import numpy
import pyarrow
import pyarrow.parquet

from selector.solve.board.marks import marks_of
from selector.table.library.library import load

ONE_IN = 40
TABLES = ("corvane-k14", "brindlemoor-16s", "garrowby-r", "fenwarren-4m", "marrowdale-t", "pellmere-w", "hollinsby-t")
TONS = ("2", "2.5", "3", "3.5", "4", "5")
BARE = """
import duckdb, sys
base = duckdb.connect()
base.execute(f"COPY (SELECT r.*, l.number FROM '{sys.argv[1]}' r LEFT JOIN '{sys.argv[2]}' l"
             " USING (\\"table\\", model, marks, tons) ORDER BY r.record)"
             f" TO '{sys.argv[3]}' (FORMAT parquet, COMPRESSION zstd)")
"""
SURVEY = """
import sys
from selector.survey.run.survey import SurveyOptions, survey
done = survey(SurveyOptions(records=sys.argv[1], out=sys.argv[3], memory="1GB"))
print(done.boards)
"""


def boards(count: int) -> list[tuple[str, str, str]]:
    """Distinct boards at random: table, model, marks."""
    random = Random(count)
    tables = [load(name)[0] for name in TABLES]
    found: dict[tuple[str, str, str], None] = {}
    for _ in range(20 * count):
        table = random.choice(tables)
        setting = tuple(random.randrange(len(p.positions)) for p in table.parts)
        found[table.name, random.choice(table.unit.models or ("",)), marks_of(setting, table)] = None
        if len(found) == count:
            break
    return list(found)


def write(folder: Path, count: int) -> int:
    """`records.parquet` and `lookup.parquet`; how many distinct boards there are."""
    distinct = boards(count // ONE_IN)
    draw = numpy.random.default_rng(count)
    which, tons = draw.integers(0, len(distinct), count), draw.integers(0, len(TONS), count)
    columns = {
        name: pyarrow.array([b[n] for b in distinct]).take(pyarrow.array(which))
        for n, name in enumerate(("table", "model", "marks"))
    }
    records = {"record": pyarrow.array(range(count)), **columns, "tons": pyarrow.array(TONS).take(pyarrow.array(tons))}
    pyarrow.parquet.write_table(pyarrow.table(records), folder / "records.parquet")
    every = [(*board, t) for board in distinct for t in TONS]
    lookup = {name: [row[n] for row in every] for n, name in enumerate(("table", "model", "marks", "tons"))}
    pyarrow.parquet.write_table(pyarrow.table({**lookup, "number": list(range(len(every)))}), folder / "lookup.parquet")
    return len(distinct)


def timed(code: str, folder: Path, out: str) -> tuple[float, float]:
    """Seconds, and the greatest memory in GB."""
    words = [sys.executable, "-c", code, *(str(folder / name) for name in ("records.parquet", "lookup.parquet", out))]
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    start = perf_counter()
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL, cwd=Path(__file__).parents[2])
    after = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return perf_counter() - start, max(before, after) / 1e6


def main() -> None:
    """Print a line for each count."""
    sys.stdout.write(f"{'records':>12} {'boards':>9} {'bare s':>8} {'survey s':>9} {'ratio':>6} {'most GB':>8}\n")
    for count in map(int, sys.argv[1:] or ["1000000"]):
        with TemporaryDirectory() as name:
            folder = Path(name)
            distinct = write(folder, count)
            survey, most = timed(SURVEY, folder, "verdicts.parquet")
            bare, _ = timed(BARE, folder, "bare.parquet")
        line = f"{count:>12,} {distinct:>9,} {bare:8.1f} {survey:9.1f} {survey / bare:6.2f} {most:8.2f}"
        sys.stdout.write(f"{line}   load {os.getloadavg()[0]:.1f}\n")


if __name__ == "__main__":
    main()
