"""Steps of a call, their conditions, and what they act with."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import HEAT_FACTOR, Builder, figure_of
from selector.table.from_file.conditions import conditions_of
from selector.table.from_file.figures import RAMP_EXAMPLE, SHARES, BadFigure, figure
from selector.table.from_file.fitting import fits
from selector.table.from_file.implausible import MOST_STEP_CFM, fault
from selector.table.from_file.keys import call_value, labels_of, leads_on
from selector.table.from_file.made_charts import in_proportion
from selector.table.grammar.table_file import RATING_EXAMPLES
from selector.table.model.quantities import QUANTITIES, RATINGS, STEPS, Quantity
from selector.table.model.table import ABOUT, Atom, CallValue, Condition, Either, Named, PerTon, Step
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.words import Names
from selector.units import BTUH_PER_KW, BTUH_PER_TON, convert
from selector.value import replace


def atom_of(b: Builder, node: Scalar, words: dict[str, Fraction], *, number: bool = True, op: str = "") -> Atom | None:
    """A number, a name, `call X [STAGE]`, or so much for so much of something, of what the step `op` takes."""
    text = " ".join(node.text.split())
    text = text[len(ABOUT) + 1 :] if text.casefold().startswith(f"{ABOUT} ") else text
    if text.casefold().startswith("call "):
        return call_value(b, node, text[5:])
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
                b.report.at(
                    node,
                    "no-rating",
                    f"`{found}` is used here but not given under ratings:",
                    f"add it under ratings:, for example {found}: {RATING_EXAMPLES[found]}",
                )
                return None
            part = next((p.index for p in b.parts if p.name == found), -1) if kind == "part" else -1
            return Named(kind=kind, name=found, part=part)  # type: ignore[arg-type]
    if number and (m := _PER_TON.fullmatch(text)) and m[2].casefold() in words:
        return PerTon(Fraction(m[1]) * (BTUH_PER_TON / BTUH_PER_KW if m[3].casefold() == "kw" else 1))
    if number and (sloping := in_proportion(b, node, text, op)) is not None:
        return sloping if sloping != "wrong" else None
    if number and (text[:1].isdigit() or text[:1] in "+-."):
        default = HEAT_FACTOR[b.units.heat] if op in STEPS and STEPS[op].unit == "heat" else Fraction(1)
        figures = [figure_of(b, replace(node, text=one), words, default) for one in alternatives(text)]
        if len(figures) == 1 or None in figures:
            return figures[0] if len(figures) == 1 else None
        return Either(tuple((frozenset({(node.line, node.column, n)}), x) for n, x in enumerate(figures)))
    if not number and _is_figure(text):
        remedy = "for example {share: 66 %}" if "%" in text else f"type {{airflow: {text}}} if it is the airflow"
        b.report.at(node, "figure-without-quantity", f"`{text}` is a figure; a step says what it is", remedy)
        return None
    if text in b.selectors:
        message = f"`{text}` is a bank of {len(b.selectors[text].parts)} parts; a step needs a chart that reads them"
        b.report.at(
            node, "whole-bank", message, f"make a chart with set: and its switches, for example {text}-1 {text}-2"
        )
        return None
    if b.lost(text, ("board", "facts", "charts", "ramps")):
        b.missed += 1
        return None
    if (said := _said_as_step(text)) is not None:
        b.report.at(node, "unknown-name", f"`{text}` is a step without its colon", f"type {said}")
        return None
    if text.casefold() in SHARES:
        message = f"`{text}` is no figure"
        b.report.at(node, "unknown-name", message, f"type {SHARES[text.casefold()]}")
        return None
    if op == "ramp":
        remedy = f"add it under ramps:, as {text}: {RAMP_EXAMPLE}"
        b.unknown_name(node, text, "a ramp of this file", [*b.ramps, *b.charts], ("charts", "ramps"), remedy)
        return None
    known = [*b.charts, *[p.name for p in b.parts if p.values], *b.facts, *b.ratings]
    what = "a chart, selector, fact or rating of this file"
    b.unknown_name(
        node,
        text,
        what,
        known,
        ("board", "facts", "charts", "ramps"),
        f"known here: {', '.join(known[:10])}" if known else "",
    )
    return None


def _said_as_step(text: str) -> str | None:
    """`at least 350` as it is typed, `at least: 350`; None where no step begins so."""
    for word in sorted(STEPS, key=len, reverse=True):
        if text.casefold().startswith(f"{word} "):
            return f"{word}: {text[len(word) :].strip()}"
    return None


_PER_TON = re.compile(r"(\d{1,6}(?:\.\d{1,3})?) ?(cfm|l/s|m3/h)(?: ?/ ?| per )(ton|kw)", re.IGNORECASE)
"""`350 cfm/ton`, `350 cfm per ton`, `45 L/s/kW`."""


def alternatives(text: str) -> list[str]:
    """`60 or 66 %` as its figures, each with the unit that the last one carries; `about` before them is left off."""
    words = text.split()
    pieces = " ".join(words[words[:1] == [ABOUT] :]).split(" or ")
    unit = re.sub(r"^[+-]?[\d.,]+ ?", "", pieces[-1])
    return [p if re.search(r"[^\d.,+\-]", p) or not unit else f"{p} {unit}" for p in pieces]


def _is_figure(text: str) -> bool:
    return re.fullmatch(r"[+-]?[\d.,]+ ?\S{0,5}", text) is not None


def by_stage_of(
    b: Builder, node: Any, stages: Sequence[str], words: dict[str, Fraction], op: str = ""
) -> dict[str, Atom]:
    """Stage -> what stands for it; "" for all stages."""
    if node is None:
        return {}
    if isinstance(node, Scalar):
        atom = atom_of(b, node, words, op=op)
        return {} if atom is None else {"": atom}
    out: dict[str, Atom] = {}
    for stage, leaf in stage_entries(b, node, stages):
        if not isinstance(leaf, Scalar):
            place = next(iter(leaf.values()))[0]
            remedy = "what differs by both is typed with the model first, {060: {low: 5}}"
            b.report.at(place, "unknown-model", f"`{place.text}` stands within the stage `{stage}`", remedy)
            continue
        atom = atom_of(b, leaf, words, op=op)
        if atom is not None:
            out[stage] = atom
    return out


def stage_entries(b: Builder, node: dict[str, tuple[Scalar, Any]], stages: Sequence[str]) -> Iterable[tuple[str, Any]]:
    """The entries of a map by stage, under the stages as declared."""
    names = Names(stages)
    done: set[str] = set()
    for key, (place, leaf) in node.items():
        found = names.find(key)
        if found is None or found == "":
            known = [s for s in stages if s]
            b.unknown(
                place, key, "unknown-stage", "a stage of this call", known, "" if known else "add stages: to the call"
            )
        elif found in done:
            b.report.at(place, "doubled-stage", f"the stage `{found}` is listed twice", "Delete one.")
        else:
            done.add(found)
            yield found, leaf


def steps_of(
    b: Builder, nodes: list[tuple[Any, Any]] | None, stages: Sequence[str], *, heat: bool = False
) -> tuple[Step, ...]:
    """The steps of a call in file order."""
    out: list[Step] = []
    for _node, cleaned in nodes or ():
        if isinstance(cleaned, Scalar):
            atom = atom_of(b, cleaned, {}, number=False)
            if atom is not None:
                fits(b, "use", atom, cleaned, heat=heat)
                out.append(
                    Step(
                        op="call" if isinstance(atom, CallValue) else "use",
                        by_stage={"": atom},
                        line=cleaned.line,
                        column=cleaned.column,
                        text=cleaned.text,
                    )
                )
            continue
        op = next(k for k in cleaned if k not in ("when", "by"))
        by_model = _by_model(b, cleaned[op][1], stages)
        if by_model:
            for key, inner in by_model:
                one = {**cleaned, op: (cleaned[op][0], inner)}
                only = Condition(name="model", words=(key.text,), line=key.line)
                out += [replace(s, when=(only, *s.when)) for s in steps_of(b, [(_node, one)], stages, heat=heat)]
            continue
        when = conditions_of(b, cleaned["when"][1]) if "when" in cleaned else ()
        place, value = cleaned[op]
        unit = STEPS[op].unit if op in STEPS else ""
        by_stage = by_stage_of(b, value, stages, b.unit_table.get(unit, {}), op)
        if "by" in cleaned:
            by_stage = {stage: _led(b, atom, cleaned["by"][1]) for stage, atom in by_stage.items()}
        if not by_stage:
            continue
        leaves = [value] if isinstance(value, Scalar) else [x for _, x in value.values() if isinstance(x, Scalar)]
        for leaf in leaves:
            _check_figure(b, op, leaf)
        for atom in by_stage.values():
            fits(b, op, atom, value if isinstance(value, Scalar) else place, heat=heat)
        if op == "use" and all(isinstance(a, CallValue) for a in by_stage.values()):
            op = "call"
        rough = next((leaf.text for leaf in leaves if leaf.text.casefold().startswith(f"{ABOUT} ")), "")
        out.append(
            Step(
                op=op,
                by_stage=by_stage,
                when=when,
                line=place.line,
                column=place.column,
                text=place.text,
                rough=rough,
            )
        )
    return tuple(out)


def _by_model(b: Builder, node: Any, stages: Sequence[str]) -> list[tuple[Scalar, Any]]:
    """The entries of a step that differs by model, each with the model as declared; none where it differs by stage."""
    models, staged = Names(b.models), Names(stages)
    if not isinstance(node, dict) or not any(models.find(k) and not staged.find(k) for k in node):
        return []
    out = []
    for key, (place, inner) in node.items():
        found = models.find(key)
        if found is None:
            b.unknown(place, key, "unknown-model", "a model of this file", b.models)
        else:
            out.append((replace(place, text=found), inner))
    return out


def _led(b: Builder, atom: Atom, node: Scalar) -> Atom:
    """A chart that goes by the label of another chart in this step."""
    leads = {name: chart for name, chart in b.charts.items() if leads_on(chart)}
    found = Names(leads).find(node.text)
    if found is None:
        b.unknown_name(node, node.text, "a chart of labels", leads, ("charts",), "make a chart that gives: label")
        return atom
    labels = set(labels_of(b.charts[found]))
    chart = b.charts.get(atom.name) if isinstance(atom, Named) and atom.kind == "chart" else None
    if not isinstance(atom, Named) or chart is None:
        b.report.at(node, "wrong-quantity", "only a chart goes by letters", "name a chart after use:")
        return atom
    own = [k for k in (*chart.keys, *chart.heads) if k.kind in ("fact", "chart") and not k.continuous]
    keys = [k for k in own if labels <= {*k.values}] or [k for k in own if labels & {*k.values}]
    if len(keys) != 1 or not labels <= {*keys[0].values}:
        left = sorted(labels - {*keys[0].values}) if len(keys) == 1 else []
        message = (
            f"`{found}` gives {listed(left)}, which `{chart.name}` has no row for"
            if left
            else f"nothing in set: of `{chart.name}` has the letters of `{found}`"
        )
        remedy = "declare the letters under facts:, letter: {values: A B C}, and name it in set: of the chart"
        b.report.at(node, "unknown-value", message, remedy)
        return atom
    return replace(atom, by=found, key=keys[0].name)


def _check_figure(b: Builder, op: str, node: Scalar) -> None:
    """Whether a figure typed as a step can be meant."""
    quantity = QUANTITIES.get(op)
    for text in alternatives(node.text):
        _check_one(b, op, quantity, text, node)


def _check_one(b: Builder, op: str, quantity: Quantity | None, text: str, node: Scalar) -> None:
    try:
        value = figure(text, b.unit_table.get(quantity.unit if quantity is not None else "airflow", {}))
    except BadFigure:
        return
    wrong = fault(quantity, value, text, percent="%" in text) if quantity is not None else None
    if wrong is not None:
        b.report.at(node, *wrong)
    elif op.startswith("round") and not 0 < convert(value, b.units.airflow, "cfm") <= MOST_STEP_CFM:
        remedy = f"for example {op}: 5, at most {MOST_STEP_CFM} cfm"
        b.report.at(node, "bad-rounding", f"`{op}` needs a figure above 0 that airflow is rounded to", remedy)
    elif op == "use":
        remedy = "for a plain figure type airflow: 1200 or share: 66 %"
        b.report.at(node, "use-needs-a-name", "`use` needs the name of a chart, selector, fact or rating", remedy)
    elif op in ("at least", "at most") and value < 0:
        b.report.at(node, "signed-airflow", f"the airflow `{text}` has a sign", f"type {text[1:]}")
