"""Marks cut into pieces are read as they are read whole, right and wrong ones."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from selector.problems import Refused
from selector.solve.board.marks import marks_of, read_marks, setting_of, unread_in
from selector.survey.board.marks_reader import Marks, MarksReader
from selector.table.library.library import load
from selector.table.model.table import Table

TABLES = sorted(p.stem for p in (Path(__file__).parents[3] / "tables").glob("*.yaml"))


def plainly(text: str, table: Table) -> Marks | str:
    """What `read_marks` says, or its first complaint."""
    try:
        read = read_marks([text], table)
    except Refused as refused:
        return refused.problems[0].message
    return setting_of(read, table), unread_in(read)


def by_pieces(text: str, reader: MarksReader) -> Marks | str:
    """The same by the reader."""
    try:
        return reader.read(text)
    except Refused as refused:
        return refused.problems[0].message


@pytest.mark.parametrize("name", TABLES)
def test_by_pieces_as_whole(name: str) -> None:
    """Settings as they are printed, spoilt in the ways of people."""
    table, _ = load(name)
    random, reader = Random(name), MarksReader(table)
    for _ in range(30):
        setting = tuple(None if random.random() < 0.05 else random.randrange(len(p.positions)) for p in table.parts)
        text = marks_of(setting, table)
        for typed in (
            text,
            text.lower(),
            text.replace(" ", ", "),
            text.replace('"', ""),
            f"{text} {text}",
            text.replace("=", " = "),
            text[:-1],
            text.replace("1", "?", 1),
            f" {text}  ",
            f"{text} X9=1",
            f'"x" {text}',
        ):
            assert by_pieces(typed, reader) == plainly(typed, table), typed


@pytest.mark.parametrize("text", ["J2=off pins J1=1", "SW1=10101010", "SW1=1010", "SW1=unread", "nothing", "=", "SW1="])
def test_odd_ones(text: str) -> None:
    table, _ = load("corvane-k14")
    assert by_pieces(text, MarksReader(table)) == plainly(text, table)
