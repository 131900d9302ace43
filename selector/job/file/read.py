"""A job file from text to its values: every problem at its place, nothing computed from a fact that can't be true."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from selector.job.file import fields
from selector.job.file.fields import Field, Section
from selector.job.file.grammar import FREE_NAMES, JOB
from selector.job.file.model import Aim, Amount, Ceiling, Job, Mark, Outdoor, Reading, Span, TypedWord, Visit
from selector.job.file.quantities import aim_of, amount_of, drop_chart_of, several_of, span_of, word_of
from selector.problems import Problem, Refused
from selector.table.source import Source, read_source, source_from_text
from selector.table.text import nodes
from selector.table.text.located import locate
from selector.table.text.nodes import Node, Scalar
from selector.table.text.shapes import Fields, FileReport
from selector.table.text.words import items_of
from selector.units import format_number
from selector.value import replace

_TARGET = Field(
    key="target",
    attr="",
    help="An airflow, an airflow per ton, or a rise.",
    example="1200 cfm",
    kinds=("airflow", "airflow per ton", "temperature difference"),
)
_LONE = re.compile(r":\s*(\?)\s*$|:\s*(\?)\s*[,}]")


def load_job(path: str) -> tuple[Job, tuple[Problem, ...]]:
    """The job of a file (`-` for standard input), with remarks. Raises Refused with every problem."""
    return job_of(read_source(path))


def job_from_text(text: str, file: str = "<text>") -> tuple[Job, tuple[Problem, ...]]:
    """The job of a text, with remarks. Raises Refused with every problem."""
    return job_of(source_from_text(text, file))


def job_of(source: Source) -> tuple[Job, tuple[Problem, ...]]:
    """The job of a source, with remarks. Raises Refused with every problem, sorted."""
    return job_from_node(locate_job(source), source)


def job_from_node(node: nodes.Mapping, source: Source) -> tuple[Job, tuple[Problem, ...]]:
    """The job of a located file, with remarks. Raises Refused with every problem, sorted."""
    from selector.job.file.checks import CHECKS

    report = FileReport(source)
    _check_format(node, report)
    cleaned = JOB.read(node, "a job", report)
    job = _job(cleaned, source, report)
    for check in CHECKS:
        check(job, report)
    if report.failed:
        raise Refused(report.problems)
    return job, tuple(sorted(report.problems))


def _check_format(node: nodes.Mapping, report: FileReport) -> None:
    """A file of another kind or of a newer format is refused outright: its other keys would only be misread."""
    for key, value in node.items:
        words = value.text.split() if key.text == "format" and isinstance(value, Scalar) else []
        if words[:2] == ["selector", "table"]:
            report.at(
                value,
                "table-not-job",
                "this file is a table, not a job",
                "give the table to the commands that take a table",
            )
        elif words[:2] == ["selector", "job"] and words[2:] != ["1"]:
            newer = f"this file is of format {' '.join(words[2:])}, which this program doesn't read"
            report.at(value, "newer-format", newer, "bring the program up to date")
        if report.failed:
            raise Refused(report.problems)


def locate_job(source: Source) -> nodes.Mapping:
    """The nodes of a job file. A mark that is nothing but `?`, and a file of another kind, get words of their own.
    Raises Refused."""
    try:
        return locate(source, free_names=FREE_NAMES, row_names=frozenset())
    except Refused as refused:
        raise Refused([_as_of_job(_lone_mark(p, source)) for p in refused.problems]) from refused


def _as_of_job(problem: Problem) -> Problem:
    """What the loader says of tables, said of a job."""
    if "selector table 1" not in problem.help:
        return problem
    help = (
        "Type `format: selector job 1` as the first line, and a fact a line below it; selector plan --example prints a"
        " job to start from."
    )
    return replace(problem, message=problem.message.replace("A table is", "A job is"), help=help)


def _lone_mark(problem: Problem, source: Source) -> Problem:
    line = source.lines[problem.line - 1] if 0 < problem.line <= len(source.lines) else ""
    if not any(problem.column - 1 in (m.start(1), m.start(2)) for m in _LONE.finditer(line)):
        return problem
    return Problem(
        file=problem.file,
        line=problem.line,
        column=problem.column,
        code="lone-question-mark",
        message="A `?` alone can't stand here; it is the sign for one of several marks that can't be read.",
        help="Type `unread` for a selector that can't be read at all.",
        source=problem.source,
    )


def _job(cleaned: Fields, source: Source, report: FileReport) -> Job:
    values: dict[str, Any] = {}
    words = ("table", "table print", "date", "by", "place", "model", "plate model", "motor", "airflow means")
    for key in (*words, "complaint", "in force"):
        if key in cleaned:
            values[key.replace(" ", "_")] = word_of(cleaned.get(key))
    for section in fields.SECTIONS:
        if section.key in cleaned:
            values[section.attr] = _section(cleaned.get(section.key), section, cleaned.keys[section.key], report)
    if "outdoor" in values:
        values["outdoor"] = _with_shares(values["outdoor"], report)
    for key in ("board", "facts", "wishes"):
        if key in cleaned:
            values[key] = {name: word_of(node) for name, (_, node) in cleaned.get(key).items()}
    if "hold" in cleaned:
        values["hold"] = _marks(cleaned.get("hold"))
    if "ceilings" in cleaned:
        values["ceilings"] = _ceilings(cleaned.get("ceilings"), report)
    if "targets" in cleaned:
        values["targets"] = _aims(cleaned.get("targets"), report)
    if "windows" in cleaned:
        values["windows"] = _windows(cleaned.get("windows"), report)
    if "visits" in cleaned:
        values["visits"] = tuple(
            Visit(
                date=word_of(item.get("date")),
                by=word_of(item.get("by")) if "by" in item else None,
                line=item.line,
                **_seen_and_done(item, report),
            )
            for item in cleaned.get("visits")
            if "date" in item
        )
    return Job(file=source.file, lines=source.lines, **values, **_seen_and_done(cleaned, report))


def _seen_and_done(cleaned: Fields, report: FileReport) -> dict[str, Any]:
    """What one visit holds: marks, measurements, sentences."""
    values: dict[str, Any] = {}
    for key, attr in (("as found", "found"), ("as left", "left")):
        if key in cleaned:
            values[attr] = _marks(cleaned.get(key))
    if "measurements" in cleaned:
        values["measurements"] = tuple(
            one for item in cleaned.get("measurements") if (one := _reading(item, report)) is not None
        )
    for key in ("seen", "cleared", "done", "notes"):
        if key in cleaned:
            values[key] = tuple(word_of(node) for node in cleaned.get(key))
    return values


def _marks(cleaned: Mapping[str, Any]) -> tuple[Mark, ...]:
    return tuple(
        Mark(selector=name, text=" ".join(node.text.split()), line=node.line, column=node.column)
        for name, (_, node) in cleaned.items()
    )


def _section(cleaned: Fields | None, section: Section, key: Scalar, report: FileReport) -> Any:
    if cleaned is None:
        return section.made(line=key.line)
    values: dict[str, Any] = {"line": key.line}
    for field in section.fields:
        if field.key not in cleaned:
            continue
        value = _value(cleaned.get(field.key), field, report)
        if value is not None:
            values[field.attr] = value
    for part in section.parts:
        if part.key in cleaned:
            values[part.attr] = _section(cleaned.get(part.key), part, cleaned.keys[part.key], report)
    return section.made(**values)


def _with_shares(outdoor: Outdoor, report: FileReport) -> Outdoor:
    """The outdoor unit with its stages as shares, those that were typed as tons too."""
    shares: dict[str, Amount] = {}
    for stage, one in outdoor.stages.items():
        if one.kind == "share":
            shares[stage] = one
            continue
        node = Scalar(one.text, one.line, one.column, "plain")
        if outdoor.capacity is None:
            report.at(node, "stages-of-what", f"`{one.text}` of which capacity?", "type capacity: 3 tons beside it")
            continue
        share = one.value / outdoor.capacity.value * 100
        if 10 <= share <= 100:
            shares[stage] = replace(one, value=share, unit="%", kind="share")
        else:
            message = (
                f"`{one.text}` can't be a stage of {outdoor.capacity.text}: that is {format_number(share, 0)} % of it"
            )
            report.at(node, "impossible-figure", message, "type the tons that run in the stage, or a share (70 %)")
    return replace(outdoor, stages=shares)


def _value(node: Any, field: Field, report: FileReport) -> Any:
    """One field's value: a word, an amount, a range, an aim, or one of them by stage."""
    if field.form == "calls":
        return tuple(
            TypedWord(text=item.text, line=item.line, column=item.column)
            for item in items_of(_one_call(node), report.source.lines)
        )
    if field.form in ("by stage", "range by stage"):
        found = {stage: _single(one, field, report) for stage, one in _by_stage(node).items()}
        return {stage: value for stage, value in found.items() if value is not None}
    return _single(node, field, report)


def _by_stage(node: Any) -> dict[str, Scalar]:
    return {stage: value for stage, (_, value) in node.items()} if isinstance(node, dict) else {"": node}


def _one_call(node: Node) -> Node:
    """A list without commas is one name with its blanks, not several words."""
    if isinstance(node, Scalar) and "," not in node.text:
        return nodes.Sequence([node], node.line, node.column, True)
    return node


def _single(node: Scalar, field: Field, report: FileReport) -> Any:
    if field.form.startswith("range"):
        return span_of(node, field, report)
    if field.form == "drop chart":
        return drop_chart_of(node, field, report)
    if field.kinds and field.words:
        return aim_of(node, field, report)
    if field.kinds or field.least is not None:
        return amount_of(node, field, report)
    return word_of(node)


def _aims(cleaned: Mapping[str, Any], report: FileReport) -> dict[str, dict[str, Aim]]:
    out: dict[str, dict[str, Aim]] = {}
    for call, (_, node) in cleaned.items():
        found = {stage: aim_of(one, _TARGET, report) for stage, one in _by_stage(node).items()}
        out[call] = {stage: aim for stage, aim in found.items() if aim is not None}
    return out


def _windows(cleaned: Mapping[str, Any], report: FileReport) -> dict[str, dict[str, Span]]:
    out: dict[str, dict[str, Span]] = {}
    for call, (_, node) in cleaned.items():
        found = {stage: span_of(one, _TARGET, report) for stage, one in _by_stage(node).items()}
        out[call] = {stage: span for stage, span in found.items() if span is not None}
    return out


def _ceilings(cleaned: Fields, report: FileReport) -> tuple[Ceiling, ...]:
    out: list[Ceiling] = []
    for name, key in cleaned.keys.items():
        entry = cleaned.get(name)
        if entry is None:
            continue
        values = {
            f.attr: value
            for f in fields.CEILING
            if f.key in entry and (value := _value(entry.get(f.key), f, report)) is not None
        }
        out.append(Ceiling(name=name, line=key.line, **values))
    return tuple(out)


def _reading(cleaned: Fields, report: FileReport) -> Reading | None:
    if "call" not in cleaned or "method" not in cleaned:
        return None
    values: dict[str, Amount] = {}
    for key, field in fields.READING_VALUES.items():
        if key in cleaned and (amount := amount_of(cleaned.get(key), field, report)) is not None:
            values[key] = amount
    words = {key: word_of(cleaned.get(key)) for key in fields.READING_WORDS if key in cleaned}
    minutes = next(f for f in fields.READING if f.key == "minutes")
    return Reading(
        call=word_of(cleaned.get("call")),
        method=word_of(cleaned.get("method")),
        stage=word_of(cleaned.get("stage")) if "stage" in cleaned else None,
        minutes=amount_of(cleaned.get("minutes"), minutes, report) if "minutes" in cleaned else None,
        values=values,
        words=words,
        velocities=several_of(cleaned.get("velocities"), fields.VELOCITIES, report) if "velocities" in cleaned else (),
        line=cleaned.line,
    )
