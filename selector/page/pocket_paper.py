"""What the pocket page shows without scripts: the unit, the board as delivered, the calls as formulas, the charts, the cautions."""

from __future__ import annotations

from html import escape

from selector.page.draw import describe, heading
from selector.page.draw_layout import picture_figure
from selector.page.draw_shapes import Box, Words
from selector.page.draw_svg import board_svg, figure_svg
from selector.table.cautions import cautions
from selector.table.formula import formula, heads_of, row_words
from selector.table.model import Chart, Setting, Table
from selector.table.picture import Picture


def unit_title(table: Table) -> str:
    """`Corvane two-stage gas furnace`."""
    unit = table.unit
    return f"{unit.maker} {unit.title[:1].lower()}{unit.title[1:]}" if unit.maker else unit.title


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
    out += [_delivered(table, given), _calls(table), *(_chart(c) for c in table.charts.values())]
    if table.ramps:
        ramps = "".join(
            f"<div><dt>{escape(r.name)}</dt><dd>{escape(table.lines[r.line - 1].partition(':')[2].strip())}</dd></div>" for r in table.ramps.values()
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
            out.append("<p>The table doesn't say.</p>")
        else:
            out.append(f'<div class="drawn" tabindex="0" role="region" aria-label="board as delivered">{board_svg(table, setting, width=330)}</div>')
    return "".join(out)


def _calls(table: Table) -> str:
    rows = []
    for call in table.calls.values():
        for stage in call.stages:
            words = " ".join(call.terminals.get(stage, call.terminals.get("", ())))
            title = f"{call.name} {stage}".strip()
            rows.append(f"<div><dt>{escape(title)}{f' ({escape(words)})' if words else ''}</dt><dd>{escape(formula(table, call, stage))}</dd></div>")
    return f'<h3>Calls</h3><dl class="facts">{"".join(rows)}</dl>'


def _chart(chart: Chart) -> str:
    title = chart.name + (f" (page {chart.page})" if chart.page else "")
    heads = heads_of(chart)
    lead = [k.name for k in chart.keys]
    out = [f"<h3>{escape(title)}</h3>"]
    for text in (f"holds for {chart.conditions}" if chart.conditions else "", chart.note):
        if text:
            out.append(f"<p>{escape(text)}</p>")
    out.append(
        f'<div class="wide" tabindex="0" role="region" aria-label="{escape(title)}"><table><caption>{escape(", ".join(chart.gives))}</caption><thead>'
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
    """What the page needs to draw and to tap each selector: its frame with empty holes, its printed marks."""
    nothing: Setting = (None,) * len(table.parts)
    return [_selector(table, picture) for picture in describe(table, nothing)]


def _selector(table: Table, picture: Picture) -> dict[str, object]:
    return {
        "n": picture.name,
        "kind": picture.kind,
        "form": picture.form,
        "head": heading(picture) if len(picture.lines) > 1 else picture.kind,
        "lines": [{"p": line.part, "label": line.label, "marks": list(line.marks), "spare": line.spare} for line in picture.lines],
        "digits": picture.digits,
        "note": table.selectors[picture.name].note,
        "svg": "" if picture.form == "list" else _frame(picture),
    }


def _frame(picture: Picture) -> str:
    """The frame with every hole empty; the page fills them."""
    figure = picture_figure(picture, 320)
    plain = [
        s
        for before, s in zip((None, *figure.shapes), figure.shapes, strict=False)
        if not (isinstance(s, Words) and isinstance(before, Box) and before.hole)
    ]
    return figure_svg(type(figure)(width=figure.width, height=figure.height, shapes=tuple(plain)))
