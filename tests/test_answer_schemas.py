"""schemas/*.json hold what the program publishes."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.cli.shapes import ANSWERS, schema_text

SCHEMAS = Path(__file__).parent.parent / "schemas"


@pytest.mark.parametrize("command", ANSWERS)
def test_the_published_schema_is_the_one_in_the_code(command: str) -> None:
    assert (SCHEMAS / f"{command}.json").read_text(encoding="utf-8") == schema_text(command)
