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
