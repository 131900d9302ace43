"""Pieces that the published answers are made of."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.solve.board.marks import mark_by_part, marks_of
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
