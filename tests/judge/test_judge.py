"""The judgement of a board against the oracle's, on the shipped tables, and cases by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.solve.board.marks import read_marks, setting_of, unread_in
from selector.solve.search.typed_facts import read_facts
from selector.table.library.library import load
from selector.table.model.range import Range
from selector.table.model.table import No
from tests.helpers.oracle_case import oracle_marks
from tests.oracle.oracle_evaluate import Facts
from tests.oracle.oracle_judge import judge as oracle_judge
from tests.oracle.oracle_table import load as oracle_load

TABLES = Path(__file__).parents[2] / "tables"
HEATED_BY_A_FACT = "eskerby-oil"
"""There the nozzle that is fitted isn't the one the board is told: the board's own airflow follows what it is told."""


@pytest.mark.parametrize("name", sorted(p.stem for p in TABLES.glob("*.yaml") if p.stem != HEATED_BY_A_FACT))
def test_stages_stand_as_the_oracle_has_them(name: str) -> None:
    """Boards at random, marks unread and not given among them: code and every possible airflow of each stage."""
    table, _ = load(name)
    oracle = oracle_load((TABLES / f"{name}.yaml").read_text(encoding="utf-8"))
    random = Random(name)
    static = [x for c in table.charts.values() for h in c.heads if h.name == "static pressure" for x in h.numbers]
    rates = [
        x for c in table.charts.values() for h in (*c.keys, *c.heads) if h.name == "firing rate" for x in h.numbers
    ]
    for _ in range(6):
        model = random.choice(table.unit.models) if table.unit.models else None
        told = {fact.name: random.choice(fact.values) for fact in table.facts.values() if fact.values}
        at, rate = (random.choice(x) if x else None for x in (static, rates))
        pairs = [("model", model), ("static pressure", at), ("firing rate", rate), *told.items()]
        known = KnownFacts(
            facts=read_facts(
                [(k, v if isinstance(v, str) else str(float(v))) for k, v in pairs if v is not None], table
            )
        )
        open_ = set(random.sample(range(len(table.parts)), min(2, len(table.parts))))
        setting = tuple(None if p.index in open_ else random.randrange(len(p.positions)) for p in table.parts)
        marks = BoardMarks(setting=setting, unread=frozenset(i for i in open_ if random.random() < 0.5))
        facts = Facts(model=model, static=at, rate=rate, installed=told)
        want = oracle_judge(oracle, oracle_marks(table, oracle, setting, marks.unread), facts)
        for (call, stage), got in judge(known.engine(table), marks).stages.items():
            outcome = want.stages[call][stage].outcome
            code = got.outcome.kind if isinstance(got.outcome, No) else "airflow"
            assert code == outcome.code, (call, stage, got.outcome, outcome)
            if not outcome.ranged:
                assert got.airflows == outcome.airflows


def test_a_limit_depends_on_the_mark_that_decides() -> None:
    """Corvane 080: SW1-2 to SW1-4 OFF OFF OFF are 1,380 cfm, ON OFF OFF 720; 900 to 1,500 is allowed from outside."""
    table, _ = load("corvane-k14")
    limit = OutsideLimit(
        quantity="airflow",
        range=Range(Fraction(900), Fraction(1500)),
        source="the house",
        call="cooling",
        stage="second",
    )
    known = KnownFacts(facts=read_facts([("model", "080")], table), limits=(limit,))
    read = read_marks(["SW1=0?000000"], table)
    board = BoardMarks(setting=setting_of(read, table), unread=unread_in(read))
    cooling = judge(known.engine(table), board).stages["cooling", "second"]
    assert cooling.airflows == (Fraction(720), Fraction(1380))
    assert isinstance(cooling.outcome, No)
    assert cooling.outcome.kind == "unreadable"
    (check,) = [c for c in cooling.checks if c.limit.source == "the house"]
    assert check.state == "depends"
    assert check.by == (Fraction(-180),)
    assert [table.parts[p].name for p in check.depends] == ["SW1-2"]


def test_static_beyond_the_plate_or_the_page_is_a_broken_limit() -> None:
    """Brindlemoor's page holds its airflow up to 0.8 in. w.c.; 0.9 is 0.1 over."""
    table, _ = load("brindlemoor-16s")
    known = KnownFacts(facts=read_facts([("model", "S100"), ("static pressure", "0.9")], table))
    board = BoardMarks(setting=table.delivered("S100"))
    broken = {check.limit.quantity: check.by for _, check in judge(known.engine(table), board).broken}
    assert broken["static pressure"] == (Fraction(1, 10),)
