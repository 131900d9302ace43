"""Records of any form as chunks of columns: c0, c1, .. in the order of the file, and `note` last."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from hashlib import blake2b

from selector.problems import Problem, Refused
from selector.survey.columns import (
    Columns,
    arrow,
    of_texts,
    parquet_chunks,
    parquet_count,
    parquet_names,
    renamed,
)
from selector.survey.records.csv_records import CsvRecords
from selector.transcribe.cells.grid_xlsx import grid_from_xlsx
from selector.value import Struct


class RecordSource(Struct, frozen=True, kw_only=True):
    """`names` are the heads. `chunks(size, skip)` gives the records after the first `skip` ones; `blank` and `flagged`
    count what the reading so far passed over or put right. `count` is how many there are, None where nobody knows."""

    names: tuple[str, ...]
    chunks: Callable[[int, int], Iterator[Columns]]
    blank: Callable[[], int]
    flagged: Callable[[], int]
    count: int | None
    files: tuple[str, ...]

    def mark(self) -> str:
        """A mark of the content: the same as long as no byte changes."""
        found = blake2b(digest_size=16)
        for path in self.files:
            with open(path, "rb") as file:
                while block := file.read(1 << 20):
                    found.update(block)
            found.update(b"|")
        return found.hexdigest()


def source_of(path: str) -> RecordSource:
    """The records of a CSV, Parquet or xlsx file, of a folder of Parquet files, or (`-`) of standard input as CSV.
    Raises Refused for what can't be read, OSError as opening does."""
    if path != "-" and not os.path.exists(path):
        raise _refused(path, "no-such-file", "No such file.", "Give the name of a CSV, Parquet or xlsx file.")
    if os.path.isdir(path):
        files = sorted(
            os.path.join(folder, name)
            for folder, _, names in os.walk(path)
            for name in names
            if name.endswith(".parquet")
        )
        if not files:
            raise _refused(path, "is-a-folder", "No Parquet file is in this folder.", "Give one, or a file.")
        return _parquet(files)
    ending = os.path.splitext(path)[1].casefold()
    if ending in (".parquet", ".pq"):
        return _parquet([path])
    return _sheet(path) if ending in (".xlsx", ".xlsm") else _csv(path)


def _parquet(files: Sequence[str]) -> RecordSource:
    names = parquet_names(files[0])
    for other in files[1:]:
        if parquet_names(other) != names:
            raise _refused(other, "wrong-columns", f"Its columns differ from those of {files[0]}.", "Give them apart.")
    own = [f"c{n}" for n in range(len(names))]

    def chunks(size: int, skip: int) -> Iterator[Columns]:
        pa = arrow()
        for part in parquet_chunks(files, size, skip):
            yield renamed(part, own).append_column("note", pa.repeat("", part.num_rows))

    return RecordSource(
        names=tuple(names),
        chunks=chunks,
        blank=_none,
        flagged=_none,
        count=sum(map(parquet_count, files)),
        files=tuple(files),
    )


def _csv(path: str) -> RecordSource:
    """The heads are read now, the rest when it is asked for: no file stays open in between."""
    with ExitStack() as stack:
        file = sys.stdin.buffer if path == "-" else stack.enter_context(open(path, "rb"))
        reading = [CsvRecords(file, path)]

    def chunks(size: int, skip: int) -> Iterator[Columns]:
        with ExitStack() as stack:
            if path != "-":
                reading[0] = CsvRecords(stack.enter_context(open(path, "rb")), path)
            for chunk in reading[0].chunks(size):
                if skip:
                    skip -= chunk.num_rows
                    continue
                yield chunk

    return RecordSource(
        names=reading[0].names,
        chunks=chunks,
        blank=lambda: reading[0].blank,
        flagged=lambda: reading[0].flagged,
        count=None,
        files=() if path == "-" else (path,),
    )


def _sheet(path: str) -> RecordSource:
    with open(path, "rb") as file:
        data = file.read()
    try:
        grid = grid_from_xlsx(data, path)
    except Refused as refused:
        if refused.problems[0].code == "too-many-rows":
            message = "This sheet is too large to be read as one."
            raise _refused(path, "too-many-rows", message, "Save it as CSV and give that.") from refused
        raise
    if not grid.rows:
        raise _refused(path, "nothing-came", "This sheet is empty.", "Give one with a row of column names.")
    width = max(cell.left + 1 for row in grid.rows for cell in row)
    filled = [[""] * width for _ in grid.rows]
    notes = [""] * len(grid.rows)
    for n, row in enumerate(grid.rows):
        for cell in row:
            filled[n][cell.left] = cell.text
            if cell.why:
                notes[n] = f"{notes[n]}; {cell.place}: {cell.why}".removeprefix("; ")
    names = tuple(name or f"column {n}" for n, name in enumerate(filled[0], 1))

    def chunks(size: int, skip: int) -> Iterator[Columns]:
        for start in range(skip + 1, len(filled), size):
            part = filled[start : start + size]
            said = notes[start : start + size]
            yield of_texts([*zip(*part, strict=True), said], [*(f"c{n}" for n in range(width)), "note"])

    return RecordSource(
        names=names,
        chunks=chunks,
        blank=_none,
        flagged=lambda: sum(map(bool, notes[1:])),
        count=len(filled) - 1,
        files=(path,),
    )


def _none() -> int:
    return 0


def _refused(path: str, code: str, message: str, help: str) -> Refused:
    return Refused([Problem(file=path, line=0, column=0, code=code, message=message, help=help)])
