"""The grammar of a table file: every key with its shape, its help and an example. The reader and the published
schema both come from here."""

from __future__ import annotations

from collections.abc import Mapping as Map
from typing import Any

from selector.table.grammar.patterns import GIVES, ROWS, by_quantity, snippet
from selector.table.grammar.step_shapes import WHEN, Steps, by_stage
from selector.table.kinds import KINDS
from selector.table.kinds.switches import MEMBER
from selector.table.model.quantities import QUANTITIES, RATINGS
from selector.table.model.table import PURPOSES
from selector.table.text.nodes import Mapping
from selector.table.text.refusing import TWICE, TWO_OR_MORE
from selector.table.text.shapes import (
    ByKind,
    Choice,
    FileReport,
    MapOf,
    Nested,
    Record,
    Shape,
    Text,
    Words,
    WordsOr,
)

FORMAT = "selector table 1"

UNITS: dict[str, tuple[str, ...]] = {
    "airflow": ("cfm", "L/s", "m3/h"),
    "pressure": ("in. w.c.", "Pa"),
    "temperature": ("F", "C"),
    "heat": ("Btu/h", "MBH", "kW"),
}

MANUAL = Record(
    {"number": Words("Number of the manual.", "K-14"), "pages": Words("Its pages with the charts.", "23-24")}
)
APPLIES_TO = Record(
    {"board part": Words("Part number of the board.", "B-2201"), "series": Words("Series of the unit.", "3")}
)

UNIT = Record(
    {
        "title": Text("What the unit is, in plain words.", "Two-stage gas furnace"),
        "maker": Text("Name of the maker.", "Corvane"),
        "models": Words("The models of the charts, in the order of their columns.", "060 080 110", TWICE),
        "manual": WordsOr(MANUAL, "The manual's number and pages.", "{number: K-14, pages: 23-24}"),
        "transcribed": Text("Who typed it and when.", "2026-03-04"),
        "applies to": WordsOr(
            APPLIES_TO, "Board part or series the charts hold for.", "{board part: B-2201, series: 3}"
        ),
        "reads": Choice(("at power-up", "always"), "When the board reads its selectors."),
        "motor": Choice(
            ("constant airflow", "constant torque", "fixed speed"), "How the motor answers to static pressure."
        ),
        "airflow means": Choice(
            ("standard air", "actual"), "What the printed airflow is: that of standard air, or the volume that moves."
        ),
        "holds up to": Text("Static pressure up to which the charts hold.", "0.8"),
        "only": Text("Facts that every chart holds under; judged where known.", "static pressure 0.05 to 0.9"),
        "note": Text("Anything worth telling.", "The taps take 24 V."),
    },
    ("title",),
    "The unit the charts belong to.",
    "{title: Two-stage gas furnace, maker: Corvane}",
)

UNITS_RECORD = Record(
    {k: Choice(v, f"Unit of {k} in this file.") for k, v in UNITS.items()},
    (),
    "The units the page is printed in; only those used.",
    "{airflow: cfm, temperature: F}",
)

RATING_EXAMPLES = {
    "heat input": "{060: 60000, 080: 80000}",
    "heat output": "{first: 39000, second: 57000}",
    "efficiency": "95 %",
    "temperature rise": "35 to 65",
    "outlet limit": "170",
    "heater voltage": "240 V",
    "nozzle pressure": "100 psi",
    "pump pressure": "140 psi",
    "heat per gallon": "140000",
    "plate static": "0.5",
}

_BY_SELECTOR = {
    "temperature rise": " By a selector's positions too: {P1: {1: 30 to 60, 2: 35 to 65}}.",
    "efficiency": " By a selector's positions too: {P1: {1 2: 85 %, others: 83 %}}.",
    "pump pressure": " By a selector's positions too: {P1: {1: 100 psi, others: 140 psi}}.",
    "nozzle pressure": " By a selector's positions too.",
}

RATINGS_RECORD = Record(
    {
        k: Nested(
            Text(),
            2,
            f"{help[0].upper()}{help[1:]}; a value, by model, by stage, or by model and stage."
            + _BY_SELECTOR.get(k, ""),
            RATING_EXAMPLES[k],
        )
        for k, (_, help) in RATINGS.items()
    },
    (),
    "Figures of the rating plate.",
    "{efficiency: 95 %, temperature rise: 35 to 65}",
)

FACT = Record(
    {
        "gives": Choice(tuple(QUANTITIES), "What the fact's value means when it is used as a figure.", "tons"),
        "values": Words("The values that the page prints.", "2 2.5 3 3.5 4 5", TWO_OR_MORE),
        "range": Text("The lowest and the highest value.", "25 to 100"),
    },
    (),
    "Something not set but known.",
    "{gives: tons, values: 2 2.5 3}",
)

CHART = Record(
    {
        "page": Text("Page of the manual.", "23"),
        "set": Words("The selectors whose positions begin each row, in the order of the columns.", "SW1-2 SW1-3 SW1-4"),
        "across": MapOf(
            Words("The heads of the columns.", "060 080 110"),
            "What stands along the top, outermost first.",
            "{model: 060 080 110}",
        ),
        "gives": Words("What the figures are; several where each head has several columns.", "airflow", GIVES),
        "rows": Text(
            "The rows as printed, below a bar: positions, then figures.",
            more={**ROWS, **snippet("OFF OFF  1020", "ON  OFF   540")},
        ),
        "holds up to": Text("Static pressure up to which this chart holds.", "0.5"),
        "conditions": Text("What the page says the figures hold for.", "dry coil, filter in"),
        "only": Text("Facts that the chart holds under; judged where they are known.", "static pressure 0.2 to 0.8"),
        "notes": Text(
            "Footnotes, a line each: the mark that stands at a figure or row, then its text; one that begins with only"
            " is judged.",
            more=snippet("*  only static pressure up to 0.5", "a  as shipped"),
        ),
        "note": Text("Anything worth telling with it.", "figures with the filter in"),
    },
    ("gives", "rows"),
    "A chart of the page.",
    "\n  set: SW1-5\n  gives: trim\n  rows: |\n    OFF  none\n    ON   +6 %",
    more={"allOf": by_quantity()},
)

CALL = Record(
    {
        "terminals": Nested(
            Words(),
            1,
            "Terminals energised, and behind not those without voltage, by stage where there are stages.",
            "{first: Y1, second: Y1 Y2}",
        ),
        "for": Choice(PURPOSES, "What the call is for, where terminals and name don't say it."),
        "stages": Words("Names of the stages, lowest first.", "first second", TWICE),
        "capacity": by_stage("Running capacity as a share of full, by stage.", "{first: 70 %}"),
        "when": WHEN,
        "lead": by_stage("The lead on the motor's taps that this call energises.", "Y1"),
        "airflow": Steps(
            "How the airflow comes about, step by step.", "[cooling airflow, trims, share: {first: 66 %}]"
        ),
        "heat": Steps("How the heat comes about, step by step.", "heat input"),
        "ramp": by_stage("How the blower comes up: a ramp, or a chart that gives one.", "slow start"),
        "on delay": by_stage("Seconds from the call to the blower.", "30"),
        "off delay": by_stage("Seconds the blower runs on after the call.", "run-on"),
        "window": Record(
            {
                k: Nested(
                    Text(),
                    3,
                    f"Acceptable {k}, both ends or one; by stage, by model, by model and stage, or by a selector's"
                    " positions."
                    + (" A chart or a call may stand for an end: at least NAME." if k == "airflow" else ""),
                    e,
                )
                for k, e in {
                    "airflow": "400 to 1600",
                    "airflow per ton": "300 to 450",
                    "temperature rise": "35 to 65",
                    "static pressure": "up to 0.6",
                    "heat input": "up to 100000",
                }.items()
            },
            (),
            "Acceptable range of the final airflow, by what it is judged.",
            "{airflow per ton: 300 to 450}",
        ),
        "together": MapOf(
            Choice(("highest", "this", "that")),
            "What the blower does when another call runs with this one.",
            "{fan: highest}",
        ),
        "note": Text("Anything worth telling with it.", "runs on after the call"),
    },
    ("airflow",),
    "What the blower is asked for.",
    "{terminals: G, airflow: fan airflow}",
)

TABLE = Record(
    {
        "format": Choice((FORMAT,), "The format of the file; always the first line.", FORMAT),
        "unit": UNIT,
        "units": UNITS_RECORD,
        "ratings": RATINGS_RECORD,
        "facts": MapOf(
            FACT,
            "Facts the charts ask for besides model, stage, static pressure and firing rate.",
            "{outdoor tons: {gives: tons, values: 2 3 4}}",
        ),
        "board": MapOf(
            ByKind(
                {**{k: kind.record for k, kind in KINDS.items()}, "switch": MEMBER},
                "A selector of the board.",
                "{kind: switches, count: 8, factory: all off}",
            ),
            "The selectors of the board, in their order.",
            "{SW1: {kind: switches, count: 8, factory: all off}, J1: {kind: jumper, positions: A B C, factory: A}}",
        ),
        "charts": MapOf(
            CHART,
            "The charts of the page.",
            "\n  trims:\n    set: SW1-5\n    gives: trim\n    rows: |\n      OFF  none\n      ON   +6 %",
        ),
        "ramps": MapOf(
            Text(
                "How long at which share of the airflow, part after part.",
                "60 s at 45 %, 240 s at 78 %, then 100 %, after 90 s at 40 %",
            ),
            "How the blower comes up, with numbers.",
            "\n  gentle: 30 s at 50 %, then 100 %",
        ),
        "calls": MapOf(
            CALL,
            "What the blower can be asked for, under names of your own.",
            "{fan: {terminals: G, airflow: fan airflow}}",
        ),
        "checked": MapOf(
            Text("Why the figure stays as it is.", "860 as printed on page 23"),
            "Findings of the review of slips that were held against the page, each by its letters; they are told no"
            " more.",
            "{kqrtwz: 860 as printed on page 23}",
        ),
    },
    ("format", "unit", "board", "charts", "calls"),
    "A selector table.",
)


def read_grammar(node: Mapping, report: FileReport) -> Any:
    """The cleaned file: `Fields` of `TABLE`. Problems go to the report."""
    return TABLE.read(node, "the file", report)


def known_keys() -> Map[str, Shape]:
    """The keys of the top level."""
    return TABLE.fields
