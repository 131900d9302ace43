"""Words as they stand on a sheet: with the signs of print, a figure beside its unit."""

from __future__ import annotations

import re

from selector.card.typeset import typeset as with_signs

_TOGETHER = re.compile(r"(?<=\d) (?=[A-Za-z\u00b0])|(?<=\bmodel) ")


def typeset(text: str) -> str:
    """A text as it is printed; a figure stays with its unit, a switch with its mark.

    >>> typeset("rise over 65 F: SW1-6 ON -> OFF").replace("\u00a0", "_")
    'rise over 65_\u00b0F: SW1-6_ON to OFF'
    """
    return _TOGETHER.sub("\u00a0", with_signs(text))
