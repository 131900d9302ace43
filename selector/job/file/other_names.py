"""Words that people have for a key or a word of a job, and which one is meant: said in the help, never taken in
silence."""

from __future__ import annotations

from collections.abc import Mapping

HEAT_KINDS: Mapping[str, str] = {
    "propane": "gas",
    "lp": "gas",
    "lpg": "gas",
    "lp gas": "gas",
    "natural": "gas",
    "natural gas": "gas",
    "fuel oil": "oil",
    "resistance": "electric",
    "strip heat": "electric",
    "heat strips": "electric",
    "hot water": "hydronic",
    "water": "hydronic",
    "boiler": "hydronic",
    "hybrid": "dual fuel",
    "heat pump + gas": "dual fuel",
    "heat pump and gas": "dual fuel",
    "heat pump + furnace": "dual fuel",
}
"""Other words for what heats; propane and natural gas differ in their input, which the plate gives."""
READING_KEYS: Mapping[str, str] = {
    "supply voltage": "volts",
    "voltage": "volts",
    "heater voltage": "volts",
    "current": "amps",
    "amperage": "amps",
    "cfm": "airflow",
    "power": "watts",
}
"""Other names for what was read, some of them keys elsewhere in a job."""
