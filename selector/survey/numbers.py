"""Numbers for distinct values: columns of texts become columns of small whole numbers, which are cheap to pair."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from selector.survey.columns import Columns, arrow, compute

Column = Any
"""A pyarrow array, or one in chunks."""
_LOW = 32


class Numbers:
    """Every distinct value gets the next number, from 0, in the order in which they come."""

    def __init__(self, values: Column) -> None:
        """`values`: those that have the first numbers."""
        self.values = values

    def __len__(self) -> int:
        return len(self.values)

    def of(self, distinct: Column) -> Column:
        """The numbers of distinct values."""
        pa, pc = arrow(), compute()
        found = pc.index_in(distinct, value_set=self.values)
        if found.null_count:
            new = pc.unique(distinct.filter(pc.is_null(found)))
            self.values = pa.concat_arrays([self.values, new])
            found = pc.index_in(distinct, value_set=self.values)
        return found


class TextNumbers(Numbers):
    """Texts; the empty one has the number 0."""

    def __init__(self) -> None:
        pa = arrow()
        super().__init__(pa.array([""], pa.string()))

    def at(self, numbers: Column) -> list[str]:
        """The texts of numbers."""
        found: list[str] = self.values.take(numbers).to_pylist()
        return found


class PairNumbers(Numbers):
    """Pairs of numbers."""

    def __init__(self) -> None:
        pa = arrow()
        super().__init__(pa.array([], pa.int64()))

    def of_rows(self, left: Column, right: Column) -> Column:
        """The number of the pair in every row."""
        found = paired(left, right).dictionary_encode()
        return self.of(found.dictionary).take(found.indices)

    def at(self, numbers: Column) -> tuple[Column, Column]:
        """Left and right of pairs."""
        return unpaired(self.values.take(numbers))

    def since(self, first: int) -> tuple[Column, Column]:
        """Left and right of the pairs from a number on."""
        return unpaired(self.values[first:])


class RowNumbers:
    """Rows of so many numbers, two or more."""

    def __init__(self, width: int) -> None:
        self._pairs = [PairNumbers() for _ in range(width - 1)]

    def __len__(self) -> int:
        return len(self._pairs[-1])

    def of_rows(self, *columns: Column) -> Column:
        """The number of each row."""
        found = columns[0]
        for pairs, column in zip(self._pairs, columns[1:], strict=True):
            found = pairs.of_rows(found, column)
        return found

    def since(self, first: int) -> list[Column]:
        """The columns of the rows from a number on."""
        left, right = self._pairs[-1].since(first)
        out = [right]
        for pairs in reversed(self._pairs[:-1]):
            left, right = pairs.at(left)
            out.insert(0, right)
        return [left, *out]


def paired(left: Column, right: Column) -> Column:
    """Two columns of numbers as one."""
    pa, pc = arrow(), compute()
    return pc.bit_wise_or(pc.shift_left(left.cast(pa.int64()), pa.scalar(_LOW, pa.int64())), right.cast(pa.int64()))


def unpaired(pairs: Column) -> tuple[Column, Column]:
    """The two columns that one was made of."""
    pa, pc = arrow(), compute()
    low = pc.bit_wise_and(pairs, pa.scalar((1 << _LOW) - 1, pa.int64()))
    return pc.shift_right(pairs, pa.scalar(_LOW, pa.int64())).cast(pa.int32()), low.cast(pa.int32())


def coded(column: Column) -> Column:
    """A column as the number of each row's value among its distinct ones, and these; null has no number."""
    pa = arrow()
    found = column.dictionary_encode()
    if isinstance(found, pa.ChunkedArray):
        found = found.combine_chunks() if found.num_chunks else pa.array([], found.type)
    return found


def distinct_rows(columns: Sequence[Column]) -> tuple[list[Column], Column]:
    """The distinct rows of some columns, and for every row which of them it is."""
    pa, pc = arrow(), compute()
    values: list[Column] = []
    rows: Column = None
    for one in map(coded, columns):
        own = pa.concat_arrays([one.dictionary, pa.nulls(1, one.dictionary.type)])
        codes = pc.fill_null(one.indices, len(one.dictionary))
        if rows is None:
            rows, values = codes, [own]
            continue
        both = paired(rows, codes).dictionary_encode()
        left, right = unpaired(both.dictionary)
        rows, values = both.indices, [*(v.take(left) for v in values), own.take(right)]
    return values, rows


def taken(table: Columns, rows: Column) -> list[Column]:
    """The columns of some rows of a table; texts as numbers of distinct ones."""
    pa = arrow()
    out = []
    for column in table.columns:
        if pa.types.is_string(column.type):
            few = coded(column)
            out.append(pa.DictionaryArray.from_arrays(few.indices.take(rows), few.dictionary))
        else:
            out.append(column.combine_chunks().take(rows))
    return out
