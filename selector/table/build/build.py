"""From the cleaned file to the checked model: names resolved, rows read, every slip reported at its place."""

from __future__ import annotations

import re

from selector.problems import Problem, Refused
from selector.table.build.board import build_board, build_facts, build_ramps
from selector.table.build.builder import Builder
from selector.table.build.calls import build_calls
from selector.table.build.cells import unit_words
from selector.table.build.charts import build_charts
from selector.table.build.conditions import conditions_in, text_place
from selector.table.build.unit import build_ratings, build_unit, build_units
from selector.table.checks.all_checks import CHECKS
from selector.table.grammar.table_file import FORMAT, known_keys, read_grammar
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import Table
from selector.table.source import Source
from selector.table.text.located import locate
from selector.table.text.nodes import Mapping, Scalar
from selector.table.text.shapes import Fields, FileReport
from selector.table.text.words import TO_TYPE, Names
from selector.value import replace

MOST_CALLS = 100


def build_table(source: Source, name: str) -> tuple[Table, FileReport]:
    """The checked table and the report with its remarks. Raises Refused with every problem found."""
    report = FileReport(source)
    _looks_like_one(source, report)
    root = locate(source)
    _format(root, report)
    fields = read_grammar(root, report)
    b = Builder(source, report)
    b.written = {
        key.text: frozenset(" ".join(k.text.casefold().split()) for k, _ in node.items)
        for key, node in root.items
        if isinstance(node, Mapping)
    }
    b.strange = tuple(key for key in b.written if key not in known_keys())
    table = _build(b, fields, name)
    if table is not None and not report.failed:
        for check in CHECKS:
            check(table, report)
    if table is None or report.failed:
        raise Refused(report.problems)
    return table, report


def build_unfinished(source: Source, name: str) -> Table:
    """The board and the charts of a file in which things are still to type; its calls aren't looked at. Refused
    where it has other problems."""
    report = FileReport(source)
    _looks_like_one(source, report)
    root = locate(source)
    _format(root, report)
    root.items[:] = [(key, node) for key, node in root.items if key.text != "calls"]
    fields = read_grammar(root, report)
    table = _build(Builder(source, report, unfinished=True), fields, name)
    problems = [p for p in report.problems if p.severity == "problem" and not _still_to_come(p)]
    if table is None or problems:
        raise Refused(problems)
    return table


def _still_to_come(problem: Problem) -> bool:
    """True for what is told of a file only because it isn't finished."""
    return (
        problem.code == "still-to-type"
        or problem.source[problem.column - 1 :].strip() == TO_TYPE
        or problem.message == "the file needs `calls`"
    )


_HEADS = re.compile(r"\b(format|unit|board|charts|calls)[\"']?[ \t]*:")


def _looks_like_one(source: Source, report: FileReport) -> None:
    """no-table: a text with hardly a name that a table has is a page or something else; telling each of its lines
    would say nothing."""
    names = set(_HEADS.findall(source.text))
    if source.text.strip() and "format" not in names and len(names) < 2:
        message = "not a table file: it has no line that begins with format:, and no unit:, board:, charts: and calls:"
        remedy = (
            "a page of a manual goes through `selector import PAGE --out FILE.yaml`, or is typed with `selector draft"
            " --out FILE.yaml`"
        )
        report.add(1, 1, "no-table", message, remedy)
        raise Refused(report.problems)


def _format(root: Mapping, report: FileReport) -> None:
    for key, value in root.items:
        if key.text == "format" and isinstance(value, Scalar) and value.text != FORMAT:
            words = value.text.split()
            if (
                words[:2] == ["selector", "table"]
                and len(words) == 3
                and re.fullmatch(r"[1-9]\d{0,5}", words[2])
                and words[2] != "1"
            ):
                report.at(
                    value,
                    "newer-format",
                    f"this file is of format {words[2]}, newer than this program reads",
                    "bring the program up to date",
                )
                raise Refused(report.problems)
            if words[:2] == ["selector", "job"]:
                report.at(
                    value,
                    "job-not-table",
                    "this file is a job, not a table",
                    "give the job to the commands that take a job",
                )
                raise Refused(report.problems)


def _build(b: Builder, fields: Fields, name: str) -> Table | None:
    """The table as far as it could be built, None where that would say nothing."""
    unit_fields = fields.get("unit")
    b.units = build_units(fields.get("units"))
    b.unit_table = {
        q.unit: unit_words(q.unit, b.units.airflow, b.units.temperature, b.units.heat) for q in QUANTITIES.values()
    }
    b.unit_table["heat"] = b.heat_words()
    unit = build_unit(b, unit_fields)
    b.models = unit.models
    calls = fields.get("calls") or {}
    if len(calls) > MOST_CALLS:
        key = fields.keys["calls"]
        b.report.at(
            key,
            "too-many-calls",
            f"there are {len(calls)} calls; no board has more than {MOST_CALLS}",
            "put each unit into a file of its own",
        )
        return None
    stages: list[str] = []
    for _, call in calls.values():
        node = call.get("stages")
        if node is not None:
            stages.extend(i.text for i in b.words(node))
    b.stage_names = Names(dict.fromkeys(stages))
    b.call_names = Names(calls)
    build_ratings(b, fields.get("ratings"))
    build_facts(b, fields.get("facts") or {})
    build_board(b, fields.get("board") or {})
    build_ramps(b, fields.get("ramps") or {})
    if unit_fields is not None and "only" in unit_fields:
        node = unit_fields.get("only")
        unit = replace(unit, only=conditions_in(b, node.text, text_place(node)))
    build_charts(b, fields.get("charts") or {})
    build_calls(b, calls)
    return Table(
        file=b.source.file,
        name=name,
        lines=b.source.lines,
        unit=unit,
        units=b.units,
        ratings=b.ratings,
        facts=b.facts,
        selectors=b.selectors,
        parts=tuple(b.parts),
        charts=b.charts,
        ramps=b.ramps,
        calls=b.calls,
        checked={name: node.text for name, (_, node) in (fields.get("checked") or {}).items()},
    )
