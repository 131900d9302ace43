"""Characters that look like those of the keyboard and aren't: letters of other scripts, dashes, quotes, blanks, and
what can't be seen."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right

from selector.table.text.slips.slip_list import SlipList, clipped, in_quotes

_CYRILLIC = dict(zip("АВЕЅІЈКМНОРСТХаеорсухіјѕһԁԛԝ", "ABESIJKMHOPCTXaeopcyxijshdqw", strict=True))
_GREEK = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧονικυρ", "ABEZHIKMNOPTYXovikup", strict=True))
_TWINS = _CYRILLIC | _GREEK
_OTHER_SCRIPT = re.compile("[\u0370-\u03ff\u0400-\u052f]")
_LATIN = re.compile("[A-Za-z]")
_WORD = re.compile(r"\w+")
_DASHES = {
    "\u2212": "a minus sign",
    "\u2013": "a long dash",
    "\u2014": "a long dash",
    "\u2010": "a hyphen of another kind",
    "\u2011": "a hyphen of another kind",
    "\u2012": "a dash of another kind",
    "\ufe63": "a small hyphen",
    "\uff0d": "a wide hyphen",
}
_DASH = re.compile("[" + "".join(_DASHES) + "]")
_QUOTES = "\u201c\u201d\u201e\u201f\u00ab\u00bb\u2018\u2019\u201a\u201b"
_QUOTE = re.compile(f"[{_QUOTES}]")
_BLANK = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+")
_UNSEEN = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3164"
    "\ufe00-\ufe0f\ufeff\uffa0\ufff9-\ufffd\U000e0000-\U000e0fff]"
)
_NOTE = re.compile(r"\([^()]*\)")


def check_letters(
    slips: SlipList, free_texts: list[tuple[int, int]], free_spans: dict[int, list[tuple[int, int]]]
) -> None:
    """Tells of such characters in names and values. In free text (whole lines, spans of a line, and what stands in
    parentheses) only of words
    that mix letters of two scripts, of a dash that stands for a minus before a number, and of a text wholly in curly
    quotes."""
    free_lines = {line for first, after in free_texts for line in range(first, after)}
    lines = slips.source.lines
    checked: list[tuple[int, list[tuple[int, int]]]] = []
    for at, line in enumerate(lines):
        if line.isascii() or (line.lstrip(" \t")[:1] == "#" and at not in free_lines):
            continue
        spans = (
            [(0, len(line))]
            if at in free_lines
            else [*free_spans.get(at, ()), *(match.span() for match in _NOTE.finditer(line))]
        )
        checked.append((at, _joined(spans)))
    strict_words = [
        match[0]
        for at, spans in checked
        for match in _WORD.finditer(lines[at])
        if not match[0].isascii() and not _within(match.start(), spans)
    ]
    written = {
        _script(char) for word in strict_words for char in word if _OTHER_SCRIPT.match(char) and char not in _TWINS
    }
    for at, spans in checked:
        if slips.full:
            break
        _check_words(slips, at, lines[at], spans, written)
        _check_marks(slips, at, lines[at], spans)


def _check_words(slips: SlipList, at: int, line: str, spans: list[tuple[int, int]], written: set[str]) -> None:
    """Look-alike letters: in a word that mixes scripts, or that is made of look-alikes alone in a file not written
    in their script."""
    for match in _WORD.finditer(line):
        word = match[0]
        if word.isascii():
            continue
        free = _within(match.start(), spans) is not None
        wrong = [(place, _latin(char, free)) for place, char in enumerate(word)]
        wrong = [(place, latin) for place, latin in wrong if latin]
        if not wrong:
            continue
        first = word[wrong[0][0]]
        if first in _TWINS and not _LATIN.search(word):
            own = all(char in _TWINS or not _OTHER_SCRIPT.match(char) for char in word)
            if free or not own or _script(first) in written:
                continue
        meant = list(word)
        for place, latin in wrong:
            meant[place] = latin
        name = unicodedata.name(first, "without a name")
        message = (
            f"The `{first}` in `{clipped(word)}` isn't the `{wrong[0][1]}` it looks like: it is {name.capitalize()},"
            f" U+{ord(first):04X}."
        )
        remedy = f"Type the word again on a Latin keyboard: `{clipped(''.join(meant))}`."
        slips.add(at, match.start() + wrong[0][0], "look-alike-letter", message, remedy)


def _check_marks(slips: SlipList, at: int, line: str, spans: list[tuple[int, int]]) -> None:
    for match in _DASH.finditer(line):
        place = match.start()
        before, after = line[place - 1 : place] if place else "", line[place + 1 : place + 2]
        if _within(place, spans) and not (after.isdigit() and not before.isalnum()):
            continue
        start, end = line.rfind(" ", 0, place) + 1, line.find(" ", place)
        word = line[start : end if end >= 0 else len(line)].strip(",;{}[]()|")
        message = f"This is {_DASHES[match[0]]} (U+{ord(match[0]):04X}), not the `-` of the keyboard."
        alone = word == match[0]
        remedy = (
            "A position printed as a minus is typed as the word minus; where no figure is printed, type `-`."
            if alone
            else f"Type `{clipped(_DASH.sub('-', word))}`."
        )
        slips.add(at, place, "odd-minus", message, remedy)
    _check_quotes(slips, at, line, spans)
    for match in _BLANK.finditer(line):
        if not _within(match.start(), spans):
            message = (
                f"This looks like a blank and isn't one (U+{ord(match[0][0]):04X},"
                f" {unicodedata.name(match[0][0]).lower()})."
            )
            slips.add(at, match.start(), "odd-blank", message, "Delete it and press the space bar.", len(match[0]))
    for match in _UNSEEN.finditer(line):
        message = (
            f"A character that can't be seen or read stands here (U+{ord(match[0]):04X},"
            f" {unicodedata.name(match[0], 'no name').lower()})."
        )
        slips.add(
            at, match.start(), "unseen-character", message, "Delete it, and type the word again if it looks wrong."
        )


def _check_quotes(slips: SlipList, at: int, line: str, spans: list[tuple[int, int]]) -> None:
    """Curly quotes: once for a pair; in free text only where they stand around the whole of it."""
    told_to = -1
    for match in _QUOTE.finditer(line):
        place = match.start()
        if place < told_to:
            continue
        span = _within(place, spans)
        if span:
            told_to = span[1]
            text = line[span[0] : span[1]].strip()
            if not (text[0] == match[0] and len(text) > 1 and text[-1] in _QUOTES):
                continue
            inner = text[1:-1].strip()
        else:
            closing = _QUOTE.search(line, place + 1)
            told_to = closing.end() if closing else place + 1
            inner = line[place + 1 : closing.start()].strip() if closing else ""
        message = f"`{match[0]}` is a curly quote, not one of the keyboard's; it would stay in the text."
        remedy = (
            f"Type `{clipped(inner)}` without quotes, or `{in_quotes(inner)}`."
            if inner
            else "Take it out, or type the keyboard's quote."
        )
        slips.add(at, place, "curly-quote", message, remedy)


def _latin(char: str, free: bool) -> str:
    """The keyboard's letter or digit that this one looks like; nothing for one that looks like none, or is one."""
    if char.isascii():
        return ""
    if char in _TWINS:
        return _TWINS[char]
    kind = unicodedata.category(char)
    if kind == "Nd":
        return "" if free else str(unicodedata.decimal(char))
    plain = unicodedata.normalize("NFKC", char)
    if not free and (kind[0] == "L" or kind == "Nl") and char not in "ªº" and plain.isascii() and plain.isalnum():
        return plain
    return ""


def _script(char: str) -> str:
    return "Greek" if char < "\u0400" else "Cyrillic"


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The same stretches in order, those that touch or overlap as one."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


def _within(place: int, spans: list[tuple[int, int]]) -> tuple[int, int] | None:
    """The stretch this place lies in."""
    at = bisect_right(spans, place, key=lambda span: span[0]) - 1
    return spans[at] if at >= 0 and place < spans[at][1] else None
