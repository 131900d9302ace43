"""Altitude derates of gas input: labelled choices, none taken unasked, never on top of an input clocked at the meter.

NFPA 54 / ANSI Z223.1 high-altitude clause and trade readings of it, from memory; newer appliances differ and the
maker's instruction overrides.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air.density import HIGHEST_ALTITUDE_FT, LOWEST_ALTITUDE_FT
from selector.air.number import N, Number, positive
from selector.value import Struct

STARTS_ABOVE_FT = 2_000
SHARE_PER_1000_FT = Fraction(4, 100)


class Derate(Struct, frozen=True, kw_only=True):
    """One rule: the name a person types and its words."""

    name: str
    words: str


NONE = Derate(name="none", words="input as on the plate")
FROM_SEA_LEVEL = Derate(name="from sea level", words="4 % for each 1,000 ft above sea level, once above 2,000 ft")
FROM_2000_FT = Derate(name="from 2,000 ft", words="4 % for each 1,000 ft above 2,000 ft")
MAKER = Derate(name="maker's", words="the share of the input that the maker's instructions give for this altitude")
DERATES: tuple[Derate, ...] = (NONE, FROM_SEA_LEVEL, FROM_2000_FT, MAKER)
"""Every choice. None of them is a default."""


def input_share(rule: Derate, altitude_ft: Number, maker_share: Number | None = None) -> Fraction:
    """The share of the plate's input left at the altitude, between thousands in proportion. `maker_share` (0.4 to 1)
    only with the maker's rule.

    >>> [str(input_share(rule, 5000)) for rule in (NONE, FROM_SEA_LEVEL, FROM_2000_FT)]
    ['1', '4/5', '22/25']
    """
    if rule == MAKER and maker_share is None:
        raise ValueError("the maker's derate needs its share, as 0.84")
    if rule != MAKER and maker_share is not None:
        raise ValueError(f"a maker's share is given beside the rule {rule.name!r}")
    if maker_share is not None:
        if not 0.4 <= maker_share <= 1:
            raise ValueError(f"the maker's share {float(maker_share):g} is outside 0.4 to 1")
        return Fraction(maker_share)
    if not LOWEST_ALTITUDE_FT <= altitude_ft <= HIGHEST_ALTITUDE_FT:
        raise ValueError(
            f"altitude {float(altitude_ft):,.0f} ft: no house stands there ({LOWEST_ALTITUDE_FT:,} to"
            f" {HIGHEST_ALTITUDE_FT:,} ft)"
        )
    above_ft = Fraction(altitude_ft)
    if rule == NONE or above_ft <= STARTS_ABOVE_FT:
        return Fraction(1)
    counted_ft = above_ft if rule == FROM_SEA_LEVEL else above_ft - STARTS_ABOVE_FT
    return 1 - SHARE_PER_1000_FT * counted_ft / 1000


def derated_input_btuh(input_btuh: N, share: N, *, clocked: bool) -> N:
    """Input, Btu/h, after the derate. A share under 1 on a clocked input is a ValueError: the meter has counted the
    altitude already.

    >>> derated_input_btuh(Fraction(80_000), Fraction("0.8"), clocked=False)
    Fraction(64000, 1)
    """
    positive("input", input_btuh, "Btu/h")
    if clocked and share != 1:
        raise ValueError(
            "this input was clocked at the meter, which has counted the altitude already: no derate on top of it"
        )
    return input_btuh * share
