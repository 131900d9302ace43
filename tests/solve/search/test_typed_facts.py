"""Figures typed on the line: read as in a file, each refused with what to type where it can't be meant."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.cli.main import run
from selector.job.line.typed import job_from_pairs
from selector.problems import Problem, Refused
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.source import source_from_text

CORVANE = load("corvane-k14")[0]
WICKERBY = load("wickerby-5")[0]
"""In Pa and L/s."""
SALTMARSH = load("saltmarsh-12")[0]
"""Its fact `heater` is none, 5, 8, 10 or 15 kW."""


def problem_of(pairs: list[tuple[str, str]], table: object = CORVANE) -> Problem:
    with pytest.raises(Refused) as refused:
        read_facts(pairs, table)  # type: ignore[arg-type]
    assert len(refused.value.problems) == 1
    return refused.value.problems[0]


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("efficiency", "80", Fraction(4, 5)),
        ("efficiency", "80 %", Fraction(4, 5)),
        ("efficiency", "0.8", Fraction(4, 5)),
        ("efficiency", "1.04", Fraction(104, 100)),
        ("outdoor tons", "3", Fraction(3)),
        ("outdoor tons", "3 tons", Fraction(3)),
        ("outdoor tons", "36000 Btu/h", Fraction(3)),
        ("outdoor tons", "42 MBH", Fraction(7, 2)),
        ("firing rate", "60", Fraction(60)),
        ("firing rate", "60 %", Fraction(60)),
        ("pump pressure", "140 psi", Fraction(140)),
        ("nozzle rate", "0.85", Fraction(17, 20)),
        ("heater power", "10", Fraction(10)),
        ("heater power", "10000 W", Fraction(10)),
        ("heat input", "80 MBH", Fraction(80000)),
        ("supply voltage", "235 V", Fraction(235)),
        ("static pressure", "0.5", Fraction(1, 2)),
    ],
)
def test_a_figure_is_held_in_its_unit(name: str, text: str, value: Fraction) -> None:
    """12,000 Btu/h are a ton; 1,000 W are a kW; an efficiency is a share of 1."""
    assert read_facts([(name, text)], CORVANE).values[name] == value


@pytest.mark.parametrize(
    ("name", "text", "says", "type_instead"),
    [
        ("efficiency", "0.8 %", "can't be an efficiency", "80 %"),
        ("efficiency", "8", "can't be an efficiency", "80 %"),
        ("efficiency", "80 psi", "wanted a share", "95 %"),
        ("outdoor tons", "0", "can't be the outdoor tons", "3 tons"),
        ("outdoor tons", "-3", "can't be the outdoor tons", "3 tons"),
        ("outdoor tons", "36000 cfm", "36000 cfm is an airflow", "3 tons"),
        ("outdoor tons", "36000", "can't be the outdoor tons", "36000 Btu/h"),
        ("firing rate", "60 psi", "wanted a share", "100 %"),
        ("firing rate", "0.6", "can't be the firing rate: 10 to 100 %", "100 %"),
        ("firing rate", "-60", "can't be the firing rate", "60 %"),
        ("supply voltage", "-230", "can't be the supply voltage: 90 to 600 V", "230 V"),
        ("heat input", "-80 MBH", "can't be the heat input: 5,000 to 500,000 Btu/h", "80 MBH"),
        ("heat input", "80", "can't be the heat input", "80 MBH"),
        ("nozzle rate", "-0.75", "can't be the nozzle rate: 0.2 to 6 gph", "0.75 gph"),
        ("pump pressure", "-100", "can't be the pump pressure: 60 to 400 psi", "100 psi"),
        ("static pressure", "125", "can't be the static pressure: 0 to 2.5 in. w.c.", "125 Pa"),
        ("static pressure", "-0.5", "can't be the static pressure", "0.5 in. w.c."),
    ],
)
def test_a_figure_that_cant_be_meant_says_why_and_what_to_type(
    name: str, text: str, says: str, type_instead: str
) -> None:
    found = problem_of([(name, text)])
    assert says in found.message
    assert type_instead in found.help


@pytest.mark.parametrize("name", ["efficiency", "firing rate", "pump pressure", "nozzle rate", "supply voltage"])
@pytest.mark.parametrize("text", ["-1", "0.3", "7 psi", "80000", "1 F"])
def test_the_line_and_a_job_refuse_alike(name: str, text: str) -> None:
    job_name = {"nozzle rate": "nozzle"}.get(name, name)
    line: str | None = None
    file: str | None = None
    try:
        read_facts([(name, text)], CORVANE)
    except Refused as refused:
        line = refused.problems[0].message
    try:
        job_from_pairs([(job_name, text)])
    except Refused as refused:
        file = refused.problems[0].message.removeprefix(f"`{job_name}`: ").replace("the nozzle:", "the nozzle rate:")
    assert line == file


@pytest.mark.parametrize("text", ["15", "15 kW", "15000 W"])
def test_a_value_that_the_page_prints_is_known_in_any_unit(text: str) -> None:
    assert read_facts([("heater", text)], SALTMARSH).values["heater"] == "15"


def test_each_call_may_have_its_own_static_pressure() -> None:
    """100 Pa and 150 Pa as typed; 0.5 in. w.c. are 124.544455 Pa (249.08891 Pa, NIST SP 811)."""
    facts = read_facts([("static pressure", "100"), ("static pressure in cooling", "0.5 in. w.c.")], WICKERBY)
    assert facts.values["static pressure"] == 100
    assert facts.static == {"cooling": Fraction("124.544455")}


def test_a_static_pressure_may_be_that_of_one_stage() -> None:
    facts = read_facts([("static pressure in cooling high", "150"), ("static pressure in heat", "90 Pa")], WICKERBY)
    assert facts.static == {"cooling high": 150, "heat": 90}


def test_a_fact_given_twice_is_refused_with_both() -> None:
    found = problem_of([("outdoor tons", "3"), ("outdoor tons", "4")])
    assert found.message == "`outdoor tons` is given twice: 3 and 4"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["find", "corvane-k14", "cooling=1200", "--near", "-1"], "--near -1 is below 0. Type 0 or more"),
        (["decode", "corvane-k14", "SW1=10011000", "--terminals", ""], "--terminals is empty"),
        (["find", "corvane-k14", "cooling=1200", "--tons", "0"], "can't be the outdoor tons"),
        (["find", "eskerby-oil", "heat=1200", "--fact", "pump pressure=-100"], "can't be the pump pressure"),
        (["find", "corvane-k14", "cooling=1200", "--static", "0.5", "--static", "0.4"], "given twice: 0.5 and 0.4"),
        (["find", "corvane-k14", "cooling=1200", "--model", "060", "--model", "080"], "given twice: 060 and 080"),
    ],
)
def test_the_command_says_so_and_is_no_fault_of_ours(
    arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) in (1, 2)
    assert says in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("3 tons at 375 psi", "375 psi is an oil pressure"),
        ("45 psi of cooling", "psi"),
        ("rise 55 psi", "wanted a temperature difference"),
        ("1200 weight 2 psi", "a weight is a plain number"),
        ("0 tons", "can't be aimed at"),
        ("-3 tons", "can't be aimed at"),
    ],
)
def test_a_target_that_cant_be_meant(text: str, says: str) -> None:
    with pytest.raises(Refused) as refused:
        read_target("cooling", text, CORVANE)
    assert says in refused.value.problems[0].message


GIVING = """format: selector table 1
unit: {title: Facts that give something}
facts:
  grille: {values: +50 +60, gives: offset}
  level: {values: 1 2}
  altitude: {range: 0 to 10000}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: J1, across: {level: 1 2}, gives: airflow, rows: A 900 950; B 1000 1050}
  high: {across: {altitude: 0 10000}, gives: trim, rows: none +10 %}
calls:
  fan: {terminals: G, airflow: [air, grille, high]}
"""


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("grille", "+50", "+50"),
        ("grille", "+55", Fraction(55)),  # a figure that the page doesn't print, of what the fact gives
        ("grille", "+55 cfm", None),
        ("level", "2", "2"),
        ("altitude", "5,000 ft", Fraction(5000)),
        ("altitude", "1524 m", Fraction(5000)),  # a foot is 0.3048 m
        ("level", "3", None),  # a fact that gives nothing is one of its words
    ],
)
def test_a_fact_that_gives_a_quantity_may_be_another_figure(name: str, text: str, value: Fraction | str | None) -> None:
    table = build_table(source_from_text(GIVING), "giving")[0]
    if value is None:
        assert problem_of([(name, text)], table).code == "unknown-value"
    else:
        assert read_facts([(name, text)], table).values[name] == value
