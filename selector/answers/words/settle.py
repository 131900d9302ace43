"""What a measurement says of a mark that couldn't be made out."""

from __future__ import annotations

from selector.answers.words.airflow import airflow_text
from selector.answers.words.figure import percent
from selector.answers.words.listing import listed
from selector.job.readings.settled_marks import MaySet, SettledMark
from selector.solve.board.marks import mark
from selector.table.model.table import Table

MOST_SAID = 4
"""So many positions are told with their airflow."""


def settled_text(one: SettledMark, table: Table) -> str:
    """`SW1-2 is OFF: 1,472 cfm is 1.2 % from the reading, 1,794 cfm is 17.0 %`; two that fit are both named."""
    name = table.parts[one.part].name
    fitting = [mark(table, one.part, p.position) for p in one.fitting]
    offs = ", ".join(_off(p, table, first=n == 0) for n, p in enumerate(_told(one)))
    if not fitting:
        return f"{name}: no position fits the reading ({offs})"
    if len(fitting) == 1:
        return f"{name} is {fitting[0]}: {offs}"
    return f"{name} may be {listed(fitting, 'or')}, they fit alike: {offs}"


def _told(one: SettledMark) -> list[MaySet]:
    """The positions that fit, and the nearest that don't."""
    with_airflow = [p for p in one.positions if p.airflow is not None]
    return with_airflow[: max(MOST_SAID, len(one.fitting))]


def _off(one: MaySet, table: Table, *, first: bool) -> str:
    assert one.airflow is not None
    assert one.off is not None
    return f"{airflow_text(table, one.airflow)} is {percent(one.off)}" + (" from the reading" if first else "")
