"""Boards as found: whole answers, worked by hand on the pages of the tables, and each row of the complaints' table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from selector.answers.house.complaints import limits_on, looks
from selector.answers.remarks.complaint_words import FORBIDDEN, LOOK
from selector.job.as_found.as_found import as_found
from selector.job.file.complaint_words import COMPLAINTS
from selector.job.file.report import Report
from selector.job.line.typed import job_from_pairs
from selector.job.remark import remark
from selector.job.targets.complaint_rows import ROWS
from selector.job.targets.house import house_of
from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from tests.helpers.judging import answered, as_found_report, found_moves, found_stage, house, line_with
from tests.helpers.program import program

CORVANE = """table: corvane-k14
model: 080
outdoor unit: {capacity: 3 tons}
"""
FOUND = CORVANE + "as found: {SW1: 10011000}\n"


def found(text: str) -> Report:
    return answered(as_found_report, text)


# -- right, wrong, put right


def test_a_board_that_is_right_has_nothing_to_move() -> None:
    # Corvane question 2: cooling 1,197.8 (3 tons: 900 to 1,350), heating 1,250.8 (65 to 35 F: 1,082.6 to 2,010.6)
    report = found(FOUND)
    assert report.exit_code == 0
    assert report.data["right"] is True
    assert report.data["fewest"] is None
    assert found_stage(report, "cooling", "second")["airflow"] == 1197.8
    assert report.lines[0].endswith("Change nothing.")
    assert line_with(report, "cooling second ") == "cooling second 900 to 1,350 cfm 1,198 cfm, OK"
    assert not any("Power off" in line for line in report.lines)


def test_too_high_in_both_stages_is_one_move_away_and_others_with_as_few_are_named() -> None:
    """The worked answer beside the pages: 080 at 0 1 0 1 1 0 0 0 gives 1,520 x 1.06 = 1,611.2 on 3 tons, 261 over
    1,350; first 66 % = 1,063.4, 118 over 945. SW1-2 OFF: 1,130 x 1.06 = 1,197.8, nearest to 1,200. SW1-6 ON: 1,520 x
    .88 = 1,337.6, further."""
    report = found(
        CORVANE.replace("{capacity: 3 tons}", "{capacity: 3 tons, stages: 70 %}") + "as found: {SW1: 01011000}\n"
    )
    assert "as found: SW1=01011000" in report.lines
    assert report.lines[0] == (
        "Cooling is set too high in both stages. SW1-2 OFF brings it inside by the chart; measure static and split."
    )
    assert found_moves(report) == ["SW1-2 ON -> OFF"]
    assert "Set SW1-2 ON -> OFF, leaving SW1=00011000. No way with fewer moves." in report.lines
    assert "  Also 1 move: SW1-6 OFF -> ON (cooling second 1,338 cfm, further from 1,200)" in report.lines
    rows = {" ".join(line.split()) for line in report.lines}
    assert "cooling first 630 to 945 cfm 1,063 cfm, 118 over 791 cfm, OK" in rows
    assert "cooling second 900 to 1,350 cfm 1,611 cfm, 261 over 1,198 cfm, OK" in rows
    assert "heating first 758 to 1,407 cfm 1,002 cfm, OK 1,002 cfm, OK" in rows
    assert "heating second 1,083 to 2,011 cfm 1,431 cfm, OK 1,431 cfm, OK" in rows
    assert "fan no limit 725 cfm 539 cfm" in rows
    assert "allowed: cooling 300 to 450 cfm/ton (assumed); heating, the plate's rise 35 to 65 F" in rows
    assert report.exit_code == 1


def test_the_fewest_moves_in_the_order_they_stand_on_the_board_with_cautions() -> None:
    # 1,250 to 1,300: 1,297.2 = 1,380 - 6 % (000 01). Heating of 1,180 - 6 % = 1,109.2 keeps its rise (63.4 F), so SW1-1
    # stays: SW1-4 and SW1-5 OFF, SW1-6 ON: three moves; no other cooling of the 080 lies between (1,337.6; 1,214.4;
    # 1,197.8)
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm}\n")
    assert report.exit_code == 1
    assert report.data["right"] is False
    assert found_moves(report) == ["SW1-4 ON -> OFF", "SW1-5 ON -> OFF", "SW1-6 OFF -> ON"]
    fewest: Any = report.data["fewest"]
    assert fewest["setting"]["marks"] == "SW1=10000100"
    lines = [line.strip() for line in report.lines]
    assert lines.index("Before you touch the board") < lines.index(next(x for x in lines if x.startswith("Set 3 ")))
    assert any("cycle the power" in line for line in lines)
    after = next(s for s in fewest["stages"] if (s["call"], s["stage"]) == ("cooling", "second"))
    assert after["airflow"] == 1297.2


def test_among_as_few_moves_the_nearest_to_the_aim_is_taken() -> None:
    """Two rows one move away, both inside 900 to 1,350 on 3 tons: 020 gives 990, 100 gives 1,180; the aim is 1,200."""
    text = """format: selector table 1
unit: {title: Air handler, reads: always}
units: {airflow: cfm}
board:
  D1: {kind: dial, positions: A B C, factory: A}
charts:
  coil:
    page: 1
    set: D1
    gives: airflow
    rows: |
      A  1400
      B   990
      C  1180
calls:
  cooling:
    terminals: Y1
    airflow: coil
"""
    table, report = build_table(source_from_text(text, "dial.yaml"), "dial")
    assert table is not None, report.problems
    job, _ = job_from_pairs([("table", "dial.yaml"), ("tons", "3"), ("found D1", "A")])
    assert found_moves(as_found_report(house_of(job, table))) == ["D1 A -> C"]


def test_a_reserved_row_is_refused_and_moved_off() -> None:
    # 110 found at 0 0 1 1 0 0 0 0: cooling refused, the page says do not use (question 4); 5 tons: 1,500 to 2,250;
    # one switch off the row: 010 = 1,220 is too little, 001 = 1,540 fits: SW1-3 OFF
    report = found("table: corvane-k14\nmodel: 110\noutdoor unit: {capacity: 5 tons}\nas found: {SW1: 00110000}\n")
    assert found_stage(report, "cooling", "second")["no"] == "not_usable"
    assert found_moves(report) == ["SW1-3 ON -> OFF"]


def test_nothing_fits_and_why() -> None:
    # heating of 1,340 to 1,360 needs no trim, cooling of 1,250 to 1,300 needs -6 %: SW1-5 and SW1-6 are the trim of
    # both
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm, heating: 1340 to 1360 cfm}\n")
    data: Any = report.data
    assert data["fewest"] is None
    assert [c["shared"] for c in data["conflicts"]] == [["SW1-5", "SW1-6"]]
    words = data["conflicts"][0]["words"]
    assert "cooling second 1,250 to 1,300 cfm" in words
    assert "heating second 1,340 to 1,360 cfm" in words
    assert "conflict" in words
    assert any(line.startswith("Nothing fits. ") for line in report.lines)
    assert any(line.startswith("Closest (do not set): ") for line in report.lines)
    assert not any("Power off" in line for line in report.lines)


def test_a_window_that_holds_no_airflow_is_told_by_its_ends_and_never_reversed() -> None:
    report = found(FOUND + "windows: {cooling: 1460 to 1470 cfm}\n")
    data: Any = report.data
    assert data["fewest"] is None
    assert data["conflicts"][0]["words"] == (
        "cooling second: minimum 1,460 cfm (your limit), maximum 1,350 cfm (450 cfm/ton, assumed): 110 cfm short."
    )
    assert not any("1,460 to 1,350" in line for line in report.lines)
    assert line_with(report, "cooling second  ").endswith("none 1,198 cfm, no airflow is allowed")


def test_the_plate_is_a_limit_though_nobody_asked_for_heating() -> None:
    # question 6: 101 11 with SW1-1 ON gives heating 1,180 - 12 % = 1,038.4 and 67.8 F, above the plate's 65
    report = found(CORVANE + "as found: {SW1: 11011100}\n")
    high = found_stage(report, "heating", "second")
    assert high["stands"] == "outside"
    assert high["limits"][0]["quantity"] == "temperature rise"
    assert high["limits"][0]["allowed"] == {"low": 35, "high": 65}
    rows = [" ".join(line.split()) for line in report.lines]
    assert any(row.startswith("heating second 1,083 to 2,011 cfm 1,038 cfm, 44") for row in rows)
    assert (
        line_with(report, "Rise: ")
        == "Rise: heating first 67.8 F (59.2 F as left), heating second 67.8 F (59.2 F as left)."
    )
    # SW1-1 OFF: 1,350 - 12 % = 1,188, 59.2 F. A smaller trim would also do for heating, but not for cooling: 1,520 - 6
    # % = 1,428.8 is above 1,350
    assert found_moves(report) == ["SW1-1 ON -> OFF"]


# -- what needn't run


def test_a_delay_printed_by_stage_is_no_fault() -> None:
    """Garrowby page 30 and on: the delays are printed by stage; 1,200 cfm on 3 tons, 1,040 and 780 cfm of heat inside
    the plate's rise. Nothing is wrong."""
    report = found(
        "table: garrowby-r\noutdoor unit: {capacity: 3 tons}\nas found: {SW1: 01000000, D1: 2, J1: A, J2: 1}\n"
    )
    assert report.data["right"] is True
    assert report.exit_code == 0
    assert found_moves(report) == []


def test_a_call_that_does_not_run_moves_nothing() -> None:
    """Tarnwick 36 on D1 4: 1,275 cfm = 425 cfm/ton on 3 tons; J4 on none: no dehumidify. The fan is half, 637.5."""
    report = found(
        "table: tarnwick-d\nmodel: 36\noutdoor unit: {capacity: 3 tons}\ndehumidify: {humidistat: none}\n"
        "as found: {D1: 4, D2: 3, J3: 3, J4: none, J5: fixed, SW1: 00}\n"
    )
    assert report.lines[0] == "OK: as set, within limits. Change nothing."
    assert found_stage(report, "dehumidify")["no"] == "does_not_run"
    assert found_stage(report, "fan")["airflow"] == 637.5
    assert found_moves(report) == []


def test_no_verdict_where_nothing_could_be_checked() -> None:
    report = found("table: corvane-k14\nas found: {SW1: 10011000}\n")
    assert report.data["right"] is None
    assert not any("Change nothing" in line or "OK" in line for line in report.lines)
    assert any("060, 080 or 110" in line for line in report.lines)


def test_a_window_of_a_call_that_does_not_run_is_not_asked_for() -> None:
    # Saltmarsh with LK1 whole: dehumidify does not run, its window of 1,000 to 1,100 stands against nothing
    marks = "{J1: 3, J2: b, J3: 1, J4: none, J5: 1, LK1: whole}"
    report = found(
        "table: saltmarsh-12\nheat: {kind: heat pump}\nwindows: {dehumidify: 1000 to 1100 cfm}\nas found:"
        f" {marks}\n"
    )
    assert found_stage(report, "dehumidify")["stands"] == "does_not_run"
    assert found_moves(report) == []


# -- marks


def test_the_unreadable_mark_to_look_at_first_decides() -> None:
    """Cooling is 1,197.8 or 1,130 (question 5); 1,190 to 1,250 holds the first alone."""
    report = found(CORVANE + "windows: {cooling: 1190 to 1250 cfm}\nas found: {SW1: 1001?000}\n")
    assert report.data["right"] is None
    assert report.exit_code == 1
    assert report.data["fewest"] is None
    assert report.lines[0:4] == (
        "Can't tell until SW1-5 is read.",
        "Read SW1-5: it settles it.",
        "  SW1-5 OFF: outside (cooling second 1,130 cfm, 60 below)",
        "  SW1-5 ON: inside",
    )
    assert line_with(report, "cooling second ").endswith("1,130 or 1,198 cfm (SW1-5 unreadable)")


def test_an_unread_selector_that_changes_no_verdict() -> None:
    report = found(CORVANE + "as found: {SW1: 1001?0?0}\n")
    assert report.data["right"] is True
    assert report.exit_code == 0
    assert "SW1-5 and SW1-7 don't matter to that." in report.lines[0]


def test_wrong_whatever_the_unread_marks_are_is_put_right_by_setting_them() -> None:
    report = found(CORVANE + "windows: {cooling: 1250 to 1300 cfm}\nas found: {SW1: 100?1000}\n")
    assert report.data["right"] is False
    assert "SW1-4 ? -> OFF" in found_moves(report)
    assert any("SW1-4 unreadable: set it OFF" in line for line in report.lines)


def test_marks_for_another_board_are_problems_at_their_place() -> None:
    with pytest.raises(Refused) as refused:
        house(CORVANE + "as found: {SW1: 0011010, J2: A}\n")
    places = [(p.line, p.column, p.code) for p in refused.value.problems]
    assert [(line, code) for line, _, code in places] == [(5, "unknown-mark"), (5, "unknown-selector")]
    assert all(column > 1 for _, column, _ in places)


def test_a_job_without_marks_says_so() -> None:
    with pytest.raises(Refused) as refused:
        as_found_report(house(CORVANE))
    assert [p.code for p in refused.value.problems] == ["no-marks"]


# -- what is said first, what is worth a look


def test_a_declared_heater_that_is_not_the_one_installed_is_said_first_and_set_from_the_fact() -> None:
    # Saltmarsh: J4 at 5 with 15 kW fitted (question 6)
    report = found(
        "table: saltmarsh-12\nheat: {kind: electric, heater: 15 kW}\nas found: {J1: 2, J2: b, J3: 1, J4: 5, J5: 1, LK1:"
        " whole}\n"
    )
    told: Any = report.data["contradictions"]
    assert [(one["selector"], one["set_for"], one["installed"]) for one in told] == [("J4", "5", "15")]
    assert report.lines[0] == "J4 is set for 5 kW; 15 kW installed."
    assert report.data["right"] is False
    assert found_moves(report) == ["J4 5 -> 15"]
    assert report.exit_code == 1


def test_a_board_that_believes_another_model_is_said_first() -> None:
    # the board believes 060: cooling 890 + 6 % = 943.4; the plate's 080 has the rise
    report = found("table: corvane-k14\nmodel: 060\nplate model: 080\nas found: {SW1: 10011000}\n")
    assert report.lines[0].startswith("The board believes it is a 060, the plate says 080")
    assert found_stage(report, "cooling", "second")["airflow"] == 943.4
    assert report.exit_code == 1


def test_moves_are_not_offered_while_the_thermostat_is_in_force() -> None:
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm}\nin force: thermostat\n")
    assert report.data["offered"] is False
    assert found_moves(report) == []
    assert report.lines[0].startswith("The thermostat is in force")
    assert not any("->" in line for line in report.lines)


@pytest.mark.parametrize(
    ("humidistat", "link", "words"),
    [
        ("opens on rise", "whole", "the humidistat is ignored"),
        ("opens on rise", "cut", ""),
        ("none", "whole", ""),
    ],
)
def test_the_link_of_dehumidify_against_the_humidistat(humidistat: str, link: str, words: str) -> None:
    marks = f"{{J1: 3, J2: b, J3: 1, J4: none, J5: 1, LK1: {link}}}"
    report = found(
        f"table: saltmarsh-12\nheat: {{kind: heat pump}}\ndehumidify: {{humidistat: {humidistat}}}\nas found: {marks}\n"
    )
    notes = [line for line in report.lines if line.startswith("Note: LK1")]
    assert any(words in note for note in notes) if words else not notes


def test_a_cut_link_with_nothing_wired_is_no_board_to_leave_alone() -> None:
    # page 9: 3b 1,095 x 84 % = 919.8 cfm whenever cooling runs
    marks = "{J1: 3, J2: b, J3: 1, J4: none, J5: 1, LK1: cut}"
    report = found(
        f"table: saltmarsh-12\noutdoor unit: {{capacity: 3 tons}}\nheat: {{kind: heat pump}}\n"
        f"dehumidify: {{humidistat: none}}\nas found: {marks}\n"
    )
    assert report.lines[0] == (
        "LK1 is cut, so dehumidify is enabled; there is no humidistat, and a cut link with nothing wired runs reduced"
        " for ever (920 cfm). Fit a humidistat, or join LK1 again."
    )
    assert report.lines[1] == "Otherwise as set, within limits."
    assert not any("Change nothing" in line for line in report.lines)
    assert report.exit_code == 1


def test_what_puts_water_back_is_named_in_a_humid_climate_only() -> None:
    # the blower runs on for 60 s; the fan runs 45 % of 1,197.8 = 539
    report = found(FOUND + "site: {climate: humid}\n")
    assert report.data["water"] == {"off_delay_s": 60, "ramp_down": False, "constant_fan": True}
    assert any(
        line.startswith("Note: humid climate: the 60 s blower-off delay and a constant fan") for line in report.lines
    )
    assert found(FOUND).data["water"] is None


def test_a_ramp_down_puts_water_back_and_a_starting_ramp_does_not() -> None:
    """Saltmarsh J5: 2 starts slowly, 3 ends with 90 s at 40 % after the call."""
    for position, down in (("2", False), ("3", True)):
        marks = f"{{J1: 3, J2: b, J3: 1, J4: none, J5: {position}, LK1: whole}}"
        report = found(f"table: saltmarsh-12\nsite: {{climate: humid}}\nas found: {marks}\n")
        water: Any = report.data["water"]
        assert water["ramp_down"] is down


def test_static_above_the_plate_raises_nothing() -> None:
    # 0.7 in. w.c. at 1,197.8: the plate's 0.5 is reached at 1,197.8 x sqrt(0.5 / 0.7) = 1,012.3, inside cooling's 900
    # to 1,350
    more = "measurements:\n- {call: cooling second, minutes: 15, method: static, static pressure: 0.7 in. w.c.}\n"
    report = found(FOUND + "site: {plate static: 0.5 in. w.c.}\n" + more)
    static: Any = report.data["static"]
    assert static[0].startswith("WARNING: static 0.7 in. w.c. in cooling second, 0.2 in. w.c. over the plate's 0.5")
    assert report.exit_code == 1
    assert found_stage(report, "cooling", "second")["stands"] == "outside"
    assert found_stage(report, "cooling", "second")["allowed"]["high"] == pytest.approx(1012.3, abs=0.05)


# -- complaints


def test_a_call_that_has_its_target_moves_no_further_for_a_complaint() -> None:
    """080 at 01011100: 1,520 x .88 = 1,337.6 cfm, under the 4 x 350 = 1,400 cfm that a humid house is moved to (from
    4 x 400); inside 4 x 300 to 4 x 450. At 01011000 it is 1,611.2: SW1-6 ON lessens it, so something may move."""
    board = CORVANE.replace("3 tons", "4 tons") + "complaint: humid\nas found: {SW1: 01011100}\n"
    report = found(board)
    assert report.lines[0].endswith("Change nothing.")
    assert 'For "Humid": change nothing' in report.lines
    assert report.data["complaint_moves"] == ["cooling second, less air: it has its target already (1,338 cfm)."]
    moved = found(board.replace("01011100", "01011000"))
    assert moved.lines[0].startswith("OK: as set, within ")
    assert "Change nothing" not in moved.lines[0]
    assert 'For "Humid": a setting may move' in moved.lines


def test_behind_a_danger_no_setting_moves_for_a_complaint() -> None:
    one = house(FOUND + "complaint: humid\n")
    assert as_found(one).turns
    assert as_found(one, offered=False).turns == ()


TABLE = {
    # complaint -> look first, may move, forbidden by: the table of the trade (common practice, no source)
    "humid": (
        ("fan mode", "run-on", "oversize", "humidistat"),
        ["cooling down"],
        ("stacked floor", "heat-pump floor"),
    ),
    "iced coil": (
        ("thaw", "filter", "coil", "wheel", "delivered", "charge", "stuck dehumidify"),
        ["cooling up"],
        ("static",),
    ),
    "limit trips": (
        ("limit", "roll-out", "filter", "static", "zones", "input", "high fire", "on-delay"),
        ["heat up"],
        ("static", "combustion"),
    ),
    "cool air in heat": (
        ("low rise", "heat-pump air"),
        ["heat down", "heat pump down"],
        ("plate rise", "heat-pump floor"),
    ),
    "noise": (("static", "filter area", "grille"), ["any down"], ("floors", "rise", "heater least")),
    "high head in heating": (("filter", "coil", "delivered"), ["heat pump up"], ("static", "shared trim")),
    "water carried over": (("face velocity", "coil position"), ["cooling down"], ("stacked floor",)),
    "no change after setting": (("power cycle", "control in force", "wrong bank", "plug"), [], ()),
    "uneven rooms": (("registers", "zones", "branch", "return path"), [], ()),
    "high bills": (("filter", "static", "watts", "fan mode", "charge"), [], ()),
}


def test_the_table_has_the_complaints_a_job_may_name() -> None:
    assert set(ROWS) == set(TABLE) == set(COMPLAINTS)


PUMP = "table: saltmarsh-12\nheat: {kind: heat pump}\nas found: {J1: 3, J2: b, J3: 1, J4: none, J5: 2, LK1: whole}\n"
OF_A_HEAT_PUMP = ("heat-pump air", "heat-pump floor", "shared trim", "heat pump down", "heat pump up")
OF_A_PLATE_RISE = ("low rise", "plate rise")
FIRST = ("thaw", "limit", "roll-out")


@pytest.mark.parametrize("head", [FOUND, PUMP], ids=["furnace", "heat pump"])
@pytest.mark.parametrize("complaint", TABLE)
def test_each_complaint_says_what_to_look_at_which_way_and_what_forbids_it(complaint: str, head: str) -> None:
    """Of a heat pump's air, floor and trim only where there is a heat pump; of the plate's rise only where the plate
    has one."""
    look, may, forbids = TABLE[complaint]
    one = house(f"{head}complaint: {complaint}\n")
    row = one.eased.row
    assert row is not None
    without = OF_A_PLATE_RISE if head == PUMP else OF_A_HEAT_PUMP
    assert looks(one) == [LOOK[name] for name in look if name not in (*without, *FIRST)]
    moves = [f"{role} {way}" for role, way in row.moves]
    assert [name for name in moves if name not in without] == [name for name in may if name not in without]
    assert limits_on(one) == [FORBIDDEN[name] for name in forbids if name not in without]


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("coil freezing", ("iced coil",)),
        ("short cycling in heat", ("limit trips",)),
        ("no heat upstairs, high bills", ("uneven rooms", "high bills")),
        ("one room hot", ("uneven rooms",)),
        ("bedrooms cold, musty smell", ("uneven rooms", "humid")),
        ("cold in some rooms, coil freezes", ("uneven rooms", "iced coil")),
        ("the registers feel cool, noisy", ("cool air in heat", "noise")),
    ],
)
def test_complaints_in_the_words_of_people(said: str, names: tuple[str, ...]) -> None:
    row = house(f"{CORVANE}complaint: {said}\n").eased.row
    assert row is not None
    assert row.names == names


def test_two_complaints_that_pull_one_call_apart_leave_it() -> None:
    one = house(f"{CORVANE}complaint: iced coil, noise\n")
    assert "cooling" not in one.eased.moved
    assert remark("complaints torn", role="cooling") in one.eased.stays


def turns(complaint: str, more: str = "", head: str = FOUND) -> list[str]:
    data: Any = found(f"{head}complaint: {complaint}\n{more}").data["complaint_moves"]
    return list(data)


def test_humid_lowers_cooling_by_the_fewest_moves() -> None:
    # SW1-5 OFF: 1,130 (376.7 a ton, floor 300); heating then 1,180 (59.6 F)
    assert turns("humid") == ["cooling second, less air: SW1-5 ON -> OFF (1,198 to 1,130 cfm)."]


def test_a_stacked_floor_forbids_lowering() -> None:
    # floor 390 cfm a ton x 3 = 1,170: every lower cooling that is left changes less than the 4 % a reading can tell
    # (1,149.9)
    head = FOUND.replace("{capacity: 3 tons}", "{capacity: 3 tons, least per ton: 390 cfm/ton}")
    assert turns("humid", head=head) == ["cooling second, less air: no setting inside the limits."]


def test_an_iced_coil_is_thawed_first_and_raised_only_if_it_measures_low() -> None:
    report = found(f"{FOUND}complaint: iced coil\n")
    assert report.lines[0].startswith("WARNING: iced coil. Cooling off, fan on: thaw it fully")
    assert turns("iced coil") == ["cooling second, more air: only if it measures low on a clear coil."]


def test_limit_trips_raises_heating() -> None:
    # 1,250.8 -> SW1-1 OFF: 1,350 + 6 % = 1,431
    assert turns("limit trips") == ["heating second, more air: SW1-1 ON -> OFF (1,251 to 1,431 cfm)."]


def test_a_raise_is_not_offered_while_static_is_over_the_plate() -> None:
    more = (
        "site: {plate static: 0.5 in. w.c.}\nmeasurements:\n- {call: heating second, minutes: 15, method: static,"
        " static pressure: 0.6 in. w.c.}\n"
    )
    (said,) = turns("limit trips", more)
    assert "0.6 in. w.c." in said
    assert "->" not in said


CLOCKED = "heat: {clocked: {volume: 2 ft3, time: 93.33 s, heat of gas: 1037 Btu/ft3}}\n"  # 79,997 Btu/h


def test_cool_air_in_heat_lowers_heating_only_on_clocked_heat_and_not_within_5_f_of_the_plate() -> None:
    # 65 - 5 = 60 F: 76,000 / (1.08 x 60) = 1,172.8 cfm is the least; 4 % less than 1,250.8 is 1,200.8: SW1-5 OFF gives
    # 1,180
    assert turns("cool air in heat") == ["heating second, less air: clock the input before you ask for a higher rise."]
    assert turns("cool air in heat", CLOCKED) == ["heating second, less air: SW1-5 ON -> OFF (1,251 to 1,180 cfm)."]
    (said,) = turns("cool air in heat", CLOCKED, head=CORVANE + "as found: {SW1: 10010000}\n")
    assert said.endswith("no setting inside the limits.")


def test_no_move_is_worked_out_while_marks_that_decide_are_unread() -> None:
    report = found(CORVANE + "windows: {cooling: 1190 to 1250 cfm}\nas found: {SW1: 1001?000}\ncomplaint: humid\n")
    assert report.data["complaint_moves"] == []


def test_behind_a_danger_no_board_is_ok() -> None:
    """A limit that trips is put right first, however the switches stand; the customer's own words are quoted."""
    facts = ("corvane-k14", "model=080", "tons=4", "found SW1=01010000")
    plain = " ".join(program("found", *facts, "complaint=short cycling").stdout.split())
    assert "OK: as set, within" in plain
    assert '"Short cycling"' in plain
    assert "Limit trips" not in plain
    said = " ".join(program("found", *facts, "seen=limit trips").stdout.split())
    assert said.startswith("DANGER: the limit is tripping. Heat off.")
    assert "OK:" not in said
    assert "Change nothing" not in said
    assert "The board as set: within" in said


def test_a_danger_is_said_though_the_job_has_mistakes(tmp_path: Path) -> None:
    """Before what is wrong with the job, typed on the line or in the file, and only what is a danger."""
    facts = ("corvane-k14", "model=080", "found SW1=01010000", "complaint=too warm upstairs in june")
    told = program("found", *facts, "seen=42 ppm CO in the room")
    assert told.returncode == 1
    assert told.stderr.startswith("DANGER: gas or CO. Everyone out.")
    assert "is not a complaint known here" in told.stderr
    assert program("found", *facts, "seen=no gas smell").stderr.startswith("command line:")
    path = tmp_path / "job.yaml"
    path.write_text("format: selector job 1\ntable: corvane-k14\nseen: gas smell\nfurnace: old\n", encoding="utf-8")
    assert program("verify", str(path)).stderr.startswith("DANGER: gas or CO. Everyone out.")
