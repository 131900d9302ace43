"""Something to be said of a job, a board or a reading: which, and the facts in it. The words stand in
`answers/remarks/remark.py`."""

from __future__ import annotations

from typing import TypeAlias

from selector.air.figure import Figure
from selector.value import Struct

Fact: TypeAlias = "str | Figure | tuple[str, ...] | Remark"
"""A name or a figure as it was typed, a figure in its unit, several names, or what is said inside."""


class Remark(Struct, frozen=True, kw_only=True):
    """`code` says what, `facts` hold the names and figures in it, by name."""

    code: str
    facts: tuple[tuple[str, Fact], ...] = ()


def remark(code: str, **facts: Fact) -> Remark:
    """What is to be said, with its facts.

    >>> remark("heat not known", call="heating").facts
    (('call', 'heating'),)
    """
    return Remark(code=code, facts=tuple(facts.items()))
