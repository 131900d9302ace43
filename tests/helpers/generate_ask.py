"""Questions about a table at random."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from tests.helpers.describe import Aim, Ask, Call, Description
from tests.helpers.generate_board import SCALE
from tests.helpers.generate_draw import Chooser, Draw, Wish


class Asker(Chooser):
    """A question about a table."""

    def __init__(self, draw: Draw, wish: Wish, d: Description) -> None:
        super().__init__(draw, wish)
        self.d = d
        self.scale = SCALE[d.airflow_unit]

    def ask(self) -> Ask:
        """Facts, aims, and what stands."""
        facts: dict[str, Fraction | str] = {}
        if self.d.models and self.chance(92):
            facts["model"] = self.pick(self.d.models)
        lines = {c.name: c.numbers for chart in self.d.charts for c in (*chart.keys, *chart.heads) if c.kind == "line"}
        for name, numbers in lines.items():
            if self.chance(50 if name == "firing rate" else 92):
                facts[name] = self.along(numbers, most=100 if name == "firing rate" else None)
        static: dict[str, Fraction] = {}
        if "static pressure" in lines and self.chance(25):
            static[self.pick(self.d.calls).name] = self.along(lines["static pressure"])
        for fact in self.d.facts:
            if fact.values and self.chance(80):
                facts[fact.name] = self.pick(fact.values)
        if "outdoor tons" not in facts and all(f.name != "outdoor tons" for f in self.d.facts) and self.chance(40):
            facts["outdoor tons"] = Fraction(self.draw.integer(3, 10), 2)
        if "heater voltage" in self.d.ratings and self.chance(60):
            facts["supply voltage"] = Fraction(self.pick((208, 230, 240)))
        points = [(c, s) for c in self.d.calls for s in c.stages]
        aims = tuple(
            self.aim(c, s, facts)
            for c, s in self.some(points, 2 if self.wish.large else 1, 4 if self.wish.large or self.chance(50) else 1)
        )
        found = None
        if self.chance(50):
            found = tuple(None if self.chance(10) else self.draw.integer(0, len(p.positions) - 1) for p in self.d.parts)
        held = {}
        if self.chance(25):
            free = [i for i, p in enumerate(self.d.parts) if not self.d.selector(p.selector).declares]
            held = {i: self.draw.integer(0, len(self.d.parts[i].positions) - 1) for i in self.some(free, 0, 2)}
            links = {i for i in held if self.d.selector(self.d.parts[i].selector).kind == "link"}
            held = {i: at for i, at in held.items() if i not in links or self.may_stand(i, at, found)}
        near = self.pick((Fraction(0), Fraction(1), Fraction(1, 2), Fraction(5)))
        return Ask(
            facts=facts, static=static, aims=aims, held=held, found=found, first=self.draw.integer(1, 6), near=near
        )

    def may_stand(self, part: int, at: int, found: tuple[int | None, ...] | None) -> bool:
        """A link is held where it was found, or where it is delivered; else a cut would have to be undone."""
        if found is not None and found[part] is not None:
            return found[part] == at
        return all(delivered == at for delivered in self.d.parts[part].factory.values())

    def along(self, numbers: Sequence[Fraction], most: int | None = None) -> Fraction:
        """A value of a line: printed, between, rarely outside: above, or below where `most` is all there can be."""
        at = self.draw.integer(0, len(numbers) - 1)
        if self.chance(4):
            return numbers[-1] * 2 if most is None else numbers[0] / 2
        if at + 1 < len(numbers) and self.chance(60):
            return numbers[at] + (numbers[at + 1] - numbers[at]) * Fraction(self.draw.integer(1, 9), 10)
        return numbers[at]

    def aim(self, call: Call, stage: str, facts: dict[str, Fraction | str]) -> Aim:
        """A target for a stage."""
        weight = Fraction(self.pick((1, 1, 1, 2, 3)))
        kinds = ["airflow"] * 5 + ["range"] * 2 + ["per ton"] * (2 if "outdoor tons" in facts else 0)
        others = [(c, s) for c in self.d.calls for s in c.stages if (c.name, s) != (call.name, stage)]
        kinds += ["share"] if others else []
        if any(t.startswith("W") for words in call.terminals.values() for t in words) or call.heat:
            kinds += ["rise"] * 2
        kind = self.pick(kinds)
        low = self.grains(int(300 * self.scale), int(2000 * self.scale))
        high = low
        if kind == "range":
            high = low + self.grains(0, int(300 * self.scale))
        of = None
        quantity = "airflow"
        if kind == "per ton":
            quantity, low = "airflow per ton", self.grains(int(250 * self.scale), int(450 * self.scale))
            high = low + (self.grains(0, int(80 * self.scale)) if self.chance(40) else 0)
        elif kind == "rise":
            quantity = "temperature rise"
            low = self.degrees(36, 63) if self.d.temperature_unit == "F" else self.degrees(20, 36)
            high = low + (self.degrees(9, 18) if self.chance(40) else 0)
        elif kind == "share":
            quantity, low = "share", Fraction(self.draw.integer(6, 26) * 5)
            high = low
            other, other_stage = self.pick(others)
            of = (other.name, other_stage)
        return Aim(call=call.name, stage=stage, quantity=quantity, low=low, high=high, weight=weight, of=of)
