"""Boards with one selector of every kind, and settings of them, from a seed."""

from __future__ import annotations

from random import Random

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.model.table import ABSENT, Setting, Table
from selector.table.source import source_from_text

KINDS = ("switches", "jumper", "dial", "plug", "link", "menu", "taps")
BANK_WORDS = ("", ", also: {off: OPEN, on: CLOSED}", ", positions: open closed", ", also: {off: N, on: Y}")
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def random_board(random: Random) -> Table:
    """A table whose board has each kind once, in any order, of any usual size."""
    kinds = list(KINDS)
    random.shuffle(kinds)
    entries = {f"S{i}": _entry(random, kind) for i, kind in enumerate(kinds, start=1)}
    count, leads = random.randint(1, 16), random.sample(["Y1", "Y2", "W", "G", "DH"], random.randint(1, 5))
    bank, motor = f"S{kinds.index('switches') + 1}", f"S{kinds.index('taps') + 1}"
    entries[bank] = f"{{kind: switches, count: {count}{random.choice(BANK_WORDS)}}}"
    entries[motor] = (
        f"{{kind: taps, positions: {_marks(random, random.randint(2, 7), numbers=True)}, leads: {' '.join(leads)}}}"
    )
    single = [name for name in entries if name not in (bank, motor)]
    read = [*single, *(f"{bank}-{i + 1}" for i in range(count))]
    text = "\n".join(
        [
            "format: selector table 1",
            "unit: {title: Invented board}",
            "units: {airflow: cfm}",
            "board:",
            *(f"  {name}: {entry}" for name, entry in entries.items()),
            "charts:",
            "  whole board:",
            f"    set: {' '.join(read)}",
            "    gives: airflow",
            "    rows: |",
            f"      {'- ' * len(read)} 400",
            f"  tap airflow: {{set: {motor}, gives: airflow, rows: 2 500}}",
            "calls:",
            "  fan: {airflow: whole board}",
            *(f"  run {lead}: {{lead: {lead}, airflow: tap airflow}}" for lead in leads),
        ]
    )
    table, report = build_table(source_from_text(text, "board.yaml"), "board")
    if any(p.severity == "problem" for p in report.problems):
        raise Refused(report.problems)
    return table


def _entry(random: Random, kind: str) -> str:
    if kind == "link":
        return random.choice(["{kind: link}", "{kind: link, positions: open 1-2 2-3}"])
    if kind == "menu":
        return f"{{kind: menu, positions: 300 to {random.randint(4, 30) * 25 + 300} step 25}}"
    most = {"jumper": 9, "dial": 26, "plug": 8}.get(kind, 2)
    return f"{{kind: {kind}, positions: {_marks(random, random.randint(2, most), numbers=random.random() < 0.5)}}}"


def _marks(random: Random, count: int, numbers: bool) -> str:
    if numbers:
        start = random.randint(1, 2)
        return " ".join(str(start + i) for i in range(count))
    if count <= 6 and random.random() < 0.4:
        return " ".join(
            random.sample(["none", "low", "medium", "high", "opens", "closes", "fixed", "slow", "quick"], count)
        )
    return " ".join(random.sample(LETTERS, min(count, len(LETTERS))))


def random_setting(random: Random, table: Table) -> Setting:
    """Positions at random; now and then one that can't be read, or off its pins. Leads stand anywhere."""
    out: list[int | None] = []
    for part in table.parts:
        chance = random.random()
        if chance < 0.1:
            out.append(None)
        elif chance < 0.2 and part.absent:
            out.append(ABSENT)
        else:
            out.append(random.randrange(len(part.positions)))
    return tuple(out)
