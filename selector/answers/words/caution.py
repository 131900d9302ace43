"""The usual cautions, once, where a hand is about to move. Common practice, no source, but where one is named.

Local code, the maker's instructions and licensed practice come first.
"""

from __future__ import annotations

from selector.answers.words.fold import Block, Paragraph
from selector.table.model.roles import has_burner
from selector.table.model.table import Table
from selector.value import Struct

HEADING = "Before you touch the board"
POWER = (
    "Power off at the disconnect, lock and tag, check it is dead.",
    "The motor stores charge: never unplug it live, wait as the manual says (commonly 5 minutes).",
    "Touch bare metal first.",
)
"""After 29 CFR 1910.147(d) and 1910.333(b): isolate, lock or tag, make stored energy safe."""
SECOND_SUPPLY = "Electric heat often has a second supply: open every disconnect."
TAPS = (
    "Line-voltage leads not in use are live while the motor runs: cap each one.",
    "Two taps energized together burn the winding. 24 V taps take 24 V only.",
)
LOW_VOLTAGE_TAPS = ("The taps take 24 V only, one lead a tap: park each one that isn't used.",)
"""Of a constant-torque motor (common practice, no source)."""
MAY_SHARE = "Leads share a tap only where the manual lets them: first set what it asks for."
CUT = "A cut link can't be made whole again."
CYCLE = "Then cycle the power: the board reads its selectors only at power-up."
MAY_CYCLE = "Then cycle the power: the board may read its selectors only at power-up."
PLATE = "Stay inside the plate's rise and static."
COMBUSTION = (
    "After a change of heating airflow: check combustion and flue CO, draft and spillage.",
    "Doors as in use, then worst case (exhaust fans and dryer on).",
)
CHARGE = "Recheck the charge after a change of cooling or heat-pump airflow."
PANELS = "Measure with panels on, door switch not tied down."
SCOPE = "Airflow setting only: local code, the maker and licensed practice come first."


class Cautions(Struct, frozen=True, kw_only=True):
    """`before` a hand goes to the board, `then` when it is set, `scope` last of all."""

    before: tuple[str, ...]
    then: tuple[str, ...]
    scope: str = SCOPE

    @property
    def lines(self) -> tuple[str, ...]:
        """Every sentence, in order."""
        return (*self.before, *self.then, self.scope)

    def before_lines(self) -> list[str]:
        """Heading and one paragraph under it."""
        return [HEADING, f"  {' '.join(self.before)}"]

    def then_lines(self) -> list[str]:
        """A sentence a line."""
        return list(self.then)

    def before_blocks(self) -> list[Block]:
        """Heading and one paragraph under it, to be folded."""
        return [HEADING, Paragraph(text=" ".join(self.before), indent=2)]

    def then_blocks(self) -> list[Block]:
        """What follows setting the board, in one paragraph, to be folded."""
        return [Paragraph(text=" ".join(self.then))]


def cautions_for(table: Table, *, heat: bool, cooling: bool, cut: bool = False) -> Cautions:
    """The cautions for setting this board, for moves that change heating, cooling or both, or cut a link."""
    electric = any(
        "heater power" in (s.gives, *chart.gives) for s in table.selectors.values() for chart in table.charts.values()
    )
    before = [*POWER]
    if electric:
        before.insert(1, SECOND_SUPPLY)
    if any(s.exclusive for s in table.selectors.values()):
        before += LOW_VOLTAGE_TAPS if table.unit.motor == "constant torque" else TAPS
    if any(s.may_share for s in table.selectors.values()):
        before.append(MAY_SHARE)
    if cut:
        before.append(CUT)
    then = [] if table.unit.reads == "always" else [CYCLE if table.unit.reads else MAY_CYCLE]
    if heat:
        then += [PLATE, *COMBUSTION] if has_burner(table) else [PLATE]
    if cooling:
        then.append(CHARGE)
    return Cautions(before=tuple(before), then=(*then, PANELS))
