"""What is said of a judged board before and beside its figures, whoever asks: dangers, warnings, limits, noes, and what
can't be checked."""

from __future__ import annotations

from collections.abc import Iterable

from selector.answers.call import (
    broken_lines,
    certain_of,
    depends_lines,
    how_to_give,
    no_lines,
    not_checked_lines,
    outcome_text,
    unchecked,
    untimed,
)
from selector.answers.remarks.danger_words import FIRST, STEPS, steps
from selector.answers.words.contradiction import contradiction_text, not_left_texts
from selector.answers.words.listing import listed
from selector.job.observed.danger_table import shared_tap
from selector.judge.danger import dangerous, set_for_less
from selector.judge.judgement import Judgement
from selector.solve.board.marks import shared_taps
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, beyond
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.table import No, Setting, Table


def shared_lines(table: Table, judgement: Judgement) -> list[str]:
    """The danger of leads that share a tap, each pair once."""
    row = shared_tap(table.unit.motor)
    taps = shared_taps(judgement.setting, table)
    return [
        f"{row.level}: {FIRST[row.what].format(what=f'{lead} and {other} share tap {tap}')}"
        for lead, other, tap in taps
    ]


def shared_steps(table: Table) -> tuple[str, ...]:
    """What to do about it."""
    return STEPS[shared_tap(table.unit.motor).what]


def danger_lines(table: Table, judgement: Judgement) -> list[str]:
    """The broken limits that can hurt."""
    wrong = [(s, j) for s, j in certain_of(judgement.broken) if dangerous(table, j)]
    return broken_lines(table, wrong, set_so=True)


def set_for_lines(table: Table, differs: Iterable[DeclaredDifference]) -> list[str]:
    """`DANGER: J4 is set for 5 kW; 10 kW installed.` and what to do, `Warning: P1 is set for 4 tons; 3 tons
    installed.`: the dangers first."""
    dangers, rest = [], []
    for one in differs:
        what = set_for_less(table, one)
        if what is None:
            rest.append(f"Warning: {contradiction_text(table, one)}.")
        else:
            dangers += [f"DANGER: {contradiction_text(table, one)}.", *(f"  {step}" for step in steps(what[0], ""))]
    return [*dangers, *rest]


def unread_lines(engine: Engine, setting: Setting, unread: Iterable[int]) -> list[str]:
    """The danger of a selector that can't be read and may be set for less heat than is there, and what to do."""
    open_ = [part for part in unread if setting[part] is None]
    if not open_:
        return []
    from selector.answers.danger import first_lines
    from selector.job.danger.house import may_be_set_for

    return first_lines(tuple(may_be_set_for(engine, open_)), engine.table)


def warnings(engine: Engine, judgement: Judgement) -> list[str]:
    """What is said before the verdict: equipment that the board contradicts, static pressure beyond what the figures
    hold to where no limit tells it, selectors that the page says to leave elsewhere, charts on a row not usable."""
    table = engine.table
    out = [contradiction_text(table, d) for d in judgement.contradictions]
    return [*out, *other_warnings(engine, judgement)]


def other_warnings(engine: Engine, judgement: Judgement) -> list[str]:
    """Those beside the contradictions of equipment."""
    table = engine.table
    out: list[str] = []
    if not any(c.limit.quantity == "static pressure" for _, c in judgement.broken):
        out += beyond(engine)
    out += not_left_texts(table, judgement.setting)
    return [*out, *(f"{name}: {outcome_text(table, no)}" for name, no in judgement.refused)]


def limit_lines(table: Table, judgement: Judgement) -> list[str]:
    """The limits that are broken for certain and hurt nobody."""
    return broken_lines(table, [(s, j) for s, j in certain_of(judgement.broken) if not dangerous(table, j)])


def refused_lines(table: Table, judgement: Judgement) -> list[str]:
    """Stages that the page refuses, whatever the open positions are."""
    refused = [((s.call, s.stage), no) for s in judgement.stages.values() for no in s.noes if no.refused]
    return no_lines(table, [(at, no) for at, no in refused if not judgement.stages[at].airflows])


def wrong_lines(table: Table, judgement: Judgement) -> list[str]:
    """Stages that are refused, limits that are broken without danger, and what may be."""
    return [
        *refused_lines(table, judgement),
        *limit_lines(table, judgement),
        *depends_lines(table, judgement),
    ]


def unknown_lines(table: Table, judgement: Judgement) -> list[str]:
    """`Not known: model: add --model 060, 080 or 110.`, `Not known: M1-Y1, neither typed nor printed. Find lead M1-Y1
    first.`: the facts and positions not given that an airflow hangs on."""
    facts = dict.fromkeys(f for s in judgement.stages.values() for f in s.facts)
    out = [f"Not known: {fact}{how_to_give(table, fact)}." for fact in facts]
    stages = [s for s in judgement.stages.values() if isinstance(s.outcome, No) and s.outcome.kind == "not_known"]
    open_ = dict.fromkeys(i for s in stages for i in s.depends)
    if open_:
        leads = [table.parts[i].name for i in open_ if table.selectors[table.parts[i].selector].exclusive]
        find = f"Find lead{'s' if len(leads) > 1 else ''} {listed(leads)} first." if leads else "Type what you see."
        out.append(f"Not known: {listed(table.parts[i].name for i in open_)}, neither typed nor printed. {find}")
    return out


def unchecked_lines(table: Table, judgement: Judgement, answers: Iterable[CallAnswer]) -> list[str]:
    """The limits that a fact not given leaves unchecked, and the starts and delays that it leaves open, a line for
    each reason."""
    shown = {call for call, _ in judgement.stages}
    return not_checked_lines(table, [*unchecked(judgement), *untimed(a for a in answers if a.call in shown)])


def verdict_lines(judgement: Judgement) -> list[str]:
    """`OK: as set, within limits.` where every stage that runs was checked against a limit and none was open."""
    checks = [c for s in judgement.stages.values() for c in s.checks]
    sure = all(s.certain and not any(no.refused for no in s.noes) for s in judgement.stages.values())
    return ["OK: as set, within limits."] if sure and checks and all(c.state == "kept" for c in checks) else []
