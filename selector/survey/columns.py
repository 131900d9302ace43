"""Columns in memory: chunks of records and rows of a lookup. The only module that imports pyarrow."""

from __future__ import annotations

import io
import os
import shutil
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import Any, BinaryIO

from selector.problems import Problem, Refused
from selector.survey.extra import needed

CHUNK = 500_000
"""Records that are judged together."""
_PLAIN = r"^[+-]?[0-9]+([.,][0-9]+)*$"
_FORMULA = r"^[=+\-@\t\r]"
Columns = Any
"""A pyarrow table."""


def arrow() -> Any:
    """pyarrow; Refused with what to install where it is missing."""
    with needed("pyarrow"):
        import pyarrow
    return pyarrow


def compute() -> Any:
    """What pyarrow works out over columns."""
    with needed("pyarrow"):
        import pyarrow.compute
    return pyarrow.compute


def of_rows(rows: Sequence[Sequence[object]], kinds: Sequence[tuple[str, str]]) -> Columns:
    """Rows as columns of the kinds text, int, long, double, flag."""
    pa = arrow()
    types = {"text": pa.string(), "int": pa.int32(), "long": pa.int64(), "double": pa.float64(), "flag": pa.bool_()}
    parted = list(zip(*rows, strict=True)) if rows else [()] * len(kinds)
    return pa.table({name: pa.array(part, types[kind]) for (name, kind), part in zip(kinds, parted, strict=True)})


def of_texts(parts: Sequence[Sequence[str | None]], names: Sequence[str]) -> Columns:
    """Lists of texts as columns."""
    pa = arrow()
    return pa.table([pa.array(part, pa.string()) for part in parts], names=list(names))


def columns_of(parts: Sequence[Any], names: Sequence[str]) -> Columns:
    """Arrays as columns."""
    return arrow().table(list(parts), names=list(names))


def together(pieces: Sequence[Columns]) -> Columns:
    """Columns behind each other."""
    return arrow().concat_tables(list(pieces))


def ahead(chunks: Iterator[Columns]) -> Iterator[Columns]:
    """The same, the next one read while one is worked on."""
    with ThreadPoolExecutor(1) as reader:
        coming = reader.submit(next, chunks, None)
        while (chunk := coming.result()) is not None:
            coming = reader.submit(next, chunks, None)
            yield chunk


def numbered(chunk: Columns, first: int) -> Columns:
    """The chunk with its records' numbers as a column `record` before the others."""
    return chunk.add_column(0, "record", counting(first, chunk.num_rows))


def counting(first: int, count: int) -> Any:
    """So many whole numbers from the first on."""
    pa, pc = arrow(), compute()
    return pc.cumulative_sum(pa.repeat(pa.scalar(1, pa.int64()), count), start=first - 1)


def renamed(columns: Columns, names: Sequence[str]) -> Columns:
    """The columns under other names."""
    return columns.rename_columns(list(names))


def is_ordered(columns: Columns, name: str, first: int) -> bool:
    """True where a column counts up from `first` without a gap."""
    pa = arrow()
    wanted = counting(first, columns.num_rows)
    return bool(columns.column(name).combine_chunks().cast(pa.int64()).equals(wanted))


# -- Parquet


def parquet_names(path: str) -> list[str]:
    """The columns of a Parquet file. Raises Refused for a damaged one."""
    with _readable(path):
        return list(_parquet().ParquetFile(path).schema_arrow.names)


def parquet_count(path: str) -> int:
    """How many rows a Parquet file says it has."""
    with _readable(path):
        return int(_parquet().ParquetFile(path).metadata.num_rows)


def parquet_chunks(paths: Iterable[str], size: int = CHUNK, skip: int = 0) -> Iterator[Columns]:
    """Chunks of so many rows, the same however the files are cut into row groups; `skip` rows are left out."""
    pa = arrow()
    held: list[Columns] = []
    count = 0
    for path in paths:
        with _readable(path):
            for batch in _parquet().ParquetFile(path).iter_batches(batch_size=size):
                if skip >= batch.num_rows:
                    skip -= batch.num_rows
                    continue
                table = pa.Table.from_batches([batch])[skip:]
                skip = 0
                held.append(table)
                count += table.num_rows
                while count >= size:
                    whole = pa.concat_tables(held)
                    yield whole[:size]
                    held = [whole[size:]]
                    count -= size
    if count:
        yield pa.concat_tables(held)


def read_parquet(path: str) -> Columns:
    """A whole Parquet file. Raises Refused for a damaged one."""
    with _readable(path):
        return _parquet().read_table(path)


def write_parquet(columns: Columns, path: str, *, after: int = 0) -> None:
    """A file that is there whole or not at all. `after`: so many bytes will stand before it once `join_parquet` puts
    it behind others; it can't be read by itself then."""
    pa, parquet = arrow(), _parquet()
    types = {field.name: field.type for field in columns.schema}
    counted = {name: "DELTA_BINARY_PACKED" for name, kind in types.items() if pa.types.is_integer(kind)}
    with whole_file(path) as name, open(name, "wb") as file:
        sink = _Behind(file)
        out = pa.PythonFile(sink, "w")
        with parquet.ParquetWriter(
            out,
            columns.schema,
            compression="zstd",
            compression_level=1,
            use_dictionary=[name for name in types if name not in counted],
            column_encoding=counted or None,
            write_statistics=list(counted),
            store_schema=False,
        ) as writer:
            sink.skip = after
            while sink.skip:
                out.write(_NOTHING[: sink.skip])
            writer.write_table(columns, row_group_size=max(1, columns.num_rows))
        out.flush()


_NOTHING = memoryview(bytes(1 << 20))


class _Behind(io.RawIOBase):
    """A file that passes over the next `skip` bytes: they are counted by who writes, and not there."""

    def __init__(self, file: BinaryIO) -> None:
        self.file, self.skip = file, 0

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        if self.skip:
            self.skip -= len(data)
            return len(data)
        return self.file.write(data)

    def flush(self) -> None:
        self.file.flush()


def join_parquet(paths: Sequence[str], path: str) -> None:
    """Parts, each written `after` those before it, as one file: their rows stand in it byte for byte, and one footer
    names them all."""
    pa, parquet = arrow(), _parquet()
    footer = parquet.read_metadata(paths[0])
    for part in paths[1:]:
        footer.append_row_groups(parquet.read_metadata(part))
    end = pa.BufferOutputStream()
    footer.write_metadata_file(end)
    with whole_file(path) as name, open(name, "wb") as file:
        for part in paths:
            with open(part, "rb") as rows:
                shutil.copyfileobj(rows, file, 1 << 20)
        file.write(end.getvalue())


def write_csv(paths: Sequence[str], path: str) -> None:
    """Parts as one CSV file (UTF-8 with a mark, lines ended as spreadsheets do); what a spreadsheet would take for a
    formula has an apostrophe before it."""
    with needed("pyarrow"):
        import pyarrow.csv as csv

    with whole_file(path) as name, open(name, "wb") as file:
        file.write(b"\xef\xbb\xbf")
        for n, part in enumerate(paths):
            columns = without_formulas(read_parquet(part))
            csv.write_csv(columns, file, csv.WriteOptions(include_header=n == 0, quoting_style="needed"))


def without_formulas(columns: Columns) -> Columns:
    """Texts that begin with = + - @ or a tab and are no plain number, with an apostrophe before them; in the heads
    too."""
    pa, pc = arrow(), compute()
    parts = []
    for part in columns.columns:
        if pa.types.is_string(part.type):
            risky = pc.and_not(pc.match_substring_regex(part, _FORMULA), pc.match_substring_regex(part, _PLAIN))
            if pc.any(risky).as_py():
                part = pc.if_else(risky, pc.binary_join_element_wise("'", part, ""), part)
        parts.append(part)
    names = [f"'{name}" if name[:1] in ("=", "+", "-", "@", "\t", "\r") else name for name in columns.column_names]
    return pa.table(parts, names=names)


def _parquet() -> Any:
    with needed("pyarrow"):
        import pyarrow.parquet
    return pyarrow.parquet


class _readable:
    """A damaged file is a problem in plain words."""

    def __init__(self, path: str) -> None:
        self.path = path

    def __enter__(self) -> None:
        arrow()

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        pa = arrow()
        if isinstance(error, pa.ArrowException) or (isinstance(error, OSError) and error.errno is None):
            raise Refused(
                [
                    Problem(
                        file=self.path,
                        line=0,
                        column=0,
                        code="unreadable-file",
                        message="This Parquet file is damaged or was cut off.",
                        help="Copy it again, or write it again from its source.",
                    )
                ]
            ) from error


class whole_file:
    """A name to write to beside `path`, which gets that name once all is written; nothing is left where it isn't."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.name = f"{path}.writing"

    def __enter__(self) -> str:
        return self.name

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if error is None:
            with open(self.name, "rb") as file:
                os.fsync(file.fileno())
            os.replace(self.name, self.path)
            return
        with suppress(OSError):
            os.unlink(self.name)
