"""What is known of one unit beside its marks, and how its marks stand."""

from __future__ import annotations

from collections.abc import Collection

from selector.solve.board.facts import NOTHING_KNOWN, Facts
from selector.solve.engine.engine import Engine
from selector.solve.search.space import declared_position
from selector.table.model.range import Range
from selector.table.model.table import Setting, Table, Window
from selector.value import Struct, replace


class OutsideLimit(Struct, frozen=True, kw_only=True):
    """A limit that the table doesn't hold: of a job, of the house, of common practice. `call` and `stage` "" mean every
    one; figures in the table's units."""

    quantity: str
    range: Range
    source: str
    call: str = ""
    stage: str = ""


class KnownFacts(Struct, frozen=True, kw_only=True):
    """The facts (what is installed and wished among them), and limits from outside."""

    facts: Facts = NOTHING_KNOWN
    limits: tuple[OutsideLimit, ...] = ()

    def engine(self, table: Table) -> Engine:
        """The table under all of it."""
        return Engine(with_limits(table, self.limits), self.facts)


def with_limits(table: Table, limits: Collection[OutsideLimit]) -> Table:
    """The table with outside limits among the windows of the calls they name."""
    if not limits:
        return table
    calls = {
        name: replace(
            call,
            windows=(
                *call.windows,
                *(
                    Window(quantity=x.quantity, low=x.range.low, high=x.range.high, stage=x.stage, source=x.source)
                    for x in limits
                    if x.call in ("", name) and x.stage in ("", *call.stages)
                ),
            ),
        )
        for name, call in table.calls.items()
    }
    return replace(table, calls=calls)


class BoardMarks(Struct, frozen=True, kw_only=True):
    """A board's marks. A part without a position is unreadable where it is in `unread`, else nobody told it."""

    setting: Setting
    unread: frozenset[int] = frozenset()

    def standing(self, engine: Engine) -> tuple[Setting, tuple[int, ...]]:
        """Where each part stands: as typed, else as its fact says, else as delivered, else nowhere known; and the parts
        not typed that stand somewhere."""
        assumed = tuple(i for i, at in enumerate(self.setting) if at is None and i not in self.unread)
        told = {
            part.index: at
            for fact, part in engine.declarers.items()
            if (at := declared_position(engine, part, fact)) is not None
        }
        delivered = engine.table.delivered(engine.plate_model())
        setting = tuple(told.get(i, delivered[i]) if i in assumed else at for i, at in enumerate(self.setting))
        return setting, tuple(i for i in assumed if setting[i] is not None)


def marks(setting: Setting, unread: Collection[int] = ()) -> BoardMarks:
    """BoardMarks out of a setting."""
    return BoardMarks(setting=setting, unread=frozenset(unread))
