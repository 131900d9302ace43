"""Charts at random: rows in odd order, don't-care, refused and copied rows, blanks, repeated figures, columns by
model, stage and static pressure."""

from __future__ import annotations

from fractions import Fraction
from math import prod

from tests.helpers.describe import Cell, Chart, Column, Row
from tests.helpers.generate_board import Boards
from tests.helpers.generate_draw import Draw, Wish

STATIC = {"in. w.c.": ("0.1", "0.2", "0.3", "0.5", "0.8"), "Pa": ("25", "50", "75", "125", "200")}
RATES = ("40", "60", "80", "100")


class Charts(Boards):
    """Draws charts as they are asked for."""

    def __init__(self, draw: Draw, wish: Wish) -> None:
        super().__init__(draw, wish)
        self.charts: list[Chart] = []
        self.named_off: set[str] = set()

    def chart(self, gives: str, *, staged: bool, taps: bool = False, rated: bool = False) -> Chart:
        """A chart of a quantity, new or one already there."""
        old = [
            c
            for c in self.charts
            if c.gives[0] == gives and by_stage(c) <= staged and by_taps(c) == taps and by_fire(c) == rated
        ]
        if old and self.chance(25):
            return self.pick(old)
        keys, heads = self.columns(gives, staged=staged, taps=taps, rated=rated)
        quantities = [gives]
        if gives == "airflow" and self.chance(15):
            quantities.append(self.pick(("watts", "speed", "temperature rise")))
        if gives == "trim" and self.chance(8):
            quantities.append("offset")
        if gives == "tons" and self.chance(15):
            quantities.append("airflow per ton")
        width = prod(len(h.values) for h in heads) * len(quantities)
        rows = self.rows(gives, tuple(quantities), keys, width, along=any(c.kind == "line" for c in (*keys, *heads)))
        chart = Chart(
            name=f"{gives} {'abcdefghijklmnopqrstuvwxyz'[len(self.charts)]}",
            keys=keys,
            heads=heads,
            gives=tuple(quantities),
            rows=rows,
        )
        self.charts.append(chart)
        return chart

    def columns(
        self, gives: str, *, staged: bool, taps: bool, rated: bool
    ) -> tuple[tuple[Column, ...], tuple[Column, ...]]:
        """What stands down the side and along the top."""
        free = [p for p in self.parts if self.kind_of(p) != "taps"]
        keys: list[Column] = []
        heads: list[Column] = []
        room = 24
        if taps:
            part = next(p for p in self.parts if self.kind_of(p) == "taps")
            keys.append(Column(name=part.selector, kind="taps", values=part.positions[:-1]))
            room //= len(part.positions)
        for part in self.some(free, 0 if taps or rated else 1, 1 if taps else 3):
            if len(part.positions) <= room:
                room //= len(part.positions)
                keys.append(Column(name=part.name, kind="part", values=part.positions))
        if self.models and self.chance(30):
            heads.append(Column(name="model", kind="model", values=self.models if self.chance(85) else self.models[:1]))
        if rated:
            heads.append(Column(name="firing rate", kind="line", values=RATES[self.draw.integer(0, 1) :]))
        elif staged and self.chance(50):
            heads.append(Column(name="stage", kind="stage", values=self.stages))
        if (taps or gives == "airflow") and self.chance(70 if taps else 8):
            heads.append(
                Column(name="static pressure", kind="line", values=STATIC[self.units[1]][: self.draw.integer(2, 4)])
            )
        for fact in self.facts:
            if fact.values and fact.name != "heater" and self.chance(10):
                column = Column(name=fact.name, kind="fact", values=fact.values)
                (keys if self.chance(40) and room > 3 else heads).append(column)
            elif not fact.values and self.chance(40):
                heads.append(Column(name=fact.name, kind="line", values=("10", "20", "30")))
        if not taps and self.chance(10):
            loose = [
                p
                for p in free
                if all(k.name != p.name for k in keys) and len(p.positions) <= 3 and "off pins" not in p.positions
            ]
            if loose:
                part = self.pick(loose)
                heads.append(Column(name=part.name, kind="part", values=tuple(self.shuffled(part.positions))))
        while prod(len(h.values) for h in heads) > 12:
            heads.pop(next(i for i, h in enumerate(heads) if h.name != "firing rate"))
        return tuple(keys), tuple(heads)

    def rows(
        self, gives: str, quantities: tuple[str, ...], keys: tuple[Column, ...], width: int, *, along: bool
    ) -> tuple[Row, ...]:
        """Rows that cover the positions, in odd order: some missing, refused, copied or without figures."""
        leaves: list[tuple[int | None, ...]] = []

        def split(at: tuple[int | None, ...], left: tuple[int, ...]) -> None:
            if not left:
                leaves.append(at)
                return
            key = left[self.draw.integer(0, len(left) - 1)] if len(left) > 1 else left[0]
            rest = tuple(k for k in left if k != key)
            if self.chance(12):
                split(at, rest)
                return
            for i in range(len(keys[key].values)):
                split((*at[:key], i, *at[key + 1 :]), rest)

        split((None,) * len(keys), tuple(range(len(keys))))
        bad = self.draw.integer(0, 4) == 4
        rows: list[Row] = []
        copies: list[tuple[int | None, ...]] = []
        for at in leaves:
            kind = self.draw.integer(0, 99) if bad and len(leaves) > 1 else 99
            off = any(a is not None and keys[i].values[a] == "off pins" for i, a in enumerate(at))
            if off and self.chance(50):
                kind = min(kind, self.draw.integer(0, 30))
            if kind < 8:
                continue
            if kind < 16:
                rows.append(Row(at=at, word=self.pick(("reserved", "not used", "do not use"))))
            elif kind < 24:
                copies.append(at)
            elif kind < 28 and gives in ("airflow", "share", "least airflow", "most airflow", "trim"):
                rows.append(Row(at=at, nothing=True))
            else:
                note = "filter frame needed" if self.chance(4) else ""
                cells = tuple(self.figure(quantities[i % len(quantities)], bad, along) for i in range(width))
                rows.append(Row(at=at, cells=cells, note=note))
        printed = [r for r in rows if r.cells]
        for at in copies:
            if printed:
                target = self.pick(printed)
                like = tuple(None if t is None else t for t in target.at)
                rows.append(
                    Row(
                        at=at,
                        like=tuple(
                            self.spelt(k, own, t, keys) for k, (own, t) in enumerate(zip(at, like, strict=True))
                        ),
                    )
                )
        if not printed:
            rows = [
                Row(
                    at=leaves[0],
                    cells=tuple(self.figure(quantities[i % len(quantities)], False, along) for i in range(width)),
                )
            ]
        named_off = {
            k for k, c in enumerate(keys) for r in rows if r.at[k] is not None and c.values[r.at[k] or 0] == "off pins"
        }
        self.named_off |= {keys[k].name for k in named_off}
        return tuple(self.shuffled(rows))

    def spelt(self, key: int, own: int | None, target: int | None, keys: tuple[Column, ...]) -> int | None:
        """A word after `as`: the target's position; any where the target takes any."""
        if target is None:
            return None if self.chance(50) else self.draw.integer(0, len(keys[key].values) - 1)
        return None if own == target and self.chance(50) else target

    def figure(self, quantity: str, bad: bool, along: bool) -> Cell:
        """A cell."""
        if bad and self.chance(6):
            return None
        if (
            bad
            and not along
            and quantity in ("trim", "reduction", "offset", "least airflow", "most airflow", "airflow")
            and self.chance(5)
        ):
            return "none"
        if quantity == "airflow":
            return self.pick(self.pool) if self.chance(40) else self.base()
        if quantity == "trim":
            return Fraction(self.draw.integer(-15, 15))
        if quantity == "share":
            return Fraction(self.draw.integer(8, 20) * 5)
        if quantity == "reduction":
            return Fraction(self.draw.integer(1, 25))
        if quantity == "offset":
            return self.grains(-100, 100)
        if quantity == "least airflow":
            return self.grains(int(200 * self.scale), int(900 * self.scale))
        if quantity == "most airflow":
            return self.grains(int(900 * self.scale), int(2200 * self.scale))
        if quantity == "tons":
            return Fraction(self.draw.integer(3, 10), 2)
        if quantity == "airflow per ton":
            return self.grains(int(300 * self.scale), int(450 * self.scale))
        if quantity == "temperature rise":
            return self.degrees(36, 72) if self.units[2] == "F" else self.degrees(20, 40)
        if quantity == "heat input":
            return self.heat()
        return Fraction(self.draw.integer(1, 40) * 10)


def by_stage(chart: Chart) -> bool:
    """True where stages are columns."""
    return any(h.kind == "stage" for h in chart.heads)


def by_taps(chart: Chart) -> bool:
    """True where motor taps stand down the side."""
    return any(k.kind == "taps" for k in chart.keys)


def by_fire(chart: Chart) -> bool:
    """True where firing rates are columns."""
    return any(h.name == "firing rate" for h in chart.heads)
