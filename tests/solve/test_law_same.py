"""The same table told otherwise has the same answers: rows, columns and names in another order (L6), figures in
other units (L8)."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from selector.value import replace

sys.path.insert(0, str(Path(__file__).parents[2]))

from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Found, find
from selector.table.model.table import No, Setting
from tests.helpers.generate import Case, Wish, cases
from tests.helpers.ready import Ready, ready
from tests.helpers.rewrite import Factors, Names, converted, renamed, shuffled, with_selectors_in

LAW = settings(max_examples=40, suppress_health_check=list(HealthCheck))
SMALL = Wish(most=120)
ALL = 10**4
Tied = tuple[int, int, Fraction, Setting, tuple[tuple[tuple[str, str], Fraction], ...]]


def everything(r: Ready) -> tuple[Found, ...]:
    """All settings that fit, ranked."""
    return find(r.engine, replace(r.request, first=ALL)).found


def listed(found: Sequence[Found]) -> list[Tied]:
    """What is told of every setting, in the order told."""
    return [(f.group, f.moves, f.deviation, f.setting, tuple(sorted(f.airflows.items()))) for f in found]


def decoded(r: Ready, setting: Setting) -> dict[tuple[str, str], Fraction | str]:
    """Every stage's airflow, or which no it is."""
    return {
        (s.call, s.stage): s.airflow.kind if isinstance(s.airflow, No) else s.airflow
        for a in evaluate(r.engine, setting).values()
        for s in a.stages
    }


@st.composite
def boards(draw: st.DrawFn, wish: Wish = SMALL) -> tuple[Case, Setting, int]:
    """A case, some setting of its board, and a seed."""
    case = draw(cases(wish))
    return case, tuple(draw(st.integers(0, len(p.positions) - 1)) for p in case.table.parts), draw(st.integers(0, 9999))


# L6


@LAW
@given(boards())
def test_L6_order_of_rows_and_columns(board: tuple[Case, Setting, int]) -> None:
    case, setting, seed = board
    was, now = ready(case), ready(shuffled(case, Random(seed)))
    assert decoded(now, setting) == decoded(was, setting)
    assert listed(everything(now)) == listed(everything(was))


@LAW
@given(boards())
def test_L6_names(board: tuple[Case, Setting, int]) -> None:
    """Selectors, charts, calls, models, stages and positions under names in another alphabetical order."""
    case, setting, seed = board
    d, random = case.table, Random(seed)

    def new(old: Sequence[str], stem: str) -> dict[str, str]:
        numbers = random.sample(range(10, 99), len(old))
        return {name: f"{stem}{number}" for name, number in zip(old, numbers, strict=True)}

    words = {
        s.name: new([p for p in d.parts[d.part_index(s.parts[0])].positions if p != "off pins"], "p")
        for s in d.selectors
        if s.kind in ("jumper", "dial", "plug") and not s.gives
    }
    names = Names(
        selectors=new([s.name for s in d.selectors], "Q"),
        charts=new([c.name for c in d.charts], "page part "),
        calls=new([c.name for c in d.calls], "asks "),
        models=new(d.models, "m"),
        stages=new([s for s in dict.fromkeys(s for c in d.calls for s in c.stages) if s], "step"),
        positions=words,
    )
    was, now = ready(case), ready(renamed(case, names))
    back = {names.calls[c.name]: c.name for c in d.calls}
    stages = {names.stage(s): s for c in d.calls for s in c.stages}
    assert {(back[c], stages[s]): x for (c, s), x in decoded(now, setting).items()} == decoded(was, setting)
    again = []
    for group, moves, deviation, at, airflows in listed(everything(now)):
        again.append((group, moves, deviation, at, tuple(sorted(((back[c], stages[s]), a) for (c, s), a in airflows))))
    assert again == listed(everything(was))


@LAW
@given(boards())
def test_L6_order_of_selectors(board: tuple[Case, Setting, int]) -> None:
    """Only the file order among settings tied in moves and deviation may change: those tied, their airflows and
    deviations don't."""
    case, setting, seed = board
    order = Random(seed).sample(range(len(case.table.selectors)), len(case.table.selectors))
    other, stood = with_selectors_in(case, order)
    was, now = ready(case), ready(other)
    assert decoded(now, tuple(setting[i] for i in stood)) == decoded(was, setting)
    tied = [(g, m, x, tuple(s[i] for i in stood), airflows) for g, m, x, s, airflows in listed(everything(was))]
    again = listed(everything(now))
    assert [t[:3] for t in again] == [t[:3] for t in tied]
    assert set(again) == set(tied)


# L8

CFM_IN_LPS = Fraction("0.3048") ** 3 * 1000 / 60
"""Litres a second in a cfm: 0.4719474432 exactly, the foot being 0.3048 m (NIST SP 811, appendix B.8)."""
INWC_IN_PA = Fraction("249.08891")
"""Conventional inch of water in pascal (NIST SP 811, appendix B.8: 2.490 889 E+02; digits of the definition)."""
BTUH_IN_KW = Fraction("1055.05585262") / 3_600_000

IMPERIAL = ("cfm", "in. w.c.", "F", "Btu/h")
METRIC = ("L/s", "Pa", "C", "kW")
HOURLY = ("m3/h", "Pa", "C", "kW")
TO_METRIC = Factors(units=METRIC, airflow=CFM_IN_LPS, pressure=INWC_IN_PA, rise=Fraction(5, 9), heat=BTUH_IN_KW)
TO_HOURLY = Factors(
    units=HOURLY, airflow=CFM_IN_LPS * Fraction(18, 5), pressure=INWC_IN_PA, rise=Fraction(5, 9), heat=BTUH_IN_KW
)
TO_MBH = Factors(
    units=("m3/h", "Pa", "F", "MBH"),
    airflow=Fraction(18, 5),
    pressure=Fraction(1),
    rise=Fraction(9, 5),
    heat=Fraction(1, 1000),
)

EXACT = [
    # figures are multiples of 10 cfm (9 decimals in L/s), 9 F and 180,000 Btu/h (52.752792631 kW), so that each
    # converts in at most 9 decimals
    pytest.param(
        Wish(most=120, grain=10, degrees=9, heat_btuh=180_000, units=IMPERIAL),
        TO_METRIC,
        id="cfm-in.w.c.-F-Btu/h to L/s-Pa-C-kW",
    ),
    # multiples of 100 cfm: 169.901079552 m3/h
    pytest.param(Wish(most=120, grain=100, degrees=9, heat_btuh=180_000, units=IMPERIAL), TO_HOURLY, id="cfm to m3/h"),
    # 1 L/s = 3.6 m3/h, 1 C of rise = 1.8 F
    pytest.param(Wish(most=120, units=("L/s", "Pa", "C", "Btu/h")), TO_MBH, id="L/s-C-Btu/h to m3/h-F-MBH"),
]


@pytest.mark.parametrize(("wish", "factors"), EXACT)
@settings(LAW, max_examples=25)
@given(data=st.data())
def test_L8_units(wish: Wish, factors: Factors, data: st.DataObject) -> None:
    """The same table, question and facts with every figure and rounding step converted exactly: the same settings,
    airflows converted exactly."""
    case, setting, _ = data.draw(boards(wish))
    was, now = ready(case), ready(converted(case, factors))
    for key, airflow in decoded(was, setting).items():
        other = decoded(now, setting)[key]
        assert other == (airflow * factors.airflow if isinstance(airflow, Fraction) else airflow), key
    scaled = [
        (g, m, x, s, tuple((k, a * factors.airflow) for k, a in airflows))
        for g, m, x, s, airflows in listed(everything(was))
    ]
    assert listed(everything(now)) == scaled
