"""A reading typed on one line, as it is read off in the field: `heating second rise=52 F minutes=15`."""

from __future__ import annotations

import re
from collections.abc import Mapping

from selector.job.file.fields import METHODS, READING, READING_VALUES, READING_WORDS, VELOCITIES
from selector.job.file.other_names import READING_KEYS
from selector.job.line.asked_units import in_asked_units
from selector.job.readings.external_static import PORTS
from selector.problems import Problem, close_match
from selector.units import Mistyped, TypedFigure, convert, parse_quantity
from selector.value import Struct

AIRFLOW_METHODS = ("hood", "flow plate", "traverse", "vane", "hot wire", "shown")
"""A method that stands before the airflow it read: `hood=1180 cfm`."""
SHORT: Mapping[str, str] = {
    "return": "return air",
    "supply": "supply air",
    "static": "static pressure",
    "min": "minutes",
    "wet bulb": "return wet bulb",
    "humidity": "return humidity",
    "duct": "duct area",
    "gas": "volume",
    "seconds": "time",
    "heating value": "heat of gas",
    "fire": "firing rate",
    "pump": "pump pressure",
    "oil pressure": "pump pressure",
    "nozzle rate": "nozzle",
    "blower": "watts",
    "return temperature": "return air",
    "supply temperature": "supply air",
    **READING_KEYS,
}
"""Short names of what was read."""
_NAMES = sorted(
    {*(field.key for field in READING), *SHORT, *AIRFLOW_METHODS, "seen"} - {"call"}, key=lambda name: -len(name)
)
_KEY = re.compile(rf"(?:^|(?<=[\s,;]))({'|'.join(map(re.escape, _NAMES))})\s*[=:]\s*", re.IGNORECASE)
_ANY_KEY = re.compile(r"([A-Za-z][A-Za-z .]*?)\s*=")


class TypedReading(Struct, frozen=True, kw_only=True):
    """The call, and the keys of a reading with their texts, in the order of a job file; `seen` what was seen."""

    call: str
    keys: Mapping[str, str]
    seen: tuple[str, ...] = ()


_AFTER = re.compile(r"\bafter (\d{1,3}(?:\.\d{1,2})?) ?min(?:utes?)?\b", re.IGNORECASE)
"""`after 12 min`, as people say it."""
_GAS = re.compile(r"\bft3\b|\bm3\b|clock|meter", re.IGNORECASE)
"""Words of somebody who read the gas meter."""


def typed_reading(text: str) -> TypedReading | Problem:
    """The reading of a line, in any order behind the call; a problem where it can't be told what was read.

    >>> one = typed_reading("heating second rise=52 F minutes=15")
    >>> isinstance(one, TypedReading) and (one.call, dict(one.keys))
    ('heating second', {'minutes': '15', 'method': 'rise', 'rise': '52 F'})
    """
    text = re.sub(r"\bstage locked\b(?!\s*[=:])", "stage locked=yes", text, flags=re.IGNORECASE)
    text = _AFTER.sub(r"minutes=\1", text)
    found = list(_KEY.finditer(text))
    call = (text[: found[0].start()] if found else text).strip(" ,;:")
    stray = _ANY_KEY.search(call)
    if stray is not None:
        return _unknown(stray[1].strip())
    keys: dict[str, str] = {}
    seen: list[str] = []
    for match, after in zip(found, [*found[1:], None], strict=False):
        value = text[match.end() : after.start() if after is not None else len(text)].strip(" ,;")
        name = match[1].casefold()
        stray = _ANY_KEY.search(value)
        if stray is not None and name != "seen":
            return _unknown(stray[1].split()[-1])
        if name == "seen":
            seen.append(value)
        elif name in AIRFLOW_METHODS:
            keys["method"], keys["airflow"] = name, value
        else:
            keys[_key(name, value)] = in_asked_units(value, READING_VALUES.get(_key(name, value)))
    if keys and not call:
        call = _call_behind(keys)
    if keys and not call:
        return _problem("call-missing", f"`{text}` doesn't say which call ran.", "Begin with it: heating second ..")
    if not keys and not seen:
        gas = _GAS.search(text) is not None
        example = "volume=2 ft3 time=94 s heat of gas=1037 Btu/ft3" if gas else "rise=52 F minutes=15"
        return _problem(
            "nothing-read", f"`{text}` names no figure", f'Type each with its name: "heating second {example}".'
        )
    if keys and "method" not in keys:
        method = _method(keys)
        if not method:
            return _problem("method-missing", f"How was it measured: {', '.join(METHODS)}?", "Add method=..")
        keys["method"] = method
    order = [field.key for field in READING]
    return TypedReading(call=call, keys={k: keys[k] for k in order if k in keys}, seen=tuple(seen))


def _call_behind(keys: dict[str, str]) -> str:
    """The words behind a figure, which are the call where none stands first; they leave the figure. Empty where there
    are none."""
    for name, value in keys.items():
        words = value.split() if _quantity(value) is None else []
        for cut in range(len(words) - 1, 0, -1):
            rest = " ".join(words[cut:])
            if _quantity(" ".join(words[:cut])) is not None and re.fullmatch(r"[A-Za-z][\w +-]*", rest):
                keys[name] = " ".join(words[:cut])
                return rest
    return ""


def _key(name: str, value: str) -> str:
    """The key that a name means; `supply` and `return` with a pressure are its static."""
    read = _quantity(value) if name in ("supply", "return") else None
    if read is not None and read.unit is not None and read.unit.kind == "pressure":
        return f"{name} static"
    return SHORT.get(name, name)


def _quantity(text: str) -> TypedFigure | None:
    try:
        return parse_quantity(text)
    except Mistyped:
        return None


def _method(keys: Mapping[str, str]) -> str:
    """The method that what was read tells; empty where it doesn't."""
    if "volume" in keys:
        return "clocked gas"
    if {"nozzle", "pump pressure"} & set(keys) and not {"rise", "supply air"} & set(keys):
        return "nozzle and pump"
    if VELOCITIES.key in keys:
        return "traverse"
    if {"volts", "amps"} <= set(keys):
        return "electric"
    if "split" in keys or _cooler(keys):
        return "split"
    if {"rise", "supply air"} & set(keys):
        return "rise"
    if {"static pressure", "return static", "supply static", *PORTS} & set(keys):
        return "static"
    return "watts" if "watts" in keys else ""


def _cooler(keys: Mapping[str, str]) -> bool:
    """True where the supply air was read cooler than the return air, or its moisture was read."""
    if {"supply wet bulb", "supply humidity"} & set(keys):
        return True
    back, supply = (_quantity(keys.get(name, "")) for name in ("return air", "supply air"))
    if back is None or supply is None or back.unit is None or supply.unit is None:
        return False
    if {back.unit.kind, supply.unit.kind} != {"temperature"}:
        return False
    return convert(supply.value, supply.unit, "F") < convert(back.value, back.unit, "F")


def _unknown(name: str) -> Problem:
    known = [*READING_VALUES, *READING_WORDS, "minutes", "method", *SHORT, *AIRFLOW_METHODS, "seen"]
    near = close_match(name, known)
    help = f"Did you mean `{near}`?" if near else f"There are {', '.join([*READING_VALUES, 'minutes', 'seen'])}."
    return _problem("unknown-key", f"`{name}` is not among the things that can be read", help)


def _problem(code: str, message: str, help: str) -> Problem:
    return Problem(file="command line", line=0, column=0, code=code, message=message, help=help)
