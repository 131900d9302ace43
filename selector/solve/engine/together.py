"""What runs when terminals are energised: the stages they call for, and the airflow when several run at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from selector.solve.engine.evaluate import CallAnswer, StageAnswer
from selector.table.model.table import NOT, No, Table
from selector.value import Struct


class Energised(Struct, frozen=True, kw_only=True):
    """The stages that a set of terminals calls for, and the airflow they make together (a No where the table doesn't
    say)."""

    stages: tuple[StageAnswer, ...]
    airflow: Fraction | No


def known_terminals(table: Table) -> tuple[str, ...]:
    """Every terminal the table names, in the order it names them."""
    each = (words for call in table.calls.values() for words in (*call.terminals.values(), *call.dark.values()))
    return tuple(dict.fromkeys(t for words in each for t in words))


def energised(table: Table, answers: Mapping[str, CallAnswer], terminals: Iterable[str]) -> Energised:
    """The stages whose terminals are all energised, and none that are to have no voltage, less those wholly inside
    another, less calls that don't run; and their airflow together."""
    on = {t.casefold() for t in terminals}
    matches: list[tuple[frozenset[str], StageAnswer]] = []
    for call in table.calls.values():
        for stage in call.stages:
            words = call.terminals.get(stage, call.terminals.get("", ()))
            wanted = frozenset(w.casefold() for w in words)
            off = {w.casefold() for w in call.dark.get(stage, call.dark.get("", ()))}
            answer = answers[call.name].stage(stage)
            if (
                wanted
                and wanted <= on
                and not off & on
                and not (isinstance(answer.airflow, No) and answer.airflow.kind == "does_not_run")
            ):
                matches.append((wanted | {f"{NOT} {w}" for w in off}, answer))
    kept = [answer for wanted, answer in matches if not any(wanted < other for other, _ in matches)]
    return Energised(stages=tuple(kept), airflow=_together(table, kept))


def _together(table: Table, stages: Sequence[StageAnswer]) -> Fraction | No:
    if not stages:
        return No(kind="does_not_run", why="these terminals call for nothing in this table")
    for s in stages:
        if isinstance(s.airflow, No):
            return s.airflow
    losers: set[str] = set()
    for i, a in enumerate(stages):
        for b in stages[i + 1 :]:
            rule = rule_of(table, a.call, b.call)
            if rule is None:
                return No(
                    kind="not_known",
                    why=f"the table doesn't say what runs when {a.title} and {b.title} are called at once",
                )
            if rule == "this":
                losers.add(b.call)
            elif rule == "that":
                losers.add(a.call)
    left = [s.airflow for s in stages if s.call not in losers and isinstance(s.airflow, Fraction)]
    return max(left) if left else No(kind="not_known", why="the rules of these calls together name no one call")


def rule_of(table: Table, a: str, b: str) -> str | None:
    """highest, this (a) or that (b) when calls a and b run together; None where neither says."""
    if a == b:
        return "highest"
    stated = table.calls[a].together.get(b)
    if stated is not None:
        return stated
    back = table.calls[b].together.get(a)
    return {"highest": "highest", "this": "that", "that": "this", None: None}[back]
