"""A table file, read in the plainest way: what is printed, nothing worked out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, TypeAlias

import yaml

OFF_PINS = "off pins"
PARKED = "parked"
REFUSING = ("do not use", "not used", "reserved", "kept for service")
OTHERS = "others"
ALTITUDE = "altitude"
QUANTITIES = (
    "airflow",
    "tons",
    "airflow per ton",
    "temperature rise",
    "trim",
    "share",
    "reduction",
    "offset",
    "least airflow",
    "most airflow",
    "heat input",
    "heat output",
    "heater power",
    "nozzle rate",
    "seconds",
    "watts",
    "speed",
    "ramp",
    "label",
)
VERBS = ("use", "at least", "at most", "round", "round up", "round down", "plus", "minus", *QUANTITIES)
CFM = {"cfm": Fraction(1), "L/s": Fraction(1) / Fraction("0.4719474432")}
CFM["m3/h"] = CFM["L/s"] / Fraction("3.6")
KILOWATT = 3600 / Fraction("1.05505585262")  # a Btu (International Table) is 1,055.05585262 J
BTU = {"Btu/h": Fraction(1), "MBH": Fraction(1000), "kW": KILOWATT}
DEGREE = {"F": Fraction(1), "C": Fraction(9, 5)}
PASCAL = {"Pa": Fraction(1), "in. w.c.": Fraction("249.08891")}
PLAIN_UNITS = {
    "seconds": {"s": 1, "min": 60},
    "heater power": {"kW": 1},
    "nozzle rate": {"gph": 1},
    "watts": {"W": 1},
    "tons": {"tons": 1, "ton": 1},
    "speed": {"rpm": 1},
}
PERCENT = ("trim", "share", "reduction")


class TableError(Exception):
    """The file can't be read as a table."""


Conditions: TypeAlias = tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Knob:
    """One thing a hand can move: a switch, a lead, or a whole selector of another kind."""

    name: str
    bank: str
    kind: str
    positions: tuple[str, ...]
    marks: Mapping[str, str]
    delivered: Mapping[str, str]
    unused: tuple[str, ...] = ()
    spare: bool = False
    gives: str | None = None
    declares: str | None = None
    leave_at: str | None = None
    says: Mapping[str, str] = field(default_factory=dict)
    fits: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By model the positions that there are, where they differ."""

    def tells(self, position: str | None) -> str | None:
        """The word of the fact it declares."""
        return position if position is None else self.says.get(position, position)

    def read(self, text: str) -> str:
        """The position that a mark names."""
        word = " ".join(text.split())
        if word in self.positions:
            return word
        if self.kind == "number":
            return str(number(word))
        found = {p for m, p in self.marks.items() if m == word} or {
            p for m, p in self.marks.items() if m.casefold() == word.casefold()
        }
        if len(found) != 1:
            raise TableError(f"{self.name}: {text!r} is no position")
        return found.pop()

    def as_delivered(self, models: Iterable[str]) -> str | None:
        """The position as delivered, the same for all the models named, or None."""
        if "" in self.delivered:
            return self.delivered[""]
        found = {self.delivered.get(m) for m in models}
        return found.pop() if len(found) == 1 else None


@dataclass(frozen=True)
class Cell:
    """One cell of a row: figure, name, none, blank, unclear, refused, or either (one of several figures)."""

    kind: str
    value: Fraction = Fraction(0)
    text: str = ""
    figures: tuple[Fraction, ...] = ()
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Row:
    """One row as printed; `like` is the row it behaves as."""

    pattern: tuple[str, ...]
    kind: str
    cells: tuple[Cell, ...] = ()
    like: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Chart:
    name: str
    knobs: tuple[str, ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...]
    gives: tuple[str, ...]
    rows: tuple[Row, ...]
    note: str = ""
    only: Conditions = ()
    footnotes: Mapping[str, Conditions] = field(default_factory=dict)


@dataclass(frozen=True)
class Value:
    """kind: figure, none, name, call, stages, per (so much for each of what is named), per ft, per ton.

    by: the chart of labels that a chart goes by. above, top: the height that a figure per ft begins and ends at; `each`
    the feet it is printed for."""

    kind: str
    figure: Fraction = Fraction(0)
    name: str = ""
    stage: str | None = None
    stages: Mapping[str, Value] = field(default_factory=dict)
    by: str = ""
    each: Fraction = Fraction(1)
    above: Fraction = Fraction(0)
    top: Fraction = Fraction(0)


@dataclass(frozen=True)
class Step:
    verb: str
    value: Value
    when: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True)
class Call:
    name: str
    stages: tuple[str, ...]
    terminals: Mapping[str, frozenset[str]]
    capacity: Mapping[str, Fraction]
    when: tuple[tuple[str, tuple[str, ...]], ...]
    lead: Mapping[str, str]
    airflow: tuple[Step, ...]
    heat: tuple[Step, ...]
    delays: Mapping[str, Value]
    ramp: Value | None
    windows: Mapping[str, Mapping[str, tuple[Fraction | None, Fraction | None]]]
    together: Mapping[str, str]
    note: str = ""
    model_windows: Mapping[str, Mapping[str, Mapping[str, tuple[Fraction | None, Fraction | None]]]] = field(
        default_factory=dict
    )


@dataclass(frozen=True)
class Fact:
    name: str
    gives: str | None
    values: tuple[str, ...]
    low: Fraction | None = None
    high: Fraction | None = None


@dataclass
class OracleTable:
    """A table as read. Airflow, heat, temperature and pressure are in the units of the file."""

    unit: dict[str, Any]
    models: tuple[str, ...]
    units: dict[str, str]
    ratings: dict[str, Any]
    facts: dict[str, Fact]
    knobs: dict[str, Knob]
    leads: dict[str, tuple[str, ...]]
    charts: dict[str, Chart]
    ramps: dict[str, str]
    calls: dict[str, Call]
    only: Conditions = ()
    shares: list[tuple[frozenset[str], Conditions]] = field(default_factory=list)

    def knobs_of(self, name: str) -> tuple[str, ...]:
        """The knobs of a selector, bank or single switch."""
        if name in self.knobs:
            return (name,)
        return tuple(k.name for k in self.knobs.values() if k.bank == name)


def number(text: str) -> Fraction:
    if not re.fullmatch(r"[+-]?(\d+(\.\d*)?|\.\d+)", text):
        raise TableError(f"{text!r} is no number")
    return Fraction(text)


def unit_scale(quantity: str, units: Mapping[str, str]) -> dict[str, Fraction]:
    """Units that fit a quantity, each with the factor that turns it into the unit of the file."""
    if quantity in ("airflow", "offset", "least airflow", "most airflow", "airflow per ton", "airflow round"):
        table = CFM
        own = units.get("airflow", "cfm")
    elif quantity in ("heat input", "heat output"):
        table = BTU
        own = units.get("heat", "Btu/h")
    elif quantity in ("temperature rise", "outlet limit"):
        table = DEGREE
        own = units.get("temperature", "F")
    elif quantity == "static pressure":
        table = PASCAL
        own = units.get("pressure", "in. w.c.")
    else:
        return {u: Fraction(f) for u, f in PLAIN_UNITS.get(quantity, {}).items()}
    return {u: f / table[own] for u, f in table.items()}


def figure(text: str, quantity: str, units: Mapping[str, str]) -> Fraction:
    """A number with or without its unit."""
    text = text.strip()
    if quantity in (*PERCENT, "efficiency", "capacity", "firing rate"):
        return number(text.removesuffix("%").strip())
    word, _, rest = text.partition(" ")
    if not rest:
        match = re.fullmatch(r"([+-]?[\d.]+)([A-Za-z].*)", word)
        if match:
            word, rest = match.group(1), match.group(2)
    if not rest:
        return number(word)
    for unit, scale in unit_scale(quantity, units).items():
        if unit.casefold() == rest.strip().removesuffix("/ton").casefold():
            return number(word) * scale
    if quantity in ("heater voltage", "nozzle pressure", "pump pressure", "heat per gallon"):
        return number(word)
    raise TableError(f"{text!r}: unit does not fit {quantity}")


def ends(text: str, quantity: str, units: Mapping[str, str]) -> tuple[Fraction | None, Fraction | None]:
    """`300 to 500`, `at least 340`, `at most 1150`."""
    if text.startswith("at least "):
        return figure(text[9:], quantity, units), None
    if text.startswith("at most "):
        return None, figure(text[8:], quantity, units)
    return span(text, quantity, units)


def span(text: str, quantity: str, units: Mapping[str, str]) -> tuple[Fraction, Fraction]:
    """`35 to 65`, with a unit at the end or without."""
    low, high = text.split(" to ")
    words = high.split()
    if len(words) > 1 and len(low.split()) == 1:
        low = " ".join([low, *words[1:]])
    return figure(low, quantity, units), figure(high, quantity, units)


def items(value: Any) -> list[str]:
    """A list where the names aren't known yet."""
    if isinstance(value, list):
        return [str(v) for v in value]
    text = str(value)
    if "," in text:
        return [part.strip() for part in text.split(",")]
    match = re.fullmatch(r"(\S+) to (\S+) step (\S+)", text)
    if match:
        low, high, step = (number(g) for g in match.groups())
        out = []
        while low <= high:
            out.append(decimal_text(low))
            low += step
        return out
    return counted(text.split())


def counted(words: list[str]) -> list[str]:
    """`0 to 3 A to F` with what lies between its ends."""
    out: list[str] = []
    for place, word in enumerate(words):
        if word != "to" or place in (0, len(words) - 1):
            out.append(word)
            continue
        first, last = words[place - 1], words[place + 1]
        if first.isdecimal() and last.isdecimal():
            out += [str(n) for n in range(int(first) + 1, int(last))]
        else:
            out += [chr(n) for n in range(ord(first) + 1, ord(last))]
    return out


def decimal_text(value: Fraction) -> str:
    if value.denominator == 1:
        return str(value.numerator)
    for places in range(1, 12):
        if (value * 10**places).denominator == 1:
            return f"{float(value):.{places}f}"
    raise TableError(str(value))


def known_items(value: Any, known: Iterable[str]) -> list[str]:
    """A list of declared names: each matched as a whole, longest first, commas if there are any."""
    known = list(known)
    if isinstance(value, list) or "," in str(value):
        return [same(v, known) for v in items(value)]
    words = str(value).split()
    out: list[str] = []
    while words:
        for length in range(len(words), 0, -1):
            text = " ".join(words[:length])
            try:
                out.append(same(text, known))
            except TableError:
                continue
            words = words[length:]
            break
        else:
            raise TableError(f"{value!r}: {words[0]!r} is not declared")
    return out


def same(text: str, known: Iterable[str]) -> str:
    """The declared name that a text means; case is ignored unless two names differ only by it."""
    known = list(known)
    if text in known:
        return text
    found = sorted({k for k in known if k.casefold() == text.casefold()})
    if len(found) != 1:
        raise TableError(f"{text!r} is not declared")
    return found[0]


HEATS = {"heat input", "heat output", "heater power", "nozzle rate"}


def load(text: str) -> OracleTable:
    """Read a table file's text."""
    raw = yaml.load(text, Loader=yaml.BaseLoader)
    if raw.get("format") != "selector table 1":
        raise TableError("format")
    unit = raw.get("unit", {})
    table = OracleTable(
        unit=unit,
        models=tuple(items(unit["models"])) if "models" in unit else (),
        units=dict(raw.get("units", {})),
        ratings=dict(raw.get("ratings", {})),
        facts={},
        knobs={},
        leads={},
        charts={},
        ramps=dict(raw.get("ramps", {})),
        calls={},
    )
    for name, body in raw.get("facts", {}).items():
        table.facts[name] = read_fact(name, body)
    for name, body in raw.get("board", {}).items():
        read_selector(table, name, body)
    table.only = read_only(table, str(unit.get("only", "")))
    for name, body in raw.get("board", {}).items():
        shares = body.get("may share", {})
        for leads, when in ({shares: {}} if isinstance(shares, str) else shares).items():
            table.shares.append((frozenset(f"{name}-{lead}" for lead in leads.split()), read_when(table, when)))
    for name, body in raw.get("charts", {}).items():
        table.charts[name] = read_chart(table, name, body)
    for name, knob in table.knobs.items():  # a plug that the heat goes by is equipment
        told = (c.gives for c in table.charts.values() if name in c.knobs)
        if knob.kind == "plug" and not knob.declares and any(set(gives) & HEATS for gives in told):
            table.knobs[name] = replace(knob, declares=name)
    names = list(raw.get("calls", {}))
    for name, body in raw.get("calls", {}).items():
        table.calls[name] = read_call(table, name, body, names)
    return table


def read_fact(name: str, body: Mapping[str, Any]) -> Fact:
    if "range" in body:
        low, high = str(body["range"]).split(" to ")
        return Fact(name, body.get("gives"), (), number(low.split()[0]), number(high.split()[0]))
    return Fact(name, body.get("gives"), tuple(items(body["values"])))


def read_selector(table: OracleTable, name: str, body: Mapping[str, Any]) -> None:
    kind = body["kind"]
    if kind == "switch":
        own = table.knobs[name]
        says = {own.read(position): str(word) for position, word in body.get("says", {}).items()}
        table.knobs[name] = replace(own, declares=body.get("declares"), says=says)
        return
    also: dict[str, list[str]] = {p: items(marks) for p, marks in body.get("also", {}).items()}
    gives, declares = body.get("gives"), body.get("declares")
    if kind == "switches":
        count = int(body["count"])
        marks = {"off": "off", "on": "on", "0": "off", "1": "on"}
        for position, others in also.items():
            marks.update({other: same(position, ("off", "on")) for other in others})
        if "positions" in body:
            marks.update(zip(items(body["positions"]), ("off", "on"), strict=True))
        probe = Knob(name, name, kind, ("off", "on"), marks, {})
        each = spread_factory(table, body, lambda text: switch_row(probe, text, count))
        unused = items(body.get("not used", ""))
        leave = switch_row(probe, body["leave at"], count) if "leave at" in body else [None] * count
        for number_ in range(1, count + 1):
            delivered = {m: row[number_ - 1] for m, row in each.items() if row[number_ - 1] != "?"}
            table.knobs[f"{name}-{number_}"] = Knob(
                f"{name}-{number_}",
                name,
                kind,
                ("off", "on"),
                marks,
                delivered,
                spare=str(number_) in unused,
                leave_at=leave[number_ - 1],
                gives=gives,
                declares=declares,
            )
        return
    listed = body.get("positions", "whole cut" if kind == "link" else "")
    fits = {m: tuple(items(words)) for m, words in listed.items()} if isinstance(listed, dict) else {}
    positions = list(dict.fromkeys(p for some in fits.values() for p in some)) if fits else items(listed)
    marks = {p: p for p in positions}
    if "minus" in positions:
        marks["-"] = "minus"
    for position, others in also.items():
        marks.update({other: same(position, positions) for other in others})
    if kind == "jumper":
        marks[OFF_PINS] = OFF_PINS
    if kind == "taps":
        marks[PARKED] = PARKED
        leads = items(body["leads"])
        table.leads[name] = tuple(leads)
        every = (*positions, PARKED)
        probe = Knob(name, name, kind, every, marks, {})
        rows = spread_factory(table, body, lambda text: [probe.read(t) for t in known_items(text, every)])
        for place, lead in enumerate(leads):
            table.knobs[f"{name}-{lead}"] = Knob(
                f"{name}-{lead}",
                name,
                kind,
                every,
                marks,
                {m: row[place] for m, row in rows.items()},
                gives=gives,
                declares=declares,
            )
        return
    probe = Knob(name, name, kind, tuple(positions), marks, {})
    single = spread_factory(table, body, lambda text: [probe.read(text)])
    unused_positions = tuple(known_items(body["not used"], positions)) if "not used" in body else ()
    table.knobs[name] = Knob(
        name,
        name,
        kind,
        tuple(positions),
        marks,
        {m: row[0] for m, row in single.items()},
        unused_positions,
        leave_at=probe.read(body["leave at"]) if "leave at" in body else None,
        gives=gives,
        declares=declares,
        fits=fits,
    )


def spread_factory(table: OracleTable, body: Mapping[str, Any], reader: Any) -> dict[str, list[str]]:
    """As delivered: {"": row} or one row for each model."""
    factory = body.get("factory")
    if factory is None:
        return {}
    if isinstance(factory, dict):
        return {same(m, table.models): reader(text) for m, text in factory.items()}
    return {"": reader(factory)}


def switch_row(probe: Knob, text: Any, count: int) -> list[str]:
    words = items(text)
    if words[0].casefold() == "all" and len(words) == 2:
        return [probe.read(words[1])] * count
    if len(words) == 1 and count > 1 and len(words[0]) == count:
        words = list(words[0])
    if len(words) != count:
        raise TableError(f"{probe.name}: {count} positions needed")
    return [w if w == "?" else probe.read(w) for w in words]


def read_only(table: OracleTable, text: str) -> Conditions:
    """`static pressure up to 0.5, large filter yes`, with the page's own words in parentheses behind it."""
    out = []
    for part in text.partition("(")[0].split(","):
        words = part.split()
        for length in range(len(words) - 1, 0, -1):
            name = " ".join(words[:length])
            if name in (*table.facts, *table.knobs, "model", "static pressure", "firing rate"):
                listed = " ".join(words[length:])
                ranged = name in ("static pressure", "firing rate") or (
                    name in table.facts and not table.facts[name].values
                )
                out.append((name, (listed,) if ranged else tuple(listed.split())))
                break
    return tuple(out)


def read_footnotes(table: OracleTable, text: str) -> dict[str, Conditions]:
    """By mark the conditions of its figures, none where the footnote only tells."""
    out: dict[str, Conditions] = {}
    for line in text.splitlines():
        mark, _, said = line.strip().partition(" ")
        if mark:
            said = said.strip()
            out[mark.strip("()")] = read_only(table, said[5:]) if said.startswith("only ") else ()
    return out


def read_chart(table: OracleTable, name: str, body: Mapping[str, Any]) -> Chart:
    names = [*table.knobs, *table.leads, *table.facts, *table.charts]
    knobs = tuple(known_items(body["set"], names)) if "set" in body else ()
    heads = []
    for head, listed in body.get("across", {}).items():
        if head in table.knobs:
            knob = table.knobs[head]
            words = known_items(listed, [*knob.positions, *knob.marks])
            heads.append((head, tuple(knob.read(w) for w in words)))
        elif head == "model":
            heads.append((head, tuple(same(w, table.models) for w in items(listed))))
        elif head in table.facts and table.facts[head].values:
            heads.append((head, tuple(known_items(listed, table.facts[head].values))))
        else:
            heads.append((head, tuple(items(listed))))
    gives = tuple(known_items(body["gives"], (*QUANTITIES, "airflow in L/s")))
    footnotes = read_footnotes(table, str(body.get("notes", "")))
    probe = Chart(name, knobs, tuple(heads), gives, (), footnotes=footnotes)
    rows = [read_row(table, probe, text) for text in row_texts(str(body["rows"]))]
    for place, row in enumerate(rows):
        if row.kind == "same":
            rows[place] = replace(next(r for r in rows if r.pattern == row.like), pattern=row.pattern)
    only = read_only(table, str(body.get("only", "")))
    return Chart(name, knobs, tuple(heads), gives, tuple(rows), str(body.get("note", "")), only, footnotes)


def row_texts(text: str) -> list[str]:
    out = []
    for line in text.splitlines():
        line = line.strip()
        if not line or line.startswith("#"):
            continue
        if re.fullmatch(r"[-|:+\s]*", line) and "---" in line:
            continue
        depth = 0
        part = ""
        for character in line:
            depth += {"(": 1, ")": -1}.get(character, 0)
            if character == ";" and depth == 0:
                out.append(part)
                part = ""
            else:
                part += character
        out.append(part)
    return [part.strip() for part in out if part.strip()]


def row_knobs(table: OracleTable, chart: Chart) -> list[Knob]:
    """For each name in `set` a knob that reads its marks (a bank of taps: any of its leads; a fact: its values)."""
    return [
        table.knobs[table.knobs_of(name)[0]] if table.knobs_of(name) else words_of(table, name) for name in chart.knobs
    ]


def words_of(table: OracleTable, name: str) -> Knob:
    """A fact, or a chart of labels, as if it were a selector; where it runs on every number is a position."""
    if name in table.charts:
        words = tuple(dict.fromkeys(c.text for r in table.charts[name].rows for c in r.cells if c.kind == "name"))
    else:
        words = table.facts[name].values
    return Knob(name, name, "fact" if words else "number", words, {w: w for w in words}, {})


def read_positions(knobs: list[Knob], words: list[str], own: tuple[str, ...] = ()) -> tuple[list[str], list[str]]:
    """Positions at the start of the words and the words left. `-` is any, or copies `own`."""
    together = words and len(knobs) > 1 and len(words[0]) == len(knobs)
    if together and all(any(len(m) == 1 for m in k.marks) for k in knobs):
        try:
            return [k.read(c) for k, c in zip(knobs, words[0], strict=True)], words[1:]
        except TableError:
            pass
    out = []
    for place, knob in enumerate(knobs):
        if words and words[0] == "-":
            out.append(own[place] if own else "-")
            words = words[1:]
            continue
        for length in range(min(4, len(words)), 0, -1):
            try:
                position = knob.read(" ".join(words[:length]))
            except TableError:
                continue
            out.append(position)
            words = words[length:]
            break
        else:
            raise TableError(f"{' '.join(words)!r}: no position of {knob.name}")
    return out, words


def read_row(table: OracleTable, chart: Chart, text: str) -> Row:
    note = ""
    match = re.search(r"\(([^()]*)\)\s*$", text)
    if match and match.group(1) not in chart.footnotes:
        note = match.group(1)
        text = text[: match.start()]
    words = text.replace("|", " ").split()
    knobs = row_knobs(table, chart)
    if words[0] == OTHERS:
        pattern, words = [OTHERS] * len(knobs), words[1:]
    else:
        pattern, words = read_positions(knobs, words)
    rest = " ".join(words).casefold()
    if rest in REFUSING:
        return Row(tuple(pattern), "refused", note=note)
    if [w.casefold() for w in words[:2]] == ["same", "as"]:
        return Row(tuple(pattern), "same", like=tuple(read_positions(knobs, words[2:], tuple(pattern))[0]), note=note)
    if words and words[0].casefold() == "as":
        like, left = read_positions(knobs, words[1:], tuple(pattern))
        if left:
            raise TableError(f"{chart.name}: {text!r}")
        return Row(tuple(pattern), "as", like=tuple(like), note=note)
    count = len(chart.gives)
    for _, listed in chart.heads:
        count *= len(listed)
    if rest == "none":
        return Row(tuple(pattern), "cells", (Cell("none"),) * count, note=note)
    cells = []
    for place in range(count):
        quantity = chart.gives[place % len(chart.gives)]
        cell, words = read_cell(table, quantity, words, place == count - 1)
        if words and words[0] == "or":
            other, words = read_cell(table, quantity, words[1:], place == count - 1)
            cell = Cell("either", figures=(cell.value, other.value))
        while words and words[0].strip("()") in chart.footnotes:
            cell, words = replace(cell, marks=(*cell.marks, words[0].strip("()"))), words[1:]
        cells.append(cell)
    if words:
        raise TableError(f"{chart.name}: {text!r} has too many cells")
    return Row(tuple(pattern), "cells", tuple(cells), note=note)


def read_cell(table: OracleTable, quantity: str, words: list[str], last: bool) -> tuple[Cell, list[str]]:
    if not words:
        raise TableError("too few cells")
    for length in (3, 2, 1):
        if " ".join(words[:length]).casefold() in REFUSING:
            return Cell("refused"), words[length:]
    if words[0] == "about":
        return read_cell(table, quantity, words[1:], last)
    if quantity == "airflow in L/s":  # held against the column before it, and nothing else
        return Cell("figure"), words[1:]
    word = words[0]
    if word == "-":
        return Cell("blank"), words[1:]
    if word == "?":
        return Cell("unclear"), words[1:]
    if word.casefold() == "none":
        return Cell("none"), words[1:]
    if quantity == "ramp":
        for length in range(len(words), 0, -1):
            text = " ".join(words[:length])
            if text in table.ramps:
                return Cell("name", text=text), words[length:]
        raise TableError(f"{word!r} is no ramp")
    if quantity == "label":
        text = " ".join(words) if last else word
        return Cell("name", text=text), [] if last else words[1:]
    taken = 1
    if len(words) > 1:
        fits = {"%"} if quantity in PERCENT else {u.casefold() for u in unit_scale(quantity, table.units)}
        for length in (3, 2, 1):
            if " ".join(words[1 : 1 + length]).casefold() in fits:
                taken = 1 + length
                break
    return Cell("figure", figure(" ".join(words[:taken]), quantity, table.units)), words[taken:]


def read_value(table: OracleTable, raw: Any, quantity: str, calls: list[str]) -> Value:
    """V of the grammar; quantity says which units fit."""
    if isinstance(raw, dict):
        return Value("stages", stages={s: read_value(table, v, quantity, calls) for s, v in raw.items()})
    text = " ".join(str(raw).split()).removeprefix("about ")
    if match := re.fullmatch(r"([+-]?\d\S*)(?: %)? per (\d+) ft above (\d+) ft up to (\d+) ft", text):
        amount, each, above, top = (number(group) for group in match.groups())
        return Value("per ft", figure=amount, each=each, above=above, top=top)
    if match := re.fullmatch(r"([+-]?\d\S*) per (.+)", text):
        return Value("per", figure=number(match.group(1)), name=same(match.group(2), [*table.knobs, *table.facts]))
    if match := re.fullmatch(r"(\d\S*) cfm/ton", text):
        return Value("per ton", figure=number(match.group(1)))
    if text == "none":
        return Value("none")
    names = [*table.charts, *table.knobs, *table.facts, *table.ratings]
    if text.startswith("call "):
        rest = text[5:]
        for call in sorted(calls, key=len, reverse=True):
            if rest.casefold() == call.casefold():
                return Value("call", name=call)
            if rest.casefold().startswith(call.casefold() + " "):
                return Value("call", name=call, stage=rest[len(call) + 1 :])
        raise TableError(f"no call {rest!r}")
    try:
        return Value("name", name=same(text, names))
    except TableError:
        if quantity == "use":
            raise
    return Value("figure", figure=figure(text, quantity, table.units))


def read_when(table: OracleTable, raw: Mapping[str, Any]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    out = []
    for name, listed in raw.items():
        if name in table.knobs:
            knob = table.knobs[name]
            words = known_items(listed, [*knob.positions, *knob.marks])
            out.append((name, tuple(knob.read(w) for w in words)))
        elif name == "model":
            out.append((name, tuple(known_items(listed, table.models))))
        elif name in ("static pressure", "firing rate"):
            out.append((name, (str(listed),)))
        elif name in table.facts and table.facts[name].values:
            out.append((name, tuple(known_items(listed, table.facts[name].values))))
        else:
            out.append((name, tuple(items(listed))))
    return tuple(out)


def read_steps(table: OracleTable, raw: Any, calls: list[str]) -> tuple[Step, ...]:
    out = []
    for item in raw if isinstance(raw, list) else [raw]:
        if isinstance(item, str):
            value = read_value(table, item, "use", calls)
            out.append(Step("use", value))
            continue
        item = dict(item)
        when = read_when(table, item.pop("when")) if "when" in item else ()
        by = item.pop("by", "")
        if len(item) != 1:
            raise TableError(f"one step in a map: {item}")
        verb, body = next(iter(item.items()))
        if verb not in VERBS:
            raise TableError(f"{verb!r} is no step")
        limits = ("at least", "at most", "round", "round up", "round down", "plus", "minus")
        value = read_value(table, body, "airflow" if verb in limits else verb, calls)
        out.append(Step(verb, replace(value, by=by), when))
    return tuple(out)


def read_call(table: OracleTable, name: str, body: Mapping[str, Any], calls: list[str]) -> Call:
    stages = tuple(items(body["stages"])) if "stages" in body else ("",)
    terminals = body.get("terminals", {})
    if not isinstance(terminals, dict):
        terminals = dict.fromkeys(stages, terminals)
    lead = body.get("lead", {})
    if not isinstance(lead, dict):
        lead = dict.fromkeys(stages, lead)
    capacity = body.get("capacity", {})
    if not isinstance(capacity, dict):
        capacity = dict.fromkeys(stages, capacity)

    def by_stage(limits: Any, quantity: str) -> dict[str, tuple[Fraction | None, Fraction | None]]:
        if not isinstance(limits, dict):
            limits = dict.fromkeys(stages, limits)
        return {s: ends(text, quantity, table.units) for s, text in limits.items()}

    windows: dict[str, Mapping[str, tuple[Fraction | None, Fraction | None]]] = {}
    model_windows: dict[str, dict[str, Mapping[str, tuple[Fraction | None, Fraction | None]]]] = {}
    for quantity, limits in body.get("window", {}).items():
        if isinstance(limits, dict) and set(limits) <= set(table.models):
            for model, own in limits.items():
                model_windows.setdefault(model, {})[quantity] = by_stage(own, quantity)
        else:
            windows[quantity] = by_stage(limits, quantity)
    delays = {key: read_value(table, body[key], "seconds", calls) for key in ("on delay", "off delay") if key in body}
    ramp = None
    if "ramp" in body:
        ramp = read_ramp(table, body["ramp"], calls)
    return Call(
        name,
        stages,
        {s: frozenset(items(t)) for s, t in terminals.items()},
        {s: figure(t, "capacity", table.units) / 100 for s, t in capacity.items()},
        read_when(table, body.get("when", {})),
        dict(lead),
        read_steps(table, body["airflow"], calls),
        read_steps(table, body["heat"], calls) if "heat" in body else (),
        delays,
        ramp,
        windows,
        dict(body.get("together", {})),
        str(body.get("note", "")),
        model_windows,
    )


def read_ramp(table: OracleTable, raw: Any, calls: list[str]) -> Value:
    if isinstance(raw, dict):
        return Value("stages", stages={s: read_ramp(table, v, calls) for s, v in raw.items()})
    if raw in table.ramps:
        return Value("ramp", name=raw)
    return read_value(table, raw, "use", calls)
