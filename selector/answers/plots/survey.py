"""The picture of a survey: bars of verdicts by table, and the cooling airflow per ton with its window."""

from __future__ import annotations

from selector.answers.survey.fault import NO_RECORD, WRONG, Verdict
from selector.answers.survey.summary import MOST_ROWS, GroupCount, SurveyAnswer
from selector.answers.words.listing import counted
from selector.draw.plots.bars import BarsPlot, HistogramPlot
from selector.draw.plots.plots import Shown

SHOWN_CFM_PER_TON = (150, 700)
"""The histogram shows these; what is beyond is counted."""
_UNJUDGED: frozenset[Verdict] = frozenset({"unreadable", "not known", "not checked"})
SORTS: tuple[tuple[str, frozenset[Verdict]], ...] = (
    ("danger", frozenset({"danger"})),
    ("wrong", WRONG - {"danger"}),
    ("depends", frozenset({"depends"})),
    ("OK", frozenset({"OK"})),
    ("no verdict", _UNJUDGED | NO_RECORD),
)
"""Verdicts as the picture draws them."""


def survey_plots(answer: SurveyAnswer) -> tuple[Shown, ...]:
    """Bars of verdicts by table, and the airflow per ton with its window."""
    shown = sorted(answer.tables, key=lambda one: -one.records)[:MOST_ROWS]
    names = [(one.table or "(no table)", one) for one in shown]
    rows = tuple((name, tuple(_of_sort(one, sort) for _, sort in SORTS)) for name, one in names)
    left = len(answer.tables) - len(shown)
    bars = BarsPlot(
        title="Verdicts by table",
        sorts=tuple(name for name, _ in SORTS),
        rows=rows,
        notes=(f"{counted(left, 'table')} with fewer records not shown",) if left else (),
    )
    found = answer.airflow_per_ton
    if not found.steps:
        return (bars,)
    window = None if found.low is None or found.high is None else (float(found.low), float(found.high))
    counts = {one.low: one.records for one in found.steps}
    first, last = max(min(counts), SHOWN_CFM_PER_TON[0]), min(max(counts) + found.step, SHOWN_CFM_PER_TON[1])
    every = range(first, last, found.step)
    notes = [f"{counted(sum(counts.values()), 'record')} with tons and a cooling airflow"]
    beyond = [(sum(n for low, n in counts.items() if low < first), f"below {first}")]
    beyond.append((sum(n for low, n in counts.items() if low >= last), f"of {last} and more"))
    notes += [f"{n:,} {where} cfm/ton: not shown" for n, where in beyond if n]
    if window is not None:
        notes.append(f"window {found.low} to {found.high} cfm/ton (assumed)")
    histogram = HistogramPlot(
        title="Cooling airflow per ton",
        x_name="cfm/ton",
        bins=tuple((float(low), counts.get(low, 0)) for low in every),
        step=float(found.step),
        window=window,
        notes=tuple(notes),
    )
    return (bars, histogram)


def _of_sort(one: GroupCount, sort: frozenset[Verdict]) -> int:
    return sum(v.records for v in one.verdicts if v.verdict in sort)
