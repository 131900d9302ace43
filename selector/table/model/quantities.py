"""The one list of what a chart, a selector, a fact or a step can give: what a figure of each means and what it does in
a call's steps. Grammar, builder, checks, formula, evaluator and page take it from here."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from selector.value import Struct

Role = Literal["base", "factor", "bound", "heat", "note"]
Content = Literal["number", "word"]
Operation = Literal[
    "start",
    "product",
    "divide heat",
    "add percent",
    "percent of",
    "percent off",
    "add",
    "subtract",
    "raise to",
    "lower to",
    "round",
    "round up",
    "round down",
    "times",
]
"""What a step does to x, the airflow or heat so far, with its figure v. `act` of `solve/engine/step_arithmetic.py` and
of `pocket/scripts/run.js` carry it out."""


class Form(Struct, frozen=True):
    """An operation in a formula: `words` with the name of the figure, and as an `expression` of x and v that can be
    worked out again (percents as shares of 1)."""

    words: str
    expression: str


FORMS: dict[Operation, Form] = {
    "start": Form("{}", "{v}"),
    "product": Form("{}", "{x} * {v}"),
    "divide heat": Form("heat output / (sensible factor x {})", "{x} / {v}"),
    "add percent": Form("x (1 + {})", "{x} * (1 + {v})"),
    "percent of": Form("x {}", "{x} * {v}"),
    "percent off": Form("x (1 - {})", "{x} * (1 - {v})"),
    "add": Form("+ {}", "{x} + {v}"),
    "subtract": Form("- {}", "{x} - {v}"),
    "raise to": Form("at least {}", "max({x}, {v})"),
    "lower to": Form("at most {}", "min({x}, {v})"),
    "round": Form("rounded to {}", "nearest({x}, {v})"),
    "round up": Form("rounded up to {}", "up({x}, {v})"),
    "round down": Form("rounded down to {}", "down({x}, {v})"),
    "times": Form("x {}", "{x} * {v}"),
}
STARTS: tuple[Operation, ...] = ("start", "product", "divide heat")
"""Operations that need nothing before them."""
BOUNDS: tuple[Operation, ...] = ("raise to", "lower to")
"""Operations that act only where they are reached."""


class StepWord(Struct, frozen=True, kw_only=True):
    """A word that a step may begin with.

    `unit` is the kind of unit its figure may carry; `signed` whether a sign is needed (True), refused (False) or free
    (None).
    `none` is what the cell word `none` means: no such call (None) or this number; to a bound it is no bound.
    `takes` are the quantities of a chart, beside its own, that may stand behind the word.
    """

    name: str
    unit: str
    help: str
    example: str
    operation: Operation | None = None
    signed: bool | None = False
    none: int | None = None
    takes: tuple[str, ...] = ()


class Quantity(StepWord, frozen=True, kw_only=True):
    """One quantity.

    `role`: base (an airflow to start from), factor (acts on it), bound (clamps it), heat (what heat is worked out
    from), note (told, never computed with; it has no operation).
    """

    role: Role
    content: Content = "number"


_ALL = (
    Quantity(name="airflow", role="base", operation="start", unit="airflow", help="the airflow itself", example="1200"),
    Quantity(
        name="tons",
        role="base",
        operation="product",
        unit="tons",
        help="capacity of the outdoor unit, tons; multiplied by airflow per ton",
        example="3",
    ),
    Quantity(
        name="airflow per ton",
        role="base",
        operation="product",
        unit="airflow per ton",
        help="airflow for each ton; multiplied by tons",
        example="400",
    ),
    Quantity(
        name="temperature rise",
        role="base",
        operation="divide heat",
        unit="temperature difference",
        help="the rise the airflow must give with the delivered heat; beside a printed airflow it is a check",
        example="50",
    ),
    Quantity(
        name="trim",
        role="factor",
        operation="add percent",
        unit="percent",
        help="percent added or taken off, with its sign: +6 % or -12 %",
        example="-6 %",
        signed=True,
        none=0,
    ),
    Quantity(
        name="share",
        role="factor",
        operation="percent of",
        unit="percent",
        help="percent that is left: 66 %",
        example="{first: 66 %}",
    ),
    Quantity(
        name="reduction",
        role="factor",
        operation="percent off",
        unit="percent",
        help="percent taken off: 16 %",
        example="16 %",
        none=0,
    ),
    Quantity(
        name="offset",
        role="factor",
        operation="add",
        unit="airflow",
        help="airflow added or taken off, with its sign: +50 or -50",
        example="+50",
        signed=True,
        none=0,
    ),
    Quantity(
        name="least airflow",
        role="bound",
        operation="raise to",
        unit="airflow",
        help="the airflow may not be lower",
        example="350",
        takes=("airflow",),
    ),
    Quantity(
        name="most airflow",
        role="bound",
        operation="lower to",
        unit="airflow",
        help="the airflow may not be higher",
        example="1600",
        takes=("airflow",),
    ),
    Quantity(
        name="heat input",
        role="heat",
        operation="start",
        unit="heat",
        help="what is burned, before efficiency",
        example="60000",
    ),
    Quantity(
        name="heat output",
        role="heat",
        operation="start",
        unit="heat",
        help="what is delivered, efficiency counted",
        example="57000",
    ),
    Quantity(
        name="heater power",
        role="heat",
        operation="start",
        unit="power",
        help="rated power of the electric heater, kW",
        example="10",
    ),
    Quantity(
        name="nozzle rate",
        role="heat",
        operation="start",
        unit="oil rate",
        help="rate marked on the oil nozzle, gallons an hour",
        example="0.75",
    ),
    Quantity(name="seconds", role="note", unit="time", help="a time: delay, run-on", example="90 s", none=0),
    Quantity(name="watts", role="note", unit="watts", help="power the blower draws", example="320"),
    Quantity(name="speed", role="note", unit="speed", help="blower speed, rpm", example="950"),
    Quantity(name="ramp", role="note", unit="", help="name of a ramp", example="slow", content="word"),
    Quantity(
        name="label",
        role="note",
        unit="",
        help="a word that is told, such as a lock-out temperature",
        example="40 F",
        content="word",
    ),
)
_WORDS = (
    StepWord(
        name="at least",
        operation="raise to",
        unit="airflow",
        help="never lower than this",
        example="400",
        takes=("least airflow", "airflow"),
    ),
    StepWord(
        name="at most",
        operation="lower to",
        unit="airflow",
        help="never higher than this",
        example="1600",
        takes=("most airflow", "airflow"),
    ),
    StepWord(
        name="plus",
        operation="add",
        unit="airflow",
        help="another airflow on top, or another heater",
        example="call fan",
        none=0,
        takes=("airflow", "heater power", "heat input", "heat output"),
    ),
    StepWord(
        name="minus",
        operation="subtract",
        unit="airflow",
        help="another airflow taken away",
        example="100",
        none=0,
        takes=("airflow", "heater power", "heat input", "heat output"),
    ),
    StepWord(name="round", operation="round", unit="airflow", help="to the nearest multiple", example="5"),
    StepWord(name="round up", operation="round up", unit="airflow", help="up to the next multiple", example="10"),
    StepWord(name="round down", operation="round down", unit="airflow", help="down to the next multiple", example="10"),
)
QUANTITIES: dict[str, Quantity] = {q.name: q for q in _ALL}
STEPS: dict[str, StepWord] = {w.name: w for w in (*_ALL, *_WORDS) if w.operation is not None}
"""Every word of a step that acts, `use` and `call` apart."""
FIGURES = tuple(q.name for q in _ALL if q.content == "number")
"""Those that are figures."""
HEATS = tuple(q.name for q in _ALL if q.role == "heat")
"""Those that heat is worked out from."""
BOUNDING = tuple(q.name for q in _ALL if q.role == "bound")
"""Those that are a least or a most airflow."""
TOLD = ("watts", "speed", "label")
"""Those that are told as they are printed."""
RISE = "temperature rise"
HEAT_INPUT = "heat input"
SUMS = ("plus", "minus")
"""Words of steps that add or take away another airflow, or another heat."""


def operation_of(word: str) -> Operation:
    """What a step of this word does; that of words of the evaluator's own (`call`, `use`) is a start."""
    known = STEPS.get(word)
    return "start" if known is None or known.operation is None else known.operation


def wanted_after(word: str) -> tuple[str, ...]:
    """The quantities that a chart named after a step's word may give, the first that it gives counts."""
    own = (word,) if word in QUANTITIES else ()
    return (*own, *(STEPS[word].takes if word in STEPS else ())) or (word,)


def takes_airflow(word: str) -> bool:
    """True for a step's word behind which an airflow may stand, another call's among them."""
    return "airflow" in wanted_after(word)


def acting(gives: Iterable[str]) -> tuple[str, ...]:
    """The quantities of a chart that act on airflow or heat: a rise printed beside an airflow is a check."""
    given = tuple(gives)
    return tuple(g for g in given if QUANTITIES[g].operation is not None and not (g == RISE and "airflow" in given))


def acts_on_heat(name: str) -> bool:
    """True for what may stand among the steps of heat: what it is worked out from, and percents of it."""
    quantity = QUANTITIES.get(name)
    return name in SUMS or (
        quantity is not None and (quantity.role == "heat" or (quantity.role == "factor" and quantity.unit == "percent"))
    )


BUILT_IN_FACTS = ("model", "stage", "static pressure", "firing rate")
OWN_AIRFLOW = "airflow"
"""In set: or across: of a chart of watts or speeds: it is read at each call's own airflow."""
CONTINUOUS_FACTS = ("static pressure", "firing rate", OWN_AIRFLOW)
STEP_WORDS = ("use", "call", *(w.name for w in _WORDS), "when")
_SINCE = frozenset((*SUMS, "heat output"))
"""Words that names may still be: files had them before they meant something."""
RESERVED_WORDS = frozenset(
    (
        *(w for w in (*QUANTITIES, *STEP_WORDS) if w not in _SINCE),
        *BUILT_IN_FACTS,
        "none",
        "as",
        "not used",
        "reserved",
        "do not use",
    )
)
JOB_WORDS = frozenset(
    (
        *("aim", "airflow means", "amps", "auxiliary", "balance point", "blower heat", "by", "bypass", "call length"),
        *("calls", "capacity", "climate", "complaint", "current", "date", "derate", "done", "heater voltage", "hours"),
        *("humid", "in force", "kind", "latent load", "least per ton", "least return", "leaving limit", "input"),
        *("most per ton", "notes", "outlet limit", "output", "phases", "place", "plate model", "plate static"),
        *("price", "return", "return air", "return wet bulb", "rise", "seen", "sensible load", "sensible share"),
        *("smallest zone", "stages", "static", "supply difference", "table", "table print", "volume", "wanted"),
        *("water drop", "water flow", "watts in", "wet bulb", "efficiency"),
    )
)
"""What a job means by itself: a fact of the page by such a name would never be told."""

RATINGS: dict[str, tuple[str, str]] = {
    "heat input": ("heat", "input on the rating plate"),
    "heat output": ("heat", "output on the rating plate; used before input x efficiency"),
    "efficiency": ("percent", "steady-state efficiency, 95 % or 0.95"),
    "temperature rise": ("range", "rise on the rating plate, 35 to 65"),
    "outlet limit": ("temperature", "highest outlet air temperature"),
    "heater voltage": ("voltage", "voltage the electric heater is rated at"),
    "nozzle pressure": ("oil pressure", "pump pressure the nozzle rate is marked for"),
    "pump pressure": ("oil pressure", "pump pressure the burner is set to"),
    "heat per gallon": ("heat per gallon", "heat in a gallon of oil"),
    "plate static": ("pressure", "greatest external static pressure on the rating plate"),
}
