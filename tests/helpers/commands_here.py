"""The commands as a person types them for a drawn board, run in this process: the text and the JSON of each."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import Any

import click

from selector.cli.main import cli
from selector.problems import Refused
from tests.helpers.said import DrawnBoard


@dataclass(frozen=True, kw_only=True)
class CommandAnswer:
    """A command's words, its text on one line with single spaces, its JSON, and its text as printed."""

    command: str
    words: tuple[str, ...]
    text: str
    data: Any
    printed: str

    def __repr__(self) -> str:
        return f"{self.command} {' '.join(map(repr, self.words))}"


def said_here(command: str, *words: str) -> CommandAnswer | None:
    """Text and JSON of a command; None where it refuses what was typed."""
    printed = _out(command, *words)
    data = _out(command, *words, "--json")
    if not printed or not data:
        return None
    return CommandAnswer(
        command=command, words=words, text=" ".join(printed.split()), data=json.loads(data), printed=printed
    )


def _out(*words: str) -> str:
    out = io.StringIO()
    try:
        with redirect_stdout(out), redirect_stderr(io.StringIO()):
            cli.main(args=list(words), prog_name="selector", standalone_mode=False)
    except (Refused, click.ClickException):
        return ""
    return out.getvalue()


OPTIONS = {"model": "--model", "static pressure": "--static", "outdoor tons": "--tons"}


def answers_about(board: DrawnBoard, file: str) -> Iterator[CommandAnswer]:
    """decode, find, plan, found, verify, identify and show of a board; `file`: the table's name or path."""
    marks = board.marks.split(" ") if '"' not in board.marks else [board.marks]
    options = []
    for name, text in board.facts.items():
        known = name in OPTIONS and name not in board.table.facts
        options += [OPTIONS[name], text] if known else ["--fact", f"{name}={text}"]
    call = next(iter(board.table.calls))
    pairs = [f"{name}={text}" for name, text in board.job().items() if name not in ("table", "found")]
    pairs.append(f"found={board.marks}")
    warm = [f"{c.name} {c.last}".strip() for c in board.table.calls.values() if c.heats]
    stage = f"{call} {board.table.calls[call].last}".strip()
    reading = f"measured={stage} hood=900 {board.table.units.airflow} minutes=20"
    if warm and "model" in board.facts:
        reading = f"measured={warm[0]} return=70 F supply=150 F minutes=20"
    for answer in (
        said_here("decode", file, *marks, *options),
        said_here("find", file, f"{call}=900", "--found", board.marks, *options),
        said_here("plan", file, *pairs),
        said_here("found", file, *pairs),
        said_here("verify", file, *pairs, reading),
        said_here("identify", file, *pairs, reading, "--tables", file),
        said_here("show", file),
    ):
        if answer is not None:
            yield answer


DRAWN = re.compile(r"\[.\]|\^\^|\(manual|pages? |-- *$|model is not given|Not known: model")
"""Lines of a drawing, and of names that aren't figures: pages, models to choose from."""
AXIS = re.compile(r"(cfm|L/s|m3/h|off pins|none|parked|[A-F]|[\W\d])*")


def figures_of(answer: CommandAnswer) -> Iterator[tuple[str, str]]:
    """Every figure that an answer prints, with its line; drawings and the numbers of steps left out."""
    for line in re.sub(r"(?<=[.:] )\d (?=[A-Z])", "", answer.printed).split("\n"):
        if not DRAWN.search(line) and not AXIS.fullmatch(line):
            yield from ((figure, line) for figure in FIGURE.findall(line))


def numbers_in(data: Any) -> Iterator[float]:
    """Every number in a JSON answer, those in its texts too."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield from numbers_in(name)
            yield from numbers_in(value)
    elif isinstance(data, list):
        yield len(data)
        for value in data:
            yield from numbers_in(value)
    elif isinstance(data, str):
        yield from (float(figure.replace(",", "")) for figure in FIGURE.findall(data))
    elif data is not None and not isinstance(data, bool):
        yield float(data)


def texts_in(data: Any) -> Iterator[str]:
    """Every text in a JSON answer."""
    if isinstance(data, dict):
        for value in data.values():
            yield from texts_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from texts_in(value)
    elif isinstance(data, str):
        yield data


FIGURE = re.compile(r"(?<![\w.,/#])[-+]?\d[\d,]*(?:\.\d+)?(?![\w/]|-\d)")
