"""The plots of an answer: what they show is what the answer says, and the commands draw and write them."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from selector.answers.house.plan import plan_report
from selector.answers.plots.find import find_plots
from selector.answers.plots.job import plan_plots, verify_plots
from selector.draw.plots.plot import Plot
from selector.draw.plots.plots import Shown
from selector.draw.plots.rows import ReachPlot
from selector.job.file.model import Amount, Fan
from selector.job.file.read import load_job
from selector.job.plan.plan import Plan, plan
from selector.job.targets.house import house_of
from selector.job.verify.verify import Verified, verified
from selector.solve.engine.engine import Engine
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.library.library import load
from selector.value import replace
from tests.cli.test_cli import ROOT, run

JOBS = sorted((ROOT / "tests" / "examples" / "jobs").glob("*.yaml"))
RECORDS = sorted((ROOT / "tests" / "examples" / "records").glob("*.yaml"))


def found(name: str, targets: dict[str, str], **facts: str) -> tuple[FindResult, tuple[Shown, ...]]:
    """An answer of find and its plots."""
    table, _ = load(name)
    engine = Engine(table, read_facts([(k.replace("_", " "), v) for k, v in facts.items()], table))
    request = Request(targets=tuple(read_target(call, text, table) for call, text in targets.items()))
    result = find(engine, request)
    return result, find_plots(engine, request, result)


def planned(path: Path) -> tuple[Plan, Any]:
    """The plan of a job and its data."""
    one = plan(house_of(load_job(str(path))[0]))
    return one, json.loads(json.dumps(plan_report(one).data))


def reaches(plots: tuple[Shown, ...]) -> dict[str, ReachPlot]:
    """Reachable airflows by call, those under another plot too."""
    found = [p.under if isinstance(p, Plot) else p for p in plots]
    return {p.title.removeprefix("Airflow in "): p for p in found if isinstance(p, ReachPlot)}


def titled(plots: tuple[Shown, ...], word: str) -> list[Plot]:
    """Plots with a word in their title."""
    return [p for p in plots if isinstance(p, Plot) and word in p.title]


def test_what_is_found_is_what_is_plotted() -> None:
    """Corvane page: heating second at 080 reaches 1,431 with SW1-1 OFF; the plate's 35 to 65 F are 76,000 / (1.08 x
    65) = 1,082.6 to 2,010.6 cfm."""
    result, plots = found("corvane-k14", {"cooling": "1200", "heating": "rise 55"}, model="080")
    stages = {s.title: s for a in result.found[0].answers.values() for s in a.stages}
    by_call = reaches(plots)
    assert list(by_call) == ["cooling second", "heating second"]
    for title, plot in by_call.items():
        airflow = stages[title].airflow
        assert isinstance(airflow, Fraction)
        assert plot.chosen == float(airflow)
        assert plot.chosen in plot.airflows
    assert by_call["cooling second"].target == (1200, 1200)
    assert by_call["heating second"].target == pytest.approx((76_000 / (1.08 * 55),) * 2)
    assert by_call["heating second"].window == pytest.approx((76_000 / (1.08 * 65), 76_000 / (1.08 * 35)))
    for curve, title in zip(titled(plots, "rise"), ("heating first", "heating second"), strict=True):
        assert curve.title.endswith(title)
        rise, airflow = stages[title].rise, stages[title].airflow
        assert rise is not None
        assert isinstance(airflow, Fraction)
        assert [(s.x, s.y) for s in curve.spots] == [pytest.approx((float(airflow), float(rise)))]


def test_tons_and_shares_are_plotted_as_airflow() -> None:
    """3 tons at 400 are 1,200 cfm; 45 % of what cooling gives."""
    result, plots = found("corvane-k14", {"cooling": "3 tons at 400", "fan": "45 % of cooling"}, model="080")
    cooling = result.found[0].answers["cooling"].stage("second").airflow
    assert isinstance(cooling, Fraction)
    assert reaches(plots)["cooling second"].target == (1200, 1200)
    assert reaches(plots)["fan"].target == pytest.approx((0.45 * float(cooling),) * 2)


def test_taps_at_a_static_are_plotted_on_their_charted_curves() -> None:
    """Wickerby page: at 125 Pa the taps give 230, 310, 395, 480, 565 L/s; tap 4 runs 530 at 25 Pa and 405 at 225."""
    _, plots = found("wickerby-5", {"cooling/high": "480 L/s"}, static_pressure="125 Pa")
    assert reaches(plots)["cooling high"].airflows == (230, 310, 395, 480, 565)
    (static,) = titled(plots, "static")
    assert {c.name: (c.points[0], c.points[-1]) for c in static.curves}["4"] == ((530, 25), (405, 225))
    assert [(s.x, s.y, s.solid) for s in static.spots] == [(480, 125, True)]


def test_where_nothing_fits_the_nearest_is_plotted_under_that_name() -> None:
    table, _ = load("fenwarren-4m")
    engine = Engine(table, read_facts([("model", "F30")], table))
    request = Request(targets=(read_target("cooling", "1000", table),), held={3: 1, 4: 1, 5: 1, 6: 0})
    result = find(engine, request)
    assert result.miss is not None
    assert {p.chosen_name for p in reaches(find_plots(engine, request, result)).values()} == {"nearest"}


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_a_plan_is_plotted_as_it_is_told(path: Path) -> None:
    one, data = planned(path)
    plots = plan_plots(one)
    answer = data["best"] or data["closest"]
    if answer is None:
        assert plots == ()
        return
    stages = {f"{s['call']} {s['stage']}".strip(): s for s in answer["stages"]}
    targets = {f"{t['call']} {t['stage']}".strip(): t for t in data["targets"]}
    by_call = reaches(plots)
    assert by_call
    for title, plot in by_call.items():
        told = targets[title]
        assert plot.chosen == pytest.approx(stages[title]["airflow"])
        allowed = stages[title]["allowed"]
        assert plot.window == pytest.approx((allowed["low"], allowed["high"]))
        if told["airflow"] is not None and told["share"] is None:
            assert plot.target is not None
            assert plot.target[0] <= told["airflow"] * (1 + 1e-9)
            assert plot.target[1] >= told["airflow"] * (1 - 1e-9)
    for curve in titled(plots, "rise"):
        stage = stages[curve.title.partition(": ")[2].partition(",")[0]]
        assert curve.spots[0].x == pytest.approx(stage["airflow"])
        assert any(curve.spots[0].y == pytest.approx(read["rise"]) for read in stage["read_as"])


def test_the_ramp_of_a_plan_has_its_average_and_its_seconds_below_the_floor() -> None:
    """The call length typed: the plot's average and seconds are those the plan prints."""
    tried = 0
    for path in JOBS:
        job = load_job(str(path))[0]
        fan = replace(job.fan or Fan(), call_length=Amount(value=Fraction(900), unit="s", text="15 min"))
        one = plan(house_of(replace(job, fan=fan)))
        best = one.solution.best
        stages = best.stages if best is not None else ()
        ramps = {p.title.partition(": ")[2]: p for p in titled(plan_plots(one), "comes up")}
        for stage in stages:
            plot = ramps.get(stage.title)
            if plot is None:
                continue
            tried += 1
            own = one.house.table.units.airflow
            assert stage.average is not None
            assert own == "cfm"
            assert plot.levels[0].at == pytest.approx(float(stage.average.value))
            if stage.below_s is not None and len(plot.levels) > 1:
                assert sum(s.high - s.low for s in plot.spans) == pytest.approx(float(stage.below_s.value))
    assert tried


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_a_verdict_is_plotted_as_it_is_told(path: Path) -> None:
    judged: Verified = verified(house_of(load_job(str(path))[0]))
    unit = judged.house.table.units.airflow
    plots = verify_plots(judged)
    reached = reaches(plots)
    assert len(reached) >= len(judged.judged) > 0
    for one in judged.judged:
        plot = next(p for call, p in reached.items() if one.verdict.state.title.startswith(call.split(",")[0]))
        assert plot.chosen_name == "selected"
        if one.verdict.moved:
            low, best, high = (
                float(f.value)
                for f in (one.verdict.moved[0].low, one.verdict.moved[0].airflow, one.verdict.moved[0].high)
            )
            factor = {"cfm": 1.0, "L/s": 1 / 2.118880003}[unit]
            assert plot.measured == pytest.approx((low * factor, best * factor, high * factor), rel=1e-6)


def test_a_measured_static_is_the_point_the_duct_curve_goes_through() -> None:
    """The record: 45 and 55 Pa, 490 L/s by the hood; on those ducts tap 5 runs where 490 (p/100)^0.5 meets its line
    from 565 to 530."""
    judged = verified(house_of(load_job(str(ROOT / "tests/examples/records/taps-with-static.yaml"))[0]))
    (static,) = titled(verify_plots(judged), "static")
    measured = next(s for s in static.spots if s.name == "measured")
    assert (measured.x, measured.y) == pytest.approx((490, 100))
    fifth = next(s for s in static.spots if s.x > 500)
    assert fifth.y == pytest.approx(100 * (fifth.x / 490) ** 2)
    assert fifth.x == pytest.approx(565 - 35 * (fifth.y - 125) / 50)


def test_plots_are_drawn_under_the_answer_and_written_as_a_picture(tmp_path: Path) -> None:
    picture = tmp_path / "plots.svg"
    words = ("find", "corvane-k14", "cooling=1200", "--model", "080", "--plot", "--svg", str(picture))
    done = run(*words, env={"COLUMNS": "40"})
    assert done.returncode == 0
    under = done.stdout[done.stdout.index("Airflow in cooling second") :].splitlines()
    assert max(map(len, under)) <= 40
    assert "chosen 1,198 cfm, 0.2 % low" in under
    root = ElementTree.fromstring(picture.read_text(encoding="utf-8"))
    assert "chosen 1,198 cfm" in root.attrib["aria-label"]
    before = picture.read_bytes()
    again = run(*words)
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert picture.read_bytes() == before


def test_json_stays_json(tmp_path: Path) -> None:
    words = ("plan", "tests/examples/jobs/oil.yaml", "--json")
    refused = run(*words, "--plot")
    assert (refused.returncode, refused.stdout) == (2, "")
    picture = tmp_path / "oil.svg"
    done = run(*words, "--svg", str(picture))
    assert done.returncode == 0
    assert json.loads(done.stdout)["best"]
    assert picture.read_text(encoding="utf-8").startswith("<svg ")


def test_verify_plots_what_was_measured() -> None:
    done = run("verify", "tests/examples/records/gas-two-stage-altitude.yaml", "--plot")
    assert "measured 1,083 cfm, 920 to 1,245 with its band" in done.stdout
    assert "selected 1,109 cfm" in done.stdout
