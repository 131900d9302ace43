"""What the lines of a page are: rows of a chart, names of selectors above them, titles, footnotes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from selector.transcribe.cells.columns import is_figure
from selector.transcribe.cells.given import BRACKETED, DAGGERS, EMPTY, FILLED, HOLLOW, is_date, refusing_word
from selector.transcribe.cells.grid import GridCell

LABEL = re.compile(r"(?:SW|J|D|P|LK|M|N)\d{0,2}(?:-\d{1,2})?", re.IGNORECASE)
_SPAN = re.compile(r"(SW\d{0,2}-)(\d{1,2})(\.\.|-|,|, | to )(\d{1,2})", re.IGNORECASE)
_MARKS = frozenset(("off", "on", "open", "closed", "none", "whole", "cut", "n/a", "as"))
_TITLE = 9
"""Most words of a title."""
CORNER = re.compile(
    r"(?:dip |selector )?(?:taps?|speed(?: taps?)?|dials?|jumpers?|switch(?:es)?|positions?|settings?|units?|models?"
    r"|sizes?|mode|stages?|kw|heater|input|plugs?|links?|pins?|leads?|letters?|codes?|profiles?"
    r"|(?:external )?static(?: pressure)?(?:,? in\.? w\.?c\.?|,? pa)?|esp)",
    re.IGNORECASE,
)
"""Words that stand above the positions of a chart."""
STAGE = re.compile(r"first|second|third|fourth|1st|2nd|3rd|low|medium|high", re.IGNORECASE)
_HEAD = re.compile(
    rf"{CORNER.pattern}|{STAGE.pattern}|s?cfm|l/s|rise|rise,? f|share|trim|airflow|off|on|watts|w|rpm", re.IGNORECASE
)
REMARK = re.compile(r"remarks?|notes?|comments?", re.IGNORECASE)


def labels_in(text: str) -> tuple[str, ...]:
    """The selectors that a heading cell names and nothing else; several where their marks are run together below it.

    >>> labels_in("SW1-3..5"), labels_in("J1 J2"), labels_in("080")
    (('SW1-3', 'SW1-4', 'SW1-5'), ('J1', 'J2'), ())
    """
    span = _SPAN.fullmatch(text)
    if span and int(span.group(2)) < int(span.group(4)):
        first, last = int(span.group(2)), int(span.group(4))
        numbers = (first, last) if "," in span.group(3) else range(first, last + 1)
        return tuple(f"{span.group(1)}{n}" for n in numbers)
    words = text.replace(",", " ").split()
    whole = words and all(LABEL.fullmatch(w) and any(c.isdigit() for c in w) for w in words)
    return tuple(words) if whole else ()


def like_head(text: str) -> bool:
    """True for one word that heads are made of: a figure or model, a stage, a quantity, a selector."""
    return bool(_HEAD.fullmatch(text)) or any(c.isdigit() for c in text)


def is_corner(text: str) -> bool:
    """True for words that stand above positions: `Tap`, `DIP switch SW2`, `Heater kit, kW`."""
    words = text.replace(",", " ").split()
    return bool(CORNER.fullmatch(text)) or (
        bool(words) and all(CORNER.fullmatch(w) or LABEL.fullmatch(w) or w.casefold() in ("dip", "kit") for w in words)
    )


def labels_at_start(row: Sequence[GridCell], width: int = 0) -> int:
    """How many cells at the start of a line name selectors; where no column would be left of `width`, only those named
    like the first: `SW1-1  M1  M2` above three columns has one."""
    filled = [c for c in row if c.text]
    told = [c.text for c in filled if not c.text.startswith("(")]
    if len(told) > 2 and is_figure(told[-1]) and all(t.casefold() in _MARKS for t in told[1:-1:2]):
        return 0  # positions behind their names, and a figure: `LK1 cut  LK2 cut  325`
    count = next((k for k, c in enumerate(filled) if not labels_in(c.text)), len(filled))
    if width and count >= width:
        kind = _family(filled[0].text)
        count = next((k for k, c in enumerate(filled) if _family(c.text) != kind), count)
    return count


def _family(label: str) -> str:
    return re.split(r"[\d]", label, maxsplit=1)[0].upper()


def is_data(row: Sequence[GridCell], *, headed: bool) -> bool:
    """True for a row with figures behind its first cell, or one that is ruled out; below a heading also for one that
    begins with ON or OFF."""
    behind = [c for c in row[1:] if c.text or c.why]
    if any(refusing_word(c.text) for c in behind) and len(words_of(row)) <= 1:
        return True
    if headed and row and row[0].text.casefold() in ("on", "off", "open", "closed"):
        return True
    if any(c.text.casefold() == "as" or re.match(r"as (?:on|off|\d|\w\b)", c.text, re.IGNORECASE) for c in behind):
        return not words_of(row)
    if headed and behind and all(c.text in EMPTY - HOLLOW for c in behind) and len(row[0].text) == 1:
        return True
    figures = [k for k, c in enumerate(row) if k and _like_figure(c)]
    if not figures or not (headed or row[0].text):
        return False
    before, after = words_of(row[: figures[-1]]), words_of(row[figures[-1] + 1 :])
    if len(before) + len(after) > 1 and any(c.text.endswith((",", ";")) for c in row[1:]):
        return False
    short = len(row[0].text) <= 4 or row[0].text.casefold() in _MARKS
    return len(before) <= len(figures) // 2 and len(after) <= (8 if short else 1)


def _like_figure(cell: GridCell) -> bool:
    return bool(
        is_figure(cell.text) or cell.why or re.fullmatch(r"[\dOolI,.]{3,}", cell.text) or cell.text.casefold() == "none"
    )


def words_of(row: Sequence[GridCell]) -> list[str]:
    """What stands in a row that is neither a figure nor a position, nor rules it out."""
    return [
        c.text
        for c in row
        if re.search(r"[A-Za-z]{3,}", c.text)
        and not is_figure(c.text)
        and c.text.casefold() not in _MARKS
        and not c.text.startswith("(")
        and not c.why
        and not refusing_word(c.text)
        and not is_date(c.text)
    ]


def is_heading(row: Sequence[GridCell]) -> bool:
    """True for a line that names selectors, or words for them and then heads; sentences that begin so are none."""
    filled = [c.text for c in row if c.text]
    if not filled or filled[-1].endswith(".") or any(re.fullmatch(r"\d+ ?(?:%|s|sec)", t) for t in filled):
        return False
    prose = sum(1 for t in filled if t.islower() and t.isalpha() and len(t) > 2 and not _HEAD.fullmatch(t))
    apart = sum(1 for a, b in pairwise(c for c in row if c.text) if b.left - a.right > 1)
    if labels_in(filled[0]) and apart > 1:
        return True
    if labels_in(filled[0]) or (len(filled) <= 8 and any("-" in t and labels_in(t) for t in filled)):
        return prose <= 2
    return bool(CORNER.fullmatch(filled[0])) and len(filled) > 1 and prose <= 2


def begins_with_mark(row: Sequence[GridCell]) -> bool:
    """True for a line that begins with a position in words: `none`, `OFF`."""
    filled = [c for c in row if c.text]
    return len(filled) > 1 and filled[0].text.casefold() in ("none", "on", "off", "open", "closed", "whole", "cut")


def is_title(row: Sequence[GridCell]) -> bool:
    """True for a line like a title: a few words that begin large or in figures, no sentence, no footnote."""
    text = " ".join(c.text for c in row if c.text)
    words = text.split()
    if not words or len(words) > _TITLE or text.endswith((".", ";", ",")) or is_footnote(text):
        return False
    return text.startswith("#") or (text[0].isupper() and any(w.isalpha() and len(w) > 2 for w in words))


def is_footnote(text: str) -> bool:
    """True for a line that begins with a footnote's mark."""
    signs = rf"([{re.escape(DAGGERS)}])\1*\s?\S.*[A-Za-z]{{2}}"
    return bool(re.match(rf"\s*(?:{signs}|{BRACKETED}\s*[A-Za-z]|\w\)\s[A-Za-z]|\d\s[A-Za-z]{(2,)}\s+\S)", text))


def counts_pages(cells: Sequence[GridCell]) -> bool:
    """True for a line such as `K-14   page 23` or `23 of 40`."""
    text = " ".join(c.text for c in cells)
    return bool(re.search(r"\b(?:page|rev\.?|revision|edition|issue|form|part no\.?|copyright)\b|\u00a9", text, re.I))


def marked(row: Sequence[GridCell]) -> bool:
    """True for a row with marks of switches in it."""
    return any(c.text in FILLED or c.text.casefold() in ("on", "off") for c in row)


def only_counts(row: Sequence[GridCell], below: Sequence[Sequence[GridCell]]) -> bool:
    """True where a row begins with 1 2 and the rows below it with marks of switches: it numbers the switches."""
    numbers = [int(c.text) for c in row[:2] if c.text.isdecimal()]
    counted = len(numbers) == 2 and numbers[1] == numbers[0] + 1
    return (
        counted
        and all(marked(r) or sum(1 for c in r if c.text in EMPTY) > 1 for r in below)
        and any(marked(r) for r in below)
    )
