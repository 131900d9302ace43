"""Figures by stage typed in one text, as people write them on a line: `{first: 70 %, second: 100 %}`, `first 70 %,
second 100 %`, `70 / 100 %`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from selector.job.file.fields import Field
from selector.units import UNITS, spelling

_NAMED = re.compile(r"([A-Za-z][A-Za-z-]*)(?:\s+stage)?\s*(?:[:=]\s*|\s+|(?=\d))(?=(?:at (?:least|most) )?[-+]?[\d.])")
_COLON = re.compile(r"([A-Za-z][\w -]*?)\s*[:=]\s*([^,;]+?)\s*(?:[,;]|$)")
_BETWEEN = re.compile(r"\s*(?:[,;]|/(?=\s|\d)|\band\b)\s*")
_LEFT = re.compile(r"[\s,;/]|\band\b")
_FIGURE = re.compile(r"([-+]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?)\s*([A-Za-z%][A-Za-z%/.]*)?")
_SHARE = re.compile(r"(\d+(?:\.\d+)?)\s*(%)?")
_JOINING = frozenset({"to", "least", "most", "at", "and", "by"})


def stages_in(text: str, field: Field, names: Sequence[str]) -> Mapping[str, str] | None:
    """Stage -> its text; None where the text is one figure for every stage. `names`: the table's stages, lowest first,
    empty where not known.

    >>> from selector.job.file.fields import OUTDOOR
    >>> share = next(f for f in OUTDOOR.fields if f.key == "stages")
    >>> stages_in("{first: 70 %, second: 100 %}", share, ())
    {'first': '70 %', 'second': '100 %'}
    >>> stages_in("70/100 %", share, ("low", "high")), stages_in("70 % low", share, ("low", "high"))
    ({'low': '70 %', 'high': '100 %'}, {'low': '70 %'})
    """
    plain = " ".join(text.strip().strip("{}[]").split())
    if plain.casefold() in field.words:
        return None
    ranged = field.form == "range by stage"
    return _named(plain, field) or _behind(plain, names) or (None if ranged else _in_order(plain, field, names))


def _named(text: str, field: Field) -> dict[str, str] | None:
    """Each figure behind its stage, with or without a colon."""
    if field.words and (pairs := _COLON.findall(text)):
        return {name.strip(): value for name, value in pairs}
    found = [
        m for m in _NAMED.finditer(text) if m[1].casefold() not in _JOINING and not (m.start() and _unit(m[1], field))
    ]
    if not found or found[0].start():
        return _named_words(text, field)
    ends = [m.start() for m in found[1:]] + [len(text)]
    return {m[1]: _trimmed(text[m.end() : end]) for m, end in zip(found, ends, strict=True)}


def _named_words(text: str, field: Field) -> dict[str, str] | None:
    """`first low rise, second 50 F`: a stage, then one of the field's words or a figure."""
    out: dict[str, str] = {}
    if not field.words:
        return None
    for piece in _BETWEEN.split(text):
        name, _, rest = piece.partition(" ")
        if rest.casefold() not in field.words and not rest[:1].isdigit():
            return None
        out[name] = rest
    return None if any(name[:1].isdigit() for name in out) else out or None


def _behind(text: str, names: Sequence[str]) -> dict[str, str] | None:
    """`70 % first, 100 % second`: each figure before a stage that the table has."""
    known = {name.casefold(): name for name in names if name}
    out: dict[str, str] = {}
    for piece in _BETWEEN.split(text):
        figure, _, name = piece.removesuffix(" stage").rpartition(" ")
        if name.casefold() not in known or not figure:
            return None
        out[known[name.casefold()]] = figure.removesuffix(" in")
    return out or None


def _in_order(text: str, field: Field, names: Sequence[str]) -> dict[str, str] | None:
    """Several figures without names, for the table's stages from the lowest; a unit typed once belongs to all."""
    figure = _SHARE if field.kinds[:1] == ("share",) and not re.search(r"[A-Za-z]", text) else _FIGURE
    found = list(figure.finditer(text))
    between = figure.sub("", text)
    if len(found) < 2 or len(found) != len(names) or _LEFT.sub("", between):
        return None
    unit = next((m[2] for m in reversed(found) if m[2]), "")
    return {name: f"{m[1]} {m[2] or unit}".strip() for name, m in zip(names, found, strict=True)}


def _unit(word: str, field: Field) -> bool:
    """True where a word is a unit of the field, so that it belongs to the figure before it (`second` is a time
    elsewhere)."""
    unit = UNITS.get(spelling(word))
    return unit is not None and (unit.kind in field.kinds or unit.kind == "temperature")


def _trimmed(text: str) -> str:
    return re.sub(r"\s*(?:[,;/]|\band)\s*$", "", text).strip()
