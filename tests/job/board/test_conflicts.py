"""What stands against every setting, worked by hand on the Corvane page (model 080, 76,000 Btu/h)."""

from __future__ import annotations

from fractions import Fraction

from selector.job.board.conflicts import Conflict
from selector.job.board.solution import solution
from selector.job.file.read import job_from_text
from selector.job.targets.house import house_of
from selector.table.model.range import Range

HEAD = "format: selector job 1\ntable: corvane-k14\nmodel: 080\nas found: {SW1: 10011000}\n"


def conflict(text: str) -> Conflict:
    found = solution(house_of(job_from_text(HEAD + text)[0]))
    assert found.best is None
    (only,) = found.conflicts
    return only


def named(found: Conflict) -> list[str]:
    return [f"{o.what} {o.name} {o.stage}".strip() for o in found.obstacles]


def test_a_trim_that_cannot_serve_both_is_named_with_both_ranges() -> None:
    # heating 1,340 to 1,360 needs 1,350 untrimmed; cooling 1,250 to 1,300 needs 1,297.2 = 1,380 - 6 % (or 1,130 + 15 %,
    # which there isn't): the trim of SW1-5 and 6 can't be none and -6 % at once
    found = conflict("windows: {cooling second: 1250 to 1300 cfm, heating second: 1340 to 1360 cfm}\n")
    assert named(found) == ["stage cooling second", "stage heating second"]
    assert [o.range for o in found.obstacles] == [
        Range(Fraction(1250), Fraction(1300)),
        Range(Fraction(1340), Fraction(1360)),
    ]
    assert found.shared == ("SW1-5", "SW1-6")
    assert all(o.nearest is None for o in found.obstacles)


def test_a_range_that_the_plates_rise_leaves_no_airflow_in_is_empty() -> None:
    # under 76,000 / (1.08 x 65) = 1,082.6 cfm the rise is above 65 F, so 1,000 to 1,050 can't be had
    found = conflict("windows: {heating second: 1000 to 1050 cfm}\n")
    assert found.empty is not None
    assert found.empty.title == "heating second"


def test_a_range_no_row_reaches_tells_the_nearest() -> None:
    # the highest cooling of the 080 is 1,520 + 6 % = 1,611.2
    found = conflict("windows: {cooling second: 2290 to 2300 cfm}\n")
    (only,) = found.obstacles
    assert named(found) == ["stage cooling second"]
    assert only.nearest == Fraction("1611.2")


def test_a_held_position_is_named_where_it_is_to_blame() -> None:
    # with SW1-4 ON the rows are 1,130 and 1,520 (or do not use): 1,520 - 12 % = 1,337.6 and 1,130 + 6 % = 1,197.8 are
    # nearest; SW1-4 OFF has 1,380 - 6 % = 1,297.2
    found = conflict("windows: {cooling second: 1290 to 1300 cfm}\nhold: {SW1-4: ON}\n")
    assert "held" in [o.what for o in found.obstacles]
    free = solution(house_of(job_from_text(HEAD + "windows: {cooling second: 1290 to 1300 cfm}\n")[0]))
    assert free.best is not None
