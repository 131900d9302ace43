"""What a table says is what is told: read-back, both ways, no guess, unreadable marks, nothing lost.

Cases are drawn by `generate.py`; what is right comes from tests/oracle, which shares no code with the program, or is
worked by hand.
"""

from __future__ import annotations

import os
import sys
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks
from selector.value import replace

sys.path.insert(0, str(Path(__file__).parents[2]))

from selector.judge.decode import decode
from selector.solve.board.facts import Facts
from selector.solve.board.marks import marks_of, read_marks, setting_of, tapped_twice
from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.read_back import decoded_back
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.table import ABSENT, ANY, Call, Chart, No, Row, Setting, Table
from selector.table.source import source_from_text
from selector.table.text import located
from tests.helpers.describe import Description
from tests.helpers.generate import Case, Wish, cases
from tests.helpers.oracle_case import oracle_facts, oracle_marks, oracle_or_none
from tests.helpers.ready import engine_for, loaded, ready, words
from tests.helpers.write import written
from tests.oracle.oracle_evaluate import evaluate as oracle_evaluate

TABLES = Path(__file__).parents[2] / "tables"
LAW = settings(max_examples=40, suppress_health_check=list(HealthCheck))
SMALL = Wish(most=200)


# L1


def printed(chart: Chart, row: Row) -> list[str]:
    """A row out of the loaded model: its positions by their words, then its cells as it keeps them."""
    marks = ["-" if at == ANY else key.values[at] for key, at in zip(chart.keys, row.positions, strict=True)]
    if row.like:
        return [
            *marks,
            "as",
            *("-" if at == ANY else key.values[at] for key, at in zip(chart.keys, row.like, strict=True)),
        ]
    return [*marks, *([row.word] if row.word else row.typed)]


@LAW
@given(cases(SMALL))
def test_L1_read_back(case: Case) -> None:
    """Charts printed from a loaded file hold every cell as typed; a position is printed by its declared word,
    whichever of its marks was typed."""
    file = written(case.table, case.layout)
    table = loaded(case.table, case.layout)
    assert list(table.charts) == [c.name for c in case.table.charts]
    for chart in table.charts.values():
        marks = [
            table.parts[k.part].marks if k.kind == "part" else {v: i for i, v in enumerate(k.values)}
            for k in chart.keys
        ]
        for row, typed in zip(chart.rows, file.rows[chart.name], strict=True):
            got = printed(chart, row)
            places = len(marks) if not row.like else 2 * len(marks) + 1
            assert len(got) == len(typed)
            for i, (a, b) in enumerate(zip(got, typed, strict=True)):
                if i < places and b not in ("-", "as"):
                    known = marks[i % (len(marks) + 1)]
                    assert known[a] == known.get(b, known.get(b.casefold()))
                else:
                    assert a == b


def test_L1_read_back_of_shipped_tables() -> None:
    """Every cell of the shipped tables, their rows read by a general YAML library and split at blanks."""
    for path in sorted(TABLES.glob("*.yaml")):
        table, _ = load(str(path))
        raw = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        for name, chart in ((c.name, c) for c in table.printed_charts):
            lines = [line.strip() for line in raw["charts"][name]["rows"].replace(";", "\n").splitlines()]
            lines = [line for line in lines if line and not line.startswith("#")]
            for row, line in zip(chart.rows, lines, strict=True):
                typed = line.partition("(")[0].split()
                cells = [row.word] if row.word else [] if row.like or row.same else list(row.typed)
                for at, mark in (m for m in row.marks if cells):
                    cells[at] += "" if mark in cells[at] else f" {mark}"
                for at, second in enumerate(row.beside if cells else ()):
                    cells[at] += f" {second.split()[0]}" if second else ""
                if cells:
                    assert " ".join(cells).split() == typed[-len(" ".join(cells).split()) :], (name, line)
                assert row.note in line
                assert not row.same or "same as" in line


# L2


@LAW
@given(cases(SMALL))
def test_L2_both_ways(case: Case) -> None:
    """Every setting found, printed as marks and read back as text, gives from the rows exactly the airflow that was
    reported."""
    r = ready(case)
    for found in find(r.engine, r.request).found:
        text = marks_of(found.setting, r.table)
        again = setting_of(read_marks([text], r.table), r.table)
        assert again == found.setting, text
        decoded = decode(engine_for(r.table, case.ask), again).values
        for at, airflow in found.airflows.items():
            assert decoded[at].airflows == (airflow,)
        assert not decoded_back(r.table, r.engine.facts, found.setting, found.airflows)


class Corrupted(Engine):
    """An engine that reads every airflow of one chart a little too high."""

    def __init__(self, table: Table, facts: Facts, wrong: str) -> None:
        super().__init__(table, facts)
        self._wrong = wrong
        self._made: dict[int, ChartReading] = {}

    def chart(
        self,
        chart: Chart,
        call: Call,
        stage: str,
        rate: str,
        *,
        installed: bool = False,
        led: tuple[str, str] = ("", ""),
    ) -> ChartReading:
        """The reading, its figures a little too high in the wrong chart."""
        right = super().chart(chart, call, stage, rate, installed=installed, led=led)
        if chart.name != self._wrong:
            return right

        def look(positions: tuple[int, ...]) -> Outcome:
            outcome = right.find(positions)
            return (
                outcome
                if isinstance(outcome, No)
                else tuple(c + Fraction(1, 1000) if isinstance(c, Fraction) else c for c in outcome)
            )

        return self._made.setdefault(id(right), replace(right, find=look))


@LAW
@given(cases(SMALL), st.integers(0, 99))
def test_L2_a_corrupted_outcome_is_seen(case: Case, which: int) -> None:
    """One chart's outcomes in the search are a thousandth too high: the check tells exactly the settings whose
    airflows that changes."""
    r = ready(case)
    charts = list(r.table.charts)
    wrong = Corrupted(r.table, r.engine.facts, charts[which % len(charts)])
    for found in find(wrong, r.request).found:
        right = decode(r.engine, found.setting).values
        changed = any(right[at].airflows != (airflow,) for at, airflow in found.airflows.items())
        assert bool(decoded_back(r.table, r.engine.facts, found.setting, found.airflows)) == changed


def test_L2_a_corrupted_outcome_is_seen_by_hand() -> None:
    """Corvane page 23: off off on is 1,130 cfm for the 080, +6 % is 1,197.8; a search that reads 1,130.001 is found
    out."""
    table, _ = load("corvane-k14")
    facts = Facts(model="080")
    request = Request(targets=(read_target("cooling", "1198", table),), first=1)
    held = {i: at for i, at in read_marks(["SW1=00011000"], table).items() if at is not None}
    (right,) = find(Engine(table, facts), replace(request, held=held)).found
    assert right.airflows == {("cooling", "second"): Fraction("1197.8")}
    assert not decoded_back(table, facts, right.setting, right.airflows)
    (wrong,) = find(Corrupted(table, facts, "cooling airflow"), replace(request, held=held)).found
    (told,) = decoded_back(table, facts, wrong.setting, wrong.airflows)
    assert (told.call, told.stage) == ("cooling", "second")


# L4


def any_setting(d: Description, draw: st.DrawFn, *, unread: int = 0) -> Setting:
    """Some setting; jumpers and plugs now and then off their pins, parts not readable in so many of a hundred."""
    out: list[int | None] = []
    for part in d.parts:
        loose = d.selector(part.selector).kind in ("jumper", "plug") and "off pins" not in part.positions and not unread
        low = ABSENT if loose and draw(st.integers(0, 9)) == 9 else 0
        at = low if low == ABSENT else draw(st.integers(0, len(part.positions) - 1))
        out.append(None if draw(st.integers(0, 99)) < unread else at)
    return tuple(out)


@st.composite
def boards(draw: st.DrawFn, unread: int = 0) -> tuple[Case, Setting]:
    """A case and some setting of its board."""
    case = draw(cases(SMALL))
    return case, any_setting(case.table, draw, unread=unread)


@settings(LAW, max_examples=100)
@given(boards())
def test_L4_no_guess(board: tuple[Case, Setting]) -> None:
    """What the page doesn't print is refused with the right word and its place; what it prints is the figure, never
    another: as the oracle reads it. A firing rate and facts that aren't given are held apart."""
    case, setting = board
    r = ready(case)
    oracle = oracle_or_none(case)
    assume(oracle is not None and "firing rate" not in written(case.table, case.layout).text)
    assert oracle is not None
    assume(not case.table.facts and not any(x.declares for x in case.table.selectors))
    assume(ABSENT not in setting)
    outcomes = oracle_evaluate(oracle, oracle_marks(r.table, oracle, setting), oracle_facts(case.ask))
    for stage in judge(r.engine, BoardMarks(setting=setting)).stages.values():
        got, want = stage.outcome, outcomes[stage.call][stage.stage]
        if want.airflow is not None:
            assert got == want.airflow, (stage.title, words(r.table, setting))
            continue
        assert isinstance(got, No), (stage.title, words(r.table, setting))
        assert got.kind == want.code, (stage.title, got.why)
        assert got.why
        if not want.ranged:
            assert stage.airflows == want.airflows, (stage.title, words(r.table, setting))
        if got.kind == "not_usable" and got.line and not got.why.startswith("the page says that this position"):
            assert any(word in r.table.lines[got.line - 1] for word in ("reserved", "not used", "do not use"))


@pytest.mark.parametrize(
    ("table", "facts", "marks", "call", "kind"),
    [
        ("drossfield-x", {"model": "040"}, "SW1=01100000", "cooling", "not_usable"),  # reserved
        ("fenwarren-4m", {"model": "F20"}, "SW1=011000 J1=B J2=2", "cooling", "outside_chart"),  # nothing printed
        ("fenwarren-4m", {}, "SW1=001000 J1=B J2=2", "cooling", "not_known"),  # model not given
        ("fenwarren-4m", {"model": "F20"}, "SW1=001000 J1=B J2=4", "fan", "does_not_run"),  # none
        ("wickerby-5", {"static pressure": "250"}, "M1-Y2=3", "cooling", "outside_chart"),  # printed from 25 to 225 Pa
        ("wickerby-5", {"static pressure": "100"}, "M1-Y2=parked", "cooling", "does_not_run"),
        (
            "saltmarsh-12",
            {},
            'J1="off pins" J2=b J3=1 J4=none J5=1 LK1=whole',
            "cooling",
            "outside_chart",
        ),  # no row says what then
    ],
)
def test_L4_no_guess_on_shipped_pages(table: str, facts: dict[str, str], marks: str, call: str, kind: str) -> None:
    """Read on the pages beside the tables."""
    found, _ = load(table)
    answers = evaluate(Engine(found, read_facts(facts.items(), found)), setting_of(read_marks([marks], found), found))
    got = answers[call].stages[-1].airflow
    assert isinstance(got, No)
    assert got.kind == kind


# L5


@settings(LAW, max_examples=60)
@given(boards(unread=40))
def test_L5_unreadable(board: tuple[Case, Setting]) -> None:
    """Decoding with marks that can't be read is the set of decodings of every completion; a lead not read isn't on
    another's tap."""
    case, setting = board
    d = case.table
    every = list(
        product(
            *(
                [i for i, word in enumerate(p.positions) if word != "off pins"] if at is None else [at]
                for p, at in zip(d.parts, setting, strict=True)
            )
        )
    )
    assume(len(every) <= 100)
    r = ready(case)
    unread = {i for i, at in enumerate(setting) if at is None}
    every = [c for c in every if not any(p in unread for p in tapped_twice(c, r.table))]
    got = decode(r.engine, setting, unread)
    listed = [judge(r.engine, BoardMarks(setting=c)).stages for c in every]
    for at, told in got.values.items():
        values = [stages[at] for stages in listed]
        assert set(told.airflows) == {x for v in values for x in v.airflows}
        assert {n.kind for n in told.noes} == {n.kind for v in values for n in v.noes}
        assert told.airflows == tuple(sorted(told.airflows))
        assert told.certain == (len(told.airflows) + len({n.kind for n in told.noes}) == 1)


def test_L5_unreadable_marks_are_not_listed_one_by_one() -> None:
    """Forty switches that each add 10 cfm to 600: 2^40 completions, 41 airflows."""
    board = "\n".join(f"  SW{n}: {{kind: switches, count: 8}}" for n in range(1, 6))
    charts = "\n".join(
        f"  add {n} {i}:\n    set: SW{n}-{i}\n    gives: offset\n    rows: OFF none; ON +10"
        for n in range(1, 6)
        for i in range(1, 9)
    )
    steps = ", ".join(f"add {n} {i}" for n in range(1, 6) for i in range(1, 9))
    text = (
        "format: selector table 1\nunit: {title: Forty}\nunits: {airflow:"
        f" cfm}}\nboard:\n{board}\ncharts:\n{charts}\ncalls:\n  cooling: {{airflow: [airflow: 600, {steps}]}}\n"
    )
    table, _ = build_table(source_from_text(text), "forty")
    got = decode(Engine(table, Facts()), (None,) * 40, range(40))
    assert got.values["cooling", ""].airflows == tuple(Fraction(600 + 10 * n) for n in range(41))


# L9


@settings(LAW, max_examples=15)
@given(case=cases(SMALL))
def test_L9_nothing_lost(case: Case, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Loading, finding and decoding leave a person's file and folder as they were."""
    folder = tmp_path_factory.mktemp("own")
    path = folder / "drawn.yaml"
    path.write_text(written(case.table, case.layout).text, encoding="utf-8")
    os.utime(path, ns=(10**18, 10**18))
    was = path.read_bytes()
    table, _ = load(str(path))
    r = ready(case)
    found = find(Engine(table, r.engine.facts), r.request).found
    decode(Engine(table, r.engine.facts), found[0].setting if found else (None,) * len(table.parts))
    assert path.read_bytes() == was
    assert path.stat().st_mtime_ns == 10**18
    assert os.listdir(folder) == ["drawn.yaml"]


# the parser


@settings(LAW, max_examples=15)
@given(cases(SMALL))
def test_where_libyaml_is_absent_the_same_answers_come(case: Case) -> None:
    """The same model, line for line, and the same first settings from the parser written in Python."""
    fast = ready(case)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(located, "CParser", None)
        pure = ready(case)
    assert pure.table == fast.table
    spoken = [[(f.setting, f.deviation, f.airflows) for f in find(r.engine, r.request).found] for r in (fast, pure)]
    assert spoken[0] == spoken[1]
