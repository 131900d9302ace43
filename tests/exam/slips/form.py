"""A page typed by the guide: unit, board, charts and calls put together as the text of a table file."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MAKERS = (
    "Brindlemoor", "Corvane", "Drossfield", "Eskerby", "Fenwarren", "Garrowby", "Hollinsby", "Lindmarrow",
    "Marrowdale", "Ostrandel", "Pellmere", "Quillhaven", "Saltmarsh", "Tarnwick", "Thornquay", "Wickerby",
)  # fmt: skip

Head = tuple[str, Sequence[str]]


@dataclass(frozen=True)
class Row:
    """One line of a chart: positions, then figures (or a word such as `reserved` instead of them)."""

    positions: Sequence[str]
    figures: Sequence[str] | str
    note: str = ""


class Page:
    """Collects the parts of one table; `text()` writes them out."""

    def __init__(
        self,
        rng: random.Random,
        title: str,
        *,
        models: Sequence[str] = (),
        airflow: str = "cfm",
        units: str = "",
        unit: Mapping[str, str] | None = None,
    ) -> None:
        self.rng = rng
        self.title = title
        self.models = list(models)
        self.units = f"airflow: {airflow}" + (f", {units}" if units else "")
        self.unit = dict(unit or {})
        self.style = rng.choice(("words", "words", "digits", "run"))
        self.number = rng.randrange(3, 60)
        self.paged = rng.random() < 0.8
        self.ratings: dict[str, str] = {}
        self.facts: dict[str, str] = {}
        self.ramps: dict[str, str] = {}
        self.selectors: dict[str, str] = {}
        self.used = 0
        self.charts: list[str] = []
        self.calls: list[str] = []

    def switches(self, count: int) -> list[str]:
        """The next free switches of the bank SW1."""
        first = self.used + 1
        self.used += count
        return [f"SW1-{number}" for number in range(first, first + count)]

    def selector(self, letter: str, kind: str, positions: Sequence[str], factory: str = "", more: str = "") -> str:
        """A jumper, dial, plug, link or menu under the next free name of its letter."""
        name = f"{letter}{1 + sum(known.startswith(letter) for known in self.selectors)}"
        told = f"{{kind: {kind}, positions: {' '.join(positions)}, factory: {factory or self.rng.choice(positions)}"
        self.selectors[name] = told + (f", {more}}}" if more else "}")
        return name

    def jumper(self, positions: Sequence[str], factory: str = "", more: str = "") -> str:
        """A jumper, its name."""
        return self.selector("J", "jumper", positions, factory, more)

    def dial(self, positions: Sequence[str], factory: str = "", more: str = "") -> str:
        """A rotary dial, its name."""
        return self.selector("D", "dial", positions, factory, more)

    def link(self) -> str:
        """A link that is whole as delivered, its name."""
        name = f"LK{1 + sum(known.startswith('LK') for known in self.selectors)}"
        self.selectors[name] = "{kind: link, factory: whole}"
        return name

    def chart(
        self,
        name: str,
        gives: str,
        rows: Sequence[Row],
        *,
        by: Sequence[str] = (),
        across: Sequence[Head] = (),
        note: str = "",
        conditions: str = "",
        packed: int = 1,
    ) -> str:
        """Adds a chart; `packed` rows share one line. Gives back its name."""
        lines = [f"  {name}:"]
        if self.paged:
            self.number += self.rng.choice((0, 0, 1))
            lines.append(f"    page: {self.number}")
        if by:
            lines.append(f"    set: {' '.join(by)}")
        if across:
            heads = ", ".join(f"{head}: {' '.join(words)}" for head, words in across)
            lines.append(f"    across: {{{heads}}}")
        lines.append(f"    gives: {gives}")
        if conditions:
            lines.append(f"    conditions: {conditions}")
        if note:
            lines.append(f"    note: {note}")
        lines.append("    rows: |")
        typed = self._rows(by, rows)
        for start in range(0, len(typed), packed):
            lines.append("      " + " ; ".join(typed[start : start + packed]).rstrip())
        self.charts.extend(lines)
        return name

    def _rows(self, by: Sequence[str], rows: Sequence[Row]) -> list[str]:
        places = [[self._position(by[i], word) for i, word in enumerate(row.positions)] for row in rows]
        run = self.style == "run" and len(by) > 1
        joined = [
            "".join(words) if run and all(len(word) == 1 and word != "-" for word in words) else words
            for words in places
        ]
        widths = [max(len(words[i]) for words in places) for i in range(len(by))]
        lefts = [
            words if isinstance(words, str) else " ".join(w.ljust(widths[i]) for i, w in enumerate(words))
            for words in joined
        ]
        left = max((len(words) for words in lefts), default=0)
        figures = [row.figures for row in rows if not isinstance(row.figures, str)]
        columns = max((len(line) for line in figures), default=0)
        wide = [max((len(line[i]) for line in figures if i < len(line)), default=0) for i in range(columns)]
        typed = []
        for words, row in zip(lefts, rows, strict=True):
            if isinstance(row.figures, str):
                right = row.figures
            else:
                right = " ".join(figure.rjust(wide[i]) for i, figure in enumerate(row.figures))
            line = f"{words.ljust(left)}  {right}" if by else right
            typed.append(line + (f"  ({row.note})" if row.note else ""))
        return typed

    def _position(self, selector: str, word: str) -> str:
        if selector.startswith("SW") and self.style == "words":
            return {"0": "OFF", "1": "ON"}.get(word, word)
        return word

    def call(self, name: str, terminals: str, airflow: str, **more: str) -> None:
        """Adds a call; further keys by their words, an underscore for a blank."""
        self.calls += [f"  {name}:", f"    terminals: {terminals}"]
        before = ("stages", "capacity", "when", "lead", "heat")
        told = {key.replace("_", " "): value for key, value in more.items()}
        self.calls += [f"    {key}: {told[key]}" for key in before if key in told]
        self.calls.append(f"    airflow: {airflow}")
        self.calls += [f"    {key}: {value}" for key, value in told.items() if key not in before]

    def text(self) -> str:
        """The table file."""
        rng = self.rng
        lines = ["format: selector table 1", "unit:", f"  title: {self.title}", f"  maker: {rng.choice(MAKERS)}"]
        if self.models:
            lines.append(f"  models: {' '.join(self.models)}")
        lines.append(f"  manual: {{number: {rng.choice('ABCDEHKMRT')}-{rng.randrange(2, 98)}, pages: {self.number}}}")
        lines += [f"  {key}: {value}" for key, value in self.unit.items()]
        lines.append(f"units: {{{self.units}}}")
        for head, block in (("ratings", self.ratings), ("facts", self.facts)):
            if block:
                lines += [f"{head}:", *(f"  {key}: {value}" for key, value in block.items())]
        board = dict(self.selectors)
        if self.used:
            count = next(size for size in (2, 4, 6, 8, 10, 12, 16) if size >= self.used)
            spare = " ".join(str(number) for number in range(self.used + 1, count + 1))
            told = f"{{kind: switches, count: {count}, factory: all off" + (f", not used: {spare}}}" if spare else "}")
            board = {"SW1": told, **board}
        lines += ["board:", *(f"  {key}: {value}" for key, value in board.items())]
        lines += ["charts:", *self.charts]
        if self.ramps:
            lines += ["ramps:", *(f"  {key}: {value}" for key, value in self.ramps.items())]
        lines += ["calls:", *self.calls]
        return "\n".join(lines) + "\n"
