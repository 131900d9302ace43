"""How a blower starts, and its delays, in words."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.answers.words.figure import as_printed
from selector.table.model.table import Ramp
from selector.units import format_number

Delay = Literal["on", "off"]
DELAYS: dict[Delay, str] = {"on": "blower-on delay", "off": "blower-off delay"}


def ramp_text(ramp: Ramp) -> str:
    """`starts at full airflow`; `60 s at 50 %, 30 s at 75 %, then 100 %, after the call 60 s at 50 %`."""
    before = [step for step in ramp.steps if not step.after]
    after = [step for step in ramp.steps if step.after]
    if len(before) == 1 and before[0].share == 100 and len(ramp.steps) == 1:
        return "starts at full airflow"
    words = [
        f"{seconds_text(step.seconds)} at {as_printed(step.share)} %" if step.seconds else f"{as_printed(step.share)} %"
        for step in before
    ]
    if len(words) > 1:
        words[-1] = f"then {words[-1]}"
    words += [f"after the call {seconds_text(step.seconds)} at {as_printed(step.share)} %" for step in after]
    return ", ".join(words)


def delay_text(which: Delay, seconds: Fraction) -> str:
    """`blower-off delay 60 s`; `no blower-off delay`."""
    return f"{DELAYS[which]} {seconds_text(seconds)}" if seconds else f"no {DELAYS[which]}"


def seconds_text(seconds: Fraction) -> str:
    """`60 s`; whole seconds, a fraction as it is printed."""
    whole = seconds.denominator == 1
    return f"{format_number(seconds, 0) if whole else as_printed(seconds)} s"
