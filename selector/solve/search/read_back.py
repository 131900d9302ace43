"""A found setting decoded again from its marks and the rows of the charts, and held against what the search
reported."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.solve.board.facts import Facts
from selector.solve.board.marks import marks_of, read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.worlds import certain_airflow
from selector.table.model.table import No, Setting, Table
from selector.value import Struct


class Mismatch(Struct, frozen=True, kw_only=True):
    """A call and stage whose decoded airflow isn't the one reported, or a mark that isn't read as it was meant
    (`call` is the part's name)."""

    call: str
    stage: str
    reported: str
    decoded: str


def checked_find(engine: Engine, request: Request) -> FindResult:
    """What `find` finds, every setting decoded back. Raises RuntimeError where one differs: that is our fault."""
    result = find(engine, request)
    for one in result.found:
        for wrong in decoded_back(engine.table, engine.facts, one.setting, one.airflows):
            raise RuntimeError(f"a setting decoded back differs: {wrong}")
    return result


def decoded_back(
    table: Table, facts: Facts, setting: Setting, airflows: Mapping[tuple[str, str], Fraction]
) -> tuple[Mismatch, ...]:
    """Differences between the airflows a search reports for a setting and those read from the rows; empty when all
    agree.

    The setting is printed as marks, read as a person's would be, and evaluated by a fresh engine.
    """
    again = setting_of(read_marks([marks_of(setting, table)], table), table)
    out = [
        Mismatch(
            call=part.name, stage="", reported=part.word(setting[part.index]), decoded=part.word(again[part.index])
        )
        for part in table.parts
        if again[part.index] != setting[part.index]
    ]
    engine = Engine(table, facts)
    for (call, stage), reported in airflows.items():
        decoded = certain_airflow(engine, table.calls[call], stage, again)
        if decoded != reported:
            shown = decoded.why if isinstance(decoded, No) else f"{float(decoded):g}"
            out.append(Mismatch(call=call, stage=stage, reported=f"{float(reported):g}", decoded=shown))
    return tuple(out)
