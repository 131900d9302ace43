"""When a call has come up: its delay, the steps of its ramp, the share it runs at so many seconds after the call
began."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from selector.air.figure import Figure, Worked, given
from selector.solve.engine.evaluate import CallAnswer
from selector.table.model.table import No, Ramp, RampStep
from selector.value import Struct


class ComingUp(Struct, frozen=True, kw_only=True):
    """`steps`: (from, to, share in %) in seconds after the call began, the delay first at share 0; `full_s`: from
    when the last share holds."""

    delay_s: Fraction
    steps: tuple[tuple[Fraction, Fraction, Fraction], ...]
    last_share: Fraction
    full_s: Fraction
    ramp: str = ""

    def share_at(self, seconds: Fraction) -> Fraction:
        """Percent of the airflow at a time after the call began; 0 during the delay."""
        for start, end, share in self.steps:
            if start <= seconds < end:
                return share
        return self.last_share

    def full(self) -> Figure:
        """`full_s` as a figure: delay and ramp steps added."""
        parts = (
            [given("delay", self.delay_s, "s", source="delay before the blower starts, by the table")]
            if self.delay_s
            else []
        )
        lasting = [end - start for start, end, share in self.steps if share]
        parts += [given(f"step_{n}", length, "s", source=f"ramp `{self.ramp}`") for n, length in enumerate(lasting, 1)]
        if not parts:
            return given("full_airflow_after", 0, "s", source="the table names no delay and no ramp")
        expression = " + ".join(part.name for part in parts)
        return Worked(
            name="full_airflow_after", value=self.full_s, unit="s", expression=expression, inputs=tuple(parts)
        )


def coming_up(answer: CallAnswer, stage: str, ramps: Iterable[Ramp] = ()) -> ComingUp | No:
    """How a call's stage comes up in the setting that was evaluated; a No where its delay can't be told.

    Where the mark that sets the ramp can't be read, it is taken to be the slowest of `ramps`; where there is none, a
    No.
    """
    delay = answer.on_delay.get(stage, Fraction(0))
    if isinstance(delay, No):
        return delay
    ramp = answer.ramp.get(stage)
    if isinstance(ramp, No):
        slowest = max(ramps, key=ramp_seconds, default=None)
        if slowest is None or ramp.refused:
            return ramp
        ramp = slowest
    steps = [(Fraction(0), delay, Fraction(0))] if delay else []
    at, last = delay, Fraction(100)
    for step in ramp.steps if ramp is not None else ():
        if step.after:
            continue
        for share, seconds in _even(step):
            steps.append((at, at + seconds, share))
            at += seconds
        last = step.share
    return ComingUp(
        delay_s=delay, steps=tuple(steps), last_share=last, full_s=at, ramp=ramp.name if ramp is not None else ""
    )


CLIMB_PARTS = 4
"""Equal parts that a climb is reckoned in, each at its mean (our choice, no source)."""


def _even(step: RampStep) -> list[tuple[Fraction, Fraction]]:
    """(share, seconds) of a part of a ramp; a climb in equal parts, each at its mean share."""
    if step.start is None:
        return [(step.share, step.seconds)] if step.seconds else []
    part = (step.share - step.start) / CLIMB_PARTS
    return [(step.start + part * (n + Fraction(1, 2)), step.seconds / CLIMB_PARTS) for n in range(CLIMB_PARTS)]


def ramp_seconds(ramp: Ramp) -> Fraction:
    """From the start to the share that holds."""
    return sum((step.seconds for step in ramp.steps if not step.after), start=Fraction(0))
