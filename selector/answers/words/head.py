"""The line that an answer on a unit begins with."""

from __future__ import annotations

from collections.abc import Sequence

from selector.table.model.table import Table


def head(table: Table, model: str | None) -> str:
    """`Corvane two-stage gas furnace, model 080 (manual K-14, pages 23-24)`."""
    unit = table.unit
    text = unit.named + (f", model {model}" if model else "")
    several = "-" in unit.pages or " " in unit.pages
    source = [
        f"manual {unit.manual}" if unit.manual else "",
        f"page{'s' if several else ''} {unit.pages}" if unit.pages else "",
    ]
    given = ", ".join(part for part in source if part)
    return f"{text} ({given})" if given else text


def pages_text(pages: Sequence[str]) -> str:
    """`manual, page 23`, `manual, pages 23, 24`; empty for none."""
    return f"manual, page{'s' if len(pages) > 1 else ''} {', '.join(pages)}" if pages else ""
