"""What records ask that a lookup doesn't hold yet: found by the engine, judged, and added to it."""

from __future__ import annotations

from selector.answers.survey.fault import RecordFault
from selector.survey import sql
from selector.survey.board.fewest_moves import fewest_moves
from selector.survey.board.lookup import RELATIONS, Lookup, RawBoard, Row
from selector.survey.columns import Columns, of_rows
from selector.survey.sql import SqlEngine


def fill(engine: SqlEngine, lookup: Lookup, *, moves: bool = False) -> dict[str, Columns]:
    """Judge every board of the records that wasn't judged before, `moves`: and work out the fewest moves of
    those that are wrong; the rows that were added, by relation."""
    added: dict[str, list[Row]] = {}

    def add() -> None:
        for relation, rows in lookup.taken().items():
            if rows:
                engine.add(relation, of_rows(rows, RELATIONS[relation]))
                added.setdefault(relation, []).extend(rows)

    for (name,) in engine.rows(sql.NEW_TABLES):
        lookup.add_table(name)
    add()
    for table, text in engine.rows(sql.NEW_TONS):
        lookup.add_tons(table, text)
    for table, text in engine.rows(sql.NEW_STATICS):
        lookup.add_static(table, text)
    add()
    new = engine.rows(sql.NEW_BOARDS)
    new.sort()
    lookup.add_boards(
        RawBoard(table=table, model=model, marks=marks, facts=facts, static=static)
        for table, model, marks, facts, static in new
    )
    add()
    for number, table, model, marks, facts, static, tons in engine.rows(sql.NEW_WITH_TONS):
        raw = RawBoard(table=table, model=model, marks=marks, facts=facts, static=static, tons=tons)
        lookup.add_with_tons(number, raw)
    add()
    for number, table, model, marks, facts, tons in engine.rows(sql.wrong_sql()) if moves else ():
        known = lookup.table(table)
        if not isinstance(known, RecordFault):
            raw = RawBoard(table=table, model=model, marks=marks, facts=facts, static="", tons=tons)
            lookup.rows["moves"].append((number, tons, *fewest_moves(raw, known.table)))
    add()
    return {relation: of_rows(rows, RELATIONS[relation]) for relation, rows in added.items()}
