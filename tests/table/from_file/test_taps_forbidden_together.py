"""Taps that the page forbids at once, as rows of a chart that no call uses (by hand, from the guide's example)."""

from __future__ import annotations

from pathlib import Path

from tests.helpers.program import program

PAGE = """\
format: selector table 1
unit: {title: Try, maker: Quillhaven}
board:
  M1: {kind: taps, positions: 1 2 3 4, leads: Y1 G, factory: 3 2}
charts:
  air:
    set: M1
    gives: airflow
    rows: |
      1 500
      2 600
      3 700
      4 800
  stops the motor:
    set: M1-Y1 M1-G
    gives: label
    rows: |
      4 1     do not use
      1 4     do not use
      others  turns
calls:
  cooling: {terminals: Y1, lead: Y1, airflow: air}
  fan: {terminals: G, lead: G, airflow: air}
"""


def test_find_goes_round_them_and_decode_warns(tmp_path: Path) -> None:
    """800 and 500 cfm would be taps 4 and 1. Next: 4 and 2 (600, 20 % over 500) or 3 and 1 (700, 12.5 % under 800):
    12.5 % is nearer."""
    path = tmp_path / "page.yaml"
    path.write_text(PAGE, encoding="utf-8")
    found = program("find", str(path), "cooling=800", "fan=500", "--first", "1").stdout
    assert "type as M1-Y1=3 M1-G=1" in found
    assert "Warning: stops the motor: not usable" in program("decode", str(path), "M1-Y1=4", "M1-G=1").stdout
    assert "not usable" not in program("decode", str(path), "M1-Y1=4", "M1-G=2").stdout


def test_found_plan_and_verify_say_it_first_and_found_mends_it(tmp_path: Path) -> None:
    """One judge: what the page forbids at once is no `OK` in any answer."""
    path = tmp_path / "page.yaml"
    path.write_text(PAGE, encoding="utf-8")
    said = "Stops the motor: not usable"
    found = program("found", str(path), "found=M1-Y1=4 M1-G=1")
    assert found.stdout.startswith(said)
    assert "the board may not stay so" in " ".join(found.stdout.split())
    planned = program("plan", str(path), "tons=2", "found=M1-Y1=4 M1-G=1").stdout
    assert said in planned
    for answer in (found.stdout, planned):
        assert "OK:" not in answer
        assert "Change nothing" not in answer
    verified = program("verify", str(path), "left=M1-Y1=4 M1-G=1", "measured=cooling hood=800 cfm minutes=20")
    assert said in " ".join(verified.stdout.split("\n")[:3])
    assert program("decode", str(path), "M1-Y1=4", "M1-G=1").returncode == 1


def test_a_note_of_a_table_is_nothing_that_was_seen(tmp_path: Path) -> None:
    """A mistake on the line of a healthy board: the manual's own warning is no danger at the unit."""
    path = tmp_path / "page.yaml"
    note = "note: two leads energized together destroy the winding"
    spread = PAGE.replace(
        "unit: {title: Try, maker: Quillhaven}", f"unit:\n  title: Try\n  maker: Quillhaven\n  {note}"
    )
    path.write_text(spread, encoding="utf-8")
    assert "DANGER" not in program("found", str(path), "found=M1-Y1=4 M1-G=2", "bogus=1").stderr
