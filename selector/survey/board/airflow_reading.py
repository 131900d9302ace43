"""A measured airflow as a record types it: `1180`, `560 L/s`, `flow plate=1180 cfm`."""

from __future__ import annotations

from selector.air.measure import ELECTRIC, HOOD, METHODS, RISE, Measured
from selector.problems import Refused
from selector.solve.search.typed_facts import problem, typed_airflow
from selector.table.model.table import Table

_METHODS = {one.name: one for one in METHODS if one not in (RISE, ELECTRIC)}
"""Those that read an airflow; heat methods come to one by what a record doesn't hold."""


def airflow_reading(text: str, table: Table) -> Measured:
    """The reading in the table's unit, which it has where none is typed, as the chart counts the air; a flow hood's
    where no method is named. Raises Refused."""
    name, equals, typed = text.partition("=")
    method = _METHODS.get(" ".join(name.split()).casefold()) if equals else HOOD
    if method is None:
        raise _refused(text, f"`{name.strip()}` is no way to read an airflow", f"known: {', '.join(_METHODS)}")
    airflow = typed_airflow(typed if equals else text, table, "record")
    if airflow <= 0:
        raise _refused(text, "an airflow is more than 0", "leave the cell empty where none was measured")
    return Measured(airflow_cfm=airflow, band_percent=method.band_percent, method=method.name)


def _refused(text: str, message: str, help: str) -> Refused:
    return Refused([problem("record", text, "odd-reading", message, help)])
