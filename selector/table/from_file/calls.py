"""The calls."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import HEAT_FACTOR, Builder, figure_of, positive_of, range_of, text_of
from selector.table.from_file.conditions import condition_of, conditions_of
from selector.table.from_file.fitting import fits, gives_of
from selector.table.from_file.keys import key_names
from selector.table.from_file.steps import atom_of, by_stage_of, stage_entries, steps_of
from selector.table.from_file.unit import rated_by
from selector.table.kinds.parts import distinct
from selector.table.model.quantities import HEAT_INPUT, QUANTITIES, RISE, acting
from selector.table.model.table import NOT, Atom, Call, Condition, Named, Step, Window
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.shapes import Fields
from selector.table.text.words import Item, Names, items_of
from selector.value import replace

MOST_STAGES = 12


def build_calls(b: Builder, calls: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `calls:` into the builder."""
    for name, (key, fields) in calls.items():
        before = (len(b.report.problems), b.missed)
        if b.declare(name, key):
            b.calls[name] = _call(b, name, key, fields)
        if (len(b.report.problems), b.missed) != before or len(fields.values) != len(fields.keys):
            b.unsound_calls.add(name)
    plate = []
    for rating, name, place, node in b.plate_by:
        if rating == "temperature rise":
            found = _windows_by(b, rating, name, place, node, ())
            plate += [replace(w, source=f"rise by {name}") for w in found]
        else:
            rated_by(b, rating, name, place, node)
    b.calls = {n: replace(c, windows=(*c.windows, *plate)) if c.heats else c for n, c in b.calls.items()}


def _call(b: Builder, name: str, key: Scalar, fields: Fields) -> Call:
    stages = distinct(fields.get("stages"), "stage", b.report, name) or ("",) if "stages" in fields else ("",)
    if len(stages) > MOST_STAGES:
        message = f"`{name}` has {len(stages)} stages; no unit has more than {MOST_STAGES}"
        b.report.at(fields.get("stages"), "too-many-stages", message, "type the names of its stages, lowest first")
    airflow = steps_of(b, fields.get("airflow"), stages)
    terminals = _terminals(b, fields.get("terminals"), stages)
    windows, limits = _windows(b, fields.get("window"), stages)
    return Call(
        name=name,
        stages=stages,
        airflow=airflow,
        heat=steps_of(b, fields.get("heat"), stages, heat=True),
        terminals={stage: on for stage, (on, _) in terminals.items()},
        dark={stage: off for stage, (_, off) in terminals.items() if off},
        capacity=_capacity(b, fields.get("capacity"), stages),
        when=conditions_of(b, fields.get("when")),
        lead=_lead(b, fields.get("lead"), stages),
        ramp=_told(b, fields, "ramp", stages),
        on_delay=_told(b, fields, "on delay", stages),
        off_delay=_told(b, fields, "off delay", stages),
        windows=windows,
        limits=limits,
        together=_together(b, name, fields.get("together")),
        purpose=text_of(fields, "for"),
        note="; ".join(
            n for n in (text_of(fields, "note"), *(f"the page gives {s.rough}" for s in airflow if s.rough)) if n
        ),
        line=key.line,
        from_rise=any(_is_rise(b, step) for step in airflow),
    )


def _is_rise(b: Builder, step: Step) -> bool:
    """True for a step that gives a rise to start from: a figure, or what gives rises without the airflow they are
    printed beside."""
    gives = {g for atom in step.by_stage.values() if isinstance(atom, Named) for g in gives_of(b, atom)}
    return step.op == RISE or (step.op == "use" and RISE in acting(g for g in gives if g in QUANTITIES))


def _told(b: Builder, fields: Fields, key: str, stages: Sequence[str]) -> dict[str, Atom]:
    """A ramp or a delay, by stage."""
    node = fields.get(key)
    for place in [node] if isinstance(node, Scalar) else [leaf for _, leaf in (node or {}).values()]:
        if said := _is_of_ramps(key, place.text):
            b.report.at(place, "wrong-quantity", *said)
            return {}
    found = by_stage_of(b, node, stages, b.unit_table["time"], key)
    for atom in found.values():
        place = node if isinstance(node, Scalar) else fields.keys[key]
        fits(b, key, atom, place)
        if isinstance(atom, Fraction) and atom < 0:
            b.report.at(
                place,
                "bad-figure",
                f"a delay can't be negative: {float(atom):g}",
                "type the seconds without a sign",
            )
    return found


def _is_of_ramps(key: str, text: str) -> tuple[str, str] | None:
    """What is said of a figure that stands under ramps:, None for another text."""
    if key == "ramp" and re.match(r"\d", text):
        return f"`{text}` is no name of a ramp", f"type it under ramps:, as my ramp: {text}, and ramp: my ramp here"
    if re.search(r"\d.* at ", text):
        where = "after " if key == "off delay" else ""
        return (
            f"`{text}` is more than seconds",
            f"type it under ramps:, as my ramp: {where}{text}, and name it as ramp:",
        )
    return None


def _terminals(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, tuple[tuple[str, ...], tuple[str, ...]]]:
    """By stage the terminals that are energised, and those behind `not`."""

    def parted(leaf: Any) -> tuple[tuple[str, ...], tuple[str, ...]]:
        words = distinct(leaf, "terminal", b.report) or ()
        at = next((n for n, word in enumerate(words) if word.casefold() == NOT), len(words))
        if words and (at == 0 or at == len(words) - 1):
            remedy = "type those that are energised, then not and those that aren't: Y1 Y2 not DH"
            b.report.at(leaf, "bad-terminal", "`not` stands between terminals", remedy)
        return words[:at], words[at + 1 :]

    if node is None:
        return {}
    if isinstance(node, dict):
        return {stage: parted(leaf) for stage, leaf in stage_entries(b, node, stages)}
    return {"": parted(node)}


def _capacity(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, Fraction]:
    entries: Iterable[tuple[str, Any]] = (
        () if node is None else [("", node)] if isinstance(node, Scalar) else stage_entries(b, node, stages)
    )
    out: dict[str, Fraction] = {}
    for stage, leaf in entries:
        value = figure_of(b, leaf, {"%": Fraction(1)})
        if value is None:
            continue
        if 0 < value <= 1 and "%" not in leaf.text:
            b.report.at(
                leaf,
                "percent-as-fraction",
                f"`{leaf.text}` looks like a fraction; capacity is in percent",
                f"type {float(value * 100):g} %",
            )
        elif not 0 < value <= 100:
            b.report.at(
                leaf,
                "bad-capacity",
                f"`{leaf.text}` must be above 0, up to 100 % of full capacity",
                "type a percent above 0, up to 100",
            )
        else:
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
        if found is None and b.some_lost("board"):
            continue
        if found is None:
            shown = [n for n in leads if "-" not in n] or list(leads)
            otherwise = (
                f"its leads are {listed(shown)}; one for each stage"
                if leads
                else "this board has no taps: take lead: out"
            )
            if len(leaf.text.split()) > 1 and all(w in names for w in leaf.text.split()):
                message = f"`{leaf.text}` are several leads; a call energises one, or one in each stage"
                b.report.at(leaf, "unknown-lead", message, f"for example {{low: {shown[0]}, high: {shown[-1]}}}")
            else:
                b.unknown(leaf, leaf.text, "unknown-lead", "a lead of this board", leads, otherwise)
            continue
        out[stage] = leads[found]
    return out


def _windows(b: Builder, fields: Fields | None, stages: Sequence[str]) -> tuple[tuple[Window, ...], tuple[Step, ...]]:
    """The windows of a call, and the limits whose end a name gives."""
    out: list[Window] = []
    named: list[Step] = []
    for quantity, node in fields.values.items() if fields is not None else ():
        if isinstance(node, dict):
            names = key_names(b)
            by = {k: at for k, at in node.items() if isinstance(at[1], dict) and k not in b.models and k in names}
            for key, (place, inner) in by.items():
                if quantity == "static pressure":
                    message = f"the static pressure of a call goes by stage or model, not by {key}"
                    b.report.at(place, "unknown-model", message, "mark the figures that it holds for with a footnote")
                    continue
                out += _windows_by(b, quantity, key, place, inner, stages)
            node = {k: at for k, at in node.items() if k not in by}
        for model, stage, leaf in (
            (m, s, one) for m, s, both in _window_leaves(b, node, stages) for one in _bounds_of(both)
        ):
            word, end = _one_end(leaf.text)
            if quantity == "airflow" and not model and not end.lstrip("+-.")[:1].isdigit():
                named += _limits(b, word, replace(leaf, text=end), stage)
                continue
            out += _window(b, quantity, leaf, stage, model)
    return tuple(out), tuple(named)


def _bounds_of(leaf: Scalar) -> list[Scalar]:
    """`at least NAME, at most NAME` as its two ends; anything else as it is."""
    cut = _SECOND_BOUND.search(leaf.text)
    if cut is None:
        return [leaf]
    second = replace(leaf, text=leaf.text[cut.end() :], column=leaf.column + cut.end())
    return [replace(leaf, text=leaf.text[: cut.start()]), second]


_SECOND_BOUND = re.compile(r"\s*,\s*(?=at (?:least|most) )", re.IGNORECASE)


def _window(
    b: Builder, quantity: str, leaf: Scalar, stage: str, model: str = "", when: tuple[Condition, ...] = ()
) -> list[Window]:
    """A range, or one end; nothing after a problem. An airflow that carries its ton is one per ton."""
    if quantity == "airflow" and re.search(r"/(ton|kw)\b", leaf.text.replace(" ", "").casefold()):
        quantity = "airflow per ton"
    unit = {"temperature rise": "temperature difference", HEAT_INPUT: "heat"}.get(quantity, quantity)
    words = {b.units.pressure.casefold(): Fraction(1)} if unit == "static pressure" else b.unit_table[unit]
    default = HEAT_FACTOR[b.units.heat] if unit == "heat" else Fraction(1)
    word, end = _one_end(leaf.text)
    if unit == "heat" and re.search(r"\bgph\b", leaf.text.casefold()):
        gallon = _heat_per_gallon(b, leaf, model)
        if gallon is None:
            return []
        words, default = {"gph": gallon}, gallon
    if word:
        value = positive_of(b, replace(leaf, text=end), words, default)
        low, high = (value, None) if word == "at least" else (None, value)
    else:
        low, high = range_of(b, leaf, words, default) or (None, None)
    if low is None and high is None:
        return []
    return [Window(quantity=quantity, low=low, high=high, stage=stage, line=leaf.line, model=model, when=when)]


def _heat_per_gallon(b: Builder, leaf: Scalar, model: str) -> Fraction | None:
    """What oil that is typed in gph is taken at, Btu/gal; None after a problem."""
    rating = b.ratings.get("heat per gallon")
    found = rating.get(model or None, "") if rating is not None else None
    if isinstance(found, Fraction):
        return found
    message = f"`{leaf.text}` is oil, and nothing tells the heat of a gallon of it"
    b.report.at(leaf, "wrong-unit", message, "type ratings: {heat per gallon: 140000}, or the input in Btu/h")
    return None


def _windows_by(
    b: Builder, quantity: str, name: str, place: Scalar, node: dict[str, tuple[Scalar, Any]], stages: Sequence[str]
) -> list[Window]:
    """Windows by the positions of a selector or the values of a fact, perhaps by stage within them."""
    out: list[Window] = []
    for key, inner in node.values():
        condition = condition_of(b, name, Item(name, place.line, place.column), items_of(key, b.source.lines), key)
        if condition is None:
            continue
        for stage, leaf in [("", inner)] if isinstance(inner, Scalar) else stage_entries(b, inner, stages):
            out += _window(b, quantity, leaf, stage, when=(condition,))
    return out


def _window_leaves(b: Builder, node: Any, stages: Sequence[str]) -> Iterable[tuple[str, str, Scalar]]:
    """(model, stage, text) of a window by stage, by model, or by model and stage."""
    if isinstance(node, Scalar):
        yield "", "", node
        return
    models = Names(b.models)
    by_stage = {}
    for key, (place, inner) in node.items():
        model = models.find(key)
        if model is None and isinstance(inner, dict):
            b.unknown(place, key, "unknown-model", "a model of this file", b.models, "list the models under unit:")
        elif model is None:
            by_stage[key] = (place, inner)
        elif isinstance(inner, Scalar):
            yield model, "", inner
        else:
            for stage, leaf in stage_entries(b, inner, stages):
                yield model, stage, leaf
    for stage, leaf in stage_entries(b, by_stage, stages):
        yield "", stage, leaf


def _limits(b: Builder, word: str, node: Scalar, stage: str) -> list[Step]:
    """`at least NAME`, `at most call fan`, or a chart that gives least airflow, most airflow or both."""
    atom = atom_of(b, node, b.unit_table["airflow"])
    if atom is None:
        return []
    given = gives_of(b, atom) if isinstance(atom, Named) else ()
    words = (
        [word] if word else [w for w, q in (("at least", "least airflow"), ("at most", "most airflow")) if q in given]
    )
    if not words:
        message = f"`{node.text}` gives no least or most airflow"
        b.report.at(node, "wrong-quantity", message, f"type at least {node.text}, at most {node.text}, or 400 to 1600")
    for one in words:
        fits(b, "at least" if one == "at least" else "at most", atom, node)
    return [
        Step(
            op="at least" if one == "at least" else "at most",
            by_stage={stage: atom},
            line=node.line,
            column=node.column,
            text=node.text,
        )
        for one in words
    ]


def _one_end(text: str) -> tuple[str, str]:
    """`at least 340` as its word and what follows; no word for a range with both ends."""
    for word in ("at least", "at most", "up to"):
        if text.casefold().startswith(word + " "):
            return word, text[len(word) :].strip()
    return "", text


def _together(b: Builder, name: str, node: Any) -> dict[str, str]:
    out: dict[str, str] = {}
    for other, (place, rule) in (node or {}).items():
        found = b.call_names.find(other)
        if found is None:
            b.unknown(place, other, "unknown-call", "a call of this file", b.call_names.names)
            continue
        if found == name:
            b.report.at(
                place, "together-with-itself", f"`{name}` can't run together with itself", "name the other call"
            )
            continue
        out[found] = rule.text
    return out
