"""What stands in a table beside its charts, read aloud: the rating plate, how the blower comes up, and each call
with its shares and limits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from selector.table.model.formula import condition_text, formula, ramp_words
from selector.table.model.table import Condition, Ramp, Table
from selector.transcribe.compare.calls import belongs
from selector.transcribe.compare.read_back import SpokenRow
from selector.transcribe.compare.spoken_words import figure_in_words, mark_in_words, value_in_words

_NUMBER = re.compile(r"(?<![\w.-])([+-]?(?:\d+(?:\.\d+)?|\.\d+))( %)?(:?)(?![\w.])")


def spoken_rest(table: Table) -> Iterator[SpokenRow]:
    """Each rating, ramp and call as a row to be read aloud, under the headings rating plate, holds only with,
    ramps and calls."""
    yield from _numbered(
        "rating plate", [(r.line, f"{name}: {_rating(table, r.line)}") for name, r in table.ratings.items()]
    )
    held = [("every chart", table.unit.only, 0), *((c.name, c.only, c.line) for c in table.charts.values())]
    yield from _numbered(
        "holds only with",
        [(line, f"{name}: {', '.join(_condition(table, c) for c in only)}") for name, only, line in held if only],
    )
    yield from _numbered(
        "ramps",
        [
            (next(r.line for r in table.ramps.values() if name in (r.of, r.name)), f"{name}: {text}")
            for name, text in table.typed_ramps(ramp_in_words).items()
        ],
    )
    yield from _numbered("calls", [(c.line, _call(table, name)) for name, c in table.calls.items()])


def _condition(table: Table, condition: Condition) -> str:
    name, _, values = condition_text(table, condition, between="\n").partition("\n")
    return f"{name} {in_words(values)}"


def _numbered(heading: str, rows: Sequence[tuple[int, str]]) -> Iterator[SpokenRow]:
    for number, (line, text) in enumerate(rows, start=1):
        yield SpokenRow(chart=heading, line=line, number=number, count=len(rows), text=text)


def ramp_in_words(ramp: Ramp) -> str:
    """`sixty seconds at forty-five percent, then one hundred percent, after the call ninety seconds at forty
    percent`."""
    return ", ".join(
        ramp_words(ramp, lambda s: f"{value_in_words(s)} seconds", lambda share: f"{value_in_words(share)} percent")
    )


def in_words(text: str) -> str:
    """The figures of a text in words, models and switches before a colon digit by digit.

    >>> in_words("060: 42000, at least 400 cfm, x 66 %")
    'zero six zero: forty-two thousand, at least four hundred cfm, times sixty-six percent'
    """
    said = _NUMBER.sub(
        lambda m: mark_in_words(m.group(1)) + ":" if m.group(3) else figure_in_words(m.group(1) + (m.group(2) or "")),
        text,
    )
    return re.sub(r"\bx(?= )", "times", said).replace("(1 +", "(one plus").replace("(1 -", "(one minus")


def _rating(table: Table, line: int) -> str:
    """A rating as it was typed, on its own line or on those below it."""
    first = table.lines[line - 1]
    indent = len(first) - len(first.lstrip())
    texts = [first.partition(":")[2]]
    for below in table.lines[line:]:
        if below.strip() and len(below) - len(below.lstrip()) <= indent:
            break
        texts.append(below)
    return in_words(" ".join(" ".join(texts).translate(str.maketrans("{}", "  ")).split()))


def _call(table: Table, name: str) -> str:
    call = table.calls[name]
    steps = [f"{stage + ' ' if stage else ''}is {formula(table, call, stage)}" for stage in call.stages]
    said = {
        "terminals": ", ".join(" ".join(call.terminals_of(s)) for s in call.terminals),
        **belongs(table, call, {}),
        "conditions": "",
    }
    return in_words(
        "; ".join([f"{name} {steps[0]}", *steps[1:], *(f"{what} {words}" for what, words in said.items() if words)])
    )
