"""The program's answers against those worked by hand on each shipped table's page, and on the tables as they were typed
when the first format was new: files of that day give what they gave."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from _pytest.mark.structures import ParameterSet

from selector.draw.plots.ramp import average, stretches
from selector.job.file.read import job_from_text
from selector.job.house.steady import ComingUp, coming_up
from selector.job.targets.house import house_of
from selector.judge.decode import decode
from selector.solve.board.marks import read_marks, setting_of, unread_in
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer
from selector.solve.engine.together import energised
from selector.solve.search.find import Request, find
from selector.solve.search.typed_facts import call_named, read_facts, read_target
from selector.table.library.library import load
from selector.table.model.table import No, Table

WORKED = Path(__file__).parents[1] / "worked"
TABLES = WORKED.parent.parent / "tables"
OLD = WORKED.parent / "examples" / "format_1"
CASES = [
    (f"{'old-' if tables.parent == OLD else ''}{path.stem}-{item['number']}", str(tables / path.name), item)
    for folder, tables in ((WORKED, TABLES), (OLD / "worked", OLD / "tables"))
    for path in sorted(folder.glob("*.yaml"))
    for item in yaml.safe_load(path.read_text(encoding="utf-8"))["answers"]
]
ASKS = {"decode", "find", "duct"}


def asked(kind: str) -> list[ParameterSet]:
    """The questions of one kind."""
    return [pytest.param(path, item, id=name) for name, path, item in CASES if item["ask"] == kind]


def near(got: Fraction | float, worked: Any) -> bool:
    """Equal to half a unit of the last digit that the working shows (and a hair, for halves)."""
    text = str(worked)
    places = len(text.partition(".")[2])
    return bool(abs(float(got) - float(worked)) <= 0.5 * 10**-places + 1e-9)


def stage_of(answers: Mapping[str, Any], name: str, table: Table) -> StageAnswer:
    call, stage = call_named(name, table)
    found = answers[call].stage(stage)
    assert isinstance(found, StageAnswer)
    return found


def facts_of(item: Mapping[str, Any], table: Table) -> Engine:
    pairs = [(k, str(v)) for k, v in item.get("facts", {}).items() if k != "measured in"]
    return Engine(table, read_facts(pairs, table))


def coming(answers: Mapping[str, CallAnswer], stage: StageAnswer) -> ComingUp:
    """How the stage comes up."""
    found = coming_up(answers[stage.call], stage.stage)
    assert isinstance(found, ComingUp)
    return found


def running_at(answers: Mapping[str, CallAnswer], stage: StageAnswer, second: Fraction) -> Fraction:
    """The airflow so many seconds after the blower began."""
    assert isinstance(stage.airflow, Fraction)
    found = coming(answers, stage)
    return stage.airflow * found.share_at(found.delay_s + second) / 100


def averaged(answers: Mapping[str, CallAnswer], stage: StageAnswer, length: Fraction) -> float:
    """The airflow averaged over the first seconds of running, by the steps of the ramp that a plot is drawn from."""
    assert isinstance(stage.airflow, Fraction)
    found = coming(answers, stage)
    steps = [(float(end - start), float(share)) for start, end, share in found.steps if share]
    return average(stretches([*steps, (0.0, float(found.last_share))], float(stage.airflow), float(length)))


@pytest.mark.parametrize(("path", "item"), asked("duct"))
def test_other_taps_are_read_on_the_duct_curve(path: str, item: Mapping[str, Any]) -> None:
    """The static of the worked question was measured in one call: every other tap is read where its curve crosses
    the duct curve."""
    table, _ = load(path)
    text = "\n".join(
        [
            "format: selector job 1",
            f"table: {path}",
            f"as found: {{M1: {item['marks'].replace('M1-', '')}}}",
            "measurements:",
            (
                f"  - {{call: {item['facts']['measured in']}, minutes: 10, method: static, static pressure:"
                f" {item['facts']['static pressure']}}}"
            ),
            "",
        ]
    )
    house = house_of(job_from_text(text)[0])
    crossings = {marks: figure for (_, marks), figure in house.ducts.crossings.items()}
    taps = table.parts[0].positions
    for tap, worked in item["taps"].items():
        airflow = crossings[(taps.index(str(tap)),)].value
        assert near(airflow, worked["airflow"]), (tap, float(airflow))


@pytest.mark.parametrize(("path", "item"), asked("decode"))
def test_decode_gives_the_worked_answer(path: str, item: Mapping[str, Any]) -> None:
    table, _ = load(path)
    engine = facts_of(item, table)
    marks = read_marks([item["marks"]], table)
    got = decode(engine, setting_of(marks, table), unread_in(marks))
    for call, worked in item.get("calls", {}).items():
        values = got.values[call_named(call, table)]
        assert values.certain, call
        assert [x for x in values.airflows if near(x, worked)], (call, [float(x) for x in values.airflows], worked)
    for call, worked in item.get("rise", {}).items():
        rise = stage_of(got.answers, call, table).rise
        assert rise is not None
        assert near(rise, worked), (call, float(rise), worked)
    for key, worked in item.get("seconds", {}).items():
        call, _, which = key.rpartition(" o")
        name_of_call, stage = call_named(call, table)
        delays = got.answers[name_of_call]
        assert (delays.on_delay if which.startswith("n") else delays.off_delay)[stage] == worked
    for call, by_second in item.get("ramp", {}).items():
        answer = stage_of(got.answers, call, table)
        for second, worked in by_second.items():
            assert near(running_at(got.answers, answer, Fraction(second)), worked), (call, second)
    for call, by_length in item.get("average", {}).items():
        answer = stage_of(got.answers, call, table)
        for length, worked in by_length.items():
            assert near(averaged(got.answers, answer, Fraction(length)), worked), (call, length)
    if "terminals" in item:
        running = energised(table, got.answers, item["terminals"].split())
        assert isinstance(running.airflow, Fraction)
        assert near(running.airflow, item["together"])
    assert [d.selector for d in got.differences] == item.get("differs", [])
    for call, worked in item.get("values", {}).items():
        key2 = call_named(call, table)
        distinct = [float(x) for x in got.values[key2].airflows]
        assert len(distinct) == len(worked), (distinct, worked)
        assert all(near(x, w) for x, w in zip(distinct, sorted(worked), strict=True)), (distinct, worked)
    for kind, words in (("refused", item.get("refused", [])), ("does not run", item.get("not running", []))):
        for call in words:
            x = stage_of(got.answers, call, table).airflow
            assert isinstance(x, No), (call, x)
            wanted = x.kind == "does_not_run" if kind == "does not run" else x.refused or x.kind == "unreadable"
            assert wanted, (call, x)


@pytest.mark.parametrize(("path", "item"), asked("find"))
def test_find_gives_the_worked_ranking(path: str, item: Mapping[str, Any]) -> None:
    table, _ = load(path)
    engine = facts_of(item, table)
    held = {p: at for p, at in read_marks([item["hold"]], table).items() if at is not None} if item.get("hold") else {}
    targets = tuple(read_target(call, str(text), table) for call, text in item["targets"].items())
    worked = item.get("first", [])
    result = find(
        engine, Request(targets=targets, held=held, first=max(1, len(worked)), near=Fraction(item.get("near", 0)))
    )
    if item.get("nothing"):
        assert not result.found
        assert result.miss is not None
        return
    assert worked
    assert len(result.found) == len(worked)
    for got, want in zip(result.found, worked, strict=True):
        for part, at in read_marks([want["set"]], table).items():
            assert got.setting[part] == at, (
                table.parts[part].name,
                [table.parts[i].word(p) for i, p in enumerate(got.setting)],
                float(got.deviation),
            )
        for call, figure in want.get("calls", {}).items():
            x = stage_of(got.answers, call, table).airflow
            assert isinstance(x, Fraction)
            assert near(x, figure), (call, float(x), figure)
        for call, figure in want.get("rise", {}).items():
            rise = stage_of(got.answers, call, table).rise
            assert rise is not None
            assert near(rise, figure), (call, float(rise), figure)
        if "deviation" in want:
            assert near(got.deviation, want["deviation"]), (float(got.deviation), want["deviation"])
        for t in targets:
            reported = stage_of(got.answers, f"{t.call} {t.stage}".strip(), table).airflow
            assert got.airflows[t.call, t.stage] == reported


def test_every_shipped_table_has_its_page_and_worked_answers() -> None:
    names = {p.stem for p in TABLES.glob("*.yaml")}
    assert len(names) >= 16
    assert {item["ask"] for _, _, item in CASES} == ASKS
    assert names == {p.stem for p in TABLES.glob("*.md")} - {"README"} == {p.stem for p in WORKED.glob("*.yaml")}
