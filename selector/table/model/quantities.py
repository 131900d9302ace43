"""The quantities a chart, a selector or a fact can give: what a cell of each means and what it does in a call's
steps."""

from __future__ import annotations

from typing import Literal

from selector.value import Struct

Role = Literal["base", "factor", "bound", "heat", "note"]
Content = Literal["number", "word"]


class Quantity(Struct, frozen=True, kw_only=True):
    """One quantity.

    `role`: base (an airflow to start from), factor (acts on it), bound (clamps it), heat (acts in heat steps), note
    (told, never computed with).
    `unit` is the kind of unit its cells may carry; `signed` whether a sign is needed (True), refused (False) or free
    (None).
    `none` is what the cell word `none` means: no such call (None) or this number.
    """

    name: str
    role: Role
    unit: str
    help: str
    content: Content = "number"
    signed: bool | None = False
    none: int | None = None


_ALL = (
    Quantity(name="airflow", role="base", unit="airflow", help="the airflow itself"),
    Quantity(name="tons", role="base", unit="tons", help="capacity of the outdoor unit, tons"),
    Quantity(
        name="airflow per ton", role="base", unit="airflow per ton", help="airflow for each ton; multiplied by tons"
    ),
    Quantity(
        name="temperature rise",
        role="base",
        unit="temperature difference",
        help="the rise the airflow must give with the delivered heat; beside a printed airflow it is a check",
    ),
    Quantity(
        name="trim",
        role="factor",
        unit="percent",
        help="percent added or taken off, with its sign: +6 % or -12 %",
        signed=True,
        none=0,
    ),
    Quantity(name="share", role="factor", unit="percent", help="percent that is left: 66 %"),
    Quantity(name="reduction", role="factor", unit="percent", help="percent taken off: 16 %", none=0),
    Quantity(
        name="offset",
        role="factor",
        unit="airflow",
        help="airflow added or taken off, with its sign: +50 or -50",
        signed=True,
        none=0,
    ),
    Quantity(name="least airflow", role="bound", unit="airflow", help="the airflow may not be lower"),
    Quantity(name="most airflow", role="bound", unit="airflow", help="the airflow may not be higher"),
    Quantity(name="heat input", role="heat", unit="heat", help="what is burned, before efficiency"),
    Quantity(name="heater power", role="heat", unit="power", help="rated power of the electric heater, kW"),
    Quantity(name="nozzle rate", role="heat", unit="oil rate", help="rate marked on the oil nozzle, gallons an hour"),
    Quantity(name="seconds", role="note", unit="time", help="a time: delay, run-on", none=0),
    Quantity(name="watts", role="note", unit="watts", help="power the blower draws"),
    Quantity(name="speed", role="note", unit="speed", help="blower speed, rpm"),
    Quantity(name="ramp", role="note", unit="", help="name of a ramp", content="word"),
    Quantity(
        name="label", role="note", unit="", help="a word that is told, such as a lock-out temperature", content="word"
    ),
)
QUANTITIES: dict[str, Quantity] = {q.name: q for q in _ALL}
FIGURES = tuple(q.name for q in _ALL if q.content == "number")
"""Those that are figures."""

BUILT_IN_FACTS = ("model", "stage", "static pressure", "firing rate")
CONTINUOUS_FACTS = ("static pressure", "firing rate")
STEP_WORDS = ("use", "call", "at least", "at most", "round", "round up", "round down", "when")
RESERVED_WORDS = frozenset(
    (*QUANTITIES, *BUILT_IN_FACTS, *STEP_WORDS, "none", "as", "not used", "reserved", "do not use")
)

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
