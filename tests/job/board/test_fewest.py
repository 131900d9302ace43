"""Fewest moves against exhaustive search: every setting tried, by a reading of the page that knows nothing of the
program."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from itertools import product
from typing import NamedTuple

import pytest

from selector.job.board.move import Move, moves_between
from selector.job.board.solution import FEWEST
from selector.job.targets.stage_target import as_target
from selector.judge.known_facts import KnownFacts, OutsideLimit
from selector.solve.board.facts import Facts
from selector.solve.board.marks import mark, read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request, find
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.range import Range
from selector.table.model.table import Setting, Table
from selector.table.source import source_from_text
from tests.worked.pages import number, read

Bits = tuple[int, ...]
Flows = Mapping[tuple[str, str], Fraction]
Ends = tuple[int, int]


def window(call: str, stage: str, low: int, high: int) -> OutsideLimit:
    return OutsideLimit(
        quantity="airflow", range=Range(Fraction(low), Fraction(high)), source="typed", call=call, stage=stage
    )


class Answer(NamedTuple):
    """The setting (None: nothing fits) and its moves."""

    setting: Setting | None
    moves: tuple[Move, ...]


def fewest(
    engine: Engine, found: Setting, limits: Sequence[OutsideLimit], held: Mapping[int, int] | None = None
) -> Answer:
    """The fewest moves under limits, as found, plan and verify search for them."""
    under = KnownFacts(facts=engine.facts, limits=tuple(limits)).engine(engine.table)
    targets = tuple(as_target((x.call, x.stage)) for x in limits)
    unread = frozenset(i for i, at in enumerate(found) if at is None)
    request = Request(targets=targets, held=held or {}, found=found, unread=unread, first=1, near=FEWEST)
    result = find(under, request).found
    return Answer(result[0].setting, moves_between(found, result[0].setting)) if result else Answer(None, ())


def texts(table: Table, answer: Answer) -> list[str]:
    return [
        f"{table.parts[m.part].name} {mark(table, m.part, m.was)} -> {mark(table, m.part, m.to)}" for m in answer.moves
    ]


def setting(table: Table, *marks: str) -> Setting:
    return setting_of(read_marks(marks, table), table)


Every = Mapping[tuple[tuple[tuple[str, str], Fraction], ...], Sequence[int]]
"""The airflows of a board, each with all the settings that give them: switch 1 is the lowest bit."""


def number_of(bits: Bits) -> int:
    return sum(bit << place for place, bit in enumerate(bits))


def listed(settings: Iterable[tuple[Bits, Flows]]) -> Every:
    """Every setting by its airflows."""
    out: dict[tuple[tuple[tuple[str, str], Fraction], ...], list[int]] = {}
    for bits, flows in settings:
        out.setdefault(tuple(flows.items()), []).append(number_of(bits))
    return out


def exhaustive(every: Every, found: Bits, windows: Mapping[tuple[str, str], Ends]) -> int | None:
    """The fewest switches that differ from `found` in a setting inside every window; None where there is none."""
    start = number_of(found)
    fewest_of = [
        min((setting ^ start).bit_count() for setting in settings)
        for flows, settings in every.items()
        if all(low <= dict(flows)[stage] <= high for stage, (low, high) in windows.items())
    ]
    return min(fewest_of, default=None)


def inside(every: Every, bits: Bits, windows: Mapping[tuple[str, str], Ends]) -> bool:
    """True where this one setting is offered by the page and inside every window."""
    at = number_of(bits)
    return exhaustive({flows: [at] for flows, settings in every.items() if at in settings}, bits, windows) == 0


# -- sixteen switches that share charts


@cache
def brindlemoor() -> Every:
    """Every setting of SW1 of the Brindlemoor S100 that the page doesn't refuse and whose rises stay inside the plate's
    35 to 65 F.

    SW2 all OPEN (no trim of heating, dehumidify off). Output 95,000 Btu/h, first stage 65 % of it (page 33).
    """
    page = read("brindlemoor-16s")
    cooling = {row[0].split(" ")[0]: row[2] for row in page.table("Cooling, second stage (cfm)").rows}
    first = {row[0]: row[1] for row in page.table("First-stage cooling, share of second stage").rows}
    trim = {row[0]: row[1] for row in page.table("Trim of cooling").rows}
    fan = {row[0]: row[1] for row in page.table("Constant fan, share of second-stage cooling").rows}
    heating = {
        "".join("1" if word == "ON" else "0" for word in row[:3]): row[5]
        for row in page.table("Heating, second stage (cfm)").rows
    }
    low = {
        "".join("1" if word == "ON" else "0" for word in row[:2]): row[2]
        for row in page.table("First-stage heating, share of second stage").rows
    }

    @cache
    def cools(one_to_six: str, trimmed: str) -> Flows | None:
        """Switches 1 to 6, and 15 and 16."""
        if one_to_six[2:4] == "11" or one_to_six[3:6] == "110":
            return None  # reserved, both as printed
        percent = number(trim[trimmed]) if trim[trimmed] != "none" else Fraction(0)
        cool = number(cooling[one_to_six[0:4]]) * (100 + percent) / 100
        return {
            ("cooling", "second"): cool,
            ("cooling", "first"): cool * number(first[one_to_six[2:5]]) / 100,
            ("fan", ""): max(cool * number(fan[one_to_six[3:6]]) / 100, Fraction(350)),
        }

    @cache
    def heats(eight_to_eleven: str) -> Flows | None:
        """Switches 8 to 11."""
        printed = heating[eight_to_eleven[:3]]
        if not printed:
            return None  # reserved
        heat = number(printed)
        heat_low = heat * number(low[eight_to_eleven[2:]]) / 100
        rises = (Fraction(95_000) / (Fraction("1.08") * heat), Fraction(61_750) / (Fraction("1.08") * heat_low))
        return (
            {("heating", "second"): heat, ("heating", "first"): heat_low}
            if all(35 <= rise <= 65 for rise in rises)
            else None
        )

    def settings() -> Iterator[tuple[Bits, Flows]]:
        for bits in product((0, 1), repeat=16):
            at = "".join(map(str, bits))
            cool, heat = cools(at[:6], at[14:]), heats(at[7:11])
            if cool is not None and heat is not None:
                yield bits, {**cool, **heat}

    return listed(settings())


def test_the_reading_of_the_page_gives_the_worked_answer() -> None:
    # worked answer 1 of the page but for SW2: cooling 1,837.5 / 1,378.1, fan 918.75, heating 1,465 untrimmed
    at = number_of(tuple(int(c) for c in "1110011010101010"))
    (flows,) = (dict(flows) for flows, settings in brindlemoor().items() if at in settings)
    assert float(flows["cooling", "second"]) == 1837.5
    assert float(flows["cooling", "first"]) == 1378.125
    assert float(flows["fan", ""]) == 918.75
    assert flows["heating", "second"] == 1465


def random_windows(rng: random.Random) -> dict[tuple[str, str], Ends]:
    """Windows of two to five stages, some narrow, some hopeless."""
    middles = {
        ("cooling", "second"): (900, 2000),
        ("cooling", "first"): (700, 1500),
        ("fan", ""): (350, 1200),
        ("heating", "second"): (1300, 1950),
        ("heating", "first"): (850, 1300),
    }
    chosen = rng.sample(sorted(middles), rng.randint(2, 5))
    out = {}
    for stage in chosen:
        middle, half = rng.randint(*middles[stage]), rng.choice((20, 60, 150))
        out[stage] = (middle - half, middle + half)
    return out


@pytest.mark.parametrize("seed", range(18))
def test_fewest_moves_over_65536_settings(seed: int) -> None:
    rng = random.Random(seed)
    table, _ = load("brindlemoor-16s")
    engine = Engine(table, Facts(model="S100"))
    found = tuple(rng.randint(0, 1) for _ in range(16))
    windows = random_windows(rng)
    start = setting(table, f"SW1={''.join(map(str, found))}", "SW2=OPEN OPEN OPEN OPEN")
    held = {p.index: 0 for p in table.parts if p.selector == "SW2" and not p.unused}
    answer = fewest(engine, start, [window(*stage, *ends) for stage, ends in windows.items()], held)
    best = exhaustive(brindlemoor(), found, windows)
    if best is None:
        assert answer.setting is None
        return
    assert answer.setting is not None
    bits = tuple(
        at for p, at in zip(table.parts, answer.setting, strict=True) if p.selector == "SW1" and at is not None
    )
    assert inside(brindlemoor(), bits, windows)
    assert len(answer.moves) == sum(a != b for a, b in zip(bits, found, strict=True)) == best


def test_both_answers_occur_among_the_seeds() -> None:
    def fits(seed: int) -> bool:
        rng = random.Random(seed)
        found = tuple(rng.randint(0, 1) for _ in range(16))
        return exhaustive(brindlemoor(), found, random_windows(rng)) is not None

    assert {fits(seed) for seed in range(18)} == {True, False}


# -- random boards of up to ten switches


def random_board(rng: random.Random) -> tuple[str, Callable[[Bits], Flows | None], int]:
    """A table's text, its meaning in plain Python (None: refused), and how many switches it has. Charts overlap in
    switches at random."""
    count = rng.randint(5, 10)
    cooling, heating, trim = (sorted(rng.sample(range(count), k)) for k in (3, 2, 2))
    unused = [str(p + 1) for p in range(count) if p not in {*cooling, *heating, *trim}]
    idle = f", not used: {' '.join(unused)}" if unused else ""
    flows = {bits: rng.randrange(600, 2000, 5) for bits in product((0, 1), repeat=3)}
    reserved = rng.choice(sorted(flows))
    heats = {bits: rng.randrange(600, 2000, 5) for bits in product((0, 1), repeat=2)}
    trims = {bits: rng.choice((-12, -6, 0, 6, 10)) for bits in product((0, 1), repeat=2)}

    def rows(cells: Mapping[Bits, str]) -> str:
        return "\n".join(f"      {''.join(map(str, bits))}  {cell}" for bits, cell in cells.items())

    def chart(name: str, parts: Sequence[int], gives: str, cells: Mapping[Bits, str]) -> str:
        return (
            f"  {name}:\n    set: {' '.join(f'SW1-{p + 1}' for p in parts)}\n    gives: {gives}\n    rows:"
            f" |\n{rows(cells)}\n"
        )

    text = (
        "format: selector table 1\nunit: {title: A board made for a test}\nunits: {airflow: cfm}\n"
        f"board:\n  SW1: {{kind: switches, count: {count}, factory: all off{idle}}}\ncharts:\n"
        + chart(
            "cooling airflow",
            cooling,
            "airflow",
            {b: "reserved" if b == reserved else str(f) for b, f in flows.items()},
        )
        + chart("heating airflow", heating, "airflow", {b: str(f) for b, f in heats.items()})
        + chart("adjustment", trim, "trim", {b: f"{t:+d} %" if t else "none" for b, t in trims.items()})
        + "calls:\n  cooling:\n    terminals: Y\n    airflow: [cooling airflow, adjustment]\n    window: {airflow: 550"
        " to 2100}\n"
        + "  heating:\n    terminals: W\n    airflow: [heating airflow, adjustment]\n"
        + "  fan:\n    terminals: G\n    airflow: [call cooling, share: 50 %, at least: 400]\n"
    )

    def meaning(bits: Bits) -> Flows | None:
        of = tuple(bits[p] for p in cooling)
        factor = Fraction(100 + trims[tuple(bits[p] for p in trim)], 100)
        cool = flows[of] * factor
        if of == reserved or not 550 <= cool <= 2100:
            return None
        return {
            ("cooling", ""): cool,
            ("heating", ""): heats[tuple(bits[p] for p in heating)] * factor,
            ("fan", ""): max(cool / 2, Fraction(400)),
        }

    return text, meaning, count


@pytest.mark.parametrize("seed", range(40))
def test_fewest_moves_on_a_random_board(seed: int) -> None:
    rng = random.Random(1000 + seed)
    text, meaning, count = random_board(rng)
    table, report = build_table(source_from_text(text, "made.yaml"), "made")
    assert not report.failed, report.problems
    every = listed((bits, flows) for bits in product((0, 1), repeat=count) if (flows := meaning(bits)) is not None)
    found = tuple(rng.randint(0, 1) for _ in range(count))
    windows: dict[tuple[str, str], Ends] = {}
    for call in rng.sample(["cooling", "heating", "fan"], rng.randint(1, 3)):
        middle, half = (
            rng.randint(350 if call == "fan" else 650, 1000 if call == "fan" else 1900),
            rng.choice((30, 90, 250)),
        )
        windows[call, ""] = (middle - half, middle + half)
    answer = fewest(Engine(table, Facts()), found, [window(*stage, *ends) for stage, ends in windows.items()])
    best = exhaustive(every, found, windows)
    assert (answer.setting is None) == (best is None)
    if best is not None:
        assert len(answer.moves) == best
        reached = tuple(at for at in answer.setting or () if at is not None)
        assert inside(every, reached, windows)


# -- what may stay, what must go


def corvane() -> tuple[Table, Engine]:
    table, _ = load("corvane-k14")
    return table, Engine(table, Facts(model="080"))


def test_nothing_moves_where_all_is_inside() -> None:
    table, engine = corvane()
    found = setting(table, "SW1=10011000")
    answer = fewest(engine, found, [window("cooling", "second", 1190, 1200)])
    assert answer.setting == found
    assert answer.moves == ()


def test_a_row_that_behaves_as_another_may_stay_though_it_is_never_proposed() -> None:
    # Thornquay T65: dial D1 at E behaves as 7 (1,160); heating at D2 = 0 gives 1,155, wanted 1,400 to 1,500: D2 = 2
    # (1,445): one move
    table, _ = load("thornquay-d")
    engine = Engine(table, Facts(model="T65"))
    answer = fewest(
        engine,
        setting(table, "D1=E D2=0 D3=A"),
        [window("cooling", "second", 1150, 1170), window("heating", "second", 1400, 1500)],
    )
    assert texts(table, answer) == ["D2 0 -> 2"]
    # but where cooling has to move, no such row is moved to
    other = fewest(engine, setting(table, "D1=0 D2=0 D3=A"), [window("cooling", "second", 1150, 1170)])
    assert texts(table, other) == ["D1 0 -> 7"]


def test_a_selector_that_declares_equipment_is_set_from_the_fact_and_counts_as_a_move() -> None:
    # Saltmarsh: J4 stands at 5 with a 15 kW heater: J4 moves; heat pump and heater then run 1,000 at least
    table, _ = load("saltmarsh-12")
    engine = Engine(table, Facts(values={"heater": "15"}))
    answer = fewest(engine, setting(table, "J1=2 J2=b J3=1 J4=5 J5=1 LK1=whole"), [window("cooling", "", 880, 900)])
    assert texts(table, answer) == ["J4 5 -> 15"]


def test_a_link_is_never_cut_and_a_cut_one_never_mended() -> None:
    # Lindmarrow: with LK1 cut cooling runs 10 % less; the link can't be put back, so the jumpers move instead
    table, _ = load("lindmarrow-j")
    engine = Engine(table, Facts())
    for link in ("cut", "whole"):
        answer = fewest(
            engine, setting(table, f"J1=B J2=A J3=A J4=1 J5=1 LK1={link}"), [window("cooling", "high", 1000, 1090)]
        )
        assert answer.setting is not None
        assert "LK1" not in [table.parts[m.part].name for m in answer.moves]


def test_swapping_two_leads_is_two_moves_and_two_never_share_a_tap() -> None:
    # Wickerby at 100 Pa: Y2 on tap 2 gives 327.5 L/s, wanted 400 to 500; only taps 3 (410) and 4 (495) do; both are
    # taken, so one lead makes way
    table, _ = load("wickerby-5")
    engine = Engine(table, Facts(values={"static pressure": Fraction(100)}))
    found = setting(table, "M1=3 2 4 1")
    answer = fewest(engine, found, [window("cooling", "high", 400, 500)])
    assert len(answer.moves) == 2
    assert answer.setting is not None
    assert len(set(answer.setting)) == 4


def test_an_unreadable_part_is_set_whatever_it_stands_at_and_is_no_counted_move() -> None:
    table, engine = corvane()
    answer = fewest(engine, setting(table, "SW1=1001?000"), [window("cooling", "second", 1190, 1250)])
    assert texts(table, answer) == ["SW1-5 ? -> ON"]


def test_marks_are_those_printed_on_the_board() -> None:
    table, _ = load("brindlemoor-16s")
    part = next(p for p in table.parts if p.name == "SW2-2")
    assert [mark(table, part.index, at) for at in (0, 1, None)] == ["OPEN", "CLOSED", "?"]
