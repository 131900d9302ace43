"""Metric tables answer in metric, arithmetic included; every figure comes out of what it says it rests on."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from selector.air.arithmetic import FACTOR, airflow_from_heat, leaving_air
from selector.air.arithmetic_fan import airflow_from_tons
from selector.air.expression import evaluate
from selector.air.figure import Figure, Worked, chain, given, text
from selector.answers.house.plan import plan_report
from selector.answers.house.why import plan_figures, why_lines
from selector.answers.verify.answer import verify
from selector.answers.words.arithmetic import in_table_units, per_ton
from selector.job.file.read import job_from_text, load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.table.library.library import load
from selector.table.model.in_units import is_metric, with_celsius

HEAD = "format: selector job 1\n"
METRIC = load("pellmere-si")[0]
TAPS = Path(__file__).parents[2] / "examples" / "jobs" / "taps-with-static.yaml"
SI = (
    f"{HEAD}table: pellmere-si\nsite: {{static pressure: 120 Pa}}\noutdoor unit: {{capacity: 7 kW}}\nheat: {{input: 16"
    " kW}\n"
)


def shown(figure: Figure) -> str:
    return text(in_table_units(figure, METRIC))


def test_heat_over_rise_by_hand() -> None:
    """16 kW x 92 % = 14.72 kW; 14,720 W / (1.2072 W/(L/s K) x 29 K) = 420.47 L/s, shown whole."""
    heat = given("heat", Fraction(14720) * Fraction("3.412141633"), "Btu/h")
    rise = given("rise", Fraction(29) * Fraction(9, 5), "F")
    assert shown(airflow_from_heat(heat, rise)) == "14,720 W / (1.2072 x 29 C) = 420 L/s"


def test_the_factor_is_that_of_the_trade() -> None:
    assert float(in_table_units(FACTOR, METRIC).value) == pytest.approx(1.2072, abs=5e-5)


def test_airflow_per_ton_by_hand() -> None:
    """400 cfm a ton is 188.78 L/s for 3.5169 kW, 53.678 L/s/kW; 7 kW of it 375.7 L/s."""
    tons = given("tons", 7 / Fraction("3.516852842"), "tons")
    assert shown(airflow_from_tons(tons, given("cfm_per_ton", 400, "cfm/ton"))).endswith("kW x 53.68 L/s/kW = 376 L/s")


def test_a_temperature_keeps_its_zero_and_a_rise_has_none() -> None:
    """68 F is 20 C; a rise of 36 F is one of 20 C; together 104 F, 40 C."""
    assert (
        shown(leaving_air(given("return_air", 68, "F", kind="temperature"), given("rise", 36, "F")))
        == "20 C + 20 C = 40.0 C"
    )


def test_a_table_in_cfm_stays_as_it_is() -> None:
    table = load("corvane-k14")[0]
    assert not is_metric(table)
    figure = given("rise", 36, "F")
    assert in_table_units(figure, table) is figure


def test_airflow_per_ton_in_words() -> None:
    """300 cfm/ton = 141.58 L/s for 3.5169 kW."""
    assert per_ton(Fraction(300), METRIC) == "40.3 L/s/kW"
    assert per_ton(Fraction(300), load("corvane-k14")[0]) == "300 cfm/ton"


def test_a_metric_table_without_a_temperature_shows_c() -> None:
    assert with_celsius(load("wickerby-5")[0]).units.temperature == "C"
    assert with_celsius(load("corvane-k14")[0]).units.temperature == "F"


def figures(job: str) -> tuple[Figure, ...]:
    found = plan(house_of(job_from_text(job)[0]))
    return tuple(in_table_units(figure, found.house.table) for _, figure in plan_figures(found))


@pytest.mark.parametrize(
    "job",
    [SI, TAPS.read_text(encoding="utf-8"), SI + "complaint: cool air in heat\n"],
    ids=["gas", "taps", "complaint"],
)
def test_every_metric_figure_comes_out_of_its_inputs(job: str) -> None:
    found = {one for figure in figures(job) for one in chain(figure)}
    assert len(found) > 20
    for one in found:
        if isinstance(one, Worked):
            again = evaluate(one.expression, {deeper.name: deeper.value for deeper in one.inputs})
            assert float(again) == pytest.approx(float(one.value), rel=1e-9), text(one)


INCH = re.compile(r"\b(?:cfm|Btu/h|MBH)\b|\d F\b|\b1\.08\b|/ton")


def test_the_whole_plan_of_a_metric_table_has_no_inch_pound_figure() -> None:
    found = plan(house_of(job_from_text(SI)[0]))
    lines = [*plan_report(found, details=True, columns=400).lines, *plan_report(found, columns=400).lines]
    lines += list(why_lines(plan_figures(found), found.house.table))
    assert any("14,720 W / (1.2072 x 29.0 C) = 420 L/s" in line for line in lines)
    assert not [line for line in lines if INCH.search(line.replace("0.24 Btu/(lb F)", ""))]


def test_the_taps_plan_answers_in_c_and_kw() -> None:
    """10 kW x (230 V / 240 V)^2 = 9.18 kW; (11 C + 25 C) / 2 = 18 C."""
    lines = plan_report(plan(house_of(load_job(str(TAPS))[0])), details=True, columns=400).lines
    for said in (
        "10 kW x (230 V / 240 V)^2 = 9.18 kW",
        "(11 C + 25 C) / 2 = 18.0 C",
        "9,184 W / (1.2072 x 18.0 C) = 423 L/s",
    ):
        assert any(said in line for line in lines), said


def test_a_verdict_on_a_metric_table_answers_in_metric() -> None:
    """490 L/s by the hood, 5 % either way: 465.5 to 514.5; 2.5 tons x 400 cfm/ton = 1,000 cfm = 471.9 L/s."""
    lines = verify(house_of(load_job(str(TAPS.parent.parent / "records" / TAPS.name))[0])).lines
    for said in ("490 L/s, 466 to 515 L/s", "target     472 L/s", "354 to 531 L/s"):
        assert any(said in line for line in lines), lines
    assert not [line for line in lines if INCH.search(line)]


def test_the_same_house_in_other_units_gets_the_same_setting() -> None:
    inch = SI.replace("120 Pa", "0.48176 in. w.c.").replace("7 kW", "23885 Btu/h").replace("16 kW", "54594 Btu/h")
    one, other = (plan(house_of(job_from_text(job)[0])).solution.best for job in (SI, inch))
    assert one is not None
    assert other is not None
    assert one.setting == other.setting
