"""The external static of a reading, where the plate's figure counts: typed as one figure, from return and supply side,
or from the ports of a pressure profile. The one place for it.

A furnace's plate counts from after the filter to before an added coil; an air handler as its chart counts filter and
coil: a coil on the return side is taken to be inside, the filter outside, unless the reading says `inside`. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable

from selector.air import arithmetic_duct
from selector.air.figure import Figure, given, renamed
from selector.job.file.model import Amount, Reading
from selector.job.remark import Remark, remark
from selector.table.model.roles import has_burner, roles
from selector.table.model.table import Table
from selector.value import Struct

TOTAL, RETURN_SIDE, SUPPLY_SIDE = "static pressure", "return static", "supply static"
PORTS = ("return grille", "before filter", "after filter", "before coil", "after coil")
"""The ports of a profile in the order of the air; `supply static` is the last of them."""


class UnitParts(Struct, frozen=True, kw_only=True):
    """What decides where the plate counts: a burner (then an added coil is outside), and whether the unit cools."""

    burner: bool = False
    cools: bool = False


class ExternalStatic(Struct, frozen=True, kw_only=True):
    """`figure` in in. w.c.; None where a profile was read but not where the plate counts, and `why`. `where`: the ports
    of a profile it was taken between; `assumed`: what was taken to be inside the unit without being typed."""

    figure: Figure | None
    where: str = ""
    why: Remark | None = None
    assumed: Remark | None = None


def is_profile(reading: Reading) -> bool:
    """True where ports were read one by one."""
    return any(port in reading.values for port in PORTS)


def coil_before_blower(reading: Reading) -> bool:
    """True where the coil's ports are on the return side: below the room's pressure."""
    return any(reading.values[p].value < 0 for p in ("before coil", "after coil") if p in reading.values)


def unit_parts(table: Table) -> UnitParts:
    """The parts of a table's unit."""
    return UnitParts(burner=has_burner(table), cools="cooling" in roles(table).values())


def inside_of(reading: Reading, unit: UnitParts) -> tuple[frozenset[str], Remark | None]:
    """What the plate counts as inside the unit (filter, coil), and what of it was assumed."""
    word = reading.words.get("inside")
    if word is not None:
        return frozenset(part for part in ("filter", "coil") if part in word.text.casefold()), None
    if unit.burner:
        return frozenset(), None
    return frozenset({"coil"}), remark("coil inside, filter outside")


Leaf = Callable[[str, Amount], Figure]
"""Makes a figure of what was typed, by its name."""


def external_static(reading: Reading, unit: UnitParts, leaf: Leaf | None = None) -> ExternalStatic | None:
    """The external static of a reading; None where it has none. `leaf` makes its figures (none: plain ones)."""
    values = reading.values
    leaf = leaf or _plain
    total, low, high = (values.get(name) for name in (TOTAL, RETURN_SIDE, SUPPLY_SIDE))
    if total is not None:
        return ExternalStatic(figure=renamed(leaf(TOTAL, total), "external_static"))
    if is_profile(reading):
        return _by_ports(reading, unit, leaf)
    if low is None or high is None:
        return None
    return ExternalStatic(figure=arithmetic_duct.external_static(leaf(RETURN_SIDE, low), leaf(SUPPLY_SIDE, high)))


def _plain(name: str, amount: Amount) -> Figure:
    return given(name.replace(" ", "_"), amount.value, amount.unit)


def _by_ports(reading: Reading, unit: UnitParts, leaf: Leaf) -> ExternalStatic:
    inside, assumed = inside_of(reading, unit)
    inlet = "before filter" if "filter" in inside else "after filter"
    outlet = _outlet(reading, unit, inside)
    missing = [port for port in (inlet, outlet) if port not in reading.values]
    if missing:
        why = remark("ports missing", inlet=inlet, outlet=outlet, missing=tuple(missing))
        return ExternalStatic(figure=None, why=why)
    low, high = reading.values[inlet], reading.values[outlet]
    if high.value < 0:
        return ExternalStatic(figure=None, why=remark("supply side missing", missing=SUPPLY_SIDE))
    figure = arithmetic_duct.external_static(leaf(inlet, low), leaf(outlet, high))
    return ExternalStatic(figure=figure, where=f"{inlet} to {outlet}", assumed=assumed)


def _outlet(reading: Reading, unit: UnitParts, inside: frozenset[str]) -> str:
    """The port on the supply side that the plate counts from."""
    if coil_before_blower(reading):
        return SUPPLY_SIDE
    if "coil" in inside:
        return SUPPLY_SIDE if SUPPLY_SIDE in reading.values or "after coil" not in reading.values else "after coil"
    coil = "before coil" in reading.values or "after coil" in reading.values
    return "before coil" if coil or unit.cools else SUPPLY_SIDE
