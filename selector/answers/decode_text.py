"""What `decode` says: every call of a board as found."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from selector.answers.call_text import (
    airflow_text,
    broken,
    call_data,
    call_lines,
    limit_text,
    no_data,
    not_judged_lines,
    page_line,
    pages_and_notes,
    stage_text,
)
from selector.answers.words.airflow import NOES
from selector.answers.words.figure import figure, number
from selector.answers.words.fold import indented
from selector.answers.words.head import head
from selector.solve.board.marks import mark, mark_by_part, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import beyond
from selector.solve.engine.together import Energised
from selector.solve.search.decode import Decoded, Values
from selector.table.model.table import No, Table

SHOWN = 20
"""Distinct airflows listed; beyond that the range and the count."""


def lines(engine: Engine, decoded: Decoded, running: Energised | None, *, wide: bool) -> list[str]:
    """The answer for people."""
    table = engine.table
    out = [head(table, engine.plate_model()), *beyond(engine)]
    for d in decoded.differences:
        out += ["", f"FIRST: {d.selector} tells the board {d.fact} {d.board}, but {d.known} is what is there."]
    from selector.draw.parts.text import board_text

    out += ["", marks_of(decoded.setting, table), *indented(board_text(table, decoded.setting, wide=wide)), ""]
    if running is not None:
        out += _running(table, running)
        return out
    grid = [
        (f"{call} {stage}".strip(), _values(engine, decoded, call, stage, v))
        for (call, stage), v in decoded.values.items()
    ]
    width = max(len(name) for name, _ in grid)
    out += [f"{name:<{width}}  {text}" for name, text in grid]
    extras = [line for a in decoded.answers.values() for line in call_lines(table, a) if not _unknown(line)]
    extras += _spoken(decoded)
    if extras:
        out += ["", *extras]
    wrong = broken(decoded.answers)
    if wrong:
        out += ["", "outside its limits:", *indented([f"{s.title}: {limit_text(table, j)}" for s, j in wrong])]
    unsaid = [
        (s.call, s.stage, j.limit.source, j.why)
        for a in decoded.answers.values()
        for s in a.stages
        for j in s.judged
        if j.ok is None
    ]
    if unsaid:
        out += ["", "not judged:", *indented(not_judged_lines(table, unsaid))]
    out += _remarks(table, decoded)
    pages, notes = pages_and_notes(table, decoded.answers)
    if pages:
        out += ["", page_line(pages)]
    out += [f"note: {n}" for n in notes]
    return out


def _unknown(line: str) -> bool:
    return f": {NOES['not_known']}: " in line


def _running(table: Table, running: Energised) -> list[str]:
    if not running.stages:
        return [airflow_text(table, running.airflow)]
    out = [f"{s.title}: {stage_text(table, s)}" for s in running.stages]
    if len(running.stages) > 1:
        out.append(f"together: {airflow_text(table, running.airflow)}")
    return out


def _values(engine: Engine, decoded: Decoded, call: str, stage: str, values: Values) -> str:
    table = engine.table
    answer = decoded.answers[call].stage(stage)
    if (
        not isinstance(answer.airflow, No)
        or answer.airflow.kind not in ("unreadable", "not_known")
        or not decoded.unread
        or not (values.airflows or len(values.noes) > 1)
    ):
        if values.certain and values.noes:
            return airflow_text(table, values.noes[0])
        if isinstance(answer.airflow, Fraction):
            return stage_text(table, answer)
    words = []
    if len(values.airflows) > SHOWN:
        words.append(
            f"one of {len(values.airflows)} airflows from {figure(values.airflows[0])} to {figure(values.airflows[-1])}"
            f" {table.units.airflow}"
        )
    elif values.airflows:
        words.append(
            " or ".join(figure(x) + _when(table, values.which.get(x, ())) for x in values.airflows)
            + f" {table.units.airflow}"
        )
    words += [airflow_text(table, n) for n in values.noes]
    text = "; or ".join(words)
    return f"{text} (certain, whatever the unread positions are)" if values.certain else text


def _when(table: Table, which: tuple[tuple[int, int], ...]) -> str:
    """` (J2=a or c)` behind an airflow that a single unread selector decides."""
    if not which:
        return ""
    part = table.parts[which[0][0]]
    return f" ({part.name}={' or '.join(mark(table, part.index, at) for _, at in which)})"


SAID = {"ramp": "comes up", "on delay": "waits", "off delay": "runs on"}


def _spoken(decoded: Decoded) -> list[str]:
    out = []
    for (call, stage, what), options in decoded.spoken.items():
        shown = " or ".join(f"{figure(o)} s" if isinstance(o, Fraction) else str(o) for o in options)
        out.append(f"{call} {stage}".strip() + f" {SAID[what]}: {shown}")
    return out


def _remarks(table: Table, decoded: Decoded) -> list[str]:
    """What is odd though nothing forbids it: a call that isn't cooling's own, above the lowest cooling stage."""
    out = []
    for call in table.calls.values():
        words = {t.upper() for w in call.terminals.values() for t in w}
        if words != {"G"}:
            continue
        fan = decoded.answers[call.name].stages[0].airflow
        for other in table.calls.values():
            low = decoded.answers[other.name].stages[0]
            names = {t.upper() for t in other.terminals.get(low.stage, other.terminals.get("", ()))}
            if (
                "Y1" in names
                and not other.heats
                and isinstance(fan, Fraction)
                and isinstance(low.airflow, Fraction)
                and fan > low.airflow
            ):
                out.append(
                    f"worth a look: {call.name} runs {figure(fan)} {table.units.airflow}, more than {low.title}"
                    f" ({figure(low.airflow)})"
                )
    return ["", *out] if out else []


def data(engine: Engine, decoded: Decoded, running: Energised | None) -> dict[str, Any]:
    """The answer for JSON; its shape is published in schemas/decode.json."""
    table = engine.table
    return {
        "version": 1,
        "table": table.name,
        "unit": {
            "airflow": table.units.airflow,
            "temperature": table.units.temperature,
            "pressure": table.units.pressure,
        },
        "marks": marks_of(decoded.setting, table),
        "setting": mark_by_part(decoded.setting, table),
        "unread": [table.parts[i].name for i in decoded.unread],
        "differences": [
            {"selector": d.selector, "fact": d.fact, "board": d.board, "known": d.known} for d in decoded.differences
        ],
        "calls": [call_data(a) for a in decoded.answers.values()],
        "values": [
            {
                "call": c,
                "stage": s,
                "airflows": [number(x) for x in v.airflows],
                "exact": [str(x) for x in v.airflows],
                "noes": [no_data(n) for n in v.noes],
                "certain": v.certain,
            }
            for (c, s), v in decoded.values.items()
        ],
        "running": None
        if running is None
        else {
            "stages": [{"call": s.call, "stage": s.stage} for s in running.stages],
            "airflow": no_data(running.airflow) if isinstance(running.airflow, No) else number(running.airflow),
        },
    }
