"""Names and values with their places: as typed, the same from both parsers, and as PyYAML's own composer places
them."""

from __future__ import annotations

import gc
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.problems import Problem, Refused
from selector.table.source import source_from_text
from selector.table.text import located
from selector.table.text.located import locate
from selector.table.text.nodes import Mapping, Node, Scalar, Sequence

EXAMPLES = Path(__file__).parents[2] / "examples"
TABLES = Path(__file__).parents[3] / "tables"

both = pytest.mark.parametrize("pure", [False, True], ids=["fast", "pure"])


def tree(text: str, *, pure: bool = False) -> Mapping:
    return locate(source_from_text(text), pure=pure)


def outcome(text: str, *, pure: bool) -> Mapping | tuple[Problem, ...]:
    try:
        return tree(text, pure=pure)
    except Refused as refused:
        return refused.problems


@both
def test_text_stays_as_typed(pure: bool) -> None:
    values = [
        "on",
        "OFF",
        "yes",
        "N",
        "060",
        "0110",
        "1:30",
        "1-2",
        "+5",
        "-6 %",
        "~",
        "null",
        "1e3",
        ".inf",
        "2024-13-45",
        "a  b",
        "",
    ]
    text = "".join(f"k{number}: {value}\n" for number, value in enumerate(values))
    assert [value.text for _, value in tree(text, pure=pure).items if isinstance(value, Scalar)] == values
    words = "a: {060: 0110, N: [yes, 1:30]}"
    inner = tree(words, pure=pure).items[0][1]
    assert isinstance(inner, Mapping)
    assert [(key.text, getattr(value, "text", "")) for key, value in inner.items] == [("060", "0110"), ("N", "")]


@both
def test_places_styles_and_last_lines(pure: bool) -> None:
    """Counted by hand."""
    text = (
        "title: 'two\n"  # 1
        "  lines'\n"
        "a: {b: [x, y: 1],\n"  # 3
        "    c: 2}\n"
        "rows: |\n"  # 5
        "\n"
        "  OFF 1\n"
        "    ON 2\n"
        "\n"
        "# comment\n"
        "note: >-\n"  # 11
        "  one\n"
        "\n"
        "  two\n"
        "é😀: plain\n"  # 15
        "  more\n"
    )
    found = tree(text, pure=pure).items
    assert found[0][1] == Scalar("two lines", 1, 8, "quoted", 2)
    braces = found[1][1]
    assert isinstance(braces, Mapping)
    assert (braces.line, braces.column, braces.flow) == (3, 4, True)
    pair = Mapping([(Scalar("y", 3, 12, "plain", 3), Scalar("1", 3, 15, "plain", 3))], 3, 12, True)
    assert braces.items[0] == (
        Scalar("b", 3, 5, "plain", 3),
        Sequence([Scalar("x", 3, 9, "plain", 3), pair], 3, 8, True),
    )
    assert braces.items[1][0] == Scalar("c", 4, 5, "plain", 4)
    assert found[2][1] == Scalar("\nOFF 1\n  ON 2\n", 5, 7, "literal", 8)
    assert found[3][1] == Scalar("one\ntwo", 11, 7, "folded", 14)
    assert found[4] == (Scalar("é😀", 15, 1, "plain", 15), Scalar("plain more", 15, 5, "plain", 16))


@both
def test_rows_are_the_source_lines_of_their_text(pure: bool) -> None:
    source = source_from_text("c:\n  rows: |\n    ON\t5\n    # why\n    OFF 6 # x\n\n  page: 3\n")
    charts = locate(source, pure=pure).items[0][1]
    assert isinstance(charts, Mapping)
    rows = charts.items[0][1]
    assert isinstance(rows, Scalar)
    assert source.lines[rows.line : rows.end_line] == ("    ON\t5", "    # why", "    OFF 6 # x")


@both
@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a:\n", (1, 3)),
        ("a : \nb: 1", (1, 4)),
        ("a: {b: , c: 1}", (1, 7)),
        ("a: {b: 1, c: }", (1, 13)),
        ("a:\n  - b:\n", (2, 7)),
        ("a:\n  -\n  - x", (2, 4)),
    ],
)
def test_an_empty_value_is_placed_after_its_name(text: str, place: tuple[int, int], pure: bool) -> None:
    empties: list[Scalar] = []

    def walk(node: Node) -> None:
        if isinstance(node, Scalar):
            if not node.text:
                empties.append(node)
        else:
            for item in node.items:
                for part in item if isinstance(item, tuple) else (item,):
                    walk(part)

    walk(tree(text, pure=pure))
    assert [(empty.line, empty.column, empty.style) for empty in empties] == [(*place, "plain")]


@both
@pytest.mark.parametrize("depth", [45, 10_000])
@pytest.mark.parametrize("shape", ["brackets", "braces", "names", "items"])
def test_deep_nesting_is_refused(shape: str, depth: int, pure: bool) -> None:
    if shape == "brackets":
        text = "a:" + "".join(f"\n {'[' * 100}" for _ in range(0, depth, 100))
    elif shape == "braces":
        text = "a:" + "".join("\n {" + "b: {" * 99 for _ in range(0, depth, 100))
    elif shape == "names":
        text = "".join(" " * level + "a:\n" for level in range(min(depth, 2_000)))
    else:
        text = "a:\n  " + "- " * min(depth, 9_000) + "b"
    (problem,) = outcome(text, pure=pure)  # type: ignore[misc]
    assert problem.code == "too-deep"


@both
def test_nesting_up_to_the_bound_is_read(pure: bool) -> None:
    node: Node = tree("a: " + "[" * 38 + "x" + "]" * 38, pure=pure)
    depth = 0
    while not isinstance(node, Scalar):
        node = node.items[0][1] if isinstance(node, Mapping) else node.items[0]
        depth += 1
    assert (depth, node.text) == (39, "x")


@both
def test_alias_bomb_is_refused_where_it_starts(pure: bool) -> None:
    names = "abcdefghi"
    text = "a: &a [x, x]\n" + "".join(
        f"{here}: &{here} [{', '.join(['*' + above] * 9)}]\n" for above, here in pairwise(names)
    )
    told = outcome(text, pure=pure)
    assert isinstance(told, tuple)
    assert (told[0].line, told[0].column, told[0].code) == (1, 4, "anchor")


def test_without_the_fast_parser_the_answers_are_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = [path.read_text(encoding="utf-8") for path in (*TABLES.glob("*.yaml"), *(EXAMPLES / "bad").glob("*.yaml"))]
    fast = [outcome(text, pure=False) for text in texts]
    monkeypatch.setattr(located, "CParser", None)
    assert [outcome(text, pure=False) for text in texts] == fast


def test_loads_where_the_fast_parser_is_not_installed() -> None:
    program = (
        "import sys; sys.modules['yaml._yaml'] = None\n"
        "from selector.table.text import located\n"
        "from selector.table import source\n"
        "assert located.CParser is None\n"
        "print(located.locate(source.source_from_text('a: [060]')))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[3]
    )
    assert "text='060'" in ran.stdout


@both
def test_the_collector_is_left_as_it_was(pure: bool) -> None:
    assert gc.isenabled()
    tree("a: 1", pure=pure)
    assert gc.isenabled()
    gc.disable()
    try:
        tree("a: 1", pure=pure)
        assert not gc.isenabled()
    finally:
        gc.enable()


# Against PyYAML's own composer, on documents made up at random

words = st.from_regex(r"[A-Za-z0-9+.(][A-Za-z0-9./%+()'=<>~_-]{0,6}", fullmatch=True)
plain = st.lists(words, min_size=1, max_size=4).map(" ".join)
odd_plain = st.sampled_from(["1:30", "-6 %", "it's", "a#b", "é 😀 °", "on", "0110"])
inside_quotes = st.one_of(
    plain, st.sampled_from(["", " ", "#5 # x", "x: y", "{", "- z", "tail:", "? é, [", "it's", 'a "b"', "a\\b"])
)


@st.composite
def quoted(draw: st.DrawFn) -> str:
    text = draw(inside_quotes)
    if draw(st.booleans()):
        return "'" + text.replace("'", "''") + "'"
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def bare(key: str) -> str:
    return str(yaml.safe_load(key)) if key[0] in "'\"" else key


keys = st.one_of(plain, plain, quoted()).filter(lambda key: bare(key).lower() != "rows")
key_lists = st.lists(keys, min_size=1, max_size=4, unique_by=bare)
inline: st.SearchStrategy[str] = st.recursive(
    st.one_of(plain, odd_plain, quoted()),
    lambda values: st.one_of(
        st.lists(values, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.tuples(key_lists, st.lists(values, min_size=4, max_size=4)).map(
            lambda drawn: (
                "{" + ", ".join(f"{key}: {value}" for key, value in zip(drawn[0], drawn[1], strict=False)) + "}"
            )
        ),
        st.tuples(keys, values).map(lambda pair: f"[{pair[0]}: {pair[1]}]"),
    ),
    max_leaves=6,
)


@st.composite
def below(draw: st.DrawFn, column: int, depth: int) -> list[str]:
    """What follows a name or a dash: the rest of its line, then the lines below, which start further right than
    `column`."""
    shape = draw(st.sampled_from(["inline", "inline", "rows", "text", "empty"] + ["names", "items"] * (depth < 4)))
    right = column + draw(st.integers(1, 3))
    pad = " " * right
    if shape == "inline":
        return [" " + draw(inline)]
    if shape == "rows":
        rows = draw(st.lists(st.one_of(plain, plain, st.just(""), st.just("# no comment")), min_size=1, max_size=4))
        return [" |", pad + "- first", *(pad + row if row else "" for row in rows)]
    if shape == "text":
        return ["", *(pad + draw(plain) for _ in range(draw(st.integers(1, 2))))]
    if shape == "names":
        return ["", *draw(names(right, depth + 1))]
    if shape == "items":
        return ["", *draw(items(right, depth + 1))]
    return [""]


@st.composite
def names(draw: st.DrawFn, column: int, depth: int) -> list[str]:
    lines: list[str] = []
    for key in draw(key_lists):
        first, *rest = draw(below(column, depth))
        lines += draw(st.sampled_from([[], [], [""], [" " * column + "# a comment: {"]]))
        lines += [" " * column + key + ":" + first, *rest]
    return lines


@st.composite
def items(draw: st.DrawFn, column: int, depth: int) -> list[str]:
    lines: list[str] = []
    for _ in range(draw(st.integers(1, 3))):
        if draw(st.booleans()):
            first, *rest = [
                line for line in draw(names(column + 2, depth + 1)) if line and not line.lstrip(" ").startswith("#")
            ]
            lines += [" " * column + "- " + first.lstrip(" "), *rest]
        else:
            first, *rest = draw(below(column, depth))
            lines += [" " * column + "-" + first, *rest]
    return lines


def agrees(node: Node, other: yaml.Node) -> None:
    """Text, style, places and order are those the composer gives. An empty text has no style there."""
    assert (node.line - 1, node.column - 1) == (other.start_mark.line, other.start_mark.column)
    if isinstance(node, Scalar):
        assert isinstance(other, yaml.ScalarNode)
        assert node.text == other.value
        assert node.style == {None: "plain", "'": "quoted", '"': "quoted", "|": "literal", ">": "folded"}[other.style]
    elif isinstance(node, Mapping):
        assert isinstance(other, yaml.MappingNode)
        assert (node.flow, len(node.items)) == (other.flow_style, len(other.value))
        for (key, value), (other_key, other_value) in zip(node.items, other.value, strict=True):
            agrees(key, other_key)
            agrees(value, other_value)
    else:
        assert isinstance(other, yaml.SequenceNode)
        assert (node.flow, len(node.items)) == (other.flow_style, len(other.value))
        for item, other_item in zip(node.items, other.value, strict=True):
            agrees(item, other_item)


@settings(max_examples=150, deadline=None)
@given(lines=names(0, 0))
def test_the_tree_is_the_composers(lines: list[str]) -> None:
    text = "\n".join(lines) + "\n"
    other = yaml.compose(text, Loader=yaml.Loader)
    assert other is not None
    agrees(tree(text), other)
    agrees(tree(text, pure=True), other)


# Whatever is in a file

START = [
    path.read_text(encoding="utf-8")
    for path in (*sorted(TABLES.glob("*.yaml"))[:4], *sorted((EXAMPLES / "bad").glob("yaml-*.yaml")))
]
PIECES = [
    *"{}[]:,#-?|>'\"&*!%@` \t\n\\",
    ": ",
    " #",
    "- ",
    "\n  ",
    "\n- ",
    "---\n",
    "...\n",
    "[x, y]",
    "''",
    "1,190",
    "\u00a0",
    "А",
    "−",
    "“",
    "\ufeff",
]


@st.composite
def mangled(draw: st.DrawFn) -> str:
    """A stretch of a real file with things put in, taken out and moved."""
    lines = draw(st.sampled_from(START)).split("\n")
    first = draw(st.integers(0, len(lines) - 1))
    text = "\n".join(lines[first : first + draw(st.integers(1, 12))])
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        until = draw(st.integers(at, min(len(text), at + 6)))
        text = text[:at] + draw(st.sampled_from(["", *PIECES])) + text[draw(st.sampled_from([at, until])) :]
    return text


@settings(max_examples=500, deadline=None)
@given(mangled())
def test_mangled_files_are_read_or_refused_alike_by_both(text: str) -> None:
    try:
        source_from_text(text)
    except Refused:
        return
    fast = outcome(text, pure=False)
    assert fast == outcome(text, pure=True)
    if not isinstance(fast, Mapping):
        lines = source_from_text(text).lines or ("",)
        for problem in fast:
            assert 1 <= problem.line <= len(lines)
            assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(max_size=60), st.text("ab:{}[],#-?|>'\"&*!%@`\\ \n\t01", max_size=60)))
def test_any_text_is_read_or_refused_alike_by_both(text: str) -> None:
    fast = outcome(text, pure=False)
    assert fast == outcome(text, pure=True)
    assert isinstance(fast, Mapping) or fast
