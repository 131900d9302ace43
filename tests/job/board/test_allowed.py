"""What is allowed is what house, plate and page allow together, in every answer that shows it; by hand."""

from __future__ import annotations

from pathlib import Path

from selector.answers.flat.flat_records import to_records
from selector.card.blocks import words_of
from selector.card.from_job import job_card
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.table.library.library import load
from tests.helpers.commands_here import said_here

PAGE = """format: selector table 1
unit: {title: A window narrower than the house's}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  size: {set: D1, gives: airflow, rows: 1 1000; 2 1200; 3 1300}
calls:
  cooling: {terminals: Y1, airflow: size, window: {airflow: 950 to 1250}}
"""


def test_the_window_of_the_page_stands_in_records_and_on_the_card_as_in_the_plan(tmp_path: Path) -> None:
    """3 tons x 300 and x 450 = 900 to 1,350 cfm; the page allows 950 to 1,250, inside it."""
    file = tmp_path / "page.yaml"
    file.write_text(PAGE, encoding="utf-8")
    typed = {"table": str(file), "tons": "3", "found": "D1=1", "left": "D1=2"}
    answer = said_here("plan", str(file), "tons=3", "found=D1=1")
    assert answer is not None
    assert "950 to 1,250" in answer.text
    job, _ = job_from_pairs(typed.items())
    (row,) = to_records(plan(house_of(job, load(str(file))[0])))
    assert (row["low"], row["high"]) == (950, 1250)
    card = job_card(job)
    said = " ".join(text for panel in card.panels for text in words_of(panel))
    assert "allowed 950 to 1,250 cfm" in said
