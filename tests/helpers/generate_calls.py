"""Calls at random, and the table they make: they ask for charts, charts take parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from tests.helpers.describe import Atom, Call, Chart, Description, Name, Other, Part, Selector, Step, When, Window
from tests.helpers.generate_charts import Charts, by_fire
from tests.helpers.generate_draw import Draw, Wish

ROLES = {q: q for q in ("trim", "share", "reduction", "offset")} | {
    "least airflow": "at least",
    "most airflow": "at most",
}
"""What a chart may give after the start, and the step that takes it by name."""
NAMES = ("cooling", "heating", "heat pump", "fan", "dehumidify", "auxiliary")


class Calls(Charts):
    """Draws calls."""

    def __init__(self, draw: Draw, wish: Wish) -> None:
        super().__init__(draw, wish)
        self.calls: list[Call] = []

    def table(self) -> Description:
        """The whole table."""
        names = ("heating", "cooling", *NAMES[2:]) if self.wish.modulating else NAMES
        for name in names[: self.draw.integer(3 if self.wish.large else 1, self.wish.calls)]:
            self.calls.append(self.call(name))
        if not self.charts or self.chance(20):
            self.chart(self.pick(("least airflow", "most airflow")), staged=False)
        return self.finished()

    def call(self, name: str) -> Call:
        """One call: a start, steps that act on it, limits."""
        rated = self.wish.modulating and not self.calls
        stages = (
            ("",) if rated else self.stages if self.chance(70) or (not self.calls and self.heat_by_stage) else ("",)
        )
        staged = stages != ("",)
        heating = name in ("heating", "auxiliary")
        menus = [p for p in self.parts if self.kind_of(p) == "menu"]
        heaters = [s for s in self.selectors if s.gives == "heater power"]
        sizes = [s for s in self.selectors if s.gives == "tons"]
        letter = "W" if heating and self.chance(90) else "E" if heating else {"fan": "G"}.get(name, "Y")
        tapped = next((s for s in self.selectors if s.kind == "taps"), None)
        kinds = (
            ["chart"] * 5
            + ["number"]
            + ["tons"]
            + ["call"] * (3 if self.calls else 0)
            + ["taps"] * (3 if tapped else 0)
        )
        kinds += ["either"] * 2 + ["menu"] * (2 if menus else 0)
        heat: tuple[Step, ...] = ()
        if heating and heaters and self.chance(60):
            heat = (_use("part", heaters[0].name),)
        elif heating and self.chance(15) and "efficiency" in self.ratings:
            heat = (_use("chart", self.chart("heat input", staged=staged).name),)
            if self.chance(30):
                heat = (*heat, Step(op="trim", by_stage={"": Fraction(self.draw.integer(-10, 5))}))
        if heating and (heat or "heat output" in self.ratings or {"heat input", "efficiency"} <= set(self.ratings)):
            kinds += ["rise"] * 3
        if heating and not staged and not tapped:
            kinds += ["rated"] * 4
        start = "rated" if rated else self.pick(kinds)
        lead: dict[str, str] = {}
        steps: list[Step] = []
        if start == "taps" and tapped is not None:
            leads = [p.partition("-")[2] for p in tapped.parts]
            lead = {s: self.pick(leads) for s in stages} if staged and self.chance(60) else {"": self.pick(leads)}
            steps.append(_use("chart", self.chart("airflow", staged=staged, taps=True).name))
        elif start == "number":
            steps.append(Step(op="airflow", by_stage=self.by_stage(stages, self.base, whole=True)))
        elif start == "tons":
            tons = next((f for f in self.facts if f.gives == "tons"), None)
            if sizes and self.chance(60):
                first = _use("part", sizes[0].name)
            else:
                first = (
                    _use("fact", tons.name)
                    if tons is not None and self.chance(50)
                    else _use("chart", self.chart("tons", staged=staged).name)
                )
            steps.append(first)
            chart = next((c for c in self.charts if c.name == _name(first)), None)
            if chart is None or "airflow per ton" not in chart.gives:
                per = [p for p in menus if self.gives_of(p) == "airflow per ton"]
                steps.append(
                    _use("part", per[0].name)
                    if per
                    else _use("chart", self.chart("airflow per ton", staged=staged).name)
                )
        elif start == "menu":
            part = self.pick(menus)
            if self.gives_of(part) == "airflow":
                steps.append(_use("part", part.name))
            else:
                steps += [
                    Step(op="tons", by_stage={"": Fraction(self.draw.integer(3, 10), 2)}),
                    _use("part", part.name),
                ]
        elif start == "call":
            steps.append(self.other(stages))
        elif start == "rise":
            chart_or = self.chance(60)
            steps.append(
                _use("chart", self.chart("temperature rise", staged=staged).name)
                if chart_or
                else Step(
                    op="temperature rise",
                    by_stage={"": self.degrees(36, 72) if self.units[2] == "F" else self.degrees(20, 40)},
                )
            )
        elif start == "rated":
            steps.append(_use("chart", self.chart("airflow", staged=False, rated=True).name))
        elif start == "either":
            steps += self.either(staged)
        else:
            steps.append(_use("chart", self.chart("airflow", staged=staged).name))
        smooth = start == "rated" or (start == "call" and any(by_fire(c) for c in self.charts))
        if rated:
            steps.append(Step(op="at least", by_stage={"": self.grains(int(500 * self.scale), int(1200 * self.scale))}))
        for _ in range(self.draw.integer(0, 3)):
            steps.append(self.step(stages, smooth=smooth))
        capacity: dict[str, Fraction] = {}
        if staged and not (heating and self.heat_by_stage) and self.chance(40):
            capacity = {s: Fraction(self.draw.integer(10, 19), 20) for s in stages[:-1]}
        terminals = (
            {s: tuple(f"{letter}{i + 1}" for i in range(n)) for n, s in enumerate(stages, 1)}
            if staged
            else {"": (f"{letter}1",)}
        )
        when = self.when() if self.chance(15) else {}
        return Call(
            name=name,
            stages=stages,
            airflow=tuple(steps),
            heat=heat,
            terminals=terminals,
            capacity=capacity,
            when=when,
            lead=lead,
            windows=self.windows(stages),
            off_delay=self.chart("seconds", staged=False).name if self.chance(8) else "",
        )

    def other(self, stages: tuple[str, ...]) -> Step:
        """A start from a call made before."""
        call = self.pick(self.calls)
        same = set(stages) <= set(call.stages)
        stage = "" if same and self.chance(60) else self.pick(call.stages)
        return Step(op="call", by_stage={"": Other(call=call.name, stage=stage)})

    def either(self, staged: bool) -> list[Step]:
        """Two starts under conditions of which one holds; sometimes neither does."""
        part = self.pick([p for p in self.parts if self.kind_of(p) != "taps"])
        positions = [p for p in part.positions if p != "off pins"]
        cut = self.draw.integer(1, len(positions) - 1)
        halves = [tuple(positions[:cut]), tuple(positions[cut:] if self.chance(80) else positions[cut : cut + 1])]
        return [
            replace(_use("chart", self.chart("airflow", staged=staged).name), when={part.name: words})
            for words in halves
        ]

    def when(self) -> When:
        """A condition on a part, the model or a fact."""
        choices: list[tuple[str, Sequence[str]]] = [
            (p.name, [w for w in p.positions if w != "off pins"]) for p in self.parts if self.kind_of(p) != "taps"
        ]
        if self.models:
            choices.append(("model", self.models))
        choices += [(f.name, f.values) for f in self.facts if f.values]
        out = {}
        for name, words in self.some(choices, 1, 1 if self.chance(85) else 2):
            out[name] = tuple(self.some(words, 1, len(words) - 1))
        return out

    def by_stage(self, stages: tuple[str, ...], figure: Callable[[], Atom], *, whole: bool = False) -> dict[str, Atom]:
        """A figure for every stage, or for some."""
        if stages == ("",) or self.chance(50):
            return {"": figure()}
        some = stages if whole else self.some(stages, 1, len(stages))
        return {s: figure() for s in some}

    def step(self, stages: tuple[str, ...], *, smooth: bool) -> Step:
        """A step after the start."""
        staged = stages != ("",)
        kinds = [
            "trim",
            "share",
            "reduction",
            "offset",
            "at least",
            "at most",
            "least airflow",
            "most airflow",
            "chart",
            "chart",
            "chart",
        ]
        if not smooth:
            kinds += ["round", "round up", "round down"]
        kind = self.pick(kinds)
        when = self.when() if self.chance(15) else {}
        if kind == "chart":
            gives = self.pick(list(ROLES))
            chart = self.chart(gives, staged=staged).name
            if self.chance(25):
                return Step(
                    op=ROLES[gives], by_stage=self.by_stage(stages, lambda: Name(kind="chart", name=chart)), when=when
                )
            return replace(_use("chart", chart), when=when)
        if kind in ("at least", "at most") and self.calls and self.chance(25):
            other = self.pick(self.calls)
            same = set(stages) <= set(other.stages)
            return Step(
                op=kind, by_stage={"": Other(call=other.name, stage="" if same else other.stages[-1])}, when=when
            )
        return Step(op=kind, by_stage=self.by_stage(stages, lambda: self.typed_figure(kind)), when=when)

    def typed_figure(self, kind: str) -> Fraction:
        """A figure typed in a step."""
        if kind == "trim":
            return Fraction(self.draw.integer(-12, 12))
        if kind == "share":
            return Fraction(self.draw.integer(8, 20) * 5)
        if kind == "reduction":
            return Fraction(self.draw.integer(1, 25))
        if kind == "offset":
            return self.grains(-100, 100)
        if kind.startswith("round"):
            return Fraction(self.draw.integer(1, 5) * self.wish.grain * 2)
        if kind in ("at most", "most airflow"):
            return self.grains(int(800 * self.scale), int(2000 * self.scale))
        return self.grains(int(300 * self.scale), int(1200 * self.scale))

    def windows(self, stages: tuple[str, ...]) -> tuple[Window, ...]:
        """Limits of a call's own."""
        out = []
        for quantity, percent in (("airflow", 20), ("airflow per ton", 10), ("temperature rise", 5)):
            if not self.chance(percent):
                continue
            for stage in ("",) if stages == ("",) or self.chance(60) else self.some(stages, 1, len(stages)):
                if quantity == "temperature rise":
                    low, high = self.rises()
                elif quantity == "airflow":
                    low = self.grains(int(200 * self.scale), int(900 * self.scale))
                    high = low + self.grains(int(400 * self.scale), int(1800 * self.scale))
                else:
                    low = self.grains(int(150 * self.scale), int(350 * self.scale))
                    high = low + self.grains(int(100 * self.scale), int(500 * self.scale))
                out.append(Window(quantity=quantity, low=low, high=high, stage=stage))
        return tuple(out)

    def finished(self) -> Description:
        """The table with what nothing reads marked so or taken out."""
        read = {c.name for chart in self.charts for c in (*chart.keys, *chart.heads)}
        for call in self.calls:
            read |= set(call.when) | {n for s in (*call.airflow, *call.heat) for n in s.when}
            read |= {a.name for s in (*call.airflow, *call.heat) for a in s.by_stage.values() if isinstance(a, Name)}
        parts: list[Part] = []
        selectors: list[Selector] = []
        for s in self.selectors:
            own = [p for p in self.parts if p.selector == s.name]
            if s.kind == "taps":
                if s.name not in read:
                    continue
            elif s.kind == "switches":
                if not any(p.name in read for p in own):
                    continue
                own = [
                    p if p.name in read else replace(p, leave_at=1) if self.chance(20) else replace(p, unused=True)
                    for p in own
                ]
            elif s.name not in read and not s.declares:
                continue
            if s.pins_off and s.name not in self.named_off:
                own = [replace(own[0], positions=own[0].positions[:-1])]
                s = replace(s, pins_off=False)
            if len(own) == 1 and s.name in read and not s.declares and self.chance(4):
                own = [replace(own[0], leave_at=0)]
            parts += own
            selectors.append(s)
        if not selectors:
            parts = [Part(name="J9", selector="J9", positions=("A", "B"), leave_at=1)]
            selectors = [Selector(name="J9", kind="jumper", parts=("J9",))]
        gone = {s.name for s in self.selectors} - {s.name for s in selectors if s.pins_off}
        charts = tuple(self.without_pins(c, gone) for c in self.charts)
        return Description(
            airflow_unit=self.units[0],
            pressure_unit=self.units[1],
            temperature_unit=self.units[2],
            heat_unit=self.units[3],
            models=self.models,
            ratings=self.ratings,
            facts=tuple(self.facts),
            parts=tuple(parts),
            selectors=tuple(selectors),
            charts=charts,
            calls=tuple(self.calls),
        )

    @staticmethod
    def without_pins(chart: Chart, gone: set[str]) -> Chart:
        """The chart where a jumper has no position off its pins after all."""
        keys = (
            replace(k, values=tuple(v for v in k.values if v != "off pins")) if k.name in gone else k
            for k in chart.keys
        )
        return replace(chart, keys=tuple(keys))


def _use(kind: str, name: str) -> Step:
    return Step(op="use", by_stage={"": Name(kind=kind, name=name)})


def _name(step: Step) -> str:
    atom = step.by_stage[""]
    return atom.name if isinstance(atom, Name) else ""
