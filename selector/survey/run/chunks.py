"""Chunks of records judged on one machine: every column of a record becomes a number, every distinct board is judged
once, and every distinct pair of a verdict with its tons and static pressure is asked of the SQL once."""

from __future__ import annotations

from collections.abc import Mapping

from selector.survey.board.lookup import RELATIONS, Lookup, RawBoard, Row
from selector.survey.columns import Columns, arrow, columns_of, compute, counting, is_ordered, of_rows, renamed
from selector.survey.duck import Duck
from selector.survey.numbers import Column, PairNumbers, RowNumbers, TextNumbers, coded, distinct_rows, taken
from selector.survey.run.count import COUNTED, counting_sql
from selector.survey.run.fill import add, fill_moves
from selector.survey.sql import MEASURED, key_texts, measured_calls, verdict_columns, verdicts_sql
from selector.value import Struct

MOST_OUTCOMES = 2_000_000
"""Verdicts with their tons and static that are kept ready."""
_TYPED = ("figures", "readings")
"""Relations of what is typed, read anew by every run."""
_BEFORE = 3
"""Columns of an outcome before those that are shown: its number, table and model."""


class JudgedChunk(Struct, frozen=True, kw_only=True):
    """The columns a survey adds to a chunk, in their order; `keys`: columns of the chunk as numbers of distinct texts;
    `stages`: a row for each stage, None unless asked for; `added`: what the lookup gained, by relation."""

    verdicts: list[Column]
    keys: dict[str, Column]
    stages: Columns
    added: dict[str, Columns]


class ChunkJudge:
    """Judges chunks one after another."""

    def __init__(
        self,
        engine: Duck,
        lookup: Lookup,
        keys: Mapping[str, str],
        facts: Mapping[str, str],
        *,
        moves: bool = False,
        stages: bool = False,
    ) -> None:
        """`keys`, `facts`: the columns that records are judged by, as in `key_texts`."""
        self.engine, self.lookup, self.moves, self.with_stages = engine, lookup, moves, stages
        self.measured = measured_calls(keys)
        self.sources = key_texts(keys, facts)
        airflows, measured = TextNumbers(), set(MEASURED.values())
        self._texts = {key: airflows if key in measured else TextNumbers() for key in self.sources}
        self._airflows = airflows
        self._by_static: list[bool] = []
        self._typed, self._aside, self._figures = PairNumbers(), PairNumbers(), PairNumbers()
        self._said, self._under, self._boards, self._cases = PairNumbers(), PairNumbers(), PairNumbers(), PairNumbers()
        self._readings = PairNumbers()
        self._read = 0
        self._odd: list[bool] = []
        self._verdicts: list[int | None] = []
        self._case_verdicts: list[int] = []
        self._forget()

    def _forget(self) -> None:
        self._outcomes = RowNumbers(2 + len(self.measured))
        self._shown: list[Columns] = []
        self._stage_rows: list[Columns] = []
        self._ends = [0]

    def take_up(self, boards: Columns, cases: Columns) -> None:
        """Boards and cases that were judged before, in the order of their numbers."""
        names = {"table": "tbl", **{key: key for key in ("model", "marks", "facts", "static")}}
        number = {key: self._texts[key].of(boards.column(name).combine_chunks()) for key, name in names.items()}
        self._board_of(number, number["static"])
        self._verdicts += boards.column("verdict").to_pylist()
        tons = self._texts["tons"].of(cases.column("tons").combine_chunks())
        self._cases.of_rows(cases.column("board").combine_chunks(), tons)
        self._case_verdicts += cases.column("verdict").to_pylist()
        if (len(self._boards), len(self._cases)) != (len(self._verdicts), len(self._case_verdicts)):
            raise AssertionError("a board was kept twice")

    def judge(self, chunk: Columns) -> JudgedChunk:
        """The verdicts on a chunk, row for row."""
        pa, pc = arrow(), compute()
        number, keys = self._numbered(chunk)
        self._know_tables()
        by_static = pa.array(self._by_static, pa.bool_()).take(number["table"])
        static = pc.if_else(by_static, number["static"], pa.scalar(0, pa.int32()))
        figures = self._figures_of(number)
        board = self._board_of(number, static)
        new = self._know_boards()
        if new.num_rows:
            self.engine.add("boards", new)
        verdict = self._verdict_of(board, figures, number["tons"])
        readings = self._readings_of(number)
        outcome = coded(self._outcomes.of_rows(board if self.moves else verdict, figures, *readings))
        added: dict[str, list[Row]] = {}
        self._know_outcomes(added)
        shown = pa.concat_tables(self._shown).take(outcome.dictionary)
        counted = self._counted(shown, outcome.indices)
        stages = self._stages(outcome, chunk.column("record")) if self.with_stages else None
        if len(self._outcomes) > MOST_OUTCOMES:
            self._forget()
        kept = {name: of_rows(rows, RELATIONS[name]) for name, rows in added.items() if name not in _TYPED}
        return JudgedChunk(
            verdicts=taken(shown.select(range(_BEFORE, shown.num_columns)), outcome.indices),
            keys=keys,
            stages=stages,
            added={**kept, **({"boards": new} if new.num_rows else {}), "counted": counted},
        )

    # -- columns as numbers

    def _numbered(self, chunk: Columns) -> tuple[dict[str, Column], dict[str, Column]]:
        """The number of every key in every row, and the columns that keys stand in, coded."""
        pa, pc = arrow(), compute()
        out, keys = {}, {}
        for key, (columns, expression) in self.sources.items():
            if not columns:
                out[key] = pa.repeat(pa.scalar(0, pa.int32()), chunk.num_rows)
                continue
            if len(columns) == 1:
                one = coded(chunk.column(columns[0]))
                keys[columns[0]] = one
                values, rows = [one.dictionary], one.indices
            else:
                values, rows = distinct_rows([chunk.column(name) for name in columns])
            self.engine.hold("typed", pa.table(values, names=list(columns)))
            texts = self.engine.columns(f"SELECT {expression} AS text FROM typed").column(0)
            own = self._texts[key].of(texts.combine_chunks() if texts.num_chunks else pa.array([], pa.string()))
            out[key] = pc.fill_null(own.take(rows), 0)
        return out, keys

    def _know_tables(self) -> None:
        new = self._texts["table"].values[len(self._by_static) :]
        self._by_static += map(self.lookup.by_static, new.to_pylist())

    def _figures_of(self, number: Mapping[str, Column]) -> Column:
        """The number of each row's table and model with its tons and static."""
        typed = self._typed.of_rows(number["table"], number["model"])
        found = self._figures.of_rows(typed, self._aside.of_rows(number["tons"], number["static"]))
        first = len(self._odd)
        new_typed, new_aside = self._figures.since(first)
        tables, _ = self._typed.at(new_typed)
        tons, statics = self._aside.at(new_aside)
        rows = zip(
            self._texts["table"].at(tables),
            self._texts["tons"].at(tons),
            self._texts["static"].at(statics),
            strict=True,
        )
        self._odd += [self.lookup.add_figures(n, *row) for n, row in enumerate(rows, first)]
        return found

    def _readings_of(self, number: Mapping[str, Column]) -> list[Column]:
        """The number of each row's measured airflow in its table, of every call that has a column of them."""
        found = [self._readings.of_rows(number["table"], number[MEASURED[name]]) for name in self.measured]
        tables, texts = self._readings.since(self._read)
        for table, text in zip(self._texts["table"].at(tables), self._airflows.at(texts), strict=True):
            self.lookup.add_reading(self._read, table, text)
            self._read += 1
        return found

    def _board_of(self, number: Mapping[str, Column], static: Column) -> Column:
        """The number of each row's board."""
        typed = self._typed.of_rows(number["table"], number["model"])
        said = self._said.of_rows(number["facts"], static)
        return self._boards.of_rows(self._under.of_rows(typed, said), number["marks"])

    def _raw(self, boards: Column) -> list[Column]:
        """The texts of boards: table, model, marks, facts, static."""
        under, marks = self._boards.at(boards)
        typed, said = self._under.at(under)
        table, model = self._typed.at(typed)
        facts, static = self._said.at(said)
        numbers = {"table": table, "model": model, "marks": marks, "facts": facts, "static": static}
        return [self._texts[key].values.take(one) for key, one in numbers.items()]

    # -- what is judged

    def _know_boards(self) -> Columns:
        """Judge the boards that are new, those under the same facts one after another; the rows of `boards`."""
        pa, pc = arrow(), compute()
        first = len(self._verdicts)
        under, _ = self._boards.since(first)
        order = pc.sort_indices(under)
        numbers = pc.add(order.cast(pa.int32()), first)
        found: list[int | None] = [None] * len(under)
        texts = [one.to_pylist() for one in self._raw(numbers)]
        for n, raw in zip(order.to_pylist(), map(RawBoard, *texts), strict=True):
            found[n] = self.lookup.verdict(raw)
        self._verdicts += found
        new = counting(first, len(found))
        columns = [new, *self._raw(new), pa.array(found, pa.int64())]
        return columns_of(columns, [name for name, _ in RELATIONS["boards"]])

    def _verdict_of(self, board: Column, figures: Column, tons: Column) -> Column:
        """The number of each row's verdict."""
        pa, pc = arrow(), compute()
        found = pa.array(self._verdicts, pa.int32()).take(board)
        hangs = pc.or_(pc.is_null(found), pa.array(self._odd, pa.bool_()).take(figures))
        if pc.any(hangs).as_py():
            case = self._cases.of_rows(board.filter(hangs), tons.filter(hangs))
            first = len(self._case_verdicts)
            boards, new_tons = self._cases.since(first)
            typed, texts = self._texts["tons"].at(new_tons), [one.to_pylist() for one in self._raw(boards)]
            for n, said, raw in zip(boards.to_pylist(), typed, map(RawBoard, *texts, typed), strict=True):
                verdict = self.lookup.verdict(raw, told=True)
                assert verdict is not None
                self._case_verdicts.append(verdict)
                self.lookup.rows["cases"].append((n, said, verdict))
            found = pc.replace_with_mask(found, hangs, pa.array(self._case_verdicts, pa.int32()).take(case))
        return found

    # -- what is said

    def _know_outcomes(self, added: dict[str, list[Row]]) -> None:
        """Ask the SQL for the outcomes that are new."""
        pa = arrow()
        first = sum(one.num_rows for one in self._shown)
        count = len(self._outcomes) - first
        if not count and self._shown:
            add(self.engine, self.lookup, added)
            return
        left, figures, *readings = self._outcomes.since(first)
        aside = self._figures.at(figures)
        board, verdict = pa.nulls(count, pa.int64()), left
        if self.moves:
            board, verdict = left, self._verdict_of(left, figures, self._aside.at(aside[1])[0])
        add(self.engine, self.lookup, added)
        record = counting(first, count)
        placed = {"record": record, "board": board, "figures": figures, "verdict": verdict}
        placed |= {f"{name}_reading": of for name, of in zip(self.measured, readings, strict=True)}
        self.engine.hold("placed", pa.table(placed))
        if self.moves:
            fill_moves(self.engine, self.lookup)
            add(self.engine, self.lookup, added)
        found = self.engine.columns(verdicts_sql((), moves=self.moves, measured=self.measured))
        if not is_ordered(found, "record", first) or found.num_rows != count:
            raise AssertionError("a verdict was lost or moved")
        for at, (name, of) in enumerate(zip(("table", "model"), self._typed.at(aside[0]), strict=True), 1):
            found = found.add_column(at, name, self._texts[name].values.take(of))
        self._shown.append(found)
        if self.with_stages:
            stages = self.engine.columns(verdicts_sql((), stages=True))
            each = {one["values"]: one["counts"] for one in compute().value_counts(stages.column("record")).to_pylist()}
            for n in record.to_pylist():
                self._ends.append(self._ends[-1] + each.get(n, 0))
            self._stage_rows.append(stages)

    def _counted(self, shown: Columns, rows: Column) -> Columns:
        """Rows of `counted`."""
        names = [name for name, _ in verdict_columns(moves=self.moves, measured=self.measured)]
        column = {name: f"v{n}" for n, name in enumerate(names)} | {"table": '"table"', "model": "model"}
        counts = compute().value_counts(rows).field("counts")
        self.engine.hold("shown", shown.append_column("n", counts))
        found = self.engine.columns(counting_sql("shown", column, "sum(n)"))
        found = renamed(found, [name for name, _ in COUNTED])
        self.engine.add("counted", found)
        return found

    def _stages(self, outcome: Column, record: Column) -> Columns:
        """A row for each stage of each row's board."""
        pa, pc = arrow(), compute()
        rows = pa.concat_tables(self._stage_rows)
        lists = pa.ListArray.from_arrays(pa.array(self._ends, pa.int32()), counting(0, rows.num_rows))
        few = lists.take(outcome.dictionary)
        rows = rows.take(few.flatten())
        numbers = counting(0, rows.num_rows)
        each = pa.ListArray.from_arrays(few.offsets, numbers).take(outcome.indices)
        of = record.take(pc.list_parent_indices(each))
        return pa.table([of, *taken(rows.select(range(1, rows.num_columns)), each.flatten())], names=rows.column_names)
