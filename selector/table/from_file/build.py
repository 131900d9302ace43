"""From the cleaned file to the checked model: names resolved, rows read, every slip reported at its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress

from selector.problems import Problem, Refused
from selector.table.checks.all_checks import CHECKS, OF_CALLS, OF_CHARTS
from selector.table.from_file.board import build_board, build_facts, build_ramps
from selector.table.from_file.builder import Builder
from selector.table.from_file.calls import build_calls
from selector.table.from_file.cells import unit_words
from selector.table.from_file.charts import build_charts
from selector.table.from_file.conditions import conditions_in, text_place
from selector.table.from_file.unit import build_ratings, build_unit, build_units
from selector.table.grammar.table_file import FORMAT, known_keys, read_grammar
from selector.table.model.quantities import HEATS, OWN_AIRFLOW, QUANTITIES
from selector.table.model.table import Call, CallValue, Part, Table
from selector.table.source import Source, source_from_text
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
    try:
        root = locate(source)
    except Refused as refused:
        raise Refused([*refused.problems, *_behind(source, name, refused.problems)]) from None
    table = _checked(Builder(source, report), root, name)
    if table is None or report.failed:
        raise Refused(report.problems)
    return table, report


def _checked(b: Builder, root: Mapping, name: str, apart: frozenset[str] = frozenset()) -> Table | None:
    """The table as far as it could be built, and checked as far as what it was built of is sound. `apart`: names of the
    person's own that were set apart before."""
    report = b.report
    _format(root, report)
    fields = read_grammar(root, report)
    b.written = {
        key.text: frozenset(" ".join(k.text.casefold().split()) for k, _ in node.items) | apart
        for key, node in root.items
        if isinstance(node, Mapping)
    }
    b.strange = tuple(key for key in b.written if key not in known_keys())
    table = _build(b, fields, name)
    if table is not None:
        whole = not report.failed
        wrong = {
            max((c.line, n) for n, c in table.calls.items() if c.line <= p.line)[1]
            for p in report.problems
            if any(c.line <= p.line for c in table.calls.values())
        }
        sound = replace(table, calls=_sound(table, b.unsound_calls | wrong))
        for check in CHECKS:
            if whole or check in OF_CHARTS:
                check(table, report)
            elif check in OF_CALLS:
                check(sound, report)
    return table


def _sound(table: Table, unsound: set[str]) -> dict[str, Call]:
    """The calls without a problem, and without those that take the airflow of one that has."""
    kept = {name: call for name, call in table.calls.items() if name not in unsound}
    while True:
        atoms = {n: [a for s in (*c.airflow, *c.heat) for a in s.by_stage.values()] for n, c in kept.items()}
        left = {n for n, named in atoms.items() if any(isinstance(a, CallValue) and a.call not in kept for a in named)}
        if not left:
            return kept
        kept = {name: call for name, call in kept.items() if name not in left}


def _behind(source: Source, name: str, slips: Sequence[Problem]) -> list[Problem]:
    """The problems in the rest of a file in which some lines have slips of spelling: what belongs to those lines is
    left aside, and what would only be told for want of it isn't told."""
    lines = list(source.lines)
    aside: list[str] = []
    for line in {p.line for p in slips if 0 < p.line <= len(lines)}:
        indent = len(lines[line - 1]) - len(lines[line - 1].lstrip())
        if not indent and lines[line - 1].partition(":")[0] not in _MAY_LACK:
            return []
        end = line
        while end < len(lines) and (not lines[end].strip() or len(lines[end]) - len(lines[end].lstrip()) > indent):
            end += 1
        aside += lines[line - 1 : end]
        lines[line - 1 : end] = [""] * (end - line + 1)
    rest = source_from_text("\n".join(lines) + "\n", source.file)
    report = FileReport(rest)
    report.problems += slips
    names = frozenset(" ".join(t.partition(":")[0].casefold().split()) for t in aside if ":" in t)
    with suppress(Refused):
        _checked(Builder(rest, report), locate(rest), name, names)
    text = "\n".join(aside).casefold()
    for_want = {*_FOR_WANT, *(("wrong-unit", "bad-figure", "not-a-figure") if "units" in names else ())}
    told = [p for p in report.problems if p not in slips and p.code not in for_want]
    quoted = {p: re.findall(r"`([^`]+)`", p.message) for p in told}
    return [p for p in told if not any(re.search(rf"(?<!\w){re.escape(w.casefold())}(?!\w)", text) for w in quoted[p])]


_FOR_WANT = frozenset(("missing-key", "nothing-typed", "no-rows", "row-too-long", "row-too-short", "copy-of-nothing"))
"""What may be told only because a line is left aside."""


_MAY_LACK = frozenset(("unit", "units", "ratings", "facts", "ramps", "checked"))
"""Keys of a file without which the rest still says something."""


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
    b.unit_table = {q.unit: unit_words(q.unit, b.units.airflow, b.units.temperature) for q in QUANTITIES.values()}
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
    along = {n: c for n, c in b.charts.items() if any(k.name == OWN_AIRFLOW for k in (*c.keys, *c.heads))}
    b.charts = {n: c for n, c in b.charts.items() if n not in along}
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
        parts=_fitted(b),
        charts=b.charts,
        along=along,
        ramps=b.ramps,
        calls=b.calls,
        checked={name: node.text for name, (_, node) in (fields.get("checked") or {}).items()},
    )


def _fitted(b: Builder) -> tuple[Part, ...]:
    """The parts. A plug that the heat goes by is equipment, which no search changes: where the file declares nothing
    it declares itself."""
    heats = [c for c in b.charts.values() if not set(HEATS).isdisjoint(c.gives)]
    told = {k.part for c in heats for k in (*c.keys, *c.heads) if k.kind == "part"}
    plugs = {i for i in told if b.selectors[b.parts[i].selector].kind == "plug" and not b.parts[i].declares}
    return tuple(replace(p, declares=p.name) if p.index in plugs else p for p in b.parts)
