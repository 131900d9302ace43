"""Many machines: the same questions carried out by Apache Spark. The only module that imports pyspark."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Any

from selector.survey.board.lookup import RELATIONS
from selector.survey.columns import Columns, write_parquet
from selector.survey.extra import needed

_TYPES = {"text": "string", "int": "int", "long": "bigint", "double": "double", "flag": "boolean"}
_BROADCAST = 1 << 29
"""Bytes of a lookup that every worker gets a copy of."""


class Spark:
    """A session with the relations of a lookup, kept as Parquet in `folder`, which every worker must see."""

    def __init__(self, folder: str, master: str, *, partitions: int = 0) -> None:
        """`master`: `local[2]`, `spark://host:7077`, `yarn`."""
        with needed("pyspark", "cluster"):
            from pyspark.sql import SparkSession
        builder = SparkSession.builder.master(master).appName("survey")
        settings = {
            "spark.sql.ansi.enabled": "true",
            "spark.sql.ansi.doubleQuotedIdentifiers": "true",
            "spark.sql.autoBroadcastJoinThreshold": str(_BROADCAST),
            "spark.sql.session.timeZone": "UTC",
            "spark.ui.enabled": "false",
            "spark.ui.showConsoleProgress": "false",
            "spark.log.level": "ERROR",
        }
        if partitions:
            settings["spark.sql.shuffle.partitions"] = str(partitions)
            settings["spark.sql.adaptive.coalescePartitions.enabled"] = "false"
        for name, value in settings.items():
            builder = builder.config(name, value)
        self._session: Any = builder.getOrCreate()
        self._folder = folder
        self._files = dict.fromkeys(RELATIONS, 0)
        for name in RELATIONS:
            self._view(name)

    def _view(self, relation: str) -> None:
        shape = ", ".join(f"`{column}` {_TYPES[kind]}" for column, kind in RELATIONS[relation])
        where = os.path.join(self._folder, relation)
        if self._files[relation]:
            found = self._session.read.schema(shape).parquet(where)
        else:
            found = self._session.createDataFrame([], shape)
        found.createOrReplaceTempView(relation)

    def add(self, relation: str, columns: Columns) -> None:
        """More rows of a relation."""
        where = os.path.join(self._folder, relation)
        os.makedirs(where, exist_ok=True)
        write_parquet(columns, os.path.join(where, f"{self._files[relation]:06d}.parquet"))
        self._files[relation] += 1
        self._view(relation)

    def hold(self, files: Sequence[str], sql: str) -> None:
        """The records of Parquet files, as `sql` makes them of the relation `chunk`."""
        self._session.read.parquet(*files).createOrReplaceTempView("chunk")
        self._session.sql(sql).createOrReplaceTempView("records")

    def view(self, name: str, sql: str) -> None:
        """An answer as a relation of its own."""
        self._session.sql(sql).createOrReplaceTempView(name)

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """A short answer."""
        return [tuple(row) for row in self._session.sql(sql).collect()]

    def write(self, sql: str, names: Sequence[str], folder: str) -> None:
        """A long answer as a folder of Parquet files, its columns under these names."""
        self._session.sql(sql).toDF(*names).write.parquet(folder)

    def close(self) -> None:
        """Nothing is asked any more."""
        self._session.stop()
