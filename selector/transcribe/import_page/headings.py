"""The headings above a chart: names of the selectors, heads in one line or two, and what the figures are."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from selector.table.build.rows import TO_TYPE
from selector.transcribe.cells.given import without_dagger
from selector.transcribe.cells.grid import GridCell
from selector.value import Struct, field, replace

LABEL = re.compile(r"(?:SW|J|D|P|LK|M|N)\d{0,2}(?:-\d{1,2})?", re.IGNORECASE)


class Hints(Struct, frozen=True, kw_only=True):
    """What a person says of the page: `set` the selectors of the rows, `positions` what each may be, `across` what
    stands along the top.

    With nothing in `gives` it is told by the figures themselves: signs and percent are trims, percent shares, s and min
    times, others airflows.
    """

    set: tuple[str, ...] = ()
    positions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    across: tuple[str, ...] = ()
    gives: tuple[str, ...] = ("airflow",)
    models: tuple[str, ...] = ()
    airflow: str = "cfm"
    name: str = ""
    page: str = ""
    pressure: str = ""


_STAGES = frozenset(["first", "second", "third", "fourth", "low", "medium", "high", "1st", "2nd", "3rd", "stage"])


_MOST_CORNER = 4
"""Words that may stand left of the heads in their line."""
_PRESSURE = re.compile(r"\s*(?:pa|in\.?\s*w\.?\s*[cg]\.?|\")$", re.IGNORECASE)
_MODEL = re.compile(r"models?|units?|sizes?", re.IGNORECASE)
_GIVEN = re.compile(r"s?cfm|l/s|m[3\u00b3]/h|air ?flow", re.IGNORECASE)
"""Heads that say what the figures are, and stand below those that tell the columns apart."""
_RISE = re.compile(r"(?:temp(?:erature|\.)? )?rise.*|\u0394t.*|\u0394 ?t.*", re.IGNORECASE)


def headings(
    above: Sequence[Sequence[GridCell]], lead: int, positions: int, figures: int, hints: Hints
) -> tuple[tuple[str, ...], tuple[tuple[str, tuple[str, ...]], ...], tuple[str, ...], list[str], set[int]]:
    """Names of the selectors, heads, quantities, remarks, and which rows above were used."""
    remarks: list[str] = []
    used: set[int] = set()
    names = hints.set
    levels: list[tuple[str, ...]] = []
    corner = ""
    for i in range(len(above) - 1, -1, -1):
        texts = _spread(_phrases(above[i], figures) if levels else above[i])
        labels = [t for t in texts if LABEL.fullmatch(t)]
        head = _heads_in(texts, lead, figures, len(levels) > 0)
        if not names and len(labels) == positions:
            names = tuple(labels)
            used.add(i)
        if head is None and labels:
            used.add(i)
            continue
        if head is None or len(levels) == 2:
            break
        used.add(i)
        corner = " ".join([corner, *texts[: max(0, len(texts) - len(head))]])
        levels.insert(0, head)
    title = " ".join(c.text for row in above for c in row).casefold()
    if not names:
        told = [c.text for c in above[-1]][:positions] if above else []
        told += [""] * (positions - len(told))
        names = tuple("model" if _MODEL.fullmatch(word) else TO_TYPE for word in told)
        remarks.append("which selectors the positions belong to isn't said here")
    gives = hints.gives
    words = levels[-1] if levels else ()
    if (
        words
        and len(words) % 2 == 0
        and len(gives) == 1
        and all(_RISE.fullmatch(w) for w in words[1::2])
        and not _RISE.fullmatch(words[0])
    ):
        gives = ("airflow", "temperature rise")
        words = words[::2]
        remarks.append("every second column was read as the temperature rise")
    elif words and len(gives) > 1 and len(words) == figures:
        words = words[:: len(gives)]
    columns = figures // len(gives) if figures % len(gives) == 0 else figures
    heads: list[tuple[str, tuple[str, ...]]] = []
    if columns > 1:
        inner = words if len(words) == columns else ()
        outer = levels[0] if len(levels) == 2 else ()
        if len(outer) == columns and len(set(outer)) < columns:
            outer = tuple(dict.fromkeys(outer))
        if (
            inner
            and outer
            and columns % len(outer) == 0
            and len(outer) < columns
            and inner == inner[: columns // len(outer)] * len(outer)
        ):
            heads = [
                (_head_name(outer, hints, 0, title, corner), outer),
                (_head_name(inner[: columns // len(outer)], hints, 1, title, corner), inner[: columns // len(outer)]),
            ]
        elif inner and len(set(inner)) == columns:
            heads = [(_head_name(inner, hints, 0, title, corner), inner)]
        elif len(outer) == columns and len(set(outer)) == columns and all(_GIVEN.fullmatch(w) for w in inner):
            heads = [(_head_name(outer, hints, 0, title, corner), outer)]
        elif columns > 1:
            given = hints.models if len(hints.models) == columns else tuple(f"column{i + 1}" for i in range(columns))
            heads = [("model" if given == hints.models else hints.across[0] if hints.across else TO_TYPE, given)]
            remarks.append(
                f"no heads were found above the {columns} columns"
                + (": the models were taken" if given == hints.models else "")
            )
    heads = [
        (name, _tidy([_PRESSURE.sub("", w) for w in words] if name == "static pressure" else words))
        for name, words in heads
    ]
    for name, _ in heads:
        if name == TO_TYPE:
            remarks.append(
                "what stands along the top isn't said here: model, static pressure, stage or a name of the board"
            )
    return names, tuple(heads), gives, remarks, used


def _phrases(row: Sequence[GridCell], figures: int) -> Sequence[GridCell]:
    """The row with words a single blank apart made one, where that gives heads that go evenly over the columns
    below."""
    out: list[GridCell] = []
    for cell in row:
        if out and cell.left and cell.left == out[-1].right + 1:
            out[-1] = replace(out[-1], text=f"{out[-1].text} {cell.text}", right=cell.right)
        else:
            out.append(cell)
    return out if 1 < len(out) < len(row) and figures % len(out) == 0 else row


def _spread(row: Sequence[GridCell]) -> list[str]:
    """The texts of a heading row; a merged cell counts for each column it covers."""
    out: list[str] = []
    for cell in row:
        out += [cell.text] * cell.span
    while out and not out[-1]:
        out.pop()
    return out


def _heads_in(texts: Sequence[str], lead: int, figures: int, above_another: bool) -> tuple[str, ...] | None:
    """The heads of the figure columns in a heading row, None where it isn't one."""
    behind = list(texts[lead:]) if len(texts) > figures else list(texts)
    if len(texts) == lead + figures and all(texts[lead:]):
        return tuple(without_dagger(t)[0] for t in texts[lead:])
    filled = [t for t in behind if t]
    if (
        len(texts) > lead
        and len(behind) == figures
        and behind[0]
        and 0 < len(filled) < figures
        and figures % len(filled) == 0
    ):
        out: list[str] = []
        for t in behind:
            out.append(t or out[-1])
        return tuple(out)
    words = [t for t in texts if t and not LABEL.fullmatch(t)]
    for count in (
        figures,
        *(figures // k for k in range(2, figures) if figures % k == 0 and figures // k > 1 and above_another),
    ):
        tail = words[-count:]
        before = words[: len(words) - count]
        if (
            len(tail) == count
            and len(before) <= max(lead, _MOST_CORNER)
            and all(len(t.split()) <= (_MOST_CORNER if above_another else 2) for t in tail)
            and _like_heads(tail, above_another)
        ):
            return tuple(without_dagger(t)[0] for t in tail)
    return None


def _tidy(words: Sequence[str]) -> tuple[str, ...]:
    """Heads without the marks that a list of a table file can't hold; a head of nothing else is numbered."""
    bare = [" ".join(re.sub(r"[\[\]{},:;#&*!|<>%@`\"'~\\()?]", " ", w).split()) for w in words]
    return tuple(w if w not in ("", "-", "_") else f"column{i}" for i, w in enumerate(bare, start=1))


def _like_heads(words: Sequence[str], above_another: bool) -> bool:
    """True for words of which some have figures, for names of stages, and for phrases above other heads."""
    if any(c.isdigit() for c in "".join(words)) or {w.casefold() for w in words} <= _STAGES:
        return True
    return above_another and any(" " in w for w in words)


def _head_name(words: Sequence[str], hints: Hints, at: int, title: str, corner: str) -> str:
    if at < len(hints.across):
        return hints.across[at]
    if hints.models and set(words) <= set(hints.models):
        return "model"
    if all({part.casefold() for part in w.split()} <= _STAGES | {"fire"} for w in words):
        return "stage"
    about = f"{corner} {title}".casefold()
    numbers = all(re.fullmatch(r"\d*\.?\d+", _PRESSURE.sub("", w)) for w in words)
    if numbers and any(_PRESSURE.search(w) for w in words):
        return "static pressure"
    if numbers and re.search(r"static|pressure|in\. ?w|\besp\b|\bpa\b", about):
        return "static pressure"
    if numbers and re.search(r"\btons?\b", about):
        return "outdoor tons"
    if re.search(r"\bmodels?\b|\bsizes?\b", about):
        return "model"
    return TO_TYPE
