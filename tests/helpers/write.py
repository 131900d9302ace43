"""The text of a described table, in one of the many layouts people type."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from tests.helpers.describe import (
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
    Selector,
    Step,
)

SIGNED = ("trim", "offset")
PERCENT = ("trim", "share", "reduction")


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """The text, and each chart's rows as their words were typed: positions, then cells (or the words after them)."""

    text: str
    rows: Mapping[str, tuple[tuple[str, ...], ...]]


def number(value: Fraction) -> str:
    """A figure in plain decimals, exact. ValueError where it has none or too many."""
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
        if places > 9:
            raise ValueError(f"{value} has no short decimal")
    digits = str(abs(value.numerator * 10**places // value.denominator)).rjust(places + 1, "0")
    text = digits[: len(digits) - places] + ("." + digits[len(digits) - places :] if places else "")
    return f"-{text}" if value < 0 else text


def written(d: Description, layout: int) -> Written:
    """The file of a table; `layout` chooses among ways to type the same thing."""
    return _Writer(d, Random(layout)).file()


class _Writer:
    def __init__(self, d: Description, random: Random) -> None:
        self.d = d
        self.random = random
        self.rows: dict[str, tuple[tuple[str, ...], ...]] = {}

    def chance(self, percent: int) -> bool:
        return self.random.randrange(100) < percent

    def file(self) -> Written:
        d = self.d
        lines = ["format: selector table 1", "unit:", "  title: A unit of the tests"]
        if d.models:
            lines.append(f"  models: {' '.join(d.models)}")
        units = {
            "airflow": d.airflow_unit,
            "pressure": d.pressure_unit,
            "temperature": d.temperature_unit,
            "heat": d.heat_unit,
        }
        lines.append("units: {" + ", ".join(f"{k}: {v}" for k, v in units.items()) + "}")
        if d.ratings:
            lines.append("ratings:")
            lines.extend(f"  {name}: {_rating(values, name)}" for name, values in d.ratings.items())
        if d.facts:
            lines.append("facts:")
            for fact in d.facts:
                gives = f"gives: {fact.gives}, " if fact.gives else ""
                of = f"values: {' '.join(fact.values)}"
                if fact.low is not None and fact.high is not None:
                    of = f"range: {number(fact.low)} to {number(fact.high)}"
                lines.append(f"  {fact.name}: {{{gives}{of}}}")
        lines.append("board:")
        lines.extend(f"  {s.name}: {self.selector(s)}" for s in d.selectors)
        lines.append("charts:")
        for chart in d.charts:
            lines.extend(self.chart(chart))
        lines.append("calls:")
        for call in d.calls:
            lines.extend(self.call(call))
        return Written(text="\n".join(lines) + "\n", rows=self.rows)

    def selector(self, s: Selector) -> str:
        parts = [next(p for p in self.d.parts if p.name == name) for name in s.parts]
        keys = {"kind": s.kind}
        positions = [p for p in parts[0].positions if p != "parked" and not (s.pins_off and p == "off pins")]
        if s.kind == "switches":
            keys["count"] = str(len(parts))
            if s.words:
                keys["also"] = (
                    "{" + ", ".join(f"{p}: {w}" for p, w in zip(parts[0].positions, s.words, strict=True)) + "}"
                )
        elif s.kind != "link" or positions != ["whole", "cut"]:
            keys["positions"] = " ".join(positions)
        if s.kind == "taps":
            keys["leads"] = " ".join(name[len(s.name) + 1 :] for name in s.parts)
            if s.share:
                pair, *when = s.share
                keys["may share"] = "{" + f"{pair}: " + "{" + ": ".join(when) + "}}" if when else pair
        if parts[0].factory:
            by_model = {m: self._delivered(s, parts, m) for m in parts[0].factory}
            keys["factory"] = (
                by_model[""] if "" in by_model else "{" + ", ".join(f"{m}: {t}" for m, t in by_model.items()) + "}"
            )
        if s.kind == "switches":
            left = {i: p for i, p in enumerate(parts, 1) if p.leave_at is not None}
            idle = [str(i) for i, p in enumerate(parts, 1) if p.unused]
            if left:
                keys["leave at"] = (
                    "{" + ", ".join(f"{i}: {p.positions[p.leave_at or 0]}" for i, p in left.items()) + "}"
                )
        else:
            idle = [parts[0].positions[i] for i in sorted(parts[0].idle)]
            if parts[0].leave_at is not None:
                keys["leave at"] = parts[0].positions[parts[0].leave_at]
        if idle:
            keys["not used"] = " ".join(idle)
        if s.gives:
            keys["gives"] = s.gives
        if s.declares:
            keys["declares"] = s.declares
        if self.chance(30):
            return "".join(f"\n    {k}: {v}" for k, v in keys.items())
        return "{" + ", ".join(f"{k}: {v}" for k, v in keys.items()) + "}"

    def _delivered(self, s: Selector, parts: Sequence[Part], model: str) -> str:
        at = [p.factory[model] for p in parts]
        if s.kind == "switches":
            words = s.words if s.words and self.chance(50) else parts[0].positions
            if len(set(at)) == 1 and self.chance(50):
                return f"all {words[at[0]]}"
            if self.chance(30):
                return "".join(str(a) for a in at) if len(at) > 1 else words[at[0]]
            return " ".join(words[a] for a in at)
        return " ".join(p.positions[a] for p, a in zip(parts, at, strict=True))

    # charts

    def chart(self, chart: Chart) -> list[str]:
        lines = [f"  {chart.name}:"]
        if self.chance(30):
            lines.append(f"    page: {self.random.randrange(1, 40)}")
        if chart.keys:
            lines.append(f"    set: {' '.join(c.name for c in chart.keys)}")
        if chart.heads:
            lines.append("    across: {" + ", ".join(f"{c.name}: {' '.join(self._head(c))}" for c in chart.heads) + "}")
        lines.append(f"    gives: {', '.join(chart.gives)}")
        style = [self._marks(c) for c in chart.keys]
        typed = [self._row(chart, row, style) for row in chart.rows]
        self.rows[chart.name] = tuple((*positions, *cells) for positions, cells, _ in typed)
        single = all(len(m) == 1 for marks in style for m in marks.values()) and all(
            c.kind != "taps" for c in chart.keys
        )
        together = single and len(chart.keys) > 1 and self.chance(50)
        one_line = self.chance(15) and not any(r.note or r.word or r.like is not None for r in chart.rows)
        one_line = one_line and all(positions and positions[0] != "-" for positions, _, _ in typed)
        if one_line and not together:
            lines.append("    rows: " + " ; ".join(" ".join((*positions, *cells)) for positions, cells, _ in typed))
            return lines
        lines.append("    rows: |")
        bars = self.chance(15) and not together
        for positions, cells, note in typed:
            if self.chance(8):
                lines.append("      # as printed")
            if bars and self.chance(20):
                lines.append("      |----|----|")
            if together and "-" not in positions:
                lines.append("      " + "".join(positions) + "  " + " ".join(cells) + note)
            elif bars:
                lines.append("      | " + " | ".join((*positions, " ".join(cells))) + " |" + note)
            else:
                lines.append("      " + " ".join((*positions, "", *cells)) + note)
        return lines

    def _head(self, column: Column) -> tuple[str, ...]:
        marks = self._marks(column)
        return tuple(marks[v] for v in column.values)

    def _marks(self, column: Column) -> dict[str, str]:
        """Each value and the mark it is typed with in one chart."""
        plain = {v: v for v in column.values}
        if column.kind != "part":
            return plain
        part = next(p for p in self.d.parts if p.name == column.name)
        selector = self.d.selector(part.selector)
        if selector.kind != "switches":
            return plain
        if selector.words:
            return {v: selector.words[part.positions.index(v)] for v in column.values} if self.chance(70) else plain
        return self.random.choice(
            (plain, {v: v.upper() for v in column.values}, {v: str(part.positions.index(v)) for v in column.values})
        )

    def _row(
        self, chart: Chart, row: Row, style: Sequence[Mapping[str, str]]
    ) -> tuple[tuple[str, ...], tuple[str, ...], str]:
        def words(at: Sequence[int | None]) -> tuple[str, ...]:
            return tuple(
                "-" if a is None else marks[c.values[a]] for a, c, marks in zip(at, chart.keys, style, strict=True)
            )

        note = f"   ({row.note})" if row.note else ""
        if row.word:
            return words(row.at), (row.word,), note
        if row.like is not None:
            return words(row.at), ("as", *words(row.like)), note
        if row.nothing:
            return words(row.at), ("none",), note
        return (
            words(row.at),
            tuple(self._cell(chart.gives[i % len(chart.gives)], cell) for i, cell in enumerate(row.cells)),
            note,
        )

    def _cell(self, quantity: str, cell: Cell) -> str:
        if cell is None:
            return "-"
        if isinstance(cell, str):
            return cell
        text = number(cell)
        if quantity in SIGNED and cell >= 0:
            text = f"+{text}"
        if quantity in PERCENT and self.chance(60):
            text += self.random.choice(("%", " %"))
        return text

    # calls

    def call(self, call: Call) -> list[str]:
        lines = [f"  {call.name}:"]
        if call.terminals:
            by = {s: " ".join(t) for s, t in call.terminals.items()}
            lines.append(f"    terminals: {_by_stage(by)}")
        if call.stages != ("",):
            lines.append(f"    stages: {' '.join(call.stages)}")
        if call.capacity:
            lines.append(f"    capacity: {_by_stage({s: number(v * 100) + ' %' for s, v in call.capacity.items()})}")
        if call.when:
            lines.append("    when: {" + ", ".join(f"{n}: {' '.join(w)}" for n, w in call.when.items()) + "}")
        if call.lead:
            lines.append(f"    lead: {_by_stage(call.lead)}")
        for key, steps in (("heat", call.heat), ("airflow", call.airflow)):
            if not steps:
                continue
            texts = [self._step(step) for step in steps]
            if len(texts) == 1 and self.chance(50) and not texts[0].startswith("{") and ": " not in texts[0]:
                lines.append(f"    {key}: {texts[0]}")
            elif self.chance(50):
                lines.append(f"    {key}: [{', '.join(texts)}]")
            else:
                lines.append(f"    {key}:")
                lines.extend(f"      - {text}" for text in texts)
        if call.windows:
            lines.append("    window:")
            for quantity in dict.fromkeys(w.quantity for w in call.windows):
                by = {w.stage: f"{number(w.low)} to {number(w.high)}" for w in call.windows if w.quantity == quantity}
                lines.append(f"      {quantity}: {_by_stage(by)}")
        if call.off_delay:
            lines.append(f"    off delay: {call.off_delay}")
        return lines

    def _step(self, step: Step) -> str:
        atoms = {s: self._atom(step.op, a) for s, a in step.by_stage.items()}
        when = ", when: {" + ", ".join(f"{n}: {' '.join(w)}" for n, w in step.when.items()) + "}" if step.when else ""
        if step.op in ("use", "call"):
            text = atoms[""]
            if when:
                return f"{{use: {text}{when}}}"
            return f"use: {text}" if self.chance(15) else text
        body = f"{step.op}: {_by_stage(atoms)}"
        return f"{{{body}{when}}}" if when else body

    def _atom(self, op: str, atom: Atom) -> str:
        if isinstance(atom, Name):
            return atom.name
        if isinstance(atom, Other):
            return f"call {atom.call} {atom.stage}".strip()
        text = number(atom)
        if op in SIGNED and atom >= 0:
            text = f"+{text}"
        return f"{text} %" if op in PERCENT and self.chance(70) else text


def _by_stage(values: Mapping[str, str]) -> str:
    return values[""] if "" in values else "{" + ", ".join(f"{s}: {v}" for s, v in values.items()) + "}"


def _rating(values: Mapping[tuple[str, str], Figure], name: str) -> str:
    def one(figure: Figure) -> str:
        if isinstance(figure, tuple):
            return f"{number(figure[0])} to {number(figure[1])}"
        return f"{number(figure * 100)} %" if name == "efficiency" else number(figure)

    if ("", "") in values:
        return one(values["", ""])
    models = dict.fromkeys(m for m, _ in values)
    stages = dict.fromkeys(s for _, s in values)
    if tuple(stages) == ("",):
        return "{" + ", ".join(f"{m}: {one(values[m, ''])}" for m in models) + "}"
    if tuple(models) == ("",):
        return "{" + ", ".join(f"{s}: {one(values['', s])}" for s in stages) + "}"
    return (
        "{" + ", ".join(f"{m}: {{" + ", ".join(f"{s}: {one(values[m, s])}" for s in stages) + "}" for m in models) + "}"
    )
