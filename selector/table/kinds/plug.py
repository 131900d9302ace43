"""A keyed plug that fits one of several sockets."""

from __future__ import annotations

from selector.table.kinds.base import POSITIONS_BY_MODEL, Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport

RECORD = record("plug", {"positions": POSITIONS_BY_MODEL}, ("positions",), "{kind: plug, positions: A B C, factory: A}")


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part."""
    return build_single("plug", name, fields, report, first, absent="unplugged")


KIND = Kind(name="plug", record=RECORD, build=build, read_marks=read_single, form="sockets")
