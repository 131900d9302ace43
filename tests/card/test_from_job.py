"""The card of a job: everything that was aimed at, expected, found, left and measured stands on it, from the record
a person wrote."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from selector.card.code import read_card_code
from selector.card.content import BLANKS, Card
from selector.card.fit import LEAST_SCALE, fitted, shared
from selector.card.from_job import job_card
from selector.card.html import card_html
from selector.card.pdf import card_pdf
from selector.draw.parts.draw import describe
from selector.job.file.read import load_job
from selector.problems import Refused
from selector.solve.board.marks import read_marks, setting_of
from selector.table.library.library import listed, load
from tests.card.test_card import GIVEN, PAPERS, a_card, corvane, words_of
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


def test_a_record_is_on_its_card() -> None:
    """By hand: 3 tons x 350 = 1,050; 60,800 / (1.08 x 52) = 1,083; 1,240 x 0.832 = 1,032; 1,130 less 6 % = 1,062.2."""
    card = card_of(record("gas-two-stage-altitude"), place="Hall cupboard", date="2026-05-01")
    rows = {row.name: row for row in card.rows}
    cooling, heating = rows["cooling second"], rows["heating second"]
    assert (cooling.airflow, cooling.target) == ("1,062.2 cfm", "1,050 cfm, 900 to 1,248 cfm")
    assert cooling.expected.startswith("354 cfm/ton, split ")
    assert (cooling.measured, cooling.method) == ("1,032 cfm +-5 %", "hood")
    assert (heating.measured, heating.method, heating.expected) == ("1,083 cfm +-15 %", "rise", "rise 50.8 F")
    assert (rows["fan"].target, rows["fan"].measured) == ("45 % of cooling, at most 1,248 cfm", "")
    told = dict(card.about)
    assert (told["altitude"], told["altitude derate"]) == ("5,000 ft", "from sea level")
    blanks = dict(card.blanks)
    assert blanks["filter in, size"] == "in, 720 in2"
    assert blanks["power off and on after setting"] == blanks["refrigerant charge rechecked"] == ""
    assert list(blanks)[: len(BLANKS)] == list(BLANKS)
    about = dict(card.about)
    assert (about["model"], about["outdoor unit"], about["place"]) == ("080", "3 tons", "Hall cupboard")
    assert (card.left_marks, card.warnings) == ("SW1=10010100", ())


def test_found_and_left_static_and_metric() -> None:
    """The record of the taps: Y1 went from 1 to 2, G from 2 to 1; 45 and 55 Pa; the hood read 490 L/s."""
    card = card_of(record("taps-with-static"))
    assert (card.found_marks, card.left_marks) == ("M1-Y1=1 M1-Y2=4 M1-W=3 M1-G=2", "M1-Y1=2 M1-Y2=4 M1-W=3 M1-G=1")
    assert [line.label for picture in card.left for line in picture.lines if line.changed] == ["Y1", "G"]
    blanks = dict(card.blanks)
    assert blanks["static pressure, return side"] == "-45 Pa in cooling high"
    assert blanks["static pressure, supply side"] == "55 Pa in cooling high"
    row = next(r for r in card.rows if r.name == "cooling high")
    assert (row.airflow, row.measured, row.method) == ("495 L/s", "490.0 L/s +-5 %", "hood")


def test_what_stands_outside_comes_first() -> None:
    """The job with 0.93 in. w.c. on a plate of 0.8: told, with the airflows above what those ducts let through."""
    card = card_of(JOBS / "not-static-above-plate.yaml")
    assert any("0.13 in. w.c. over the plate's 0.8 in. w.c." in text for text in card.warnings)
    assert any(text.startswith("cooling second: 950 cfm, outside: static 0.8 in. w.c.") for text in card.warnings)
    assert "at least 900 cfm, at most 881 cfm" in next(r for r in card.rows if r.name == "cooling second").target
    assert any("heater" in text for text in card_of(JOBS / "not-the-declared-heater.yaml").warnings)


def test_a_mark_nobody_could_read_is_drawn_unread_with_its_code(tmp_path: Path) -> None:
    head = "format: selector job 1\ntable: fenwarren-4m\nmodel: F30\nas found: {SW1: 001000, J1: B, J2: 2}\n"
    path = tmp_path / "left.yaml"
    path.write_text(head + "as left: {SW1: 110?10, J2: 2}\n", encoding="utf-8")
    card = card_of(path)
    assert card.left_marks == "SW1=110?10 J1=B J2=2"
    assert "SW1=110?10" in card.code
    assert {"not read: SW1-4", "not typed under as left: taken as found: J1"} <= set(card.warnings)
    assert [line.label for picture in card.left for line in picture.lines if line.filled is None] == ["4"]
    assert next(row for row in card.rows if row.name == "heating high").airflow.startswith("not known")


def test_a_clocked_input_stands_where_it_is_asked_for(tmp_path: Path) -> None:
    """2 ft3 in 90 s at 1,037 Btu/ft3: 82,960 Btu/h."""
    reading = (
        "  - {call: heating second, minutes: 14, method: clocked gas, volume: 2 ft3, time: 90 s, heat of gas: 1037"
        " Btu/ft3}\n"
    )
    path = tmp_path / "clocked.yaml"
    path.write_text(record("gas-two-stage-altitude").read_text(encoding="utf-8") + reading, encoding="utf-8")
    assert dict(card_of(path).blanks)["input clocked at the meter"] == "82,960 Btu/h in heating second"


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_the_code_of_a_job_is_read_back_with_the_table_of_the_library(path: Path) -> None:
    job = load_job(str(path))[0]
    assert job.table is not None
    table, _ = load(job.table.text)
    card = card_of(path)
    assert read_card_code(card.code, table) == setting_of(read_marks([card.left_marks], table), table)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_everything_of_a_record_is_printed(path: Path, paper: str) -> None:
    card = card_of(path, by="A. Person")
    words = set(words_of(card_pdf(card, "letter" if paper == "letter" else "A4")).split())
    texts = [
        card.left_marks,
        *card.cautions,
        *card.extras,
        *(v for pair in (*card.about, *card.blanks, *card.signed) for v in pair),
    ]
    texts += [
        t for r in card.rows for t in (r.name, r.terminals, r.airflow, r.target, r.expected, r.measured, r.method)
    ]
    assert {word for text in texts for word in text.split()} <= words


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


def test_a_crowded_board_as_found_is_shared_between_two_rooms_and_stays_readable() -> None:
    table, _ = load("quillhaven-p")
    found = tuple(len(p.positions) - 1 for p in table.parts)
    pictures = describe(table, found)
    rooms = ((308.0, 120.0), (308.0, 110.0))
    first, second = shared(pictures, rooms)
    assert [p.name for p in (*first, *second)] == [p.name for p in pictures]
    assert second
    assert all(fitted(part, room)[0] > LEAST_SCALE for part, room in zip((first, second), rooms, strict=True))
    assert shared(pictures[:2], rooms) == (pictures[:2], ())
    third = shared(pictures, ((308.0, 45.0), (308.0, 45.0), (308.0, 45.0)))[2]
    assert third[-1] is pictures[-1]
    words = words_of(card_pdf(a_card("quillhaven-p")))
    assert "As found" in words
    assert "Drawn hatched" not in words


def violations(page: Page, text: str) -> list[str]:
    """What axe finds wrong with a page."""
    page.set_content(text)
    return [
        f"{one['id']}: {node['html'][:80]}" for one in Axe().run(page).response["violations"] for node in one["nodes"]
    ]


def test_the_page_is_fit_for_every_reader() -> None:
    """axe finds nothing on any board's card, nor on one with warnings or from a job, on a phone and on a desk."""
    cards = [*map(a_card, sorted(listed())), corvane("SW1=11011100", **GIVEN), card_of(record("taps-with-static"))]
    with chromium() as browser:
        context = browser.new_context(bypass_csp=True)
        page = context.new_page()
        assert violations(page, card_html(corvane()).replace(' lang="en"', ""))
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            for card in cards:
                assert violations(page, card_html(card)) == []


@pytest.mark.parametrize(("paper", "size"), [("letter", (816, 1056)), ("A4", (794, 1123))])
def test_nothing_of_the_printed_page_lies_on_a_fold(paper: str, size: tuple[int, int]) -> None:
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
