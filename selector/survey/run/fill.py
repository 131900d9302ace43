"""What records ask that a lookup doesn't hold yet: found by an engine that holds all, judged, and added to it."""

from __future__ import annotations

from selector.answers.survey.fault import RecordFault
from selector.survey import sql
from selector.survey.board.fewest_moves import fewest_moves
from selector.survey.board.lookup import RELATIONS, Lookup, RawBoard, Row
from selector.survey.columns import of_rows
from selector.survey.sql import SqlEngine


def fill(engine: SqlEngine, lookup: Lookup, *, moves: bool = False) -> None:
    """Judge every board of the engine's records; `moves`: and work out the fewest moves of those that are wrong. The
    records are the relation `placed` then."""
    for id, (table, tons, static) in enumerate(engine.rows(sql.FIGURES)):
        lookup.add_figures(id, table, tons, static)
    for id, (table, text) in enumerate(engine.rows(sql.AIRFLOWS_TYPED)):
        lookup.add_reading(id, table, text)
    add(engine, lookup)
    boards = sorted(engine.rows(sql.BOARDS))
    lookup.rows["boards"] += [(n, *key, lookup.verdict(RawBoard(*key))) for n, key in enumerate(boards)]
    add(engine, lookup)
    for board, *key in engine.rows(sql.CASES):
        raw = RawBoard(*key)
        lookup.rows["cases"].append((board, raw.tons, lookup.verdict(raw, told=True)))
    add(engine, lookup)
    engine.view("placed", sql.PLACED)
    if moves:
        fill_moves(engine, lookup)
        add(engine, lookup)


def fill_moves(engine: SqlEngine, lookup: Lookup) -> None:
    """The fewest moves of boards in `placed` that selectors may put right."""
    for board, table, model, marks, facts, tons in engine.rows(sql.wrong_sql()):
        known = lookup.table(table)
        if not isinstance(known, RecordFault):
            raw = RawBoard(table, model, marks, facts, "", tons)
            lookup.rows["moves"].append((board, tons, *fewest_moves(raw, known.table)))


def add(engine: SqlEngine, lookup: Lookup, added: dict[str, list[Row]] | None = None) -> None:
    """Give the engine the rows that were collected; `added` gets them too."""
    for relation, rows in lookup.taken().items():
        if rows:
            engine.add(relation, of_rows(rows, RELATIONS[relation]))
            if added is not None:
                added.setdefault(relation, []).extend(rows)
