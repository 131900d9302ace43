"""Clean sheets of the slip exam: invented tables with the irregularities of real charts, made from a seed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import exp
from random import Random

from tests.helpers.slip_exam_sheet import BLANK, Call, Cell, Chart, Row, Sheet, Step

MAKERS = (
    "Corvane",
    "Saltmarsh",
    "Wickerby",
    "Brindlemoor",
    "Thornquay",
    "Quillhaven",
    "Fenwarren",
    "Marrowdale",
    "Eskerby",
    "Drossfield",
)
CFM_IN_LPS = 0.47194745
"""Litres per second in one cfm: 0.3048 cubed, times 1000, over 60."""
SENSIBLE = 1.08
"""Btu/h for each cfm and F, standard air: common practice."""
BTUH_IN_KW = 3412.141633


class Maker:
    """Collects the parts of one sheet."""

    def __init__(self, seed: int) -> None:
        self.random = Random(f"clean {seed}")
        self.name = f"exam-{seed}"
        self.maker = self.random.choice(MAKERS)
        self.metric = False
        self.models: tuple[str, ...] = ()
        self.sizes: tuple[float, ...] = ()
        self.ratings: list[str] = []
        self.facts: list[str] = []
        self.board: list[str] = []
        self.switches = 0
        self.charts: list[Chart] = []
        self.calls: list[Call] = []
        self.figures: dict[Cell, str] = {}
        self.heat: dict[tuple[str, str], float] = {}
        self.unit_lines: list[str] = []
        self.tags: set[str] = set()
        self.grain = self.random.choice((5, 5, 5, 10, 10, 25))
        self.irregular = self.random.choice((0.004, 0.008, 0.015, 0.025))

    def bank(self, count: int) -> tuple[str, ...]:
        """The next switches of SW1."""
        self.switches += count
        return tuple(f"SW1-{i}" for i in range(self.switches - count + 1, self.switches + 1))

    def put(self, chart: Chart, cells: Sequence[Sequence[str]]) -> None:
        """Take in a chart with the cells of its rows that hold figures."""
        self.charts.append(chart)
        for r, row in zip(chart.printed(), cells, strict=True):
            for c, text in enumerate(row):
                self.figures[(chart.name, r, c)] = text

    def call(
        self,
        name: str,
        lines: Sequence[str],
        steps: Sequence[Step | tuple[str, dict[str, str]]],
        stages: tuple[str, ...] = ("",),
    ) -> None:
        """Take in a call; a step with figures is its word and stage -> figure."""
        made: list[Step] = []
        for s, step in enumerate(steps):
            if isinstance(step, Step):
                made.append(step)
                continue
            made.append(Step(op=step[0], stages=tuple(step[1])))
            for k, text in enumerate(step[1].values()):
                self.figures[(f"call {name}", s, k)] = text
        self.calls.append(Call(name=name, lines=tuple(lines), stages=stages, steps=tuple(made)))

    def sheet(self, title: str) -> Sheet:
        """The finished sheet."""
        head = ["format: selector table 1", "unit:", f"  title: {title}", f"  maker: {self.maker}"]
        if self.models:
            head.append(f"  models: {' '.join(self.models)}")
        head += ["  manual: {number: X-1, pages: 3-6}", *self.unit_lines]
        units = (
            "airflow: L/s, pressure: Pa, temperature: C, heat: kW"
            if self.metric
            else "airflow: cfm, temperature: F, heat: Btu/h, pressure: in. w.c."
        )
        head.append("units: {" + units + "}")
        for title, lines in (("ratings", self.ratings), ("facts", self.facts)):
            if lines:
                head += [f"{title}:", *(f"  {line}" for line in lines)]
        head.append("board:")
        if self.switches:
            idle = ", not used: 2" if self.switches == 1 else ""
            head.append(f"  SW1: {{kind: switches, count: {max(self.switches, 2)}, factory: all off{idle}}}")
        head += [f"  {line}" for line in self.board]
        return Sheet(
            name=self.name,
            head=tuple(head),
            charts=tuple(self.charts),
            calls=tuple(self.calls),
            figures=dict(self.figures),
            airflow_unit="L/s" if self.metric else "cfm",
            heat_per_rise=dict(self.heat),
            degree=5 / 9 if self.metric else 1.0,
            tags=frozenset(self.tags),
        )

    # -- rows and levels

    def switch_rows(self, count: int, mark: str = "") -> list[tuple[str, ...]]:
        """Positions of so many switches in the manual's order: the first varies fastest, or the last."""
        marks = {"": ("OFF", "ON"), "01": ("0", "1")}[mark]
        rows = [tuple(marks[b] for b in bits) for bits in product((0, 1), repeat=count)]
        return rows if self.random.random() < 0.3 else [row[::-1] for row in rows]

    def levels(self, count: int, low: float, high: float) -> list[float]:
        """Airflows of the rows of one chart, with repeats and odd order as charts have them."""
        r = self.random
        even = r.random() < 0.5
        steps = [i / max(count - 1, 1) for i in range(count)]
        found = [low + (high - low) * s if even else low * (high / low) ** s for s in steps]
        found = [x * exp(r.gauss(0, self.irregular / 2)) for x in found]
        if r.random() < 0.15 and count > 3:
            i = r.randrange(1, count)
            found[i] = found[i - 1]
            self.tags.add("repeat")
        order = r.random()
        if order < 0.2:
            found = found[::-1]
        elif order < 0.4 and count > 3:
            i = r.randrange(1, count)
            found = [found[i], *found[:i], *found[i + 1 :]]
            self.tags.add("one row first")
        elif order < 0.6:
            r.shuffle(found)
            self.tags.add("odd order")
        return found

    def air(self, value: float) -> str:
        """An airflow as printed, rounded to the grain (given in cfm, printed in the sheet's unit)."""
        grain = 5 if self.metric else self.grain
        native = value * CFM_IN_LPS if self.metric else value
        return str(max(grain, round(native / grain) * grain))

    def noise(self) -> float:
        """A factor near 1: no chart is exact."""
        return exp(self.random.gauss(0, self.irregular))

    # -- charts

    def airflow_chart(
        self,
        name: str,
        keys: tuple[str, ...],
        words: list[tuple[str, ...]],
        low: float,
        high: float,
        stages: tuple[str, ...] = (),
        span: bool = True,
    ) -> list[list[float]]:
        """An airflow chart over models and stages (where there are any). Airflows at the size 1. Returns the
        unrounded figures in cfm."""
        r = self.random
        rows = [Row(words=w) for w in words]
        if len(rows) > 4 and r.random() < 0.3:
            rows[-1] = Row(words=words[-1], word=r.choice(("reserved", "not used", "do not use")))
        if r.random() < 0.2:
            rows[0] = Row(words=words[0], note="only with the large filter")
        heads: list[tuple[str, tuple[str, ...]]] = []
        models = self.models if span else ()
        if models:
            heads.append(("model", models))
        if stages:
            heads.append(("stage", stages))
        chart = Chart(name=name, keys=keys, heads=tuple(heads), gives=("airflow",), rows=tuple(rows))
        printed = len(chart.printed())
        levels = self.levels(printed, low, high)
        odd_model = r.randrange(len(models)) if len(models) > 2 and r.random() < 0.3 else -1
        own = (
            self.levels(printed, low, high)
            if odd_model >= 0 and r.random() < 0.5
            else [x * (0.85 + 0.3 * i / printed) for i, x in enumerate(levels)]
        )
        if odd_model >= 0:
            self.tags.add("odd model")
        most = high * max(self.sizes or (1.0,)) * r.uniform(0.75, 0.97) if r.random() < 0.35 else 1e9
        if most < 1e9:
            self.tags.add("clipped")
        short = r.random() < 0.15 and len(models) > 2
        ratio = r.uniform(0.64, 0.76)
        figures: list[list[float]] = []
        cells: list[list[str]] = []
        for i in range(printed):
            line: list[float] = []
            for m, size in enumerate(self.sizes if models else (1.0,)):
                full = (own if m == odd_model else levels)[i] * size * self.noise()
                for s in range(len(stages) or 1):
                    part = 1.0 if not stages or s == len(stages) - 1 else ratio * self.noise()
                    line.append(min(most, full) * part)
            figures.append(line)
            cells.append([self.air(x) for x in line])
            if short and i >= printed - 2:
                cells[-1][: len(stages) or 1] = [BLANK] * (len(stages) or 1)
                self.tags.add("blanks")
        self.put(chart, cells)
        return figures

    def trim_chart(self, name: str, count: int = 2) -> None:
        """None, up, down, further down; or one switch that lowers."""
        r = self.random
        a = r.choice((4, 5, 6, 7, 8, 10))
        steps = r.choice(((0, a, -a, -r.choice((12, 13, 15))), (0, a, 2 * a, -a), (0, a, -a, -2 * a), (0, -a, a, -15)))[
            : 2**count
        ]
        if count == 1:
            steps = (0, -r.choice((8, 9, 10, 12, 15)))
        chart = Chart(
            name=name, keys=self.bank(count), gives=("trim",), rows=tuple(Row(words=w) for w in self.switch_rows(count))
        )
        self.put(chart, [["none" if not x else f"{x:+d} %"] for x in steps])

    def share_chart(self, name: str, part: str, positions: str) -> None:
        """Shares of a jumper's positions, rising."""
        r = self.random
        words = positions.split()
        self.board.append(f"{part}: {{kind: jumper, positions: {positions}, factory: {words[0]}}}")
        low, step = r.choice((25, 30, 35, 40)), r.choice((10, 15, 20))
        shares = [low + step * i for i in range(len(words))]
        chart = Chart(name=name, keys=(part,), gives=("share",), rows=tuple(Row(words=(w,)) for w in words))
        self.put(chart, [[f"{min(x, 100)} %"] for x in shares])

    def heating_chart(
        self, name: str, keys: tuple[str, ...], words: list[tuple[str, ...]], stages: tuple[str, ...] = ()
    ) -> None:
        """Heating airflows with the rise printed beside each, by model and stage; inputs on the plate."""
        r = self.random
        heads = [h for h in (("model", self.models), ("stage", stages)) if h[1]]
        chart = Chart(
            name=name,
            keys=keys,
            heads=tuple(heads),
            gives=("airflow", "temperature rise"),
            rows=tuple(Row(words=w) for w in words),
        )
        rises = r.sample((40, 43, 45, 47, 50, 53, 55, 58, 60, 63), len(words))
        if r.random() < 0.6:
            rises.sort(reverse=r.random() < 0.5)
        grain = 5 if self.metric else min(self.grain, 10)
        cells: list[list[str]] = []
        for rise in rises:
            line: list[str] = []
            for model in self.models or ("",):
                for stage in stages or ("",):
                    native = rise * (5 / 9 if self.metric else 1) * self.noise()
                    airflow = round(self.heat[(model, stage)] / native / grain) * grain
                    line += [str(airflow), str(round(self.heat[(model, stage)] / airflow))]
            cells.append(line)
        self.put(chart, cells)
        self.tags.add("rises")

    def inputs(self, stages: tuple[str, ...] = ()) -> None:
        """Heat input by model and stage, sized so that the rises suit the airflows, and the efficiency."""
        r = self.random
        percent = r.choice((80, 81, 92, 95, 96, 97))
        low = r.choice((65, 68, 70))
        parts: list[str] = []
        for model, size in zip(self.models or ("",), self.sizes or (1.0,), strict=True):
            full = round(60 * size / (percent / 95)) * (1.0 if not self.metric else 0.3)
            by_stage = {s: full if s == (stages or ("",))[-1] else round(full * low / 100, 1) for s in stages or ("",)}
            texts = {s: f"{x:.1f}" if self.metric else str(round(x * 1000)) for s, x in by_stage.items()}
            for stage, text in texts.items():
                kilo = float(text)
                flow = kilo * percent / 100 / self._sensible()
                self.heat[(model, stage)] = flow
            inner = texts[""] if not stages else "{" + ", ".join(f"{s}: {t}" for s, t in texts.items()) + "}"
            parts.append(f"{model}: {inner}" if model else inner)
        self.ratings.append("heat input: " + ("{" + ", ".join(parts) + "}" if self.models else parts[0]))
        self.ratings.append(f"efficiency: {percent} %")
        self.ratings.append("temperature rise: " + ("20 to 38" if self.metric else "35 to 65"))

    def _sensible(self) -> float:
        """Heat (in the table's unit) for each unit of its airflow and each of its degrees."""
        return SENSIBLE / CFM_IN_LPS * 1.8 / BTUH_IN_KW if self.metric else SENSIBLE

    def take_models(self, least: int, most: int) -> None:
        """Models named after their heat or cooling, smallest first."""
        r = self.random
        names = r.choice(
            (
                ("040", "060", "080", "100", "120"),
                ("050", "065", "085", "105", "130"),
                ("S60", "S70", "S85", "S100", "S115"),
            )
        )
        n = r.randint(least, most)
        first = r.randrange(len(names) - n + 1)
        self.models = names[first : first + n]
        sizes = [float(m.strip("S")) / 70 for m in self.models]
        self.sizes = tuple(0.7 + 0.6 * (x - 0.55) + r.uniform(-0.03, 0.03) for x in sizes)
