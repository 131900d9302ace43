"""The card, read by other libraries: the code from the picture, text and pages from the PDF, the page in a browser."""

from __future__ import annotations

import io
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import reportlab
import zxingcpp
from pdfminer.high_level import extract_pages
from pdfminer.layout import LTTextContainer, LTTextLine
from PIL import Image

from selector.card import pdf_font
from selector.card.code import read_card_code
from selector.card.content import BLANKS, Card, CardRow, build_card
from selector.card.html import Paper, card_html
from selector.card.pdf import card_pdf
from selector.card.pdf_font import BUILT_IN, fonts_for
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.table.library.library import listed, load
from selector.table.model.table import Setting, Table
from selector.value import Struct, fields, replace
from tests.helpers.browser import chromium

HOSTILE = "\"><script>document.title='hit'</script><img src=x onerror=document.title='hit'>&lt;"
SIZES: dict[Paper, tuple[float, float]] = {"letter": (612, 792), "A4": (595.28, 841.89)}
PAPERS: tuple[Paper, ...] = ("letter", "A4")
GIVEN: dict[str, Any] = {
    "targets": {("cooling", "second"): "1,200 cfm"},
    "measured": {("cooling", "second"): ("1,180 cfm", "electric")},
    "readings": {"static pressure, return side": "-0.22 in. w.c.", "watts": "410 W"},
    "place": "Hall cupboard",
    "by": "A. Person",
    "date": "2026-05-01",
}


def marked(table: Table, marks: str) -> Setting:
    """A setting as typed."""
    return setting_of(read_marks([marks], table), table)


def corvane(left: str = "SW1=00011000", found: str = "SW1=10000000", **given: Any) -> Card:
    """A card of the Corvane board."""
    table, _ = load("corvane-k14")
    return build_card(
        Engine(table, Facts(model="080")), marked(table, left), marked(table, found) if found else None, **given
    )


def a_card(name: str) -> Card:
    """A card of a shipped table: everything in its first position, found in its last."""
    table, _ = load(name)
    engine = Engine(table, Facts(model=table.unit.models[0] if table.unit.models else None))
    left = tuple(0 for _ in table.parts)
    found = tuple(len(p.positions) - 1 for p in table.parts)
    return build_card(engine, left, found)


def lines_of(pdf: bytes) -> list[tuple[int, str, tuple[float, float, float, float]]]:
    """(page, text, box) of every line, as another library reads them."""
    out: list[tuple[int, str, tuple[float, float, float, float]]] = []
    for number, page in enumerate(extract_pages(io.BytesIO(pdf)), start=1):
        for container in page:
            if isinstance(container, LTTextContainer):
                out.extend(
                    (number, line.get_text().strip(), line.bbox) for line in container if isinstance(line, LTTextLine)
                )
    return out


def words_of(pdf: bytes) -> str:
    """All text with single blanks."""
    return " ".join(" ".join(text for _, text, _ in lines_of(pdf)).split())


def test_what_a_card_says_of_a_board() -> None:
    """Corvane page, question 1: 001 10 with SW1-1 OFF gives 1,197.8; first stage 66 %, fan 45 %."""
    card = corvane(**GIVEN)
    rows = {row.name: row for row in card.rows}
    assert rows["cooling second"].airflow == "1,197.8 cfm"
    assert rows["cooling first"].airflow == "790.5 cfm"
    assert rows["cooling second"].terminals == "Y1 Y2"
    assert rows["cooling second"].target == "1,200 cfm"
    assert (rows["cooling second"].measured, rows["cooling second"].method) == ("1,180 cfm", "electric")
    assert rows["fan"].measured == ""
    about = dict(card.about)
    assert about["model"] == "080"
    assert about["heat input"] == "80,000 Btu/h"
    assert about["efficiency"] == "95 %"
    assert about["temperature rise"] == "35 to 65 F"
    assert about["manual"] == "K-14, pages 23-24"
    assert about["board part"] == ""
    assert dict(card.blanks)["static pressure, return side"] == "-0.22 in. w.c."
    assert dict(card.blanks)["static pressure, supply side"] == ""
    assert dict(card.blanks)["watts"] == "410 W"
    assert [name for name, _ in card.blanks[: len(BLANKS)]] == list(BLANKS)
    assert any("CO" in text for text in card.cautions)
    assert any("charge" in text for text in card.cautions)
    assert "cooling runs on: 60 s" in card.extras


def test_a_broken_limit_comes_as_a_warning() -> None:
    """Corvane page, question 6: 101 11 with SW1-1 ON makes the rise 67.8 F, above the plate."""
    card = corvane("SW1=11011100", "")
    assert any("67.8 F" in text and "allowed 35 to 65 F" in text for text in card.warnings)
    assert "67.8 F" in words_of(card_pdf(card))
    assert "67.8 F" in card_html(card)


def test_a_refused_call_says_so_on_the_card() -> None:
    """Corvane page, question 4: the page says do not use; heating still answers."""
    card = corvane("SW1=00110000", "")
    rows = {row.name: row.airflow for row in card.rows}
    assert rows["cooling second"].startswith("not usable: ")
    assert rows["heating second"] == "1,350 cfm"
    assert "not usable" in words_of(card_pdf(card))


def test_a_link_has_the_caution_that_a_cut_stays() -> None:
    table, _ = load("saltmarsh-12")
    card = build_card(Engine(table, Facts()), tuple(0 for _ in table.parts))
    assert "A cut link can't be made whole again." in card.cautions
    assert "A cut link can't be made whole again." not in corvane().cautions


def test_a_board_found_as_it_is_left_is_drawn_once() -> None:
    card = corvane("SW1=00011000", "SW1=00011000")
    assert card.found == ()
    assert not any(line.changed for picture in card.left for line in picture.lines)
    assert "The board was found as it is left." in words_of(card_pdf(card))
    assert "The board was found as it is left." in card_html(card)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", sorted(listed()))
def test_every_shipped_board_fits_one_sheet_and_no_text_lies_on_a_fold(name: str, paper: Paper) -> None:
    pdf = card_pdf(a_card(name), paper)
    document = pypdfium2.PdfDocument(pdf)
    assert len(document) == 1
    width, height = document[0].get_size()
    assert (width, height) == pytest.approx(SIZES[paper], abs=0.1)
    lines = lines_of(pdf)
    assert len(lines) > 40
    for _, text, (left, low, right, high) in lines:
        assert left > 5, text
        assert right < width - 5, text
        assert low > 5, text
        assert high < height - 5, text
        assert right < width / 2 or left > width / 2, text
        assert high < height / 2 or low > height / 2, text


@pytest.mark.parametrize("paper", PAPERS)
def test_every_text_of_the_card_is_in_the_pdf(paper: Paper) -> None:
    card = corvane(**GIVEN)
    found = words_of(card_pdf(card, paper))
    for text in (
        card.title,
        *(v for pair in (*card.about, *card.blanks, *card.signed) for v in pair),
        *card.extras,
        "1 ON -> OFF",
        "As found",
    ):
        assert " ".join(text.split()) in found, text
    words = set(found.split())
    for text in (
        *card.cautions,
        card.left_marks,
        card.found_marks,
        *(t for r in card.rows for t in (r.name, r.airflow, r.target, r.expected, r.measured)),
    ):
        assert set(text.split()) <= words, text


def test_the_same_card_gives_the_same_bytes() -> None:
    assert card_pdf(corvane(**GIVEN)) == card_pdf(corvane(**GIVEN))


def rendered(pdf: bytes, dots: int = 200) -> Image.Image:
    """The first page as a picture."""
    picture: Image.Image = pypdfium2.PdfDocument(pdf)[0].render(scale=dots / 72).to_pil()
    return picture.convert("L")


@pytest.mark.parametrize("name", ["corvane-k14", "brindlemoor-16s", "quillhaven-p", "lindmarrow-j"])
def test_the_code_is_read_off_the_printed_card(name: str) -> None:
    table, _ = load(name)
    card = a_card(name)
    (found,) = zxingcpp.read_barcodes(np.asarray(rendered(card_pdf(card))))
    assert found.text == card.code
    assert len(found.text.encode()) < 300
    assert read_card_code(found.text, table) == tuple(0 for _ in table.parts)


def test_the_code_is_read_off_a_crooked_grey_photograph() -> None:
    """Turned by 17 degrees, blurred by half and with little contrast."""
    card = corvane()
    picture = rendered(card_pdf(card), 150).rotate(17, expand=True, fillcolor=255).reduce(1)
    grey = Image.fromarray((np.asarray(picture, dtype=np.float64) * 0.5 + 70).astype(np.uint8))
    (found,) = zxingcpp.read_barcodes(np.asarray(grey))
    assert found.text == card.code


def test_the_page_in_a_browser() -> None:
    """Code read from the screen, nothing fetched, nothing run, every value shown, one printed page on either paper."""
    table, _ = load("corvane-k14")
    card = corvane(**GIVEN)
    with chromium() as browser:
        page = browser.new_page(viewport={"width": 390, "height": 800}, device_scale_factor=2)
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.set_content(card_html(card))
        shot = np.asarray(Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L"))
        (found,) = zxingcpp.read_barcodes(shot)
        assert read_card_code(found.text, table) == marked(table, "SW1=00011000")
        text = " ".join(page.inner_text("body").split())
        for value in (
            "1,197.8 cfm",
            "1,180 cfm",
            "K-14, pages 23-24",
            "Hall cupboard",
            "2026-05-01",
            card.cautions[0],
            card.left_marks,
        ):
            assert value in text
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert asked == []


def test_every_page_prints_on_one_sheet_of_either_paper() -> None:
    with chromium() as browser:
        page = browser.new_page()
        for name in sorted(listed()):
            card = a_card(name)
            for paper in PAPERS:
                page.set_content(card_html(card, paper))
                pdf = page.pdf(prefer_css_page_size=True)
                document = pypdfium2.PdfDocument(pdf)
                assert len(document) == 1, (name, paper)
                assert document[0].get_size() == pytest.approx(SIZES[paper], abs=1.5)
                found = " ".join(document[0].get_textpage().get_text_range().split())
                for text in (*BLANKS, card.cautions[-1].split()[0], card.title.split()[-1]):
                    assert text in found, (name, paper, text)


def poisoned(value: Any) -> Any:
    """The same value with hostile markup in front of every text; the code stays, it is made of plain signs."""
    if isinstance(value, str):
        return HOSTILE + value
    if isinstance(value, tuple):
        return tuple(poisoned(v) for v in value)
    if isinstance(value, Struct):
        kept = ("code", "kind", "form")
        return replace(value, **{f.name: poisoned(getattr(value, f.name)) for f in fields(value) if f.name not in kept})
    return value


class Tags(HTMLParser):
    """Names of the tags and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


def test_text_of_a_table_is_never_markup_on_the_page() -> None:
    card = poisoned(corvane(**GIVEN))
    text = card_html(card)
    tags = Tags(text)
    assert not {"script", "img", "iframe", "object", "link"} & tags.tags
    assert not [name for name in tags.attributes if name.startswith("on") or name in ("href", "src")]
    with chromium() as browser:
        page = browser.new_page()
        page.set_content(text)
        assert page.title() != "hit"
        assert page.evaluate("document.scripts.length + document.images.length") == 0
        assert HOSTILE in page.inner_text("h1")


def test_hostile_text_is_text_in_the_pdf() -> None:
    pdf = card_pdf(poisoned(corvane(**GIVEN)))
    assert "<script>" in words_of(pdf)
    raw = pypdfium2.PdfDocument(pdf)
    assert raw.get_formtype() == 0


def many_rows(count: int) -> Iterator[CardRow]:
    """Calls without end."""
    for i in range(count):
        yield CardRow(
            name=f"call{i} stage",
            terminals="Y1 Y2",
            airflow="1,000 cfm",
            target="",
            expected="",
            measured="",
            method="",
        )


@pytest.mark.parametrize("count", [20, 60, 200])
def test_nothing_is_lost_where_a_part_is_too_long(count: int) -> None:
    card = replace(corvane(), rows=tuple(many_rows(count)))
    pdf = card_pdf(card)
    lines = lines_of(pdf)
    words = set(words_of(pdf).split())
    assert {f"call{i}" for i in range(count)} <= words
    assert all(low > 5 and high < 787 for _, _, (_, low, _, high) in lines)


def test_signs_no_built_in_font_has() -> None:
    """Written with a font that has them where one is at hand, else by number; never left out."""
    assert BUILT_IN.safe("25 \u2212 5 \u4e2d") == "25 - 5 (U+4E2D)"
    vera = str(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")
    card = replace(corvane(), title="\u0141\u00f3\u0142 \u4e2d")
    assert fonts_for([card.title], vera).plain == "Vera"
    assert "\u0141\u00f3\u0142 (U+4E2D)" in words_of(card_pdf(card, font=vera))


def test_a_word_wider_than_the_sheet_is_cut_letter_by_letter(monkeypatch: pytest.MonkeyPatch) -> None:
    measured = 0
    width = pdf_font.Fonts.width

    def counted(self: pdf_font.Fonts, text: str, size: float, bold: bool) -> float:
        nonlocal measured
        measured += len(text)
        return width(self, text, size, bold)

    monkeypatch.setattr(pdf_font.Fonts, "width", counted)
    lines = pdf_font.BUILT_IN.wrapped("A" * 4000, 200, 10, False)
    assert "".join(lines) == "A" * 4000
    assert {len(line) for line in lines[:-1]} == {29}  # an A of Helvetica is 667/1000 of its size: 200 / 6.67
    assert measured < 3 * 4000
