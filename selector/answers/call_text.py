"""How answers read: a call's airflow or why it has none, limits, notes. Shared by find and decode."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from selector.answers.words.airflow import NOES
from selector.answers.words.figure import figure, number
from selector.solve.engine.evaluate import CallAnswer, JudgedLimit, StageAnswer
from selector.table.model.table import ANY, No, Ramp, Row, Table


def airflow_text(table: Table, airflow: Fraction | No) -> str:
    """`1,197.8 cfm`, or the word for why there is none and the reason."""
    if isinstance(airflow, No):
        return f"{NOES[airflow.kind]}: {airflow.why}{how_to_give(table, airflow.why)}"
    return f"{figure(airflow)} {table.units.airflow}"


def stage_text(table: Table, s: StageAnswer) -> str:
    """The airflow with what goes with it: firing rate, rise, airflow per ton."""
    extra = []
    if s.rate:
        extra.append(f"at {figure(Fraction(s.rate))} % fire")
    if s.rise is not None:
        heater = " from the heater alone" if table.calls[s.call].compressor else ""
        extra.append(f"rise{heater} {figure(s.rise)} {table.units.temperature}")
    if s.per_ton is not None:
        extra.append(f"{figure(s.per_ton)} {table.units.airflow} per ton")
    return airflow_text(table, s.airflow) + (f" ({', '.join(extra)})" if extra else "")


def limit_text(table: Table, j: JudgedLimit) -> str:
    """`rise on the rating plate: 67.8 F, allowed 35 to 65 F`."""
    unit = {"airflow": table.units.airflow, "airflow per ton": f"{table.units.airflow} per ton"}.get(
        j.limit.quantity, table.units.temperature
    )
    low, high = j.low, j.high
    if low is not None and high is not None:
        allowed = f"{figure(low)} to {figure(high)} {unit}"
    elif low is not None:
        allowed = f"at least {figure(low)} {unit}"
    else:
        allowed = f"at most {figure(high)} {unit}" if high is not None else "as the page says"
    rate = f" at {figure(Fraction(j.rate))} % fire" if j.rate else ""
    shown = f"{figure(j.value)} {unit}{rate}, " if j.value is not None else ""
    return f"{j.limit.quantity} {shown}allowed {allowed} ({j.limit.source})"


def broken(answers: Mapping[str, CallAnswer]) -> list[tuple[StageAnswer, JudgedLimit]]:
    """Every limit that is broken."""
    return [(s, j) for a in answers.values() for s in a.stages for j in s.judged if j.ok is False]


def pages_and_notes(table: Table, answers: Mapping[str, CallAnswer]) -> tuple[list[str], list[str]]:
    """Pages of the manual the answers come from, and the notes of the rows used."""
    pages: dict[str, None] = {}
    notes: dict[str, None] = {}
    for answer in answers.values():
        for s in answer.stages:
            for t in s.trail:
                if t.page:
                    pages[t.page] = None
                if t.row is not None and t.row.note:
                    notes[f"{t.name}: {t.row.note}"] = None
                if t.row is not None and t.row.like:
                    notes[f"{t.name}: {_like(table, t.name, t.row)}"] = None
    return sorted(pages, key=lambda p: (len(p), p)), list(notes)


def _like(table: Table, chart: str, row: Row) -> str:
    keys = table.charts[chart].keys
    other = " ".join(f"{k.name} {k.values[i]}" for k, i in zip(keys, row.like, strict=True) if i != ANY)
    return f"this row behaves as {other or 'another'}; it is never proposed"


def ramp_text(table: Table, ramp: Ramp | No) -> str:
    """A ramp as it is typed."""
    return (
        airflow_text(table, ramp)
        if isinstance(ramp, No)
        else f"{ramp.name} ({table.lines[ramp.line - 1].partition(':')[2].strip()})"
    )


def delay_text(table: Table, seconds: Fraction | No) -> str:
    """A delay in seconds."""
    return airflow_text(table, seconds) if isinstance(seconds, No) else f"{figure(seconds)} s"


def call_lines(table: Table, answer: CallAnswer) -> list[str]:
    """The ramp and delays of a call, each on a line, those of all stages together where they are the same."""
    out: list[str] = []
    if all(
        isinstance(s.airflow, No) and s.airflow.kind in ("does_not_run", "not_usable", "outside_chart")
        for s in answer.stages
    ):
        return out
    told: tuple[tuple[str, dict[str, str]], ...] = (
        ("comes up", {stage: ramp_text(table, r) for stage, r in answer.ramp.items()}),
        ("waits", {stage: delay_text(table, d) for stage, d in answer.on_delay.items()}),
        ("runs on", {stage: delay_text(table, d) for stage, d in answer.off_delay.items()}),
    )
    for what, texts in told:
        if len(set(texts.values())) == 1:
            out.append(f"{answer.call} {what}: {next(iter(texts.values()))}")
        else:
            out.extend(f"{answer.call} {stage} {what}: {text}" for stage, text in texts.items())
    return out


OPTIONS = {
    "model": "--model",
    "static pressure": "--static",
    "outdoor tons": "--tons",
    "firing rate": "--firing-rate",
    "supply voltage": "--volts",
}

EXAMPLES = {"outdoor tons": "3", "static pressure": "0.5", "firing rate": "60", "supply voltage": "240"}


def page_line(pages: Sequence[str]) -> str:
    """`page of the manual: 23` or `pages of the manual: 23, 24`."""
    return f"page{'s' if len(pages) > 1 else ''} of the manual: {', '.join(pages)}"


def not_judged_lines(table: Table, items: Sequence[tuple[str, str, str, str]]) -> list[str]:
    """(call, stage, limit, why) as lines, one for each reason; where a fact is missing, how to give it."""
    by_why: dict[str, list[str]] = {}
    for call, stage, limit, why in items:
        by_why.setdefault(why, []).append(f"{call} {stage}".strip() + (f", {limit}" if limit else ""))
    return [f"{'; '.join(dict.fromkeys(names))}: {why}{how_to_give(table, why)}" for why, names in by_why.items()]


def how_to_give(table: Table, why: str) -> str:
    """` (give it with --model 060)` behind a reason that a fact isn't given, else nothing."""
    for verb in (" is not given", " are not given"):
        name, given, _ = why.partition(verb)
        if given:
            words = table.unit.models if name == "model" else table.facts[name].values if name in table.facts else ()
            example = words[0] if words else EXAMPLES.get(name, "...")
            return (
                f" (give it with {OPTIONS[name]} {example})"
                if name in OPTIONS
                else f' (give it with --fact "{name}={example}")'
            )
    return ""


def no_data(no: No) -> dict[str, str]:
    """A No for JSON."""
    return {"no": no.kind, "why": no.why}


def _figure_data(value: Fraction | No | None) -> Any:
    return no_data(value) if isinstance(value, No) else number(value)


def stage_data(s: StageAnswer) -> dict[str, Any]:
    """One stage for JSON: the airflow as a number (with `exact` as a fraction), or `no` and why."""
    out: dict[str, Any] = {"call": s.call, "stage": s.stage, "airflow": _figure_data(s.airflow)}
    if isinstance(s.airflow, Fraction):
        out["exact"] = str(s.airflow)
    out |= {
        "heat": _figure_data(s.heat),
        "rise": number(s.rise),
        "airflow per ton": number(s.per_ton),
        "firing rate": s.rate,
    }
    out["steps"] = [
        {
            "step": t.word or t.op,
            "name": t.name,
            "value": number(t.value),
            "result": _figure_data(t.result),
            "page": t.page,
            "line": t.row.line if t.row is not None else 0,
        }
        for t in s.trail
    ]
    out["limits"] = [
        {
            "limit": j.limit.source,
            "quantity": j.limit.quantity,
            "ok": j.ok,
            "value": number(j.value),
            "low": number(j.low),
            "high": number(j.high),
            "why": j.why,
            "firing rate": j.rate,
        }
        for j in s.judged
    ]
    return out


def call_data(answer: CallAnswer) -> dict[str, Any]:
    """One call for JSON."""
    return {
        "call": answer.call,
        "stages": [stage_data(s) for s in answer.stages],
        "ramp": {stage: no_data(r) if isinstance(r, No) else r.name for stage, r in answer.ramp.items()},
        "on delay": {stage: _figure_data(d) for stage, d in answer.on_delay.items()},
        "off delay": {stage: _figure_data(d) for stage, d in answer.off_delay.items()},
    }
