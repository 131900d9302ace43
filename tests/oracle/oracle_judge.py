"""How one board stands: for every stage its outcome, and each limit kept, broken by how much, depends or not judged."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from tests.oracle.oracle_evaluate import (
    AIRFLOW,
    DOES_NOT_RUN,
    FACTOR,
    NONE,
    RATE,
    UNREAD,
    Case,
    Facts,
    Outcome,
    Setting,
    cell_read,
    chart_cell,
    completions,
    delivered_heat,
    installed,
    is_heating,
    outcome_of,
    printed_points,
    rating,
    reads,
    rise_from,
    run_stage,
    stand,
    told_by_fact,
    what_matters,
    window_charts,
)
from tests.oracle.oracle_table import PARKED, Call, OracleTable, figure, number, span

KEPT = "kept"
BROKEN = "broken"
DEPENDS = "depends"
NOT_JUDGED = "not_judged"
PER_TON = "airflow per ton"
RISE = "temperature rise"
SUPPLY = "supply temperature"


@dataclass(frozen=True)
class Bound:
    """A limit of the job: call None means every call, stage None every stage; an end None is open."""

    quantity: str
    low: Fraction | None
    high: Fraction | None
    call: str | None = None
    stage: str | None = None
    source: str = "job"


@dataclass(frozen=True)
class Known:
    """What the job adds. Figures in the units of the file.

    tons: of the outdoor unit at full capacity. shares: running capacity of a stage, 0 to 1, before the table's own.
    factor: sensible factor for rises in limits. derate: share of the heat that the lower rise is judged with.
    """

    tons: Fraction | None = None
    shares: Mapping[str, Fraction] = field(default_factory=dict)
    limits: tuple[Bound, ...] = ()
    return_temperature: Fraction | None = None
    factor: Fraction = FACTOR
    derate: Fraction = Fraction(1)


@dataclass(frozen=True)
class Check:
    """One limit on one stage. by: how far beyond, signed (above the high end +, below the low end -), every amount
    possible, smallest first. depends: names. wants: facts without which it isn't judged."""

    quantity: str
    low: Fraction | None
    high: Fraction | None
    source: str
    state: str
    by: tuple[Fraction, ...] = ()
    depends: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()


@dataclass(frozen=True)
class StageVerdict:
    """measures: airflow, temperature rise, airflow per ton where certain. hits: rows read (chart, row, kind)."""

    outcome: Outcome
    checks: tuple[Check, ...]
    measures: Mapping[str, Fraction]
    hits: frozenset[tuple[str, int, str]]
    notes: frozenset[str]


@dataclass(frozen=True)
class Verdict:
    """stages by call; contradictions: (selector, position, fact's position); shared: leads on one tap."""

    stages: Mapping[str, Mapping[str, StageVerdict]]
    contradictions: tuple[tuple[str, str, str], ...]
    shared: tuple[tuple[str, ...], ...]


def tons_of(case: Case, known: Known) -> Fraction | None:
    """Tons of the outdoor unit: the job's, else a declared fact's. What a selector tells the board isn't what stands
    outside."""
    if known.tons is not None:
        return known.tons
    for fact in case.table.facts.values():
        if fact.gives == "tons":
            told = case.told.get(fact.name)
            text = installed(case.table, case.facts, fact.name) or (None if told is None else str(told))
            if text is not None and text != NONE:
                return number(text)
    return None


def share_of(call: Call, stage: str, known: Known) -> Fraction | None:
    """Running capacity as a share of full, or None where it isn't known."""
    if stage in known.shares:
        return known.shares[stage]
    if stage in call.capacity:
        return call.capacity[stage]
    return Fraction(1) if stage == call.stages[-1] else None


def bounds(
    case: Case, call: Call, stage: str, known: Known
) -> list[tuple[str, Fraction | None, Fraction | None, str, tuple[str, ...]]]:
    """Every limit on a stage: quantity, low, high, source, what is missing to know the limit itself."""
    table = case.table
    out: list[tuple[str, Fraction | None, Fraction | None, str, tuple[str, ...]]] = []
    if is_heating(table, call):
        if RISE in table.ratings:
            found = rating(case, RISE, stage)
            if found is None:
                wants = ("model",) if case.plate_model() is None and table.models else ()
                if wants:
                    out.append((RISE, None, None, "plate", wants))
            else:
                low, high = span(found[0], RISE, table.units)
                out.append((RISE, low, high, "plate", ()))
        found = rating(case, "outlet limit", stage)
        if found is not None:
            out.append((SUPPLY, None, figure(found[0], "outlet limit", table.units), "plate", ()))
    for quantity, by_stage in call.windows.items():
        if stage in by_stage:
            out.append((quantity, *by_stage[stage], "window", ()))
    for quantity, by_stage in call.model_windows.get(case.plate_model() or "", {}).items():
        if stage in by_stage:
            out.append((quantity, *by_stage[stage], "window", ()))
    for name in window_charts(table, call.name):
        chart = table.charts[name]
        for quantity in chart.gives:
            read = cell_read(chart_cell(case, chart, call, stage, quantity))
            if isinstance(read, Fraction):
                low_end = read if quantity == "least airflow" else None
                high_end = read if quantity == "most airflow" else None
                out.append((AIRFLOW, low_end, high_end, name, ()))
            elif read not in (NONE, DOES_NOT_RUN):
                out.append((AIRFLOW, None, None, name, (name,)))
    for bound in known.limits:
        if bound.call in (None, call.name) and bound.stage in (None, stage):
            out.append((bound.quantity, bound.low, bound.high, bound.source, ()))
    return out


def points(case: Case, call: Call, stage: str, airflow: Fraction) -> list[tuple[Case, Fraction]]:
    """Where a limit is judged: as given, and with firing rate at every printed rate and every kink of a clamp."""
    out = [(case, airflow)]
    names = reads(case.table, call.name, stage)
    if RATE not in names:
        return out

    def at(rate: Fraction) -> tuple[Case, Fraction] | None:
        moved = Case(case.table, case.facts, case.positions, {**case.told, RATE: rate})
        read = run_stage(moved, call.name, stage)
        return (moved, read) if isinstance(read, Fraction) else None

    rates = printed_points(case.table, names, RATE)
    for _ in range(3):
        kinks: set[Fraction] = set()
        for low, high in itertools.pairwise(rates):
            first, last = at(low), at(high)
            if first is None or last is None or len(first[0].trace) != len(last[0].trace):
                continue
            for a, b in zip(first[0].trace, last[0].trace, strict=True):
                if a * b < 0:
                    kinks.add(low + (high - low) * a / (a - b))
        if kinks <= set(rates):
            break
        rates = sorted({*rates, *kinks})
    out.extend(found for found in map(at, rates) if found is not None)
    return out


def measure(
    case: Case, call: Call, stage: str, airflow: Fraction, quantity: str, known: Known, part: Fraction = Fraction(1)
) -> tuple[Fraction | None, tuple[str, ...]]:
    """A quantity of a stage at its airflow, or what is missing. part: share of the heat taken."""
    if quantity == AIRFLOW:
        return airflow, ()
    if quantity == PER_TON:
        tons, share = tons_of(case, known), share_of(call, stage, known)
        missing = tuple(w for w, v in (("tons", tons), ("stages", share)) if v is None)
        if tons is None or share is None:
            return None, missing
        return airflow / (tons * share), ()
    if quantity in (RISE, SUPPLY) and not is_heating(case.table, call):
        return None, ("heat",)
    if quantity in (RISE, SUPPLY):
        heat = delivered_heat(case, call, stage)
        if not isinstance(heat, Fraction):
            return None, tuple(sorted(case.wants)) or ("heat",)
        if airflow <= 0:
            return None, (AIRFLOW,)
        rise = rise_from(case.table, heat * part, airflow, known.factor)
        if quantity == RISE:
            return rise, ()
        if known.return_temperature is None:
            return None, ("return temperature",)
        return known.return_temperature + rise, ()
    return None, (quantity,)


def beyond(value: Fraction, low: Fraction | None, high: Fraction | None) -> Fraction:
    """How far outside, signed; 0 inside, ends included."""
    if high is not None and value > high:
        return value - high
    if low is not None and value < low:
        return value - low
    return Fraction(0)


def check_case(
    case: Case, call: Call, stage: str, airflow: Fraction, known: Known
) -> dict[tuple[str, Fraction | None, Fraction | None, str], Fraction | tuple[str, ...]]:
    """In one completion: for each limit the worst amount beyond it (0 kept), or what is missing."""
    out: dict[tuple[str, Fraction | None, Fraction | None, str], Fraction | tuple[str, ...]] = {}
    where = points(case, call, stage, airflow)
    for quantity, low, high, source, missing in bounds(case, call, stage, known):
        key = (quantity, low, high, source)
        if missing:
            out[key] = missing
            continue
        worst: Fraction | tuple[str, ...] = Fraction(0)
        for at, flow in where:
            for part, end_low, end_high in ((Fraction(1), None, high), (lower_part(quantity, known), low, None)):
                if end_low is None and end_high is None:
                    continue
                value, wants = measure(at, call, stage, flow, quantity, known, part)
                if value is None:
                    worst = wants
                elif isinstance(worst, Fraction):
                    amount = beyond(value, end_low, end_high)
                    if abs(amount) > abs(worst):
                        worst = amount
        out[key] = worst
    return out


def lower_part(quantity: str, known: Known) -> Fraction:
    return known.derate if quantity == RISE else Fraction(1)


Key = tuple[str, Fraction | None, Fraction | None, str]
Ident = tuple[str, str, bool, bool]


def identified(checks: Mapping[Key, object]) -> dict[Ident, tuple[Key, object]]:
    """The limits of one completion by what they are: the same limit has other ends where a fact that isn't given tells
    them. One that a completion doesn't have is kept there."""
    return {
        (quantity, source, low is None, high is None): ((quantity, low, high, source), amount)
        for (quantity, low, high, source), amount in checks.items()
    }


def judge_stage(
    table: OracleTable, setting: Setting, facts: Facts, known: Known, name: str, stage: str
) -> StageVerdict:
    call = table.calls[name]
    cases = []
    hits: set[tuple[str, int, str]] = set()
    found: list[tuple[Mapping[str, str | Fraction], dict[Ident, tuple[Key, object]]]] = []
    for filled, case in completions(table, setting, facts, name, stage):
        read = run_stage(case, name, stage)
        hits.update(case.hits)
        cases.append((filled, read))
        if isinstance(read, Fraction):
            found.append((filled, identified(check_case(case, call, stage, read, known))))
    outcome = outcome_of(table, setting, facts, cases)
    checks = tuple(
        total(
            next(here[ident][0] for _, here in found if ident in here),
            [(filled, here[ident][1] if ident in here else Fraction(0)) for filled, here in found],
        )
        for ident in dict.fromkeys(i for _, here in found for i in here)
    )
    measures: dict[str, Fraction] = {}
    if outcome.airflow is not None:
        for quantity in (AIRFLOW, RISE, PER_TON):
            if quantity == RISE and not is_heating(table, call):
                continue
            values = {
                measure(case, call, stage, outcome.airflow, quantity, known)[0]
                for _, case in completions(table, setting, facts, name, stage)
            }
            value = values.pop()
            if not values and value is not None:
                measures[quantity] = value
    notes = {table.charts[c].rows[i].note for c, i, _ in hits} | {table.charts[c].note for c, _, _ in hits}
    notes.add(call.note)
    return StageVerdict(outcome, checks, measures, frozenset(hits), frozenset(notes - {""}))


def total(
    key: tuple[str, Fraction | None, Fraction | None, str],
    amounts: Sequence[tuple[Mapping[str, str | Fraction], object]],
) -> Check:
    """One limit over all completions in which the stage has an airflow."""
    results = [amount for _, amount in amounts]
    wants = sorted({w for r in results if isinstance(r, tuple) for w in r})
    figures = sorted({r for r in results if isinstance(r, Fraction)})
    if not figures:
        return Check(*key, NOT_JUDGED, wants=tuple(wants))
    states = {"?" if isinstance(r, tuple) else r != 0 for r in results}
    by = tuple(f for f in figures if f != 0)
    if states == {False}:
        return Check(*key, KEPT)
    if states == {True}:
        return Check(*key, BROKEN, by)
    judged = [(filled, r if isinstance(r, tuple) else r != 0) for filled, r in amounts]
    return Check(*key, DEPENDS, by, what_matters(judged), tuple(wants))


def judge(table: OracleTable, setting: Setting, facts: Facts, known: Known | None = None) -> Verdict:
    """How every stage, every limit and the board stand. Limits are listed for stages that have an airflow."""
    known = known or Known()
    stages = {
        name: {stage: judge_stage(table, setting, facts, known, name, stage) for stage in call.stages}
        for name, call in table.calls.items()
    }
    contradictions = []
    for knob in table.knobs.values():
        position = stand(table, setting, facts, knob.name)
        told = told_by_fact(table, facts, knob)
        if told is not None and position not in (None, UNREAD, told):
            contradictions.append((knob.name, str(position), told))
    return Verdict(stages, tuple(contradictions), shared_taps(table, setting, facts))


def shared_taps(table: OracleTable, setting: Setting, facts: Facts) -> tuple[tuple[str, ...], ...]:
    out: list[tuple[str, ...]] = []
    for bank in table.leads:
        by_tap: dict[str, list[str]] = {}
        for name in table.knobs_of(bank):
            position = stand(table, setting, facts, name)
            if position not in (None, UNREAD, PARKED):
                by_tap.setdefault(str(position), []).append(name)
        out.extend(tuple(names) for names in by_tap.values() if len(names) > 1)
    return tuple(out)
