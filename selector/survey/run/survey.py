"""A whole survey: records in, a verdict for every one of them out."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack
from tempfile import TemporaryDirectory
from time import monotonic

from selector.problems import Problem, Refused
from selector.survey.board.lookup import Lookup
from selector.survey.columns import (
    CHUNK,
    Columns,
    ahead,
    columns_of,
    join_parquet,
    numbered,
    of_texts,
    parquet_count,
    read_parquet,
    renamed,
    write_csv,
    write_parquet,
)
from selector.survey.duck import Duck
from selector.survey.records.named_columns import NamedColumns, named_columns
from selector.survey.records.source import RecordSource, source_of
from selector.survey.run.chunks import ChunkJudge, JudgedChunk
from selector.survey.run.count import COUNTED, Counts, counts_of
from selector.survey.run.parts import STAGES, Parts
from selector.survey.run.tables import KnownTables
from selector.survey.sql import STAGE_COLUMNS, measured_calls, quoted, verdict_columns
from selector.table.library.program import program_mark
from selector.value import Struct


class SurveyOptions(Struct, frozen=True, kw_only=True):
    """`records`: the file read; `out` and `stages`: those written, CSV or Parquet by their
    names (none: only counts). `columns`: which column is what; `tables`: files and folders beside the
    library; `moves`: the fewest moves of boards that are wrong;
    `memory`: as much as the engine may take, such as 2GB; `chunk`: records judged together."""

    records: str
    out: str = ""
    stages: str = ""
    columns: tuple[str, ...] = ()
    tables: tuple[str, ...] = ()
    assumed: bool = True
    moves: bool = False
    resume: bool = False
    memory: str = ""
    chunk: int = CHUNK


class Progress(Struct, frozen=True, kw_only=True):
    """How far a survey is: records done, of how many (None: not known), boards judged so far, seconds."""

    done: int
    count: int | None
    boards: int
    seconds: float


class Surveyed(Struct, frozen=True, kw_only=True):
    """A survey that is done. `records` were read and as many `written`; `boards` were judged in this run; `again`:
    parts that were whole already; `mended`: rows that had cells missing, too many or unreadable bytes."""

    records: int
    written: int
    boards: int
    again: int
    blank: int
    mended: int
    seconds: float
    counts: Counts


def survey(
    options: SurveyOptions,
    *,
    told: Callable[[Progress], None] | None = None,
) -> Surveyed:
    """Read, judge, write. `told` hears how far it is. Raises Refused for what can't be read or written to,
    OSError for a full disk."""
    begun = monotonic()
    source = source_of(options.records)
    named = named_columns(source.names, options.columns, options.records)
    _makes(options)
    with ExitStack() as stack:
        folder = "" if options.out else stack.enter_context(TemporaryDirectory(prefix="selector-"))
        parts = Parts(options.out or os.path.join(folder, "verdicts"))
        stack.enter_context(parts.held())
        run = _Run(options, source, named, parts)
        run.begin()
        for done in run.work():
            if told is not None:
                told(Progress(done=done, count=source.count, boards=run.boards, seconds=monotonic() - begun))
        files = run.files("part")
        records = sum(map(parquet_count, files))
        if records != run.read:
            raise AssertionError(f"{run.read} records were read and {records} written")
        counts = counts_of(run.engine)
        run.engine.close()
        if options.out:
            _put_together(files, options.out)
        if options.stages:
            _put_together(run.files(STAGES), options.stages)
        parts.remove()
    return Surveyed(
        records=run.read,
        written=records,
        boards=run.boards,
        again=run.again,
        blank=source.blank(),
        mended=source.flagged(),
        seconds=monotonic() - begun,
        counts=counts,
    )


class _Run:
    """The parts of one survey, made one after another."""

    def __init__(self, options: SurveyOptions, source: RecordSource, named: NamedColumns, parts: Parts) -> None:
        self.options, self.source, self.parts = options, source, parts
        self.kept = [*(f"c{n}" for n in range(len(source.names))), "note"]
        self.names = survey_names(source.names, [name for name, _ in added_columns(options, named)])
        self.stage_names = unique(["record", *(name for name, _ in STAGE_COLUMNS)])
        self.tables = KnownTables(options.tables)
        self.engine = Duck(memory=options.memory, spill=os.path.join(parts.folder, "spill"), more={"counted": COUNTED})
        self.boards = self.again = self.read = 0
        self.keys = {key: f"c{at}" for key, at in named.keys.items()}
        self.facts = {name: f"c{at}" for name, at in named.facts.items()}
        self.bytes = {"part": 0, STAGES: 0}
        self._begin_judging()

    def _begin_judging(self, first: int = 0) -> None:
        options, stages = self.options, bool(self.options.stages)
        self.lookup = Lookup(self.tables.load, assumed=options.assumed, stages=stages, first=first)
        self.judge = ChunkJudge(self.engine, self.lookup, self.keys, self.facts, moves=options.moves, stages=stages)

    def begin(self) -> None:
        """Take up what is there, or begin anew."""
        options = self.options
        made_of = {
            "input": self.source.mark(),
            "options": {
                "columns": list(options.columns),
                "tables": list(options.tables),
                "assumed": options.assumed,
                "stages": bool(options.stages),
                "moves": options.moves,
                "chunk": options.chunk,
            },
            "program": program_mark(),
        }
        known = self.parts.manifest()
        if known and not options.resume:
            self.parts.refuse_begun()
        if known:
            tables = {name: self.tables.mark(name) for name in known.get("tables", {})}
            self.parts.refuse_other({**made_of, "tables": tables})
            self.again = self.parts.whole(stages=bool(options.stages))
            self.tables.marks |= tables
            self._take_up()
        else:
            self.parts.empty()
        self.made_of = made_of
        self._say(self.tables.marks)

    def _say(self, tables: Mapping[str, str]) -> None:
        self.parts.write_manifest({**self.made_of, "tables": tables})

    def _take_up(self) -> None:
        """The lookup as it was after the parts that are whole."""
        for number in range(self.again):
            for relation, path in self.parts.lookups(number):
                self.engine.add(relation, read_parquet(path))
            self.read += parquet_count(self.parts.part(number))
            for kind in self.bytes:
                self._reckon(kind, number)
        if not self.again:
            return
        ((first,),) = self.engine.rows(
            "SELECT greatest((SELECT max(number) FROM verdicts), (SELECT max(id) FROM faults))"
        )
        self._begin_judging(first)
        self.judge.take_up(
            self.engine.columns("SELECT * FROM boards ORDER BY board"), self.engine.columns("SELECT * FROM cases")
        )

    def work(self) -> Iterator[int]:
        """Make every part that isn't there; the records done after each. A part is written while the next one is
        judged."""
        with ThreadPoolExecutor(1) as writer:
            writing: Future[None] | None = None
            number = self.again
            for chunk in ahead(self.source.chunks(self.options.chunk, self.read)):
                writing = self._make(number, chunk, writer, writing)
                number += 1
                self.read += chunk.num_rows
                yield self.read
            if number == 0:
                writing = self._make(0, of_texts([[] for _ in self.kept], self.kept), writer, writing)
            if writing is not None:
                writing.result()

    def _make(
        self, number: int, chunk: Columns, writer: ThreadPoolExecutor, writing: Future[None] | None
    ) -> Future[None]:
        chunk = numbered(chunk, self.read + 1)
        done = self.judge.judge(chunk)
        self.boards = self.lookup.judged
        columns = [
            chunk.column("record"),
            *(done.keys.get(name, chunk.column(name)) for name in self.kept),
            *done.verdicts,
        ]
        if {len(one) for one in columns} != {chunk.num_rows}:
            raise AssertionError("a record was lost")
        if writing is not None:
            writing.result()
        return writer.submit(self._write, number, done, columns_of(columns, self.names), dict(self.tables.marks))

    def _write(self, number: int, done: JudgedChunk, verdicts: Columns, tables: Mapping[str, str]) -> None:
        self._say(tables)
        for relation, columns in done.added.items():
            write_parquet(columns, self.parts.part(number, relation))
        if done.stages is not None:
            stages = renamed(done.stages, self.stage_names)
            write_parquet(stages, self.parts.part(number, STAGES), after=self.bytes[STAGES])
            self._reckon(STAGES, number)
        write_parquet(verdicts, self.parts.part(number), after=self.bytes["part"])
        self._reckon("part", number)

    def _reckon(self, kind: str, number: int) -> None:
        """Parts that become one Parquet file are written for their place in it."""
        into = self.options.stages if kind == STAGES else self.options.out
        if into.casefold().endswith(".parquet"):
            self.bytes[kind] += os.path.getsize(self.parts.part(number, kind))

    def files(self, kind: str) -> list[str]:
        """The parts, in their order."""
        number = self.parts.whole(stages=bool(self.options.stages))
        return [self.parts.part(n, kind) for n in range(number)]


def added_columns(options: SurveyOptions, named: NamedColumns) -> tuple[tuple[str, str], ...]:
    """The columns that a survey of these records adds."""
    return verdict_columns(moves=options.moves, measured=measured_calls(named.keys))


def survey_names(names: Sequence[str], added: Sequence[str]) -> list[str]:
    """The columns of the verdicts: the record's number, its own columns, what was done to read it, what is added."""
    return unique(["record", *names, "read", *added])


def counted_columns(named: NamedColumns, names: Sequence[str], added: Sequence[str]) -> dict[str, str]:
    """What is counted -> its column among the verdicts', quoted."""
    own = {key: names[1 + at] for key, at in named.keys.items()}
    last = dict(zip(added, names[len(names) - len(added) :], strict=True))
    return {"model": "''", **{name: quoted(column) for name, column in {**own, **last}.items()}}


def unique(names: Sequence[str]) -> list[str]:
    """Names of columns, each once: a second `verdict` is `verdict 2`."""
    out: list[str] = []
    for name in names:
        new, n = name, 2
        while new in out:
            new, n = f"{name} {n}", n + 1
        out.append(new)
    return out


def _makes(options: SurveyOptions) -> None:
    """Refused, before anything is read, where a file can't be written under its name."""
    for path in filter(None, (options.out, options.stages)):
        ending = os.path.splitext(path)[1].casefold()
        if ending not in (".csv", ".parquet"):
            raise _refused(path, "Verdicts are written as CSV or Parquet.", "End the name in .csv or .parquet.")
        if os.path.lexists(path) and not (options.resume and Parts(options.out).manifest()):
            raise _refused(path, "This file is there already.", "Name another one.")
        if os.path.exists(options.records) and os.path.exists(path) and os.path.samefile(options.records, path):
            raise _refused(path, "This is the file that is read.", "Name another one.")
        folder = os.path.dirname(os.path.abspath(path))
        if not os.path.isdir(folder):
            raise _refused(path, f"There is no folder {folder}.", "Make it first, or name a file elsewhere.")
        if not os.access(folder, os.W_OK):
            raise _refused(path, f"You may not write in the folder {folder}.", "Name a file in a folder of your own.")


def _put_together(files: Sequence[str], path: str) -> None:
    (write_csv if path.casefold().endswith(".csv") else join_parquet)(files, path)


def _refused(path: str, message: str, help: str) -> Refused:
    return Refused([Problem(file=path, line=0, column=0, code="unwritable", message=message, help=help)])
