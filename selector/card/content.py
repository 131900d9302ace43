"""What stands on a card, gathered once as panels: the board and its airflows first, then found to left, what was
measured, the code; on the back cautions, sums, what is owed, the next visits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial

from selector.answers.assumed_facts import assumed_fact_texts
from selector.answers.board import (
    danger_lines,
    limit_lines,
    refused_lines,
    shared_lines,
    shared_steps,
    verdict_lines,
    warnings,
)
from selector.answers.call import depends_lines, not_checked_lines, note_texts, unchecked, untimed
from selector.answers.plots.strips import board_strips
from selector.answers.words.airflow import airflow_number, as_range
from selector.answers.words.assumed_marks import assumed_marks
from selector.answers.words.caution import SCOPE, cautions_for
from selector.answers.words.listing import listed
from selector.answers.words.move import moved_parts, set_text
from selector.answers.words.note import note_lines
from selector.card.blocks import (
    Block,
    Changes,
    Code,
    Head,
    Pairs,
    Panel,
    Reverse,
    Says,
    Selectors,
    SheetCell,
    SheetGrid,
    SheetList,
)
from selector.card.code import card_code, code_facts
from selector.card.typeset import typeset
from selector.draw.parts.draw import describe
from selector.draw.plots.strip import Strips
from selector.judge.decode import Decoded
from selector.judge.judgement import Judgement, StageJudgement
from selector.problems import Refused
from selector.solve.board.marks import marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.model.edition import edition
from selector.table.model.formula import condition_text, formula
from selector.table.model.quantities import RATINGS
from selector.table.model.roles import has_burner
from selector.table.model.table import No, Ramp, Setting, Table
from selector.units import format_number
from selector.value import Struct, field, replace

NO_CODE = "The marks are too long for a code; type them from this card."
VISITS = 7
"""Rows for next visits."""
MOST_LISTED = 4
"""So many possible airflows are listed; of more, the least and the greatest."""


class MeasuredAirflow(Struct, frozen=True, kw_only=True):
    """An airflow measured in a stage: figure, method with its band, how far from the setting; `outside` where it breaks
    a limit."""

    figure: str
    method: str
    off: str = ""
    outside: bool = False


class ReadOnCard(Struct, frozen=True, kw_only=True):
    """Anything else that was read, as a sentence; `outside` where it breaks a limit."""

    name: str
    text: str
    outside: bool = False


class VisitOnCard(Struct, frozen=True, kw_only=True):
    """One visit in a row: figures as they are written; `outside`: the static is over its limit."""

    date: str
    by: str
    marks: str
    static: str = ""
    rise: str = ""
    outside: bool = False


class HouseOnCard(Struct, frozen=True, kw_only=True):
    """What a job adds to a board. `dangers`: what can hurt, measured before worked out, and `broken`: the limits that
    are broken beside them, each with the next step (None: as the judgement has them); `first`: other sentences that
    come before all figures; `verdicts`: a sentence of every state that was measured; `sums`: why this setting, a
    heading and its lines; `owed`: what is still to be done (None: nobody keeps a record of it); `visits`: those there
    were, the oldest first; `fuel`: None where nothing tells it, empty for electric heat."""

    strips: Strips | None = None
    dangers: tuple[tuple[str, str], ...] | None = None
    broken: tuple[tuple[str, str], ...] | None = None
    first: tuple[str, ...] = ()
    verdicts: tuple[str, ...] = ()
    measured: Mapping[tuple[str, str], MeasuredAirflow] = field(default_factory=dict)
    reads: tuple[ReadOnCard, ...] = ()
    plate: tuple[tuple[str, str], ...] = ()
    board: Mapping[str, str] = field(default_factory=dict)
    facts: tuple[tuple[str, str], ...] = ()
    sums: tuple[str, ...] = ()
    expected: Mapping[tuple[str, str], str] = field(default_factory=dict)
    owed: tuple[str, ...] | None = None
    visits: tuple[VisitOnCard, ...] = ()
    clocked: bool = False


class Card(Struct, frozen=True, kw_only=True):
    """A card; `code` is empty where the marks are too long for one."""

    title: str
    panels: tuple[Panel, ...]
    left_marks: str
    code: str


class _Told(Struct, frozen=True, kw_only=True):
    """Everything a panel is made of."""

    engine: Engine
    own: Table
    decoded: Decoded
    found: Setting | None
    known: HouseOnCard
    turned: int
    signed: tuple[str, str, str]
    code: str

    @property
    def table(self) -> Table:
        return self.engine.table

    @property
    def judgement(self) -> Judgement:
        return self.decoded.judgement

    @property
    def left(self) -> Setting:
        return self.judgement.setting

    @property
    def stages(self) -> list[StageJudgement]:
        return list(self.judgement.stages.values())

    @property
    def running(self) -> list[StageJudgement]:
        return [s for s in self.stages if s.airflows]

    @property
    def heats(self) -> bool:
        return any(self.table.calls[s.call].heats for s in self.running)


def build_card(
    engine: Engine,
    decoded: Decoded,
    found: Setting | None = None,
    *,
    known: HouseOnCard | None = None,
    table: Table | None = None,
    place: str = "",
    by: str = "",
    date: str = "",
    turned: int = 0,
) -> Card:
    """The card of a board as it is left, judged under the engine. `table` is the one in the library, where the engine's
    was adjusted to a house. What isn't known is a line to write on, where it makes sense for this unit."""
    known = known or HouseOnCard()
    own = table or engine.table
    left = decoded.judgement.setting
    code = _code(own, left, known.facts or (("model", engine.plate_model() or ""),))
    told = _Told(
        engine=engine,
        own=own,
        decoded=decoded,
        found=found,
        known=known,
        turned=turned,
        signed=(date, by, place),
        code=code,
    )
    makers = (_face, _changes, _measurements, _plate, _cautions, _sums, _unit, _visits)
    panels = tuple(panel for make in makers if (panel := make(told)) is not None)
    return Card(title=own.unit.named, panels=panels, left_marks=marks_of(left, own), code=code)


# -- the first side


def _face(t: _Told) -> Panel:
    unit, model = t.table.unit, t.engine.plate_model() or ""
    believed = t.engine.facts.board_model
    date, by, place = t.signed
    state = "As found and left" if t.found == t.left else "As left"
    blanks = (
        f"{state} {date or '_' * 13}, by {by or '_' * (12 if t.found == t.left else 19)}{f', {place}' if place else ''}"
    )
    dangers, limits = _dangers(t), _limits(t)
    blocks: list[Block] = [*_first_of(dangers)]
    if believed and believed != model:
        blocks.append(Says(text=f"The board believes model {believed}.", look="bold"))
    blocks += [Says(text=typeset(text), look="bold") for text in _before_verdict(t)]
    blocks += [] if dangers else _first_of(limits)
    noes = [*refused_lines(t.table, t.judgement), *depends_lines(t.table, t.judgement)]
    blocks += [Says(text=typeset(text), look="bold") for text in noes]
    blocks.append(Says(text=blanks, look="soft"))
    blocks.append(Selectors(pictures=describe(t.table, t.left, None, t.turned)))
    blocks.append(_airflows(t))
    if not (dangers or limits):
        said = t.known.verdicts or verdict_lines(t.judgement)
        blocks += [Says(text=typeset(text), look="soft") for text in said]
    return Panel(title=unit.named, note=model, blocks=tuple(blocks))


def _first_of(broken: Sequence[tuple[str, str]]) -> list[Block]:
    """The worst, and how many more there are: these stand under Measured."""
    more = f" ({len(broken) - 1} more)" if len(broken) > 1 else ""
    return [Reverse(text=typeset(text + more), more=typeset(then)) for text, then in broken[:1]]


def _before_verdict(t: _Told) -> list[str]:
    """Equipment that the board contradicts before all else that comes before a figure is believed."""
    said = (f"{text}." for text in warnings(t.engine, t.judgement))
    marks = assumed_marks(t.engine, t.left, t.judgement.assumed)
    taken = (*marks, *assumed_fact_texts(t.judgement.assumed_facts))
    return list(dict.fromkeys((*said, *t.known.first, *(f"assumed, {text}" for text in taken))))


def _airflows(t: _Told) -> SheetGrid:
    """Every call: what it is set for, or all that may be, and what was measured."""
    unit = t.table.units.airflow
    rows: list[tuple[SheetCell, ...]] = []
    for s in t.stages:
        words = " ".join(t.table.calls[s.call].terminals_of(s.stage))
        name = (SheetCell(text=s.title), SheetCell(text=words, look="soft"))
        read = t.known.measured.get((s.call, s.stage))
        got = () if read is None else (SheetCell(text=read.figure, look="reverse" if read.outside else "figure"),)
        if isinstance(s.outcome, Fraction):
            set_for = SheetCell(text=airflow_number(t.table, s.outcome), look="figure")
            rows.append((*name, set_for, *(got or (SheetCell(text=""),))))
        else:
            rows.append((*name, SheetCell(text=typeset(_may_be(t, s)), look="soft", over=2 - len(got)), *got))
    return SheetGrid(
        heads=("call", "", f"set, {unit}", "measured"),
        rows=tuple(rows),
        shares=(36, 19, 21, 24),
        right=frozenset((2, 3)),
    )


def _may_be(t: _Told, s: StageJudgement) -> str:
    """`1,062 or 1,130`, `unreadable`, `633 to 1,611, or not usable`: all that a stage may be."""
    every = [airflow_number(t.table, x) for x in s.airflows]
    ends = as_range(t.table, s.airflows, s.facts, MOST_LISTED)
    flows = [f"{every[0]} to {every[-1]}"] if ends else every
    return listed([*flows, *dict.fromkeys(no.words for no in s.noes if no.either is None)], "or")


def _changes(t: _Told) -> Panel | None:
    """As found to as left; nothing where nobody looked before."""
    if t.found is None:
        return None
    moved = moved_parts(t.found, t.left)
    unread = [p.name for p, a in zip(t.table.parts, t.found, strict=True) if a is None]
    blocks: list[Block] = []
    if t.found == t.left:
        return None
    pictures = describe(t.table, t.left, t.found, t.turned)
    changed = [replace(p, groups=()) for p in pictures if p.changed]
    if moved:
        blocks.append(Says(text=typeset(f"{set_text(t.table, t.found, t.left)}."), look="bold"))
    if unread:
        blocks.append(Says(text=f"Unreadable or not known as found: {', '.join(unread)}."))
    blocks.append(Selectors(pictures=tuple(changed)))
    strips = t.known.strips or board_strips(t.engine, t.decoded.answers, evaluate(t.engine, t.found))
    shown = _short(t, strips)
    if any(row.at is not None for row in shown.rows):
        blocks += [Changes(strips=shown), Says(text="Hatched: as found. Open pointer: target.", look="soft")]
    return Panel(title="As found to as left", note=t.table.units.airflow, blocks=tuple(blocks))


def _short(t: _Told, strips: Strips) -> Strips:
    """The last stage of each call, and every stage that is past a limit, with the signs of print."""
    last = {s.title for call in t.decoded.answers.values() for s in call.stages[-1:]}
    rows = tuple(row for row in strips.rows if row.name in last or row.past is not None)
    bars = tuple(replace(bar, name=typeset(bar.name)) for bar in strips.bars)
    return replace(strips, rows=rows, bars=bars)


def _measurements(t: _Told) -> Panel:
    """What was read, what it breaks first; what wasn't as lines to write on."""
    table, known = t.table, t.known
    blocks: list[Block] = [
        Reverse(text=typeset(text), more=typeset(more)) for text, more in (*_dangers(t), *_limits(t))
    ]
    rows = tuple(
        (
            SheetCell(text=s.title),
            SheetCell(text=typeset(read.method)),
            SheetCell(text=read.figure, look="reverse" if read.outside else "figure"),
            SheetCell(text=typeset(read.off), look="soft"),
        )
        for s in t.stages
        if (read := known.measured.get((s.call, s.stage))) is not None
    )
    if rows:
        heads = ("call", "read", table.units.airflow, "off")
        blocks.append(SheetGrid(heads=heads, rows=rows, shares=(33, 29, 20, 18), right=frozenset((2, 3))))
    for other in known.reads:
        text = typeset(f"{other.name}: {other.text}")
        blocks.append(Reverse(text=text) if other.outside else Says(text=text))
    missing = [s.title for s in t.running if (s.call, s.stage) not in known.measured]
    if known.measured and missing:
        blocks.append(Says(text=f"not measured: {', '.join(missing)}", look="soft"))
    blocks += [Says(text=typeset(f"Not checked: {text}")) for text in _not_checked(t)]
    blanks = list(_blanks(t))
    if blanks:
        blocks.append(Pairs(rows=tuple(blanks)))
    if t.heats and has_burner(table):
        blocks.append(SheetList(texts=("combustion, draft, spillage; flue CO ______ ppm",), boxes=True))
    if table.unit.reads != "always":
        blocks.append(SheetList(texts=("power off and on after setting",), boxes=True))
    date = t.signed[0]
    return Panel(title="Measured", note=date, blocks=tuple(blocks))


def _blanks(t: _Told) -> Iterator[tuple[str, str]]:
    """What is to be read on this unit and wasn't."""
    table, read = t.table, {one.name for one in t.known.reads}
    unit, pressure = table.units.temperature, table.units.pressure
    heating = [s for s in t.running if table.calls[s.call].heats and (s.call, s.stage) not in t.known.measured]
    for s in heating[-1:]:
        plate = next((j for j in s.ways if j.limit.quantity == "temperature rise" and j.low and j.high), None)
        ends = f", plate {_figure(plate.low)} to {_figure(plate.high)}" if plate and plate.low and plate.high else ""
        yield typeset(f"{s.title}: return and supply, {unit}"), ""
        yield typeset(f"rise{ends}, {unit}"), ""
    if not any("static" in name for name in read):
        calls = [s.title for s in t.running if table.calls[s.call].compressor][-1:] or [s.title for s in t.running][-1:]
        yield typeset(", ".join(("static", *calls, pressure))), ""
    if t.heats and has_burner(table) and not t.known.clocked and _gas(t):
        yield "input clocked, Btu/h", ""
    if "filter" not in read:
        yield "filter, size", ""


def _gas(t: _Told) -> bool:
    """True where the burner may be one on gas: an oil nozzle has no meter."""
    gives = {g for chart in t.table.charts.values() for g in chart.gives}
    gives |= {s.gives for s in t.table.selectors.values()}
    return "nozzle rate" not in gives


def _plate(t: _Told) -> Panel:
    """The code, the plate, the manual."""
    unit = t.table.unit
    several = "s" if re.search(r"\d\D+\d", unit.pages) else ""
    manual = ", ".join(x for x in (unit.manual, f"page{several} {unit.pages}" if unit.pages else "") if x)
    rows = [(name, text) for name in t.table.ratings if (text := _rating(t.table, name, t.engine.plate_model()))]
    rows += [(name, text) for name, text in t.known.plate if name not in dict(rows)]
    rows += [("manual", manual)] if manual else []
    rows += [("table", f"{t.own.name}, edition {edition(t.own)}")]
    rows += [("the board reads", unit.reads)] if unit.reads else []
    extras = [*_told(t), *note_lines(note_texts(t.judgement))]
    blocks: list[Block] = [Code(text=t.code), Pairs(rows=tuple((name, typeset(text)) for name, text in rows))]
    blocks += [Says(text=typeset(text)) for text in extras]
    return Panel(title="Read it back", blocks=tuple(blocks))


# -- the back


def _cautions(t: _Told) -> Panel:
    calls = t.table.calls.values()
    said = cautions_for(
        t.table,
        heat=any(c.heats for c in calls),
        cooling=any(not c.heats for c in calls),
        cut=any(p.final for p in t.table.parts),
    )
    texts = (*said.before, *said.then_lines())
    return Panel(title="Before you touch the board", blocks=(SheetList(texts=texts), Says(text=SCOPE, look="soft")))


def _sums(t: _Told) -> Panel:
    """Why these airflows: the sums of the job, then how each call is read from the manual."""
    blocks: list[Block] = []
    for text in t.known.sums:
        blocks.append(Says(text=typeset(text)))
    if t.known.expected:
        titles = {(s.call, s.stage): s.title for s in t.stages}
        blocks.append(Head(text="Expect"))
        blocks += [Says(text=typeset(f"{titles[key]}: {text}")) for key, text in t.known.expected.items()]
    if t.known.sums:
        return Panel(title="Why this setting", blocks=tuple(blocks))
    alike: dict[str, list[StageJudgement]] = {}
    for s in t.running:
        alike.setdefault(formula(t.table, t.table.calls[s.call], s.stage), []).append(s)
    for how, of in alike.items():
        blocks.append(Says(text=typeset(f"{', '.join(s.title for s in of)}: {how}")))
    return Panel(title="How the manual reads", blocks=tuple(blocks))


def _unit(t: _Told) -> Panel:
    """What of the unit is to be written down, and what is owed."""
    applies = {**dict.fromkeys(t.table.unit.applies_to, ""), **t.table.unit.applies_to, **t.known.board}
    rows = [("serial number", ""), *((f"board {n}" if "board" not in n else n, v) for n, v in applies.items())]
    if not any("part" in name for name, _ in rows):
        rows.append(("board part", ""))
    if t.heats and has_burner(t.table) and _gas(t):
        rows += [("gas valve, orifice", ""), ("inlet, manifold", "")]
    rows += [("blower watts", ""), ("volts, amps", "")]
    return Panel(
        title="The unit",
        blocks=(Pairs(rows=tuple(rows)), Head(text="Still owed"), SheetList(texts=tuple(_owed(t)), boxes=True)),
    )


def _owed(t: _Told) -> Iterator[str]:
    if t.known.owed is not None:
        yield from (typeset(one) for one in t.known.owed)
        return
    missing = [s.title for s in t.running if (s.call, s.stage) not in t.known.measured]
    if missing:
        yield f"{', '.join(missing)}: measured"
    unit = t.table.units.airflow
    cooling = [s for s in t.running if t.table.calls[s.call].compressor]
    if cooling and isinstance(cooling[-1].outcome, Fraction):
        yield f"charge checked at {format_number(cooling[-1].outcome, 0)} {unit}"
    heating = [s for s in t.running if t.table.calls[s.call].heats]
    if heating and has_burner(t.table) and isinstance(heating[-1].outcome, Fraction):
        yield f"combustion and flue CO at {format_number(heating[-1].outcome, 0)} {unit}"


def _visits(t: _Told) -> Panel:
    """The visits there were, and rows to fill in."""
    heads = ("date", "by", "marks", "static", *(("rise",) if t.heats else ()))
    shares = (23, 12, 35, 15, 15) if t.heats else (23, 13, 46, 18)
    there = t.known.visits or (VisitOnCard(date=t.signed[0], by=t.signed[1], marks=marks_of(t.left, t.own)),)
    rows = tuple(_visit(t, one) for one in there[-VISITS:])
    empty = tuple(SheetCell(text="") for _ in heads)
    blank = max(2, VISITS + 1 - len(rows))
    return Panel(
        title="Next visits", blocks=(SheetGrid(heads=heads, rows=(*rows, *[empty] * blank), shares=shares, high=True),)
    )


def _visit(t: _Told, one: VisitOnCard) -> tuple[SheetCell, ...]:
    return (
        SheetCell(text=one.date),
        SheetCell(text=" ".join(f"{word[0]}." for word in one.by.split())),
        SheetCell(text=_short_marks(one.marks)),
        SheetCell(text=one.static, look="reverse" if one.outside else ""),
        *((SheetCell(text=one.rise),) if t.heats else ()),
    )


def _short_marks(marks: str) -> str:
    """The marks where they are short, else nothing: they stand in the code."""
    return marks if len(marks) <= 24 else ""


# -- words of the table


def _dangers(t: _Told) -> list[tuple[str, str]]:
    """What can hurt, measured before worked out, each with what to do next."""
    if t.known.dangers is not None:
        return list(t.known.dangers)
    steps = shared_steps(t.table)
    shared = [(text, steps[0] if steps else "") for text in shared_lines(t.table, t.judgement)]
    return [*shared, *((text, "") for text in danger_lines(t.table, t.judgement))]


def _limits(t: _Told) -> list[tuple[str, str]]:
    """The limits that are broken without danger."""
    if t.known.broken is not None:
        return list(t.known.broken)
    return [(text, "") for text in limit_lines(t.table, t.judgement)]


def _not_checked(t: _Told) -> list[str]:
    """What a fact not given leaves open, without the words to type."""
    items = (*unchecked(t.judgement), *untimed(t.decoded.answers.values()))
    return not_checked_lines(t.table, [(call, stage, what, why, "") for call, stage, what, why, _ in items])


def _rating(table: Table, name: str, model: str | None) -> str:
    """A figure of the plate for this model, by stage where it differs, in the table's units."""
    units = table.units
    shown: dict[str, tuple[Fraction, str]] = {
        "heat": (1 / table.heat_factor, units.heat),
        "percent": (Fraction(100), "%"),
        "range": (Fraction(1), units.temperature),
        "temperature": (Fraction(1), units.temperature),
        "pressure": (Fraction(1), units.pressure),
        "voltage": (Fraction(1), "V"),
        "oil pressure": (Fraction(1), "psi"),
        "heat per gallon": (Fraction(1), "Btu/gal"),
    }
    scale, unit = shown[RATINGS[name][0]]
    by_stage: dict[str, str] = {}
    for (of, stage), value in table.ratings[name].printed(partial(condition_text, table)).items():
        if of in ("", model or ""):
            ends = value if isinstance(value, tuple) else (value,)
            by_stage[stage] = f"{' to '.join(_figure(end * scale, 2) for end in ends)} {unit}"
    return ", ".join(f"{stage} {text}".strip() for stage, text in by_stage.items())


def _figure(value: Fraction, places: int = 1) -> str:
    """A figure with commas, halves away from zero, no idle decimals."""
    text = format_number(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _told(t: _Told) -> list[str]:
    """Start-up, delays."""
    out: dict[str, None] = {}
    for answer in t.decoded.answers.values():
        for what, by_stage in (
            ("start-up", answer.ramp),
            ("blower-on delay", answer.on_delay),
            ("blower-off delay", answer.off_delay),
        ):
            texts = {stage: _spoken(t.table, value) for stage, value in by_stage.items() if value != 0}
            for stage, text in texts.items():
                name = answer.call if len(set(texts.values())) == 1 else f"{answer.call} {stage}".strip()
                out[f"{name} {what}: {text}"] = None
    return list(out)


def _spoken(table: Table, value: Ramp | Fraction | No) -> str:
    if isinstance(value, Ramp):
        return f"{value.name} ({table.lines[value.line - 1].partition(':')[2].strip()})"
    return value.words if isinstance(value, No) else f"{_figure(value)} s"


def _code(table: Table, left: Setting, facts: Sequence[tuple[str, str]]) -> str:
    """The code, empty where the marks are too long for one."""
    try:
        return card_code(table, left, code_facts(facts))
    except Refused:
        return ""
