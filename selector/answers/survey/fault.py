"""What is said of one record: its verdict, where, and why. The limit is named without the figure that breaks it, which
stands in a column of its own, so that records with one fault can be counted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Literal, get_args

from selector.answers.call import KINDS, owner_of
from selector.answers.words.airflow import in_units
from selector.answers.words.contradiction import contradiction_text
from selector.answers.words.figure import ShownFigure, text_of
from selector.answers.words.limit import WHOSE, quantity_word
from selector.answers.words.listing import listed
from selector.problems import Problem
from selector.solve.board.marks import mark
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.table import No, Setting, Table
from selector.value import Struct

Verdict = Literal[
    "danger",
    "contradiction",
    "not usable",
    "outside the chart",
    "outside limits",
    "depends",
    "OK",
    "unreadable",
    "not known",
    "not checked",
    "odd marks",
    "odd fact",
    "unknown table",
]
"""Of a record, in the order in which they are said; the last three are of records that can't be judged."""
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
WRONG: frozenset[Verdict] = frozenset(VERDICTS[:5])
"""Something has to be put right."""
NO_RECORD: frozenset[Verdict] = frozenset(VERDICTS[-3:])


class RecordFault(Struct, frozen=True, kw_only=True):
    """One thing said of a record. `where`: the call and stage, or the selector; `unit`: that of the figure beyond."""

    verdict: Verdict
    where: str = ""
    unit: str = ""
    reason: str = ""


OK = RecordFault(verdict="OK", reason="as set, within the limits that could be checked")


def limit_fault(table: Table, where: str, judged: JudgedLimit, *, over: bool, danger: bool = False) -> RecordFault:
    """`rise over the plate's 65 F`, `below the manual's 400 cfm`, `over the assumed 450 cfm/ton`."""
    quantity, kind = judged.limit.quantity, KINDS[judged.limit.quantity]
    end = judged.high if over else judged.low
    unit = in_units(table).unit_of(kind)
    said = judged.why
    if end is not None:
        worked = judged.limit.least is not None or judged.limit.most is not None or owner_of(judged) == "assumed"
        shown = text_of(ShownFigure(value=end, kind=kind, unit=unit, printed=not worked))
        said = f"{quantity_word(quantity)} {'over' if over else 'below'} {WHOSE[owner_of(judged)]} {shown}".lstrip()
    return RecordFault(verdict="danger" if danger else "outside limits", where=where, unit=unit, reason=said)


def no_fault(where: str, no: No) -> RecordFault:
    """Why a stage has no airflow: `page 23, cooling airflow: do not use`, `model is not given`."""
    verdicts: dict[str, Verdict] = {
        "not_usable": "not usable",
        "outside_chart": "outside the chart",
        "unreadable": "unreadable",
        "not_known": "not known",
    }
    return RecordFault(verdict=verdicts[no.kind], where=where, reason=no.why)


def depends_fault(table: Table, where: str, parts: Iterable[int], facts: Iterable[str]) -> RecordFault:
    """Right in some possible case and wrong in another: `depends on SW1-6`, `depends on model`."""
    names = listed((*(table.parts[p].name for p in parts), *facts))
    return RecordFault(verdict="depends", where=where, reason=f"depends on {names}" if names else "depends")


def contradiction_fault(table: Table, one: DeclaredDifference) -> RecordFault:
    """`J4 is set for 15 kW; 10 kW installed`."""
    return RecordFault(verdict="contradiction", where=one.selector, reason=contradiction_text(table, one))


def shared_fault(table: Table, setting: Setting, leads: Sequence[int]) -> RecordFault:
    """`Y1 and Y2 share tap 4`."""
    names = [table.parts[p].name for p in leads]
    reason = f"{listed(names)} share tap {mark(table, leads[0], setting[leads[0]])}"
    return RecordFault(verdict="danger", where=listed(names), reason=reason)


def refused_fault(chart: str, no: No) -> RecordFault:
    """A chart that no call reads, on a row that the manual refuses."""
    return RecordFault(
        verdict="not usable" if no.kind == "not_usable" else "outside the chart", where=chart, reason=no.why
    )


def unchecked_fault(missing: str) -> RecordFault:
    """No limit could be judged: what to add, `add outdoor tons`."""
    return RecordFault(verdict="not checked", reason=f"add {missing}" if missing else "no limit known")


def problem_fault(verdict: Verdict, problems: Sequence[Problem]) -> RecordFault:
    """A record that can't be judged: the first problem and what to type instead."""
    one = problems[0]
    more = f" ({len(problems) - 1} more)" if len(problems) > 1 else ""
    return RecordFault(verdict=verdict, reason=f"{one.message}{f'; {one.help}' if one.help else ''}{more}")


def figure_shown(value: Fraction) -> float:
    """An airflow as people read it: whole, halves away from zero."""
    return float((2 * value.numerator + value.denominator) // (2 * value.denominator))
