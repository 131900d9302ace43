"""What a step does to an airflow: the one place where the meaning of the steps is written.

A register holds None (nothing yet), a Fraction, a half product of tons and airflow per ton, or a No that is passed on.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import Literal, assert_never

from selector.solve.engine.chart_reading import ChartReading
from selector.table.model.quantities import BOUNDS, STEPS, Operation
from selector.table.model.table import Cell, CellWord, Either, No, Step, in_each_case
from selector.value import Struct, replace

Register = tuple[str, str, str, str]
"""(what, call, stage, firing rate): what is `airflow`, `taken` or `heat`."""
TAKEN = "taken"
"""The airflow of a stage as other calls take it, where its ramp or delays may refuse the stage itself."""
AIRFLOWS = ("airflow", TAKEN)


class Half(Struct, frozen=True):
    """Tons or airflow per ton, waiting for the other."""

    quantity: str
    value: Fraction


Value = Fraction | Half | No | None


class Instruction(Struct, frozen=True, eq=False):
    """One act on one register.

    The operand is a number, a reading's cell (`cell` is its index among the chart's quantities), or another register.
    `conditions` are readings whose first cell must be 1. `op` is what is done; `runs` is a condition of the call (not
    met, it does not run), `bound` keeps a figure of a limit, `stands` changes nothing but lets what the page refuses
    elsewhere refuse this register too. `word` is the quantity or step it came from, empty where the evaluator made it.
    """

    target: Register
    op: Operation | Literal["runs", "bound", "stands"]
    word: str = ""
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


def rounded(x: Fraction, step: Fraction, way: Literal["round", "round up", "round down"]) -> Fraction:
    """To a multiple of `step`: nearest with halves away from zero, up, or down."""
    n = x / step
    if way == "round up":
        k = -floor(-n)
    elif way == "round down":
        k = floor(n)
    else:
        k = floor(n + Fraction(1, 2)) if n >= 0 else -floor(-n + Fraction(1, 2))
    return k * step


def operand(cell: Cell, word: str, name: str, line: int) -> Fraction | No | None:
    """What a cell means to a step of this word: a figure, a No, or None for no such step (an unbounded `at least`)."""
    if isinstance(cell, Fraction):
        return cell
    if cell is CellWord.NONE:
        step = STEPS.get(word)
        if step is not None and step.operation in BOUNDS:
            return None
        if step is not None and step.none is not None:
            return Fraction(step.none)
        return No(kind="does_not_run", why=f"`{name}` is set to none", line=line)
    if isinstance(cell, CellWord):
        return no_figure(cell, name, line)
    if isinstance(cell, Either):
        return open_figure(cell, name)
    return No(kind="outside_chart", why=f"`{name}` gives the word {cell} where a figure is needed", line=line)


def no_figure(cell: CellWord, name: str, line: int = 0) -> No:
    """Why a cell has no figure: none is printed, or it can't be read on the page."""
    if cell is CellWord.BLANK:
        return No(kind="outside_chart", why=f"`{name}` prints no figure here", line=line)
    return No(kind="unreadable", why=f"the figure of `{name}` can't be read on the page", line=line)


def open_figure(figure: Either, name: str) -> No:
    """A figure printed as one of several."""
    return No(kind="unreadable", why=f"`{name}` is printed as {figure.words}", either=figure)


def act(x: Value, op: Operation, v: Fraction | No | None, word: str = "") -> Value:
    """The register after one operation with operand `v` (None: no such step); `word` is the quantity it gives."""
    for one in (x, v):
        if isinstance(one, No) and one.either is not None:
            return _in_each_case(x, op, v, word, one)
    if isinstance(x, No):
        return x
    if v is None:
        return x
    if isinstance(v, No):
        return v
    if op == "start":
        if x is None:
            return v
        return No(kind="outside_chart", why="two of the airflows that exclude each other hold at once")
    if op == "product":
        return _product(x, word, v)
    if x is None or isinstance(x, Half):
        return No(kind="outside_chart", why="no airflow to start from holds here")
    return _acted(x, op, v)


def _in_each_case(x: Value, op: Operation, v: Fraction | No | None, word: str, open_: No) -> Value:
    """The operation for everything that a figure may be; a figure again where that comes to the same."""
    either = [one.either if isinstance(one, No) and one.either is not None else one for one in (x, v)]
    found = in_each_case(lambda a, b: act(a, op, b, word), *either)
    if not isinstance(found, Either):
        return found  # type: ignore[no-any-return]
    refused = next((value for _, value in found.cases if isinstance(value, No)), None)
    return replace(open_, either=found) if refused is None else refused


def _acted(x: Fraction, op: Operation, v: Fraction) -> Fraction | No:
    match op:
        case "divide heat":
            return x / v if v else No(kind="outside_chart", why="a rise of 0 has no airflow")
        case "add percent":
            return x * (100 + v) / 100
        case "percent of":
            return x * v / 100
        case "percent off":
            return x * (100 - v) / 100
        case "add":
            return x + v
        case "subtract":
            return x - v
        case "raise to":
            return max(x, v)
        case "lower to":
            return min(x, v)
        case "round" | "round up" | "round down":
            return rounded(x, v, op)
        case "times" | "product":
            return x * v
        case "start":
            return v
    assert_never(op)


def _product(x: Value, word: str, v: Fraction) -> Value:
    if x is None:
        return Half(word, v)
    if isinstance(x, Half) and x.quantity != word:
        return x.value * v
    return No(kind="outside_chart", why=f"{word} stands where it can't be used")


def finished(x: Value) -> Fraction | No:
    """A register at the end of its steps."""
    if isinstance(x, (Fraction, No)):
        return x
    return No(kind="outside_chart", why="no airflow to start from holds here")
