"""What is found on pages of a few rows: order, groups, moves, limits, what may not be proposed; each by hand."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from selector.judge.known_facts import KnownFacts, OutsideLimit
from selector.problems import Refused
from selector.solve.board.marks import marks_of, read_marks, setting_of, unread_in
from selector.solve.search.any_of import Allowed, any_of
from selector.solve.search.find import FindResult, Request, find, nearest
from selector.solve.search.targets import Asked, Target, got
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.range import Range
from selector.table.model.table import Setting, Table
from selector.table.source import source_from_text


def table_of(text: str) -> Table:
    return build_table(source_from_text("format: selector table 1\n" + text), "page")[0]


def aim(
    call: str,
    low: int,
    high: int | None = None,
    *,
    stage: str = "",
    quantity: Asked = "airflow",
    weight: int = 1,
    of: tuple[str, str] | None = None,
) -> Target:
    return Target(
        call=call,
        stage=stage,
        quantity=quantity,
        low=Fraction(low),
        high=Fraction(low if high is None else high),
        weight=Fraction(weight),
        of=of,
    )


def asked(low: int | None, high: int | None, call: str = "") -> OutsideLimit:
    ends = [None if end is None else Fraction(end) for end in (low, high)]
    return OutsideLimit(quantity="airflow", range=Range(*ends), source="asked", call=call)


def answer(
    table: Table,
    *targets: Target,
    found: str | None = None,
    held: str = "",
    near: str = "0",
    first: int = 9,
    limits: tuple[OutsideLimit, ...] = (),
    allow_cuts: bool = False,
    facts: Mapping[str, str] | None = None,
) -> FindResult:
    engine = KnownFacts(facts=read_facts(list((facts or {}).items()), table), limits=limits).engine(table)
    marks = None if found is None else read_marks(found.split(), table)
    stays = setting_of(read_marks(held.split(), table), table) if held else ()
    request = Request(
        targets=targets,
        held={p: at for p, at in enumerate(stays) if at is not None},
        found=None if marks is None else setting_of(marks, table),
        unread=frozenset() if marks is None else unread_in(marks),
        first=first,
        near=Fraction(near),
        allow_cuts=allow_cuts,
    )
    return find(engine, request)


def told(table: Table, result: FindResult) -> list[str]:
    """The settings as marks, in their order."""
    return [marks_of(one.setting, table) for one in result.found]


def at(table: Table, setting: Setting, name: str) -> str:
    """Where a selector of one part stands."""
    part = table.part(name)
    assert part is not None
    return part.word(setting[part.index])


# -- order

FOUR = """\
unit: {title: Four}
board:
  SW1: {kind: switches, count: 2, factory: all off}
charts:
  coil: {set: SW1-1 SW1-2, gives: airflow, rows: 00 900; 10 1000; 01 1000; 11 1010}
calls:
  cooling: {terminals: Y1, airflow: coil}
"""


@pytest.mark.parametrize(
    ("found", "near", "order", "groups", "moves"),
    [
        # exact ones first, by the board's order; then 1 %, then 10 % away
        ("SW1=00", "0", "01 10 11 00", [0, 0, 1, 2], [1, 1, 2, 0]),
        # within one point, its end included, fewest moves count before the deviation
        ("SW1=11", "1", "11 01 10 00", [0, 0, 0, 1], [0, 1, 1, 2]),
        ("SW1=11", "0.99", "01 10 11 00", [0, 0, 1, 2], [1, 1, 0, 2]),
        ("SW1=10", "0", "10 01 11 00", [0, 0, 1, 2], [0, 2, 1, 1]),
        ("SW1=00", "10", "00 01 10 11", [0, 0, 0, 0], [0, 1, 1, 2]),
        # an unread mark is given a position and costs no move
        ("SW1=?1", "0", "01 10 11 00", [0, 0, 1, 2], [0, 1, 0, 1]),
    ],
)
def test_the_order_of_settings(found: str, near: str, order: str, groups: list[int], moves: list[int]) -> None:
    table = table_of(FOUR)
    result = answer(table, aim("cooling", 1000), found=found, near=near)
    assert told(table, result) == [f"SW1={one}" for one in order.split()]
    assert [one.group for one in result.found] == groups
    assert [one.moves for one in result.found] == moves
    assert [len(one.changed) for one in result.found] == moves
    assert {one.deviation for one in result.found} == {0, Fraction(1, 100), Fraction(1, 10)}


def test_as_many_as_are_asked_for_and_what_each_gives() -> None:
    table = table_of(FOUR)
    assert told(table, answer(table, aim("cooling", 1000), first=1)) == ["SW1=01"]
    assert told(table, answer(table, aim("cooling", 1000), first=3)) == ["SW1=01", "SW1=10", "SW1=11"]
    first = answer(table, aim("cooling", 905)).found[0]
    assert first.airflows == {("cooling", ""): 900}
    assert first.answers["cooling"].stage("").airflow == 900
    assert first.deviation == Fraction(5, 905)
    one = nearest(KnownFacts().engine(table), Request(targets=(aim("cooling", 905),)))
    assert one is not None
    assert one.setting == first.setting
    limit = KnownFacts(limits=(asked(2000, None),)).engine(table)
    assert nearest(limit, Request(targets=(aim("cooling", 905),))) is None


TWO = """\
unit: {title: Two calls of one dial}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  coil: {set: D1, gives: airflow, rows: 1 800; 2 1000; 3 1200}
  pump: {set: D1, gives: airflow, rows: 1 1000; 2 500; 3 1100}
calls:
  cooling: {terminals: Y1 O, airflow: coil}
  heat pump: {terminals: Y1, airflow: pump}
"""


@pytest.mark.parametrize(
    ("targets", "order"),
    [
        # 1: 20 % + 0; 2: 0 + 50 %; 3: 20 % + 10 %
        ((aim("cooling", 1000), aim("heat pump", 1000)), ["1", "3", "2"]),
        # 1: 3 x 20 %; 2: 50 %; 3: 3 x 20 % + 10 %
        ((aim("cooling", 1000, weight=3), aim("heat pump", 1000)), ["2", "1", "3"]),
        # a range: to the nearer end over that end: 1: 200 / 1000; 2 and 3 inside
        ((aim("cooling", 1000, 1200),), ["2", "3", "1"]),
        ((aim("cooling", 500, 700),), ["1", "2", "3"]),
        # a share: 800 of 1,000 is 80 %, 200 %, 109 %
        ((aim("cooling", 110, quantity="share", of=("heat pump", "")),), ["3", "1", "2"]),
        ((aim("cooling", 210, quantity="share", of=("heat pump", "")),), ["2", "3", "1"]),
    ],
)
def test_deviations_add_up_by_their_weights(targets: tuple[Target, ...], order: list[str]) -> None:
    table = table_of(TWO)
    assert told(table, answer(table, *targets)) == [f"D1={one}" for one in order]


# -- what may be proposed

BOUND = """\
unit: {title: What may be proposed}
facts:
  heater: {values: 5 10}
board:
  J1: {kind: jumper, positions: A B C, factory: A}
  LK1: {kind: link, factory: whole}
  D1: {kind: dial, positions: 1 2 3 4, factory: 1, not used: 4}
charts:
  coil: {set: J1, gives: airflow, rows: A 800; B 900; C 1000}
  less: {set: LK1, gives: trim, rows: whole none; cut -50 %}
  told: {set: J1, gives: label, rows: A a; B reserved; C c}
  slow: {set: D1, gives: airflow, rows: 1 400; 2 500; 3 as 1; 4 700}
calls:
  cooling: {terminals: Y1, airflow: [coil, less]}
  fan: {terminals: G, airflow: slow}
"""


@pytest.mark.parametrize(
    ("target", "found", "cuts", "want"),
    [
        # B gives 900 and a label's row that is reserved: no move leads there, but a board may stay in it
        (aim("cooling", 900), "J1=A", False, "J1=A"),
        (aim("cooling", 900), "J1=B", False, "J1=B"),
        (aim("cooling", 900), "J1=C", False, "J1=C"),
        # a cut link halves it: not proposed unless cuts are allowed; what is cut stays cut
        (aim("cooling", 400), "J1=A", False, "J1=A LK1=whole"),
        (aim("cooling", 400), "J1=A", True, "J1=A LK1=cut"),
        (aim("cooling", 800), "J1=A LK1=cut", True, "J1=C LK1=cut"),
        # 3 behaves as 1: not proposed, but a board may stay there; 4 isn't used
        (aim("fan", 400), "D1=2", False, "D1=1"),
        (aim("fan", 400), "D1=3", False, "D1=3"),
        (aim("fan", 700), "D1=1", False, "D1=2"),
        (aim("fan", 700), "D1=4", False, "D1=2"),
    ],
)
def test_where_no_move_leads(target: Target, found: str, cuts: bool, want: str) -> None:
    table = table_of(BOUND)
    first = told(table, answer(table, target, found=found, allow_cuts=cuts))[0].split()
    assert set(want.split()) <= set(first)


def test_what_is_passed_over_is_counted() -> None:
    result = answer(table_of(BOUND), aim("cooling", 900), aim("fan", 400))
    assert [(one.what, one.name, one.count) for one in result.left_out] == [
        ("off pins", "J1", 1),
        ("cut", "LK1", 1),
        ("not used", "D1", 1),
        ("copied row", "slow", 1),
    ]


def test_what_is_held_stands_and_a_cut_can_t_be_undone() -> None:
    table = table_of(BOUND)
    assert told(table, answer(table, aim("cooling", 800), found="J1=A", held="J1=C")) == ["J1=C LK1=whole D1=1"]
    with pytest.raises(Refused):
        answer(table, aim("cooling", 800), found="LK1=cut", held="LK1=whole")
    assert answer(table, aim("cooling", 800), found="LK1=cut", held="LK1=cut").found


def test_the_same_answer_otherwise() -> None:
    """The dial is read by the fan alone: 2 gives it another airflow and harms nobody."""
    table = table_of(BOUND)
    first = answer(table, aim("cooling", 1000), found="J1=C D1=1").found[0]
    dial = table.part("D1")
    assert dial is not None
    assert [(one.parts, one.choices) for one in first.any_of] == [((dial.index,), ((0,), (1,)))]
    limited = answer(table, aim("cooling", 1000), found="J1=C D1=1", limits=(asked(None, 450, "fan"),)).found[0]
    assert limited.any_of == ()


# -- limits


@pytest.mark.parametrize(
    ("limits", "held", "want"),
    [
        ((asked(None, 900, "cooling"),), "", ["D1=1"]),  # 1,000 is nearest and forbidden; 2 and 3 aren't kept
        ((asked(1000, 1100, "heat pump"),), "", ["D1=1", "D1=3"]),
        ((asked(1001, None, "heat pump"),), "", ["D1=3"]),
        ((), "D1=3", ["D1=3"]),
    ],
)
def test_limits_forbid(limits: tuple[OutsideLimit, ...], held: str, want: list[str]) -> None:
    table = table_of(TWO)
    result = answer(table, aim("cooling", 1000), limits=limits, held=held)
    assert told(table, result) == want
    assert result.miss is None
    # 2 is nearer by 20 points
    assert (result.nearer is not None) is bool(limits)
    if result.nearer is not None:
        assert result.nearer.setting == (1,)


@pytest.mark.parametrize(("aimed", "nearer"), [(1010, False), (1011, True)])
def test_a_nearer_setting_is_told_beyond_one_point(aimed: int, nearer: bool) -> None:
    """1,000 is allowed: 0.99 % from 1,010 isn't told; 1.09 % from 1,011 is, where 1,010 (0.1 %) is forbidden."""
    table = table_of(FOUR)
    result = answer(table, aim("cooling", aimed), limits=(asked(None, 1005),))
    assert (result.nearer is not None) is False
    wide = table_of(FOUR.replace("11 1010", "11 1011"))
    result = answer(wide, aim("cooling", aimed), limits=(asked(None, 1005),))
    assert (result.nearer is not None) is nearer


@pytest.mark.parametrize(
    ("limits", "held", "blame", "together", "miss"),
    [
        # no dial position has both calls at 1,200 or more: the least beyond is 3, 100 under
        ((asked(1200, None),), "", [], False, (2,)),
        ((asked(1200, None),), "D1=1", [], False, (0,)),
        # held at 2, the heat pump's 500 is under 1,000; free it, and 1 or 3 fit
        ((asked(1000, None, "heat pump"),), "D1=2", ["D1"], False, (1,)),
    ],
)
def test_why_nothing_fits(
    limits: tuple[OutsideLimit, ...], held: str, blame: list[str], together: bool, miss: tuple[int, ...]
) -> None:
    table = table_of(TWO)
    result = answer(table, aim("cooling", 1000), limits=limits, held=held)
    assert result.found == ()
    assert result.miss is not None
    assert result.miss.nearest is not None
    assert result.miss.nearest.setting == miss
    assert [table.parts[p].name for p in result.miss.blame] == blame
    assert result.miss.together is together


@pytest.mark.parametrize(
    ("rows", "least", "blame", "together"),
    [
        ("A A 1000; A B 1000; B A 1000; B B 500", 900, [0, 1], False),  # either alone, freed, fits
        ("A A 1000; A B 1000; B A 500; B B 500", 900, [0], False),
        ("A A 1000; A B 500; B A 500; B B 500", 900, [0, 1], True),  # only both
        ("A A 1000; A B 500; B A 500; B B 500", 1200, [], True),  # nothing fits anyway
    ],
)
def test_which_of_two_that_are_held_is_to_blame(rows: str, least: int, blame: list[int], together: bool) -> None:
    table = table_of(
        "unit: {title: Held}\nboard:\n  J1: {kind: jumper, positions: A B}\n  J2: {kind: jumper, positions: A B}\n"
        f"charts:\n  coil: {{set: J1 J2, gives: airflow, rows: {rows}}}\n"
        "calls:\n  cooling: {terminals: Y1, airflow: coil}\n"
    )
    result = answer(table, aim("cooling", 900), limits=(asked(least, None),), held="J1=B J2=B")
    assert result.miss is not None
    assert [*result.miss.blame] == blame
    assert result.miss.together is together


REFUSED = """\
unit: {title: Refused, models: S T}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  LK1: {kind: link, positions: in out, factory: in}
charts:
  coil: {set: J1, across: {model: S T}, gives: airflow, rows: A 800 -; B reserved}
  pump: {set: J1, across: {model: S T}, gives: airflow, rows: A 700 900; B 1000 1100}
  humid: {set: LK1, gives: airflow, rows: in 500; out none}
calls:
  cooling: {terminals: Y1 O, airflow: coil}
  heat pump: {terminals: Y1, airflow: pump}
  dry: {terminals: Y1 DH, airflow: humid}
"""


def test_a_stage_that_is_refused_forbids_and_one_never_to_be_had_does_not() -> None:
    """Model S: J1 B is reserved for cooling, so the heat pump stays at 700. Model T has no cooling at all."""
    table = table_of(REFUSED)
    of_s = answer(table, aim("heat pump", 1000), facts={"model": "S"})
    assert [at(table, one.setting, "J1") for one in of_s.found] == ["A"]
    assert of_s.not_to_be_had == ()
    of_t = answer(table, aim("heat pump", 1100), facts={"model": "T"})
    assert at(table, of_t.found[0].setting, "J1") == "B"
    assert of_t.not_to_be_had == (("cooling", ""),)
    nothing = answer(table, aim("cooling", 800), facts={"model": "T"})
    assert nothing.found == ()
    assert nothing.miss is not None
    assert [(call, no.kind) for call, _, no in nothing.miss.refused] == [
        ("cooling", "not_usable")
    ]  # of a blank and a reserved row the first of the five


def test_a_call_that_runs_is_not_stopped_unless_it_is_asked_about() -> None:
    table = table_of(REFUSED)
    for found, kept in (("LK1=in", {"in"}), ("LK1=out", {"out"})):
        result = answer(table, aim("heat pump", 700), found=found, facts={"model": "S"})
        assert {at(table, one.setting, "LK1") for one in result.found} == kept
    asked_for = answer(table, aim("dry", 500), found="LK1=out", facts={"model": "S"})
    assert at(table, asked_for.found[0].setting, "LK1") == "in"


HEATED = """\
unit: {title: Heated}
units: {airflow: cfm, heat: Btu/h, temperature: F}
ratings: {heat output: 54000}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: J1, gives: airflow, rows: A 1000; B 1250}
calls:
  heating: {terminals: W, airflow: air}
  cooling: {terminals: {low: Y1, high: Y1 Y2}, stages: low high, capacity: {low: 50 %}, airflow: air}
"""


@pytest.mark.parametrize(
    ("target", "facts", "want"),
    [
        # 54,000 / (1.08 x 1,000) = 50 F; / (1.08 x 1,250) = 40 F
        (aim("heating", 50, quantity="temperature rise"), {}, ["A", "B"]),
        (aim("heating", 40, quantity="temperature rise"), {}, ["B", "A"]),
        # 2.5 tons: 400 and 500; at half of it twice that
        (aim("cooling", 400, stage="high", quantity="airflow per ton"), {"outdoor tons": "2.5"}, ["A", "B"]),
        (aim("cooling", 1000, stage="low", quantity="airflow per ton"), {"outdoor tons": "2.5"}, ["B", "A"]),
        (aim("cooling", 400, stage="high", quantity="airflow per ton"), {}, []),
        # nothing is said of the heat of cooling
        (aim("cooling", 50, stage="high", quantity="temperature rise"), {}, []),
    ],
)
def test_other_quantities(target: Target, facts: dict[str, str], want: list[str]) -> None:
    table = table_of(HEATED)
    result = answer(table, target, facts=facts)
    assert [at(table, one.setting, "J1") for one in result.found] == want
    if target.quantity == "airflow per ton" and not facts:
        assert result.miss is not None
        assert [(call, stage, no.needs) for call, stage, no in result.miss.refused] == [
            ("cooling", "high", "outdoor tons")
        ]


@pytest.mark.parametrize(("other", "want"), [(54000, ["A", "B"]), (60000, [])])
def test_a_rise_is_known_without_the_model_where_every_model_has_the_same_heat(other: int, want: list[str]) -> None:
    text = HEATED.replace("Heated}", "Heated, models: S T}").replace("54000", f"{{S: 54000, T: {other}}}")
    table = table_of(text)
    result = answer(table, aim("heating", 50, quantity="temperature rise"))
    assert [at(table, one.setting, "J1") for one in result.found] == want
    assert at(table, answer(table, aim("heating", 1250)).found[0].setting, "J1") == "B"


def test_a_share_of_nothing_is_not_known() -> None:
    engine = KnownFacts().engine(table_of(TWO))
    share = aim("cooling", 50, quantity="share", of=("heat pump", ""))
    assert got(engine, share, Fraction(500), None, Fraction(1000)) == 50
    assert got(engine, share, Fraction(500), None, Fraction(0)) is None
    assert got(engine, share, Fraction(500), None, None) is None


PLUG = """\
unit: {title: A plug that nobody knows}
units: {airflow: cfm, heat: kW, temperature: F}
facts:
  heater: {values: 5 10}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  P1: {kind: plug, positions: 5 10, declares: heater}
charts:
  air: {set: J1, gives: airflow, rows: A 1000; B 800}
  kit: {set: P1, gives: heater power, rows: 5 5; 10 10}
calls:
  heat: {terminals: W, airflow: air, heat: kit}
"""


def test_equipment_that_nobody_knows_leaves_the_rise_open_and_not_the_airflow() -> None:
    """10 kW: 34,121 / (1.08 x 1,000) = 31.6 F, / (1.08 x 800) = 39.5 F; of 5 kW half."""
    table = table_of(PLUG)
    rise = aim("heat", 39, quantity="temperature rise")
    known = answer(table, rise, facts={"heater": "10"})
    assert at(table, known.found[0].setting, "J1") == "B"
    assert answer(table, rise).found == ()
    assert answer(table, aim("heat", 800)).found[0].deviation == 0
    # both plugs of the same heat: it is known all the same
    same = table_of(PLUG.replace("5 5; 10 10", "5 10; 10 10"))
    assert at(same, answer(same, rise).found[0].setting, "J1") == "B"
    held = answer(table, rise, held="P1=10")
    assert at(table, held.found[0].setting, "J1") == "B"


# -- choices apart


@pytest.mark.parametrize(
    ("ways", "want"),
    [
        (None, [((0,), ((0,), (1,))), ((1,), ((0,), (1,)))]),  # everything goes
        ({(0, 0), (0, 1)}, [((1,), ((0,), (1,)))]),  # the first stays where it is
        ({(0, 0), (1, 1)}, [((0, 1), ((0, 0), (1, 1)))]),  # they hang together
        ({(0, 0)}, []),
        ({(0, 0), (0, 1), (1, 1)}, [((0, 1), ((0, 0), (0, 1), (1, 1)))]),
    ],
)
def test_choices_stand_by_themselves_only_where_every_combination_counts(
    ways: set[tuple[int, int]] | None, want: list[tuple[tuple[int, ...], tuple[tuple[int, ...], ...]]]
) -> None:
    allowed = [] if ways is None else [Allowed((0, 1), frozenset(ways))]
    found = any_of({0: (0, 1), 1: (0, 1)}, allowed, (0, 0))
    assert [(one.parts, one.choices) for one in found] == want


def test_too_many_choices_are_not_listed() -> None:
    """Twelve of two are 4,096, thirteen 8,192."""
    for count, listed in ((12, True), (13, False)):
        parts = tuple(range(count))
        ways = frozenset({(0,) * count, (1,) * count})
        (one,) = any_of(dict.fromkeys(parts, (0, 1)), [Allowed(parts, ways)], (0,) * count)
        assert one.parts == parts
        assert bool(one.choices) is listed
    (one,) = any_of({0: (0, 1, 2)}, [Allowed((0,), frozenset({(0,), (2,)}))], (0,))
    assert [*one.settings((0, 7))] == [(0, 7), (2, 7)]


def test_a_dial_s_positions_that_are_alike_count_once() -> None:
    table = table_of(
        "unit: {title: Alike}\nboard:\n  D1: {kind: dial, positions: 1 2 3, factory: 1}\n"
        "charts:\n  coil: {set: D1, gives: airflow, rows: 1 800; 2 900; 3 900}\n"
        "calls:\n  cooling: {terminals: Y1, airflow: coil}\n"
    )
    assert told(table, answer(table, aim("cooling", 900))) == ["D1=2", "D1=1"]
    assert told(table, answer(table, aim("cooling", 900), found="D1=3")) == ["D1=3", "D1=1"]
