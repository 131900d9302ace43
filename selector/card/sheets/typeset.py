"""Words of a sheet as they are printed."""

from __future__ import annotations

import re

from selector.card.typeset import typeset

_TOGETHER = re.compile(r"(?<=\d) (?=[A-Za-z°])|(?<=\bmodel) ")


def printed(text: str) -> str:
    """The signs of print; a figure stays with its unit, a switch with its mark.

    >>> printed("rise over 65 F: SW1-6 ON -> OFF").replace("\\u00a0", "_")
    'rise over 65_°F: SW1-6_ON to OFF'
    """
    return _TOGETHER.sub("\u00a0", typeset(text))
