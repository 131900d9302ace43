"""A wire link: whole or cut (a cut can't be undone), or terminals that are joined."""

from __future__ import annotations

from selector.table.kinds.base import POSITIONS, Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport

RECORD = record("link", {"positions": POSITIONS}, (), "{kind: link, factory: whole}")


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part; `cut` is final: no move leads back."""
    return build_single("link", name, fields, report, first, default=("whole", "cut"), final="cut")


KIND = Kind(name="link", record=RECORD, build=build, read_marks=read_single, form="bridges")
