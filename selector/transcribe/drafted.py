"""What has been said of a page so far: the unit, its board, its charts, its calls."""

from __future__ import annotations

from dataclasses import dataclass

from selector.transcribe.typed_board import TypedSelector
from selector.transcribe.typed_call import TypedCall
from selector.transcribe.typed_chart import TypedChart


@dataclass(frozen=True, kw_only=True, slots=True)
class Draft:
    """What has been said so far."""

    title: str = ""
    maker: str = ""
    models: tuple[str, ...] = ()
    manual: str = ""
    airflow: str = "cfm"
    reads: str = ""
    ratings: tuple[tuple[str, str], ...] = ()
    board: tuple[TypedSelector, ...] = ()
    charts: tuple[TypedChart, ...] = ()
    ramps: tuple[tuple[str, str], ...] = ()
    calls: tuple[TypedCall, ...] = ()
