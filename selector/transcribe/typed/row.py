"""The figures of one row as a person types them: `1020 1380`, `x`, `as OFF ON`, `60 s at 45 %, then full`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.table.from_file.figures import BadFigure, ramp_steps
from selector.table.from_file.implausible import MOST_SHARE
from selector.table.from_file.rows import REFUSING
from selector.table.model.quantities import QUANTITIES
from selector.transcribe.cells.columns import AS_IT_IS
from selector.transcribe.cells.given import DAGGERS, refusing_word
from selector.transcribe.typed.board import MistypedAnswer
from selector.transcribe.typed.chart import TypedChart

_PERCENT = "percent"
_UNITS = {
    "%": _PERCENT,
    "cfm": "airflow",
    "scfm": "airflow",
    "l/s": "airflow",
    "m3/h": "airflow",
    "s": "time",
    "sec": "time",
    "seconds": "time",
    "min": "time",
    "f": "temperature difference",
    "\u00b0f": "temperature difference",
    "c": "temperature difference",
    "\u00b0c": "temperature difference",
    "w": "watts",
    "watts": "watts",
    "rpm": "speed",
    "kw": "power",
    "btu/h": "heat",
}
"""Units as pages print them behind a figure, and the unit of a quantity that each is."""
_PLAIN = ("%", "s", "sec", "seconds", "w", "watts", "rpm")
"""Units that can mean one thing alone behind a figure of a chart, and may stand there."""
_GIVES = {
    "airflow": "airflow",
    "time": "seconds",
    "temperature difference": "temperature rise",
    "watts": "watts",
    "speed": "speed",
    "power": "heater power",
}
_WITH_UNIT = re.compile(r"([+-]?[\d.,]*\d)([%A-Za-z\u00b0/][%A-Za-z\u00b0/3]*)")


def read_row(text: str, chart: TypedChart, marks: Sequence[str]) -> str:
    """The figures of a row, its positions before them or not; Mistyped where those of another row stand there."""
    words = text.replace(",", "").split()
    lead = words[: len(marks)]
    whole = len(words) == len(marks) + len(chart.columns)
    if (
        not marks
        or not whole
        or any(w.casefold() not in map(str.casefold, p) for w, (_, p) in zip(lead, chart.parts, strict=True))
    ):
        return read_figures(text, chart)
    if [w.casefold() for w in lead] != [m.casefold() for m in marks]:
        raise MistypedAnswer(f"that is the row {' '.join(lead)}; the one asked for is {' '.join(marks)}")
    return read_figures(" ".join(words[len(marks) :]), chart)


def read_figures(text: str, chart: TypedChart) -> str:
    """A row's figures as they go into the file; Mistyped where their number is wrong. `x` stands for do not use, `-`
    alone leaves the row out."""
    text = " ".join(text.replace("\u2212", "-").split())
    noted = re.search(r"\s*\(([^()]*)\)$", text)
    if noted:
        return f"{read_figures(text[: noted.start()], chart)}  ({noted.group(1).strip()})"
    folded = text.casefold()
    if folded == "x":
        return "do not use"
    if text == "-" and len(chart.columns) > 0:
        return ""
    if AS_IT_IS.fullmatch(text) and all(QUANTITIES[g].none == 0 for g in chart.gives):
        return "none"
    if folded.startswith("as "):
        return _copy(text, chart)
    if folded in REFUSING or folded == "none":
        return text
    if refusing_word(text):
        return refusing_word(text)
    if chart.gives == ("label",):
        return text
    if chart.gives == ("ramp",):
        return _ramp(text)
    words = _units_checked(text, chart)
    figures = [w for w in words if w.casefold() not in _PLAIN]
    if len(figures) != len(chart.columns):
        raise MistypedAnswer(f"{len(figures)} figures for {len(chart.columns)}: {' · '.join(chart.columns)}")
    figures = [w.replace(",", "") if re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+", w) else w for w in figures]
    for word in figures:
        if not re.fullmatch(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)|-|\?|_|none", word):
            raise MistypedAnswer(f"`{word}` is no figure; ? where it can't be read")
    for word, quantity in zip(figures, chart.gives * len(figures), strict=False):
        what = QUANTITIES[quantity]
        if what.signed is False and word[0] in "+-" and len(word) > 1:
            raise MistypedAnswer(f"`{word}` has a sign, but {quantity} has none")
        most = MOST_SHARE if what.operation == "percent of" else 100
        if what.unit == "percent" and not what.signed and re.fullmatch(r"[\d.]+", word) and float(word) > most:
            raise MistypedAnswer(f"`{word}` is more than the whole; {quantity} is in percent")
    if all(QUANTITIES[q].unit == "percent" for q in chart.gives):
        if chart.gives == ("trim",) and any(w[0] not in "+-?_n0" for w in figures):
            raise MistypedAnswer("a trim needs its sign: +6 or -6")
        figures = ["none" if w in ("0", "+0", "-0") and chart.gives == ("trim",) else w for w in figures]
        return " ".join(w if w in ("-", "?", "_", "none") else f"{w} %" for w in figures)
    return " ".join(figures)


def _units_checked(text: str, chart: TypedChart) -> list[str]:
    """The words of a row, units apart from their figures; Mistyped for a star, and for a unit that isn't percent in
    a chart of percents."""
    starred = next(
        (w for w in text.split() if len(w) > 1 and w[-1] in DAGGERS and w.rstrip(DAGGERS)[-1:].isdigit()), ""
    )
    if starred:
        mark = "star" if starred[-1] == "*" else f"`{starred[-1]}`"
        raise MistypedAnswer(
            f"leave the {mark} off, type {starred.rstrip(DAGGERS).replace(',', '')}; what it means goes in parentheses"
            " behind the row"
        )
    words: list[str] = []
    for word in text.split():
        found = _WITH_UNIT.fullmatch(word)
        words += found.groups() if found and found.group(2).casefold() in _UNITS else [word]
    count = 0
    for before, word in zip(["", *words], words, strict=False):
        unit = _UNITS.get(word.casefold(), "") if before[-1:].isdigit() else ""
        if not unit:
            count += 1
            continue
        quantity = chart.gives[(count - 1) % len(chart.gives)]
        if QUANTITIES[quantity].unit == unit:
            if word.casefold() == "min":
                raise MistypedAnswer(f"type seconds: {60 * float(before.replace(',', '')):g} for {before} min")
            if word.casefold() not in _PLAIN:
                raise MistypedAnswer(f"type the figures alone, without `{word}`")
            continue
        raise MistypedAnswer(f"`{before} {word}` is no {quantity}, which this chart gives; {_instead(unit, before)}")
    return words


def _instead(unit: str, figure: str) -> str:
    """What to do about figures of another unit than the chart's."""
    if unit == _PERCENT:
        better = "gives trim" if figure[:1] in ("+", "-") else "gives trim` or `gives share"
        return f"for percents add `{better}` to the chart's line (< goes back)"
    return (
        f"add `gives {_GIVES[unit]}` to the chart's line (< goes back)"
        if unit in _GIVES
        else "type the figures of this chart alone"
    )


def _copy(text: str, chart: TypedChart) -> str:
    """`as OFF ON` with the marks of another row; Mistyped where it names no row."""
    marks = text.split()[1:]
    if len(marks) == 1 and len(chart.parts) == len(marks[0]) > 1:
        marks = list(marks[0])
    if len(marks) != len(chart.parts):
        raise MistypedAnswer(
            f"as needs the positions of another row: as {' '.join(positions[0] for _, positions in chart.parts)}"
        )
    for mark, (name, positions) in zip(marks, chart.parts, strict=True):
        if mark.casefold() not in (*(p.casefold() for p in positions), "-", "0", "1"):
            raise MistypedAnswer(f"`{mark}` is no position of {name}; its positions are {' '.join(positions)}")
    return text


def _ramp(text: str) -> str:
    """A ramp as it goes into the file, `at once` and `full` as 100 %; Mistyped for what is none."""
    if text in ("_", "?"):
        return text
    plain = re.sub(r"\b(?:at once|full)\b", "100 %", text, flags=re.IGNORECASE)
    plain = re.sub(r"(?<=\d)\s*%", " %", plain)
    if "%" not in plain:
        raise MistypedAnswer(f"`{text}` has no share in percent; type 60 s at 45 %, then 100 %")
    try:
        ramp_steps(plain)
    except BadFigure as wrong:
        raise MistypedAnswer(f"{wrong}; type {wrong.instead}") from wrong
    return plain
