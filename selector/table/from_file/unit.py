"""What the unit is, its units of measure, and the figures of its rating plate."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import HEAT_FACTOR, Builder, figure_of, positive_of, range_of, static_of, text_of
from selector.table.from_file.conditions import condition_of
from selector.table.from_file.figures import HEAT
from selector.table.from_file.rows import REST
from selector.table.kinds.parts import distinct
from selector.table.model.quantities import RATINGS
from selector.table.model.table import Rating, Unit, Units
from selector.table.text.nodes import Scalar
from selector.table.text.shapes import Fields
from selector.table.text.words import TO_TYPE, Item, Names, items_of
from selector.value import replace

BY_SELECTOR = {"range": ("board", "facts", "charts"), "percent": ("board",), "oil pressure": ("board",)}
"""Kinds of ratings that may go by what stands under these heads of the file, beside model and stage."""
_FREE_UNITS = {
    "voltage": {"v": Fraction(1)},
    "oil pressure": {"psi": Fraction(1)},
    "heat per gallon": {"btu/gal": Fraction(1)},
}


def build_units(fields: Fields | None) -> Units:
    """The units of measure of the file, the usual ones where it names none."""
    return Units(**{k: node.text for k, node in fields.values.items()}) if fields is not None else Units()


def build_unit(b: Builder, fields: Fields | None) -> Unit:
    """What `unit:` says."""
    if fields is None:
        return Unit(title="")
    title = fields.get("title")
    if isinstance(title, Scalar) and title.text == TO_TYPE:
        b.report.at(title, "still-to-type", "the title is still to type", f"type it in place of the {TO_TYPE}")
    manual, applies = fields.get("manual"), fields.get("applies to")
    number = pages = ""
    if isinstance(manual, Fields):
        number, pages = _words(b, manual.get("number")), _words(b, manual.get("pages"))
    elif manual is not None:
        number = _words(b, manual)
    applies_to: dict[str, str] = {}
    if isinstance(applies, Fields):
        applies_to = {k: _words(b, v) for k, v in applies.values.items()}
    elif applies is not None:
        applies_to = {"board part": _words(b, applies)}
    models = distinct(fields.get("models"), "model", b.report) or () if "models" in fields else ()
    return Unit(
        title=text_of(fields, "title"),
        maker=text_of(fields, "maker"),
        models=models,
        manual=number,
        pages=pages,
        transcribed=text_of(fields, "transcribed"),
        applies_to=applies_to,
        reads=text_of(fields, "reads"),
        motor=text_of(fields, "motor"),
        airflow_means=text_of(fields, "airflow means"),
        holds_up_to=static_of(b, fields),
        note=text_of(fields, "note"),
    )


def _words(b: Builder, node: Any) -> str:
    return " ".join(i.text for i in b.words(node)) if node is not None else ""


def build_ratings(b: Builder, fields: Fields | None) -> None:
    """Reads `ratings:` into the builder."""
    if fields is None:
        return
    for name, node in fields.values.items():
        kind = RATINGS[name][0]
        values: dict[tuple[str, str], Any] = {}
        if kind in BY_SELECTOR and isinstance(node, dict):
            parts = {k: at for k, at in node.items() if isinstance(at[1], dict) and _declared(b, k, BY_SELECTOR[kind])}
            b.plate_by += [(name, key, place, inner) for key, (place, inner) in parts.items()]
            node = {key: at for key, at in node.items() if key not in parts}
            if parts and not node and kind == "range":
                continue
        if kind == "voltage" and isinstance(node, dict):
            own = {key: at for key, at in node.items() if isinstance(at[1], Scalar) and _declared(b, key)}
            node = {key: at for key, at in node.items() if key not in own}
            for key, (_, leaf) in own.items():
                if (volts := _rating(b, leaf, kind)) is not None:
                    values["", key] = volts
        for (model, stage), leaf in _leaves(b, node):
            value = _rating(b, leaf, kind)
            if value is not None:
                values[model, stage] = value
        b.ratings[name] = Rating(name=name, values=values, line=fields.keys[name].line)


def rated_by(b: Builder, name: str, selector: str, place: Scalar, node: dict[str, tuple[Scalar, Any]]) -> None:
    """Adds to a rating what it is where a selector stands so."""
    rating, at = b.ratings[name], Item(selector, place.line, place.column)
    for key, inner in node.values():
        value = _rating(b, inner, RATINGS[name][0]) if isinstance(inner, Scalar) else None
        if key.text.casefold() == REST:
            rating = replace(rating, values={**({("", ""): value} if value is not None else {}), **rating.values})
            continue
        condition = condition_of(b, selector, at, items_of(key, b.source.lines), key)
        if condition is not None and value is not None:
            rating = replace(rating, by=(*rating.by, (condition, value)))
    b.ratings[name] = rating


def _declared(b: Builder, key: str, heads: tuple[str, ...] = ("board", "facts", "charts")) -> bool:
    """True for the name of a selector, fact or chart of the file, and of no model."""
    declared = {name for under in heads for name in b.written.get(under, ())}
    return key not in b.models and " ".join(key.casefold().split()) in declared


def _leaves(b: Builder, node: Any) -> Iterable[tuple[tuple[str, str], Scalar]]:
    if isinstance(node, Scalar):
        yield ("", ""), node
        return
    models = Names(b.models)
    for key, (place, inner) in node.items():
        model = models.find(key)
        stage = b.stage_names.find(key)
        if model is None and (stage is None or not isinstance(inner, Scalar)):
            known = [*b.models, *b.stage_names.names]
            otherwise = "" if known else "list the models under unit:, as models:"
            b.unknown(place, key, "unknown-model-or-stage", "a model or a stage of this file", known, otherwise)
            continue
        if model is None:
            yield ("", stage or ""), inner
        elif isinstance(inner, Scalar):
            yield (model, ""), inner
        else:
            for stage_key, (stage_place, leaf) in inner.items():
                found = b.stage_names.find(stage_key)
                if found is None:
                    otherwise = "" if b.stage_names.names else "name the stages in the calls, as stages:"
                    b.unknown(
                        stage_place, stage_key, "unknown-stage", "a stage of this file", b.stage_names.names, otherwise
                    )
                    continue
                yield (model, found), leaf


def _rating(b: Builder, node: Scalar, kind: str) -> Any:
    if kind == "heat":
        return positive_of(b, node, HEAT, HEAT_FACTOR[b.units.heat])
    if kind == "percent":
        value = figure_of(b, node, {"%": Fraction(1)})
        if value is None:
            return None
        if Fraction(1, 2) <= value <= Fraction(11, 10) and "%" not in node.text:
            return value
        if 50 <= value <= 110:
            return value / 100
        b.report.at(
            node,
            "bad-efficiency",
            f"`{node.text}` can't be an efficiency",
            "type a percent from 50 to 110, or a fraction from 0.5 to 1.1",
        )
        return None
    if kind == "range":
        return range_of(b, node, {b.units.temperature.casefold(): Fraction(1)})
    if kind == "temperature":
        return positive_of(b, node, {b.units.temperature.casefold(): Fraction(1)})
    if kind == "pressure":
        return positive_of(b, node, {b.units.pressure.casefold(): Fraction(1)})
    return positive_of(b, node, _FREE_UNITS[kind])
