"""The enthalpy method against the ASHRAE Handbook's worked example, hand figures and CoolProp."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from CoolProp.CoolProp import HAPropsSI

from selector.air.density import pressure_psia
from selector.air.figure import Figure, given
from selector.air.measured.arithmetic_coil_capacity import AirState, by_humidity, by_wet_bulb, delivered, wet_bulb_f
from tests.helpers.recompute import mismatches, recompute

PA_PER_PSI = 6894.757293168
BTULB = 2326.0  # J/kg of 1 Btu/lb (NIST SP 811)


def kelvin(fahrenheit: float) -> float:
    """K of F."""
    return (fahrenheit + 459.67) / 1.8


def psia(altitude_ft: int) -> Figure:
    return given("pressure", F(pressure_psia(altitude_ft)), "psia")


def air(name: str, dry: float, wet: float, altitude_ft: int = 0) -> AirState:
    return by_wet_bulb(given(f"{name}_air", F(dry), "F"), given("wet_bulb", F(wet), "F"), psia(altitude_ft), name)


def test_the_handbook_coil() -> None:
    # ASHRAE Fundamentals ch. 1, cooling and dehumidifying (example 3, from memory): 10,000 cfm of 85 F, 50 % air to
    # saturated 50 F: 42,827 lb/h x [(34.62 - 20.30) - 0.00526 x 18.11] = 609,200 Btu/h, 50.8 tons. The condensate's
    # 0.7 % is left out here.
    at = psia(0)
    entering = by_humidity(given("return_air", 85, "F"), given("humidity", 50, "%"), at, "return")
    leaving = by_humidity(given("supply_air", 50, "F"), given("humidity", 100, "%"), at, "supply")
    standard = F(42_827) / (60 * F("0.075"))
    found = delivered(entering, leaving, given("standard_airflow", standard, "cfm"))
    assert float(found.total.value) == pytest.approx(42_827 * (34.62 - 20.30), rel=0.003)
    assert float(found.total.value) == pytest.approx(609_200, rel=0.01)
    # 0.240 x 35 + 0.00766 x 0.444 x 35 = 8.52 of 14.32 Btu/lb
    assert float(found.share.value) == pytest.approx(0.595, abs=0.005)


def test_a_house_by_hand() -> None:
    # printed enthalpies of saturated air (from memory): 31.6 Btu/lb at 67 F, 23.2 at 55: 4.5 x 1,200 x 8.4 = 45,360;
    # air short of saturation holds up to 0.1 Btu/lb less at the same wet bulb
    found = delivered(air("return", 80, 67), air("supply", 57, 55), given("standard_airflow", 1200, "cfm"))
    assert float(found.total.value) == pytest.approx(45_360, rel=0.02)
    assert mismatches(found.total) == ()
    assert mismatches(found.share) == ()
    assert recompute(found.total) == found.total.value


@pytest.mark.parametrize("altitude_ft", [0, 2500, 5000, 7500])
@pytest.mark.parametrize(("dry", "wet", "out", "out_wet"), [(80, 67, 58, 56), (75, 63, 55, 53.5), (78, 60, 58, 52)])
def test_enthalpies_and_volumes_against_coolprop(
    dry: float, wet: float, out: float, out_wet: float, altitude_ft: int
) -> None:
    pascal = pressure_psia(altitude_ft) * PA_PER_PSI

    def theirs(what: str, t: float, b: float) -> float:
        return float(HAPropsSI(what, "T", kelvin(t), "P", pascal, "B", kelvin(b)))

    entering, leaving = air("return", dry, wet, altitude_ft), air("supply", out, out_wet, altitude_ft)
    found = delivered(entering, leaving, given("standard_airflow", 1000, "cfm"))
    btulb = (theirs("H", dry, wet) - theirs("H", out, out_wet)) / BTULB
    assert float(found.total.value) == pytest.approx(4500 * btulb, rel=0.012)
    assert wet_bulb_f(entering, psia(altitude_ft)) == pytest.approx(wet, abs=0.05)


def test_air_that_can_t_be_is_refused() -> None:
    with pytest.raises(ValueError, match="exchanged"):
        delivered(air("return", 55, 53), air("supply", 80, 67), given("standard_airflow", 1200, "cfm"))
    with pytest.raises(ValueError, match="damper"):
        delivered(air("return", 80, 60), air("supply", 62, 58.5), given("standard_airflow", 1200, "cfm"))
    with pytest.raises(ValueError, match="above the dry bulb"):
        air("return", 60, 70)
