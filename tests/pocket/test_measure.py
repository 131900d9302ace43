"""Measuring on the page: what it says of readings is what `verify` says of the record it hands on."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from selector.answers.danger import first_lines, sentence
from selector.answers.verify.data import verify_answer
from selector.job.danger.hazard import in_order, stops
from selector.job.danger.seen import seen as seen_in
from selector.job.file.read import job_of
from selector.job.observed.danger_table import DANGERS
from selector.job.targets.house import house_of
from selector.job.verify.verify import verified
from selector.table.model.table import Table
from selector.table.source import source_from_text
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import opened, page_of, shipped
from tests.helpers.random_boards import random_setting

FLUE = {"flue CO", "spillage", "roll-out", "flame", "soot", "oil"}
"""What needs a burner to be seen."""
SEARCHED = ("moves", "no setting", "static of another call")
"""Reasons that verify looks for a setting with; the page sends to its own search."""
ASK = """(cases) => cases.map((one) => {
  const page = pocketPage, m = page.measure;
  page.model = one.model; page.typed = new Map(one.facts); page.setting = one.setting; page.learn();
  for (const row of m.rows.values()) row.text = "";
  for (const [key, kind, text] of one.rows) Object.assign(m.rows.get(key), { kind, text });
  Object.assign(m.pressure, { text: one.static, at: one.at });
  m.clock.at = m.clock.burns.at(-1) ?? "";
  m.clock.time = m.clock.at && page.table.units[1] === "F" ? one.time : "";
  for (const row of m.rows.values()) row.minutes = one.minutes;
  const { found, wrong } = m.judged();
  return { record: m.record(), wrong,
    dangers: found ? found.dangers.map((d) => d.text) : [],
    states: found
      ? found.states.map(({ title, word, text, reason, steps }) => ({ title, word, text, reason, steps })) : [] };
})"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests."""
    with chromium() as one:
        yield one


def cases(random: Random, table: Table, count: int) -> list[dict[str, Any]]:
    """Boards with a reading or several: airflows, rises, static, a clocked meter."""
    out = []
    metric = table.units.temperature == "C"
    prints = any(k.name == "static pressure" for c in table.charts.values() for k in (*c.keys, *c.heads))
    for _ in range(count):
        setting = [0 if at is None else at for at in random_setting(random, table)]
        rows = []
        keys = [(c, s, call) for c, call in enumerate(table.calls.values()) for s in range(len(call.stages))]
        for c, s, call in random.sample(keys, 1 if prints else random.randint(1, min(3, len(keys)))):
            if call.heats and random.random() < 0.7:
                low, high = (
                    (random.randint(18, 26), random.randint(27, 70)) if metric else (68, random.randint(90, 160))
                )
                rise = f"{random.randint(6, 45) if metric else random.randint(20, 90)}"
                rows.append([f"{c} {s}", "rise", random.choice([rise, f"{low} {high}"])])
            else:
                flow = random.randint(150, 1100) if table.units.airflow == "L/s" else random.randint(300, 2400)
                rows.append([f"{c} {s}", random.choice(["hood", "flow plate"]), str(flow)])
        # where a chart prints static, a reading of it tells the airflow of other calls too: one call alone here
        at = (c, s) if prints else random.choice(keys)
        inches = random.choice(["", "", "0.2", "0.45", "0.62", "0.95"])
        pascals = random.choice(["", "", "50", "120", "160", "240"])
        out.append(
            {
                "model": random.randint(1, len(table.unit.models)) if len(table.unit.models) > 1 else 0,
                "facts": [],
                "setting": setting,
                "rows": rows,
                "static": inches if table.units.pressure == "in. w.c." else pascals,
                "at": f"{at[0]} {at[1]}",
                "time": random.choice(["", "", "80", "94", "110"]),
                "minutes": random.choice(["", "2", "8", "20", "40"]),
            }
        )
    return out


def whole(text: str) -> str:
    """The text without the figures of liters a second, which verify shows to a tenth and the page whole."""
    return re.sub(r"[\d.,]+ L/s", "# L/s", text)


def asked(browser: Browser, folder: Path, table: Table, questions: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What the page says."""
    page, told = opened(browser.new_context(), folder, page_of(table.name))
    found: list[dict[str, Any]] = page.evaluate(ASK, questions)
    page.context.close()
    assert not told
    return found


@pytest.mark.parametrize(
    "name",
    [
        "corvane-k14",
        "brindlemoor-16s",
        "wickerby-5",
        "tarnwick-d",
        "thornquay-d",
        "eskerby-oil",
        "pellmere-si",
    ],
)
def test_the_page_says_of_readings_what_verify_says(browser: Browser, tmp_path: Path, name: str) -> None:
    table = shipped(name)
    questions = cases(Random(f"measure {name}"), table, 60)
    spoken = 0
    for question, said in zip(questions, asked(browser, tmp_path, table, questions), strict=True):
        if said["wrong"]:
            continue
        job, _ = job_of(source_from_text(said["record"], "record.yaml"))
        found = verified(house_of(job))
        context = f"{said['record']}\n{json.dumps(question)}"
        dangers = [sentence(one, table) for one in found.dangers if not one.by_chart]
        assert sorted(said["dangers"]) == sorted(dangers), context
        answer = verify_answer(found, found.judged)
        states = {f"{one.call} {one.stage}".strip(): one for one in answer.states}
        assert {one["title"] for one in said["states"]} == set(states), context
        for one in said["states"]:
            mine = states[one["title"]]
            assert (one["word"], whole(f"{one['word']}: {one['text']}.")) == (mine.verdict, whole(mine.said)), context
            if mine.next.reason not in SEARCHED:
                steps = [whole(step) for step in mine.next.steps]
                assert [whole(step) for step in one["steps"]] == steps, f"{one['reason']} {mine.next.reason} {context}"
            spoken += 1
    assert spoken > 30


@pytest.mark.parametrize(
    ("plug", "rise", "static", "said"),
    [
        # the chart prints rise 30 to 60 F for plug A, 35 to 65 F for plug B, and holds up to 0.8 in. w.c.: by hand
        ("A", "61", "", ["DANGER, heating high: rise 61.0 F, 1.0 F over the manual's 60 F"]),
        ("A", "45", "0.9", ["WARNING, heating high: static 0.90 in. w.c., 0.10 in. w.c. over"]),
        ("A", "20", "", ["WARNING, heating high: rise 20.0 F, 10.0 F under the manual's 30 F"]),
        ("A", "45", "", []),
        ("B", "61", "", []),
        ("B", "72", "", ["DANGER, heating high: rise 72.0 F, 7.0 F over the manual's 65 F"]),
    ],
)
def test_a_rise_is_held_against_the_plug_that_is_set(
    browser: Browser, tmp_path: Path, plug: str, rise: str, static: str, said: list[str]
) -> None:
    table = shipped("tarnwick-g")
    setting = [2, 1, 0, 0, 0, "AB".index(plug), 0, 0]
    rows = {"rows": [["0 1", "rise", rise]], "static": static, "at": "0 1", "time": "", "minutes": "15"}
    (told,) = asked(browser, tmp_path, table, [{"model": 1, "facts": [], "setting": setting, **rows}])
    found = verified(house_of(job_of(source_from_text(told["record"], "record.yaml"))[0]))
    for words in (told["dangers"], [sentence(one, table) for one in found.dangers]):
        assert len(words) == len(said)
        assert all(one.startswith(start) for one, start in zip(words, said, strict=True)), words


@pytest.mark.parametrize(("letter", "static", "warns"), [(3, "0.6", True), (3, "0.45", False), (1, "0.6", False)])
def test_a_static_is_held_against_the_footnote_of_the_row_that_is_set(
    browser: Browser, tmp_path: Path, letter: int, static: str, warns: bool
) -> None:
    """Page 7: E 1,400 *, * only static pressure up to 0.5; dial R1 at 3 is E on V36, at 1 is D, which has no mark."""
    table = shipped("ostrandel-v")
    rows: dict[str, Any] = {
        "rows": [["0 1", "hood", "1400"]],
        "static": static,
        "at": "0 1",
        "time": "",
        "minutes": "20",
    }
    setting = [letter, 1, 0, 0, 0, 0, 0, 1]
    question = {"model": 2, "facts": [["outdoor kind", "air conditioner"]], "setting": setting, **rows}
    (told,) = asked(browser, tmp_path, table, [question])
    found = verified(house_of(job_of(source_from_text(told["record"], "record.yaml"))[0]))
    warning = (
        "WARNING, cooling second: static 0.60 in. w.c., 0.10 in. w.c. over what the chart holds up to, 0.5 in. w.c."
    )
    for words in (told["dangers"], [sentence(one, table) for one in found.dangers]):
        assert words == ([warning] if warns else []), told["record"]
    reasons = {told["states"][0]["reason"], verify_answer(found, found.judged).states[0].next.reason}
    assert (reasons == {"restriction first"}) == warns


def test_a_selector_set_for_less_heat_than_is_there_is_a_danger_and_said_first(
    browser: Browser, tmp_path: Path
) -> None:
    page, told = opened(browser.new_context(), tmp_path, page_of("ostrandel-v"))
    put = """(facts) => {
      const page = pocketPage;
      Object.assign(page, { model: 1, typed: new Map(facts), setting: [0, 0, 1, 0, 1, 0, 0, 0] });
      page.learn(); page.drawCalls();
      return [...page.first.children].map((one) => one.innerText.replace(/\\s+/g, " "));
    }"""
    kind = ["outdoor kind", "air conditioner"]
    danger, steps, other = page.evaluate(put, [kind, ["heater", "10"]])
    assert danger == "DANGER J1 is set for 5 kW; 10 kW installed."
    assert other == "SW1-1 is set for outdoor kind heat pump; air conditioner installed."
    assert "Heater breakers off." in steps
    half_read = "const j = page.table.parts.findIndex((x) => x.n === 'J1');"
    half_read += " page.setting[j] = null; page.half.set(j, [0, 1]);"
    half = put.replace("page.learn();", f"{half_read} page.learn();")
    danger, steps = page.evaluate(half, [["heater", "10"]])
    assert danger == "DANGER J1 can't be read: set for less than the 10 kW installed, the heater overheats."
    assert steps == "Heater breakers off until it is read."
    assert page.evaluate(put, [["heater", "none"]]) == ["J1 is set for 5 kW; none installed."]
    assert page.evaluate(put, [["heater", "5"]]) == []
    assert told == []


def test_the_meter_is_judged_in_its_own_stage_and_minutes_are_typed_for_each_call(
    browser: Browser, tmp_path: Path
) -> None:
    page, told = opened(browser.new_context(), tmp_path, page_of("corvane-k14"))
    page.get_by_role("button", name="model 080").click()
    page.get_by_role("tab", name="Measure").click()
    page.get_by_label("heating first, measured").fill("56")
    minutes = page.get_by_label("heating first, minutes since the call began")
    expect(minutes).to_have_value("")
    page.get_by_label("gas meter, seconds").fill("108")
    expect(page.get_by_text("choose the stage it was read in")).to_be_visible()
    stage = page.get_by_label("gas meter, the stage it was read in")
    stage.select_option("heating first")
    # 3,600 s x 2 ft3 x 1,037 Btu/ft3 / 108 s = 69,133 Btu/h; the plate's first stage is 56,000: by hand
    expect(page.get_by_text("Input 69,133 Btu/h, 13,133 Btu/h over the plate's 56,000 Btu/h").first).to_be_attached()
    expect(page.locator(".read.bad")).to_have_count(1)
    expect(page.locator(".read.bad")).to_contain_text("gas meter")
    expect(page.get_by_label("static pressure, the call it was read in")).to_have_value("heating first")
    minutes.fill("5")
    expect(page.get_by_text("Wait to 10 min")).to_be_attached()
    assert told == []


def shown(page: Page) -> Image.Image:
    """The page as it is seen."""
    return Image.open(io.BytesIO(page.screenshot())).convert("L")


def test_the_code_of_a_record_is_read_by_another_program(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(browser.new_context(viewport={"width": 360, "height": 740}), tmp_path, page_of("corvane-k14"))
    page.get_by_role("button", name="model 080").click()
    page.get_by_role("tab", name="Measure").click()
    page.get_by_label("heating second, measured").fill("70 126")
    page.get_by_role("button", name="QR").click()
    page.wait_for_timeout(200)
    (found,) = zxingcpp.read_barcodes(np.asarray(shown(page)))
    job, _ = job_of(source_from_text(found.text, "record.yaml"))
    assert (job.measurements[0].values["supply air"].text, job.measurements[0].method.text) == ("126 F", "rise")
    assert told == []


def test_squares_of_any_length_are_read(browser: Browser, tmp_path: Path) -> None:
    page, _ = opened(browser.new_context(), tmp_path, page_of("corvane-k14"))
    for length in (1, 20, 78, 79, 300, 700, 1200):
        text = ("record: " + "0123456789 " * 120)[:length]
        grid = page.evaluate("(text) => pocket.squares(text)", text)
        dark = np.kron(np.pad(np.array(grid, dtype=bool), 4), np.ones((4, 4)))
        (found,) = zxingcpp.read_barcodes((255 * (1 - dark)).astype(np.uint8))
        assert found.text == text
    assert page.evaluate("(text) => pocket.squares(text)", "x" * 3000) is None


ALARM = """(seen) => {
  const page = pocketPage, m = page.measure;
  m.seen.clear(); for (const what of seen) m.seen.add(what);
  page.alarmed();
  const texts = (where) => [...page.alarm.querySelectorAll(where)].map((one) => one.textContent);
  return { record: m.record(), first: texts("b"), steps: texts(".steps li"), halted: !page.app.checkVisibility(),
    stopped: page.stopped, top: page.alarm.getBoundingClientRect().top };
}"""


@pytest.mark.parametrize(
    ("name", "never"), [("corvane-k14", {"oil", "two speeds"}), ("eskerby-oil", {"two speeds"}), ("wickerby-5", FLUE)]
)
def test_what_was_seen_is_said_first_in_the_words_of_verify(
    browser: Browser, tmp_path: Path, name: str, never: set[str]
) -> None:
    table = shipped(name)
    page, told = opened(browser.new_context(viewport={"width": 360, "height": 740}), tmp_path, page_of(name))
    offered: list[str] = page.evaluate("pocketPage.table.measure.seen.map(([what]) => what)")
    assert "gas" in offered
    assert not never & set(offered)
    for seen in [*([one] for one in offered), ["limit", "gas"] if "limit" in offered else ["gas", "live"], []]:
        said = page.evaluate(ALARM, seen)
        job, _ = job_of(source_from_text(said["record"], "record.yaml"))
        found = in_order(seen_in(job))
        assert [one.what for one in found] == sorted(seen, key=list(DANGERS).index)
        assert said["first"] == [sentence(one, table) for one in found]
        lines = [line.strip() for line in first_lines(found, table) if not line.startswith("  Seen:")]
        assert [*said["first"], *said["steps"]] == sorted(lines, key=lambda line: line not in said["first"])
        assert said["halted"] == stops(found)
        assert said["top"] < 60
    assert told == []


def test_nobody_is_offered_a_setting_while_a_danger_stands(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(browser.new_context(), tmp_path, page_of("corvane-k14"))
    page.evaluate(
        "Object.assign(pocketPage, { model: 2, setting: pocketPage.setting.map(() => 0) }); pocketPage.learn()"
    )
    page.get_by_role("tab", name="Target").click()
    page.get_by_label("cooling second, target").fill("1200")
    expect(page.get_by_role("button", name="Use this setting")).to_be_visible()
    page.get_by_role("tab", name="Measure").click()
    page.get_by_text("Seen: gas, CO, flame, limit").click()
    page.get_by_role("button", name="limit trips").click()
    expect(page.locator(".alarm")).to_contain_text("DANGER: the limit is tripping. Heat off.")
    page.get_by_role("tab", name="Target").click()
    expect(page.get_by_role("button", name="Use this setting")).to_have_count(0)
    expect(page.locator("#find")).to_contain_text("Move no selector until that is put right.")
    page.get_by_role("button", name="put right: limit trips").click()
    expect(page.get_by_role("button", name="Use this setting")).to_be_visible()
    assert told == []


def test_readings_on_ice_have_no_verdict(browser: Browser, tmp_path: Path) -> None:
    table = shipped("corvane-k14")
    rows = {"rows": [["0 1", "hood", "800"]], "static": "", "at": "0 1", "time": "", "minutes": "20"}
    page, _ = opened(browser.new_context(), tmp_path, page_of("corvane-k14"))
    page.evaluate('pocketPage.measure.seen.add("iced coil")')
    (said,) = page.evaluate(ASK, [{"model": 2, "facts": [], "setting": [0] * len(table.parts), **rows}])
    found = verified(house_of(job_of(source_from_text(said["record"], "record.yaml"))[0]))
    (mine,) = verify_answer(found, found.judged).states
    (one,) = said["states"]
    assert (one["word"], f"{one['word']}: {one['text']}.") == (mine.verdict, mine.said)
    assert one["steps"] == list(mine.next.steps)
