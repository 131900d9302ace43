"""One stage of a board with open marks and facts not given: outcome, what decides, notes, limits; each by hand."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from selector.judge.danger import dangerous
from selector.judge.judge import judge, judge_setting
from selector.judge.judgement import Judgement, Note
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.solve.board.marks import read_marks, setting_of, unread_in
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.range import Range
from selector.table.model.table import No, Table
from selector.table.source import source_from_text


def table_of(text: str) -> Table:
    return build_table(source_from_text("format: selector table 1\n" + text), "page")[0]


def judged(
    table: Table,
    marks: str = "",
    *limits: OutsideLimit,
    must_run: tuple[tuple[str, str], ...] = (),
    facts: Mapping[str, str] | None = None,
) -> Judgement:
    """`J1=?` was looked at and can't be read; what isn't among the marks stands as delivered, else nobody knows."""
    told = read_facts(list((facts or {}).items()), table)
    read = read_marks(marks.split(), table)
    board = BoardMarks(setting=setting_of(read, table), unread=unread_in(read))
    return judge(KnownFacts(facts=told, limits=limits).engine(table), board, must_run)


def asked(low: int | None, high: int | None, call: str = "cooling") -> OutsideLimit:
    ends = [None if end is None else Fraction(end) for end in (low, high)]
    return OutsideLimit(quantity="airflow", range=Range(*ends), source="asked", call=call)


NOTED = """\
unit: {title: Noted, note: Of the unit}
board:
  J1: {kind: jumper, positions: A B, factory: A, note: Of J1}
  J2: {kind: jumper, positions: 1 2, factory: 1}
  LK1: {kind: link, factory: whole}
charts:
  coil: {page: 9, set: J1, gives: airflow, note: Of the coil, rows: A 900 (row A); B 1000 (row B)}
  more: {page: 10, set: J2, gives: trim, note: Of more, rows: 1 none (row 1); 2 +10 % (row 2)}
  late: {page: 8, set: J2, gives: seconds, note: Of late, rows: 1 30 s; 2 90 s}
calls:
  cooling: {terminals: Y1, airflow: [coil, {use: more, when: {J1: B}}], off delay: late, note: Of cooling}
  humid: {terminals: Y1 DH, when: {LK1: cut}, airflow: coil, note: Of humid}
"""


@pytest.mark.parametrize(
    ("marks", "call", "notes", "pages"),
    [
        ("J1=A J2=1", "cooling", {"cooling", "J1", "the coil", "row A", "late"}, {"9", "8"}),
        ("J1=B J2=2", "cooling", {"cooling", "J1", "the coil", "row B", "more", "row 2", "late"}, {"9", "10", "8"}),
        # what may hold is told
        (
            "J1=? J2=2",
            "cooling",
            {"cooling", "J1", "the coil", "row A", "row B", "more", "row 2", "late"},
            {"9", "10", "8"},
        ),
        (
            "J1=B J2=?",
            "cooling",
            {"cooling", "J1", "the coil", "row B", "more", "row 1", "row 2", "late"},
            {"9", "10", "8"},
        ),
        ("J1=A LK1=whole", "humid", {"humid"}, set()),  # it does not run: its charts say nothing
        ("J1=A LK1=cut", "humid", {"humid", "J1", "the coil", "row A"}, {"9"}),
        ("J1=A LK1=?", "humid", {"humid", "J1", "the coil", "row A"}, {"9"}),
    ],
)
def test_the_notes_of_what_a_stage_reads(marks: str, call: str, notes: set[str], pages: set[str]) -> None:
    found = judged(table_of(NOTED), marks)
    stage = found.stages[call, ""]
    assert {n.text.removeprefix("Of ") for n in stage.notes} == notes
    assert set(stage.pages) == pages


def test_every_note_once_and_the_pages_rise() -> None:
    found = judged(table_of(NOTED), "J1=B J2=2 LK1=cut")
    assert found.pages == ("8", "9", "10")
    assert found.notes == (Note(of="unit", name="page", text="Of the unit"),)
    every = [(n.of, n.name, n.text, n.page) for n in found.every_note]
    assert len(every) == len(set(every))
    assert ("row", "coil", "row B", "9") in every
    assert ("selector", "J1", "Of J1", "") in every
    assert [at.text for at in judged(table_of(NOTED.replace(", note: Of the unit", "")), "").notes] == []


COPIED = """\
unit: {title: Copied}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  coil: {page: 4, set: D1 J1, gives: airflow, rows: 1 A 900; 1 B 950; 2 - 1000; 3 - as 1 -}
calls:
  cooling: {terminals: Y1, airflow: coil}
"""


def test_a_row_that_behaves_as_another_is_told() -> None:
    stage = judged(table_of(COPIED), "D1=3 J1=B").stages["cooling", ""]
    assert stage.outcome == 950
    assert [(n.of, n.name, n.text, n.page) for n in stage.notes] == [("copied row", "coil", "D1 1", "4")]
    assert judged(table_of(COPIED), "D1=1 J1=B").stages["cooling", ""].notes == ()


# -- what decides

TWO = """\
unit: {title: Two}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
  J1: {kind: jumper, positions: A B, factory: A}
  J2: {kind: jumper, positions: A B, factory: A}
  J3: {kind: jumper, positions: A B, factory: A}
charts:
  coil: {set: D1 J1, gives: airflow, rows: 1 A 900; 1 B 900; 2 A 1000; 2 B 1100; 3 A 900; 3 B 1200}
  both: {set: J2 J3, gives: airflow, rows: A A 500; A B 500; B A 500; B B 600}
calls:
  cooling: {terminals: Y1, airflow: coil}
  fan: {terminals: G, airflow: both}
"""


@pytest.mark.parametrize(
    ("marks", "airflows", "depends", "which"),
    [
        ("D1=? J1=A", [900, 1000], "D1", {900: ["1", "3"], 1000: ["2"]}),
        ("D1=? J1=B", [900, 1100, 1200], "D1", {900: ["1"], 1100: ["2"], 1200: ["3"]}),
        ("D1=1 J1=?", [900], "", {}),  # both are 900
        ("D1=2 J1=?", [1000, 1100], "J1", {1000: ["A"], 1100: ["B"]}),
        ("D1=? J1=?", [900, 1000, 1100, 1200], "D1 J1", {}),  # no one position leads there
    ],
)
def test_which_mark_decides_and_where_each_airflow_comes_from(
    marks: str, airflows: list[int], depends: str, which: dict[int, list[str]]
) -> None:
    table = table_of(TWO)
    stage = judged(table, marks).stages["cooling", ""]
    assert [*stage.airflows] == airflows
    assert [table.parts[p].name for p in stage.depends] == depends.split()
    assert {x: [table.parts[p].positions[at] for p, at in pairs] for x, pairs in stage.which.items()} == which
    assert stage.certain is (len(airflows) == 1)
    if depends:
        assert isinstance(stage.outcome, No)
        assert (stage.outcome.kind, stage.outcome.why) == ("unreadable", f"depends on {', '.join(depends.split())}")
        assert stage.outcome.needs == (depends if len(depends) == 2 else "")
    else:
        assert stage.outcome == 900


def test_two_marks_of_which_only_the_other_s_position_makes_one_decide() -> None:
    """J2 changes the airflow where J3 is at B: it decides by itself in some case, and so does J3."""
    table = table_of(TWO)
    stage = judged(table, "J2=? J3=?").stages["fan", ""]
    assert [table.parts[p].name for p in stage.depends] == ["J2", "J3"]
    one = judged(table, "J2=? J3=A").stages["fan", ""]
    assert not one.depends
    assert one.outcome == 500


FACTS = """\
unit: {title: Facts, models: S T}
facts:
  coil: {values: small large}
board:
  J1: {kind: jumper, positions: A B}
charts:
  air:
    set: J1
    across: {model: S T, coil: small large}
    gives: airflow
    rows: |
      A 800 900 1000 900
      B 500 500 500 500
calls:
  cooling: {terminals: Y1, airflow: air}
"""


@pytest.mark.parametrize(
    ("marks", "facts", "kind", "said", "needs"),
    [
        ("J1=A", {"model": "S"}, "not_known", "coil is not given", "coil"),
        ("J1=A", {"coil": "small"}, "not_known", "model is not given", "model"),
        ("J1=A", {}, "not_known", "model and coil are not given", ""),
        ("J1=A", {"coil": "large"}, 900, "", ""),  # 900 in both models
        ("J1=B", {}, 500, "", ""),
        ("", {"model": "S", "coil": "large"}, "not_known", "depends on J1", "J1"),  # nobody looked at it
        ("J1=?", {"model": "S", "coil": "large"}, "unreadable", "depends on J1", "J1"),
        ("J1=?", {"model": "S"}, "unreadable", "depends on J1, coil", ""),
    ],
)
def test_what_isn_t_given_is_named(marks: str, facts: dict[str, str], kind: str | int, said: str, needs: str) -> None:
    outcome = judged(table_of(FACTS), marks, facts=facts).stages["cooling", ""].outcome
    if isinstance(outcome, No):
        assert (outcome.kind, outcome.why, outcome.needs) == (kind, said, needs)
    else:
        assert outcome == kind


def test_a_stage_is_told_position_by_position_whatever_the_facts_are() -> None:
    """J1 A: 800 to 1,000 by facts not given; B: 500 always, under 600."""
    table = table_of(FACTS)
    stage = judged(table, "J1=?", asked(600, None)).stages["cooling", ""]
    assert stage.cases == {(0,): "not_known", (1,): "outside"}
    assert (stage.stands, stage.wrong) == ("unreadable", False)
    always = judged(table, "J1=?", asked(2000, None)).stages["cooling", ""]
    assert always.cases == {(0,): "outside", (1,): "outside"}
    assert (always.stands, always.wrong) == ("outside", True)
    known = judged(table, "J1=?", asked(600, None), facts={"model": "S", "coil": "large"}).stages["cooling", ""]
    assert known.cases == {(0,): "inside", (1,): "outside"}


# -- limits over what may be


@pytest.mark.parametrize(
    ("marks", "low", "high", "state", "by", "depends"),
    [
        ("D1=2 J1=A", 900, 1100, "kept", [], ""),
        ("D1=2 J1=A", 1000, 1000, "kept", [], ""),  # both ends are inside
        ("D1=2 J1=A", 1001, None, "broken", [-1], ""),
        ("D1=2 J1=A", None, 999, "broken", [1], ""),
        ("D1=? J1=B", 1000, None, "depends", [-100], "D1"),
        ("D1=? J1=B", None, 1000, "depends", [100, 200], "D1"),
        ("D1=? J1=B", None, 800, "broken", [100, 300, 400], ""),
        ("D1=? J1=B", 900, 1200, "kept", [], ""),
        ("D1=? J1=?", None, 1000, "depends", [100, 200], "D1 J1"),
        ("D1=? J1=A", None, 1000, "kept", [], ""),
    ],
)
def test_a_limit_over_everything_that_a_stage_may_be(
    marks: str, low: int | None, high: int | None, state: str, by: list[int], depends: str
) -> None:
    table = table_of(TWO)
    found = judged(table, marks, asked(low, high))
    (check,) = found.stages["cooling", ""].checks
    assert check.state == state
    assert [*check.by] == by
    assert [table.parts[p].name for p in check.depends] == depends.split()
    bad = [abs(j.beyond) for j in check.judged if j.ok is False]
    assert bad == sorted(bad, reverse=True)
    assert [j.ok for j in check.judged] == sorted((j.ok for j in check.judged), key=lambda ok: ok is not False)
    assert bool(found.broken) is (state == "broken")
    assert bool(found.stages["cooling", ""].broken) is (state == "broken")


OPEN_FIGURE = """\
unit: {title: A figure that is one of two}
units: {airflow: cfm}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  coil: {set: D1, gives: airflow, rows: 1 900 or 1100; 2 900; 3 1100}
calls:
  cooling: {terminals: Y1, airflow: coil}
"""


@pytest.mark.parametrize(
    ("marks", "high", "state", "oks"),
    [
        ("D1=1", 1000, "not_judged", [None]),
        ("D1=1", 1200, "kept", [True]),
        ("D1=1", 800, "broken", [False]),
        ("D1=?", 1000, "depends", [False, None, True]),  # the worst first
        ("D1=2", 1000, "kept", [True]),
    ],
)
def test_a_figure_that_is_one_of_two_against_a_limit(marks: str, high: int, state: str, oks: list[bool | None]) -> None:
    found = judged(table_of(OPEN_FIGURE), marks, asked(None, high))
    (check,) = found.stages["cooling", ""].checks
    assert (check.state, [j.ok for j in check.judged]) == (state, oks)
    assert bool(check.why) is (None in oks)
    assert len(found.checks("not_judged")) == (state == "not_judged")
    assert len(found.stages["cooling", ""].unjudged) == (state == "not_judged")


FIRED = """\
unit: {title: Open at one firing rate}
units: {airflow: cfm}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  air:
    set: D1
    across: {firing rate: 40 100}
    gives: airflow
    rows: |
      1 900 [900 or 1100]
      2 900 1100
      3 1100 900
calls:
  heating: {terminals: W, airflow: air}
"""


@pytest.mark.parametrize(("marks", "ok"), [("D1=1", None), ("D1=2", False), ("D1=3", False)])
def test_a_limit_counts_where_it_is_worst_between_the_firing_rates(marks: str, ok: bool | None) -> None:
    """At most 1,000: 900 keeps it at one rate, 1,100 breaks it at the other, `900 or 1100` leaves it open."""
    text = FIRED.replace("[900 or 1100]", "900 or 1100")
    found = judged(table_of(text), marks, asked(None, 1000, "heating"))
    (check,) = found.stages["heating", ""].checks
    assert [j.ok for j in check.judged] == [ok]


# -- the board

BOARD = """\
unit: {title: Board}
facts:
  heater: {values: 5 10}
board:
  J1: {kind: jumper, positions: A B C, factory: A, leave at: A}
  LK1: {kind: link, factory: whole}
  J5: {kind: plug, positions: 5 10, factory: 5, declares: heater}
  M1: {kind: taps, positions: 1 2 3, leads: black red blue, factory: 1 2 3}
charts:
  coil: {set: M1, gives: airflow, rows: 1 700; 2 900; 3 1100}
  told: {set: J1, gives: label, rows: A one; B reserved; C none}
calls:
  low: {terminals: Y1, lead: black, airflow: coil}
  high: {terminals: Y2, lead: red, airflow: coil, when: {LK1: whole}}
  fan: {terminals: G, lead: blue, airflow: coil}
"""


def test_what_is_said_of_the_board_beside_its_stages() -> None:
    table = table_of(BOARD)
    right = judged(table, facts={"heater": "5"})
    assert right.assumed == (0, 1, 2, 3, 4, 5)
    assert (right.open, right.cut, right.not_left, right.refused, right.shared, right.contradictions) == ((),) * 6
    wrong = judged(table, "J1=B LK1=cut J5=10 M1-black=2 M1-red=2 M1-blue=3", facts={"heater": "5"})
    assert [table.parts[p].name for p in wrong.cut] == ["LK1"]
    assert [table.parts[p].name for p in wrong.not_left] == ["J1"]
    assert [(name, no.kind) for name, no in wrong.refused] == [("told", "not_usable")]
    assert [[table.parts[p].name for p in leads] for leads in wrong.shared] == [["M1-black", "M1-red"]]
    assert len(wrong.contradictions) == 1
    unread = judged(table, "J1=? LK1=?")
    assert [table.parts[p].name for p in unread.open] == ["J1", "LK1"]
    assert (unread.cut, unread.not_left, unread.refused) == ((), (), ())
    assert judged(table, "J1=C").refused == ()


def test_a_call_that_has_to_run_and_does_not() -> None:
    table = table_of(BOARD)
    for must_run, stands in (((("high", ""),), "stopped"), ((("low", ""),), "does_not_run")):
        stage = judged(table, "LK1=cut", must_run=must_run).stages["high", ""]
        assert stage.stands == stands
        assert stage.wrong is (stands == "stopped")
        assert stage.needed is (stands == "stopped")
    assert judged(table, "LK1=whole", must_run=(("high", ""),)).stages["high", ""].stands == "not_judged"
    assert judged(table, "LK1=whole", asked(900, None, "high")).stages["high", ""].stands == "inside"
    assert judged(table, "LK1=whole", asked(901, None, "high")).stages["high", ""].stands == "outside"


def test_a_setting_that_is_proposed_leaves_unread_what_it_gives_no_position() -> None:
    table = table_of(TWO)
    engine = KnownFacts().engine(table)
    stage = judge_setting(engine, (1, None, 0, 0), {0, 1}).stages["cooling", ""]
    assert isinstance(stage.outcome, No)
    assert stage.outcome.kind == "unreadable"
    assert [*stage.airflows] == [1000, 1100]
    assert judge_setting(engine, (1, None, 0, 0)).stages["cooling", ""].outcome == 1000  # else as delivered


OFF = """\
unit: {title: Off its pins}
board:
  J1: {kind: jumper, positions: A B}
charts:
  coil: {set: J1, gives: airflow, rows: A 900; B 1000; off pins 1100}
calls:
  cooling: {terminals: Y1, airflow: coil}
"""


def test_a_jumper_that_was_looked_at_is_on_its_pins() -> None:
    """Nobody looked: it may be off them."""
    assert [*judged(table_of(OFF), "J1=?").stages["cooling", ""].airflows] == [900, 1000]
    assert [*judged(table_of(OFF), "").stages["cooling", ""].airflows] == [900, 1000, 1100]


# -- too much to list


def wide(rows: int) -> Table:
    """A dial of `rows` positions beside one of 20: 500 + 20 for each position of the first, + 1 of the second."""
    first, second = (" ".join(f"{mark}{i}" for i in range(n)) for mark, n in (("a", rows), ("b", 20)))
    lines = "\n".join(f"      a{i} b{j} {500 + 20 * i + j}" for i in range(rows) for j in range(20))
    return table_of(
        "unit: {title: Wide}\nboard:\n"
        f"  D1: {{kind: dial, positions: {first}}}\n  D2: {{kind: dial, positions: {second}}}\n"
        f"charts:\n  coil:\n    set: D1 D2\n    gives: airflow\n    rows: |\n{lines}\n"
        "calls:\n  cooling: {terminals: Y1, airflow: coil}\n"
    )


@pytest.mark.parametrize(("rows", "listed"), [(20, True), (21, False)])
def test_beyond_four_hundred_combinations_only_the_outcomes_are_told(rows: int, listed: bool) -> None:
    """20 x 20 = 400 are judged one by one, 21 x 20 = 420 aren't: every airflow is told all the same."""
    stage = judged(wide(rows), "D1=? D2=?", asked(600, None)).stages["cooling", ""]
    every = {500 + 20 * i + j for i in range(rows) for j in range(20)}
    assert {*map(int, stage.airflows)} == every
    assert stage.depends == (0, 1)
    assert len(stage.cases) == (rows * 20 if listed else 0)
    assert [c.state != "not_judged" for c in stage.checks] == [listed]
    assert stage.wrong is False


# -- danger


def test_a_limit_of_another_quantity_that_a_heater_s_chart_gives_is_no_danger() -> None:
    table = table_of(OFF)
    (stage,) = judged(table, "J1=A", asked(950, None)).stages.values()
    (one,) = stage.broken
    assert one.beyond == -50
    assert not dangerous(table, one)
