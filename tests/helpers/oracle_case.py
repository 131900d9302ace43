"""A described case, and a shipped table, as the oracle in tests/oracle reads them."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from selector.table.model.table import ABSENT, Table
from selector.table.model.table import Setting as ProgramSetting
from tests.helpers.describe import Ask
from tests.helpers.generate import Case
from tests.helpers.ready import typed
from tests.helpers.write import written
from tests.oracle.oracle_evaluate import Facts
from tests.oracle.oracle_find import Answer, Options, Target
from tests.oracle.oracle_judge import Known
from tests.oracle.oracle_table import OFF_PINS, OracleTable, TableError, load


def oracle_table(case: Case) -> OracleTable:
    """The case's text read by the oracle."""
    return load(written(case.table, case.layout).text)


def oracle_or_none(case: Case) -> OracleTable | None:
    """The same; None for what the oracle doesn't read (facts that are a chart's own key without being declared)."""
    try:
        return oracle_table(case)
    except TableError:
        return None


def oracle_facts(ask: Ask) -> Facts:
    """The facts of a question."""
    known = dict(ask.facts)
    model = known.pop("model", None)
    own = {"static pressure": None, "firing rate": None, "supply voltage": None, "pump pressure": None}
    figures = {name: known.pop(name, None) for name in own}
    return Facts(
        model=None if model is None else str(model),
        static=_number(figures["static pressure"]),
        static_of={call: Fraction(value) for call, value in ask.static.items()},
        rate=_number(figures["firing rate"]),
        volts=_number(figures["supply voltage"]),
        pump_pressure=_number(figures["pump pressure"]),
        installed={name: typed(value) for name, value in known.items()},
    )


def _number(value: Fraction | str | None) -> Fraction | None:
    return None if value is None else Fraction(value)


def oracle_known(ask: Ask) -> Known:
    """What the job adds: the outdoor unit."""
    tons = ask.facts.get("outdoor tons")
    return Known(tons=_number(tons))


def oracle_marks(
    table: Table, oracle: OracleTable, setting: ProgramSetting, unread: Iterable[int] = ()
) -> dict[str, str]:
    """A setting as marks; a part without a position is left out, one in `unread` is `?`."""
    out: dict[str, str] = {}
    for part in table.parts:
        at = setting[part.index]
        if at is not None:
            word = OFF_PINS if at == ABSENT else part.positions[at]
            out[part.name] = word if word in oracle.knobs[part.name].positions else oracle.knobs[part.name].read(word)
        elif part.index in unread:
            out[part.name] = "?"
    return out


def oracle_targets(ask: Ask) -> list[Target]:
    """The aims that the oracle can be asked for: none of a share."""
    return [
        Target(
            call=a.call,
            aim=a.low if a.low == a.high else (a.low, a.high),
            stage=a.stage or None,
            quantity=a.quantity,
            weight=a.weight,
        )
        for a in ask.aims
    ]


def oracle_options(table: Table, oracle: OracleTable, ask: Ask) -> Options:
    """What a question holds and how many answers it wants."""
    held = oracle_marks(table, oracle, tuple(ask.held.get(p.index) for p in table.parts))
    return Options(known=oracle_known(ask), hold=held, near=ask.near, first=ask.first)


def as_setting(table: Table, answer: Answer) -> ProgramSetting:
    """An answer's setting in the program's order of parts."""
    out: list[int | None] = []
    for part in table.parts:
        word = answer.setting[part.name]
        if word == "?":
            out.append(None)
        elif word == OFF_PINS and OFF_PINS not in part.positions:
            out.append(ABSENT)
        else:
            out.append(next(i for i, p in enumerate(part.positions) if p.casefold() == word.casefold()))
    return tuple(out)
