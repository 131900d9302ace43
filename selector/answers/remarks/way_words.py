"""What a charted airflow means at altitude, in words: a line and two or three words for each way to read it."""

from __future__ import annotations

from collections.abc import Mapping

from selector.air.motor import Way

WAY_WORDS: Mapping[Way, str] = {
    "sea level": "",
    "mass held": "charted airflow is standard air (the motor holds the mass)",
    "volume held": "charted airflow is the volume that moves",
    "torque held": "constant torque: volume rises by 1/sqrt(density ratio)",
}
WAY_SHORT: Mapping[Way, str] = {
    "sea level": "",
    "mass held": "read as standard air",
    "volume held": "read as volume",
    "torque held": "read as constant torque",
}
_NOTES: Mapping[str, str] = {str(way): words for way, words in WAY_WORDS.items()}


def note_words(note: str) -> str:
    """The note of a figure; one that names a way to read a chart, in its words."""
    return _NOTES.get(note, note)
