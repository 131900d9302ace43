"""A figure that is about to be read: it carries its kind and its unit, and becomes text last, here.

Worked-out figures are rounded half away from zero: airflow, temperature, heat and time whole, a rise, a split and a
percent to 0.1, inches of water to 0.01. Figures that were typed or printed keep their digits.
"""

from __future__ import annotations

from fractions import Fraction

from selector.table.model.table import Units
from selector.units import Kind, format_number, plain
from selector.value import Struct, field

_PLACES: dict[tuple[Kind, str], int] = {
    ("airflow", "m3/s"): 3,
    ("airflow per ton", "L/s/kW"): 1,
    ("airflow per ton", "m3/s/ton"): 3,
    ("pressure", "in. w.c."): 2,
    ("pressure", "mm w.c."): 1,
    ("heat rate", "MBH"): 1,
    ("heat rate", "kW"): 1,
    ("heat rate", "ton"): 2,
    ("heat rate", "tons"): 2,
    ("temperature difference", "F"): 1,
    ("temperature difference", "C"): 1,
    ("temperature difference", "K"): 1,
    ("share", "%"): 1,
}
"""Decimals of worked-out figures; none where a kind and unit aren't listed."""
_MOST_PLACES = 6


class ShownFigure(Struct, frozen=True, kw_only=True):
    """A figure in `unit`. `kind` tells a temperature from a difference of two, air from liquid.

    `printed` is True for a figure that was typed or stands on a page: it keeps its digits.
    """

    value: Fraction
    kind: Kind
    unit: str
    printed: bool = False


class UnitNames(Struct, frozen=True, kw_only=True):
    """Makes amounts in a table's own units."""

    units: Units = field(default_factory=Units)

    def unit_of(self, kind: Kind) -> str:
        """The unit that figures of a kind are in here."""
        own: dict[Kind, str] = {
            "airflow": self.units.airflow,
            "pressure": self.units.pressure,
            "temperature": self.units.temperature,
            "temperature difference": self.units.temperature,
            "airflow per ton": f"{self.units.airflow}/ton",
            "share": "%",
            "time": "s",
            "heat rate": "Btu/h",
        }
        return own[kind]

    def worked(self, value: Fraction, kind: Kind) -> ShownFigure:
        """A figure that was worked out."""
        return ShownFigure(value=value, kind=kind, unit=self.unit_of(kind))

    def printed(self, value: Fraction, kind: Kind) -> ShownFigure:
        """A figure as it was typed or printed."""
        return ShownFigure(value=value, kind=kind, unit=self.unit_of(kind), printed=not self.units.converted)


def places_of(amount: ShownFigure) -> int:
    """Decimals a worked-out figure is shown with."""
    return _PLACES.get((amount.kind, amount.unit), 0)


def number_of(amount: ShownFigure, places: int | None = None) -> str:
    """The figure without its unit: `1,198`, `67.8`, `0.55`.

    >>> number_of(ShownFigure(value=Fraction(11978, 10), kind="airflow", unit="cfm"))
    '1,198'
    >>> number_of(ShownFigure(value=Fraction(4, 5), kind="pressure", unit="in. w.c.", printed=True))
    '0.8'
    """
    if places is not None:
        return format_number(amount.value, places)
    if amount.printed:
        return as_printed(amount.value)
    return format_number(amount.value, places_of(amount))


def as_printed(value: Fraction) -> str:
    """A typed or printed figure with all its digits (6 decimals at most), thousands apart."""
    _, dot, decimals = plain(value).partition(".")
    return format_number(value, len(decimals) if dot else 0)


def text_of(amount: ShownFigure, places: int | None = None) -> str:
    """The figure with its unit: `1,198 cfm`, `67.8 F`, `0.55 in. w.c.`, `4.1 %`."""
    return f"{number_of(amount, places)} {amount.unit}".rstrip()


def range_text(low: ShownFigure | None, high: ShownFigure | None) -> str:
    """`900 to 1,248 cfm`, `minimum 900 cfm`, `maximum 1,248 cfm`, `any`."""
    if low is not None and high is not None:
        return f"{number_of(low)} to {text_of(high)}"
    if low is not None:
        return f"minimum {text_of(low)}"
    return f"maximum {text_of(high)}" if high is not None else "any"


def allowed_text(low: ShownFigure | None, high: ShownFigure | None) -> str:
    """`allowed 900 to 1,248 cfm`, `minimum 900 cfm`, `maximum 1,248 cfm`."""
    both = low is not None and high is not None
    return f"allowed {range_text(low, high)}" if both else range_text(low, high)


def apart(value: ShownFigure, end: ShownFigure) -> tuple[str, str]:
    """(figure with unit, how far it is from an end with unit), with as many decimals as it takes to see the two apart.

    >>> unit = UnitNames()
    >>> plate = unit.printed(Fraction(65), "temperature difference")
    >>> apart(unit.worked(Fraction("67.8"), "temperature difference"), plate)
    ('67.8 F', '2.8 F')
    >>> apart(unit.worked(Fraction("65.04"), "temperature difference"), plate)
    ('65.04 F', '0.04 F')
    """
    distance = ShownFigure(value=abs(value.value - end.value), kind=_difference(value.kind), unit=value.unit)
    least = len(plain(value.value).partition(".")[2]) if value.printed else places_of(value)
    for places in range(least, _MOST_PLACES + 1):
        shown = format_number(value.value, places)
        if Fraction(shown.replace(",", "")) != end.value and Fraction(number_of(distance, places).replace(",", "")):
            return text_of(value, places), text_of(distance, places)
    return text_of(value, _MOST_PLACES), text_of(distance, _MOST_PLACES)


def _difference(kind: Kind) -> Kind:
    return "temperature difference" if kind == "temperature" else kind


def percent(share: Fraction, places: int = 1) -> str:
    """A share as percent: `2.5 %`; one that rounds to nothing but isn't nothing is `under 0.1 %`."""
    text = figure(share * 100, places)
    return "under 0.1 %" if share and text == "0" else f"{text} %"


def figure(value: Fraction, places: int = 1) -> str:
    """A figure with thousands commas, rounded half away from zero; no needless .0."""
    text = format_number(value, places)
    return text[:-2] if places == 1 and text.endswith(".0") else text


def number(value: Fraction | None) -> float | None:
    """A figure for JSON."""
    return None if value is None else float(value)
