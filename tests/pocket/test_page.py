"""The pocket page as a person meets it: sizes, touch, keyboard, scripts off, storage refused, opened from a file,
hostile tables."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from selector.pocket.page import pocket_html
from selector.solve.board.facts import Facts
from selector.table.build.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import NAMES, opened, page_of, shipped

CORVANE = "corvane-k14"
SIZES = {"phone": (360, 740), "turned phone": (740, 360), "tablet": (820, 1180), "desktop": (1440, 900)}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests."""
    with chromium() as one:
        yield one


def too_small(page: Page) -> list[str]:
    """Everything to tap that is narrower or lower than 44 px."""
    found: list[str] = page.evaluate(
        "[...document.querySelectorAll('button, select, input, summary, nav a')].filter((e) => { const r ="
        " e.getBoundingClientRect(); return r.width && (r.width < 44 || r.height < 44); }).map((e) => e.outerHTML)"
    )
    return found


def set_corvane(page: Page) -> None:
    """Corvane K-14, model 080, board 10011000: 1,197.8 cfm in cooling second, as worked by hand in
    tables/corvane-k14.md."""
    page.get_by_role("combobox", name="model").select_option("080")
    for n, on in enumerate("10011000", 1):
        page.get_by_role("button", name=re.compile(rf"^SW1-{n} {'ON' if on == '1' else 'OFF'}(, not used)?$")).click()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_board_is_read_and_a_setting_found_at_every_size(
    browser: Browser, tmp_path: Path, size: str, scheme: str
) -> None:
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
        has_touch=True,
    )
    page, told = opened(context, tmp_path, page_of(CORVANE))
    set_corvane(page)
    calls = page.locator("#calls")
    expect(calls.get_by_role("listitem").filter(has_text="cooling second")).to_contain_text("1,197.8 cfm")
    page.get_by_label("cooling second, target").fill("1200")
    found = page.locator("#find .found > li")
    expect(found).to_have_count(3)
    expect(found.first).to_contain_text("No moves: this is the board as found")
    expect(found.first).to_contain_text("asked 1,200 cfm: -0.2 %")
    expect(page.locator("#find .cautions")).to_contain_text("Power off")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert too_small(page) == []
    wrong = Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"]) for v in wrong] == []
    context.close()
    assert told == []


def test_a_finger_does_everything_without_network_from_a_file(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(
        browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, offline=True),
        tmp_path,
        page_of(CORVANE),
    )
    assert page.url.startswith("file:")
    assert page.evaluate("navigator.onLine") is False
    page.get_by_role("combobox", name="model").select_option("080")
    page.get_by_role("button", name="As delivered").tap()
    for n in (1, 4, 5):
        page.get_by_role("button", name=f"SW1-{n} ON").tap()
    expect(page.locator("#calls")).to_contain_text("1,197.8 cfm")
    page.get_by_text("What runs when terminals are on").tap()
    page.get_by_role("button", name="terminal W1", exact=True).tap()
    expect(page.locator("#calls details")).to_contain_text("heating first")
    page.get_by_role("button", name="SW1-4 ON").tap()
    expect(page.get_by_role("button", name="SW1-4 ON")).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="Clear all").tap()
    expect(page.locator("#calls")).to_contain_text("Nothing is tapped yet")
    page.get_by_role("button", name="Undo").tap()
    expect(page.get_by_role("button", name="SW1-1 ON")).to_have_attribute("aria-pressed", "true")
    page.context.close()
    assert told == []


def ask(page: Page, label: str, text: str) -> None:
    """Types a figure into a field of the form, opened where it is folded away."""
    page.evaluate("document.querySelectorAll('#find details').forEach((d) => { d.open = true; })")
    page.get_by_label(label, exact=True).fill(text)


def test_terminals_tell_what_runs_at_once(browser: Browser, tmp_path: Path) -> None:
    """Y1 Y2 call for cooling second alone, which takes in cooling first; nothing says what cooling and heating give
    together."""
    page, told = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    set_corvane(page)
    running = page.locator("#calls details")
    running.get_by_text("What runs when terminals are on").click()
    for name in ("Y1", "Y2"):
        page.get_by_role("button", name=f"terminal {name}", exact=True).click()
    expect(running.get_by_role("listitem")).to_have_text(["cooling second: 1,197.8 cfm"])
    page.get_by_role("button", name="terminal W1", exact=True).click()
    expect(running.get_by_role("listitem")).to_have_count(2)
    expect(running).to_contain_text("Together:")
    expect(running).to_contain_text("doesn't say what runs when cooling second and heating first are called at once")
    page.context.close()
    assert told == []


def test_a_held_position_is_in_every_setting_and_named_where_it_is_to_blame(browser: Browser, tmp_path: Path) -> None:
    """The jumper on a gives 54,000 / (1.08 x 1,000) = 50 F, on b 54,000 / 540 = 100 F; the plate allows 45 to 60 F."""
    text = tight_text("45 to 60")
    page, told = opened(browser.new_context(), tmp_path, pocket_html([built(text)]))
    ask(page, "heating, target", "1000")
    expect(page.locator("#find .found > li")).to_have_count(1)
    page.get_by_label("J1 stays on").select_option("b")
    expect(page.locator("#find")).to_contain_text("Nothing fits, so no setting is shown.")
    expect(page.locator("#find")).to_contain_text("a setting fits without holding J1 b")
    expect(page.locator("#find .found")).to_have_count(0)
    page.get_by_label("J1 stays on").select_option("free")
    expect(page.locator("#find .found > li")).to_have_count(1)
    page.context.close()
    assert told == []


def test_weights_and_shares_and_a_tons_airflow_count(browser: Browser, tmp_path: Path) -> None:
    """Wanted 700 and 900 of one jumper with 700 or 1,000: 700 misses the second by 2/9 = 22.2 %, 1,000 the first by 3/7
    = 42.9 %.

    With the second five times as heavy, 1,000 misses by 3/7 + 5/9 = 98.4 %, 700 by 10/9 = 111.1 %. 2.5 tons at 400 are
    1,000, at 280 are 700.
    """
    table = built(
        """format: selector table 1
unit: {title: Handler}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: a b, factory: a}
charts:
  jumper airflow: {set: J1, gives: airflow, rows: a 700; b 1000}
calls:
  cooling: {terminals: Y1, airflow: jumper airflow}
  fan: {terminals: G, airflow: jumper airflow}
"""
    )
    page, told = opened(browser.new_context(), tmp_path, pocket_html([table]))
    first = page.locator("#find .found > li").first
    ask(page, "cooling, target", "700")
    ask(page, "fan, target", "900")
    expect(first).to_contain_text("deviation 22.22 %")
    expect(first.locator("figcaption")).to_contain_text("J1 a")
    ask(page, "fan, weight", "5")
    expect(first).to_contain_text("deviation 98.41 %")
    expect(first.locator("figcaption")).to_contain_text("J1 b")
    ask(page, "fan, target", "")
    page.get_by_label("cooling, what the figure is").select_option("tons at 400")
    ask(page, "cooling, target", "2.5")
    expect(first).to_contain_text("1,000 cfm, asked 2.5 tons at 400: met")
    ask(page, "cfm for each ton", "280")
    expect(first).to_contain_text("700 cfm, asked 2.5 tons at 280: met")
    ask(page, "cooling, target", "")
    page.get_by_label("fan, what the figure is").select_option("% of cooling")
    ask(page, "fan, target", "100")
    expect(first).to_contain_text("100 %, asked 100 % of cooling: met")
    page.context.close()
    assert told == []


def test_changes_are_pointed_at_and_what_was_not_tapped_is_not_called_changed(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    set_corvane(page)
    page.get_by_role("button", name="SW1-4 ON").click()
    page.get_by_label("cooling second, target").fill("1200")
    first = page.locator("#find .found > li").first
    expect(first).to_contain_text("Not tapped, so see that they stand as drawn before power goes on: SW1-4")
    assert "change SW1-4" not in first.inner_text()
    page.get_by_role("button", name="As delivered").click()
    expect(first).to_contain_text("move")
    for found in page.locator("#find .found > li").all():
        changes = re.findall(r"change SW1-(\d)", found.inner_text())
        assert found.locator("svg polygon").count() == len(changes)
        at = [
            float(p.split(",")[0])
            for p in found.locator("svg polygon").evaluate_all("(all) => all.map((e) => e.getAttribute('points'))")
        ]
        holes = found.locator("svg [data-position='0']").evaluate_all(
            "(all) => all.map((e) => Number(e.getAttribute('x')) + Number(e.getAttribute('width')) / 2)"
        )
        assert [min(range(8), key=lambda i: abs(holes[i] - x)) + 1 for x in at] == [int(n) for n in changes]
    assert page.locator("#calls svg polygon").count() == 0
    first.get_by_role("button", name="Take it over as the board").click()
    expect(first).to_contain_text("No moves: this is the board as found.")
    page.context.close()
    assert told == []


def test_what_the_board_cannot_give_is_said_and_a_fact_that_is_missing_named(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    page.get_by_role("combobox", name="model").select_option("080")
    page.get_by_label("cooling second, target").fill("4000")
    expect(page.locator("#find")).to_contain_text("Not possible: cooling second 4,000 cfm")
    expect(page.locator("#find")).to_contain_text("to 1,611.2 cfm there")
    page.get_by_label("cooling second, what the figure is").select_option("cfm per ton")
    expect(page.locator("#find")).to_contain_text("A fact is missing, so no setting is shown.")
    expect(page.locator("#find")).to_contain_text("outdoor tons are not given")
    page.get_by_label("outdoor tons").fill("3 of them")
    page.get_by_label("outdoor tons").blur()
    expect(page.get_by_label("outdoor tons")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#calls")).to_contain_text("3 of them is not a number above 0")
    page.context.close()
    assert told == []


@pytest.mark.parametrize("name", [CORVANE, "quillhaven-p", "wickerby-5"])
@pytest.mark.parametrize("way", ["page", "text"])
def test_at_twice_the_size_nothing_is_cut_off_or_overlaps(
    browser: Browser, tmp_path: Path, name: str, way: str
) -> None:
    page, told = opened(
        browser.new_context(viewport={"width": 180 if way == "page" else 360, "height": 740}), tmp_path, page_of(name)
    )
    if way == "text":
        page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")
    page.evaluate("pocketPage.put(pocketPage.table.parts.map(() => 0))")
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    ask(page, page.locator("#find .target input").first.get_attribute("aria-label") or "", "1000")
    expect(page.locator("#find [aria-live]")).not_to_be_empty()
    assert page.evaluate("document.documentElement.scrollWidth") <= (180 if way == "page" else 360)
    assert too_small(page) == []
    over = page.evaluate(
        "(() => { const r = [...document.querySelectorAll('#board button')].map((b) => b.getBoundingClientRect());"
        " return r.flatMap((a, i) => r.slice(i + 1).filter((b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top"
        " < b.bottom - 1 && b.top < a.bottom - 1)).length; })()"
    )
    assert over == 0
    page.context.close()
    assert told == []


@pytest.mark.parametrize("name", NAMES)
def test_every_table_makes_a_page_of_typical_size_without_violations(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    text = page_of(name)
    assert len(text.encode()) < 150_000
    page, told = opened(browser.new_context(viewport={"width": 360, "height": 740}), tmp_path, text)
    if any(at is not None for at in shipped(name).delivered(None)):
        page.get_by_role("button", name="As delivered").click()
        expect(page.locator("#calls .calls > li").first).to_be_visible()
    page.evaluate(
        "document.querySelector('#find input').value = '900'; document.querySelector('#find input').dispatchEvent(new"
        " Event('input'))"
    )
    expect(page.locator("#find [aria-live]")).not_to_be_empty()
    wrong = Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"]) for v in wrong] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.context.close()
    assert told == []


def test_everything_can_be_done_from_the_keyboard(browser: Browser, tmp_path: Path) -> None:
    page, _ = opened(browser.new_context(), tmp_path, page_of(CORVANE))

    def reach(label: str) -> None:
        for _ in range(120):
            page.keyboard.press("Tab")
            if page.evaluate(
                "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent.trim()"
            ).startswith(label):
                return
        raise AssertionError(f"{label} can't be reached")

    reach("not known060080110")
    page.keyboard.type("080")
    for n, on in enumerate("10011000", 1):
        reach(f"SW1-{n} {'ON' if on == '1' else 'OFF'}")
        page.keyboard.press("Space")
    reach("cooling second, target")
    page.keyboard.type("1200")
    expect(page.locator("#calls")).to_contain_text("1,197.8 cfm")
    expect(page.locator("#find .found > li")).to_have_count(3)
    assert page.get_by_role("status").text_content() == page.evaluate("pocketPage.status.textContent") != ""
    page.context.close()


def test_without_scripts_charts_delivered_setting_and_cautions_are_there(browser: Browser, tmp_path: Path) -> None:
    page, told = opened(browser.new_context(java_script_enabled=False), tmp_path, page_of(CORVANE, "wickerby-5"))
    text = page.inner_text("body")
    for wanted in (
        "Scripts are off",
        "Board as delivered",
        "cooling airflow (page 23)",
        "2080",
        "Power off at the",
        "tap airflow (page 5)",
    ):
        assert wanted in text
    assert page.locator(".paper svg").count() >= 1
    page.get_by_role("link", name="Wickerby air handler").click()
    assert page.url.endswith("#paper1")
    page.context.close()
    assert told == []


def test_with_storage_refused_it_works(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context()
    context.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('refused', 'SecurityError');"
        " } })"
    )
    page, told = opened(context, tmp_path, page_of(CORVANE))
    set_corvane(page)
    expect(page.locator("#calls")).to_contain_text("1,197.8 cfm")
    context.close()
    assert told == []


def test_the_last_board_is_offered_and_never_preselected(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context()
    page, _ = opened(context, tmp_path, page_of(CORVANE))
    set_corvane(page)
    page.reload()
    assert page.locator("[aria-pressed=true]").count() == 0
    expect(page.locator("#calls")).to_contain_text("Nothing is tapped yet")
    offer = page.locator(".top .told")
    expect(offer).to_contain_text("Corvane two-stage gas furnace")
    expect(offer).to_contain_text(str(page.evaluate("new Date().getFullYear()")))
    offer.get_by_role("button", name="Take it up again").click()
    expect(page.locator("#calls")).to_contain_text("1,197.8 cfm")
    page.reload()
    page.get_by_role("button", name="Clear it").click()
    page.reload()
    expect(page.locator(".top .told")).to_have_count(0)
    other = "{table: 'corvane-k14', check: pocketPage.table.check, model: 9, facts: [], setting: [7]}"
    page.evaluate(f"localStorage.setItem('selector pocket page', JSON.stringify({other}))")
    page.reload()
    expect(page.locator(".top .told")).to_have_count(0)
    context.close()


def test_a_limit_shows_no_setting_and_a_missing_fact_is_named(browser: Browser, tmp_path: Path) -> None:
    """Corvane 080 heats 80,000 x 95 % = 76,000 Btu/h; 500 cfm in heating second would be a rise of 141 F, the plate
    allows 35 to 65 F."""
    page, _ = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    page.get_by_label("heating second, target").fill("500")
    expect(page.locator("#find")).to_contain_text("model is not given")
    page.get_by_role("combobox", name="model").select_option("080")
    expect(page.locator("#find .found > li")).to_have_count(3)
    page.get_by_label("heating second, target").fill("")
    page.get_by_label("heating second, target").fill("0")
    expect(page.locator("#find")).to_contain_text("type a figure above 0")
    expect(page.locator("#find .found")).to_have_count(0)
    context = browser.new_context()
    page, _ = opened(context, tmp_path, pocket_html([tight()]))
    page.get_by_label("heating, target").fill("500")
    expect(page.locator("#find")).to_contain_text("Nothing fits, so no setting is shown.")
    expect(page.locator("#find")).to_contain_text("allowed 70 F to 80 F (rise on the rating plate)")
    assert page.locator("#find svg").count() == 0
    assert page.locator("#find .found").count() == 0
    context.close()


def tight() -> Table:
    """A furnace that no setting keeps inside its plate's rise: 54,000 Btu/h at 1,000 or 500 cfm is 50 or 100 F
    (54,000 / (1.08 x 1,000))."""
    return built(tight_text("70 to 80"))


def tight_text(rise: str) -> str:
    """The table of this furnace with another rise on its plate."""
    return """format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm, temperature: F, heat: Btu/h}
ratings: {heat output: 54000, temperature rise: RISE}
board:
  J1: {kind: jumper, positions: a b, factory: a}
charts:
  heating airflow: {set: J1, gives: airflow, rows: a 1000; b 500}
calls:
  heating: {terminals: W1, airflow: heating airflow}
""".replace("RISE", rise)


def built(text: str) -> Table:
    """A table from text."""
    table, report = build_table(source_from_text(text, "made.yaml"), "made")
    assert table is not None
    assert [p.message for p in report.problems if p.severity == "problem"] == []
    return table


def test_airflow_is_shown_in_litres_per_second_and_asked_in_them(browser: Browser, tmp_path: Path) -> None:
    """1 cfm = 0.3048^3 m3 / 60 s = 0.47194745 L/s (NIST SP 811): 1,197.8 cfm = 565.3 L/s, 565 L/s = 1,197.2 cfm."""
    page, _ = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    set_corvane(page)
    page.get_by_role("combobox", name="airflow in").select_option("L/s")
    expect(page.locator("#calls")).to_contain_text("565.3 L/s")
    page.get_by_label("cooling second, target").fill("565")
    expect(page.locator("#find .found > li").first).to_contain_text("565.3 L/s")
    page.get_by_role("combobox", name="airflow in").select_option("cfm")
    expect(page.get_by_label("cooling second, target")).to_have_value("1,197.2")
    expect(page.locator("#find .found > li").first).to_contain_text("1,197.8 cfm, asked 1,197.2 cfm")
    page.context.close()


def test_facts_given_when_the_page_is_made_hold_for_good(browser: Browser, tmp_path: Path) -> None:
    page, _ = opened(
        browser.new_context(), tmp_path, pocket_html([shipped(CORVANE)], facts=[Facts(model="080")], title="Unit 7")
    )
    assert page.title() == "Unit 7"
    assert page.get_by_role("combobox", name="model").count() == 0
    for n, on in enumerate("10011000", 1):
        page.get_by_role("button", name=re.compile(rf"^SW1-{n} {'ON' if on == '1' else 'OFF'}(, not used)?$")).click()
    expect(page.locator("#calls")).to_contain_text("1,197.8 cfm")
    page.context.close()


def test_printing_leaves_out_what_is_tapped(browser: Browser, tmp_path: Path) -> None:
    page, _ = opened(browser.new_context(), tmp_path, page_of(CORVANE))
    set_corvane(page)
    page.emulate_media(media="print")
    assert not page.get_by_role("button", name="As delivered").is_visible()
    assert page.locator("#calls").get_by_text("1,197.8 cfm").is_visible()
    assert page.locator("#calls svg").first.is_visible()
    page.context.close()


HOSTILE = "</script><img src=x onerror=document.title='broken'>&quot;'</style><!--"
HOSTILE_NAME = "<b>&lt __proto__"


def hostile() -> Table:
    """Markup in every text of a table that takes one."""
    return built(
        f"""format: selector table 1
unit:
  title: A{HOSTILE}
  maker: M{HOSTILE}
  models: <i>1 <i>2
  manual: {{number: K{HOSTILE}, pages: 1}}
  note: N{HOSTILE}
units: {{airflow: cfm, temperature: F, heat: Btu/h}}
ratings:
  heat input: {{<i>1: 60000, <i>2: 80000}}
  efficiency: 95 %
  temperature rise: 35 to 65
facts:
  <u>fact: {{gives: label, values: <s>a <s>b}}
board:
  <J>1: {{kind: jumper, positions: <a> <b>, factory: <a>, note: J{HOSTILE}}}
  SW1: {{kind: switches, count: 2, also: {{off: <o>, on: <n>}}, factory: all off}}
  M1: {{kind: taps, positions: <1> <2>, leads: <L> <G>}}
charts:
  {HOSTILE_NAME} chart:
    page: <p>
    set: <J>1
    gives: airflow
    note: C{HOSTILE}
    conditions: D{HOSTILE}
    rows: |
      <a>  1000  ({HOSTILE})
      <b>  1200
  <t>ap airflow: {{set: M1, gives: airflow, rows: <1> 500; <2> 600}}
  ramps:
    set: SW1-1 SW1-2
    gives: ramp
    rows: |
      - -  <r>amp
ramps:
  <r>amp: 30 s at 50 %, then 100 %
calls:
  <c>all:
    terminals: <W>
    airflow: {HOSTILE_NAME} chart
    ramp: ramps
    note: E{HOSTILE}
  <c>oil: {{lead: <L>, airflow: <t>ap airflow}}
  <c>fan: {{lead: <G>, airflow: <t>ap airflow}}
"""
    )


def test_markup_in_every_text_stays_text(browser: Browser, tmp_path: Path) -> None:
    table = hostile()
    for scripts in (True, False):
        page, told = opened(
            browser.new_context(java_script_enabled=scripts), tmp_path, pocket_html([table, table], title=f"T{HOSTILE}")
        )
        if scripts:
            page.get_by_role("button", name="As delivered").click()
            page.get_by_label("<c>all, target").fill("1000")
            expect(page.locator("#find .found > li").first).to_contain_text(HOSTILE)
            expect(page.locator("#calls")).to_contain_text(f"E{HOSTILE}")
        else:
            assert HOSTILE in page.inner_text("body")
        assert page.title() == f"T{HOSTILE}"
        assert page.locator("img, b:has(__proto__), i, u, s, main script").count() == 0
        page.context.close()
        assert told == []


def test_the_policy_forbids_everything_but_its_own_script_and_style() -> None:
    text = page_of(CORVANE)
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert policy is not None
    parts = dict(p.split(" ", 1) for p in policy.group(1).split("; "))
    assert parts["default-src"] == "'none'"
    assert re.fullmatch(r"'sha256-[A-Za-z0-9+/]{43}='", parts["script-src"])
    assert re.fullmatch(r"'sha256-[A-Za-z0-9+/]{43}='", parts["style-src"])
    assert not re.search(r"<[^>]*\s(on\w+|style|src|href)=", text.split('<script type="application/json"')[0])
    assert not re.search(r"https?://(?!www\.w3\.org/)", text)


def test_a_script_that_is_not_the_pages_own_does_not_run(browser: Browser, tmp_path: Path) -> None:
    text = page_of(CORVANE).replace("</main>", "</main><script>document.title = 'foreign'</script>")
    page, told = opened(browser.new_context(), tmp_path, text)
    assert page.title() != "foreign"
    assert any("Content Security Policy" in t for t in told)
    page.context.close()
