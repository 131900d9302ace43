"""One machine: the questions carried out by DuckDB. The only module that imports it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from selector.survey.board.lookup import RELATIONS
from selector.survey.columns import Columns
from selector.survey.extra import needed

_TYPES = {"text": "VARCHAR", "int": "INTEGER", "long": "BIGINT", "double": "DOUBLE", "flag": "BOOLEAN"}


class Duck:
    """A database in memory with the relations of a lookup."""

    def __init__(
        self, *, memory: str = "", spill: str = "", more: Mapping[str, Sequence[tuple[str, str]]] | None = None
    ) -> None:
        """`memory`: as much as it may take, such as `2GB`; `spill`: the folder for what is more; `more`: relations
        beside the lookup's, as there."""
        with needed("duckdb"):
            import duckdb
        config: dict[str, Any] = {}
        if memory:
            config["memory_limit"] = memory
        if spill:
            config["temp_directory"] = spill
        self._base = duckdb.connect(config=config)
        for name, columns in {**RELATIONS, **(more or {})}.items():
            self._base.execute(f"CREATE TABLE {name} ({', '.join(f'{c} {_TYPES[k]}' for c, k in columns)})")

    def add(self, relation: str, columns: Columns) -> None:
        """More rows of a relation."""
        self.hold("more", columns)
        self._base.execute(f"INSERT INTO {relation} SELECT * FROM more")
        self._base.unregister("more")

    def hold(self, name: str, columns: Columns) -> None:
        """Columns in memory as a relation."""
        self._base.register(name, columns)

    def view(self, name: str, sql: str) -> None:
        """An answer as a relation of its own."""
        self._base.execute(f"CREATE OR REPLACE TEMP VIEW {name} AS {sql}")

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """A short answer."""
        found: list[tuple[Any, ...]] = self._base.execute(sql).fetchall()
        return found

    def columns(self, sql: str) -> Columns:
        """A long answer."""
        return self._base.sql(sql).to_arrow_table()

    def over(self, name: str, paths: list[str]) -> None:
        """A view of Parquet files."""
        listed = ", ".join("'" + p.replace("'", "''") + "'" for p in paths)
        self.view(name, f"SELECT * FROM read_parquet([{listed}])")

    def close(self) -> None:
        """Nothing is asked any more."""
        self._base.close()
