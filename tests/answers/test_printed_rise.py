"""A rise printed beside an airflow, held against the heat: 120,000 / (1.08 x 1,560) = 71.2 F, by 1,650 67.3 F."""

from __future__ import annotations

from pathlib import Path

from tests.helpers.program import program

PAGE = """\
format: selector table 1
unit: {title: Oil furnace}
ratings: {heat output: 120000, temperature rise: 55 to 85}
board:
  M1: {kind: dial, positions: C D, factory: C}
charts:
  dial airflow:
    set: M1
    gives: airflow, temperature rise
    rows: |
      C  1420 78
      D  1560 71
calls:
  heating: {terminals: W, airflow: dial airflow}
"""


def test_a_printed_rise_that_heat_and_airflow_do_not_make_is_told(tmp_path: Path) -> None:
    path = tmp_path / "page.yaml"
    said = "heating: the printed rise is 71 F, heat and airflow make 67.3 F; hold the typing against the page"
    for text, told in ((PAGE, False), (PAGE.replace("1560", "1650"), True)):
        path.write_text(text, encoding="utf-8")
        assert (said in " ".join(program("decode", str(path), "M1=D").stdout.split())) is told
        assert "printed rise is" not in program("decode", str(path), "M1=C").stdout


def test_a_printed_rise_is_held_to_the_input_that_was_clocked() -> None:
    """The brindlemoor page prints 50 F for 1,760 cfm at 100,000 Btu/h. Clocked: 3,600 x 2 / 75 s x 830 = 79,680 Btu/h;
    50 x .7968 = 39.84 F. A rise of 50 F is 25 % more, far over the band of 7 %; 41 F is 3 % more."""
    found = ("found SW1=0000000000010000", "found SW2=OPEN OPEN OPEN OPEN")
    facts = ("brindlemoor-16s", "model=S100", *found, "heat input=100 MBH")
    clocked = "measured=heating second gas=2 ft3 seconds=75 heat of gas=830 Btu/ft3 minutes=15"
    for measured, near in ((50, "more than"), (41, "near")):
        rise = f"measured=heating second rise={measured} F minutes=15"
        said = " ".join(program("verify", *facts, clocked, rise).stdout.split())
        assert f"rise {measured}.0 F, {near} the 39.8 F that the manual's 50 F comes to at the input clocked" in said
        assert "the manual prints for this setting" not in said
