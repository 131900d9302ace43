"""Pieces that the published answers are made of."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from selector.solve.board.marks import mark_by_part, marks_of
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.decode import DeclaredDifference
from selector.table.model.table import Setting, Table
from selector.value import Published

VERSION: Literal[2] = 2
"""The version of every answer's shape."""


class UnitsData(Published, frozen=True, kw_only=True):
    """The units of an answer's figures; heat is in Btu/h, times in seconds, shares in percent."""

    airflow: str
    temperature: str
    pressure: str


class SettingData(Published, frozen=True, kw_only=True):
    """A setting of the whole board: as it would be typed, and the printed mark of every switch and selector (? where
    it can't be read)."""

    marks: str
    positions: dict[str, str]


class RangeData(Published, frozen=True, kw_only=True):
    """What is allowed; an end that is null is open."""

    low: Fraction | None
    high: Fraction | None


class LimitData(Published, frozen=True, kw_only=True):
    """A limit and how a stage sits with it; `ok` is null where it can't be checked, then `why` says what is missing.
    `beyond`: how far over (positive) or below (negative)."""

    limit: str
    quantity: str
    ok: bool | None
    value: Fraction | None
    allowed: RangeData
    beyond: Fraction
    firing_rate: str
    why: str


class ContradictionData(Published, frozen=True, kw_only=True):
    """A selector that is set for other equipment than is installed."""

    selector: str
    fact: str
    set_for: str
    installed: str


class MoveData(Published, frozen=True, kw_only=True):
    """One selector moved; `was` is null where it couldn't be read."""

    selector: str
    was: str | None
    to: str


class FigureTree(Published, frozen=True, kw_only=True):
    """A figure with all it rests on: a leaf has a `source`, a computed one its `expression` over its inputs' names."""

    name: str
    value: Fraction
    unit: str
    text: str
    source: str = ""
    expression: str = ""
    inputs: tuple[FigureTree, ...] = ()
    note: str = ""


def units_data(table: Table) -> UnitsData:
    """The units a table's answers are in."""
    units = table.units
    return UnitsData(airflow=units.airflow, temperature=units.temperature, pressure=units.pressure)


def setting_data(setting: Setting, table: Table) -> SettingData:
    """A setting for JSON."""
    return SettingData(marks=marks_of(setting, table), positions=mark_by_part(setting, table))


def limit_data(judged: JudgedLimit) -> LimitData:
    """A limit for JSON."""
    return LimitData(
        limit=judged.limit.source,
        quantity=judged.limit.quantity,
        ok=judged.ok,
        value=judged.value,
        allowed=RangeData(low=judged.low, high=judged.high),
        beyond=beyond(judged.value, judged.low, judged.high),
        firing_rate=judged.rate,
        why=judged.why,
    )


def beyond(value: Fraction | None, low: Fraction | None, high: Fraction | None) -> Fraction:
    """How far over (positive) or below (negative) a range, 0 inside."""
    if value is None:
        return Fraction(0)
    if low is not None and value < low:
        return value - low
    return value - high if high is not None and value > high else Fraction(0)


def contradictions_data(differences: Iterable[DeclaredDifference]) -> tuple[ContradictionData, ...]:
    """What the board is set for beside what is installed, for JSON."""
    return tuple(
        ContradictionData(selector=d.selector, fact=d.fact, set_for=d.board, installed=d.known) for d in differences
    )
