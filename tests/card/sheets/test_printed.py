"""The printed sheets: every word is on the pages, in the sizes that a gloved hand and old eyes need, and nothing of a
job is markup."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdfium2
import pytest

from selector.answers.sheets.helper import helper_sheet
from selector.answers.sheets.owner import owner_sheet
from selector.answers.sheets.sheet import PersonSheet, SheetSection, SheetStep, plain_text, say
from selector.card.html import Paper
from selector.card.sheets.html import sheet_html
from selector.card.sheets.pdf import sheet_pdf
from selector.card.sheets.typeset import printed
from selector.job.file.read import load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of, table_of
from selector.job.visits.owed import unit_record

EXAMPLES = Path(__file__).parents[2] / "examples"


def helper() -> PersonSheet:
    job, _ = load_job(str(EXAMPLES / "jobs" / "gas-two-stage-altitude.yaml"))
    return helper_sheet(plan(house_of(job)).solution, ())


def owner() -> PersonSheet:
    job, _ = load_job(str(EXAMPLES / "visits" / "gas-over-three-visits.yaml"))
    return owner_sheet(unit_record(job, table_of(job)))


def words_of(sheet: PersonSheet) -> str:
    texts = [sheet.title, sheet.unit, sheet.place, *sheet.first, *sheet.foot]
    for step in sheet.steps:
        texts += [plain_text(step.do), *step.more, *step.stop, *(b.name for b in step.blanks)]
    for section in sheet.sections:
        texts += [section.title, *section.lines, *(cell for row in section.rows for cell in row)]
    return " ".join(printed(text) for text in texts)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("sheet", [helper(), owner()], ids=["helper", "owner"])
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_every_word_is_printed(sheet: PersonSheet, paper: Paper) -> None:
    document = pypdfium2.PdfDocument(io.BytesIO(sheet_pdf(sheet, paper)))
    printed = squeezed("".join(page.get_textpage().get_text_range() for page in document))
    for word in words_of(sheet).split():
        assert squeezed(word) in printed, word
    html = squeezed(re.sub(r"<[^>]*>", "", sheet_html(sheet, paper)).replace("&#x27;", "'"))
    for word in words_of(sheet).split():
        assert squeezed(word) in html, word


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_pdf(helper()) == sheet_pdf(helper())


def test_steps_are_set_in_15_and_numbers_in_25_points() -> None:
    """look.md, Type: helper 15 text, 12 small, 25 step numbers."""
    import pypdfium2.raw as raw

    page = pypdfium2.PdfDocument(io.BytesIO(sheet_pdf(helper())))[0]
    text = page.get_textpage()
    whole = text.get_text_range()

    def size(of: str) -> float:
        return round(float(raw.FPDFText_GetFontSize(text, whole.index(of))), 1)

    assert size("Lock it, tag it") == 15
    assert size("A qualified person") == 12
    sizes = {round(raw.FPDFText_GetFontSize(text, n), 1) for n in range(len(whole)) if not whole[n].isspace()}
    assert 25 in sizes
    assert min(sizes) >= 11


def test_nothing_leaves_the_paper_and_no_step_is_cut() -> None:
    long = SheetStep(do=say("Move " + "a very long name " * 30), more=("small " * 80, "w" * 300))
    sheet = PersonSheet(reader="helper", title="T", unit="U", place="", first=(), steps=(long,) * 9)
    for paper, (wide, high) in (("letter", (612, 792)), ("A4", (595, 842))):
        document = pypdfium2.PdfDocument(io.BytesIO(sheet_pdf(sheet, paper)))  # type: ignore[arg-type]
        assert len(document) > 2
        for page in document:
            text = page.get_textpage()
            for n in range(text.count_rects()):
                left, bottom, right, top = text.get_rect(n)
                assert left >= 40
                assert right <= wide - 40
                assert bottom >= 30
                assert top <= high - 30


def test_no_text_of_a_job_is_markup() -> None:
    section = SheetSection(title="<b>", lines=("<script>alert(1)</script>",), heads=("<i>", "x"), rows=(("<u>", "&"),))
    sheet = PersonSheet(reader="owner", title="<h1>", unit="<img>", place='"', first=("<p>",), sections=(section,))
    html = sheet_html(sheet)
    assert "<script>" not in html
    assert "<img>" not in html
    assert "&lt;script&gt;" in html


def test_signs_of_print() -> None:
    assert printed("over 65 F, -3 to +/-5 %: ON -> OFF").replace("\u00a0", " ") == "over 65 °F, −3 to ±5 %: ON to OFF"
