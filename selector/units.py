"""Units of quantities: exact factors, the spellings people type, and plain numbers.

Factors follow NIST SP 811 (2008): foot 0.3048 m, inch 0.0254 m, pound 0.45359237 kg, US gallon 3.785411784 L, Btu
(International Table)
1055.05585262 J, calorie (International Table) 4.1868 J, conventional inch of water 249.08891 Pa. Two choices of ours: a
therm is 100,000 of
these Btu, as the gas trade counts (the legal US therm is 0.024 % less), and a ton is 12,000 Btu/h.

The canonical unit of a kind is the one with factor 1 and offset 0; `CANONICAL` names it for each kind. W and kW are
heat rates like Btu/h:
one kind, so that an electric heater and a gas furnace are asked for alike. Air (cfm) and liquid (gph) are two kinds, so
are static pressure
(in. w.c.) and oil pressure (psi), though the dimension is the same: nobody means the one by the other.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.value import Struct

Kind = Literal[
    "airflow",
    "airflow per ton",
    "pressure",
    "oil pressure",
    "temperature",
    "temperature difference",
    "heat rate",
    "energy",
    "heat per volume",
    "heat per mass",
    "volume",
    "liquid flow",
    "mass rate",
    "length",
    "area",
    "velocity",
    "voltage",
    "current",
    "phase",
    "motor speed",
    "time",
    "share",
    "fan power per airflow",
    "air changes",
]


class UnitOfMeasure(Struct, frozen=True, kw_only=True):
    """A unit: `value * factor + offset` is the value in the canonical unit of its kind. `places` is how many decimals
    are usually shown."""

    name: str
    kind: Kind
    factor: Fraction
    offset: Fraction = Fraction(0)
    places: int = 0


class TypedFigure(Struct, frozen=True, kw_only=True):
    """What was typed: its exact value, its unit (None where no unit was typed) and the text."""

    value: Fraction
    unit: UnitOfMeasure | None
    text: str


class Mistyped(ValueError):
    """A text that can't be taken as a number, unit or quantity of the kind wanted. `message` says why, `instead` what
    to type (may be empty); `bare`: it has no unit and has to have one."""

    def __init__(self, message: str, instead: str = "", *, bare: bool = False) -> None:
        self.bare = bare
        self.message = message
        self.instead = instead
        super().__init__(f"{message}: type {instead}" if instead else message)


_FOOT_M = Fraction("0.3048")
_INCH_M = Fraction("0.0254")
_FOOT3_L = 1000 * _FOOT_M**3
_GALLON_L = Fraction("3.785411784")
_POUND_KG = Fraction("0.45359237")
_BTU_J = Fraction("1055.05585262")
_PSI_PA = _POUND_KG * Fraction("9.80665") / _INCH_M**2
_CFM_LPS = _FOOT3_L / 60
_INWC_PA = 1000 * Fraction("9.80665") * _INCH_M
BTUH_PER_KW = 3_600_000 / _BTU_J
BTUH_PER_TON = Fraction(12_000)

# name | other spellings (compared without blanks, dots, degree signs and case), factor, places
_ROWS: tuple[tuple[Kind, tuple[tuple[str, str, Fraction | int, int], ...]], ...] = (
    (
        "airflow",
        (
            ("cfm", "ft3/min cuft/min", 1, 0),
            ("L/s", "lps l/sec", 1 / _CFM_LPS, 0),
            ("m3/h", "m3/hr cmh", 1000 / (3600 * _CFM_LPS), 0),
            ("m3/s", "m3/sec", 1000 / _CFM_LPS, 3),
        ),
    ),
    (
        "airflow per ton",
        (
            ("cfm/ton", "cfmperton cfm/tons", 1, 0),
            ("L/s/kW", "l/(skw) (l/s)/kw l/sperkw", BTUH_PER_TON / (BTUH_PER_KW * _CFM_LPS), 1),
            ("m3/h/kW", "(m3/h)/kw m3/hperkw", 1000 * BTUH_PER_TON / (3600 * BTUH_PER_KW * _CFM_LPS), 0),
        ),
    ),
    (
        "pressure",
        (
            (
                "in. w.c.",
                'inwg iwc iwg "wc "wg inh2o "h2o inchwc inchwg incheswc incheswg inchesofwater inofwater wc wg',
                1,
                2,
            ),
            ("Pa", "pascal pascals", 1 / _INWC_PA, 0),
            ("mm w.c.", "mmwg mmh2o mmofwater", Fraction("9.80665") / _INWC_PA, 1),
        ),
    ),
    (
        "oil pressure",
        (
            ("psi", "psig lb/in2 lbf/in2", 1, 0),
            ("bar", "bars", 100_000 / _PSI_PA, 1),
        ),
    ),
    ("temperature", (("F", "degf fahrenheit", 1, 1), ("C", "degc celsius", Fraction(9, 5), 1))),
    ("temperature difference", (("K", "kelvin", Fraction(9, 5), 1),)),
    (
        "heat rate",
        (
            ("Btu/h", "btuh btu/hr btuperhour", 1, 0),
            ("MBH", "", 1000, 1),
            ("kBtu/h", "kbtuh kbtu/hr", 1000, 1),
            ("MMBtu/h", "mmbtuh mmbtu/hr mmbh", 1_000_000, 3),
            ("kW", "kilowatt kilowatts", BTUH_PER_KW, 2),
            ("W", "watt watts", BTUH_PER_KW / 1000, 0),
            ("MJ/h", "mj/hr", 1_000_000 / _BTU_J, 1),
            ("kcal/h", "kcal/hr", Fraction("4186.8") / _BTU_J, 0),
            ("therm/h", "therms/h therm/hr therms/hr", 100_000, 3),
            ("ton", "tons", BTUH_PER_TON, 2),
        ),
    ),
    (
        "energy",
        (
            ("Btu", "btus", 1, 0),
            ("kBtu", "", 1000, 1),
            ("therm", "therms", 100_000, 3),
            ("kWh", "", BTUH_PER_KW, 2),
            ("MJ", "", 1_000_000 / _BTU_J, 1),
            ("kcal", "", Fraction("4186.8") / _BTU_J, 0),
        ),
    ),
    (
        "heat per volume",
        (
            ("Btu/ft3", "btu/cuft btu/cf", 1, 0),
            ("Btu/gal", "btu/gallon", _FOOT3_L / _GALLON_L, 0),
            ("MJ/m3", "", 1_000_000 / _BTU_J * _FOOT3_L / 1000, 2),
            ("kWh/m3", "", BTUH_PER_KW * _FOOT3_L / 1000, 2),
            ("MJ/L", "", 1_000_000 / _BTU_J * _FOOT3_L, 2),
            ("kWh/L", "", BTUH_PER_KW * _FOOT3_L, 2),
        ),
    ),
    (
        "heat per mass",
        (
            ("Btu/lb", "", 1, 0),
            ("MJ/kg", "", 1_000_000 / _BTU_J * _POUND_KG, 2),
            ("kWh/kg", "", BTUH_PER_KW * _POUND_KG, 2),
        ),
    ),
    (
        "volume",
        (
            ("ft3", "cuft cf", 1, 1),
            ("m3", "", 1000 / _FOOT3_L, 3),
            ("L", "litre litres liter liters", 1 / _FOOT3_L, 1),
            ("gal", "gallon gallons", _GALLON_L / _FOOT3_L, 1),
        ),
    ),
    (
        "liquid flow",
        (
            ("gph", "gal/h gal/hr", 1, 2),
            ("gpm", "gal/min", 60, 1),
            ("L/h", "lph l/hr", 1 / _GALLON_L, 2),
            ("L/min", "lpm", 60 / _GALLON_L, 1),
        ),
    ),
    ("mass rate", (("kg/h", "kg/hr", 1, 2), ("lb/h", "lb/hr lbs/h lbs/hr", _POUND_KG, 2))),
    (
        "length",
        (
            ("ft", "foot feet '", 1, 0),
            ("m", "metre metres meter meters", 1 / _FOOT_M, 0),
            ("in", 'inch inches "', Fraction(1, 12), 1),
            ("mm", "", Fraction(1, 1000) / _FOOT_M, 0),
        ),
    ),
    (
        "area",
        (
            ("ft2", "sqft sf", 1, 2),
            ("in2", "sqin", Fraction(1, 144), 0),
            ("m2", "sqm", 1 / _FOOT_M**2, 3),
            ("cm2", "sqcm", Fraction(1, 10_000) / _FOOT_M**2, 0),
        ),
    ),
    ("velocity", (("fpm", "ft/min", 1, 0), ("m/s", "m/sec", 60 / _FOOT_M, 2))),
    ("voltage", (("V", "volt volts vac", 1, 0),)),
    ("current", (("A", "amp amps ampere amperes", 1, 1),)),
    ("phase", (("phase", "ph phases", 1, 0),)),
    ("motor speed", (("rpm", "r/min", 1, 0),)),
    (
        "time",
        (
            ("s", "sec secs second seconds", 1, 0),
            ("min", "mins minute minutes", 60, 1),
            ("h", "hr hrs hour hours", 3600, 2),
        ),
    ),
    ("share", (("%", "percent pct %rh rh", 1, 0),)),
    (
        "fan power per airflow",
        (
            ("W/cfm", "", 1, 2),
            ("W/(L/s)", "w/l/s ws/l", _CFM_LPS, 2),
            ("W/(m3/h)", "w/m3/h", _CFM_LPS * Fraction(36, 10), 2),
        ),
    ),
    ("air changes", (("ach", "airchanges/h airchangesperhour", 1, 1),)),
)

_DROPPED = str.maketrans(
    {
        " ": None,
        "\t": None,
        "\u00a0": None,
        ".": None,
        "°": None,
        "º": None,
        "^": None,
        "³": "3",
        "²": "2",
        "₂": "2",
        "”": '"',
        "“": '"',
        "″": '"',
        "’": "'",
        "′": "'",
    }
)


def spelling(text: str) -> str:
    """The text as units are compared: no blanks, dots, degree signs or case. `In. W.C.` and `inwc` are one spelling."""
    return text.translate(_DROPPED).casefold()


def _table() -> tuple[dict[str, UnitOfMeasure], dict[Kind, UnitOfMeasure]]:
    """Every spelling with its unit, and the canonical unit of each kind."""
    units: dict[str, UnitOfMeasure] = {}
    canonical: dict[Kind, UnitOfMeasure] = {}
    for kind, rows in _ROWS:
        for name, others, factor, places in rows:
            offset = Fraction(32) if name == "C" else Fraction(0)
            unit = UnitOfMeasure(name=name, kind=kind, factor=Fraction(factor), offset=offset, places=places)
            canonical.setdefault(kind, unit)
            for word in (spelling(name), *others.split()):
                if word in units:
                    raise AssertionError(f"{word} names two units")
                units[word] = unit
    return units, canonical


UNITS: dict[str, UnitOfMeasure]
"""Every known spelling (as `spelling` returns it) -> its unit."""
CANONICAL: dict[Kind, UnitOfMeasure]
"""Kind -> the unit its values are kept in."""
UNITS, CANONICAL = _table()
DIFFERENCES: dict[str, UnitOfMeasure] = {
    "F": UnitOfMeasure(name="F", kind="temperature difference", factor=Fraction(1), places=1),
    "C": UnitOfMeasure(name="C", kind="temperature difference", factor=Fraction(9, 5), places=1),
    "K": UNITS["k"],
}
"""F, C and K as differences (a rise, a split): no 32."""
CANONICAL["temperature difference"] = DIFFERENCES["F"]

_AMBIGUOUS = {"mbtu/h", "mbtuh", "mbtu/hr", "mbtu"}


def unit_named(text: str) -> UnitOfMeasure:
    """The unit a person typed, in any spelling. Raises Mistyped, with the nearest known spelling where there is one.

    >>> unit_named("IN. W.C.").name, unit_named("btuh").name, unit_named("m³/h").kind
    ('in. w.c.', 'Btu/h', 'airflow')
    """
    found = UNITS.get(spelling(text))
    if found is not None:
        return found
    typed = text.strip()
    if spelling(text) in _AMBIGUOUS:
        raise Mistyped(
            f"{typed!r} is a thousand to some and a million to others: MBH or kBtu/h is thousands, MMBtu/h millions"
        )
    import difflib  # only for a mistyped unit: 5 ms

    close = difflib.get_close_matches(spelling(text), UNITS, n=1, cutoff=0.75)
    raise Mistyped(f"{typed!r} is not a unit known here", UNITS[close[0]].name if close else "")


def difference_unit(unit: UnitOfMeasure | str) -> UnitOfMeasure:
    """The same unit for a difference: F, C or K without the 32; every other unit unchanged."""
    known = unit_named(unit) if isinstance(unit, str) else unit
    return DIFFERENCES[known.name] if known.kind == "temperature" else known


def convert(value: Fraction | float, from_unit: UnitOfMeasure | str, to_unit: UnitOfMeasure | str) -> Fraction:
    """`value` in `to_unit`, exact. Units of two kinds: Mistyped (a ValueError) that says what was got and what was
    wanted.

    >>> convert(1, "kW", "Btu/h") == Fraction(3600) / Fraction("1.05505585262"), convert(-40, "F", "C")
    (True, Fraction(-40, 1))
    """
    given = unit_named(from_unit) if isinstance(from_unit, str) else from_unit
    wanted = unit_named(to_unit) if isinstance(to_unit, str) else to_unit
    if given.kind != wanted.kind:
        raise _wrong_kind(f"{plain(Fraction(value))} {given.name}", given, wanted.kind, wanted.name)
    return (Fraction(value) * given.factor + given.offset - wanted.offset) / wanted.factor


def rise(value: Fraction | float, from_unit: UnitOfMeasure | str, to_unit: UnitOfMeasure | str) -> Fraction:
    """A temperature difference in another unit, exact: a rise of 1 F is 5/9 C or K, never less 32.

    >>> rise(54, "F", "C"), rise(30, "K", "F")
    (Fraction(30, 1), Fraction(54, 1))
    """
    return convert(value, difference_unit(from_unit), difference_unit(to_unit))


def value_of(quantity: TypedFigure, kind: Kind, default: UnitOfMeasure | str | None = None) -> Fraction:
    """The quantity in the canonical unit of `kind`. No unit typed: `default` is taken, or where that is None it is
    Mistyped, as is a wrong kind.

    F and C serve a temperature and a temperature difference alike.

    >>> value_of(parse_quantity("80 MBH"), "heat rate"), value_of(parse_quantity("30 C"), "temperature difference")
    (Fraction(80000, 1), Fraction(54, 1))
    """
    wanted = CANONICAL[kind]
    unit = quantity.unit
    if unit is None:
        if default is None:
            raise Mistyped(
                f"{quantity.text!r} has no unit; wanted {_a(kind)}", f"{plain(quantity.value)} {wanted.name}"
            )
        unit = unit_named(default) if isinstance(default, str) else default
    if kind == "temperature difference":
        unit = difference_unit(unit)
    if unit.kind != kind:
        raise _wrong_kind(quantity.text.strip(), unit, kind, wanted.name, plain(quantity.value))
    return convert(quantity.value, unit, wanted)


def _wrong_kind(shown: str, given: UnitOfMeasure, kind: Kind, example: str, number: str = "") -> Mistyped:
    """What was got, what was wanted, and the likely unit."""
    likely = ""
    if given.kind == "energy" and kind == "heat rate" and spelling(f"{given.name}/h") in UNITS:
        likely = f"{given.name}/h"
    elif given.name in ("in", "mm") and kind == "pressure":
        likely = f"{given.name}. w.c." if given.name == "in" else "mm w.c."
    message = f"{shown} is {_a(given.kind)}; wanted {_a(kind)}, as in {example}"
    return Mistyped(message, f"{number} {likely}" if likely and number else likely)


def _a(kind: str) -> str:
    """The kind with its article."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}" if kind not in ("energy", "air changes") else kind


def parse_number(text: str) -> Fraction:
    """A plain decimal with an optional sign, exact: `1190`, `-6`, `+0.5`, `.66`. Anything else is Mistyped with the
    text to type instead.

    >>> parse_number("-0.125")
    Fraction(-1, 8)
    """
    text = text.strip()
    body = text[1:] if text[:1] in ("+", "-") else text
    whole, dot, part = body.partition(".")
    digits = whole + part
    if not (digits.isascii() and digits.isdigit() and (part or not dot)):
        raise _not_a_number(text)
    if len(digits) > 15:
        raise Mistyped(f"{text!r} has {len(digits)} digits: 15 are the most")
    return Fraction(-int(digits) if text[:1] == "-" else int(digits), 10 ** len(part))


def _not_a_number(text: str) -> Mistyped:
    """The refusal of parse_number, with the likely number."""
    instead, why = _likely_number(text)
    if instead:
        try:
            parse_number(instead)
        except Mistyped as again:  # two slips in one, or nothing but a dash
            instead = again.instead
    return Mistyped(why or (f"{text!r} is not a plain number" if text else "a number is missing"), instead)


def _likely_number(typed: str) -> tuple[str, str]:
    """What to type for a text that isn't a plain number, and why; both may be empty."""
    import re  # fractions has it loaded already

    for minus in "−–—":
        if typed.startswith(minus):
            return "-" + typed[1:].strip(), f"{typed!r} begins with a dash that is not the minus sign"
    sign = typed[:1] if typed[:1] in ("+", "-") else ""
    body = typed[len(sign) :]
    if sign and body != body.strip() and re.fullmatch(r"\d+(\.\d+)?", body.strip()):
        return sign + body.strip(), "a sign touches its number"
    if re.fullmatch(r"[1-9]\d{0,2}([,'\s]\d{3})+(\.\d+)?", body):
        return sign + re.sub(r"[,'\s]", "", body), f"{typed!r} has marks between thousands"
    if re.fullmatch(r"[1-9]\d{0,2}(\.\d{3})+,\d+", body):
        return sign + body.replace(".", "").replace(",", "."), f"{typed!r} is written with a decimal comma"
    if re.fullmatch(r"\d+,\d+", body):
        return sign + body.replace(",", "."), f"{typed!r} is written with a decimal comma"
    if re.fullmatch(r"\d+\.", body):
        return sign + body[:-1], f"{typed!r} ends in a point"
    if "_" in body and re.fullmatch(r"\d+(_\d+)+(\.\d+)?", body):
        return sign + body.replace("_", ""), f"{typed!r} has underscores"
    if re.fullmatch(r"(\d+\.?\d*|\.\d+)[eE][+-]?\d\d?", body) and abs(Fraction(body)) < 10**15:
        return sign + plain(Fraction(body)), f"{typed!r} is written with an exponent"
    mixed = re.fullmatch(r"(?:(\d{1,6})[ -])?(\d{1,3})/(\d{1,3})", body)
    if mixed and int(mixed[3]):
        return sign + plain(
            int(mixed[1] or 0) + Fraction(int(mixed[2]), int(mixed[3]))
        ), f"{typed!r} is written as a fraction"
    return "", ""


def parse_quantity(text: str, *, commas: bool = True) -> TypedFigure:
    """A number and its unit as people write them: `80 MBH`, `80MBH`, `5,000 ft`, `-6 %`, `0.5 in. w.c.`; a bare number
    has unit None.

    With `commas`, marks between thousands are read where every group has three digits and the first doesn't begin with
    0; without, they are
    refused as in parse_number. Raises Mistyped.

    >>> quantity = parse_quantity("5,000 ft")
    >>> quantity.value, quantity.unit.name if quantity.unit else None
    (Fraction(5000, 1), 'ft')
    """
    typed = text.strip()
    end = 1 if typed[:1] in ("+", "-", "−", "–") else 0
    if typed[end : end + 1] == " ":
        end += len(typed[end:]) - len(typed[end:].lstrip())
    while end < len(typed) and typed[end] in "0123456789.,_":
        end += 1
    number, rest = typed[:end], typed[end:]
    if number and rest:
        number, rest = _stretched(number, rest)
    if not number.strip("+-−–.,_ "):
        raise Mistyped(f"{typed!r} has no number" if typed else "a quantity is missing")
    unit_text = rest.strip()
    try:
        value = parse_number(_without_commas(number) if commas else number)
    except Mistyped as mistake:
        unit_end = f" {unit_text}" if unit_text and mistake.instead[-1:].isdigit() else ""
        raise Mistyped(mistake.message, mistake.instead + unit_end) from None
    return TypedFigure(value=value, unit=unit_named(unit_text) if unit_text else None, text=text)


def _stretched(number: str, rest: str) -> tuple[str, str]:
    """The number with the exponent, fraction or further groups that follow it, so that the refusal can name the
    whole."""
    exponent = rest[1:].lstrip("+-")[:1].isdigit() if rest[0] in "eE" else False
    if not exponent and not rest.lstrip(" \t,-/'")[:1].isdigit():
        return number, rest
    cut = 1
    while cut < len(rest) and rest[cut] in "0123456789.,_+-/' \t":
        cut += 1
    return (number + rest[:cut]).strip(), rest[cut:]


def _without_commas(number: str) -> str:
    """`5,000` -> `5000` where the groups leave no doubt; else the text as it was."""
    if "," not in number:
        return number
    sign = number[:1] if number[:1] in ("+", "-") else ""
    whole, dot, part = number[len(sign) :].partition(".")
    groups = whole.split(",")
    sure = all(group.isascii() and group.isdigit() and len(group) == 3 for group in groups[1:])
    return (
        sign + "".join(groups) + dot + part
        if sure and 1 <= len(groups[0]) <= 3 and groups[0][0] in "123456789"
        else number
    )


def format_number(value: Fraction | float, places: int, *, commas: bool = True) -> str:
    """The value with `places` decimals, halves away from zero, no minus before zero.

    >>> format_number(Fraction(11855, 10), 0), format_number(Fraction(-5, 2), 0), format_number(Fraction(2, 3), 3)
    ('1,186', '-3', '0.667')
    """
    exact = Fraction(value)
    scaled = abs(exact) * 10**places
    units = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    whole, part = divmod(units, 10**places)
    text = f"{whole:,}" if commas else str(whole)
    if places:
        text += f".{part:0{places}d}"
    return f"-{text}" if exact < 0 and units else text


def plain(value: Fraction) -> str:
    """The value as a person would type it: no commas, at most 6 decimals, no trailing zeros."""
    text = format_number(value, 6, commas=False)
    return text.rstrip("0").rstrip(".")


def show(
    value: Fraction | float, kind: Kind, unit: UnitOfMeasure | str | None = None, places: int | None = None
) -> str:
    """A value held in the canonical unit of `kind`, printed in `unit` (none: the canonical one) with the decimals usual
    for it.

    >>> show(1000, "airflow"), show(1000, "airflow", "L/s"), show(54, "temperature difference", "C")
    ('1,000 cfm', '472 L/s', '30.0 C')
    """
    wanted = CANONICAL[kind] if unit is None else unit_named(unit) if isinstance(unit, str) else unit
    if kind == "temperature difference":
        wanted = difference_unit(wanted)
    return (
        f"{format_number(convert(value, CANONICAL[kind], wanted), wanted.places if places is None else places)}"
        f" {wanted.name}"
    )
