"""What one call and stage ought to move: an aim and a window, each a figure with its inputs, in airflow as the chart
counts it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from selector.air.figure import Figure
from selector.solve.search.targets import Target
from selector.table.model.table import Table
from selector.units import convert, format_number
from selector.value import Struct

Ends = tuple[Fraction | None, Fraction | None]


class Wanted(Struct, frozen=True, kw_only=True):
    """Aim and window of a call's stage; None is an open end, or no aim. The figures are airflows in any unit. `why`:
    what sets the window.

    A window whose ends are reversed holds no airflow: every one is below it or above it. `must_run`: it has to run
    though nothing is aimed at (heat
    without a blower burns out). `unjudged`: why nothing more can be judged.
    """

    call: str
    stage: str
    aim: Figure | None = None
    low: Figure | None = None
    high: Figure | None = None
    why: str = ""
    must_run: bool = False
    unjudged: str = ""

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()

    def text(self, table: Table) -> str:
        """The window and what sets it: `1,083 to 2,010 cfm (rise 35 to 65 F)`."""
        return window_text(*ends(self, table), table) + (f" ({self.why})" if self.why else "")


def native(figure: Figure | None, table: Table) -> Fraction | None:
    """A figure of airflow in the table's unit."""
    return None if figure is None else convert(figure.value, figure.unit, table.units.airflow)


def ends(wanted: Wanted, table: Table) -> Ends:
    """The window in the table's unit."""
    return native(wanted.low, table), native(wanted.high, table)


def windows(wanted: Iterable[Wanted], table: Table) -> Mapping[tuple[str, str], Ends]:
    """The window of every call and stage that has one; two for one stage: the part they share (reversed where they
    share none)."""
    out: dict[tuple[str, str], Ends] = {}
    for one in wanted:
        low, high = ends(one, table)
        if low is None and high is None:
            continue
        before = out.get((one.call, one.stage), (None, None))
        lows = [end for end in (low, before[0]) if end is not None]
        highs = [end for end in (high, before[1]) if end is not None]
        out[one.call, one.stage] = (max(lows) if lows else None, min(highs) if highs else None)
    return out


HIGHEST = Fraction(10**9)
"""Stands for an open upper end: no blower moves that."""


def asked_of(wanted: Iterable[Wanted]) -> frozenset[tuple[str, str]]:
    """The stages that have to run: somebody aims at them, or they heat. A window alone only counts where its stage
    runs."""
    return frozenset((one.call, one.stage) for one in wanted if one.aim is not None or one.must_run)


def whys(wanted: Iterable[Wanted], key: tuple[str, str]) -> str:
    """What sets the window of a call and stage, each thing once."""
    return "; ".join(dict.fromkeys(one.why for one in wanted if (one.call, one.stage) == key and one.why))


def as_target(key: tuple[str, str], window: Ends, table: Table, why: str = "") -> Target:
    """The window of a call and stage as a target for the search: no deviation anywhere inside. `why`: what sets it,
    said with its text."""
    low, high = window
    return Target(
        call=key[0],
        stage=key[1],
        quantity="airflow",
        low=Fraction(0) if low is None else low,
        high=HIGHEST if high is None else high,
        text=window_text(low, high, table) + (f" ({why})" if why else ""),
    )


def window_text(low: Fraction | None, high: Fraction | None, table: Table) -> str:
    """`1,083 to 2,010 cfm`, `at least 400 cfm`, `any airflow`."""
    unit = table.units.airflow
    if low is not None and high is not None:
        return f"{format_number(low, 0)} to {format_number(high, 0)} {unit}"
    if low is not None:
        return f"at least {format_number(low, 0)} {unit}"
    return f"at most {format_number(high, 0)} {unit}" if high is not None else "any airflow"


def flow(value: Fraction) -> str:
    """An airflow as people read it: at most one decimal, none where it would be 0.

    >>> flow(Fraction(1250)), flow(Fraction(11978, 10))
    ('1,250', '1,197.8')
    """
    text = format_number(value, 1)
    return text.removesuffix(".0")
