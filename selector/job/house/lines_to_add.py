"""The lines that a message shows to be added to a job, for the board and the calls of its own table."""

from __future__ import annotations

from selector.job.file.example import to_add
from selector.solve.board.marks import mark
from selector.table.model.roles import roles
from selector.table.model.table import Selector, Setting, Table


def marks_to_add(key: str, table: Table, model: str | None) -> str:
    """The help where marks are missing: every selector as delivered (`unread` where that isn't known) under `as
    found:` or `as left:`."""
    delivered = table.delivered(model)
    lines = (f"{key}:", *(f"  {s.name}: {_marks(s, table, delivered)}" for s in table.selectors.values()))
    return (
        to_add(lines)
        + "\n(these are the marks as delivered: type those you see, `?` for one of several that can't be read, `unread`"
        " for none of them)"
    )


def _marks(selector: Selector, table: Table, setting: Setting) -> str:
    parts = [table.parts[i] for i in selector.parts]
    if any(setting[part.index] is None for part in parts):
        return "unread"
    said = [mark(table, part.index, setting[part.index]) for part in parts]
    if selector.kind == "taps":
        return " ".join(f"{part.name.rpartition('-')[2]}={text}" for part, text in zip(parts, said, strict=True))
    return " ".join(said)


def measurement_to_add(table: Table) -> str:
    """The help where measurements are missing: a rise in the last stage of what heats, else a flow in the last stage
    of cooling."""
    of = roles(table)
    heats = [call for name, call in table.calls.items() if of[name] == "heat"]
    call = (heats or list(table.calls.values()))[0]
    title = f"{call.name} {call.last}".strip()
    read = (
        ("    method: rise", "    return air: 68 F", "    supply air: 120 F")
        if heats
        else ("    method: hood", f"    airflow: {_flow(table)}")
    )
    return to_add(("measurements:", f"  - call: {title}", "    minutes: 12", *read))


def _flow(table: Table) -> str:
    return {"L/s": "540 L/s", "m3/h": "1950 m3/h"}.get(table.units.airflow, "1150 cfm")
