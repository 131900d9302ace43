"""With too much open to hold every case against a limit, the airflows are told and the limit is said to be unchecked;
by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.functions import decode
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text
from tests.helpers.browser import chromium
from tests.helpers.commands_here import said_here
from tests.helpers.pocket_browser import asked
from tests.helpers.pocket_cases import Question, differences

HEAD = """format: selector table 1
unit: {title: Switches that each add}
board:
  SW1: {kind: switches, count: 9, factory: all off}
charts:
"""


def weights(window: str) -> str:
    """400 cfm, and 1, 2, 4 .. 256 cfm more for each switch that is ON: 400 to 911, each of 512 once."""
    charts = "".join(
        f"  add {n}: {{set: SW1-{n}, gives: offset, rows: OFF none; ON +{2 ** (n - 1)}}}\n" for n in range(1, 10)
    )
    steps = ", ".join(["{airflow: 400}", *(f"add {n}" for n in range(1, 10))])
    return f"{HEAD}{charts}calls:\n  cooling: {{terminals: Y1, airflow: [{steps}], window: {{airflow: {window}}}}}\n"


def table_of(window: str) -> Table:
    return build_table(source_from_text(weights(window)), "weights")[0]


@pytest.mark.parametrize(
    ("marks", "state"),
    [
        ("?" * 9, "not_judged"),
        # one of nine read leaves 256: 400 to 655 with SW1-9 OFF, 656 to 911 with it ON
        ("????????0", "depends"),
        ("????????1", "broken"),
    ],
)
def test_a_limit_on_a_stage_with_too_many_cases(marks: str, state: str) -> None:
    (stage,) = decode(table_of("450 to 600"), f"SW1={marks}").judgement.stages.values()
    (check,) = stage.checks
    assert check.state == state
    assert len(stage.airflows) == (512 if marks == "?" * 9 else 256)
    said = "too much is open to check every case: SW1-1, SW1-2, SW1-3, SW1-4 and 5 more; read, hold or give one of them"
    assert check.why == (said if state == "not_judged" else "")


def test_decode_and_the_page_say_it(tmp_path: Path) -> None:
    file = tmp_path / "weights.yaml"
    file.write_text(weights("450 to 600"), encoding="utf-8")
    answer = said_here("decode", str(file), "SW1=?????????")
    assert answer is not None
    assert "window of cooling: too much is open to check every case: SW1-1" in answer.text
    table = table_of("450 to 600")
    boards = [Question(model=None, values={}, setting=(None,) * 9)]
    with chromium() as browser:
        assert differences(table, boards, asked(browser, tmp_path, table, boards)) == []
