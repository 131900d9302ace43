"""The published schema: JSON Schema 2020-12 as jsonschema checks it, and the two-way law between it and the
program's own reading."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.grammar.patterns import PARTLY
from selector.table.grammar.schema import BEYOND, UNSEEN, table_schema, table_schema_text
from selector.table.model.quantities import QUANTITIES
from selector.table.source import source_from_text
from selector.table.text.located import locate
from selector.table.text.nodes import Mapping, Node, Scalar
from tests.helpers.source_codes import codes

ROOT = Path(__file__).parents[3]
PUBLISHED = ROOT / "schemas" / "table.json"
TABLES = sorted((ROOT / "tables").glob("*.yaml"))
SCHEMA: dict[str, Any] = json.loads(PUBLISHED.read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""A general reader, the quick one where it is there: both resolve values alike."""
SEEN = (
    "keys-expected",
    "list-expected",
    "missing-key",
    "newer-format",
    "job-not-table",
    "nothing-typed",
    "one-step-a-map",
    "one-text-expected",
    "unknown-key",
    "unknown-word",
)
"""Codes of what the schema says too."""


def test_the_published_file_is_the_generated_one() -> None:
    assert PUBLISHED.read_text(encoding="utf-8") == table_schema_text()


def test_it_is_a_schema_of_2020_12_with_a_name_of_its_own() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    assert SCHEMA["title"]
    assert re.fullmatch(r"urn:[a-z0-9][a-z0-9-]{1,31}:\S+", SCHEMA["$id"]), "a name by RFC 8141, no address to fetch"


def resolved(schema: dict[str, Any]) -> dict[str, Any]:
    """What stands under a reference, with what is told beside it."""
    if "$ref" not in schema:
        return schema
    target: dict[str, Any] = SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")]
    return {**resolved(target), **{k: v for k, v in schema.items() if k != "$ref"}}


def keys_of(schema: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every key that the schema knows, at every level, with what is said of it."""
    if isinstance(schema, list):
        for inner in schema:
            yield from keys_of(inner, path)
    if not isinstance(schema, dict):
        return
    for key, value in schema.items():
        if key == "properties":
            for name, inner in value.items():
                if set(inner) == {"not"}:  # what a key's text can't be, under a condition
                    continue
                yield f"{path}/{name}", inner
                yield from keys_of(inner, f"{path}/{name}")
        elif key not in ("examples", "if", "enum"):
            yield from keys_of(
                value, f"{path}/{key}" if path.endswith("$defs") else path if key != "$defs" else "$defs"
            )


def test_every_key_has_a_description_and_an_example_that_fits() -> None:
    found = list(keys_of(SCHEMA))
    assert len(found) > 120
    for path, schema in found:
        full = resolved(schema)
        assert len(full.get("description", "")) > 10, path
        assert full.get("examples") or full["defaultSnippets"], path
        for example in full.get("examples", ()):
            Draft202012Validator({**schema, "$defs": SCHEMA["$defs"]}).validate(example)


def test_names_of_ones_own_have_a_description_and_an_example_too() -> None:
    """What stands in `additionalProperties` is what an editor tells of a name under board:, charts: and so on."""
    for name in ("board", "charts", "calls", "facts", "ramps"):
        entry = resolved(SCHEMA["properties"][name]["additionalProperties"])
        assert entry["description"], name
        assert entry["examples"], name


def mangled(text: str) -> Any:
    """What a general reader of the format makes of the text: `060` is 48, `on` is true."""
    return with_texts_for_dates(yaml.load(text, Loader=LOADER))


def with_texts_for_dates(value: Any) -> Any:
    """A date is a text in JSON, and to editors (YAML 1.2 has no dates)."""
    if isinstance(value, dict):
        return {k: with_texts_for_dates(v) for k, v in value.items()}
    if isinstance(value, list):
        return [with_texts_for_dates(v) for v in value]
    return value.isoformat() if isinstance(value, datetime.date) else value


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_every_shipped_table_passes(path: Path) -> None:
    VALIDATOR.validate(mangled(path.read_text(encoding="utf-8")))


def test_general_readers_do_mangle() -> None:
    """Else the types of the schema would not be tried at all. YAML 1.1: a leading 0 is octal, on is true."""
    assert mangled("a: {010: on}") == {"a": {8: True}}
    kinds = {type(v) for path in TABLES for v in leaves(mangled(path.read_text(encoding="utf-8")))}
    assert {str, int, float, bool} <= kinds


def leaves(value: Any) -> Iterator[Any]:
    if isinstance(value, dict):
        for k, v in value.items():
            yield k
            yield from leaves(v)
    elif isinstance(value, list):
        for v in value:
            yield from leaves(v)
    else:
        yield value


# -- the law


def plain(node: Node) -> Any:
    """Names and values as typed, without places."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Mapping):
        return {k.text: plain(v) for k, v in node.items}
    return [plain(v) for v in node.items]


TREES: list[dict[str, Any]] = [plain(locate(source_from_text(p.read_text(encoding="utf-8")))) for p in TABLES]
SAFE = re.compile(r"[A-Za-z0-9+.][\w+./% -]*|-\d[\w./% -]*")


def typed(text: str) -> str:
    """A text as it would be typed: plain where that is possible, else in quotes."""
    return text if SAFE.fullmatch(text) and text == text.strip() else json.dumps(text, ensure_ascii=False)


def written(value: Any, indent: int = 0, *, flow: bool = False) -> str:
    """Names and values as the text of a file."""
    if isinstance(value, str):
        return typed(value)
    if isinstance(value, list):
        return "[" + ", ".join(written(v, flow=True) for v in value) + "]"
    if flow or not value:
        return "{" + ", ".join(f"{typed(k)}: {written(v, flow=True)}" for k, v in value.items()) + "}"
    pad = " " * indent
    lines = []
    for k, v in value.items():
        if isinstance(v, dict) and v:
            lines.append(f"{pad}{typed(k)}:\n{written(v, indent + 2)}")
        elif isinstance(v, str) and v.endswith("\n") and v.strip():
            rows = "".join(f"{pad}  {line}\n" for line in v.rstrip("\n").split("\n"))
            lines.append(f"{pad}{typed(k)}: |\n{rows.rstrip()}")
        else:
            lines.append(f"{pad}{typed(k)}: {written(v)}")
    return "\n".join(lines)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value but the whole."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [p for k, v in inner for p in [(*path, k), *places(v, (*path, k))]]


def changed(value: Any, path: tuple[Any, ...], how: str, other: Any) -> Any:
    """The value with one change at a path."""
    key, rest = path[0], path[1:]
    if rest:
        if isinstance(value, list):
            return [changed(v, rest, how, other) if i == key else v for i, v in enumerate(value)]
        return {k: changed(v, rest, how, other) if k == key else v for k, v in value.items()}
    if isinstance(value, list):
        return [
            *value[:key],
            *([] if how == "take out" else [value[key], other] if how == "rename" else [made(value[key], how, other)]),
            *value[key + 1 :],
        ]
    if how == "take out":
        return {k: v for k, v in value.items() if k != key}
    if how == "rename":
        return {(other if k == key else k): v for k, v in value.items()} if isinstance(other, str) else value
    return {k: made(v, how, other) if k == key else v for k, v in value.items()}


def made(value: Any, how: str, other: Any) -> Any:
    return {"list": [value], "map": {"first": value}, "words": str(value).split(), "put": other}[how]


WORDS = [
    "060",
    "on",
    "OFF",
    "1:30",
    "-6 %",
    "+5",
    "",
    " ",
    "~",
    "null",
    "yes",
    "none",
    "first",
    "model",
    "kind",
    "note",
    "when",
    "use",
    "share",
    "rows",
]
OTHERS = st.one_of(
    st.sampled_from(WORDS),
    st.sampled_from(
        [
            [],
            ["a", "b"],
            [["a"]],
            [{"use": "a"}],
            {},
            {"first": "a"},
            {"060": "1"},
            {"when": {"a": "b"}},
            ["", "a"],
            {"a": {"b": {"c": "d"}}},
        ]
    ),
)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """A shipped table with one to three changes, as the text of a file."""
    tree: Any = draw(st.sampled_from(TREES))
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from(places(tree)))
        tree = changed(
            tree, path, draw(st.sampled_from(["take out", "rename", "list", "map", "words", "put"])), draw(OTHERS)
        )
    return written(tree) + "\n"


def refusals(text: str) -> set[str]:
    try:
        build_table(source_from_text(text), "spoilt")
    except Refused as refused:
        return {p.code for p in refused.problems if p.severity == "problem"}
    return set()


@settings(max_examples=250, deadline=None, suppress_health_check=list(HealthCheck))
@given(spoilt())
def test_the_schema_and_the_reader_agree_but_for_what_is_beyond_the_schema(text: str) -> None:
    codes = refusals(text)
    accepted = VALIDATOR.is_valid(mangled(text))
    if not codes:
        assert accepted, "the reader takes what the schema refuses"
    if accepted:
        assert codes <= set(BEYOND), "the schema could have said so, or the code isn't listed as beyond it"
    else:
        assert codes & {*SEEN, *PARTLY}


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_the_writer_of_this_test_changes_nothing(path: Path) -> None:
    text = written(TREES[TABLES.index(path)]) + "\n"
    assert plain(locate(source_from_text(text))) == TREES[TABLES.index(path)]
    assert not refusals(text)


PLAIN = """\
board: {D1: {kind: dial, positions: A B C}}
charts:
  trims:
    set: D1
    gives: trim
    rows: |
      # 1,200 in a comment, 5 % (a note there
      A  none
      B  +6 % (or 1,200 cfm, 5 %)
      C  as B
calls:
  fan: {airflow: [airflow: 600, trims, share: 60 %, round: 5]}
"""
"""A part of a file without a slip: what stands in comments and notes is nobody's business."""


@pytest.mark.parametrize(
    ("was", "typed"),
    [
        ("A B C", "A B B"),
        ("A B C", "A"),
        ("gives: trim", "gives: trims"),
        ("gives: trim", "gives: trim trims"),
        ("B  +6 %", "B  6 %"),
        ("B  +6 %", "B  +0.06"),
        ("B  +6 %", "B  +1,6"),
        ("B  +6 %", "B  +l6"),
        ("C  as B", "C  _"),
        ("C  as B", "C | | +5"),
        ("C  as B", "C  +5 % (a note"),
        ("C  as B", "C  +5 % a note)"),
        ("C  as B", "C  2/3"),
        ("share: 60 %", "share: +60 %"),
        ("share: 60 %", "trim: 60 %"),
        ("round: 5", "round: 0"),
        ("round: 5", "use: 5"),
        ("kind: dial, positions: A B C", "kind: switches, count: 17"),
    ],
)
def test_a_slip_within_a_text_is_seen_while_it_is_typed(was: str, typed: str) -> None:
    whole = {k: SCHEMA["properties"][k] for k in ("board", "charts", "calls")}
    part = Draft202012Validator({"properties": whole, "$defs": SCHEMA["$defs"]})
    assert part.is_valid(mangled(PLAIN))
    assert was in PLAIN
    assert not part.is_valid(mangled(PLAIN.replace(was, typed)))


@pytest.mark.parametrize(
    "gives",
    [
        "Trim",
        "airflow, temperature rise",
        "airflow temperature  rise watts",
        "airflow, airflow in L/s",
        "[airflow, watts]",
    ],
)
def test_every_way_to_name_quantities_passes(gives: str) -> None:
    part = Draft202012Validator({**SCHEMA["$defs"]["chart"]["properties"]["gives"], "$defs": SCHEMA["$defs"]})
    assert part.is_valid(yaml.safe_load(gives))


def test_editors_are_offered_every_quantity_and_rows_below_a_bar() -> None:
    """`enum` and `defaultSnippets` are what editors take completions from (common practice, no source)."""
    chart = SCHEMA["$defs"]["chart"]["properties"]
    assert chart["gives"]["anyOf"][0]["anyOf"][0]["enum"] == list(QUANTITIES)
    for name in ("rows", "notes"):
        body = chart[name]["defaultSnippets"][0]["body"]
        assert yaml.safe_load(f"{name}: {body}\n")[name] == "".join(f"{x[2:]}\n" for x in body.split("\n")[1:])


def test_every_code_is_either_beyond_the_schema_or_seen_by_it() -> None:
    assert codes() <= set(BEYOND) | set(SEEN)
    assert not set(BEYOND) & set(SEEN)
    assert [*map(list, (UNSEEN, PARTLY))] == [*map(sorted, (UNSEEN, PARTLY))]
    assert not set(UNSEEN) & set(PARTLY)


def test_the_generated_schema_has_no_loose_references() -> None:
    text = json.dumps(table_schema())
    for name in re.findall(r'"#/\$defs/([^"]+)"', text):
        assert name in SCHEMA["$defs"]
    for name in SCHEMA["$defs"]:
        assert f'"#/$defs/{name}"' in text, f"{name} is used nowhere"
