"""Every formula with its arithmetic: the line as printed, and that the expression gives the same value as the plain
function.

Figures from texts and from hand computation; the sources stand beside the plain functions' tests.
"""

from __future__ import annotations

import inspect
from fractions import Fraction

import pytest

from selector.air import arithmetic, arithmetic_duct, arithmetic_fan
from selector.air.derate import FROM_2000_FT, FROM_SEA_LEVEL, NONE
from selector.air.figure import Worked, chain, given, text
from tests.helpers.recompute import mismatches, recompute

F = Fraction
ALTITUDE = given("altitude", 5000, "ft", source="typed")
RATIO = given("density_ratio", F("0.832"))
RISE = given("rise", 50, "F")
INPUT = given("heat_input", 80_000, "Btu/h", source="plate")
AIRFLOW = given("airflow_read", 1000, "cfm")
K = arithmetic_duct.duct_k(given("static_read", 100, "Pa"), given("airflow_read", 495, "L/s"))

LINES: list[tuple[Worked, str]] = [
    (arithmetic.pressure(ALTITUDE), "14.696 x (1 - 0.0000068754 x 5,000 ft)^5.2559 = 12.228 psia"),
    (arithmetic.density_ratio(ALTITUDE), "12.228 psia / 14.696 = 0.832"),
    (
        arithmetic.delivered_from_input(INPUT, arithmetic.percent("efficiency", F(95))),
        "80,000 Btu/h x 95 % = 76,000 Btu/h",
    ),
    (
        arithmetic.derated_input(INPUT, ALTITUDE, FROM_SEA_LEVEL, clocked=False),
        "80,000 Btu/h x (1 - 0.04 x 5,000 ft / 1000) = 64,000 Btu/h",
    ),
    (
        arithmetic.derated_input(INPUT, ALTITUDE, FROM_2000_FT, clocked=False),
        "80,000 Btu/h x (1 - 0.04 x (5,000 ft - 2000) / 1000) = 70,400 Btu/h",
    ),
    (arithmetic.derated_input(INPUT, ALTITUDE, NONE, clocked=True), "derated input 80,000 Btu/h"),
    (
        arithmetic.derated_by_share(INPUT, arithmetic.percent("share", F(84)), clocked=False),
        "80,000 Btu/h x 84 % = 67,200 Btu/h",
    ),
    (
        arithmetic.clocked_input(
            given("gas", 2, "ft3"), given("seconds", 90, "s"), given("heat_of_gas", 1037, "Btu/ft3")
        ),
        "3600 x 2 ft3 / 90 s x 1,037 Btu/ft3 = 82,960 Btu/h",
    ),
    (
        arithmetic.nozzle_rate(given("nozzle", F("0.85"), "gph"), given("pump", 140, "psi")),
        "0.85 gph x sqrt(140 psi / 100 psi) = 1.006 gph",
    ),
    (
        arithmetic.oil_heat(
            arithmetic.nozzle_rate(given("nozzle", F("0.85"), "gph"), given("pump", 140, "psi")),
            given("oil", 140_000, "Btu/gal"),
            arithmetic.percent("efficiency", F(85)),
        ),
        "1.006 gph x 140,000 Btu/gal x 85 % = 119,682 Btu/h",
    ),
    (
        arithmetic.electric_heat(given("heater", 10, "kW"), given("supply", 208, "V"), given("rated", 240, "V")),
        "10 kW x 3412.141633 x (208 V / 240 V)^2 = 25,629 Btu/h",
    ),
    (arithmetic.line_power(given("volts", 235, "V"), given("amps", 75, "A"), 1), "235 V x 75 A = 17,625 W"),
    (
        arithmetic.line_power(given("volts", 208, "V"), given("amps", 30, "A"), 3, given("blower", 400, "W")),
        "208 V x 30 A x sqrt(3) + 400 W = 11,208 W",
    ),
    (arithmetic.heat_from_power(given("power", 17_625, "W")), "17,625 W / 1000 x 3412.141633 = 60,139 Btu/h"),
    (arithmetic.water_heat(given("flow", 6, "gpm"), given("drop", 20, "F")), "500 x 6 gpm x 20 F = 60,000 Btu/h"),
    (arithmetic.airflow_from_heat(given("heat", 100_000, "Btu/h"), RISE), "100,000 Btu/h / (1.08 x 50 F) = 1,852 cfm"),
    (
        arithmetic.rise_from_airflow(given("heat", 76_000, "Btu/h"), given("airflow", F("1250.8"), "cfm")),
        "76,000 Btu/h / (1.08 x 1,250.8 cfm) = 56.3 F",
    ),
    (arithmetic.leaving_air(given("return_air", 68, "F"), RISE), "68 F + 50 F = 118.0 F"),
    (
        arithmetic_fan.airflow_from_tons(given("tons", 3, "ton"), given("per_ton", 400, "cfm/ton")),
        "3 ton x 400 cfm/ton = 1,200 cfm",
    ),
    (
        arithmetic_fan.airflow_per_ton(given("airflow", 918, "cfm"), given("tons", 3, "ton")),
        "918 cfm / 3 ton = 306 cfm/ton",
    ),
    (
        arithmetic_fan.airflow_from_sensible(given("sensible", 35_700, "Btu/h"), given("difference", 20, "F")),
        "35,700 Btu/h / (1.08 x 20 F) = 1,653 cfm",
    ),
    (
        arithmetic_fan.split_from_share(
            given("capacity", 36_000, "Btu/h"),
            arithmetic.percent("sensible_share", F(75)),
            given("airflow", 1200, "cfm"),
        ),
        "36,000 Btu/h x 75 % / (1.08 x 1,200 cfm) = 20.8 F",
    ),
    (
        arithmetic.electric_power(given("heater", 10, "kW"), given("supply", 208, "V"), given("marked", 240, "V")),
        "10 kW x 1000 x (208 V / 240 V)^2 = 7,511 W",
    ),
    (
        arithmetic_fan.air_changes(given("volume", 16_000, "ft3"), given("changes", F("4.5"), "ach")),
        "16,000 ft3 x 4.5 ach / 60 = 1,200 cfm",
    ),
    (
        arithmetic_fan.watts_per_cfm(given("watts", 540, "W"), given("airflow", 1200, "cfm")),
        "540 W / 1,200 cfm = 0.45 W/cfm",
    ),
    (
        arithmetic_fan.fan_cost(given("watts", 400, "W"), given("hours", 2000, "h"), given("price", F("0.15"))),
        "400 W / 1000 x 2,000 h x 0.15 = 120.00",
    ),
    (
        arithmetic_fan.expected_split(
            given("entering", 80, "F"),
            given("wet_bulb", 67, "F"),
            given("capacity", 36_000, "Btu/h"),
            given("airflow", 1200, "cfm"),
            given("pressure", F("14.696"), "psia"),
        ),
        "80 F - 59.4 F = 20.6 F",
    ),
    (
        arithmetic_duct.external_static(
            given("return_side", F("-0.22"), "in. w.c."), given("supply_side", F("0.31"), "in. w.c.")
        ),
        "abs(-0.22 in. w.c.) + abs(0.31 in. w.c.) = 0.53 in. w.c.",
    ),
    (K, "100 Pa / (495 L/s x 495 L/s) = 0.000408122 Pa/(L/s)2"),
    (
        arithmetic_duct.duct_static(K, given("airflow", 425, "L/s"), "Pa"),
        "0.000408122 Pa/(L/s)2 x 425 L/s x 425 L/s = 74 Pa",
    ),
    (
        arithmetic_duct.duct_airflow(K, given("plate_static", 125, "Pa"), "L/s"),
        "sqrt(125 Pa / 0.000408122 Pa/(L/s)2) = 553 L/s",
    ),
    (
        arithmetic_duct.face_velocity(given("airflow", 1200, "cfm"), given("filter", 3, "ft2")),
        "1,200 cfm / 3 ft2 = 400 fpm",
    ),
    (
        arithmetic_duct.airflow_at_face(given("filter", 4, "ft2"), given("limit", 300, "fpm")),
        "4 ft2 x 300 fpm = 1,200 cfm",
    ),
    (arithmetic_duct.standard_airflow(AIRFLOW, RATIO), "1,000 cfm x 0.832 = 832 cfm"),
    (arithmetic_duct.actual_airflow(AIRFLOW, RATIO), "1,000 cfm / 0.832 = 1,202 cfm"),
    (arithmetic_duct.band_ends(AIRFLOW, arithmetic.percent("band", F(7)))[0], "1,000 cfm x (1 - 7 %) = 930 cfm"),
    (arithmetic_duct.band_ends(AIRFLOW, arithmetic.percent("band", F(7)))[1], "1,000 cfm x (1 + 7 %) = 1,070 cfm"),
    (arithmetic_duct.in_unit(AIRFLOW, "L/s"), "1,000 cfm x 0.471947 = 472 L/s"),
    (arithmetic_duct.in_unit(given("air", 68, "F", kind="temperature"), "C"), "(68 F - 32) x 0.555556 = 20.0 C"),
    (arithmetic_duct.in_unit(given("air", 20, "C", kind="temperature"), "F"), "(20 C + 17.777778) x 1.8 = 68.0 F"),
    (arithmetic_duct.in_unit(given("rise", 54, "F"), "C"), "54 F x 0.555556 = 30.0 C"),
]


@pytest.mark.parametrize(("worked", "line"), LINES, ids=[line for _, line in LINES])
def test_line_and_recomputation(worked: Worked, line: str) -> None:
    assert text(worked) == line
    assert mismatches(worked) == ()
    assert float(recompute(worked)) == pytest.approx(float(worked.value), rel=1e-12)


def test_every_function_here_has_a_line() -> None:
    makers = {
        name
        for module in (arithmetic, arithmetic_fan, arithmetic_duct)
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    elsewhere = {"percent", "product", "quotient", "over", "readings", "crossing_airflow"}
    shown_here = {
        word
        for word in makers
        if f".{word}(" in inspect.getsource(inspect.getmodule(test_line_and_recomputation) or inspect)
    }
    assert makers - elsewhere == shown_here - elsewhere


# Wickerby page, question 5: 100 Pa with tap 4 running (495 L/s); tap 1 between 25 and 75 Pa gives 297.3 L/s
def test_crossing_is_traced() -> None:
    points = (
        given("static_1", 25, "Pa"),
        given("airflow_1", 305, "L/s"),
        given("static_2", 75, "Pa"),
        given("airflow_2", 270, "L/s"),
    )
    found = arithmetic_duct.crossing_airflow(K, *points)
    assert found is not None
    assert text(found).endswith(" = 297 L/s")
    assert mismatches(found) == ()
    assert {one.name for one in chain(found)} >= {
        "static_read",
        "airflow_read",
        "static_1",
        "airflow_1",
        "static_2",
        "airflow_2",
    }
    further = (
        given("static_1", 75, "Pa"),
        given("airflow_1", 270, "L/s"),
        given("static_2", 125, "Pa"),
        given("airflow_2", 230, "L/s"),
    )
    assert arithmetic_duct.crossing_airflow(K, *further) is None
    with pytest.raises(ValueError, match="rises with static"):
        arithmetic_duct.crossing_airflow(K, points[0], points[3], points[2], points[1])


def test_readings_are_traced() -> None:
    both = arithmetic_duct.readings(AIRFLOW, RATIO)
    assert [[text(one) for one in pair] for pair in both] == [
        ["standard airflow 1,000 cfm", "1,000 cfm / 0.832 = 1,202 cfm"],
        ["1,000 cfm x 0.832 = 832 cfm", "actual airflow 1,000 cfm"],
    ]
    (torque,) = arithmetic_duct.readings(AIRFLOW, RATIO, motor_kind="constant torque")
    assert text(torque[1]) == "1,000 cfm / sqrt(0.832) = 1,096 cfm"  # sqrt .832 = .91214
    for pair in (*both, torque, *arithmetic_duct.readings(AIRFLOW, given("density_ratio", 1))):
        assert [mismatches(one) for one in pair] == [(), ()]


def test_a_whole_chain_from_plate_to_airflow() -> None:
    # 80,000 x .80 x .95 = 60,800; / (1.08 x 50) = 1,125.9
    delivered = arithmetic.delivered_from_input(
        arithmetic.derated_input(INPUT, ALTITUDE, FROM_SEA_LEVEL, clocked=False),
        arithmetic.percent("efficiency", F(95)),
    )
    airflow = arithmetic.airflow_from_heat(delivered, RISE)
    assert float(airflow.value) == pytest.approx(1125.9, abs=0.1)
    assert mismatches(airflow) == ()
    leaves = {one.name for one in chain(airflow) if not isinstance(one, Worked)}
    assert leaves == {"heat_input", "altitude", "efficiency", "rise", "factor"}


def test_derate_on_a_clocked_input_is_refused() -> None:
    with pytest.raises(ValueError, match="clocked at the meter"):
        arithmetic.derated_input(INPUT, ALTITUDE, FROM_SEA_LEVEL, clocked=True)
