"""Whether a board gives a stage's airflow as a fixed share of the last stage's, so that no setting moves the one
without the other."""

from __future__ import annotations

from fractions import Fraction

from selector.table.model.quantities import STEPS
from selector.table.model.table import Atom, Call, Named, Step, Table


def fixed_share(table: Table, call: Call, stage: str) -> bool:
    """True where the stage has the same steps as the last one but for constant factors, and no chart has a column of
    its own for it."""
    own, last = (_steps(call, s) for s in (stage, call.last))
    return own == last and not any(_has_stages(table, atom) for _, atom in own)


def _is_factor(word: str) -> bool:
    return word in STEPS and STEPS[word].unit == "percent"


def _steps(call: Call, stage: str) -> list[tuple[Step, Atom]]:
    out: list[tuple[Step, Atom]] = []
    for step in call.airflow:
        atom = step.value(stage)
        if atom is None or (_is_factor(step.op) and isinstance(atom, Fraction)):
            continue
        out.append((step, atom))
    return out


def _has_stages(table: Table, atom: Atom) -> bool:
    if not isinstance(atom, Named):
        return not isinstance(atom, Fraction)
    if atom.kind != "chart":
        return False
    chart = table.charts[atom.name]
    return any(key.name == "stage" for key in (*chart.keys, *chart.heads))
