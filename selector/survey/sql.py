"""The questions a survey asks of its records: one text for every engine that carries them out."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any, Protocol

from selector.answers.survey.summary import READINGS
from selector.survey.board.lookup import MAIN
from selector.survey.columns import Columns

MEASURED = {name: f"{name}_measured" for name, _ in MAIN}
"""A call -> what its measured airflow is called among the keys."""
KEYS = ("table", "model", "marks", "facts", "tons", "static", *MEASURED.values())
"""What a record is judged by; each is the column `key_` and its name."""
_ROUNDED = "round(({}) * 1000) / 1000"
VERDICT_COLUMNS: tuple[tuple[str, str], ...] = (
    ("verdict", "f.verdict"),
    ("where", "f.place"),
    ("beyond", _ROUNDED.format("by_how_much")),
    ("unit", "f.unit"),
    ("reason", "f.reason"),
    ("assumed", "assumed"),
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
    ("assumed", "assumed"),
    ("airflow", "airflow"),
    ("least", "CASE WHEN airflow IS NULL THEN airflow_least END"),
    ("most", "CASE WHEN airflow IS NULL THEN airflow_most END"),
    ("per ton", "round(airflow_flow / (tons_scaled / 1e6) * 10) / 10"),
    ("airflow unit", "air_unit"),
)
_LOW, _HIGH, _OK, _OPEN = READINGS
_AGAINST = f"""CASE WHEN {{0}}_r.id IS NULL OR {{0}}_r.typed = '' THEN NULL
    WHEN {{0}}_r.unread IS NOT NULL THEN {{0}}_r.unread
    WHEN {{0}}_up IS NULL OR {{0}}_r.high_down IS NULL THEN '{_OPEN}'
    WHEN {{0}}_up > {{0}}_r.high_down THEN '{_LOW}' WHEN {{0}}_down < {{0}}_r.low_up THEN '{_HIGH}' ELSE '{_OK}' END"""
"""A reading against the airflow set: beyond its band, by whole millionths."""
AGAINST = "{0} against setting"
"""The column of what a reading is against the airflow set."""
_READING_COLUMNS = (
    (AGAINST, _AGAINST),
    ("{0} off %", "round(({0}_r.airflow / ({0}_down / 1e6) - 1) * 1000) / 10 + 0.0"),
    (
        "{0} measured per ton",
        "round({0}_r.airflow * ({0}_flow / ({0}_down / 1e6)) / (tons_scaled / 1e6) * 10) / 10",
    ),
)
_BOARD = """b.tbl = key_table AND b.model = key_model AND b.marks = key_marks AND b.facts = key_facts
  AND b.static = CASE WHEN g.by_static THEN key_static ELSE '' END"""
_FIGURES = "g.tbl = key_table AND g.tons = key_tons AND g.static = key_static"
FIGURES = "SELECT DISTINCT key_table, key_tons, key_static FROM records"
BOARDS = f"""SELECT DISTINCT key_table, key_model, key_marks, key_facts,
  CASE WHEN g.by_static THEN key_static ELSE '' END AS key_static
FROM records JOIN figures g ON {_FIGURES}"""
CASES = f"""SELECT DISTINCT b.board, b.tbl, b.model, b.marks, b.facts, b.static, key_tons
FROM records JOIN figures g ON {_FIGURES} JOIN boards b ON {_BOARD}
WHERE b.verdict IS NULL OR g.odd"""
_TYPED_READING = "LEFT JOIN readings {0}_p ON {0}_p.tbl = key_table AND {0}_p.typed = key_{1}"
AIRFLOWS_TYPED = " UNION ".join(
    f"SELECT DISTINCT key_table, key_{key} FROM records WHERE key_{key} <> ''" for key in MEASURED.values()
)
PLACED = f"""SELECT r.*, b.board, g.id AS figures, coalesce(c.verdict, b.verdict) AS verdict,
  {", ".join(f"{name}_p.id AS {name}_reading" for name in MEASURED)}
FROM records r
{" ".join(_TYPED_READING.format(name, key) for name, key in MEASURED.items())}
LEFT JOIN figures g ON {_FIGURES}
LEFT JOIN boards b ON {_BOARD}
LEFT JOIN cases c ON c.board = b.board AND c.tons = r.key_tons"""
"""What the records ask, and where they stand among the figures, boards and verdicts: where no one numbers them
before."""


class SqlEngine(Protocol):
    """What carries the questions out."""

    def add(self, relation: str, columns: Columns) -> None:
        """More rows of a relation."""

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """A short answer."""

    def view(self, name: str, sql: str) -> None:
        """An answer as a relation of its own."""


def records_sql(source: str, keys: Mapping[str, str], facts: Mapping[str, str], kept: Sequence[str]) -> str:
    """Records with the columns they are judged by. `keys`: of KEYS to the column; `facts`: a fact's name to its column;
    `kept`: the columns that are passed on."""

    typed = [f"{expression} AS key_{key}" for key, (_, expression) in key_texts(keys, facts).items()]
    return f"SELECT record, {', '.join([*typed, *kept])} FROM {source}"


def key_texts(keys: Mapping[str, str], facts: Mapping[str, str]) -> dict[str, tuple[tuple[str, ...], str]]:
    """What a record is judged by -> the columns it stands in, and how its text is made of them."""

    def text(column: str) -> str:
        return f"coalesce(trim(CAST({column} AS STRING)), '')"

    def fact(name: str, column: str) -> str:
        return f"CASE WHEN {text(column)} = '' THEN '' ELSE concat({literal(f'; {name}=')}, {text(column)}) END"

    out: dict[str, tuple[tuple[str, ...], str]] = {
        key: ((keys[key],), text(keys[key])) if key in keys else ((), "''") for key in KEYS
    }
    if facts:
        columns, said = out["facts"]
        pieces = [*([said] if columns else []), *(fact(name, column) for name, column in facts.items())]
        out["facts"] = (*columns, *facts.values()), f"concat({', '.join(pieces)})" if len(pieces) > 1 else pieces[0]
    return out


def wrong_sql() -> str:
    """Boards whose moves aren't known yet, of records that selectors may put right."""
    columns = "DISTINCT j.board, b.tbl, b.model, b.marks, b.facts, j.typed_tons"
    where = "JOIN boards b ON b.board = j.board WHERE f.rank < 7 AND j.which <> 'static' AND m.board IS NULL"
    return _filled(_text(), columns, (), where)


def verdicts_sql(
    kept: Iterable[str],
    *,
    stages: bool = False,
    moves: bool = False,
    measured: Sequence[str] = (),
    ordered: bool = True,
) -> str:
    """One row out for every record, or (`stages`) for every stage of its board. `measured`: calls whose airflow was
    measured."""
    shown = STAGE_COLUMNS if stages else verdict_columns(moves=moves, measured=measured)
    added = [f"{expression} AS {'s' if stages else 'v'}{n}" for n, (_, expression) in enumerate(shown)]
    columns = ["j.record AS record", *(f"j.{column} AS {column}" for column in kept), *added]
    order = "ORDER BY j.record" + (", j.place" if stages else "") if ordered else ""
    text = _text().replace("LEFT JOIN verdicts v", "JOIN stages v") if stages else _text()
    return _filled(text, ",\n  ".join(columns), () if stages else measured, order)


def _filled(text: str, columns: str, measured: Sequence[str], order: str) -> str:
    joins = "\n".join(f"LEFT JOIN readings {name}_r ON {name}_r.id = j.{name}_reading" for name in measured)
    return text.replace("{columns}", columns).replace("{readings}", joins).replace("{order}", order)


def verdict_columns(*, moves: bool, measured: Sequence[str] = ()) -> tuple[tuple[str, str], ...]:
    """The columns that a survey adds."""
    readings = (
        (name.format(of), sql.format(of))
        for of in measured
        for name, sql in (_READING_COLUMNS if of != "fan" else _READING_COLUMNS[:-1])
    )
    return (*VERDICT_COLUMNS, *readings, *(MOVE_COLUMNS if moves else ()))


def measured_calls(keys: Iterable[str]) -> tuple[str, ...]:
    """The calls whose measured airflow is among the keys that records have a column for."""
    had = set(keys)
    return tuple(name for name, key in MEASURED.items() if key in had)


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
