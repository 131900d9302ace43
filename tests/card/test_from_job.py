"""The card of a job: everything that was aimed at, expected, found, left and measured stands on it, from the record
a person wrote."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from selector.card.blocks import Changes, Reverse, Selectors
from selector.card.blocks import words_of as words_in
from selector.card.code import parsed_code, setting_of_code
from selector.card.content import Card
from selector.card.from_job import job_card
from selector.card.html import card_html
from selector.card.pdf import card_pdf
from selector.job.file.read import load_job
from selector.problems import Refused
from selector.solve.board.marks import read_marks, setting_of
from selector.table.library.library import listed, load
from tests.card.test_card import GIVEN, PAPERS, a_card, corvane, grid, pairs, panel, words_of
from tests.cli.test_cli import ROOT, run
from tests.helpers.browser import chromium

JOBS = ROOT / "tests" / "examples" / "jobs"
RECORDS = sorted((ROOT / "tests" / "examples" / "records").glob("*.yaml"))


def card_of(path: Path, **said: str) -> Card:
    """The card of a job file."""
    return job_card(load_job(str(path))[0], **said)  # type: ignore[arg-type]


def record(name: str) -> Path:
    """A record among the examples."""
    return ROOT / "tests" / "examples" / "records" / f"{name}.yaml"


def cells(card: Card, title: str, row: str) -> list[str]:
    """The cells of a row in a panel's grid."""
    return [cell.text for cell in grid(panel(card, title))[row]]


def test_a_record_is_on_its_card() -> None:
    """By hand: 3 tons x 350 = 1,050; 60,800 / (1.08 x 52) = 1,083; 1,240 x 0.832 = 1,032; 1,130 less 6 % = 1,062.2;
    1,032 / 1,062 = -2.9 %."""
    card = card_of(record("gas-two-stage-altitude"), place="Hall cupboard", date="2026-05-01")
    assert cells(card, card.title, "cooling second")[2:] == ["1,062", "1,032"]
    assert cells(card, card.title, "heating second")[2:] == ["1,109", "1,083"]
    assert cells(card, "Measured", "cooling second")[1:] == ["hood \u00b15 %", "1,032", "\u22122.9 %"]
    assert cells(card, "Measured", "heating second")[1:3] == ["rise \u00b115 %", "1,083"]
    assert not any(isinstance(block, Reverse) for one in card.panels for block in one.blocks)
    measured = words_in(panel(card, "Measured"))
    rise = "heating second: 70 \u00b0F in, 122 \u00b0F out, rise 52"
    assert any(text.startswith(rise) for text in measured)
    assert "filter: in, 720 in\u00b2" in measured
    why = words_in(panel(card, "Why this setting"))
    assert any(
        text.startswith("cooling second: target 1,050 cfm, allowed 900 to 1,248 cfm, 354 cfm/ton") for text in why
    )
    assert any(text.startswith("fan: target 45 % of cooling") for text in why)
    told = pairs(panel(card, "Read it back"))
    assert (told["altitude"], told["altitude derate"], told["outdoor unit"]) == ("5,000 ft", "from sea level", "3 tons")
    assert "altitude 5,000 ft; derate from sea level" in card.code
    assert card.left_marks == "SW1=10010100"


def test_found_and_left_static_and_metric() -> None:
    """The record of the taps: Y1 went from 1 to 2, G from 2 to 1; 45 and 55 Pa; the hood read 490 L/s."""
    card = card_of(record("taps-with-static"))
    changes = panel(card, "As found to as left")
    assert "Set 2 leads: M1-Y1 1 to 2, M1-G 2 to 1." in words_in(changes)
    (board,) = [block for block in changes.blocks if isinstance(block, Selectors)]
    assert [line.label for picture in board.pictures for line in picture.lines if line.changed] == ["Y1", "G"]
    (strips,) = [block.strips for block in changes.blocks if isinstance(block, Changes)]
    fan = next(row for row in strips.rows if row.name == "fan")
    assert fan.said == ("359", "297")
    assert cells(card, card.title, "cooling high")[2:] == ["495", "490"]
    static = next(text for text in words_in(panel(card, "Measured")) if text.startswith("static"))
    assert static.startswith("static: 45 return + 55 supply = 100 Pa (plate 200), cooling high")
    assert "cfm" not in words_of(card_pdf(card))


def test_what_stands_outside_comes_first() -> None:
    """The job with 0.93 in. w.c. on a plate of 0.8: told with what to do, and the airflow those ducts let through."""
    card = card_of(JOBS / "not-static-above-plate.yaml")
    first = card.panels[0].blocks[0]
    assert isinstance(first, Reverse)
    assert "0.13 in. w.c. over the plate's 0.8 in. w.c." in first.text
    assert first.more
    reversed_ = [block.text for block in panel(card, "Measured").blocks if isinstance(block, Reverse)]
    assert any(text.startswith("cooling second 950 cfm, 69 over (static 0.8 in. w.c.") for text in reversed_)
    assert any("heater" in text for text in words_in(card_of(JOBS / "not-the-declared-heater.yaml").panels[0]))


def test_a_fire_to_put_right_stands_first_and_nothing_is_ok(tmp_path: Path) -> None:
    """46,000 Btu/h clocked x .95 = 43,700, 57.5 % of the 80,000 x .95 = 76,000 by the plate."""
    path = tmp_path / "fire.yaml"
    fire = "heat: {kind: gas, clocked: {input: 46 MBH}}\n"
    head = f"format: selector job 1\ntable: corvane-k14\nmodel: 080\noutdoor unit: {{capacity: 3 tons}}\n{fire}"
    path.write_text(head + "as left: {SW1: 00011000}\n", encoding="utf-8")
    card = card_of(path)
    first = card.panels[0].blocks[0]
    assert isinstance(first, Reverse)
    assert first.text.startswith("Put the input right first (licensed work): heating second gives 43,700 Btu/h, 58 %")
    assert not any(text.startswith("OK") for text in words_in(card.panels[0]))
    for command, said in (
        (("found", "found SW1=00011000"), "The board as set: within the limits"),
        (("sheet", "--for", "owner"), "the burner gives 58 % of the heat on its plate"),
    ):
        answer = " ".join(run(command[0], str(path), *command[1:]).stdout.split())
        assert said in answer
        assert "OK: as set" not in answer


def test_a_mark_nobody_could_read_is_drawn_unread_with_its_code(tmp_path: Path) -> None:
    head = "format: selector job 1\ntable: fenwarren-4m\nmodel: F30\nas found: {SW1: 001000, J1: B, J2: 2}\n"
    path = tmp_path / "left.yaml"
    path.write_text(head + "as left: {SW1: 110?10, J2: 2}\n", encoding="utf-8")
    card = card_of(path)
    assert card.left_marks == "SW1=110?10 J1=B J2=2"
    assert "SW1=110?10" in card.code
    face = card.panels[0]
    assert {"not read: SW1-4", "not typed under as left: taken as found: J1"} <= set(words_in(face))
    (board,) = [block for block in face.blocks if isinstance(block, Selectors)]
    assert [line.label for picture in board.pictures for line in picture.lines if line.filled is None] == ["4"]
    # SW1-5 ON under F30, high: 1,495 with SW1-4 OFF, 1,130 with it ON; J1 B with SW1-6 OFF leaves them as they are
    assert cells(card, card.title, "heating high")[2] == "1,130 or 1,495"


def test_a_clocked_input_stands_among_what_was_read(tmp_path: Path) -> None:
    """2 ft3 in 90 s at 1,037 Btu/ft3: 82,960 Btu/h."""
    reading = (
        "  - {call: heating second, minutes: 14, method: clocked gas, volume: 2 ft3, time: 90 s, heat of gas: 1037"
        " Btu/ft3}\n"
    )
    path = tmp_path / "clocked.yaml"
    path.write_text(record("gas-two-stage-altitude").read_text(encoding="utf-8") + reading, encoding="utf-8")
    measured = panel(card_of(path), "Measured")
    clocked = [block.text for block in measured.blocks if isinstance(block, Reverse) and "clocked" in block.text]
    assert clocked
    assert "82,960 Btu/h" in clocked[0]
    assert "input clocked, Btu/h" not in pairs(measured)


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_the_code_of_a_job_is_read_back_with_the_table_of_the_library(path: Path) -> None:
    job = load_job(str(path))[0]
    assert job.table is not None
    table, _ = load(job.table.text)
    card = card_of(path)
    assert setting_of_code(parsed_code(card.code), table) == setting_of(read_marks([card.left_marks], table), table)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_everything_of_a_record_is_printed(path: Path, paper: str) -> None:
    card = card_of(path, by="A. Person")
    printed = words_of(card_pdf(card, "letter" if paper == "letter" else "A4")).replace("\u2013", "\u2212")
    words = set(printed.split())
    assert {word for one in card.panels for text in words_in(one) for word in text.split()} <= words


def test_a_job_that_says_nothing_of_the_board_has_no_card() -> None:
    with pytest.raises(Refused) as refused:
        card_of(JOBS / "gas-two-stage-altitude.yaml")
    assert refused.value.problems[0].code == "no-marks"


def test_the_command_takes_a_job_or_a_table_and_marks(tmp_path: Path) -> None:
    out = tmp_path / "card.html"
    assert run("card", str(record("oil")), "--out", str(out)).returncode == 0
    assert "Eskerby oil furnace" in out.read_text(encoding="utf-8")
    mixed = run("card", str(record("oil")), "--model", "1", "--out", str(tmp_path / "other.html"))
    assert mixed.returncode == 2
    assert "a job says its facts" in mixed.stderr


def violations(page: Page, text: str) -> list[str]:
    """What axe finds wrong with a page."""
    page.set_content(text)
    return [
        f"{one['id']}: {node['html'][:80]}" for one in Axe().run(page).response["violations"] for node in one["nodes"]
    ]


def test_the_page_is_fit_for_every_reader() -> None:
    """axe finds nothing on any board's card, nor on one with warnings or from a job, on a phone or on a desk."""
    cards = [*map(a_card, sorted(listed())), corvane("SW1=11011100", **GIVEN), card_of(record("taps-with-static"))]
    with chromium() as browser:
        context = browser.new_context(bypass_csp=True)
        page = context.new_page()
        assert violations(page, card_html(corvane()).replace(' lang="en"', ""))
        for width, start in ((390, 0), (1280, 1)):
            page.set_viewport_size({"width": width, "height": 800})
            for card in cards[start::2]:
                assert violations(page, card_html(card)) == []


@pytest.mark.parametrize(("paper", "size"), [("letter", (816, 1056)), ("A4", (794, 1123))])
def test_nothing_of_the_printed_page_lies_outside_its_part(paper: str, size: tuple[int, int]) -> None:
    spilt = """() => [...document.querySelectorAll("section *")].filter((e) => {
      const own = e.getBoundingClientRect(), box = e.closest("section").getBoundingClientRect();
      return own.width && (own.right > box.right + 1 || own.bottom > box.bottom + 1);
    }).map((e) => e.tagName + " " + e.textContent.slice(0, 30))"""
    with chromium() as browser:
        page = browser.new_page(viewport={"width": size[0], "height": size[1]})
        page.emulate_media(media="print")
        for card in (*map(a_card, sorted(listed())), *map(card_of, RECORDS)):
            page.set_content(card_html(card, "letter" if paper == "letter" else "A4"))
            assert page.evaluate(spilt) == [], card.title


def test_a_long_figure_stays_inside_its_panel() -> None:
    """The parts of a static profile and the coil are long, and set in bold."""
    from pypdfium2 import PdfDocument

    page = PdfDocument(card_pdf(card_of(ROOT / "tests" / "examples" / "readings" / "furnace-profile.yaml"), "letter"))[
        0
    ]
    text = page.get_textpage()
    right = max(text.get_charbox(i)[2] for i in range(text.count_chars()))
    assert right <= page.get_width() - 14  # the margin of a panel


def test_the_face_tells_what_was_measured_and_not_that_the_chart_is_kept(tmp_path: Path) -> None:
    """Corvane 080, SW1-1 and SW1-4 ON: heating second is set for 1,180 cfm (page 23). 76,000 / (1.08 x 42) = 1,676 on
    plate heat: no verdict; 56 F: 1,257, as set within 15 %."""
    path = tmp_path / "house.yaml"
    text = (
        "format: selector job 1\ntable: corvane-k14\nmodel: 080\nas left: {SW1: 10010000}\nmeasurements:\n"
        "- {call: heating second, minutes: 15, method: rise, rise: %s F}\n"
    )
    for rise, said in (
        ("42", "No verdict, heating second: the input is not clocked"),
        ("56", "OK, heating second: as"),
    ):
        path.write_text(text % rise, encoding="utf-8")
        card = card_of(path)
        face = words_in(panel(card, card.title))
        assert any(words.startswith(said) for words in face)
        assert "OK: as set, within limits." not in face
