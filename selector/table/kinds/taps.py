"""Motor taps: each lead stands on one tap; two leads never share one, but any number may be parked."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from selector.table.kinds.base import POSITIONS, Kind, MarkError, is_unread, read_one, record
from selector.table.kinds.parts import distinct, factory_of, marks_of, positions_of, selector_of
from selector.table.model.table import Part, Selector
from selector.table.text.shapes import Fields, FileReport, Nested, Words

PARKED = "parked"
RECORD = record(
    "taps",
    {
        "positions": POSITIONS,
        "leads": Words("The leads that go on the taps, named as printed.", "Y1 Y2 W G"),
        "may share": Nested(
            Words(), 2, "Leads that the page lets share a tap, perhaps on a condition.", "{W G: {LK3: in}}"
        ),
    },
    ("positions", "leads"),
    "{kind: taps, positions: 1 2 3 4 5, leads: Y1 Y2 W G, factory: 2 4 3 1}",
    without=("gives", "declares", "says", "leave at", "not used"),
)


def build(name: str, fields: Fields, report: FileReport, first: int) -> tuple[Selector, tuple[Part, ...]] | None:
    """One part for each lead, named NAME-LEAD; `parked` is added as the last position."""
    node, leads_node = fields.get("positions"), fields.get("leads")
    taps = positions_of(node, name, report) if node is not None else None
    if taps is None or leads_node is None:
        return None
    taps = (*(t for t in taps if t.casefold() != PARKED), PARKED)
    leads = distinct(leads_node, "lead", report, name)
    if leads is None:
        return None
    marks = marks_of(taps, fields, name, report)
    factory = factory_of(fields, len(leads), marks, name, report, "leads")
    for i, one in enumerate(factory):
        for model, at in one.items():
            if taps[at] != PARKED and any(other.get(model) == at for other in factory[:i]):
                report.at(
                    fields.get("factory"),
                    "two-leads-on-one-tap",
                    f"two leads of {name} can't both be delivered on tap {taps[at]}",
                    "type one tap for each lead, or parked",
                )
                return None
    parts = tuple(
        Part(index=first + i, name=f"{name}-{lead}", selector=name, positions=taps, marks=marks, factory=factory[i])
        for i, lead in enumerate(leads)
    )
    return selector_of("taps", name, fields, parts, exclusive=True), parts


def read_marks(selector: Selector, parts: Sequence[Part], text: str) -> dict[int, int | None]:
    """A tap for each lead in their order (`2 4 3 1`), or `Y1=3 Y2=4` (leads not named can't be read)."""
    words = re.split(r"[\s,;]+", text.strip())
    if is_unread(text):
        return {part.index: None for part in parts}
    if any("=" in w for w in words):
        known: Mapping[str, Part] = MappingProxyType({p.name[len(selector.name) + 1 :].casefold(): p for p in parts})
        out: dict[int, int | None] = {p.index: None for p in parts}
        for word in words:
            lead, _, tap = word.partition("=")
            part = known.get(lead.casefold())
            if part is None:
                raise MarkError(
                    f"{selector.name} has no lead `{lead}`; its leads are"
                    f" {' '.join(p.name[len(selector.name) + 1 :] for p in parts)}"
                )
            out[part.index] = read_one(part, tap)
        return out
    if len(words) != len(parts):
        raise MarkError(
            f"{selector.name} has {len(parts)} leads, but {len(words)} taps are given; type one for each, parked or ?"
            " included"
        )
    return {part.index: read_one(part, word) for part, word in zip(parts, words, strict=True)}


KIND = Kind(name="taps", record=RECORD, build=build, read_marks=read_marks, form="leads")
