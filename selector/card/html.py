"""The card as one page: printed on letter or A4, or read on a screen. Nothing is fetched, and no text of a table is
markup."""

from __future__ import annotations

from html import escape
from typing import Literal

from selector.card.blocks import (
    Block,
    Changes,
    Code,
    Head,
    Pairs,
    Panel,
    Reverse,
    Says,
    Selectors,
    SheetCell,
    SheetGrid,
    SheetList,
)
from selector.card.content import NO_CODE, Card
from selector.card.qr import qr_svg
from selector.draw.parts.layout import board_rows
from selector.draw.parts.shapes import Drawing
from selector.draw.parts.svg import figure_svg
from selector.draw.plots.strip import strips_figure

Paper = Literal["letter", "A4"]
SIZES: dict[Paper, str] = {"letter": "8.5in 11in", "A4": "210mm 297mm"}
WIDTH, SLOT, LARGER = 360.0, 56.0, 1.26
"""Units of a drawing that fill a quarter's width, the length of a switch's slot, how much larger its words are: 11 pt
where 360 units are 272 pt."""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_STYLE = """
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;font:11pt/1.3 Arial,Helvetica,"Liberation Sans","DejaVu Sans Condensed",sans-serif;
color:#000;background:#fff;font-variant-numeric:tabular-nums}
h1,h2,h3,p,ul,ol,dl{margin:0}
h1{font-size:16pt;line-height:1.15}
h2{font-size:14pt}
h3{font-size:12pt;padding-top:6pt}
header{display:flex;justify-content:space-between;align-items:baseline;gap:12pt;border-bottom:1.5pt solid;
padding-bottom:3pt;margin-bottom:5pt}
header span{font-size:11pt;white-space:nowrap}
header h1+span{font-size:16pt;font-weight:bold}
section{padding:6mm;min-width:0}
section>*+*{margin-top:4pt}
svg{display:block;max-width:100%;height:auto}
.soft{color:#4a4a4a}.bold{font-weight:bold}
.figure{font-size:14pt;font-weight:bold}
.reverse,td.reverse span{background:#000;color:#fff;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.reverse{padding:4pt 7pt}td.reverse{background:none;padding:2pt 0}td.reverse span{padding:0 4pt;font-size:14pt;
font-weight:bold}
.reverse b{display:block;font-size:12.5pt}
table{border-collapse:collapse;width:100%;table-layout:fixed}
th,td{border-bottom:.6pt solid #bbb;padding:2pt 3pt 2pt 0;text-align:left;font-weight:normal;overflow-wrap:break-word;
vertical-align:baseline}
thead :is(th,td){border-bottom:1pt solid;color:#4a4a4a}
.r{text-align:right}
.high td,.high th{border:.6pt solid #999;height:24pt;padding:2pt 3pt}
dl div{display:flex;gap:8pt;border-bottom:.6pt solid #bbb;padding:2pt 0;align-items:baseline}
dt{flex:0 1 auto;max-width:60%}
dd{margin:0;flex:1;text-align:right;font-weight:bold;overflow-wrap:anywhere;min-width:30%}
dd.blank{border-bottom:1pt solid;min-height:18pt}
dl div:has(.blank){border:0}
ol{padding-left:16pt}li{margin-top:3pt}
ol ::marker{font-weight:bold}
ul{list-style:none;padding:0}
ul li{padding-left:17pt;position:relative}
ul li::before{content:"";position:absolute;left:0;top:1pt;width:9pt;height:9pt;border:1.3pt solid}
.code{display:flex;gap:4mm;align-items:center}
.code svg{flex:none;max-width:none}
.code p{min-width:0;overflow-wrap:anywhere}
.screen{display:none}
@media screen{body{max-width:1000px;margin:auto}}
@media screen and (max-width:620px){section{padding:4mm}}
@media print{
main{display:grid;grid-template-columns:50% 50%;grid-auto-rows:minmax(49.9vh,auto)}
section{break-inside:avoid;padding:5mm 6mm 3mm}
section:nth-child(odd){border-right:.6pt dashed #777}
section:nth-child(4n+1),section:nth-child(4n+2){border-bottom:.6pt dashed #777}
}
"""


def card_html(card: Card, paper: Paper = "letter") -> str:
    """The page. Its panels are the quarters of the printed sheet, which folds twice to pocket size."""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy"'
        f' content="{_POLICY}"><meta name="viewport"'
        f' content="width=device-width,initial-scale=1"><title>{escape(card.title)}:'
        f" card</title><style>@page{{size:{SIZES[paper]};margin:0}}{_STYLE}</style></head><body><main>"
        + "".join(f"<section>{_panel(panel, first=n == 0)}</section>" for n, panel in enumerate(card.panels))
        + "</main></body></html>"
    )


def _panel(panel: Panel, *, first: bool) -> str:
    tag = "h1" if first else "h2"
    note = f"<span>{escape(panel.note)}</span>" if panel.note else ""
    blocks = "".join(_block(block) for block in panel.blocks)
    return f"<header><{tag}>{escape(panel.title)}</{tag}>{note}</header>{blocks}"


def _block(block: Block) -> str:
    if isinstance(block, Says):
        return f'<p class="{block.look}">{escape(block.text)}</p>' if block.look else f"<p>{escape(block.text)}</p>"
    if isinstance(block, Head):
        return f"<h3>{escape(block.text)}</h3>"
    if isinstance(block, Reverse):
        return f'<p class="reverse"><b>{escape(block.text)}</b>{escape(block.more)}</p>'
    if isinstance(block, SheetGrid):
        return _grid(block)
    if isinstance(block, Pairs):
        rows = "".join(
            f"<div><dt>{escape(name)}</dt><dd{'' if value else ' class=blank'}>{escape(value)}</dd></div>"
            for name, value in block.rows
        )
        return f"<dl>{rows}</dl>"
    if isinstance(block, SheetList):
        tag = "ul" if block.boxes else "ol"
        return f"<{tag}>{''.join(f'<li>{escape(text)}</li>' for text in block.texts)}</{tag}>"
    if isinstance(block, Selectors):
        drawn = board_rows(block.pictures, WIDTH, detail="shortest", slot=SLOT, larger=LARGER, told=False)
        return "".join(_drawn(row) for row in drawn)
    if isinstance(block, Changes):
        return _drawn(strips_figure(block.strips, WIDTH, LARGER))
    return _code(block)


def _drawn(figure: Drawing) -> str:
    """As wide as a quarter on paper; on a screen no wider than it is drawn."""
    svg = figure_svg(figure)
    head, _, rest = svg.partition(" width=")
    return f'{head} style="width:{figure.width * 272 / 360:.0f}pt"{rest[rest.index(" role=") :]}'


def _grid(grid: SheetGrid) -> str:
    columns = "".join(f'<col style="width:{share}%">' for share in grid.shares)
    head = "".join(
        f'<th scope="col"{" class=r" if n in grid.right else ""}>{escape(name)}</th>'
        if name
        else f"<td{' class=r' if n in grid.right else ''}></td>"
        for n, name in enumerate(grid.heads)
    )
    body = "".join(f"<tr>{''.join(_cell(cell, n, grid) for n, cell in enumerate(row))}</tr>" for row in grid.rows)
    high = ' class="high"' if grid.high else ""
    return f"<table{high}><colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cell(cell: SheetCell, column: int, grid: SheetGrid) -> str:
    names = " ".join(x for x in (cell.look, "r" if column in grid.right else "") if x)
    css = f' class="{names}"' if names else ""
    over = f' colspan="{cell.over}"' if cell.over > 1 else ""
    inner = f"<span>{escape(cell.text)}</span>" if cell.look == "reverse" else escape(cell.text)
    if column == 0 and cell.text and not grid.high:
        return f'<th scope="row"{css}{over}>{inner}</th>'
    return f"<td{css}{over}>{inner}</td>"


def _code(code: Code) -> str:
    if not code.text:
        return f'<p class="soft">{NO_CODE}</p>'
    return f'<div class="code">{qr_svg(code.text, "40mm")}<p>{escape(code.text)}</p></div>'
