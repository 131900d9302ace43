"""What-ifs beside the plan as typed: what differs alone, house and board alike elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.answers.danger import DangerData, sentence
from selector.answers.danger import data as danger_data
from selector.answers.house.conflict import conflicts_data
from selector.answers.house.records import ChoiceData, ConflictData, TargetData, choice_data, target_data
from selector.answers.house.stages import airflow_of, more_of
from selector.answers.house.targets import target_text
from selector.answers.parts import VERSION
from selector.answers.remarks.remark import remark_text
from selector.answers.words.figure import percent
from selector.answers.words.fold import Block, Rows, folded
from selector.answers.words.head import head
from selector.answers.words.listing import listed
from selector.job.board.expected import Expected
from selector.job.board.solution import OfferedSetting
from selector.job.danger.hazard import Hazard, no_moves
from selector.job.file.report import Report
from selector.job.plan.plan import Plan
from selector.solve.board.marks import marks_of
from selector.value import Published, Struct, data_of

TYPED = "as typed"
HELD_BACK = "none until the danger is put right"


class WhatIf(Struct, frozen=True, kw_only=True):
    """A plan under its label, with the dangers of its house."""

    label: str
    plan: Plan
    dangers: tuple[Hazard, ...] = ()

    @property
    def held_back(self) -> bool:
        """True where no selector may be moved yet."""
        return no_moves(self.dangers)

    @property
    def choice(self) -> OfferedSetting | None:
        """The setting that is offered, else the closest, which is not to be set."""
        found = self.plan.solution
        return None if self.held_back else found.best if found.best is not None else found.nearest

    @property
    def fits(self) -> bool:
        """True where a setting is offered."""
        return not self.held_back and self.plan.solution.best is not None


class WhatIfData(Published, frozen=True, kw_only=True):
    """One plan of several: `label` is what was typed for it. `closest` stands where nothing fits, and is not to be
    set."""

    label: str
    dangers: tuple[DangerData, ...]
    targets: tuple[TargetData, ...]
    best: ChoiceData | None
    closest: ChoiceData | None
    conflicts: tuple[ConflictData, ...]


class WhatIfAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector plan --also: the plan as typed and each what-if. `differs` names the rows that aren't alike in
    all, `same` the stages that are."""

    version: Literal[2]
    table: str
    plans: tuple[WhatIfData, ...]
    differs: tuple[str, ...]
    same: tuple[str, ...]


OFF = "off target in all"


def what_if_report(plans: Sequence[WhatIf], *, columns: int = 80) -> Report:
    """The plans side by side, the first as typed; its dangers are said before. Exit code 1 where one of them offers no
    setting or has a danger."""
    rows, same = _rows(plans)
    return Report(
        lines=tuple(folded(_blocks(plans, rows, same), columns)),
        data=data_of(
            WhatIfAnswer(
                version=VERSION,
                table=plans[0].plan.house.table.name,
                plans=tuple(_data(one) for one in plans),
                differs=tuple(dict.fromkeys(" ".join(row[0].split()) for row in rows)),
                same=same,
            )
        ),
        exit_code=0 if all(one.fits and not one.dangers for one in plans) else 1,
    )


def _blocks(plans: Sequence[WhatIf], rows: Sequence[tuple[str, ...]], same: Sequence[str]) -> Iterator[Block]:
    first = plans[0].plan.house
    yield head(first.table, first.known.facts.model)
    told = {sentence(hazard, first.table) for hazard in plans[0].dangers}
    for one in plans[1:]:
        said = (sentence(hazard, one.plan.house.table) for hazard in one.dangers)
        yield from (f"{one.label}: {text}" for text in said if text not in told)
    if not rows:
        yield "No difference: each gives the same setting, targets and airflows."
    for one in plans[1:]:
        yield from (f"Note, {one.label}: {text}." for text in _told(one) if text not in _told(plans[0]))
    if not rows:
        return
    yield ""
    yield Rows(cells=(("", *(one.label for one in plans)), *rows), banded=True)
    if any(row[0] == OFF for row in rows):
        counted = {at for one in plans for at in one.plan.solution.targets}
        aimed = [aim.title for aim in plans[0].plan.house.aims if (aim.call, aim.stage) in counted]
        yield ""
        yield f"{OFF[:1].upper()}{OFF[1:]}: the distances of {listed(aimed)} from their targets, added."
    missing = [one for one in plans if not one.fits and not one.held_back]
    for one in missing:
        whys = [why.words for why in conflicts_data(one.plan.house, one.plan.solution.conflicts)]
        yield ""
        yield f"{one.label}: nothing fits; the closest is shown, do not set it."
        yield from (f"  {why}" for why in whys)
    if same:
        yield ""
        yield f"The same in all: {listed(same)}."


def _told(one: WhatIf) -> tuple[str, ...]:
    """What is said of the targets of a plan."""
    house = one.plan.house
    said = (remark_text(note, house.table) for aim in house.aims for note in aim.remarks)
    return tuple(dict.fromkeys(said))


# -- what differs


def _rows(plans: Sequence[WhatIf]) -> tuple[list[tuple[str, ...]], tuple[str, ...]]:
    """The rows in which the plans differ, and the stages that are alike in all."""
    rows = [row for row in (_setting(plans), _moves(plans), _off(plans)) if len(set(row[1:])) > 1]
    same: list[str] = []
    titles = dict.fromkeys(stage.title for one in plans for stage in (one.choice.stages if one.choice else ()))
    for title in titles:
        found = [_stage(one, title) for one in plans]
        cells = (
            ("target", tuple(_target(one, stage) for one, stage in zip(plans, found, strict=True))),
            ("expect", tuple(_airflow(one, stage) for one, stage in zip(plans, found, strict=True))),
            ("", tuple(_more(one, stage) for one, stage in zip(plans, found, strict=True))),
        )
        differing = [(name, row) for name, row in cells if len(set(row)) > 1]
        if not differing:
            same.append(title)
            continue
        for n, (name, row) in enumerate(differing):
            rows.append((f"{title if n == 0 else ' ' * len(title)} {name}".rstrip(), *row))
    return rows, tuple(same)


def _stage(one: WhatIf, title: str) -> Expected | None:
    return next((s for s in (one.choice.stages if one.choice else ()) if s.title == title), None)


def _setting(plans: Sequence[WhatIf]) -> tuple[str, ...]:
    """The marks, of the selectors that differ alone."""
    choices = [one.choice for one in plans]
    table = plans[0].plan.house.table
    settings = [c.setting for c in choices if c is not None]
    parts = [
        p
        for selector in table.selectors.values()
        if len({tuple(s[p] for p in selector.parts) for s in settings}) > 1
        for p in selector.parts
    ]
    said = []
    for one, choice in zip(plans, choices, strict=True):
        if choice is None:
            said.append(HELD_BACK if one.held_back else "nothing fits")
        else:
            marks = marks_of(choice.setting, table, parts) if parts else "the same"
            said.append(marks if one.fits else f"nothing fits ({marks})")
    return ("set", *said)


def _moves(plans: Sequence[WhatIf]) -> tuple[str, ...]:
    return ("moves", *(str(one.choice.counted) if one.choice is not None else "" for one in plans))


def _off(plans: Sequence[WhatIf]) -> tuple[str, ...]:
    """How far all targets together are missed, where a setting is offered."""
    said = (percent(one.choice.deviation) if one.fits and one.choice is not None else "" for one in plans)
    return (OFF, *said)


def _target(one: WhatIf, stage: Expected | None) -> str:
    return "" if stage is None else target_text(one.plan.house, stage.aim)


def _airflow(one: WhatIf, stage: Expected | None) -> str:
    return "" if stage is None else airflow_of(one.plan.house, stage)


def _more(one: WhatIf, stage: Expected | None) -> str:
    if stage is None or not isinstance(stage.answer.airflow, Fraction):
        return ""
    return more_of(one.plan.house, stage)


def _data(one: WhatIf) -> WhatIfData:
    house, found = one.plan.house, one.plan.solution
    best = None if one.held_back or found.best is None else choice_data(house, found.best)
    nearest = None if one.held_back or found.nearest is None else choice_data(house, found.nearest)
    return WhatIfData(
        label=one.label,
        dangers=danger_data(one.dangers, house.table),
        targets=tuple(target_data(house, aim) for aim in house.aims),
        best=best,
        closest=nearest,
        conflicts=conflicts_data(house, found.conflicts),
    )
