"""Which marking of plate or board would tell the charts apart that a board may belong to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.job.identify.identify import ChartCandidate
from selector.units import format_number
from selector.value import Struct

NOT_PRINTED = "not known"


class Marking(Struct, frozen=True, kw_only=True):
    """One thing to read on the unit: what it would say for each candidate (by name). `decides` where no two say the
    same."""

    what: str
    says: Mapping[str, str]

    @property
    def groups(self) -> int:
        """How many it tells apart."""
        return len(set(self.says.values()))

    @property
    def decides(self) -> bool:
        """True where it leaves one candidate alone, whatever it says."""
        return self.groups == len(self.says) and NOT_PRINTED not in self.says.values()


def deciding(found: Sequence[ChartCandidate]) -> tuple[Marking, ...]:
    """The markings that tell at least two candidates apart, the one that tells most apart first; empty with fewer
    than two candidates."""
    if len(found) < 2:
        return ()
    makers = {
        "maker on the rating plate": {c.name: c.table.unit.maker or NOT_PRINTED for c in found},
        "model on the rating plate": {c.name: c.model or NOT_PRINTED for c in found},
        "heat input on the rating plate": {c.name: _rated(c, "heat input", c.table.units.heat) for c in found},
        "temperature rise on the rating plate": {
            c.name: _rated(c, "temperature rise", c.table.units.temperature) for c in found
        },
    }
    for word in dict.fromkeys(word for c in found for word in c.table.unit.applies_to):
        makers[f"{word} on the board"] = {c.name: c.table.unit.applies_to.get(word, NOT_PRINTED) for c in found}
    makers["selectors on the board"] = {c.name: _selectors(c) for c in found}
    out = [Marking(what=what, says=says) for what, says in makers.items()]
    useful = [one for one in out if one.groups > 1]
    return tuple(sorted(useful, key=lambda one: (not one.decides, -one.groups)))


def _rated(c: ChartCandidate, name: str, unit: str) -> str:
    """What the plate says, by stage where stages differ."""
    rating = c.table.ratings.get(name)
    if rating is None:
        return NOT_PRINTED
    factor = c.table.heat_factor if name == "heat input" else Fraction(1)
    found = {stage: value for (model, stage), value in rating.values.items() if model in ("", c.model)}
    said = []
    for stage, value in found.items():
        number = (
            f"{format_number(value[0], 0)} to {format_number(value[1], 0)}"
            if isinstance(value, tuple)
            else format_number(value / factor, 0)
        )
        said.append(f"{stage} {number} {unit}".strip())
    return ", ".join(said) or NOT_PRINTED


def _selectors(c: ChartCandidate) -> str:
    """`SW1 of 8 switches, J2 jumper`."""
    return ", ".join(
        f"{s.name} of {len(s.parts)} switches" if s.kind == "switches" else f"{s.name} {s.kind}"
        for s in c.table.selectors.values()
    )
