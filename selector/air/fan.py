"""The fan itself: power for the air moved, cost; air changes."""

from __future__ import annotations

from fractions import Fraction

from selector.air.number import N, positive

MOST_W_PER_CFM_CALIFORNIA_GAS_FURNACE = Fraction("0.45")
MOST_W_PER_CFM_CALIFORNIA_OTHER = Fraction("0.58")
"""California Energy Code 2022 s.150.0(m)13: cooling airflow and fan power. Where that code holds, not elsewhere."""


def watts_per_cfm(watts: N, airflow_cfm: N) -> N:
    """Fan power for the air moved, W/cfm. Usual 0.2 to 0.8.

    >>> watts_per_cfm(Fraction(540), Fraction(1200))
    Fraction(9, 20)
    """
    positive("watts", watts, "W")
    positive("airflow", airflow_cfm, "cfm")
    return watts / airflow_cfm


def fan_cost(watts: N, hours: N, price_per_kwh: N) -> N:
    """Cost of running the fan, in the money of the price: W / 1000 x hours x price.

    >>> fan_cost(Fraction(500), Fraction(1000), Fraction("0.16"))
    Fraction(80, 1)
    """
    positive("watts", watts, "W")
    return watts / 1000 * hours * price_per_kwh


def air_changes_cfm(volume_ft3: N, changes_per_hour: N) -> N:
    """Airflow, cfm, that changes the air of a volume so many times an hour: volume x changes / 60.

    >>> air_changes_cfm(Fraction(12_000), Fraction(5))
    Fraction(1000, 1)
    """
    positive("volume", volume_ft3, "ft3")
    positive("air changes", changes_per_hour)
    return volume_ft3 * changes_per_hour / 60
