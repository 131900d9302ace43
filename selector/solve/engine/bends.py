"""Firing rates at which a modulating call's airflow bends between two printed ones: where a bound begins or ends to
act.

Between such rates the airflow follows a straight line, and so does the heat; a rise is then greatest and least at the
ends.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from selector.solve.engine.engine import Engine
from selector.solve.engine.step_arithmetic import Instruction, Register, Value
from selector.table.model.quantities import BOUNDS
from selector.table.model.table import Call

Worked = Callable[[Sequence[Instruction]], Mapping[Register, Value]]
"""Carries out instructions on one board and gives its registers."""


def may_bend(engine: Engine, call: Call, stage: str) -> bool:
    """True for a modulating call with a bound on its way to the airflow."""
    return _bounds(engine, call, stage) > 0


def bends(engine: Engine, call: Call, stage: str, worked: Worked) -> tuple[str, ...]:
    """The rates, rising, without the printed ones. Each pass settles one more bound on the way to the airflow."""
    printed = [Fraction(rate) for rate in engine.rates(call)]
    rates = list(printed)
    for _ in range(_bounds(engine, call, stage)):
        instructions: list[Instruction] = []
        watched = [_watched(engine, call, stage, str(rate), instructions) for rate in rates]
        registers = worked(instructions)
        above = [[_above(registers, pair) for pair in at] for at in watched]
        found: set[Fraction] = set()
        for (low, at_low), (high, at_high) in pairwise(zip(rates, above, strict=True)):
            for a, b in zip(at_low, at_high, strict=True):
                if a is not None and b is not None and a * b < 0:
                    found.add(low + (high - low) * a / (a - b))
        if not found:
            break
        rates = sorted({*rates, *found})
    return tuple(str(rate) for rate in rates if rate not in printed)


def _bounds(engine: Engine, call: Call, stage: str) -> int:
    rates = engine.rates(call)
    return sum(i.op in BOUNDS for i in engine.airflow(call, stage, rates[0])) if rates else 0


def _watched(
    engine: Engine, call: Call, stage: str, rate: str, instructions: list[Instruction]
) -> list[tuple[Register, Register]]:
    """Adds the call's instructions at a rate; the registers of the airflow before each bound and of the bound."""
    out: list[tuple[Register, Register]] = []
    for n, i in enumerate(engine.airflow(call, stage, rate)):
        if i.op in BOUNDS:
            x: Register = (f"before bound {n}", call.name, stage, rate)
            v: Register = (f"bound {n}", call.name, stage, rate)
            instructions.append(Instruction(target=x, op="start", register=i.target, conditions=i.conditions))
            copied = Instruction(
                target=v,
                op="start",
                word=i.word,
                number=i.number,
                reading=i.reading,
                cell=i.cell,
                register=i.register,
                conditions=i.conditions,
                name=i.name,
            )
            instructions.append(copied)
            out.append((x, v))
        instructions.append(i)
    return out


def _above(registers: Mapping[Register, Value], pair: tuple[Register, Register]) -> Fraction | None:
    x, v = registers.get(pair[0]), registers.get(pair[1])
    return x - v if isinstance(x, Fraction) and isinstance(v, Fraction) else None
