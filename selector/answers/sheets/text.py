"""A sheet on the screen: what is printed, in the same order."""

from __future__ import annotations

from collections.abc import Iterator

from selector.answers.sheets.sheet import PersonSheet, SheetStep, plain_text, sheet_answer
from selector.answers.words.fold import Block, Raw, Rows, folded, indented
from selector.draw.parts.text import picture_text
from selector.job.file.report import Report
from selector.value import data_of

BLANK = "______"


def sheet_report(sheet: PersonSheet, *, columns: int = 80) -> Report:
    """The sheet for the screen and for JSON; exit code 1 where a danger is open."""
    return Report(
        lines=tuple(folded(_blocks(sheet, columns), columns)),
        data=data_of(sheet_answer(sheet)),
        exit_code=1 if any(one.level == "DANGER" for one in sheet.dangers) else 0,
    )


def _blocks(sheet: PersonSheet, columns: int) -> Iterator[Block]:
    yield from sheet.first
    yield sheet.title
    yield ", ".join(part for part in (sheet.unit, sheet.place) if part)
    for n, step in enumerate(sheet.steps):
        yield ""
        yield from _step(n, step, columns)
    for section in sheet.sections:
        yield ""
        yield section.title
        sign = "[ ] " if section.boxes else ""
        yield from (f"  {sign}{line}" for line in section.lines)
        if section.rows:
            yield Rows(cells=(section.heads, *section.rows), indent=2, right=frozenset(range(1, len(section.heads))))
    yield ""
    yield from sheet.foot


def _step(number: int, step: SheetStep, columns: int) -> Iterator[Block]:
    yield f"{number}  {plain_text(step.do)}"
    yield from (f"   {line}" for line in (*step.more, *step.stop))
    for picture in step.pictures:
        yield Raw(lines=tuple(indented(picture_text(picture, columns - 3), 3)))
    if step.blanks:
        yield "   " + "   ".join(f"{blank.name} {BLANK} {blank.unit}".rstrip() for blank in step.blanks)
