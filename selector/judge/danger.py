"""Which broken limits can hurt somebody: a rise or supply air over the plate, a heater under its least airflow."""

from __future__ import annotations

from selector.solve.engine.limit import JudgedLimit
from selector.table.model.roles import by_heater
from selector.table.model.table import Table


def dangerous(table: Table, judged: JudgedLimit) -> bool:
    """True for a broken limit that calls for stopping before every other word."""
    if judged.ok is not False:
        return False
    if judged.limit.of_heat:
        return judged.beyond > 0
    chart = table.charts.get(judged.limit.source)
    return judged.limit.quantity == "airflow" and judged.beyond < 0 and chart is not None and by_heater(table, chart)
