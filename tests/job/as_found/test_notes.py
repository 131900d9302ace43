"""Notes of the page reach every answer that uses what they belong to (found, plan, verify), and no other."""

from __future__ import annotations

from selector.answers.verify.answer import verify
from tests.helpers.judging import answered, as_found_report

HEAD = "table: drossfield-x\nmodel: 040\noutdoor unit: {capacity: 3 tons}\n"
# page 22: the row SW1-4 OFF, SW1-5 ON has the note on cool air; page 20: `short ducts` has one of its own
NOTED = "as found: {SW1: 10001000}\n"
OTHER = "as found: {SW1: 10000000}\n"
COOL = "heating airflow: cool air at the registers near this setting is normal"


def test_the_note_of_a_row_is_said_where_the_row_is_used() -> None:
    assert f"Note: {COOL}" in answered(as_found_report, HEAD + NOTED).lines
    assert COOL in answered(as_found_report, HEAD + NOTED).data["page_notes"]  # type: ignore[operator]
    assert not any(COOL in line for line in answered(as_found_report, HEAD + OTHER).lines)


def test_a_verdict_has_the_notes_of_its_own_state() -> None:
    reading = "measurements:\n- {call: heating, minutes: 12, method: hood, airflow: 1100 cfm}\n"
    noted = answered(verify, HEAD + NOTED.replace("found", "left") + reading)
    assert any(COOL in " ".join(line.split()) for line in noted.lines)
    other = answered(verify, HEAD + OTHER.replace("found", "left") + reading)
    assert not any(COOL in line for line in other.lines)
