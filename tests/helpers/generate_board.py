"""A board at random: selectors of every kind, facts, a rating plate."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import prod

from tests.helpers.describe import Fact, Figure, Part, Selector
from tests.helpers.generate_draw import Chooser, Draw, Wish

SCALE = {"cfm": Fraction(1), "L/s": Fraction(1, 2), "m3/h": Fraction(2)}
"""About how an airflow in cfm is written in each unit: good enough to draw figures of the right size."""

LABELS = {
    "switches": "SW",
    "jumper": "J",
    "dial": "D",
    "plug": "P",
    "link": "LK",
    "menu": "N",
    "taps": "M",
    "heater": "JH",
    "size": "PS",
}
"""What the selectors of each kind are called."""


class Boards(Chooser):
    """Draws the board."""

    def __init__(self, draw: Draw, wish: Wish) -> None:
        super().__init__(draw, wish)
        units = self.wish.units
        self.units = units or (
            self.pick(("cfm", "L/s", "m3/h")),
            self.pick(("in. w.c.", "Pa")),
            self.pick("FC"),
            self.pick(("Btu/h", "MBH", "kW")),
        )
        self.scale = SCALE[self.units[0]]
        self.stages = self.pick((("",), ("low", "high"), ("first", "second"), ("low", "middle", "high")))
        self.models = tuple(self.some(("060", "080", "110"), 0, 3))
        self.pool = [self.base() for _ in range(self.draw.integer(2, 5))]
        self.facts = self.make_facts()
        self.board()
        self.ratings = self.make_ratings()

    def base(self) -> Fraction:
        """A blower airflow in the table's unit."""
        return self.grains(int(300 * self.scale), int(2000 * self.scale))

    def make_facts(self) -> list[Fact]:
        """Declared facts; some go unused."""
        out = []
        if self.chance(30):
            out.append(
                Fact(name="outdoor tons", gives="tons", values=("2", "2.5", "3", "4")[: self.draw.integer(2, 4)])
            )
        if self.chance(15):
            out.append(Fact(name="humidistat", values=("opens", "closes")))
        if self.chance(12):
            out.append(Fact(name="coil height", gives="", low=Fraction(10), high=Fraction(30)))
        return out

    def board(self) -> None:
        """Selectors up to the number of settings wished for."""
        self.parts: list[Part] = []
        self.selectors: list[Selector] = []
        room = self.wish.most
        counts: dict[str, int] = {}
        kinds = [
            "switches",
            "jumper",
            "dial",
            "plug",
            "link",
            "menu",
            "taps",
            "heater",
            "size",
            "switches",
            "jumper",
            "dial",
        ]
        for _ in range(self.draw.integer(4 if self.wish.large else 1, 6)):
            kind = self.pick(kinds)
            if kind in ("taps", "heater", "size", "link") and counts.get(kind):
                continue
            counts[kind] = counts.get(kind, 0) + 1
            parts, selector = self.selector(kind, counts[kind])
            size = prod(len(p.positions) for p in parts)
            if size > room:
                continue
            room //= size if kind not in ("link", "heater", "size") else 1
            self.parts += parts
            self.selectors.append(selector)
        if all(s.kind == "taps" for s in self.selectors):
            parts, selector = self.bank("SW9")
            self.parts, self.selectors = [*self.parts, *parts], [*self.selectors, selector]

    def selector(self, kind: str, number: int) -> tuple[list[Part], Selector]:
        """One selector and its parts."""
        name = LABELS[kind] + str(number)
        if kind == "switches":
            return self.bank(name)
        if kind == "taps":
            return self.taps(name)
        pins_off = False
        gives = declares = ""
        figures: tuple[Fraction, ...] = ()
        idle: frozenset[int] = frozenset()
        if kind == "link":
            positions: tuple[str, ...] = ("whole", "cut") if self.chance(80) else ("open", "A-B", "B-C")
        elif kind == "heater":
            positions, gives, declares = ("5", "8", "10", "15")[: self.draw.integer(2, 4)], "heater power", "heater"
            figures = tuple(Fraction(p) for p in positions)
            self.facts.append(Fact(name="heater", gives="heater power", values=positions))
            kind = "jumper"
        elif kind == "size":
            fact = next((f for f in self.facts if f.gives == "tons"), None)
            if fact is None:
                self.facts.append(
                    fact := Fact(
                        name="outdoor tons", gives="tons", values=("2", "2.5", "3", "4")[: self.draw.integer(2, 4)]
                    )
                )
            positions, gives, declares = fact.values, "tons", fact.name
            figures = tuple(Fraction(p) for p in positions)
            kind = "plug"
        elif kind == "menu":
            gives = self.pick(("airflow per ton", "airflow"))
            drawn = [
                self.grains(300, 450) if gives == "airflow per ton" else self.base()
                for _ in range(self.draw.integer(3, 5))
            ]
            figures = tuple(dict.fromkeys(drawn))
            if len(figures) < 2:
                figures = (Fraction(300), Fraction(400))
            positions = tuple(str(f) for f in figures)
        else:
            letters = self.pick(("ABCDEFGH", "12345678", "01234567", "abcdefgh"))
            positions = tuple(self.shuffled(letters[: self.draw.integer(2, 4 if kind != "dial" else 7)]))
            if kind == "dial" and len(positions) > 3 and self.chance(30):
                idle = frozenset([len(positions) - 1])
            if kind == "jumper" and self.chance(20):
                positions, pins_off = (*positions, "off pins"), True
        part = Part(
            name=name,
            selector=name,
            positions=positions,
            figures=figures,
            idle=idle,
            factory=self.delivered(positions, idle, pins_off),
        )
        return [part], Selector(name=name, kind=kind, parts=(name,), gives=gives, declares=declares, pins_off=pins_off)

    def delivered(self, positions: Sequence[str], idle: frozenset[int], pins_off: bool) -> dict[str, int]:
        """The position as delivered: sometimes not said, sometimes by model."""
        may = [i for i in range(len(positions) - pins_off) if i not in idle]
        if self.models and self.chance(10):
            return {m: self.pick(may) for m in self.models}
        return {} if self.chance(15) else {"": self.pick(may)}

    def bank(self, name: str) -> tuple[list[Part], Selector]:
        """A bank of switches."""
        count = self.draw.integer(1, 5)
        words = self.pick(((), (), ("open", "closed")))
        said = not self.chance(15)
        parts = [
            Part(
                name=f"{name}-{i + 1}",
                selector=name,
                positions=("off", "on"),
                factory={"": self.draw.integer(0, 1)} if said else {},
            )
            for i in range(count)
        ]
        return parts, Selector(name=name, kind="switches", parts=tuple(p.name for p in parts), words=words)

    def taps(self, name: str) -> tuple[list[Part], Selector]:
        """Leads on motor taps."""
        taps = ("1", "2", "3", "4")[: self.draw.integer(3, 4)]
        leads = ("Y", "W", "G")[: self.draw.integer(2, 3)]
        at = self.some(range(len(taps)), len(leads), len(leads))
        said = not self.chance(20)
        parts = [
            Part(
                name=f"{name}-{lead}",
                selector=name,
                positions=(*taps, "parked"),
                factory={"": len(taps) if self.chance(10) else tap} if said else {},
            )
            for lead, tap in zip(leads, at, strict=True)
        ]
        return parts, Selector(name=name, kind="taps", parts=tuple(p.name for p in parts))

    def make_ratings(self) -> dict[str, dict[tuple[str, str], Figure]]:
        """The rating plate: heat and the rise it allows."""
        out: dict[str, dict[tuple[str, str], Figure]] = {}
        self.heat_by_stage = False
        if self.chance(60) or self.wish.modulating:
            shape = self.pick(("one", "model", "stage", "both")) if not self.wish.modulating else "one"
            models = self.models if shape in ("model", "both") and self.models else ("",)
            stages = self.stages if shape in ("stage", "both") else ("",)
            name = self.pick(("heat input", "heat input", "heat output"))
            out[name] = {(m, s): self.heat() for m in models for s in stages}
            if name == "heat input" or self.chance(50):
                by_model = self.models if self.models and self.chance(30) else ("",)
                out["efficiency"] = {(m, ""): Fraction(self.draw.integer(78, 97), 100) for m in by_model}
            self.heat_by_stage = stages != ("",)
        if self.chance(60) or self.wish.modulating:
            models = self.models if self.models and self.chance(40) else ("",)
            out["temperature rise"] = {(m, ""): self.rises() for m in models}
        if any(s.gives == "heater power" for s in self.selectors) and self.chance(50):
            out["heater voltage"] = {("", ""): Fraction(240)}
        return out

    def heat(self) -> Fraction:
        """A heat in the table's unit."""
        if self.wish.heat_btuh:
            return Fraction(self.wish.heat_btuh) / {"Btu/h": 1, "MBH": 1000}[self.units[3]]
        return (
            Fraction(self.draw.integer(6, 24) * 5)
            * {"Btu/h": Fraction(1000), "MBH": Fraction(1), "kW": Fraction(3, 10)}[self.units[3]]
        )

    def rises(self) -> tuple[Fraction, Fraction]:
        """A range of rises, wide or narrow, in the table's degrees."""
        low = self.degrees(18, 45)
        return (low, low + self.degrees(18, 90)) if self.units[2] == "F" else (low / 2, low / 2 + self.degrees(18, 54))

    def kind_of(self, part: Part) -> str:
        """The kind of a part's selector."""
        return next(s.kind for s in self.selectors if s.name == part.selector)

    def gives_of(self, part: Part) -> str:
        """What a part's positions are, as figures."""
        return next(s.gives for s in self.selectors if s.name == part.selector)
