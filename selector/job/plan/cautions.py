"""The cautions of a plan: where the hand is about to move, and what this plan adds to them."""

from __future__ import annotations

from collections.abc import Iterator

from selector.job.board.expected import Expected
from selector.job.board.moisture import shortest_run_on
from selector.job.plan.plan import Plan
from selector.table.model.cautions import CUT, cautions


def care(plan: Plan) -> tuple[str, ...]:
    """Cautions where the hand is about to move, and what this plan adds to them."""
    if plan.best is None or not plan.best.moves:
        return plan.careful
    changed = [a.aim.role for a, b in _changed(plan) if a is not b]
    heat = any(role == "heat" for role in changed) or not plan.now
    cooling = (
        any(role in ("cooling", "dehumidify", "heat pump", "heat pump + auxiliary") for role in changed) or not plan.now
    )
    own = [*plan.careful, *_water(plan)]
    if any(m.to in plan.house.table.parts[m.part].final for m in plan.best.moves):
        own.append(CUT)
    return (*dict.fromkeys(own), *cautions(plan.house.table, heat=heat, cooling=cooling))


def care_short(plan: Plan) -> Iterator[str]:
    """The cautions, the usual ones run together."""
    said = care(plan)
    usual = [one for one in said if one[:1].isupper() and one.endswith(".") and one != CUT]
    yield from (one for one in said if one not in usual)
    if usual:
        yield " ".join(usual)


def _changed(plan: Plan) -> list[tuple[Expected, Expected | None]]:
    """Stages whose airflow the moves change."""
    if plan.best is None:
        return []
    was = {one.title: one for one in plan.now}
    out: list[tuple[Expected, Expected | None]] = []
    for one in plan.best.stages:
        before = was.get(one.title)
        if before is None or before.answer.airflow != one.answer.airflow:
            out.append((one, before))
    return out


def _water(plan: Plan) -> Iterator[str]:
    """In humid climates ramp, constant fan and long run-on put water back."""
    climate = plan.house.job.site.climate
    if climate is None or climate.text != "humid" or plan.best is None:
        return
    cooling = [s for s in plan.best.stages if s.aim.role == "cooling"]
    table = plan.house.table
    run_on = any(s.off_delay and s.off_delay > shortest_run_on(table, table.calls[s.aim.call]) for s in cooling)
    fan = any(s.aim.role == "fan" and s.charted is not None for s in plan.best.stages)
    what = [word for word, true in (("constant fan", fan), ("the blower running on after cooling", run_on)) if true]
    if what:
        yield (
            f"humid climate: {' and '.join(what)} {'put' if len(what) > 1 else 'puts'} water from the coil back into"
            " the air"
        )
