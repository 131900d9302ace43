"""The examples of the README and of the guide to the format, run as they stand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from selector.table.build import build_table
from selector.table.source import source_from_text

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "tables" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```", GUIDE, re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("block", BLOCKS, ids=range(len(BLOCKS)))
def test_every_example_of_the_guide_passes(block: str) -> None:
    text = block if block.startswith("format:") else "format: selector table 1\nunit: {title: Example}\n" + block
    table, report = build_table(source_from_text(text, "guide"), "guide")
    assert not report.problems, report.problems
    assert table.calls


def test_the_guide_has_examples() -> None:
    assert len(BLOCKS) >= 5


def test_the_guide_names_every_key() -> None:
    from selector.table.grammar import TABLE
    from selector.table.shapes import Record

    missing = []
    for name, shape in TABLE.fields.items():
        inner = getattr(shape, "inner", None)
        record = shape if isinstance(shape, Record) else inner if isinstance(inner, Record) else None
        words = [name, *(record.fields if record is not None else ())]
        missing += [w for w in words if not re.search(rf"\b{re.escape(w)}\b", GUIDE)]
    assert not missing
