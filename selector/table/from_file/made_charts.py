"""Charts that one line of a file stands for: so much for so much of a fact or a dial's number, and a ramp whose seconds
a selector gives."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import product
from math import prod
from typing import Literal

from selector.table.from_file.builder import Builder
from selector.table.from_file.figures import BadFigure, figure, ramp_steps
from selector.table.from_file.implausible import fault
from selector.table.from_file.keys import with_calls
from selector.table.kinds.parts import number_of
from selector.table.model.quantities import QUANTITIES, STEPS
from selector.table.model.table import Cell, CellWord, Chart, Fact, Key, Named, Part, Ramp, Row
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.words import Names
from selector.units import convert

ALTITUDE = "altitude"
HIGHEST_FT = Fraction(15_000)
"""Where a figure for so many feet ends that the page gives no end (our choice, above every road)."""
MOST_WAYS = 1_000
"""How many settings of its selectors a ramp may come from."""
_NUMBER = r"\d+(?:\.\d+)?"
_PER = re.compile(
    rf"(?P<value>[+-]?{_NUMBER}(?: ?[^\s\d]\S*)?) (?:per|for each) (?:(?P<step>{_NUMBER}) )?(?P<name>.+?)"
    rf"(?: above (?P<low>{_NUMBER})(?: ?(?:ft|m))?)?(?: up to (?P<high>{_NUMBER})(?: ?(?:ft|m))?)?",
    re.IGNORECASE,
)
_FEET = {"ft": Fraction(1), "m": convert(Fraction(1), "m", "ft")}


def in_proportion(b: Builder, node: Scalar, text: str, op: str) -> Named | Literal["wrong"] | None:
    """`+4 % per 1000 ft above 2000 ft`, `25 per V1`: a chart along a fact that runs on, or by the numbers of a selector
    or fact. None where the text isn't one; `wrong` after a problem."""
    m = _PER.fullmatch(text)
    quantity = op if op in QUANTITIES else next(iter(STEPS[op].takes), "") if op in STEPS else ""
    if m is None or quantity not in QUANTITIES:
        return None
    feet = _FEET.get(m["name"].casefold())
    if feet is not None:
        end = Fraction(m["high"]) * feet if m["high"] else HIGHEST_FT
        b.facts.setdefault(ALTITUDE, Fact(name=ALTITUDE, low=Fraction(0), high=end, line=node.line))
    pools = (*(p.name for p in b.parts), *b.facts)
    name = ALTITUDE if feet is not None else Names(pools).find(m["name"])
    if name is None:
        if STEPS.get(op) is not None and not b.some_lost("board"):
            b.unknown(node, m["name"], "unknown-name", "a selector or fact of this file", pools)
            return "wrong"
        return None
    found = QUANTITIES[quantity]
    try:
        value = figure(m["value"], b.unit_table.get(found.unit, {}))
    except BadFigure as wrong:
        b.report.at(node, "bad-figure", str(wrong), f"type {wrong.instead}")
        return "wrong"
    wrong_figure = fault(found, value, m["value"], percent="%" in m["value"])
    step = Fraction(m["step"] or 1)
    if wrong_figure is not None or not step:
        b.report.at(node, *(wrong_figure or ("bad-figure", "per 0 says nothing", "for example +4 % per 1000 ft")))
        return "wrong"
    scale = feet or Fraction(1)
    low = Fraction(m["low"]) * scale if m["low"] else None
    high = Fraction(m["high"]) * scale if m["high"] else None

    def cell(at: Fraction) -> tuple[Cell, str]:
        come = value * max(at - (low or Fraction(0)), Fraction(0)) / (step * scale)
        sign = "+" if found.signed and come >= 0 else ""
        return come, f"{sign}{float(come):g}{' %' if found.unit == 'percent' else ''}"

    fact = b.facts.get(name)
    if fact is not None and fact.low is not None and fact.high is not None:
        ends = {fact.low, min(fact.high, high or fact.high), *((low,) if low and fact.low < low < fact.high else ())}
        numbers = tuple(sorted(ends))
        key = Key(name=name, kind="fact", values=tuple(f"{float(n):g}" for n in numbers), numbers=numbers)
        at = list(enumerate(numbers))
    else:
        part = next((p for p in b.parts if p.name == name), None)
        words = part.positions if part is not None else fact.values if fact is not None else ()
        key = Key(name=name, kind="part" if part else "fact", part=part.index if part else -1, values=words)
        at = [(i, n) for i, w in enumerate(words) if (n := number_of(w)) is not None and (high is None or n <= high)]
        if not at:
            remedy = "name a selector or fact whose positions are numbers"
            b.report.at(node, "wrong-quantity", f"the positions of `{name}` are no numbers: {listed(words)}", remedy)
            return "wrong"
    rows = [Row(positions=(i,), cells=(c,), typed=(t,), line=node.line) for i, n in at for c, t in (cell(n),)]
    rows += [
        Row(positions=(i,), cells=(CellWord.NONE,), typed=("none",), line=node.line)
        for i, word in enumerate(key.values)
        if not key.numbers and word.casefold() == "none"
    ]
    known = b.charts.get(text)
    named = text if known is None or (known.made and known.gives == (quantity,)) else f"{quantity} {text}"
    b.charts[named] = Chart(
        name=named, keys=(key,), heads=(), gives=(quantity,), rows=tuple(rows), line=node.line, made=True
    )
    return Named(kind="chart", name=named)


def ramp_by_selectors(b: Builder, name: str, key: Scalar, node: Scalar) -> bool:
    """`climbs from 30 to 100 % in N26, after N25 at 50 %`: a ramp for every setting of the selectors it names, and the
    chart of this name that leads to them. False where the text names none; BadFigure as a ramp's own."""
    names = Names([p.name for p in b.parts])
    named: dict[str, Part] = {}
    for piece in node.text.split(","):
        words = piece.split()
        for start in range(len(words)):
            for end in range(len(words), start, -1):
                found = names.find(" ".join(words[start:end]))
                if found is not None:
                    named.setdefault(found, next(p for p in b.parts if p.name == found))
                    break
    if not named:
        return False
    units = {"seconds": " s", "share": " %"}
    for part in named.values():
        if b.selectors[part.selector].gives not in units:
            remedy = "add gives: seconds to it, or gives: share for a percent"
            b.report.at(node, "wrong-quantity", f"`{part.name}` gives no seconds", remedy)
            return True
    if prod(len(p.positions) for p in named.values()) > MOST_WAYS:
        message = f"`{name}` names selectors with more than {MOST_WAYS} settings together"
        b.report.at(node, "bad-ramp", message, "give each of them a chart of its own")
        return True
    rows = []
    for at in product(*(range(len(p.positions)) for p in named.values())):
        text = node.text
        for part, position in zip(named.values(), at, strict=True):
            value = part.values[position] if part.values else None
            typed = f"{float(value or 0):g}{units[b.selectors[part.selector].gives]}"
            text = re.sub(rf"(?<!\S){re.escape(part.name)}(?![^\s,])", typed, text, flags=re.IGNORECASE)
        made = f"{name} ({', '.join(p.positions[i] for p, i in zip(named.values(), at, strict=True))})"
        steps = with_calls(b, node, ramp_steps(text, lasting=True))
        b.ramps[made] = Ramp(name=made, steps=steps, line=key.line, of=name)
        rows.append(Row(positions=at, cells=(made,), typed=(made,), line=key.line))
    b.charts[name] = Chart(
        name=name,
        keys=tuple(Key(name=p.name, kind="part", part=p.index, values=p.positions) for p in named.values()),
        heads=(),
        gives=("ramp",),
        rows=tuple(rows),
        line=key.line,
        made=True,
    )
    return True
