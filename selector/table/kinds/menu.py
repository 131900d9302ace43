"""An entry of a menu at the thermostat: words, or figures in even steps."""

from __future__ import annotations

from selector.table.kinds.base import Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport, Nested, Words

RECORD = record(
    "menu",
    {"positions": Nested(Words(), 1, "The entries, in order; by model where they differ.", "300 to 450 step 5")},
    ("positions",),
    "{kind: menu, positions: 300 to 450 step 5, gives: airflow per ton, factory: 400}",
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part."""
    return build_single("menu", name, fields, report, first)


KIND = Kind(name="menu", record=RECORD, build=build, read_marks=read_single, form="list")
