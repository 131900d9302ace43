"""A figure typed on the line without a unit, in the units that were asked for with the command."""

from __future__ import annotations

import re

from selector.job.file.fields import Field
from selector.job.file.quantities import asked_units
from selector.table.library.library import ASKED_UNITS
from selector.table.model.in_units import units_named
from selector.table.model.table import Units

_BARE = re.compile(r"[+-]?\d[\d,]*(?:\.\d+)?")


def in_asked_units(text: str, field: Field | None) -> str:
    """The text with the unit asked for behind it, where it is a bare figure that has to have one: so it stays the same
    figure in a file."""
    asked = ASKED_UNITS.get()
    if not asked or field is None or field.bare or not field.kinds or not _BARE.fullmatch(text.strip()):
        return text
    own = asked_units(units_named(asked, Units()))
    unit = next((own[kind] for kind in field.kinds if kind in own), "")
    return f"{text.strip()} {unit}" if unit else text
