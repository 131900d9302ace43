"""What `find` says: the nearest settings, or why nothing fits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from selector.answers.assumed_facts import assumed_fact_lines
from selector.answers.board import set_for_lines, unread_lines
from selector.answers.call import (
    KINDS,
    CallData,
    NoData,
    NotCheckedData,
    broken_lines,
    call_data,
    certain_of,
    how_to_give,
    no_lines,
    not_checked_lines,
    note_texts,
    outcome_text,
    stage_cells,
    unchecked,
)
from selector.answers.parts import (
    VERSION,
    AssumedFactData,
    LimitData,
    MoveData,
    NoteData,
    RangeData,
    SettingData,
    UnitsData,
    assumed_facts_data,
    limit_data,
    notes_data,
    setting_data,
    units_data,
)
from selector.answers.words.airflow import airflow_text, in_units
from selector.answers.words.assumed_marks import assumed_marks
from selector.answers.words.caution import Cautions, cautions_for
from selector.answers.words.contradiction import contradiction_text, not_left_texts
from selector.answers.words.figure import figure, number_of, percent, range_text, text_of
from selector.answers.words.fold import Block, Raw, Rows, figures_right
from selector.answers.words.head import head, pages_text
from selector.answers.words.listing import ended, listed
from selector.answers.words.move import board_rows, set_text
from selector.answers.words.note import note_lines
from selector.draw.parts.text import board_text
from selector.judge.judge import judge_setting
from selector.judge.judgement import Judgement, StageJudgement
from selector.judge.known_facts import BoardMarks
from selector.solve.board.marks import mark, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, beyond, evaluate
from selector.solve.engine.limit import JudgedLimit
from selector.solve.rank.rank import TooLarge
from selector.solve.search.any_of import AnyOf
from selector.solve.search.declared import differences
from selector.solve.search.find import FindResult, Found, Miss, Request
from selector.solve.search.possible_airflows import reachable
from selector.solve.search.space import Space
from selector.solve.search.targets import Target, got, point_of
from selector.table.model.table import No, Setting, Table
from selector.units import convert
from selector.value import Published

FAR = Fraction(15, 100)
"""Further off than this is no answer to what was asked: the tolerance at commissioning of ANSI/ACCA 5 QI (from
memory)."""
FEW_CHOICES = 8
"""Combinations of selectors that depend on one another that are listed; more are counted."""
PER_TON = (Fraction(250), Fraction(500))
"""Cfm per ton: a figure in here asked for as an airflow of so much equipment was meant per ton. Common practice, no
source."""


class AskedData(Published, frozen=True, kw_only=True):
    """A target, in the answer's units; `low` and `high` are equal for a single figure. `reach`: the airflows that the
    board can give there, where the first setting is far off."""

    call: str
    stage: str
    quantity: str
    low: Fraction
    high: Fraction
    weight: Fraction
    text: str
    reach: RangeData | None


class AnyOfData(Published, frozen=True, kw_only=True):
    """Selectors that no target reads, and every combination of marks that may stand there as well; none where they are
    too many to list."""

    selectors: tuple[str, ...]
    marks: tuple[tuple[str, ...], ...]


class FoundData(Published, frozen=True, kw_only=True):
    """One setting of the whole board. `off_target` is a share, 0.025 for 2.5 %, of all targets together; `to_set` are
    selectors that were unreadable as found; `any_of`: what may stand otherwise, each entry whatever the others are;
    `read_back`: decoded again from its marks, it gives these airflows."""

    setting: SettingData
    off_target: Fraction
    exact: str
    moves: tuple[MoveData, ...]
    to_set: tuple[MoveData, ...]
    any_of: tuple[AnyOfData, ...]
    calls: tuple[CallData, ...]
    pages: tuple[str, ...]
    notes: tuple[NoteData, ...]
    read_back: Literal[True]


class BrokenData(Published, frozen=True, kw_only=True):
    """A limit that a stage breaks."""

    call: str
    stage: str
    limit: LimitData


class RefusedStage(Published, frozen=True, kw_only=True):
    """A stage asked for that has no airflow."""

    call: str
    stage: str
    no: NoData


class MissData(Published, frozen=True, kw_only=True):
    """Why nothing fits: the closest setting with the limits it breaks, or why a call has no airflow; the selectors
    that are held in the way (`release`: any one of them, or all)."""

    closest: FoundData | None
    broken: tuple[BrokenData, ...]
    refused: tuple[RefusedStage, ...]
    held: tuple[str, ...]
    release: Literal["any", "all"]


class LeftOutData(Published, frozen=True, kw_only=True):
    """What the search passed over: a cut, a copied row, a position not used, an ambiguous figure, off its pins, an
    airflow that depends on a fact not given."""

    what: str
    name: str
    count: int


class FindAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector find. `closer` is a setting nearer to the targets that breaks a limit; `set_from_facts` were
    set to match the equipment, `left_alone` as it isn't known; `assumed`: selectors that the marks as found leave out,
    which count as installed or as the factory setting."""

    version: Literal[2]
    table: str
    model: str | None
    units: UnitsData
    warnings: tuple[str, ...]
    targets: tuple[AskedData, ...]
    found: tuple[FoundData, ...]
    closer: FoundData | None
    not_checked: tuple[NotCheckedData, ...]
    nothing_fits: MissData | None
    set_from_facts: dict[str, str]
    left_alone: tuple[str, ...]
    assumed: tuple[str, ...]
    assumed_facts: tuple[AssumedFactData, ...]
    left_out: tuple[LeftOutData, ...]
    not_to_be_had: tuple[str, ...]
    cautions: tuple[str, ...]


# -- records


def find_answer(engine: Engine, request: Request, result: FindResult) -> FindAnswer:
    """The answer for JSON."""
    table, miss, space = engine.table, result.miss, result.space
    cautions = _cautions(engine, space, result.found[0]) if result.found else None
    shown = _shown(engine, request, result)
    return FindAnswer(
        version=VERSION,
        table=table.name,
        model=engine.plate_model(),
        units=units_data(table),
        warnings=_warnings(engine, request),
        targets=tuple(
            AskedData(
                call=t.call,
                stage=t.stage,
                quantity=t.quantity,
                low=t.low,
                high=t.high,
                weight=t.weight,
                text=t.text,
                reach=RangeData(low=reach[0], high=reach[-1]) if (reach := _reach(engine, result, t)) else None,
            )
            for t in request.targets
        ),
        found=tuple(_found_data(engine, request, space, f) for f in result.found),
        closer=None if result.nearer is None else _found_data(engine, request, space, result.nearer),
        not_checked=tuple(
            NotCheckedData(call=call, stage=stage, limit=limit, why=why, needs=needs)
            for call, stage, limit, why, needs in _not_checked(result, shown)
        ),
        nothing_fits=None if miss is None else _miss_data(engine, request, space, miss),
        set_from_facts=_from_facts(table, space),
        left_alone=space.delivered_used,
        assumed=tuple(table.parts[i].name for i in _standing(engine, request)[1]),
        assumed_facts=assumed_facts_data(shown.assumed_facts),
        left_out=tuple(LeftOutData(what=x.what, name=x.name, count=x.count) for x in result.left_out),
        not_to_be_had=tuple(_title(call, stage) for call, stage in result.not_to_be_had),
        cautions=() if cautions is None else (*cautions.before, *cautions.then, cautions.scope),
    )


def _found_data(engine: Engine, request: Request, space: Space, found: Found) -> FoundData:
    table = engine.table
    judgement = judge_setting(engine, found.setting, request.unread)
    unread = _unread(table, space, found)
    before = space.baseline

    def move(i: int, seen: bool) -> MoveData:
        was = before[i] if seen else None
        return MoveData(
            selector=table.parts[i].name,
            was=None if was is None else mark(table, i, was),
            to=mark(table, i, found.setting[i]),
        )

    return FoundData(
        setting=setting_data(found.setting, table),
        off_target=found.deviation,
        exact=str(found.deviation),
        moves=tuple(move(i, True) for i in _moved(found, unread)),
        to_set=tuple(move(i, False) for i in unread),
        any_of=tuple(
            AnyOfData(
                selectors=tuple(table.parts[i].name for i in one.parts),
                marks=tuple(
                    tuple(mark(table, i, at) for i, at in zip(one.parts, choice, strict=True)) for choice in one.choices
                ),
            )
            for one in found.any_of
        ),
        calls=tuple(call_data(table, answer, judgement, found.answers) for answer in found.answers.values()),
        pages=judgement.pages,
        notes=notes_data(judgement.every_note),
        read_back=True,
    )


def _miss_data(engine: Engine, request: Request, space: Space, miss: Miss) -> MissData:
    return MissData(
        closest=None if miss.nearest is None else _found_data(engine, request, space, miss.nearest),
        broken=tuple(
            BrokenData(call=s.call, stage=s.stage, limit=limit_data(j))
            for s, j in _wrong(engine, request, miss.nearest)
        ),
        refused=tuple(
            RefusedStage(call=c, stage=s, no=NoData(code=no.kind, why=no.why, needs=no.needs))
            for c, s, no in miss.refused
        ),
        held=tuple(engine.table.parts[p].name for p in miss.blame),
        release="all" if miss.together else "any",
    )


# -- words


def lines(
    engine: Engine, request: Request, result: FindResult, *, wide: bool, drawn: str, columns: int = 80
) -> list[Block]:
    """The answer for people: warnings, the verdict, what to do, figures, reasons."""
    table, shown = engine.table, _shown(engine, request, result)
    out: list[Block] = [
        head(table, engine.plate_model()),
        *_warned(engine, request),
    ]
    if result.miss is not None:
        out += _miss(engine, request, result.space, result.miss)
    if result.found:
        out += _far(engine, request, result)
        if any(a.deviation > b.deviation for a, b in pairwise(result.found)):
            points = f"{figure(request.near)} point{'s' if request.near != 1 else ''}"
            out += ["", f"Settings within {points} of each other: fewest moves first (--near 0: nearest first)."]
        for i, found in enumerate(result.found, 1):
            draw = drawn == "all" or (drawn == "first" and i == 1)
            out += ["", *_found(engine, request, result.space, found, i, draw=draw, wide=wide, columns=columns)]
        cautions = _cautions(engine, result.space, result.found[0])
        out += ["", *cautions.before_blocks(), *cautions.then_blocks()]
    if result.nearer is not None:
        out += ["", *_closer(engine, request, result.nearer)]
    told = {no.why for _, _, no in result.miss.refused} if result.miss is not None else set()
    items = [item for item in _not_checked(result, shown) if item[3] not in told]
    if items:
        out += ["", "Not checked", *(f"  {text}" for text in not_checked_lines(table, items))]
    facts = assumed_fact_lines(table, shown.assumed_facts)
    kept = [*_assumed(engine, request), *facts, *_kept(table, result.space), *_left_out(table, result)]
    if kept:
        out += ["", *kept]
    if result.found:
        out += ["", _cautions(engine, result.space, result.found[0]).scope]
    return out


def _warnings(engine: Engine, request: Request) -> tuple[str, ...]:
    """What is said before the verdict: a board as found that contradicts the equipment, or isn't left as the page says;
    static over what the page holds to."""
    table, found = engine.table, request.found
    board = () if found is None else (contradiction_text(table, d) for d in differences(engine, found))
    return (*board, *_other_warnings(engine, request))


def _other_warnings(engine: Engine, request: Request) -> tuple[str, ...]:
    left = () if request.found is None else not_left_texts(engine.table, request.found)
    return (*left, *beyond(engine))


def _warned(engine: Engine, request: Request) -> Iterator[str]:
    """The same as lines."""
    if request.found is not None:
        yield from set_for_lines(engine.table, differences(engine, request.found))
        yield from unread_lines(engine, request.found, request.unread)
    yield from (ended(f"Warning: {text}") for text in _other_warnings(engine, request))


def _shown(engine: Engine, request: Request, result: FindResult) -> Judgement:
    """How the first setting stands, else the closest, else the board as it is."""
    nearest = result.miss.nearest if result.miss is not None else None
    first = result.found[0] if result.found else nearest
    return judge_setting(engine, result.space.standing if first is None else first.setting, request.unread)


def _not_checked(result: FindResult, judgement: Judgement) -> list[tuple[str, str, str, str, str]]:
    """What can't be checked of the setting that is shown first."""
    open_ = [
        (s.call, s.stage, "", s.outcome.why, s.outcome.needs)
        for s in judgement.stages.values()
        if isinstance(s.outcome, No)
        and s.outcome.kind in ("unreadable", "not_known")
        and (s.call, s.stage) not in result.not_to_be_had
    ]
    return [*open_, *unchecked(judgement)]


def _cautions(engine: Engine, space: Space, found: Found) -> Cautions:
    """The cautions for what the setting changes."""
    before = evaluate(engine, space.baseline)
    changed = [
        engine.table.calls[a.call]
        for a in found.answers.values()
        if any(s.airflow != before[a.call].stage(s.stage).airflow for s in a.stages)
    ]
    return cautions_for(engine.table, heat=any(c.heats for c in changed), cooling=any(c.compressor for c in changed))


def _first_of(engine: Engine, result: FindResult, target: Target) -> tuple[StageAnswer, Fraction | None]:
    """What the first setting gives where a target is."""
    answers = result.found[0].answers
    stage = answers[target.call].stage(target.stage)
    return stage, _got(engine, target, stage, answers)


def _reach(engine: Engine, result: FindResult, target: Target) -> tuple[Fraction, ...]:
    """The airflows that the board can give there, rising, where the first setting is far off."""
    if not result.found:
        return ()
    _, value = _first_of(engine, result, target)
    if value is None or target.deviation(value) <= FAR:
        return ()
    try:
        return reachable(engine, result.space, point_of(engine, target.call, target.stage))
    except TooLarge:
        return ()


def _far(engine: Engine, request: Request, result: FindResult) -> list[Block]:
    """What was asked for and the first setting is far from: what the board can give there, and whether an airflow
    per ton was meant."""
    table = engine.table
    unit = table.units.airflow
    out: list[Block] = []
    for t in request.targets:
        s, value = _first_of(engine, result, t)
        if value is None or t.deviation(value) <= FAR:
            continue
        side = "low" if value < t.low else "high"
        told = f"{s.title}: target {_target_text(table, t)}; best is {percent(t.deviation(value))} {side}"
        reach = _reach(engine, result, t)
        ends = f", range {_number(table, reach[0])} to {airflow_text(table, reach[-1])}" if reach else ""
        out.append(f"{told}{ends}")
        tons = engine.running_tons(table.calls[t.call], t.stage)
        per_ton = [convert(end, unit, "cfm") for end in (t.low, t.high)]
        if t.quantity == "airflow" and tons and tons > 1 and PER_TON[0] <= per_ton[0] and per_ton[1] <= PER_TON[1]:
            out.append(f'  For an airflow per ton type {t.call}="{figure(t.low)} per ton"')
    return out


def _number(table: Table, airflow: Fraction) -> str:
    return number_of(in_units(table).worked(airflow, "airflow"))


def _closer(engine: Engine, request: Request, closer: Found) -> list[Block]:
    """A setting closer than the best, and the limits that forbid it."""
    table = engine.table
    figures = [
        f"{s.title} {outcome_text(table, s.airflow)}"
        for t in request.targets
        for s in [closer.answers[t.call].stage(t.stage)]
    ]
    out: list[Block] = [f"Closer, but breaks a limit: {marks_of(closer.setting, table)}, {', '.join(figures)}"]
    return out + [f"  {text}" for text in broken_lines(table, _wrong(engine, request, closer))]


def _wrong(engine: Engine, request: Request, found: Found | None) -> list[tuple[StageJudgement, JudgedLimit]]:
    """The limits that a setting breaks whatever isn't given, each in the way that breaks it least."""
    return [] if found is None else certain_of(judge_setting(engine, found.setting, request.unread).broken)


def _from_facts(table: Table, space: Space) -> dict[str, str]:
    return {table.parts[i].name: mark(table, i, at) for i, (at, why) in space.fixed.items() if why == "fact"}


def _assumed(engine: Engine, request: Request) -> list[Block]:
    """The marks left out of those as found, where they count as delivered."""
    return [f"Assumed, {text}. Type what you see." for text in assumed_marks(engine, *_standing(engine, request))]


def _standing(engine: Engine, request: Request) -> tuple[Setting, tuple[int, ...]]:
    """How the board stands as found, and the marks of it that nobody typed; nothing of a board that is new."""
    if request.found is None:
        return (), ()
    return BoardMarks(setting=request.found, unread=request.unread).standing(engine)


def _kept(table: Table, space: Space) -> list[Block]:
    out: list[Block] = []
    facts = _from_facts(table, space)
    if facts:
        out.append(f"Set to match the equipment: {', '.join(f'{name} {at}' for name, at in facts.items())}")
    for part in table.parts:
        if part.name in space.delivered_used:
            add = how_to_give(table, part.declares).removeprefix(": ")
            out.append(f"Not known what {part.name} should be set for: left alone; {add}.")
    return out


LEFT_OUT = {
    "cut": "cut links are not proposed",
    "copied row": "rows that behave as another are not proposed",
    "not used": "positions the manual calls not used",
    "ambiguous figure": "figures that can't be made out",
    "off pins": "off its pins is not proposed",
    "fact": "airflow that depends on what isn't given",
}
"""What a search passed over -> how it is said."""


def _left_out(table: Table, result: FindResult) -> list[Block]:
    """`Left out: cut links are not proposed (LK1); ..`, and stages that no setting can have."""
    by_what: dict[str, list[str]] = {}
    for x in result.left_out:
        how = how_to_give(table, x.name) if x.what == "fact" else ""
        by_what.setdefault(x.what, []).append(f"{x.count} of {x.name}" if x.count > 1 else x.name + how)
    out: list[Block] = []
    if by_what:
        out.append(f"Left out: {'; '.join(f'{LEFT_OUT[what]} ({listed(names)})' for what, names in by_what.items())}.")
    if result.not_to_be_had:
        titles = listed(_title(call, stage) for call, stage in result.not_to_be_had)
        out.append(f"Not to be had in any setting: {titles}.")
    return out


def _found(
    engine: Engine, request: Request, space: Space, found: Found, rank: int, *, draw: bool, wide: bool, columns: int
) -> list[Block]:
    """One setting: what to set, what it gives, how far off target."""
    table = engine.table
    unread = _unread(table, space, found)
    before = tuple(
        was if i in unread or was is not None else now
        for i, (was, now) in enumerate(zip(space.baseline, found.setting, strict=True))
    )
    out: list[Block] = [f"{rank}. {_moves(table, request, space, found, unread)}"]
    start = "found" if request.found is not None else "factory"
    if draw:
        drawn = board_text(table, found.setting, before, wide=wide, columns=columns - 3)
    elif rank == 1:
        drawn = board_rows(table, before, found.setting, first=start, columns=columns - 3)
    else:
        drawn = [marks_of(found.setting, table)]
    out.append(Raw(lines=tuple(f"   {line}".rstrip() for line in drawn)))
    if draw:
        out.append(f"   type as {marks_of(found.setting, table)}")
    asked = {(t.call, t.stage): t for t in request.targets}
    cells = [
        (*stage_cells(table, s), _target(engine, asked.get((s.call, s.stage)), s, found.answers))
        for a in found.answers.values()
        for s in a.stages
        if isinstance(s.airflow, Fraction)
    ]
    out.append(Rows(cells=tuple(cells), indent=3, right=figures_right(cells, 1)))
    noes = [((s.call, s.stage), s.airflow) for a in found.answers.values() for s in a.stages]
    out += [f"   {text}" for text in no_lines(table, noes)]
    for word, parts in _to_set(request, unread).items():
        named = ", ".join(f"{table.parts[i].name} {mark(table, i, found.setting[i])}" for i in parts)
        out.append(f"   {word}; set before the power goes on: {named}")
    loose = [p.name for p in table.parts if found.setting[p.index] is None and table.selectors[p.selector].exclusive]
    if loose:
        leads = f"lead{'s' if len(loose) > 1 else ''} {listed(loose)}"
        out.append(f"   Find {leads} first: two on one tap burn the winding")
    if found.any_of:
        told = "; ".join(_any_of(table, one) for one in found.any_of)
        out.append(f"   Any of, as no target reads them: {told}")
    judgement = judge_setting(engine, found.setting, request.unread)
    pages, notes = judgement.pages, note_texts(judgement)
    tail = [f"off target {percent(found.deviation)} in all", "checked by reading it back"]
    out.append(f"   {'; '.join([*tail, pages_text(pages)] if pages else tail)}")
    return out + [f"   {text}" for text in note_lines(notes)]


def _any_of(table: Table, one: AnyOf) -> str:
    """`SW1-1 OFF or ON`; `SW1-5 SW1-6 OFF OFF or ON OFF` for selectors that depend on one another."""
    names = " ".join(table.parts[i].name for i in one.parts)
    if not 0 < len(one.choices) <= FEW_CHOICES:
        count = f"{len(one.choices):,}" if one.choices else "many"
        return f"{names} {count} ways"
    ways = (" ".join(mark(table, i, at) for i, at in zip(one.parts, c, strict=True)) for c in one.choices)
    return f"{names} {listed(ways, 'or')}"


def _to_set(request: Request, unread: Sequence[int]) -> dict[str, list[int]]:
    """Parts that have to be set whatever they stand at, by why nobody knows that."""
    out: dict[str, list[int]] = {}
    for i in unread:
        out.setdefault("Unreadable as found" if i in request.unread else "Not known how it is set", []).append(i)
    return out


def _unread(table: Table, space: Space, found: Found) -> tuple[int, ...]:
    """Parts of which it isn't known where they stand, and that have to be what the setting says."""
    return tuple(
        p.index
        for p in table.parts
        if space.baseline[p.index] is None and found.setting[p.index] is not None and not p.unused
    )


def _moved(found: Found, unread: Sequence[int]) -> tuple[int, ...]:
    """Parts that are moved from where they were seen, else from the factory setting."""
    return tuple(i for i in found.changed if i not in unread)


def _moves(table: Table, request: Request, space: Space, found: Found, unread: Sequence[int]) -> str:
    moved = _moved(found, unread)
    if not any(at is not None for at in space.baseline):
        return "Not known how it is set: moves not counted"
    start = "" if request.found is not None else " (this is the factory setting)"
    if not moved and unread:
        return f"Set {', '.join(f'{table.parts[i].name} {mark(table, i, found.setting[i])}' for i in unread)}"
    return set_text(table, space.baseline, found.setting, moved) + ("" if moved else start)


def _target(engine: Engine, target: Target | None, s: StageAnswer, answers: Mapping[str, CallAnswer]) -> str:
    """`target 1,200, 0.2 % low`."""
    if target is None:
        return ""
    value = _got(engine, target, s, answers)
    text = _target_text(engine.table, target)
    if value is None:
        return f"target {text}"
    off = target.deviation(value)
    side = "on target" if not off else f"{percent(off)} {'low' if value < target.low else 'high'}"
    return f"target {text}, {side}"


def _target_text(table: Table, target: Target) -> str:
    """`1,200`, `rise 60 F`, `375 cfm/ton`, `45 % of cooling`; a range with both its ends."""
    units = in_units(table)
    if target.quantity == "share":
        return target.text
    kind = KINDS[target.quantity]
    low, high = units.printed(target.low, kind), units.printed(target.high, kind)
    if target.quantity == "airflow":
        return number_of(low) if target.low == target.high else f"{number_of(low)} to {number_of(high)}"
    text = text_of(low) if target.low == target.high else range_text(low, high)
    return f"rise {text}" if target.quantity == "temperature rise" else text


def _got(engine: Engine, target: Target, s: StageAnswer, answers: Mapping[str, CallAnswer]) -> Fraction | None:
    if not isinstance(s.airflow, Fraction):
        return None
    other = answers[target.of[0]].stage(target.of[1]).airflow if target.of is not None else None
    heat = s.heat if isinstance(s.heat, Fraction) else None
    return got(engine, target, s.airflow, heat, other if isinstance(other, Fraction) else None)


def _miss(engine: Engine, request: Request, space: Space, miss: Miss) -> list[Block]:
    table = engine.table
    held = miss.blame
    unknown = (
        miss.refused
        and miss.nearest is None
        and all(no.kind in ("unreadable", "not_known") for _, _, no in miss.refused)
    )
    out: list[Block] = []
    if unknown:
        out.append("No setting can be worked out yet.")
    elif held:
        out.append(f"Nothing fits with {_held_text(table, request.held, miss.blame)}.")
        names = listed(table.parts[p].name for p in miss.blame)
        one = "it" if len(held) == 1 else "all of them" if miss.together else "any one of them"
        out.append(f"Release {names if len(held) == 1 else one} and a setting fits.")
    else:
        out.append("Nothing fits.")
    out += [f"  {_title(call, stage)}: {outcome_text(table, no)}" for call, stage, no in miss.refused]
    if miss.nearest is not None:
        near = miss.nearest
        out += ["", f"Closest (do not set): {marks_of(near.setting, table)}"]
        out += [f"  {text}" for text in broken_lines(table, _wrong(engine, request, near))]
        cells = [
            (s.title, outcome_text(table, s.airflow), f"target {_target_text(table, t)}")
            for t in request.targets
            for s in [near.answers[t.call].stage(t.stage)]
        ]
        out.append(Rows(cells=tuple(cells), indent=2, right=figures_right(cells, 1)))
    elif not miss.refused and not held:
        out += _refusing(engine, space.standing)
    return out


def _refusing(engine: Engine, near_setting: Setting) -> list[Block]:
    """Which calls the manual refuses, as the board stands: what every setting has in common where nothing is left."""
    answers = evaluate(engine, near_setting)
    noes = [
        ((s.call, s.stage), s.airflow)
        for a in answers.values()
        for s in a.stages
        if isinstance(s.airflow, No) and s.airflow.kind != "does_not_run"
    ]
    if not noes:
        return ["  No setting keeps every limit and gives every target an airflow."]
    return [f"  {text}" for text in no_lines(engine.table, noes)]


def _held_text(table: Table, held: Mapping[int, int], blame: Sequence[int]) -> str:
    """`SW1-1, SW1-5 and SW1-6 held ON`; `SW1-1 held ON and J2 held C`."""
    marks = {p: mark(table, p, held[p]) for p in blame}
    if len(set(marks.values())) == 1:
        return f"{listed(table.parts[p].name for p in blame)} held {next(iter(marks.values()))}"
    return listed(f"{table.parts[p].name} held {at}" for p, at in marks.items())


def _title(call: str, stage: str) -> str:
    return f"{call} {stage}".strip()
