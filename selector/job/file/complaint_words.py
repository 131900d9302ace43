"""Complaints as people say them: several in one text, each with the one that is meant."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from selector.job.observed.sentence import sightings
from selector.table.text.nodes import Node
from selector.table.text.shapes import FileReport, described, no_list
from selector.value import Struct

MEANT: Mapping[str, tuple[str, ...]] = {
    "humid": (
        "damp",
        "muggy",
        "sticky",
        "clammy",
        "moisture",
        "too humid",
        "high humidity",
        "musty",
        "moldy",
        "mildew",
    ),
    "iced coil": (
        "ice",
        "iced",
        "icing",
        "frozen coil",
        "coil freezing",
        "freezing coil",
        "freezes up",
        "coil freezes",
        "freezes",
        "coil frozen",
        "frost",
    ),
    "limit trips": (
        "limit tripping",
        "trips on limit",
        "high limit",
        "limit opens",
        "short cycling in heat",
        "short cycling",
        "short cycles",
        "furnace short cycles",
    ),
    "cool air in heat": (
        "cold air in heat",
        "blows cold",
        "registers feel cool",
        "cool air",
        "cold air",
        "cool registers",
        "drafty in heat",
    ),
    "noise": (
        "noisy",
        "loud",
        "whistling",
        "roaring",
        "too loud",
        "rumble",
    ),
    "high head in heating": (
        "high head",
        "high pressure in heating",
        "high pressure trips",
        "head pressure",
    ),
    "water carried over": (
        "water in the duct",
        "water off the coil",
        "coil spits",
        "drips",
        "water at the registers",
        "blows water",
    ),
    "no change after setting": (
        "no change",
        "nothing changed",
        "setting did nothing",
        "same as before",
    ),
    "uneven rooms": (
        "no heat upstairs",
        "no cooling upstairs",
        "one room hot",
        "one room cold",
        "hot upstairs",
        "cold upstairs",
        "hot room",
        "cold room",
        "cold in some rooms",
        "some rooms",
        "bedrooms cold",
        "cold bedrooms",
        "bedroom cold",
        "rooms cold",
        "cold rooms",
        "rooms hot",
        "uneven",
        "rooms uneven",
    ),
    "high bills": (
        "high bill",
        "high electric bill",
        "high gas bill",
        "costs too much",
        "expensive to run",
    ),
}
"""A complaint, and what people say for it."""
COMPLAINTS = tuple(MEANT)
_SAID: Mapping[str, str] = {said: name for name, words in MEANT.items() for said in (name, *words)}


def complaints_in(text: str) -> tuple[tuple[str, str | None], ...]:
    """Each complaint of a text, as typed, with the one that is meant; None where none is known.

    >>> complaints_in("coil freezing, no heat upstairs")
    (('coil freezing', 'iced coil'), ('no heat upstairs', 'uneven rooms'))
    """
    return tuple((said, _meant(said)) for part in text.split(",") if (said := part.strip(" ;.\"'")))


def _meant(said: str) -> str | None:
    """The complaint of the longest phrase that stands in it."""
    words = f" {' '.join(said.casefold().split())} "
    found = [phrase for phrase in _SAID if f" {phrase} " in words]
    return _SAID[max(found, key=len)] if found else None


class Complaints(Struct, frozen=True):
    """One or more complaints, a comma between them."""

    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        """Any text: what people say is not a list of words."""
        return described({"type": "string"}, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        """The text; a complaint that isn't known is a problem."""
        scalar = no_list(node, name, report)
        unknown = [] if scalar is None else [said for said, meant in complaints_in(scalar.text) if meant is None]
        if scalar is not None and unknown:
            report.at(
                scalar,
                "unknown-complaint",
                f"`{unknown[0]}` is not a complaint known here",
                f"Type it as seen: seen={unknown[0]}"
                if sightings(unknown[0])
                else f"Type one or more of: {', '.join(COMPLAINTS)}. What can hurt goes under seen: gas smell.",
            )
            return None
        return scalar
