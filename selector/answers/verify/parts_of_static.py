"""Static part by part, and the static to expect, as data."""

from __future__ import annotations

from selector.air.figure import Figure, text
from selector.answers.remarks.remark import remark_data
from selector.answers.verify.record import FigureData, PartData, ProfileData, StaticThenData
from selector.answers.words.arithmetic import in_table_units
from selector.job.readings.pressure_profile import Profile
from selector.job.readings.static_then import StaticThen
from selector.job.targets.house import House


def profile_data(one: Profile | None, house: House) -> ProfileData | None:
    """The record."""
    if one is None:
        return None
    first = one.first
    return ProfileData(
        parts=tuple(
            PartData(
                name=part.name,
                drop=part.drop.value,
                budget=None if part.budget is None else part.budget.value,
                by="" if part.budget is None else part.by,
                share=None if part.share is None else part.share.value,
                over=part.over,
            )
            for part in one.parts
        ),
        counted=one.external.where,
        why_not=None if one.external.why is None else remark_data(one.external.why, house.table),
        first="" if first is None else first.name,
        face_fpm=None if one.face is None else one.face.value,
        face_limit_fpm=None if one.face_limit is None else one.face_limit.value,
    )


def then_data(one: StaticThen | None, house: House) -> StaticThenData | None:
    """The record."""
    if one is None:
        return None

    def figure(of: Figure) -> FigureData:
        return FigureData(value=of.value, unit=of.unit, text=text(in_table_units(of, house.table)))

    return StaticThenData(
        call=one.call,
        stage=one.stage,
        measured=figure(one.measured),
        low=figure(one.low),
        high=figure(one.high),
        maximum=None if one.most is None else figure(one.most),
        over=one.over,
    )
