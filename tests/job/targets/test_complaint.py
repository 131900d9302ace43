"""What a complaint moves in a plan: the figures by hand, the way of each row of the trade's table, and what it must
never do."""

from __future__ import annotations

from typing import Any

import pytest

from selector.answers.house.plan import complaint_lines, plan_report
from selector.answers.remarks.remark import remark_text
from selector.job.file.read import job_from_text
from selector.job.plan.plan import Plan, plan
from selector.job.targets.house import House, house_of

HEAD = "format: selector job 1\n"
FURNACE = (
    f"{HEAD}table: corvane-k14\nmodel: 080\noutdoor unit: {{capacity: 3 tons, stages: 70 %}}\nheat: {{input: 80 MBH}}\n"
)
CLOCKED = FURNACE.replace(
    "input: 80 MBH", "input: 80 MBH, clocked: {volume: 2 ft3, time: 93.33 s, heat of gas: 1037 Btu/ft3}"
)
"""2 x 1,037 x 3,600 / 93.33 = 80,001 Btu/h."""
PUMP = f"{HEAD}table: saltmarsh-12\noutdoor unit: {{capacity: 3 tons}}\nheat: {{kind: heat pump}}\n"


def house(text: str) -> House:
    return house_of(job_from_text(text)[0])


def aims(text: str) -> dict[str, float]:
    """The charted airflow aimed at, cfm, to whole ones."""
    return {one.title: round(float(one.aim.charted.value)) for one in house(text).aims if one.aim.charted is not None}


def lines(text: str) -> str:
    return said_of(plan(house(text)))


def said_of(found: Plan) -> str:
    """What a plan says to the complaint."""
    return " ".join(complaint_lines(found.solution))


def positions(found: Plan) -> Any:
    best: Any = plan_report(found).data["best"]
    return best["setting"]["positions"]


def wished(found: Plan) -> list[str]:
    table = found.house.table
    said = ((remark_text(w.wish, table), w.why) for w in found.solution.granted.outcomes)
    return [f"{wish}: {'set' if why is None else remark_text(why, table)}" for wish, why in said]


@pytest.mark.parametrize(
    ("head", "complaint", "call", "before", "after"),
    [
        # 80,000 x 95 % = 76,000 Btu/h; / (1.08 x 50 F) = 1,407; x 60 F: 1,173; x 40 F: 1,759
        (CLOCKED, "cool air in heat", "heating second", 1407, 1173),
        (FURNACE, "limit trips", "heating second", 1407, 1759),
        # 3 tons x 400, 350, 450 cfm/ton
        (FURNACE, "humid", "cooling second", 1200, 1050),
        (FURNACE, "water carried over", "cooling second", 1200, 1050),
        (FURNACE + "site: {climate: humid}\n", "iced coil", "cooling second", 1050, 1200),
        (FURNACE + "site: {climate: dry}\n", "humid", "cooling second", 1350, 1050),
        (FURNACE, "noise", "cooling second", 1200, 1050),
        (CLOCKED, "noise", "heating second", 1407, 1173),
        (PUMP, "high head in heating", "heat pump", 1200, 1350),
        (PUMP, "noise", "heat pump", 1200, 1050),
        (PUMP, "cool air in heat", "heat pump", 1200, 1050),
        # its own floor of 380 cfm/ton x 3 tons ends the step
        (
            PUMP.replace("kind: heat pump", "kind: heat pump, least per ton: 380 cfm/ton"),
            "cool air in heat",
            "heat pump",
            1200,
            1140,
        ),
    ],
)
def test_the_aim_moves_by_a_step_of_the_trade(head: str, complaint: str, call: str, before: int, after: int) -> None:
    assert aims(head)[call] == before
    assert aims(f"{head}complaint: {complaint}\n")[call] == after
    said = lines(f"{head}complaint: {complaint}\n")
    assert f"{call} target {after:,} cfm" in said.casefold()
    assert f"not {before:,} cfm" in said


def test_the_setting_follows() -> None:
    without, complained = (plan(house(CLOCKED + more)).solution.best for more in ("", "complaint: cool air in heat\n"))
    assert without is not None
    assert complained is not None
    lower, higher = (
        next(s.charted.value for s in best.stages if s.title == "heating second" and s.charted is not None)
        for best in (complained, without)
    )
    assert lower < higher


@pytest.mark.parametrize(
    ("own", "complaint", "call"),
    [
        ("aim: mid rise", "cool air in heat", "heating second"),
        ("aim: 45 F", "limit trips", "heating second"),
        ("aim: {second: 45 F}", "noise", "heating second"),
    ],
)
def test_a_typed_rise_stands_and_what_would_follow_is_said(own: str, complaint: str, call: str) -> None:
    text = FURNACE.replace("input: 80 MBH", f"input: 80 MBH, {own}")
    assert aims(text)[call] == aims(f"{text}complaint: {complaint}\n")[call]
    said = lines(f"{text}complaint: {complaint}\n")
    assert f"your {own.removeprefix('aim: ').strip('{}').replace(':', '')} is kept.".casefold() in said.casefold()


def test_a_higher_rise_is_offered_on_clocked_heat_alone() -> None:
    text = FURNACE.replace("input: 80 MBH", "input: 80 MBH, aim: mid rise") + "complaint: cool air in heat\n"
    assert lines(text).startswith(
        '"Cool air in heat": your mid rise is kept. Clock the input before you ask for a higher rise.'
    )
    assert aims(FURNACE + "complaint: cool air in heat\n") == aims(FURNACE)
    high = FURNACE.replace("input: 80 MBH", "input: 80 MBH, aim: high rise")
    assert aims(high)["heating second"] == 1407
    clocked = CLOCKED.replace("heat: {", "heat: {aim: high rise, ")
    assert aims(clocked)["heating second"] == 1173


MARROWDALE = (
    f"{HEAD}table: marrowdale-t\nmotor: constant airflow\nsite: {{climate: dry, altitude: 1000 ft, return air: 68"
    " F}\noutdoor unit: {capacity: 4 tons, stages: {low: 70 %, high: 100 %}}\nas found: {SW1: OFF OFF ON OFF OFF"
    " OFF OFF OFF, SW2: OFF OFF OFF OFF}\nheat: {kind: heat pump + auxiliary, heater: 10 kW, supply voltage: 240 V,"
    " heater voltage: 240 V}\ncomplaint: cool air in heat\n"
)


def test_a_heat_pump_with_cool_air_is_not_given_more_air() -> None:
    """4 tons x 350 cfm/ton = 1,400, which is what stands there; x 400 would be 1,600, cooler air."""
    assert aims(MARROWDALE)["heat pump high"] == 1400
    found = plan(house(MARROWDALE))
    now = {one.title: one.answer.airflow for one in found.solution.now}
    assert found.solution.best is not None
    after = {one.title: one.answer.airflow for one in found.solution.best.stages}
    assert now["heat pump high"] == 1400
    assert after["heat pump high"] <= 1400  # type: ignore[operator]


@pytest.mark.parametrize("own", ["", ", aim: mid rise"])
def test_nothing_is_said_of_a_plates_rise_where_there_is_none(own: str) -> None:
    said = lines(MARROWDALE.replace("heater: 10 kW", f"heater: 10 kW{own}"))
    assert "plate" not in said
    assert "aim=" not in said


WICKERBY = (
    f"{HEAD}table: wickerby-5\nheat: {{kind: gas, input: 80 MBH, efficiency: 80 %}}\ncomplaint: cool air in heat\n"
)
"""Its page prints no rise."""


def test_an_aim_at_a_rise_that_is_not_known_is_not_said_to_follow() -> None:
    for own in ("mid rise", "high rise"):
        said = lines(WICKERBY.replace("kind: gas", f"kind: gas, aim: {own}"))
        assert f"your {own} is kept." in said
        assert "aim=" not in said


def test_a_metric_table_has_its_own_unit_per_ton() -> None:
    said = lines(
        f"{HEAD}table: pellmere-w\noutdoor unit: {{capacity: 3 tons}}\nheat: {{kind: heat pump}}\ncomplaint: cool air"
        " in heat\n"
    )
    # 3 tons x 350 cfm/ton x 1.699
    assert "heat pump target 1,784 m3/h" in said
    assert "cfm" not in said


def test_a_move_against_the_complaint_is_never_silent() -> None:
    """A target of 1,600 cfm stands: from 1,400 that is more air, and the complaint asks for less."""
    said = lines(MARROWDALE + "targets: {heat pump high: 1600 cfm}\n")
    assert "your own heat pump target is kept" in said
    assert "heat pump high gets more air all the same (1,400 cfm to 1," in said.casefold()


def test_a_heat_pumps_own_floor_at_the_usual_airflow_leaves_no_step() -> None:
    text = (
        PUMP.replace("kind: heat pump", "kind: heat pump, least per ton: 400 cfm/ton") + "complaint: cool air in heat\n"
    )
    assert aims(text)["heat pump"] == 1200
    assert "the heat pump stays at your own minimum (400 cfm/ton)." in lines(text)


@pytest.mark.parametrize(("head", "complaint"), [(FURNACE, "humid"), (PUMP, "high head in heating")])
def test_without_tons_it_is_said_that_no_aim_moves(head: str, complaint: str) -> None:
    said = lines(
        head.replace("capacity: 3 tons, ", "").replace("outdoor unit: {capacity: 3 tons}\n", "")
        + f"complaint: {complaint}\n"
    )
    assert "has no target to move: add tons=.. (from the outdoor unit)." in said


@pytest.mark.parametrize(
    "own",
    ["airflow per ton: usual", "airflow per ton: 380 cfm/ton", "sensible load: 27000 Btu/h, supply difference: 20 F"],
)
def test_a_typed_airflow_per_ton_or_load_stands(own: str) -> None:
    text = FURNACE.replace("stages: 70 %", f"stages: 70 %, {own}")
    assert aims(text)["cooling second"] == aims(f"{text}complaint: humid\n")["cooling second"]
    assert "your own cooling target is kept" in lines(f"{text}complaint: humid\n")


def test_a_typed_target_stands() -> None:
    text = FURNACE + "targets: {cooling: 1300 cfm, heating second: 1400 cfm}\n"
    for complaint in ("humid", "cool air in heat"):
        assert aims(text) == aims(f"{text}complaint: {complaint}\n")


def test_at_the_end_of_the_steps_it_is_said_that_there_is_none() -> None:
    text = FURNACE + "site: {climate: humid}\ncomplaint: humid\n"
    assert aims(text)["cooling second"] == 1050
    assert "cooling is at 350 cfm/ton already." in lines(text)


def test_no_setting_helps_is_said() -> None:
    text = FURNACE + "complaint: no change after setting\n"
    assert aims(text) == aims(FURNACE)
    assert lines(text).endswith("No setting helps.")


COMPLAINTS = (
    "humid",
    "iced coil",
    "limit trips",
    "cool air in heat",
    "noise",
    "high head in heating",
    "water carried over",
    "no change after setting",
)


@pytest.mark.parametrize("head", [FURNACE, PUMP], ids=["furnace", "heat pump"])
@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_no_window_moves_with_an_aim(complaint: str, head: str) -> None:
    moved = house(f"{head}complaint: {complaint}\n")
    for now, before in zip(moved.aims, moved.without, strict=True):
        assert [(b.end, b.figure.value) for b in now.bounds] == [(b.end, b.figure.value) for b in before.bounds]
    choice = plan(moved).solution.best
    assert choice is not None
    assert not any(stage.stands.broken for stage in choice.stages)


def test_a_heat_pumps_air_is_spoken_of_only_where_there_is_one() -> None:
    words = "90 to 100 F from a heat pump is normal."
    assert words not in lines(FURNACE + "complaint: cool air in heat\n")
    assert words in lines(PUMP + "complaint: cool air in heat\n")


def test_static_above_the_plate_forbids_a_raise() -> None:
    more = (
        "site: {plate static: 0.5 in. w.c.}\nas found: {SW1: 10011000}\nmeasurements:\n  - {call: heating second,"
        " minutes: 12, method: static, static pressure: 0.52 in. w.c.}\ncomplaint: limit trips\n"
    )
    found = plan(house(FURNACE + more))
    assert found.solution.above is not None
    now = {one.title: one.answer.airflow for one in found.solution.now}
    assert found.solution.best is not None
    for stage in found.solution.best.stages:
        if not isinstance(stage.answer.airflow, type(now[stage.title])):
            continue
        assert stage.answer.airflow <= now[stage.title]  # type: ignore[operator]


def test_humid_tries_the_slower_ramp() -> None:
    """Saltmarsh J5: 1 at once, 2 after 120 s, 3 after 60 + 240 s but 90 s at 40 % after the call, which puts water
    back."""
    found = plan(house(PUMP + "complaint: humid\n"))
    assert found.solution.best is not None
    assert positions(found)["J5"] == "2"
    assert any("slower ramp for the complaint" in line and line.endswith(": set") for line in wished(found))


def test_a_link_that_is_cut_need_not_be_cut_for_a_humid_house() -> None:
    marks = "as found: {J1: 3, J2: b, J3: 1, J4: 10, J5: 1, LK1: cut}\n"
    dry = "dehumidify: {humidistat: opens on rise}\n"
    assert "dehumidify: set" in wished(plan(house(f"{PUMP}{dry}{marks}complaint: humid\n")))
    whole = wished(plan(house(f"{PUMP}{dry}{marks.replace('LK1: cut', 'LK1: whole')}complaint: humid\n")))
    assert any("LK1 would have to be cut" in line for line in whole)


def test_a_wished_ramp_stands() -> None:
    found = plan(house(PUMP + "wishes: {start in cooling: shortest}\ncomplaint: humid\n"))
    assert positions(found)["J5"] == "1"


@pytest.mark.parametrize("contact", ["opens on rise", "closes on rise"])
def test_a_link_is_never_cut_for_a_complaint(contact: str) -> None:
    found = plan(house(f"{PUMP}dehumidify: {{humidistat: {contact}}}\ncomplaint: humid\n"))
    assert found.solution.best is not None
    assert positions(found)["LK1"] == "whole"
    assert any("would have to be cut, which can't be undone" in line for line in wished(found))


def test_dehumidify_is_tried_only_where_the_contact_is_known() -> None:
    """Quillhaven N4 enables dehumidify without a cut."""
    head = f"{HEAD}table: quillhaven-p\noutdoor unit: {{capacity: 3 tons, stages: {{low: 70 %, high: 100 %}}}}\n"
    asked = plan(house(head + "complaint: humid\n"))
    assert "say how the humidistat contacts first" in said_of(asked)
    told = plan(house(head + "dehumidify: {humidistat: opens on rise}\ncomplaint: humid\n"))
    assert "dehumidify: set" in wished(told)
    none = plan(house(head + "dehumidify: {humidistat: none}\ncomplaint: humid\n"))
    assert "there is no humidistat" in said_of(none)


def test_the_same_as_data() -> None:
    assert plan_report(plan(house(FURNACE + "complaint: cool air in heat\n"))).data["complaint"] == (
        "cool air in heat",
    )
    assert plan_report(plan(house(FURNACE))).data["complaint"] == ()
