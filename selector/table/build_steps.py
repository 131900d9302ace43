"""Steps of a call, their conditions, and what they act with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from selector.problems import close_match
from selector.table.build_keys import key_names
from selector.table.builder import Builder, figure_of
from selector.table.located import Scalar
from selector.table.model import Atom, CallValue, Condition, Named, Step
from selector.table.parts import position_in
from selector.table.quantities import QUANTITIES, RATINGS
from selector.table.words import Names, match_names


def _condition(b: Builder, name: str, place: Scalar, node: Any) -> Condition | None:
    names = key_names(b)
    found = names.find(name)
    if found is None and b.spoilt(name):
        return None
    if found is None:
        near = close_match(name, names.names)
        b.report.at(
            place,
            "unknown-name",
            f"`{name}` is not a selector or fact of this file",
            f"did you mean `{near}`?" if near else "declare it under board: or facts:",
        )
        return None
    part = next((p for p in b.parts if p.name == found), None)
    if part is None and found in b.selectors:
        b.report.at(
            place, "whole-bank", f"`{found}` has several parts; a condition needs one", f"name one: {b.parts[b.selectors[found].parts[0]].name}"
        )
        return None
    if part is not None:
        matched = match_names(b.words(node), Names(part.marks))
        for item in matched.unknown:
            b.report.at(item, "unknown-position", f"`{item.text}` is not a position of {found}", f"its positions are {' '.join(part.positions)}")
        allowed = frozenset(i for i in (position_in(part.marks, m) for m, _ in matched.found) if i is not None)
        return Condition(name=found, part=part.index, allowed=allowed, line=place.line)
    fact = b.facts.get(found)
    known = fact.values if fact else b.models if found == "model" else b.stage_names.names if found == "stage" else ()
    if known:
        matched = match_names(b.words(node), Names(known))
        for item in matched.unknown:
            b.report.at(item, "unknown-value", f"`{item.text}` is not a value of {found}", f"known: {' '.join(known)}")
        return Condition(name=found, words=tuple(m for m, _ in matched.found), line=place.line)
    return Condition(name=found, words=tuple(i.text for i in b.words(node)), line=place.line)


def conditions_of(b: Builder, node: Any) -> tuple[Condition, ...]:
    """The conditions of a `when:`."""
    out = [_condition(b, name, place, inner) for name, (place, inner) in (node or {}).items()]
    return tuple(c for c in out if c is not None)


def atom_of(b: Builder, node: Scalar, words: dict[str, Fraction], *, number: bool = True) -> Atom | None:
    """A number, a name, or `call X [STAGE]`."""
    text = " ".join(node.text.split())
    if text.casefold().startswith("call "):
        return _call_value(b, node, text[5:])
    pools: tuple[tuple[str, Iterable[str]], ...] = (
        ("chart", b.charts),
        ("part", [p.name for p in b.parts]),
        ("fact", b.facts),
        ("rating", RATINGS),
        ("ramp", b.ramps),
    )
    for kind, pool in pools:
        found = Names(pool).find(text)
        if found is not None:
            if kind == "rating" and found not in b.ratings:
                b.report.at(node, "no-rating", f"`{found}` is used here but not given under ratings:", f"add {found}: under ratings:")
                return None
            part = next((p.index for p in b.parts if p.name == found), -1) if kind == "part" else -1
            return Named(kind=kind, name=found, part=part)  # type: ignore[arg-type]
    if number and (text[:1].isdigit() or text[:1] in "+-."):
        return figure_of(b, node, words)
    if b.spoilt(text):
        return None
    known = [*b.charts, *[p.name for p in b.parts if p.values], *b.facts, *b.ratings]
    near = close_match(text, known)
    b.report.at(
        node,
        "unknown-name",
        f"`{text}` is not a chart, selector, fact or rating of this file",
        f"did you mean `{near}`?" if near else f"known: {', '.join(known[:10])}",
    )
    return None


def _call_value(b: Builder, node: Scalar, text: str) -> CallValue | None:
    name = b.call_names.find(text)
    if name is not None:
        return CallValue(call=name)
    words = text.split()
    for cut in range(len(words) - 1, 0, -1):
        name, stage = b.call_names.find(" ".join(words[:cut])), b.stage_names.find(" ".join(words[cut:]))
        if name is not None and stage is not None:
            return CallValue(call=name, stage=stage)
    near = close_match(text, b.call_names.names)
    b.report.at(
        node,
        "unknown-call",
        f"`{text}` is not a call of this file, nor a call and its stage",
        f"did you mean `call {near}`?" if near else f"calls: {', '.join(b.call_names.names)}",
    )
    return None


def by_stage_of(b: Builder, node: Any, stages: Sequence[str], words: dict[str, Fraction]) -> dict[str, Atom]:
    """Stage -> what stands for it; "" for all stages."""
    if node is None:
        return {}
    if isinstance(node, Scalar):
        atom = atom_of(b, node, words)
        return {} if atom is None else {"": atom}
    out: dict[str, Atom] = {}
    for stage, leaf in stage_entries(b, node, stages):
        atom = atom_of(b, leaf, words)
        if atom is not None:
            out[stage] = atom
    return out


def stage_entries(b: Builder, node: dict[str, tuple[Scalar, Any]], stages: Sequence[str]) -> Iterable[tuple[str, Any]]:
    """The entries of a map by stage, under the stages as declared."""
    names = Names(stages)
    for key, (place, leaf) in node.items():
        found = names.find(key)
        if found is None or found == "":
            near = close_match(key, stages)
            b.report.at(
                place,
                "unknown-stage",
                f"`{key}` is not a stage of this call",
                f"did you mean `{near}`?" if near else f"its stages: {' '.join(s for s in stages if s) or 'none; add stages:'}",
            )
            continue
        yield found, leaf


_OP_UNITS = {"at least": "airflow", "at most": "airflow", "round": "airflow", "round up": "airflow", "round down": "airflow"}


def steps_of(b: Builder, nodes: list[tuple[Any, Any]] | None, stages: Sequence[str]) -> tuple[Step, ...]:
    """The steps of a call in file order."""
    out: list[Step] = []
    for _node, cleaned in nodes or ():
        if isinstance(cleaned, Scalar):
            atom = atom_of(b, cleaned, {}, number=False)
            if atom is not None:
                out.append(Step(op="call" if isinstance(atom, CallValue) else "use", by_stage={"": atom}, line=cleaned.line, text=cleaned.text))
            continue
        when = conditions_of(b, cleaned["when"][1]) if "when" in cleaned else ()
        op = next(k for k in cleaned if k != "when")
        place, value = cleaned[op]
        unit = QUANTITIES[op].unit if op in QUANTITIES else _OP_UNITS.get(op, "")
        by_stage = by_stage_of(b, value, stages, b.unit_table.get(unit, {}))
        if not by_stage:
            continue
        for atom in by_stage.values():
            _check_number(b, op, atom, value if isinstance(value, Scalar) else place)
        if op == "use" and all(isinstance(a, CallValue) for a in by_stage.values()):
            op = "call"
        out.append(Step(op=op, by_stage=by_stage, when=when, line=place.line, text=op))
    return tuple(out)


def _check_number(b: Builder, op: str, atom: Atom, node: Scalar) -> None:
    quantity = QUANTITIES.get(op)
    if not isinstance(atom, Fraction):
        return
    if op == "use":
        b.report.at(
            node,
            "use-needs-a-name",
            "`use` needs the name of a chart, selector, fact or rating",
            "for a plain figure type airflow: 1200 or share: 66 %",
        )
    if quantity is None:
        if op.startswith("round") and atom <= 0:
            b.report.at(node, "bad-rounding", f"`{op}` needs a figure above 0", "for example round: 5")
        return
    typed = node.text if hasattr(node, "text") else ""
    signed = typed[:1] in ("+", "-")
    if quantity.signed and not signed and atom != 0 and typed != op:
        b.report.at(node, f"unsigned-{op}", f"{op} `{typed}` has no sign", f"type +{typed} or -{typed}, as the page means it")
    if quantity.signed is False and signed:
        b.report.at(node, f"signed-{op.replace(' ', '-')}", f"{op} `{typed}` has a sign", f"type {typed[1:]}")
    if quantity.unit == "percent" and 0 < abs(atom) < 1 and "%" not in typed:
        b.report.at(node, "percent-as-fraction", f"`{typed}` looks like a fraction; {op} is in percent", f"type {float(atom * 100):g} %")
