"""Marks that can't be read: against every completion listed one by one, and against the pages' own questions."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import pytest

from selector.air.figure import given
from selector.job.board.stage_verdicts import WRONG, place_of
from selector.job.board.unread import Unread, unread
from selector.job.file.read import job_from_text
from selector.job.file.report import Report
from selector.job.plan.why import asked_for
from selector.job.targets.house import house_of
from selector.job.targets.stage_target import Wanted, windows
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.decode import differences
from selector.table.library.library import load
from selector.table.model.table import Setting, Table, Window
from selector.value import replace
from tests.helpers.judging import as_found_report


def window(call: str, stage: str, low: int, high: int) -> Wanted:
    return Wanted(
        call=call,
        stage=stage,
        low=given("low", low, "cfm", source="typed"),
        high=given("high", high, "cfm", source="typed"),
    )


def completions(table: Table, setting: Setting) -> Iterator[Setting]:
    """Every board that this one may be."""
    open_parts = [i for i, at in enumerate(setting) if at is None]
    for positions in product(*(range(len(table.parts[i].positions)) for i in open_parts)):
        full = list(setting)
        for i, at in zip(open_parts, positions, strict=True):
            full[i] = at
        yield tuple(full)


def windowed(engine: Engine, wanted: Sequence[Wanted]) -> Engine:
    """The engine with these windows beside its own limits."""
    calls = dict(engine.table.calls)
    for (call, stage), (low, high) in windows(wanted, engine.table).items():
        own = Window(quantity="airflow", low=low, high=high, stage=stage)
        calls[call] = replace(calls[call], windows=(*calls[call].windows, own))
    return Engine(replace(engine.table, calls=calls), engine.facts)


Stands = dict[tuple[str, str], str]


def of_setting(engine: Engine, setting: Setting) -> Stands:
    """Where every stage stands in a setting without unread marks."""
    return {
        (a.call, s.stage): place_of(s.airflow, s.judged, asked=False)
        for a in evaluate(engine, setting).values()
        for s in a.stages
    }


def corvane(marks: str, *wanted: Wanted) -> tuple[Unread, Table]:
    table, _ = load("corvane-k14")
    setting = setting_of(read_marks([marks], table), table)
    return unread(windowed(Engine(table, Facts(model="080")), wanted), setting), table


def test_the_page_question_with_one_unreadable_switch() -> None:
    # Corvane question 5: SW1-5 not legible: cooling is 1,197.8 or 1,130; a window of 1,190 to 1,250 holds only the
    # first (SW1-5 ON)
    found, table = corvane("SW1=1001?000", window("cooling", "second", 1190, 1250))
    assert found.places["cooling", "second"] == {"outside", "inside"}
    assert found.places["heating", "second"] == {"inside"}
    assert found.wrong.verdict is None
    (look,) = found.looks
    assert table.parts[look.part].name == "SW1-5"
    assert look.decides
    assert [w.verdict for w in look.wrong] == [False, True]


def test_a_mark_no_verdict_hangs_on_is_not_to_be_looked_at() -> None:
    # SW1-7 sets the fan's share only; 1,130 and 1,197.8 are both inside 1,100 to 1,250, so SW1-5 decides nothing either
    found, table = corvane("SW1=1001?0?0", window("cooling", "second", 1100, 1250))
    assert found.wrong.verdict is True
    assert found.looks == ()
    assert [table.parts[i].name for i in found.idle] == ["SW1-5", "SW1-7"]


def test_wrong_whatever_it_is() -> None:
    found, _ = corvane("SW1=1001?000", window("cooling", "second", 1250, 1300))
    assert found.wrong.verdict is False
    assert found.places["cooling", "second"] == {"outside"}


def test_two_calls_that_can_never_be_right_together_are_certainly_wrong_though_each_may_be_right() -> None:
    # cooling is inside only with +6 % (1,197.8), heating of 1,180 x 1.06 = 1,250.8 or 1,180: the window of 1,170 to
    # 1,190 needs no trim
    found, _ = corvane("SW1=1001?000", window("cooling", "second", 1190, 1250), window("heating", "second", 1170, 1190))
    assert found.places["cooling", "second"] == {"outside", "inside"}
    assert found.places["heating", "second"] == {"outside", "inside"}
    assert (found.wrong.least, found.wrong.most) == (1, 1)
    assert found.wrong.verdict is False


def test_the_mark_that_decides_comes_before_one_that_only_narrows() -> None:
    # 110: OFF OFF OFF 1,960, ON OFF OFF 1,060 (SW1-2); SW1-5 adds 6 %: inside 1,000 to 1,200 is decided by SW1-2 alone
    table, _ = load("corvane-k14")
    setting = setting_of(read_marks(["SW1=0?00?000"], table), table)
    engine = windowed(Engine(table, Facts(model="110")), [window("cooling", "second", 1000, 1200)])
    found = unread(engine, setting)
    assert table.parts[found.looks[0].part].name == "SW1-2"
    assert found.looks[0].decides


CASES = [
    # table, facts, readable marks, how many parts are hidden at most, stages that may get a window
    ("corvane-k14", Facts(model="080"), "SW1=10011000", 6, [("cooling", "second"), ("heating", "second"), ("fan", "")]),
    ("garrowby-r", Facts(), "SW1=01000000 D1=2 J1=A J2=1", 4, [("cooling", "second"), ("heating", "low"), ("fan", "")]),
    (
        "saltmarsh-12",
        Facts(values={"heater": "10"}),
        "J1=3 J2=b J3=1 J4=10 J5=1 LK1=whole",
        4,
        [("cooling", ""), ("fan", "")],
    ),
    (
        "lindmarrow-j",
        Facts(),
        "J1=B J2=A J3=A J4=1 J5=1 LK1=whole",
        3,
        [("cooling", "high"), ("heat pump", "low"), ("fan", "")],
    ),
    ("thornquay-d", Facts(model="T65"), "D1=7 D2=0 D3=A", 2, [("cooling", "second"), ("heating", "first")]),
]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("case", CASES, ids=[c[0] for c in CASES])
def test_everything_said_is_what_the_completions_say(
    case: tuple[str, Facts, str, int, list[tuple[str, str]]], seed: int
) -> None:
    name, facts, marks, most, stages = case
    rng = random.Random(f"{name} {seed}")
    table, _ = load(name)
    engine = Engine(table, facts)
    full = setting_of(read_marks([marks], table), table)
    hidden = set(rng.sample(range(len(full)), rng.randint(1, most)))
    setting = tuple(None if i in hidden else at for i, at in enumerate(full))
    while sum(1 for _ in completions(table, setting)) > 300:
        hidden.pop()
        setting = tuple(None if i in hidden else at for i, at in enumerate(full))
    wanted = []
    for stage in rng.sample(stages, rng.randint(1, len(stages))):
        middle, half = rng.randint(400, 1600), rng.choice((40, 150, 500))
        wanted.append(window(*stage, middle - half, middle + half))
    engine = windowed(engine, wanted)
    found = unread(engine, setting)
    every = {one: of_setting(engine, one) for one in completions(table, setting)}
    alone = {one: sum(place in WRONG for place in stands.values()) for one, stands in every.items()}
    counts = {one: count + len(differences(engine, one)) for one, count in alone.items()}
    assert (found.wrong_stages.least, found.wrong_stages.most) == (min(alone.values()), max(alone.values()))
    assert (found.wrong.least, found.wrong.most) == (min(counts.values()), max(counts.values()))
    places: dict[tuple[str, str], set[str]] = {}
    for stands in every.values():
        for stage, place in stands.items():
            places.setdefault(stage, set()).add(place)
    assert {stage: set(p) for stage, p in found.places.items()} == places
    for look in found.looks:
        for at, wrong in zip(look.positions, look.wrong, strict=True):
            those = [count for one, count in counts.items() if one[look.part] == at]
            assert (wrong.least, wrong.most) == (min(those), max(those))
    matter = {part for part in (*found.idle, *(look.part for look in found.looks)) if _matters(engine, every, part)}
    assert matter == {look.part for look in found.looks}
    assert {*found.idle, *matter} == {i for i, at in enumerate(setting) if at is None}


def _matters(engine: Engine, every: Mapping[Setting, Stands], part: int) -> bool:
    """True where some completion turns a stage, or what the board is told, from right to wrong by this part alone."""
    by_rest: dict[Setting, set[tuple[bool, ...]]] = {}
    for one, stands in every.items():
        by_rest.setdefault((*one[:part], None, *one[part + 1 :]), set()).add(
            (*(place in WRONG for place in stands.values()), bool(differences(engine, one)))
        )
    return any(len(found) > 1 for found in by_rest.values())


# -- in words


def of_job(text: str) -> Report:
    return as_found_report(house_of(job_from_text(f"format: selector job 1\n{text}")[0]))


@pytest.mark.parametrize(
    ("window", "said"),
    [
        # SW1-4 OFF 1,380 cfm, ON 1,240
        ("1050 to 1100 cfm", False),
        ("1200 to 1400 cfm", True),
        ("1400 to 1500 cfm", False),
        ("1200 to 1300 cfm", None),
    ],
)
def test_what_every_position_agrees_on_is_said_outright(window: str, said: bool | None) -> None:
    head = (
        "table: fenwarren-4m\nmodel: F30\noutdoor unit: {capacity: 3 tons, stages: 70 %}\nas found: {SW1: OFF OFF ON ?"
        " OFF OFF, J1: B, J2: 2}\n"
    )
    report = of_job(f"{head}windows: {{heating high: {window}}}\n")
    assert report.data["right"] is said
    (line,) = [line.strip() for line in report.lines if line.strip().startswith("heating high  ")]
    assert "1,240 or 1,380 cfm (SW1-4 unreadable)" in line


@pytest.mark.parametrize("word", ["unread", "Unread", "UNREAD"])
@pytest.mark.parametrize(
    ("table", "selector", "parts"), [("fenwarren-4m", "SW1", 6), ("corvane-k14", "SW1", 8), ("fenwarren-4m", "J1", 1)]
)
def test_unread_says_it_of_a_whole_selector(table: str, selector: str, parts: int, word: str) -> None:
    """A bank of six switches has as many as the word has letters."""
    loaded, _ = load(table)
    assert list(read_marks([f"{selector}={word}"], loaded).values()) == [None] * parts


def test_a_bank_that_cannot_be_read_stands_so_in_a_job() -> None:
    report = of_job("table: fenwarren-4m\nmodel: F30\nas found: {SW1: unread, J1: B, J2: 2}\n")
    assert "as found: SW1=?????? J1=B J2=2" in report.lines


def test_the_figures_of_a_call_are_found_by_its_name() -> None:
    head = "table: fenwarren-4m\nmodel: F30\noutdoor unit: {capacity: 3 tons, stages: 70 %}\n"
    report = of_job(f"{head}as found: {{SW1: OFF OFF ON OFF OFF OFF, J1: B, J2: 2}}\n")
    own = {name: float(figure.value) for name, figure in asked_for(report.named, "cooling high")}
    # 1,210 cfm by the page; 3 tons x 400, 300 and 450 cfm/ton
    wanted = {
        "cooling high, charted airflow": 1210,
        "cooling high, charted airflow aimed at": 1200,
        "cooling high, lower end of the window": 900,
        "cooling high, upper end of the window": 1350,
    }
    assert {name: own[name] for name in wanted} == wanted
