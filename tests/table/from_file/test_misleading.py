"""Lines as people type them, and the message read aloud: each says what is meant and what to type, once."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.show import unit_lines
from selector.job.line.typed_names import path_of
from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.board.marks import mark, marks_of, read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.model.formula import formula
from selector.table.model.table import No, Setting, Table
from selector.table.source import source_from_text
from selector.transcribe.compare.read_back_rest import spoken_rest

PAGE = """\
format: selector table 1
unit:
  title: Air handler
  models: 24 36
  only: static pressure 0.1 to 0.8
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 3, factory: all off}
  J1: {kind: jumper, positions: A B C, factory: A}
  N1: {kind: menu, positions: 1 2 3, factory: 1}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      OFF OFF  800
      ON  OFF  700
      OFF ON   900
      ON  ON   not used
  jumper offset:
    set: J1
    gives: offset
    rows: |
      A  none
      B  +50
      C  -50
  menu share:
    set: N1
    gives: share
    rows: |
      1  50 %
      2  60 %
      3  70 %
  lower:
    set: SW1-3
    gives: trim
    rows: |
      OFF  none
      ON   -10 %
calls:
  cooling:
    terminals: Y1
    airflow: [cooling airflow, jumper offset, lower, share: 70 %]
  fan:
    terminals: G
    airflow: [call cooling, menu share, at least: 350]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


@pytest.mark.parametrize(
    ("typed", "instead", "message", "remedy"),
    [
        ("share: 70 %", "share: 2/3", "`2/3` is a fraction", "type 66.67 %"),
        ("share: 70 %", "share: half", "`half` is no figure", "type 50 %"),
        ("at least: 350", "at least 350", "`at least 350` is a step without its colon", "type at least: 350"),
        (
            "positions: A B C, factory: A",
            "positions: A-C, factory: A",
            "the range `A-C` of J1 can't be counted",
            "if all of them are meant, type A to C",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: 0 - 9 A, factory: 0",
            "the range `0 - 9` of N1 can't be counted",
            "if all of them are meant, type 0 to 9",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: A thru F, factory: A",
            "the range `A thru F` of N1 can't be counted",
            "if all of them are meant, type A to F",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: 9 to 0, factory: 0",
            "the range `9 to 0` of N1 can't be counted",
            "if all of them are meant, type 0 to 9",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: 300 to 450 in steps of 5, factory: 300",
            "the range `300 to 450 in steps of 5` of N1 can't be counted",
            "if all of them are meant, type 300 to 450 step 5",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: 300 to 450, factory: 300",
            "the range `300 to 450` of N1 can't be counted",
            "type the step, for example 300 to 450 step 5; or type all that are printed",
        ),
        (
            "positions: 1 2 3, factory: 1",
            "positions: 45 % 70 % 100 %, factory: 45 %",
            "a position of N1 with a space in it needs commas between the positions",
            "type [45 %, 70 %, 100 %]",
        ),
        (
            "share: 70 %",
            "share: 45 % 70 % 100 %",
            "`45 % 70 % 100 %` is 3 figures",
            "type one; what differs by stage is typed {first: 45 %}",
        ),
        (
            "at least: 350",
            "at least: 900/1100",
            "`900/1100` is two figures",
            "type 900 or 1100 if it is one of the two",
        ),
        (
            "OFF  800",
            "OFF  900 / 1100",
            "`900/1100` is not a figure for airflow",
            "type 900 or 1100 if it is one of the two; if they are two columns, give each its head",
        ),
        ("1  50 %", "1  2/3", "`2/3` is not a figure for share", "type 66.67 %"),
        ("1  50 %", "1  two thirds", "`two thirds` is no figure", "type 66.7 %"),
        ("C  -50", "C  - 50", "a sign must touch its number", "type -50 with no blank after the sign"),
        (
            "at least: 350]",
            "at least: 350]\n    ramp: 30 s at 50 %",
            "`30 s at 50 %` is no name of a ramp",
            "type it under ramps:, as my ramp: 30 s at 50 %, and ramp: my ramp here",
        ),
        (
            "at least: 350]",
            "at least: 350]\n    ramp: gentle",
            "`gentle` is not a ramp of this file",
            "add it under ramps:, as gentle: 30 s at 50 %, then 100 %",
        ),
        (
            "at least: 350]",
            "at least: 350]\n    off delay: 90 s at 40 %",
            "`90 s at 40 %` is more than seconds",
            "type it under ramps:, as my ramp: after 90 s at 40 %, and name it as ramp:",
        ),
        ("at least: 350]", "at least: 350]\n    on delay: 1:30", "`1:30` is minutes and seconds", "type 90 s"),
        (
            "    gives: trim\n    rows: |\n      OFF  none\n      ON   -10 %\n",
            "    gives: seconds\n    rows: |\n      OFF  none\n      ON   90\n  trims: {gives: trim, rows: -10 %}\n",
            "`lower` gives seconds and changes no airflow",
            "name it under on delay: or off delay: of the call",
        ),
        (
            "offset, lower, share",
            "offset, share",
            "no call uses the chart `lower`",
            "name it in the steps of a call, airflow: [lower, ...], or take it out",
        ),
        (
            "positions: A B C, factory: A",
            "positions: - A +, factory: A",
            "A value can't begin with a `-` that stands alone.",
            "A position that is printed as - is typed as the word minus: `minus A +`.",
        ),
        (
            "positions: A B C, factory: A",
            "positions: + A \u2212, factory: A",
            "This is a minus sign (U+2212), not the `-` of the keyboard.",
            "A position printed as a minus is typed as the word minus; where no figure is printed, type `-`.",
        ),
        (
            "positions: A B C, factory: A",
            "positions: + A -, factory: A",
            "`-` can't be a position at J1",
            "a position that is printed as - is typed as the word minus",
        ),
        (
            "  lower:\n",
            "  trim:\n",
            "`trim` has a meaning of its own and can't be a name of yours: it is a quantity",
            "type another name, for example my trim",
        ),
    ],
)
def test_the_first_message_says_what_to_type(typed: str, instead: str, message: str, remedy: str) -> None:
    assert typed in PAGE
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(typed, instead))
    first = refused.value.problems[0]
    assert (first.message, first.help) == (message, remedy)


def test_a_minus_among_positions_that_is_typed_as_any() -> None:
    text = PAGE.replace("positions: A B C, factory: A", "positions: + 0 minus, factory: 0")
    text = text.replace("      A  none\n      B  +50\n      C  -50\n", "      0  none\n      +  +50\n      -  -50\n")
    with pytest.raises(Refused) as refused:
        table_of(text)
    assert {p.help for p in refused.value.problems} == {
        "A - among the positions means any; the position that is printed as - is typed minus."
    }


@pytest.mark.parametrize(
    ("gives", "figures", "where"),
    [
        ("seconds", "30 90", "in a call, on delay: lone or off delay: lone"),
        ("ramp", "soft soft", "in a call, ramp: lone"),
        ("heat input", "40000 60000", "in the steps of a heating call, heat: [lone]"),
    ],
)
def test_a_chart_that_no_call_uses_is_sent_where_it_belongs(gives: str, figures: str, where: str) -> None:
    off, on = figures.split()
    lone = f"  lone: {{set: SW1-3, gives: {gives}, rows: OFF {off}; ON {on}}}\n"
    text = PAGE.replace("charts:\n", f"ramps:\n  soft: 30 s at 50 %\ncharts:\n{lone}")
    with pytest.raises(Refused) as refused:
        table_of(text)
    assert [p.help for p in refused.value.problems] == [f"name it {where}, or take it out"]


def test_a_slip_in_a_line_of_the_unit_hides_nothing_of_the_rest() -> None:
    """A line at the left edge is left aside too; commas among rows are told although the bank can't be read."""
    text = PAGE.replace("units: {airflow: cfm}", "units: {airflow:cfm}").replace("count: 3", "count: three")
    text = text.replace("OFF  800", "OFF  1,800").replace("A B C, factory", "A A C, factory")
    with pytest.raises(Refused) as refused:
        table_of(text.replace("at least: 350", "at lest: 350"))
    assert [p.code for p in refused.value.problems] == [
        "no-blank-after-colon",
        "bad-count",
        "doubled-position",
        "thousands-comma",
        "unknown-key",
    ]


def test_a_ramp_by_a_menu_is_named_in_a_call_and_told_as_a_ramp() -> None:
    menu = "  N2: {kind: menu, positions: 10 20 30, gives: seconds}\n"
    text = PAGE.replace("charts:\n", f"{menu}ramps:\n  soft: N2 at 50 %\ncharts:\n")
    with pytest.raises(Refused) as refused:
        table_of(text)
    assert [p.message for p in refused.value.problems] == ["no call uses the ramp `soft`"]
    lone = "  lone: {set: SW1-3, gives: ramp, rows: OFF soft; ON soft}\n"
    with pytest.raises(Refused) as refused:
        table_of(text.replace("charts:\n", f"charts:\n{lone}"))
    remedy = "name it in the call, ramp: soft; or type a ramp for each position of the menu, and choose between those"
    assert refused.value.problems[0].help == remedy


def test_a_selector_with_a_dot_in_its_name_is_held_by_its_name() -> None:
    assert path_of("hold L1.1") == ("hold", "L1.1")
    assert path_of("as found L1.1") == ("as found", "L1.1")
    assert path_of("found.SW1") == ("as found", "SW1")
    assert path_of("target heating.low") == ("targets", "heating low")


def test_a_digit_printed_on_one_side_is_shown_on_it() -> None:
    table = table_of(PAGE.replace("count: 3, factory: all off", "count: 3, factory: all off, also: {off: 0, on: I}"))
    assert [mark(table, 0, at) for at in (0, 1)] == ["0", "I"]


def board(table: Table, *marks: str) -> Setting:
    return setting_of(read_marks(list(marks), table), table)


def test_delivered_off_its_pins() -> None:
    """As the guide says, whether or not a row names it."""
    table = table_of(PAGE.replace("C, factory: A", "C, factory: off pins"))
    assert table.parts[3].word(table.delivered(None)[3]) == "off pins"
    named = table_of(
        PAGE.replace("C, factory: A", "C, factory: off pins").replace("C  -50\n", "C  -50\n      off pins  +10\n")
    )
    assert named.parts[3].word(named.delivered(None)[3]) == "off pins"
    answers = evaluate(Engine(named, NOTHING_KNOWN), named.delivered(None))
    # (800 + 10) x 70 %
    assert answers["cooling"].stages[0].airflow == 567


def test_a_condition_on_being_off_pins() -> None:
    table = table_of(PAGE.replace("at least: 350", "{at least: 450, when: {J1: off pins}}"))
    calls = {m: evaluate(Engine(table, NOTHING_KNOWN), board(table, "SW1=000", m, "N1=1"))["fan"] for m in ("J1=A",)}
    assert calls["J1=A"].stages[0].airflow == 280
    assert "(when J1 is off pins)" in formula(table, table.calls["fan"], "")


def test_one_printed_digit_lets_the_other_be_typed() -> None:
    text = PAGE.replace("count: 3, factory: all off", "count: 3, factory: all off, also: {off: 0, on: I}")
    table = table_of(text)
    assert board(table, "SW1=101")[:3] == (1, 0, 1)
    assert board(table, "SW1=I0I")[:3] == (1, 0, 1)


def test_digits_that_the_file_uses_are_understood_as_marks() -> None:
    """A bank printed open and closed refuses digits, but not where its factory setting is typed in them."""
    open_ = "also: {off: open, on: closed}"
    digits = table_of(PAGE.replace("factory: all off", f"factory: 100, {open_}"))
    assert board(digits, "SW1=011")[:3] == (0, 1, 1)
    words = table_of(PAGE.replace("factory: all off", f"factory: all open, {open_}"))
    with pytest.raises(Refused):
        board(words, "SW1=011")


def test_steps_of_a_half_are_typed_as_printed() -> None:
    text = PAGE.replace("positions: 1 2 3, factory: 1", "positions: 1 to 3 step 0.5, factory: 2.0")
    table = table_of(text.replace("      3  70 %\n", "      3  70 %\n      1.5 55 %\n      2.5 65 %\n"))
    assert table.parts[4].positions == ("1", "1.5", "2", "2.5", "3")
    assert table.parts[4].positions[table.delivered(None)[4] or 0] == "2"


def test_a_signed_range_gives_offsets() -> None:
    """-50 to +50 step 25 needs no sign of its own at each position; 25 is +25."""
    text = PAGE.replace("positions: 1 2 3, factory: 1", "positions: -50 to +50 step 25, factory: 0, gives: offset")
    start = text.index("  menu share:")
    text = text[:start] + text[text.index("  lower:") :]
    table = table_of(text.replace("menu share, ", "N1, "))
    assert table.parts[4].positions == ("-50", "-25", "0", "+25", "+50")
    assert board(table, "SW1=000", "J1=A", "N1=25")[4] == 3
    # 800 x 70 % = 560, and 25 more
    fan = evaluate(Engine(table, NOTHING_KNOWN), board(table, "SW1=000", "J1=A", "N1=25"))["fan"].stages[0].airflow
    assert fan == 585


def test_a_position_printed_as_a_minus() -> None:
    text = PAGE.replace("positions: A B C, factory: A", "positions: + 0 minus, factory: 0")
    text = text.replace(
        "      A  none\n      B  +50\n      C  -50\n", "      0  none\n      +  +50\n      minus  -50\n"
    )
    table = table_of(text)
    at = board(table, "SW1=000", "J1=-", "N1=1")
    assert marks_of(at, table).split()[1] == "J1=minus"
    assert evaluate(Engine(table, NOTHING_KNOWN), at)["cooling"].stages[0].airflow == Fraction(525)


def test_numbers_are_counted_out() -> None:
    text = PAGE.replace("positions: 1 2 3, factory: 1", "positions: 0 to 15, factory: 0")
    text = text.replace("      1  50 %\n      2  60 %\n      3  70 %\n", "      12 50 %\n      others 60 %\n")
    assert len(table_of(text).parts[4].positions) == 16


def test_plates_by_stage_ask_for_no_model() -> None:
    """The rise is printed by stage alone: what is missing is the stage, not the model."""
    text = PAGE.replace("units: {airflow: cfm}", "ratings: {heat output: 54000, temperature rise: {low: 30 to 60}}")
    text = text.replace(
        "  fan:\n",
        "  heating: {terminals: {low: W1, high: W2}, stages: low high, airflow: [temperature rise: 50]}\n  fan:\n",
    )
    table = table_of(text)
    found = evaluate(Engine(table, NOTHING_KNOWN), board(table, "SW1=000", "J1=A", "N1=1"))["heating"]
    assert found.stage("low").airflow == 1000
    assert [j.ok for j in found.stage("low").judged] == [True]
    (open_,) = found.stage("high").judged
    assert (open_.ok, open_.why) == (None, "the plate's temperature rise for high is not printed")


def test_what_holds_is_shown_and_read_aloud() -> None:
    text = PAGE.replace("    set: J1\n", "    set: J1\n    only: model 24\n")
    table = table_of(text)
    assert "Holds only with static pressure 0.1 to 0.8" in unit_lines(table, None)
    said = [row.text for row in spoken_rest(table) if row.chart == "holds only with"]
    assert said == [
        "every chart: static pressure zero point one to zero point eight",
        "jumper offset: model twenty-four",
    ]


def test_a_call_in_no_state_says_so() -> None:
    table = table_of()
    refused = evaluate(Engine(table, NOTHING_KNOWN), board(table, "SW1=110", "J1=A", "N1=1"))["fan"].stages[0].airflow
    assert isinstance(refused, No)
    assert refused.kind == "not_usable"


def test_dots_are_typed_as_digits_and_shown_as_printed() -> None:
    text = PAGE.replace("count: 3, factory: all off", "count: 3, positions: \u25cb \u25cf, factory: \u25cb\u25cb\u25cb")
    text = text.replace("OFF OFF  800", "\u25cb \u25cb  800").replace("ON  OFF  700", "\u25cf \u25cb  700")
    text = text.replace("OFF ON   900", "\u25cb \u25cf  900").replace("ON  ON   not", "\u25cf \u25cf  not")
    text = text.replace("OFF  none\n      ON   -10", "\u25cb  none\n      \u25cf  -10")
    table = table_of(text)
    assert board(table, "SW1=100")[:3] == (1, 0, 0)
    assert board(table, "SW1=off on off")[:3] == (0, 1, 0)
    assert mark(table, 0, 1) == "\u25cf"
