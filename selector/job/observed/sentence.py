"""What a sentence says was seen: `gas smell`, `flue CO 620 ppm, limit 400 ppm`, `no spillage`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from selector.job.observed.danger_table import DANGERS, NOT_SEEN, Danger
from selector.value import Struct

ROOM_CO_PPM = 9
"""CO in the room from here on is a danger; less is the air of a street (common practice, no source)."""
FLUE_CO_PPM = 400
"""The flue's CO, air-free, where no limit of the maker is typed (common practice, no source; named as assumed)."""
_FIGURE = re.compile(r"(\d[\d,]*(?:\.\d+)?)\s*(ppm|V|volts?)?\b", re.IGNORECASE)
_LIMIT = re.compile(r"\blimit\b\D{0,12}?(\d[\d,]*(?:\.\d+)?)|\bover\s+(?:the\s+)?(\d[\d,]*)", re.IGNORECASE)
_FLUE = {"flue", "stack", "vent", "exhaust", "chimney", "free"}
_SILENT = {"silent", "quiet"}
_TOOLS = re.compile(r"\bsmoke\s+(?:number|spot|scale|test|pencil|stick|puffer|bottle|detector)\w*", re.IGNORECASE)
"""Smoke that somebody measured or made: no sight of it."""
_CLAUSE = re.compile(r"\s*(?:;|,(?!\d)|\bbut\b|\band\b)\s*", re.IGNORECASE)


class Sighting(Struct, frozen=True, kw_only=True):
    """What a sentence says: the danger (None: looked at and not there), its figure and limit where typed, in `unit`.

    `assumed`: the limit was not typed.
    """

    danger: Danger | None
    text: str
    value: Fraction | None = None
    limit: Fraction | None = None
    unit: str = ""
    assumed: bool = False


def sightings(text: str) -> tuple[Sighting, ...]:
    """Everything a sentence says was seen, in the order of the table; empty where nothing in it is known.

    >>> [s.danger.what for s in sightings("flame moves when the blower starts, no gas smell") if s.danger is not None]
    ['flame']
    """
    text = _TOOLS.sub("", text)
    figures, limit = _figures(text)
    out: list[Sighting] = []
    absent = False
    ppm = figures.get("ppm")
    if _words(text) & {"co"} and ppm is not None:
        flue = limit is not None or _FLUE & _words(text)
        if not flue:  # CO that nobody calls the flue's is in the air that people breathe
            absent = ppm < ROOM_CO_PPM
            out += [] if absent else [_of("gas", text, ppm, Fraction(0), "ppm")]
        else:
            assumed = limit is None
            most = Fraction(FLUE_CO_PPM) if limit is None else limit
            absent = ppm <= most
            out += [] if absent else [_of("flue CO", text, ppm, most, "ppm", assumed=assumed)]
        text = " ".join(c for c in _CLAUSE.split(text) if "ppm" not in c.casefold() and "co" not in _words(c))
    for clause in _CLAUSE.split(text):
        words = [w.casefold() for w in re.findall(r"[A-Za-z0-9]+", clause)]
        found = [d for d in DANGERS.values() if any(_holds(words, way) for way in d.typed)]
        if found and (words[0] in NOT_SEEN or words[-1] in _SILENT):
            absent = True
        else:
            volts = figures.get("v")
            for d in found:
                value = volts if d.what == "live" else None
                out.append(_of(d.what, clause, value, None, "" if value is None else "V"))
    if not out and not absent:
        out = _whole(text)
        if {"co", "monoxide"} & _words(text) and not out:
            out = [_of("gas", text, None, None, "")]
    listed = sorted({s.danger.what: s for s in out if s.danger is not None}.values(), key=_place)
    return tuple(listed) if listed else (Sighting(danger=None, text=text),) if absent else ()


def _whole(text: str) -> list[Sighting]:
    """The sentence as one, where its clauses say nothing by themselves."""
    words = [w.casefold() for w in re.findall(r"[A-Za-z0-9]+", text)]
    return [_of(d.what, text, None, None, "") for d in DANGERS.values() if any(_holds(words, way) for way in d.typed)]


def known_words() -> str:
    """A few ways to type each, for a sentence that says nothing known."""
    return "; ".join(" ".join(d.typed[0]) for d in DANGERS.values() if d.typed)


def _place(sighting: Sighting) -> int:
    return 0 if sighting.danger is None else list(DANGERS).index(sighting.danger.what)


def _of(
    what: str, text: str, value: Fraction | None, limit: Fraction | None, unit: str, *, assumed: bool = False
) -> Sighting:
    return Sighting(danger=DANGERS[what], text=text, value=value, limit=limit, unit=unit, assumed=assumed)


def _words(text: str) -> set[str]:
    return {w.casefold() for w in re.findall(r"[A-Za-z]+", text)}


def _holds(words: list[str], way: tuple[str, ...]) -> bool:
    """True where every word of the way stands in the text, whole where it is of three letters or fewer, else as its
    beginning. A hyphen counts as a blank."""
    parts = [part.casefold() for word in way for part in word.split("-")]
    return all(any(word == part or (len(part) > 3 and word.startswith(part)) for word in words) for part in parts)


def _figures(text: str) -> tuple[Mapping[str, Fraction], Fraction | None]:
    """The first figure of each unit (`ppm`, `v`), and that of a limit."""
    limited = _LIMIT.search(text)
    limit = None if limited is None else Fraction((limited[1] or limited[2]).replace(",", ""))
    rest = text if limited is None else text[: limited.start()] + text[limited.end() :]
    out: dict[str, Fraction] = {}
    for match in _FIGURE.finditer(rest):
        unit = (match[2] or "").casefold()
        unit = "v" if unit.startswith("v") else unit
        if unit:
            out.setdefault(unit, Fraction(match[1].replace(",", "")))
    return out, limit
