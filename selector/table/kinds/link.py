"""A wire link: whole or cut (a cut can't be undone), or terminals that are joined."""

from __future__ import annotations

from selector.table.kinds.base import POSITIONS, Kind, read_single, record
from selector.table.kinds.parts import build_single
from selector.table.model.table import Part, Selector
from selector.table.text.nodes import Scalar
from selector.table.text.shapes import Choice, Fields, FileReport
from selector.value import replace

RECORD = record(
    "link",
    {
        "positions": POSITIONS,
        "cut at set-up": Choice(
            ("yes", "no"), "Whether the page means it to be cut at set-up: a search may propose it.", "yes"
        ),
    },
    (),
    "{kind: link, factory: whole}",
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part; `cut` is final: no move leads back."""
    built = build_single("link", name, fields, report, first, default=("whole", "cut"), final="cut")
    at_set_up = fields.get("cut at set-up")
    if built is None or not isinstance(at_set_up, Scalar) or at_set_up.text != "yes":
        return built
    return built[0], tuple(replace(part, may_cut=True) for part in built[1])


KIND = Kind(name="link", record=RECORD, build=build, read_marks=read_single, form="bridges")
