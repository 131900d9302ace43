"""What the pocket page shows without scripts: the unit, the board as delivered, the calls as formulas, the charts,
the cautions."""

from __future__ import annotations

import json
from html import escape
from itertools import product

from selector.answers.words.caution import HEADING, cautions_for
from selector.draw.parts.draw import describe, heading
from selector.draw.parts.layout import board_figure
from selector.draw.parts.shapes import Box
from selector.draw.parts.svg import figure_svg
from selector.draw.parts.touch import side_of, touched, touched_switch
from selector.solve.board.marks import mark
from selector.table.model.formula import formula, heads_of, row_words
from selector.table.model.picture import Picture
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import ANY, Chart, Row, Setting, Table
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
    out += [_chart(c, table) for c in table.printed_charts]
    out += [_calls(table), _delivered(table, given)]
    if table.ramps:
        ramps = "".join(
            f"<div><dt>{escape(name)}</dt><dd>{escape(text)}</dd></div>"
            for name, text in table.typed_ramps(lambda r: table.typed_at(r.line)).items()
        )
        out.append(f'<h3>Ramps</h3><dl class="facts">{ramps}</dl>')
    lines = [f"<div><dt>{escape(name)}</dt><dd>{escape(text)}</dd></div>" for name, text in facts if text]
    if lines:
        out.append(f'<h3>The unit</h3><dl class="facts">{"".join(lines)}</dl>')
    if unit.note:
        out.append(f"<p>{escape(unit.note)}</p>")
    items = "".join(f"<li>{escape(c)}</li>" for c in cautions_for(table, heat=True, cooling=True).lines)
    out.append(f'<h3>{HEADING}</h3><ul class="cautions">{items}</ul></section>')
    return "".join(out)


def _delivered(table: Table, given: list[tuple[str, str]]) -> str:
    fixed = dict(given).get("model")
    models = (fixed,) if fixed else table.unit.models or (None,)
    by: dict[Setting, list[str]] = {}
    for model in models:
        by.setdefault(table.delivered(model), []).append(model or "")
    out = ["<h3>Factory setting</h3>"]
    for setting, names in by.items():
        if len(by) > 1:
            out.append(f"<p>{escape(' '.join(names))}</p>")
        if all(at is None for at in setting):
            out.append("<p>The factory setting is not known.</p>")
        else:
            drawn = _drawn(table, setting)
            out.append(f'<div class="drawn" tabindex="0" role="region" aria-label="factory setting">{drawn}</div>')
    return "".join(out)


def _drawn(table: Table, setting: Setting) -> str:
    """The board without what only tells where its places are."""
    figure = board_figure(describe(table, setting), 336, detail="short")
    kept = []
    for shape in figure.shapes:
        if isinstance(shape, Box) and shape.hole:
            if not (shape.solid or shape.hatched or shape.line):
                continue
            shape = replace(shape, hole=None)
        kept.append(shape)
    return figure_svg(replace(figure, shapes=tuple(kept)))


def _calls(table: Table) -> str:
    rows = []
    for call in table.calls.values():
        for stage in call.stages:
            words = " ".join(call.terminals_of(stage))
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
    notes: dict[str, int] = {}
    out = [f"<h3>{escape(title)}</h3>"]
    out.append(
        f'<div class="wide{" one" if len(lead) == 1 else ""}" tabindex="0" role="region" aria-label="{escape(title)}">'
        f"<table{_columns(chart)}><caption>{escape(_units(chart, table))}</caption><thead>"
    )
    for n, line in enumerate(heads or [[]]):
        last = n == max(len(heads) - 1, 0)
        first = "".join(f'<th scope="col">{escape(k)}</th>' for k in lead) if last else "<td></td>" * len(lead)
        out.append(f"<tr>{first}{''.join(f'<th scope=col>{escape(h)}</th>' for h in line)}</tr>")
    out.append("</thead><tbody>")
    for row in chart.rows:
        words = row_words(chart, row)
        marks, cells = _marks_of(chart, row, table, words[: len(lead)]), words[len(lead) :]
        wide = chart.cells_per_row - len(cells) + 1
        sign = f"<sup>{notes.setdefault(row.note, len(notes) + 1)}</sup>" if row.note else ""
        shown = "".join(
            f"<th scope=row>{escape(m)}{sign if n == len(marks) - 1 else ''}</th>" for n, m in enumerate(marks)
        )
        for i, cell in enumerate(cells):
            span = f" colspan={wide}" if wide > 1 and i == len(cells) - 1 else ""
            lone = sign if not marks and i == len(cells) - 1 else ""
            shown += f"<td{span}>{escape(cell)}{lone}</td>"
        out.append(f"<tr{_at(chart, row)}>{shown}</tr>")
    out.append("</tbody></table></div>")
    under = [f"<p><sup>{n}</sup> {escape(text)}</p>" for text, n in notes.items()]
    conditions = f"holds for {chart.conditions}" if chart.conditions else ""
    under += [f"<p>{escape(text)}</p>" for text in (conditions, chart.note) if text]
    return "".join((*out, f'<div class="under">{"".join(under)}</div>' if under else ""))


def _marks_of(chart: Chart, row: Row, table: Table, words: list[str]) -> list[str]:
    """The positions of a row as they are printed on the board."""
    return [
        mark(table, key.part, at) if key.kind == "part" and at != ANY else word
        for key, at, word in zip(chart.keys, row.positions, words, strict=False)
    ] or words


def _columns(chart: Chart) -> str:
    """The chart's name, and for each column its model and whether it holds airflows, so that the page can leave out
    other models and shade what is near a target."""
    names = [head.name for head in chart.heads]
    columns = [dict(zip(names, at, strict=True)) for at in product(*(head.values for head in chart.heads))]
    models = json.dumps([column.get("model", "") for column in columns for _ in chart.gives])
    flows = json.dumps([int(gives == "airflow") for _ in columns for gives in chart.gives])
    return f' data-chart="{escape(chart.name)}" data-models="{escape(models)}" data-flows="{flows}"'


def _at(chart: Chart, row: Row) -> str:
    """The positions that a row answers for, so that the board's own row can be marked."""
    if not chart.keys or any(key.kind != "part" for key in chart.keys):
        return ""
    places = " ".join(f"{key.part}:{at}" for key, at in zip(chart.keys, row.positions, strict=True))
    return f' data-at="{places}"'


LONGEST_DRAWN = 12
"""Menus with more entries are chosen from a list."""


def selectors(table: Table) -> list[dict[str, object]]:
    """What the page needs to draw and to touch each selector: its drawing in every state, its printed marks."""
    nothing: Setting = (None,) * len(table.parts)
    return [_selector(table, picture) for picture in describe(table, nothing, offered=True)]


def switches(table: Table) -> dict[str, list[dict[str, object]]]:
    """The switches of the banks, by their marks, upright and turned a quarter, used and not used."""
    nothing: Setting = (None,) * len(table.parts)
    banks = [picture for picture in describe(table, nothing) if picture.bank]
    return {_marks(p): [_switch(p, turn) for turn in range(2)] for p in banks}


def _marks(bank: Picture) -> str:
    return " ".join(bank.lines[0].marks)


def _switch(bank: Picture, turn: int) -> dict[str, object]:
    line = bank.lines[0]
    used, spare = touched_switch(line, False)[turn], touched_switch(line, True)[turn]
    return {
        "w": used.width,
        "h": used.height,
        "used": used.said,
        "spare": spare.said if any(one.spare for one in bank.lines) else "",
        "side": side_of(line, 90 * turn),
    }


def _selector(table: Table, picture: Picture) -> dict[str, object]:
    long = picture.form == "list" and len(picture.lines[0].marks) > LONGEST_DRAWN
    drawn = None if picture.bank or long else touched(picture)
    out: dict[str, object] = {
        "n": picture.name,
        "kind": picture.kind,
        "form": picture.form,
        "turn": picture.turned // 90,
        "head": heading(picture) if len(picture.lines) > 1 else picture.kind,
        "lines": [
            {
                "p": line.part,
                "label": line.label,
                "marks": list(line.marks[: len(line.marks) - line.away]),
                "spare": line.spare,
            }
            for line in picture.lines
        ],
        "digits": picture.digits,
        "note": table.selectors[picture.name].note,
    }
    if picture.bank:
        out |= {"bank": _marks(picture), "groups": picture.groups}
    if drawn is not None:
        out |= {"svg": drawn.said, "w": drawn.width, "h": drawn.height}
    return out
