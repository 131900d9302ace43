"""Every key of a job file: what it holds, in which unit, between which ends a figure can be true. Grammar, reader
and writer all read this list."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from selector.air.derate import DERATES
from selector.amount import MEASURES, Measure
from selector.job.file import other_names
from selector.job.file.model import Clocked, Dehumidify, Fan, Heat, Outdoor, Site, Zoning
from selector.units import Kind
from selector.value import Struct, field

Form = Literal["one", "by stage", "range", "range by stage", "calls", "drop chart", "several"]


class Field(Measure, frozen=True, kw_only=True):
    """One key of a job. It has no `kinds` where it is a word, or a plain number between ends; `words`: words it takes
    beside its kinds, or instead; `also`: other words for one of `words`; `off`: a share that is typed as what comes
    off, `20 % off`, or as what is left, `80 % left`."""

    attr: str
    help: str
    words: tuple[str, ...] = ()
    form: Form = "one"
    off: bool = False
    also: Mapping[str, str] = field(default_factory=dict)


def _amount(
    key: str,
    kind: Kind | tuple[Kind, ...],
    help: str,
    example: str,
    least: float | str,
    most: float | str,
    **more: object,
) -> Field:
    kinds = kind if isinstance(kind, tuple) else (kind,)
    attr = str(more.pop("attr", key.replace(" ", "_")))
    return Field(
        key=key,
        attr=attr,
        help=help,
        example=example,
        kinds=kinds,
        least=Fraction(str(least)),
        most=Fraction(str(most)),
        **more,  # type: ignore[arg-type]
    )


def _fact(name: str, help: str, key: str = "") -> Field:
    """A fact that the line takes too."""
    one = MEASURES[name]
    return Field(
        key=key or name,
        attr=(key or name).replace(" ", "_"),
        help=help,
        example=one.example,
        kinds=one.kinds,
        unit=one.unit,
        bare=one.bare,
        least=one.least,
        most=one.most,
    )


def _word(
    key: str,
    help: str,
    words: tuple[str, ...] = (),
    example: str = "",
    also: Mapping[str, str] = MappingProxyType({}),
    **more: object,
) -> Field:
    attr = str(more.pop("attr", key.replace(" ", "_")))
    return Field(key=key, attr=attr, help=help, example=example or (words[0] if words else ""), words=words, also=also)


class Section(Struct, frozen=True, kw_only=True):
    """A part of the file: its key, the value it becomes, its fields."""

    key: str
    attr: str
    made: type
    help: str
    fields: tuple[Field, ...]
    parts: tuple[Section, ...] = ()
    short: str = ""
    """The field that a single value means."""


HEAT_KINDS = ("gas", "oil", "electric", "heat pump", "heat pump + auxiliary", "dual fuel", "hydronic")
RISE_WORDS = ("low rise", "mid rise", "high rise")
PER_TON_WORDS = ("usual", "moisture", "dry")
HUMIDISTATS = ("none", "opens on rise", "closes on rise")
SITE = Section(
    key="site",
    attr="site",
    made=Site,
    help="The house.",
    fields=(
        _word(
            "climate",
            "Humid, usual or dry: which airflow per ton is aimed at where none is typed.",
            ("humid", "usual", "dry"),
        ),
        _amount("altitude", "length", "Height above the sea.", "5,000 ft", -1_500, 17_000),
        _amount("return air", "temperature", "Air as it comes back to the unit, dry bulb.", "70 F", 35, 110),
        _amount(
            "return wet bulb", "temperature", "Its wet bulb; with it the cooling split can be expected.", "63 F", 30, 90
        ),
        _amount(
            "static pressure",
            "pressure",
            "External static pressure to expect where none was measured.",
            "0.5 in. w.c.",
            "0.01",
            "2.5",
        ),
        _amount(
            "plate static",
            "pressure",
            "Greatest external static pressure on the rating plate.",
            "0.5 in. w.c.",
            "0.05",
            "2.5",
        ),
        _fact("firing rate", "Firing rate of a modulating unit that is meant."),
        _amount("volume", "volume", "Volume of the house, for air changes.", "16,000 ft3", 1_000, 200_000),
    ),
)

OUTDOOR = Section(
    key="outdoor unit",
    attr="outdoor",
    made=Outdoor,
    help="The outdoor unit: tons are its tons, at the running stage.",
    fields=(
        _amount("capacity", "heat rate", "Cooling capacity at full, from its plate.", "3 tons", 6_000, 300_000),
        _amount(
            "stages",
            ("share", "heat rate"),
            "Share of the capacity that runs in each stage, or its tons.",
            "{first: 70 %, second: 100 %}",
            10,
            100,
            form="by stage",
            bare="%",
        ),
        Field(
            key="airflow per ton",
            attr="airflow_per_ton",
            help="Cooling airflow wanted for each ton: usual (400), moisture (350), dry (450), or a figure.",
            example="usual",
            kinds=("airflow per ton",),
            words=PER_TON_WORDS,
            least=Fraction(200),
            most=Fraction(600),
        ),
        _amount("least per ton", "airflow per ton", "Floor per ton of the running capacity.", "300 cfm/ton", 100, 500),
        _amount("most per ton", "airflow per ton", "Ceiling per ton of the running capacity.", "450 cfm/ton", 300, 700),
        _amount("sensible load", "heat rate", "Sensible cooling load.", "27,000 Btu/h", 1, "1000000000"),
        _amount("latent load", "heat rate", "Latent cooling load.", "9,000 Btu/h", 0, "1000000000"),
        _amount("supply difference", "temperature difference", "Room air less supply air wanted.", "20 F", 8, 35),
        _amount(
            "sensible share", "share", "Sensible share of the capacity at these conditions.", "75 %", 40, 100, bare="%"
        ),
    ),
)

CLOCKED = Section(
    key="clocked",
    attr="clocked",
    made=Clocked,
    help="Gas read at the meter, other gas appliances off; it has counted the altitude already.",
    short="input",
    fields=(
        _amount("volume", "volume", "Gas that passed.", "2 ft3", "0.01", 1_000),
        _amount("time", "time", "Time it took.", "90 s", 5, 7_200, bare="s"),
        _amount("heat of gas", "heat per volume", "Heat of the gas, from the supplier.", "1037 Btu/ft3", 400, 3_500),
        _amount("input", "heat rate", "The input, where you worked it out.", "59,400 Btu/h", 5_000, 5_000_000),
        _word("stage", "The stage that was lit; none: the last.", (), "second"),
    ),
)

HEAT = Section(
    key="heat",
    attr="heat",
    made=Heat,
    help="What heats, as on the rating plate.",
    parts=(CLOCKED,),
    fields=(
        _word("kind", "What heats.", HEAT_KINDS, also=other_names.HEAT_KINDS),
        _amount(
            "input",
            "heat rate",
            "Input on the plate, by stage where stages differ.",
            "80 MBH",
            5_000,
            500_000,
            form="by stage",
        ),
        _amount(
            "output",
            "heat rate",
            "Output printed on the plate; it beats input x efficiency.",
            "76 MBH",
            3_000,
            500_000,
            form="by stage",
        ),
        _fact("efficiency", "Steady-state efficiency (not the seasonal one)."),
        Field(
            key="derate",
            attr="derate",
            help=(
                "Altitude derate of a gas input that isn't clocked: a rule by name, or what the maker gives, 20 % off"
                " or 80 % left. None is taken unasked."
            ),
            example="from sea level",
            kinds=("share",),
            words=tuple(rule.name for rule in DERATES if rule.name != "maker's"),
            bare="%",
            least=Fraction(40),
            most=Fraction(100),
            off=True,
        ),
        _amount(
            "rise",
            "temperature difference",
            "Temperature rise on the plate.",
            "35 to 65 F",
            5,
            110,
            form="range by stage",
        ),
        Field(
            key="aim",
            attr="aim",
            help=(
                "low rise (lower end + 5 F), mid rise, high rise (upper end - 5 F), or a rise; by stage where they"
                " differ."
            ),
            example="mid rise",
            kinds=("temperature difference",),
            words=RISE_WORDS,
            form="by stage",
            least=Fraction(5),
            most=Fraction(110),
        ),
        _amount("outlet limit", "temperature", "Highest outlet air temperature on the plate.", "160 F", 80, 250),
        _amount("least return", "temperature", "Least return air temperature on the plate.", "55 F", 30, 75),
        _fact("nozzle rate", "Rate marked on the oil nozzle.", "nozzle"),
        _fact("pump pressure", "Oil pressure at the nozzle."),
        _fact("heat per gallon", "Heat of the oil."),
        _amount("heater", "heat rate", "Rated power of the electric heater.", "10 kW", 1_000, 400_000),
        _amount("heater voltage", "voltage", "Voltage the heater is rated at.", "240 V", 90, 600, bare="V"),
        _fact("supply voltage", "Voltage measured at the heater."),
        _amount("phases", "phase", "One or three phases.", "1", 1, 3, bare="phase"),
        _amount("current", "current", "Current measured of the heater.", "75 A", 1, 400, bare="A"),
        _word("blower heat", "Whether the blower's heat is counted.", ("not counted", "counted")),
        _amount(
            "capacity",
            "heat rate",
            "Heat pump's heating capacity at full; none: that of cooling.",
            "34 MBH",
            5_000,
            300_000,
        ),
        _amount(
            "least per ton", "airflow per ton", "Heat pump's own floor per ton in heating.", "350 cfm/ton", 200, 500
        ),
        _amount(
            "auxiliary",
            "heat rate",
            "Auxiliary heat that runs with the heat pump, by stage where stages differ.",
            "10 kW",
            1_000,
            400_000,
            form="by stage",
        ),
        _amount("leaving limit", "temperature", "Highest leaving air with auxiliary heat.", "120 F", 80, 200),
        _amount("balance point", "temperature", "Outdoor thermostat: where the heat pump hands over.", "30 F", -20, 60),
        _amount("water flow", "liquid flow", "Water through the hydronic coil.", "4 gpm", "0.2", 60, unit="gpm"),
        _amount("water drop", "temperature difference", "How much the water cools in it.", "20 F", 2, 100),
    ),
)

FAN = Section(
    key="fan",
    attr="fan",
    made=Fan,
    help="Constant fan, and what the blower draws.",
    fields=(
        Field(
            key="aim",
            attr="aim",
            help="Constant fan wanted: a share of cooling, an airflow, or air changes.",
            example="45 %",
            kinds=("share", "airflow", "air changes"),
            least=Fraction("0.1"),
            most=Fraction(10_000),
        ),
        _amount("watts", "heat rate", "Power measured at the blower.", "480 W", 5, 3_000, unit="W", bare="W"),
        _word("watts in", "The call, and its stage, it was measured in.", (), "cooling second", attr="watts_call"),
        _amount("hours", "time", "Hours a year it runs so.", "1500 h", 1, 8_784, unit="h", bare="h"),
        _amount("price", (), "Price of a kWh, in your money.", "0.16", 0, 100_000),
        _amount(
            "call length",
            "time",
            "Length of a usual call, for the average airflow over it.",
            "10 min",
            30,
            86_400,
            bare="min",
        ),
    ),
)

DEHUMIDIFY = Section(
    key="dehumidify",
    attr="dehumidify",
    made=Dehumidify,
    help="Reduced airflow on demand.",
    fields=(
        _word("wanted", "Whether it is wished for.", ("yes", "no")),
        _word("humidistat", "How its contact acts: none there, opens on rise, closes on rise.", HUMIDISTATS),
        _amount(
            "least per ton",
            "airflow per ton",
            "Floor per ton of the running capacity while it runs.",
            "280 cfm/ton",
            100,
            500,
        ),
    ),
)

ZONING = Section(
    key="zoning",
    attr="zoning",
    made=Zoning,
    help="Dampers: each call is judged with the smallest zone open.",
    fields=(
        _amount(
            "smallest zone",
            ("airflow", "share"),
            "What the smallest zone takes: an airflow, or a share of the greatest aim.",
            "500 cfm",
            1,
            10_000,
        ),
        _amount("bypass", "airflow", "What a bypass lets round it.", "150 cfm", 0, 5_000),
        Field(
            key="calls",
            attr="calls",
            help="Calls that run with only that zone open; none: every call.",
            example="cooling first",
            form="calls",
        ),
    ),
)

SECTIONS = (SITE, OUTDOOR, HEAT, FAN, DEHUMIDIFY, ZONING)

CEILING_NAMES = ("duct", "supply duct", "return duct", "grille", "filter", "coil", "noise")
CEILING = (
    _amount("area", "area", "Gross face area, or its sides.", "400 in2", "0.05", 100),
    _amount(
        "velocity", "velocity", "Greatest velocity at the face; a filter without one has 300 fpm.", "300 fpm", 30, 3_000
    ),
    _amount("airflow", "airflow", "Greatest airflow outright.", "1400 cfm", 50, 10_000),
    Field(
        key="drop",
        attr="drop",
        help="Its own pressure drop as the maker prints it, one figure or several.",
        example="0.10 in. w.c. at 800 cfm, 0.20 at 1200",
        form="drop chart",
    ),
    Field(key="calls", attr="calls", help="Calls it holds for; none: every call.", example="cooling", form="calls"),
)

METHODS = (
    "rise",
    "split",
    "electric",
    "clocked gas",
    "nozzle and pump",
    "hood",
    "flow plate",
    "traverse",
    "vane",
    "hot wire",
    "static",
    "watts",
    "shown",
)
READING_VALUES: Mapping[str, Field] = {
    field.key: field
    for field in (
        _amount("rise", "temperature difference", "Supply air less return air.", "52 F", 1, 150),
        _amount("split", "temperature difference", "Return air less supply air in cooling.", "19 F", 1, 60),
        _amount("return air", "temperature", "Return air, dry bulb.", "68 F", 30, 150),
        _amount("supply air", "temperature", "Supply air, dry bulb, out of sight of the exchanger.", "120 F", 30, 250),
        _amount("return wet bulb", "temperature", "Return air, wet bulb.", "63 F", 25, 95),
        _amount("supply wet bulb", "temperature", "Supply air, wet bulb.", "54 F", 25, 95),
        _amount("return humidity", "share", "Return air, relative humidity.", "50 %", 1, 100, bare="%"),
        _amount("supply humidity", "share", "Supply air, relative humidity.", "90 %", 1, 100, bare="%"),
        _amount("volts", "voltage", "Voltage at the heater.", "235 V", 90, 600, bare="V"),
        _amount("amps", "current", "Current of the heater.", "42 A", "0.5", 400, bare="A"),
        _amount("phases", "phase", "One or three.", "1", 1, 3, bare="phase"),
        _amount("airflow", "airflow", "Airflow read.", "1150 cfm", 20, 10_000),
        _amount("watts", "heat rate", "Power at the blower.", "480 W", 5, 3_000, unit="W", bare="W"),
        _amount("static pressure", "pressure", "External static pressure.", "0.52 in. w.c.", 0, 3),
        _amount("return static", "pressure", "Return side, with its sign.", "-0.22 in. w.c.", -3, 3),
        _amount("supply static", "pressure", "Supply side.", "0.30 in. w.c.", -3, 3),
        *(
            _amount(port, "pressure", f"Static against the room, {where}.", example, -3, 3)
            for port, where, example in (
                ("return grille", "behind the return grille", "-0.03 in. w.c."),
                ("before filter", "in the return before the filter", "-0.10 in. w.c."),
                ("after filter", "behind the filter, at the unit's inlet", "-0.25 in. w.c."),
                ("before coil", "before the coil, at a furnace's outlet", "0.40 in. w.c."),
                ("after coil", "behind the coil", "0.15 in. w.c."),
            )
        ),
        _amount(
            "capacity",
            "heat rate",
            "Cooling capacity by the maker's table at this reading's air.",
            "33 MBH",
            4_000,
            300_000,
        ),
        _amount("duct area", "area", "Area of the duct that was traversed, or its sides.", "20 x 12 in", "0.1", 50),
        _amount("volume", "volume", "Gas that passed the meter.", "2 ft3", "0.01", 1_000),
        _amount("time", "time", "Time it took.", "90 s", 5, 7_200, bare="s"),
        _amount("heat of gas", "heat per volume", "Heat of the gas.", "1037 Btu/ft3", 400, 3_500),
        _fact("nozzle rate", "Rate marked on the oil nozzle.", "nozzle"),
        _fact("pump pressure", "Oil pressure at the nozzle."),
        _fact("firing rate", "Firing rate shown."),
    )
}
READING_WORDS: Mapping[str, Field] = {
    field.key: field
    for field in (
        _word("filter", "Whether the filter was in.", ("in", "out")),
        _word("panels", "Whether the panels were on.", ("on", "off")),
        _word("coil", "Whether the coil was wet.", ("wet", "dry")),
        _word("dehumidify", "What the humidistat asked.", ("satisfied", "calling")),
        _word("zones", "Whether all zones were open.", ("open", "some closed")),
        _word("compressor", "Whether the compressor ran.", ("on", "off")),
        _word("stage locked", "Whether the stage was held while it was read.", ("yes", "no")),
        _word("inside", "What the plate counts as inside the unit: filter, coil, none.", (), "filter coil"),
        _word("probe", "Where the supply probe is.", ("before the blower", "after the blower")),
        _word("ports", "Where the static was measured.", (), "after the filter, before the coil"),
        _word(
            "shows",
            "What the meter shows: the volume that moves, standard air, or pressure without density correction.",
            ("actual", "standard", "uncorrected"),
        ),
    )
}
VELOCITIES = Field(
    key="velocities",
    attr="velocities",
    help="Velocities of a traverse over equal areas, or velocity pressures.",
    example="620 655 640 605 fpm",
    kinds=("velocity", "pressure"),
    form="several",
    least=Fraction(0),
    most=Fraction(5_000),
)
READING = (
    _word("call", "The call, and its stage or terminals, that ran.", (), "heating second"),
    _word("stage", "Its stage, where it doesn't stand with the call.", (), "second"),
    _amount("minutes", "time", "Time since the call began.", "15", 0, 86_400, bare="min"),
    _word("method", "How it was measured.", METHODS),
    *READING_VALUES.values(),
    VELOCITIES,
    *READING_WORDS.values(),
)
