"""What a survey keeps of one judged stage: how it stands, what is wrong with it, and what hangs on tons and static."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, floor

from selector.answers.survey.fault import RecordFault, depends_fault, limit_fault, no_fault
from selector.judge.assumed_facts import AssumedFact
from selector.judge.danger import dangerous
from selector.judge.judgement import LimitCheck, StageJudgement
from selector.solve.engine.engine import Engine
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.survey.board.surveyed_table import STATIC, SurveyedTable
from selector.table.model.range import Range
from selector.table.model.table import Table
from selector.value import Struct

PER_TON = "airflow per ton"
SCALE = 1_000_000
"""Tons and static are whole millionths."""


class Breach(Struct, frozen=True, kw_only=True):
    """A fault with its figure: how far beyond in the limit's own unit (below is negative), and over its end."""

    fault: RecordFault
    by: Fraction | None = None
    deviation: Fraction = Fraction(0)
    of_static: bool = False


class TonLimit(Struct, frozen=True, kw_only=True):
    """A window per ton that waits for the tons. `flow`: the airflow for the whole outdoor unit's capacity; over more
    tons than `low_at` it is below the window, over fewer than `high_at` above; the same in whole millionths."""

    flow: Fraction
    range: Range
    low_at: Fraction | None
    high_at: Fraction | None
    low_from: int
    high_below: int
    below: RecordFault
    above: RecordFault


class StaticLimit(Struct, frozen=True, kw_only=True):
    """The greatest static pressure that a stage may have."""

    most: Fraction
    fault: RecordFault


class StageFacts(Struct, frozen=True, kw_only=True):
    """One stage. `airflow` where it is certain, `least` and `most` of all that is possible; `code`: empty for an
    airflow, else which of the five noes. `flow`: its airflow over the share of the outdoor unit that runs. `open`: a
    fault, or a no, that says what isn't known. `by_tons`: too much is open to hold a window per ton before the tons are
    known. `assumed`: facts not given that its figures rest on."""

    call: str
    stage: str
    code: str
    airflow: Fraction | None
    least: Fraction | None
    most: Fraction | None
    breaches: tuple[Breach, ...]
    depends: RecordFault | None
    open: RecordFault | None
    judged: bool
    per_ton: tuple[TonLimit, ...]
    static: StaticLimit | None
    flow: Fraction | None
    missing: str
    by_tons: bool
    assumed: tuple[AssumedFact, ...]


StaticLimits = dict[tuple[str, str], StaticLimit | None]
"""Call and stage -> its limit on static, which no position changes."""


def stage_facts(surveyed: SurveyedTable, engine: Engine, judged: StageJudgement, statics: StaticLimits) -> StageFacts:
    """What is kept of a stage that the judge judged. `statics`: those of this engine that are known; more are added."""
    table, call, title = engine.table, engine.table.calls[judged.call], judged.title
    airflows, noes, checks = judged.airflows, judged.noes, judged.checks
    certain = airflows[0] if len(airflows) == 1 and not noes else None
    sure = all(no.refused for no in noes)
    breaches = [_breach(engine, judged, c) for c in checks if c.state == "broken" and sure]
    if not airflows and noes and sure:
        breaches.append(Breach(fault=no_fault(title, noes[0])))
    perhaps = [c for c in checks if c.state == "depends" or (c.state == "broken" and not sure)]
    refused = not sure or bool(airflows) if any(no.refused for no in noes) else False
    deciding = judged if judged.depends or judged.facts else next(iter(perhaps), judged)
    share = call.running_share(judged.stage)
    per_ton = [c for c in checks if c.limit.quantity == PER_TON and c.state == "not_judged"]
    waiting, unshared = (per_ton, []) if share else ([], per_ton)
    held = certain is not None and len(engine.points(call, judged.stage)) == 1
    no = noes[0] if noes and noes[0].kind in ("unreadable", "not_known") else None
    return StageFacts(
        call=judged.call,
        stage=judged.stage,
        code="" if airflows else noes[0].kind if noes else "not_known",
        airflow=certain,
        least=airflows[0] if airflows else None,
        most=airflows[-1] if airflows else None,
        breaches=tuple(breaches),
        depends=depends_fault(table, title, deciding.depends, deciding.facts) if perhaps or refused else None,
        open=no_fault(title, no) if no is not None else None,
        judged=any(c.state != "not_judged" for c in checks),
        per_ton=tuple(_ton_limit(table, title, c.limit, certain / share) for c in waiting)
        if held and certain is not None and share
        else (),
        static=_static(surveyed, engine, judged, statics) if airflows and sure else None,
        flow=certain / share if certain is not None and share and call.compressor else None,
        missing=next(("stages" if c in unshared else c.needs for c in checks if c.needs), ""),
        by_tons=bool(waiting) and bool(airflows) and not held,
        assumed=judged.assumed_facts,
    )


def _breach(engine: Engine, judged: StageJudgement, check: LimitCheck) -> Breach:
    least = check.certain
    over = least.beyond > 0
    danger = dangerous(engine.table, least)
    return Breach(
        fault=limit_fault(engine.table, judged.title, least, over=over, danger=danger),
        by=least.beyond if least.value is not None else None,
        deviation=least.miss,
        of_static=least.limit.quantity == STATIC,
    )


def _ton_limit(table: Table, title: str, limit: Limit, flow: Fraction) -> TonLimit:
    judged = JudgedLimit(limit=limit, ok=False, range=limit.range)
    below, above = (limit_fault(table, title, judged, over=over) for over in (False, True))
    low_at, high_at = (flow / end if end else None for end in (limit.range.low, limit.range.high))
    return TonLimit(
        flow=flow,
        range=limit.range,
        low_at=low_at,
        high_at=high_at,
        low_from=0 if low_at is None else floor(low_at * SCALE) + 1,
        high_below=0 if high_at is None else ceil(high_at * SCALE),
        below=below,
        above=above,
    )


def _static(
    surveyed: SurveyedTable, engine: Engine, judged: StageJudgement, statics: StaticLimits
) -> StaticLimit | None:
    """The lowest of the limits on static, where it changes no airflow (else the judge has held them already)."""
    if surveyed.by_static:
        return None
    key = judged.call, judged.stage
    if key not in statics:
        statics[key] = min(_statics(engine, judged), key=lambda one: one.most, default=None)
    return statics[key]


def _statics(engine: Engine, judged: StageJudgement) -> Iterator[StaticLimit]:
    for limit in engine.static_limits(engine.table.calls[judged.call], judged.stage):
        if limit.range.high is not None:
            held = JudgedLimit(limit=limit, ok=False, range=limit.range)
            fault = limit_fault(engine.table, judged.title, held, over=True)
            yield StaticLimit(most=limit.range.high, fault=fault)
