"""Dangers of whole jobs: the first sentence of each, its figures by hand. Common practice, no source, but for the pages
of the tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.answers.danger import first_lines, sentence
from selector.answers.remarks.danger_words import FIRST, STEPS
from selector.job.danger.hazard import Hazard, stops
from selector.job.danger.house import hazards, hazards_of_board
from selector.job.observed.danger_table import shared_tap
from selector.problems import Refused
from tests.helpers.judging import house

GAS = """table: corvane-k14
model: 080
site: {plate static: 0.8 in. w.c.}
heat: {kind: gas, outlet limit: 170 F, least return: 55 F}
as left: {SW1: 00000000}
"""
AIR_HANDLER = """table: saltmarsh-12
heat: {kind: electric, heater: 15 kW}
"""


def found(text: str) -> tuple[Hazard, ...]:
    one = house(text)
    return hazards(one, one.now)


def said(text: str) -> list[str]:
    one = house(text)
    return [sentence(hazard, one.table) for hazard in hazards(one, one.now)]


@pytest.mark.parametrize(
    ("seen", "first"),
    [
        ("gas smell", "DANGER: gas or CO. Everyone out."),
        ("CO alarm", "DANGER: gas or CO. Everyone out."),
        ("flue CO 620 ppm, limit 400 ppm", "DANGER: flue CO 620 ppm, 220 ppm over the maker's limit of 400 ppm."),
        ("flame moves", "DANGER: suspect the heat exchanger. Shut it off."),
        ("blue flame goes yellow when fan starts", "DANGER: suspect the heat exchanger. Shut it off."),
        ("flue blocked", "DANGER: flue gas spills. Shut it off."),
        ("breaker hot", "DANGER: "),
        ("roll-out tripped", "DANGER: suspect the heat exchanger. Shut it off."),
        ("limit jumpered", "DANGER: the limit is tripping. Heat off."),
        ("two speeds energized", "DANGER: two speeds energized. Power off."),
        ("still live 121 V", "DANGER: still live. Hands out."),
        ("spillage", "DANGER: flue gas spills. Shut it off."),
        ("iced coil", "WARNING: the coil is iced: readings on ice mean nothing."),
    ],
)
def test_what_was_seen_is_said_first(seen: str, first: str) -> None:
    assert said(f"{GAS}seen: {seen}\n")[0].startswith(first)


def reading(words: str, head: str = GAS) -> list[str]:
    return said(f"{head}measurements:\n- {{call: heating second, minutes: 12, method: rise, {words}}}\n")


def test_rise_over_the_plate() -> None:
    # 139 - 70 = 69; plate 35 to 65 F (page 23)
    assert reading("return air: 70 F, supply air: 139 F") == [
        "DANGER, heating second: rise 69.0 F, 4.0 F over the plate's 65 F: can overheat the heat exchanger."
    ]


def test_a_rise_over_the_plate_stops_the_work_however_early_it_was_read() -> None:
    text = f"{GAS}measurements:\n- {{call: heating second, minutes: 2, method: rise, rise: 66 F}}\n"
    assert said(text)[0].startswith("DANGER, heating second: rise 66.0 F, 1.0 F over the plate's 65 F")


def test_a_hair_over_the_plate_shows_by_how_much() -> None:
    # 65.02 rounds to 65.0, which would hide it
    assert "0.02 F over the plate's 65 F" in reading("rise: 65.02 F")[0]


def test_at_the_plates_rise_nothing_is_said() -> None:
    assert reading("rise: 65 F") == []


PLUGS = """table: tarnwick-g
model: G60
site: {static pressure: 0.5 in. w.c.}
as left: {M1-RED: 2, M1-BLU: 3, M1-YEL: 1, J1: A, LK1: in, P1: PLUG, SW1: 00}
"""


def test_a_rise_by_the_chart_is_held_against_the_plug_that_is_set() -> None:
    """Tap 2 at 0.5: 840 cfm, low 66 %: 554.4. Plug A: 36,000 / (1.08 x 554.4) = 60.13 F over 60; high 48,000 /
    (1.08 x 840) = 52.9. Plug B: 43,200 / 598.75 = 72.15 over 65; high 60,000 / 907.2 = 66.14 over 65 (pages 11, 12)."""

    def charted(plug: str) -> list[str]:
        one = house(PLUGS.replace("PLUG", plug))
        return [sentence(hazard, one.table) for hazard in hazards_of_board(one, one.now)]

    over = "F over the manual's {}: can overheat the heat exchanger (by the chart)."
    assert charted("A") == [f"DANGER, heating low: rise 60.1 F, 0.1 {over.format('60 F')}"]
    assert charted("B") == [
        f"DANGER, heating low: rise 72.2 F, 7.2 {over.format('65 F')}",
        f"DANGER, heating high: rise 66.1 F, 1.1 {over.format('65 F')}",
    ]


def test_outlet_over_its_limit_with_the_rise_inside() -> None:
    # 178 - 122 = 56, inside 35 to 65; 178 - 170 = 8
    (only,) = reading("return air: 122 F, supply air: 178 F")
    assert only == "DANGER, heating second: supply 178 F, 8 F over the plate's 170 F."


def test_rise_under_the_plate_and_cold_return_are_warnings() -> None:
    # 82 - 50 = 32, 3 under 35; 55 - 50 = 5
    assert reading("return air: 50 F, supply air: 82 F") == [
        "WARNING, heating second: rise 32.0 F, 3.0 F under the plate's 35 F: flue gas can condense in the heat"
        " exchanger or the vent.",
        "WARNING, heating second: return air 50 F, 5 F under the plate's 55 F.",
    ]


def test_an_early_reading_says_nothing_of_a_low_rise() -> None:
    assert said(f"{GAS}measurements:\n- {{call: heating second, minutes: 4, method: rise, rise: 30 F}}\n") == []


def test_clocked_input_over_the_plate() -> None:
    # 2 ft3 in 82 s at 1,037 Btu/ft3: 3,600 x 2 / 82 x 1,037 = 91,053.7 Btu/h; plate 80,000
    (only,) = said(
        f"{GAS}measurements:\n- {{call: heating second, minutes: 12, method: clocked gas, volume: 2 ft3, time: 82 s,"
        " heat of gas: 1037 Btu/ft3}\n"
    )
    assert only == "DANGER, heating second: input 91,054 Btu/h, 11,054 Btu/h over the plate's 80,000 Btu/h."


def test_what_the_meter_itself_may_be_off_is_no_danger() -> None:
    # 2 ft3 in 92 s: 81,156.5 Btu/h, 1.4 % over
    text = f"{GAS}measurements:\n- {{call: heating second, minutes: 12, method: clocked gas, volume: 2 ft3, time: 92 s,"
    assert said(text + " heat of gas: 1037 Btu/ft3}\n") == []


def test_static_over_the_plate_is_a_warning() -> None:
    (only,) = reading("rise: 50 F, static pressure: 0.92 in. w.c.")
    assert only == "WARNING, heating second: static 0.92 in. w.c., 0.12 in. w.c. over the plate's 0.8 in. w.c."


def test_strip_heat_under_its_least_air() -> None:
    # page 9: heat pump and heater together at least 1,000 with 15 kW; 1,000 - 800 = 200
    marks = "as left: {J1: 2, J2: b, J3: 1, J4: 15, J5: 1, LK1: whole}\n"
    text = AIR_HANDLER + marks + "measurements:\n- {call: heat pump with heater, minutes: 20, method: flow plate,"
    assert said(text + " airflow: 800 cfm}\n") == [
        "DANGER, heat pump with heater: 15 kW on 800 cfm; minimum 1,000 cfm, 200 cfm under."
    ]
    assert said(text + " airflow: 1005 cfm}\n") == []


def test_a_board_set_for_a_smaller_heater() -> None:
    marks = "as found: {J1: 2, J2: a, J3: 1, J4: 8, J5: 1, LK1: whole}\n"
    assert said(AIR_HANDLER + marks)[0] == "DANGER: J4 is set for 8 kW; 15 kW installed."
    assert said(AIR_HANDLER.replace("15 kW", "5 kW") + marks) == []


def test_the_step_names_the_move_and_the_static_it_brings() -> None:
    """Saltmarsh page 9: J4 5 is 620 cfm, 10 is 930. (930 / 620)^2 = 2.25; 0.30 in. w.c. then takes 0.675, over 0.5.
    The square law of fixed ducts: trade."""
    board = "table: saltmarsh-12\nheat: {kind: electric, heater: 10 kW}\nsite: {plate static: 0.5 in. w.c.}\n"
    marks = "as found: {J1: 3, J2: b, J3: 1, J4: 5, J5: 1, LK1: whole}\n"
    static = "measurements:\n- {call: heater alone, minutes: 8, method: static, static pressure: PRESSURE}\n"

    def steps(more: str) -> list[str]:
        one = house(board + marks + more)
        return first_lines(hazards(one, one.known.found), one.table)[1:3]

    raised = "  J4 5 -> 10: heater alone 620 to 930 cfm takes 2.25 times the static"
    assert steps("") == [
        "  Heater breakers off. Set J4 5 -> 10 for the heater that is there. Prove the blower before heat.",
        f"{raised}. Measure it.",
    ]
    assert (
        steps(static.replace("PRESSURE", "0.30 in. w.c."))[1] == f"{raised}, 0.68 in. w.c., over its 0.50. Measure it."
    )
    assert (
        steps(static.replace("PRESSURE", "0.20 in. w.c."))[1]
        == f"{raised}, 0.45 in. w.c., inside its 0.50. Measure it."
    )


def test_dangers_come_before_warnings_and_what_was_read_before_what_the_board_is_set_for() -> None:
    marks = "as left: {J1: 2, J2: a, J3: 1, J4: 8, J5: 1, LK1: whole}\nsite: {plate static: 0.5 in. w.c.}\n"
    text = AIR_HANDLER + marks + "seen: limit trips\nmeasurements:\n- {call: heat pump, minutes: 20, method: static,"
    assert [one.what for one in found(text + " static pressure: 0.6 in. w.c.}\n")] == [
        "limit",
        "smaller heater",
        "static over",
    ]


def test_what_was_seen_is_quoted() -> None:
    text = f"{GAS}seen: the flame moves when the blower starts\n"
    lines = first_lines(found(text), house(GAS).table)
    assert lines[:2] == [
        "DANGER: suspect the heat exchanger. Shut it off.",
        "  Seen: the flame moves when the blower starts",
    ]


def test_a_complaint_is_said_as_one_until_a_later_visit_puts_it_right() -> None:
    job = f"{GAS}complaint: iced coil, humid\n"
    assert first_lines(found(job), house(GAS).table)[:2] == [
        "WARNING: the coil is iced: readings on ice mean nothing.",
        "  Complaint: iced coil, humid",
    ]
    later = job + "visits:\n- date: 2026-12-02\n  cleared: CLEARED\n"
    thawed = house(later.replace("CLEARED", "coil freezes"))
    assert hazards(thawed, thawed.now) == ()
    assert thawed.eased.row is not None
    assert thawed.eased.row.names == ("humid",)
    dry = house(later.replace("CLEARED", "humid"))
    assert [one.what for one in hazards(dry, dry.now)] == ["iced coil"]
    assert house(later.replace("CLEARED", "iced coil, musty")).eased.row is None


def test_beside_gas_nothing_else_is_answered() -> None:
    hazardous = found(
        GAS + "seen: gas smell\nmeasurements:\n- {call: heating second, minutes: 12, method: rise, rise: 58 F}\n"
    )
    assert stops(hazardous)
    lines = first_lines(hazardous, house(GAS).table)
    assert lines[0] == "DANGER: gas or CO. Everyone out."
    assert "Touch no switch" in lines[2]
    assert "from outside" in lines[2]
    assert lines[-1] == "Nothing else is worked out until that is put right."


def test_a_danger_in_the_notes_is_said_and_a_complaint_that_is_none_leads_to_seen() -> None:
    assert said(GAS + "notes: CO alarm in the hall is sounding, 45 ppm in the room\n")[0].startswith(
        "DANGER: gas or CO. Everyone out."
    )
    assert not said(GAS + "notes: the limit switch is new, filter changed\n")
    with pytest.raises(Refused) as refused:
        house(GAS + "complaint: CO alarm\n")
    assert [p.help for p in refused.value.problems] == ["Type it as seen: seen=CO alarm"]


def test_leads_on_one_tap_are_said_with_what_to_do() -> None:
    """The Wickerby page: two leads never share a tap."""
    text = "table: wickerby-5\nas found: {M1-Y1: 2, M1-Y2: 4, M1-W: 4, M1-G: 1}\n"
    (danger,) = found(text)
    assert said(text) == ["DANGER: M1-W and M1-Y2 share tap 4: one call can back-feed the other."]
    assert STEPS[danger.what] == ("Power off, prove it dead. One speed a call, by the diagram. Replace what was hit.",)


def test_what_shared_taps_do_depends_on_the_motor() -> None:
    """24 V taps of a constant-torque motor back-feed; two line taps energized burn the winding (common practice)."""
    assert "winding" not in FIRST[shared_tap("constant torque").what]
    assert all("winding" in FIRST[shared_tap(motor).what] for motor in ("", "fixed speed"))


@pytest.mark.parametrize("kw", ["", " kW"])
def test_a_smaller_heater_is_a_danger_however_the_page_says_its_power(kw: str, tmp_path: Path) -> None:
    """By hand: position 2 is 8 kW and position 4 is 15 kW."""
    page = tmp_path / "page.yaml"
    page.write_text(
        "format: selector table 1\nunit: {title: T}\nboard:\n"
        f"  J3: {{kind: jumper, positions: 2 4, factory: 2, declares: heater, says: {{2: 8{kw}, 4: 15{kw}}}}}\n"
        "charts:\n  a: {set: J3, gives: airflow, rows: 2 700; 4 900}\n"
        "calls:\n  heater: {terminals: W, airflow: a}\n",
        encoding="utf-8",
    )
    marks = f"table: {page}\nfacts: {{heater: 15{kw}}}\nas found: {{J3: 2}}\n"
    assert said(marks)[0] == "DANGER: J3 is set for 8 kW; 15 kW installed."
    assert said(marks.replace("J3: 2", "J3: 4")) == []


def test_every_danger_is_said_before_what_to_do_about_the_first() -> None:
    # Corvane 080: rise 69 over the plate's 65, static 0.9 over 0.8
    one = house(
        f"{GAS}measurements:\n- {{call: heating second, minutes: 12, method: rise, rise: 69 F}}\n"
        "- {call: heating second, minutes: 12, method: static, static pressure: 0.9 in. w.c.}\n"
    )
    lines = first_lines(hazards(one, one.now), one.table)
    assert [line.split(":")[0] for line in lines[:2]] == ["DANGER, heating second", "WARNING, heating second"]
    assert all(line.startswith("  ") for line in lines[2:-1])
    assert len(lines) > 4


@pytest.mark.parametrize(
    ("heater", "says"),
    [
        ("15 kW", ["DANGER: J4 can't be read: set for less than the 15 kW installed, the heater overheats."]),
        ("5 kW", ["DANGER: J4 can't be read: set for less than the 5 kW installed, the heater overheats."]),
    ],
)
def test_a_selector_for_the_heater_that_nobody_can_read(heater: str, says: list[str]) -> None:
    """J4 may stand on none, 5, 8, 10 or 15: one is less in both cases. A board nobody looked at is none."""
    text = AIR_HANDLER.replace("15 kW", heater)
    assert said(f"{text}as found: {{J1: 2, J2: a, J3: 1, J4: unread, J5: 1, LK1: whole}}\n") == says
    assert said(text) == []


def test_what_to_do_until_the_heater_selector_is_read() -> None:
    text = f"{AIR_HANDLER}as found: {{J1: 2, J2: a, J3: 1, J4: unread, J5: 1, LK1: whole}}\n"
    assert first_lines(found(text), house(text).table)[1] == "  Heater breakers off until it is read."


@pytest.mark.parametrize(
    ("seen", "first"),
    [
        ("limit jumpered", "DANGER: the limit is tripping. Heat off."),
        ("limit trips at night", "DANGER: the limit is tripping. Heat off."),
        ("both speeds live", "DANGER: two speeds energized. Power off."),
        ("121 V on the heating spade, no heat call", "DANGER: two speeds energized. Power off."),
        ("mirror fogs at the draft hood", "DANGER: flue gas spills. Shut it off."),
        ("motor hums hot", "DANGER: something burns or has burnt. Power off."),
    ],
)
def test_what_is_seen_in_a_technician_s_words(seen: str, first: str) -> None:
    """Each is one of the trade's first sentences (common practice, no source)."""
    assert said(f"{GAS}seen: {seen}\n")[0] == first
