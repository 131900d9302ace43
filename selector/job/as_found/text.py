"""A board as found for people and for JSON: stages, moves in the order they stand on the board, what to look at, why
nothing fits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from selector.job.as_found.record import AsFound
from selector.job.board import complaints
from selector.job.board.fewest import Fewest
from selector.job.board.stage_verdicts import Standing
from selector.job.board.unread import Look, Unread
from selector.job.targets.stage_target import Wanted, flow, whys, window_text
from selector.solve.board.marks import mark, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import JudgedLimit
from selector.table.model.cautions import CUT, cautions
from selector.table.model.table import No, Setting, Table
from selector.units import format_number

_MAY = {"not judged": "running, not judged", "does not run": "not running"}


def lines_of(answer: AsFound, engine: Engine, wanted: Sequence[Wanted]) -> list[str]:
    """The answer for people."""
    table = engine.table
    out = [f"as found: {marks_of(answer.setting, table)}"]
    out += [f"FIRST: {line}." for line in answer.first]
    out += ["", *standing_lines(answer.standings, engine, wanted, answer.unread), ""]
    out += [f"`{name}`: {no.why}" for name, no in answer.refused]
    out += _verdict(answer, table)
    if answer.moves is not None:
        out += _moves(answer, answer.moves, engine, wanted)
    unjudged = dict.fromkeys(f"{s.title}, {j.limit.source}: {j.why}" for s in answer.standings for j in s.unjudged)
    out += [f"not judged: {line}" for line in unjudged]
    out += [f"worth a look: {line}" for line in answer.remarks]
    if answer.advice is not None:
        out += ["", *complaints.lines(answer.advice, engine)]
    touched = _touched(answer)
    if touched and answer.offered:
        out += ["", "before setting it:", *(f"  {line}" for line in caution_lines(engine, answer.setting, touched))]
    return out


def _verdict(answer: AsFound, table: Table) -> list[str]:
    if answer.unread is not None and (answer.unread.looks or answer.unread.idle):
        return _unread(answer.unread, table, answer.standings)
    if answer.right:
        judged = (
            "every call that can be judged" if any(s.place == "not judged" for s in answer.standings) else "every call"
        )
        return [f"{judged} is inside its window and limits: nothing has to move"]
    if answer.right is None:
        return ["not every call that has a window can be judged"]
    return []


def standing_lines(
    stands: Sequence[Standing], engine: Engine, wanted: Sequence[Wanted], open_marks: Unread | None = None
) -> list[str]:
    """One line a stage: airflow, how it stands, its window, the limits it breaks."""
    table = engine.table
    width = max(len(s.title) for s in stands)
    return [f"{s.title:<{width}}  {_stage(s, engine, wanted, open_marks, table)}" for s in stands]


def _stage(s: Standing, engine: Engine, wanted: Sequence[Wanted], open_marks: Unread | None, table: Table) -> str:
    unit = table.units.airflow
    if isinstance(s.airflow, No):
        if (
            s.place == "not known"
            and open_marks is not None
            and len(places := sorted(open_marks.places[s.call, s.stage])) > 0
        ):
            said = [_MAY.get(p, p) for p in places]
            return f"not known, {s.airflow.why}: " + (
                f"it may be {' or '.join(said)}" if len(said) > 1 else f"{said[0]} either way"
            )
        without = (
            ", and its heat would have no air"
            if s.place == "refused" and s.airflow.kind == "does_not_run" and _heats(s, wanted)
            else ""
        )
        return f"{s.airflow.kind}: {s.airflow.why}{without}"
    out = f"{flow(s.airflow)} {unit}  {s.place}"
    if s.place == "not judged":
        rise = f", rise {flow(round(s.rise, 1))} {table.units.temperature}" if s.rise is not None else ""
        why = "; ".join(
            dict.fromkeys(w.unjudged for w in wanted if (w.call, w.stage) == (s.call, s.stage) and w.unjudged)
        )
        return f"{out}{rise}" + (f": {why}" if why else ", it has no window")
    end = s.low if s.place == "below" else s.high
    if s.place in ("below", "above") and end is not None:
        out += f" by {flow(abs(s.airflow - end))} {unit}"
        if end:
            out += f" ({format_number(abs(s.airflow - end) / end * 100, 1)} %)"
    if s.low is not None or s.high is not None:
        why = whys(wanted, (s.call, s.stage))
        out += f", window {window_text(s.low, s.high, table)}" + (f" ({why})" if why else "")
    return out + "".join(f"; {limit_text(j, engine)}" for j in s.broken if not _same_end(j, s))


def _heats(s: Standing, wanted: Sequence[Wanted]) -> bool:
    return any(w.must_run for w in wanted if (w.call, w.stage) == (s.call, s.stage))


def _same_end(j: JudgedLimit, s: Standing) -> bool:
    """True where a broken limit is the window's own end once more."""
    if j.limit.quantity != "airflow" or j.value != s.airflow:
        return False
    return (s.place == "below" and j.low == s.low) or (s.place == "above" and j.high == s.high)


def limit_text(j: JudgedLimit, engine: Engine) -> str:
    """`rise 67.8 F, allowed 35 to 65 F (rise on the rating plate)`."""
    units = engine.table.units
    unit = {"airflow": units.airflow, "airflow per ton": f"{units.airflow} per ton"}.get(
        j.limit.quantity, units.temperature
    )
    if j.low is not None and j.high is not None:
        allowed = f"{flow(j.low)} to {flow(j.high)} {unit}"
    else:
        allowed = (
            f"at least {flow(j.low)} {unit}"
            if j.low is not None
            else f"at most {flow(j.high)} {unit}"
            if j.high is not None
            else "nothing"
        )
    got = f"{flow(j.value)} {unit}" if j.value is not None else "not known"
    rate = f" at {flow(Fraction(j.rate))} % fire" if j.rate else ""
    return f"{j.limit.quantity} {got}{rate}, allowed {allowed} ({j.limit.source})"


def _unread(u: Unread, table: Table, stands: Sequence[Standing]) -> list[str]:
    out = []
    names = " ".join(table.parts[look.part].name for look in u.looks)
    if u.wrong.verdict is True:
        judged = (
            "every call that can be judged"
            if any("not judged" in u.places[s.call, s.stage] for s in stands)
            else "every call"
        )
        out.append(f"{judged} is inside its window and limits, whatever the unreadable marks are: nothing has to move")
    elif u.wrong.verdict is False:
        least, most = u.wrong_stages.least, u.wrong_stages.most
        stages = f"{least} to {most} stages" if most != least else f"{most} stage{'s' if most != 1 else ''}"
        out.append("wrong whatever the unreadable marks are" + (f": {stages}" if most else ""))
    else:
        out.append("whether this board is right hangs on marks that can't be read")
    if u.wrong.verdict is False and names:
        out.append(
            f"{names} needn't be read first: no position of theirs puts the board right"
            if len(u.looks) > 1
            else f"{names} needn't be read first: none of its positions puts the board right"
        )
    elif names:
        for n, look in enumerate(u.looks):
            out += _look(look, table, first=n == 0)
    if u.idle:
        out.append(f"no verdict hangs on {' '.join(table.parts[i].name for i in u.idle)}")
    return out


def _look(look: Look, table: Table, *, first: bool) -> list[str]:
    name = table.parts[look.part].name
    if not first:
        return [f"then at {name}"]
    decides = ": it decides" if look.decides else ""
    out = [f"look first at {name}{decides}"]
    said: dict[str, list[int]] = {}
    for at, wrong, left in zip(look.positions, look.wrong, look.open, strict=True):
        verdict = {True: "the board is right", False: "the board is wrong", None: "still open"}[wrong.verdict]
        rest = f", {left} stage{'s' if left != 1 else ''} undecided" if left else ""
        said.setdefault(f"{verdict}{rest}", []).append(at)
    out += [f"  {_positions(look.part, ats, look.positions, table)}: {words}" for words, ats in said.items()]
    taken = [at for at in range(len(table.parts[look.part].positions)) if at not in look.positions]
    if taken and table.selectors[table.parts[look.part].selector].exclusive:
        every = range(len(table.parts[look.part].positions))
        out.append(
            f"  {_positions(look.part, taken, every, table)}: other leads stand there; two on one tap burn the winding"
        )
    return out


def _positions(part: int, ats: Sequence[int], every: Sequence[int], table: Table) -> str:
    """Positions by their marks, three or more in a row by the first and the last: `300 to 320, 425 to 450`."""
    runs: list[list[int]] = []
    for at in ats:
        if runs and every.index(at) == every.index(runs[-1][-1]) + 1:
            runs[-1].append(at)
        else:
            runs.append([at])
    words = []
    for run in runs:
        marks = [mark(table, part, at) for at in run]
        words += [f"{marks[0]} to {marks[-1]}"] if len(marks) > 2 else marks
    return ", ".join(words)


def _moves(answer: AsFound, moves: Fewest, engine: Engine, wanted: Sequence[Wanted]) -> list[str]:
    table = engine.table
    if moves.setting is None:
        return _nothing(moves, table)
    if not answer.offered:
        return ["moves are not offered while the thermostat is in force: set it there, or take it out of force first"]
    also = f", and {len(moves.to_set)} to set that can't be read" if moves.to_set else ""
    out = ["", f"fewest moves: {len(moves.moves)}{also}, in the order they stand on the board"]
    out += [f"  {m.text(table)}" for m in moves.in_order]
    out.append(
        "  proved: an exact search over every setting that may be proposed finds none inside all windows and limits"
        " with fewer"
    )
    return [
        *out,
        "",
        f"as left: {marks_of(moves.setting, table)}",
        *(f"  {line}" for line in standing_lines(answer.left, engine, wanted)),
    ]


def _nothing(moves: Fewest, table: Table) -> list[str]:
    if moves.first_read:
        names = " ".join(table.parts[p].name for p in moves.first_read)
        return [
            "",
            (
                f"no move is offered before {names} is read: the moves hang on what is installed, and nothing here"
                " tells it"
            ),
        ]
    out = [
        "",
        "no setting brings every call inside its window and limits (every setting that may be proposed was searched)",
    ]
    if not moves.against:
        return [*out, "  the page refuses every setting, or a fact is missing"]
    if len(moves.against) == 1:
        one = moves.against[0]
        nearest = (
            f": the nearest any setting gives is {flow(one.nearest)} {table.units.airflow}"
            if one.nearest is not None
            else ""
        )
        out.append(f"  {one.words} can't be had{nearest}")
    else:
        out.append(
            "  these can't be had together, though without any one of them the rest can:"
            f" {'; '.join(o.words for o in moves.against)}"
        )
    if moves.shared:
        out.append(f"  {' '.join(table.parts[p].name for p in moves.shared)} act on more than one of these calls")
    if moves.nearest is not None:
        out.append(f"  nearest to all windows, not offered as right: {marks_of(moves.nearest, table)}")
    return out


def _touched(answer: AsFound) -> tuple[int, ...]:
    turns = answer.advice.turns if answer.advice is not None else ()
    parts = [m.part for f in (answer.moves, *(t.moves for t in turns)) if f is not None for m in (*f.moves, *f.to_set)]
    return tuple(dict.fromkeys(parts))


def caution_lines(engine: Engine, before: Setting, parts: Iterable[int]) -> list[str]:
    """The cautions for moves of these parts, with the one for a link that may be cut."""
    moved = set(parts)
    calls = [
        call
        for call in engine.table.calls.values()
        if any(
            p in moved
            for s in call.stages
            for i in engine.airflow(call, s, engine.asked(call, s).rate)
            for r in i.readings
            for p in r.parts
        )
    ]
    out = list(cautions(engine.table, heat=any(c.heats for c in calls), cooling=any(not c.heats for c in calls)))
    final = any(engine.table.parts[p].final and before[p] not in engine.table.parts[p].final for p in moved)
    return [*out, CUT] if final else out


# -- data


def standing_data(s: Standing, wanted: Sequence[Wanted]) -> dict[str, object]:
    """One stage for JSON."""
    out: dict[str, object] = {"call": s.call, "stage": s.stage, "place": s.place}
    if isinstance(s.airflow, No):
        out |= {"airflow": None, "no": s.airflow.kind, "why": s.airflow.why}
    else:
        out |= {"airflow": float(s.airflow), "exact": str(s.airflow)}
    out |= {
        "low": None if s.low is None else float(s.low),
        "high": None if s.high is None else float(s.high),
        "window": [w.why for w in wanted if (w.call, w.stage) == (s.call, s.stage) and w.why],
        "broken": [
            {
                "limit": j.limit.source,
                "quantity": j.limit.quantity,
                "value": _number(j.value),
                "low": _number(j.low),
                "high": _number(j.high),
            }
            for j in s.broken
        ],
        "not judged": [{"limit": j.limit.source, "why": j.why} for j in s.unjudged],
    }
    return out


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def data_of(answer: AsFound, engine: Engine, wanted: Sequence[Wanted]) -> dict[str, object]:
    """The answer for JSON."""
    table = engine.table
    moves = answer.moves
    return {
        "version": 1,
        "table": table.name,
        "unit": {"airflow": table.units.airflow, "temperature": table.units.temperature},
        "as found": marks_of(answer.setting, table),
        "first": list(answer.first),
        "right": answer.right,
        "stages": [standing_data(s, wanted) for s in answer.standings],
        "refused": [{"chart": name, "why": no.why} for name, no in answer.refused],
        "unread": None if answer.unread is None else _unread_data(answer.unread, table),
        "moves": None if moves is None else moves_data(moves, table, offered=answer.offered),
        "as left": [standing_data(s, wanted) for s in answer.left] if answer.offered else [],
        "remarks": list(answer.remarks),
        "complaint": None if answer.advice is None else complaints.data(answer.advice, engine),
    }


def _unread_data(u: Unread, table: Table) -> dict[str, object]:
    return {
        "right": u.wrong.verdict,
        "wrong stages": [u.wrong_stages.least, u.wrong_stages.most],
        "stages": [{"call": c, "stage": s, "may be": sorted(places)} for (c, s), places in u.places.items()],
        "look at": [
            {
                "part": table.parts[look.part].name,
                "decides": look.decides,
                "positions": [
                    {"position": mark(table, look.part, at), "right": w.verdict, "undecided": left}
                    for at, w, left in zip(look.positions, look.wrong, look.open, strict=True)
                ],
            }
            for look in u.looks
        ],
        "makes no difference": [table.parts[i].name for i in u.idle],
    }


def moves_data(moves: Fewest, table: Table, *, offered: bool) -> dict[str, object]:
    """The moves for JSON, or what stands against them."""
    shown = moves.setting is not None and offered
    return {
        "fits": moves.setting is not None,
        "offered": shown,
        "count": len(moves.moves) if shown else None,
        "moves": [_move_data(m.part, m.was, m.to, table) for m in moves.in_order] if shown else [],
        "as left": marks_of(moves.setting, table) if moves.setting is not None and offered else None,
        "against": [{"what": o.words, "nearest": _number(o.nearest)} for o in moves.against],
        "shared": [table.parts[p].name for p in moves.shared],
    }


def _move_data(part: int, was: int | None, to: int, table: Table) -> dict[str, str]:
    return {"part": table.parts[part].name, "from": mark(table, part, was), "to": mark(table, part, to)}
