"""Carrying out instructions on registers: used for one board as it stands, and step by step when many are sought at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from selector.solve.instructions import Half, Instruction, Register, Value, act, operand
from selector.solve.readings import Outcome, Reading
from selector.table.model import Cell, No, Word

Registers = Mapping[Register, Value]
MISSING = object()


def carry_out(instruction: Instruction, registers: Registers, read: Callable[[Reading], Outcome]) -> Value:
    """The target register after the instruction."""
    x = registers.get(instruction.target)
    if isinstance(x, No):
        return x
    for condition in instruction.conditions:
        outcome = read(condition)
        if isinstance(outcome, No):
            return outcome
        if outcome[0] != 1:
            if instruction.op == "runs":
                return No(kind="does not run", why=f"it runs only with {instruction.name}")
            return x
    if instruction.op == "runs":
        return x
    v = _operand(instruction, registers, read)
    if instruction.op == "bound":
        return v
    if instruction.op == "rise":
        if isinstance(v, Fraction) and isinstance(x, Fraction):
            return No(kind="refused", why="a rise of 0 has no airflow") if v == 0 else x / v
        return v if isinstance(v, No) else x
    return act(x, instruction.op, v)


def _operand(instruction: Instruction, registers: Registers, read: Callable[[Reading], Outcome]) -> Fraction | No | None:
    if instruction.number is not None:
        return instruction.number
    if instruction.register is not None:
        other = registers.get(instruction.register)
        return (
            other
            if isinstance(other, (Fraction, No))
            else No(kind="unknown", why=f"{instruction.name} is not known")
            if other is None
            else _half(other)
        )
    assert instruction.reading is not None
    outcome = read(instruction.reading)
    if isinstance(outcome, No):
        return outcome
    cell: Cell = outcome[instruction.cell]
    if instruction.op == "bound" and cell is Word.NONE:
        return None
    return operand(cell, instruction.op, instruction.name, 0)


def _half(x: Half) -> No:
    return No(kind="refused", why=f"only {x.quantity} is known here")
