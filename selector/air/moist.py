"""Moist air by its own properties (psychrolib: ASHRAE Fundamentals 2017 ch. 1). The only module that uses psychrolib,
and only when called.

psychrolib keeps its unit system in a global. A copy of our own is loaded here and set to inch-pound once, so that
nobody else's copy is
touched and nobody else's choice of units changes an answer. Dry bulb 0 to 200 F, pressure 5 to 16 psia, relative
humidity 0 to 100 %,
else ValueError.
"""

from __future__ import annotations

from functools import cache
from typing import Any


@cache
def _library() -> Any:
    """A private copy of psychrolib, in inch-pound units."""
    import importlib.util

    spec = importlib.util.find_spec("psychrolib")
    if spec is None or spec.loader is None:
        raise ModuleNotFoundError("psychrolib is not installed", name="psychrolib")
    library = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(library)
    library.SetUnitSystem(library.IP)
    return library


def _check(dry_bulb_f: float, pressure_psia: float) -> None:
    """Refuses air that is no air of a house."""
    if not 0 <= dry_bulb_f <= 200:
        raise ValueError(f"dry bulb {dry_bulb_f:g} F is outside 0 to 200 F")
    if not 5 <= pressure_psia <= 16:
        raise ValueError(f"pressure {pressure_psia:g} psia is outside 5 to 16 psia")


def humidity_ratio_from_relative_humidity(
    dry_bulb_f: float, relative_humidity_percent: float, pressure_psia: float
) -> float:
    """lb of vapour a lb of dry air.

    >>> round(humidity_ratio_from_relative_humidity(80, 50, 14.696), 4)
    0.0109
    """
    _check(dry_bulb_f, pressure_psia)
    if not 0 <= relative_humidity_percent <= 100:
        raise ValueError(f"relative humidity {relative_humidity_percent:g} % is outside 0 to 100 %")
    return float(_library().GetHumRatioFromRelHum(dry_bulb_f, relative_humidity_percent / 100, pressure_psia))


def humidity_ratio_from_wet_bulb(dry_bulb_f: float, wet_bulb_f: float, pressure_psia: float) -> float:
    """lb of vapour a lb of dry air. A wet bulb above the dry bulb, or too low for any air (under the wet bulb of dry
    air), is a ValueError.

    >>> round(humidity_ratio_from_wet_bulb(100, 65, 14.696), 4)
    0.0052
    """
    _check(dry_bulb_f, pressure_psia)
    if not wet_bulb_f <= dry_bulb_f:
        raise ValueError(f"wet bulb {wet_bulb_f:g} F is above the dry bulb {dry_bulb_f:g} F: swapped?")
    lowest_f = float(_library().GetTWetBulbFromRelHum(dry_bulb_f, 0.0, pressure_psia))
    if wet_bulb_f < lowest_f - 0.05:
        raise ValueError(
            f"wet bulb {wet_bulb_f:g} F is lower than dry air at {dry_bulb_f:g} F can give ({lowest_f:.1f} F)"
        )
    return float(_library().GetHumRatioFromTWetBulb(dry_bulb_f, wet_bulb_f, pressure_psia))


def wet_bulb_f(dry_bulb_f: float, humidity_ratio: float, pressure_psia: float) -> float:
    """Wet bulb, F, of air with so much moisture.

    >>> round(wet_bulb_f(80, 0.0112, 14.696))
    67
    """
    _check(dry_bulb_f, pressure_psia)
    return float(_library().GetTWetBulbFromHumRatio(dry_bulb_f, humidity_ratio, pressure_psia))


def enthalpy_btulb(dry_bulb_f: float, humidity_ratio: float) -> float:
    """Btu a lb of dry air: 0.240 t + W (1061 + 0.444 t).

    >>> round(enthalpy_btulb(80, 0.0112), 2)
    31.48
    """
    return float(_library().GetMoistAirEnthalpy(dry_bulb_f, humidity_ratio))
