"""The checked model of a table: plain frozen values, no reading and no arithmetic."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from fractions import Fraction
from typing import Any, Literal, get_args

from selector.table.model.quantities import CONTINUOUS_FACTS
from selector.table.model.range import Range
from selector.units import BTUH_PER_KW
from selector.value import Struct, field, replace

_ORDINARY = re.compile(r"[A-Z][a-z]+(?:-[a-z]+)*(?![\w-])")
ANY = -1
"""In a row: any position. In a setting: off its pins (see `Part.absent`)."""
ABSENT = -1


class CellWord(Enum):
    """A cell that is a word instead of a figure."""

    BLANK = "no figure printed"
    UNREADABLE = "not legible on the page"
    NONE = "none"


class Either(Struct, frozen=True):
    """A figure of which the page leaves open what it is: `900 or 1100`. Each case is what was chosen, (line, column,
    number) of a printed figure each, and the figure that comes of it; one printed figure is one choice wherever it is
    used."""

    cases: tuple[tuple[frozenset[tuple[int, int, int]], Any], ...]

    @property
    def figures(self) -> tuple[Fraction, ...]:
        """What it may be, rising."""
        return tuple(sorted({value for _, value in self.cases if isinstance(value, Fraction)}))

    @property
    def words(self) -> str:
        """`900 or 1100`."""
        return " or ".join(f"{float(x):g}" for x in self.figures)


def in_each_case(act: Callable[..., Any], *operands: Any) -> Any:
    """What `act` gives of operands that may be Either: one value where all cases agree, else an Either.

    >>> one = Either(((frozenset({(1, 1, 0)}), 2), (frozenset({(1, 1, 1)}), 3)))
    >>> in_each_case(lambda a, b: a - b, one, one), in_each_case(max, one, 3)
    (0, 3)
    """
    ways: list[tuple[frozenset[tuple[int, int, int]], tuple[Any, ...]]] = [(frozenset(), ())]
    for operand in operands:
        cases = operand.cases if isinstance(operand, Either) else ((frozenset(), operand),)
        ways = [
            (chosen | more, (*values, value))
            for chosen, values in ways
            for more, value in cases
            if len({at[:2] for at in chosen | more}) == len(chosen | more)
        ]
    found = tuple((chosen, act(*values)) for chosen, values in ways)
    return found[0][1] if all(value == found[0][1] for _, value in found) else Either(found)


Cell = Fraction | str | CellWord | Either
ABOUT = "about"
"""Stands before a figure that the page gives as a rough one; it counts as printed, and this is told with it."""
NoKind = Literal["does_not_run", "not_usable", "outside_chart", "unreadable", "not_known"]
NOES: tuple[NoKind, ...] = get_args(NoKind)
"""The five codes of a stage without an airflow, in their order: the first that holds is told."""


NO_WORDS: dict[NoKind, str] = {
    "does_not_run": "does not run",
    "not_usable": "not usable",
    "outside_chart": "outside the chart",
    "unreadable": "unreadable",
    "not_known": "not known",
}
"""The code of a no -> its words."""


class No(Struct, frozen=True, kw_only=True):
    """No figure, and why. The kinds are never mixed up.

    does_not_run: the equipment isn't there, a condition is false, the page says none, a lead is parked. not_usable: the
    page says reserved, not used or do not use. outside_chart: beyond the printed range, a blank, no row, off its pins
    without a row. unreadable: a mark or figure that was looked at and can't be read. not_known: a fact or a position
    that nobody gave. `line` is where the table says so (0: nowhere). `either`: what it may be, where a figure is
    printed as one of several. `needs`: the fact or selector that would settle it ("" where none alone would).
    """

    kind: NoKind
    why: str
    line: int = 0
    either: Either | None = None
    needs: str = ""

    @property
    def refused(self) -> bool:
        """True where the page refuses the setting: it must not stand so."""
        return self.kind in ("not_usable", "outside_chart")

    @property
    def words(self) -> str:
        """Which of the five, as people read it: `does not run`, `outside the chart`."""
        return NO_WORDS[self.kind]

    @property
    def rank(self) -> int:
        """Its place among the five: of two that hold, the lower is told."""
        return NOES.index(self.kind)


def figures_of(found: Fraction | No) -> tuple[Fraction, ...]:
    """The figure, or all that it may be; nothing where there is none."""
    return (found,) if isinstance(found, Fraction) else found.either.figures if found.either is not None else ()


class Part(Struct, frozen=True, kw_only=True):
    """What takes one position by itself: one switch of a bank, one lead, or a whole jumper, dial, plug, link or menu.

    `marks` holds every accepted mark (as printed and case-folded). `absent` is the word for being off its pins where no
    row names that.
    `values` are the positions as figures (None for `none`; heat in Btu/h).
    `final` are positions no move leads away from (a cut link); `idle` those the manual calls not used.
    `declares`: the fact of the equipment that it tells the board, position by position in the words of `says`.
    `leave_with`, `unused_with` and `idle_with` hold for one model each: `Table.with_model` settles them; `of_others`
    are then the positions that are printed for other models only.
    `may_be`: the positions that its mark was half read as (`Table.half_read`). `may_cut`: the page means it to be cut
    at set-up.
    """

    index: int
    name: str
    selector: str
    positions: tuple[str, ...]
    marks: Mapping[str, int]
    factory: Mapping[str, int] = field(default_factory=dict)
    leave_at: int | None = None
    unused: bool = False
    absent: str = ""
    values: tuple[Fraction | None, ...] = ()
    final: frozenset[int] = frozenset()
    idle: frozenset[int] = frozenset()
    declares: str = ""
    says: tuple[str, ...] = ()
    note: str = ""
    leave_with: Mapping[str, int] = field(default_factory=dict)
    unused_with: frozenset[str] = frozenset()
    idle_with: Mapping[str, frozenset[int]] = field(default_factory=dict)
    of_others: frozenset[int] = frozenset()
    may_be: tuple[int, ...] = ()
    may_cut: bool = False

    @property
    def open_positions(self) -> Sequence[int]:
        """The positions it may have where its mark isn't read: those it was half read as, else all."""
        return self.may_be or range(len(self.positions))

    def tells(self, position: int) -> str:
        """The word of the fact it declares, or its position."""
        return self.says[position] if self.says else self.positions[position]

    def delivered(self, model: str | None) -> int | None:
        """Index of the position as delivered, for this model; None where the table doesn't say."""
        return self.factory.get(model or "", self.factory.get(""))

    def word(self, position: int | None) -> str:
        """The printed mark of a position; `?` for one that can't be read."""
        if position is None:
            return " or ".join(self.positions[i] for i in self.may_be) or "?"
        return self.absent if position == ABSENT else self.positions[position]


class Selector(Struct, frozen=True, kw_only=True):
    """One selector of the board with its parts (indices into `Table.parts`). `turned`: degrees clockwise that it
    hangs turned on the board. `may_share`: leads that the page lets share a tap, and on which conditions."""

    name: str
    kind: str
    parts: tuple[int, ...]
    gives: str = ""
    exclusive: bool = False
    marks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    turned: int = 0
    note: str = ""
    line: int
    may_share: tuple[tuple[frozenset[int], tuple[Condition, ...]], ...] = ()


class Fact(Struct, frozen=True, kw_only=True):
    """Something not set but known. Either printed values (words) or a range of numbers."""

    name: str
    gives: str = ""
    values: tuple[str, ...] = ()
    numbers: tuple[Fraction | None, ...] = ()
    low: Fraction | None = None
    high: Fraction | None = None
    line: int


def runs_on(name: str, facts: Mapping[str, Fact]) -> bool:
    """True for a fact along which straight lines may be drawn."""
    return name in CONTINUOUS_FACTS or (name in facts and facts[name].low is not None)


KeyKind = Literal["part", "taps", "fact", "chart"]


class Key(Struct, frozen=True, kw_only=True):
    """What a row's word or a head stands for; of the kind `chart` the label that another chart gives.

    `values` are the positions' or the fact's words as this chart counts them (rows and heads hold indices into it);
    `numbers` their values for a
    fact that runs on (static pressure, firing rate, a range fact), else empty. `order` holds, for a selector along the
    top, its position of
    each head.
    """

    name: str
    kind: KeyKind
    part: int = -1
    values: tuple[str, ...] = ()
    numbers: tuple[Fraction, ...] = ()
    order: tuple[int, ...] = ()

    @property
    def continuous(self) -> bool:
        """True where straight lines between printed figures are allowed."""
        return bool(self.numbers)


class Condition(Struct, frozen=True, kw_only=True):
    """True when the part (or fact) stands at one of the allowed positions (or values), or a fact that runs on lies
    between `low` and `high`; `open_end`: the end itself doesn't hold. `words` are those typed."""

    name: str
    part: int = -1
    allowed: frozenset[int] = frozenset()
    words: tuple[str, ...] = ()
    low: Fraction | None = None
    high: Fraction | None = None
    open_end: bool = False
    line: int = 0

    @property
    def ranged(self) -> bool:
        """True for a condition on a fact that runs on, with one end or both."""
        return self.low is not None or self.high is not None

    def within(self, value: Fraction) -> bool:
        """Whether a figure lies between the ends."""
        if self.open_end and value in (self.low, self.high):
            return False
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


class Footnote(Struct, frozen=True, kw_only=True):
    """What a mark at a figure or a row of a chart stands for: its text, and what the figure holds under (`only`)."""

    mark: str
    text: str
    only: tuple[Condition, ...] = ()
    line: int


class Row(Struct, frozen=True, kw_only=True):
    """One printed row. `cells` is empty where `word` refuses the row or `like` copies another; `typed` holds the
    cells as they were typed. `rest`: it answers for all positions that no other row answers for. `marks` are those
    of footnotes, each with the cell it stands at (-1: the whole row). `same`: the row whose figures it repeats.
    `beside`: the cells once more as they are printed in another unit, with it.
    """

    positions: tuple[int, ...]
    cells: tuple[Cell, ...] = ()
    typed: tuple[str, ...] = ()
    word: str = ""
    like: tuple[int, ...] = ()
    same: tuple[int, ...] = ()
    rest: bool = False
    marks: tuple[tuple[int, str], ...] = ()
    note: str = ""
    line: int
    beside: tuple[str, ...] = ()


class Chart(Struct, frozen=True, kw_only=True):
    """A chart: `keys` stand down the side (one word of a row each), `heads` along the top (the last varies fastest
    but for quantities). `made`: it isn't printed as a chart; one line of the file stands for it."""

    name: str
    keys: tuple[Key, ...]
    heads: tuple[Key, ...]
    gives: tuple[str, ...]
    rows: tuple[Row, ...]
    page: str = ""
    holds_up_to: Fraction | None = None
    conditions: str = ""
    only: tuple[Condition, ...] = ()
    notes: tuple[Footnote, ...] = ()
    note: str = ""
    line: int
    made: bool = False

    @property
    def cells_per_row(self) -> int:
        """How many cells a full row has."""
        n = len(self.gives)
        for head in self.heads:
            n *= len(head.values)
        return n


class Rating(Struct, frozen=True, kw_only=True):
    """A figure of the rating plate, by model and stage; the key "" stands for every model or stage. `by`: figures that
    count in place of it where a selector stands so."""

    name: str
    values: Mapping[tuple[str, str], Fraction | tuple[Fraction, Fraction]]
    line: int
    by: tuple[tuple[Condition, Fraction], ...] = ()

    def printed(
        self, text: Callable[[Condition], str]
    ) -> Mapping[tuple[str, str], Fraction | tuple[Fraction, Fraction]]:
        """Every figure, by model and by stage or the positions of a selector (`text` names them)."""
        return {**self.values, **{("", text(c)): value for c, value in self.by}}

    @property
    def by_model(self) -> bool:
        """True where the plate's figures differ by model."""
        return any(model for model, _ in self.values)

    def get(self, model: str | None, stage: str) -> Fraction | tuple[Fraction, Fraction] | None:
        """The value for a model and stage, None where the plate gives none."""
        for key in ((model or "", stage), (model or "", ""), ("", stage), ("", "")):
            if key in self.values:
                return self.values[key]
        return None


class CallValue(Struct, frozen=True, kw_only=True):
    """The final airflow of another call; stage "" means the same stage."""

    call: str
    stage: str = ""


class Named(Struct, frozen=True, kw_only=True):
    """The value of a chart, a part, a fact or a rating. `by`: the chart whose label a chart goes by here, in place of
    its key of that name."""

    kind: Literal["chart", "part", "fact", "rating", "ramp"]
    name: str
    part: int = -1
    by: str = ""
    key: str = ""


class PerTon(Struct, frozen=True):
    """So much airflow for each running ton of the outdoor unit, in the table's unit of airflow."""

    value: Fraction


Atom = Fraction | Either | PerTon | Named | CallValue


class Step(Struct, frozen=True, kw_only=True):
    """One step of a call. `op` is a quantity's name, or use, at least, at most, round, round up, round down. A stage
    not in `by_stage` skips it. `rough`: the figure as typed where the page gives it with `about`."""

    op: str
    by_stage: Mapping[str, Atom]
    when: tuple[Condition, ...] = ()
    line: int
    text: str
    column: int
    rough: str = ""

    def value(self, stage: str) -> Atom | None:
        """What the step acts with in a stage; None: the step is skipped."""
        return self.by_stage.get(stage, self.by_stage.get(""))


class Window(Struct, frozen=True, kw_only=True):
    """An acceptable range of a call's stage: airflow, airflow per ton, or temperature rise. None is an open end;
    `model` "" holds for every one. It counts where `when` holds."""

    quantity: str
    low: Fraction | None
    high: Fraction | None
    stage: str = ""
    line: int = 0
    source: str = ""
    model: str = ""
    when: tuple[Condition, ...] = ()


NOT = "not"
"""Before values all others, before terminals those that have no voltage."""
CALL = "call"
"""In a condition: the call that reads the figure."""
PURPOSES = ("cooling", "heating", "heat pump", "heat pump + auxiliary", "dehumidify", "fan")
"""What a call may be for."""


class Call(Struct, frozen=True, kw_only=True):
    """What the blower is asked for, with its stages in order; one unnamed stage is "". `from_rise`: its airflow
    starts from a rise. `purpose`: what it is for, where the file says so. `limits`: a least or most airflow that a
    chart, a part, a fact or another call gives. `dark`: terminals that have no voltage while it runs."""

    name: str
    stages: tuple[str, ...]
    airflow: tuple[Step, ...]
    heat: tuple[Step, ...] = ()
    terminals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    capacity: Mapping[str, Fraction] = field(default_factory=dict)
    when: tuple[Condition, ...] = ()
    lead: Mapping[str, int] = field(default_factory=dict)
    ramp: Mapping[str, Atom] = field(default_factory=dict)
    on_delay: Mapping[str, Atom] = field(default_factory=dict)
    off_delay: Mapping[str, Atom] = field(default_factory=dict)
    windows: tuple[Window, ...] = ()
    limits: tuple[Step, ...] = ()
    together: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    line: int = 0
    from_rise: bool = False
    purpose: str = ""
    dark: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def terminals_of(self, stage: str) -> tuple[str, ...]:
        """The terminals of a stage that are energised, and behind `not` those that aren't."""
        off = self.dark.get(stage, self.dark.get("", ()))
        return (*self.terminals.get(stage, self.terminals.get("", ())), *((NOT, *off) if off else ()))

    @property
    def last(self) -> str:
        """The stage meant when none is named."""
        return self.stages[-1]

    def share_of_full(self, stage: str) -> Fraction:
        """Running capacity of a stage as a share of full, 1 where not said."""
        return self.capacity.get(stage, self.capacity.get("", Fraction(1)))

    def running_share(self, stage: str) -> Fraction | None:
        """The share of the outdoor unit that runs in a stage, None where it isn't told: the last stage runs all of
        it."""
        told = stage == self.last or stage in self.capacity or "" in self.capacity
        return self.share_of_full(stage) if told else None

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """Those on which it runs, its steps act and its windows count."""
        steps = (*self.airflow, *self.heat, *self.limits)
        return (*self.when, *(c for s in steps for c in s.when), *(c for w in self.windows for c in w.when))

    @property
    def compressor(self) -> bool:
        """True for a call with a Y terminal, or without terminals where nothing says that it heats: the outdoor unit
        runs."""
        if self.purpose:
            return self.purpose not in ("heating", "fan")
        names = {t.upper() for words in self.terminals.values() for t in words}
        return any(t.startswith("Y") for t in names) if names else not self.heats

    @property
    def heats(self) -> bool:
        """True for a call that burns or heats: it has heat steps, a rise to start from, or a W terminal and no Y."""
        if self.heat or self.from_rise:
            return True
        if self.purpose:
            return self.purpose == "heating"
        names = {t.upper() for words in self.terminals.values() for t in words}
        return any(t.startswith("W") for t in names) and not any(t.startswith("Y") for t in names)


class RampStep(Struct, frozen=True, kw_only=True):
    """A part of a ramp: for `seconds` (or, the last one before the call ends, from then on) the blower runs at `share`
    percent of the airflow. `start`: it climbs evenly from this percent. `call`: it runs at that call's airflow.
    `after`: once the call has ended."""

    seconds: Fraction
    share: Fraction
    after: bool = False
    start: Fraction | None = None
    call: CallValue | None = None


class Ramp(Struct, frozen=True, kw_only=True):
    """How the blower comes up: each step lasts `seconds`; the last share holds. `after` steps follow the end of the
    call. `of`: the ramp of the file that it is in one setting of the selectors named there."""

    name: str
    steps: tuple[RampStep, ...]
    line: int
    of: str = ""


class Unit(Struct, frozen=True, kw_only=True):
    """What the `unit` part of a table says."""

    title: str
    maker: str = ""
    models: tuple[str, ...] = ()
    manual: str = ""
    pages: str = ""
    transcribed: str = ""
    applies_to: Mapping[str, str] = field(default_factory=dict)
    reads: str = ""
    motor: str = ""
    airflow_means: str = ""
    holds_up_to: Fraction | None = None
    only: tuple[Condition, ...] = ()
    note: str = ""

    @property
    def named(self) -> str:
        """The maker and the title in one line: `Corvane two-stage gas furnace`; the title alone where it begins with
        the maker."""
        if not self.maker or self.title.casefold().startswith(self.maker.casefold()):
            return self.title
        return f"{self.maker} {within_sentence(self.title)}"

    def plate_model(self, given: str | None) -> str | None:
        """The model of the rating plate: as given; a unit of one model has it without being told."""
        return given if given is not None else self.models[0] if len(self.models) == 1 else None


def within_sentence(text: str) -> str:
    """The text as it stands within a sentence: a first word with only its first letter large begins small, a model or
    an abbreviation stays.

    >>> within_sentence("Two-stage gas furnace"), within_sentence("VH24, VH36 air handlers")
    ('two-stage gas furnace', 'VH24, VH36 air handlers')
    """
    return text[:1].lower() + text[1:] if _ORDINARY.match(text) else text


class Units(Struct, frozen=True, kw_only=True):
    """Names of the units the table is printed in; `converted`: others that were asked for."""

    airflow: str = "cfm"
    pressure: str = "in. w.c."
    temperature: str = "F"
    heat: str = "Btu/h"
    converted: bool = False


class Table(Struct, frozen=True, kw_only=True):
    """One checked table; `printed` is the one it was converted from, where it is in other units than its page. `along`:
    charts of watts or speeds that are read at each call's own airflow."""

    file: str
    name: str
    lines: tuple[str, ...]
    unit: Unit
    units: Units
    ratings: Mapping[str, Rating]
    facts: Mapping[str, Fact]
    selectors: Mapping[str, Selector]
    parts: tuple[Part, ...]
    charts: Mapping[str, Chart]
    ramps: Mapping[str, Ramp]
    calls: Mapping[str, Call]
    checked: Mapping[str, str] = field(default_factory=dict)
    printed: Table | None = None
    along: Mapping[str, Chart] = field(default_factory=dict)

    @property
    def heat_factor(self) -> Fraction:
        """Btu/h in one of the table's units of heat."""
        return {"MBH": Fraction(1000), "kW": BTUH_PER_KW}.get(self.units.heat, Fraction(1))

    def plate(self, name: str, model: str | None, stage: str = "") -> Range | None:
        """What the rating plate allows of a quantity (temperature rise, outlet limit, plate static) in the table's
        unit, a lone figure as the upper end; None where it says nothing for this model and stage."""
        value = self.ratings[name].get(model, stage) if name in self.ratings else None
        return Range(*value) if isinstance(value, tuple) else None if value is None else Range(high=value)

    @property
    def printed_charts(self) -> list[Chart]:
        """The charts that the page prints as charts."""
        return [chart for chart in (*self.charts.values(), *self.along.values()) if not chart.made]

    def typed_ramps(self, text: Callable[[Ramp], str]) -> dict[str, str]:
        """The ramps of the file, each with its text; one that selectors decide as it was typed."""
        return {
            ramp.of or ramp.name: self.typed_at(ramp.line) if ramp.of else text(ramp) for ramp in self.ramps.values()
        }

    def typed_at(self, line: int) -> str:
        """What is typed behind the name on a line of the file."""
        return self.lines[line - 1].partition(":")[2].strip()

    def part(self, name: str) -> Part | None:
        """The part of this name, case ignored; None if there is none."""
        folded = name.casefold()
        for part in self.parts:
            if part.name.casefold() == folded:
                return part
        return None

    @property
    def mark_names(self) -> tuple[str, ...]:
        """The names that marks may be typed behind: selectors, parts, and leads that no other selector has."""
        taken = dict.fromkeys([*self.selectors, *(p.name for p in self.parts)])
        exclusive = (p for p in self.parts if self.selectors[p.selector].exclusive)
        leads = [p.name[len(p.selector) + 1 :] for p in exclusive]
        return (*taken, *dict.fromkeys(lead for lead in leads if leads.count(lead) == 1 and lead not in taken))

    def notes_at(self, part: int) -> list[tuple[str, str]]:
        """The notes of a part and of its selector, each with the name it stands at; nothing below 0."""
        if part < 0:
            return []
        one = self.parts[part]
        selector = self.selectors[one.selector]
        return [(of.name, of.note) for of in (selector, one) if of.note]

    def drawn_along(self, fact: str) -> bool:
        """True where figures run on with a fact: a chart is printed along it, or it gives one itself."""
        if not runs_on(fact, self.facts):
            return False
        gives = fact in self.facts and self.facts[fact].gives
        keys = (k for c in self.charts.values() for k in (*c.keys, *c.heads))
        return bool(gives) or any(k.name == fact and k.continuous for k in keys)

    def with_model(self, model: str | None) -> Table:
        """The table with what its parts are left at, which parts and positions are not used, and the windows of its
        calls, for this model."""
        if model is None or not (
            any(p.leave_with or p.unused_with or p.idle_with for p in self.parts)
            or any(w.model for c in self.calls.values() for w in c.windows)
        ):
            return self
        calls = {
            name: replace(call, windows=tuple(replace(w, model="") for w in call.windows if w.model in ("", model)))
            for name, call in self.calls.items()
        }
        parts = (
            replace(
                p,
                leave_at=p.leave_with.get(model, p.leave_at),
                unused=p.unused or model in p.unused_with,
                idle=p.idle | p.idle_with.get(model, frozenset()),
                leave_with={},
                unused_with=frozenset(),
                idle_with={},
                of_others=p.idle_with.get(model, frozenset()),
            )
            for p in self.parts
        )
        return replace(self, parts=tuple(parts), calls=calls)

    def half_read(self, may_be: Mapping[int, tuple[int, ...]]) -> Table:
        """The table of a board on which some marks were half read: for each of these parts the positions it may
        have."""
        if not may_be:
            return self
        return replace(self, parts=tuple(replace(p, may_be=may_be.get(p.index, ())) for p in self.parts))

    def delivered(self, model: str | None) -> tuple[int | None, ...]:
        """The setting as delivered for a model (None: not known, then as every model is delivered); None where the
        table doesn't say."""
        models = [model] if model is not None or not self.unit.models else self.unit.models
        found = [{part.delivered(m) for m in models} for part in self.parts]
        return tuple(at.pop() if len(at) == 1 else None for at in found)


Setting = tuple[int | None, ...]
"""A position for every part, in the order of `Table.parts`: an index, ABSENT (off its pins), or None (not readable
or not known)."""
