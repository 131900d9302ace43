"""A sheet for a person with nothing said of the format it ends up in: steps that are numbered, or sections to read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from selector.answers.danger import DangerData
from selector.draw.plots.strip import Strips
from selector.job.targets.house import House
from selector.table.model.picture import Picture
from selector.value import Published, Struct

Reader = Literal["helper", "owner"]


class Run(Struct, frozen=True):
    """Words in one weight."""

    text: str
    bold: bool = False


class Bold(str):
    """Words that are set bold."""

    __slots__ = ()


def say(*parts: str) -> tuple[Run, ...]:
    """The parts in one line, those that are `Bold` in bold."""
    return tuple(Run(str(part), isinstance(part, Bold)) for part in parts if part)


def plain_text(runs: Iterable[Run]) -> str:
    """The words alone."""
    return "".join(run.text for run in runs)


class BlankLine(Struct, frozen=True, kw_only=True):
    """Something to read and write down, with its unit."""

    name: str
    unit: str


class SheetStep(Struct, frozen=True, kw_only=True):
    """One act: what to do, small lines under it, blanks to fill in, a selector as it has to stand, the plate's
    range with what is expected in it.

    `stop`: when to stop and call, a sentence each.
    """

    do: tuple[Run, ...]
    more: tuple[str, ...] = ()
    stop: tuple[str, ...] = ()
    blanks: tuple[BlankLine, ...] = ()
    pictures: tuple[Picture, ...] = ()
    bars: Strips | None = None


class SheetSection(Struct, frozen=True, kw_only=True):
    """Sentences under a heading, or rows under heads; `boxes`: each is to be ticked off; `strips`: before and after."""

    title: str
    lines: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    boxes: bool = False
    strips: Strips | None = None


class PersonSheet(Struct, frozen=True, kw_only=True):
    """A page for one reader. `first`: what comes before everything, in reverse; `signed`: names with a line to write
    on, or what is known."""

    reader: Reader
    title: str
    unit: str
    place: str
    first: tuple[str, ...]
    steps: tuple[SheetStep, ...] = ()
    sections: tuple[SheetSection, ...] = ()
    foot: tuple[str, ...] = ()
    signed: tuple[tuple[str, str], ...] = ()
    dangers: tuple[DangerData, ...] = ()


def unit_text(house: House) -> str:
    """`Corvane two-stage gas furnace, model 080`."""
    model = house.known.facts.model
    return house.table.unit.named + (f", model {model}" if model else "")


# -- as data


class BlankData(Published, frozen=True, kw_only=True):
    """Something to read and write down."""

    name: str
    unit: str


class PlateData(Published, frozen=True, kw_only=True):
    """The plate's range of a rise and what is expected in it."""

    low: float
    high: float
    expected: float | None
    unit: str


class SheetStepData(Published, frozen=True, kw_only=True):
    """One numbered act; `stop` says when to stop and call."""

    number: int
    do: str
    more: tuple[str, ...]
    stop: tuple[str, ...]
    blanks: tuple[BlankData, ...]
    selectors: tuple[str, ...]
    plate: PlateData | None


class SectionData(Published, frozen=True, kw_only=True):
    """Sentences under a heading, or rows under heads."""

    title: str
    lines: tuple[str, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class SheetAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector sheet: a page for the one who helps (`steps`) or for the owner (`sections`). `first` comes
    before everything else."""

    version: Literal[2]
    reader: Reader
    title: str
    unit: str
    place: str
    dangers: tuple[DangerData, ...]
    first: tuple[str, ...]
    steps: tuple[SheetStepData, ...]
    sections: tuple[SectionData, ...]
    foot: tuple[str, ...]


def sheet_answer(sheet: PersonSheet) -> SheetAnswer:
    """The published record."""
    return SheetAnswer(
        version=2,
        reader=sheet.reader,
        title=sheet.title,
        unit=sheet.unit,
        place=sheet.place,
        dangers=sheet.dangers,
        first=sheet.first,
        steps=tuple(_step(n, one) for n, one in enumerate(sheet.steps)),
        sections=tuple(
            SectionData(title=one.title, lines=one.lines, heads=one.heads, rows=one.rows) for one in sheet.sections
        ),
        foot=sheet.foot,
    )


def _step(number: int, one: SheetStep) -> SheetStepData:
    bar = one.bars.bars[0] if one.bars is not None else None
    return SheetStepData(
        number=number,
        do=plain_text(one.do),
        more=one.more,
        stop=one.stop,
        blanks=tuple(BlankData(name=blank.name, unit=blank.unit) for blank in one.blanks),
        selectors=tuple(picture.name for picture in one.pictures),
        plate=None
        if bar is None or one.bars is None
        else PlateData(low=bar.plate[0], high=bar.plate[1], expected=bar.now, unit=one.bars.unit),
    )
