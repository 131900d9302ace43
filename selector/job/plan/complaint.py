"""What a plan does about the complaint of a job: the aims it moved and by how much, what it left and why, what to
look at before the board."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.job.house.metric import in_table_words
from selector.job.house.shown_units import airflow, difference
from selector.job.plan.plan import Plan
from selector.job.targets.aims import Aim
from selector.job.targets.complaint_aims import ways
from selector.job.targets.complaint_rows import FORBIDDEN, forbidding, looks
from selector.units import convert

Data = dict[str, object]


def complaint_lines(plan: Plan) -> Iterator[str]:
    """The lines under its heading; none where there is no complaint."""
    ease = plan.house.eased
    if ease.row is None:
        return
    yield from _moved(plan)
    yield from ease.stays
    yield from _other_way(plan)
    high = next((p for p in plan.pressures if p.above), None)
    if high is not None and "up" in ease.moved.values():
        yield f"but {high.against_raising()}"
    if not ease.row.moves and not ease.row.other:
        yield "no setting helps: none is moved for it"
    yield from (f"look first: {words}" for words in looks(ease.row, plan.house.job, plan.house.table))
    yield from (
        f"held against it: {FORBIDDEN[name]}" for name in forbidding(ease.row, plan.house.job, plan.house.table)
    )


def _moved(plan: Plan) -> Iterator[str]:
    """Each aim that counts and moved, with what it would have been; where none of a call's did, that and why."""
    house = plan.house
    said: set[str] = set()
    for now, before in zip(house.aims, house.without, strict=True):
        shown, was = _aim(now.aim, plan), _aim(before.aim, plan)
        if now.aim.counts and shown != was:
            said.add(now.role)
            yield f"{now.title} aims at {shown} instead of {was}"
    for one in house.aims:
        way = house.eased.moved.get(one.role)
        if way is not None and one.role not in said and one.stage == house.table.calls[one.call].last:
            yield f"{one.title} may go {way}, but no aim of it moved" + (f": {one.aim.why}" if one.aim.why else "")


def _other_way(plan: Plan) -> Iterator[str]:
    """Each call that the setting moves against the complaint, from the board as it stands: never in silence."""
    row = plan.house.eased.row
    if row is None or plan.best is None:
        return
    wanted = dict(ways(row))
    if "heat" in wanted or "heat pump" in wanted:
        wanted["heat pump + auxiliary"] = wanted.get("heat pump", wanted.get("heat", "down"))
    now = {one.title: one.answer.airflow for one in plan.now}
    for one in plan.best.stages:
        way, before, after = wanted.get(one.aim.role), now.get(one.title), one.answer.airflow
        if way is None or not isinstance(before, Fraction) or not isinstance(after, Fraction) or before == after:
            continue
        if (after > before) != (way == "up"):
            unit, table = plan.house.table.units.airflow, plan.house.table
            said = f"{airflow(convert(before, unit, 'cfm'), table)} to {airflow(convert(after, unit, 'cfm'), table)}"
            more = (
                "more air, though the complaint asks for less"
                if way == "down"
                else "less air, though the complaint asks for more"
            )
            yield (
                f"not followed: {one.title} goes from {said}, {more}: its aim and windows, and those of what shares its"
                " marks, come first"
            )


def _aim(aim: Aim, plan: Plan) -> str:
    table = plan.house.table
    rise = f"rise {difference(aim.rise_f.value, table)}" if aim.rise_f is not None else ""
    if aim.charted is None:
        return rise or "nothing"
    return airflow(aim.charted.value, table) + (f" ({rise})" if rise else f" ({in_table_words(aim.words, table)})")


def complaint_data(plan: Plan) -> Data | None:
    """The same as data."""
    ease, house = plan.house.eased, plan.house
    if ease.row is None:
        return None
    return {
        "complaint": ease.row.name,
        "moved": [{"role": role, "way": way} for role, way in ease.moved.items()],
        "aims": list(_moved(plan)),
        "stays": list(ease.stays),
        "look_first": list(looks(ease.row, house.job, house.table)),
        "forbidden_by": [FORBIDDEN[name] for name in forbidding(ease.row, house.job, house.table)],
    }
