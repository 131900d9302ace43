"""Why a measured airflow isn't the selected one: at most two rows of the decision table, what the board itself speaks
for first.

A cause that says what the board would then move (marks not read since power-up, another call, another model, another
tap) is worked out on the
table and held against the reading's band.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from typing import Literal

from selector.job.readings.decision_table import DecisionRow, Seen, chosen
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import Setting
from selector.value import Struct, replace


class Suspect(Struct, frozen=True, kw_only=True):
    """What the board would move if a cause held: the check it belongs to, what it would be doing (`source`: still the
    marks as found or as delivered, another call, model, position of a selector, tap; `name`), the airflow in the
    table's unit."""

    check: str
    source: Literal["as found", "as delivered", "call", "model", "position", "tap"]
    name: str
    airflow: Fraction


class Check(Struct, frozen=True, kw_only=True):
    """One thing to look at. `evidence`: what the table gives that fits the reading; `unlikely`: what the board shows
    speaks against it."""

    name: str
    evidence: tuple[Suspect, ...] = ()
    unlikely: bool = False


class Explanation(Struct, frozen=True, kw_only=True):
    """One row that is said. `if_static`: what must still be found true of the static, not measured; `checks` with
    evidence stand first; `then`: the name of what comes next in the table of steps."""

    row: str
    if_static: tuple[str, ...]
    checks: tuple[Check, ...]
    then: str


def explain(
    seen: Seen, suspects: Sequence[Suspect] = (), unlikely: Collection[str] = (), *, heats: bool = False
) -> tuple[Explanation, ...]:
    """At most two explanations, in the order of the table.

    `suspects` are those whose airflow lies in the reading's band (`fitting`), `unlikely` the checks that something
    measured speaks against. `heats`: the call heats, which dehumidify doesn't hold down.
    """
    return tuple(_explanation(row, seen, suspects, unlikely, heats=heats) for row in chosen(seen))


def _explanation(
    row: DecisionRow, seen: Seen, suspects: Sequence[Suspect], unlikely: Collection[str], *, heats: bool
) -> Explanation:
    checks = [
        Check(name=name, evidence=tuple(s for s in suspects if s.check == name), unlikely=name in unlikely)
        for name in row.checks
        if not (heats and name == "dehumidify")
    ]
    return Explanation(
        row=row.name,
        if_static=row.static if seen.static == "not known" else (),
        checks=tuple(sorted(checks, key=lambda check: (check.unlikely, not check.evidence))),
        then=row.then,
    )


def fitting(
    suspects: Iterable[Suspect], low: Fraction, high: Fraction, selected: Fraction | None
) -> tuple[Suspect, ...]:
    """The suspects inside a reading's band, those that would move just what is selected left out; nearest the middle
    first."""
    middle = (low + high) / 2
    found = [s for s in suspects if low <= s.airflow <= high and s.airflow != selected]
    return tuple(sorted(dict.fromkeys(found), key=lambda s: abs(s.airflow - middle)))


def suspects_of(engine: Engine, setting: Setting, call: str, stage: str, before: Setting | None) -> tuple[Suspect, ...]:
    """Everything this table can say of what the board might be doing instead. `before`: how it stood until the marks
    were set."""
    return (
        *_unread(engine, setting, call, stage, before),
        *_other_calls(engine, setting, call, stage),
        *_other_models(engine, setting, call, stage),
        *_other_taps(engine, setting, call, stage),
    )


def _airflow(engine: Engine, setting: Setting, call: str, stage: str) -> Fraction | None:
    found = Board(engine, setting).airflow(engine.asked(engine.table.calls[call], stage))
    return found if isinstance(found, Fraction) else None


def _unread(engine: Engine, setting: Setting, call: str, stage: str, before: Setting | None) -> Iterable[Suspect]:
    """The board still runs on the marks before, or as delivered."""
    if engine.table.unit.reads == "always":
        return
    stood: tuple[tuple[Literal["as found", "as delivered"], Setting | None], ...] = (
        ("as found", before),
        ("as delivered", engine.table.delivered(engine.plate_model())),
    )
    for source, marks in stood:
        if marks is not None and marks != setting:
            airflow = _airflow(engine, marks, call, stage)
            if airflow is not None:
                yield Suspect(check="power-up", source=source, name="", airflow=airflow)


def _other_calls(engine: Engine, setting: Setting, call: str, stage: str) -> Iterable[Suspect]:
    """Another stage or call runs."""
    for other in engine.table.calls.values():
        for one in other.stages:
            airflow = _airflow(engine, setting, other.name, one)
            if (other.name, one) == (call, stage) or airflow is None:
                continue
            terminals = {t.upper() for t in other.terminals.get(one, other.terminals.get("", ()))}
            check = "dehumidify" if "DH" in terminals or "dehumid" in other.name.casefold() else "terminal"
            yield Suspect(check=check, source="call", name=f"{other.name} {one}".strip(), airflow=airflow)


def _other_models(engine: Engine, setting: Setting, call: str, stage: str) -> Iterable[Suspect]:
    """The board believes another model, or another position of a selector that tells it the equipment."""
    for model in engine.table.unit.models:
        if model != engine.plate_model():
            airflow = _airflow(Engine(engine.table, replace(engine.facts, model=model)), setting, call, stage)
            if airflow is not None:
                yield Suspect(check="plug", source="model", name=model, airflow=airflow)
    for part in engine.declarers.values():
        for at, word in enumerate(part.positions):
            if at != setting[part.index]:
                airflow = _airflow(engine, (*setting[: part.index], at, *setting[part.index + 1 :]), call, stage)
                if airflow is not None:
                    yield Suspect(check="plug", source="position", name=f"{part.name} {word}", airflow=airflow)


def _other_taps(engine: Engine, setting: Setting, call: str, stage: str) -> Iterable[Suspect]:
    """The call's lead stands on another tap; its own place is left out, others' leads are taken to be where they
    aren't in the way."""
    lead = engine.table.calls[call].lead
    index = lead.get(stage, lead.get(""))
    if index is None:
        return
    part = engine.table.parts[index]
    alone = tuple(
        None if p.selector == part.selector else at for p, at in zip(engine.table.parts, setting, strict=True)
    )
    for at, word in enumerate(part.positions):
        if at != setting[index]:
            airflow = _airflow(engine, (*alone[:index], at, *alone[index + 1 :]), call, stage)
            if airflow is not None:
                yield Suspect(check="tap", source="tap", name=word, airflow=airflow)
