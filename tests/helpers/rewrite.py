"""The same table told otherwise: rows and columns in another order, other names, other units. Works on descriptions;
knows nothing of the program."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from random import Random

from tests.helpers.describe import (
    Aim,
    Atom,
    Call,
    Cell,
    Chart,
    Column,
    Description,
    Figure,
    Name,
    Other,
    Part,
    Row,
    Step,
    When,
    Window,
)
from tests.helpers.generate import Case
from tests.helpers.write import number

# order


def shuffled(case: Case, random: Random) -> Case:
    """Rows, the columns down the side and along the top, and their values in another order; charts, calls and facts
    too."""
    d = case.table
    charts = [_shuffled_chart(chart, random) for chart in d.charts]
    facts = list(d.facts)
    random.shuffle(charts)
    random.shuffle(facts)
    return dataclasses.replace(case, table=dataclasses.replace(d, charts=tuple(charts), facts=tuple(facts)))


def _shuffled_chart(chart: Chart, random: Random) -> Chart:
    keys = random.sample(range(len(chart.keys)), len(chart.keys))
    heads = random.sample(range(len(chart.heads)), len(chart.heads))
    values = {h: random.sample(range(len(chart.heads[h].values)), len(chart.heads[h].values)) for h in heads}
    values |= {
        h: list(range(len(column.values))) for h, column in enumerate(chart.heads) if column.kind == "line"
    }  # those must rise
    alone = "airflow" in chart.gives
    gives = random.sample(range(len(chart.gives)), len(chart.gives)) if alone else list(range(len(chart.gives)))

    def cells(row: Row) -> tuple[Cell, ...]:
        if not row.cells:
            return ()
        out = []
        for way in product(*(values[h] for h in heads)):
            old = dict(zip(heads, way, strict=True))
            place = 0
            for h, column in enumerate(chart.heads):
                place = place * len(column.values) + old[h]
            out += [row.cells[place * len(chart.gives) + q] for q in gives]
        return tuple(out)

    rows = [
        dataclasses.replace(
            row,
            at=tuple(row.at[k] for k in keys),
            cells=cells(row),
            like=None if row.like is None else tuple(row.like[k] for k in keys),
        )
        for row in chart.rows
    ]
    random.shuffle(rows)
    return dataclasses.replace(
        chart,
        keys=tuple(chart.keys[k] for k in keys),
        heads=tuple(
            dataclasses.replace(chart.heads[h], values=tuple(chart.heads[h].values[v] for v in values[h]))
            for h in heads
        ),
        gives=tuple(chart.gives[q] for q in gives),
        rows=tuple(rows),
    )


def with_selectors_in(case: Case, order: list[int]) -> tuple[Case, list[int]]:
    """The selectors in another order; and where each part of the new setting stood in the old one."""
    d = case.table
    selectors = [d.selectors[i] for i in order]
    was = [d.part_index(name) for selector in selectors for name in selector.parts]
    ask = case.ask
    table = dataclasses.replace(d, selectors=tuple(selectors), parts=tuple(d.parts[i] for i in was))
    found = None if ask.found is None else tuple(ask.found[i] for i in was)
    held = {was.index(i): at for i, at in ask.held.items()}
    return dataclasses.replace(case, table=table, ask=dataclasses.replace(ask, found=found, held=held)), was


# names


@dataclass(frozen=True, kw_only=True, slots=True)
class Names:
    """New names by kind; positions by selector. What isn't here keeps its name."""

    selectors: Mapping[str, str] = field(default_factory=dict)
    charts: Mapping[str, str] = field(default_factory=dict)
    calls: Mapping[str, str] = field(default_factory=dict)
    models: Mapping[str, str] = field(default_factory=dict)
    stages: Mapping[str, str] = field(default_factory=dict)
    positions: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def part(self, name: str) -> str:
        """A switch or lead follows its selector."""
        selector, dash, rest = name.partition("-")
        return self.selectors.get(selector, selector) + dash + rest

    def word(self, name: str, word: str) -> str:
        """A word that stands under a name: a position, a model, a stage, or a fact's value, which stays."""
        if name == "model":
            return self.models.get(word, word)
        if name == "stage":
            return self.stages.get(word, word)
        return self.positions.get(name.partition("-")[0], {}).get(word, word)

    def stage(self, stage: str) -> str:
        """A stage; "" stays."""
        return self.stages.get(stage, stage)


def renamed(case: Case, names: Names) -> Case:
    """The same table and question under new names."""
    d, ask = case.table, case.ask

    def by_stage(values: Mapping[str, str]) -> dict[str, str]:
        return {names.stage(s): v for s, v in values.items()}

    def when(conditions: When) -> When:
        return {names.part(n): tuple(names.word(n, w) for w in words) for n, words in conditions.items()}

    def atom(a: Atom) -> Atom:
        if isinstance(a, Other):
            return Other(call=names.calls.get(a.call, a.call), stage=names.stage(a.stage))
        if isinstance(a, Name):
            return dataclasses.replace(
                a,
                name=names.charts.get(a.name, a.name)
                if a.kind == "chart"
                else names.part(a.name)
                if a.kind == "part"
                else a.name,
            )
        return a

    def step(s: Step) -> Step:
        return dataclasses.replace(
            s, by_stage={names.stage(k): atom(a) for k, a in s.by_stage.items()}, when=when(s.when)
        )

    def column(c: Column) -> Column:
        return dataclasses.replace(c, name=names.part(c.name), values=tuple(names.word(c.name, v) for v in c.values))

    def call(c: Call) -> Call:
        return dataclasses.replace(
            c,
            name=names.calls.get(c.name, c.name),
            stages=tuple(names.stage(s) for s in c.stages),
            airflow=tuple(step(s) for s in c.airflow),
            heat=tuple(step(s) for s in c.heat),
            terminals={names.stage(s): t for s, t in c.terminals.items()},
            capacity={names.stage(s): v for s, v in c.capacity.items()},
            when=when(c.when),
            lead=by_stage(c.lead),
            windows=tuple(dataclasses.replace(w, stage=names.stage(w.stage)) for w in c.windows),
            off_delay=names.charts.get(c.off_delay, c.off_delay),
        )

    def aim(a: Aim) -> Aim:
        of = None if a.of is None else (names.calls.get(a.of[0], a.of[0]), names.stage(a.of[1]))
        return dataclasses.replace(a, call=names.calls.get(a.call, a.call), stage=names.stage(a.stage), of=of)

    table = dataclasses.replace(
        d,
        models=tuple(names.models.get(m, m) for m in d.models),
        ratings={
            r: {(names.models.get(m, m), names.stage(s)): v for (m, s), v in values.items()}
            for r, values in d.ratings.items()
        },
        parts=tuple(
            dataclasses.replace(
                p,
                name=names.part(p.name),
                selector=names.selectors.get(p.selector, p.selector),
                positions=tuple(names.word(p.name, w) for w in p.positions),
                factory={names.models.get(m, m): at for m, at in p.factory.items()},
            )
            for p in d.parts
        ),
        selectors=tuple(
            dataclasses.replace(
                s, name=names.selectors.get(s.name, s.name), parts=tuple(names.part(p) for p in s.parts)
            )
            for s in d.selectors
        ),
        charts=tuple(
            dataclasses.replace(
                c,
                name=names.charts.get(c.name, c.name),
                keys=tuple(map(column, c.keys)),
                heads=tuple(map(column, c.heads)),
            )
            for c in d.charts
        ),
        calls=tuple(map(call, d.calls)),
    )
    facts = {n: names.word(n, v) if isinstance(v, str) else v for n, v in ask.facts.items()}
    static = {names.calls.get(c, c): v for c, v in ask.static.items()}
    return dataclasses.replace(
        case, table=table, ask=dataclasses.replace(ask, facts=facts, static=static, aims=tuple(map(aim, ask.aims)))
    )


# units


@dataclass(frozen=True, kw_only=True, slots=True)
class Factors:
    """What each kind of figure is multiplied with, and the names of the new units."""

    units: tuple[str, str, str, str]
    airflow: Fraction
    pressure: Fraction
    rise: Fraction
    heat: Fraction


AIRFLOWS = (
    "airflow",
    "airflow per ton",
    "offset",
    "least airflow",
    "most airflow",
    "at least",
    "at most",
    "round",
    "round up",
    "round down",
)


def converted(case: Case, f: Factors) -> Case:
    """The same table and question in other units. ValueError where a figure has no short decimal in them."""
    d, ask = case.table, case.ask
    menus = {s.name: s.gives for s in d.selectors if s.kind == "menu"}

    def times(quantity: str) -> Fraction:
        if quantity in AIRFLOWS:
            return f.airflow
        return {
            "temperature rise": f.rise,
            "heat input": f.heat,
            "heat output": f.heat,
            "static pressure": f.pressure,
        }.get(quantity, Fraction(1))

    def word(name: str, w: str) -> str:
        quantity = name if name == "static pressure" else menus.get(name, "")
        return number(Fraction(w) * times(quantity)) if quantity else w

    def figure(quantity: str, value: Figure) -> Figure:
        return tuple_of(value, lambda v: v * times(quantity))

    def step(s: Step) -> Step:
        scaled: dict[str, Atom] = {k: a * times(s.op) if isinstance(a, Fraction) else a for k, a in s.by_stage.items()}
        return dataclasses.replace(
            s, by_stage=scaled, when={n: tuple(word(n, w) for w in words) for n, words in s.when.items()}
        )

    def column(c: Column) -> Column:
        return dataclasses.replace(c, values=tuple(word(c.name, v) for v in c.values))

    def row(r: Row, gives: tuple[str, ...]) -> Row:
        scaled = (c * times(gives[i % len(gives)]) if isinstance(c, Fraction) else c for i, c in enumerate(r.cells))
        return dataclasses.replace(r, cells=tuple(scaled))

    def part(p: Part) -> Part:
        if p.selector not in menus:
            return p
        figures = tuple(v * times(menus[p.selector]) for v in p.figures)
        return dataclasses.replace(p, figures=figures, positions=tuple(word(p.selector, w) for w in p.positions))

    def window(w: Window) -> Window:
        return dataclasses.replace(w, low=w.low * times(w.quantity), high=w.high * times(w.quantity))

    def call(c: Call) -> Call:
        conditions = {n: tuple(word(n, w) for w in words) for n, words in c.when.items()}
        return dataclasses.replace(
            c,
            airflow=tuple(map(step, c.airflow)),
            heat=tuple(map(step, c.heat)),
            when=conditions,
            windows=tuple(map(window, c.windows)),
        )

    def chart(c: Chart) -> Chart:
        return dataclasses.replace(
            c,
            keys=tuple(map(column, c.keys)),
            heads=tuple(map(column, c.heads)),
            rows=tuple(row(r, c.gives) for r in c.rows),
        )

    table: Description = dataclasses.replace(
        d,
        airflow_unit=f.units[0],
        pressure_unit=f.units[1],
        temperature_unit=f.units[2],
        heat_unit=f.units[3],
        ratings={name: {k: figure(name, v) for k, v in values.items()} for name, values in d.ratings.items()},
        parts=tuple(map(part, d.parts)),
        charts=tuple(map(chart, d.charts)),
        calls=tuple(map(call, d.calls)),
    )
    facts = {n: v * times(n) if isinstance(v, Fraction) and n == "static pressure" else v for n, v in ask.facts.items()}
    aims = tuple(
        dataclasses.replace(a, low=a.low * times(a.quantity), high=a.high * times(a.quantity)) for a in ask.aims
    )
    return dataclasses.replace(
        case,
        table=table,
        ask=dataclasses.replace(ask, facts=facts, static={c: v * f.pressure for c, v in ask.static.items()}, aims=aims),
    )


def tuple_of(value: Figure, scale: Callable[[Fraction], Fraction]) -> Figure:
    """A figure or both ends of a range, scaled."""
    return (scale(value[0]), scale(value[1])) if isinstance(value, tuple) else scale(value)
