"""Which mark a measured airflow settles: every position that an unread mark may have, held against the reading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import Call, Setting
from selector.value import Struct

MOST = 4096
"""With more settings of the unread marks than these nothing is said."""


class MaySet(Struct, frozen=True, kw_only=True):
    """One position of an unread part: the airflow nearest to the reading that it allows (table's unit; None: none), and
    how far off the reading that is, a share of the reading."""

    position: int
    airflow: Fraction | None
    off: Fraction | None
    fits: bool


class SettledMark(Struct, frozen=True, kw_only=True):
    """One unread part beside a reading taken in `call` and `stage`: its positions, nearest to the reading first."""

    part: int
    call: str
    stage: str
    positions: tuple[MaySet, ...]

    @property
    def fitting(self) -> tuple[MaySet, ...]:
        """The positions that lie in the reading's band."""
        return tuple(one for one in self.positions if one.fits)

    @property
    def settles(self) -> bool:
        """True where one position alone fits."""
        return len(self.fitting) == 1


def settle(
    engine: Engine, setting: Setting, call: Call, stage: str, low: Fraction, read: Fraction, high: Fraction
) -> tuple[SettledMark, ...]:
    """What a reading of one stage (its band from `low` to `high`, in the table's unit) says of the marks that aren't
    known and that its airflow reads; empty where there are none."""
    point = engine.asked(call, stage)
    read_by = dict.fromkeys(p for i in engine.airflow(call, stage, point.rate) for r in i.readings for p in r.parts)
    needed = [p for p in read_by if setting[p] is None]
    parts = engine.table.parts
    if not needed or prod(len(parts[p].positions) for p in needed) > MOST:
        return ()
    tried = list(_completions(engine, setting, call, stage, needed))
    out = []
    for n, part in enumerate(needed):
        found = []
        for position in parts[part].open_positions:
            airflows = [x for choice, x in tried if choice[n] == position and x is not None]
            nearest = min(airflows, key=lambda x: abs(x - read), default=None)
            off = None if nearest is None else abs(nearest - read) / read
            fits = nearest is not None and low <= nearest <= high
            found.append(MaySet(position=position, airflow=nearest, off=off, fits=fits))
        if len({(one.airflow, one.fits) for one in found}) > 1:
            found.sort(key=lambda one: (one.off is None, one.off or 0))
            out.append(SettledMark(part=part, call=call.name, stage=stage, positions=tuple(found)))
    return tuple(out)


def _completions(
    engine: Engine, setting: Setting, call: Call, stage: str, needed: Sequence[int]
) -> Iterator[tuple[tuple[int, ...], Fraction | None]]:
    point = engine.asked(call, stage)
    for choice in product(*(engine.table.parts[p].open_positions for p in needed)):
        chosen = dict(zip(needed, choice, strict=True))
        airflow = Board(engine, tuple(chosen.get(p, at) for p, at in enumerate(setting))).airflow(point)
        yield choice, airflow if isinstance(airflow, Fraction) else None


def completed(setting: Setting, found: Sequence[SettledMark]) -> Setting:
    """The setting with the marks that the readings settle; a mark that two readings settle differently stays open."""
    told: dict[int, set[int]] = {}
    for one in found:
        if one.settles:
            told.setdefault(one.part, set()).add(one.fitting[0].position)
    return tuple(
        next(iter(told[p])) if at is None and len(told.get(p, ())) == 1 else at for p, at in enumerate(setting)
    )
