"""A table read back: every chart laid out in the manual's order, and row by row in words for two people who check."""

from __future__ import annotations

from collections.abc import Iterator

from selector.table.model.formula import formula, heads_of, row_words
from selector.table.model.table import ABOUT, ANY, Chart, Key, Row, Table
from selector.transcribe.compare.calls import belongs
from selector.transcribe.compare.difference import ramp_said
from selector.transcribe.compare.spoken_words import code_in_words, figure_in_words, mark_in_words
from selector.value import Struct


class SpokenRow(Struct, frozen=True, kw_only=True):
    """One row to be read aloud: where it stands in the file, which chart and how far in it, and the sentence."""

    chart: str
    line: int
    number: int
    count: int
    text: str


def layout(table: Table) -> tuple[str, ...]:
    """The whole table as lines of plain text: its head, the board, each chart as a page prints it, the calls as
    formulas."""
    unit = table.unit
    out = [" ".join(w for w in (unit.maker, unit.title) if w)]
    source = ", ".join(
        s for s in (f"manual {unit.manual}" if unit.manual else "", f"page {unit.pages}" if unit.pages else "") if s
    )
    if source:
        out.append(source)
    if unit.models:
        out.append(f"models {' '.join(unit.models)}")
    out.append(f"in {table.units.airflow}, {table.units.pressure}, {table.units.temperature}, {table.units.heat}")
    for name, rating in table.ratings.items():
        out.append(f"{name}: {table.lines[rating.line - 1].partition(':')[2].strip()}" if rating.line else name)
    out += ["", "board"]
    for selector in table.selectors.values():
        parts = [table.parts[i] for i in selector.parts]
        delivered = ", ".join(
            f"{m + ' ' if m else ''}{' '.join(p.word(p.factory.get(m)) for p in parts)}"
            for m in dict.fromkeys(m for p in parts for m in p.factory)
        )
        marks = " ".join(parts[0].positions)
        out.append(
            f"  {selector.name}  {selector.kind}  {f'{len(parts)} x ' if len(parts) > 1 else ''}{marks}"
            + (f"   delivered {delivered}" if delivered else "")
        )
    for chart in table.printed_charts:
        out += ["", *chart_layout(chart)]
    if table.ramps:
        out += ["", "ramps", *(f"  {n}: {text}" for n, text in table.typed_ramps(ramp_said).items())]
    out += ["", "calls"]
    for call in table.calls.values():
        for stage in call.stages:
            out.append(f"  {' '.join(w for w in (call.name, stage) if w)} = {formula(table, call, stage)}")
        said = {
            "terminals": ", ".join(" ".join(call.terminals_of(s)) for s in call.terminals),
            **belongs(table, call, {}),
            "conditions": "",
        }
        out.append("    " + "; ".join(f"{what} {words}" for what, words in said.items() if words))
    return tuple(line.rstrip() for line in out)


def chart_layout(chart: Chart) -> list[str]:
    """A chart as a page prints it: its name, its heads, its rows in their order, figures in columns."""
    title = chart.name + (f" (page {chart.page})" if chart.page else "")
    lead = [k.name for k in chart.keys]
    heads = heads_of(chart)
    body = [row_words(chart, row) for row in chart.rows]
    width = len(lead) + chart.cells_per_row
    top = [["" for _ in lead] + line for line in heads[:-1]]
    last = lead + (heads[-1] if heads else list(chart.gives))
    grid = [*top, last, *body]
    widths = [max((len(line[i]) for line in grid if len(line) == width), default=0) for i in range(width)]
    out = [title]
    if chart.conditions:
        out.append(f"  holds for {chart.conditions}")
    for n, line in enumerate(grid):
        cells = (
            [w.ljust(widths[i]) if i < len(lead) else w.rjust(widths[i]) for i, w in enumerate(line)]
            if len(line) == width
            else _short(line, lead, widths)
        )
        note = chart.rows[n - len(top) - 1].note if n > len(top) else ""
        out.append("  " + "  ".join(cells).rstrip() + (f"  ({note})" if note else ""))
        if n == len(top):
            out.append("  " + "-" * (sum(widths) + 2 * (width - 1)))
    return out


def _short(line: list[str], lead: list[str], widths: list[int]) -> list[str]:
    """A row with a word instead of its figures."""
    return [w.ljust(widths[i]) for i, w in enumerate(line[: len(lead)])] + line[len(lead) :]


def spoken(table: Table, chart: str = "") -> Iterator[SpokenRow]:
    """Every row of a chart (of all, where none is named) in words: `switch 1 off, switch 2 on: one thousand three
    hundred eighty`."""
    for one in table.printed_charts:
        if chart and one.name != chart:
            continue
        for number, row in enumerate(one.rows, start=1):
            yield SpokenRow(
                chart=one.name, line=row.line, number=number, count=len(one.rows), text=row_in_words(table, one, row)
            )


def row_in_words(table: Table, chart: Chart, row: Row) -> str:
    """One row as it is read aloud: its positions, then its figures under the heads that they stand under."""
    marks = ", ".join(
        f"{_part_in_words(table, key.name)} {_mark(key, p)}" for key, p in zip(chart.keys, row.positions, strict=True)
    )
    if row.word:
        said = row.word
    elif row.like or row.same:
        copied = row.like or row.same
        said = f"{'as' if row.like else 'same as'} {' '.join(map(_mark, chart.keys, copied))}"
    else:
        levels = [[_head_in_words(chart, level, word) for word in line] for level, line in enumerate(heads_of(chart))]
        heads = [" ".join(line) for line in zip(*levels, strict=True)]
        figures = [figure_in_words(t) + _footnotes(chart, row, cell) for cell, t in enumerate(row.typed)]
        if len(heads) == len(figures) and len(figures) > 1:
            said = "; ".join(f"{h}, {f}" for h, f in zip(heads, figures, strict=True))
        else:
            said = "; ".join(figures)
    if row.rest:
        marks = "all other positions"
    marks += _footnotes(chart, row, -1)
    note = f"; note: {row.note}" if row.note else ""
    return f"{marks}: {said}{note}" if marks else f"{said}{note}"


def _footnotes(chart: Chart, row: Row, cell: int) -> str:
    """The texts of the footnotes at a cell, or at the whole row (-1)."""
    texts = {n.mark: n.text for n in chart.notes}
    return "".join(f", footnote: {texts[mark]}" for at, mark in row.marks if at == cell and mark != ABOUT)


def _part_in_words(table: Table, name: str) -> str:
    """`switch 1` for a switch where the board has one bank, `SW2 switch 1` where it has more; other selectors by
    their label."""
    banks = [s.name for s in table.selectors.values() if s.kind == "switches"]
    for bank in banks:
        if name.startswith(bank + "-"):
            return f"switch {name[len(bank) + 1 :]}" if len(banks) == 1 else f"{bank} switch {name[len(bank) + 1 :]}"
    return name


def _mark(key: Key, position: int) -> str:
    return mark_in_words("-" if position == ANY else key.values[position], key.values)


def _head_in_words(chart: Chart, level: int, word: str) -> str:
    """A word above a column: pressures and rates as figures, models sign by sign, positions as marks; the quantities
    as they are."""
    if level >= len(chart.heads):
        return word
    head = chart.heads[level]
    if head.continuous:
        return figure_in_words(word)
    return mark_in_words(word, head.values) if head.kind == "part" else code_in_words(word)
