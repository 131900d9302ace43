"""A draft as the text of a table file, and its writing where nothing stands yet."""

from __future__ import annotations

import os

from selector.problems import Problem, Refused
from selector.table.grammar import FORMAT
from selector.table.rows import TO_TYPE
from selector.transcribe.drafted import Draft


def draft_text(draft: Draft, schema: str = "") -> str:
    """The file. `schema` is the path of the local schema file, for editors that complete and check as one types."""
    lines = [f"# yaml-language-server: $schema={schema}"] if schema else []
    lines.append(f"format: {FORMAT}")
    lines += _unit(draft)
    lines.append(_units(draft))
    declared = [s for s in draft.board if s.declares]
    ratings = [*draft.ratings, *([("heater voltage", "240")] if declared else [])]
    if ratings:
        lines += ["# from the rating plate, not from the chart", "ratings:", *(f"  {k}: {v}" for k, v in ratings)]
    if declared:
        lines.append("facts:")
        lines += [f"  {s.declares}: {{gives: heater power, values: {' '.join(s.positions)}}}" for s in declared]
    lines += ["# every selector of the board; factory is how it is delivered", "board:", *_board(draft)]
    lines += _charts(draft)
    if draft.ramps:
        lines += ["ramps:", *(f"  {name}: {text}" for name, text in draft.ramps)]
    lines += ["# what the blower can be asked for: the steps act one after another on the airflow", "calls:"]
    for call in draft.calls:
        lines += call.lines()
    return "\n".join(lines) + "\n"


def _unit(draft: Draft) -> list[str]:
    out = ["unit:", f"  title: {draft.title or 'Unit'}"]
    if draft.maker:
        out.append(f"  maker: {draft.maker}")
    if draft.models:
        out.append(f"  models: {' '.join(draft.models)}")
    if draft.manual:
        number, _, pages = draft.manual.replace(",", " ").rpartition(" ")
        entries = ([f"number: {number}"] if number else []) + [f"pages: {pages}"]
        out.append(f"  manual: {{{', '.join(entries)}}}")
    if draft.reads:
        out.append(f"  reads: {draft.reads}")
    return out


def _units(draft: Draft) -> str:
    metric = draft.airflow != "cfm"
    entries = [f"airflow: {draft.airflow}"]
    if any(head == "static pressure" for chart in draft.charts for head, _ in chart.heads):
        entries.append(f"pressure: {'Pa' if metric else 'in. w.c.'}")
    if draft.ratings:
        entries += ["temperature: F", "heat: Btu/h"]
    elif any(s.declares for s in draft.board):
        entries += [f"temperature: {'C' if metric else 'F'}", "heat: kW"]
    return f"units: {{{', '.join(entries)}}}"


def _board(draft: Draft) -> list[str]:
    used = {name for chart in draft.charts for name, _ in chart.parts} | {head for chart in draft.charts for head, _ in chart.heads}
    waited = {call.when.partition(":")[0] for call in draft.calls}
    out = []
    for selector in draft.board:
        line = selector.line()
        if selector.kind == "switches" and not selector.not_used:
            idle = [str(i + 1) for i in range(selector.count) if f"{selector.label}-{i + 1}" not in used | waited]
            if idle and len(idle) < selector.count:
                line = line.removesuffix("}") + f", not used: {' '.join(idle)}}}"
        out.append(line)
    return out


def _charts(draft: Draft) -> list[str]:
    open_rows = any(row is None or TO_TYPE in row for chart in draft.charts for row in (*chart.rows, *((None,) if not chart.rows else ())))
    out = ["charts:"]
    if open_rows:
        out += [
            f"  # type each figure in place of its {TO_TYPE}; - where the page prints none, ? where it can't be read",
            "  # a row the page rules out: its positions, then do not use",
        ]
    for chart in draft.charts:
        out += chart.lines()
    return out


def write_new(path: str, text: str) -> None:
    """Write a file where none stands, whole or not at all. Refused says why it can't be written; nothing is ever overwritten."""
    try:
        with open(path, "x", encoding="utf-8", newline="\n") as file:
            try:
                file.write(text)
            except OSError:
                file.close()
                os.unlink(path)
                raise
    except FileExistsError as error:
        raise _refused(path, "already-there", "There is a file of this name already.", "Give another name; nothing was changed.") from error
    except IsADirectoryError as error:
        raise _refused(path, "is-a-folder", "This is a folder, not a file.", "Give the name of a new file in it.") from error
    except FileNotFoundError as error:
        raise _refused(path, "no-such-folder", "There is no such folder to write in.", "Make the folder first, or give another one.") from error
    except PermissionError as error:
        raise _refused(path, "no-permission", "You may not write in this folder.", "Give the name of a file in a folder of your own.") from error
    except ValueError as error:
        raise _refused(path, "bad-name", "A file can't have this name.", "Give a name of letters, figures and dashes.") from error
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise _refused(path, "cannot-write", f"This file can't be written: {reason}.", "Give the name of a file in another folder.") from error


def _refused(path: str, code: str, message: str, help: str) -> Refused:
    return Refused([Problem(file=path, line=0, column=0, code=code, message=message, help=help)])
