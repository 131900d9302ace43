"""What was measured at one visit, each figure with its band: what a later visit is compared with."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, Worked
from selector.job.danger.measured import METER_PERCENT
from selector.job.file.model import Job
from selector.job.house.at_visit import visit_jobs
from selector.job.readings.reading_faults import PROBES_F
from selector.job.targets.house import House, house_of
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verify import Verified, verified
from selector.table.model.table import No, Setting, Table
from selector.value import Struct

STATIC_PERCENT, STATIC_INWC = Fraction(5), Fraction(2, 100)
"""The band of a static reading: so much of it, and at least so much (common practice, no source)."""
WATTS_PERCENT = Fraction(5)
"""The band of the blower's watts by a clamp or a plug-in meter (common practice, no source)."""
SIDES = ("return static", "supply static")
WHOLE = ("static pressure", "airflow", "watts", "rise", "input")
"""Figures of a whole call; all others are statics of a side or drops of a part."""


class MeasuredFigure(Struct, frozen=True, kw_only=True):
    """One figure of one call: `name` airflow (cfm), rise (F), input (Btu/h), watts (W), the static of the call or a
    side without its sign, or a part of the air's way with its drop (in. w.c.); `band` in the same unit, to each
    side."""

    call: str
    stage: str
    name: str
    value: Fraction
    unit: str
    band: Fraction

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class VisitRecord(Struct, frozen=True, kw_only=True):
    """One visit by itself: its job (see `visit_jobs`), what it is judged by, what was measured. `found`, `left`: the
    marks it began and ended with; `set_for`: the airflow, cfm, that they give each call and stage measured (None: one
    of the noes)."""

    job: Job
    house: House
    found: Setting | None
    left: Setting | None
    verdicts: Verified
    figures: tuple[MeasuredFigure, ...]
    set_for: dict[tuple[str, str], Fraction | None]

    def positions(self, call: str, stage: str) -> tuple[int | None, ...]:
        """Where the parts stand that the airflow of a stage reads; empty where no marks are known."""
        return () if self.left is None else tuple(self.left[part] for part in parts_read(self.house, call, stage))

    @property
    def date(self) -> str:
        """The day, empty where the first visit has none."""
        return self.job.date.text if self.job.date is not None else ""


def visit_records(job: Job, table: Table) -> tuple[VisitRecord, ...]:
    """Every visit of a job, the first included. Raises Refused as `house_of` does."""
    return tuple(_record(one, table) for one in visit_jobs(job, table))


def parts_read(house: House, call: str, stage: str) -> tuple[int, ...]:
    """The parts of the board that the airflow of a stage reads."""
    engine, of = house.engine, house.engine.table.calls[call]
    read = {p for i in engine.airflow(of, stage, engine.asked(of, stage).rate) for r in i.readings for p in r.parts}
    return tuple(sorted(read))


def _record(job: Job, table: Table) -> VisitRecord:
    house = house_of(job, table)
    verdicts = verified(house)
    selected = {
        (one.verdict.state.call, one.verdict.state.stage): None
        if isinstance(one.verdict.selected, No)
        else one.verdict.selected.value
        for one in verdicts.judged
    }
    return VisitRecord(
        job=job,
        house=house,
        found=house.known.found,
        left=house.now,
        verdicts=verdicts,
        figures=tuple(figure for one in verdicts.judged for figure in _figures(one)),
        set_for=selected,
    )


def _figures(one: JudgedState) -> Iterator[MeasuredFigure]:
    """What counts of a state's readings; a figure read twice stands as it was read last."""
    verdict, state = one.verdict, one.verdict.state
    found: dict[str, tuple[Fraction, str, Fraction]] = {}
    if verdict.moved:
        moved = verdict.moved[0]
        found["airflow"] = moved.airflow.value, "cfm", moved.airflow.value * moved.band.value
    for taken in state.taken:
        if taken.rise is not None:
            found["rise"] = taken.rise.value, "F", PROBES_F
        if taken.input is not None:
            found["input"] = taken.input.value, "Btu/h", taken.input.value * METER_PERCENT / 100
        if taken.watts is not None:
            found["watts"] = taken.watts.value, "W", taken.watts.value * WATTS_PERCENT / 100
        if taken.static is not None:
            found["static pressure"] = _static(taken.static.value)
        for key in SIDES:
            if key in taken.reading.values:
                found[key] = _static(abs(taken.reading.values[key].value))
    if one.profile is not None:
        for part in one.profile.parts:
            found[part.name] = part.drop.value, "in. w.c.", _band_of(part.drop)
    for name, (value, unit, band) in found.items():
        yield MeasuredFigure(call=state.call, stage=state.stage, name=name, value=value, unit=unit, band=band)


def _band_of(drop: Figure) -> Fraction:
    """The band of a part's drop: those of the ports it is read between, added."""
    ports = drop.inputs if isinstance(drop, Worked) and len(drop.inputs) > 1 else (drop,)
    return sum((_static(abs(port.value))[2] for port in ports), start=Fraction(0))


def _static(inwc: Fraction) -> tuple[Fraction, str, Fraction]:
    return inwc, "in. w.c.", max(inwc * STATIC_PERCENT / 100, STATIC_INWC)
