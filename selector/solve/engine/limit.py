"""A limit on a call's stage as data, and how a figure sits with it."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.engine.step_arithmetic import Register
from selector.table.model.range import ANYWHERE, Range
from selector.value import Struct


class Limit(Struct, frozen=True, eq=False):
    """A bound on a call's stage, in the table's units. `least`/`most` are registers where a chart gives the end.

    `quantity`: airflow, airflow per ton, temperature rise, outlet limit (supply air), static pressure, heat input.
    `figure`: the register that it is held against, where the airflow doesn't tell it. `missing`: why the range itself
    isn't known (a model not given, a figure the plate doesn't print), `needs` the fact that would tell it ("" where
    none would).
    """

    quantity: str
    range: Range
    source: str
    line: int = 0
    least: Register | None = None
    most: Register | None = None
    missing: str = ""
    needs: str = ""
    figure: Register | None = None

    @property
    def of_heat(self) -> bool:
        """True where the delivered heat is needed to judge it."""
        return self.quantity in ("temperature rise", "outlet limit")


class JudgedLimit(Struct, frozen=True, kw_only=True):
    """A limit held against a figure. `ok` is None where it can't be judged; then `why` says what is missing and `needs`
    names the fact that would settle it ("" where no fact alone would). `at_least`: other cases break it by more."""

    limit: Limit
    ok: bool | None
    value: Fraction | None = None
    range: Range = ANYWHERE
    why: str = ""
    needs: str = ""
    rate: str = ""
    at_least: bool = False

    @property
    def low(self) -> Fraction | None:
        """The lower end."""
        return self.range.low

    @property
    def high(self) -> Fraction | None:
        """The upper end."""
        return self.range.high

    @property
    def miss(self) -> Fraction:
        """How far outside, over the nearer end; 0 inside."""
        return self.range.deviation(self.value) if self.value is not None else Fraction(0)

    @property
    def beyond(self) -> Fraction:
        """How far outside in the limit's own unit: above positive, below negative, 0 inside."""
        return self.range.beyond(self.value) if self.value is not None else Fraction(0)
