"""What a complaint moves in a plan: the figures by hand, the way of each row of the trade's table, and what it must
never do."""

from __future__ import annotations

from typing import Any

import pytest

from selector.job.file.read import job_from_text
from selector.job.plan.complaint import complaint_lines
from selector.job.plan.data import data_of
from selector.job.plan.plan import plan
from selector.job.targets.house import House, house_of

HEAD = "format: selector job 1\n"
FURNACE = (
    f"{HEAD}table: corvane-k14\nmodel: 080\noutdoor unit: {{capacity: 3 tons, stages: 70 %}}\nheat: {{input: 80 MBH}}\n"
)
PUMP = f"{HEAD}table: saltmarsh-12\noutdoor unit: {{capacity: 3 tons}}\nheat: {{kind: heat pump}}\n"


def house(text: str) -> House:
    return house_of(job_from_text(text)[0])


def aims(text: str) -> dict[str, float]:
    """The charted airflow aimed at, cfm, to whole ones."""
    return {one.title: round(float(one.aim.charted.value)) for one in house(text).aims if one.aim.charted is not None}


def lines(text: str) -> list[str]:
    return list(complaint_lines(plan(house(text))))


@pytest.mark.parametrize(
    ("head", "complaint", "call", "before", "after"),
    [
        # 80,000 x 95 % = 76,000 Btu/h; / (1.08 x 50 F) = 1,407; x 60 F: 1,173; x 40 F: 1,759
        (FURNACE, "cool air in heat", "heating second", 1407, 1173),
        (FURNACE, "limit trips", "heating second", 1407, 1759),
        # 3 tons x 400, 350, 450 cfm/ton
        (FURNACE, "humid", "cooling second", 1200, 1050),
        (FURNACE, "water carried over", "cooling second", 1200, 1050),
        (FURNACE, "iced coil", "cooling second", 1200, 1350),
        (FURNACE + "site: {climate: humid}\n", "iced coil", "cooling second", 1050, 1200),
        (FURNACE + "site: {climate: dry}\n", "humid", "cooling second", 1350, 1050),
        (FURNACE, "noise", "cooling second", 1200, 1050),
        (FURNACE, "noise", "heating second", 1407, 1173),
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
    said = [line for line in lines(f"{head}complaint: {complaint}\n") if line.startswith(call)]
    assert len(said) == 1
    assert f"{after:,} cfm" in said[0]
    assert f"instead of {before:,} cfm" in said[0]


def test_the_setting_follows() -> None:
    without, complained = (plan(house(FURNACE + more)).best for more in ("", "complaint: cool air in heat\n"))
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
    assert any(
        "your own aim stands" in line and "heat aim=" in line for line in lines(f"{text}complaint: {complaint}\n")
    )


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
    now = {one.title: one.answer.airflow for one in found.now}
    assert found.best is not None
    after = {one.title: one.answer.airflow for one in found.best.stages}
    assert now["heat pump high"] == 1400
    assert after["heat pump high"] <= 1400  # type: ignore[operator]


@pytest.mark.parametrize("own", ["", ", aim: mid rise"])
def test_nothing_is_said_of_a_plates_rise_where_there_is_none(own: str) -> None:
    said = " ".join(lines(MARROWDALE.replace("heater: 10 kW", f"heater: 10 kW{own}")))
    assert "plate" not in said
    assert "aim=" not in said


WICKERBY = (
    f"{HEAD}table: wickerby-5\nheat: {{kind: gas, input: 80 MBH, efficiency: 80 %}}\ncomplaint: cool air in heat\n"
)
"""Its page prints no rise."""


def test_an_aim_at_a_rise_that_is_not_known_is_not_said_to_follow() -> None:
    for own in ("mid rise", "high rise"):
        said = lines(WICKERBY.replace("kind: gas", f"kind: gas, aim: {own}"))
        assert any("your own aim stands" in line and "the plate's rise is not known" in line for line in said), said
        assert not any("aim=" in line or "5 F inside the plate's end" in line for line in said), said
    assert (
        "heat may go down, but no aim of it moved: the plate's rise is not known, and no rise is typed as the aim"
        in lines(WICKERBY)
    )


def test_a_metric_table_has_its_own_unit_per_ton() -> None:
    """350 cfm/ton is 350 x 1.699 m3/h to 3.517 kW: 169.1 m3/h/kW."""
    said = lines(
        f"{HEAD}table: pellmere-w\noutdoor unit: {{capacity: 3 tons}}\nheat: {{kind: heat pump}}\ncomplaint: cool air"
        " in heat\n"
    )
    (line,) = [line for line in said if line.startswith("heat pump aims")]
    assert "(169.1 m3/h/kW)" in line
    assert "cfm" not in line


def test_a_move_against_the_complaint_is_never_silent() -> None:
    """A target of 1,600 cfm stands: from 1,400 that is more air, and the complaint asks for less."""
    said = lines(MARROWDALE + "targets: {heat pump high: 1600 cfm}\n")
    assert any("your own target stands" in line for line in said)
    assert any(
        line.startswith("not followed: heat pump high goes from 1,400 cfm to 1,") and "more air" in line
        for line in said
    ), said


def test_a_heat_pumps_own_floor_at_the_usual_airflow_leaves_no_step() -> None:
    text = (
        PUMP.replace("kind: heat pump", "kind: heat pump, least per ton: 400 cfm/ton") + "complaint: cool air in heat\n"
    )
    assert aims(text)["heat pump"] == 1200
    assert any("your own floor stands (least per ton: 400 cfm/ton)" in line for line in lines(text))


@pytest.mark.parametrize(("head", "complaint"), [(FURNACE, "humid"), (PUMP, "high head in heating")])
def test_without_tons_it_is_said_that_no_aim_moves(head: str, complaint: str) -> None:
    said = lines(
        head.replace("capacity: 3 tons, ", "").replace("outdoor unit: {capacity: 3 tons}\n", "")
        + f"complaint: {complaint}\n"
    )
    assert any("its tons are not known" in line for line in said), said


@pytest.mark.parametrize(
    "own",
    ["airflow per ton: usual", "airflow per ton: 380 cfm/ton", "sensible load: 27000 Btu/h, supply difference: 20 F"],
)
def test_a_typed_airflow_per_ton_or_load_stands(own: str) -> None:
    text = FURNACE.replace("stages: 70 %", f"stages: 70 %, {own}")
    assert aims(text)["cooling second"] == aims(f"{text}complaint: humid\n")["cooling second"]
    assert any("your own aim stands" in line for line in lines(f"{text}complaint: humid\n"))


def test_a_typed_target_stands() -> None:
    text = FURNACE + "targets: {cooling: 1300 cfm, heating second: 1400 cfm}\n"
    for complaint in ("humid", "cool air in heat"):
        assert aims(text) == aims(f"{text}complaint: {complaint}\n")


def test_at_the_end_of_the_steps_it_is_said_that_there_is_none() -> None:
    text = FURNACE + "site: {climate: humid}\ncomplaint: humid\n"
    assert aims(text)["cooling second"] == 1050
    assert any("350 cfm/ton, the least usual" in line for line in lines(text))


def test_no_setting_helps_is_said() -> None:
    text = FURNACE + "complaint: no change after setting\n"
    assert aims(text) == aims(FURNACE)
    assert "no setting helps: none is moved for it" in lines(text)


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
    for choice in (plan(moved).best,):
        assert choice is not None
        assert not any(stage.broken for stage in choice.stages)


def test_a_heat_pumps_air_is_spoken_of_only_where_there_is_one() -> None:
    words = "a heat pump's air at 90 to 100 F is normal"
    assert not any(words in line for line in lines(FURNACE + "complaint: cool air in heat\n"))
    assert any(words in line for line in lines(PUMP + "complaint: cool air in heat\n"))


def test_static_above_the_plate_forbids_a_raise() -> None:
    more = (
        "site: {plate static: 0.5 in. w.c.}\nas found: {SW1: 10011000}\nmeasurements:\n  - {call: heating second,"
        " minutes: 12, method: static, static pressure: 0.52 in. w.c.}\ncomplaint: limit trips\n"
    )
    found = plan(house(FURNACE + more))
    said = list(complaint_lines(found))
    assert any(line.startswith("but static 0.52 in. w.c. is above") for line in said), said
    now = {one.title: one.answer.airflow for one in found.now}
    assert found.best is not None
    for stage in found.best.stages:
        if not isinstance(stage.answer.airflow, type(now[stage.title])):
            continue
        assert stage.answer.airflow <= now[stage.title]  # type: ignore[operator]


def test_humid_tries_the_slower_ramp() -> None:
    """Saltmarsh J5: 1 at once, 2 after 120 s, 3 after 60 + 240 s."""
    found = plan(house(PUMP + "complaint: humid\n"))
    assert found.best is not None
    marks: Any = data_of(found)["setting"]
    assert marks["positions"]["J5"] == "3"
    assert any("slower ramp for the complaint" in line and line.endswith("yes") for line in found.wishes)


def test_a_wished_ramp_stands() -> None:
    found = plan(house(PUMP + "wishes: {start in cooling: shortest}\ncomplaint: humid\n"))
    marks: Any = data_of(found)["setting"]
    assert marks["positions"]["J5"] == "1"


@pytest.mark.parametrize("contact", ["opens on rise", "closes on rise"])
def test_a_link_is_never_cut_for_a_complaint(contact: str) -> None:
    found = plan(house(f"{PUMP}dehumidify: {{humidistat: {contact}}}\ncomplaint: humid\n"))
    assert found.best is not None
    marks: Any = data_of(found)["setting"]
    assert marks["positions"]["LK1"] == "whole"
    assert any("would have to be cut, which can't be undone" in line for line in found.wishes)


def test_dehumidify_is_tried_only_where_the_contact_is_known() -> None:
    """Quillhaven N4 enables dehumidify without a cut."""
    head = f"{HEAD}table: quillhaven-p\noutdoor unit: {{capacity: 3 tons, stages: {{low: 70 %, high: 100 %}}}}\n"
    asked = plan(house(head + "complaint: humid\n"))
    assert any("say first how the humidistat contacts" in line for line in complaint_lines(asked))
    told = plan(house(head + "dehumidify: {humidistat: opens on rise}\ncomplaint: humid\n"))
    assert "dehumidify: yes" in told.wishes
    none = plan(house(head + "dehumidify: {humidistat: none}\ncomplaint: humid\n"))
    assert any("there is no humidistat" in line for line in complaint_lines(none))


def test_the_same_as_data() -> None:
    found: Any = data_of(plan(house(FURNACE + "complaint: cool air in heat\n")))["complaint"]
    assert found["complaint"] == "cool air in heat"
    assert found["moved"] == [{"role": "heat", "way": "down"}]
    assert data_of(plan(house(FURNACE)))["complaint"] is None
