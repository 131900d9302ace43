"""Tables and questions drawn at random: by hypothesis, which makes failing ones smaller, or from a seed.

They hold what makes tables hard: charts that don't factor, repeated figures, odd order, don't-care, refused and copied
rows, blanks, several
models and stages, rounding, limits, straight lines along static pressure and firing rate, calls that take another
call's airflow, banks that
several charts share, selectors that declare equipment. Boards are small enough to list every setting.
"""

from __future__ import annotations

from dataclasses import dataclass

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
