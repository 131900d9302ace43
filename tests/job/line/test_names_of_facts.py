"""Which names a fact of a page can't have: held against where the names of a job lead."""

from __future__ import annotations

from selector.job.file import fields
from selector.job.file.grammar import JOB
from selector.job.line.typed_names import SHORT, path_of
from selector.table.model.quantities import JOB_WORDS, RESERVED_WORDS

HANDED_ON = {
    *("altitude", "model", "motor", "tons", "kw", "volts"),
    *("heater", "supply voltage", "humidistat", "nozzle", "pump pressure", "heat per gallon"),
}
"""What a job hands on to the table's fact of that name, or that every page has beside the job."""


def test_a_name_that_a_job_keeps_for_itself_is_no_fact_of_a_page() -> None:
    keys = {*SHORT, *JOB.fields, *(f.key for section in fields.SECTIONS for f in section.fields)}
    assert {key for key in keys if path_of(key)} - HANDED_ON - RESERVED_WORDS == JOB_WORDS - RESERVED_WORDS
