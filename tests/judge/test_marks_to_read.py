"""Marks without a position: against every completion listed one by one, and against the pages' own questions."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import product

import pytest

from selector.judge.judge import judge
from selector.judge.judgement import WRONG
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.judge.marks_to_read import OpenMarks, open_marks
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.search.declared import differences
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.range import Range
from selector.table.model.table import Setting, Table
from selector.table.source import source_from_text


def window(call: str, stage: str, low: int, high: int) -> OutsideLimit:
    return OutsideLimit(
        quantity="airflow", range=Range(Fraction(low), Fraction(high)), source="typed", call=call, stage=stage
    )


def completions(table: Table, setting: Setting) -> Iterator[Setting]:
    """Every board that this one may be: a mark that was looked at is on its pins."""
    open_parts = [i for i, at in enumerate(setting) if at is None]
    choices = ([n for n, word in enumerate(table.parts[i].positions) if word != "off pins"] for i in open_parts)
    for positions in product(*choices):
        full = list(setting)
        for i, at in zip(open_parts, positions, strict=True):
            full[i] = at
        yield tuple(full)


Stands = dict[tuple[str, str], str]


def of_setting(engine: Engine, setting: Setting) -> Stands:
    """Where every stage stands in a setting without unread marks."""
    return {at: s.stands for at, s in judge(engine, BoardMarks(setting=setting)).stages.items()}


Places = dict[tuple[str, str], set[str]]


def open_board(engine: Engine, setting: Setting) -> tuple[OpenMarks, Places]:
    """What its open marks leave open, and everything each stage may be."""
    unread = frozenset(i for i, at in enumerate(setting) if at is None)
    found = judge(engine, BoardMarks(setting=setting, unread=unread))
    return open_marks(engine, found), {at: set(s.cases.values()) for at, s in found.stages.items()}


def corvane(marks: str, *wanted: OutsideLimit) -> tuple[OpenMarks, Places, Table]:
    table, _ = load("corvane-k14")
    setting = setting_of(read_marks([marks], table), table)
    return *open_board(KnownFacts(facts=Facts(model="080"), limits=wanted).engine(table), setting), table


def test_the_page_question_with_one_unreadable_switch() -> None:
    # Corvane question 5: SW1-5 not legible: cooling is 1,197.8 or 1,130; a window of 1,190 to 1,250 holds only the
    # first (SW1-5 ON)
    found, places, table = corvane("SW1=1001?000", window("cooling", "second", 1190, 1250))
    assert places["cooling", "second"] == {"outside", "inside"}
    assert places["heating", "second"] == {"inside"}
    assert found.wrong.verdict is None
    (look,) = found.looks
    assert table.parts[look.part].name == "SW1-5"
    assert look.decides
    assert [w.verdict for w in look.wrong] == [False, True]


def test_a_mark_no_verdict_hangs_on_is_not_to_be_looked_at() -> None:
    # SW1-7 sets the fan's share only; 1,130 and 1,197.8 are both inside 1,100 to 1,250, so SW1-5 decides nothing either
    found, _, table = corvane("SW1=1001?0?0", window("cooling", "second", 1100, 1250))
    assert found.wrong.verdict is True
    assert found.looks == ()
    assert [table.parts[i].name for i in found.idle] == ["SW1-5", "SW1-7"]


def test_wrong_whatever_it_is() -> None:
    found, places, _ = corvane("SW1=1001?000", window("cooling", "second", 1250, 1300))
    assert found.wrong.verdict is False
    assert places["cooling", "second"] == {"outside"}


def test_two_calls_that_can_never_be_right_together_are_certainly_wrong_though_each_may_be_right() -> None:
    # cooling is inside only with +6 % (1,197.8), heating of 1,180 x 1.06 = 1,250.8 or 1,180: the window of 1,170 to
    # 1,190 needs no trim
    found, places, _ = corvane(
        "SW1=1001?000", window("cooling", "second", 1190, 1250), window("heating", "second", 1170, 1190)
    )
    assert places["cooling", "second"] == {"outside", "inside"}
    assert places["heating", "second"] == {"outside", "inside"}
    assert (found.wrong.least, found.wrong.most) == (1, 1)
    assert found.wrong.verdict is False


def test_the_mark_that_decides_comes_before_one_that_only_narrows() -> None:
    # 110: OFF OFF OFF 1,960, ON OFF OFF 1,060 (SW1-2); SW1-5 adds 6 %: inside 1,000 to 1,200 is decided by SW1-2 alone
    table, _ = load("corvane-k14")
    setting = setting_of(read_marks(["SW1=0?00?000"], table), table)
    known = KnownFacts(facts=Facts(model="110"), limits=(window("cooling", "second", 1000, 1200),))
    found, _ = open_board(known.engine(table), setting)
    assert table.parts[found.looks[0].part].name == "SW1-2"
    assert found.looks[0].decides


ORDER = """\
format: selector table 1
unit: {title: Which first}
board:
  J1: {kind: jumper, positions: A B}
  D1: {kind: dial, positions: 1 2 3 4 5}
  J2: {kind: jumper, positions: A B}
  J3: {kind: jumper, positions: A B}
charts:
  coil: {set: D1 J1, gives: airflow, rows: 1 - 500; 2 - 500; 3 - 500; 4 A 500; 5 A 500; 4 B 900; 5 B 900}
  pump: {set: J2, gives: airflow, rows: A 500; B 900}
  air: {set: J3, gives: airflow, rows: A 500; B 900}
calls:
  cooling: {terminals: Y1 O, airflow: coil}
  heat pump: {terminals: Y1, airflow: pump}
  fan: {terminals: G, airflow: air}
  humid: {terminals: Y1 O DH, airflow: air}
"""


@pytest.mark.parametrize(
    ("marks", "least", "order", "decide"),
    [
        # D1 leaves it open at 4 and 5, two of five; J1 at B, one of two
        ("D1=? J1=? J2=B J3=B", 900, ["D1", "J1"], []),
        ("D1=4 J1=? J2=B J3=B", 900, ["J1"], ["J1"]),
        # cooling is wrong whatever they are; read J3 and one stage is open, read J2 and two are
        ("D1=1 J1=A J2=? J3=?", 900, ["J3", "J2"], []),
        ("D1=1 J1=A J2=? J3=?", 400, [], []),
        # of two alike the first of the board
        ("D1=5 J1=? J2=? J3=B", 900, ["J1", "J2"], []),
    ],
)
def test_the_order_to_read_marks_in(marks: str, least: int, order: list[str], decide: list[str]) -> None:
    """The least share of positions that leave the verdict open, then the fewest stages still open; by hand."""
    table, _ = build_table(source_from_text(ORDER), "order")
    limit = OutsideLimit(quantity="airflow", range=Range(Fraction(least), None), source="typed")
    setting = setting_of(read_marks(marks.split(), table), table)
    found, _ = open_board(KnownFacts(limits=(limit,)).engine(table), setting)
    assert [table.parts[look.part].name for look in found.looks] == order
    assert [table.parts[look.part].name for look in found.looks if look.decides] == decide
    assert sorted((*found.idle, *(look.part for look in found.looks))) == [
        i for i, at in enumerate(setting) if at is None
    ]


JOINT = """\
format: selector table 1
unit: {title: What hangs together}
board:
  D1: {kind: dial, positions: 1 2}
  J1: {kind: jumper, positions: A B}
  J2: {kind: jumper, positions: A B}
charts:
  coil:
    set: D1 J1 J2
    gives: airflow
    rows: |
      1 A A 500
      1 A B 510
      1 B A 900
      1 B B 910
      2 A A 900
      2 A B 910
      2 B A 500
      2 B B 510
  air: {set: J1, gives: airflow, rows: A 500; B 900}
calls:
  cooling: {terminals: Y1, airflow: coil}
  fan: {terminals: G, airflow: air}
"""
TAPS = """\
format: selector table 1
unit: {title: Two leads}
board:
  M1: {kind: taps, positions: 1 2, leads: low high}
charts:
  coil: {set: M1, gives: airflow, rows: 1 500; 2 900}
calls:
  cooling: {terminals: Y1, airflow: coil, lead: low}
  fan: {terminals: G, airflow: coil, lead: high}
"""


@pytest.mark.parametrize(
    ("text", "marks", "counts"),
    [
        # on 1 both stages are wrong at J1 A and neither at B; on 2 one of them either way
        (JOINT, "D1=? J1=? J2=?", {"": (0, 2), "D1 1": (0, 2), "D1 2": (1, 1), "J1 A": (1, 2), "J1 B": (0, 1)}),
        # no two leads on one tap: both on 1 can't be
        (TAPS, "M1=unread", {"": (0, 1), "M1-low 1": (1, 1), "M1-low 2": (0, 1), "M1-high parked": (0, 1)}),
    ],
)
def test_how_many_stages_may_be_wrong_together(text: str, marks: str, counts: dict[str, tuple[int, int]]) -> None:
    """At least 900 is asked of both stages; by hand."""
    table, _ = build_table(source_from_text(text), "joint")
    limit = OutsideLimit(quantity="airflow", range=Range(Fraction(900), None), source="typed")
    found, _ = open_board(
        KnownFacts(limits=(limit,)).engine(table), setting_of(read_marks(marks.split(), table), table)
    )
    told = {"": (found.wrong.least, found.wrong.most)}
    for look in found.looks:
        part = table.parts[look.part]
        for at, wrong in zip(look.positions, look.wrong, strict=True):
            told[f"{part.name} {part.positions[at]}"] = (wrong.least, wrong.most)
    assert {at: told[at] for at in counts} == counts


CASES = [
    # table, facts, readable marks, how many parts are hidden at most, stages that may get a window
    ("corvane-k14", Facts(model="080"), "SW1=10011000", 6, [("cooling", "second"), ("heating", "second"), ("fan", "")]),
    ("garrowby-r", Facts(), "SW1=01000000 D1=2 J1=A J2=1", 4, [("cooling", "second"), ("heating", "low"), ("fan", "")]),
    (
        "saltmarsh-12",
        Facts(values={"heater": "10"}),
        "J1=3 J2=b J3=1 J4=10 J5=1 LK1=whole",
        4,
        [("cooling", ""), ("fan", "")],
    ),
    (
        "lindmarrow-j",
        Facts(),
        "J1=B J2=A J3=A J4=1 J5=1 LK1=whole",
        3,
        [("cooling", "high"), ("heat pump", "low"), ("fan", "")],
    ),
    ("thornquay-d", Facts(model="T65"), "D1=7 D2=0 D3=A", 2, [("cooling", "second"), ("heating", "first")]),
]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("case", CASES, ids=[c[0] for c in CASES])
def test_everything_said_is_what_the_completions_say(
    case: tuple[str, Facts, str, int, list[tuple[str, str]]], seed: int
) -> None:
    name, facts, marks, most, stages = case
    rng = random.Random(f"{name} {seed}")
    table, _ = load(name)
    full = setting_of(read_marks([marks], table), table)
    hidden = set(rng.sample(range(len(full)), rng.randint(1, most)))
    setting = tuple(None if i in hidden else at for i, at in enumerate(full))
    while sum(1 for _ in completions(table, setting)) > 300:
        hidden.pop()
        setting = tuple(None if i in hidden else at for i, at in enumerate(full))
    wanted = []
    for stage in rng.sample(stages, rng.randint(1, len(stages))):
        middle, half = rng.randint(400, 1600), rng.choice((40, 150, 500))
        wanted.append(window(*stage, middle - half, middle + half))
    engine = KnownFacts(facts=facts, limits=tuple(wanted)).engine(table)
    found, reached = open_board(engine, setting)
    every = {one: of_setting(engine, one) for one in completions(table, setting)}
    counts = {
        one: sum(place in WRONG for place in stands.values()) + len(differences(engine, one))
        for one, stands in every.items()
    }
    assert (found.wrong.least, found.wrong.most) == (min(counts.values()), max(counts.values()))
    places: dict[tuple[str, str], set[str]] = {}
    for stands in every.values():
        for stage, place in stands.items():
            places.setdefault(stage, set()).add(place)
    assert reached == places
    for look in found.looks:
        for at, wrong in zip(look.positions, look.wrong, strict=True):
            those = [count for one, count in counts.items() if one[look.part] == at]
            assert (wrong.least, wrong.most) == (min(those), max(those))
    matter = {part for part in (*found.idle, *(look.part for look in found.looks)) if _matters(engine, every, part)}
    assert matter == {look.part for look in found.looks}
    assert {*found.idle, *matter} == {i for i, at in enumerate(setting) if at is None}


def _matters(engine: Engine, every: Mapping[Setting, Stands], part: int) -> bool:
    """True where some completion turns a stage, or what the board is told, from right to wrong by this part alone."""
    by_rest: dict[Setting, set[tuple[bool, ...]]] = {}
    for one, stands in every.items():
        by_rest.setdefault((*one[:part], None, *one[part + 1 :]), set()).add(
            (*(place in WRONG for place in stands.values()), bool(differences(engine, one)))
        )
    return any(len(found) > 1 for found in by_rest.values())
