"""Two leads on one tap where the page lets them: finding and judging held against the loop over every setting, written
from the design, on boards at random."""

from __future__ import annotations

from dataclasses import replace as replaced
from fractions import Fraction
from random import Random

import pytest

from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks, KnownFacts
from selector.solve.board.facts import Facts
from selector.solve.board.marks import clashes, tapped_twice
from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import ABSENT, No, Setting, Table
from selector.table.source import source_from_text
from selector.value import replace
from tests.helpers.oracle_case import as_setting, oracle_marks
from tests.oracle.oracle_evaluate import Facts as OracleFacts
from tests.oracle.oracle_find import Options, alternatives
from tests.oracle.oracle_find import Target as OracleTarget
from tests.oracle.oracle_find import find as oracle_find
from tests.oracle.oracle_judge import judge as oracle_judge
from tests.oracle.oracle_table import load as oracle_load

PAGE = """\
format: selector table 1
unit: {title: Taps that may be shared}
units: {airflow: cfm}
board:
  M1: {kind: taps, positions: 1 2 3, leads: RED BLU YEL, factory: 3 2 1, may share: SHARE}
  J1: {kind: jumper, positions: A B C, factory: A}
  SW1:
    kind: switches
    count: 2
    factory: 0?
charts:
  by tap: {set: M1, gives: airflow, rows: 1 600; 2 800; 3 1000}
  lower: {set: J1, gives: trim, rows: A none; B -5 %; C none}
  faster: {set: SW1-2, gives: trim, rows: OFF none; ON +10 %}
  told: {set: SW1-1, gives: label, rows: OFF slow; ON fast}
calls:
  heating: {terminals: W, lead: RED, airflow: by tap}
  cooling: {terminals: Y, lead: BLU, airflow: [by tap, lower]}
  fan: {terminals: G, lead: YEL, airflow: [by tap, faster]}
"""
SHARES = (
    "{RED YEL: {J1: B}}",
    "RED YEL",
    "{RED YEL: {J1: B C, SW1-1: on}, BLU YEL: {SW1-2: on}}",
    "{RED BLU YEL: {J1: B}}",
)


def questions(table: Table, random: Random, *, unread: bool) -> tuple[Setting, frozenset[int]]:
    """A board: each part stands somewhere, some nobody knows where, or can't be read."""
    open_ = {p.index for p in table.parts if random.random() < (0.35 if unread else 0.15)}
    setting = tuple(None if p.index in open_ else random.randrange(len(p.positions)) for p in table.parts)
    assert ABSENT not in setting
    return setting, frozenset(i for i in sorted(open_) if random.random() < 0.7)


@pytest.mark.parametrize("share", SHARES)
def test_L3_and_L7_find_the_first_of_the_loop(share: str) -> None:
    """The first five settings, and what else may stand; in some two leads stand on one tap."""
    text = PAGE.replace("SHARE", share)
    table, _ = build_table(source_from_text(text), "page")
    oracle, random, shared = oracle_load(text), Random(share), 0
    for _ in range(25):
        found, unread = questions(table, random, unread=False)
        held = {p.index: random.randrange(len(p.positions)) for p in table.parts if random.random() < 0.2}
        aims = [(name, Fraction(random.randrange(550, 1150, 50))) for name in random.sample(sorted(table.calls), 2)]
        near = Fraction(random.choice((0, 1, 5)))
        request = Request(
            targets=tuple(Target(call=c, stage="", quantity="airflow", low=x, high=x) for c, x in aims),
            found=found,
            unread=unread,
            held=held,
            first=5,
            near=near,
        )
        got = find(Engine(table, Facts()), request).found
        wished = [OracleTarget(call=c, aim=x) for c, x in aims]
        marks = oracle_marks(table, oracle, found, unread)
        hold = oracle_marks(table, oracle, tuple(held.get(p.index) for p in table.parts))
        options = Options(hold=hold, near=near, first=5)
        want = oracle_find(oracle, OracleFacts(), wished, found=marks, options=options)
        assert [(f.setting, f.deviation, f.moves) for f in got] == [
            (as_setting(table, a), a.deviation, a.moves or 0) for a in want.answers
        ]
        for f, answer in zip(got, want.answers, strict=True):
            settings = {f.setting}
            for one in f.any_of:
                settings = {other for setting in settings for other in one.settings(setting)}
            every = alternatives(oracle, OracleFacts(), wished, answer, found=marks, options=options)
            assert settings == {as_setting(table, replaced(answer, setting=one)) for one in every}
            leads = [x for x in f.setting[:3] if x not in (None, 3)]
            shared += len(set(leads)) < len(leads)
    assert shared > 3


@pytest.mark.parametrize("share", SHARES)
def test_L5_a_board_is_judged_as_every_completion_is(share: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Code and every possible airflow of each stage, completion by completion and over outcomes; leads not read are
    never taken to stand where they may not."""
    text = PAGE.replace("SHARE", share)
    table, _ = build_table(source_from_text(text), "page")
    oracle, random = oracle_load(text), Random(f"judge {share}")
    for _ in range(60):
        setting, unread = questions(table, random, unread=True)
        want = oracle_judge(oracle, oracle_marks(table, oracle, setting, unread), OracleFacts())
        got = judge(KnownFacts().engine(table), BoardMarks(setting=setting, unread=unread))
        for (call, stage), one in got.stages.items():
            outcome = want.stages[call][stage].outcome
            code = one.outcome.kind if isinstance(one.outcome, No) else "airflow"
            assert (code, one.airflows) == (outcome.code, outcome.airflows), (setting, unread, call)
        with monkeypatch.context() as few:
            few.setattr("selector.judge.possible_cases.MOST_CASES", 0)
            over = judge(KnownFacts().engine(table), BoardMarks(setting=setting, unread=unread)).stages
        for at, one in got.stages.items():
            assert over[at].airflows == one.airflows
            assert {no.kind for no in over[at].noes} == {no.kind for no in one.noes}


def test_a_selector_that_may_let_leads_share_is_looked_at_before_they_are_called_a_danger() -> None:
    """By hand: RED and YEL on tap 3 with J1 not read may stand so with J1 at B."""
    table, _ = build_table(source_from_text(PAGE.replace("SHARE", SHARES[0])), "page")
    setting = (2, 1, 2, None, 0, 0)
    assert list(clashes(setting, table)) == [(0, 2)]
    assert tapped_twice(setting, table, {3}) == {}


def test_a_lead_read_as_one_of_two_taps_that_are_both_taken_is_refused() -> None:
    """By hand: RED is on 1 or 2, where YEL and BLU stand: on one tap with another in either case."""
    table, _ = build_table(source_from_text(PAGE.replace("SHARE", SHARES[0])), "page")
    red = replace(table.parts[0], may_be=(0, 1))
    table = replace(table, parts=(red, *table.parts[1:]))
    board = BoardMarks(setting=(None, 1, 0, 0, 0, 0), unread=frozenset({0}))
    heating = judge(KnownFacts().engine(table), board).stages["heating", ""]
    assert isinstance(heating.outcome, No)
    assert (heating.outcome.kind, heating.airflows) == ("not_usable", ())
