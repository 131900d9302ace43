"""Ramps, delays, dehumidify by wish: positions to be held so that a wish comes true, where no limit is broken and the
airflow stays within a few percent of its targets."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product

from selector.job.remark import Remark, remark
from selector.job.targets.house import House
from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Found, Request, nearest
from selector.solve.search.space import baseline_of, declared_position
from selector.table.model.table import Call, CellWord, Chart, Named, No, Part, Ramp, Table
from selector.value import Struct, replace

FEW = Fraction(5, 100)
"""A wish outweighs so much of each aim, never a limit (common practice: a few percent, no source)."""
MOST_COMBINATIONS = 4_096
"""Positions of one chart's selectors that are looked at for a wish."""


class Wish(Struct, frozen=True, kw_only=True):
    """One wish: what for, and every way its selectors could stand for it. `refused`: why it can't be granted at all.
    `careful`: what can't be undone."""

    wish: Remark
    ways: tuple[Mapping[int, int], ...] = ()
    refused: Remark | None = None
    careful: Remark | None = None


class WishOutcome(Struct, frozen=True, kw_only=True):
    """What became of a wish: `why` not, None where it was granted."""

    wish: Remark
    why: Remark | None = None


class Granted(Struct, frozen=True, kw_only=True):
    """The positions held for the wishes that were granted, and what became of each wish."""

    held: Mapping[int, int]
    outcomes: tuple[WishOutcome, ...] = ()
    careful: tuple[Remark, ...] = ()


def grant(house: House, engine: Engine, request: Request) -> Granted:
    """One wish after the other, each kept only where the first setting stays within a few percent of what it was.
    Raises rank.TooLarge as the search."""
    held = dict(request.held)
    said: list[WishOutcome] = []
    careful: list[Remark] = []
    wishes = list(wishes_of(house, engine))
    first = _first(engine, replace(request, held=held)) if wishes else None
    for wish in wishes:
        if first is None:
            break
        if wish.refused:
            said.append(WishOutcome(wish=wish.wish, why=wish.refused))
            continue
        best = _best(engine, request, held, wish, first)
        if best is None:
            said.append(WishOutcome(wish=wish.wish, why=remark("breaks a limit")))
        elif best[1].deviation > first.deviation + FEW * max(1, len(request.targets)):
            said.append(WishOutcome(wish=wish.wish, why=remark("too far from the targets")))
        else:
            held, first = best
            said.append(WishOutcome(wish=wish.wish))
            careful += [wish.careful] if wish.careful is not None else []
    return Granted(held=held, outcomes=tuple(said), careful=tuple(dict.fromkeys(careful)))


def _first(engine: Engine, request: Request) -> Found | None:
    return nearest(engine, request)


def _best(
    engine: Engine, request: Request, held: dict[int, int], wish: Wish, first: Found
) -> tuple[dict[int, int], Found] | None:
    """The way with the least deviation, then the fewest moves; ways against what is held already are left out.

    Holding more never lowers the deviation: the first way that keeps it, those with the fewest moves looked at first,
    is taken at once.
    """
    best: tuple[dict[int, int], Found] | None = None
    baseline = baseline_of(engine, request.found)
    for way in sorted(wish.ways, key=lambda w: sum(baseline[part] != at for part, at in w.items())):
        if any(held.get(part, at) != at for part, at in way.items()):
            continue
        tried = {**held, **way}
        found = _first(engine, replace(request, held=tried))
        if found is not None and (best is None or (found.deviation, found.moves) < (best[1].deviation, best[1].moves)):
            best = tried, found
            if found.deviation <= first.deviation:
                break
    return best


def wishes_of(house: House, engine: Engine) -> Iterable[Wish]:
    """The wishes of a job: dehumidify first, then a slower ramp where the complaint asks for it, then by chart in
    the order typed."""
    wish = house.job.dehumidify
    if wish is not None and wish.wanted is not None:
        yield from _dehumidify(house, engine, wish.wanted.text == "yes")
    if house.eased.slower_ramp:
        yield from _slower_ramps(house, engine)
    for name, word in house.job.wishes.items():
        chart = engine.table.charts.get(name)
        if chart is not None:
            yield _chart_wish(house, engine, chart, word.text)


def _slower_ramps(house: House, engine: Engine) -> Iterable[Wish]:
    """The longest start of each chart that a cooling call comes up by, without a ramp down, which puts water back; but
    of those that the person wishes something else of."""
    cooling = [engine.table.calls[name] for name, role in house.roles.items() if role == "cooling"]
    names = dict.fromkeys(
        a.name for call in cooling for a in call.ramp.values() if isinstance(a, Named) and a.name in engine.table.charts
    )
    for name in names:
        if name not in house.job.wishes:
            wish = _chart_wish(house, engine, engine.table.charts[name], "longest", down=False)
            yield replace(wish, wish=remark("slower ramp", chart=name))


# -- by chart


def _chart_wish(house: House, engine: Engine, chart: Chart, text: str, *, down: bool = True) -> Wish:
    """What is wished of a chart; without `down` no ramp that slows after the call."""
    wish = remark("of a chart", chart=chart.name, figure=text)
    reading = engine.chart(chart, *_read_by(engine.table, chart), "")
    free = _free(house, engine, reading.parts)
    if isinstance(free, Remark):
        return Wish(wish=wish, refused=free)
    outcomes = [(way, reading.find(tuple(way[p] for p in reading.parts))) for way in free]
    allowed = [
        (way, o) for way, o in outcomes if not _copies(reading, way) and (down or not _slows_after(engine.table, o))
    ]
    wanted = text.casefold()
    if wanted in ("longest", "shortest"):
        timed = [(way, seconds) for way, o in allowed if (seconds := _seconds(engine.table, o)) is not None]
        if not timed:
            return Wish(wish=wish, refused=remark("no times", chart=chart.name))
        pick = (max if wanted == "longest" else min)(seconds for _, seconds in timed)
        return Wish(wish=wish, ways=tuple(way for way, seconds in timed if seconds == pick))
    ways = tuple(way for way, o in allowed if _meant(o, wanted))
    if ways:
        return Wish(wish=wish, ways=ways)
    printed = list(dict.fromkeys(_said(o) for _, o in allowed if not isinstance(o, No)))
    return Wish(wish=wish, refused=remark("no such row", printed=tuple(printed[:8])))


def _read_by(table: Table, chart: Chart) -> tuple[Call, str]:
    """A call, at its last stage, that the chart belongs to."""
    for call in table.calls.values():
        for by_stage in (call.ramp, call.on_delay, call.off_delay):
            if any(isinstance(a, Named) and a.name == chart.name for a in by_stage.values()):
                return call, call.last
    for call in table.calls.values():
        if any(isinstance(a, Named) and a.name == chart.name for step in call.airflow for a in step.by_stage.values()):
            return call, call.last
    call = next(iter(table.calls.values()))
    return call, call.last


def _free(house: House, engine: Engine, parts: Iterable[int]) -> list[dict[int, int]] | Remark:
    """Every way the selectors of a chart may be set: declaring ones, links and held ones stay; a remark: why
    it can't be listed."""
    choices: list[list[tuple[int, int]]] = []
    count = 1
    for p in parts:
        part = engine.table.parts[p]
        stay = _stays(house, engine, part)
        positions = [stay] if stay is not None else [i for i in range(len(part.positions)) if i not in part.idle]
        choices.append([(p, at) for at in positions])
        count *= len(positions)
    if count > MOST_COMBINATIONS:
        return remark("too many ways", count=f"{count:,}")
    return [dict(way) for way in product(*choices)]


def _stays(house: House, engine: Engine, part: Part) -> int | None:
    """The position a part keeps whatever is wished, None where it may be set."""
    at = house.known.held.get(part.index)
    if at is not None:
        return at
    base = baseline_of(engine, house.now)[part.index]
    if part.declares:
        declared = declared_position(engine, part, part.declares)
        return declared if declared is not None else base
    if part.leave_at is not None:
        return part.leave_at
    return base if part.final or part.unused else None


def _copies(reading: ChartReading, way: Mapping[int, int]) -> bool:
    row = reading.row(tuple(way[p] for p in reading.parts))
    return row is not None and bool(row.like)


def _meant(outcome: Outcome, wanted: str) -> bool:
    if isinstance(outcome, No):
        return False
    cell = outcome[0]
    if cell is CellWord.NONE:
        return wanted in ("none", "0")
    if isinstance(cell, Fraction):
        number = wanted.removesuffix("%").removesuffix("seconds").removesuffix("s").strip()
        try:
            return Fraction(number) == cell
        except (ValueError, ZeroDivisionError):
            return False
    return isinstance(cell, str) and cell.casefold() == wanted


def _said(outcome: Outcome) -> str:
    if isinstance(outcome, No):
        return ""
    cell = outcome[0]
    return f"{float(cell):g}" if isinstance(cell, Fraction) else cell if isinstance(cell, str) else "none"


def _seconds(table: Table, outcome: Outcome) -> Fraction | None:
    """Seconds of a delay, or of a ramp until its last share."""
    if isinstance(outcome, No):
        return None
    cell = outcome[0]
    if cell is CellWord.NONE:
        return Fraction(0)
    if isinstance(cell, Fraction):
        return cell
    ramp: Ramp | None = table.ramps.get(cell) if isinstance(cell, str) else None
    return sum((s.seconds for s in ramp.steps if not s.after), start=Fraction(0)) if ramp is not None else None


def _slows_after(table: Table, outcome: Outcome) -> bool:
    ramp = None if isinstance(outcome, No) or not isinstance(outcome[0], str) else table.ramps.get(outcome[0])
    return ramp is not None and any(step.after for step in ramp.steps)


# -- dehumidify


def _dehumidify(house: House, engine: Engine, wanted: bool) -> Iterable[Wish]:
    """Positions under which every dehumidify call runs (or none does)."""
    calls = [engine.table.calls[name] for name, role in house.roles.items() if role == "dehumidify"]
    wish = remark("dehumidify" if wanted else "no dehumidify")
    if not calls:
        yield Wish(wish=wish, refused=remark("no such call"))
        return
    for call in calls:
        yield _dehumidify_call(house, engine, call, wanted, wish)


def _dehumidify_call(house: House, engine: Engine, call: Call, wanted: bool, wish: Remark) -> Wish:
    others = {
        p for name, role in house.roles.items() if role == "cooling" for p in _parts(engine, engine.table.calls[name])
    }
    own = [p for p in _parts(engine, call) if p not in others]
    base = baseline_of(engine, house.now)
    cutting = [p for p in own if engine.table.parts[p].final and base[p] not in engine.table.parts[p].final]
    humidistat = house.job.dehumidify.humidistat if house.job.dehumidify is not None else None
    if wanted and cutting and house.eased.dehumidify:
        name = engine.table.parts[cutting[0]].name
        return Wish(wish=remark("dehumidify for the complaint"), refused=remark("cut, if meant", part=name))
    if wanted and cutting and humidistat is None:
        name = engine.table.parts[cutting[0]].name
        return Wish(wish=wish, refused=remark("cut, humidistat not stated", part=name))
    choices = [_choices(house, engine, engine.table.parts[p]) for p in own]
    ways = []
    for way in product(*choices):
        setting = list(base)
        for p, at in way:
            setting[p] = at
        airflow = Board(engine, tuple(setting)).airflow(engine.asked(call, call.last))
        runs = not (isinstance(airflow, No) and airflow.kind == "does_not_run")
        if runs == wanted and not (isinstance(airflow, No) and airflow.kind == "not_usable"):
            ways.append(dict(way))
    if not ways:
        return Wish(wish=wish, refused=remark("no position gives it"))
    cut = any(way[p] in engine.table.parts[p].final for way in ways for p in cutting)
    parts = tuple(engine.table.parts[p].name for p in cutting)
    careful = remark("cut for good", parts=parts) if wanted and cut else None
    return Wish(wish=wish, ways=tuple(ways), careful=careful)


def _choices(house: House, engine: Engine, part: Part) -> list[tuple[int, int]]:
    """Where a part may stand for the wish: a link that is whole may be cut, one that is cut stays cut."""
    stay = _stays(house, engine, part)
    uncut = stay is not None and bool(part.final) and stay not in part.final and part.index not in house.known.held
    positions = (
        [stay] if stay is not None and not uncut else [i for i in range(len(part.positions)) if i not in part.idle]
    )
    return [(part.index, at) for at in positions]


def _parts(engine: Engine, call: Call) -> tuple[int, ...]:
    programs = [engine.airflow(call, stage, engine.asked(call, stage).rate) for stage in call.stages]
    return tuple(dict.fromkeys(p for program in programs for i in program for r in i.readings for p in r.parts))
