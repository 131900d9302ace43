"""Notes of the page: what several charts say alike is said once, with the names of all."""

from __future__ import annotations

from selector.answers.words.note import page_notes
from selector.judge.judgement import Note


def test_alike_is_said_once() -> None:
    notes = [
        Note(of="unit", name="page", text="power off"),
        Note(of="row", name="airflow", text="wet coil"),
        Note(of="row", name="fan", text="wet coil"),
        Note(of="row", name="fan", text="dry coil"),
        Note(of="copied row", name="fan", text="K"),
    ]
    assert page_notes(notes) == [
        "power off",
        "airflow and fan: wet coil",
        "fan: dry coil",
        "fan: this row behaves as K; it is never proposed",
    ]
