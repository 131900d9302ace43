"""A finding of the review: where, why, what it may have been, how sure; and the texts a correction gives."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from math import exp

from selector.review.figures.places import FigurePlace
from selector.value import Struct

ALMOST_SURE = 0.97
"""The chance from which a finding is called almost surely a slip."""


class Edit(Struct, frozen=True, kw_only=True):
    """One piece of text to be replaced where it stands."""

    place: FigurePlace
    to: str


class Correction(Struct, frozen=True, kw_only=True):
    """What it may have been, in words, with the edits that make it so (none where no single text can be named).
    `share` of the doubt is its own."""

    words: str
    edits: tuple[Edit, ...] = ()
    share: float = 0.0


class Finding(Struct, frozen=True, kw_only=True):
    """One suspect figure, pair, row or column.

    `places` are the cells it is about, the first the one to look at; `log_odds` how sure that it is a slip; `id` stays
    the same while the figures
    it is about do; `where` names the cell in words, `why` is a whole sentence.
    """

    code: str
    where: str
    why: str
    places: tuple[FigurePlace, ...]
    corrections: tuple[Correction, ...]
    log_odds: float
    id: str

    @property
    def sureness(self) -> float:
        """The chance that it is a slip, 0 to 1."""
        return 1 / (1 + exp(-max(-50.0, min(50.0, self.log_odds))))

    @property
    def how_sure(self) -> str:
        """The same in words."""
        chance = self.sureness
        return (
            "almost surely a mistake"
            if chance >= ALMOST_SURE
            else "probably a mistake"
            if chance >= 0.75
            else "perhaps a mistake"
        )


_LETTERS = "bcdfghjkmnpqrstvwxz"


def finding_id(code: str, where: str, typed: Sequence[str]) -> str:
    """Six letters that stand for a finding as long as it is about the same figures; no digits and no vowels, so no
    words."""
    number = int.from_bytes(blake2b("\n".join((code, where, *typed)).encode(), digest_size=8).digest(), "big")
    out = ""
    for _ in range(6):
        number, at = divmod(number, len(_LETTERS))
        out += _LETTERS[at]
    return out
