"""Every remark that the rooms below give has its words, with the facts it is given, and no words stand idle."""

from __future__ import annotations

import ast
from pathlib import Path
from string import Formatter

from selector.air.figure import given
from selector.answers.remarks.remark import WORDS, remark_data, remark_text
from selector.job.remark import remark
from selector.table.library.library import load

JOB = Path(__file__).parents[3] / "selector" / "job"


def given_remarks() -> dict[str, set[frozenset[str]]]:
    """Code -> the sets of facts it is given with, from every call of `remark`."""
    found: dict[str, set[frozenset[str]]] = {}
    for path in sorted(JOB.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "remark":
                names = frozenset(k.arg or "" for k in node.keywords)
                for code in codes(node.args[0], f"{path.name}:{node.lineno}"):
                    found.setdefault(code, set()).add(names)
    return found


def codes(node: ast.expr, where: str) -> list[str]:
    """The codes that an argument may stand for: a text, or one of two."""
    if isinstance(node, ast.IfExp):
        return [*codes(node.body, where), *codes(node.orelse, where)]
    assert isinstance(node, ast.Constant), f"{where}: the code of a remark is a text"
    assert isinstance(node.value, str)
    return [node.value]


def test_every_remark_has_its_words_and_every_line_its_remark() -> None:
    found = given_remarks()
    assert len(found) > 50
    assert set(WORDS) == set(found)


def test_the_words_use_facts_that_are_given() -> None:
    wrong = []
    for code, sets in given_remarks().items():
        asked = {name for _, name, _, _ in Formatter().parse(WORDS[code]) if name}
        wrong += [(code, asked, names) for names in sets if not asked <= names]
    assert not wrong


def test_a_figure_is_said_in_the_units_of_the_table() -> None:
    """5 F apart is 2.8 C apart; 400 cfm/ton is 188.78 L/s for 3.5169 kW, 53.68 L/s/kW."""
    near = remark("near the plate's end", least=given("least", 5, "F"))
    inch, metric = load("corvane-k14")[0], load("pellmere-si")[0]
    assert remark_text(near, inch) == "less than 5 F inside the plate's rise"
    assert remark_text(near, metric) == "less than 2.8 C inside the plate's rise"
    usual = remark("per ton", value=given("cfm_per_ton", 400, "cfm/ton"), name="usual")
    assert remark_text(usual, inch) == "400 cfm/ton, usual"
    assert remark_text(usual, metric) == "53.68 L/s/kW, usual"


def test_data_keeps_the_facts() -> None:
    table = load("corvane-k14")[0]
    told = remark_data(remark("not given", what=("nozzle", "pump pressure", "efficiency")), table)
    assert told.code == "not given"
    assert told.facts == {"what": ("nozzle", "pump pressure", "efficiency")}
    assert told.text == "nozzle, pump pressure and efficiency not given"
