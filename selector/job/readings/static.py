"""Static pressure against the rating plate and the chart, and whether it lets airflow be raised.

Static holds for the call it was measured in; in ducts nobody moves a damper in it follows airflow squared.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air import arithmetic_duct
from selector.air.figure import Figure, Worked, given
from selector.job.file.model import Job
from selector.job.readings.decision_table import Static
from selector.job.readings.reading_faults import shown_amount
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import Call, Setting, figures_of
from selector.units import convert
from selector.value import Struct, replace

LOW_SHARE = Fraction(1, 2)
"""Static under this share of the plate's is called low (our choice, no source)."""


class Pressure(Struct, frozen=True, kw_only=True):
    """External static in one call and stage, in. w.c., with the plate's greatest and how far the chart holds, where
    they are known."""

    measured: Figure
    call: str
    stage: str
    plate: Figure | None = None
    holds: Figure | None = None

    @property
    def above(self) -> tuple[Figure, ...]:
        """What it is above: the plate's, the chart's, both or none."""
        return tuple(end for end in (self.plate, self.holds) if end is not None and self.measured.value > end.value)

    @property
    def word(self) -> Static:
        """Low, usual or high; not known where neither plate nor chart names a greatest static."""
        if self.above:
            return "high"
        end = self.plate or self.holds
        if end is None:
            return "not known"
        return "low" if self.measured.value < LOW_SHARE * end.value else "usual"

    def at(self, now: Figure, then: Figure) -> Worked:
        """The static to expect when the airflow goes from one figure to another in the same ducts."""
        k = arithmetic_duct.duct_k(self.measured, now)
        return arithmetic_duct.duct_static(k, then, name="static_then")


def plate_static(job: Job, engine: Engine) -> Figure | None:
    """The greatest static of the rating plate, from the job, else from the table."""
    typed = job.site.plate_static
    if typed is not None:
        return given(
            "plate_static",
            typed.value,
            typed.unit,
            source=f"rating plate, typed {typed.text}",
            shown=shown_amount(typed),
            typed=typed.text,
        )
    allowed = engine.table.plate("plate static", engine.plate_model())
    if allowed is None or allowed.high is None:
        return None
    line = engine.table.ratings["plate static"].line
    return _inches("plate_static", allowed.high, engine, f"rating plate, line {line} of the table")


def holds_up_to(call: Call, engine: Engine) -> Figure | None:
    """The static up to which the charts of a call hold: the least of theirs and the unit's, what they say they hold
    only under included."""
    charts = engine.charts_of(call)
    held = (engine.table.unit.holds_up_to, *(chart.holds_up_to for chart in charts))
    only = (*engine.table.unit.only, *(one for chart in charts for one in chart.only))
    held += tuple(
        w.high for w in call.windows if w.quantity == "static pressure" and not (w.source or w.model or w.stage)
    )
    found = [end for end in (*held, *(one.high for one in only if one.name == "static pressure")) if end is not None]
    return _inches("holds_up_to", min(found), engine, "the table says the chart holds up to this") if found else None


def prints_static(call: Call, engine: Engine) -> bool:
    """True where a call's airflow is charted against static: only there does static tell an airflow."""
    charts = engine.charts_of(call)
    return any(key.name == "static pressure" for chart in charts for key in (*chart.keys, *chart.heads))


HAIR = Fraction(1, 1000)
"""So close to an end a board is tried on either side of it, in the table's unit of pressure."""


def footnote_ends(call: Call, engine: Engine) -> tuple[Fraction, ...]:
    """Every greatest static that a footnote of a call's charts names, in the table's unit, the least first."""
    notes = (note for chart in engine.charts_of(call) for note in chart.notes)
    ends = {one.high for note in notes for one in note.only if one.name == "static pressure"}
    return tuple(sorted(end for end in ends if end is not None))


def as_set_up_to(call: Call, stage: str, engine: Engine, setting: Setting) -> Figure | None:
    """The static up to which a footnote at the figures that are set holds: below it the board gives an airflow, above
    it none."""
    facts, at = engine.facts, f"{call.name} {stage}"
    for end in footnote_ends(call, engine):
        below, over = (
            Board(Engine(engine.table, replace(facts, static={**facts.static, at: static})), setting).airflow(
                engine.asked(call, stage)
            )
            for static in (end - HAIR, end + HAIR)
        )
        if figures_of(below) and not figures_of(over):
            return _inches("holds_up_to", end, engine, "a footnote at the figure that is set")
    return None


def chart_end(call: Call, stage: str, engine: Engine, setting: Setting | None) -> Figure | None:
    """The static up to which the charts hold, with the footnotes of a setting where it is known."""
    ends = (holds_up_to(call, engine), None if setting is None else as_set_up_to(call, stage, engine, setting))
    return min((end for end in ends if end is not None), key=lambda end: end.value, default=None)


def charted_end(engine: Engine, call: str) -> Figure | None:
    """The last static that the charts of a call print, in. w.c.: beyond it they say nothing."""
    ends = [
        max(key.numbers)
        for chart in engine.charts_of(engine.table.calls[call])
        for key in (*chart.keys, *chart.heads)
        if key.name == "static pressure"
    ]
    return _inches("charted_end", min(ends), engine, "the last static that its chart prints") if ends else None


def _inches(name: str, value: Fraction, engine: Engine, source: str) -> Figure:
    """A static of the table in in. w.c."""
    own = engine.table.units.pressure
    leaf = given(name, value, own, source=source)
    return (
        leaf
        if own == "in. w.c."
        else arithmetic_duct.in_unit(given(f"{name}_printed", value, own, source=source), "in. w.c.", name=name)
    )


def pressure(
    measured: Figure, call: str, stage: str, job: Job, engine: Engine, setting: Setting | None = None
) -> Pressure:
    """A measured static with what it is held against; `setting`: the marks whose footnotes count too."""
    holds = chart_end(engine.table.calls[call], stage, engine, setting)
    return Pressure(measured=measured, call=call, stage=stage, plate=plate_static(job, engine), holds=holds)


def native_static(measured: Figure, engine: Engine) -> Fraction:
    """A static in the table's unit."""
    return convert(measured.value, measured.unit, engine.table.units.pressure)
