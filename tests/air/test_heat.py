"""Heat, airflow, rise and derates: worked examples from texts, practice figures, and how one figure must follow
another."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.air import heat
from selector.air.density import density_ratio
from selector.air.derate import DERATES, FROM_2000_FT, FROM_SEA_LEVEL, MAKER, NONE, derated_input_btuh, input_share

F = Fraction

heats = st.fractions(min_value=5_000, max_value=200_000, max_denominator=10)
rises = st.fractions(min_value=5, max_value=100, max_denominator=10)


def nearest(value: Fraction) -> int:
    """To the whole number, as the texts print it."""
    return math.floor(value + F(1, 2))


def test_training_text_output_over_rise() -> None:
    # training text on the temperature-rise method: 100,000 Btu/h output, 120 F supply, 70 F return -> 1,852 cfm
    assert nearest(heat.airflow_cfm(F(100_000), F(120) - 70)) == 1852


def test_training_text_electric() -> None:
    # same text: 235 V x 75 A, rise 36 F -> 1,547 cfm; 1,548 with 3.414 Btu/Wh; single phase, blower heat not counted
    watts = heat.line_power_w(F(235), F(75))
    assert nearest(heat.airflow_cfm(heat.electric_heat_btuh(watts / 1000), F(36))) == 1547
    assert nearest(heat.airflow_cfm(watts * F("3.414"), F(36))) == 1548


def test_training_text_input_and_efficiency() -> None:
    # same text: 80,000 Btu/h in, 80 %, rise 40 F -> 1,481 cfm
    assert nearest(heat.airflow_cfm(heat.delivered_from_input_btuh(F(80_000), F("0.8")), F(40))) == 1481


def test_95_percent_furnace() -> None:
    # 95,000 / (1.08 x 60) = 1,466.0
    assert float(heat.airflow_cfm(heat.delivered_from_input_btuh(F(100_000), F("0.95")), F(60))) == pytest.approx(
        1466.0, abs=0.05
    )


def test_96_percent_furnace_at_5000_ft() -> None:
    # 57,600 / (1.08 x .832 x 45) = 1,424.5
    delivered = heat.delivered_from_input_btuh(F(60_000), F("0.96"))
    assert float(heat.airflow_cfm(delivered, F(45), F("1.08") * F("0.832"))) == pytest.approx(1424.5, abs=0.05)
    assert heat.airflow_cfm(float(delivered), 45.0, 1.08 * density_ratio(5000)) == pytest.approx(1424.5, rel=0.001)


def test_rise_of_the_corvane_page() -> None:
    # 76,000 / (1.08 x 1,250.8) = 56.3 F
    assert float(heat.rise_f(F(76_000), F("1250.8"))) == pytest.approx(56.3, abs=0.05)


def test_electric_heater_of_the_saltmarsh_page() -> None:
    # 10 kW at 930 cfm: at 240 V 34,121 Btu/h and 34.0 F; at 208 V 25.5 F
    full = heat.electric_heat_btuh(heat.electric_power_kw(F(10), F(240), F(240)))
    less = heat.electric_heat_btuh(heat.electric_power_kw(F(10), F(208), F(240)))
    assert nearest(full) == 34121
    assert float(heat.rise_f(full, F(930))) == pytest.approx(34.0, abs=0.05)
    assert float(heat.rise_f(less, F(930))) == pytest.approx(25.5, abs=0.05)


def test_heater_on_lower_voltage() -> None:
    # P = E^2/R (BCcampus open textbook "Basic HVAC", electric heat): (208/240)^2 = 0.75111; 10 kW -> 25,629 Btu/h
    power = heat.electric_power_kw(F(10), F(208), F(240))
    assert float(power / 10) == pytest.approx(0.75111, abs=5e-6)
    assert nearest(heat.electric_heat_btuh(power)) == 25629


def test_three_phases() -> None:
    # P = sqrt 3 E I: 208 V x 30 A = 10,808 W (common practice, no source)
    assert heat.line_power_w(208.0, 30.0, 3) == pytest.approx(math.sqrt(3) * 208 * 30, rel=1e-12)
    assert float(heat.line_power_w(F(208), F(30), 3)) == pytest.approx(math.sqrt(3) * 208 * 30, rel=1e-12)


def test_clocked_meter() -> None:
    # common practice, no source: 2 ft3 in 90 s at 1,037 Btu/ft3 = 82,960 Btu/h
    assert heat.clocked_input_btuh(F(2), F(90), F(1037)) == 82_960


@pytest.mark.parametrize(("psi", "gph"), [(100, 1.0), (140, 1.183), (150, 1.225)])
def test_nozzle_rate(psi: int, gph: float) -> None:
    # oil-heat practice, no source: rated at 100 psi, x sqrt(p/100)
    assert float(heat.nozzle_rate_gph(F(1), F(psi))) == pytest.approx(gph, abs=0.0005)


def test_oil_furnace() -> None:
    # 0.85 x sqrt 1.4 x 140,000 x .85 = 119,682 Btu/h; / (1.08 x 60) = 1,847 cfm
    delivered = heat.oil_heat_btuh(heat.nozzle_rate_gph(F("0.85"), F(140)), F(140_000), F("0.85"))
    assert nearest(delivered) == 119_682
    assert nearest(heat.airflow_cfm(delivered, F(60))) == 1847


def test_water_coil() -> None:
    # common practice, no source: 500 x gpm x drop; 6 gpm, 20 F -> 60,000 Btu/h
    assert heat.water_heat_btuh(F(6), F(20)) == 60_000


@settings(deadline=None)
@given(heats, rises)
def test_airflow_rise_and_heat_are_one_relation(heat_btuh: Fraction, rise_f: Fraction) -> None:
    airflow = heat.airflow_cfm(heat_btuh, rise_f)
    assert heat.rise_f(heat_btuh, airflow) == rise_f
    assert heat.heat_btuh(airflow, rise_f) == heat_btuh
    assert float(airflow) == pytest.approx(heat.airflow_cfm(float(heat_btuh), float(rise_f)), rel=1e-12)


@settings(deadline=None)
@given(heats, rises, st.integers(-1500, 17000), st.integers(-1500, 17000))
def test_more_altitude_never_lowers_the_volume_of_a_fixed_heat(
    heat_btuh: Fraction, rise_f: Fraction, one_ft: int, other_ft: int
) -> None:
    low_ft, high_ft = sorted((one_ft, other_ft))
    low, high = (
        heat.airflow_cfm(float(heat_btuh), float(rise_f), 1.08 * density_ratio(at)) for at in (low_ft, high_ft)
    )
    assert high >= low


@settings(deadline=None)
@given(heats, rises, rises)
def test_a_larger_rise_never_raises_airflow(heat_btuh: Fraction, one_f: Fraction, other_f: Fraction) -> None:
    low_f, high_f = sorted((one_f, other_f))
    assert heat.airflow_cfm(heat_btuh, high_f) <= heat.airflow_cfm(heat_btuh, low_f)


@pytest.mark.parametrize("wrong", [F(0), F(-1)])
def test_nothing_from_no_heat_no_rise_no_airflow(wrong: Fraction) -> None:
    calls: tuple[Callable[[], Fraction], ...] = (
        lambda: heat.airflow_cfm(wrong, F(50)),
        lambda: heat.airflow_cfm(F(50_000), wrong),
        lambda: heat.rise_f(F(50_000), wrong),
        lambda: heat.rise_f(wrong, F(1000)),
        lambda: heat.heat_btuh(wrong, F(50)),
        lambda: heat.delivered_from_input_btuh(wrong, F("0.8")),
        lambda: heat.clocked_input_btuh(F(2), wrong, F(1037)),
        lambda: heat.clocked_input_btuh(wrong, F(90), F(1037)),
        lambda: heat.nozzle_rate_gph(F(1), wrong),
        lambda: heat.electric_power_kw(F(10), F(240), wrong),
        lambda: heat.line_power_w(wrong, F(30)),
        lambda: heat.water_heat_btuh(wrong, F(20)),
    )
    for call in calls:
        with pytest.raises(ValueError, match="must be above 0"):
            call()


def test_other_refusals() -> None:
    with pytest.raises(ValueError, match=r"outside 0\.5 to 1\.1"):
        heat.delivered_from_input_btuh(F(80_000), F(80))
    with pytest.raises(ValueError, match="one or three"):
        heat.line_power_w(F(240), F(30), 2)


# NFPA 54 / ANSI Z223.1 high-altitude clause, from memory: none to 2,000 ft, then 4 % per 1,000 ft above sea level;
# others read it from 2,000 ft
@pytest.mark.parametrize(
    ("altitude_ft", "from_sea_level", "from_2000_ft"),
    [
        (-500, "1", "1"),
        (0, "1", "1"),
        (2000, "1", "1"),
        (3000, "0.88", "0.96"),
        (5000, "0.80", "0.88"),
        (7500, "0.70", "0.78"),
    ],
)
def test_derates_by_altitude(altitude_ft: int, from_sea_level: str, from_2000_ft: str) -> None:
    assert input_share(NONE, altitude_ft) == 1
    assert input_share(FROM_SEA_LEVEL, altitude_ft) == F(from_sea_level)
    assert input_share(FROM_2000_FT, altitude_ft) == F(from_2000_ft)


def test_makers_derate_is_the_makers() -> None:
    assert input_share(MAKER, 5000, F("0.84")) == F("0.84")
    with pytest.raises(ValueError, match="needs its share"):
        input_share(MAKER, 5000)
    with pytest.raises(ValueError, match="beside the rule"):
        input_share(FROM_SEA_LEVEL, 5000, F("0.84"))
    with pytest.raises(ValueError, match=r"outside 0\.4 to 1"):
        input_share(MAKER, 5000, F(84))
    with pytest.raises(ValueError, match="no house stands there"):
        input_share(FROM_SEA_LEVEL, 29_000)


@settings(deadline=None)
@given(heats, st.integers(-1500, 17000))
def test_never_on_top_of_a_clocked_input(input_btuh: Fraction, altitude_ft: int) -> None:
    for rule in (NONE, FROM_SEA_LEVEL, FROM_2000_FT):
        share = input_share(rule, altitude_ft)
        assert 0 < share <= 1
        assert derated_input_btuh(input_btuh, share, clocked=False) == input_btuh * share
        if share < 1:
            with pytest.raises(ValueError, match="clocked at the meter"):
                derated_input_btuh(input_btuh, share, clocked=True)
        else:
            assert derated_input_btuh(input_btuh, share, clocked=True) == input_btuh


def test_every_derate_has_its_words() -> None:
    assert len({rule.name for rule in DERATES}) == len({rule.words for rule in DERATES}) == 4
