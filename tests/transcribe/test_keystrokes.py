"""Three pages typed from blank to a table that passes check and answers as the shipped one, every key counted.

How keys are counted: every character typed is one, Enter is one, and so is each move to the next blank, saving, pasting
and Ctrl-C; the line that
starts the program counts too. A capital counts one, as a letter does. Nothing is copied from the shipped table: figures
are taken row by row from
the printed page (`tables/NAME.md`), the words from its sentences, terminals from any thermostat. Looking and thinking
aren't counted.

What is printed: the characters of the page's own text with ink, without the bars, dashes and marks that only draw its
tables and headings in this
form, and without the worked answers, which aren't part of the page.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest

from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.library.library import load
from selector.table.model.table import Setting, Table
from selector.transcribe.compare.compare import compare
from tests.helpers.typist import Editor, Terminal

TABLES = Path(__file__).parents[2] / "tables"
MOST = 1.3
"""Keys for each printed character."""


def page_of(name: str) -> str:
    """The page as printed."""
    return (TABLES / f"{name}.md").read_text(encoding="utf-8").split("## Worked answers")[0]


def printed(name: str) -> int:
    """Characters with ink on the page."""
    lines = [line for line in page_of(name).splitlines() if line.strip("|-: ")]
    return len(re.sub(r"[\s|#]", "", "\n".join(lines)))


def charts_of(name: str) -> list[list[list[str]]]:
    """The rows of every table of the page, heads left out."""
    charts: list[list[list[str]]] = []
    body = False
    for line in page_of(name).splitlines():
        if not line.startswith("|"):
            body = False
        elif not line.strip("|-: "):
            charts.append([])
            body = True
        elif body:
            charts[-1].append([cell.strip() for cell in line.strip("|").split("|")])
    return charts


def typed_corvane() -> Iterator[str]:
    """What is typed for page K-14; the two rows of `- ON ON` are asked one after the other."""
    heating, cooling, trims = charts_of("corvane-k14")
    yield from (
        "Two-stage gas furnace",
        "Corvane",
        "060 080 110",
        "K-14 23-24",
        "",
        "power",
        "60000 80000 110000",
        "95",
        "35 65",
        "",
    )
    yield "SW1 8 at off"
    yield from ("", "heating airflow: 1 by model gives airflow, rise page 23 (the rise without trim)")
    yield from (" ".join(row[1:]) for row in heating)
    yield from ("cooling airflow: 2-4 by model page 23", "")
    yield from (" ".join(row[3:]) for row in cooling[:-1])
    yield from ("x", "x")
    yield from ("trims: 5 6 page 24", "")
    yield from (row[2].removesuffix(" %") for row in trims)
    yield from ("fan share: 7 page 24", "45", "60", "")
    yield from ("cooling Y1, Y1 Y2", "cool, trims, 66% in first, off 60 s")
    yield from ("heating W1, W1 W2", "heat, trims, 70% in first", "70")
    yield from ("fan G", "call cooling second, fan share, at least 400", "", "", "y")


def typed_saltmarsh() -> Iterator[str]:
    """What is typed for page 9 of the air handler 12."""
    cooling, heater = charts_of("saltmarsh-12")
    yield from ("Air handler 12 for heat pumps", "Saltmarsh", "", "9", "", "", "", "")
    yield from (
        "J1 1-5 at 3",
        "J2 a-c at b",
        "J3 1-3 at 1",
        "J4 none 5 8 10 15 at none declares heater",
        "J5 1-3 at 1",
        "LK1 at whole",
        "",
        "240",
    )
    yield from ("cooling or heat-pump airflow: J1 J2", "")
    yield from (figure for row in cooling for figure in row[1::2])
    yield from ("constant fan: J3", "30", "55", "80", "heater alone airflow: J4")
    yield from (row[1] for row in heater)
    yield "at least with heater: J4 gives least"
    yield from (row[2] for row in heater)
    yield from (
        "start in cooling: J5",
        "at once",
        "120 s at 65 %, then full",
        "60 s at 45 %, 240 s at 78 %, then full, after 90 s at 40 %",
        "",
    )
    yield from ("cooling Y O", "cooling", "ramp start", "")
    yield from ("dehumidify Y O DH (while the humidistat's contact is open)", "call cooling, 84%", "LK1 cut")
    yield from ("heat pump Y", "cooling", "heat pump with heater Y W", "call heat pump, at least at", "J4 5 8 10 15")
    yield from ("heater alone W", "heater", "", "fan G", "call cooling, constant", "highest", "")


def typed_wickerby() -> Iterator[str]:
    """What is typed for page 5 of the five-tap air handler."""
    (taps,) = charts_of("wickerby-5")
    yield from (
        "Five-tap air handler",
        "Wickerby",
        "",
        "5",
        "L",
        "",
        "",
        "24 V",
        "M1 1-5 leads Y1 Y2 W G (a lead that is not used is parked)",
        "",
    )
    yield "tap airflow: M1 by static 25 75 125 175 225 (dry coil, filter in)"
    yield from (" ".join(row[1:]) for row in taps)
    yield from (
        "",
        "",
        "torque",
        "cooling low Y1, high Y1 Y2",
        "tap",
        "",
        "heat W",
        "tap",
        "",
        "fan G",
        "tap",
        "",
        "",
        "",
    )


TYPED = {"corvane-k14": typed_corvane, "saltmarsh-12": typed_saltmarsh, "wickerby-5": typed_wickerby}


def passed(path: Path) -> Table:
    """The table of a file that `selector check` finds no problem in."""
    check = Terminal("check", path.name, cwd=path.parent)
    assert check.end() == 0, check.said
    assert "no problems" in check.said
    return load(str(path))[0]


def settings_of(table: Table) -> list[Setting]:
    """Positions of the whole board: all of them, or 300 at random where there are more."""
    if len(list(product(*(range(len(p.positions)) for p in table.parts[:4])))) ** 2 < 300:
        return list(product(*(range(len(p.positions)) for p in table.parts)))
    rnd = random.Random(1)
    return [tuple(rnd.randrange(len(p.positions)) for p in table.parts) for _ in range(300)]


def answers(table: Table, facts: Facts, setting: Setting) -> dict[object, object]:
    """What every call gives, under its terminals and the number of its stage: names are people's own."""
    out: dict[object, object] = {}
    for name, call in evaluate(Engine(table, facts), setting).items():
        asked = table.calls[name]
        for n, stage in enumerate(call.stages):
            key = (
                tuple(sorted(table.calls[name].terminals.get(stage.stage, table.calls[name].terminals.get("", ())))),
                n,
            )
            figures = [
                x if isinstance(x, Fraction) else getattr(x, "kind", x) for x in (stage.airflow, stage.heat, stage.rise)
            ]
            ramp = call.ramp.get(stage.stage)
            delays = [d.get(stage.stage) for d in (call.on_delay, call.off_delay)]
            limits = sorted((j.limit.quantity, j.ok, j.low, j.high) for j in stage.judged if j.ok is not None)
            out[key] = (
                figures,
                [(s.seconds, s.share, s.after) for s in getattr(ramp, "steps", ())],
                delays,
                limits,
                sorted(asked.together.values()),
            )
    return out


def same_answers(name: str, typed: Table, every: int = 1) -> None:
    """Charts cell by cell and answers setting by setting (of every so many) are those of the shipped table."""
    shipped, _ = load(name)
    assert compare(shipped, typed).differences == ()
    assert [p.name for p in typed.parts] == [p.name for p in shipped.parts]
    facts: Sequence[Facts] = [Facts(model=m) for m in shipped.unit.models]
    if name == "saltmarsh-12":
        facts = [
            Facts(values={"heater": h, "supply voltage": Fraction(v)}) for h in ("none", "5", "15") for v in (208, 240)
        ]
    if name == "wickerby-5":
        facts = [Facts(values={"static pressure": Fraction(p)}) for p in (25, 150, 240)]
    for setting in settings_of(shipped)[::every]:
        for known in facts:
            assert answers(typed, known, setting) == answers(shipped, known, setting), (setting, known)


def told(name: str, keys: int) -> None:
    """Fewer keys than 1.3 for each printed character."""
    assert keys < MOST * printed(name), (
        f"{keys} keys for {printed(name)} printed characters: {keys / printed(name):.2f}"
    )


@pytest.mark.parametrize("name", TYPED)
def test_a_page_typed_at_the_questions(name: str, tmp_path: Path) -> None:
    terminal = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    terminal.lines(list(TYPED[name]()))
    assert terminal.end() == 0, terminal.said
    table = passed(tmp_path / "unit.yaml")
    told(name, terminal.keys)
    same_answers(name, table)


@pytest.mark.parametrize("name", TYPED)
def test_a_page_whose_figures_are_typed_later_in_the_file(name: str, tmp_path: Path) -> None:
    """Every row is left with Enter; the figures are typed over the blanks, one after another. Rows that aren't
    figures are typed at once."""
    figures: list[str] = []
    lines = []
    for line in TYPED[name]():
        if re.fullmatch(r"(?=.*\d{2})[\d ]+|none", line) and line not in (
            "060 080 110",
            "60000 80000 110000",
            "95",
            "35 65",
            "9",
            "5",
            "240",
            "70",
        ):
            figures += line.split()
            lines.append("")
        else:
            lines.append(line)
    assert len(figures) > 20
    terminal = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    terminal.lines(lines)
    assert terminal.end() == 0, terminal.said
    editor = Editor(tmp_path / "unit.yaml")
    editor.fill(figures)
    editor.save()
    table = passed(tmp_path / "unit.yaml")
    told(name, terminal.keys + editor.keys)
    same_answers(name, table, every=4)


PASTING = 6
"""Keys to mark the page, copy it, open an empty file, paste, save: Ctrl-A, Ctrl-C, Ctrl-N, Ctrl-V, Ctrl-S, and Enter
after the file's name."""


def imported(text: str, lines: Sequence[str], tmp_path: Path) -> Terminal:
    """A page's text imported and the questions that are left answered."""
    (tmp_path / "page.txt").write_text(text, encoding="utf-8")
    terminal = Terminal("import", "page.txt", "--out", "unit.yaml", cwd=tmp_path)
    terminal.keys += PASTING + len("page.txt")
    terminal.lines(lines)
    assert terminal.end() == 0, terminal.said
    return terminal


def test_the_text_of_a_page_of_three_charts_imported(tmp_path: Path) -> None:
    lines = [
        "y",
        "Two-stage gas furnace",
        "Corvane",
        "K-14 23-24",
        "",
        "power",
        "60000 80000 110000",
        "95",
        "35 65",
        "",
    ]
    lines += ["SW1 8 at off", "", "fan share: 7", "45", "60", ""]
    lines += [
        "cooling Y1, Y1 Y2",
        "cool, trim, 66% in first, off 60 s",
        "heating W1, W1 W2",
        "heat, trim, 70% in first",
        "70",
    ]
    lines += ["fan G", "call cooling second, fan share, at least 400", "", "", "y"]
    # models stand above the first chart of this page, so nothing asks what stands along its top
    terminal = imported(page_of("corvane-k14"), lines, tmp_path)
    table = passed(tmp_path / "unit.yaml")
    told("corvane-k14", terminal.keys)
    assert [d.where for d in compare(load("corvane-k14")[0], table).differences] == []
    same_answers("corvane-k14", table, every=4)


def test_a_chart_in_groups_side_by_side_imported(tmp_path: Path) -> None:
    """The chart of J1 and J2 pasted from the page, the rest of the page typed."""
    whole = page_of("saltmarsh-12")
    text = whole[whole.index("## Cooling") : whole.index("## Other")]
    typed = list(typed_saltmarsh())
    chart, after = typed.index("cooling or heat-pump airflow: J1 J2"), typed.index("constant fan: J3")
    terminal = imported(text, ["y", *typed[:chart], *typed[after:]], tmp_path)
    table = passed(tmp_path / "unit.yaml")
    told("saltmarsh-12", terminal.keys)
    same_answers("saltmarsh-12", table, every=4)


def test_the_text_of_a_page_of_taps_imported(tmp_path: Path) -> None:
    typed = list(typed_wickerby())
    board = typed.index("M1 1-5 leads Y1 Y2 W G (a lead that is not used is parked)")
    lines = ["M1", "y", *typed[: board + 2], *("air" if line == "tap" else line for line in typed[board + 8 :])]
    terminal = imported(page_of("wickerby-5"), lines, tmp_path)
    table = passed(tmp_path / "unit.yaml")
    told("wickerby-5", terminal.keys)
    same_answers("wickerby-5", table, every=4)


@pytest.mark.parametrize("name", TYPED)
def test_every_figure_that_is_typed_stands_on_the_page(name: str) -> None:
    numbers = set(re.findall(r"\d+", page_of(name).replace(",", "")))
    for line in TYPED[name]():
        assert set(re.findall(r"\d+", line)) <= numbers | {"0"}, line
