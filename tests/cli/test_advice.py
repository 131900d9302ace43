"""What no answer may say: each case typed as a person would, in one process; what it has to say worked by hand.

Corvane 080, pages 23 and 24: all OFF cooling second 1,380, heating second 1,350 cfm; plate 80,000 Btu/h x 95 % =
76,000 Btu/h, rise 35 to 65 F. Brindlemoor S100, page 31: holds up to 0.8 in. w.c. 1.08 Btu/(h cfm F), 400 cfm/ton
usual, 300 to 450 allowed: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from selector.cli.main import run

CORVANE = ("corvane-k14", "model=080", "tons=3", "stages=70 %")
BRINDLEMOOR = ("brindlemoor-16s", "model=S100", "tons=4", "stages=70 %")
Ask = Callable[..., tuple[int, str]]
BRINDLEMOOR_FOUND = ("found SW1=0000000000010000", "found SW2=open open open open")
SALTMARSH = "J1=4 J2=a J3=1 J4=15 J5=1 LK1=whole"


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """The program, asked: its exit code, and what it says as one line."""

    def asked(*words: str) -> tuple[int, str]:
        code = run(words)
        done = capsys.readouterr()
        return code, " ".join((done.out + done.err).split())

    return asked


def named(prefix: str, marks: str) -> tuple[str, ...]:
    """Marks as facts of a job."""
    return tuple(f"{prefix} {one}" for one in marks.split())


# -- static beyond what unit, chart or plate are held to


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("find", "brindlemoor-16s", "cooling=1400", "--model", "S100", "--static", "0.9"), "Nothing fits."),
        (("decode", "brindlemoor-16s", "SW1=0000000000010000", "--model", "S100", "--static", "0.9"), "static 0.9"),
        (("plan", *BRINDLEMOOR, "static=0.9 in. w.c."), "Nothing fits. Static 0.9 in. w.c."),
        (("found", *BRINDLEMOOR, "static=0.9 in. w.c.", *BRINDLEMOOR_FOUND), "Nothing fits. Static 0.9 in. w.c."),
    ],
)
def test_static_over_the_manuals_is_a_broken_limit(ask: Ask, words: tuple[str, ...], said: str) -> None:
    """0.9 - 0.8 = 0.1 in. w.c. over, in the unit of static, and nothing is proposed."""
    code, text = ask(*words)
    assert code == 1
    assert said in text
    assert "0.1 in. w.c. over the manual's 0.8 in. w.c." in text
    assert " cfm over the manual's" not in text
    assert "w.c.. " not in text
    assert "Set SW1" not in text


def test_static_over_the_plates_that_is_typed_moves_nothing(ask: Ask) -> None:
    """The plate allows 0.5, 0.7 is typed: 0.2 over. Measured elsewhere at 0.3, that reading counts and what was
    expected gives way."""
    facts = ("plate static=0.5 in. w.c.", "static=0.7 in. w.c.", "found SW1=00000000")
    for command in ("plan", "found"):
        code, text = ask(command, *CORVANE, *facts)
        assert code == 1
        assert "static 0.7 in. w.c., 0.2 in. w.c. over the plate's 0.5 in. w.c." in text.replace("Static", "static")
        assert "brings" not in text
        assert "Fits by the chart" not in text
    code, text = ask("plan", *CORVANE, *facts, "measured=cooling second static=0.3 in. w.c. minutes=20")
    assert code == 0
    assert "0.7 in. w.c." not in text


def test_a_reading_at_a_static_the_chart_does_not_hold_to_may_fit_at_most(ask: Ask) -> None:
    """1,600 cfm printed, 1,600 read: the same figure, but at 0.9 where the page holds to 0.8."""
    words = (*BRINDLEMOOR_FOUND, "heat input=100 MBH", "--tables", "brindlemoor-16s")
    code, text = ask("identify", "measured=cooling second hood=1600 cfm static=0.9 in. w.c. minutes=20", *words)
    assert code == 1
    assert text.startswith("may fit: brindlemoor-16s, model S100")
    assert "static 0.9 in. w.c. is over the 0.8 in. w.c. that its chart holds to" in text
    code, text = ask("identify", "measured=cooling second hood=1600 cfm static=0.7 in. w.c. minutes=20", *words)
    assert code == 0
    assert text.startswith("fits: brindlemoor-16s, model S100")


LIMITS = """format: selector table 1
unit: {title: Gas unit, maker: Test}
units: {airflow: cfm, temperature: F}
ratings: {heat input: 80000, efficiency: 95 %, temperature rise: 35 to 65, outlet limit: 150}
board:
  SW1: {kind: switches, count: 2, factory: all off}
charts:
  cooling airflow: {page: 4, set: SW1-1, gives: airflow, rows: OFF 1000; ON 1200}
  heating airflow: {page: 5, set: SW1-2, gives: airflow, rows: OFF 1100; ON 1300}
calls:
  cooling: {terminals: Y1, airflow: cooling airflow}
  heating: {terminals: W1, airflow: heating airflow}
"""


def test_the_tables_outlet_limit_is_judged_with_the_return_air_typed(ask: Ask, tmp_path: Path) -> None:
    """76,000 / (1.08 x 1,100) = 64.0 F: from 90 F of return 154 F, over 150; 1,300 gives 54.1 F, 144 F. The least is
    76,000 / (1.08 x 60) = 1,173 cfm."""
    table = tmp_path / "limits.yaml"
    table.write_text(LIMITS, encoding="utf-8")
    code, text = ask("found", str(table), "tons=3", "return air=90 F", "found SW1=10")
    assert code == 1
    assert text.startswith("DANGER, heating: supply 154 F, 4 F over the plate's 150 F (by the chart).")
    assert "SW1-2 ON brings it inside" in text
    assert "heating 1,173 to 2,011 cfm 1,100 cfm, 73 below" in text
    assert "return air is not given" not in text


def test_find_and_decode_take_the_return_air_that_the_outlet_limit_needs(ask: Ask, tmp_path: Path) -> None:
    """64.0 F over 90 F are 154 F, 4 over 150; 54.1 F are 144 F."""
    table = tmp_path / "limits.yaml"
    table.write_text(LIMITS, encoding="utf-8")
    code, text = ask("decode", str(table), "SW1=10", "--fact", "return air=90 F")
    assert code == 1
    assert "DANGER, heating: supply 154 F, 4 F over the plate's 150 F" in text
    code, text = ask("find", str(table), "cooling=1200", "--fact", "return air=90 F", "--first", "1")
    assert code == 0
    assert "type as SW1=11" in text
    code, text = ask("find", str(table), "cooling=1200", "--first", "1")
    assert 'return air is not given: add --fact "return air=.."' in text


# -- notes reach every answer, beside a refusal too

NOTES = """format: selector table 1
unit: {title: Air handler, maker: Test, note: of the unit, models: 24 36}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 2, factory: all off}
  J1: {kind: jumper, positions: 1 2, factory: 1, note: of the jumper}
charts:
  cooling airflow:
    page: 4
    note: of the chart
    set: SW1-1 SW1-2
    across: {model: 24 36}
    gives: airflow
    notes: |
      *  of the figure
    rows: |
      00 1000 1100
      10 1200 * 1300 (of the row)
      01 1400 1500
      11 do not use (of the refused row)
  trims: {page: 5, set: J1, gives: trim, rows: 1 none; 2 +5 %}
calls:
  cooling: {terminals: Y1, airflow: [cooling airflow, trims], note: of the call}
"""
EVERY = ("of the unit", "of the call", "of the chart", "of the row", "of the figure", "of the jumper")


@pytest.mark.parametrize("marks", ["10", "1?", "11"])
def test_every_note_reaches_every_answer(ask: Ask, tmp_path: Path, marks: str) -> None:
    table = tmp_path / "notes.yaml"
    table.write_text(NOTES, encoding="utf-8")
    own = [note for note in EVERY if marks != "11" or note not in ("of the row", "of the figure")]
    own += ["of the refused row"] if marks != "10" else []
    decoded = ask("decode", str(table), f"SW1={marks} J1=1", "--model", "24")[1]
    found = ask("found", str(table), "model=24", "tons=3", f"found SW1={marks}", "found J1=1")[1]
    for note in own:
        assert note in decoded, note
        assert note in found, note
    if marks == "10":
        read = "measured=cooling hood=1180 cfm minutes=20"
        for text in (
            ask("verify", str(table), "model=24", "tons=3", "left SW1=10", "left J1=1", read)[1],
            ask("find", str(table), "cooling=1200", "--model", "24", "--first", "1")[1],
            ask("plan", str(table), "model=24", "tons=3")[1],
        ):
            assert [note for note in EVERY if note not in text] == []


# -- rows the page refuses, in charts of heat, limits and delays

REFUSED = """format: selector table 1
unit: {title: Oil furnace, maker: Test, models: 24 36}
units: {airflow: cfm, temperature: F}
ratings:
  heat per gallon: 140000
  efficiency: 85 %
  temperature rise: 50 to 75
  nozzle pressure: 100 psi
  pump pressure: 100 psi
board:
  SW1: {kind: switches, count: 2, factory: all off}
  J1: {kind: jumper, positions: 1 2, factory: 1}
  J2: {kind: jumper, positions: A B, factory: A}
charts:
  nozzles: {page: 4, set: J1, across: {model: 24 36}, gives: nozzle rate, rows: 1 0.65 0.75; 2 0.75 -}
  heating airflow: {page: 4, set: SW1-1, gives: airflow, rows: OFF 1100; ON 1300}
  greatest: {page: 5, set: J2, gives: most airflow, rows: A 1600; B do not use}
  after heating: {page: 5, set: SW1-2, gives: seconds, rows: OFF 60; ON not used}
calls:
  cooling: {terminals: Y1, airflow: [airflow: 1200, at most: greatest]}
  heating: {terminals: W1, heat: nozzles, airflow: heating airflow, off delay: after heating}
"""


def test_a_row_the_page_refuses_is_refused_in_every_chart(ask: Ask, tmp_path: Path) -> None:
    """0.75 gph x 140,000 x 85 % = 89,250 Btu/h: 1,100 cfm makes 75.1 F, over 75; 1,300 makes 63.6 F. So J1 off the
    blank, J2 off `do not use`, SW1-2 off `not used`, and SW1-1 for the rise: four moves."""
    table = tmp_path / "refused.yaml"
    table.write_text(REFUSED, encoding="utf-8")
    code, text = ask("decode", str(table), "SW1=00 J1=2 J2=B", "--model", "36")
    assert code == 1
    assert "cooling: not usable (page 5, `greatest`: do not use)" in text
    assert "heating: outside the chart (`nozzles` prints no figure here)" in text
    code, text = ask("found", str(table), "model=36", "tons=3", "found SW1=01", "found J1=2", "found J2=B")
    assert code == 1
    assert "SW1-1 ON, SW1-2 OFF, J1 1 and J2 A bring them inside" in text
    assert "heating 1,102 to 1,653 cfm not usable 1,300 cfm, OK" in text
    code, text = ask("find", str(table), "heating=1100", "--model", "36", "--found", "SW1=01 J1=2 J2=B", "--first", "1")
    assert code == 0
    assert "heating 1,300 cfm rise 63.6 F target 1,100, 18.2 % high" in text


# -- a call that does not run is no fault


@pytest.mark.parametrize(
    "words",
    [
        ("garrowby-r", "tons=3", *named("found", "SW1=01000000 D1=2 J1=A J2=1")),
        ("tarnwick-d", "model=36", "tons=3", *named("found", "D1=0 D2=3 J3=1 J4=none J5=fixed SW1=00")),
        ("hollinsby-t", "tons=3", "stages=70 %", *named("found", "SW1=110000 J1=2 J2=C LK1=whole")),
    ],
)
def test_a_call_that_does_not_run_moves_nothing(ask: Ask, words: tuple[str, ...]) -> None:
    """3 tons x 400 = 1,200 cfm: 1,200, 1,200 and 1,130 cfm as found are inside 900 to 1,350."""
    code, text = ask("found", *words)
    assert code == 0
    assert text.startswith("OK: as set, within")
    assert "Change nothing." in text


# -- not given, not known, contradictions


@pytest.mark.parametrize("command", ["found", "plan", "verify", "decode", "find"])
def test_equipment_a_jumper_contradicts_is_said_before_any_airflow(ask: Ask, command: str) -> None:
    """J4 tells 15 kW, 10 kW is installed."""
    job = ("saltmarsh-12", "tons=3", "heater=10 kW")
    words = {
        "found": (*job, *named("found", SALTMARSH)),
        "plan": (*job, *named("found", SALTMARSH)),
        "verify": (*job, *named("left", SALTMARSH), "measured=cooling hood=1210 cfm minutes=20"),
        "decode": ("saltmarsh-12", SALTMARSH, "--fact", "heater=10"),
        "find": ("saltmarsh-12", "cooling=1200", "--fact", "heater=10", "--found", SALTMARSH),
    }
    code, text = ask(command, *words[command])
    said = "J4 is set for 15 kW; 10 kW installed."
    assert said in text
    assert " cfm" not in text[: text.index(said)]
    assert "OK" not in text[: text.index(said)]
    assert code == (0 if command == "find" else 1)


def test_a_heater_alone_that_is_told_wrong_is_set_not_brought_inside(ask: Ask) -> None:
    _, text = ask("found", "saltmarsh-12", "tons=3", "heater=10 kW", *named("found", SALTMARSH))
    assert "Set J4 10 to match the equipment." in text


@pytest.mark.parametrize("marks", ["00000000", "?0000000"])
def test_nothing_is_ok_where_nothing_could_be_checked(ask: Ask, marks: str) -> None:
    _, text = ask("found", "corvane-k14", f"found SW1={marks}")
    assert text.startswith("No verdict: model is not given. Add model=060, 080 or 110.")
    assert "OK" not in text
    assert "Change nothing" not in text
    assert "doesn't matter" not in text


def test_what_is_missing_is_named_with_what_to_type(ask: Ask) -> None:
    _, text = ask("found", "corvane-k14", "model=080", "tons=3", "found SW1=00011000")
    assert "cooling first: airflow per ton not checked: add stages=.. (from the outdoor unit)" in text
    _, text = ask("found", "corvane-k14", "model=080", "found SW1=00011000")
    assert "within the limits that could be checked" in text
    assert "airflow per ton not checked: add tons=.. (from the outdoor unit)" in text


LEAVE = """format: selector table 1
unit: {title: Air handler, maker: Test}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 2, factory: all off}
  SW1-2: {kind: switch, leave at: on}
charts:
  cooling airflow: {page: 4, set: SW1-1, gives: airflow, rows: OFF 1000; ON 1200}
  after cooling: {page: 4, set: SW1-2, gives: seconds, rows: OFF 30; ON 60}
calls:
  cooling: {terminals: Y1, airflow: cooling airflow, off delay: after cooling}
"""


@pytest.mark.parametrize("command", ["decode", "found", "plan", "find", "verify"])
def test_a_selector_not_left_as_the_page_says_is_said(ask: Ask, tmp_path: Path, command: str) -> None:
    table = tmp_path / "leave.yaml"
    table.write_text(LEAVE, encoding="utf-8")
    words = {
        "decode": ("SW1=10",),
        "found": ("tons=3", "found SW1=10"),
        "plan": ("tons=3", "found SW1=10"),
        "find": ("cooling=1200", "--found", "SW1=10"),
        "verify": ("tons=3", "left SW1=10", "measured=cooling hood=1200 cfm minutes=20"),
    }
    _, text = ask(command, str(table), *words[command])
    assert "SW1-2 is OFF; the manual says to leave it ON." in text
    if command == "found":
        assert "Change nothing" not in text


# -- heat: derates, clocking first

OWN_HEAT = """format: selector table 1
unit: {title: Gas unit, maker: Test}
units: {airflow: cfm, temperature: F}
ratings: {efficiency: 82 %, temperature rise: 35 to 65}
board:
  SW1: {kind: switches, count: 2, factory: all off}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  inputs: {page: 3, set: J1, gives: heat input, rows: A 90250; B 110000}
  rises: {page: 3, set: SW1-1 SW1-2, gives: temperature rise, rows: 00 50; 10 45; 01 55; 11 60}
calls:
  heating: {terminals: W1, heat: inputs, airflow: rises}
"""


def test_a_derate_counts_where_the_call_has_heat_of_its_own(ask: Ask, tmp_path: Path) -> None:
    """90,250 x 82 % = 74,005 Btu/h. The least airflow has all of it: / (1.08 x 65) = 1,054 cfm. 24 % off leave 56,244:
    / (1.08 x 35) = 1,488 cfm at most. As found 74,005 / (1.08 x 45) = 1,523 cfm make 34.2 F, under 35."""
    table = tmp_path / "own-heat.yaml"
    table.write_text(OWN_HEAT, encoding="utf-8")
    facts = ("altitude=6000 ft", "derate=from sea level", "motor=constant airflow", "found SW1=10", "found J1=A")
    code, text = ask("found", str(table), *facts)
    assert code == 1
    assert "heating 1,054 to 1,488 cfm 1,523 cfm, 35 over" in text
    _, text = ask("plan", str(table), *facts)
    assert "Derate: 4 % for each 1,000 ft above sea level, once above 2,000 ft." in text
    assert "until you clock it, that is held against the plate's upper end." in text


def test_the_meter_comes_before_any_move_where_the_heat_is_the_plates(ask: Ask) -> None:
    """118 - 55 = 63 F: 76,000 / (1.08 x 63) = 1,117 cfm; supply 120 F from 70 F needs 76,000 / (1.08 x 50) = 1,407."""
    read = "measured=heating second return=55 F supply=118 F minutes=15"
    code, text = ask("verify", *CORVANE, "outlet limit=120 F", "left SW1=10001000", read)
    assert code == 1
    assert "1,117 cfm, +/-15 %; minimum 1,407 cfm" in text
    assert "2 Clock the meter" in text
    assert "SW1-1 ON -> OFF" not in text


# -- words of a mark that decides, of a wrong name, of a figure that can't be true


def test_a_mark_that_decides_is_named(ask: Ask) -> None:
    """SW1-4 OFF 1,380, ON 1,130 cfm: 1,250 read is 10.4 and 9.6 % away from both."""
    read = "measured=cooling second hood=1250 cfm minutes=20"
    code, text = ask("verify", *CORVANE, "left SW1=100?0000", read)
    assert code == 1
    assert text.startswith("No verdict, cooling second: as set, unreadable (depends on SW1-4).")


@pytest.mark.parametrize(
    ("word", "help"),
    [
        ("dehumidify=yes", 'type "dehumidify wanted=yes"'),
        ("targets=1200 cfm", 'type "target cooling=1200 cfm"'),
        ("filter=400 in2", 'type "filter area=400 in2"'),
        ("heater=-10 kW", "`-10 kW` can't be the heater: 1,000 to 400,000 Btu/h"),
        ("tons=-3", "`-3 tons` can't be the capacity: 6,000 to 300,000 Btu/h"),
    ],
)
def test_a_hint_is_what_is_meant(ask: Ask, word: str, help: str) -> None:
    code, text = ask("plan", "saltmarsh-12", word)
    assert code == 1
    assert help in text


def test_a_face_may_be_typed_without_its_part(ask: Ask) -> None:
    """432 in2 = 3 ft2 x 300 fpm (common practice for a filter, no source) = 900 cfm, the least of 3 tons."""
    _, text = ask("found", *CORVANE, "filter area=432 in2", "found SW1=00011000")
    assert "cooling second 900 to 900 cfm" in text


# -- the coil and the parts of the air's way in plan and found


@pytest.mark.parametrize("command", ["plan", "found", "verify"])
def test_the_coil_has_its_verdict_in_every_answer(ask: Ask, command: str) -> None:
    """3 tons x 75 % = 27,000 Btu/h sensible / (1.08 x 1,062.2 cfm) = 23.5 F to expect; 80 - 46 = 34 read."""
    marks = "left" if command == "verify" else "found"
    read = "measured=cooling second return=80 F supply=46 F minutes=20"
    _, text = ask(command, *CORVANE, "sensible share=75 %", f"{marks} SW1=10010100", read)
    assert "HIGH, cooling second" in text
    assert "split 34.0 F, 10.5 F over the 23.5 F expected" in text
    assert "Measure the airflow before anybody touches the charge." in text


@pytest.mark.parametrize("command", ["plan", "found"])
def test_the_worst_part_is_named_though_static_is_inside(ask: Ask, command: str) -> None:
    """0.25 - 0.05 = 0.20 over the filter, a fifth of 0.5 is 0.10; the whole, 0.25 + 0.20, is inside 0.5."""
    ports = (
        "before filter=-0.05 in. w.c. after filter=-0.25 in. w.c. before coil=0.20 in. w.c. after coil=0.10 in. w.c."
    )
    facts = ("plate static=0.5 in. w.c.", "found SW1=10010100")
    _, text = ask(command, *CORVANE, *facts, f"measured=cooling second {ports} inside=none minutes=20")
    assert "look at the filter first: 0.20 in. w.c., 0.10 over its usual share of 0.10" in text
    assert "(common practice, no source)" in text


def test_a_danger_comes_before_what_is_missing(ask: Ask, tmp_path: Path) -> None:
    """131 - 58 = 73 F, 8 over 65; nothing is said of how the board was found."""
    job = tmp_path / "job.yaml"
    job.write_text(
        "format: selector job 1\ntable: corvane-k14\nmodel: 080\nheat: {kind: gas}\nas left: {SW1: 10010100}\n"
        "measurements:\n"
        "- {call: heating second, minutes: 12, method: rise, return air: 58 F, supply air: 131 F}\n",
        encoding="utf-8",
    )
    code, text = ask("found", str(job))
    assert code == 1
    assert text.startswith("DANGER, heating second: rise 73.0 F, 8.0 F over the plate's 65 F")
    assert "The job says nothing of how the board was found." in text


def test_a_heater_that_is_not_all_on_comes_before_its_airflow(ask: Ask) -> None:
    """236 V x 40 A = 9,440 W; 15 kW x (236 / 240)^2 = 14,504 W: 65 %. 9,440 x 3.41214 / (1.08 x 24) = 1,243 cfm, 5.3 %
    over the 1,180 of page 7: too little to seek a cause, and still nothing to record."""
    job = ("eskerby-e", "tons=3", "stages=70 %", "heater=15 kW", *named("left", "SW1=101000 J1=15 J2=none"))
    read = "measured=heater alone volts=236 V amps=40 A return=68 F supply=92 F minutes=8"
    code, text = ask("verify", *job, read)
    assert code == 1
    assert text.startswith("heater alone: not all of it is on: 236 V x 40 A = 9,440 W, 65 % of the 14,504 W")
    assert "Find what is off in the heater first" in text
    assert "Record it" not in text


OIL = """format: selector job 1
table: eskerby-oil
date: 2026-01-10
outdoor unit: {capacity: 3 tons}
heat: {kind: oil, nozzle: 0.85 gph, pump pressure: 140 psi}
as left: {SW1: 110000, J1: 0.85, J2: 3}
measurements:
- {call: heating, minutes: 15, method: rise, return air: 66 F, supply air: 132 F}
visits:
- date: 2027-01-12
  as left: {SW1: 110000, J1: 0.85, J2: 5}
  measurements:
  - {call: heating, minutes: 15, method: rise, return air: 66 F, supply air: 123 F}
"""


def test_an_oil_burner_has_no_meter_and_a_rise_is_compared_across_a_setting(ask: Ask, tmp_path: Path) -> None:
    """0.85 gph x sqrt(140 / 100) x 140,000 x 85 % = 119,682 Btu/h. J2 at 3 asks for 64 F: 1,732 cfm; at 5 for 55 F:
    2,015, held to 1,850. 66 F at 1,732 become 66 x 1,732 / 1,850 = 61.8 F; 57 is read: 4.8 down, bands 2 and 1.9."""
    job = tmp_path / "oil.yaml"
    job.write_text(OIL, encoding="utf-8")
    _, text = ask("visits", str(job))
    assert "rise 66.0, at the setting now 61.8 -> 57.0 F, 4.8 down" in text
    assert "Do: Read the nozzle and the pump pressure first." in text
    assert "meter" not in text


# -- searches and marks


def test_settings_that_a_reserved_row_of_an_unasked_call_hid(ask: Ask) -> None:
    """Page 31: 1101 cools S100 with 2,100, with SW1-5 ON 72 % of 2,100 = 1,512 in the first stage. Corvane found on
    `do not use` with SW1-3 and SW1-4 ON: SW1-3 OFF leaves 1,130 cfm and its trim."""
    code, text = ask(
        "find", "brindlemoor-16s", "cooling first=1512", "cooling second=2100", "--model", "S100", "--near", "0"
    )
    assert code == 0
    assert "cooling first 1,512 cfm target 1,512, on target" in text
    assert "cooling second 2,100 cfm target 2,100, on target" in text
    code, text = ask("plan", "corvane-k14", "model=080", "found SW1=00111110")
    assert code == 0
    assert "Nothing fits" not in text
    assert "SW1-3" in text


def test_two_leads_are_swapped_by_plan_as_by_found(ask: Ask) -> None:
    """3 tons are 1,200 cfm = 566 L/s, 425 to 637 allowed; low 70 %, 297 to 446. Page 5 at 100 Pa: tap 5 580, tap 3 410,
    tap 4 495 L/s: Y1 on 5 is too high, and Y2 on 3 too low, so they change places."""
    board = ("static pressure=100 Pa", *named("found", "M1-Y1=5 M1-Y2=3 M1-W=2 M1-G=1"))
    for command in ("plan", "found"):
        _, text = ask(command, "wickerby-5", "tons=3", "stages=70 %", *board)
        assert "M1-Y1 5 -> 3, M1-Y2 3 -> 5" in text, command


def test_a_hold_against_a_cut_is_refused(ask: Ask) -> None:
    found = ("--found", "SW1=110000 J1=2 J2=C LK1=cut")
    code, text = ask("find", "hollinsby-t", "cooling=1130", "--hold", "LK1=whole", *found)
    assert code == 1
    assert "LK1 is cut and can't be held whole: a cut can't be undone" in text


def test_none_among_trims_along_static_is_0_there(ask: Ask, tmp_path: Path) -> None:
    """0 at 0.5 and -4 % at 0.8: -2 % at 0.65, 1,200 x 98 % = 1,176."""
    table = tmp_path / "trims.yaml"
    table.write_text(
        "format: selector table 1\nunit: {title: Air handler, maker: Test}\nunits: {airflow: cfm, pressure: in. w.c.}\n"
        "board: {D1: {kind: dial, positions: 1 2, factory: 1}}\n"
        "charts:\n  adjust:\n    set: D1\n    across: {static pressure: 0.2 0.5 0.8}\n    gives: trim\n    rows: |\n"
        "      1 none none -4 %\n      2 +2 % none none\n"
        "calls: {cooling: {terminals: Y1, airflow: [airflow: 1200, adjust]}}\n",
        encoding="utf-8",
    )
    assert "cooling 1,176 cfm" in ask("decode", str(table), "D1=1", "--static", "0.65")[1]
    assert "cooling 1,200 cfm" in ask("decode", str(table), "D1=1", "--static", "0.3")[1]


@pytest.mark.parametrize(("command", "prefix"), [("verify", "left"), ("found", "found")])
def test_a_reading_names_the_mark_it_settles_and_two_that_fit(ask: Ask, command: str, prefix: str) -> None:
    """1,130 with SW1-6 OFF, 1,062.2 with it ON (-6 %): 1,095 read is 3.2 and 3.0 % from them, 1,130 is 0 and 6.0 %.
    SW1-4 OFF is 1,380, 22.1 %."""
    _, text = ask(command, *CORVANE, f"{prefix} SW1=10010?00", "measured=cooling second hood=1095 cfm minutes=20")
    assert "SW1-6 may be ON or OFF, they fit alike" in text
    _, text = ask(command, *CORVANE, f"{prefix} SW1=100?0000", "measured=cooling second hood=1130 cfm minutes=20")
    assert "SW1-4 is ON: 1,130 cfm" in text
    assert "1,380 cfm is 22.1 %" in text


def test_no_chart_is_ruled_out_by_a_dial_that_nobody_typed(ask: Ask) -> None:
    """Page 17, model 100 at full fire: D1 at 4 gives 1,440 cfm, at 1, as delivered, 1,750; 1,420 is read."""
    words = ("found SW1=110000", "measured=heating hood=1420 cfm minutes=15", "heat input=100 MBH")
    _, text = ask("identify", *words, "--tables", "ostrandel-m")
    assert "may fit: ostrandel-m, model 100" in text


def test_a_sensible_load_is_no_usual_airflow(ask: Ask) -> None:
    """27,000 Btu/h / (1.08 x 20 F) = 1,250 cfm."""
    _, text = ask("plan", *CORVANE, "sensible load=27,000 Btu/h", "supply difference=20 F")
    assert "cooling: 27,000 Btu/h / (1.08 x 20 F) = 1,250 cfm" in text
