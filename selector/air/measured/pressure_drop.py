"""The drop of one part of the air's way at another airflow: ducts, fittings and coils by the square, a filter's medium
between straight and square, or by its own chart.

A medium of twice the face, so at half the velocity, keeps between a quarter and a half of its drop (common practice, no
source): its drop goes with the airflow to a power between one and two.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from selector.air.number import N, positive

Point = tuple[Fraction, Fraction]
"""Airflow (cfm) and drop (in. w.c.) as a maker prints them."""


def by_square(drop: N, airflow: N, then: N) -> N:
    """Drop of a duct, fitting or coil at another airflow: drop x (then / airflow)^2.

    >>> by_square(Fraction("0.25"), Fraction(1000), Fraction(1200))
    Fraction(9, 25)
    """
    positive("airflow", airflow, "cfm")
    return drop * then * then / (airflow * airflow)


def by_chart(points: Sequence[Point], airflow: Fraction) -> Fraction | None:
    """A printed drop at an airflow, straight lines between; None beyond the printed figures.

    >>> by_chart(((Fraction(800), Fraction("0.10")), (Fraction(1200), Fraction("0.20"))), Fraction(1000))
    Fraction(3, 20)
    """
    for (low_q, low_p), (high_q, high_p) in pairwise(points):
        if low_q <= airflow <= high_q:
            return low_p + (high_p - low_p) * (airflow - low_q) / (high_q - low_q)
    return next((drop for printed, drop in points if printed == airflow), None)
