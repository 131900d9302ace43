"""How a blower starts, and its delays, in words."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Literal

from selector.answers.words.figure import as_printed
from selector.table.model.formula import ramp_words
from selector.table.model.table import CallValue, Ramp
from selector.units import format_number

Delay = Literal["on", "off"]
DELAYS: dict[Delay, str] = {"on": "blower-on delay", "off": "blower-off delay"}


def ramp_text(
    ramp: Ramp, airflow: Callable[[Fraction], str] = lambda _: "", of_call: Callable[[CallValue], str] = lambda _: ""
) -> str:
    """`starts at full airflow`; `60 s at 50 %, 30 s at 75 %, then 100 %, after the call 60 s at 50 %`. `airflow` adds
    what a percent comes to, `of_call` what another call's airflow is."""
    steps = ramp.steps
    if len(steps) == 1 and steps[0].share == 100 and steps[0].start is None:
        return "starts at full airflow"
    return ", ".join(ramp_words(ramp, seconds_text, lambda share: f"{as_printed(share)} %{airflow(share)}", of_call))


def delay_text(which: Delay, seconds: Fraction) -> str:
    """`blower-off delay 60 s`; `no blower-off delay`."""
    return f"{DELAYS[which]} {seconds_text(seconds)}" if seconds else f"no {DELAYS[which]}"


def seconds_text(seconds: Fraction) -> str:
    """`60 s`; whole seconds, a fraction as it is printed."""
    whole = seconds.denominator == 1
    return f"{format_number(seconds, 0) if whole else as_printed(seconds)} s"
