"""Charts against general libraries: decoding against a join by pandas, straight lines against numpy.interp, the
nearest against numpy.argmin."""

from __future__ import annotations

import dataclasses
import sys
from fractions import Fraction
from itertools import product
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[2]))

from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.table import No, Table
from selector.table.source import source_from_text
from tests.helpers.describe import Chart, Description, Name
from tests.helpers.generate import Case, Wish, cases
from tests.helpers.ready import loaded

LAW = settings(max_examples=40, suppress_health_check=list(HealthCheck))


def alone(d: Description, chart: Chart) -> Description:
    """The table with one call that reads one chart and nothing else."""
    call = dataclasses.replace(
        d.calls[0], name="only", airflow=(d.calls[0].airflow[0],), heat=(), when={}, lead={}, windows=(), off_delay=""
    )
    step = dataclasses.replace(call.airflow[0], op="use", by_stage={"": Name(kind="chart", name=chart.name)}, when={})
    return dataclasses.replace(
        d,
        ratings={},
        charts=(chart,),
        calls=(dataclasses.replace(call, airflow=(step,), stages=("",), terminals={"": ("Y1",)}, capacity={}),),
    )


def joined(chart: Chart) -> pd.DataFrame:
    """Every position of the parts beside what the chart says: a join on the marks, row by row (a key that a row
    leaves open joins on nothing)."""
    names = [c.name for c in chart.keys]
    boards = pd.DataFrame(list(product(*(range(len(c.values)) for c in chart.keys))), columns=names)
    found = []
    for n, row in enumerate(chart.rows):
        fixed = {name: [at] for name, at in zip(names, row.at, strict=True) if at is not None}
        one = pd.DataFrame({**fixed, "row": [n]})
        found.append(boards.merge(one, on=list(fixed)) if fixed else boards.merge(one, how="cross"))
    return boards.merge(pd.concat(found), on=names, how="left")


@settings(LAW, max_examples=60)
@given(cases(Wish(most=200)))
def test_decoding_agrees_with_a_join(case: Case) -> None:
    """Plain rows of drawn charts: the figure where the join finds a row with one, refused where it finds none, a
    word or nothing printed."""
    plain = [
        c
        for c in case.table.charts
        if c.gives == ("airflow",)
        and c.keys
        and all(k.kind == "part" for k in c.keys)
        and all(h.kind == "model" for h in c.heads)
    ]
    assume(bool(plain))
    chart = plain[0]
    used = {c.name for c in chart.keys}
    d = alone(case.table, chart)
    selectors = tuple(s for s in d.selectors if s.kind != "taps")
    parts = tuple(
        p if p.name in used else dataclasses.replace(p, leave_at=0)
        for s in selectors
        for p in d.parts
        if p.selector == s.name
    )
    d = dataclasses.replace(d, selectors=selectors, parts=parts)
    table = loaded(d, case.layout)
    model = chart.heads[0].values[-1] if chart.heads else None
    engine = Engine(table, Facts(model=model))
    for board in joined(chart).to_dict("records"):
        setting = [0] * len(parts)
        for name in used:
            setting[d.part_index(name)] = int(board[name])
        got = evaluate(engine, tuple(setting))["only"].stages[0].airflow
        row = None if pd.isna(board["row"]) else chart.rows[int(board["row"])]
        if row is not None and row.like is not None:
            continue
        if any(setting[i] in part.idle for i, part in enumerate(parts)):
            continue  # the board itself says that the position isn't used
        cell = row.cells[-1] if row is not None and row.cells else "none" if row is not None and row.nothing else None
        if isinstance(cell, Fraction):
            assert got == cell
        else:
            assert isinstance(got, No)
            word = "not_usable" if row is not None and row.word else "outside_chart"
            assert got.kind == ("does_not_run" if cell == "none" else word)


def test_decoding_of_a_shipped_page_agrees_with_a_join() -> None:
    """Corvane page 23: cooling and trims joined by pandas on all 32 settings of five switches; the figures are
    typed from the page."""
    cooling = pd.DataFrame(
        [(0, 0, 0, 1380), (1, 0, 0, 720), (0, 1, 0, 860), (1, 1, 0, 990), (0, 0, 1, 1130), (1, 0, 1, 1520)],
        columns=["a", "b", "c", "cfm"],
    )
    adjustment = pd.DataFrame([(0, 0, 100), (1, 0, 106), (0, 1, 94), (1, 1, 88)], columns=["d", "e", "percent"])
    boards = pd.DataFrame(list(product((0, 1), repeat=5)), columns=list("abcde"))
    page = boards.merge(cooling, on=list("abc"), how="left").merge(adjustment, on=list("de"), how="left")
    table, _ = load("corvane-k14")
    engine = Engine(table, read_facts([("model", "080")], table))
    for row in page.to_dict("records"):
        marks = "0" + "".join(str(int(row[k])) for k in "abcde") + "00"
        got = (
            evaluate(engine, setting_of(read_marks([f"SW1={marks}"], table), table))["cooling"].stage("second").airflow
        )
        if pd.isna(row["cfm"]):
            assert isinstance(got, No)
            assert got.kind == "not_usable"
        else:
            assert got == Fraction(int(row["cfm"]) * int(row["percent"]), 100)


# straight lines


def tapped(statics: list[str], figures: list[list[int]]) -> Table:
    """A table of motor taps against static pressure."""
    rows = "\n".join(f"      {n}  {' '.join(map(str, row))}" for n, row in enumerate(figures, 1))
    taps = " ".join(str(n) for n in range(1, len(figures) + 1))
    text = (
        "format: selector table 1\nunit: {title: Taps}\nunits: {airflow: cfm, pressure: in. w.c.}\nboard:\n  M1:"
        f" {{kind: taps, positions: {taps}, leads: Y}}\ncharts:\n  tap airflow:\n    set: M1\n    across: {{static"
        f" pressure: {' '.join(statics)}}}\n    gives: airflow\n    rows: |\n{rows}\ncalls:\n  cooling: {{terminals:"
        " Y1, lead: Y, airflow: tap airflow}\n"
    )
    return build_table(source_from_text(text), "taps")[0]


@LAW
@given(st.data())
def test_straight_lines_agree_with_numpy(data: st.DataObject) -> None:
    """Figures along static pressure, between and at the printed ones; outside they are refused."""
    hundredths = sorted(data.draw(st.sets(st.integers(5, 120), min_size=2, max_size=5)))
    figures = data.draw(
        st.lists(
            st.lists(st.integers(200, 2400), min_size=len(hundredths), max_size=len(hundredths)), min_size=2, max_size=3
        )
    )
    table = tapped([f"{h / 100:.2f}" for h in hundredths], figures)
    for at in data.draw(st.lists(st.integers(0, 1300), min_size=1, max_size=8)):
        engine = Engine(table, read_facts([("static pressure", f"{at / 1000:.3f}")], table))
        for tap, row in enumerate(figures):
            got = evaluate(engine, (tap,))["cooling"].stages[0].airflow
            if min(hundredths) * 10 <= at <= max(hundredths) * 10:
                want = np.interp(at / 1000, np.array(hundredths) / 100, row)
                assert isinstance(got, Fraction)
                assert float(got) == pytest.approx(float(want), rel=1e-12)
            else:
                assert isinstance(got, No)
                assert got.kind == "outside_chart"


def test_straight_lines_of_a_shipped_page_agree_with_numpy() -> None:
    """Wickerby page 5, all five taps every 5 Pa; the figures are typed from the page."""
    page = {
        1: [305, 270, 230, 185, 135],
        2: [375, 345, 310, 270, 225],
        3: [450, 425, 395, 360, 315],
        4: [530, 510, 480, 445, 405],
        5: [615, 595, 565, 530, 470],
    }
    table, _ = load("wickerby-5")
    for static in range(25, 226, 5):
        engine = Engine(table, read_facts([("static pressure", str(static))], table))
        for tap, figures in page.items():
            got = (
                evaluate(engine, setting_of(read_marks([f"M1-Y2={tap}"], table), table))["cooling"]
                .stage("high")
                .airflow
            )
            assert isinstance(got, Fraction)
            assert float(got) == pytest.approx(float(np.interp(static, [25, 75, 125, 175, 225], figures)), rel=1e-12)


# the nearest


@LAW
@given(st.data())
def test_the_nearest_setting_agrees_with_argmin(data: st.DataObject) -> None:
    """A bank's chart that doesn't factor and a jumper's trim: all products in an array, the least relative distance
    by numpy.argmin."""
    count = data.draw(st.integers(1, 6))
    figures = data.draw(st.lists(st.integers(300, 2400), min_size=2**count, max_size=2**count))
    trims = data.draw(st.lists(st.integers(-20, 20), min_size=2, max_size=5, unique=True))
    aim = data.draw(st.integers(300, 2400))
    rows = "\n".join(f"      {n:0{count}b}  {figure}" for n, figure in enumerate(figures))
    letters = "ABCDE"[: len(trims)]
    text = (
        "format: selector table 1\nunit: {title: Bank}\nunits: {airflow: cfm}\nboard:\n  SW1: {kind: switches,"
        f" count: {count}}}\n  J1: {{kind: jumper, positions: {' '.join(letters)}}}\ncharts:\n  base:\n    set:"
        f" {' '.join(f'SW1-{n}' for n in range(1, count + 1))}\n    gives: airflow\n    rows: |\n{rows}\n "
        " adjustment:\n    set: J1\n    gives: trim\n    rows: |\n"
        + "\n".join(f"      {letter}  {trim:+d} %" for letter, trim in zip(letters, trims, strict=True))
        + "\ncalls:\n  cooling: {airflow: [base, adjustment]}\n"
    )
    table, _ = build_table(source_from_text(text), "bank")
    (found,) = find(
        Engine(table, Facts()), Request(targets=(read_target("cooling", str(aim), table),), first=1, near=Fraction(0))
    ).found
    airflows = np.multiply.outer(np.array(figures), 100 + np.array(trims))
    distance = np.abs(airflows - 100 * aim)
    at = np.unravel_index(np.argmin(distance), distance.shape)
    assert found.airflows["cooling", ""] * 100 - 100 * aim in (int(distance[at]), -int(distance[at]))
    first = (*(int(c) for c in f"{at[0]:0{count}b}"), int(at[1]))
    assert found.setting == first
