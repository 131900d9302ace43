"""The families of clean sheets: what boards and charts go together on one page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp

from tests.helpers.slip_exam_clean import Maker
from tests.helpers.slip_exam_sheet import BLANK, Chart, Row, Sheet, Step


def furnace(m: Maker) -> Sheet:
    """Models along the top, trims, heating with rises."""
    m.take_models(2, 4)
    m.inputs()
    n = m.random.choice((2, 3, 3, 4))
    keys = m.bank(n)
    m.airflow_chart("cooling airflow", keys, m.switch_rows(n), 600, 1700)
    m.trim_chart("adjustment")
    m.heating_chart("heating airflow", m.bank(2), m.switch_rows(2))
    two = ("first", "second")
    steps: list[Step | tuple[str, dict[str, str]]] = [
        Step(op="use", name="cooling airflow"),
        Step(op="use", name="adjustment"),
    ]
    m.call(
        "cooling",
        ["terminals: {first: Y1, second: Y1 Y2}", "stages: first second"],
        [*steps, ("share", {"first": f"{m.random.choice((65, 66, 70, 72))} %"})],
        two,
    )
    m.call("heating", ["terminals: W1"], [Step(op="use", name="heating airflow")])
    m.call(
        "fan",
        ["terminals: G"],
        [
            Step(op="call", name="cooling", of="second"),
            ("share", {"": f"{m.random.choice((40, 45, 50, 55))} %"}),
            ("at least", {"": "350"}),
        ],
    )
    return m.sheet("Gas furnace")


def two_stage(m: Maker) -> Sheet:
    """Heads of two levels: models and stages."""
    m.take_models(2, 4)
    stages = ("low", "high")
    m.inputs(stages)
    n = m.random.choice((2, 3, 3))
    m.airflow_chart("cooling airflow", m.bank(n), m.switch_rows(n), 650, 1600, stages)
    if m.random.random() < 0.5:
        m.heating_chart("heating airflow", m.bank(2), m.switch_rows(2), stages)
    else:
        m.airflow_chart("heating airflow", m.bank(2), m.switch_rows(2), 800, 1300, stages)
    m.trim_chart("adjustment", m.random.choice((1, 2)))
    m.share_chart("fan share", "J1", "A B C")
    m.call(
        "cooling",
        ["terminals: {low: Y1, high: Y1 Y2}", "stages: low high"],
        [Step(op="use", name="cooling airflow"), Step(op="use", name="adjustment")],
        stages,
    )
    m.call(
        "heating",
        ["terminals: {low: W1, high: W1 W2}", "stages: low high"],
        [Step(op="use", name="heating airflow")],
        stages,
    )
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling", of="high"), Step(op="use", name="fan share")])
    return m.sheet("Two-stage gas furnace")


def taps(m: Maker) -> Sheet:
    """Motor taps against static pressure."""
    r = m.random
    m.metric = r.random() < 0.5
    positions = [str(i) for i in range(1, r.choice((5, 6)))]
    pressures = ("50", "100", "150", "200") if m.metric else ("0.1", "0.3", "0.5", "0.7", "0.9")
    m.board.append(f"M1: {{kind: taps, positions: {' '.join(positions)}, leads: Y1 W G, factory: 3 4 1}}")
    static_chart(m, "tap airflow", "M1", positions, pressures)
    for name, lead in (("cooling", "Y1"), ("heating", "W"), ("fan", "G")):
        m.call(name, [f"terminals: {lead}", f"lead: {lead}"], [Step(op="use", name="tap airflow")])
    return m.sheet("Air handler with motor taps")


def static_chart(m: Maker, name: str, part: str, positions: Sequence[str], pressures: tuple[str, ...]) -> None:
    """Airflow against static pressure; the low speeds lose more."""
    r = m.random
    levels = sorted(m.levels(len(positions), 550, 1500))
    if r.random() < 0.25:
        levels = [*levels[1:], levels[0]]
        m.tags.add("odd order")
    rows = tuple(Row(words=(p,)) for p in positions)
    chart = Chart(name=name, keys=(part,), heads=(("static pressure", pressures),), gives=("airflow",), rows=rows)
    top = float(pressures[-1])
    loss = r.uniform(0.12, 0.3)
    cells = []
    for level in levels:
        bend = loss * (600 / level) ** 0.6
        values = [level * (1 - bend * (float(p) / top) ** 1.3) * exp(r.gauss(0, m.irregular / 3)) for p in pressures]
        cells.append([m.air(x) for x in values])
    if r.random() < 0.3:
        cells[levels.index(max(levels))][-1] = BLANK
        m.tags.add("blanks")
    m.put(chart, cells)


def tons(m: Maker) -> Sheet:
    """Tons with airflow per ton, offsets and limits."""
    r = m.random
    sizes = r.choice(("1.5 2 2.5 3 3.5 4 5", "2 2.5 3 3.5 4 5", "2 2.5 3 3.5 4 4.5 5")).split()
    if r.random() < 0.4:
        sizes = [sizes[3], *sizes[:3], *sizes[4:]]
    words = m.switch_rows(3, "01")
    rows = tuple(Row(words=w, word="" if i < len(sizes) else "reserved") for i, w in enumerate(words))
    m.put(Chart(name="size", keys=m.bank(3), gives=("tons",), rows=rows), [[s] for s in sizes])
    per = r.choice(
        (
            ["400", "345", "375", "440"],
            ["350", "375", "400", "425"],
            ["325", "350", "400", "450"],
            ["400", "360", "380", "420"],
        )
    )
    m.put(
        Chart(
            name="per ton",
            keys=m.bank(2),
            gives=("airflow per ton",),
            rows=tuple(Row(words=w) for w in m.switch_rows(2, "01")),
        ),
        [[p] for p in per],
    )
    m.trim_chart("cooling trim")
    a = r.choice((50, 75, 100))
    offsets = r.choice(((0, a, -a, 2 * a), (0, a, 2 * a, -a), (0, a, a + 75, -a)))
    chart = Chart(
        name="heat pump offset", keys=m.bank(2), gives=("offset",), rows=tuple(Row(words=w) for w in m.switch_rows(2))
    )
    m.put(chart, [["none" if not x else f"{x:+d}"] for x in offsets])
    m.share_chart("fan share", "J1", "1 2 3")
    stages = ("low", "high")
    lines = ["terminals: {low: Y1 O, high: Y1 Y2 O}", "stages: low high"]
    names = [Step(op="use", name=n) for n in ("size", "per ton", "cooling trim")]
    m.call(
        "cooling", lines, [*names, ("share", {"low": f"{r.choice((67, 70, 72))} %"}), ("at most", {"": "2400"})], stages
    )
    pump: list[Step | tuple[str, dict[str, str]]] = [
        Step(op="call", name="cooling"),
        Step(op="use", name="heat pump offset"),
        ("at least", {"low": "300", "high": "450"}),
    ]
    m.call("heat pump", ["terminals: {low: Y1, high: Y1 Y2}", "stages: low high"], pump, stages)
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling", of="high"), Step(op="use", name="fan share")])
    return m.sheet("Heat pump air handler")


def heaters(m: Maker) -> Sheet:
    """Stages as columns, electric heaters with their own airflows and least airflows."""
    r = m.random
    stages = ("first", "second")
    n = 3
    m.airflow_chart("cooling airflow", m.bank(n), m.switch_rows(n), 700, 1800, stages)
    kw = r.choice((("5", "8", "10", "15", "20"), ("5", "7.5", "10", "15", "20", "25"), ("4", "6", "8", "12", "16")))
    m.ratings.append("heater voltage: 240")
    m.facts.append(f"heater fitted: {{gives: heater power, values: none {' '.join(kw)}}}")
    m.board.append(
        f"J1: {{kind: jumper, positions: none {' '.join(kw)}, factory: none, gives: heater power, declares: heater"
        " fitted}"
    )
    rows = (Row(words=("none",), word="none"), *(Row(words=(k,)) for k in kw))
    flows = [(360 + 52 * float(k)) * m.noise() for k in kw]
    m.put(Chart(name="heater airflow", keys=("J1",), gives=("airflow",), rows=rows), [[m.air(x)] for x in flows])
    m.put(
        Chart(name="least with heater", keys=("J1",), gives=("least airflow",), rows=rows),
        [[m.air(x * 0.82 * m.noise())] for x in flows],
    )
    m.trim_chart("adjustment")
    lines = ["terminals: {first: Y1 O, second: Y1 Y2 O}", "stages: first second"]
    m.call("cooling", lines, [Step(op="use", name="cooling airflow"), Step(op="use", name="adjustment")], stages)
    m.call(
        "auxiliary",
        ["terminals: Y1 Y2 W1"],
        [Step(op="call", name="cooling", of="second"), Step(op="use", name="least with heater")],
    )
    m.call(
        "heater alone",
        ["terminals: E"],
        [Step(op="use", name="heater airflow"), ("trim", {"": f"-{r.choice((8, 10, 12))} %"})],
    )
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling", of="second"), ("share", {"": "50 %"})])
    return m.sheet("Air handler with heaters")


def dials(m: Maker) -> Sheet:
    """A dial for each chart, models along the top, airflow of heating from a rise asked for."""
    r = m.random
    m.take_models(1, 3)
    if len(m.models) == 1:
        m.models, m.sizes = (), ()
    m.inputs()
    words = list("0123456789ABCDEF")[: r.choice((8, 10, 12, 16))] if r.random() < 0.6 else list("ABCDEFGH")
    m.board.append(f"D1: {{kind: dial, positions: {' '.join(words)}, factory: {words[1]}}}")
    m.airflow_chart("dial airflow", ("D1",), [(w,) for w in words], 600, 1500)
    rises = sorted(r.sample((45, 48, 50, 52, 55, 58, 60), 5), reverse=r.random() < 0.7)
    m.board.append("J2: {kind: jumper, positions: 1 2 3 4 5, factory: 3}")
    m.put(
        Chart(
            name="rise asked",
            keys=("J2",),
            gives=("temperature rise",),
            rows=tuple(Row(words=(str(i),)) for i in range(1, 6)),
        ),
        [[str(x)] for x in rises],
    )
    m.trim_chart("cooling trim", 2)
    m.call("cooling", ["terminals: Y1"], [Step(op="use", name="dial airflow"), Step(op="use", name="cooling trim")])
    m.call("heating", ["terminals: W1"], [Step(op="use", name="rise asked")])
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling"), ("share", {"": f"{r.choice((40, 50, 60))} %"})])
    return m.sheet("Furnace with dials")


def jumpers(m: Maker) -> Sheet:
    """Two jumpers read together in one chart, shares of the fan."""
    r = m.random
    first = r.choice(("1 2 3 4 5", "A B C D"))
    second = r.choice(("a b c", "a b c d")) if first[0] == "1" else "1 2 3"
    m.board += [
        f"J1: {{kind: jumper, positions: {first}, factory: {first[0]}}}",
        f"J2: {{kind: jumper, positions: {second}, factory: {second[0]}}}",
    ]
    words: list[tuple[str, ...]] = [(a, b) for a in first.split() for b in second.split()]
    m.airflow_chart("compressor airflow", ("J1", "J2"), words, 600, 1900, r.choice(((), ("low", "high"))))
    m.share_chart("fan share", "J3", "1 2 3 4")
    m.trim_chart("cooling trim", 1)
    stages = ("low", "high") if m.charts[0].heads else ("",)
    lines = ["terminals: {low: Y1 O, high: Y1 Y2 O}", "stages: low high"] if m.charts[0].heads else ["terminals: Y O"]
    m.call("cooling", lines, [Step(op="use", name="compressor airflow"), Step(op="use", name="cooling trim")], stages)
    humid = [
        line.replace("Y1 O", "Y1 O DH").replace("Y1 Y2 O", "Y1 Y2 O DH").replace("Y O", "Y O DH") for line in lines
    ]
    m.call(
        "dehumidify",
        humid,
        [Step(op="call", name="cooling"), ("share", {"": f"{r.choice((80, 84, 85, 90))} %"})],
        stages,
    )
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling", of=stages[-1]), Step(op="use", name="fan share")])
    return m.sheet("Air handler for heat pumps")


def metric(m: Maker) -> Sheet:
    """Metric figures, static pressure along the top of one chart, heating with rises in C."""
    m.metric = True
    m.sizes, m.models = (), ()
    m.inputs()
    words = list("ABCDEFGH")[: m.random.choice((5, 6, 7, 8))]
    m.board.append(f"D1: {{kind: dial, positions: {' '.join(words)}, factory: C}}")
    static_chart(m, "cooling airflow", "D1", words, ("50", "100", "150", "200"))
    m.heating_chart("heating airflow", m.bank(2), m.switch_rows(2))
    m.trim_chart("adjustment")
    m.share_chart("fan share", "J1", "1 2 3")
    m.call("cooling", ["terminals: Y1"], [Step(op="use", name="cooling airflow"), Step(op="use", name="adjustment")])
    m.call("heating", ["terminals: W1"], [Step(op="use", name="heating airflow")])
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling"), Step(op="use", name="fan share")])
    return m.sheet("Ducted gas heater")


def outdoor(m: Maker) -> Sheet:
    """Known tons of the outdoor unit along the top."""
    r = m.random
    sizes = r.choice((("2", "2.5", "3", "3.5", "4"), ("1.5", "2", "3", "4", "5"), ("2", "3", "4", "5")))
    m.facts.append(f"outdoor tons: {{gives: tons, values: {' '.join(sizes)}}}")
    n = r.choice((2, 3))
    rows = tuple(Row(words=w) for w in m.switch_rows(n))
    chart = Chart(
        name="cooling airflow", keys=m.bank(n), heads=(("outdoor tons", sizes),), gives=("airflow",), rows=rows
    )
    per = m.levels(len(rows), r.uniform(320, 345), r.uniform(410, 445))
    most = float(sizes[-1]) * 390 if r.random() < 0.35 else 1e9
    m.put(chart, [[m.air(min(most, p * float(s) * exp(r.gauss(0, m.irregular / 2)))) for s in sizes] for p in per])
    m.trim_chart("adjustment", 2)
    m.share_chart("fan share", "J1", "A B C")
    m.call("cooling", ["terminals: Y1"], [Step(op="use", name="cooling airflow"), Step(op="use", name="adjustment")])
    m.call("fan", ["terminals: G"], [Step(op="call", name="cooling"), Step(op="use", name="fan share")])
    return m.sheet("Air handler for several outdoor units")


FAMILIES: tuple[Callable[[Maker], Sheet], ...] = (
    furnace,
    two_stage,
    taps,
    tons,
    heaters,
    dials,
    jumpers,
    metric,
    outdoor,
)


def clean_sheet(seed: int) -> Sheet:
    """The clean sheet of a seed, the same every time; the families take turns."""
    return FAMILIES[seed % len(FAMILIES)](Maker(seed))
