"""Limits by the plainest code: which a stage has, at which firing rates they must hold, and whether they do."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from tests.helpers.describe import Ask, Atom, Call, Chart, Description, Name, Other, Step
from tests.helpers.reference import BOUNDS, Reference, Setting, Spot, Value, heats, other_stage

Ends = tuple[Fraction | None, Fraction | None]


@dataclass(frozen=True, slots=True)
class Verdict:
    """A limit held against a stage's airflow: None where it can't be judged."""

    name: str
    ok: bool | None


class Limits(Reference):
    """The reference with every limit."""

    def __init__(self, d: Description, ask: Ask) -> None:
        super().__init__(d, ask)
        self.modulates = any(c.name == "firing rate" for chart in d.charts for c in (*chart.keys, *chart.heads))

    def rates(self, call: Call) -> tuple[Fraction, ...]:
        """The printed firing rates that a call's charts run over."""
        if not self.modulates:
            return ()
        columns = (c for chart in self._charts_of(call) for c in (*chart.keys, *chart.heads) if c.name == "firing rate")
        return tuple(sorted({n for c in columns for n in c.numbers}))

    def _charts_of(self, call: Call) -> Iterator[Chart]:
        for step in (*call.airflow, *call.heat):
            for atom in step.by_stage.values():
                if isinstance(atom, Name) and atom.kind == "chart":
                    yield self.d.chart(atom.name)
                elif isinstance(atom, Other):
                    yield from self._charts_of(self.d.call(atom.call))

    def spot(self, call: Call, stage: str, setting: Setting) -> Spot:
        """What an answer speaks of: at the firing rate that is known, else the highest printed."""
        rates = self.rates(call)
        known = self.number("firing rate")
        return Spot(call, stage, None if not rates else rates[-1] if known is None else known, setting)

    def fires(self, call: Call) -> tuple[Fraction | None, ...]:
        """The firing rates at which a call must have an airflow: the printed ones and the one known; None where it
        doesn't modulate."""
        rates = self.rates(call)
        known = self.number("firing rate")
        return tuple(sorted({*rates, rates[-1] if known is None else known})) if rates else (None,)

    def verdicts(self, call: Call, stage: str, setting: Setting) -> list[Verdict]:
        """Every limit on a stage that has an airflow, at every firing rate where it bends."""
        out = []
        for rate in self.bends(call, stage, setting):
            at = Spot(call, stage, rate, setting)
            airflow = self.airflow(at)
            if isinstance(airflow, Fraction):
                out += [
                    Verdict(name, None if ends is None or got is None else _inside(got, ends))
                    for name, ends, got in self._limits(at, airflow)
                ]
        return out

    def _limits(self, at: Spot, airflow: Fraction) -> Iterator[tuple[str, Ends | None, Fraction | None]]:
        """Name, ends (None where they aren't known) and the figure judged (None where it can't be known)."""
        heat = self.heat(at)
        rise = self.through(heat, airflow) if isinstance(heat, Fraction) else None
        if heats(self.d, at.call) and "temperature rise" in self.d.ratings:
            plate = self.rating("temperature rise", at.stage)
            yield "rise on the plate", plate if isinstance(plate, tuple) else None, rise
        for window in at.call.windows:
            if window.stage in ("", at.stage):
                tons = self.tons(at.call, at.stage)
                got = {
                    "airflow": airflow,
                    "airflow per ton": airflow / tons if tons is not None else None,
                    "temperature rise": rise,
                }
                yield f"window of {at.call.name}", (window.low, window.high), got[window.quantity]
        for chart in self.d.charts:
            if chart.name not in self.used_in_steps and self.bounds(chart, at.call):
                for i, quantity in enumerate(chart.gives):
                    if quantity in ("least airflow", "most airflow"):
                        cell = self.cell(chart, i, at._replace(setting=self.truth(at.setting)))
                        end = cell if isinstance(cell, Fraction) else None
                        ends = (end, None) if quantity == "least airflow" else (None, end)
                        yield chart.name, ends if end is not None or cell == "none" else None, airflow

    def bounds(self, chart: Chart, call: Call) -> bool:
        """A least or most airflow by heater or burner is for the calls that heat, any other for every call."""
        parts = [self.part_of(c, Spot(call, call.stages[-1], None, ())) for c in (*chart.keys, *chart.heads)]
        selectors = {self.d.parts[i].selector for i in parts if i is not None}
        about = {s.gives for s in self.d.selectors if s.name in selectors}
        return heats(self.d, call) or not about & {"heater power", "heat input", "nozzle rate"}

    def bends(self, call: Call, stage: str, setting: Setting) -> tuple[Fraction | None, ...]:
        """Printed firing rates, the one known, and those between at which a bound begins or ends to act."""
        rates = self.rates(call)
        if not rates:
            return (None,)
        return tuple(
            sorted({*self._bends(call, stage, rates, setting), *(r for r in self.fires(call) if r is not None)})
        )

    def _bends(self, call: Call, stage: str, rates: tuple[Fraction, ...], setting: Setting) -> list[Fraction]:
        """Step by step: before each bound the airflow is straight between the rates gathered so far, so one crossing
        tells where it bends."""
        out = list(rates)
        for number, step in enumerate(call.airflow):
            atom = step.by_stage.get(stage, step.by_stage.get(""))
            if atom is None or self.holds(step.when, Spot(call, stage, rates[0], setting)) is not True:
                continue
            if isinstance(atom, Other):
                other = self.d.call(atom.call)
                out = sorted({*out, *self._bends(other, other_stage(other, atom, stage), rates, setting)})
            before = dataclasses.replace(call, airflow=call.airflow[:number], when={})
            crossed = []
            for low, high in pairwise(out):
                ends = [self._above(before, step, atom, Spot(call, stage, rate, setting)) for rate in (low, high)]
                if ends[0] is not None and ends[1] is not None and ends[0] * ends[1] < 0:
                    crossed.append(low + (high - low) * ends[0] / (ends[0] - ends[1]))
            out = sorted({*out, *crossed})
        return out

    def _above(self, before: Call, step: Step, atom: Atom, at: Spot) -> Fraction | None:
        """How far the airflow stands above the bound that a step sets, before it acts; None where the step sets
        none."""
        for quantity, v in self.figures(step.op, atom, at):
            if quantity in BOUNDS and isinstance(v, Fraction):
                x: Value = self.airflow(at._replace(call=before))
                return x - v if isinstance(x, Fraction) else None
        return None


def _inside(got: Fraction, ends: Ends) -> bool:
    low, high = ends
    return not (low is not None and got < low) and not (high is not None and got > high)
