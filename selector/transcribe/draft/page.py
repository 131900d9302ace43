"""What has been said of a page so far: the unit, its board, its charts, its calls."""

from __future__ import annotations

from selector.transcribe.typed.board import TypedSelector
from selector.transcribe.typed.call import TypedCall
from selector.transcribe.typed.chart import TypedChart
from selector.value import Struct


class Draft(Struct, frozen=True, kw_only=True):
    """What has been said so far."""

    title: str = ""
    maker: str = ""
    models: tuple[str, ...] = ()
    manual: str = ""
    airflow: str = "cfm"
    pressure: str = ""
    reads: str = ""
    motor: str = ""
    note: str = ""
    tons: str = ""
    inputs: tuple[str, ...] = ()
    ratings: tuple[tuple[str, str], ...] = ()
    board: tuple[TypedSelector, ...] = ()
    charts: tuple[TypedChart, ...] = ()
    ramps: tuple[tuple[str, str], ...] = ()
    calls: tuple[TypedCall, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Names that are given away: selectors, facts, charts, ramps, calls."""
        facts = [s.declares for s in self.board if s.declares] + [name for c in self.charts for name, _ in c.heads]
        facts += ["outdoor tons"] if self.tons else []
        return (
            *(s.label for s in self.board),
            *facts,
            *(c.name for c in self.charts),
            *(n for n, _ in self.ramps),
            *(c.name for c in self.calls),
        )

    @property
    def per_ton(self) -> tuple[str, ...]:
        """Charts and selectors that give an airflow for each ton."""
        charts = [c.name for c in self.charts if "airflow per ton" in c.gives]
        return (*charts, *(s.label for s in self.board if s.gives == "airflow per ton"))

    @property
    def fired(self) -> tuple[str, ...]:
        """The heat inputs of full fire, one for each model; none where they are printed stage by stage."""
        return self.inputs if len(self.inputs) == max(1, len(self.models)) else ()
