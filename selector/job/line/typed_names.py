"""Where a name typed on a line belongs in a job file, and what is said of one that belongs nowhere."""

from __future__ import annotations

import re

from selector.job.file import fields
from selector.job.file.fields import Field
from selector.job.file.grammar import JOB
from selector.problems import close_match
from selector.solve.board.marks import marks_of
from selector.table.model.table import Selector, Table

SHORT: dict[str, tuple[str, ...]] = {
    "tons": ("outdoor unit", "capacity"),
    "humid": ("site", "climate"),
    "return": ("site", "return air"),
    "wet bulb": ("site", "return wet bulb"),
    "static": ("site", "static pressure"),
    "kw": ("heat", "heater"),
    "volts": ("heat", "supply voltage"),
    "amps": ("heat", "current"),
    "found": ("as found",),
    "left": ("as left",),
    "target": ("targets",),
    "window": ("windows",),
    "wish": ("wishes",),
    "fact": ("facts",),
    "ceiling": ("ceilings",),
}
"""Short names for a quick answer; every key of a job file may be typed too, with its part before it where two parts
have it."""
_OPEN_PARTS = ("board", "facts", "targets", "windows", "hold", "wishes", "as found", "as left")
_PREFERRED = {
    "capacity": "outdoor unit",
    "least per ton": "outdoor unit",
    "kind": "heat",
    "volume": "site",
    "calls": "zoning",
    "aim": "heat",
}


def path_of(name: str) -> tuple[str, ...] | None:
    """Where a name belongs in a job file: keys from the outside in; None if no key is meant."""
    typed = list(re.finditer(r"[^\s.]+", name))
    words = [m[0] for m in typed]
    if len(words) == 2 and "stage" in (folded := [word.casefold() for word in words]):
        return ("outdoor unit", "stages", words[1 - folded.index("stage")])
    for cut in range(len(words), 0, -1):
        head, rest = " ".join(words[:cut]).casefold(), words[cut:]
        found = _head(head)
        if found is None:
            continue
        if rest and found[0] in ("hold", "as found", "as left"):  # a selector's name may hold a dot
            return (*found, " ".join(name[typed[cut].start() :].split()))
        path = _finished(found, rest)
        if path is not None:
            return path
    return _ceiling(words)


def _head(head: str) -> tuple[str, ...] | None:
    if head in SHORT:
        return SHORT[head]
    if head in JOB.fields and head not in ("format", "measurements", "visits"):
        return (head,)
    if head == "outdoor":
        return ("outdoor unit",)
    for section in fields.SECTIONS:
        if any(part.key == head for part in section.parts):
            return section.key, head
    sections = [s for s in fields.SECTIONS for f in s.fields if f.key == head]
    if len(sections) == 1:
        return sections[0].key, head
    if len(sections) > 1 and head in _PREFERRED:
        return _PREFERRED[head], head
    inner = [
        (s.key, part.key, head)
        for s in fields.SECTIONS
        for part in s.parts
        for f in part.fields
        if f.key == head and head != "stage"
    ]
    if len(inner) == 1 and not sections:
        return inner[0]
    return None


def _finished(found: tuple[str, ...], rest: list[str]) -> tuple[str, ...] | None:
    """The path with what follows the first key: a key of its part, a stage, a selector, a call."""
    if len(found) == 3:
        return None if rest else found
    if found[0] in _OPEN_PARTS:
        return (*found, " ".join(rest)) if rest else None
    if found == ("ceilings",):
        return _ceiling(rest)
    section = next((s for s in fields.SECTIONS if s.key == found[0]), None)
    if section is None:
        return None if rest else found
    if len(found) == 1:
        return _in_section(section, rest)
    field = next((f for f in section.fields if f.key == found[1]), None)
    return _in_section(section, [found[1], *rest]) if field is None else _staged(found, field, rest)


def _staged(path: tuple[str, ...], field: fields.Field, rest: list[str]) -> tuple[str, ...] | None:
    if not rest:
        return path
    return (*path, " ".join(rest)) if field.form in ("by stage", "range by stage") else None


def _in_section(section: fields.Section, rest: list[str]) -> tuple[str, ...] | None:
    for cut in range(len(rest), 0, -1):
        key = " ".join(rest[:cut]).casefold()
        field = next((f for f in section.fields if f.key == key), None)
        if field is not None:
            path = _staged((section.key, key), field, rest[cut:])
            if path is not None:
                return path
        part = next((p for p in section.parts if p.key == key), None)
        if part is not None:
            inner = (part.key,) if part.short and not rest[cut:] else _in_section(part, rest[cut:])
            if inner is not None:
                return (section.key, *inner)
    return None


def _ceiling(rest: list[str]) -> tuple[str, ...] | None:
    for cut in range(len(rest) - 1, 0, -1):
        name, key = " ".join(rest[:cut]).casefold(), " ".join(rest[cut:]).casefold()
        if name in fields.CEILING_NAMES and any(f.key == key for f in fields.CEILING):
            return "ceilings", name, key
    return None


def field_of(path: tuple[str, ...]) -> Field | None:
    """The field that a path names, None for a part or a name of the table's own."""
    section = next((s for s in fields.SECTIONS if s.key == path[0]), None)
    return (
        next((f for f in section.fields if f.key == path[1]), None) if section is not None and len(path) == 2 else None
    )


# -- names that belong nowhere

MARKS = ("found", "as found", "left", "as left", "hold")
"""Names behind which a selector has to stand."""
READINGS = ("measured", "measurement", "reading")
"""Names behind which a reading stands on one line; each may be typed several times."""
_NEEDS = {
    **dict.fromkeys(("targets", "target"), ("`{}` needs the call it is for", '"target cooling=1200 cfm"')),
    **dict.fromkeys(("windows", "window"), ("`{}` needs the call it is for", '"window cooling=1100 to 1300 cfm"')),
    **dict.fromkeys(("facts", "fact"), ("`{}` needs the name of a fact", '"fact heater=10"')),
    **dict.fromkeys(("wishes", "wish"), ("`{}` needs the chart it is for", '"wish blower after heating=90"')),
    "board": ("`{}` needs the word that is printed there", '"board part=B-2201"'),
}
"""Parts that hold names of the table's own: what is said of one that stands alone, and what to type."""
_SELECTOR = re.compile(r"(?:SW|DS|LK|[A-Z])\d{1,2}(?:-\d{1,2})?", re.IGNORECASE)
_CALLS = ("cooling", "heating", "heat pump", "heat", "fan", "dehumidify")


def unknown(name: str, text: str, table: Table | None) -> tuple[str, str]:
    """What is said of a name that no fact has, and what to type instead. `table`: the one that is meant, where it
    can be read."""
    folded = " ".join(name.casefold().split())
    if folded in ("wish", "wishes") and "dehumid" in text.casefold():
        return f"`{name}` needs the chart it is for", 'type "dehumidify wanted=yes"'
    if folded in _NEEDS:
        return _NEEDS[folded][0].format(name), f"type {_NEEDS[folded][1]}"
    if table is not None and folded in (fact.casefold() for fact in table.facts):
        return f"`{name}` is a fact of the table", f'type "fact {name}={text}"'
    if folded in fields.CEILING_NAMES:
        return f"`{name}` alone doesn't say what is meant", f'type "{name} area=400 in2" or "{name} airflow=1200 cfm"'
    if folded == "dehumidify" and text.casefold() in ("yes", "no"):
        return f"`{name}` alone doesn't say what is meant", f'type "dehumidify wanted={text}"'
    if folded in MARKS:
        return (
            f"`{name}` needs the selector whose marks these are",
            f'for example "{folded.removeprefix("as ")} {_example_marks(table)}"',
        )
    if _reads(name):
        return (
            f"`{name}` looks like a reading",
            f'Type "measured={name}={text}"; selector measure adds readings to a job.',
        )
    if folded == "measurements":
        return f"`{name}` are typed one by one", 'Type "measured=heating second rise=52 F minutes=15" for each.'
    if _is_selector(name, table):
        return (
            f"`{name}` are marks: as found or as left?",
            f'type "found {name}={text}", or "left {name}={text}" once it is set',
        )
    if folded.split()[0] in _CALLS if folded else False:
        return f"`{name}` alone doesn't say what is meant", _of_call(name, folded, text)
    if table is not None and table.unit.models and folded in ("size", "unit", "unit size", "model number", "type"):
        return f"`{name}` is no such name in a job", f'type "model={text}"'
    near = close_match(name, known_names())
    return (
        f"`{name}` is no such name in a job",
        f"did you mean `{near}`?" if near else 'for example tons=3 "altitude=5,000 ft" "heat input=80 MBH"',
    )


def _reads(name: str) -> bool:
    """True for a call with what was read behind it: `heating second rise`."""
    folded = " ".join(name.casefold().split())
    keys = (*fields.READING_VALUES, "hood", "flow plate", "supply", "return")
    return any(folded.endswith(f" {key}") for key in keys) and folded.startswith(_CALLS)


def _is_selector(name: str, table: Table | None) -> bool:
    if table is None:
        return _SELECTOR.fullmatch(name.strip()) is not None
    own = {*table.selectors, *(part.name for part in table.parts)}
    return name.strip().casefold() in {one.casefold() for one in own}


def _of_call(name: str, folded: str, text: str) -> str:
    """An airflow wanted, or what is installed?"""
    installed = "capacity" if folded.startswith("cool") else "heat input" if folded.startswith("heat") else ""
    heat = re.search(r"\d\s*(?:kW|MBH|k?Btu|tons?\b)", text, re.IGNORECASE)
    if installed and heat is not None:
        return f'for what is installed type "{installed}={text}"'
    also = f'; what is installed: "{installed}=.."' if installed else ""
    return f'for an airflow that you want type "target {name}={text}"{also}'


def known_names() -> list[str]:
    keyed = [(s.key, f.key) for s in fields.SECTIONS for f in s.fields]
    return [
        *SHORT,
        READINGS[0],
        *JOB.fields,
        *(key for _, key in keyed),
        *(f"{section} {key}" for section, key in keyed),
    ]


def _example_marks(table: Table | None) -> str:
    """`SW1=00000000`: the first selector as delivered."""
    if table is None or not table.selectors:
        return "SW1=OFF ON OFF OFF"
    first: Selector = next(iter(table.selectors.values()))
    model = table.unit.models[0] if table.unit.models else None
    printed = marks_of(table.delivered(model), table)
    own = re.search(rf"(?:^|\s)({re.escape(first.name)}=\S+)", printed)
    return own[1] if own else f"{first.name}=?"
