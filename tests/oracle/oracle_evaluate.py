"""What a board does: one setting under facts -> for every call and stage an airflow or one of the five noes."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal, localcontext
from fractions import Fraction
from types import MappingProxyType
from typing import Any, TypeAlias

from tests.oracle.oracle_table import (
    ALTITUDE,
    BTU,
    CFM,
    DEGREE,
    KILOWATT,
    OFF_PINS,
    OTHERS,
    PARKED,
    Call,
    Cell,
    Chart,
    Knob,
    OracleTable,
    Row,
    Step,
    TableError,
    Value,
    figure,
    number,
    same,
)

DOES_NOT_RUN = "does_not_run"
NOT_USABLE = "not_usable"
OUTSIDE_CHART = "outside_chart"
UNREADABLE = "unreadable"
NOT_KNOWN = "not_known"
NOES = (DOES_NOT_RUN, NOT_USABLE, OUTSIDE_CHART, UNREADABLE, NOT_KNOWN)
REFUSED = (NOT_USABLE, OUTSIDE_CHART)
AIRFLOW = "airflow"
NONE = "none"
SKIP = "skip"
UNREAD = "?"
FACTOR = Fraction("1.08")
STATIC = "static pressure"
RATE = "firing rate"

Read: TypeAlias = Fraction | str
Setting: TypeAlias = Mapping[str, str | None]


@dataclass(frozen=True)
class Facts:
    """What is known of the unit besides its marks. Figures in the units of the file; rate in percent.

    static_of: by call or "call/stage", before `static`. installed: declared facts by name, as typed.
    absent: calls whose equipment, or the wish for them, is denied. heat_input: clocked, replaces the rating.
    """

    model: str | None = None
    static: Fraction | None = None
    static_of: Mapping[str, Fraction] = field(default_factory=dict)
    rate: Fraction | None = None
    installed: Mapping[str, str] = field(default_factory=dict)
    volts: Fraction | None = None
    pump_pressure: Fraction | None = None
    heat_input: Fraction | None = None
    absent: frozenset[str] = frozenset()


@dataclass
class Case:
    """One completion: every position and fact that the stage reads has one value."""

    table: OracleTable
    facts: Facts
    positions: Mapping[str, str | None]
    told: Mapping[str, str | Fraction]
    hits: list[tuple[str, int, str]] = field(default_factory=list)
    wants: set[str] = field(default_factory=set)
    trace: list[Fraction] = field(default_factory=list)
    busy: list[tuple[str, str]] = field(default_factory=list)

    def board_model(self) -> str | None:
        """The model the board believes: its plug's, else the plate's."""
        for knob in self.table.knobs.values():
            if knob.declares == "model" and self.positions.get(knob.name):
                return self.positions[knob.name]
        return self.plate_model()

    def plate_model(self) -> str | None:
        if self.facts.model is not None:
            return same(self.facts.model, self.table.models)
        told = self.told.get("model")
        if told is not None:
            return str(told)
        for knob in self.table.knobs.values():
            if knob.declares == "model":
                return self.positions.get(knob.name)
        return None

    def static_for(self, call: str, stage: str) -> Fraction | None:
        given = given_static(self.facts, call, stage)
        if given is not None:
            return given
        told = self.told.get(STATIC)
        return told if isinstance(told, Fraction) else None

    def fact(self, name: str) -> str | None:
        """A declared fact: as typed, else what the board is told, else as completed."""
        text = installed(self.table, self.facts, name)
        if text is not None:
            return text
        for knob in self.table.knobs.values():
            if knob.declares == name:
                return knob.tells(self.positions.get(knob.name))
        told = self.told.get(name)
        return None if told is None else str(told)

    def board_fact(self, name: str) -> str | None:
        """A declared fact as the board is told it: by its selector where it has one, whatever stands outside."""
        for knob in self.table.knobs.values():
            if knob.declares == name:
                return knob.tells(self.positions.get(knob.name))
        return self.fact(name)

    def number_of(self, name: str, call: str, stage: str) -> Fraction | None:
        """A fact that runs on: static pressure, firing rate, altitude, one with a range."""
        if name == STATIC:
            return self.static_for(call, stage)
        told = self.told.get(name)
        if isinstance(told, Fraction):
            return told
        if name == RATE:
            return self.facts.rate
        text = installed(self.table, self.facts, name)
        return None if text is None else number(text)


@dataclass(frozen=True)
class Outcome:
    """How a stage stands. code: `airflow` when one airflow is certain, or one of the five noes.

    With several possibilities code is unreadable or not_known (the cause) and `airflows` and `noes` hold all that is
    possible. ranged: the possibilities are samples of a range, airflows[0] to airflows[-1].
    cases: every completion with its result. depends: the marks and facts that change the outcome.
    """

    code: str
    airflows: tuple[Fraction, ...]
    noes: frozenset[str]
    depends: tuple[str, ...] = ()
    ranged: bool = False
    cases: tuple[tuple[Mapping[str, str | Fraction], Read], ...] = ()

    @property
    def airflow(self) -> Fraction | None:
        return self.airflows[0] if self.code == AIRFLOW else None


def given_static(facts: Facts, call: str, stage: str) -> Fraction | None:
    for key in (f"{call}/{stage}", call):
        if key in facts.static_of:
            return facts.static_of[key]
    return facts.static


def installed(table: OracleTable, facts: Facts, name: str) -> str | None:
    """The fact as typed, in the spelling of the file."""
    text = facts.installed.get(name)
    if text is None:
        return None
    if name == "model":
        return same(text, table.models)
    values = table.facts[name].values if name in table.facts else ()
    if text in values or not values:
        return text
    for value in values:
        try:
            if number(value) == number(text):
                return value
        except TableError:
            if value.casefold() == text.casefold():
                return value
    return text


def marks(table: OracleTable, **typed: str) -> dict[str, str]:
    """`SW1="1001?000"`, `J1="B"`, `M1="2 4 3 1"`, `SW1_3="on"` -> positions by knob; `?` is unread, `_` not given."""
    out: dict[str, str] = {}
    for key, text in typed.items():
        name = key if key in table.knobs or table.knobs_of(key) else key.replace("_", "-")
        knobs = [table.knobs[k] for k in table.knobs_of(name)]
        if not knobs:
            raise TableError(f"no selector {key}")
        words = text.split()
        if len(knobs) == 1:
            words = [text]
        elif len(words) != len(knobs):
            words = list("".join(words))
        for knob, word in zip(knobs, words, strict=True):
            if word != "_":
                out[knob.name] = UNREAD if word == UNREAD else knob.read(word)
    return out


def stand(table: OracleTable, setting: Setting, facts: Facts, name: str) -> str | None:
    """Where a knob stands: as typed (`?` unread), else set from its fact, else as delivered, else None."""
    typed = setting.get(name)
    if typed is not None:
        return typed
    knob = table.knobs[name]
    if knob.declares:
        fact = told_by_fact(table, facts, knob)
        if fact is not None:
            return fact
    models: Sequence[str] = table.models
    if facts.model is not None:
        models = [same(facts.model, table.models)]
    return knob.as_delivered(models)


def told_by_fact(table: OracleTable, facts: Facts, knob: Knob) -> str | None:
    """The position that a fact asks of a declaring selector, or None."""
    if not knob.declares:
        return None
    text = facts.model if knob.declares == "model" else installed(table, facts, knob.declares)
    if text is None:
        return None
    for position in knob.positions:
        if knob.tells(position) == text:
            return position
        try:
            if number(position) == number(text):
                return position
        except TableError:
            continue
    try:
        return knob.read(text)
    except TableError:
        return None


def reads(
    table: OracleTable,
    call: str,
    stage: str | None,
    *,
    heat: bool = False,
    delays: bool = False,
    strict: bool = False,
    sharing: bool = True,
    told: Mapping[str, str | None] = MappingProxyType({}),
) -> frozenset[str]:
    """Names of knobs and facts that a call's airflow reads, in one stage or in all (stage None); strict: its heat steps
    only where the airflow is worked out from a rise. sharing: also what decides whether a lead may share its tap.
    told: facts that are known; a step that they leave out reads nothing."""
    out: set[str] = set()
    done: set[tuple[str, str | None]] = set()

    def name_reads(name: str, call: Call, stage: str | None, by: str = "") -> None:
        if name in table.charts:
            chart = table.charts[name]
            if by:
                name_reads(by, call, stage)
            for part in (*chart.knobs, *(head for head, _ in chart.heads)):
                if part in table.leads:
                    out.update(f"{part}-{lead}" for s, lead in call.lead.items() if stage in (None, s))
                    if sharing:
                        out.update(n for leads, when in table.shares for n in (*leads, *(n for n, _ in when)))
                elif part in table.charts:
                    name_reads(part, call, stage)
                elif not (by and part == letter_of(table, chart)):
                    out.add(part)
            for place, row in enumerate(chart.rows):
                out.update(open_figure(chart, place, n) for n, c in enumerate(row.cells) if c.kind == "either")
        elif name in table.knobs or name in table.facts:
            out.add(name)
        elif name in table.ratings:
            out.add("model")

    def value_reads(value: Value, call: Call, stage: str | None) -> None:
        if value.kind == "stages":
            for key, part in value.stages.items():
                if stage is None or key == stage:
                    value_reads(part, call, stage)
        elif value.kind == "call":
            other = table.calls[value.name]
            if value.stage is not None:
                target: str | None = value.stage
            elif stage is not None:
                target = stage if stage in other.stages else other.stages[-1]
            else:
                target = None if set(call.stages) & set(other.stages) else other.stages[-1]
            call_reads(value.name, target)
        elif value.kind == "name":
            name_reads(value.name, call, stage, value.by)
        elif value.kind == "per":
            out.add(value.name)
        elif value.kind == "per ft":
            out.add(ALTITUDE)
        elif value.kind == "per ton":
            out.update(fact.name for fact in table.facts.values() if fact.gives == "tons")

    def steps_reads(steps: Sequence[Step], call: Call, stage: str | None) -> None:
        for step in steps:
            if any(
                told.get(name) is not None and not runs_on(table, name) and told[name] not in words
                for name, words in step.when
            ):
                continue
            out.update(name for name, _ in step.when)
            value_reads(step.value, call, stage)

    def call_reads(name: str, stage: str | None) -> None:
        if (name, stage) in done:
            return
        done.add((name, stage))
        call = table.calls[name]
        out.update(part for part, _ in call.when)
        steps_reads(call.airflow, call, stage)
        if heat or rise_base(table, call) or (call.heat and not strict):
            steps_reads(call.heat, call, stage)
            out.add("model")
        if delays:
            for value in (*call.delays.values(), *((call.ramp,) if call.ramp else ())):
                value_reads(value, call, stage)
            for chart in window_charts(table, name):
                name_reads(chart, call, stage)

    call_reads(call, stage)
    for knob in table.knobs.values():
        if knob.declares in out or (knob.declares == "model" and "model" in out):
            out.add(knob.name)
    if not table.models:
        out.discard("model")
    out.discard("stage")
    return frozenset(out)


def runs_on(table: OracleTable, name: str) -> bool:
    """Whether lines are drawn along a fact."""
    return name in (STATIC, RATE, ALTITUDE) or (name in table.facts and not table.facts[name].values)


def letter_of(table: OracleTable, chart: Chart) -> str:
    """The fact of a chart that stands for a letter: the one with words for its values."""
    return next(n for n in chart.knobs if n in table.facts and table.facts[n].values)


def open_figure(chart: Chart, row: int, cell: int) -> str:
    """The name of a figure that the page leaves open, as if it were a fact."""
    return f"figure {cell + 1} of row {row + 1} of {chart.name}"


def rise_base(table: OracleTable, call: Call) -> bool:
    for step in call.airflow:
        if step.verb == "temperature rise":
            return True
        if step.verb == "use" and step.value.kind == "name":
            gives = given_by(table, step.value.name)
            if "temperature rise" in gives and "airflow" not in gives:
                return True
    return False


def given_by(table: OracleTable, name: str) -> tuple[str, ...]:
    if name in table.charts:
        return table.charts[name].gives
    if name in table.knobs:
        return (table.knobs[name].gives or "",)
    if name in table.facts:
        return (table.facts[name].gives or "",)
    return (name,)


def window_charts(table: OracleTable, call: str) -> list[str]:
    """Charts of least or most airflow that no step uses: windows of the calls they name, else of every call."""
    used: set[str] = set()

    def gather(value: Value) -> None:
        used.add(value.name)
        for part in value.stages.values():
            gather(part)

    for other in table.calls.values():
        for step in (*other.airflow, *other.heat):
            gather(step.value)
    out = []
    for chart in table.charts.values():
        if chart.name in used or not set(chart.gives) & {"least airflow", "most airflow"}:
            continue
        words = f" {chart.name} {chart.note} ".casefold()
        named = [c for c in sorted(table.calls, key=len, reverse=True) if f" {c.casefold()} " in words]
        longest = [c for c in named if not any(c != d and c in d for d in named)]
        if not named or call in longest:
            out.append(chart.name)
    return out


# One completion


def in_range(at: Fraction, text: str) -> bool:
    """`up to 0.5`, `at least 0.2`, `above 0.5`, `below 0.2`, `0.2 to 0.5`, `0.5`."""
    for word, test in (
        ("up to ", at.__le__),
        ("at least ", at.__ge__),
        ("above ", at.__gt__),
        ("below ", at.__lt__),
    ):
        if text.startswith(word):
            return bool(test(number(text.removeprefix(word))))
    low, _, high = text.partition(" to ")
    return number(low) <= at <= number(high or low)


def known_false(case: Case, only: Sequence[tuple[str, tuple[str, ...]]], call: Call, stage: str) -> bool:
    """Whether a condition of a figure, chart or unit is known not to hold; what isn't known leaves the figure."""
    for name, words in only:
        if runs_on(case.table, name):
            known = case.number_of(name, call.name, stage) is not None
        elif name in case.table.knobs:
            known = case.positions.get(name) is not None
        else:
            known = (case.board_model() if name == "model" else case.fact(name)) is not None
        if known and not holds(case, ((name, words),), stage, call.name):
            return True
    return False


def holds(case: Case, when: Sequence[tuple[str, tuple[str, ...]]], stage: str, call: str = "") -> bool:
    for name, words in when:
        if runs_on(case.table, name):
            at = case.number_of(name, call, stage)
            if at is None or not in_range(at, words[0]):
                return False
        elif name in case.table.knobs:
            if case.positions.get(name) not in words:
                return False
        elif name == "model":
            if case.board_model() not in words:
                return False
        elif name == "stage":
            if stage not in words:
                return False
        elif case.board_fact(name) not in words:
            return False
    return True


def lead_position(case: Case, bank: str, call: Call, stage: str) -> Read:
    """The tap that the call's lead is on, or a no."""
    lead = call.lead.get(stage)
    if lead is None:
        return NOT_KNOWN
    own = f"{bank}-{lead}"
    position = case.positions.get(own)
    if position is None:
        return NOT_KNOWN
    if position == PARKED:
        return DOES_NOT_RUN
    for other in case.table.knobs_of(bank):
        if (
            other != own
            and case.positions.get(other) == position
            and not may_share(case.table, case.positions, own, other)
        ):
            return NOT_USABLE
    return position


def may_share(table: OracleTable, positions: Mapping[str, str | None], one: str, other: str) -> bool:
    """Whether the page lets two leads stand on one tap as the board stands."""
    return any(
        {one, other} <= leads and all(positions.get(n) in words for n, words in when) for leads, when in table.shares
    )


def row_matches(table: OracleTable, chart: Chart, row: Row, positions: Sequence[str | None]) -> bool:
    """`-` is any position; off its pins is one only of a jumper of which some row says so."""
    return all(
        p in (OTHERS, q)
        or (
            p == "-"
            and q not in (None, UNREAD, PARKED)
            and (q != OFF_PINS or name in table.leads or off_pins_row(table, name))
        )
        for name, p, q in zip(chart.knobs, row.pattern, positions, strict=True)
    )


def label_read(case: Case, chart: Chart, call: Call, stage: str) -> Read:
    """The letter that a chart of labels gives; `none`: the call does not run."""
    read = cell_read(chart_cell(case, chart, call, stage, "label"))
    return DOES_NOT_RUN if read == NONE else read


def chart_cell(
    case: Case,
    chart: Chart,
    call: Call,
    stage: str,
    quantity: str,
    override: Mapping[str, str] | None = None,
    by: str = "",
) -> Cell | str:
    """The cell a chart has for a quantity (interpolated as a figure), or a no, or SKIP for a stage without column.

    `by`: the chart of labels that it goes by."""
    if known_false(case, (*case.table.only, *chart.only), call, stage):
        return OUTSIDE_CHART
    positions: list[str] = []
    along = None
    for name in chart.knobs:
        if runs_on(case.table, name):
            along = case.number_of(name, call.name, stage)
            if along is None:
                return NOT_KNOWN
            positions.append("")
            continue
        if name in case.table.charts or (by and name == letter_of(case.table, chart)):
            letter = label_read(case, case.table.charts[name if name in case.table.charts else by], call, stage)
            if letter in NOES:
                return str(letter)
            positions.append(str(letter))
            continue
        if name in case.table.facts:
            word = case.board_fact(name)
            if word is None:
                return NOT_KNOWN
            positions.append(word)
            continue
        if name in case.table.leads:
            found = lead_position(case, name, call, stage)
            if found in NOES:
                return str(found)
            positions.append(str(found))
            continue
        position = (override or {}).get(name) or case.positions.get(name)
        if position is None:
            return NOT_KNOWN
        if position in case.table.knobs[name].unused or not there(case, name, position):
            return NOT_USABLE
        positions.append(position)
    if along is not None:
        return on_rows(case, chart, call, stage, quantity, override, positions, along)
    for _ in range(len(chart.rows) + 1):
        for row in sorted(chart.rows, key=lambda row: OTHERS in row.pattern):
            if row_matches(case.table, chart, row, positions):
                break
        else:
            return OUTSIDE_CHART
        case.hits.append((chart.name, chart.rows.index(row), row.kind))
        if row.kind != "as":
            break
        positions = [q if p == "-" else p for p, q in zip(row.like, positions, strict=True)]
    else:
        raise TableError(f"{chart.name}: `as` leads in a circle")
    return row_cell(case, chart, row, call, stage, quantity, override)


def there(case: Case, name: str, position: str) -> bool:
    """Whether the model has the position at all, where they differ."""
    fits = case.table.knobs[name].fits
    model = case.board_model()
    return not fits or model is None or position in fits[model]


def on_rows(
    case: Case,
    chart: Chart,
    call: Call,
    stage: str,
    quantity: str,
    override: Mapping[str, str] | None,
    positions: Sequence[str],
    at: Fraction,
) -> Cell | str:
    """A chart with a number down the side: the row printed for it, or the straight line between two."""
    place = next(i for i, name in enumerate(chart.knobs) if runs_on(case.table, name))
    own = {}
    for row in chart.rows:
        wanted = [row.pattern[place] if i == place else p for i, p in enumerate(positions)]
        if row_matches(case.table, chart, row, wanted):
            own[number(row.pattern[place])] = row
    order = sorted(own)
    for low, high in itertools.pairwise([*order, *order[-1:]]):
        if low <= at <= high:
            ends = [(low, Fraction(1))] if at == low else [(high, Fraction(1))]
            if low < at < high:
                part = (at - low) / (high - low)
                ends = [(low, 1 - part), (high, part)]
            total = Fraction(0)
            for end, weight in ends:
                read = row_cell(case, chart, own[end], call, stage, quantity, override)
                if isinstance(read, str) or read.kind != "figure":
                    return read
                total += read.value * weight
            return Cell("figure", total)
    return OUTSIDE_CHART


def row_cell(
    case: Case, chart: Chart, row: Row, call: Call, stage: str, quantity: str, override: Mapping[str, str] | None
) -> Cell | str:
    """The cell of a row under the heads that are read, interpolated as a figure."""
    if row.kind == "refused":
        return NOT_USABLE
    places: list[list[tuple[int, Fraction]]] = []
    for head, listed in chart.heads:
        place = head_places(case, head, listed, call, stage, override)
        if isinstance(place, str):
            return place
        places.append(place)
    column = chart.gives.index(quantity) if quantity in chart.gives else 0
    cells: list[tuple[Cell, Fraction]] = []
    for combination in itertools.product(*places):
        index = 0
        weight = Fraction(1)
        for (place_, part), (_, listed) in zip(combination, chart.heads, strict=True):
            index = index * len(listed) + place_
            weight *= part
        at = index * len(chart.gives) + column
        cell = row.cells[at]
        if any(known_false(case, chart.footnotes[mark], call, stage) for mark in cell.marks):
            return OUTSIDE_CHART
        if cell.kind == "either":
            which = case.told.get(open_figure(chart, chart.rows.index(row), at))
            cell = Cell("unclear") if which is None else Cell("figure", cell.figures[int(which)])
        cells.append((cell, weight))
    if len(cells) == 1:
        return cells[0][0]
    kinds = {cell.kind for cell, _ in cells}
    if kinds == {"figure"}:
        return Cell("figure", sum((cell.value * weight for cell, weight in cells), Fraction(0)))
    if kinds == {"none"}:
        return Cell("none")
    if len({cell for cell, _ in cells}) == 1:
        return cells[0][0]
    for kind in ("refused", "blank", "unclear"):
        if kind in kinds:
            return Cell(kind)
    return Cell("blank")


def head_places(
    case: Case, head: str, listed: Sequence[str], call: Call, stage: str, override: Mapping[str, str] | None = None
) -> list[tuple[int, Fraction]] | str:
    """Which columns are read under a head, each with its weight."""
    word: str | None
    if head in (STATIC, RATE) or (head in case.table.facts and not case.table.facts[head].values):
        if head == STATIC:
            at = case.static_for(call.name, stage)
        elif head == RATE:
            told = case.told.get(RATE)
            at = told if isinstance(told, Fraction) else case.facts.rate
        else:
            told = case.told.get(head)
            text = installed(case.table, case.facts, head)
            at = number(text) if text is not None else (told if isinstance(told, Fraction) else None)
        if at is None:
            return NOT_KNOWN
        printed = [number(w.removesuffix("%")) for w in listed]
        if at in printed:
            return [(printed.index(at), Fraction(1))]
        order = sorted(range(len(printed)), key=lambda i: printed[i])
        for low, high in itertools.pairwise(order):
            if printed[low] < at < printed[high]:
                part = (at - printed[low]) / (printed[high] - printed[low])
                return [(low, 1 - part), (high, part)]
        return OUTSIDE_CHART
    if head == "stage":
        return [(listed.index(stage), Fraction(1))] if stage in listed else SKIP
    if head in case.table.knobs:
        word = (override or {}).get(head) or case.positions.get(head)
        if word in case.table.knobs[head].unused:
            return NOT_USABLE
    elif head == "model":
        word = case.board_model()
    else:
        word = case.board_fact(head)
    if word is None:
        return NOT_KNOWN
    return [(listed.index(word), Fraction(1))] if word in listed else OUTSIDE_CHART


def cell_read(cell: Cell | str) -> Read:
    if isinstance(cell, str):
        return OUTSIDE_CHART if cell == SKIP else cell
    if cell.kind == "figure":
        return cell.value
    if cell.kind == "none":
        return NONE
    if cell.kind == "name":
        return cell.text
    return {"blank": OUTSIDE_CHART, "unclear": UNREADABLE, "refused": NOT_USABLE}[cell.kind]


def position_figure(table: OracleTable, text: str, quantity: str) -> Read:
    if text == NONE:
        return NONE
    try:
        return figure(text, quantity, table.units)
    except TableError:
        return OUTSIDE_CHART


def name_read(
    case: Case,
    name: str,
    call: Call,
    stage: str,
    quantity: str,
    override: Mapping[str, str] | None = None,
    by: str = "",
) -> Read:
    """A chart, a selector or fact with gives, or a rating."""
    table = case.table
    if name in table.charts:
        return cell_read(chart_cell(case, table.charts[name], call, stage, quantity, override, by))
    if name in table.knobs:
        knob = table.knobs[name]
        position = (override or {}).get(name) or case.positions.get(name)
        if position is None:
            return NOT_KNOWN
        if position in knob.unused:
            return NOT_USABLE
        if position == OFF_PINS:
            return OUTSIDE_CHART
        return position_figure(table, position, knob.gives or quantity)
    if name in table.facts:
        fact = table.facts[name]
        if not fact.values:
            told = case.told.get(name)
            if isinstance(told, Fraction):
                return told
        word = case.fact(name)
        if word is None:
            return NOT_KNOWN
        read = position_figure(table, word, fact.gives or quantity)
        if isinstance(read, Fraction) and fact.low is not None and fact.high is not None:
            return read if fact.low <= read <= fact.high else OUTSIDE_CHART
        return read
    rated = rating(case, name, stage)
    if rated is None:
        return NOT_KNOWN
    return figure(rated[0], name, table.units)


def value_read(
    case: Case, value: Value, call: Call, stage: str, quantity: str, override: Mapping[str, str] | None = None
) -> Read:
    """A step's value: a figure, `none`, `skip`, or a no."""
    if value.kind == "stages":
        part = value.stages.get(stage)
        return SKIP if part is None else value_read(case, part, call, stage, quantity, override)
    if value.kind == "figure":
        return value.figure
    if value.kind == "none":
        return NONE
    if value.kind == "call":
        other = case.table.calls[value.name]
        target = value.stage or (stage if stage in other.stages else other.stages[-1])
        return run_stage(case, value.name, target, taken=True)
    if value.kind == "per":
        if value.name in case.table.knobs:
            own = case.positions.get(value.name)
            return NOT_KNOWN if own is None else value.figure * number(own)
        at = case.number_of(value.name, call.name, stage)
        return NOT_KNOWN if at is None else value.figure * at
    if value.kind == "per ft":
        at = case.number_of(ALTITUDE, call.name, stage)
        if at is None:
            return NOT_KNOWN
        return OUTSIDE_CHART if at > value.top else value.figure * max(at - value.above, Fraction(0)) / value.each
    if value.kind == "per ton":
        tons = next((case.fact(f.name) for f in case.table.facts.values() if f.gives == "tons"), None)
        return NOT_KNOWN if tons is None else value.figure * number(tons)
    return name_read(case, value.name, call, stage, quantity, override, value.by)


def to_cfm(table: OracleTable) -> Fraction:
    """Times this, an airflow of the file is in cfm."""
    return CFM[table.units.get("airflow", "cfm")]


def rise_from(table: OracleTable, heat: Fraction, airflow: Fraction, factor: Fraction = FACTOR) -> Fraction:
    """Temperature rise in the unit of the file; heat in Btu/h, airflow in the unit of the file."""
    return heat / (factor * airflow * to_cfm(table)) / DEGREE[table.units.get("temperature", "F")]


def run_stage(case: Case, name: str, stage: str, *, taken: bool = False) -> Read:
    """The final airflow of a stage in one completion, or its no (the first that holds). taken: as another call takes
    it, whatever its ramp and delays are."""
    call = case.table.calls[name]
    if (name, stage) in case.busy:
        raise TableError(f"{name}: calls go round in a circle")
    case.busy.append((name, stage))
    noes: list[str] = []
    if name in case.facts.absent or not holds(case, call.when, stage):
        noes.append(DOES_NOT_RUN)
        case.busy.pop()
        return DOES_NOT_RUN
    if call.heat:
        its_heat = delivered_heat(case, call, stage)
        if its_heat == NONE:
            noes.append(DOES_NOT_RUN)
        elif its_heat in REFUSED:  # a row not usable or blank in any chart that a call reads, heat included
            noes.append(str(its_heat))
    x: Fraction | None = None
    bases = 0
    base_noes = 0
    product: dict[str, Fraction] = {}
    for step in call.airflow:
        if not holds(case, step.when, stage, name):
            continue
        for quantity in step_quantities(case.table, step):
            read = value_read(case, step.value, call, stage, quantity)
            if read == SKIP:
                continue
            is_base = quantity in ("airflow", "call", "tons", "airflow per ton", "temperature rise")
            if quantity in ("at least", "least airflow", "at most", "most airflow") and (
                read == NONE or (read == DOES_NOT_RUN and step.value.kind == "call")
            ):
                continue
            if read == NONE:
                if quantity in ("trim", "reduction", "offset"):
                    continue
                read = DOES_NOT_RUN
            if not isinstance(read, Fraction):
                noes.append(read)
                base_noes += is_base
                continue
            if quantity in ("airflow", "call"):
                x = read
                bases += 1
            elif quantity in ("tons", "airflow per ton"):
                product[quantity] = read
                if len(product) == 2 and x is None:
                    x = product["tons"] * product["airflow per ton"]
                    bases += 1
            elif quantity == "temperature rise":
                heat = delivered_heat(case, call, base_stage(case.table, step, call, stage))
                if isinstance(heat, Fraction):
                    degrees = read * DEGREE[case.table.units.get("temperature", "F")]
                    x = heat / (FACTOR * degrees) / to_cfm(case.table)
                    bases += 1
                else:
                    noes.append(DOES_NOT_RUN if heat == NONE else heat)
                    base_noes += 1
            elif x is not None:
                x = apply(case, quantity, x, read)
    if bases + base_noes > 1:
        noes.append(UNREADABLE)
    if bases + base_noes == 0 and not noes:
        noes.append(OUTSIDE_CHART)
    noes.extend(side_refusals(case, call, stage, delays=not taken))
    case.busy.pop()
    for code in NOES:
        if code in noes:
            return code
    if x is None:
        raise TableError(f"{name}: no airflow")
    return x


def step_quantities(table: OracleTable, step: Step) -> list[str]:
    """What a step acts as. A rise printed beside an airflow is only a check."""
    if step.verb != "use":
        return [step.verb]
    if step.value.kind == "call":
        return ["call"]
    gives = given_by(table, step.value.name)
    told = ("watts", "speed", "label", "ramp", "seconds", "airflow in L/s")
    return [q for q in gives if q not in told and not (q == "temperature rise" and "airflow" in gives)]


def base_stage(table: OracleTable, step: Step, call: Call, stage: str) -> str:
    """Whose heat a rise is taken from: the last stage's, or each one's where stage is a column."""
    if step.value.kind == "stages":
        return stage
    if step.value.kind == "name" and step.value.name in table.charts:
        heads = [head for head, _ in table.charts[step.value.name].heads]
        if "stage" in heads:
            return stage
    return call.stages[-1]


def apply(case: Case, quantity: str, x: Fraction, v: Fraction) -> Fraction:
    if quantity == "trim":
        return x * (1 + v / 100)
    if quantity == "share":
        return x * v / 100
    if quantity == "reduction":
        return x * (1 - v / 100)
    if quantity in ("offset", "plus"):
        return x + v
    if quantity == "minus":
        return x - v
    if quantity in ("at least", "least airflow"):
        case.trace.append(x - v)
        return max(x, v)
    if quantity in ("at most", "most airflow"):
        case.trace.append(x - v)
        return min(x, v)
    if quantity == "round":
        return v * ((2 * x / v + 1) // 2) if x >= 0 else -v * ((-2 * x / v + 1) // 2)
    if quantity == "round up":
        return v * -((-x / v) // 1)
    if quantity == "round down":
        return v * ((x / v) // 1)
    raise TableError(f"{quantity} is no step of an airflow")


def side_refusals(case: Case, call: Call, stage: str, *, delays: bool) -> list[str]:
    """A row not usable or blank in a limit, ramp or delay chart refuses the stage."""
    out = []
    for value in (*call.delays.values(), *((call.ramp,) if call.ramp else ())) if delays else ():
        code = side_read(case, value, call, stage)
        if code in REFUSED:
            out.append(str(code))
    for chart in window_charts(case.table, call.name):
        for quantity in case.table.charts[chart].gives:
            cell = chart_cell(case, case.table.charts[chart], call, stage, quantity)
            if cell != SKIP and cell_read(cell) in REFUSED:
                out.append(str(cell_read(cell)))
    return out


def side_read(case: Case, value: Value, call: Call, stage: str) -> Read:
    """A delay in seconds, a ramp's name, SKIP (none for this stage) or a no."""
    if value.kind == "stages":
        return side_read(case, value.stages[stage], call, stage) if stage in value.stages else SKIP
    if value.kind == "figure":
        return value.figure
    if value.kind == "ramp":
        return value.name
    if value.kind == "name" and value.name in case.table.charts:
        cell = chart_cell(case, case.table.charts[value.name], call, stage, "seconds")
        if cell == SKIP:
            return SKIP
        read = cell_read(cell)
        return Fraction(0) if read == NONE else read
    return value_read(case, value, call, stage, "seconds")


# Heat


def rating(case: Case, name: str, stage: str) -> tuple[str, bool] | None:
    """A rating's text for the plate's model and the stage, and whether it is printed by stage."""
    body: Any = case.table.ratings.get(name)
    staged = False
    while isinstance(body, dict):
        keys = list(body)
        model = case.plate_model()
        if len(keys) == 1 and keys[0] in case.table.knobs:
            body = body[keys[0]].get(case.positions.get(keys[0]))
            continue
        if set(keys) & set(case.table.models):
            if model is None:
                case.wants.add("model")
                return None
            body = body.get(model)
        else:
            staged = True
            body = body.get(stage)
        if body is None:
            return None
    return None if body is None else (str(body), staged)


def is_heating(table: OracleTable, call: Call) -> bool:
    """Whether a call delivers heat: it says so, starts from a rise, or the plate has heat and its terminals hold a W
    and no Y. A rise printed beside an airflow is a check, never an input."""
    if call.heat or rise_base(table, call):
        return True
    if not {"heat input", "heat output"} & set(table.ratings):
        return False
    words = frozenset().union(*call.terminals.values()) if call.terminals else frozenset()
    return any(w.upper().startswith("W") for w in words) and not any(w.upper().startswith("Y") for w in words)


def delivered_heat(case: Case, call: Call, stage: str) -> Read:
    """Delivered heat in Btu/h, `none` where there is no such equipment, or a no (wants says what is missing)."""
    table = case.table
    unit = BTU[table.units.get("heat", "Btu/h")]
    heat: Fraction | None = None
    kind = ""
    staged = False
    override = fact_positions(case)
    second, apart = Fraction(0), False
    for step in call.heat:
        if not holds(case, step.when, stage, call.name):
            continue
        for quantity in step_quantities(table, step):
            verb = "heat input" if quantity == "efficiency" else quantity
            if verb == "plus":  # another heater, with the volts that it is rated at
                other = heater(case, step.value.name, override)
                if not isinstance(other, Fraction):
                    if other == NONE:
                        continue
                    return other
                second += other
                continue
            if step.value.name in rated_apart(table):
                first = heater(case, step.value.name, override)
                if not isinstance(first, Fraction):
                    return first
                heat, kind, apart = first, "heater power", True
                continue
            read = value_read(case, step.value, call, stage, verb, override)
            if read == SKIP:
                continue
            if verb in ("heat input", "heat output", "heater power", "nozzle rate"):
                if not isinstance(read, Fraction):
                    return read
                heat, kind = read, verb
                staged = step.value.kind == "stages" or printed_by_stage(table, step.value)
                if verb in ("heat input", "heat output"):
                    heat *= unit
            elif isinstance(read, Fraction) and heat is not None:
                heat = apply(case, verb, heat, read * unit if verb in ("offset", "at least", "at most") else read)
            elif read != NONE:
                return read
    if heat is None:
        for kind in ("heat output", "heat input"):
            if kind == "heat input" and case.facts.heat_input is not None:
                heat = case.facts.heat_input * unit
                break
            found = rating(case, kind, stage)
            if found is not None:
                heat = figure(found[0], kind, table.units) * unit
                staged = found[1]
                break
        else:
            case.wants.add("heat input")
            return NOT_KNOWN
    if not staged:
        heat *= call.capacity.get(stage, Fraction(1))
    if kind in ("heat input", "nozzle rate"):
        found = rating(case, "efficiency", stage)
        if found is None:
            case.wants.add("efficiency")
            return NOT_KNOWN
        heat *= figure(found[0], "efficiency", table.units) / 100
    if kind == "nozzle rate":
        per_gallon = rating(case, "heat per gallon", stage)
        rated = rating(case, "nozzle pressure", stage)
        pump = rating(case, "pump pressure", stage)
        if per_gallon is None:
            case.wants.add("heat per gallon")
            return NOT_KNOWN
        rated_at = figure(rated[0], "nozzle pressure", table.units) if rated else Fraction(100)
        pumped = case.facts.pump_pressure
        if pumped is None:
            if pump is None:
                case.wants.add("pump pressure")
                return NOT_KNOWN
            pumped = figure(pump[0], "pump pressure", table.units)
        heat *= root(pumped / rated_at) * figure(per_gallon[0], "heat per gallon", table.units)
    if kind == "heater power" and apart:
        return heat * KILOWATT + second * KILOWATT
    if kind == "heater power":
        heat *= KILOWATT
        rated_volts = rating(case, "heater voltage", stage)
        if rated_volts is not None:
            if case.facts.volts is None:
                case.wants.add("supply volts")
                return NOT_KNOWN
            heat *= (case.facts.volts / figure(rated_volts[0], "heater voltage", table.units)) ** 2
    told = case.told.get(RATE)
    rate = told if isinstance(told, Fraction) else case.facts.rate
    if kind == "heater power":  # what fires is a burner
        return heat
    if rate is not None:
        heat *= rate / 100
    elif RATE in reads(table, call.name, stage):
        case.wants.add(RATE)
        return NOT_KNOWN
    return heat


def rated_apart(table: OracleTable) -> Mapping[str, Any]:
    """The volts of heaters that are each rated at their own."""
    rated = table.ratings.get("heater voltage")
    return rated if isinstance(rated, dict) and set(rated) <= set(table.knobs) else {}


def heater(case: Case, name: str, override: Mapping[str, str]) -> Read:
    """The kW of a heater at the supply's volts."""
    position = override.get(name) or case.positions.get(name)
    if position is None:
        return NOT_KNOWN
    if position == NONE:
        return NONE
    rated = rated_apart(case.table).get(name)
    if rated is None:
        return number(position)
    if case.facts.volts is None:
        case.wants.add("supply volts")
        return NOT_KNOWN
    return number(position) * (case.facts.volts / figure(str(rated), "heater voltage", case.table.units)) ** 2


def printed_by_stage(table: OracleTable, value: Value) -> bool:
    return (
        value.kind == "name"
        and value.name in table.charts
        and any(head == "stage" for head, _ in table.charts[value.name].heads)
    )


def fact_positions(case: Case) -> dict[str, str]:
    """What is installed, as positions: it replaces what a position is for."""
    out = {}
    for knob in case.table.knobs.values():
        told = told_by_fact(case.table, case.facts, knob)
        if told is not None:
            out[knob.name] = told
    return out


def root(value: Fraction) -> Fraction:
    """A square root to 30 significant digits."""
    with localcontext() as context:
        context.prec = 60
        exact = (Decimal(value.numerator) / Decimal(value.denominator)).sqrt()
        context.prec = 30
        return Fraction(+exact)


# All completions


def printed_points(table: OracleTable, names: frozenset[str], fact: str) -> list[Fraction]:
    """Every printed figure of a head that lines are drawn along, in charts whose knobs are all read."""
    points: set[Fraction] = set()
    for chart in table.charts.values():
        for head, listed in chart.heads:
            if head == fact and fact in names:
                points.update(number(w.removesuffix("%")) for w in listed)
        for place, name in enumerate(chart.knobs):
            if name == fact and fact in names:
                points.update(
                    number(row.pattern[place]) for row in chart.rows if row.pattern[place] not in ("-", OTHERS)
                )
    if fact == ALTITUDE:
        values = [s.value for c in table.calls.values() for s in c.airflow if s.value.kind == "per ft"]
        points.update(p for v in values for p in (Fraction(0), v.above, v.top))
    if fact in table.facts:
        low, high = table.facts[fact].low, table.facts[fact].high
        points.update(p for p in (low, high) if p is not None)
    return sorted(points)


def calls_read(table: OracleTable, call: str, stage: str) -> set[tuple[str, str]]:
    """The stages a stage takes airflow from, itself included."""
    out: set[tuple[str, str]] = set()

    def follow(name: str, stage: str) -> None:
        if (name, stage) in out:
            return
        out.add((name, stage))

        def value_calls(value: Value) -> None:
            if value.kind == "stages" and stage in value.stages:
                value_calls(value.stages[stage])
            elif value.kind == "call":
                other = table.calls[value.name]
                target = value.stage or (stage if stage in other.stages else other.stages[-1])
                follow(value.name, target)

        for step in table.calls[name].airflow:
            value_calls(step.value)

    follow(call, stage)
    return out


def unknowns(
    table: OracleTable, setting: Setting, facts: Facts, call: str, stage: str
) -> dict[str, list[str | Fraction]]:
    """What this stage reads and isn't told: its possible values, in order."""
    names = reads(table, call, stage, heat=is_heating(table, table.calls[call]), delays=True)
    out: dict[str, list[str | Fraction]] = {}
    for name, knob in table.knobs.items():
        if name in names:
            position = stand(table, setting, facts, name)
            if position is None or position == UNREAD:
                out[name] = list(every_position(table, knob, seen=position == UNREAD))
    told_model = facts.model is not None or any(k.declares == "model" and k.name in names for k in table.knobs.values())
    if "model" in names and table.models and not told_model:
        out["model"] = list(table.models)
    if STATIC in names:
        sources = [given_static(facts, c, s) for c, s in calls_read(table, call, stage)]
        if None in sources:
            out[STATIC] = list(printed_points(table, names, STATIC))
    if ALTITUDE in names and installed(table, facts, ALTITUDE) is None:
        out[ALTITUDE] = list(printed_points(table, names, ALTITUDE))
    for chart in table.charts.values():
        for row, printed in enumerate(chart.rows):
            for at, cell in enumerate(printed.cells):
                if cell.kind == "either" and open_figure(chart, row, at) in names:
                    out[open_figure(chart, row, at)] = [str(n) for n in range(len(cell.figures))]
    if RATE in names and facts.rate is None:
        out[RATE] = list(printed_points(table, names, RATE))
    for name, fact in table.facts.items():
        if name in names and installed(table, facts, name) is None:
            if any(k.declares == name for k in table.knobs.values()):
                continue
            out[name] = list(fact.values) if fact.values else list(printed_points(table, names, name))
    return out


def every_position(table: OracleTable, knob: Knob, *, seen: bool) -> list[str]:
    """Positions a mark may have. Off its pins is a state one sees: only a mark not given may have it."""
    out = list(knob.positions)
    if not seen and knob.kind == "jumper" and off_pins_row(table, knob.name):
        out.append(OFF_PINS)
    return out


def off_pins_row(table: OracleTable, name: str) -> bool:
    """Whether some row says `off pins` of this jumper."""
    for chart in table.charts.values():
        if name in chart.knobs:
            place = chart.knobs.index(name)
            if any(row.pattern[place] == OFF_PINS for row in chart.rows):
                return True
        if any(head == name and OFF_PINS in listed for head, listed in chart.heads):
            return True
    return False


def completions(
    table: OracleTable, setting: Setting, facts: Facts, call: str, stage: str
) -> Iterator[tuple[dict[str, str | Fraction], Case]]:
    """Every way to fill in what isn't told; two leads are never filled in on one tap."""
    open_ = unknowns(table, setting, facts, call, stage)
    standing: dict[str, str | None] = {}
    for name in table.knobs:
        position = stand(table, setting, facts, name)
        standing[name] = None if position == UNREAD else position
    names = list(open_)
    for values in itertools.product(*open_.values()):
        filled: dict[str, str | Fraction] = dict(zip(names, values, strict=True))
        positions = dict(standing)
        told: dict[str, str | Fraction] = {}
        for name, value in filled.items():
            if name in table.knobs:
                positions[name] = str(value)
            else:
                told[name] = value
        if any(collides(table, positions, name) for name in names if name in table.knobs):
            continue
        yield filled, Case(table, facts, positions, told)


def collides(table: OracleTable, positions: Mapping[str, str | None], name: str) -> bool:
    knob = table.knobs[name]
    if knob.kind != "taps" or positions[name] in (None, PARKED):
        return False
    return any(
        other.bank == knob.bank
        and other.name != name
        and positions.get(other.name) == positions[name]
        and not may_share(table, positions, name, other.name)
        for other in table.knobs.values()
    )


def outcome_of(
    table: OracleTable, setting: Setting, facts: Facts, cases: Sequence[tuple[Mapping[str, str | Fraction], Read]]
) -> Outcome:
    results = {read for _, read in cases}
    airflows = tuple(sorted(r for r in results if isinstance(r, Fraction)))
    noes = frozenset(r for r in results if isinstance(r, str))
    if len(results) == 1:
        code = AIRFLOW if airflows else next(iter(noes))
        return Outcome(code, airflows, noes, cases=tuple(cases))
    matter = what_matters(cases)
    seen = [
        m for m in matter if m.startswith("figure ") or (m in table.knobs and stand(table, setting, facts, m) == UNREAD)
    ]
    ranged = any(runs_on(table, m) for m in matter)
    return Outcome(UNREADABLE if seen else NOT_KNOWN, airflows, noes, matter, ranged, tuple(cases))


def what_matters(cases: Sequence[tuple[Mapping[str, str | Fraction], Any]]) -> tuple[str, ...]:
    """Names whose value alone changes the result somewhere."""
    out = []
    for name in cases[0][0] if cases else ():
        groups: dict[tuple[tuple[str, str | Fraction], ...], set[Any]] = {}
        for filled, result in cases:
            key = tuple((n, v) for n, v in filled.items() if n != name)
            groups.setdefault(key, set()).add(result)
        if any(len(g) > 1 for g in groups.values()):
            out.append(name)
    return tuple(out) or tuple(cases[0][0] if cases else ())


def evaluate_stage(table: OracleTable, setting: Setting, facts: Facts, call: str, stage: str) -> Outcome:
    cases = [(filled, run_stage(case, call, stage)) for filled, case in completions(table, setting, facts, call, stage)]
    return outcome_of(table, setting, facts, cases)


def evaluate(table: OracleTable, setting: Setting, facts: Facts) -> dict[str, dict[str, Outcome]]:
    """For every call and stage (`""` where a call has no stages) how it stands. setting: `marks(table, SW1=...)`."""
    return {
        name: {stage: evaluate_stage(table, setting, facts, name, stage) for stage in call.stages}
        for name, call in table.calls.items()
    }


def timing(table: OracleTable, setting: Setting, facts: Facts, call: str, stage: str, what: str) -> frozenset[Read]:
    """Possible `on delay`, `off delay` (seconds) or `ramp` (its name); empty where the call has none."""
    found = table.calls[call]
    value = found.ramp if what == "ramp" else found.delays.get(what)
    if value is None:
        return frozenset()
    out = {side_read(case, value, found, stage) for _, case in completions(table, setting, facts, call, stage)}
    return frozenset(out - {SKIP})


def heat_of(table: OracleTable, setting: Setting, facts: Facts, call: str, stage: str) -> frozenset[Read]:
    """Possible delivered heat, Btu/h."""
    return frozenset(
        delivered_heat(case, table.calls[call], stage) for _, case in completions(table, setting, facts, call, stage)
    )


# Terminals and ramps


def running(
    table: OracleTable, setting: Setting, facts: Facts, energised: Sequence[str]
) -> tuple[list[tuple[str, str]], Read | None]:
    """Which stages run with these terminals energised and the blower's airflow (None where it isn't one figure)."""
    on = {t.upper() for t in energised}
    outcomes = evaluate(table, setting, facts)
    matches: list[tuple[str, str, frozenset[str]]] = []
    for name, call in table.calls.items():
        for stage in call.stages:
            needed = frozenset(t.upper() for t in call.terminals.get(stage, frozenset()))
            if needed and needed <= on and outcomes[name][stage].code != DOES_NOT_RUN:
                matches.append((name, stage, needed))
    kept = [m for m in matches if not any(m[2] < other[2] for other in matches)]
    stages = [(name, stage) for name, stage, _ in kept]
    if not stages:
        return stages, None
    winner = stages[0]
    for rival in stages[1:]:
        rule = together_rule(table, winner[0], rival[0])
        if rule is None:
            return stages, NOT_KNOWN
        if rule == rival[0]:
            winner = rival
        elif rule == "highest":
            ours, theirs = (outcomes[c][s].airflow for c, s in (winner, rival))
            if ours is None or theirs is None:
                return stages, None
            winner = rival if theirs > ours else winner
    return stages, outcomes[winner[0]][winner[1]].airflow


def together_rule(table: OracleTable, one: str, other: str) -> str | None:
    """`highest` or the name of the call that wins."""
    for holder, partner in ((one, other), (other, one)):
        word = table.calls[holder].together.get(partner)
        if word is not None:
            return {"this": holder, "that": partner}.get(word, word)
    return None


def ramp_shares(text: str) -> tuple[list[tuple[Fraction, Fraction]], list[tuple[Fraction, Fraction]]]:
    """A ramp's parts: (seconds, percent) while coming up, full from then on at the last; and after the call."""
    up: list[tuple[Fraction, Fraction]] = []
    after: list[tuple[Fraction, Fraction]] = []
    for part in text.split(","):
        words = part.split()
        target = up
        if words[0] == "after":
            target = after
            words = words[1:]
        if words[0] == "then":
            words = words[1:]
        seconds = Fraction(-1)
        if "at" in words:
            seconds = number(words[0].removesuffix("s"))
            if words[1] == "min":
                seconds *= 60
            words = words[words.index("at") + 1 :]
        target.append((seconds, number(words[0].removesuffix("%"))))
    return up, after


def ramp_at(text: str, airflow: Fraction, seconds: Fraction) -> Fraction:
    """The airflow so many seconds into the call."""
    start = Fraction(0)
    for length, percent in ramp_shares(text)[0]:
        if length < 0 or seconds < start + length:
            return airflow * percent / 100
        start += length
    return airflow


def ramp_mean(text: str, airflow: Fraction, seconds: Fraction) -> Fraction:
    """The mean airflow of the first so many seconds."""
    total = Fraction(0)
    left = seconds
    for length, percent in ramp_shares(text)[0]:
        part = left if length < 0 else min(left, length)
        total += part * percent / 100
        left -= part
    return airflow * (total + left) / seconds
