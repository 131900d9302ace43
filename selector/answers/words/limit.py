"""A limit in words: broken by how much, kept, not checked; and why a stage has no airflow.

A sentence names the figure, how far it is over or below, in its own unit, and whose limit it is.
"""

from __future__ import annotations

from typing import Literal

from selector.answers.words.figure import ShownFigure, apart, text_of

End = ShownFigure | None
"""An end of a range; None where it is open."""
Owner = Literal["plate", "manual", "job", "assumed", "heater", "static"]
"""Whose limit it is: the rating plate, the manual, what the job says, a figure nobody typed, the heater that is
there, the static pressure."""
WHOSE: dict[Owner, str] = {
    "plate": "the plate's",
    "manual": "the manual's",
    "job": "your",
    "assumed": "the assumed",
    "heater": "the heater's minimum",
    "static": "the static's",
}
_NAMED = {
    "temperature rise": "rise",
    "outlet limit": "supply",
    "least return": "return",
    "plate static": "static",
    "static pressure": "static",
    "heat input": "input",
    "airflow": "",
    "airflow per ton": "",
}
"""Quantity -> the word before its figure; none where the unit says it."""


def quantity_word(quantity: str) -> str:
    """`rise`, `supply`, `static`; empty for an airflow, which its unit tells."""
    return _NAMED.get(quantity, quantity)


def figure_text(quantity: str, amount: ShownFigure) -> str:
    """`rise 67.8 F`, `1,062 cfm`."""
    return f"{quantity_word(quantity)} {text_of(amount)}".lstrip()


def broken_text(quantity: str, value: ShownFigure, low: End, high: End, owner: Owner, *, at_least: bool = False) -> str:
    """`rise 67.8 F, 2.8 F over the plate's 65 F`; `1,038 cfm, 45 cfm below the manual's 1,083 cfm`.

    If rounding would hide the breach, the decimals that show it are shown. `at_least`: it may be further off.
    """
    side, end = over_or_below(value, low, high)
    if end is None:
        return figure_text(quantity, value)
    shown, distance = apart(value, end)
    least = "at least " if at_least else ""
    return f"{quantity_word(quantity)} {shown}, {least}{distance} {side} {WHOSE[owner]} {text_of(end)}".lstrip()


def over_or_below(value: ShownFigure, low: End, high: End) -> tuple[str, End]:
    """(`over` or `below`, the end it is past); ("inside", None) where it is past none."""
    if low is not None and value.value < low.value:
        return "below", low
    if high is not None and value.value > high.value:
        return "over", high
    return "inside", None
