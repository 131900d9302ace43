"""A rotary dial with marks."""

from __future__ import annotations

from selector.table.kinds.base import POSITIONS_BY_MODEL, Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport

RECORD = record(
    "dial", {"positions": POSITIONS_BY_MODEL}, ("positions",), "{kind: dial, positions: 0 1 2 3 4 5 6 7, factory: 0}"
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part."""
    return build_single("dial", name, fields, report, first)


KIND = Kind(name="dial", record=RECORD, build=build, read_marks=read_single, form="ring")
