"""What a person types as facts and targets, into the table's own units."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from selector.problems import Problem, Refused, close_match
from selector.solve.board.facts import Facts
from selector.solve.search.targets import Asked, Target
from selector.table.model.table import Table
from selector.table.text.words import Names
from selector.units import Mistyped, TypedFigure, UnitOfMeasure, convert, parse_quantity, rise, unit_named

USUAL_PER_TON_CFM = 400
"""Usual cooling airflow for each ton (common practice, no source)."""

_FACT_UNITS = {
    "static pressure": "in. w.c.",
    "firing rate": "%",
    "outdoor tons": "tons",
    "supply voltage": "V",
    "pump pressure": "psi",
    "nozzle rate": "gph",
    "heat per gallon": "Btu/gal",
    "heater power": "kW",
    "heat input": "Btu/h",
    "heat output": "Btu/h",
    "efficiency": "%",
}


def problem(where: str, text: str, code: str, message: str, help: str = "") -> Problem:
    """A problem in something typed on the command line."""
    return Problem(
        file=where, line=1, column=1, code=code, message=message, help=help, source=text, length=max(1, len(text))
    )


def _native(value: TypedFigure, table: Table, kind: str, where: str) -> Fraction:
    """A quantity in the table's unit; without a unit it is taken in the table's own."""
    own = {"airflow": table.units.airflow, "pressure": table.units.pressure}[kind]
    if value.unit is None:
        return value.value
    try:
        return convert(value.value, value.unit, own)
    except ValueError as wrong:
        raise Refused([problem(where, value.text, "wrong-unit", str(wrong))]) from wrong


def _quantity(text: str, where: str) -> TypedFigure:
    try:
        return parse_quantity(text)
    except Mistyped as wrong:
        raise Refused(
            [problem(where, text, "not-a-quantity", wrong.message, f"type {wrong.instead}" if wrong.instead else "")]
        ) from wrong


def read_facts(pairs: Iterable[tuple[str, str]], table: Table) -> Facts:
    """Facts from (name, text). Raises Refused with every fact that isn't known or doesn't fit."""
    model: str | None = None
    values: dict[str, Fraction | str] = {}
    static: dict[str, Fraction] = {}
    problems: list[Problem] = []
    names = Names(
        dict.fromkeys(
            [
                "model",
                *table.facts,
                *declared_positions(table),
                *_FACT_UNITS,
                *(f"static pressure in {c}" for c in table.calls),
            ]
        )
    )
    for name, text in pairs:
        known = names.find(name)
        where = f"fact {name}"
        if known is None:
            near = close_match(name, names.names)
            problems.append(
                problem(
                    where,
                    name,
                    "unknown-fact",
                    f"`{name}` is not a fact this table asks for",
                    f"did you mean `{near}`?"
                    if near
                    else f"known: {', '.join(n for n in names.names if ' in ' not in n)}",
                )
            )
            continue
        try:
            if known == "model":
                model = _model(text, table, where)
            elif known.startswith("static pressure in "):
                static[known[len("static pressure in ") :]] = _native(_quantity(text, where), table, "pressure", where)
            else:
                values[known] = _fact(known, text, table, where)
        except Refused as refused:
            problems.extend(refused.problems)
    if problems:
        raise Refused(problems)
    return Facts(model=model, values=values, static=static)


def declared_positions(table: Table) -> dict[str, tuple[str, ...]]:
    """Facts that a selector tells the board and the table doesn't list under facts, with its positions as their
    values."""
    listed = ("", "model", *table.facts)
    return {s.declares: table.parts[s.parts[0]].positions for s in table.selectors.values() if s.declares not in listed}


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
                    f"did you mean `{near}`?" if near else f"its models are {' '.join(table.unit.models)}",
                )
            ]
        )
    return found or text


def _fact(name: str, text: str, table: Table, where: str) -> Fraction | str:
    declared = table.facts.get(name)
    if name == "static pressure":
        return _native(_quantity(text, where), table, "pressure", where)
    words = declared.values if declared is not None else declared_positions(table).get(name, ())
    if words:
        found = Names(words).find(text)
        if found is not None:
            return found
        try:
            number = parse_quantity(text).value
        except Mistyped:
            number = None
        for word in words:
            try:
                if number is not None and Fraction(word.split()[0]) == number:
                    return word
            except (ValueError, ZeroDivisionError):
                continue
        if declared is not None and declared.gives and number is not None:
            return number
        near = close_match(text, words)
        raise Refused(
            [
                problem(
                    where,
                    text,
                    "unknown-value",
                    f"`{text}` is not a value of {name}",
                    f"did you mean `{near}`?" if near else f"the page has {' '.join(words)}",
                )
            ]
        )
    value = _quantity(text, where)
    wanted = _FACT_UNITS.get(name)
    if wanted is None or value.unit is None or wanted == "tons":
        if name == "efficiency":
            return _efficiency(value, text, where)
        return value.value
    if wanted == "%":
        return _efficiency(value, text, where) if name == "efficiency" else value.value
    try:
        return convert(value.value, value.unit, wanted)
    except ValueError as wrong:
        raise Refused([problem(where, text, "wrong-unit", str(wrong))]) from wrong


def _efficiency(value: TypedFigure, text: str, where: str) -> Fraction:
    if Fraction(1, 2) <= value.value <= Fraction(11, 10) and value.unit is None:
        return value.value
    if 50 <= value.value <= 110:
        return value.value / 100
    raise Refused(
        [
            problem(
                where,
                text,
                "bad-efficiency",
                f"`{text}` can't be an efficiency",
                "type a percent from 50 to 110, or a fraction from 0.5 to 1.1",
            )
        ]
    )


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
    near = close_match(text, [*table.calls, *(f"{c.name} {s}" for c in table.calls.values() for s in c.stages if s)])
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


_SHARE = re.compile(r"^(\S+)\s*%\s+of\s+(.+)$", re.IGNORECASE)
_PER_TON = re.compile(r"^(.+?)\s*(?:per ton|/\s*ton)$", re.IGNORECASE)
_TONS = re.compile(r"^(\S+)\s*tons?(?:\s+at\s+(\S+))?$", re.IGNORECASE)
_WEIGHT = re.compile(r"^(.*\S)\s+weight\s+(\S+)$", re.IGNORECASE)


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
        text, weight = m.group(1), _quantity(m.group(2), where).value
        if weight <= 0:
            raise Refused([problem(where, typed, "bad-weight", "a weight must be more than 0", "for example weight 2")])
    of: tuple[str, str] | None = None
    quantity: Asked = "airflow"
    share, per_ton, tons = _SHARE.match(text), _PER_TON.match(text), _TONS.match(text)
    if share:
        of, quantity = call_named(share.group(2), table), "share"
        low = high = _quantity(share.group(1), where).value
    elif text.casefold().startswith("rise "):
        quantity = "temperature rise"
        low, high = _ends(text[5:], where, lambda q: _degrees(q, table, where))
    elif tons:
        count = _quantity(tons.group(1), where).value
        usual = (
            _quantity(tons.group(2), where).value
            if tons.group(2)
            else convert(Fraction(USUAL_PER_TON_CFM), "cfm", table.units.airflow)
        )
        low = high = count * usual
    elif per_ton:
        quantity = "airflow per ton"
        low, high = _ends(per_ton.group(1), where, lambda q: _native(q, table, "airflow", where))
    else:
        low, high = _ends(text, where, lambda q: _native(q, table, "airflow", where))
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
