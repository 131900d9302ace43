"""Finding: exact, in one order, and within every limit of every call.

The first settings are held against the plain loop over every setting in tests/oracle, written from the design without
sight of find.
"""

from __future__ import annotations

from dataclasses import replace as replaced
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings

from selector.judge.judge import judge_setting
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import mark_by_part, read_marks, setting_of, unread_in
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import FindResult, Found, Request, find
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.roles import by_heater
from selector.table.model.table import Setting
from selector.table.source import source_from_text
from selector.value import replace
from tests.helpers.generate import Case, Wish, cases, seeded, sharing
from tests.helpers.oracle_case import (
    as_setting,
    oracle_facts,
    oracle_marks,
    oracle_options,
    oracle_or_none,
    oracle_targets,
)
from tests.helpers.ready import ready
from tests.oracle.oracle_find import alternatives
from tests.oracle.oracle_find import find as oracle_find

LAW = settings(max_examples=40, suppress_health_check=list(HealthCheck), deadline=None)
SMALL = Wish(most=200)


# L3


def check_exact(case: Case) -> bool:
    """The program's first settings are the first of the oracle's; False where the oracle can't be asked: a share, a
    least airflow of the heater (it holds it against every call)."""
    case = told(case)
    oracle = oracle_or_none(case)
    if oracle is None or any(a.of for a in case.ask.aims):
        return False
    r = ready(case)
    if any(by_heater(r.table, c) for c in r.table.charts.values() if {"least airflow", "most airflow"} & set(c.gives)):
        return False
    found = oracle_marks(r.table, oracle, case.ask.found) if case.ask.found is not None else None
    options = oracle_options(r.table, oracle, case.ask)
    want = oracle_find(oracle, oracle_facts(case.ask), oracle_targets(case.ask), found=found, options=options)
    got = find(r.engine, r.request).found
    answers = [(as_setting(r.table, a), a.deviation, a.moves or 0) for a in want.answers]
    assert [(f.setting, f.deviation, f.moves) for f in got] == answers
    for f, answer in zip(got, want.answers, strict=True):
        every = alternatives(
            oracle, oracle_facts(case.ask), oracle_targets(case.ask), answer, found=found, options=options
        )
        assert otherwise(f) == {as_setting(r.table, replaced(answer, setting=one)) for one in every}
    return True


def otherwise(found: Found) -> set[Setting]:
    """Every setting that an answer stands for: its own, and all that its choices make of it."""
    settings = {found.setting}
    for one in found.any_of:
        settings = {other for setting in settings for other in one.settings(setting)}
    return settings


def told(case: Case) -> Case:
    """The case with the facts given that the program reckons without where they aren't: it takes a heater's rated
    voltage and the highest printed firing rate, and says so."""
    facts = dict(case.ask.facts)
    if "heater voltage" in case.table.ratings:
        facts.setdefault("supply voltage", Fraction(230))
    keys = [k for chart in case.table.charts for k in (*chart.keys, *chart.heads) if k.name == "firing rate"]
    if keys:
        facts.setdefault("firing rate", keys[0].numbers[0])
    return replaced(case, ask=replaced(case.ask, facts=facts))


@LAW
@given(cases(SMALL))
def test_L3_exact(case: Case) -> None:
    """Find's first settings are the first of a loop over every setting."""
    check_exact(case)


def test_L3_exact_on_seeded_boards() -> None:
    """Boards that stay the same: most of them can be asked."""
    assert sum(check_exact(seeded(seed, SMALL)) for seed in range(100)) > 70


def test_L3_exact_where_leads_may_share_a_tap() -> None:
    """The same of boards with two leads that the page lets share a tap, always or with a selector's help."""
    for seed in (27, 58, 69, 88, 125, 189, 221, 250, 273, 386, 400, 452, 578, 661, 679, 690):  # boards with taps
        case = sharing(seeded(seed, SMALL))
        assert case is not None
        assert check_exact(case)


def asked(name: str, *targets: tuple[str, str], facts: dict[str, str] | None = None, **typed: str) -> FindResult:
    """What find says of a shipped table. `found`, `hold`: marks; `near`, `first`: figures; `cuts`: any word."""
    table, _ = load(name)
    seen = read_marks(typed["found"].split(), table) if "found" in typed else {}
    hold = read_marks(typed["hold"].split(), table) if "hold" in typed else {}
    request = Request(
        targets=tuple(read_target(call, text, table) for call, text in targets),
        found=setting_of(seen, table) if seen else None,
        unread=unread_in(seen),
        held={p: at for p, at in hold.items() if at is not None},
        near=Fraction(typed.get("near", "0")),
        first=int(typed.get("first", "3")),
        allow_cuts="cuts" in typed,
    )
    return find(Engine(table, read_facts((facts or {}).items(), table)), request)


# By hand


def test_a_reserved_row_of_a_call_nobody_asks_for_moves_its_selector_and_forbids_nothing_else() -> None:
    """Brindlemoor, S100: 2,100 in the second stage is the row 1 1 0 1 with no trim; 72 % of it, 1,512, is the first.
    Both are met exactly, one switch further."""
    found = asked(
        "brindlemoor-16s", ("cooling first", "1512"), ("cooling second", "2100"), facts={"model": "S100"}
    ).found
    assert found[0].deviation == 0
    assert {key: int(x) for key, x in found[0].airflows.items()} == {
        ("cooling", "first"): 1512,
        ("cooling", "second"): 2100,
    }


def test_a_lead_nobody_asks_about_makes_way() -> None:
    """Wickerby at 100 Pa: heat 400 L/s is nearest on tap 3 (410 L/s, 2.5 %), where the fan's lead stands."""
    found = asked(
        "wickerby-5", ("heat", "400"), facts={"static pressure": "100"}, found="M1-Y1=2 M1-Y2=4 M1-W=1 M1-G=3"
    ).found[0]
    assert found.airflows["heat", ""] == 410
    table, _ = load("wickerby-5")
    marks = mark_by_part(found.setting, table)
    assert marks["M1-W"] == "3"
    assert marks["M1-G"] != "3"
    assert found.moves == 2


def test_static_outside_the_page_is_said_and_no_position_blamed() -> None:
    """Wickerby prints 25 to 225 Pa."""
    miss = asked("wickerby-5", ("heat", "400"), facts={"static pressure": "250"}).miss
    assert miss is not None
    assert [no.kind for _, _, no in miss.refused] == ["outside_chart"]


def test_a_hold_against_a_cut_is_refused_and_a_cut_is_proposed_only_where_allowed() -> None:
    """Hollinsby: LK1 is a link; what is cut stays cut."""
    with pytest.raises(Refused) as refused:
        asked("hollinsby-t", ("cooling", "1130"), hold="LK1=whole", found="SW1=110000 J1=2 J2=C LK1=cut")
    assert refused.value.problems[0].code == "hold-against-cut"
    kept = asked("hollinsby-t", ("cooling", "1130"), found="SW1=110000 J1=2 J2=C LK1=whole")
    assert ("cut", "LK1") in {(x.what, x.name) for x in kept.left_out}
    table, _ = load("hollinsby-t")
    assert all(mark_by_part(f.setting, table)["LK1"] == "whole" for f in kept.found)
    free = asked("hollinsby-t", ("cooling", "1130"), found="SW1=110000 J1=2 J2=C LK1=whole", cuts="yes")
    assert ("cut", "LK1") not in {(x.what, x.name) for x in free.left_out}


def test_settings_alike_in_what_asked_calls_read_are_one_answer() -> None:
    """Corvane: cooling reads SW1-2 to SW1-6; no two answers are alike there, and the heating switch stays."""
    found = asked("corvane-k14", ("cooling", "1200"), facts={"model": "080"}, first="10").found
    read = [f.setting[1:6] for f in found]
    assert len(set(read)) == len(read) == 10


# L7


@LAW
@given(cases(SMALL))
def test_L7_deterministic(case: Case) -> None:
    """The same again; groups follow one another, inside one fewest moves come first, then deviation."""
    r = ready(case)
    request = replace(r.request, first=20, near=Fraction(2))
    found = find(r.engine, request).found
    again = find(r.engine, request).found
    assert [(f.setting, f.deviation, f.moves) for f in found] == [(f.setting, f.deviation, f.moves) for f in again]
    for a, b in pairwise(found):
        assert (a.group, a.moves, a.deviation) <= (b.group, b.moves, b.deviation)


# L10


@LAW
@given(cases(SMALL))
def test_L10_every_limit_of_every_call(case: Case) -> None:
    """No limit that can be judged is broken in a setting that find proposes, asked for or not."""
    r = ready(case)
    for f in find(r.engine, r.request).found:
        assert not [j for a in f.answers.values() for s in a.stages for j in s.judged if j.ok is False]


MODULATES = """format: selector table 1
unit: {title: Modulating}
units: {airflow: cfm, temperature: F, heat: Btu/h}
ratings: {heat input: 100000, efficiency: 80 %, temperature rise: 30 to 52}
board:
  D1: {kind: dial, positions: 1 2, factory: 1}
charts:
  heating airflow:
    set: D1
    across: {firing rate: 40 60 100}
    gives: airflow
    rows: |
      1  500 900 1600
      2  610 880 1580
calls:
  heating: {terminals: W1, airflow: [heating airflow, at least: 600]}
"""


def test_L10_a_limit_between_two_printed_firing_rates() -> None:
    """By hand: 500 cfm at 40 % and 900 at 60 % cross the bound of 600 at 45 %, where 36,000 Btu/h / (1.08 x 600) = 55.6
    F, above 52; at 40 and
    60 % the rise is 49.4. Position 2 never falls to the bound."""
    table, _ = build_table(source_from_text(MODULATES), "modulates")
    engine = Engine(table, Facts())
    judged = {j.rate: j for j in evaluate(engine, (0,))["heating"].stages[0].judged}
    assert [rate for rate, j in judged.items() if not j.ok] == ["45"]
    assert judged["45"].value == Fraction(36_000) / (Fraction("1.08") * 600)
    found = find(engine, Request(targets=(read_target("heating", "1600", table),))).found
    assert [f.setting for f in found] == [(1,)]


COPY = """format: selector table 1
unit: {title: The board stands on a copied row}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  J2: {kind: jumper, positions: 1 2, factory: 1}
charts:
  coil: {set: J1, gives: airflow, rows: A 900; B -}
  most: {set: J1, gives: most airflow, rows: A as B; B 2000}
  pump: {set: J2, gives: airflow, rows: 1 500; 2 800}
calls:
  cooling: {terminals: Y O, airflow: [coil, most], window: {airflow: 100 to 300}}
  heat pump: {terminals: Y, airflow: pump}
"""


def test_L10_a_limit_that_no_setting_keeps_lets_nothing_fit() -> None:
    """J1 on A gives 900 cfm in cooling, over its 300; on B no figure is printed, which refuses: cooling has an airflow,
    so it is to be had, and what no setting keeps is said instead of passed over."""
    table, _ = build_table(source_from_text(COPY), "copy")
    request = Request(targets=(read_target("heat pump", "800", table),), first=1)
    result = find(Engine(table, Facts()), request)
    assert result.found == ()
    assert result.miss is not None
    assert result.miss.nearest is not None
    [(stage, check)] = judge_setting(Engine(table, Facts()), result.miss.nearest.setting).broken
    worst = check.judged[0]
    assert (stage.call, worst.value, worst.range.high) == ("cooling", Fraction(900), Fraction(300))
