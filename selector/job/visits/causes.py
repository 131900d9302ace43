"""What a change points to, kept as text that a technician can read and change: the first row whose columns all agree.
Common practice, no source.

Columns say up, down, same (inside the bands), or - for anything; `?` is a figure that wasn't read at both visits. A
word with bars between is one of several. Heat in the reading: where the input wasn't clocked at both visits a change of
rise may be the burner's.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from selector.value import Struct, replace

Way = Literal["up", "down", "same"]
Side = Literal["return", "supply", ""]
CAUSES = """
static | airflow   | watts | rise | input     | cause
-------|-----------|-------|------|-----------|---------------------
-      | -         | -     | -    | up        | input up
-      | -         | -     | -    | down      | input down
up     | down      | -     | -    | -         | more restriction
up     | same/?    | up    | -    | -         | more restriction
up     | same/?    | down  | -    | -         | more restriction
up     | same      | -     | -    | -         | more restriction
up     | ?         | -     | -    | -         | restriction or more air
up     | up        | -     | -    | -         | more air
down   | up        | -     | -    | -         | less restriction
down   | down      | -     | -    | -         | less air
down   | same      | -     | -    | -         | less restriction
down   | ?         | -     | -    | -         | opened or less air
?/same | down      | -     | -    | -         | less air
?/same | up        | -     | -    | -         | more air
?/same | -         | up    | -    | -         | works harder
?/same | -         | down  | -    | -         | works less
-      | -         | -     | up   | ?         | less air or more heat
-      | -         | -     | down | ?         | more air or less heat
-      | -         | -     | up   | same      | less air
-      | -         | -     | down | same      | more air
"""
FIGURES = {
    "static": "static pressure",
    "airflow": "airflow",
    "watts": "watts",
    "rise": "rise",
    "input": "input",
}
ALONE = ("input up", "input down")
"""Causes beside which the rest of the figures has its own."""
NEW_FILTER = ("less restriction", "opened or less air")
"""What a new filter does by itself."""


class Cause(Struct, frozen=True, kw_only=True):
    """What the change points to, by its name in the table; `side`: the side whose static changed by itself, `part`: the
    part of the air's way that changed most, where it was read part by part; `new_filter`: a filter that was changed at
    this visit does the same; `at_plate`: the input that changed is now what plate and job let expect."""

    name: str
    side: Side = ""
    part: str = ""
    new_filter: bool = False
    at_plate: bool = False


class CauseRow(Struct, frozen=True, kw_only=True):
    """One row: what each figure has to have done."""

    wanted: Mapping[str, frozenset[str]]
    cause: str


def _read(text: str) -> tuple[CauseRow, ...]:
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    head, *body = lines
    return tuple(
        CauseRow(
            wanted={
                FIGURES[name]: frozenset(cell.split("/"))
                for name, cell in zip(head[:-1], line, strict=False)
                if cell != "-"
            },
            cause=line[-1],
        )
        for line in body
        if not set("".join(line)) <= {"-"}
    )


ROWS = _read(CAUSES)


def causes_of(
    ways: Mapping[str, Way], side: Side = "", part: str = "", *, new_filter: bool = False, at_plate: bool = False
) -> tuple[Cause, ...]:
    """What the ways of the figures (static pressure, airflow, watts, rise, input) point to; nothing where all are the
    same. `new_filter`: the filter was changed; `at_plate`: the input is as plate and job let expect.

    >>> [cause.name for cause in causes_of({"static pressure": "up", "airflow": "down"})]
    ['more restriction']
    """
    if all(way == "same" for way in ways.values()):
        return ()
    found = [row.cause for row in ROWS if all(ways.get(name, "?") in cell for name, cell in row.wanted.items())]
    first = [name for name in found if name in ALONE][:1]
    rest = [name for name in found if name not in ALONE]
    if first:  # a rise that changed with the input is explained by it
        rest = [name for name in rest if not name.endswith("heat")]
    return tuple(
        replace(one, side=side, part=part) if "restriction" in one.name else one
        for name in (*first, *rest[:1])
        for one in [Cause(name=name, new_filter=new_filter and name in NEW_FILTER, at_plate=at_plate and name in ALONE)]
    )
