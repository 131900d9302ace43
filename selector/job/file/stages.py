"""Figures by stage held against the stages that the table has: one figure for all, a stage in other capitals, a
stage it doesn't have."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from selector.job.file.model import Aim, Amount, Job, Span, TypedWord
from selector.problems import Problem, Refused
from selector.table.model.roles import COMPRESSOR, roles
from selector.table.model.table import Table
from selector.value import replace

V = TypeVar("V", Amount, Span, Aim)


def outdoor_stages(table: Table) -> tuple[str, ...]:
    """The stages in which the outdoor unit runs, lowest first, of all its calls."""
    of = roles(table)
    return _named(table, [name for name in table.calls if of[name] in COMPRESSOR])


def heat_stages(table: Table) -> tuple[str, ...]:
    """The stages of everything that heats, lowest first."""
    of = roles(table)
    return _named(table, [name for name in table.calls if of[name] in ("heat", "heat pump", "heat pump + auxiliary")])


def _named(table: Table, calls: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(stage for name in calls for stage in table.calls[name].stages if stage))


def with_stages(job: Job, table: Table) -> Job:
    """The job with its figures by stage under the table's own names. Raises Refused for each stage that the table
    doesn't have.

    One share of the outdoor unit for two stages is that of the lower one: the last runs all of it.
    """
    problems: list[Problem] = []
    outdoor, heat = job.outdoor, job.heat
    if outdoor is not None and outdoor.stages:
        names = outdoor_stages(table)
        shares = _spelled(job, outdoor.stages, names, "of the outdoor unit", problems)
        outdoor = replace(outdoor, stages=_shared(job, shares, names, problems))
    if heat is not None:
        names = heat_stages(table)
        what = "that heats"
        heat = replace(
            heat,
            input=_spelled(job, heat.input, names, what, problems),
            output=_spelled(job, heat.output, names, what, problems),
            rise=_spelled(job, heat.rise, names, what, problems),
            aim=_spelled(job, heat.aim, names, what, problems),
        )
    if problems:
        raise Refused(problems)
    return replace(job, outdoor=outdoor, heat=heat)


_PLACES: Mapping[str, int] = {
    "first": 0,
    "low": 0,
    "lowest": 0,
    "1": 0,
    "one": 0,
    "second": 1,
    "2": 1,
    "two": 1,
    "third": 2,
    "3": 2,
    "three": 2,
}
_LAST = ("high", "highest", "full", "last")


def _meant(stage: str, typed: tuple[str, ...], names: tuple[str, ...]) -> tuple[str, ...]:
    """The table's own stage that another name stands for, told by its place: `low` is the first, `high` the last;
    all where it isn't told."""
    word = stage.casefold()
    at = len(names) - 1 if word in _LAST else _PLACES.get(word, typed.index(stage) if len(typed) == len(names) else -1)
    return (names[at],) if 0 <= at < len(names) else names


def _spelled(
    job: Job, typed: Mapping[str, V], names: tuple[str, ...], what: str, problems: list[Problem]
) -> dict[str, V]:
    """The figures under the table's spelling of each stage; `""` stands for every one not named."""
    own = {name.casefold(): name for name in names}
    out: dict[str, V] = {}
    for stage, value in typed.items():
        if stage and stage.casefold() not in own:
            has = f"its stages {what} are {' '.join(names)}" if names else f"it names no stage {what}"
            meant = " or ".join(f"{name}: {value.text}" for name in _meant(stage, tuple(typed), names))
            instead = f"type {meant}" if names else f"type {value.text} without a stage"
            problems.append(_problem(job, value, f"this table has no stage `{stage}`: {has}", instead))
            continue
        out[own.get(stage.casefold(), stage)] = value
    return out


def _shared(job: Job, shares: dict[str, Amount], names: tuple[str, ...], problems: list[Problem]) -> dict[str, Amount]:
    """The shares of the outdoor unit with the one that was typed without a stage under the stages it is of."""
    rest = shares.pop("", None)
    if rest is None:
        return shares
    if shares or rest.value == 100 or len(names) == 2:
        left = names[:-1] if len(names) == 2 and not shares and rest.value != 100 else names
        return {name: shares.get(name, rest) for name in names if name in shares or name in left}
    if names:
        lines = ", ".join(f"{name}: .. %" for name in names)
        problems.append(
            _problem(
                job,
                rest,
                f"`{rest.text}` of the outdoor unit in which stage?",
                f"type the share in each: stages: {{{lines}}}",
            )
        )
    else:
        problems.append(
            _problem(
                job,
                rest,
                f"this unit runs in one stage, all of it: {rest.text} can't be its share",
                "type the capacity that runs as capacity:",
            )
        )
    return shares


def _problem(job: Job, at: Amount | Span | TypedWord, message: str, help: str) -> Problem:
    source = job.lines[at.line - 1] if 0 < at.line <= len(job.lines) else ""
    return Problem(
        file=job.file or "job",
        line=at.line,
        column=max(1, at.column),
        code="unknown-stage",
        message=message,
        help=help,
        source=source,
        length=max(1, len(at.text)),
    )
