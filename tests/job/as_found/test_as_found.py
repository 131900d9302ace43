"""Boards as found: whole answers, worked by hand on the pages of the tables, and each row of the complaints' table."""

from __future__ import annotations

from typing import Any

import pytest

from selector.job.as_found.as_found import as_found
from selector.job.file.fields import COMPLAINTS
from selector.job.file.report import Report
from selector.job.targets.complaint_rows import FORBIDDEN, LOOK, ROWS
from selector.problems import Refused
from tests.helpers.judging import answered, house, line_with

CORVANE = """table: corvane-k14
model: 080
outdoor unit: {capacity: 3 tons}
"""
FOUND = CORVANE + "as found: {SW1: 10011000}\n"


def found(text: str) -> Report:
    return answered(as_found, text)


def moves(report: Report) -> list[tuple[str, str, str]]:
    data: Any = report.data["moves"]
    return [(m["part"], m["from"], m["to"]) for m in data["moves"]]


def stage(report: Report, call: str, name: str = "") -> Any:
    stages: Any = report.data["stages"]
    return next(s for s in stages if (s["call"], s["stage"]) == (call, name))


# -- right, wrong, put right


def test_a_board_that_is_right_has_nothing_to_move() -> None:
    # Corvane question 2: cooling 1,197.8 (3 tons: 900 to 1,350), heating 1,250.8 (65 to 35 F: 1,082.6 to 2,010.6)
    report = found(FOUND)
    assert report.exit_code == 0
    assert report.data["right"] is True
    assert report.data["moves"] is None
    assert stage(report, "cooling", "second")["airflow"] == 1197.8
    assert line_with(report, "cooling second").startswith("cooling second 1,197.8 cfm inside, window 900 to 1,350 cfm")
    assert not any("Power off" in line for line in report.lines)


def test_the_fewest_moves_in_the_order_they_stand_on_the_board_with_cautions() -> None:
    # 1,250 to 1,300: 1,297.2 = 1,380 - 6 % (000 01). Heating of 1,180 - 6 % = 1,109.2 keeps its rise (63.4 F), so SW1-1
    # stays:
    # SW1-4 and SW1-5 OFF, SW1-6 ON: three moves; no other cooling of the 080 lies between (1,337.6; 1,214.4; 1,197.8)
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm}\n")
    assert report.exit_code == 1
    assert report.data["right"] is False
    assert moves(report) == [("SW1-4", "ON", "OFF"), ("SW1-5", "ON", "OFF"), ("SW1-6", "OFF", "ON")]
    assert line_with(report, "as left") == "as left: SW1=10000100"
    assert any("Power off at the disconnect" in line for line in report.lines)
    assert any(
        "read its selectors only when power comes on" in line or "reads its selectors only when power" in line
        for line in report.lines
    )
    after: Any = report.data["as left"]
    assert next(s for s in after if (s["call"], s["stage"]) == ("cooling", "second"))["airflow"] == 1297.2


def test_a_reserved_row_is_refused_and_moved_off() -> None:
    # 110 found at 0 0 1 1 0 0 0 0: cooling refused, the page says do not use (question 4); 5 tons: 1,500 to 2,250;
    # one switch off the row: 010 = 1,220 is too little, 001 = 1,540 fits: SW1-3 OFF
    report = found("table: corvane-k14\nmodel: 110\noutdoor unit: {capacity: 5 tons}\nas found: {SW1: 00110000}\n")
    assert stage(report, "cooling", "second")["no"] == "not_usable"
    assert moves(report) == [("SW1-3", "ON", "OFF")]


def test_nothing_fits_and_why() -> None:
    # heating of 1,340 to 1,360 needs no trim, cooling of 1,250 to 1,300 needs -6 %: SW1-5 and SW1-6 are the trim of
    # both
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm, heating: 1340 to 1360 cfm}\n")
    data: Any = report.data["moves"]
    assert data["fits"] is False
    assert data["moves"] == []
    assert [a["what"].partition(" (")[0] for a in data["against"]] == [
        "cooling second 1,250 to 1,300 cfm",
        "heating second 1,340 to 1,360 cfm",
    ]
    assert data["against"][0]["what"].endswith("(your window 1250 to 1300 cfm)")
    assert data["shared"] == ["SW1-5", "SW1-6"]
    assert any("can't be had together" in line for line in report.lines)
    assert not any("Power off" in line for line in report.lines)


def test_a_window_that_holds_no_airflow_is_told_by_its_ends() -> None:
    report = found(FOUND + "windows: {cooling: 1460 to 1470 cfm}\n")
    data: Any = report.data["moves"]
    assert data["fits"] is False
    assert "ceiling 450 cfm/ton" in data["against"][0]["what"]


def test_the_plate_is_a_limit_though_nobody_asked_for_heating() -> None:
    # question 6: 101 11 with SW1-1 ON gives heating 1,180 - 12 % = 1,038.4 and 67.8 F, above the plate's 65
    report = found(CORVANE + "as found: {SW1: 11011100}\n")
    assert stage(report, "heating", "second")["place"] == "below"
    assert any("allowed 35 to 65 F (rise on the rating plate)" in line for line in report.lines)
    # SW1-1 OFF: 1,350 - 12 % = 1,188, 59.2 F. A smaller trim would also do for heating, but not for cooling: 1,520 - 6
    # % = 1,428.8 is above 1,350
    assert moves(report) == [("SW1-1", "ON", "OFF")]


# -- marks


def test_the_unreadable_mark_to_look_at_first_decides() -> None:
    report = found(CORVANE + "windows: {cooling: 1190 to 1250 cfm}\nas found: {SW1: 1001?000}\n")
    assert report.data["right"] is None
    assert report.exit_code == 1
    assert report.data["moves"] is None
    assert "look first at SW1-5: it decides" in report.lines
    assert "  OFF: the board is wrong" in report.lines
    assert "  ON: the board is right" in report.lines


def test_an_unread_selector_that_changes_no_verdict() -> None:
    report = found(CORVANE + "as found: {SW1: 1001?0?0}\n")
    assert report.data["right"] is True
    assert report.exit_code == 0
    assert any(line == "no verdict hangs on SW1-5 SW1-7" for line in report.lines)


def test_wrong_whatever_the_unread_marks_are_is_put_right_by_setting_them() -> None:
    report = found(CORVANE + "windows: {cooling: 1250 to 1300 cfm}\nas found: {SW1: 100?1000}\n")
    assert report.data["right"] is False
    assert ("SW1-4", "?", "OFF") in moves(report)
    assert line_with(report, "fewest moves").startswith("fewest moves: ")
    assert ", and 1 to set that can't be read, in the order they stand on the board" in line_with(
        report, "fewest moves"
    )


def test_marks_for_another_board_are_problems_at_their_place() -> None:
    with pytest.raises(Refused) as refused:
        house(CORVANE + "as found: {SW1: 0011010, J2: A}\n")
    places = [(p.line, p.column, p.code) for p in refused.value.problems]
    assert [(line, code) for line, _, code in places] == [(5, "unknown-mark"), (5, "unknown-selector")]
    assert all(column > 1 for _, column, _ in places)


def test_a_job_without_marks_says_so() -> None:
    report = as_found(house(CORVANE))
    assert [p.code for p in report.problems] == ["no-marks"]
    assert report.exit_code == 1


# -- what is said first, what is worth a look


def test_a_declared_heater_that_is_not_the_one_installed_is_said_first_and_set_from_the_fact() -> None:
    # Saltmarsh: J4 at 5 with 15 kW fitted (question 6)
    report = found(
        "table: saltmarsh-12\nheat: {kind: electric, heater: 15 kW}\nas found: {J1: 2, J2: b, J3: 1, J4: 5, J5: 1, LK1:"
        " whole}\n"
    )
    first: Any = report.data["first"]
    assert first == ["J4 tells the board heater 5, but 15 is what is there"]
    assert report.lines[1] == "FIRST: J4 tells the board heater 5, but 15 is what is there."
    assert report.data["right"] is False
    assert moves(report) == [("J4", "5", "15")]
    assert report.exit_code == 1


def test_a_board_that_believes_another_model_is_said_first() -> None:
    # the board believes 060: cooling 890 + 6 % = 943.4; the plate's 080 has the rise
    report = found("table: corvane-k14\nmodel: 060\nplate model: 080\nas found: {SW1: 10011000}\n")
    assert "the board believes it is a 060, the plate says 080" in report.lines[1]
    assert stage(report, "cooling", "second")["airflow"] == 943.4
    assert report.exit_code == 1


def test_moves_are_not_offered_while_a_wall_control_is_in_force() -> None:
    report = found(FOUND + "windows: {cooling: 1250 to 1300 cfm}\nin force: thermostat\n")
    data: Any = report.data["moves"]
    assert data["offered"] is False
    assert data["moves"] == []
    assert any(line.startswith("FIRST: the thermostat is in force") for line in report.lines)
    assert not any("SW1-4 ON" in line for line in report.lines)


@pytest.mark.parametrize(
    ("humidistat", "link", "words"),
    [
        ("none", "cut", "a cut link with nothing wired runs reduced for ever"),
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
    remarks: Any = report.data["remarks"]
    assert any(words in r for r in remarks) if words else not remarks


def test_what_puts_water_back_is_named_in_a_humid_climate_only() -> None:
    # the blower runs on 60 s, which can't be changed; the fan runs 45 % of 1,197.8 = 539
    remarks: Any = found(FOUND + "site: {climate: humid}\n").data["remarks"]
    assert not any("runs on" in r for r in remarks)
    assert any("constant fan (fan 539 cfm)" in r for r in remarks)
    assert found(FOUND).data["remarks"] == []


def test_a_run_on_that_can_be_shorter_puts_water_back() -> None:
    # Brindlemoor page 34: SW1-12 and SW1-13 OFF: no run-on; ON OFF 60 s
    head = (
        "table: brindlemoor-16s\nmodel: S100\nsite: {climate: humid}\n"
        "as found: {SW1: %s, SW2: open open open open}\n"
    )
    longer: Any = found(head % "0000000000010000").data["remarks"]
    assert any("runs on 60 s after cooling second" in r for r in longer)
    none: Any = found(head % "0000000000000000").data["remarks"]
    assert not any("runs on" in r for r in none)


def test_static_above_the_plate_is_said_first_and_nothing_is_raised() -> None:
    # 0.7 in. w.c. at 1,197.8: the plate's 0.5 is reached at 1,197.8 x sqrt(0.5 / 0.7) = 1,012.3, inside cooling's 900
    # to 1,350
    more = "measurements:\n- {call: cooling second, minutes: 15, method: static, static pressure: 0.7 in. w.c.}\n"
    report = found(FOUND + "site: {plate static: 0.5 in. w.c.}\n" + more)
    assert report.lines[1] == "FIRST: static 0.7 in. w.c. is above the plate's 0.5 in. w.c.: no airflow is raised."
    assert report.exit_code == 1
    assert stage(report, "cooling", "second")["place"] == "above"


def test_a_static_that_does_not_count_says_nothing() -> None:
    more = (
        "measurements:\n- {call: cooling second, minutes: 15, method: static, static pressure: 0.7 in. w.c., filter:"
        " out}\n"
    )
    report = found(FOUND + "site: {plate static: 0.5 in. w.c.}\ncomplaint: noise\n" + more)
    assert not any(line.startswith("FIRST") for line in report.lines)
    advice: Any = report.data["complaint"]
    assert advice["look first"][0]["here"] == ""


def test_a_window_of_a_call_that_does_not_run_is_not_asked_for() -> None:
    # Saltmarsh with LK1 whole: dehumidify does not run, its window of 1,000 to 1,100 stands against nothing
    marks = "{J1: 3, J2: b, J3: 1, J4: none, J5: 1, LK1: whole}"
    report = found(
        "table: saltmarsh-12\nheat: {kind: heat pump}\nwindows: {dehumidify: 1000 to 1100 cfm}\nas found:"
        f" {marks}\n"
    )
    assert stage(report, "dehumidify")["place"] == "does not run"
    assert report.data["moves"] is None


# -- complaints

TABLE = {
    # complaint -> look first, may move, forbidden by: the table of the trade (common practice, no source)
    "humid": (
        ("fan mode", "run-on", "oversize", "humidistat"),
        ["cooling down", "dehumidify", "slower ramp"],
        ("stacked floor", "heat-pump floor"),
    ),
    "iced coil": (("filter", "coil", "delivered", "charge", "stuck dehumidify"), ["cooling up"], ("static",)),
    "limit trips": (
        ("filter", "static", "zones", "input", "high fire", "on-delay"),
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
}


def complained(complaint: str, more: str = "", head: str = FOUND) -> Any:
    return found(f"{head}complaint: {complaint}\n{more}").data["complaint"]


def test_the_table_has_the_complaints_a_job_may_name() -> None:
    assert set(ROWS) == set(TABLE) == set(COMPLAINTS)


PUMP = "table: saltmarsh-12\nheat: {kind: heat pump}\nas found: {J1: 3, J2: b, J3: 1, J4: none, J5: 2, LK1: whole}\n"
OF_A_HEAT_PUMP = ("heat-pump air", "heat-pump floor", "shared trim", "heat pump down", "heat pump up")
OF_A_PLATE_RISE = ("low rise", "plate rise")


@pytest.mark.parametrize("head", [FOUND, PUMP], ids=["furnace", "heat pump"])
@pytest.mark.parametrize("complaint", TABLE)
def test_each_complaint_says_what_to_look_at_which_way_and_what_forbids_it(complaint: str, head: str) -> None:
    """Of a heat pump's air, floor and trim only where there is a heat pump; of the plate's rise only where the plate
    has one."""
    look, may, forbids = TABLE[complaint]
    advice = complained(complaint, head=head)
    said = [
        name for name in (*look, *may, *forbids) if name not in (OF_A_PLATE_RISE if head == PUMP else OF_A_HEAT_PUMP)
    ]
    assert [one["what"] for one in advice["look first"]] == [LOOK[name] for name in look if name in said]
    assert advice["may move"] == [name for name in may if name in said]
    assert [one["what"] for one in advice["forbidden by"]] == [FORBIDDEN[name] for name in forbids if name in said]


def turn(advice: Any, call: str) -> Any:
    return next(t for t in advice["turns"] if t["call"] == call)


def test_humid_lowers_cooling_by_the_fewest_moves() -> None:
    # SW1-5 OFF: 1,130 (376.7 a ton, floor 300); heating then 1,180 (59.6 F)
    one = turn(complained("humid"), "cooling")
    assert (one["way"], one["now"], one["then"], one["moves"]) == ("down", 1197.8, 1130.0, ["SW1-5 ON -> OFF"])


def test_what_else_may_move_for_a_humid_house_is_named_with_its_marks() -> None:
    # Saltmarsh J5: 1 at once, 2 after 120 s, 3 after 60 + 240 s; LK1 cut enables dehumidify, and a cut can't be undone
    marks = "{J1: 3, J2: b, J3: 1, J4: none, J5: 2, LK1: whole}"
    advice = complained("humid", head=f"table: saltmarsh-12\nheat: {{kind: heat pump}}\nas found: {marks}\n")
    assert [one["what"] for one in advice["other"]] == ["dehumidify", "slower ramp"]
    assert (
        advice["other"][0]["here"]
        == "LK1 cut enables dehumidify (A cut link can't be made whole again: not proposed unasked)"
    )
    assert advice["other"][1]["here"] == "J5 3: 300 s to full airflow"
    assert all("LK1" not in move for t in advice["turns"] for move in t["moves"])


def test_a_stacked_floor_forbids_lowering() -> None:
    # floor 390 cfm a ton x 3 = 1,170: every lower cooling that is left changes less than the 4 % a reading can tell
    # (1,149.9)
    head = FOUND.replace("{capacity: 3 tons}", "{capacity: 3 tons, least per ton: 390 cfm/ton}")
    one = turn(complained("humid", head=head), "cooling")
    assert (one["then"], one["moves"]) == (None, [])


def test_an_iced_coil_raises_cooling_unless_the_static_is_above_the_plate() -> None:
    # 1,297.2 (000 01) and 1,337.6 are inside 1,350; 1,256 (4 % more) is the least that counts
    one = turn(complained("iced coil"), "cooling")
    assert one["way"] == "up"
    assert one["then"] >= 1197.8 * 1.04
    more = "measurements:\n- {call: cooling second, minutes: 15, method: static, static pressure: 0.7 in. w.c.}\n"
    forbidden = turn(complained("iced coil", more, FOUND + "site: {plate static: 0.5 in. w.c.}\n"), "cooling")
    assert "no airflow is raised" in forbidden["not offered"]
    assert forbidden["moves"] == []


def test_a_raise_that_would_take_the_static_above_the_plate_is_not_offered() -> None:
    # 0.45 in. w.c. at 1,197.8: the plate's 0.5 is reached at 1,197.8 x sqrt(0.5 / 0.45) = 1,262.6; nothing lies between
    # 1,245.7 (4 % more) and that
    more = "measurements:\n- {call: cooling second, minutes: 15, method: static, static pressure: 0.45 in. w.c.}\n"
    one = turn(complained("iced coil", more, FOUND + "site: {plate static: 0.5 in. w.c.}\n"), "cooling")
    assert (one["then"], one["moves"]) == (None, [])
    (against,) = one["against"]
    assert "1,245.7 to 1,262.6 cfm" in against
    assert "static 0.5 in. w.c." in against


def test_limit_trips_raises_heating() -> None:
    # 1,250.8 -> SW1-1 OFF: 1,350 + 6 % = 1,431
    one = turn(complained("limit trips"), "heating")
    assert (one["way"], one["then"], one["moves"]) == ("up", 1431.0, ["SW1-1 ON -> OFF"])


def test_cool_air_in_heat_lowers_heating_but_not_within_5_f_of_the_plate() -> None:
    # 65 - 5 = 60 F: 76,000 / (1.08 x 60) = 1,172.8 cfm is the least; 4 % less than 1,250.8 is 1,200.8: SW1-5 OFF gives
    # 1,180 (59.6 F)
    one = turn(complained("cool air in heat"), "heating")
    assert (one["way"], one["then"], one["moves"]) == ("down", 1180.0, ["SW1-5 ON -> OFF"])
    # from 1,180 (59.6 F) nothing lower keeps 60 F: -6 % is 1,109.2 (63.4 F)
    assert turn(complained("cool air in heat", head=CORVANE + "as found: {SW1: 10010000}\n"), "heating")["moves"] == []


def test_high_head_names_the_trim_that_is_shared() -> None:
    # Lindmarrow: cooling and heat pump read J1, J2 and J3 together
    marks = "{J1: B, J2: A, J3: A, J4: 1, J5: 1, LK1: whole}"
    head = (
        "table: lindmarrow-j\noutdoor unit: {capacity: 3 tons, stages: {low: 70 %, high: 100 %}}\nas found:"
        f" {marks}\n"
    )
    advice = complained("high head in heating", head=head)
    assert advice["forbidden by"][1]["here"] == "shared here: J1 J2 J3"
    one = turn(advice, "heat pump")
    # 1,220 -> J5 on 2 (+5 %): 1,281
    assert (one["way"], one["then"], one["moves"]) == ("up", 1281.0, ["J5 1 -> 2"])


def test_noise_tells_the_face_velocity_and_lowers_what_may_be() -> None:
    # 1,250.8 is the greatest airflow; 600 in2 = 4.1667 ft2: 300.2 fpm
    advice = complained("noise", "ceilings: {grille: {area: 600 in2, velocity: 400 fpm}}\n")
    assert "= 300 fpm, limit 400 fpm" in advice["look first"][1]["here"]
    assert {t["way"] for t in advice["turns"]} == {"down"}
    assert {t["call"] for t in advice["turns"]} == {"cooling", "heating", "fan"}


def test_water_carried_over_lowers_cooling_and_no_change_after_setting_moves_nothing() -> None:
    assert turn(complained("water carried over"), "cooling")["then"] == 1130.0
    advice = complained("no change after setting")
    assert advice["turns"] == []
    assert advice["look first"][0]["here"] == "this board reads its marks at power-up"


def test_no_move_is_worked_out_while_marks_that_decide_are_unread() -> None:
    report = found(CORVANE + "windows: {cooling: 1190 to 1250 cfm}\nas found: {SW1: 1001?000}\ncomplaint: humid\n")
    advice: Any = report.data["complaint"]
    assert advice["look first"]
    assert advice["turns"] == []
