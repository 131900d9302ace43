"""What `find` says: the ranked settings, or why nothing fits."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

from selector.answers.call_text import (
    airflow_text,
    broken,
    call_data,
    limit_text,
    not_judged_lines,
    page_line,
    pages_and_notes,
    stage_text,
)
from selector.answers.words.figure import figure, number, percent
from selector.answers.words.fold import indented
from selector.answers.words.head import head
from selector.solve.board.marks import mark, mark_by_part, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, beyond, evaluate, running_tons
from selector.solve.rank.rank import TooLarge
from selector.solve.search.find import FindResult, Found, Miss, Request
from selector.solve.search.reach import reachable
from selector.solve.search.space import Space
from selector.solve.search.targets import Target, got, point_of
from selector.table.model.cautions import cautions
from selector.table.model.table import Table
from selector.units import convert


def lines(
    engine: Engine, request: Request, result: FindResult, *, wide: bool, drawn: str, columns: int = 80
) -> list[str]:
    """The answer for people."""
    table = engine.table
    out = [head(table, engine.plate_model()), *beyond(engine)]
    if any(a.deviation > b.deviation for a, b in pairwise(result.found)):
        points = figure(request.near)
        out.append(
            f"deviations within {points} point{'s' if points != '1' else ''} count as equal, fewest moves first (--near"
            " 0: strictly by deviation)"
        )
    if result.found:
        out += _far(engine, request, result)
    for i, found in enumerate(result.found, 1):
        out += [
            "",
            *_found(
                engine,
                request,
                result.space,
                found,
                i,
                wide=wide,
                columns=columns if drawn == "all" or (drawn == "first" and i == 1) else 0,
            ),
        ]
    if result.nearer is not None:
        out += ["", *_nearer(engine, request, result.nearer)]
    if result.miss is not None:
        out += ["", *_miss(engine, request, result.miss)]
    if result.not_judged:
        out += [
            "",
            "not judged:",
            *indented(not_judged_lines(engine.table, [(n.call, n.stage, n.limit, n.why) for n in result.not_judged])),
        ]
    kept = _kept(table, result.space)
    if kept:
        out += ["", *kept]
    if result.found:
        heat, cool = _touched(engine, result.space, result.found[0])
        out += ["", "before setting it:", *indented(list(cautions(table, heat=heat, cooling=cool)))]
    return out


FAR = Fraction(15, 100)
"""Further off than this is no answer to what was asked: the tolerance at commissioning of ANSI/ACCA 5 QI (from
memory)."""
PER_TON = (Fraction(250), Fraction(500))
"""Cfm per ton: a figure in here asked for as an airflow of so much equipment was meant per ton. Common practice, no
source."""


def _far(engine: Engine, request: Request, result: FindResult) -> list[str]:
    """What was asked for and the first setting is far from: what the board can give there, and whether an airflow
    per ton was meant."""
    unit = engine.table.units.airflow
    out = []
    for t in request.targets:
        s = result.found[0].answers[t.call].stage(t.stage)
        value = _got(engine, t, s, result.found[0].answers)
        if value is None or t.deviation(value) <= FAR:
            continue
        told = f"{s.title}: asked {t.text}, and the first setting is {percent(t.deviation(value))} off"
        try:
            reach = reachable(engine, result.space, point_of(engine, t.call, t.stage))
        except TooLarge:
            reach = ()
        out.append(
            f"{told}; settings of this board give {figure(reach[0])} to {figure(reach[-1])} {unit} there"
            if reach
            else told
        )
        tons = running_tons(engine, engine.table.calls[t.call], t.stage)
        per_ton = [convert(end, unit, "cfm") for end in (t.low, t.high)]
        if t.quantity == "airflow" and tons and tons > 1 and PER_TON[0] <= per_ton[0] and per_ton[1] <= PER_TON[1]:
            out.append(f'  for an airflow per ton type {t.call}="{figure(t.low)} per ton"')
    return out and ["", *out]


def _nearer(engine: Engine, request: Request, nearer: Found) -> list[str]:
    """A setting nearer than the best, and the limits that forbid it."""
    table = engine.table
    figures = [
        f"{s.title} {stage_text(table, s)}" for t in request.targets for s in [nearer.answers[t.call].stage(t.stage)]
    ]
    out = [f"nearer, but outside its limits: {marks_of(nearer.setting, table)}, {', '.join(figures)}"]
    return out + [f"  {s.title}: {limit_text(table, j)}" for s, j in broken(nearer.answers)]


def _touched(engine: Engine, space: Space, found: Found) -> tuple[bool, bool]:
    """Whether a call that heats, and one with the compressor on, gets another airflow than before."""
    before = evaluate(engine, space.baseline)
    changed = [
        engine.table.calls[a.call]
        for a in found.answers.values()
        if any(s.airflow != before[a.call].stage(s.stage).airflow for s in a.stages)
    ]
    return any(c.heats for c in changed), any(c.compressor for c in changed)


def _kept(table: Table, space: Space) -> list[str]:
    out = []
    facts = [f"{table.parts[i].name} on {mark(table, i, at)}" for i, (at, why) in space.fixed.items() if why == "fact"]
    if facts:
        out.append(f"set from the equipment, not searched: {', '.join(facts)}")
    if space.delivered_used:
        out.append(
            f"the equipment that {', '.join(space.delivered_used)} tells the board is not given: left as it stands"
        )
    return out


def _found(
    engine: Engine, request: Request, space: Space, found: Found, rank: int, *, wide: bool, columns: int
) -> list[str]:
    """One setting, its board drawn in so many columns (0: not drawn)."""
    table = engine.table
    out = [f"{rank}. {marks_of(found.setting, table)}   deviation {percent(found.deviation, 2)}"]
    asked = {(t.call, t.stage): t for t in request.targets}
    grid = [
        [
            s.title,
            stage_text(table, s),
            _aim(engine, asked[s.call, s.stage], s, found.answers) if (s.call, s.stage) in asked else "",
        ]
        for a in found.answers.values()
        for s in a.stages
    ]
    width = max(len(g[0]) for g in grid)
    middle = max(len(g[1]) for g in grid)
    out += [f"   {name:<{width}}  {text:<{middle}}  {aim}".rstrip() for name, text, aim in grid]
    unread = _unread(table, request, found)
    if columns:
        from selector.draw.parts.text import board_text

        before = tuple(
            was if i in unread else now if was is None else was
            for i, (was, now) in enumerate(zip(request.found or space.baseline, found.setting, strict=True))
        )
        out += ["", *indented(board_text(table, found.setting, before, wide=wide, columns=columns - 3), 3), ""]
    out.append("   " + _moves(table, request, space, found))
    if unread:
        named = ", ".join(f"{table.parts[i].name} on {mark(table, i, found.setting[i])}" for i in unread)
        out.append(f"   not read as found, so see that they stand as drawn before power goes on: {named}")
    loose = [p.name for p in table.parts if found.setting[p.index] is None and table.selectors[p.selector].exclusive]
    if loose:
        out.append(
            f"   not known where {', '.join(loose)} stand{'s' if len(loose) == 1 else ''}: look first; two leads on one"
            " tap burn the winding"
        )
    pages, notes = pages_and_notes(table, found.answers)
    if pages:
        out.append(f"   {page_line(pages)}")
    out += [f"   note: {n}" for n in notes]
    out.append("   decoded back: the marks above, read from the charts' rows, give these airflows")
    return out


def _unread(table: Table, request: Request, found: Found) -> tuple[int, ...]:
    """Parts whose position as found isn't known, and has to be what the setting says."""
    if request.found is None:
        return ()
    return tuple(
        p.index
        for p in table.parts
        if request.found[p.index] is None and found.setting[p.index] is not None and not p.unused
    )


def _moved(table: Table, request: Request, found: Found) -> tuple[int, ...]:
    """Parts that are moved from where they were seen, else from where they are delivered."""
    unread = _unread(table, request, found)
    return tuple(i for i in found.changed if i not in unread)


def _moves(table: Table, request: Request, space: Space, found: Found) -> str:
    start = "as found" if request.found is not None else "as delivered"
    moved = _moved(table, request, found)
    unsaid = [p.name for p in table.parts if space.baseline[p.index] is None and p.index in space.searched]
    if unsaid:
        told = f"the table doesn't say how {', '.join(unsaid)} {'is' if len(unsaid) == 1 else 'are'} delivered: "
        return told + (f"moves elsewhere: {len(moved)}" if moved else "no moves are counted")
    if not moved:
        return f"no moves: this is the board {start}" + (
            ", as far as it was read" if _unread(table, request, found) else ""
        )
    moves = ", ".join(
        f"{table.parts[i].name} {mark(table, i, space.baseline[i])} -> {mark(table, i, found.setting[i])}"
        for i in moved
    )
    return f"{len(moved)} move{'s' if len(moved) > 1 else ''} from {start}: {moves}"


def _aim(engine: Engine, target: Target, s: StageAnswer, answers: dict[str, CallAnswer] | Any) -> str:
    value = _got(engine, target, s, answers)
    if value is None:
        return f"asked {target.text}"
    aim = target.low if value < target.low else target.high if value > target.high else value
    off = (value - aim) / aim if aim else Fraction(0)
    shown = percent(abs(off))
    if not off:
        return f"asked {target.text}: met"
    return (
        f"asked {target.text}:"
        f" {'less than 0.1 % off' if shown == '0 %' else f'{chr(43) if off > 0 else chr(45)}{shown}'}"
    )


def _got(engine: Engine, target: Target, s: StageAnswer, answers: Any) -> Fraction | None:
    if not isinstance(s.airflow, Fraction):
        return None
    other = answers[target.of[0]].stage(target.of[1]).airflow if target.of is not None else None
    return got(
        engine,
        target,
        s.airflow,
        s.heat if isinstance(s.heat, Fraction) else None,
        other if isinstance(other, Fraction) else None,
    )


def _miss(engine: Engine, request: Request, miss: Miss) -> list[str]:
    table = engine.table
    unknown = (
        miss.refused
        and miss.nearest is None
        and all(no.kind in ("unreadable", "not_known") for _, _, no in miss.refused)
    )
    out = ["a fact is missing." if unknown else "nothing fits."]
    for call, stage, no in miss.refused:
        out.append(f"  {call} {stage}".rstrip() + f" {airflow_text(table, no)}")
    if miss.nearest is not None:
        out.append(f"  nearest: {marks_of(miss.nearest.setting, table)}")
        for call, stage, judged in miss.broken:
            out.append(
                f"    {call} {stage}".rstrip() + f": {limit_text(table, judged)}, {percent(judged.miss)} outside"
            )
        for t in request.targets:
            s = miss.nearest.answers[t.call].stage(t.stage)
            out.append(f"    {s.title}: {stage_text(table, s)}, asked {t.text}")
    if miss.blame:
        names = [f"{table.parts[p].name}={mark(table, p, request.held[p])}" for p in miss.blame]
        which = names[0] if len(names) == 1 else f"{'all' if miss.together else 'any one'} of {', '.join(names)}"
        out.append(f"  a setting fits without holding {which}")
    if not miss.refused and miss.nearest is None and not miss.blame:
        out.append("  every setting is refused by a row of the page, or a fact is missing (see below)")
    return out


def _found_data(engine: Engine, request: Request, found: Found) -> dict[str, Any]:
    table = engine.table
    pages, notes = pages_and_notes(table, found.answers)
    return {
        "marks": marks_of(found.setting, table),
        "setting": mark_by_part(found.setting, table),
        "deviation": float(found.deviation),
        "exact": str(found.deviation),
        "moves": [
            {"part": table.parts[i].name, "to": mark(table, i, found.setting[i])} for i in _moved(table, request, found)
        ],
        "not read": [
            {"part": table.parts[i].name, "to": mark(table, i, found.setting[i])}
            for i in _unread(table, request, found)
        ],
        "calls": [call_data(a) for a in found.answers.values()],
        "pages": pages,
        "notes": notes,
        "decoded back": True,
    }


def data(engine: Engine, request: Request, result: FindResult) -> dict[str, Any]:
    """The answer for JSON; its shape is published in schemas/find.json."""
    table = engine.table
    miss = result.miss
    return {
        "version": 1,
        "table": table.name,
        "unit": {
            "airflow": table.units.airflow,
            "temperature": table.units.temperature,
            "pressure": table.units.pressure,
        },
        "targets": [
            {
                "call": t.call,
                "stage": t.stage,
                "quantity": t.quantity,
                "low": number(t.low),
                "high": number(t.high),
                "weight": number(t.weight),
            }
            for t in request.targets
        ],
        "found": [_found_data(engine, request, f) for f in result.found],
        "not judged": [{"call": n.call, "stage": n.stage, "limit": n.limit, "why": n.why} for n in result.not_judged],
        "nothing fits": None
        if miss is None
        else {
            "nearest": _found_data(engine, request, miss.nearest) if miss.nearest is not None else None,
            "broken": [
                {
                    "call": c,
                    "stage": s,
                    "limit": j.limit.source,
                    "value": number(j.value),
                    "low": number(j.low),
                    "high": number(j.high),
                    "outside": number(j.miss),
                }
                for c, s, j in miss.broken
            ],
            "refused": [{"call": c, "stage": s, "no": no.kind, "why": no.why} for c, s, no in miss.refused],
            "to blame": [table.parts[p].name for p in miss.blame],
        },
    }
