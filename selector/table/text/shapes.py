"""What may stand where in a file: shapes that check located data and describe themselves as JSON Schema.

A shape is written once, in `grammar.py`; the reader and the published schema both come from it.
"""

from __future__ import annotations

from collections.abc import Mapping as Map
from typing import Any, Protocol

from selector.problems import close_match
from selector.table.text.nodes import Mapping, Node, Scalar, Sequence
from selector.table.text.plain_text import NOTHING as NOTHING
from selector.table.text.plain_text import no_list as no_list
from selector.table.text.plain_text import something
from selector.table.text.report import FileReport as FileReport
from selector.table.text.report import listed, meant
from selector.value import Struct, field

SCALAR_TYPES = ["string", "number", "boolean"]
SCALAR: dict[str, Any] = {"type": SCALAR_TYPES, "pattern": r"\S"}
"""One text. Editors take `060` for a number and `on` for true; a text of blanks alone is none."""


class Fields(Struct, frozen=True):
    """A record that was read: the cleaned values of known keys, and where each key stands."""

    node: Mapping
    values: dict[str, Any]
    keys: dict[str, Scalar]

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def get(self, key: str) -> Any:
        """The cleaned value, None if the key isn't there."""
        return self.values.get(key)

    @property
    def line(self) -> int:
        """Line of the first key."""
        return self.node.line


class Shape(Protocol):
    """Anything that can check a node and describe itself."""

    @property
    def help(self) -> str: ...

    def schema(self) -> dict[str, Any]: ...

    def read(self, node: Node, name: str, report: FileReport) -> Any: ...


def described(schema: dict[str, Any], help: str, example: str) -> dict[str, Any]:
    """The schema with its help; the example is kept as typed in a file."""
    out = dict(schema)
    if help:
        out["description"] = help
    if example:
        out["examples"] = [example]
    return out


class Text(Struct, frozen=True):
    """One text on a line. `more`: keywords of JSON Schema for what its words can't be."""

    help: str = ""
    example: str = ""
    more: Map[str, Any] = field(default_factory=dict)

    def schema(self) -> dict[str, Any]:
        return described({**SCALAR, **self.more}, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        return no_list(node, name, report)


class Choice(Struct, frozen=True):
    """One of a few words; `also`: other words that people have for one of them, said in the help."""

    options: tuple[str, ...]
    help: str = ""
    example: str = ""
    also: Map[str, str] = field(default_factory=dict)

    def schema(self) -> dict[str, Any]:
        return described(
            {"enum": [*self.options, *(int(o) for o in self.options if o.isdecimal())]},
            self.help,
            self.example or self.options[0],
        )

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        scalar = no_list(node, name, report)
        if scalar is not None and scalar.text not in self.options:
            otherwise = f"type one of: {', '.join(self.options)}"
            report.at(
                scalar,
                "unknown-word",
                f"`{scalar.text}` is not a word for `{name}`",
                meant(scalar.text, self.options, otherwise, self.also),
            )
            return None
        return scalar


class Words(Struct, frozen=True):
    """A list: words with blanks between, or [a, b]. `more`: keywords of JSON Schema for what its words can't be."""

    help: str = ""
    example: str = ""
    more: Map[str, Any] = field(default_factory=dict)

    def schema(self) -> dict[str, Any]:
        return described(
            {
                "anyOf": [
                    {"type": SCALAR_TYPES, "pattern": r"[^\s,]", **self.more},
                    {"type": "array", "items": SCALAR, "minItems": 1},
                ]
            },
            self.help,
            self.example,
        )

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if isinstance(node, Mapping):
            report.at(
                node,
                "list-expected",
                f"`{name}` takes a list of words with blanks between{_differs(node)}",
                f"type the words after {name}: on one line",
            )
            return None
        if isinstance(node, Sequence):
            for n in node.items:
                if not isinstance(n, Scalar):
                    report.at(
                        n,
                        "list-expected",
                        f"`{name}` takes a list of words; this is a list within the list",
                        "take the inner brackets out",
                    )
                    return None
                if not something(n, name, report):
                    return None
            if not node.items:
                report.at(
                    node, "nothing-typed", f"the list after `{name}:` is empty", "type the words, or take the line out"
                )
                return None
            return node
        if isinstance(node, Scalar) and node.text and not node.text.strip(", \n"):
            report.at(
                node, "nothing-typed", f"only commas stand after `{name}:`", "type the words, or take the line out"
            )
            return None
        return no_list(node, name, report)


class Nested(Struct, frozen=True):
    """A scalar or list, or a map of names to the same, `depth` maps deep at most (by model, by stage)."""

    inner: Shape
    depth: int = 1
    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        plain = self.inner.schema()
        deeper = Nested(self.inner, self.depth - 1).schema() if self.depth > 1 else self.inner.schema()
        by_name: dict[str, Any] = {"additionalProperties": deeper, "minProperties": 1}
        if "anyOf" in plain:
            out: dict[str, Any] = {"anyOf": [*plain["anyOf"], {"type": "object", **by_name}]}
        else:
            out = {**plain, "type": [*plain["type"], "object"], **by_name}
        return described(out, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if isinstance(node, Mapping):
            inner: Shape = Nested(self.inner, self.depth - 1) if self.depth > 1 else self.inner
            return read_map(node, inner, name, report)
        return self.inner.read(node, name, report)


def _differs(node: Mapping) -> str:
    """`; here it can't differ by Q24, Q42`, of names with a value each."""
    names = [key.text for key, value in node.items if not isinstance(value, Scalar) or value.text]
    return f"; here it can't differ by {', '.join(names[:3])}" if len(names) > 1 else ""


def read_map(node: Mapping, inner: Shape, name: str, report: FileReport) -> dict[str, tuple[Scalar, Any]] | None:
    """Name -> (key, cleaned value), names with their blanks folded; entries with problems are left out."""
    if not node.items:
        report.at(
            node,
            "nothing-typed",
            f"nothing stands in the braces after `{name}:`",
            "type the entries, or take the line out",
        )
        return None
    out: dict[str, tuple[Scalar, Any]] = {}
    for key, value in node.items:
        word = " ".join(key.text.split())
        if word in out:
            report.at(
                key,
                "name-taken",
                f"the name `{word}` is listed twice, first on line {out[word][0].line}",
                "give one of them another name",
            )
            continue
        cleaned = inner.read(value, word, report)
        if cleaned is not None:
            out[word] = (key, cleaned)
    return out


class MapOf(Struct, frozen=True):
    """Names of the person's own, each with the same kind of entry."""

    inner: Shape
    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        return described(
            {"type": "object", "additionalProperties": self.inner.schema(), "minProperties": 1}, self.help, self.example
        )

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if not isinstance(node, Mapping):
            report.at(
                node,
                "keys-expected",
                f"`{name}` takes names, each with a colon and its entry",
                f"for example {name}: {self.example}"
                if self.example.startswith("{")
                else f"below {name}: type a name, a colon, its entry",
            )
            return None
        return read_map(node, self.inner, name, report)


class WordsOr(Struct, frozen=True):
    """A list of words, or a record that says more."""

    record: Record
    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        words, record = Words().schema(), self.record.schema()
        return described({"anyOf": [*words["anyOf"], record]}, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        return self.record.read(node, name, report) if isinstance(node, Mapping) else Words().read(node, name, report)


class Record(Struct, frozen=True):
    """Known keys, each with its shape; `also`: other names that people have for one of them, said in the help."""

    fields: Map[str, Shape]
    required: tuple[str, ...] = ()
    help: str = ""
    example: str = ""
    also: Map[str, str] = field(default_factory=dict)
    more: Map[str, Any] = field(default_factory=dict)

    def schema(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "type": "object",
            "properties": {k: s.schema() for k, s in self.fields.items()},
            "additionalProperties": False,
            **self.more,
        }
        if self.required:
            out["required"] = list(self.required)
        return described(out, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if not isinstance(node, Mapping):
            report.at(
                node,
                "keys-expected",
                f"`{name}` takes keys, each with a value: {', '.join(list(self.fields)[:6])}",
                f"for example {name}: {self.example}"
                if self.example.startswith("{")
                else f"below {name}: type a key, a colon and its value",
            )
            return None
        values: dict[str, Any] = {}
        keys: dict[str, Scalar] = {}
        strange: list[str | None] = []
        for key, value in node.items:
            word = key.text
            shape = self.fields.get(word)
            if shape is None:
                strange.append(close_match(key.text, self.fields))
                unknown_key(key, name, self.fields, report, self.also)
                continue
            keys[word] = key
            cleaned = shape.read(value, word, report)
            if cleaned is not None:
                values[word] = cleaned
        for word in self.required:
            if word not in keys and word not in strange:
                report.at(
                    node, "missing-key", f"{_owner(name)} needs `{word}`", f"add {word}: {_one_line(self.fields[word])}"
                )
        return Fields(node, values, keys)


def _owner(name: str) -> str:
    """A name of the person's own in quotes; `the file` and `a step of x` as they are."""
    return name if name.startswith(("the ", "a ", "an ")) else f"`{name}`"


def _one_line(shape: Shape) -> str:
    example: str = getattr(shape, "example", "")
    return "and its entries below" if "\n" in example or not example else example


def unknown_key(
    key: Scalar, name: str, known: Map[str, Any] | tuple[str, ...], report: FileReport, also: Map[str, str]
) -> None:
    """A key that isn't known here, with what was meant."""
    word = " ".join(key.text.split())
    if word != key.text and word in known:
        report.at(key, "unknown-key", f"`{word}` is typed with more than one blank between its words", f"type {word}")
        return
    report.at(
        key,
        "unknown-key",
        f"`{key.text}` is not a key of {_owner(name)}",
        meant(key.text, known, f"known here: {', '.join(known)}", also),
    )


class ByKind(Struct, frozen=True):
    """A record whose keys depend on its `kind`."""

    kinds: Map[str, Record]
    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        branches = [
            {"if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]}, "then": record.schema()}
            for kind, record in self.kinds.items()
        ]
        kind = Choice(tuple(self.kinds), "What the selector is.").schema()
        return described(
            {"type": "object", "properties": {"kind": kind}, "required": ["kind"], "allOf": branches},
            self.help,
            self.example,
        )

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if not isinstance(node, Mapping):
            report.at(node, "keys-expected", f"`{name}` doesn't say what it is", f"for example {name}: {self.example}")
            return None
        for key, value in node.items:
            if key.text == "kind":
                kind = Choice(tuple(self.kinds)).read(value, "kind", report)
                return self.kinds[kind.text].read(node, name, report) if kind is not None else None
        report.at(node, "missing-key", f"`{name}` doesn't say its kind", f"add kind: and one of {listed(self.kinds)}")
        return None
