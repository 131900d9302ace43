"""A jumper cap on marked pins; off its pins where a row says so."""

from __future__ import annotations

from selector.table.kinds.base import POSITIONS_BY_MODEL, Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport

RECORD = record(
    "jumper", {"positions": POSITIONS_BY_MODEL}, ("positions",), "{kind: jumper, positions: A B C D, factory: A}"
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part."""
    return build_single("jumper", name, fields, report, first, absent="off pins")


KIND = Kind(name="jumper", record=RECORD, build=build, read_marks=read_single, form="pins")
