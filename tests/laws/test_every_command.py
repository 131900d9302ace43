"""L12 danger first, L13 not known is not wrong, L14 nothing left out silently, and every warning and figure of the text
in the JSON, over all commands: boards of every shipped table with marks unread and left out and facts left out."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from selector.judge.judgement import WRONG
from selector.table.library.library import load
from selector.table.model.table import CellWord, Either, Table
from selector.units import convert
from tests.helpers.commands_here import CommandAnswer, answers_about, figures_of, numbers_in, texts_in
from tests.helpers.said import DrawnBoard, drawn_board

TABLES = sorted(p.stem for p in (Path(__file__).parents[2] / "tables").glob("*.yaml"))
VERDICT = re.compile(
    r"OK: as set|Change nothing|Nothing fits|No setting|Fits by the chart|Inside every limit|Can't tell until|"
    r"No airflow verdict|No verdict"
)
FORMULA = {1.08, 1.2072}
"""The factor of standard air in the arithmetic, Btu/(h cfm F) and W/(L/s K)."""


def boards_of(table: Table) -> list[DrawnBoard]:
    random = Random(f"every command {table.name}")
    return [drawn_board(random, table)]


def plain(text: str) -> str:
    return " ".join(text.split())


def danger_first(answer: CommandAnswer) -> None:
    """L12: a measured danger, a computed one, a contradiction of equipment, the verdict."""
    dangers = answer.data.get("dangers", ())
    measured = [d["said"] for d in dangers if isinstance(d, dict) and d["level"] == "DANGER" and not d["by_chart"]]
    worked = [d if isinstance(d, str) else d["said"] for d in dangers if isinstance(d, str) or d["by_chart"]]
    worked = [text for text in worked if text.startswith("DANGER")]
    told = [f"{c['selector']} is set for {c['fact']}" for c in answer.data.get("contradictions", ())]
    places = [answer.text.find(plain(text)) for text in (*measured, *worked)]
    assert -1 not in places, (answer, measured, worked)
    told_at = [at for text in told if (at := answer.text.find(text)) >= 0]
    verdict = VERDICT.search(answer.text)
    order = [*places, *sorted(told_at), *([verdict.start()] if verdict else [])]
    assert order == sorted(order), (answer, order)


def not_known_is_not_wrong(answer: CommandAnswer, board: DrawnBoard) -> None:
    """L13: only what was looked at is unreadable; nothing moves on a board on which nothing is wrong."""
    assert board.unread or "can't be read" not in answer.text, answer
    printed = any(
        isinstance(cell, Either) or cell is CellWord.UNREADABLE
        for chart in board.table.charts.values()
        for row in chart.rows
        for cell in row.cells
    )
    if not board.unread and not printed:
        assert '"unreadable"' not in str(answer.data).replace("'", '"'), answer
    if answer.command == "found":
        stages = {s["stands"] for s in answer.data["stages"]}
        told = answer.data["contradictions"] or answer.data["dangers"]
        unread = answer.data["unread"]
        if not stages & WRONG and not told and (unread is None or unread["right"] is not False):
            assert answer.data["right"] is not False, answer
            assert answer.data["fewest"] is None, answer


def nothing_is_left_out(answer: CommandAnswer, board: DrawnBoard) -> None:
    """L14: every call is named, and what a search passed over, with its count."""
    if answer.command in ("decode", "found") or (answer.command == "find" and answer.data["found"]):
        assert [call for call in board.table.calls if call not in answer.text] == [], answer
    for one in answer.data.get("left_out", ()):
        assert one["name"] in answer.text, (answer, one)
        assert one["count"] == 1 or str(one["count"]) in answer.text, (answer, one)
    for title in answer.data.get("not_to_be_had", ()):
        assert title in answer.text, (answer, title)


def warnings_are_in_the_json(answer: CommandAnswer) -> None:
    """A danger or warning of the text stands in the JSON."""
    there = " ".join(plain(text).lower().rstrip(".") for text in texts_in(answer.data))
    for line in answer.printed.split("\n"):
        start = re.match(r"(DANGER|WARNING|Warning)\b[^:]*: *", line)
        if start:
            assert plain(line[start.end() :]).lower().rstrip(".") in there, (answer, line)


def converted(x: float, table: Table) -> list[float]:
    """A figure of the JSON in the units that a metric table is told in: airflow, heat (W, kW), tons (kW), degrees."""
    out = [float(convert(Fraction(x).limit_denominator(10**6), "cfm", table.units.airflow))]
    if table.units.temperature == "C" or table.units.airflow != "cfm":
        out += [x * 0.29307107, x * 0.00029307107, x * 3.516853, (x - 32) / 1.8, *(y / 3.516853 for y in out)]
    return out


def figures_follow(answer: CommandAnswer, board: DrawnBoard) -> None:
    """Every figure of the text is in the JSON as far as it is printed: a share as percent too, an airflow in cfm (as
    verify has it), an airflow's distance from its target over that target."""
    have = {abs(x) for x in numbers_in(answer.data)} | FORMULA
    have |= {float(word) for word in board.table.unit.models if word.isdigit()}
    have |= {100 * x for x in have} | {x for x in have for x in converted(x, board.table)}
    for choice in (answer.data.get("best"), answer.data.get("closest")):
        targets = {(t["call"], t["stage"]): t["airflow"] for t in answer.data.get("targets", ()) if t.get("airflow")}
        for s in choice["stages"] if choice else ():
            aim = targets.get((s["call"], s["stage"]))
            have |= {abs(s["airflow"] - aim) / aim * 100} if aim and s["airflow"] else set()
    have |= {
        float(word) for fact in board.table.facts.values() for word in fact.values if re.fullmatch(r"[\d.]+", word)
    }
    missing = []
    for figure, line in figures_of(answer):
        if answer.command in ("verify", "identify") and re.search(r" [=x]( |$)", line):
            continue  # arithmetic: its chain stands under --why
        off = 0.5 * 10 ** -len(figure.partition(".")[2]) + 1e-9
        value = abs(float(figure.replace(",", "")))
        if not any(abs(value - x) <= off for x in have):
            missing.append((figure, plain(line)))
    assert not missing, (answer, missing)


@pytest.mark.parametrize("name", TABLES)
def test_L12_L13_L14_and_the_json_of_every_command(name: str) -> None:
    table, _ = load(name)
    seen = set()
    for board in boards_of(table):
        for answer in answers_about(board, name):
            seen.add(answer.command)
            danger_first(answer)
            not_known_is_not_wrong(answer, board)
            nothing_is_left_out(answer, board)
            warnings_are_in_the_json(answer)
            figures_follow(answer, board)
    assert seen >= {"decode", "plan", "found"}
