"""L11, one judgement: every limit, no, note, contradiction and fact assumed that the judge has of a board is in the
record of every command that shows the call, whoever asks, with the same state.

The sets are compared as the records have them; what the words say is held by the tests of each answer. A survey is held
in tests/survey/run/test_law_survey.py, the page in tests/pocket/test_same.py.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, get_args

import pytest

from selector.answers.assumed_facts import assumed_fact_texts
from selector.answers.board import danger_lines, limit_lines, refused_lines, shared_lines
from selector.answers.call import depends_lines, note_texts
from selector.answers.decode import decode_answer
from selector.answers.find import find_answer
from selector.answers.house.found import found_answer
from selector.answers.house.plan import plan_answer
from selector.answers.identify import identify_report
from selector.answers.verify.answer import report as verify_report
from selector.answers.words.contradiction import contradiction_text
from selector.card.blocks import Reverse, words_of
from selector.card.content import build_card
from selector.card.typeset import typeset
from selector.functions import decode as decode_function
from selector.functions import judge_board
from selector.job.as_found.as_found import as_found
from selector.job.board.expected import judged
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import plan
from selector.job.readings.settled_marks import completed
from selector.job.targets.house import House, house_of
from selector.job.verify.verify import verified
from selector.judge.assumed_facts import Taken
from selector.judge.decode import decode
from selector.judge.floors_and_ceilings import ASSUMED, engine_of
from selector.judge.judgement import Judgement
from selector.problems import Refused
from selector.solve.rank.rank import TooLarge
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.solve.search.typed_facts import read_facts
from selector.table.library.library import load
from selector.table.model.table import Table
from selector.value import data_of
from tests.helpers.generate import Wish, seeded
from tests.helpers.ready import ready
from tests.helpers.said import (
    DrawnBoard,
    assumed_of,
    drawn_board,
    judged_assumed,
    judged_limits,
    judged_notes,
    judged_told,
    limits_of,
    notes_of,
    told_of,
)

TABLES = sorted(p.stem for p in (Path(__file__).parents[2] / "tables").glob("*.yaml"))
EACH = 6
GENERATED = 8
PLANNED = {"brindlemoor-16s": 2, "marrowdale-t": 3, "quillhaven-p": 3, "2": 2}
"""Of how many boards a house is planned, on tables (drawn ones by their seed) where each plan takes a second or more;
on others of every board."""


def boards_of(table: Table, seed: str, count: int) -> list[DrawnBoard]:
    """Boards drawn with a fixed seed: marks unread and left out, every third read whole."""
    random = Random(f"one judgement {seed}")
    return [drawn_board(random, table, whole=n % 3 == 0) for n in range(count)]


def judgement_of(board: DrawnBoard) -> Judgement:
    """What the judge has of it."""
    return judge_board(board.table, board.marks, board.facts)


def house(board: DrawnBoard, **more: str) -> House | None:
    """Its house; None where a job can't say these facts."""
    try:
        return house_of(job_from_pairs({**board.job(), **more}.items())[0], board.table)
    except Refused:
        return None


def same(board: DrawnBoard, where: str, got: Any, want: Any) -> None:
    """Fails with what one has and the other lacks."""
    if isinstance(got, dict):
        got, want = ({str(item) for item in one.items()} for one in (got, want))
    assert got == want, f"{where} of {board}\n  lacks {sorted(want - got)}\n  adds {sorted(got - want)}"


def every(table: Table, judgement: Judgement) -> Any:
    return judged_limits(table, judgement.stages.values())


def decode_says_it(board: DrawnBoard) -> None:
    """decode and the Python functions."""
    want, table = judgement_of(board), board.table
    asked = decode_function(table, board.marks, board.facts).judgement
    same(board, "function", every(table, asked), every(table, want))
    engine = engine_of(table, read_facts(board.facts.items(), table))
    data: Any = data_of(decode_answer(engine, decode(engine, board.setting, board.unread), None))
    same(board, "decode", limits_of(s for c in data["calls"] for s in c["stages"]), every(table, want))
    same(board, "decode", notes_of(data["notes"]), judged_notes(want))
    same(board, "decode", assumed_of(data["assumed_facts"]), judged_assumed(want.stages.values()))
    noes = {(v["call"], v["stage"]): {n["code"] for n in v["noes"]} for v in data["possible"]}
    same(board, "decode", noes, {at: {n.kind for n in s.noes} for at, s in want.stages.items()})
    airflows = {(v["call"], v["stage"]): list(v["exact"]) for v in data["possible"]}
    same(board, "decode", airflows, {at: [str(x) for x in s.airflows] for at, s in want.stages.items()})
    same(board, "decode", told_of(data["contradictions"]), judged_told(want))


def find_says_it(board: DrawnBoard) -> int:
    """find, the board held as it stands: of a setting that fits, and of the closest where none does."""
    if None in board.setting:
        return 0
    table, shown = board.table, 0
    engine = engine_of(table, read_facts(board.facts.items(), table))
    want = judgement_of(board)
    for stage in want.stages.values():
        if not isinstance(stage.outcome, Fraction):
            continue
        aim = Target(call=stage.call, stage=stage.stage, quantity="airflow", low=Fraction(900), high=Fraction(900))
        held = {i: at for i, at in enumerate(board.setting) if at is not None}
        request = Request(targets=(aim,), held=held, found=board.setting)
        try:
            data: Any = data_of(find_answer(engine, request, find(engine, request)))
        except (Refused, TooLarge):
            continue
        miss = data["nothing_fits"]
        closest = data["found"] or ([miss["closest"]] if miss is not None and miss["closest"] is not None else [])
        for one in closest:
            if one["setting"]["marks"] != board.marks:
                continue
            shown += 1
            same(board, "find", limits_of(s for c in one["calls"] for s in c["stages"]), every(table, want))
            same(board, "find", notes_of(one["notes"]), judged_notes(want))
            same(board, "find", assumed_of(data["assumed_facts"]), judged_assumed(want.stages.values()))
        return shown
    return shown


def house_says_it(board: DrawnBoard) -> int:
    """plan and found hold the judge's limits and notes of every stage, and no limit of the table comes out otherwise
    than where decode asks."""
    known = house(board)
    if known is None or known.now is None:
        return 0
    table = board.table
    want = judged(known, known.search, known.now)
    found: Any = data_of(found_answer(as_found(known)))
    same(board, "house", limits_of(found["stages"]), every(table, want))
    notes = {n for s in found["stages"] for n in notes_of(s["notes"])}
    same(board, "house", notes, {n for n in judged_notes(want) if n[0] != "unit"})
    assert set(found["page_notes"]) >= {n.text for n in want.notes}
    same(board, "house", told_of(found["contradictions"]), judged_told(want))
    taken = assumed_of(one for one in found["assumed"] if one["what"] in get_args(Taken))
    same(board, "house", taken, judged_assumed(want.stages.values()))
    planned = plan(known)
    data: Any = data_of(plan_answer(planned))
    for shown, setting in ((data["best"], planned.solution.best), (data["closest"], planned.solution.nearest)):
        if shown is not None and setting is not None:
            same(board, "house", limits_of(shown["stages"]), every(table, judged(known, known.search, setting.setting)))
    bare = judgement_of(board)
    asked = every(table, bare)
    alone = {x[:5] for x in asked if x[3] != ASSUMED}
    for one in every(table, want):
        if one[:4] in {x[:4] for x in alone}:
            assert one[:5] in alone, (board, one, sorted(alone))
    per_ton = {(x[0], x[1], x[6]) for x in asked if x[3] == ASSUMED and x[4] in ("kept", "broken")}
    ends = {(x[0], x[1], x[6]) for x in every(table, want) if x[3] in ("floor", "ceiling") and x[4] == "broken"}
    for call, stage, side in per_ton:
        if not isinstance(bare.stages[call, stage].outcome, Fraction):
            continue
        here = {x for x in ends if x[:2] == (call, stage)}
        if any(j.rate for check in bare.stages[call, stage].checks for j in check.judged) and side:
            here &= {(call, stage, side)}  # its floor may be broken at one rate and its ceiling at another
        same(board, "per ton", here, {(call, stage, side)} if side else set())
    return 1


def reading_says_it(board: DrawnBoard) -> tuple[int, int]:
    """verify and identify, of the stage that was measured."""
    want = judgement_of(board)
    stage = next((s for s in want.stages.values() if s.airflows), None)
    if stage is None:
        return 0, 0
    measured = {"measured": f"{stage.title} hood={float(stage.airflows[0]):.0f} {board.table.units.airflow} minutes=20"}
    known = house(board, **measured)
    if known is None or known.now is None:
        return 0, 0
    checked = verified(known)
    data: Any = verify_report(checked).data
    board_of_house = judged(
        known, known.search, completed(known.now, checked.settled)
    )  # what the reading settles holds
    seen = 0
    for state in data.get("states", ()):
        seen += 1
        own = board_of_house.stages[state["call"], state["stage"]]
        assert {x[:5] for x in limits_of([state["judged"]])} >= {
            x[:5] for x in judged_limits(board.table, [own]) if x[3] != "static"
        }
        same(board, "reading", notes_of(state["judged"]["notes"]), {(n.of, n.name, n.text, n.page) for n in own.notes})
        same(board, "reading", assumed_of(state["judged"]["assumed_facts"]), judged_assumed([own]))
    if board.left_out:
        return seen, 0  # identify takes nothing as delivered: it doesn't know the board yet
    told: Any = identify_report(known.job, [board.table]).data
    named = 0
    for one in (*told["fits"], *told["may_fit"]):
        for reading in one["readings"]:
            if (
                reading["judged"] is not None
                and not any(w["code"] == "if" for w in reading["why"])
                and one["model"] == board.facts.get("model", "")
            ):
                named += 1
                own = want.stages[reading["judged"]["call"], reading["judged"]["stage"]]
                same(board, "reading", limits_of([reading["judged"]]), judged_limits(board.table, [own]))
                same(board, "reading", assumed_of(reading["judged"]["assumed_facts"]), judged_assumed([own]))
                same(board, "reading", told_of(reading["contradictions"]), judged_told(want))
                same(
                    board,
                    "reading",
                    notes_of(reading["judged"]["notes"]),
                    {(n.of, n.name, n.text, n.page) for n in own.notes},
                )
    return seen, named


def card_says_it(board: DrawnBoard) -> None:
    """The card: each danger and broken limit stands out, and nothing else; what may be, and the notes, stand on it."""
    table, want = board.table, judgement_of(board)
    engine = engine_of(table, read_facts(board.facts.items(), table))
    card = build_card(engine, decode(engine, board.setting, board.unread))
    measured = next(p for p in card.panels if p.title == "Measured")
    out = [block.text for block in measured.blocks if isinstance(block, Reverse)]
    wrong = [*shared_lines(table, want), *danger_lines(table, want), *limit_lines(table, want)]
    assert out == [typeset(text) for text in wrong]
    on_it = {text for panel in card.panels for text in words_of(panel)}
    said = [*depends_lines(table, want), *refused_lines(table, want), *(f"Note: {text}" for text in note_texts(want))]
    said += [f"{contradiction_text(table, one)}." for one in want.contradictions]
    said += [f"assumed, {text}" for text in assumed_fact_texts(want.assumed_facts)]
    assert {typeset(text) for text in said} <= on_it
    assert sum(text.startswith("Not checked") for text in on_it) >= bool(want.checks("not_judged"))


@pytest.mark.parametrize("name", TABLES)
def test_L11_one_judgement(name: str) -> None:
    """On every shipped table."""
    table, _ = load(name)
    counts = [0, 0, 0, 0]
    for n, board in enumerate(boards_of(table, name, EACH)):
        try:
            judgement_of(board)
        except (Refused, TooLarge):
            continue
        decode_says_it(board)
        card_says_it(board)
        counts[0] += find_says_it(board)
        counts[1] += house_says_it(board) if n < PLANNED.get(name, EACH) else 0
        seen, named = reading_says_it(board)
        counts[2] += seen
        counts[3] += named
    assert counts[1], counts


@pytest.mark.parametrize("seed", range(GENERATED))
def test_L11_one_judgement_of_drawn_tables(seed: int) -> None:
    """On tables drawn at random."""
    table = ready(seeded(seed, Wish(most=200, modulating=seed % 2 == 0))).table
    for n, board in enumerate(boards_of(table, str(seed), 4)):
        try:
            judgement_of(board)
        except (Refused, TooLarge):
            continue
        decode_says_it(board)
        card_says_it(board)
        find_says_it(board)
        if n < PLANNED.get(str(seed), EACH):
            house_says_it(board)
        reading_says_it(board)
