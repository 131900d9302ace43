"""Which column of the records is what: told by its name, or by `--columns`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from selector.amount import MEASURES
from selector.problems import Problem, Refused, close_match
from selector.survey.board.surveyed_table import STATIC, TONS
from selector.survey.sql import MEASURED
from selector.value import Struct

_NAMES = {
    "table": ("table", "chart table"),
    "model": ("model", "plate model"),
    "marks": ("marks", "as found", "found", "setting"),
    "facts": ("facts",),
    "tons": ("tons", TONS),
    "static": ("static", STATIC),
    **{key: (f"{name} measured", f"measured {name}", f"{name} measured airflow") for name, key in MEASURED.items()},
}
"""What a record is judged by, and the names its column may have."""
_NEEDED = ("table", "marks")


class NamedColumns(Struct, frozen=True, kw_only=True):
    """`keys` and `facts` (by the fact's name) -> the number of their column, from 0."""

    keys: dict[str, int]
    facts: dict[str, int]


def named_columns(names: Sequence[str], told: Iterable[str] = (), path: str = "records") -> NamedColumns:
    """`told`: `marks=Dip switches`, `heater=Heater kW`. Raises Refused where the table or the marks have no column."""
    folded = [_folded(name) for name in names]
    keys: dict[str, int] = {}
    facts: dict[str, int] = {}
    problems: list[Problem] = []
    for one in told:
        what, equals, column = (part.strip() for part in one.partition("="))
        if not equals or _folded(column) not in folded:
            near = close_match(column, names)
            help = f"did you mean `{near}`?" if near else f"Its columns: {', '.join(names)}."
            message = f"`{one}` needs a name, = and a column" if not equals else f"There is no column `{column}`."
            problems.append(_problem(path, "wrong-columns", message, help))
            continue
        at = folded.index(_folded(column))
        known = next((key for key, words in _NAMES.items() if _folded(what) in words), None)
        if known is not None:
            keys[known] = at
        else:
            facts[what] = at
    taken = {*keys.values(), *facts.values()}
    for at, name in enumerate(folded):
        if at in taken:
            continue
        known = next((key for key, words in _NAMES.items() if name in words), None)
        if known is not None:
            keys.setdefault(known, at)
        elif name in MEASURES:
            facts.setdefault(name, at)
    for key in _NEEDED:
        if key not in keys and not problems:
            help = f'Say which it is: --columns "{key}={names[0]}". Its columns: {", ".join(names)}.'
            problems.append(_problem(path, "wrong-columns", f"No column is called `{key}`.", help))
    if problems:
        raise Refused(problems)
    return NamedColumns(keys=keys, facts=facts)


def _folded(name: str) -> str:
    return " ".join(name.replace("_", " ").split()).casefold()


def _problem(path: str, code: str, message: str, help: str) -> Problem:
    return Problem(file=path, line=0, column=0, code=code, message=message, help=help)
