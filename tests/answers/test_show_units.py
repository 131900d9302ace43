"""Every bare figure of a table that is shown or read aloud stands under its unit, as the page prints it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from selector.table.library.library import load
from selector.table.model.figure_units import unit_of_head, unit_of_quantity, unit_of_rating, with_unit
from selector.table.model.quantities import FIGURES, RATINGS
from selector.table.model.table import Units

ROOT = Path(__file__).parents[2]
TABLES = sorted(p.stem for p in (ROOT / "tables").glob("*.yaml"))


def said(*words: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "selector", *words], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize(
    ("table", "lines"),
    [
        (
            "corvane-k14",
            (
                "rating plate: heat input {060: 60000, 080: 80000, 110: 110000} Btu/h",
                "rating plate: temperature rise 35 to 65 F",
                "heating airflow (page 24): airflow in cfm, temperature rise in F, along the top model",
            ),
        ),
        (
            "pellmere-si",
            (
                "rating plate: heat input {low: 10.5, high: 16} kW",
                "rating plate: efficiency 92 %",
                "rating plate: temperature rise 20 to 38 C",
                "cooling airflow (page 7): airflow in L/s, along the top static pressure in Pa",
            ),
        ),
        ("wickerby-5", ("tap airflow (page 5): airflow in L/s, along the top static pressure in Pa",)),
        ("quillhaven-p", ("rating plate: heater voltage 240 V", "heater rating (page 7): heater power in kW")),
        ("eskerby-oil", ("rating plate: pump pressure 140 psi", "rating plate: heat per gallon 140000 Btu/gal")),
        ("ostrandel-m", ("heating airflow (page 17): airflow in cfm, along the top model, firing rate in %",)),
    ],
)
def test_show_prints_the_units_of_the_page(table: str, lines: tuple[str, ...]) -> None:
    shown = said("show", table).splitlines()
    for line in lines:
        assert line in shown, shown


@pytest.mark.parametrize("table", TABLES)
def test_every_chart_of_airflows_names_its_unit_in_show_and_aloud(table: str) -> None:
    loaded = load(table)[0]
    shown, aloud = said("show", table).splitlines(), said("aloud", table).splitlines()
    for chart in loaded.charts.values():
        if not {"airflow", "least airflow", "most airflow"} & set(chart.gives):
            continue
        title = next(line for line in shown if line.startswith(chart.name) and ": " in line)
        head = next(line for line in aloud if line.startswith(f"{chart.name}, "))
        for line in (title, head):
            assert f"airflow in {loaded.units.airflow}" in line
            if any(one.name == "static pressure" for one in chart.heads):
                assert f"static pressure in {loaded.units.pressure}" in line


def test_every_quantity_and_rating_has_a_unit_or_carries_its_own() -> None:
    units = Units(airflow="L/s", pressure="Pa", temperature="C", heat="kW")
    bare = {name for name in FIGURES if not unit_of_quantity(name, units)}
    assert bare == {"trim", "share", "reduction", "seconds"}
    assert all(unit_of_rating(name, units) for name in RATINGS)
    assert unit_of_rating("temperature rise", units) == "C"
    assert unit_of_head("model", load("corvane-k14")[0]) == ""


@pytest.mark.parametrize(
    ("text", "unit", "shown"),
    [
        ("35 to 65", "F", "35 to 65 F"),
        ("95 %", "%", "95 %"),
        ("240 V", "V", "240 V"),
        ("{060: 60000}", "Btu/h", "{060: 60000} Btu/h"),
    ],
)
def test_a_unit_that_is_typed_is_not_doubled(text: str, unit: str, shown: str) -> None:
    assert with_unit(text, unit) == shown
