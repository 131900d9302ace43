"""Every bare figure of a table that is shown or read aloud stands under its unit, as the page prints it."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.table.library.library import load
from selector.table.model.figure_units import unit_of_head, unit_of_quantity, unit_of_rating
from selector.table.model.quantities import FIGURES, RATINGS
from selector.table.model.table import Units
from tests.helpers.program import program

ROOT = Path(__file__).parents[2]
TABLES = sorted(p.stem for p in (ROOT / "tables").glob("*.yaml"))


def said(*words: str) -> str:
    done = program(*words, columns=120)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize(
    ("table", "lines"),
    [
        (
            "corvane-k14",
            (
                "Plate: heat input 060 60,000, 080 80,000, 110 110,000 Btu/h",
                "Plate: temperature rise 35 to 65 F",
                "heating airflow (page 23): airflow in cfm, temperature rise in F, one column per model",
            ),
        ),
        (
            "pellmere-si",
            (
                "Plate: heat input low 10.5, high 16 kW",
                "Plate: efficiency 92 %",
                "Plate: temperature rise 20 to 38 C",
                "cooling airflow (page 7): airflow in L/s, one column per static pressure in Pa",
            ),
        ),
        ("wickerby-5", ("tap airflow (page 5): airflow in L/s, one column per static pressure in Pa",)),
        ("quillhaven-p", ("Plate: heater voltage 240 V", "heater rating (page 7): heater power in kW")),
        ("eskerby-oil", ("Plate: pump pressure 140 psi", "Plate: heat per gallon 140,000 Btu/gal")),
        ("ostrandel-m", ("heating airflow (page 17): airflow in cfm, one column per model, firing rate in %",)),
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
