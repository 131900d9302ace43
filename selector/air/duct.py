"""Ducts: the curve through a measured point, its crossing with a charted one, external static, face velocity.

In ducts that nobody moves a damper in, static follows airflow squared: p = k q^2 (turbulent flow; common practice). Any
one unit of static and
any one of airflow, the same throughout: k carries both.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from selector.air.number import N, positive, square_root
from selector.value import Struct

FILTER_FACE_FPM = 300
"""A common limit of velocity at a filter's face (common practice, no source)."""


def external_static(return_static: N, supply_static: N) -> N:
    """External static: the two readings against the room, return and supply side of the unit, added without their
    signs.

    >>> external_static(Fraction("-0.22"), Fraction("0.31"))
    Fraction(53, 100)
    """
    return abs(return_static) + abs(supply_static)


def duct_k(static: N, airflow: N) -> N:
    """k of the duct curve through a measured point: static / airflow squared.

    >>> duct_k(Fraction("0.5"), Fraction(1000))
    Fraction(1, 2000000)
    """
    positive("static", static)
    positive("airflow", airflow)
    return static / (airflow * airflow)


def static_at(k: N, airflow: N) -> N:
    """Static on the duct curve at an airflow: k x airflow squared.

    >>> static_at(duct_k(Fraction("0.5"), Fraction(1000)), Fraction(1200))
    Fraction(18, 25)
    """
    return k * airflow * airflow


def airflow_at(k: N, static: N) -> N:
    """Airflow on the duct curve at a static: sqrt(static / k). With a plate's static: the most these ducts let through.

    >>> airflow_at(duct_k(Fraction("0.5"), Fraction(1000)), Fraction("0.72"))
    Fraction(1200, 1)
    """
    positive("k", k)
    if static < 0:
        raise ValueError("static is given without a sign")
    return square_root(static / k)


class Crossing(Struct, frozen=True, kw_only=True):
    """Where the duct curve meets a charted curve. `between`: the two charted points of that stretch, each (static,
    airflow), equal at a point."""

    airflow: Fraction
    static: Fraction
    between: tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]


def crossings(points: Sequence[tuple[Fraction, Fraction | None]], k: Fraction) -> tuple[Crossing, ...]:
    """Every crossing of the duct curve with straight lines through (static, airflow) points, by static; none outside
    the points or across a blank.

    Points by rising static, at least one; airflow None is a blank of the chart. On a stretch q = a + b p the crossing
    solves
    b k q^2 - q + a = 0, in closed form: exact where the root is rational, else to 30 digits.

    >>> points = [(Fraction(25), Fraction(305)), (Fraction(75), Fraction(270))]
    >>> [(float(round(c.airflow, 1)), float(round(c.static, 1))) for c in crossings(points, duct_k(Fraction(100),
    ... Fraction(495)))]
    [(297.3, 36.1)]
    """
    positive("k", k)
    if any(after[0] <= before[0] for before, after in pairwise(points)):
        raise ValueError("points must stand by rising static")
    found = [
        Crossing(airflow=airflow, static=static, between=((static, airflow), (static, airflow)))
        for static, airflow in points
        if airflow is not None and airflow >= 0 and k * airflow * airflow == static
    ]
    for (static_1, airflow_1), (static_2, airflow_2) in pairwise(points):
        if airflow_1 is None or airflow_2 is None:
            continue
        slope = (airflow_2 - airflow_1) / (static_2 - static_1)
        for airflow in _roots(airflow_1 - slope * static_1, slope * k):
            static = k * airflow * airflow
            if static_1 < static < static_2:
                found.append(
                    Crossing(airflow=airflow, static=static, between=((static_1, airflow_1), (static_2, airflow_2)))
                )
    return tuple(sorted(found, key=lambda crossing: crossing.static))


def _roots(a: Fraction, c: Fraction) -> tuple[Fraction, ...]:
    """The positive q of c q^2 - q + a = 0, written 2a / (1 +- sqrt(1 - 4ac)): no cancelling where c is small, and c
    = 0 needs no case."""
    under_root = 1 - 4 * a * c
    if under_root < 0:
        return ()
    root = square_root(under_root)
    candidates = [2 * a / (1 + root)]
    if root != 0 and c != 0:
        candidates.append((1 + root) / (2 * c))
    return tuple(q for q in candidates if q > 0)


def crossing(points: Sequence[tuple[Fraction, Fraction | None]], k: Fraction) -> Crossing | None:
    """The one crossing; None where the duct curve meets the charted one outside the printed figures or across a blank:
    never extended.

    ValueError where it meets it more than once (a curve that rises steeply): no guess which.

    >>> crossing([(Fraction(25), Fraction(305)), (Fraction(75), Fraction(270))], Fraction(1)) is None
    True
    """
    found = crossings(points, k)
    if len(found) > 1:
        places = ", ".join(f"{float(one.airflow):g} at {float(one.static):g}" for one in found)
        raise ValueError(f"the duct curve meets this curve more than once: {places}")
    return found[0] if found else None


def face_velocity_fpm(airflow_cfm: N, area_ft2: N) -> N:
    """Velocity at a face, ft/min: airflow / gross area (free area where the limit is one for free area).

    >>> face_velocity_fpm(Fraction(1000), Fraction(4))
    Fraction(250, 1)
    """
    positive("area", area_ft2, "ft2")
    return airflow_cfm / area_ft2


def airflow_at_face_cfm(area_ft2: N, velocity_fpm: N) -> N:
    """The airflow, cfm, that a face lets through at a velocity: area x velocity. A ceiling for a filter, grille, coil
    or duct.

    >>> airflow_at_face_cfm(Fraction(4), Fraction(FILTER_FACE_FPM))
    Fraction(1200, 1)
    """
    positive("area", area_ft2, "ft2")
    positive("velocity", velocity_fpm, "fpm")
    return area_ft2 * velocity_fpm
