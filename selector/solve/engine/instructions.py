"""What a step does to an airflow: the one place where the meaning of the steps is written.

A register holds None (nothing yet), a Fraction, a half product of tons and airflow per ton, or a No that is passed on.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import Literal

from selector.solve.engine.readings import ChartReading
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import Cell, CellWord, No, Step
from selector.value import Struct

Register = tuple[str, str, str, str]
"""(what, call, stage, firing rate): what is `airflow` or `heat`."""


class Half(Struct, frozen=True):
    """Tons or airflow per ton, waiting for the other."""

    quantity: Literal["tons", "airflow per ton"]
    value: Fraction


Value = Fraction | Half | No | None


class Instruction(Struct, frozen=True, eq=False):
    """One act on one register.

    The operand is a number, a reading's cell (`cell` is its index among the chart's quantities), or another register.
    `conditions` are readings
    whose first cell must be 1. `op` is a quantity's name, `start` (copy another register), `at least`, `at most`,
    `round`, `round up`, `round down`,
    `runs` (a condition of the call: not met, it does not run), `heat` (delivered heat: multiply by `factor`), `rise`
    (divide heat by the operand).
    """

    target: Register
    op: str
    number: Fraction | None = None
    reading: ChartReading | None = None
    cell: int = 0
    register: Register | None = None
    conditions: tuple[ChartReading, ...] = ()
    step: Step | None = None
    name: str = ""

    @property
    def readings(self) -> tuple[ChartReading, ...]:
        """Every reading this instruction looks at."""
        return (*self.conditions, self.reading) if self.reading is not None else self.conditions


def rounded(x: Fraction, step: Fraction, way: str) -> Fraction:
    """To a multiple of `step`: nearest with halves away from zero, up, or down."""
    n = x / step
    if way == "round up":
        k = -floor(-n)
    elif way == "round down":
        k = floor(n)
    else:
        k = floor(n + Fraction(1, 2)) if n >= 0 else -floor(-n + Fraction(1, 2))
    return k * step


def operand(cell: Cell, op: str, name: str, line: int) -> Fraction | No | None:
    """What a cell means to an operation: a figure, a No, or None for `no such step` (an unbounded `at least`)."""
    if isinstance(cell, Fraction):
        return cell
    if cell is CellWord.NONE:
        if op in ("at least", "at most", "least airflow", "most airflow"):
            return None
        quantity = QUANTITIES.get(op)
        if quantity is not None and quantity.none is not None:
            return Fraction(quantity.none)
        return No(kind="does not run", why=f"`{name}` says none here", line=line)
    if isinstance(cell, CellWord):
        return no_figure(cell, name, line)
    return No(kind="refused", why=f"`{name}` gives the word {cell} where a figure is needed", line=line)


def no_figure(cell: CellWord, name: str, line: int = 0) -> No:
    """Why a cell without a figure is refused."""
    return No(
        kind="refused",
        why=f"`{name}` prints no figure here"
        if cell is CellWord.BLANK
        else f"the figure of `{name}` can't be read on the page",
        line=line,
    )


def act(x: Value, op: str, v: Fraction | No | None) -> Value:
    """The register after one operation with operand `v` (None: no such step)."""
    if isinstance(x, No):
        return x
    if v is None:
        return x
    if isinstance(v, No):
        return v
    if op in ("airflow", "start", "heat input", "heater power", "nozzle rate", "heat"):
        return v if x is None else No(kind="refused", why="two of the airflows that exclude each other hold at once")
    if op in ("tons", "airflow per ton"):
        return _product(x, op, v)
    if x is None or isinstance(x, Half):
        return No(kind="refused", why="no airflow to start from holds here")
    if op == "trim":
        return x * (100 + v) / 100
    if op == "share":
        return x * v / 100
    if op == "reduction":
        return x * (100 - v) / 100
    if op == "offset":
        return x + v
    if op in ("at least", "least airflow"):
        return max(x, v)
    if op in ("at most", "most airflow"):
        return min(x, v)
    if op == "times":
        return x * v
    return rounded(x, v, op)


def _product(x: Value, op: str, v: Fraction) -> Value:
    if x is None:
        return Half("tons" if op == "tons" else "airflow per ton", v)
    if isinstance(x, Half) and x.quantity != op:
        return x.value * v
    return No(kind="refused", why=f"{op} stands where it can't be used")


def finished(x: Value) -> Fraction | No:
    """A register at the end of its steps."""
    if isinstance(x, (Fraction, No)):
        return x
    return No(kind="refused", why="no airflow to start from holds here")
