"""A sheet for a person as one page: printed on letter or A4, or read on a screen. Nothing is fetched, and no text of a
table is markup."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from selector.answers.sheets.sheet import PersonSheet, Run, SheetSection, SheetStep
from selector.card.html import SIZES, Paper
from selector.card.sheets.typeset import printed
from selector.draw.parts.layout import picture_figure
from selector.draw.parts.svg import figure_svg
from selector.draw.plots.strip import Strips, strips_figure
from selector.table.model.picture import Picture

_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_STYLE = """
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;font:12pt/1.26 Arial,Helvetica,sans-serif;color:#000;background:#fff}
main{max-width:8.5in;margin:auto;padding:.35in .4in}
header{display:flex;justify-content:space-between;gap:1em;align-items:flex-end;border-bottom:2.2pt solid;
padding-bottom:4pt;margin-bottom:8pt}
h1{font-size:22pt;line-height:1.1;margin:0}
header p{margin:0;text-align:right}
h2{font-size:15pt;margin:12pt 0 3pt}
.first{background:#000;color:#fff;font-weight:bold;padding:5pt 9pt;border-radius:3pt;margin:0 0 8pt;
-webkit-print-color-adjust:exact;print-color-adjust:exact}
.first p{margin:0}
.steps{list-style:none;margin:0;padding:0}
.steps>li{display:grid;grid-template-columns:40pt 1fr 24pt;padding:0 0 8pt;margin:0 0 8pt;
border-bottom:.6pt solid #ccc;break-inside:avoid}
.n{font-size:25pt;font-weight:bold;line-height:1}
.box{width:21pt;height:21pt;border:1.6pt solid;border-radius:2.5pt;justify-self:end}
.do{font-size:15pt;margin:0}
.more{color:#4a4a4a;margin:3pt 0 0}
.stop{font-weight:bold;margin:3pt 0 0}
.draw{margin:8pt 0 0}
svg{display:block;width:100%;height:auto}
.blanks{display:flex;flex-wrap:wrap;gap:0 14pt;margin:0;padding:0}
.blanks span{display:flex;align-items:flex-end;gap:5pt;flex:1 1 auto;min-width:118pt;height:27pt;white-space:nowrap}
.blanks i{flex:1;min-width:44pt;border-bottom:1.2pt solid}
ul{list-style:none;margin:0;padding:0}
ul li{margin:2pt 0}
.tick li{padding-left:20pt;text-indent:-20pt}
.tick li::before{content:"";display:inline-block;width:10pt;height:10pt;border:1.2pt solid;border-radius:1.5pt;
margin-right:8pt;vertical-align:-1pt}
table{border-collapse:collapse;width:100%;margin-top:4pt}
th,td{text-align:right;padding:4pt 0;border-bottom:.6pt solid #ccc;font-weight:normal}
thead th{color:#4a4a4a;border-bottom:1pt solid #000}
th:first-child{text-align:left}
td:nth-child(3){font-weight:bold}
td:not(:last-child){font-size:14pt}
.foot{font-weight:bold;margin:12pt 0 0}
.helper .foot{font-weight:normal}
.signed{display:flex;gap:16pt;margin-top:26pt}
.signed span{flex:1;display:flex;gap:6pt;align-items:flex-end}
.signed i{flex:1;border-bottom:1.2pt solid}
@media screen and (max-width:560px){
header{display:block}
header p{text-align:left}
.steps>li{grid-template-columns:30pt 1fr 24pt}
th,td,td:not(:last-child){padding:4pt 0 4pt 4pt;font-size:11pt}
.signed{flex-wrap:wrap}
.signed span{flex:1 1 40%}
}
@media print{main{padding:0;max-width:none}}
"""


def sheet_html(sheet: PersonSheet, paper: Paper = "letter") -> str:
    """The page, whole and by itself."""
    beside = "".join(f"<p>{_said(text)}</p>" for text in (sheet.unit, sheet.place) if text)
    first = f'<div class="first">{_paragraphs(sheet.first)}</div>' if sheet.first else ""
    steps = "".join(_step(n, step) for n, step in enumerate(sheet.steps))
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy"'
        f' content="{_POLICY}"><meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(sheet.title)}: {escape(sheet.unit)}</title><style>@page{{size:{SIZES[paper]};margin:.6in}}"
        f'{_STYLE}</style></head><body class="{sheet.reader}"><main><header><h1>{_said(sheet.title)}</h1><div>{beside}'
        f"</div></header>{first}"
        + (f'<ol class="steps">{steps}</ol>' if steps else "")
        + "".join(_section(one) for one in sheet.sections)
        + "".join(f'<p class="foot">{_said(text)}</p>' for text in sheet.foot)
        + f'<div class="signed">{"".join(_signed(*one) for one in sheet.signed)}</div></main></body></html>'
    )


def _said(text: str) -> str:
    return escape(printed(text))


def _paragraphs(texts: Iterable[str]) -> str:
    return "".join(f"<p>{_said(text)}</p>" for text in texts)


def _runs(runs: Iterable[Run]) -> str:
    return "".join(f"<b>{_said(run.text)}</b>" if run.bold else _said(run.text) for run in runs)


def _step(number: int, step: SheetStep) -> str:
    more = "".join(f'<p class="more">{_said(text)}</p>' for text in step.more)
    stop = "".join(f'<p class="stop">{_said(text)}</p>' for text in step.stop)
    blanks = "".join(f"<span>{_said(b.name)}<i></i>{escape(b.unit)}</span>" for b in step.blanks)
    return (
        f'<li><span class="n">{number}</span><div><p class="do">{_runs(step.do)}</p>{more}{stop}'
        + "".join(_picture(picture) for picture in step.pictures)
        + (f'<div class="blanks">{blanks}</div>' if blanks else "")
        + _strips(step.bars, 340)
        + '</div><span class="box"></span></li>'
    )


def _picture(picture: Picture) -> str:
    figure = picture_figure(picture, 480, detail="short")
    return f'<div class="draw" style="max-width:{figure.width:.0f}pt">{figure_svg(figure)}</div>'


def _strips(strips: Strips | None, width: float) -> str:
    if strips is None:
        return ""
    figure = strips_figure(strips, width)
    return f'<div class="draw" style="max-width:{figure.width:.0f}pt">{figure_svg(figure)}</div>'


def _section(section: SheetSection) -> str:
    items = "".join(f"<li>{_said(text)}</li>" for text in section.lines)
    listed = f"<ul{' class=tick' if section.boxes else ''}>{items}</ul>" if items else ""
    return f"<section><h2>{_said(section.title)}</h2>{listed}{_table(section)}{_strips(section.strips, 510)}</section>"


def _table(section: SheetSection) -> str:
    if not section.rows:
        return ""
    head = "".join(f'<th scope="col">{_said(text)}</th>' for text in section.heads)
    body = "".join(
        f'<tr><th scope="row">{_said(row[0])}</th>{"".join(f"<td>{_said(cell)}</td>" for cell in row[1:])}</tr>'
        for row in section.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _signed(name: str, value: str) -> str:
    return f"<span>{escape(name)} {f'<b>{_said(value)}</b>' if value else '<i></i>'}</span>"
