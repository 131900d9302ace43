"""Answers as flat records, one dict a row, which pandas, polars and Arrow make a table of; none of them is imported."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from selector.answers.identify import IdentifyAnswer
from selector.answers.survey.summary import SurveyAnswer
from selector.job.as_found.record import AsFound
from selector.job.board.allowed import allowed_of, figure_of
from selector.job.board.expected import Expected
from selector.job.plan.plan import Plan
from selector.job.targets.house import House
from selector.job.verify.verify import Verified
from selector.judge.decode import Decoded
from selector.judge.judgement import Judgement
from selector.solve.search.find import FindResult
from selector.table.model.table import No

Cell = str | int | float | bool | None
FlatRecord = dict[str, Cell]
Answer = Decoded | FindResult | Judgement | Plan | AsFound | Verified | IdentifyAnswer | SurveyAnswer


def to_records(answer: Answer) -> list[FlatRecord]:
    """Rows of plain values; every row of an answer has the same keys. Airflows are in the table's unit (those of a
    house in cfm), as floats.

    decode: a row for each stage. judge_board: for each stage and limit. find: for each setting found and stage. plan,
    found: for each stage of the setting offered. verify: for each state judged. identify: for each chart. survey: for
    each table and verdict.
    """
    return list(_rows(answer))


def _rows(answer: Answer) -> Iterator[FlatRecord]:
    if isinstance(answer, Decoded):
        for (call, stage), found in answer.values.items():
            yield {"call": call, "stage": stage, **_possible(found.airflows, found.noes)}
    elif isinstance(answer, Judgement):
        yield from _judged(answer)
    elif isinstance(answer, FindResult):
        yield from _found(answer)
    elif isinstance(answer, (Plan, AsFound)):
        best = answer.solution.best or answer.solution.nearest
        for stage_of in best.stages if best is not None else ():
            yield {"offered": answer.solution.best is not None, **_expected(answer.solution.house, stage_of)}
    elif isinstance(answer, Verified):
        yield from _verified(answer)
    elif isinstance(answer, SurveyAnswer):
        for group in answer.tables:
            for counted in group.verdicts:
                yield {"table": group.table, "verdict": counted.verdict, "records": counted.records}
    else:
        yield from _identified(answer)


def _found(answer: FindResult) -> Iterator[FlatRecord]:
    for rank, one in enumerate(answer.found, 1):
        where: FlatRecord = {"rank": rank, "moves": one.moves, "off_target": float(one.deviation)}
        for s in (s for call in one.answers.values() for s in call.stages):
            yield {**where, "call": s.call, "stage": s.stage, **_outcome(s.airflow), "rise": _float(s.rise)}


def _verified(answer: Verified) -> Iterator[FlatRecord]:
    for judged in answer.judged:
        one = judged.verdict
        yield {
            "call": one.state.call,
            "stage": one.state.stage,
            "against_setting": one.against,
            "stands": one.standing,
            "set_for": None if isinstance(one.selected, No) else float(one.selected.value),
            "measured": _float(one.moved[0].airflow.value if one.moved else None),
            "next": judged.step.kind,
        }


def _judged(answer: Judgement) -> Iterator[FlatRecord]:
    for stage in answer.stages.values():
        row: FlatRecord = {
            "call": stage.call,
            "stage": stage.stage,
            **_possible(stage.airflows, stage.noes),
        }
        nothing: FlatRecord = {"limit": "", "source": "", "state": "", "value": None, "beyond": None}
        if not stage.checks:
            yield {**row, **nothing}
        for check in stage.checks:
            worst = check.judged[0]
            yield {
                **row,
                "limit": check.limit.quantity,
                "source": check.limit.source,
                "state": check.state,
                "value": _float(worst.value),
                "beyond": _float(worst.beyond if worst.value is not None else None),
            }


def _identified(answer: IdentifyAnswer) -> Iterator[FlatRecord]:
    """The charts of identify, those that fit first."""
    for fit, charts in (("fits", answer.fits), ("may fit", answer.may_fit), ("doesn't fit", answer.doesnt_fit)):
        for one in charts:
            yield {"fit": fit, "table": one.table, "model": one.model, "why": ", ".join(why.text for why in one.why)}


def _possible(airflows: Iterable[Fraction], noes: Iterable[No]) -> FlatRecord:
    """The airflow where it is certain; least and most; the code where there may be none."""
    known, refused = tuple(airflows), tuple(noes)
    certain = len(known) == 1 and not refused
    return {
        "airflow": float(known[0]) if certain else None,
        "least": float(known[0]) if known else None,
        "most": float(known[-1]) if known else None,
        "code": refused[0].kind if refused else "",
        "why": refused[0].why if refused else "",
    }


def _outcome(airflow: Fraction | No) -> FlatRecord:
    if isinstance(airflow, No):
        return {"airflow": None, "code": airflow.kind}
    return {"airflow": float(airflow), "code": ""}


def _expected(house: House, one: Expected) -> FlatRecord:
    allowed, target = allowed_of(house, one), one.aim.aim.charted
    low, high = (figure_of(end, house.table.units.airflow) for end in (allowed.low, allowed.high))
    return {
        "call": one.aim.call,
        "stage": one.aim.stage,
        "airflow": None if one.charted is None else float(one.charted.value),
        "target": None if target is None else float(target.value),
        "low": None if low is None else float(low.value),
        "high": None if high is None else float(high.value),
    }


def _float(value: Fraction | None) -> float | None:
    return None if value is None else float(value)
