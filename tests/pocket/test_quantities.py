"""Every quantity through a chart, a step and the page: what each does to an airflow, worked by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest
from playwright.sync_api import Browser

from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.model.formula import formula
from selector.table.model.quantities import FORMS, QUANTITIES, STEPS, Operation
from selector.table.model.table import Table
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import asked
from tests.helpers.pocket_cases import Question
from tests.pocket.test_page import built


@dataclass(frozen=True)
class Case:
    """A cell of a quantity, the steps around it, the airflow by hand, and the words of its figure in a formula."""

    cell: str
    airflow: Fraction
    words: str = ""
    before: str = "base"
    after: str = ""
    heat: bool = False


CASES = {
    "airflow": Case("1200", Fraction(1200), "1200 cfm", before=""),
    "tons": Case("3", Fraction(3 * 400), "3 tons x 400 cfm per ton", before="", after="airflow per ton: 400"),
    "airflow per ton": Case("375", Fraction(3 * 375), "3 tons x 375 cfm per ton", before="tons: 3"),
    # 60,000 Btu/h x 90 % / (1.08 x 50 F)
    "temperature rise": Case("50", Fraction(1000), "heat output / (sensible factor x 50 F)", before=""),
    "trim": Case("+6 %", Fraction(1060), "base, then x (1 + 6 %)"),
    "share": Case("66 %", Fraction(660), "base, then x 66 %"),
    "reduction": Case("16 %", Fraction(840), "base, then x (1 - 16 %)"),
    "offset": Case("-50", Fraction(950), "base, then - 50 cfm"),
    "least airflow": Case("1100", Fraction(1100), "base, then at least 1100 cfm"),
    "most airflow": Case("900", Fraction(900), "base, then at most 900 cfm"),
    "heat input": Case("60000", Fraction(1000), heat=True),
    # 54,000 Btu/h / (1.08 x 50 F)
    "heat output": Case("54000", Fraction(1000), heat=True),
    # 36 MJ in an hour; the international table Btu is 1,055.05585262 J (ISO 80000-5)
    "heater power": Case("10", Fraction(36_000_000) / Fraction("1055.05585262") / 54, heat=True),
    # 0.75 gal/h x 140,000 Btu/gal x 90 %
    "nozzle rate": Case("0.75", Fraction(94500, 54), heat=True),
    "seconds": Case("90", Fraction(1000)),
    "watts": Case("320", Fraction(1000)),
    "speed": Case("950", Fraction(1000)),
    "ramp": Case("slow", Fraction(1000)),
    "label": Case("balance", Fraction(1000)),
}
WORDS = {
    "plus": ("150", Fraction(1150), "base, then + 150 cfm"),
    "minus": ("150", Fraction(850), "base, then - 150 cfm"),
    "at least": ("1100", Fraction(1100), "base, then at least 1100 cfm"),
    "at most": ("900", Fraction(900), "base, then at most 900 cfm"),
    "round": ("300", Fraction(900), "base, then rounded to 300 cfm"),
    "round up": ("300", Fraction(1200), "base, then rounded up to 300 cfm"),
    "round down": ("300", Fraction(900), "base, then rounded down to 300 cfm"),
}
"""The same for the words of a step that are no quantities."""
TELLING = {"seconds": "on delay", "ramp": "ramp"}
"""Where a call names a chart that changes no airflow."""


def acts(name: str) -> bool:
    """True for a quantity that changes an airflow."""
    return QUANTITIES[name].role != "note"


def _call(name: str, one: Case, how: str) -> str:
    step = {"chart": f"of {name}", "step": f"{name}: {one.cell}", "named": f"{name}: of {name}"}[how]
    steps = [] if one.heat else [s for s in (one.before, step, one.after) if s]
    out = f"  {name} by {how}:\n"
    if one.heat:
        out += f"    heat:\n      - {step}\n"
        steps = ["temperature rise: 50"]
    elif not acts(name):
        out += f"    {TELLING[name]}: of {name}\n" if name in TELLING else ""
        steps = ["base"]
    return out + "    airflow:\n" + "".join(f"      - {s}\n" for s in steps)


def text() -> str:
    """A table with a chart for each quantity, and calls that use it: by name, as a figure, as a word with a name."""
    charts = "".join(
        f"  of {n}:\n    set: SW1-1\n    gives: {n}\n    rows: |\n      OFF {c.cell}\n      ON {c.cell}\n"
        for n, c in CASES.items()
    )
    calls = "".join(
        _call(n, c, how) for n, c in CASES.items() for how in (("chart", "step", "named") if acts(n) else ("chart",))
    )
    for word, (figure, _, _) in WORDS.items():
        calls += f"  {word} by step:\n    airflow:\n      - base\n      - {word}: {figure}\n"
    return (
        "format: selector table 1\nunit:\n  title: Trial\nunits: {airflow: cfm, temperature: F, heat: Btu/h}\n"
        "ratings:\n  heat input: 60000\n  efficiency: 90 %\n  heat per gallon: 140000\n"
        "board:\n  SW1: {kind: switches, count: 1, factory: all off}\n"
        "charts:\n  base:\n    gives: airflow\n    rows: |\n      1000\n" + charts + "ramps:\n  slow: 60 s at 50 %\n"
        "calls:\n" + calls
    )


@pytest.fixture(scope="module")
def table() -> Table:
    """The table of all cases."""
    return built(text())


@pytest.fixture(scope="module")
def page(table: Table, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Fraction]:
    """Call -> airflow, as the page works it out in a browser."""
    with chromium() as browser:
        return dict(_answers(browser, table, tmp_path_factory.mktemp("page")))


def _answers(browser: Browser, table: Table, folder: Path) -> Iterator[tuple[str, Fraction]]:
    answers = asked(browser, folder, table, [Question(model=None, values={}, setting=(0,))])
    for stage in answers[0][0]:
        yield stage[0], Fraction(stage[2].partition(" = ")[2])


def test_no_quantity_is_left_out() -> None:
    assert set(CASES) == set(QUANTITIES)
    assert set(WORDS) == set(STEPS) - set(QUANTITIES)
    assert set(FORMS) == set(get_args(Operation))


@pytest.mark.parametrize("name", QUANTITIES)
def test_a_quantity_does_the_same_in_a_chart_a_step_and_the_page(
    table: Table, page: Mapping[str, Fraction], name: str
) -> None:
    answers = evaluate(Engine(table, NOTHING_KNOWN), (0,))
    for how in ("chart", "step", "named") if acts(name) else ("chart",):
        call = f"{name} by {how}"
        assert answers[call].stages[0].airflow == CASES[name].airflow
        assert page[call] == CASES[name].airflow
    if CASES[name].words:
        assert formula(table, table.calls[f"{name} by step"], "") == CASES[name].words


@pytest.mark.parametrize("word", WORDS)
def test_a_word_of_a_step_does_the_same_in_the_page(table: Table, page: Mapping[str, Fraction], word: str) -> None:
    call, (_, airflow, words) = f"{word} by step", WORDS[word]
    assert evaluate(Engine(table, NOTHING_KNOWN), (0,))[call].stages[0].airflow == airflow == page[call]
    assert formula(table, table.calls[call], "") == words


@pytest.mark.parametrize("name", [n for n in QUANTITIES if not acts(n)])
def test_what_is_told_is_no_step(name: str) -> None:
    built(text())
    with pytest.raises(Refused):
        built(text() + f"  wrong:\n    airflow:\n      - base\n      - {name}: 5\n")


@pytest.mark.parametrize("name", [n for n, q in QUANTITIES.items() if q.role in ("factor", "bound")])
def test_the_expression_of_a_step_works_out_to_the_same(name: str) -> None:
    """What `--why` recomputes: percents stand in it as shares of 1."""
    figure = Fraction(CASES[name].cell.removesuffix(" %")) / (100 if "%" in CASES[name].cell else 1)
    operation = QUANTITIES[name].operation
    assert operation is not None
    expression = FORMS[operation].expression.format(x="x", v="v")
    found = eval(expression, {"x": Fraction(1000), "v": figure, "max": max, "min": min})
    assert found == CASES[name].airflow
