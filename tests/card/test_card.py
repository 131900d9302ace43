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
from pdfminer.layout import LTChar, LTTextContainer, LTTextLine
from PIL import Image

from selector.card import pdf_font
from selector.card.blocks import Pairs, Panel, Reverse, SheetCell, SheetGrid
from selector.card.blocks import words_of as words_in
from selector.card.code import parsed_code, setting_of_code
from selector.card.content import Card, HouseOnCard, MeasuredAirflow, ReadOnCard, build_card
from selector.card.html import Paper, card_html
from selector.card.pdf import card_pdf
from selector.card.pdf_font import BUILT_IN, fonts_for
from selector.card.typeset import typeset
from selector.judge.decode import decode
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
    "known": HouseOnCard(
        measured={("cooling", "second"): MeasuredAirflow(figure="1,180", method="electric +-4 %", off="-1.5 %")},
        reads=(ReadOnCard(name="static", text="0.22 return + 0.31 supply = 0.53 in. w.c. (plate 0.5)", outside=True),),
    ),
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
    engine = Engine(table, Facts(model="080"))
    return build_card(engine, decode(engine, marked(table, left)), marked(table, found) if found else None, **given)


def a_card(name: str) -> Card:
    """A card of a shipped table: everything in its first position, found in its last."""
    table, _ = load(name)
    engine = Engine(table, Facts(model=table.unit.models[0] if table.unit.models else None))
    left = tuple(0 for _ in table.parts)
    found = tuple(len(p.positions) - 1 for p in table.parts)
    return build_card(engine, decode(engine, left), found)


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


def panel(card: Card, title: str) -> Panel:
    """A panel by its title."""
    return next(one for one in card.panels if one.title == title)


def grid(one: Panel) -> dict[str, tuple[SheetCell, ...]]:
    """The rows of a panel's grid by their first cell."""
    found = next(block for block in one.blocks if isinstance(block, SheetGrid))
    return {row[0].text: row for row in found.rows}


def pairs(one: Panel) -> dict[str, str]:
    """Names and values of a panel."""
    return {name: value for block in one.blocks if isinstance(block, Pairs) for name, value in block.rows}


def test_what_a_card_says_of_a_board() -> None:
    """Corvane page, question 1: 001 10 with SW1-1 OFF gives 1,197.8; first stage 66 %, fan 45 %."""
    card = corvane(**GIVEN)
    face = card.panels[0]
    rows = grid(face)
    assert [(cell.text, cell.look) for cell in rows["cooling second"]] == [
        ("cooling second", ""),
        ("Y1 Y2", "soft"),
        ("1,198", "figure"),
        ("1,180", "figure"),
    ]
    assert (rows["cooling first"][2].text, rows["fan"][3].text) == ("791", "")
    assert (face.title, face.note) == ("Corvane two-stage gas furnace", "080")
    assert any("2026-05-01, by A. Person, Hall cupboard" in text for text in words_in(face))
    plate = pairs(panel(card, "Read it back"))
    assert (plate["heat input"], plate["efficiency"]) == ("80,000 Btu/h", "95 %")
    assert (plate["temperature rise"], plate["manual"]) == ("35 to 65 \u00b0F", "K-14, pages 23-24")
    unit = pairs(panel(card, "The unit"))
    assert unit["serial number"] == unit["board part"] == ""
    measured = panel(card, "Measured")
    assert Reverse(text="static: 0.22 return + 0.31 supply = 0.53 in. w.c. (plate 0.5)") in measured.blocks
    assert [cell.text for cell in grid(measured)["cooling second"]][1:] == [
        "electric \u00b14 %",
        "1,180",
        "\u22121.5 %",
    ]
    assert "not measured: cooling first, heating first, heating second, fan" in words_in(measured)
    assert "heating second: return and supply, \u00b0F" in pairs(measured)
    cautions = words_in(panel(card, "Before you touch the board"))
    assert any("CO" in text for text in cautions)
    assert any("charge" in text for text in cautions)
    assert "cooling blower-off delay: 60 s" in words_in(panel(card, "Read it back"))


def test_a_broken_limit_is_the_first_thing_said() -> None:
    """Corvane page, question 6: 101 11 with SW1-1 ON makes the rise 67.8 F, 2.8 above the plate."""
    card = corvane("SW1=11011100", "")
    first = card.panels[0].blocks[0]
    assert isinstance(first, Reverse)
    assert "rise 67.8 \u00b0F, 2.8 \u00b0F over the plate's 65 \u00b0F" in first.text
    assert first in panel(card, "Measured").blocks
    assert "67.8" in words_of(card_pdf(card))
    assert "67.8" in card_html(card)


def test_a_refused_call_says_so_on_the_card() -> None:
    """Corvane page, question 4: the page says do not use; heating still answers."""
    rows = grid(corvane("SW1=00110000", "").panels[0])
    assert rows["cooling second"][2].text == "not usable"
    assert rows["heating second"][2].text == "1,350"


def test_nothing_that_makes_no_sense_for_a_unit() -> None:
    """A meter is clocked and flue CO read only where gas burns; a rise stands only where something heats."""
    assert "input clocked, Btu/h" in words_of(card_pdf(corvane()))
    for name in ("saltmarsh-12", "wickerby-5", "tarnwick-d"):
        words = words_of(card_pdf(a_card(name)))
        assert "clocked" not in words, name
        assert "CO" not in words.split(), name
        assert "orifice" not in words, name
    assert "in. w.c." not in words_of(card_pdf(a_card("wickerby-5")))


def test_the_signs_of_print() -> None:
    assert typeset("-45 Pa, 1,180 cfm +-4 %, 720 in2, 2 ft3") == (
        "\u221245 Pa, 1,180 cfm \u00b14 %, 720 in\u00b2, 2 ft\u00b3"
    )
    assert typeset("SW1-6 ON -> OFF, pages 23-24, 3 tons x 350 cfm/ton") == (
        "SW1-6 ON to OFF, pages 23-24, 3 tons × 350 cfm/ton"
    )
    assert typeset("76,000 / (1.08 x 50 F)") == "76,000 / (1.08 \u00d7 50 \u00b0F)"


def test_a_link_has_the_caution_that_a_cut_stays() -> None:
    table, _ = load("saltmarsh-12")
    engine = Engine(table, Facts())
    card = build_card(engine, decode(engine, tuple(0 for _ in table.parts)))
    assert "A cut link can't be made whole again." in words_in(panel(card, "Before you touch the board"))
    assert "A cut link can't be made whole again." not in words_in(panel(corvane(), "Before you touch the board"))


def test_a_board_found_as_it_is_left_is_drawn_once() -> None:
    card = corvane("SW1=00011000", "SW1=00011000")
    assert "As found to as left" not in [one.title for one in card.panels]
    assert "As found and left" in words_of(card_pdf(card))
    assert "As found and left" in card_html(card)
    moved = panel(corvane("SW1=00011000", "SW1=10011000"), "As found to as left")
    assert words_in(moved)[2] == "Set SW1-1: ON to OFF."


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", sorted(listed()))
def test_no_text_of_any_board_lies_on_a_fold_and_none_is_small(name: str, paper: Paper) -> None:
    """6 mm, 17 pt, clear of edges and folds; words 11 pt at least."""
    pdf = card_pdf(a_card(name), paper)
    document = pypdfium2.PdfDocument(pdf)
    width, height = document[0].get_size()
    assert (width, height) == pytest.approx(SIZES[paper], abs=0.1)
    lines = lines_of(pdf)
    assert len(lines) > 40
    for _, text, (left, low, right, high) in lines:
        assert left > 16, text
        assert right < width - 16, text
        assert low > 10, text
        assert high < height - 10, text
        assert right < width / 2 - 10 or left > width / 2 + 10, text
        assert high < height / 2 or low > height / 2, text
    small = [
        (text.get_text(), text.size)
        for page in extract_pages(io.BytesIO(pdf))
        for container in page
        if isinstance(container, LTTextContainer)
        for line in container
        if isinstance(line, LTTextLine)
        for text in line
        if isinstance(text, LTChar) and text.fontname and _points(text) < 10.9
    ]
    assert small == []


def _points(char: LTChar) -> float:
    """The size a sign is set in: its matrix, where it isn't turned."""
    return float(char.matrix[3] if char.matrix[3] else char.size) if char.matrix[3] > 1 else float(char.size)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_text_of_the_card_is_in_the_pdf(paper: Paper) -> None:
    card = corvane(**GIVEN)
    words = set(words_of(card_pdf(card, paper)).replace("\u2013", "\u2212").split())
    for one in card.panels:
        for text in words_in(one):
            assert set(text.split()) <= words, text


def test_the_same_card_gives_the_same_bytes() -> None:
    assert card_pdf(corvane(**GIVEN)) == card_pdf(corvane(**GIVEN))


def rendered(pdf: bytes, dots: int = 200) -> list[Image.Image]:
    """The pages as pictures."""
    return [page.render(scale=dots / 72).to_pil().convert("L") for page in pypdfium2.PdfDocument(pdf)]


@pytest.mark.parametrize("name", ["corvane-k14", "brindlemoor-16s", "quillhaven-p", "lindmarrow-j"])
def test_the_code_is_read_off_the_printed_card(name: str) -> None:
    table, _ = load(name)
    card = a_card(name)
    (found,) = [code for page in rendered(card_pdf(card)) for code in zxingcpp.read_barcodes(np.asarray(page))]
    assert found.text == card.code
    assert len(found.text.encode()) < 300
    assert setting_of_code(parsed_code(found.text), table) == tuple(0 for _ in table.parts)


def test_the_code_is_read_off_a_crooked_grey_photograph() -> None:
    """Turned by 17 degrees, blurred by half and with little contrast."""
    card = corvane()
    turned = [page.rotate(17, expand=True, fillcolor=255).reduce(1) for page in rendered(card_pdf(card), 150)]
    grey = [(np.asarray(picture, dtype=np.float64) * 0.5 + 70).astype(np.uint8) for picture in turned]
    (found,) = [code for picture in grey for code in zxingcpp.read_barcodes(picture)]
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
        assert setting_of_code(parsed_code(found.text), table) == marked(table, "SW1=00011000")
        text = " ".join(page.inner_text("body").split())
        for value in ("1,198", "1,180", "K-14, pages 23-24", "Hall cupboard", "2026-05-01", card.left_marks):
            assert value in text
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert asked == []


def test_the_first_sheet_of_every_page_holds_board_and_airflows() -> None:
    with chromium() as browser:
        page = browser.new_page()
        for name in sorted(listed()):
            card = a_card(name)
            for paper in PAPERS:
                page.set_content(card_html(card, paper))
                document = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
                assert document[0].get_size() == pytest.approx(SIZES[paper], abs=1.5)
                # a board of eight selectors, none of them small, fills its sheet: its airflows head the next
                sheets = 2 if name == "ostrandel-v" else 1
                found = " ".join(" ".join(document[n].get_textpage().get_text_range().split()) for n in range(sheets))
                for text in (card.title.split()[-1], *grid(card.panels[0])):
                    assert text in found, (name, paper, text)


def poisoned(value: Any) -> Any:
    """The same value with hostile markup in front of every text; the code stays, it is made of plain signs."""
    if isinstance(value, str):
        return HOSTILE + value
    if isinstance(value, tuple):
        return tuple(poisoned(v) for v in value)
    if isinstance(value, Struct):
        kept = ("code", "kind", "form", "look", "name")
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


def many_rows(count: int) -> Iterator[tuple[SheetCell, ...]]:
    """Calls without end."""
    for i in range(count):
        yield (SheetCell(text=f"call{i} stage"), SheetCell(text="Y1 Y2"), SheetCell(text="1,000"), SheetCell(text=""))


@pytest.mark.parametrize("count", [20, 60, 200])
def test_nothing_is_lost_where_a_part_is_too_long(count: int) -> None:
    card = corvane()
    first = card.panels[0]
    blocks = tuple(replace(b, rows=tuple(many_rows(count))) if isinstance(b, SheetGrid) else b for b in first.blocks)
    pdf = card_pdf(replace(card, panels=(replace(first, blocks=blocks), *card.panels[1:])))
    words = set(words_of(pdf).split())
    assert {f"call{i}" for i in range(count)} <= words
    assert all(low > 5 and high < 787 for _, _, (_, low, _, high) in lines_of(pdf))


def test_signs_no_built_in_font_has() -> None:
    """Written with a font that has them where one is at hand, else by number; never left out."""
    assert BUILT_IN.safe("25 \u2212 5 \u4e2d") == "25 \u2013 5 (U+4E2D)"
    vera = str(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")
    card = corvane()
    card = replace(card, panels=(replace(card.panels[0], title="\u0141\u00f3\u0142 \u4e2d"), *card.panels[1:]))
    assert fonts_for([card.panels[0].title], vera).plain == "Vera"
    assert "\u0141\u00f3\u0142 (U+4E2D)" in words_of(card_pdf(card, font=vera))


def test_a_title_longer_than_its_quarter_goes_on_in_the_next() -> None:
    card = corvane()
    pdf = card_pdf(replace(card, panels=(replace(card.panels[0], title="A" * 4000), *card.panels[1:])))
    set_letters = sum(len(word) for word in words_of(pdf).split() if len(word) > 9 and set(word) == {"A"})
    assert 3980 < set_letters <= 4000  # the last line may be a short one
    assert all(low > 5 and high < 787 for _, _, (_, low, _, high) in lines_of(pdf))


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


def test_a_figure_that_the_page_leaves_open_is_both() -> None:
    """Page 11 prints 1050 or 1100 for D1 at 2, model Z30; s1 is 40 % of it: 420 or 440."""
    table, _ = load("wickerby-z")
    engine = Engine(table, Facts(model="Z30"))
    said = grid(build_card(engine, decode(engine, marked(table, "D1=2 J1=A")), None).panels[0])
    assert [said[name][2].text for name in ("cooling s1", "cooling s7")] == ["420 or 440", "1,050 or 1,100"]
