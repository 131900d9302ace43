"""What burns in a unit, which its cautions go by."""

from __future__ import annotations

from selector.table.model.table import Table


def burns(table: Table) -> bool:
    """True where the table speaks of a burner: an input, an efficiency or a nozzle."""
    given = (
        {g for chart in table.charts.values() for g in chart.gives}
        | {s.gives for s in table.selectors.values()}
        | set(table.ratings)
    )
    return bool(given & {"heat input", "nozzle rate", "efficiency", "heat per gallon"})
