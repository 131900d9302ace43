"""A survey by many machines: records in numbered Parquet parts, each distinct board judged once, joined by Spark."""

from __future__ import annotations

import os
from collections.abc import Sequence
from glob import glob
from tempfile import TemporaryDirectory
from time import monotonic

from selector.problems import Problem, Refused
from selector.survey.board.lookup import Lookup
from selector.survey.columns import numbered, write_parquet
from selector.survey.duck import Duck
from selector.survey.records.named_columns import named_columns
from selector.survey.records.source import RecordSource, source_of
from selector.survey.run.count import COUNTED, counting_sql, counts_of
from selector.survey.run.fill import fill
from selector.survey.run.survey import Surveyed, SurveyOptions, added_columns, counted_columns, survey_names
from selector.survey.run.tables import KnownTables
from selector.survey.spark import Spark
from selector.survey.sql import measured_calls, quoted, records_sql, verdicts_sql

NUMBER = "record"
"""A column of this name in Parquet files is the record's number; without it the records are numbered here."""


def survey_on_cluster(options: SurveyOptions, master: str, *, partitions: int = 0) -> Surveyed:
    """Verdicts as a folder of Parquet parts, in the order of the records. Raises Refused for what can't be read or
    written to."""
    begun = monotonic()
    source = source_of(options.records)
    if options.stages or options.resume or os.path.lexists(options.out) or not options.out:
        message = "On a cluster verdicts are written anew, into a folder."
        help = "Give --out the name of a folder that isn't there, without --stages and --resume."
        raise _refused(options.out, "unwritable", message, help)
    names = [name for name in source.names if name != NUMBER or not _is_numbered(source)]
    named = named_columns(names, options.columns, options.records)
    added = added_columns(options, named)
    tables = KnownTables(options.tables)
    lookup = Lookup(tables.load, assumed=options.assumed)
    where = os.path.dirname(os.path.abspath(options.out))
    with TemporaryDirectory(dir=where, prefix=".selector-") as folder:
        files, columns, note = _files(source, names, folder)
        kept = [f"{column} AS c{n}" for n, column in enumerate(columns)]
        select = records_sql(
            "chunk",
            {key: columns[at] for key, at in named.keys.items()},
            {name: columns[at] for name, at in named.facts.items()},
            [*kept, f"{note} AS note"],
        )
        engine = Spark(folder, master, partitions=partitions)
        try:
            engine.hold(files, select)
            fill(engine, lookup, moves=options.moves)
            ((count, least, most, distinct),) = engine.rows(
                "SELECT count(*), min(record), max(record), count(DISTINCT record) FROM records"
            )
            if count != distinct:
                message = f"The column `{NUMBER}` names some record twice: {count:,} rows, {distinct:,} numbers."
                raise _refused(options.records, "wrong-columns", message, "Number the records anew.")
            out_names = survey_names(names, [name for name, _ in added])
            shown = [*(f"c{n}" for n in range(len(names))), "note"]
            asked = verdicts_sql(shown, moves=options.moves, measured=measured_calls(named.keys))
            engine.write(asked, out_names, options.out)
        finally:
            engine.close()
    parts = sorted(glob(os.path.join(options.out, "*.parquet")))
    duck = Duck(memory=options.memory, more={"counted": COUNTED})
    duck.over("verdicts_out", parts)
    column = counted_columns(named, out_names, [name for name, _ in added])
    duck.add("counted", duck.columns(counting_sql("verdicts_out", column)))
    counts = counts_of(duck)
    ((written, first, last),) = duck.rows("SELECT count(*), min(record), max(record) FROM verdicts_out")
    duck.close()
    if (written, first, last) != (count, least, most):
        raise AssertionError(f"{count} records were read and {written} written")
    return Surveyed(
        records=count,
        written=written,
        boards=lookup.judged,
        again=0,
        blank=source.blank(),
        mended=source.flagged(),
        seconds=monotonic() - begun,
        counts=counts,
    )


def _is_numbered(source: RecordSource) -> bool:
    return bool(source.files) and source.files[0].endswith((".parquet", ".pq")) and NUMBER in source.names


def _files(source: RecordSource, names: Sequence[str], folder: str) -> tuple[list[str], list[str], str]:
    """The Parquet files with a record's number in them, their columns as SQL names them, and that of the note."""
    if _is_numbered(source):
        return [os.path.abspath(f) for f in source.files], [quoted(name) for name in names], "''"
    files, count = [], 0
    where = os.path.join(folder, "records")
    os.makedirs(where)
    for n, chunk in enumerate(source.chunks(250_000, 0)):
        files.append(os.path.join(where, f"{n:06d}.parquet"))
        write_parquet(numbered(chunk, count + 1), files[-1])
        count += chunk.num_rows
    return files, [f"c{n}" for n in range(len(names))], "note"


def _refused(path: str, code: str, message: str, help: str) -> Refused:
    return Refused([Problem(file=path, line=0, column=0, code=code, message=message, help=help)])
