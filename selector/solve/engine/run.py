"""Carrying out instructions on registers: used for one board as it stands, and step by step when many are sought at
once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.step_arithmetic import (
    AIRFLOWS,
    Half,
    Instruction,
    Register,
    Value,
    act,
    finished,
    no_figure,
    operand,
)
from selector.table.model.table import Cell, CellWord, No
from selector.value import replace

Registers = Mapping[Register, Value]


def carry_out(instruction: Instruction, registers: Registers, read: Callable[[ChartReading], Outcome]) -> Value:
    """The target register after the instruction.

    Of several noes the first of the five is told, wherever it stands: a missing fact hides no reserved row. A step of
    which it isn't known whether it counts matters only where it changes something.
    """
    x = registers.get(instruction.target)
    if isinstance(x, No) and x.kind == "does_not_run":
        return x
    holds = held(instruction.conditions, read)
    if isinstance(holds, No):
        open_ = holds.kind in ("unreadable", "not_known") and instruction.op != "runs"
        return x if open_ and _same(x, _carried(instruction, x, registers, read)) else first_no(x, holds)
    if instruction.op == "runs":
        return x if holds else No(kind="does_not_run", why=f"it runs only with {instruction.name}")
    return _carried(instruction, x, registers, read) if holds else x


def _carried(
    instruction: Instruction, x: Value, registers: Registers, read: Callable[[ChartReading], Outcome]
) -> Value:
    """The target register after an instruction whose conditions hold."""
    if instruction.op == "stands":
        against = _refusal(instruction, registers, read)
        return x if against is None else first_no(x, against)
    v = _operand(instruction, registers, read)
    if isinstance(v, No) and v.either is None:
        return first_no(x, v)
    if isinstance(x, No) and x.either is None:
        return first_no(x, v) if isinstance(v, No) else x
    if instruction.op == "bound" or instruction.op == "runs":
        return v
    return act(x, instruction.op, v, instruction.word)


def _same(x: Value, after: Value) -> bool:
    """True where a step changes nothing, so that it doesn't matter whether it counts."""
    return x == after or (
        isinstance(x, No) and isinstance(after, No) and (x.kind, x.either) == (after.kind, after.either)
    )


def held(conditions: tuple[ChartReading, ...], read: Callable[[ChartReading], Outcome]) -> bool | No:
    """True where all conditions hold. One that doesn't settles it, whatever can't be known of the others."""
    unsure: No | None = None
    for condition in conditions:
        outcome = read(condition)
        if isinstance(outcome, No):
            unsure = first_no(unsure, outcome)
        elif outcome[0] != 1:
            return False
    return True if unsure is None else unsure


def first_no(x: Value, no: No) -> No:
    """The one to tell of what was there and a no that comes to it; with two of them nothing is known of what may be."""
    told = x if isinstance(x, No) and x.rank <= no.rank else no
    return replace(told, either=None) if told.either is not None else told


def _operand(
    instruction: Instruction, registers: Registers, read: Callable[[ChartReading], Outcome]
) -> Fraction | No | None:
    if instruction.number is not None:
        return instruction.number
    if instruction.register is not None:
        other = registers.get(instruction.register)
        if instruction.register[0] in AIRFLOWS:
            final = finished(other)
            bound = instruction.op in ("raise to", "lower to")
            return None if bound and isinstance(final, No) and final.kind == "does_not_run" else final
        return (
            other
            if isinstance(other, (Fraction, No))
            else No(kind="not_known", why=f"{instruction.name} is not known")
            if other is None
            else _half(other)
        )
    assert instruction.reading is not None
    outcome = read(instruction.reading)
    if isinstance(outcome, No):
        return outcome
    cell: Cell = outcome[instruction.cell]
    if instruction.op == "bound" and cell is CellWord.NONE:
        return None
    return operand(cell, instruction.word, instruction.name, 0)


def _refusal(instruction: Instruction, registers: Registers, read: Callable[[ChartReading], Outcome]) -> No | None:
    """Why a chart beside the steps, or the heat, forbids the stage; None where it doesn't."""
    if instruction.reading is None:
        heat = registers.get(instruction.register) if instruction.register is not None else None
        return heat if isinstance(heat, No) and (heat.refused or heat.kind == "does_not_run") else None
    outcome = read(instruction.reading)
    if isinstance(outcome, No):
        return outcome if outcome.refused else None
    blank = outcome[instruction.cell] is CellWord.BLANK
    return no_figure(CellWord.BLANK, instruction.name) if blank else None


def _half(x: Half) -> No:
    return No(kind="outside_chart", why=f"only {x.quantity} is known here")
