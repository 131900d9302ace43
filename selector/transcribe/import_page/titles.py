"""What the lines above a chart say of it: its name and its page."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.table.model.quantities import RESERVED_WORDS
from selector.table.model.table import within_sentence
from selector.transcribe.cells.grid import GridCell
from selector.transcribe.import_page.rows import LABEL, is_footnote
from selector.transcribe.typed.board import MistypedAnswer
from selector.transcribe.typed.chart import name_allowed

_PAGE = re.compile(r"\bpages? (\d{1,4}(?:-\d{1,4})?)\b", re.IGNORECASE)
_AIRFLOW = (("cfm", r"\bs?cfm\b"), ("L/s", r"\bl/s(?:ec)?\b"), ("m3/h", r"\bm[3\u00b3]/h\b"))
_NUMBERED = re.compile(
    r"(?:table|chart|fig(?:ure)?\.?)\s*[\dA-Z]{1,3}(?:[-.]\d{1,2})?\s*[.:\-\u2013\u2014]*\s*", re.IGNORECASE
)
_PLAIN = re.compile(
    r"(?:(?:dip|sw\d*|outdoor|tons?|speeds?|taps?|external|static|pressure|pa|models?|sizes?|units?|cfm|l/s|stages?|switch(?:es)?|positions?"
    r"|settings?)\b\W*)+",
    re.IGNORECASE,
)
"""Lines that stand above columns and say nothing of their own."""
_MOST_WORDS = 6
_MOST_NUMBERS = 2
"""Words with figures in a title; a line with more, or of nothing else, is one of heads."""


def title_of(rows: Sequence[Sequence[GridCell]]) -> tuple[str, Sequence[GridCell]]:
    """A name for the chart from the lines above its heads, and the line it is taken from; "" where none is like a
    title."""
    lines = [(" ".join(c.text for c in row if c.text), row) for row in rows]
    lines = [(line, row) for line, row in lines if line and not is_footnote(line)]
    marked = [line for line in lines if line[0].startswith("#")]
    plain = [n for n in lines[-3:] if not n[0].endswith(".") and not _PLAIN.fullmatch(n[0]) and not n[0][0].islower()]
    for line, row in (*marked[-1:], *reversed(plain)):
        bare = " ".join(
            w
            for w in _NUMBERED.sub("", line.lstrip("# ")).split()
            if not (LABEL.fullmatch(w) and any(c.isdigit() for c in w))
        )
        name = " ".join(re.split(r"[,(:;.|]| [-\u2013\u2014] ", bare)[0].split())
        name = name.lower() if name.isupper() else within_sentence(name)
        if re.fullmatch(r"pages? [\d-]+", name, re.IGNORECASE):
            continue
        words = name.split()
        figures = sum(1 for word in words if any(c.isdigit() for c in word))
        if figures > _MOST_NUMBERS or figures == len(words):
            continue
        if not 0 < len(words) <= _MOST_WORDS or LABEL.fullmatch(words[0]):
            continue
        if name.casefold() in RESERVED_WORDS:
            name = f"{name} chart"
        try:
            name_allowed(name)
        except MistypedAnswer:
            continue
        return name, row
    return "", ()


def page_of(rows: Sequence[Sequence[GridCell]]) -> str:
    """The page that the lines above a chart name last, "" where they name none."""
    found = [m.group(1) for row in rows for m in _PAGE.finditer(" ".join(c.text for c in row if c.text))]
    return found[-1] if found else ""


def airflow_unit(texts: Sequence[str]) -> str:
    """The unit of airflow that a page names, "" where it names none or several."""
    whole = " ".join(texts)
    found = [unit for unit, like in _AIRFLOW if re.search(like, whole, re.IGNORECASE)]
    return found[0] if len(found) == 1 else ""


def pressure_unit(texts: Sequence[str]) -> str:
    """The unit of pressure that a page names, "" where it names none or both."""
    whole = " ".join(texts)
    found = [
        unit
        for unit, like in (("Pa", r"\bPa\b"), ("in. w.c.", r"\bin\.? ?w\.? ?[cg]\b|\biwc\b|\binw[cg]\b"))
        if re.search(like, whole)
    ]
    return found[0] if len(found) == 1 else ""
