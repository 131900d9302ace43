"""Selectors as an entry describes them and marks as people type them: each by hand."""

from __future__ import annotations

import pytest

from selector.problems import Refused
from selector.solve.board.marks import read_marks
from selector.table.from_file.board import build_board
from selector.table.from_file.builder import Builder
from selector.table.grammar.table_file import read_grammar
from selector.table.kinds import KINDS
from selector.table.kinds.base import MarkError
from selector.table.kinds.parts import counted, number_of, other_spellings
from selector.table.model.table import ABSENT, Part, Table, Unit, Units
from selector.table.source import source_from_text
from selector.table.text.located import locate
from selector.table.text.report import FileReport
from selector.table.text.words import Item


def build(entries: tuple[str, ...]) -> tuple[Table, FileReport]:
    """A board of these entries alone, and what is told of it."""
    source = source_from_text("board:\n" + "".join(f"  {one}\n" for one in entries))
    report = FileReport(source)
    fields = read_grammar(locate(source), report)
    report.problems.clear()  # of what a whole file needs
    b = Builder(source, report, models=("24", "36"))
    build_board(b, fields.get("board"))
    table = Table(
        file="",
        name="kinds",
        lines=source.lines,
        unit=Unit(title="Kinds", models=b.models),
        units=Units(),
        ratings={},
        facts={},
        selectors=b.selectors,
        parts=tuple(b.parts),
        charts={},
        ramps={},
        calls={},
    )
    return table, report


def built(*entries: str) -> Table:
    table, report = build(entries)
    assert not report.problems
    return table


def part(*entries: str, name: str = "") -> Part:
    parts = built(*entries).parts
    return next(p for p in parts if p.name == name) if name else parts[0]


# -- entries


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("0 to 3", "0 1 2 3"),
        ("00 to 02", "00 01 02"),
        ("8 to 11", "8 9 10 11"),
        ("08 to 11", "08 09 10 11"),
        ("A to D", "A B C D"),
        ("a to c", "a b c"),
        ("0 to 2 9", "0 1 2 9"),
        ("0 to 1", "0 1"),
        ("0 to 100", " ".join(str(n) for n in range(101))),
        # not counted: more than a hundred, falling, mixed, of unlike width with a zero before
        ("0 to 101", "0 to 101"),
        ("3 to 0", "3 to 0"),
        ("3 to 3", "3 to 3"),
        ("A to d", "A to d"),
        ("D to A", "D to A"),
        ("A to A", "A to A"),
        ("1 to C", "1 to C"),
        ("AA to CC", "AA to CC"),
        ("08 to 110", "08 to 110"),
        ("to 3", "to 3"),
        ("3 to", "3 to"),
    ],
)
def test_positions_that_are_counted_out(text: str, want: str) -> None:
    items = [Item(word, 1, 1) for word in text.split()]
    assert " ".join(one.text for one in counted(items)) == want


@pytest.mark.parametrize(
    ("entry", "factory"),
    [
        ("SW1: {kind: switches, count: 3, factory: all off}", [0, 0, 0]),
        ("SW1: {kind: switches, count: 3, factory: all on}", [1, 1, 1]),
        ("SW1: {kind: switches, count: 3, factory: 010}", [0, 1, 0]),
        ("SW1: {kind: switches, count: 3, factory: off on off}", [0, 1, 0]),
        ("SW1: {kind: switches, count: 3, factory: 0?1}", [0, None, 1]),
        ("SW1: {kind: switches, count: 1, factory: on}", [1]),
        ("SW1: {kind: switches, count: 1, factory: all on}", [1]),
        ("SW1: {kind: switches, count: 2}", [None, None]),
        ("M1: {kind: taps, positions: 1 2 3, leads: a b, factory: 3 1}", [2, 0]),
        ("M1: {kind: taps, positions: 1 2 3, leads: a b, factory: parked parked}", [3, 3]),
        ("D1: {kind: dial, positions: 0 1 2, factory: 2}", [2]),
        ("J1: {kind: jumper, positions: A B, factory: off pins}", [ABSENT]),
        ("LK1: {kind: link, factory: whole}", [0]),
    ],
)
def test_how_parts_are_delivered(entry: str, factory: list[int | None]) -> None:
    parts = built(entry).parts
    assert [p.factory.get("") for p in parts] == factory


def test_delivered_left_and_not_used_by_model() -> None:
    table = built(
        "D1: {kind: dial, positions: {24: 1 2, 36: 2 3}, factory: {24: 1, 36: 3}}",
        "SW1: {kind: switches, count: 3, leave at: {2: on}, not used: 3}",
        "SW1-1: {kind: switch, leave at: {36: on}, not used: 24}",
        "SW2: {kind: switches, count: 2, leave at: off}",
        "SW2-2: {kind: switch, leave at: on, not used: all, note: of the switch}",
    )
    assert table.delivered("24")[0] == 0
    assert table.delivered("36")[0] == 2
    assert table.delivered(None)[0] is None
    for model, idle, leave, unused in (
        ("24", {2}, [None, 1, None, 0, 1], [True, False, True, False, True]),
        ("36", {0}, [1, 1, None, 0, 1], [False, False, True, False, True]),
        (None, set(), [None, 1, None, 0, 1], [False, False, True, False, True]),
    ):
        dial, *switches = table.with_model(model).parts
        assert dial.idle == idle
        assert [p.leave_at for p in switches] == leave
        assert [p.unused for p in switches] == unused
    assert table.notes_at(5) == [("SW2-2", "of the switch")]
    assert table.notes_at(0) == []
    assert table.notes_at(-1) == []


@pytest.mark.parametrize(
    "entry",
    [
        "SW1-1: {kind: switch, leave at: {36: on}}",
        "SW1-1: {kind: switch, not used: 36}",
    ],
)
def test_one_thing_that_differs_by_model_is_enough(entry: str) -> None:
    table = built("SW1: {kind: switches, count: 2}", entry)
    first = table.with_model("36").parts[0]
    assert (first.leave_at, first.unused) == ((1, False) if "leave" in entry else (None, True))
    other = table.with_model("24").parts[0]
    assert (other.leave_at, other.unused) == (None, False)


def test_a_link_s_cut_is_final_and_may_be_proposed_where_the_page_says_so() -> None:
    for entry, final, may in (
        ("LK1: {kind: link}", {1}, False),
        ("LK1: {kind: link, cut at set-up: yes}", {1}, True),
        ("LK1: {kind: link, cut at set-up: no}", {1}, False),
        ("LK1: {kind: link, positions: 1-2 2-3}", set(), False),
    ):
        one = part(entry)
        assert one.final == final
        assert one.may_cut is may


@pytest.mark.parametrize(
    ("entry", "code", "said"),
    [
        ("SW1: {kind: switches, count: 0}", "bad-count", "`0` switches"),
        ("SW1: {kind: switches, count: 17}", "bad-count", "`17` switches"),
        ("SW1: {kind: switches, count: 2, positions: off on mid}", "two-positions", "has two positions, not 3"),
        ("SW1: {kind: switches, count: 2, positions: off off}", "doubled-position", "listed twice"),
        ("SW1: {kind: switches, count: 2, factory: 010}", "factory-length", "has 2 switches, but 3 positions are"),
        ("SW1: {kind: switches, count: 2, factory: off}", "factory-length", "but 1 position is typed"),
        ("SW1: {kind: switches, count: 2, factory: off up}", "unknown-position", "`off up` can't be how SW1 is"),
        ("SW1: {kind: switches, count: 2, not used: 3}", "unknown-switch", "has no switch `3`"),
        ("SW1: {kind: switches, count: 2, not used: 0}", "unknown-switch", "has no switch `0`"),
        ("SW1: {kind: switches, count: 2, leave at: {3: on}}", "unknown-switch", "has no switch `3`"),
        ("SW1: {kind: switches, count: 2, leave at: up}", "unknown-position", "`up` is not a position of SW1"),
        ("D1: {kind: dial, positions: 1 2 ?}", "bad-position", "`?` can't be a position at D1"),
        ("D1: {kind: dial, positions: 0 - 9}", "bad-range", "the range `0 - 9` of D1"),
        ("D1: {kind: dial, positions: 9 to 0}", "bad-range", "the range `9 to 0` of D1"),
        ("D1: {kind: dial, positions: 300 to 450 by 5}", "bad-range", "`300 to 450 by 5`"),
        ("D1: {kind: dial, positions: 1 2, not used: 1 2}", "all-not-used", "every position of D1"),
        ("D1: {kind: dial, positions: 1 2, not used: 3}", "unknown-position", "`3` is not a position of D1"),
        ("D1: {kind: dial, positions: 1 2, leave at: 3}", "unknown-position", "`3` is not a position of D1"),
        ("D1: {kind: dial, positions: 1 2, also: {3: x}}", "unknown-position", "`3` is not a position of D1"),
        ("D1: {kind: dial, positions: 1 2, also: {1: 2}}", "mark-of-two-positions", "`2` stands for two positions"),
        ("D1: {kind: dial, positions: 1 2, factory: 3}", "unknown-position", "`3` can't be how D1 is delivered"),
        (
            "M1: {kind: taps, positions: 1 2, leads: a b, factory: 1 1}",
            "two-leads-on-one-tap",
            "two leads of M1 can't both be delivered on tap 1",
        ),
        ("M1: {kind: taps, positions: 1 2, leads: a b, factory: 1}", "factory-length", "has 2 leads"),
    ],
)
def test_an_entry_that_is_refused(entry: str, code: str, said: str) -> None:
    (found,) = build((entry,))[1].problems
    assert found.code == code
    assert said in found.message
    assert found.help


def test_other_ways_to_write_a_position() -> None:
    assert other_spellings(["1", "2.5"]) == {"1.0": 0}
    assert other_spellings(["1", "2"]) == {}
    assert other_spellings(["1.5", "two"]) == {}
    assert other_spellings(["-5", "0", "+5"]) == {"5": 2}
    assert other_spellings(["minus", "plus"]) == {"-": 0}
    for word, figure in (("2.5", True), ("+5", True), ("-5", True), ("2.", False), ("A", False), ("5x", False)):
        assert (number_of(word) is not None) is figure


# -- marks

BANK = "SW1: {kind: switches, count: 3}"
PRINTED = "SW1: {kind: switches, count: 3, also: {off: open, on: closed}}"
DOTS = "SW1: {kind: switches, count: 3, positions: ○ ●}"
TAPS = "M1: {kind: taps, positions: 1 2 3, leads: Y1 W}"


@pytest.mark.parametrize(
    ("entry", "text", "want"),
    [
        (BANK, "010", [0, 1, 0]),
        (BANK, "0?1", [0, None, 1]),
        (BANK, "???", [None, None, None]),
        (BANK, "unread", [None, None, None]),
        (BANK, "all on", [1, 1, 1]),
        (BANK, "ALL OFF", [0, 0, 0]),
        (BANK, "off ON 0", [0, 1, 0]),
        (BANK, "off ? on", [0, None, 1]),
        (PRINTED, "open closed open", [0, 1, 0]),
        (PRINTED, "all closed", [1, 1, 1]),
        (DOTS, "○●○", [0, 1, 0]),
        (DOTS, "off on off", [0, 1, 0]),
        (DOTS, "010", [0, 1, 0]),
        ("SW1: {kind: switches, count: 1}", "on", [1]),
        ("SW1: {kind: switches, count: 1}", "0", [0]),
        ("SW1: {kind: switches, count: 1}", "?", [None]),
        ("SW1: {kind: switches, count: 2}", "off on", [0, 1]),
        ("SW1: {kind: switches, count: 1}", "all on", [1]),
        (TAPS, "2 3", [1, 2]),
        (TAPS, "2,3", [1, 2]),
        (TAPS, "parked ?", [3, None]),
        (TAPS, "Y1=3 W=1", [2, 0]),
        (TAPS, "w=1", [None, 0]),
        (TAPS, "unread", [None, None]),
        ("J1: {kind: jumper, positions: A B}", "off pins", [ABSENT]),
        ("J1: {kind: jumper, positions: A B}", "b", [1]),
        ("D1: {kind: dial, positions: A a}", "a", [1]),
    ],
)
def test_marks(entry: str, text: str, want: list[int | None]) -> None:
    table = built(entry)
    selector = next(iter(table.selectors.values()))
    parts = [table.parts[i] for i in selector.parts]
    assert [*KINDS[selector.kind].read_marks(selector, parts, text).values()] == want


@pytest.mark.parametrize(
    ("entry", "text", "said"),
    [
        (BANK, "01", "SW1 has 3 switches, but 2 marks are given"),
        (BANK, "0101", "SW1 has 3 switches, but 4 marks are given"),
        (BANK, "on off", "SW1 has 3 switches, but 2 marks are given"),
        (BANK, "?", "a single ? for SW1 is one switch of 3; type ???, or unread"),
        (BANK, "up down up", "SW1-1 has no position `up`"),
        (BANK, "all", "SW1-1 has no position `a`"),
        (PRINTED, "010", "SW1 is printed OPEN/CLOSED, so 0 and 1 can be taken either way; type open or closed"),
        (TAPS, "1", "M1 has 2 leads, but 1 taps are given"),
        (TAPS, "R=1", "M1 has no lead `R`; its leads are Y1 W"),
        (TAPS, "1 4", "M1-W has no position `4`; type one of 1 2 3 parked"),
        ("J1: {kind: jumper, positions: A B}", "C", "J1 has no position `C`; type one of A B, `off pins`, or ?"),
    ],
)
def test_marks_that_can_t_be(entry: str, text: str, said: str) -> None:
    table = built(entry)
    selector = next(iter(table.selectors.values()))
    parts = [table.parts[i] for i in selector.parts]
    with pytest.raises(MarkError) as wrong:
        KINDS[selector.kind].read_marks(selector, parts, text)
    assert said in str(wrong.value)


def test_a_mark_that_was_half_read_may_be_one_of_some() -> None:
    table = built("D1: {kind: dial, positions: 1 2 3 4}")
    assert read_marks(["D1=2 or 3"], table)
    with pytest.raises(Refused):
        read_marks(["D1=2 or 9"], table)


@pytest.mark.parametrize(
    ("entry", "printed"),
    [
        (BANK, ("OFF", "ON")),
        (PRINTED, ("open", "closed")),
        (DOTS, ("○", "●")),
        ("SW1: {kind: switches, count: 2, positions: L R}", ("L", "R")),
        ("SW1: {kind: switches, count: 2, also: {on: closed}}", ("OFF", "closed")),
        ("SW1: {kind: switches, count: 2, also: {on: closed}, factory: 00}", ("0", "closed")),
    ],
)
def test_the_words_beside_a_switch(entry: str, printed: tuple[str, str]) -> None:
    assert KINDS["switches"].printed(part(entry)) == printed
