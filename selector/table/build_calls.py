"""The calls."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from selector.problems import close_match
from selector.table.build_steps import by_stage_of, conditions_of, stage_entries, steps_of
from selector.table.builder import Builder, figure_of, range_of, text_of
from selector.table.located import Scalar
from selector.table.model import Call, Named, Step, Window
from selector.table.shapes import Fields
from selector.table.words import Names


def build_calls(b: Builder, calls: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `calls:` into the builder."""
    for name, (key, fields) in calls.items():
        if b.declare(name, key):
            b.calls[name] = _call(b, name, key, fields)


def _call(b: Builder, name: str, key: Scalar, fields: Fields) -> Call:
    stages = tuple(i.text for i in b.words(fields.get("stages"))) if "stages" in fields else ("",)
    if len(set(stages)) != len(stages) or len(stages) > 6:
        b.report.at(fields.get("stages"), "bad-stages", f"the stages of `{name}` must be one to six different names", "lowest stage first")
    time = b.unit_table["time"]
    airflow = steps_of(b, fields.get("airflow"), stages)
    return Call(
        name=name,
        stages=stages,
        airflow=airflow,
        heat=steps_of(b, fields.get("heat"), stages),
        terminals=_terminals(b, fields.get("terminals"), stages),
        capacity=_capacity(b, fields.get("capacity"), stages),
        when=conditions_of(b, fields.get("when")),
        lead=_lead(b, fields.get("lead"), stages),
        ramp=by_stage_of(b, fields.get("ramp"), stages, {}),
        on_delay=by_stage_of(b, fields.get("on delay"), stages, time),
        off_delay=by_stage_of(b, fields.get("off delay"), stages, time),
        windows=_windows(b, fields.get("window"), stages),
        together=_together(b, fields.get("together")),
        note=text_of(fields, "note"),
        line=key.line,
        from_rise=any(_is_rise(b, step) for step in airflow),
    )


def _is_rise(b: Builder, step: Step) -> bool:
    """True for a step that gives a rise to start from: a figure, or what gives rises without the airflow they are printed beside."""
    gives: set[str] = set()
    for atom in step.by_stage.values():
        if isinstance(atom, Named) and atom.kind == "chart":
            gives.update(b.charts[atom.name].gives)
        elif isinstance(atom, Named) and atom.kind == "part":
            gives.add(b.selectors[b.parts[atom.part].selector].gives)
        elif isinstance(atom, Named) and atom.kind == "fact":
            gives.add(b.facts[atom.name].gives)
    return step.op == "temperature rise" or (step.op == "use" and "temperature rise" in gives and "airflow" not in gives)


def _terminals(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, tuple[str, ...]]:
    if node is None:
        return {}
    if isinstance(node, dict):
        return {stage: tuple(i.text for i in b.words(leaf)) for stage, leaf in stage_entries(b, node, stages)}
    return {"": tuple(i.text for i in b.words(node))}


def _capacity(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, Fraction]:
    entries: Iterable[tuple[str, Any]] = () if node is None else [("", node)] if isinstance(node, Scalar) else stage_entries(b, node, stages)
    out: dict[str, Fraction] = {}
    for stage, leaf in entries:
        value = figure_of(b, leaf, {"%": Fraction(1)})
        if value is None:
            continue
        if value <= 1 and "%" not in leaf.text:
            b.report.at(leaf, "percent-as-fraction", f"`{leaf.text}` looks like a fraction; capacity is in percent", f"type {float(value * 100):g} %")
            continue
        out[stage] = value / 100
    return out


def _lead(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, int]:
    if node is None:
        return {}
    leads: dict[str, int] = {}
    for selector in b.selectors.values():
        if selector.exclusive:
            for i in selector.parts:
                leads[b.parts[i].name] = i
                leads.setdefault(b.parts[i].name[len(selector.name) + 1 :], i)
    names = Names(leads)
    out: dict[str, int] = {}
    for stage, leaf in [("", node)] if isinstance(node, Scalar) else stage_entries(b, node, stages):
        found = names.find(leaf.text)
        if found is None:
            near = close_match(leaf.text, list(leads))
            b.report.at(
                leaf, "unknown-lead", f"`{leaf.text}` is not a lead of this board", f"did you mean `{near}`?" if near else f"leads: {' '.join(leads)}"
            )
            continue
        out[stage] = leads[found]
    return out


def _windows(b: Builder, fields: Fields | None, stages: Sequence[str]) -> tuple[Window, ...]:
    out: list[Window] = []
    for quantity, node in fields.values.items() if fields is not None else ():
        kind = "temperature difference" if quantity == "temperature rise" else quantity
        for stage, leaf in [("", node)] if isinstance(node, Scalar) else stage_entries(b, node, stages):
            found = range_of(b, leaf, b.unit_table[kind])
            if found:
                out.append(Window(quantity=quantity, low=found[0], high=found[1], stage=stage, line=leaf.line))
    return tuple(out)


def _together(b: Builder, node: Any) -> dict[str, str]:
    out: dict[str, str] = {}
    for other, (place, rule) in (node or {}).items():
        found = b.call_names.find(other)
        if found is None:
            near = close_match(other, b.call_names.names)
            b.report.at(
                place,
                "unknown-call",
                f"`{other}` is not a call of this file",
                f"did you mean `{near}`?" if near else f"calls: {', '.join(b.call_names.names)}",
            )
            continue
        out[found] = rule.text
    return out
