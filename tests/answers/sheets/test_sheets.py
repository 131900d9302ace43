"""The sheets for people: what stands on them, in which order, and what never does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from selector.answers.sheets.helper import helper_sheet
from selector.answers.sheets.owner import owner_sheet
from selector.answers.sheets.sheet import PersonSheet, plain_text
from selector.answers.sheets.text import sheet_report
from selector.job.danger.house import hazards
from selector.job.file.read import job_from_text, load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of, table_of
from selector.job.visits.owed import unit_record
from selector.problems import Refused
from selector.published import shape

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUSE = """format: selector job 1
table: corvane-k14
place: 12 Hill Road
model: 080
motor: constant airflow
site: {plate static: 0.8 in. w.c., return air: 70 F, return wet bulb: 60 F}
outdoor unit: {capacity: 3 tons, stages: {first: 70 %, second: 100 %}}
heat: {kind: gas, input: 80 MBH, efficiency: 95 %, rise: 35 to 65 F}
"""


def helper(text: str) -> PersonSheet:
    house = house_of(job_from_text(text)[0])
    return helper_sheet(plan(house).solution, hazards(house, house.now))


def owner(text: str) -> PersonSheet:
    job, _ = job_from_text(text)
    return owner_sheet(unit_record(job, table_of(job)))


def acts(sheet: PersonSheet) -> list[str]:
    return [plain_text(step.do) for step in sheet.steps]


def lines(sheet: PersonSheet, title: str) -> tuple[str, ...]:
    return next(one.lines for one in sheet.sections if one.title == title)


def test_the_helper_does_one_act_a_step_in_the_order_of_the_work() -> None:
    """Cooling 3 x 400 = 1,200 cfm: SW1-4 and SW1-5 ON give 1,197.8; heating 76,000 / (1.08 x 50) = 1,407: SW1-1 OFF
    gives 1,350 + 6 % (page 23)."""
    sheet = helper(HOUSE + "as found: {SW1: 10000000}\n")
    assert sheet.first == ("Gas smell or CO alarm: everyone out. Call from outside.",)
    assert acts(sheet)[0].startswith("Take a picture")
    order = [
        "Power off at the disconnect",
        "Wait 5 minutes",
        "Find SW1",
        "Read it back aloud",
        "Power on",
        "every minute",
    ]
    places = [next(n for n, act in enumerate(acts(sheet)) if word in act) for word in order]
    assert places == sorted(places)
    assert acts(sheet)[3] == "Find SW1, eight switches. Move 1 to OFF and 4 and 5 to ON. Leave the others."
    assert acts(sheet)[4] == "Read it back aloud: 1 OFF, 2 OFF, 3 OFF, 4 ON, 5 ON, 6 OFF, 7 OFF."
    assert sheet.title == "Set the blower: three switches"


def test_the_moved_selector_is_drawn_once_with_where_it_was() -> None:
    sheet = helper(HOUSE + "as found: {SW1: 10000000}\n")
    drawn = [picture for step in sheet.steps for picture in step.pictures]
    assert [picture.name for picture in drawn] == ["SW1"]
    assert [line.label for line in drawn[0].changed] == ["1", "4", "5"]


def test_over_the_plate_at_any_time_the_heat_goes_off() -> None:
    heat = next(step for step in helper(HOUSE).steps if "heating second" in plain_text(step.do))
    assert heat.stop == (
        "Rise over 65 F at any time: heat off, stop and call.",
        "Rise under 35 F after 10 minutes: stop and call.",
    )
    assert [blank.name for blank in heat.blanks] == ["return", "supply", "rise"]
    assert "(W1 W2)" in plain_text(heat.do)
    assert heat.bars is not None
    assert heat.bars.bars[0].plate == (35, 65)


def test_static_is_read_in_the_call_with_the_plates_limit() -> None:
    steps = [step for step in helper(HOUSE).steps if "static" in plain_text(step.do)]
    assert [step.stop for step in steps] == [("Return and supply added, over 0.8 in. w.c.: stop and call.",)] * 2
    assert all("Drill no holes." in " ".join(step.more) for step in steps)


def test_what_is_left_is_measured_and_not_moved() -> None:
    sheet = helper(HOUSE + "as left: {SW1: 00011000}\n")
    assert sheet.title == "Measure the blower"
    assert not any("Move" in act for act in acts(sheet))
    assert "1 OFF, 2 OFF, 3 OFF, 4 ON, 5 ON, 6 OFF, 7 OFF" in sheet.steps[0].more[0]


@pytest.mark.parametrize("seen", ["gas smell", "limit trips", "flame moves"])
def test_under_a_danger_nobody_is_told_to_move_anything(seen: str) -> None:
    sheet = helper(HOUSE + f"as found: {{SW1: 10000000}}\nseen: {seen}\n")
    assert sheet.title == "Stop"
    assert sheet.first[0].startswith("DANGER")
    assert acts(sheet) == ["Touch no switch. Call before you do anything else."]
    assert sheet_report(sheet).exit_code == 1


def test_without_a_setting_there_is_no_sheet() -> None:
    job, _ = load_job(str(EXAMPLES / "jobs" / "not-nothing-fits.yaml"))
    house = house_of(job)
    with pytest.raises(Refused) as refused:
        helper_sheet(plan(house).solution, ())
    assert refused.value.problems[0].code == "no-setting"


def test_the_owner_reads_what_was_wrong_done_and_remains() -> None:
    """SW1-2 ON and SW1-4 ON give 1,520 cfm, + 6 % 1,611 (page 23); 450 x 3 = 1,350 at most."""
    sheet = owner(HOUSE + "as found: {SW1: 01011000}\nas left: {SW1: 00011000}\ndone: filter changed\n")
    assert "Cooling, second stage: too much air, 1,611 cfm; at most 1,350 is right." in lines(sheet, "What was wrong")
    assert lines(sheet, "What was done") == (
        "One switch on the control board moved, with the power off: SW1-2 to OFF.",
        "Filter changed.",
    )
    table = next(one for one in sheet.sections if one.rows)
    assert ("Cooling, second stage", "1,611", "1,198", "not yet", "900 to 1,350") in table.rows
    assert "Check the refrigerant: the cooling airflow was changed (when it's warm)" in lines(sheet, "What remains")


def test_an_open_danger_stands_first_on_the_owners_page() -> None:
    reading = "measurements:\n  - {call: heating second, minutes: 15, method: rise, rise: 70 F}\n"
    sheet = owner(HOUSE + "as left: {SW1: 10011000}\n" + reading)
    assert sheet.first[0].startswith("DANGER, heating second: rise 70.0 F, 5.0 F over the plate's 65 F")
    assert sheet.first[1] == "Leave it off until it is put right."


def test_the_owner_is_told_of_a_switch_that_somebody_moved() -> None:
    job, _ = load_job(str(EXAMPLES / "visits" / "gas-over-three-visits.yaml"))
    sheet = owner_sheet(unit_record(job, table_of(job)))
    assert "Since our last visit somebody had moved SW1-6." in lines(sheet, "What was wrong")
    assert sheet.signed[:2] == (("date", "2028-01-12"), ("by", "J. L."))


def test_the_owner_is_not_told_of_a_board_nobody_set() -> None:
    with pytest.raises(Refused):
        owner(HOUSE)


JOBS = sorted(EXAMPLES.glob("[jr][oe]*s/*.yaml"))
FITS = [path for path in JOBS if not path.stem.startswith("not-")]


def keeps_its_shape(sheet: PersonSheet) -> None:
    report = sheet_report(sheet)
    assert all(len(line) <= 80 for line in report.lines)
    Draft202012Validator(shape("sheet")).validate(json.loads(json.dumps(report.data)))


@pytest.mark.parametrize("path", FITS, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_every_example_gives_a_sheet_for_the_helper(path: Path) -> None:
    house = house_of(load_job(str(path))[0])
    keeps_its_shape(helper_sheet(plan(house).solution, hazards(house, house.now)))


@pytest.mark.parametrize(
    "path", [p for p in JOBS if "\nas " in p.read_text()], ids=lambda p: f"{p.parent.name}-{p.stem}"
)
def test_every_example_with_marks_gives_a_page_for_the_owner(path: Path) -> None:
    job, _ = load_job(str(path))
    keeps_its_shape(owner_sheet(unit_record(job, table_of(job))))


def test_the_limit_of_static_stands_in_the_unit_that_is_read() -> None:
    """200 Pa / 249.08891 = 0.803 in. w.c. (NIST SP 811)."""
    steps = [step for step in helper(HOUSE.replace("0.8 in. w.c.", "200 Pa")).steps if "static" in plain_text(step.do)]
    assert steps[0].stop == ("Return and supply added, over 0.80 in. w.c.: stop and call.",)


def test_an_entry_at_the_thermostat_is_set_once_the_power_is_on() -> None:
    """Quillhaven: plugs and links on the board, N1 to N4 at the thermostat (tables/quillhaven-p.md)."""
    sheet = helper("format: selector job 1\ntable: quillhaven-p\noutdoor unit: {capacity: 3 tons}\n")
    power = next(n for n, act in enumerate(acts(sheet)) if "Power on" in act)
    assert [n > power for n, act in enumerate(acts(sheet)) if "at the thermostat" in act] == [True]
    assert not any("N2" in act for act in acts(sheet)[:power])


def test_the_helper_stops_at_the_rise_and_the_static_of_what_is_set() -> None:
    """Tarnwick, plug A: rise 30 to 60 F, airflows up to 0.8 in. w.c. (pages 11, 12); RED on 3 at 0.5: 1,040 cfm,
    48,000 / (1.08 x 1,040) = 42.7 F."""
    marks = "as left: {M1-RED: 3, M1-BLU: 2, M1-YEL: 1, J1: A, LK1: in, P1: A, SW1: 00}\n"
    head = "format: selector job 1\ntable: tarnwick-g\nmodel: G60\nsite: {static pressure: 0.5 in. w.c.}\n"
    heat, static, *_ = (step for step in helper(head + marks).steps if "eating high" in plain_text(step.do))
    assert heat.more == ("Rise is supply less return: about 42.7 F.",)
    assert heat.stop[0] == "Rise over 60 F at any time: heat off, stop and call."
    assert static.stop == ("Return and supply added, over 0.8 in. w.c.: stop and call.",)


def test_the_helper_stops_strip_heat_that_has_too_little_air() -> None:
    """Page 7: heater 10, 9.6 kW on 1,010 cfm: 9.6 x 3,412.14 / (1.08 x 1,010) = 30.0 F; on 4 % less, what volts, amps
    and rise may be off, 31.3 F."""
    head = "format: selector job 1\ntable: quillhaven-p\noutdoor unit: {capacity: 3 tons}\nheat: {heater: 10 kW}\n"
    step = next(step for step in helper(head).steps if "heater alone" in plain_text(step.do))
    assert step.stop == ("Rise over 31 F at any time, too little air: heater breakers off, stop and call.",)
    assert step.more == (
        "Rise is supply less return: about 30.0 F.",
        "Volts and amps of every heater circuit: a qualified person.",
    )
    assert [blank.name for blank in step.blanks] == ["return", "supply", "rise", "volts", "amps"]


def test_the_owner_reads_no_figure_where_no_airflow_is_right() -> None:
    # 430 L/s = 911 cfm at 150 Pa, 832 at the plate's 125: less than the 930 of the heater of 10, than 300 x 2.99 tons
    # in cooling, than 325 x 2.99 in heating
    sheet = owner("""format: selector job 1
table: saltmarsh-12
site: {plate static: 125 Pa}
outdoor unit: {capacity: 10.5 kW}
heat: {kind: heat pump + auxiliary, heater: 10 kW}
as found: {J1: 3, J2: b, J3: 1, J4: 10, J5: 1, LK1: whole}
measurements:
- {call: cooling, minutes: 20, method: hood, airflow: 430 L/s, static pressure: 150 Pa}
""")
    right = {row[0]: row[-1] for one in sheet.sections for row in one.rows}
    assert right["Cooling"] == right["Heater alone"] == "not possible"
