"""A draft as the text of a table file."""

from __future__ import annotations

from selector.table.from_file.rows import TO_TYPE
from selector.table.grammar.table_file import FORMAT
from selector.table.text.quoting import quoted
from selector.transcribe.draft.manual import number_and_pages
from selector.transcribe.draft.page import Draft
from selector.transcribe.typed.call import stage_names
from selector.transcribe.typed.chart import listed

_BUILT_IN = ("model", "stage", "static pressure", "firing rate")


def draft_text(draft: Draft, schema: str = "") -> str:
    """The file. `schema` is the path of the local schema file, for editors that complete and check as one types."""
    lines = [f"# yaml-language-server: $schema={schema}"] if schema else []
    lines.append(f"format: {FORMAT}")
    lines += _unit(draft)
    lines.append(_units(draft))
    ratings = [*([("heat input", _heat_input(draft))] if draft.inputs else []), *draft.ratings]
    if ratings:
        lines += ["# from the rating plate, not from the chart", "ratings:", *(f"  {k}: {v}" for k, v in ratings)]
    facts = _facts(draft)
    if facts:
        lines += ["# what is known of the house or the equipment, not set on the board", "facts:", *facts]
    lines.append("# every selector of the board; factory is how it is delivered")
    lines += (
        ["board:", *_board(draft)]
        if draft.board
        else ["# such as  SW1: {kind: switches, count: 8, factory: all off}", f"board: {TO_TYPE}"]
    )
    lines += _charts(draft)
    if draft.ramps:
        lines += ["ramps:", *(f"  {name}: {text}" for name, text in draft.ramps)]
    lines.append("# what the blower can be asked for: the steps act one after another on the airflow")
    if not draft.calls:
        return (
            "\n".join(
                [
                    *lines,
                    "# such as  cooling: {terminals: Y1, airflow: [cooling airflow, trims]}",
                    f"calls: {TO_TYPE}",
                ]
            )
            + "\n"
        )
    lines.append("calls:")
    for call in draft.calls:
        lines += call.lines([c.name for c in draft.calls if c is not call])
    return "\n".join(lines) + "\n"


def _unit(draft: Draft) -> list[str]:
    out = ["unit:", f"  title: {quoted(draft.title) or TO_TYPE}"]
    if draft.maker:
        out.append(f"  maker: {quoted(draft.maker)}")
    if draft.models:
        out.append(f"  models: {' '.join(draft.models)}")
    if draft.manual:
        number, pages = number_and_pages(draft.manual)
        entries = [
            f"{key}: {quoted(text, inline=True)}" for key, text in (("number", number), ("pages", pages)) if text
        ]
        out.append(f"  manual: {{{', '.join(entries)}}}")
    for key, text in (("reads", draft.reads), ("motor", draft.motor), ("note", quoted(draft.note))):
        if text:
            out.append(f"  {key}: {text}")
    return out


def _units(draft: Draft) -> str:
    metric = draft.airflow != "cfm"
    entries = [f"airflow: {draft.airflow}"]
    if draft.pressure:
        entries.append(f"pressure: {draft.pressure}")
    if draft.inputs or draft.ratings or any("temperature rise" in chart.gives for chart in draft.charts):
        entries.append(f"temperature: {'C' if metric else 'F'}")
    if draft.inputs or draft.ratings:
        entries.append(f"heat: {'Btu/h' if draft.inputs and not metric else 'kW'}")
    return f"units: {{{', '.join(entries)}}}"


def _heat_input(draft: Draft) -> str:
    """One figure, or figures by model; without models by the stages of the call that heats in so many."""
    if len(draft.inputs) == 1 and not draft.models:
        return draft.inputs[0]
    heating = [
        c.stages
        for c in draft.calls
        if len(c.stages) == len(draft.inputs) and any(t.startswith("W") for t in " ".join(c.terminals).split())
    ]
    names = draft.models or (heating[0] if heating else stage_names(len(draft.inputs), draft.charts))
    return "{" + ", ".join(f"{name}: {figure}" for name, figure in zip(names, draft.inputs, strict=True)) + "}"


def _facts(draft: Draft) -> list[str]:
    """What selectors declare, and the heads of charts that are neither on the board nor known to every table."""
    facts = {
        s.declares: f"{f'gives: {s.gives}, ' if s.gives else ''}values: {' '.join(s.positions)}"
        for s in draft.board
        if s.declares
    }
    if draft.tons:
        facts.setdefault("outdoor tons", f"gives: tons, values: {draft.tons}")
    labels = {name for s in draft.board for name, _ in s.parts()}
    for name, words in ((name, words) for chart in draft.charts for name, words in chart.heads):
        if name not in (TO_TYPE, *_BUILT_IN) and name not in labels:
            facts.setdefault(name, f"{'gives: tons, ' if 'tons' in name.split() else ''}values: {listed(words)}")
    return [f"  {name}: {{{text}}}" for name, text in facts.items()]


def _board(draft: Draft) -> list[str]:
    return [selector.line() for selector in draft.board]


def _charts(draft: Draft) -> list[str]:
    if not draft.charts:
        return [
            "# each chart: what sets it, what stands along the top, what it gives, its rows below a bar",
            f"charts: {TO_TYPE}",
        ]
    out = ["charts:"]
    if any(TO_TYPE in line.split() for chart in draft.charts for line in chart.lines()):
        out += [
            f"  # type each figure in place of its {TO_TYPE}; - where the page prints none, ? where it can't be read",
            "  # a row the page rules out: its positions, then do not use",
        ]
    for chart in draft.charts:
        out += chart.lines()
    return out
