"""How a call reads in every answer: its airflow or why it has none, its limits, ramp and delays; and the same as
records."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from selector.amount import MEASURES, RETURN_AIR
from selector.answers.parts import LimitData, check_data
from selector.answers.words.airflow import airflow_text, airflows_text, fire_text, in_units, per_ton_text, rise_text
from selector.answers.words.figure import ShownFigure
from selector.answers.words.limit import Owner, broken_text
from selector.answers.words.listing import listed
from selector.answers.words.note import page_notes
from selector.answers.words.ramp_and_delay import DELAYS, Delay, delay_text, ramp_text
from selector.judge.danger import dangerous
from selector.judge.floors_and_ceilings import ASSUMED
from selector.judge.judgement import Judgement, LimitCheck, StageJudgement
from selector.solve.engine.evaluate import CallAnswer, StageAnswer
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.typed_facts import declared_positions
from selector.table.model.quantities import HEAT_INPUT
from selector.table.model.table import CallValue, No, Ramp, Table
from selector.units import Kind
from selector.value import Published

# -- records


class NoData(Published, frozen=True, kw_only=True):
    """No figure: which of does_not_run, not_usable, outside_chart, unreadable, not_known, why, and the fact or selector
    that would settle it."""

    code: str
    why: str
    needs: str


class StepData(Published, frozen=True, kw_only=True):
    """One step of a call and what came of it; `line` is the row in the table's file, 0 for none."""

    step: str
    name: str
    value: Fraction | None
    result: Fraction | None
    page: str
    line: int


class StageData(Published, frozen=True, kw_only=True):
    """One stage of a call, in the answer's units; heat in Btu/h. `exact` is the airflow as a fraction."""

    call: str
    stage: str
    airflow: Fraction | None
    exact: str | None
    no: NoData | None
    heat: Fraction | None
    rise: Fraction | None
    airflow_per_ton: Fraction | None
    firing_rate: str
    steps: tuple[StepData, ...]
    limits: tuple[LimitData, ...]


class DelayData(Published, frozen=True, kw_only=True):
    """A blower-on or blower-off delay, or the ramp it starts with, of a stage; `no` where the page gives none. `text`
    words it, with the airflow of each step of a ramp."""

    stage: str
    what: str
    seconds: Fraction | None
    ramp: str | None
    no: NoData | None
    text: str


class CallData(Published, frozen=True, kw_only=True):
    """A call with its stages, ramp and delays (seconds)."""

    call: str
    stages: tuple[StageData, ...]
    timing: tuple[DelayData, ...]


class NotCheckedData(Published, frozen=True, kw_only=True):
    """A limit or a stage that can't be checked, and what is missing."""

    call: str
    stage: str
    limit: str
    why: str
    needs: str


def no_data(value: object) -> NoData | None:
    """A no for JSON; None for anything else."""
    return NoData(code=value.kind, why=value.why, needs=value.needs) if isinstance(value, No) else None


def figure_data(value: Fraction | No | None) -> Fraction | None:
    """The figure, None where there is none."""
    return value if isinstance(value, Fraction) else None


def stage_data(table: Table, s: StageAnswer, judged: StageJudgement) -> StageData:
    """One stage for JSON."""
    return StageData(
        call=s.call,
        stage=s.stage,
        airflow=figure_data(judged.outcome),
        exact=str(judged.outcome) if isinstance(judged.outcome, Fraction) else None,
        no=no_data(judged.outcome),
        heat=figure_data(s.heat),
        rise=s.rise,
        airflow_per_ton=s.per_ton,
        firing_rate=s.rate,
        steps=tuple(
            StepData(
                step=t.op,
                name=t.name,
                value=t.value,
                result=figure_data(t.result),
                page=t.page,
                line=t.row.line if t.row is not None else 0,
            )
            for t in s.trail
        ),
        limits=tuple(check_data(table, check) for check in judged.checks),
    )


def call_data(table: Table, answer: CallAnswer, judgement: Judgement, others: Mapping[str, CallAnswer]) -> CallData:
    """One call for JSON, among the others of its board."""
    timing = [
        DelayData(
            stage=stage,
            what="ramp",
            seconds=None,
            ramp=r.name if isinstance(r, Ramp) else None,
            no=no_data(r),
            text=_ramp(table, r, answer.stage(stage), others),
        )
        for stage, r in answer.ramp.items()
    ]
    told: tuple[tuple[Delay, Mapping[str, Fraction | No]], ...] = (("on", answer.on_delay), ("off", answer.off_delay))
    for which, delays in told:
        timing += [
            DelayData(
                stage=stage,
                what=f"{which} delay",
                seconds=figure_data(d),
                ramp=None,
                no=no_data(d),
                text=_delay(table, which, d),
            )
            for stage, d in delays.items()
        ]
    stages = tuple(stage_data(table, s, judgement.stages[s.call, s.stage]) for s in answer.stages)
    return CallData(call=answer.call, stages=stages, timing=tuple(timing))


# -- words


def outcome_text(table: Table, airflow: Fraction | No) -> str:
    """`1,198 cfm`, or the words for why there is none, and what settles it."""
    if isinstance(airflow, No) and airflow.either is not None:
        return f"{airflows_text(table, airflow.either.figures)} ({airflow.why})"
    if isinstance(airflow, No):
        return f"{airflow.words} ({airflow.why}{how_to_give(table, airflow.needs)})"
    return airflow_text(table, airflow)


def stage_cells(table: Table, s: StageAnswer) -> tuple[str, str, str]:
    """Title, airflow, and what goes with it: firing rate, rise, airflow per ton."""
    return (s.title, outcome_text(table, s.airflow), beside_text(table, s))


def beside_text(table: Table, s: StageAnswer) -> str:
    """`354 cfm/ton`, `rise 50.8 F`, `at 60 % fire, rise 48.0 F`; empty where nothing goes with the airflow."""
    said = []
    if s.rate:
        said.append(fire_text(Fraction(s.rate)))
    if s.rise is not None:
        heater = " by the heater alone" if table.calls[s.call].compressor else ""
        said.append(f"{rise_text(table, s.rise)}{heater}")
    if s.per_ton is not None:
        said.append(per_ton_text(table, s.per_ton))
    return ", ".join(said)


KINDS: dict[str, Kind] = {
    "airflow": "airflow",
    "airflow per ton": "airflow per ton",
    "temperature rise": "temperature difference",
    "outlet limit": "temperature",
    "least return": "temperature",
    "static pressure": "pressure",
    HEAT_INPUT: "heat rate",
}
_OWNERS: dict[str, Owner] = {
    "rise on the rating plate": "plate",
    "rating plate": "plate",
    "rise": "plate",
    "outlet": "plate",
    "typed": "job",
    ASSUMED: "assumed",
}
"""Whose limit it is, by its source; any other is the manual's."""


def owner_of(j: JudgedLimit) -> Owner:
    """Whose limit it is."""
    return _OWNERS.get(j.limit.source, "manual")


def judged_text(table: Table, j: JudgedLimit) -> str:
    """`rise 67.8 F, 2.8 F over the plate's 65 F`, with the firing rate where it has one."""
    units, kind = in_units(table), KINDS[j.limit.quantity]
    low, high = (None if end is None else _end(j, units.printed(end, kind)) for end in (j.low, j.high))
    if j.value is None:
        return f"{j.limit.quantity}: {j.why}"
    value = units.printed(j.value, kind) if kind == "pressure" else units.worked(j.value, kind)
    text = broken_text(j.limit.quantity, value, low, high, owner_of(j), at_least=j.at_least)
    return f"{text} {fire_text(Fraction(j.rate))}" if j.rate else text


def _end(j: JudgedLimit, end: ShownFigure) -> ShownFigure:
    """An end as it is printed; one that a chart or another call works out, that nobody typed or that was typed in
    another unit, rounded."""
    worked = j.limit.least is not None or j.limit.most is not None or owner_of(j) == "assumed"
    worked = worked or (1000 * end.value).denominator != 1
    return ShownFigure(value=end.value, kind=end.kind, unit=end.unit) if worked else end


def certain_of(checks: Iterable[tuple[StageJudgement, LimitCheck]]) -> list[tuple[StageJudgement, JudgedLimit]]:
    """Limits as they come out whatever isn't known."""
    return [(s, c.certain) for s, c in checks]


def depends_lines(table: Table, judgement: Judgement) -> list[str]:
    """`may be outside, cooling second: 1,794 cfm, 294 cfm over the manual's 1,500 cfm (depends on SW1-2)`."""
    by_parts: dict[tuple[int, ...], list[tuple[StageJudgement, JudgedLimit]]] = {}
    for s, c in judgement.checks("depends"):
        if c.depends and c.judged[0].ok is False:
            by_parts.setdefault(c.depends, []).append((s, c.judged[0]))
    return [
        f"May be outside, {line} (depends on {listed(table.parts[p].name for p in parts)})"
        for parts, wrong in by_parts.items()
        for line in broken_lines(table, wrong)
    ]


def broken_lines(
    table: Table, wrong: Iterable[tuple[StageAnswer | StageJudgement, JudgedLimit]], *, set_so: bool = False
) -> list[str]:
    """`heating first and second: rise 67.8 F, 2.8 F over the plate's 65 F`; calls with one fate on one line. Of a board
    that is set so, what can hurt is called a danger and comes first."""
    by_text: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for s, j in wrong:
        danger = "DANGER, " if set_so and dangerous(table, j) else ""
        by_text.setdefault((danger, judged_text(table, j)), []).append((s.call, s.stage))
    lines = [(danger, f"{danger}{stages_text(stages)}: {text}") for (danger, text), stages in by_text.items()]
    return [text for danger, text in sorted(lines, key=lambda line: not line[0])]


def no_lines(table: Table, noes: Iterable[tuple[tuple[str, str], Fraction | No]]) -> list[str]:
    """`cooling first and second, fan: not usable (page 23: do not use)`: stages with one fate on one line; those that
    have an airflow are left out."""
    by_text: dict[str, list[tuple[str, str]]] = {}
    for at, no in noes:
        if isinstance(no, No):
            by_text.setdefault(outcome_text(table, no), []).append(at)
    return [f"{stages_text(stages)}: {text}" for text, stages in by_text.items()]


def stages_text(stages: Iterable[tuple[str, str]]) -> str:
    """`heating first and second, fan`."""
    by_call: dict[str, list[str]] = {}
    for call, stage in dict.fromkeys(stages):
        by_call.setdefault(call, []).append(stage)
    return ", ".join(f"{call} {listed(s for s in names if s)}".rstrip() for call, names in by_call.items())


def note_texts(judgement: Judgement) -> list[str]:
    """The notes of unit, calls, charts, rows and selectors that a judgement rests on, each with what it belongs to."""
    return page_notes(judgement.every_note)


def timing_lines(table: Table, answer: CallAnswer, others: Mapping[str, CallAnswer]) -> list[str]:
    """The ramp and delays of a call on a line, with a line for each stage where they differ. What isn't known is left
    out."""
    noes = [s.airflow for s in answer.stages if isinstance(s.airflow, No)]
    if len(noes) == len(answer.stages) and all(no.refused or no.kind == "does_not_run" for no in noes):
        return []
    told: tuple[dict[str, str], ...] = (
        {s: _ramp(table, r, answer.stage(s), others) for s, r in answer.ramp.items() if not _open(r)},
        {s: _delay(table, "on", d) for s, d in answer.on_delay.items() if not _open(d)},
        {s: _delay(table, "off", d) for s, d in answer.off_delay.items() if not _open(d)},
    )
    out: dict[str, list[str]] = {}
    for texts in told:
        alike = len(set(texts.values())) == 1 and len(texts) == len(answer.stages)
        for stage, text in texts.items():
            said = out.setdefault(answer.call if alike else f"{answer.call} {stage}", [])
            said.extend([text] if text not in said else [])
    return [f"{name}: {'; '.join(texts)}" for name, texts in out.items()]


def _open(value: object) -> bool:
    return isinstance(value, No) and value.kind in ("unreadable", "not_known")


def _ramp(table: Table, ramp: Ramp | No, of: StageAnswer, others: Mapping[str, CallAnswer]) -> str:
    if isinstance(ramp, No):
        return f"start {outcome_text(table, ramp)}"

    def airflow(share: Fraction) -> str:
        return f" ({airflow_text(table, of.airflow * share / 100)})" if isinstance(of.airflow, Fraction) else ""

    def of_call(other: CallValue) -> str:
        found = others[other.call].stage(other.stage or table.calls[other.call].last).airflow
        return f" ({outcome_text(table, found)})"

    text = ramp_text(ramp, airflow, of_call)
    return text if text.startswith("starts") else f"starts {text} (ramp {ramp.name})"


def _delay(table: Table, which: Delay, seconds: Fraction | No) -> str:
    if isinstance(seconds, No):
        return f"{DELAYS[which]} {outcome_text(table, seconds)}"
    return delay_text(which, seconds)


START = "start"
OPTIONS = {
    "model": "--model",
    "static pressure": "--static",
    "outdoor tons": "--tons",
    "firing rate": "--firing-rate",
    "supply voltage": "--volts",
}
FROM = {"outdoor tons": "the outdoor unit", "model": "the plate", "static pressure": "your reading"}


def not_checked_lines(table: Table, items: Sequence[tuple[str, str, str, str, str]]) -> list[str]:
    """(call, stage, limit, why, what it needs) as lines, one for each reason; where a fact is missing, what to add."""
    by_why: dict[tuple[str, str], dict[str, list[tuple[str, str]]]] = {}
    for call, stage, limit, why, needs in items:
        by_why.setdefault((why, needs), {}).setdefault(limit, []).append((call, stage))
    out = []
    for (why, needs), limits in by_why.items():
        named = "; ".join(stages_text(stages) + (f", {limit}" if limit else "") for limit, stages in limits.items())
        out.append(f"{named}: {why}{how_to_give(table, needs)}")
    return out


def unchecked(judgement: Judgement) -> list[tuple[str, str, str, str, str]]:
    """The limits that a fact not given leaves unchecked, as `not_checked_lines` takes them."""
    out = [(s.call, s.stage, c.limit.source, c.why, c.needs) for s, c in judgement.checks("not_judged")]
    for s, c in judgement.checks("depends"):
        if not c.depends:
            out.append((s.call, s.stage, c.limit.source, c.why or f"depends on {listed(c.facts)}", c.needs))
    return out


def untimed(answers: Iterable[CallAnswer]) -> list[tuple[str, str, str, str, str]]:
    """The starts and delays that a fact not given leaves open, as `not_checked_lines` takes them."""
    return [
        (answer.call, stage, what, no.why, no.needs)
        for answer in answers
        for what, by_stage in ((START, answer.ramp), (DELAYS["on"], answer.on_delay), (DELAYS["off"], answer.off_delay))
        for stage, no in by_stage.items()
        if isinstance(no, No) and no.kind == "not_known" and no.needs and not _refused(answer.stage(stage))
    ]


def _refused(stage: StageAnswer) -> bool:
    return isinstance(stage.airflow, No) and (stage.airflow.refused or stage.airflow.kind == "does_not_run")


def how_to_give(table: Table, name: str) -> str:
    """`: add --model 060, 080 or 110` for a fact that isn't given, else nothing."""
    told = {"model": table.unit.models, **{f.name: f.values for f in table.facts.values()}, **declared_positions(table)}
    if name not in (*OPTIONS, *told, *MEASURES, RETURN_AIR.key):
        return ""
    words = told.get(name, ())
    choices = listed(words, "or") if words else f".. (from {FROM[name]})" if name in FROM else ".."
    return f": add {OPTIONS[name]} {choices}" if name in OPTIONS else f': add --fact "{name}={choices}"'
