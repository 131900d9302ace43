"""The verdict on one record, written from the words of the survey's documentation over the judge's answer: no lookup,
no SQL, every figure a fraction."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from selector.judge.judge import judge
from selector.judge.judgement import Judgement
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.problems import Refused
from selector.solve.board.marks import read_marks, setting_of, unread_in
from selector.solve.engine.engine import Engine
from selector.solve.search.typed_facts import read_facts
from selector.table.model.roles import by_heater
from selector.table.model.table import Table


class Plainly(NamedTuple):
    """A verdict; `by` how far beyond the limit, None where no figure is."""

    verdict: str
    by: Fraction | None
    where: str


def judged_plainly(
    table: Table, marks: str, facts: dict[str, str], limits: tuple[OutsideLimit, ...] = ()
) -> tuple[Plainly, Judgement | None]:
    """One record by itself."""
    try:
        known = read_facts([(k, v) for k, v in facts.items() if v], table)
    except Refused:
        return Plainly("odd fact", None, ""), None
    try:
        if not marks:
            return Plainly("odd marks", None, ""), None
        read = read_marks([marks], table)
    except Refused:
        return Plainly("odd marks", None, ""), None
    engine = KnownFacts(facts=known, limits=limits).engine(table)
    judgement = judge(engine, BoardMarks(setting=setting_of(read, table), unread=unread_in(read)))
    return plain_verdict(engine, judgement), judgement


def plain_verdict(engine: Engine, judgement: Judgement) -> Plainly:
    """Dangers, contradictions, refusals, static, limits by how far they are over their end, each at its least where
    several cases are open; then what depends."""
    if judgement.shared:
        return Plainly("danger", None, "")
    limits = []
    possible = False
    refusals = [no for _, no in judgement.refused]
    for stage in judgement.stages.values():
        refused = [no for no in stage.noes if no.refused]
        others = len(stage.noes) > len(refused)
        if refused and not others and not stage.airflows:
            refusals.append(refused[0])
        elif refused:
            possible = True
        for check in stage.checks:
            if check.state == "depends" or (check.state == "broken" and others):
                possible = True
            elif check.state == "broken":
                limits.append((stage, min(check.judged, key=lambda one: one.miss)))
    dangers = [
        (stage, j)
        for stage, j in limits
        if (j.limit.quantity in ("temperature rise", "outlet limit") and j.beyond > 0)
        or (
            j.limit.quantity == "airflow"
            and j.beyond < 0
            and j.limit.source in engine.table.charts
            and by_heater(engine.table, engine.table.charts[j.limit.source])
        )
    ]
    if dangers:
        stage, j = max(dangers, key=lambda one: one[1].miss)
        return Plainly("danger", j.beyond, stage.title)
    if judgement.untrue:
        return Plainly("contradiction", None, judgement.untrue[0].selector)
    for kind, verdict in (("not_usable", "not usable"), ("outside_chart", "outside the chart")):
        if any(no.kind == kind for no in refusals):
            return Plainly(verdict, None, "")
    if limits:
        static = [one for one in limits if one[1].limit.quantity == "static pressure"]
        stage, j = max(static or limits, key=lambda one: one[1].miss)
        return Plainly("outside limits", j.beyond, stage.title)
    if possible:
        return Plainly("depends", None, "")
    if any(c.state != "not_judged" for s in judgement.stages.values() for c in s.checks):
        return Plainly("OK", None, "")
    first = {s.noes[0].kind for s in judgement.stages.values() if s.noes}
    for kind, verdict in (("unreadable", "unreadable"), ("not_known", "not known")):
        if kind in first:
            return Plainly(verdict, None, "")
    return Plainly("not checked", None, "")
