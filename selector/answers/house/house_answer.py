"""What plan and found publish alike of a house: its targets, limits, notes, and what stands before and beside them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from selector.answers.call import NotCheckedData
from selector.answers.danger import DangerData
from selector.answers.house.assumed import AssumedData, assumed, not_checked
from selector.answers.house.conflict import conflicts_data
from selector.answers.house.notes import WouldFitData, coil_lines, fits_data, page_notes, part_lines, static_lines
from selector.answers.house.records import (
    ChoiceData,
    ConflictData,
    TargetData,
    WaterData,
    WhyChains,
    WishData,
    choice_data,
    target_data,
    wishes,
)
from selector.answers.house.setting import cautions_of
from selector.answers.parts import VERSION, ContradictionData, UnitsData, contradictions_data, units_data
from selector.answers.remarks.remark import RemarkData, remark_data
from selector.job.board.expected import Expected
from selector.job.board.moisture import WaterPutBack
from selector.job.board.solution import OfferedSetting, Solution
from selector.job.board.would_fit import WouldFit
from selector.value import Published, asdict


class HouseAnswer(Published, frozen=True, kw_only=True):
    """Airflows are in `units.airflow`, rises in its degrees, heat in Btu/h. `first`: what comes before the verdict."""

    version: Literal[2]
    dangers: tuple[DangerData, ...]
    why: WhyChains | None = None
    table: str
    model: str | None
    board_model: str | None
    units: UnitsData
    first: tuple[str, ...]
    contradictions: tuple[ContradictionData, ...]
    complaint: tuple[str, ...]
    targets: tuple[TargetData, ...]
    closest: ChoiceData | None
    conflicts: tuple[ConflictData, ...]
    would_fit: tuple[WouldFitData, ...]
    wishes: tuple[WishData, ...]
    assumed: tuple[AssumedData, ...]
    not_checked: tuple[NotCheckedData, ...]
    static: tuple[str, ...]
    coil: tuple[str, ...]
    page_notes: tuple[str, ...]
    water: WaterData | None
    notes: tuple[RemarkData, ...]
    cautions: tuple[str, ...]


def house_answer(
    found: Solution,
    *,
    first: Sequence[str],
    checked: Sequence[Expected],
    shown: Sequence[Expected],
    closest: OfferedSetting | None,
    offered: OfferedSetting | None,
    water: WaterPutBack | None,
    fits: Sequence[WouldFit],
) -> dict[str, Any]:
    """The fields of a `HouseAnswer`. `checked`: the stages whose limits are spoken of; `shown`: those whose notes;
    `offered`: the setting that the hand is sent to, None where nothing moves."""
    house = found.house
    whole = HouseAnswer(
        version=VERSION,
        dangers=(),
        table=house.table.name,
        model=house.known.facts.model,
        board_model=house.known.facts.board_model,
        units=units_data(house.table),
        first=tuple(first),
        contradictions=contradictions_data(found.contradictions),
        complaint=() if house.eased.row is None else house.eased.row.names,
        targets=tuple(target_data(house, one) for one in house.aims),
        closest=None if closest is None else choice_data(house, closest),
        conflicts=conflicts_data(house, found.conflicts),
        would_fit=fits_data(fits),
        wishes=wishes(found),
        assumed=tuple(assumed(house)),
        not_checked=not_checked(house, checked),
        static=(*static_lines(found), *part_lines(found)),
        coil=tuple(coil_lines(found)),
        page_notes=tuple(page_notes(house, shown)),
        water=None
        if water is None
        else WaterData(off_delay_s=water.off_delay_s, ramp_down=water.ramp_down, constant_fan=water.constant_fan),
        notes=tuple(remark_data(note, house.table) for note in house.notes),
        cautions=() if offered is None else cautions_of(house, found.before, offered.moves).lines,
    )
    return asdict(whole)
