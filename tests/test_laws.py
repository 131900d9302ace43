"""The laws of the program, each a property test on drawn tables; the expected answers come from `reference.py`, which shares no code with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product
from random import Random

import numpy as np
import pandas as pd
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from selector.solve.checked import decoded_back
from selector.solve.decode import decode
from selector.solve.engine import Engine
from selector.solve.evaluate import evaluate
from selector.solve.facts import Facts
from selector.solve.find import find
from selector.solve.marks import marks_of, read_marks, setting_of
from selector.table.formula import row_words
from selector.table.library import load
from selector.table.model import ABSENT, No, Setting
from tests.describe import Description
from tests.generate import seeded
from tests.generate_draw import Wish
from tests.ready import Ready, ready
from tests.reference import No as ReferenceNo
from tests.reference_find import Finder

SEEDS = st.integers(0, 10**9)
LAW = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


def drawn(seed: int, most: int = 300) -> tuple[Ready, Finder]:
    """A case ready for the program, and the reference for the same."""
    case = seeded(seed, Wish(most=most))
    return ready(case), Finder(case.table, case.ask)


@LAW
@given(SEEDS)
def test_L1_read_back_holds_every_cell_as_typed(seed: int) -> None:
    r, _ = drawn(seed)
    for chart in r.table.charts.values():
        for row in chart.rows:
            if row.word or row.like:
                continue
            typed = r.table.lines[row.line - 1].replace("|", " ").replace(";", " ").split("(")[0].split()
            printed = " ".join(row_words(chart, row)[len(chart.keys) :]).split()
            assert all(word in typed for word in printed)


@LAW
@given(SEEDS)
def test_L2_every_setting_found_decodes_to_its_airflows(seed: int) -> None:
    r, _ = drawn(seed)
    for found in find(r.engine, r.request).found:
        again = setting_of(read_marks([marks_of(found.setting, r.table)], r.table), r.table)
        assert again == found.setting
        assert not decoded_back(r.table, r.engine.facts, found.setting, found.airflows)


def test_L2_a_corrupted_outcome_is_seen() -> None:
    table, _ = load("corvane-k14")
    facts = Facts(model="080")
    setting = setting_of(read_marks(["SW1=00110000"], table), table)
    assert not decoded_back(table, facts, setting, {("cooling", "second"): Fraction("1197.8")})
    assert decoded_back(table, facts, setting, {("cooling", "second"): Fraction("1197.9")})


@settings(LAW, max_examples=80)
@given(SEEDS)
def test_L3_the_first_settings_are_those_of_plain_enumeration(seed: int) -> None:
    r, reference = drawn(seed)
    got = [(f.setting, f.deviation, f.moves, f.group) for f in find(r.engine, r.request).found]
    want = [(a.setting, a.deviation, a.moves, a.group) for a in reference.everything()[: r.request.first]]
    assert got == want


@settings(LAW, max_examples=12)
@given(SEEDS)
def test_L3_a_constraint_solver_agrees_on_the_optimum(seed: int) -> None:
    """OR-tools CP-SAT over the enumerated settings that fit, their deviations in thousandths of a point."""
    r, reference = drawn(seed, 150)
    request = replace(r.request, near=Fraction(0), first=1)
    found = find(r.engine, request).found
    every = reference.everything()
    assume(bool(every))
    model = cp_model.CpModel()
    parts = [model.new_int_var(-1, 400, str(i)) for i in range(len(r.table.parts))]
    cost = model.new_int_var(0, 10**12, "cost")
    rows = [(*(-1 if p is None else p for p in a.setting), round(a.deviation * 100_000)) for a in every]
    model.add_allowed_assignments([*parts, cost], rows)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    assert round(found[0].deviation * 100_000) == solver.value(cost)


@LAW
@given(SEEDS)
def test_L4_what_no_row_answers_is_refused_and_never_a_number(seed: int) -> None:
    r, reference = drawn(seed)
    rnd = Random(seed)
    setting: Setting = tuple(rnd.randrange(len(p.positions)) for p in r.table.parts)
    answers = evaluate(r.engine, setting)
    for call, stage in reference.points():
        want = reference.airflow(reference.spot(call, stage, setting))
        got = answers[call.name].stage(stage).airflow
        if isinstance(want, ReferenceNo):
            assert isinstance(got, No)
            assert got.kind == want.kind
        else:
            assert got == want


def test_L4_off_its_pins_without_a_row_is_refused() -> None:
    table, _ = load("saltmarsh-12")
    setting = list(setting_of(read_marks(["J1=4 J2=b J3=1 J4=none J5=1 LK1=whole"], table), table))
    setting[1] = ABSENT
    answer = evaluate(Engine(table, Facts()), tuple(setting))["cooling"].stages[0].airflow
    assert isinstance(answer, No)
    assert answer.kind == "refused"


def _completions(d: Description, setting: Sequence[int | None]) -> list[tuple[int, ...]]:
    """Every completion in which no unread lead shares a tap."""
    out = []
    for c in product(*(range(len(p.positions)) if at is None else (at,) for p, at in zip(d.parts, setting, strict=True))):
        leads = [[d.part_index(p) for p in s.parts] for s in d.selectors if s.kind == "taps"]
        if not any(
            a != b and setting[a] is None and c[a] == c[b] and d.parts[a].positions[c[a]] != "parked" for group in leads for a in group for b in group
        ):
            out.append(c)
    return out


@LAW
@given(SEEDS)
def test_L5_unread_marks_give_the_set_of_every_completion(seed: int) -> None:
    case = seeded(seed, Wish(most=200))
    r, reference = ready(case), Finder(case.table, case.ask)
    rnd = Random(seed)
    setting = tuple(None if rnd.random() < 0.4 else rnd.randrange(len(p.positions)) for p in case.table.parts)
    completions = _completions(case.table, setting)
    assume(0 < len(completions) <= 600)
    got = decode(r.engine, setting)
    for call, stage in reference.points():
        values = [reference.airflow(reference.spot(call, stage, c)) for c in completions]
        found = got.values[call.name, stage]
        assert set(found.airflows) == {v for v in values if not isinstance(v, ReferenceNo)}
        assert {n.kind for n in found.noes} == {v.kind for v in values if isinstance(v, ReferenceNo)}
        assert found.certain == (len(set(found.airflows)) + len(found.noes) == 1)


@LAW
@given(SEEDS)
def test_L7_the_same_question_has_the_same_answer(seed: int) -> None:
    (r, _), (again, _) = drawn(seed), drawn(seed)
    first, second = find(r.engine, r.request).found, find(again.engine, again.request).found
    assert [f.setting for f in first] == [f.setting for f in second]
    groups = [f.group for f in first]
    assert groups == sorted(groups)
    for group in set(groups):
        inside = [f for f in first if f.group == group]
        assert [(f.moves, f.deviation) for f in inside] == sorted((f.moves, f.deviation) for f in inside)
        assert max(f.deviation for f in inside) - min(f.deviation for f in inside) <= r.request.near / 100


@LAW
@given(SEEDS)
def test_L9_and_L10_nothing_found_breaks_a_limit_of_any_call(seed: int) -> None:
    r, _ = drawn(seed)
    before = r.table
    result = find(r.engine, r.request)
    assert r.table == before
    for found in result.found:
        assert not [j for a in found.answers.values() for s in a.stages for j in s.judged if j.ok is False]
    named = {(n.call, n.stage) for n in result.not_judged}
    for found in result.found[:1]:
        for answer in found.answers.values():
            for s in answer.stages:
                if any(j.ok is None for j in s.judged):
                    assert (s.call, s.stage) in named


def test_L6_the_order_of_rows_and_charts_changes_nothing() -> None:
    """The Corvane table with its rows reversed: the same settings, airflows and deviations."""
    from selector.solve.asked import read_target
    from selector.solve.find import Request
    from selector.table.build import build_table
    from selector.table.source import source_from_text

    table, _ = load("corvane-k14")
    lines = list(table.lines)
    starts = [i for i, line in enumerate(lines) if line.strip() == "rows: |"]
    for start in starts:
        end = next(i for i in range(start + 1, len(lines) + 1) if i == len(lines) or not lines[i].startswith("      "))
        lines[start + 1 : end] = reversed(lines[start + 1 : end])
    turned, _ = build_table(source_from_text("\n".join(lines) + "\n"), "turned")
    answers = []
    for one in (table, turned):
        targets = (read_target("cooling", "870", one), read_target("heating", "rise 60", one))
        found = find(Engine(one, Facts(model="080")), Request(targets=targets, first=6)).found
        answers.append([(f.setting, f.deviation, f.airflows) for f in found])
    assert answers[0] == answers[1]


def test_L8_the_same_table_in_other_units_gives_the_same_settings() -> None:
    """Marrowdale in m3/h: 1 cfm = 1.69901079552 m3/h exactly (NIST SP 811), so figures and rounding steps convert without rest."""
    from selector.solve.asked import read_target
    from selector.solve.find import Request
    from selector.table.build import build_table
    from selector.table.source import source_from_text

    text = """format: selector table 1
unit: {title: Drawn}
units: {airflow: UNIT}
board:
  SW1: {kind: switches, count: 3, factory: all off}
charts:
  base:
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      00 A
      10 B
      01 C
      11 D
  lower:
    set: SW1-3
    gives: trim
    rows: |
      0 none
      1 -7 %
calls:
  cooling: {airflow: [base, lower, round: E]}
"""
    factor = Fraction("1.69901079552")
    figures = {"A": 1000, "B": 1190, "C": 860, "D": 1425, "E": 10}
    answers = []
    for unit, times in (("cfm", Fraction(1)), ("m3/h", factor)):
        typed = text.replace("UNIT", unit)
        for name, figure in figures.items():
            typed = typed.replace(f" {name}\n", f" {float(figure * times):.9f}\n".replace(".000000000", "")).replace(
                f"round: {name}]", f"round: {float(figure * times):.9f}]".replace(".000000000", "")
            )
        table, _ = build_table(source_from_text(typed), "drawn")
        target = read_target("cooling", "1100 cfm", table)
        found = find(Engine(table, Facts()), Request(targets=(target,), first=8, near=Fraction(0))).found
        answers.append([f.setting for f in found])
    assert answers[0] == answers[1]


def test_outside_decoding_agrees_with_a_join_by_a_data_library() -> None:
    """Every setting of the Saltmarsh jumpers, decoded, against pandas joining the page's chart on the two marks."""
    table, _ = load("saltmarsh-12")
    chart = table.charts["compressor airflow"]
    frame = pd.DataFrame(
        [{"J1": chart.keys[0].values[r.positions[0]], "J2": chart.keys[1].values[r.positions[1]], "cfm": int(r.typed[0])} for r in chart.rows]
    )
    boards = pd.DataFrame([{"J1": a, "J2": b} for a in "12345" for b in "abc"]).merge(frame, on=["J1", "J2"], how="left")
    engine = Engine(table, Facts())
    for board in boards.itertuples():
        setting = setting_of(read_marks([f"J1={board.J1} J2={board.J2} J3=1 J4=none J5=1 LK1=whole"], table), table)
        assert evaluate(engine, setting)["cooling"].stages[0].airflow == board.cfm


def test_outside_straight_lines_agree_with_numpy() -> None:
    table, _ = load("wickerby-5")
    rows = {"1": [305, 270, 230, 185, 135], "4": [530, 510, 480, 445, 405]}
    for tap, figures in rows.items():
        setting = setting_of(read_marks([f"M1-Y2={tap}"], table), table)
        for static in range(25, 226, 5):
            got = evaluate(Engine(table, Facts(values={"static pressure": Fraction(static)})), setting)["cooling"].stage("high").airflow
            assert isinstance(got, Fraction)
            assert abs(float(got) - float(np.interp(static, [25, 75, 125, 175, 225], figures))) < 1e-9
