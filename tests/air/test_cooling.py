"""Cooling airflow and the split to expect: practice figures, and CoolProp for moist air."""

from __future__ import annotations

from fractions import Fraction

import pytest
from CoolProp.CoolProp import HAPropsSI
from scipy.optimize import brentq

from selector.air.cooling import (
    airflow_from_sensible_cfm,
    airflow_from_tons_cfm,
    cfm_per_ton,
    expected_split,
    sensible_heat_ratio,
    split_from_share_f,
    supply_difference_f,
)

F = Fraction


def kelvin(fahrenheit: float) -> float:
    """K of F."""
    return (fahrenheit + 459.67) / 1.8


def test_airflow_from_tons() -> None:
    # common practice, no source: 400 cfm a ton
    assert airflow_from_tons_cfm(F(3), F(400)) == 1200
    assert airflow_from_tons_cfm(F("2.5"), F(350)) == 875


def test_stacked_floors() -> None:
    # 1,200 cfm on 3 tons x .90 x .85 = 306 cfm/ton
    assert cfm_per_ton(F(1200) * F("0.9") * F("0.85"), F(3)) == 306


def test_sensible_load() -> None:
    # arithmetic: 35,700 and 3,500 Btu/h give 0.911; 35,700 / (1.08 x 20) = 1,653 cfm
    assert round(float(sensible_heat_ratio(F(35_700), F(3_500))), 3) == 0.911
    assert round(float(airflow_from_sensible_cfm(F(35_700), F(20)))) == 1653


# ACCA Manual S, from memory: below .80 21 F, .80 to .85 19 F, above 17 F
@pytest.mark.parametrize(
    ("share", "difference_f"), [("0.7", 21), ("0.799", 21), ("0.80", 19), ("0.85", 19), ("0.851", 17), ("1", 17)]
)
def test_supply_difference(share: str, difference_f: int) -> None:
    assert supply_difference_f(F(share)) == difference_f
    assert supply_difference_f(float(share)) == difference_f


def test_split_from_share() -> None:
    # 36,000 x .75 / (1.08 x 1,200) = 20.8 F
    assert float(split_from_share_f(F(36_000), F("0.75"), F(1200))) == pytest.approx(20.8, abs=0.05)


def test_split_worked_by_hand() -> None:
    # 80 F dry, 67 F wet, 3 tons on 1,200 cfm. By the ASHRAE chart: W 0.0112, h 31.5; 36,000/(4.5 x 1,200) = 6.67;
    # leaving h 24.8 Btu/lb.
    # At 90 % relative humidity that is 59.4 F (W .00974: .24 x 59.4 + .00974 x (1061 + .444 x 59.4) = 24.85): 20.6 F.
    split = expected_split(
        entering_dry_bulb_f=80, entering_wet_bulb_f=67, total_btuh=36_000, standard_cfm=1200, pressure_psia=14.696
    )
    assert split.split_f == pytest.approx(20.6, abs=0.2)
    assert split.leaving_dry_bulb_f == pytest.approx(59.4, abs=0.2)
    assert split.wet
    # sensible: 20.6 x (.24 + .444 x .0098) / 6.67 = .756
    assert split.sensible_share == pytest.approx(0.756, abs=0.01)


def test_dry_coil_keeps_its_moisture() -> None:
    # 80 F, 57 F wet bulb: dew point under 40 F, leaving air above 50 F. All heat is sensible: 6.67 / (.24 + .444 x
    # .0045) = 27.5 F
    split = expected_split(
        entering_dry_bulb_f=80, entering_wet_bulb_f=57, total_btuh=36_000, standard_cfm=1200, pressure_psia=14.696
    )
    assert not split.wet
    assert split.leaving_humidity_ratio == split.entering_humidity_ratio
    assert split.sensible_share == pytest.approx(1, abs=1e-9)
    assert split.split_f == pytest.approx(27.5, abs=0.15)


@pytest.mark.parametrize(
    ("dry_bulb_f", "wet_bulb_f", "cfm"), [(75, 63, 1200), (80, 67, 1050), (78, 66, 1350), (72, 62, 1200)]
)
@pytest.mark.parametrize("pressure", [14.696, 12.228])
def test_wet_split_against_coolprop(dry_bulb_f: int, wet_bulb_f: int, cfm: int, pressure: float) -> None:
    pascal = pressure * 6894.757293
    entering = HAPropsSI("H", "T", kelvin(dry_bulb_f), "P", pascal, "B", kelvin(wet_bulb_f))
    wanted = entering - 36_000 / (4.5 * cfm) * 2326  # J/kg of 1 Btu/lb (NIST SP 811)
    leaving_k = brentq(lambda t: HAPropsSI("H", "T", t, "P", pascal, "R", 0.9) - wanted, 274, kelvin(dry_bulb_f))
    split = expected_split(
        entering_dry_bulb_f=dry_bulb_f,
        entering_wet_bulb_f=wet_bulb_f,
        total_btuh=36_000,
        standard_cfm=cfm,
        pressure_psia=pressure,
    )
    assert split.wet
    assert split.leaving_dry_bulb_f == pytest.approx(leaving_k * 1.8 - 459.67, abs=0.2)


def test_drier_air_and_less_airflow_give_a_larger_split() -> None:
    def at(wet_bulb_f: float, cfm: float) -> float:
        return expected_split(
            entering_dry_bulb_f=80,
            entering_wet_bulb_f=wet_bulb_f,
            total_btuh=36_000,
            standard_cfm=cfm,
            pressure_psia=14.696,
        ).split_f

    by_wet_bulb = [at(wet_bulb_f, 1200) for wet_bulb_f in range(60, 73)]
    assert by_wet_bulb == sorted(by_wet_bulb, reverse=True)
    by_airflow = [at(67, cfm) for cfm in range(900, 1500, 50)]
    assert by_airflow == sorted(by_airflow, reverse=True)


def test_impossible_cooling_is_refused() -> None:
    with pytest.raises(ValueError, match="airflow or capacity is wrong"):
        expected_split(
            entering_dry_bulb_f=75, entering_wet_bulb_f=63, total_btuh=36_000, standard_cfm=250, pressure_psia=14.696
        )
    with pytest.raises(ValueError, match="too near saturation"):
        expected_split(
            entering_dry_bulb_f=75, entering_wet_bulb_f=75, total_btuh=1_000, standard_cfm=1200, pressure_psia=14.696
        )
    with pytest.raises(ValueError, match="swapped"):
        expected_split(
            entering_dry_bulb_f=63, entering_wet_bulb_f=75, total_btuh=36_000, standard_cfm=1200, pressure_psia=14.696
        )
    with pytest.raises(ValueError, match="outside 50 to 100"):
        expected_split(
            entering_dry_bulb_f=75,
            entering_wet_bulb_f=63,
            total_btuh=36_000,
            standard_cfm=1200,
            pressure_psia=14.696,
            leaving_relative_humidity_percent=0.9,
        )
    for wrong in (F(0), F(-1), F("1.2")):
        with pytest.raises(ValueError, match="sensible share"):
            supply_difference_f(wrong)
        with pytest.raises(ValueError, match="sensible share"):
            split_from_share_f(F(36_000), wrong, F(1200))
    with pytest.raises(ValueError, match="tons must be above 0"):
        airflow_from_tons_cfm(F(0), F(400))
    with pytest.raises(ValueError, match="latent load"):
        sensible_heat_ratio(F(30_000), F(-1))
