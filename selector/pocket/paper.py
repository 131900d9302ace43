"""What the pocket page shows without scripts: the unit, the board as delivered, the calls as formulas, the charts,
the cautions."""

from __future__ import annotations

from html import escape

from selector.draw.parts.draw import describe, heading
from selector.draw.parts.layout import CORNER, picture_figure
from selector.draw.parts.shapes import Box, Drawing, Stroke
from selector.draw.parts.svg import board_svg, figure_svg
from selector.table.model.cautions import cautions
from selector.table.model.formula import formula, heads_of, row_words
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import Chart, Setting, Table
from selector.value import replace


def unit_title(table: Table) -> str:
    """`Corvane two-stage gas furnace`."""
    return table.unit.named


def paper(table: Table, number: int, given: list[tuple[str, str]]) -> str:
    """The section of one table. `given` are the facts that were known when the page was made."""
    unit = table.unit
    facts = [
        ("models", " ".join(unit.models)),
        ("manual", unit.manual),
        ("pages", unit.pages),
        ("board read", unit.reads),
        *unit.applies_to.items(),
        *given,
    ]
    out = [f'<section class="paper" id="paper{number}"><h2>{escape(unit_title(table))}: charts</h2>']
    lines = [f"<div><dt>{escape(name)}</dt><dd>{escape(text)}</dd></div>" for name, text in facts if text]
    if lines:
        out.append(f'<dl class="facts">{"".join(lines)}</dl>')
    if unit.note:
        out.append(f"<p>{escape(unit.note)}</p>")
    out += [_delivered(table, given), _calls(table), *(_chart(c, table) for c in table.charts.values())]
    if table.ramps:
        ramps = "".join(
            f"<div><dt>{escape(r.name)}</dt><dd>{escape(table.lines[r.line - 1].partition(':')[2].strip())}</dd></div>"
            for r in table.ramps.values()
        )
        out.append(f'<h3>Ramps</h3><dl class="facts">{ramps}</dl>')
    items = "".join(f"<li>{escape(c)}</li>" for c in cautions(table, heat=True, cooling=True))
    out.append(f'<h3>Before setting it</h3><ul class="cautions">{items}</ul></section>')
    return "".join(out)


def _delivered(table: Table, given: list[tuple[str, str]]) -> str:
    fixed = dict(given).get("model")
    models = (fixed,) if fixed else table.unit.models or (None,)
    by: dict[Setting, list[str]] = {}
    for model in models:
        by.setdefault(table.delivered(model), []).append(model or "")
    out = ["<h3>Board as delivered</h3>"]
    for setting, names in by.items():
        if len(by) > 1:
            out.append(f"<p>{escape(' '.join(names))}</p>")
        if all(at is None for at in setting):
            out.append("<p>How it is delivered isn't told.</p>")
        else:
            out.append(
                '<div class="drawn" tabindex="0" role="region" aria-label="board as'
                f' delivered">{board_svg(table, setting, width=330)}</div>'
            )
    return "".join(out)


def _calls(table: Table) -> str:
    rows = []
    for call in table.calls.values():
        for stage in call.stages:
            words = " ".join(call.terminals.get(stage, call.terminals.get("", ())))
            title = f"{call.name} {stage}".strip()
            rows.append(
                f"<div><dt>{escape(title)}{f' ({escape(words)})' if words else ''}</dt>"
                f"<dd>{escape(formula(table, call, stage))}</dd></div>"
            )
    return f'<h3>Calls</h3><dl class="facts">{"".join(rows)}</dl>'


def _units(chart: Chart, table: Table) -> str:
    """What a chart gives, and over which pressure, with units."""
    kinds = {"airflow": table.units.airflow, "temperature difference": table.units.temperature}
    given = {q: kinds.get(QUANTITIES[q].unit, "") for q in chart.gives}
    out = [f"{q}, {unit}" if unit else q for q, unit in given.items()]
    if any(k.name == "static pressure" for k in (*chart.keys, *chart.heads)):
        out.append(f"static pressure in {table.units.pressure}")
    return "; ".join(out)


def _chart(chart: Chart, table: Table) -> str:
    title = chart.name + (f" (page {chart.page})" if chart.page else "")
    heads = heads_of(chart)
    lead = [k.name for k in chart.keys]
    out = [f"<h3>{escape(title)}</h3>"]
    for text in (f"holds for {chart.conditions}" if chart.conditions else "", chart.note):
        if text:
            out.append(f"<p>{escape(text)}</p>")
    out.append(
        f'<div class="wide{" one" if len(lead) == 1 else ""}" tabindex="0" role="region" aria-label="{escape(title)}">'
        f"<table><caption>{escape(_units(chart, table))}</caption><thead>"
    )
    for n, line in enumerate(heads or [[]]):
        last = n == max(len(heads) - 1, 0)
        first = "".join(f'<th scope="col">{escape(k)}</th>' for k in lead) if last else "<td></td>" * len(lead)
        out.append(f"<tr>{first}{''.join(f'<th scope=col>{escape(h)}</th>' for h in line)}</tr>")
    out.append("</thead><tbody>")
    for row in chart.rows:
        words = row_words(chart, row)
        marks, cells = words[: len(lead)], words[len(lead) :]
        wide = chart.cells_per_row - len(cells) + 1
        shown = "".join(f"<th scope=row>{escape(m)}</th>" for m in marks)
        for i, cell in enumerate(cells):
            note = f" ({row.note})" if row.note and i == len(cells) - 1 else ""
            span = f" colspan={wide}" if wide > 1 and i == len(cells) - 1 else ""
            shown += f"<td{span}>{escape(cell + note)}</td>"
        out.append(f"<tr>{shown}</tr>")
    out.append("</tbody></table></div>")
    return "".join(out)


def selectors(table: Table) -> list[dict[str, object]]:
    """What the page needs to draw and to tap each selector: its frame with empty holes, what points at a change, its
    printed marks."""
    return [_selector(table, n) for n in range(len(table.selectors))]


def _selector(table: Table, number: int) -> dict[str, object]:
    nothing: Setting = (None,) * len(table.parts)
    picture = describe(table, nothing)[number]
    drawn = picture.form != "list"
    return {
        "n": picture.name,
        "kind": picture.kind,
        "form": picture.form,
        "head": heading(picture) if len(picture.lines) > 1 else picture.kind,
        "lines": [
            {"p": line.part, "label": line.label, "marks": list(line.marks), "spare": line.spare, "points": points}
            for line, points in zip(
                picture.lines, _pointers(table, number) if drawn else [[]] * len(picture.lines), strict=True
            )
        ],
        "digits": picture.digits,
        "note": table.selectors[picture.name].note,
        "svg": _frame(_changed(table, number, 0)) if drawn else "",
    }


def _changed(table: Table, number: int, to: int) -> Drawing:
    """The figure of a selector all of whose parts are changed to a position: with room for what points at them."""
    after: Setting = tuple(min(to, len(p.positions) - 1) for p in table.parts)
    before: Setting = tuple(
        1 if at == 0 and len(p.positions) > 1 else 0 for at, p in zip(after, table.parts, strict=True)
    )
    return picture_figure(describe(table, after, before)[number], 320)


def _pointers(table: Table, number: int) -> list[list[str]]:
    """For each part the triangle that points at its change: one, or one for each position where that decides its
    place; none in a ring."""
    first = [table.parts[i] for i in list(table.selectors.values())[number].parts]
    found = [
        [_triangle(s) for s in _changed(table, number, to).shapes if isinstance(s, Stroke) and s.solid]
        for to in range(len(first[0].positions))
    ]
    if not found[0]:
        return [[] for _ in first]
    if len(first) > 1:
        return [[points] for points in found[0]]
    return [[one[0] for one in found if one]]


def _triangle(stroke: Stroke) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in stroke.points)


def _frame(figure: Drawing) -> str:
    """The frame with every hole empty and nothing changed; the page fills it."""
    plain = [
        replace(s, solid=False) if isinstance(s, Box) and s.hole else s
        for s in figure.shapes
        if not isinstance(s, Stroke) and not (isinstance(s, Box) and s.width < CORNER)
    ]
    return figure_svg(replace(figure, shapes=tuple(plain), said=""))
