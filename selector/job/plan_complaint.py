"""What a plan does about the complaint of a job: the aims it moved and by how much, what it left and why, what to look at before the board."""

from __future__ import annotations

from collections.abc import Iterator

from selector.job.aims import Aim
from selector.job.complaint_rows import FORBIDDEN, forbidding, looks
from selector.job.plan import Plan
from selector.job.shown_units import airflow, difference

Data = dict[str, object]


def complaint_lines(plan: Plan) -> Iterator[str]:
    """The lines under its heading; none where there is no complaint."""
    ease = plan.house.eased
    if ease.row is None:
        return
    yield from _moved(plan)
    yield from ease.stays
    high = next((p for p in plan.pressures if p.above), None)
    if high is not None and "up" in ease.moved.values():
        yield f"but {high.against_raising()}"
    if not ease.row.moves and not ease.row.other:
        yield "no setting helps: none is moved for it"
    yield from (f"look first: {words}" for words in looks(ease.row, plan.house.job, plan.house.roles.values()))
    yield from (f"held against it: {FORBIDDEN[name]}" for name in forbidding(ease.row, plan.house.roles.values()))


def _moved(plan: Plan) -> Iterator[str]:
    """Each aim that counts and moved, with what it would have been."""
    house = plan.house
    for now, before in zip(house.aims, house.without, strict=True):
        shown, was = _aim(now.aim, plan), _aim(before.aim, plan)
        if now.aim.counts and shown != was:
            yield f"{now.title} aims at {shown} instead of {was}"


def _aim(aim: Aim, plan: Plan) -> str:
    table = plan.house.table
    rise = f"rise {difference(aim.rise_f.value, table)}" if aim.rise_f is not None else ""
    if aim.charted is None:
        return rise or "nothing"
    return airflow(aim.charted.value, table) + (f" ({rise})" if rise else f" ({aim.words})")


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
        "look_first": list(looks(ease.row, house.job, house.roles.values())),
        "forbidden_by": [FORBIDDEN[name] for name in forbidding(ease.row, house.roles.values())],
    }
