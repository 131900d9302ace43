"""One figure as a person types it, on the line or in a file: read into the unit it is held in, and refused where it
has no unit, a wrong one, or can't be true."""

from __future__ import annotations

from fractions import Fraction

from selector.units import (
    CANONICAL,
    DIFFERENCES,
    UNITS,
    Kind,
    Mistyped,
    TypedFigure,
    UnitOfMeasure,
    convert,
    difference_unit,
    format_number,
    parse_quantity,
    plain,
    unit_named,
    value_of,
)
from selector.value import Struct


class Measure(Struct, frozen=True, kw_only=True):
    """What a figure is. `kinds`: quantities it takes, empty for a plain number; `unit`: the unit it is held in (empty:
    the canonical one of its first kind); `bare`: the unit of a figure typed without one (empty: refused); `least`,
    `most`: ends, in the unit it is held in, beyond which it can't be true (common practice, no source)."""

    key: str
    example: str
    kinds: tuple[Kind, ...] = ()
    unit: str = ""
    bare: str = ""
    least: Fraction | None = None
    most: Fraction | None = None


class ReadFigure(Struct, frozen=True, kw_only=True):
    """A figure in the unit it is held in; `number` is the number as typed, in `typed`; `bare`: no unit was typed."""

    value: Fraction
    unit: UnitOfMeasure
    number: Fraction
    typed: UnitOfMeasure
    bare: bool = False


def _measure(
    key: str, kind: Kind, example: str, least: float | str, most: float | str, *, unit: str = "", bare: str = ""
) -> Measure:
    ends = {"least": Fraction(str(least)), "most": Fraction(str(most))}
    return Measure(key=key, example=example, kinds=(kind,), unit=unit, bare=bare, **ends)


ALTITUDE = _measure("altitude", "length", "5,000 ft", -1_500, 17_000, unit="ft", bare="ft")
"""Height above the sea, in feet: asked for where a page counts in it."""
MEASURES: dict[str, Measure] = {
    m.key: m
    for m in (
        _measure("static pressure", "pressure", "0.5 in. w.c.", 0, "2.5"),
        _measure("firing rate", "share", "100 %", 10, 100, bare="%"),
        _measure("outdoor tons", "heat rate", "3 tons", "0.5", 25, unit="ton", bare="ton"),
        _measure("supply voltage", "voltage", "235 V", 90, 600, bare="V"),
        _measure("pump pressure", "oil pressure", "140 psi", 60, 400, bare="psi"),
        _measure("nozzle rate", "liquid flow", "0.85 gph", "0.2", 6, bare="gph"),
        _measure("heat per gallon", "heat per volume", "140,000 Btu/gal", 80_000, 160_000, unit="Btu/gal"),
        _measure("heater power", "heat rate", "10 kW", "0.3", 120, unit="kW", bare="kW"),
        _measure("heat input", "heat rate", "80 MBH", 5_000, 500_000),
        _measure("heat output", "heat rate", "76 MBH", 3_000, 500_000),
        _measure("efficiency", "share", "95 %", 50, 110, bare="%"),
    )
}
"""What is typed as a fact on the line; a job's file asks some of these by other names."""

RETURN_AIR = _measure("return air", "temperature", "70 F", 30, 130)
"""Asked for where the plate limits the supply air."""


def held_unit(measure: Measure, kind: Kind) -> UnitOfMeasure:
    """The unit a measure's figures of a kind are held in."""
    if kind == "temperature difference":
        return DIFFERENCES["F"]
    if measure.unit and kind == measure.kinds[0]:
        return unit_named(measure.unit)
    return CANONICAL[kind]


def figure_in(quantity: TypedFigure, measure: Measure, beside: UnitOfMeasure | None = None) -> ReadFigure:
    """The quantity in the measure's unit; `beside` is the unit typed at the other end of a range. Raises Mistyped."""
    unit = quantity.unit or beside
    bare = unit is None
    if unit is None and measure.bare:
        unit = unit_named(measure.bare)
    if unit is None:
        every = _usual(measure)
        known = [one for one in every if _believable(quantity.value, one, measure)] or every
        usual = [one for one in known if one.name in USUAL or one is every[0]]
        known = usual or known
        raise Mistyped(
            f"{quantity.text.strip()!r} has no unit",
            " or ".join(f"{plain(quantity.value)} {one.name}" for one in known[:2]),
            bare=True,
        )
    if unit.kind == "temperature" and "temperature difference" in measure.kinds:
        unit = difference_unit(unit)
    if unit.kind not in measure.kinds:
        value_of(TypedFigure(value=quantity.value, unit=unit, text=quantity.text), measure.kinds[0])
        raise Mistyped(f"{quantity.text!r} is not a {measure.kinds[0]}")
    held = held_unit(measure, unit.kind)
    value = convert(quantity.value, unit, held)
    if measure.key == "efficiency" and bare and Fraction(1, 2) <= quantity.value <= Fraction(11, 10):
        value = quantity.value * 100
    return ReadFigure(value=value, unit=held, number=quantity.value, typed=unit, bare=bare)


USUAL = ("F", "C", "in. w.c.", "Pa", "cfm", "L/s", "ft", "m", "MBH")
"""Units offered before others for a figure that has none."""


def _usual(measure: Measure) -> list[UnitOfMeasure]:
    """Every unit a measure takes: that of its example first, then the usual ones of both systems."""
    try:
        example = parse_quantity(measure.example).unit
    except Mistyped:
        example = None
    first = "" if example is None else example.name
    order = {name: place for place, name in enumerate((first, *(one for one in USUAL if one != first)))}
    return sorted(units_of(measure), key=lambda one: order.get(one.name, len(order)))


def _believable(number: Fraction, unit: UnitOfMeasure, measure: Measure) -> bool:
    return _inside(convert(number, unit, held_unit(measure, unit.kind)), measure)


def _inside(value: Fraction, measure: Measure) -> bool:
    return measure.least is None or measure.most is None or measure.least <= value <= measure.most


def units_of(measure: Measure) -> list[UnitOfMeasure]:
    """Every unit a measure takes, the usual first."""
    found = dict.fromkeys(
        unit
        for kind in measure.kinds
        for unit in (DIFFERENCES.values() if kind == "temperature difference" else UNITS.values())
        if unit.kind == kind
    )
    return list(found)


def doubtful(found: ReadFigure, measure: Measure, text: str) -> tuple[str, str] | None:
    """Why a figure can't be true and what was likely meant, None for one that can."""
    if _inside(found.value, measure) or measure.least is None or measure.most is None:
        return None
    typed = " ".join(text.split())
    if measure.key == "efficiency":
        number = found.number
        return (
            f"`{typed}` can't be an efficiency: type 50 to {plain(measure.most)} %, or 0.5 to 1.1 without a unit",
            f"{plain(number * 100)} %"
            if not found.bare and Fraction(1, 2) <= number <= 1
            else f"{plain(number * 10)} %"
            if 5 <= number < 10
            else measure.example,
        )
    places = found.unit.places
    shown = _shown(found.value, found.unit, max(places, 3) if abs(found.value) < 10 else places)
    other = found.number > 0 and spelled(typed) != spelled(shown)
    said = f"`{typed}`" + (f" is {shown}, which" if other else "")
    ends = f"{_commas(measure.least, places)} to {_shown(measure.most, found.unit, places)}"
    return f"{said} can't be the {measure.key}: {ends} is what is found in houses", _likely(found, measure)


def remedy_of(measure: Measure, instead: str) -> str:
    """What to do about a figure that can't be true."""
    return f"for example {instead}" if instead == measure.example else f"did you mean {instead}?"


def _commas(value: Fraction, places: int = 6) -> str:
    """A figure as people read it, with commas and no needless decimals."""
    text = format_number(value, places)
    return text.rstrip("0").rstrip(".") if places else text


def _shown(value: Fraction, unit: UnitOfMeasure, places: int) -> str:
    name = "tons" if unit.name == "ton" and value != 1 else unit.name
    return f"{_commas(value, places)} {name}"


def spelled(text: str) -> str:
    """A figure with its unit as it is compared."""
    return text.replace(" ", "").replace(",", "").casefold()


def _likely(found: ReadFigure, measure: Measure) -> str:
    """The figure that was likely meant, else an example."""
    if found.number < 0 and _inside(-found.value, measure):
        return _shown(-found.number, found.typed, 6)
    if measure.kinds[:1] == ("pressure",) and _inside(found.value / 10, measure):
        return f"{plain(found.value / 10)} {found.unit.name}"
    if found.number > 0:
        for unit in units_of(measure):
            if _believable(found.number, unit, measure):
                return f"{plain(found.number)} {unit.name}"
    return measure.example
