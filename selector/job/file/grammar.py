"""The grammar of a job file: every key with its shape, its help and an example. The reader and the published schema
both come from here."""

from __future__ import annotations

from typing import Any

from selector.job.file.complaint_words import Complaints
from selector.job.file.fields import (
    CEILING,
    CEILING_NAMES,
    DEHUMIDIFY,
    FAN,
    HEAT,
    OUTDOOR,
    READING,
    SITE,
    ZONING,
    Field,
    Section,
)
from selector.job.file.other_names import READING_KEYS
from selector.table.text.nodes import Mapping, Node, Scalar, Sequence
from selector.table.text.shapes import SCALAR_TYPES, Choice, FileReport, MapOf, Nested, Record, Shape, Text, Words
from selector.value import Struct

FORMAT = "selector job 1"
FREE_NAMES = frozenset({"notes", "seen", "cleared", "done", "place", "table print"})
"""Names whose values are sentences."""


class Items(Struct, frozen=True):
    """A list of records, one below the other, each begun by a dash."""

    inner: Record
    help: str = ""

    def schema(self) -> dict[str, Any]:
        return {"type": "array", "items": self.inner.schema(), "minItems": 1, "description": self.help}

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if isinstance(node, Mapping):
            report.at(
                node,
                "items-expected",
                f"`{name}` is a list: each entry begins with a dash",
                "put `- ` before its first key",
            )
            return None
        if isinstance(node, Scalar):
            report.at(
                node,
                "items-expected",
                f"`{name}` is a list of entries, each with keys",
                "type a dash, then its keys",
            )
            return None
        if not node.items:
            report.at(
                node, "nothing-typed", f"the list after `{name}:` is empty", "type the entries, or take the line out"
            )
            return None
        return [
            cleaned
            for item in node.items
            if (cleaned := self.inner.read(item, f"an entry of {name}", report)) is not None
        ]


class Sentences(Struct, frozen=True):
    """One text, a list of texts, or a text below a bar, each of whose lines is one."""

    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        return {
            "type": [*SCALAR_TYPES, "array"],
            "items": {"type": SCALAR_TYPES},
            "description": self.help,
            "examples": [self.example],
        }

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        inner = Text()
        nodes = node.items if isinstance(node, Sequence) else each_line(node)
        return [cleaned for one in nodes if (cleaned := inner.read(one, name, report)) is not None]


def each_line(node: Node) -> list[Node]:
    """The lines of a text below a bar, each at its place and meant as it stands; any other node as it is."""
    if not isinstance(node, Scalar) or node.style != "literal":
        return [node]
    lines = enumerate(node.text.split("\n"), node.line + 1)
    return [Scalar(text.strip(), number, node.column, "quoted", number) for number, text in lines if text.strip()]


class Switched(Choice, frozen=True):
    """A choice between words that editors take for true and false: yes, no, on, off."""

    def schema(self) -> dict[str, Any]:
        plain = Choice(self.options, self.help, self.example).schema()
        return {**plain, "enum": [*plain["enum"], True, False]}


class ShortRecord(Record, frozen=True):
    """Keys with their values, or one value alone: that of the key `short`."""

    short: str = ""

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [super().schema(), self.fields[self.short].schema()], "description": self.help}

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if isinstance(node, Scalar):
            key = Scalar(self.short, node.line, node.column, node.style)
            node = Mapping([(key, node)], node.line, node.column, flow=True)
        return super().read(node, name, report)


def shape_of(field: Field) -> Shape:
    """How one key stands in a file."""
    if field.form == "calls":
        return Words(field.help, field.example)
    if field.form in ("by stage", "range by stage"):
        return Nested(Text(), 1, field.help, field.example)
    if field.words and not field.kinds:
        made = Switched if {"yes", "on"} & set(field.words) else Choice
        return made(field.words, field.help, field.example, field.also)
    return Text(field.help, field.example)


def record_of(section: Section) -> Record:
    """The record of a part of the file."""
    keys: dict[str, Shape] = {field.key: shape_of(field) for field in section.fields}
    keys.update((part.key, record_of(part)) for part in section.parts)
    first = section.fields[0]
    example = f"{{{first.key}: {first.example}}}"
    return (
        ShortRecord(keys, (), section.help, example, short=section.short)
        if section.short
        else Record(keys, (), section.help, example)
    )


_DONE = Sentences("The work besides the selectors.", "filter changed, coil cleaned")
_SEEN = Sentences(
    "What was seen, smelled or heard: gas smell, flue CO 620 ppm, flame moves, limit jumpered, still live.",
    "flue CO 620 ppm, limit 400 ppm",
)
_NOTES = Sentences("Anything worth keeping.", "coil cleaned in May")
_BY = Text("Who did the work.", "R. M.")
_MARKS = "What was seen at a selector: its marks, `unread` where it can't be read, `?` for one of several."
_FOUND = MapOf(Text(), f"{_MARKS} Before anything was moved.", "{SW1: OFF ON ? OFF}")
_LEFT = MapOf(Text(), f"{_MARKS} After the work.", "{SW1: OFF ON OFF OFF}")
_MEASUREMENTS = Items(
    Record(
        {field.key: shape_of(field) for field in READING},
        ("call", "method"),
        "One measurement.",
        "{call: heating second, minutes: 15, method: rise, return air: 68 F, supply air: 120 F}",
        READING_KEYS,
    ),
    "What was measured, each with the call that ran.",
)

JOB = Record(
    {
        "format": Choice((FORMAT,), "The format of the file; always the first line.", FORMAT),
        "table": Text("The table of this unit: its name in the library, or a path.", "corvane-k14"),
        "table print": Text(
            "Fingerprint of the table when the record was made; written by the program.", "b4c1e09a77d2"
        ),
        "date": Text("When it was set and measured, year first.", "2026-11-30"),
        "by": _BY,
        "place": Text("Where the unit is, as you would find it again.", "12 Hill Road, attic"),
        "model": Text("The model the board believes it is.", "080"),
        "plate model": Text("The model on the rating plate, where it differs.", "080"),
        "motor": Choice(
            ("constant airflow", "constant torque", "fixed speed"),
            "What the motor's label says, where the table doesn't.",
            "constant airflow",
        ),
        "airflow means": Choice(
            ("standard air", "actual"), "What the charted airflow is, where the table doesn't say.", "standard air"
        ),
        "board": MapOf(Text(), "Words printed on the board: its part number, its series.", "{board part: B-2201}"),
        "site": record_of(SITE),
        "outdoor unit": record_of(OUTDOOR),
        "heat": record_of(HEAT),
        "fan": record_of(FAN),
        "dehumidify": record_of(DEHUMIDIFY),
        "ceilings": Record(
            {
                name: Record(
                    {field.key: shape_of(field) for field in CEILING},
                    (),
                    "A face the air passes, or a greatest airflow.",
                )
                for name in CEILING_NAMES
            },
            (),
            "What the airflow may not exceed.",
            "{filter: {area: 400 in2, velocity: 300 fpm}}",
        ),
        "zoning": record_of(ZONING),
        "complaint": Complaints("What the people in the house say; several with a comma.", "coil freezing, humid"),
        "facts": MapOf(Text(), "Facts the table asks for, by their names.", "{heater: 10}"),
        "targets": MapOf(Nested(Text()), "What is aimed at outright, by call.", "{cooling: 1200 cfm}"),
        "windows": MapOf(Nested(Text()), "Acceptable ranges of your own, by call.", "{cooling: 1100 to 1300 cfm}"),
        "hold": MapOf(Text(), "Positions not to be changed.", "{SW1-1: OFF}"),
        "wishes": MapOf(
            Text(),
            "Figure of a chart wished for where no window is broken; also `longest` or `shortest`.",
            "{blower after heating: 90}",
        ),
        "in force": Choice(
            ("switches", "thermostat"), "Whether the board's selectors or a digital thermostat set the airflow."
        ),
        "as found": _FOUND,
        "as left": _LEFT,
        "measurements": _MEASUREMENTS,
        "seen": _SEEN,
        "done": _DONE,
        "visits": Items(
            Record(
                {
                    "date": Text("When, year first.", "2027-11-02"),
                    "by": _BY,
                    "as found": _FOUND,
                    "as left": _LEFT,
                    "measurements": _MEASUREMENTS,
                    "seen": _SEEN,
                    "cleared": Sentences(
                        "What was seen or complained of before and is put right, in the same words.", "limit trips"
                    ),
                    "done": _DONE,
                    "notes": _NOTES,
                },
                ("date",),
                "One later visit; what it leaves out is as it was left before.",
                "{date: 2027-11-02, done: filter changed}",
            ),
            "Later visits, the oldest first; what stands above is the first one.",
        ),
        "notes": _NOTES,
    },
    ("format",),
    "A job: one unit in one house.",
)
