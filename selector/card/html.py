"""The card as one page: printed on one sheet, letter or A4, or read on a screen. Nothing is fetched, and no text of
a table is markup."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Literal

from selector.card.content import AS_LEFT, COLUMNS, FOUND, FOUND_REST, HATCHED, NO_CODE, Card, CardRow
from selector.card.fit import LEAST_BESIDE_MARKS, Room, fitted, shared
from selector.card.qr import qr_svg
from selector.draw.parts.layout import board_figure
from selector.draw.parts.legend import key_of
from selector.draw.parts.svg import figure_svg
from selector.table.model.picture import Picture

Paper = Literal["letter", "A4"]
SIZES: dict[Paper, str] = {"letter": "8.5in 11in", "A4": "210mm 297mm"}
_WIDE, _QUARTER, _ROW, _LINE, _BLANK, _CODE = 350.0, 430.0, 29.0, 13.0, 24.0, 130.0
"""CSS pixels of a printed quarter: its width, the height that a table and a drawing may fill, a row of the table, a
line, a blank, the code."""
_SIGNS = 62
"""About how many signs a printed line of a quarter holds."""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_STYLE = """
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;padding:3mm;font:12px/1.3 Arial,Helvetica,sans-serif;color:#000;background:#fff}
h1{font-size:1.35em;margin:0 0 .3em}
h2{font-size:1.05em;margin:.7em 0 .25em;border-bottom:1.5px solid}
svg{display:block;max-width:100%;height:auto}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%}
th,td{border:1px solid;padding:.15em .3em;text-align:left;vertical-align:top;overflow-wrap:break-word}
tbody tr{height:2.6em}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.1em .6em;margin:0;align-items:baseline}
dt{max-width:14em}
dd{margin:0;min-height:1.3em;overflow-wrap:anywhere}
dd.blank{border-bottom:1px solid;min-height:1.9em}
ul{margin:.2em 0;padding-left:1.2em}
.warn{border:2.5px solid;padding:.2em .4em;margin:.3em 0;font-weight:bold}
.code{display:flex;gap:3mm;align-items:center}
.code svg{flex:none;max-width:none}
.code p{min-width:0}
.marks,.code p{font-family:monospace;overflow-wrap:anywhere;margin:.2em 0}
.note{font-size:.85em;margin:.3em 0}
section{padding:2mm;min-width:0}
@media screen{body{max-width:1000px;margin:auto}.paper{display:none}}
@media screen and (max-width:620px){
.wide :is(table,tbody,tr,th,td){display:block;width:auto;border:0;padding:0}
.wide thead,.wide td:empty{display:none}
.wide tr{border:1px solid;margin:.4em 0;padding:.2em .4em;height:auto}
.wide td::before{content:attr(data-name) ": "}
}
@media print{
.screen{display:none}
.wide{overflow:visible}
body{padding:0;font-size:7.6pt;line-height:1.2}
main{display:grid;grid-template-columns:50% 50%;grid-template-rows:minmax(49.5vh,auto) minmax(49.5vh,auto)}
section{padding:4mm;display:flex;flex-direction:column}
table{table-layout:fixed}
th,td{padding:.1em .2em}
thead th{font-size:.78em}
tbody th{font-size:.9em}
.drawn{flex:1 1 0;min-height:20mm}
.drawn svg{height:100%;width:auto}
section:nth-child(odd){border-right:1px dashed #777}
section:nth-child(-n+2){border-bottom:1px dashed #777}
}
"""


def card_html(card: Card, paper: Paper = "letter") -> str:
    """The page. Its four parts are the quarters of the printed sheet, which folds twice to pocket size."""
    parts = (_identity(card), _left(card), _calls(card), _after(card))
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy"'
        f' content="{_POLICY}"><meta name="viewport"'
        f' content="width=device-width,initial-scale=1"><title>{escape(card.title)}:'
        f" card</title><style>@page{{size:{SIZES[paper]};margin:0}}{_STYLE}</style></head><body><main>"
        + "".join(f"<section>{part}</section>" for part in parts)
        + "</main></body></html>"
    )


def _pairs(pairs: Iterable[tuple[str, str]]) -> str:
    """Names and values; an empty value is a line to write on."""
    rows = "".join(
        f"<dt>{escape(name)}</dt><dd{'' if value else ' class=blank'}>{escape(value)}</dd>" for name, value in pairs
    )
    return f"<dl>{rows}</dl>"


def _list(texts: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(text)}</li>" for text in texts) + "</ul>"


def _identity(card: Card) -> str:
    warnings = "".join(
        f'<p class="warn">Outside its limits or contradictory: {escape(text)}</p>' for text in card.warnings
    )
    code = (
        f'<div class="code">{qr_svg(card.code)}<p>{escape(card.code)}</p></div>'
        if card.code
        else f'<p class="note">{NO_CODE}</p>'
    )
    return (
        f"<h1>{escape(card.title)}</h1>{_pairs((*card.signed, *card.about))}{warnings}"
        f"<h2>Code</h2>{code}{_rest(card, 2)}"
    )


def _left(card: Card) -> str:
    drawing = _on_screen(card.left) + _on_paper(card.left, (_WIDE, 370))
    return (
        f'<h2>As left</h2><p class="marks">{escape(card.left_marks)}</p>{drawing}<p'
        f' class="note">{escape(key_of(card.left))}</p>'
    )


def _on_screen(pictures: Sequence[Picture]) -> str:
    """The board as wide as a phone, for the screen alone."""
    return f'<div class="screen">{figure_svg(board_figure(pictures, detail="short"))}</div>'


def _on_paper(pictures: Sequence[Picture], room: Room, instead: str = "") -> str:
    """Selectors for paper alone, so that they fit in a room in CSS pixels; `instead` where they would be too small
    to be read."""
    scale, best = fitted(pictures, room)
    if instead and scale < LEAST_BESIDE_MARKS:
        return f'<p class="paper note">{escape(instead)}</p>'
    return (
        '<div class="paper drawn"'
        f' style="max-height:{best.height * min(scale * 1.1, 1):.0f}px">{figure_svg(best)}</div>'
    )


def _calls(card: Card) -> str:
    body = "".join(f'<tr><th scope="row">{escape(row.name)}</th>{_cells(row)}</tr>' for row in card.rows)
    head = "".join(f'<th scope="col">{name}</th>' for name, _ in COLUMNS)
    columns = "".join(f'<col style="width:{share}%">' for _, share in COLUMNS)
    table = f"<table><colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    wide = f'<div class="wide" tabindex="0" role="region" aria-label="calls">{table}</div>'
    return f"<h2>Calls</h2>{wide}{_list(card.extras) if card.extras else ''}{_found(card)}"


def _places(card: Card) -> tuple[Sequence[Picture], ...]:
    """The selectors as found that are printed under the calls, under the cautions and under the code."""
    return shared(card.found, _rooms(card)) if card.found else ((), (), ())


def _rooms(card: Card) -> tuple[Room, Room, Room]:
    """The room that is left on paper under the calls, under the cautions and under the code."""
    calls = _QUARTER - _ROW * (len(card.rows) + 1) - _LINE * len(card.extras)
    cautions = (
        _QUARTER + 40 - _BLANK * len(card.blanks) - _LINE * (sum(-(-len(text) // _SIGNS) for text in card.cautions) + 2)
    )
    pairs = (*card.signed, *card.about)
    code = _QUARTER - _CODE - sum(_LINE if value else _BLANK for _, value in pairs) - 4 * _LINE * len(card.warnings)
    return (_WIDE, calls), (_WIDE, cautions), (_WIDE, code)


def _rest(card: Card, place: int) -> str:
    """Selectors as found for which there was no room under the calls, on paper alone."""
    rest = _places(card)[place]
    return f'<h2 class="paper">{FOUND_REST}</h2>{_on_paper(rest, _rooms(card)[place], HATCHED)}' if rest else ""


def _cells(row: CardRow) -> str:
    """A call's cells; one that gives no airflow tells why across them."""
    if not row.gives:
        return (
            f'<td data-name="terminals">{escape(row.terminals)}</td><td data-name="airflow"'
            f' colspan="5">{escape(row.airflow)}</td>'
        )
    texts = (row.terminals, row.airflow, row.target, row.expected, row.measured, row.method)
    return "".join(
        f'<td data-name="{name}">{escape(text)}</td>' for (name, _), text in zip(COLUMNS[1:], texts, strict=True)
    )


def _found(card: Card) -> str:
    """The board as it was found, in the room that the calls leave on paper; the drawing as left shows it too,
    hatched."""
    if not card.found_marks:
        return ""
    if not card.found:
        return f'<h2>{FOUND}</h2><p class="note">{escape(AS_LEFT)}</p>'
    drawing = _on_screen(card.found) + _on_paper(_places(card)[0], _rooms(card)[0], HATCHED)
    return f'<h2>{FOUND}</h2><p class="marks">{escape(card.found_marks)}</p>{drawing}'


def _after(card: Card) -> str:
    cautions = f"<h2>Before a hand goes to the board</h2>{_list(card.cautions)}"
    return f"<h2>Measured and checked</h2>{_pairs(card.blanks)}{cautions}{_rest(card, 1)}"
