"""Tables and questions drawn at random: by hypothesis, which makes failing ones smaller, or from a seed.

They hold what makes tables hard: charts that don't factor, repeated figures, odd order, don't-care, refused and copied
rows, blanks, several
models and stages, rounding, limits, straight lines along static pressure and firing rate, calls that take another
call's airflow, banks that
several charts share, selectors that declare equipment. Boards are small enough to list every setting.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from hypothesis import strategies as st

from tests.helpers.describe import Ask, Description
from tests.helpers.generate_ask import Asker
from tests.helpers.generate_calls import Calls
from tests.helpers.generate_draw import Draw, Drawn, Seeded, Wish


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """A table, a question, and the layout its text is written in."""

    table: Description
    ask: Ask
    layout: int


def seeded(seed: int, wish: Wish | None = None) -> Case:
    """The case of a seed."""
    return drawn_case(Seeded(seed), wish or Wish())


@st.composite
def cases(draw: st.DrawFn, wish: Wish | None = None) -> Case:
    """Cases for hypothesis."""
    return drawn_case(Drawn(draw), wish or Wish())


def drawn_case(draw: Draw, wish: Wish) -> Case:
    """A table and a question about it."""
    table = Calls(draw, wish).table()
    return Case(table=table, ask=Asker(draw, wish, table).ask(), layout=draw.integer(0, 9999))


__all__ = ["Case", "Wish", "cases", "drawn_case", "seeded"]


def sharing(case: Case) -> Case | None:
    """The same with two leads that may stand on one tap: always, or with another selector at its last position; None
    for a board without taps."""
    d = case.table
    taps = next((s for s in d.selectors if s.kind == "taps"), None)
    if taps is None:
        return None
    pair = " ".join(name[len(taps.name) + 1 :] for name in taps.parts[:2])
    told = {name for s in d.selectors if s.declares for name in s.parts}
    lets = [p for p in d.parts if p.selector != taps.name and p.name not in told]
    when = [(p.name, w) for p in lets for w in p.positions[-1:] if w != "off pins"]
    share = (pair, *when[case.layout % len(when)]) if when and case.layout % 4 else (pair,)
    selectors = tuple(replace(s, share=share) if s is taps else s for s in d.selectors)
    return replace(case, table=replace(d, selectors=selectors))
