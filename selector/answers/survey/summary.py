"""What `survey` says of all its records: how many have which verdict, by table and model, and the commonest faults."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from selector.answers.survey.fault import NO_RECORD, VERDICTS, WRONG, Verdict
from selector.answers.words.fold import Block, Rows
from selector.answers.words.listing import counted
from selector.value import Published

MOST_ROWS = 12
"""Tables, models and faults that are shown; all are in the answer for JSON."""
READINGS = ("LOW", "HIGH", "OK", "not judged")
"""What a measured airflow is against the setting; of several of one record the first of these."""
STEP_CFM_PER_TON = 25
"""Width of a step of the histogram."""


class VerdictCount(Published, frozen=True, kw_only=True):
    """How many records have a verdict."""

    verdict: Verdict
    records: int


class GroupCount(Published, frozen=True, kw_only=True):
    """The verdicts on the records of one table (`model` is empty) or of one of its models."""

    table: str
    model: str
    records: int
    verdicts: tuple[VerdictCount, ...]


class FaultCount(Published, frozen=True, kw_only=True):
    """A fault and how many records have it."""

    verdict: Verdict
    where: str
    reason: str
    records: int


class AssumedCount(Published, frozen=True, kw_only=True):
    """What was taken for facts not given, and how many records rest on it."""

    assumed: str
    records: int


class ReadingCount(Published, frozen=True, kw_only=True):
    """How many records were measured so: LOW where any airflow is, else HIGH, OK, not judged."""

    reading: str
    records: int


class StepCount(Published, frozen=True, kw_only=True):
    """How many records have so many cfm/ton in cooling: from `low` to less than the next step."""

    low: int
    records: int


class AirflowPerTon(Published, frozen=True, kw_only=True):
    """Cooling airflow per ton of all records that have it, in cfm/ton; `low` and `high`: the assumed window, null where
    it wasn't held."""

    low: int | None
    high: int | None
    step: int
    steps: tuple[StepCount, ...]


class SurveyAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector survey. `written` counts the verdicts; `out` and `stages` are the files of them;
    `blank_lines` were no records, `mended` rows had cells missing, too many or unreadable bytes."""

    version: Literal[2]
    records: int
    written: int
    out: str | None
    stages: str | None
    blank_lines: int
    mended: int
    boards: int
    verdicts: tuple[VerdictCount, ...]
    tables: tuple[GroupCount, ...]
    models: tuple[GroupCount, ...]
    faults: tuple[FaultCount, ...]
    assumed: tuple[AssumedCount, ...]
    measured: tuple[ReadingCount, ...]
    airflow_per_ton: AirflowPerTon


def exit_code(answer: SurveyAnswer) -> int:
    """1 where something is wrong, may be, or could not be judged as it was typed; else 0."""
    bad = WRONG | NO_RECORD | {"depends"}
    found = any(one.records for one in answer.verdicts if one.verdict in bad)
    return int(found or any(one.reading in READINGS[:2] for one in answer.measured))


def in_order(counts: Sequence[tuple[Verdict, int]]) -> tuple[VerdictCount, ...]:
    """Counts in the order in which verdicts are said."""
    by = dict(counts)
    return tuple(VerdictCount(verdict=v, records=by[v]) for v in VERDICTS if by.get(v))


def lines(answer: SurveyAnswer) -> list[Block]:
    """The answer for people."""
    wrong = sum(one.records for one in answer.verdicts if one.verdict in WRONG)
    danger = sum(one.records for one in answer.verdicts if one.verdict == "danger")
    out: list[Block] = []
    if danger:
        out.append(f"DANGER: {counted(danger, 'board')}. Look at {'these' if danger > 1 else 'it'} first.")
    out.append(f"{counted(wrong, 'board')} of {answer.records:,} to put right.")
    out += ["", Rows(cells=tuple((f"{one.records:,}", one.verdict) for one in answer.verdicts), right=frozenset({0}))]
    if answer.faults:
        out += ["", "Most common", _faults(answer.faults)]
        out += _more(len(answer.faults), "fault")
    taken = tuple((f"{one.records:,}", one.assumed) for one in answer.assumed[:MOST_ROWS])
    if taken:
        out += ["", "Assumed", Rows(cells=taken, indent=2, right=frozenset({0}))]
        out += _more(len(answer.assumed), "assumption")
    if answer.measured:
        cells = tuple((f"{one.records:,}", one.reading) for one in answer.measured)
        out += ["", "Measured airflow against the setting", Rows(cells=cells, indent=2, right=frozenset({0}))]
    kept = f"{answer.written:,} written to {answer.out}." if answer.out else "--out FILE writes a row for each."
    out += [
        "",
        f"{counted(answer.records, 'record')} read, {kept}" if answer.out else f"{answer.records:,} read; {kept}",
    ]
    if answer.stages:
        out.append(f"Each stage is in {answer.stages}.")
    if answer.mended:
        out.append(f"Note: {counted(answer.mended, 'row')} mended while reading; the column `read` says how.")
    if answer.blank_lines:
        out.append(f"Note: {counted(answer.blank_lines, 'blank line')} skipped.")
    return out


def _faults(faults: Sequence[FaultCount]) -> Rows:
    shown = faults[:MOST_ROWS]
    cells = tuple((f"{one.records:,}", f"{one.where}: {one.reason}".removeprefix(": ")) for one in shown)
    return Rows(cells=cells, indent=2, right=frozenset({0}))


def _more(count: int, noun: str) -> list[Block]:
    return [f"  and {counted(count - MOST_ROWS, noun)} more (--json lists all)"] if count > MOST_ROWS else []
