"""The questions a survey asks of its records: one text for every engine that carries them out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any, Protocol

from selector.survey.board.lookup import MAIN
from selector.survey.columns import Columns

KEYS = ("table", "model", "marks", "facts", "tons", "static")
"""What a record is judged by; each is the column `key_` and its name."""
_ROUNDED = "round(({}) * 1000) / 1000"
VERDICT_COLUMNS: tuple[tuple[str, str], ...] = (
    ("verdict", "f.verdict"),
    ("where", "f.place"),
    ("beyond", _ROUNDED.format("by_how_much")),
    ("unit", "f.unit"),
    ("reason", "f.reason"),
    *(
        (f"{name}{shown}", expression.format(name=name))
        for name, _ in MAIN
        for shown, expression in (
            (" airflow", "{name}"),
            (" least", "CASE WHEN {name} IS NULL THEN {name}_least END"),
            (" most", "CASE WHEN {name} IS NULL THEN {name}_most END"),
            (" per ton", "round({name}_flow / (tons_scaled / 1e6) * 10) / 10"),
        )
        if (name, shown) != ("fan", " per ton")
    ),
    ("airflow unit", "air_unit"),
)
"""The columns that a survey adds, and how each is worked out."""
MOVE_COLUMNS = (("moves", "m.moves"), ("set", "m.words"))
"""Those of the fewest moves, on request."""
STAGE_COLUMNS: tuple[tuple[str, str], ...] = (
    ("call", "call"),
    ("stage", "stage"),
    ("stands", "code"),
    ("verdict", "f.verdict"),
    ("beyond", _ROUNDED.format("by_how_much")),
    ("unit", "f.unit"),
    ("reason", "f.reason"),
    ("airflow", "airflow"),
    ("least", "CASE WHEN airflow IS NULL THEN airflow_least END"),
    ("most", "CASE WHEN airflow IS NULL THEN airflow_most END"),
    ("per ton", "round(airflow_flow / (tons_scaled / 1e6) * 10) / 10"),
    ("airflow unit", "air_unit"),
)
NEW_TABLES = "SELECT DISTINCT key_table FROM records WHERE key_table NOT IN (SELECT name FROM tables)"
NEW_TONS = """SELECT min(key_table), key_tons FROM records JOIN tables t ON t.name = key_table
WHERE key_tons <> '' AND NOT t.by_tons AND t.pressure <> '' AND key_tons NOT IN (SELECT text FROM tons)
GROUP BY key_tons"""
NEW_STATICS = """SELECT min(key_table), key_static FROM records JOIN tables t ON t.name = key_table
LEFT JOIN statics s ON s.pressure = t.pressure AND s.text = key_static
WHERE key_static <> '' AND NOT t.by_static AND t.pressure <> '' AND s.text IS NULL GROUP BY t.pressure, key_static"""
NEW_BOARDS = """SELECT DISTINCT key_table, key_model, key_marks, key_facts,
CASE WHEN t.by_static THEN key_static ELSE '' END AS key_static
FROM records JOIN tables t ON t.name = key_table
LEFT JOIN boards b ON b.tbl = key_table AND b.model = key_model AND b.marks = key_marks AND b.facts = key_facts
  AND b.static = CASE WHEN t.by_static THEN key_static ELSE '' END
WHERE b.number IS NULL"""
NEW_WITH_TONS = """SELECT b.number, min(key_table), min(key_model), min(key_marks), min(key_facts), min(b.static),
  key_tons
FROM records JOIN tables t ON t.name = key_table
LEFT JOIN tons n ON n.text = key_tons
JOIN boards b ON b.tbl = key_table AND b.model = key_model AND b.marks = key_marks AND b.facts = key_facts
  AND b.static = CASE WHEN t.by_static THEN key_static ELSE '' END
LEFT JOIN verdicts v ON v.number = b.number AND v.tons = key_tons
WHERE (b.by_tons OR n.odd) AND v.number IS NULL GROUP BY b.number, key_tons"""


class SqlEngine(Protocol):
    """What carries the questions out."""

    def add(self, relation: str, columns: Columns) -> None:
        """More rows of a relation."""

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """A short answer."""


def records_sql(source: str, keys: Mapping[str, str], facts: Mapping[str, str], kept: Sequence[str]) -> str:
    """Records with the columns they are judged by. `keys`: of KEYS to the column; `facts`: a fact's name to its column;
    `kept`: the columns that are passed on."""

    def text(column: str | None) -> str:
        return "''" if column is None else f"coalesce(trim(CAST({column} AS STRING)), '')"

    parts = [text(keys["facts"])] if "facts" in keys else []
    parts += [
        f"CASE WHEN {text(column)} = '' THEN '' ELSE concat({literal(f'; {name}=')}, {text(column)}) END"
        for name, column in facts.items()
    ]
    said = f"concat({', '.join(parts)})" if len(parts) > 1 else "".join(parts) or "''"
    typed = [f"{said if key == 'facts' else text(keys.get(key))} AS key_{key}" for key in KEYS]
    return f"SELECT record, {', '.join([*typed, *kept])} FROM {source}"


def wrong_sql() -> str:
    """Boards whose moves aren't known yet, of records that selectors may put right."""
    columns = "j.number, min(j.key_table), min(j.key_model), min(j.key_marks), min(j.key_facts), j.key_tons"
    where = "WHERE f.rank < 7 AND j.which <> 'static' AND m.number IS NULL GROUP BY j.number, j.key_tons"
    return _text().replace("{columns}", columns).replace("{order}", where)


def verdicts_sql(kept: Iterable[str], *, stages: bool = False, moves: bool = False, ordered: bool = True) -> str:
    """One row out for every record, or (`stages`) for every stage of its board."""
    shown = STAGE_COLUMNS if stages else verdict_columns(moves=moves)
    added = [f"{expression} AS {'s' if stages else 'v'}{n}" for n, (_, expression) in enumerate(shown)]
    columns = ["j.record AS record", *(f"j.{column} AS {column}" for column in kept), *added]
    order = "ORDER BY j.record" + (", j.place" if stages else "") if ordered else ""
    text = _text().replace("LEFT JOIN verdicts v", "JOIN stages v") if stages else _text()
    return text.replace("{columns}", ",\n  ".join(columns)).replace("{order}", order)


def verdict_columns(*, moves: bool) -> tuple[tuple[str, str], ...]:
    """The columns that a survey adds."""
    return (*VERDICT_COLUMNS, *(MOVE_COLUMNS if moves else ()))


def quoted(name: str) -> str:
    """A column's name as SQL writes it."""
    return '"' + name.replace('"', '""') + '"'


def literal(text: str) -> str:
    """A text as SQL writes it."""
    return "'" + text.replace("'", "''") + "'"


@cache
def _text() -> str:
    with open(os.path.join(os.path.dirname(__file__), "verdicts.sql"), encoding="utf-8") as file:
        return "\n".join(line for line in file.read().splitlines() if not line.startswith("--"))
