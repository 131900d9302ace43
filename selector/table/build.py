"""From the cleaned file to the checked model: names resolved, rows read, every slip reported at its place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from selector.problems import Refused, close_match
from selector.table import rows as rows_module
from selector.table.checks import CHECKS
from selector.table.figures import BadFigure, figure, figure_range, ramp_steps
from selector.table.grammar import FORMAT, read_grammar
from selector.table.kinds import KINDS
from selector.table.kinds.base import position_in, with_positions
from selector.table.located import Mapping, Scalar, locate
from selector.table.model import (
    Atom,
    Call,
    CallValue,
    Chart,
    Condition,
    Fact,
    Key,
    Named,
    Part,
    Ramp,
    Rating,
    Selector,
    Step,
    Table,
    Unit,
    Units,
    Window,
)
from selector.table.quantities import BUILT_IN_FACTS, CONTINUOUS_FACTS, QUANTITIES, RATINGS, RESERVED_WORDS
from selector.table.rows import Column, RowReader, unit_words
from selector.table.shapes import Fields, Report
from selector.table.source import Source
from selector.table.units import BTUH_PER_KW
from selector.table.words import Item, Names, items_of, match_names

HEAT_FACTOR = {"Btu/h": Fraction(1), "MBH": Fraction(1000), "kW": BTUH_PER_KW}
_FREE_UNITS = {"voltage": {"v": Fraction(1)}, "oil pressure": {"psi": Fraction(1)}, "heat per gallon": {"btu/gal": Fraction(1)}}


@dataclass(slots=True)
class Builder:
    """The state of one build: the report, and what has been declared so far."""

    source: Source
    report: Report
    units: Units = field(default_factory=Units)
    models: tuple[str, ...] = ()
    facts: dict[str, Fact] = field(default_factory=dict)
    selectors: dict[str, Selector] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)
    ratings: dict[str, Rating] = field(default_factory=dict)
    ramps: dict[str, Ramp] = field(default_factory=dict)
    charts: dict[str, Chart] = field(default_factory=dict)
    calls: dict[str, Call] = field(default_factory=dict)
    call_names: Names = field(default_factory=lambda: Names(()))
    stage_names: Names = field(default_factory=lambda: Names(()))
    taken: dict[str, Item] = field(default_factory=dict)
    unit_table: dict[str, dict[str, Fraction]] = field(default_factory=dict)

    def words(self, node: Any) -> list[Item]:
        """The items of a list node."""
        return items_of(node, self.source.lines)

    def heat_words(self) -> dict[str, Fraction]:
        """Units of heat as factors to Btu/h."""
        return {
            "btu/h": Fraction(1),
            "btuh": Fraction(1),
            "mbh": Fraction(1000),
            "kbtu/h": Fraction(1000),
            "kw": BTUH_PER_KW,
            "w": BTUH_PER_KW / 1000,
        }

    def declare(self, name: str, key: Scalar) -> bool:
        """Take a name; a problem if it is taken or reserved."""
        folded = name.casefold()
        if folded in RESERVED_WORDS or folded.startswith("call "):
            self.report.at(key, "reserved-name", f"`{name}` has a meaning of its own and can't be a name of yours", f"for example `{name} chart`")
            return False
        if folded in self.taken:
            self.report.at(
                key, "name-taken", f"the name `{name}` stands twice, first on line {self.taken[folded].line}", "give one of them another name"
            )
            return False
        self.taken[folded] = Item(name, key.line, key.column)
        return True


def build_table(source: Source, name: str) -> tuple[Table, Report]:
    """The checked table and the report with its remarks. Raises Refused with every problem found."""
    report = Report(source)
    root = locate(source)
    _format(root, report)
    fields = read_grammar(root, report)
    b = Builder(source, report)
    table = _build(b, fields, name)
    if not report.failed:
        for check in CHECKS:
            check(table, report)
    if report.failed:
        raise Refused(report.problems)
    return table, report


def _format(root: Mapping, report: Report) -> None:
    for key, value in root.items:
        if key.text == "format" and isinstance(value, Scalar) and value.text != FORMAT:
            words = value.text.split()
            if words[:2] == ["selector", "table"] and words[2:] and words[2].isdecimal() and int(words[2]) > 1:
                report.at(value, "newer-format", f"this file is of format {words[2]}, newer than this program reads", "bring the program up to date")
                raise Refused(report.problems)
            if words[:2] == ["selector", "job"]:
                report.at(value, "job-not-table", "this file is a job, not a table", "give the job to the commands that take a job")
                raise Refused(report.problems)


def _build(b: Builder, fields: Fields, name: str) -> Table:
    unit_fields = fields.get("unit")
    b.units = _units(fields.get("units"))
    b.unit_table = {q.unit: unit_words(q.unit, b.units.airflow, b.units.temperature, b.units.heat) for q in QUANTITIES.values()}
    b.unit_table["heat"] = b.heat_words()
    unit = _unit(b, unit_fields)
    b.models = unit.models
    calls = fields.get("calls") or {}
    stages: list[str] = []
    for _, call in calls.values():
        node = call.get("stages")
        if node is not None:
            stages.extend(i.text for i in b.words(node))
    b.stage_names = Names(dict.fromkeys(stages))
    b.call_names = Names(calls)
    _ratings(b, fields.get("ratings"))
    _facts(b, fields.get("facts") or {})
    _board(b, fields.get("board") or {})
    _ramps(b, fields.get("ramps") or {})
    _charts(b, fields.get("charts") or {})
    _calls(b, calls)
    return Table(
        file=b.source.file,
        name=name,
        lines=b.source.lines,
        unit=unit,
        units=b.units,
        ratings=b.ratings,
        facts=b.facts,
        selectors=b.selectors,
        parts=tuple(b.parts),
        charts=b.charts,
        ramps=b.ramps,
        calls=b.calls,
    )


def _text(fields: Fields | None, key: str) -> str:
    node = fields.get(key) if fields is not None else None
    return node.text if isinstance(node, Scalar) else ""


def _units(fields: Fields | None) -> Units:
    return Units(**{k: node.text for k, node in fields.values.items()}) if fields is not None else Units()


def _unit(b: Builder, fields: Fields | None) -> Unit:
    if fields is None:
        return Unit(title="")
    manual, pages = fields.get("manual"), ""
    number = ""
    if isinstance(manual, dict):
        for key, (node, _value) in manual.items():
            if key not in ("number", "pages"):
                b.report.at(node, "unknown-key", f"`{key}` is not a key of `manual`", "known here: number, pages")
        number = " ".join(i.text for i in b.words(manual["number"][1])) if "number" in manual else ""
        pages = " ".join(i.text for i in b.words(manual["pages"][1])) if "pages" in manual else ""
    elif manual is not None:
        number = " ".join(i.text for i in b.words(manual))
    applies = fields.get("applies to")
    applies_to: dict[str, str] = {}
    if isinstance(applies, dict):
        applies_to = {k: " ".join(i.text for i in b.words(v)) for k, (_, v) in applies.items()}
    elif applies is not None:
        applies_to = {"board part": " ".join(i.text for i in b.words(applies))}
    models = tuple(i.text for i in b.words(fields.get("models"))) if "models" in fields else ()
    if len(set(models)) != len(models):
        b.report.at(fields.get("models"), "doubled-model", "a model stands twice", "take one out")
    return Unit(
        title=_text(fields, "title"),
        maker=_text(fields, "maker"),
        models=models,
        manual=number,
        pages=pages,
        transcribed=_text(fields, "transcribed"),
        applies_to=applies_to,
        reads=_text(fields, "reads"),
        motor=_text(fields, "motor"),
        airflow_means=_text(fields, "airflow means"),
        holds_up_to=_static(b, fields),
        note=_text(fields, "note"),
    )


def _static(b: Builder, fields: Fields) -> Fraction | None:
    node = fields.get("holds up to")
    return _figure(b, node, {b.units.pressure.casefold(): Fraction(1)}) if node is not None else None


def _figure(b: Builder, node: Scalar, words: dict[str, Fraction], default: Fraction = Fraction(1)) -> Fraction | None:
    try:
        return figure(node.text, words, default)
    except BadFigure as wrong:
        b.report.at(node, "bad-figure", str(wrong), f"type {wrong.instead}" if wrong.instead else "")
        return None


def _range(b: Builder, node: Scalar, words: dict[str, Fraction]) -> tuple[Fraction, Fraction] | None:
    try:
        return figure_range(node.text, words)
    except BadFigure as wrong:
        b.report.at(node, "bad-range", str(wrong), f"type {wrong.instead}" if wrong.instead else "")
        return None


def _ratings(b: Builder, fields: Fields | None) -> None:
    if fields is None:
        return
    for name, node in fields.values.items():
        kind = RATINGS[name][0]
        values: dict[tuple[str, str], Any] = {}
        for (model, stage), leaf in _leaves(b, node):
            value = _rating(b, leaf, kind)
            if value is not None:
                values[model, stage] = value
        b.ratings[name] = Rating(name=name, values=values, line=fields.keys[name].line)


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
            near = close_match(key, known)
            b.report.at(
                place,
                "unknown-model-or-stage",
                f"`{key}` is neither a model nor a stage of this file",
                f"did you mean `{near}`?" if near else f"known: {' '.join(known) or 'none; list the models under unit:'}",
            )
            continue
        if model is None:
            yield ("", stage or ""), inner
        elif isinstance(inner, Scalar):
            yield (model, ""), inner
        else:
            for stage_key, (stage_place, leaf) in inner.items():
                found = b.stage_names.find(stage_key)
                if found is None:
                    b.report.at(
                        stage_place, "unknown-stage", f"`{stage_key}` is not a stage of this file", f"stages: {' '.join(b.stage_names.names)}"
                    )
                    continue
                yield (model, found), leaf


def _rating(b: Builder, node: Scalar, kind: str) -> Any:
    if kind == "heat":
        return _figure(b, node, b.heat_words(), HEAT_FACTOR[b.units.heat])
    if kind == "percent":
        value = _figure(b, node, {"%": Fraction(1)})
        if value is None:
            return None
        if Fraction(1, 2) <= value <= Fraction(11, 10) and "%" not in node.text:
            return value
        if 50 <= value <= 110:
            return value / 100
        b.report.at(node, "bad-efficiency", f"`{node.text}` can't be an efficiency", "type a percent from 50 to 110, or a fraction from 0.5 to 1.1")
        return None
    if kind == "range":
        return _range(b, node, {b.units.temperature.casefold(): Fraction(1)})
    if kind == "temperature":
        return _figure(b, node, {b.units.temperature.casefold(): Fraction(1)})
    if kind == "pressure":
        return _figure(b, node, {b.units.pressure.casefold(): Fraction(1)})
    return _figure(b, node, _FREE_UNITS[kind])


def _facts(b: Builder, facts: dict[str, tuple[Scalar, Fields]]) -> None:
    for name, (key, fields) in facts.items():
        if not b.declare(name, key):
            continue
        values: tuple[str, ...] = ()
        low, high = None, None
        numbers: tuple[Fraction | None, ...] = ()
        if ("values" in fields) == ("range" in fields):
            b.report.at(
                key, "values-or-range", f"the fact `{name}` needs either values: or range:", "type the values the page prints, or the range it covers"
            )
        if "values" in fields:
            from selector.table.kinds.base import positions_of

            values = positions_of(fields.get("values"), name, b.report) or ()
        if "range" in fields:
            found = _range(b, fields.get("range"), {"%": Fraction(1)})
            low, high = found if found else (None, None)
        gives = _text(fields, "gives")
        if gives and values and QUANTITIES[gives].content == "number":
            try:
                numbers = tuple(None if v.casefold() == "none" else Fraction(v.split()[0]) for v in values)
            except ValueError:
                b.report.at(
                    fields.get("values"), "value-not-a-figure", f"`{name}` gives {gives}, so its values must be figures", "type plain numbers"
                )
        b.facts[name] = Fact(name=name, gives=gives, values=values, numbers=numbers, low=low, high=high, line=key.line)


def _board(b: Builder, board: dict[str, tuple[Scalar, Fields]]) -> None:
    for name, (key, fields) in board.items():
        if not b.declare(name, key):
            continue
        kind = KINDS[fields.get("kind").text]
        for model in fields.get("factory") if isinstance(fields.get("factory"), dict) else ():
            if model not in b.models:
                place = fields.get("factory")[model][0]
                b.report.at(
                    place, "unknown-model", f"`{model}` is not a model of this file", f"models: {' '.join(b.models) or 'none; list them under unit:'}"
                )
        built = kind.build(name, fields, b.report, len(b.parts))
        if built is None:
            continue
        selector, parts = built
        if selector.gives == "heat input":
            parts = tuple(replace(p, values=tuple(None if v is None else v * HEAT_FACTOR[b.units.heat] for v in p.values)) for p in parts)
        for part in parts:
            if part.name != name and part.name.casefold() in b.taken:
                b.report.at(key, "name-taken", f"the name `{part.name}` stands twice", "give one of them another name")
            b.taken.setdefault(part.name.casefold(), Item(part.name, key.line, key.column))
        b.selectors[name] = selector
        b.parts.extend(parts)


def _ramps(b: Builder, ramps: dict[str, tuple[Scalar, Scalar]]) -> None:
    for name, (key, node) in ramps.items():
        if not b.declare(name, key):
            continue
        try:
            b.ramps[name] = Ramp(name=name, steps=ramp_steps(node.text), line=key.line)
        except BadFigure as wrong:
            b.report.at(node, "bad-ramp", str(wrong), f"for example {wrong.instead}" if wrong.instead else "")


def _key(b: Builder, name: str, item: Item, values: Sequence[Item] | None) -> tuple[Key, Column] | None:
    """What a name in `set` or `across` stands for, with the column that reads its marks."""
    part = next((p for p in b.parts if p.name == name), None)
    selector = b.selectors.get(name)
    if part is None and selector is not None and selector.exclusive:
        taps = b.parts[selector.parts[0]]
        return Key(name=name, kind="taps", values=taps.positions), _column(name, taps.marks, taps)
    if part is not None:
        return Key(name=name, kind="part", part=part.index, values=part.positions), _column(name, part.marks, part)
    if selector is not None:
        b.report.at(
            item, "whole-bank", f"`{name}` is a bank of {len(selector.parts)} switches", f"name the switches the chart reads: {name}-1 {name}-2"
        )
        return None
    known: tuple[str, ...] = ()
    fact = b.facts.get(name)
    if fact is not None:
        known = fact.values
    elif name == "model":
        known = b.models
    elif name == "stage":
        known = b.stage_names.names
    continuous = name in CONTINUOUS_FACTS or (fact is not None and fact.low is not None)
    if values is not None and (continuous or not known):
        known = tuple(v.text for v in values)
    marks: dict[str, int] = {}
    for i, v in enumerate(known):
        marks[v] = i
        marks.setdefault(v.casefold(), i)
    column = Column(
        name=name,
        marks=marks,
        words=max((len(v.split()) for v in known), default=1),
        open=not known,
        single=bool(known) and all(len(v) == 1 for v in known),
    )
    return Key(name=name, kind="fact", values=known, numbers=_numbers(known) if continuous and known else ()), column


def _numbers(words: Sequence[str]) -> tuple[Fraction, ...]:
    out = []
    for w in words:
        try:
            out.append(Fraction(w.split()[0].rstrip("%")))
        except (ValueError, ZeroDivisionError):
            return ()
    return tuple(out)


def _column(name: str, part_marks: Any, part: Part) -> Column:
    marks = dict(part_marks)
    absent = None
    if part.absent:
        absent = len(part.positions)
        marks.setdefault(part.absent, absent)
    return Column(
        name=name,
        marks=marks,
        words=max(len(m.split()) for m in marks),
        single=all(len(p) == 1 for p in part.positions)
        or all(any(len(m) == 1 and i == at for m, i in part.marks.items()) for at in range(len(part.positions))),
        absent=absent,
    )


def _key_names(b: Builder) -> Names:
    return Names([p.name for p in b.parts] + list(b.selectors) + list(b.facts) + list(BUILT_IN_FACTS))


def _charts(b: Builder, charts: dict[str, tuple[Scalar, Fields]]) -> None:
    names = Names(dict.fromkeys(_key_names(b).names))
    absent: set[int] = set()
    for name, (key, fields) in charts.items():
        if b.declare(name, key):
            chart = _chart(b, name, key, fields, names, absent)
            if chart is not None:
                b.charts[name] = chart
    for index in absent:
        part = b.parts[index]
        b.parts[index] = with_positions(part, (*part.positions, part.absent))
    if absent:
        b.charts = {n: replace(c, keys=_widened(b, c.keys), heads=_widened(b, c.heads)) for n, c in b.charts.items()}


def _widened(b: Builder, keys: tuple[Key, ...]) -> tuple[Key, ...]:
    return tuple(replace(k, values=b.parts[k.part].positions) if k.kind == "part" else k for k in keys)


def _name_list(b: Builder, node: Any, names: Names, what: str) -> list[tuple[str, Item]]:
    matched = match_names(b.words(node), names)
    for item in matched.unknown:
        near = close_match(item.text, names.names)
        b.report.at(
            item,
            "unknown-name",
            f"`{item.text}` is not {what} of this file",
            f"did you mean `{near}`?" if near else f"known: {' '.join(names.names[:12])}",
        )
    if matched.ambiguous:
        b.report.at(node, "two-readings", "these words can be read as names in two ways", "put commas between the names")
    return list(matched.found)


def _chart(b: Builder, name: str, key: Scalar, fields: Fields, names: Names, absent: set[int]) -> Chart | None:
    before = len(b.report.problems)
    keys: list[tuple[Key, Column]] = []
    if "set" in fields:
        for found, item in _name_list(b, fields.get("set"), names, "a selector or fact"):
            made = _key(b, found, item, None)
            if made is not None:
                keys.append(made)
    heads: list[Key] = []
    for head, (place, node) in (fields.get("across") or {}).items():
        made_head = _head(b, head, place, node, names)
        if made_head is not None:
            heads.append(made_head)
    gives = [q for q, _ in _name_list(b, fields.get("gives"), Names(QUANTITIES), "a quantity")] if "gives" in fields else []
    if len(set(gives)) != len(gives):
        b.report.at(fields.get("gives"), "doubled-quantity", "a quantity stands twice in gives:", "make two charts of it")
    names_used = [k.name for k, _ in keys] + [h.name for h in heads]
    if len(set(names_used)) != len(names_used):
        b.report.at(key, "doubled-name", f"the chart `{name}` names one selector or fact twice", "take one out of set: or across:")
    if any(p.severity == "problem" for p in b.report.problems[before:]) or not gives or "rows" not in fields:
        return None
    count = 1
    for h in heads:
        count *= len(h.values)
    reader = RowReader(name, [c for _, c in keys], gives, count, b.unit_table, frozenset(b.ramps), b.report)
    reader.heat_default = HEAT_FACTOR[b.units.heat]
    rows = reader.read(fields.get("rows"))
    if any(p.severity == "problem" for p in b.report.problems[before:]):
        return None
    made_keys = []
    for k, column in keys:
        if column.absent_used:
            absent.add(k.part)
        if column.open:
            continuous = k.name in CONTINUOUS_FACTS
            k = replace(k, values=tuple(column.learned), numbers=_numbers(column.learned) if continuous else ())
        made_keys.append(k)
    for first, second in rows_module.overlapping(rows):
        b.report.add(
            second.line,
            _indent(b, second.line),
            "overlapping-rows",
            f"this row answers for settings that the row on line {first.line} answers for too",
            "each setting may be answered by one row: mend one of the two",
        )
    return Chart(
        name=name,
        keys=tuple(made_keys),
        heads=tuple(heads),
        gives=tuple(gives),
        rows=tuple(rows),
        page=_text(fields, "page"),
        holds_up_to=_static(b, fields),
        conditions=_text(fields, "conditions"),
        note=_text(fields, "note"),
        line=key.line,
    )


def _indent(b: Builder, line: int) -> int:
    text = b.source.lines[line - 1]
    return len(text) - len(text.lstrip()) + 1


def _head(b: Builder, head: str, place: Scalar, node: Any, names: Names) -> Key | None:
    found = names.find(head)
    if found is None:
        near = close_match(head, names.names)
        b.report.at(
            place,
            "unknown-name",
            f"`{head}` is not a selector or fact of this file",
            f"did you mean `{near}`?" if near else "declare it under board: or facts:",
        )
        return None
    items = b.words(node)
    made = _key(b, found, Item(head, place.line, place.column), items)
    if made is None:
        return None
    key, column = made
    if key.kind == "fact" and key.continuous:
        if list(key.numbers) != sorted(set(key.numbers)):
            b.report.at(node, "heads-not-rising", f"the heads of {found} must rise from left to right", "type the columns in rising order")
            return None
        return key
    matched = match_names(items, Names(list(column.marks) or [i.text for i in items]))
    order: list[int] = []
    for item in matched.unknown:
        near = close_match(item.text, list(column.marks))
        b.report.at(
            item,
            "unknown-head",
            f"`{item.text}` is not a {'position' if key.part >= 0 else 'value'} of {found}",
            f"did you mean `{near}`?" if near else f"known: {' '.join(key.values)}",
        )
    for text, item in matched.found:
        at = column.find(text)
        if at is None or at < 0:
            continue
        if at in order:
            b.report.at(item, "doubled-head", f"the head `{text}` stands twice", "take one out")
        order.append(at)
    if key.kind == "part":
        return replace(key, values=tuple(key.values[i] for i in order), order=tuple(order))
    values = tuple((key.values or tuple(column.learned))[i] for i in order)
    return replace(key, values=values)


def _condition(b: Builder, name: str, place: Scalar, node: Any) -> Condition | None:
    names = _key_names(b)
    found = names.find(name)
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


def _conditions(b: Builder, node: Any) -> tuple[Condition, ...]:
    out = [_condition(b, name, place, inner) for name, (place, inner) in (node or {}).items()]
    return tuple(c for c in out if c is not None)


def _atom(b: Builder, node: Scalar, words: dict[str, Fraction], *, number: bool = True) -> Atom | None:
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
        return _figure(b, node, words)
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


def _by_stage(b: Builder, node: Any, stages: Sequence[str], words: dict[str, Fraction]) -> dict[str, Atom]:
    if node is None:
        return {}
    if isinstance(node, Scalar):
        atom = _atom(b, node, words)
        return {} if atom is None else {"": atom}
    out: dict[str, Atom] = {}
    for stage, leaf in _stage_entries(b, node, stages):
        atom = _atom(b, leaf, words)
        if atom is not None:
            out[stage] = atom
    return out


def _stage_entries(b: Builder, node: dict[str, tuple[Scalar, Any]], stages: Sequence[str]) -> Iterable[tuple[str, Any]]:
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


def _steps(b: Builder, nodes: list[tuple[Any, Any]] | None, stages: Sequence[str]) -> tuple[Step, ...]:
    out: list[Step] = []
    for _node, cleaned in nodes or ():
        if isinstance(cleaned, Scalar):
            atom = _atom(b, cleaned, {}, number=False)
            if atom is not None:
                out.append(Step(op="call" if isinstance(atom, CallValue) else "use", by_stage={"": atom}, line=cleaned.line, text=cleaned.text))
            continue
        when = _conditions(b, cleaned["when"][1]) if "when" in cleaned else ()
        op = next(k for k in cleaned if k != "when")
        place, value = cleaned[op]
        unit = QUANTITIES[op].unit if op in QUANTITIES else _OP_UNITS.get(op, "")
        by_stage = _by_stage(b, value, stages, b.unit_table.get(unit, {}))
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


def _calls(b: Builder, calls: dict[str, tuple[Scalar, Fields]]) -> None:
    for name, (key, fields) in calls.items():
        if b.declare(name, key):
            b.calls[name] = _call(b, name, key, fields)


def _call(b: Builder, name: str, key: Scalar, fields: Fields) -> Call:
    stages = tuple(i.text for i in b.words(fields.get("stages"))) if "stages" in fields else ("",)
    if len(set(stages)) != len(stages) or len(stages) > 6:
        b.report.at(fields.get("stages"), "bad-stages", f"the stages of `{name}` must be one to six different names", "lowest stage first")
    time = b.unit_table["time"]
    return Call(
        name=name,
        stages=stages,
        airflow=_steps(b, fields.get("airflow"), stages),
        heat=_steps(b, fields.get("heat"), stages),
        terminals=_terminals(b, fields.get("terminals"), stages),
        capacity=_capacity(b, fields.get("capacity"), stages),
        when=_conditions(b, fields.get("when")),
        lead=_lead(b, fields.get("lead"), stages),
        ramp=_by_stage(b, fields.get("ramp"), stages, {}),
        on_delay=_by_stage(b, fields.get("on delay"), stages, time),
        off_delay=_by_stage(b, fields.get("off delay"), stages, time),
        windows=_windows(b, fields.get("window"), stages),
        together=_together(b, fields.get("together")),
        note=_text(fields, "note"),
        line=key.line,
    )


def _terminals(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, tuple[str, ...]]:
    if node is None:
        return {}
    if isinstance(node, dict):
        return {stage: tuple(i.text for i in b.words(leaf)) for stage, leaf in _stage_entries(b, node, stages)}
    return {"": tuple(i.text for i in b.words(node))}


def _capacity(b: Builder, node: Any, stages: Sequence[str]) -> dict[str, Fraction]:
    entries: Iterable[tuple[str, Any]] = () if node is None else [("", node)] if isinstance(node, Scalar) else _stage_entries(b, node, stages)
    out: dict[str, Fraction] = {}
    for stage, leaf in entries:
        value = _figure(b, leaf, {"%": Fraction(1)})
        if value is None:
            continue
        if value <= 1 and "%" not in leaf.text:
            b.report.at(leaf, "percent-as-fraction", f"`{leaf.text}` looks like a fraction; capacity is in percent", f"type {float(value * 100):g} %")
            continue
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
    for stage, leaf in [("", node)] if isinstance(node, Scalar) else _stage_entries(b, node, stages):
        found = names.find(leaf.text)
        if found is None:
            near = close_match(leaf.text, list(leads))
            b.report.at(
                leaf, "unknown-lead", f"`{leaf.text}` is not a lead of this board", f"did you mean `{near}`?" if near else f"leads: {' '.join(leads)}"
            )
            continue
        out[stage] = leads[found]
    return out


def _windows(b: Builder, fields: Fields | None, stages: Sequence[str]) -> tuple[Window, ...]:
    out: list[Window] = []
    for quantity, node in fields.values.items() if fields is not None else ():
        kind = "temperature difference" if quantity == "temperature rise" else quantity
        for stage, leaf in [("", node)] if isinstance(node, Scalar) else _stage_entries(b, node, stages):
            found = _range(b, leaf, b.unit_table[kind])
            if found:
                out.append(Window(quantity=quantity, low=found[0], high=found[1], stage=stage, line=leaf.line))
    return tuple(out)


def _together(b: Builder, node: Any) -> dict[str, str]:
    out: dict[str, str] = {}
    for other, (place, rule) in (node or {}).items():
        found = b.call_names.find(other)
        if found is None:
            near = close_match(other, b.call_names.names)
            b.report.at(
                place,
                "unknown-call",
                f"`{other}` is not a call of this file",
                f"did you mean `{near}`?" if near else f"calls: {', '.join(b.call_names.names)}",
            )
            continue
        out[found] = rule.text
    return out
