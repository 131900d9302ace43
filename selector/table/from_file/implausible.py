"""What a figure of a quantity can't be: a trim without a sign, a share with one, a percent typed as a fraction, more
taken off than there is."""

from __future__ import annotations

from fractions import Fraction

from selector.table.model.quantities import Quantity

MOST_SHARE = 1000
"""Percent of another airflow: a low stage may be printed as a multiple of the fan's."""
MOST_STEP_CFM = 2000
"""A figure that airflow is rounded to: the roundest printed are hundreds, and no blower moves ten times this."""


def fault(quantity: Quantity, value: Fraction, typed: str, *, percent: bool) -> tuple[str, str, str] | None:
    """(code, message, help) for a figure that can't be meant, None for a sound one. `typed` begins with its sign;
    `percent`: a % stands with it."""
    name = quantity.name
    signed = typed[:1] in ("+", "-")
    if quantity.signed and not signed and value != 0:
        return (
            f"unsigned-{name}",
            f"the {name} `{typed}` has no sign",
            f"type +{typed} or -{typed}, as the page means it",
        )
    if quantity.signed is False and signed:
        remedy = "; for more or less, the quantity is trim" if quantity.unit == "percent" else ""
        return f"signed-{name.replace(' ', '-')}", f"the {name} `{typed}` has a sign", f"type {typed[1:]}{remedy}"
    if quantity.unit == "percent" and not percent and 0 < abs(value) < 1:
        sign = typed[0] if signed else ""
        return (
            "percent-as-fraction",
            f"`{typed}` looks like a fraction; {name} is in percent",
            f"type {sign}{float(abs(value) * 100):g} %",
        )
    if quantity.operation == "percent off" and value > 100:
        return (
            "reduction-over-100",
            f"a {name} of {float(value):g} % takes off more than there is",
            "type the percent taken off, 0 to 100",
        )
    if quantity.operation == "percent of" and value > MOST_SHARE:
        return (
            "share-too-large",
            f"a {name} of {float(value):g} % is more than any page prints",
            "type the percent as printed, for example 45 %",
        )
    if quantity.operation == "add percent" and value < -100:
        return (
            "trim-under-100",
            f"a {name} of {float(value):g} % takes off more than there is",
            "type the percent as printed, for example -6 %",
        )
    if quantity.operation == "divide heat" and value == 0:
        return (
            "rise-of-0",
            "no airflow gives a temperature rise of 0",
            "type the rise as printed, or - where none is printed",
        )
    return None
