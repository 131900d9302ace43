"""Fonts of the sheet: those every reader of PDF has, and for texts they can't set a TrueType font of the machine."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from selector.value import Struct

_PLACES = (
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/TTF/DejaVuSans.ttf",
    "/usr/share/fonts/dejavu-sans-fonts/DejaVuSans.ttf",
    "/Library/Fonts/Arial Unicode.ttf",
    "/System/Library/Fonts/Supplemental/Arial Unicode.ttf",
    "C:/Windows/Fonts/arial.ttf",
)
_LIKE = str.maketrans({"\u2212": "\u2013", "\u2264": "<=", "\u2265": ">=", "\u2033": '"', "\u2032": "'", "\u00a0": " "})


class Fonts(Struct, frozen=True, kw_only=True):
    """Names of the fonts in use. `signs`: what they can set beyond the built-in fonts' own signs."""

    plain: str
    bold: str
    signs: frozenset[str] = frozenset()

    def safe(self, text: str) -> str:
        """The text as it can be set: signs no font has are written as (U+4E2D), never left out."""
        if self.signs:
            return "".join(c if c in self.signs else f"(U+{ord(c):04X})" for c in text)
        return "".join(c if _builtin(c) else f"(U+{ord(c):04X})" for c in text.translate(_LIKE))

    def width(self, text: str, size: float, bold: bool) -> float:
        """Width of a text in points."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        return float(stringWidth(self.safe(text), self.bold if bold else self.plain, size))

    def wrapped(self, text: str, width: float, size: float, bold: bool) -> list[str]:
        """A text in lines no wider than `width`; a word that is wider is cut into pieces, none lost."""
        out: list[str] = []
        for word in text.split():
            if out and self.width(f"{out[-1]} {word}", size, bold) <= width:
                out[-1] += f" {word}"
                continue
            while len(word) > 1 and (fits := self._fits(word, width, size, bold)) < len(word):
                out.append(word[:fits])
                word = word[fits:]
            out.append(word)
        return out

    def _fits(self, word: str, width: float, size: float, bold: bool) -> int:
        """How many of a word's letters stand within `width`, at least one; letter by letter, so that the time grows
        with what fits and not with the word."""
        taken = 0.0
        for n, letter in enumerate(word):
            taken += self.width(letter, size, bold)
            if taken > width:
                return max(1, n)
        return len(word)


BUILT_IN = Fonts(plain="Helvetica", bold="Helvetica-Bold")


@cache
def _builtin(sign: str) -> bool:
    """True for signs of the built-in fonts."""
    try:
        sign.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return sign.isprintable()


def fonts_for(texts: Sequence[str], font: str = "") -> Fonts:
    """The built-in fonts where they do, or where nothing better is found; else `font`, else a font of the machine,
    with its bold where it has one."""
    if not font and all(_builtin(c) for text in texts for c in text.translate(_LIKE)):
        return BUILT_IN
    path = next((p for p in ((font,) if font else _PLACES) if os.path.isfile(p)), None)
    return _registered(path) if path is not None else BUILT_IN


@cache
def _registered(path: str) -> Fonts:
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    name = Path(path).stem.replace(" ", "")
    plain = TTFont(name, path)
    registerFont(plain)
    bold, bold_path = name, Path(path).with_name(f"{Path(path).stem}-Bold.ttf")
    if bold_path.is_file():
        bold = f"{name}-Bold"
        registerFont(TTFont(bold, str(bold_path)))
    return Fonts(plain=name, bold=bold, signs=frozenset(chr(c) for c in plain.face.charToGlyph if c >= 32))
