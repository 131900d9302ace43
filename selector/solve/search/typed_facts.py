"""What a person types as facts and targets, into the table's own units."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from selector.amount import ALTITUDE, MEASURES, RETURN_AIR, Measure, doubtful, figure_in, remedy_of
from selector.problems import Problem, Refused, close_match
from selector.solve.board.facts import Facts, number_in
from selector.solve.search.targets import Asked, Target
from selector.table.model.table import Table
from selector.table.text.words import Names
from selector.units import (
    CANONICAL,
    Mistyped,
    TypedFigure,
    UnitOfMeasure,
    convert,
    parse_quantity,
    rise,
    unit_named,
)
from selector.value import replace

STATIC = "static pressure"
USUAL_PER_TON_CFM = 400
"""Usual cooling airflow for each ton (common practice, no source)."""

_GIVEN_BY = {"tons": "outdoor tons"}
"""A quantity that a fact of a table gives -> the measure it is typed in, where that has another name."""


def problem(where: str, text: str, code: str, message: str, help: str = "") -> Problem:
    """A problem in something typed on the command line."""
    return Problem(
        file=where, line=1, column=1, code=code, message=message, help=help, source=text, length=max(1, len(text))
    )


def _native(value: TypedFigure, table: Table, where: str) -> Fraction:
    """An airflow in the table's unit; without a unit it is taken in the table's own."""
    if value.unit is None:
        return value.value
    try:
        return convert(value.value, value.unit, table.units.airflow)
    except Mistyped as wrong:
        raise Refused([problem(where, value.text, "wrong-unit", wrong.message, _type(wrong.instead))]) from wrong


def typed_airflow(text: str, table: Table, where: str) -> Fraction:
    """An airflow as it is typed, in the table's unit, which it has where none is typed. Raises Refused."""
    return _native(_quantity(text, where), table, where)


def _type(instead: str) -> str:
    return f"type {instead}" if instead else ""


def _quantity(text: str, where: str) -> TypedFigure:
    try:
        return parse_quantity(text)
    except Mistyped as wrong:
        raise Refused([problem(where, text, "not-a-quantity", wrong.message, _type(wrong.instead))]) from wrong


def _plain(text: str, where: str, what: str, example: str) -> Fraction:
    """A number without a unit."""
    value = _quantity(text, where)
    if value.unit is not None:
        message = f"{what} is a plain number, without {value.unit.name}"
        raise Refused([problem(where, text, "wrong-unit", message, f"for example {example}")])
    return value.value


def read_facts(pairs: Iterable[tuple[str, str]], table: Table) -> Facts:
    """Facts from (name, text). Raises Refused with every fact that isn't known or doesn't fit."""
    model: str | None = None
    values: dict[str, Fraction | str] = {}
    static: dict[str, Fraction] = {}
    problems: list[Problem] = []
    back = [RETURN_AIR.key] if "outlet limit" in table.ratings else []
    names = Names(dict.fromkeys(["model", *table.facts, *declared_positions(table), *MEASURES, *back]))
    told: dict[str, str] = {}
    for name, text in pairs:
        where = f"fact {name}"
        try:
            known, call = _named(name, names, table)
            key = f"{known} in {call}" if call else known
            if key in told:
                message = f"`{key}` is given twice: {told[key]} and {text}"
                raise Refused([problem(where, text, "doubled-fact", message, "leave one of them out")])
            told[key] = text
            if known == "model":
                model = _model(text, table, where)
            elif call:
                static[call] = _measured(text, _measure(known, table), where)
            else:
                values[known] = _fact(known, text, table, where)
        except Refused as refused:
            problems.extend(refused.problems)
    if problems:
        raise Refused(problems)
    return Facts(model=model, values=values, static=static)


def _named(name: str, names: Names, table: Table) -> tuple[str, str]:
    """The fact meant, and the call (and its stage) it is given for: `static pressure in cooling`."""
    fact, within, call = name.partition(" in ")
    known = names.find(fact if within else name)
    if known == STATIC and within:
        words, calls = call.replace("/", " "), Names(table.calls)
        return known, calls.find(words) or " ".join(call_named(words, table)).strip()
    if known is None or within:
        near = close_match(name, names.names)
        remedy = f"did you mean `{near}`?" if near else f"known: {', '.join(names.names)}"
        message = f"`{name}` is no such name here"
        raise Refused([problem(f"fact {name}", name, "unknown-fact", message, remedy)])
    return known, ""


def _measure(name: str, table: Table) -> Measure | None:
    """In what a fact is typed; without a unit it is taken in the table's own. None for one with a number of its own
    kind."""
    if name == ALTITUDE.key:
        return ALTITUDE
    fact = table.facts.get(name)
    if fact is None and name == RETURN_AIR.key:
        own = table.units.temperature
        return replace(RETURN_AIR, unit=own, bare=own, **_in(RETURN_AIR, own))
    gives = fact.gives if fact is not None else ""
    one = MEASURES.get(_GIVEN_BY.get(gives, gives)) or MEASURES.get(name)
    if one is None:
        return None
    if name == STATIC:
        return replace(one, unit=table.units.pressure, bare=table.units.pressure, **_in(one, table.units.pressure))
    if one.key in ("heat input", "heat output"):
        return replace(one, bare=table.units.heat)
    return replace(one, bare=one.bare or one.unit)


def _in(one: Measure, unit: str) -> dict[str, Fraction]:
    """A measure's ends in another unit than the canonical one of its kind."""
    ends = {"least": one.least, "most": one.most}
    return {end: convert(at, CANONICAL[one.kinds[0]], unit) for end, at in ends.items() if at is not None}


def _measured(text: str, measure: Measure | None, where: str) -> Fraction:
    """A typed figure in the unit its measure is held in; an efficiency as a share of 1."""
    if measure is None:
        return _plain(text, where, "this fact", "12")
    try:
        found = figure_in(parse_quantity(text), measure)
    except Mistyped as wrong:
        remedy = _type(wrong.instead) or f"for example {measure.example}"
        raise Refused([problem(where, text, "not-a-quantity", wrong.message, remedy)]) from wrong
    doubt = doubtful(found, measure, text)
    if doubt is not None:
        raise Refused([problem(where, text, "impossible-figure", doubt[0], remedy_of(measure, doubt[1]))])
    return found.value / 100 if measure.key == "efficiency" else found.value


def declared_positions(table: Table) -> dict[str, tuple[str, ...]]:
    """Facts that a selector tells the board and the table doesn't list under facts, with its positions as their
    values."""
    listed = ("", "model", *table.facts)
    return {p.declares: p.says or p.positions for p in table.parts if p.declares not in listed}


def _model(text: str, table: Table, where: str) -> str:
    found = Names(table.unit.models).find(text)
    if found is None and table.unit.models:
        near = close_match(text, table.unit.models)
        raise Refused(
            [
                problem(
                    where,
                    text,
                    "unknown-model",
                    f"this table has no model `{text}`",
                    (f"did you mean `{near}`? " if near else "") + f"its models are {' '.join(table.unit.models)}",
                )
            ]
        )
    return found or text


def _fact(name: str, text: str, table: Table, where: str) -> Fraction | str:
    declared = table.facts.get(name)
    words = declared.values if declared is not None else declared_positions(table).get(name, ())
    measure = _measure(name, table)
    if not words:
        return _measured(text, measure, where)
    found = Names(words).find(text)
    if found is not None:
        return found
    try:
        typed = parse_quantity(text)
    except Mistyped:
        typed = None
    if typed is not None:
        known = _printed(typed, words, measure, table)
        if known is not None:
            return known
        if measure is not None:
            return _measured(text, measure, where)
        if declared is not None and declared.gives and typed.unit is None:
            return typed.value
    near = close_match(text, words) if typed is None else None  # a figure is no slip of spelling
    other = "" if typed is None else "; ask the maker for any other"
    remedy = f"did you mean `{near}`?" if near else f"the page has {' '.join(words)}{other}"
    raise Refused([problem(where, text, "unknown-value", f"`{text}` is not a value of {name}", remedy)])


def _printed(typed: TypedFigure, words: Iterable[str], measure: Measure | None, table: Table) -> str | None:
    """The word of the page that a figure means: as printed, or in a unit of its own."""
    scale = table.heat_factor if measure is not None and measure.key == "heat input" else Fraction(1)
    for word in words:
        number = number_in(word)
        if number is None:
            continue
        if typed.unit is None and number == typed.value:
            return word
        if typed.unit is not None and measure is not None and number * scale == _value(typed, measure):
            return word
    return None


def _value(typed: TypedFigure, measure: Measure) -> Fraction | None:
    try:
        return figure_in(typed, measure).value
    except Mistyped:
        return None


def call_named(text: str, table: Table) -> tuple[str, str]:
    """Call and stage of `cooling`, `cooling second` or `cooling/second`; no stage named: the last. Raises Refused."""
    words = text.replace("/", " ").split()
    calls = Names(table.calls)
    for cut in range(len(words), 0, -1):
        call = calls.find(" ".join(words[:cut]))
        if call is None:
            continue
        if cut == len(words):
            return call, table.calls[call].last
        stage = Names(table.calls[call].stages).find(" ".join(words[cut:]))
        if stage is not None:
            return call, stage
    every = [*table.calls, *(f"{c.name} {s}" for c in table.calls.values() for s in c.stages if s)]
    near = _by_place(words, table) or close_match(text, every)
    raise Refused(
        [
            problem(
                "call",
                text,
                "unknown-call",
                f"`{text}` is not a call of this table",
                f"did you mean `{near}`?" if near else f"its calls are {', '.join(table.calls)}",
            )
        ]
    )


def _by_place(words: Sequence[str], table: Table) -> str:
    """`heating second` for `heat 2`; empty where no such stage is there."""
    call = table.calls.get(close_match(" ".join(words[:-1]), list(table.calls)) or "")
    stages = call.stages if call is not None and len(words) > 1 and words[-1] in ("1", "2", "3") else ()
    at = int(words[-1]) if stages else 0
    return f"{call.name} {stages[at - 1]}" if call is not None and 0 < at <= len(stages) and stages[at - 1] else ""


_SHARE = re.compile(r"^(\S+)\s*%\s+of\s+(.+)$", re.IGNORECASE)
_PER_TON = re.compile(r"^(.+?)\s*(?:per ton|/\s*ton)$", re.IGNORECASE)
_TONS = re.compile(r"^(\S+)\s*tons?(?:\s+at\s+(.+))?$", re.IGNORECASE)
_WEIGHT = re.compile(r"^(.*\S)\s+weight\s+(.+)$", re.IGNORECASE)


def read_target(name: str, text: str, table: Table) -> Target:
    """One target: `1200`, `1100 to 1300`, `1200 cfm`, `3 tons`, `3 tons at 375`, `375 per ton`, `rise 55`, `rise 45 to
    60`, `45 % of cooling`,
    each perhaps with `weight 2` behind it. Raises Refused."""
    call, stage = call_named(name, table)
    where = f"target {name}"
    typed = text = " ".join(text.split())
    weight = Fraction(1)
    m = _WEIGHT.match(text)
    if m:
        text, weight = m.group(1), _plain(m.group(2), where, "a weight", "weight 2")
        if weight <= 0:
            raise Refused([problem(where, typed, "bad-weight", "a weight must be more than 0", "for example weight 2")])
    of: tuple[str, str] | None = None
    quantity: Asked = "airflow"
    share, per_ton, tons = _SHARE.match(text), _PER_TON.match(text), _TONS.match(text)
    if share:
        of, quantity = call_named(share.group(2), table), "share"
        low = high = _plain(share.group(1), where, "a share", "45 % of cooling")
    elif text.casefold().startswith("rise "):
        quantity = "temperature rise"
        low, high = _ends(text[5:], where, lambda q: _degrees(q, table, where))
    elif tons:
        count = _plain(tons.group(1), where, "the count of tons", "3 tons")
        usual = (
            _native(_quantity(tons.group(2), where), table, where)
            if tons.group(2)
            else convert(Fraction(USUAL_PER_TON_CFM), "cfm", table.units.airflow)
        )
        low = high = count * usual
    elif per_ton:
        quantity = "airflow per ton"
        low, high = _ends(per_ton.group(1), where, lambda q: _native(q, table, where))
    else:
        low, high = _ends(text, where, lambda q: _native(q, table, where))
    if low <= 0:
        raise Refused([problem(where, typed, "bad-target", f"`{typed}` can't be aimed at", "type a figure above 0")])
    if low > high:
        raise Refused(
            [problem(where, typed, "reversed-range", f"the range `{typed}` is reversed", "type the lower figure first")]
        )
    return Target(call=call, stage=stage, quantity=quantity, low=low, high=high, weight=weight, of=of, text=typed)


def _ends(text: str, where: str, native: object) -> tuple[Fraction, Fraction]:
    assert callable(native)
    first, to, second = re.sub(r"\s+to\s+", "\n", text, count=1, flags=re.IGNORECASE).partition("\n")
    low_q = _quantity(first, where)
    if not to:
        low: Fraction = native(low_q)
        return low, low
    high_q = _quantity(second, where)
    if low_q.unit is None and high_q.unit is not None:
        low_q = TypedFigure(value=low_q.value, unit=high_q.unit, text=low_q.text)
    return native(low_q), native(high_q)


def _degrees(value: TypedFigure, table: Table, where: str) -> Fraction:
    own = table.units.temperature
    unit: UnitOfMeasure | None = value.unit
    if unit is None:
        return value.value
    try:
        return rise(value.value, unit, unit_named(own))
    except ValueError as wrong:
        raise Refused([problem(where, value.text, "wrong-unit", str(wrong))]) from wrong
