"""Units and typed numbers, held to NIST SP 811, to the library pint and to Python's decimal."""

from __future__ import annotations

import decimal
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.units import (
    _ROWS,
    BTUH_PER_KW,
    CANONICAL,
    DIFFERENCES,
    UNITS,
    Kind,
    Mistyped,
    convert,
    format_number,
    parse_number,
    parse_quantity,
    plain,
    rise,
    show,
    spelling,
    unit_named,
    value_of,
)

# NIST SP 811 (2008) Appendix B.8, as printed to seven digits; * marks the ones it prints as exact.
NIST_811 = [
    ("cfm", "m3/s", "4.719474e-4"),
    ("in. w.c.", "Pa", "2.490889e2"),
    ("mm w.c.", "Pa", "9.80665"),  # *
    ("Btu/h", "W", "2.930711e-1"),
    ("ton", "W", "3.516853e3"),
    ("kcal/h", "W", "1.163"),  # * 4186.8 J / 3600 s
    ("kWh", "MJ", "3.6"),  # *
    ("ft", "m", "0.3048"),  # *
    ("in", "m", "0.0254"),  # *
    ("ft2", "m2", "9.290304e-2"),  # *
    ("in2", "m2", "6.4516e-4"),  # *
    ("ft3", "m3", "2.831685e-2"),
    ("gal", "L", "3.785412"),
    ("gpm", "L/min", "3.785412"),
    ("fpm", "m/s", "5.08e-3"),  # *
    ("lb/h", "kg/h", "0.4535924"),
    ("Btu/lb", "MJ/kg", "2.326e-3"),  # *
    ("Btu/ft3", "MJ/m3", "3.725895e-2"),
    ("psi", "bar", "6.894757e-2"),
]

# Exact by definition, from the international foot, pound, Btu and the conventional inch of water.
EXACT = [
    ("cfm", "L/s", "0.4719474432"),
    ("cfm", "m3/h", "1.69901079552"),
    ("in. w.c.", "Pa", "249.08891"),
    ("gal", "L", "3.785411784"),
    ("ton", "Btu/h", "12000"),
    ("MBH", "Btu/h", "1000"),
    ("therm/h", "Btu/h", "100000"),
    ("min", "s", "60"),
    ("h", "s", "3600"),
]


@pytest.mark.parametrize(("unit", "other", "printed"), NIST_811)
def test_factors_as_printed_in_nist_sp_811(unit: str, other: str, printed: str) -> None:
    assert float(convert(1, unit, other)) == pytest.approx(float(printed), rel=5e-7)


@pytest.mark.parametrize(("unit", "other", "exact"), EXACT)
def test_exact_factors(unit: str, other: str, exact: str) -> None:
    assert convert(1, unit, other) == Fraction(exact)


def test_ten_digits_of_the_kilowatt_and_the_ton() -> None:
    # 1 kW = 3412.141633 Btu/h and 1 ton = 3516.8528 W, from the Btu of 1055.05585262 J
    assert format_number(convert(1, "kW", "Btu/h"), 6, commas=False) == "3412.141633"
    assert format_number(convert(1, "ton", "W"), 4, commas=False) == "3516.8528"
    assert convert(1, "kW", "Btu/h") == BTUH_PER_KW


def test_sensible_factor_in_si() -> None:
    # 1.08 Btu/(h cfm F) = 1.2072 W/(L/s K)
    si = Fraction("1.08") * convert(1, "Btu/h", "W") / (convert(1, "cfm", "L/s") * rise(1, "F", "K"))
    assert format_number(si, 4) == "1.2072"


# Our unit -> pint's. pint's plain Btu is the rounded 1055.056 J of ISO 31-4, its calorie the thermochemical one: the IT
# ones are named here.
PINT = {
    "cfm": "foot**3/minute",
    "L/s": "liter/second",
    "m3/h": "meter**3/hour",
    "m3/s": "meter**3/second",
    "cfm/ton": "foot**3/minute/(12000*Btu_it/hour)",
    "L/s/kW": "liter/second/kilowatt",
    "m3/h/kW": "meter**3/hour/kilowatt",
    "in. w.c.": "inch_H2O",
    "Pa": "pascal",
    "mm w.c.": "inch_H2O/25.4",
    "psi": "psi",
    "bar": "bar",
    "Btu/h": "Btu_it/hour",
    "MBH": "1000*Btu_it/hour",
    "kBtu/h": "1000*Btu_it/hour",
    "MMBtu/h": "1000000*Btu_it/hour",
    "kW": "kilowatt",
    "W": "watt",
    "MJ/h": "megajoule/hour",
    "kcal/h": "1000*cal_it/hour",
    "therm/h": "100000*Btu_it/hour",
    "ton": "12000*Btu_it/hour",
    "Btu": "Btu_it",
    "kBtu": "1000*Btu_it",
    "therm": "100000*Btu_it",
    "kWh": "kilowatt*hour",
    "MJ": "megajoule",
    "kcal": "1000*cal_it",
    "Btu/ft3": "Btu_it/foot**3",
    "Btu/gal": "Btu_it/gallon",
    "MJ/m3": "megajoule/meter**3",
    "kWh/m3": "kilowatt*hour/meter**3",
    "MJ/L": "megajoule/liter",
    "kWh/L": "kilowatt*hour/liter",
    "Btu/lb": "Btu_it/pound",
    "MJ/kg": "megajoule/kilogram",
    "kWh/kg": "kilowatt*hour/kilogram",
    "ft3": "foot**3",
    "m3": "meter**3",
    "L": "liter",
    "gal": "gallon",
    "gph": "gallon/hour",
    "gpm": "gallon/minute",
    "L/h": "liter/hour",
    "L/min": "liter/minute",
    "kg/h": "kilogram/hour",
    "lb/h": "pound/hour",
    "ft": "foot",
    "m": "meter",
    "in": "inch",
    "mm": "millimeter",
    "ft2": "foot**2",
    "in2": "inch**2",
    "m2": "meter**2",
    "cm2": "centimeter**2",
    "fpm": "foot/minute",
    "m/s": "meter/second",
    "V": "volt",
    "A": "ampere",
    "rpm": "rpm",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "%": "percent",
    "W/cfm": "watt/(foot**3/minute)",
    "W/(L/s)": "watt/(liter/second)",
    "W/(m3/h)": "watt/(meter**3/hour)",
}
NOT_IN_PINT = {"F", "C", "K", "phase", "ach"}  # temperatures below; a count; a count an hour


def test_every_factor_against_pint() -> None:
    registry: Any = pint.UnitRegistry()
    assert {unit.name for unit in UNITS.values()} - NOT_IN_PINT == set(PINT)
    for unit in UNITS.values():
        if unit.name in PINT:
            one, canonical = (
                registry.parse_expression(PINT[name]) * registry.dimensionless
                for name in (unit.name, CANONICAL[unit.kind].name)
            )
            theirs = (one.to_base_units() / canonical.to_base_units()).to("dimensionless").magnitude
            assert float(unit.factor) == pytest.approx(theirs, rel=1e-9), unit.name


def test_pint_has_another_ton() -> None:
    # pint's refrigeration ton is 12,000 of its rounded Btu (1055.056 J): 1.4e-7 more than 12,000 Btu (IT).
    registry: Any = pint.UnitRegistry()
    theirs = (1 * registry("refrigeration_ton")).to("watt").magnitude
    assert theirs / float(convert(1, "ton", "W")) - 1 == pytest.approx(1.4e-7, abs=1e-8)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 70, 120, 212])
def test_temperatures_against_pint(fahrenheit: int) -> None:
    registry: Any = pint.UnitRegistry()
    assert float(convert(fahrenheit, "F", "C")) == pytest.approx(
        registry.Quantity(fahrenheit, "degF").to("degC").magnitude, abs=1e-9
    )
    assert float(rise(fahrenheit, "F", "C")) == pytest.approx(
        registry.Quantity(fahrenheit, "delta_degF").to("delta_degC").magnitude, abs=1e-9
    )


def test_a_rise_is_a_difference() -> None:
    assert rise(1, "F", "C") == Fraction(5, 9)  # NIST SP 811: no 32
    assert rise(1, "F", "K") == Fraction(5, 9)
    assert convert(1, "F", "C") == Fraction(-155, 9)  # (1 - 32) x 5/9
    assert value_of(parse_quantity("30 C"), "temperature difference") == 54
    assert value_of(parse_quantity("30 C"), "temperature") == 86


# The spellings of the trade: each with its kind and value in the canonical unit, worked from the factors above.
TYPED: list[tuple[str, Kind, str]] = [
    ("80 MBH", "heat rate", "80000"),
    ("80MBH", "heat rate", "80000"),
    ("80 mbh", "heat rate", "80000"),
    ("80,000 Btuh", "heat rate", "80000"),
    ("80 kBtu/h", "heat rate", "80000"),
    ("80 kbtuh", "heat rate", "80000"),
    ("80000 BTU/HR", "heat rate", "80000"),
    ("0.8 therm/h", "heat rate", "80000"),
    ("3 tons", "heat rate", "36000"),
    ("1 ton", "heat rate", "12000"),
    ("0.08 MMBtu/h", "heat rate", "80000"),
    ("1 therm", "energy", "100000"),
    ("1,190 cfm", "airflow", "1190"),
    ("1190CFM", "airflow", "1190"),
    ("0.4719474432 L/s", "airflow", "1"),
    ("0.4719474432 lps", "airflow", "1"),
    ("1.69901079552 m3/h", "airflow", "1"),
    ("1.69901079552 m³/h", "airflow", "1"),
    ("1.69901079552 m^3/hr", "airflow", "1"),
    ("0.0004719474432 m3/s", "airflow", "1"),
    ("400 cfm/ton", "airflow per ton", "400"),
    ("0.5 in. w.c.", "pressure", "0.5"),
    ("0.5 in wg", "pressure", "0.5"),
    ("0.5 iwc", "pressure", "0.5"),
    ('0.5 "wc', "pressure", "0.5"),
    ('.5"w.c.', "pressure", "0.5"),
    ("0.5 In. W.C.", "pressure", "0.5"),
    ("0.5in.w.c.", "pressure", "0.5"),
    ("0.5 inches of water", "pressure", "0.5"),
    ("249.08891 Pa", "pressure", "1"),
    ("25.4 mm w.c.", "pressure", "1"),
    ("25.4 mmH2O", "pressure", "1"),
    ("0.5 in. H₂O", "pressure", "0.5"),
    ("300 fpm", "velocity", "300"),
    ("1.524 m/s", "velocity", "300"),
    ("0.85 gph", "liquid flow", "0.85"),
    ("3.785411784 L/h", "liquid flow", "1"),
    ("2.5 kg/h", "mass rate", "2.5"),
    ("140 psi", "oil pressure", "140"),
    ("240 V", "voltage", "240"),
    ("240V", "voltage", "240"),
    ("75 A", "current", "75"),
    ("75 amps", "current", "75"),
    ("3 phase", "phase", "3"),
    ("5,000 ft", "length", "5000"),
    ("5000'", "length", "5000"),
    ("1524 m", "length", "5000"),
    ("4 ft2", "area", "4"),
    ("4 sq ft", "area", "4"),
    ("576 in2", "area", "4"),
    ("576 sq. in.", "area", "4"),
    ("0.37161216 m2", "area", "4"),
    ("70 F", "temperature", "70"),
    ("70°F", "temperature", "70"),
    ("70 deg F", "temperature", "70"),
    ("20 C", "temperature", "68"),
    ("50 F", "temperature difference", "50"),
    ("30 K", "temperature difference", "54"),
    ("1,050 rpm", "motor speed", "1050"),
    ("120 s", "time", "120"),
    ("2 min", "time", "120"),
    ("0.5 h", "time", "1800"),
    ("90 seconds", "time", "90"),
    ("-6 %", "share", "-6"),
    ("+6%", "share", "6"),
    ("95 percent", "share", "95"),
    ("0.45 W/cfm", "fan power per airflow", "0.45"),
    ("5 ach", "air changes", "5"),
    ("140,000 Btu/gal", "heat per volume", str(140_000 * Fraction("28.316846592") / Fraction("3.785411784"))),
    ("2 ft3", "volume", "2"),
]


@pytest.mark.parametrize(("typed", "kind", "canonical"), TYPED)
def test_quantities_as_people_type_them(typed: str, kind: Kind, canonical: str) -> None:
    assert value_of(parse_quantity(typed), kind) == Fraction(canonical)


def test_watts_and_metric_heat() -> None:
    # 1 kW = 3600 kJ/h = 3.6 MJ/h; 1.163 W = 1 kcal/h (IT)
    assert convert(1, "kW", "MJ/h") == Fraction("3.6")
    assert convert(1, "kcal/h", "W") == Fraction("1.163")
    assert convert(1, "bar", "psi") == 1 / convert(1, "psi", "bar")


def test_no_spelling_names_two_units_and_each_is_as_compared() -> None:
    words = [
        (word, name)
        for _, rows in _ROWS
        for name, others, _, _ in rows
        for word in dict.fromkeys((spelling(name), *others.split()))
    ]
    assert len({word for word, _ in words}) == len(words)
    assert all(spelling(word) == word for word in UNITS)


@pytest.mark.parametrize("unit", sorted({unit.name for unit in UNITS.values()}))
def test_every_unit_is_found_by_its_own_name_in_any_case(unit: str) -> None:
    assert {unit_named(text).name for text in (unit, unit.upper(), unit.lower(), f"  {unit} ")} == {unit}


def test_canonical_units() -> None:
    assert all(unit.factor == 1 and unit.offset == 0 and unit.kind == kind for kind, unit in CANONICAL.items())
    kinds: tuple[Kind, ...] = ("airflow", "pressure", "temperature", "temperature difference", "heat rate")
    assert [CANONICAL[kind].name for kind in kinds] == ["cfm", "in. w.c.", "F", "F", "Btu/h"]


@settings(deadline=None)
@given(st.sampled_from(sorted(UNITS)), st.sampled_from(sorted(UNITS)), st.fractions())
def test_there_and_back_is_exact(one: str, other: str, value: Fraction) -> None:
    if UNITS[one].kind == UNITS[other].kind:
        assert convert(convert(value, one, other), other, one) == value
    else:
        with pytest.raises(Mistyped):
            convert(value, one, other)


@pytest.mark.parametrize(
    ("typed", "kind", "words", "instead"),
    [
        ("50 F", "airflow", "50 F is a temperature; wanted an airflow", ""),
        ("100 psi", "pressure", "100 psi is an oil pressure; wanted a pressure", ""),
        ("80,000 Btu", "heat rate", "80,000 Btu is energy; wanted a heat rate", "80000 Btu/h"),
        ("0.8 therm", "heat rate", "0.8 therm is energy; wanted a heat rate", "0.8 therm/h"),
        ("0.5 in", "pressure", "0.5 in is a length; wanted a pressure", "0.5 in. w.c."),
        ("3", "heat rate", "'3' has no unit; wanted a heat rate", "3 Btu/h"),
        ("90 m", "time", "90 m is a length; wanted a time", ""),
    ],
)
def test_wrong_kinds_say_what_was_got_and_wanted(typed: str, kind: Kind, words: str, instead: str) -> None:
    with pytest.raises(Mistyped) as caught:
        value_of(parse_quantity(typed), kind)
    assert caught.value.message.startswith(words)
    assert caught.value.instead == instead


def test_wrong_kind_in_convert_is_a_value_error() -> None:
    with pytest.raises(ValueError, match=r"5 cfm is an airflow; wanted a temperature, as in F"):
        convert(5, "cfm", "F")


@pytest.mark.parametrize(
    ("typed", "instead"),
    [
        ("1,190", "1190"),
        ("1,190.5", "1190.5"),
        ("12,500,000", "12500000"),
        ("-1,190", "-1190"),
        ("1,5", "1.5"),
        ("0,125", "0.125"),
        ("1.190,5", "1190.5"),
        ("1 190", "1190"),
        ("1'190", "1190"),
        ("1_190", "1190"),
        ("1e5", "100000"),
        ("1E5", "100000"),
        ("3e-2", "0.03"),
        ("5.", "5"),
        ("1/2", "0.5"),
        ("2 1/2", "2.5"),
        ("2-1/2", "2.5"),
        ("−6", "-6"),
        ("–6", "-6"),
        ("- 6", "-6"),
        ("+ 5", "+5"),
        ("nan", ""),
        ("NaN", ""),
        ("inf", ""),
        ("-Infinity", ""),
        ("1e999999999", ""),
        ("0x10", ""),
        ("1,19,000", ""),
        ("1..5", ""),
        ("--5", ""),
        ("", ""),
        ("-", ""),
        (".", ""),
        ("+.", ""),
        ("½", ""),
        ("٣", ""),
        ("five", ""),
        ("1234567890123456", ""),
        ("0.0000000000000001", ""),
        ("1:30", ""),
    ],
)
def test_numbers_refused_with_the_text_to_type(typed: str, instead: str) -> None:
    with pytest.raises(Mistyped) as caught:
        parse_number(typed)
    assert caught.value.instead == instead
    assert caught.value.message
    if instead:
        parse_number(instead)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("1190", "1190"),
        ("-6", "-6"),
        ("+5", "5"),
        (".66", "0.66"),
        ("-.5", "-0.5"),
        ("060", "60"),
        ("0.10", "0.1"),
        ("123456789012345", "123456789012345"),
    ],
)
def test_plain_numbers(typed: str, value: str) -> None:
    assert parse_number(typed) == Fraction(value)


@settings(deadline=None)
@given(st.text(alphabet="0123456789+-.,_eE '/ x٣½−", max_size=12))
def test_a_number_is_what_decimal_reads_or_is_refused(typed: str) -> None:
    try:
        value = parse_number(typed)
    except Mistyped as mistake:
        if mistake.instead:
            parse_number(mistake.instead)
    else:
        assert value == Fraction(Decimal(typed.strip()))


@pytest.mark.parametrize(
    ("typed", "instead"),
    [
        ("1e5 Btu/h", "100000 Btu/h"),
        ("1e+5Btu/h", "100000 Btu/h"),
        ("1,5 in wg", "1.5 in wg"),
        ("0,125 bar", "0.125 bar"),
        ("2 1/2 tons", "2.5 tons"),
        ("2-1/2 tons", "2.5 tons"),
        ("5 000 ft", "5000 ft"),
        ("−6 %", "-6 %"),
        ("- 6 %", "-6 %"),
        ("1'234 cfm", "1234 cfm"),
        ("80 cfmm", "cfm"),
        ("in. w.c.", ""),
        ("80 MBtu/h", ""),
        ("5 ft 6 in", ""),
        ("1,19,000 ft", ""),
        ("nan cfm", ""),
        ("", ""),
        ("80 furlongs", ""),
        ("5e", ""),
    ],
)
def test_quantities_refused_with_the_text_to_type(typed: str, instead: str) -> None:
    with pytest.raises(Mistyped) as caught:
        parse_quantity(typed)
    assert caught.value.instead == instead
    if instead and instead[0] in "-0123456789":
        parse_quantity(instead)


def test_mega_or_thousand_is_asked() -> None:
    with pytest.raises(Mistyped, match="a thousand to some and a million to others"):
        parse_quantity("80 MBtu/h")


def test_commas_of_thousands_only_where_allowed() -> None:
    assert parse_quantity("12,500.5 cfm").value == Fraction("12500.5")
    with pytest.raises(Mistyped) as caught:
        parse_quantity("1,190 cfm", commas=False)
    assert caught.value.instead == "1190 cfm"


def test_a_quantity_keeps_its_text() -> None:
    quantity = parse_quantity(" 80 MBH ")
    assert (quantity.text, quantity.value, quantity.unit) == (" 80 MBH ", Fraction(80), UNITS["mbh"])
    assert parse_quantity("80").unit is None


@settings(deadline=None)
@given(st.fractions(max_denominator=10_000), st.integers(min_value=0, max_value=6))
def test_shown_numbers_round_half_away_from_zero(value: Fraction, places: int) -> None:
    # decimal's ROUND_HALF_UP is half away from zero; at 60 digits the quotient of such a fraction never crosses a half
    with decimal.localcontext() as context:
        context.prec = 60
        expected = (Decimal(value.numerator) / Decimal(value.denominator)).quantize(
            Decimal(1).scaleb(-places), rounding=decimal.ROUND_HALF_UP
        )
    text = format_number(value, places, commas=False)
    assert Decimal(text) == expected
    assert text.lstrip("-") == format(expected.copy_abs(), "f")
    assert not (expected == 0 and text.startswith("-"))


def test_commas_and_plain_text() -> None:
    assert format_number(Fraction(1234567), 0) == "1,234,567"
    assert format_number(Fraction("-1234.5"), 1) == "-1,234.5"
    assert format_number(Fraction(1, 2), 0) == "1"
    assert format_number(Fraction(-1, 3), 0) == "0"
    assert plain(Fraction("1190.50")) == "1190.5"
    assert plain(Fraction(-6)) == "-6"


def test_show_in_either_system() -> None:
    # 1,000 cfm = 471.947 L/s; 0.5 in. w.c. = 124.54 Pa; 54 F of rise = 30 K; 86 F = 30 C; 76,000 Btu/h = 22.2735 kW
    assert show(1000, "airflow") == "1,000 cfm"
    assert show(1000, "airflow", "L/s") == "472 L/s"
    assert show(Fraction(1, 2), "pressure", "Pa") == "125 Pa"
    assert show(Fraction(1, 2), "pressure") == "0.50 in. w.c."
    assert show(54, "temperature difference", "C") == "30.0 C"
    assert show(86, "temperature", "C") == "30.0 C"
    assert show(76_000, "heat rate", "kW") == "22.27 kW"
    assert show(76_000, "heat rate", "MBH", places=0) == "76 MBH"
    assert DIFFERENCES["C"].factor == Fraction(9, 5)


def test_light_to_import() -> None:
    # the start-up path: nothing beyond the standard library and the records of values
    code = (
        "import sys, selector.units; print(*(name for name in ('difflib', 'psychrolib', 'yaml', 'click', 'pint') if"
        " name in sys.modules))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == ""
