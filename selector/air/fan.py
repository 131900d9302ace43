"""The fan itself: fan laws, power for the air moved, grades, cost; air changes and outdoor air."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.air.number import N, Number, positive

Grade = Literal["I", "II", "III"]

DESIGN_TOLERANCE_PERCENT = 15
"""Airflow at commissioning within 15 % of design (ANSI/ACCA 5 QI, from memory)."""
LEAST_CFM_PER_TON_CALIFORNIA = 350
MOST_W_PER_CFM_CALIFORNIA_GAS_FURNACE = Fraction("0.45")
MOST_W_PER_CFM_CALIFORNIA_OTHER = Fraction("0.58")
"""California Energy Code 2022 s.150.0(m)13: cooling airflow and fan power. Where that code holds, not elsewhere."""


def flow_at_speed(flow: N, speed_ratio: N) -> N:
    """Airflow at another speed of the same fan on the same ducts: flow x ratio. ASHRAE Handbook HVAC Systems, AMCA fan
    laws.

    >>> flow_at_speed(Fraction(1000), Fraction("0.8"))
    Fraction(800, 1)
    """
    positive("speed ratio", speed_ratio)
    return flow * speed_ratio


def pressure_at_speed(pressure: N, speed_ratio: N) -> N:
    """Pressure at another speed: pressure x ratio squared. Fan laws, as `flow_at_speed`.

    >>> pressure_at_speed(Fraction(1), Fraction("0.8"))
    Fraction(16, 25)
    """
    positive("speed ratio", speed_ratio)
    return pressure * speed_ratio**2


def power_at_speed(power: N, speed_ratio: N) -> N:
    """Shaft power at another speed: power x ratio cubed. Fan laws, as `flow_at_speed`; watts at the line follow less
    steeply.

    >>> power_at_speed(Fraction(1), Fraction("0.8"))
    Fraction(64, 125)
    """
    positive("speed ratio", speed_ratio)
    return power * speed_ratio**3


def watts_per_cfm(watts: N, airflow_cfm: N) -> N:
    """Fan power for the air moved, W/cfm. Usual 0.2 to 0.8.

    >>> watts_per_cfm(Fraction(540), Fraction(1200))
    Fraction(9, 20)
    """
    positive("watts", watts, "W")
    positive("airflow", airflow_cfm, "cfm")
    return watts / airflow_cfm


def airflow_grade(airflow_cfm: N, design_cfm: N) -> Grade:
    """Grade of a measured airflow: I within 15 % of design, II within 25 %, III beyond. ANSI/RESNET/ACCA 310-2020, from
    memory.

    >>> (airflow_grade(Fraction(850), Fraction(1000)), airflow_grade(Fraction(1200), Fraction(1000)),
    ... airflow_grade(Fraction(700), Fraction(1000)))
    ('I', 'II', 'III')
    """
    off_percent = abs(off_design_percent(airflow_cfm, design_cfm))
    if off_percent <= DESIGN_TOLERANCE_PERCENT:
        return "I"
    return "II" if off_percent <= 25 else "III"


def watt_grade(w_per_cfm: Number) -> Grade:
    """Grade of fan power: I up to 0.45 W/cfm, II up to 0.58, III beyond. ANSI/RESNET/ACCA 310-2020, from memory.

    >>> watt_grade(Fraction("0.45")), watt_grade(0.5), watt_grade(0.6)
    ('I', 'II', 'III')
    """
    if w_per_cfm <= Fraction("0.45"):
        return "I"
    return "II" if w_per_cfm <= Fraction("0.58") else "III"


def off_design_percent(airflow_cfm: N, design_cfm: N) -> N:
    """How far the airflow is from design, percent of design, signed.

    >>> off_design_percent(Fraction(900), Fraction(1000))
    Fraction(-10, 1)
    """
    positive("design airflow", design_cfm, "cfm")
    return 100 * (airflow_cfm - design_cfm) / design_cfm


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


def ventilation_cfm(floor_area_ft2: N, bedrooms: int) -> N:
    """Outdoor air for a whole house, cfm: 0.03 x floor area + 7.5 x (bedrooms + 1). ASHRAE 62.2. Not a blower airflow.

    >>> ventilation_cfm(Fraction(1500), 3)
    Fraction(75, 1)
    """
    positive("floor area", floor_area_ft2, "ft2")
    if bedrooms < 0:
        raise ValueError(f"{bedrooms} bedrooms")
    return Fraction("0.03") * floor_area_ft2 + Fraction("7.5") * (bedrooms + 1)
