"""A plan as plain data, ready for JSON. Airflows in the table's unit, rises in its degrees; every figure also under
`why`."""

from __future__ import annotations

from fractions import Fraction

from selector.air.figure import Figure
from selector.job.board.expected import Expected
from selector.job.house.steady import ComingUp
from selector.job.plan.cautions import care
from selector.job.plan.complaint import complaint_data
from selector.job.plan.measuring import to_measure
from selector.job.plan.plan import Plan, PlannedSetting
from selector.job.plan.text import trade
from selector.job.plan.why import plan_figures, why_data
from selector.job.targets.aims import Bound, StageAim
from selector.job.targets.house import House
from selector.solve.board.marks import mark, mark_by_part, marks_of
from selector.table.model.table import No, Table
from selector.units import convert, rise

Data = dict[str, object]


def data_of(plan: Plan, *, why: bool = False) -> Data:
    """The whole answer."""
    house = plan.house
    table = house.table
    out: Data = {
        "table": table.name,
        "model": house.known.facts.model,
        "board_model": house.known.facts.board_model,
        "units": {
            "airflow": table.units.airflow,
            "temperature": table.units.temperature,
            "pressure": table.units.pressure,
        },
        "from": plan.start,
        "before": mark_by_part(plan.baseline, table),
        "first": list(plan.first),
        "complaint": complaint_data(plan),
        "targets": [_target(one, house) for one in house.aims],
        "also_changes": list(plan.also),
        "setting": None if plan.best is None else _choice(plan.best, plan),
        "close": [{**_choice(c, plan), "trade": trade(plan.best, c, house)} for c in plan.close]
        if plan.best is not None
        else [],
        "nearest": None if plan.nearest is None else _choice(plan.nearest, plan),
        "conflicts": [{"words": c.words, "shared": list(c.shared)} for c in plan.conflicts],
        "wishes": list(plan.wishes),
        "taken": list(plan.notes),
        "not_judged": list(plan.not_judged),
        "static": [line for p in plan.pressures for line in p.lines()],
        "fan_power": {w.name: _number(w.value) for w in plan.watts},
        "measure": list(to_measure(plan)),
        "care": list(care(plan)),
    }
    if why:
        out["why"] = why_data(plan_figures(plan))
    return out


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _flow(figure: Figure | None, table: Table) -> float | None:
    return None if figure is None else float(convert(figure.value, "cfm", table.units.airflow))


def _degrees(figure: Figure | None, table: Table) -> float | None:
    return None if figure is None else float(rise(figure.value, "F", table.units.temperature))


def _bound(bound: Bound | None, table: Table) -> Data | None:
    return None if bound is None else {"airflow": _flow(bound.figure, table), "by": bound.words}


def _target(one: StageAim, house: House) -> Data:
    aim, table = one.aim, house.table
    return {
        "call": one.call,
        "stage": one.stage,
        "role": one.role,
        "charted": _flow(aim.charted, table),
        "standard": _flow(aim.standard, table),
        "volume": _flow(aim.volume, table),
        "rise": _degrees(aim.rise_f, table),
        "share": _number(aim.share_percent),
        "counts": aim.counts,
        "words": aim.words or aim.why,
        "low": _bound(one.low, table),
        "high": _bound(one.high, table),
        "heat_btuh": _number(one.heat.value) if one.heat is not None else None,
        "tons": _number(one.tons.value) if one.tons is not None else None,
        "unknown": list(one.unknown),
        "remarks": list(one.remarks),
    }


def _choice(choice: PlannedSetting, plan: Plan) -> Data:
    table = plan.house.table
    return {
        "marks": marks_of(choice.setting, table),
        "positions": mark_by_part(choice.setting, table),
        "deviation": float(choice.deviation),
        "moves": [
            {"part": table.parts[m.part].name, "from": mark(table, m.part, m.was), "to": mark(table, m.part, m.to)}
            for m in choice.moves
        ],
        "stages": [stage_data(s, table) for s in choice.stages],
    }


def stage_data(one: Expected, table: Table) -> Data:
    """What is expected of a stage."""
    answer = one.answer.airflow
    out: Data = {
        "call": one.aim.call,
        "stage": one.aim.stage,
        "airflow": float(answer) if isinstance(answer, Fraction) else None,
    }
    if isinstance(answer, No):
        out["no"] = {"kind": answer.kind, "why": answer.why}
    out["read_as"] = [
        {
            "way": r.way.way,
            "standard": _flow(r.standard, table),
            "actual": _flow(r.actual, table),
            "rise": _degrees(r.rise, table),
            "leaving": None if r.leaving is None else float(convert(r.leaving.value, "F", table.units.temperature)),
            "cfm_per_ton": None if r.per_ton is None else float(r.per_ton.value),
            "split": _degrees(r.split, table),
        }
        for r in one.read_as
    ]
    out["states"] = [
        {
            "share": float(s.share),
            "seconds": _number(s.seconds),
            "cfm_per_ton": float(s.per_ton.value),
            "floor": float(s.floor),
            "below": s.below,
        }
        for s in one.states
    ]
    out["full_airflow_after_s"] = float(one.coming.full_s) if isinstance(one.coming, ComingUp) else None
    out["below_floor_s"] = None if one.below_s is None else float(one.below_s.value)
    out["average"] = _flow(one.average, table)
    out["runs_on_s"] = _number(one.off_delay)
    out["outside"] = [b.words for b in one.broken]
    return out
