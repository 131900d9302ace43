"""A described case made ready for the program: its text read, its facts and targets typed as a person would."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.model.table import ABSENT, Setting, Table
from selector.table.source import source_from_text
from tests.helpers.describe import Aim, Ask, Description
from tests.helpers.generate import Case
from tests.helpers.write import number, written


@dataclass(frozen=True, kw_only=True, slots=True)
class Ready:
    """What the program works with."""

    table: Table
    engine: Engine
    request: Request


def ready(case: Case) -> Ready:
    """The case's table loaded, its question read."""
    table = loaded(case.table, case.layout)
    return Ready(table=table, engine=engine_for(table, case.ask), request=request_for(table, case.ask))


def loaded(d: Description, layout: int = 0) -> Table:
    """The table of a description's text. Raises Refused."""
    return build_table(source_from_text(written(d, layout).text, "drawn.yaml"), "drawn")[0]


def engine_for(table: Table, ask: Ask) -> Engine:
    """The table under the facts of a question."""
    pairs = [(name, typed(value)) for name, value in ask.facts.items()]
    pairs += [(f"static pressure in {call}", typed(value)) for call, value in ask.static.items()]
    return Engine(table, read_facts(pairs, table))


def request_for(table: Table, ask: Ask) -> Request:
    """The question of a find."""
    targets = tuple(read_target(f"{a.call} {a.stage}".strip(), target_text(a), table) for a in ask.aims)
    return Request(targets=targets, held=dict(ask.held), found=ask.found, first=ask.first, near=ask.near)


def typed(value: Fraction | str) -> str:
    """A fact as typed."""
    return value if isinstance(value, str) else number(value)


def target_text(aim: Aim) -> str:
    """A target as typed."""
    ends = number(aim.low) if aim.low == aim.high else f"{number(aim.low)} to {number(aim.high)}"
    weight = "" if aim.weight == 1 else f" weight {number(aim.weight)}"
    if aim.quantity == "airflow per ton":
        return f"{ends} per ton{weight}"
    if aim.quantity == "temperature rise":
        return f"rise {ends}{weight}"
    if aim.of is not None:
        return f"{ends} % of {' '.join(aim.of).strip()}{weight}"
    return f"{ends}{weight}"


def words(table: Table, setting: Setting) -> Mapping[str, str]:
    """A setting by names, for messages."""
    return {p.name: "off pins" if at == ABSENT else p.word(at) for p, at in zip(table.parts, setting, strict=True)}
