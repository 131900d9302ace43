"""An airflow in words, or which of the five noes stands in its place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from selector.answers.words.figure import ShownFigure, UnitNames, number_of, text_of
from selector.answers.words.listing import listed
from selector.table.model.table import No, Table


def in_units(table: Table) -> UnitNames:
    """Makes amounts in the table's units."""
    return UnitNames(units=table.units)


def airflow_text(table: Table, airflow: Fraction) -> str:
    """`1,198 cfm`: whole units on the screen."""
    return text_of(in_units(table).worked(airflow, "airflow"))


def airflow_number(table: Table, airflow: Fraction) -> str:
    """`1,198`: under a head, or before a figure that has the unit."""
    return number_of(in_units(table).worked(airflow, "airflow"))


def airflows_text(table: Table, airflows: Iterable[Fraction]) -> str:
    """`1,062 or 1,130 cfm`: what it may be. Figures that would look alike get the decimals that tell them apart."""
    values = list(airflows)
    for places in range(7):
        amounts = [in_units(table).worked(value, "airflow") for value in values]
        texts = [text_of(amount, places) for amount in amounts]
        if len(set(texts)) == len(set(values)):
            break
    unit = f" {table.units.airflow}"
    return listed([text.removesuffix(unit) for text in texts], "or") + unit


def as_range(table: Table, airflows: Sequence[Fraction], facts: Iterable[str], most: int) -> bool:
    """True where what a stage may be is said by its ends: more than `most` airflows, or the airflow runs on with one of
    the facts that decide."""
    return len(airflows) > most or (len(airflows) > 1 and any(map(table.drawn_along, facts)))


def possible_text(table: Table, airflows: Sequence[Fraction], facts: Iterable[str], most: int) -> str:
    """`1,062 or 1,130 cfm`, `470 to 615 cfm`: all that a stage may be, rising."""
    if as_range(table, airflows, facts, most):
        return f"{airflow_number(table, airflows[0])} to {airflow_text(table, airflows[-1])}"
    return airflows_text(table, airflows)


def no_text(no: No) -> str:
    """`not usable (page 23: do not use)`: the no, and what settles it or where the page says so."""
    said = no.words
    return f"{said} ({no.why})" if no.why else said


def rise_text(table: Table, rise: Fraction) -> str:
    """`rise 50.8 F`."""
    return f"rise {text_of(in_units(table).worked(rise, 'temperature difference'))}"


def per_ton_text(table: Table, per_ton: Fraction) -> str:
    """`354 cfm/ton`."""
    return text_of(in_units(table).worked(per_ton, "airflow per ton"))


def fire_text(rate: Fraction) -> str:
    """`at 60 % fire`."""
    return f"at {text_of(ShownFigure(value=rate, kind='share', unit='%', printed=True))} fire"
