"""The pocket page in a real browser: made, opened from a file, asked."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, expect

from selector.pocket.page import pocket_html
from selector.table.library.library import load
from selector.table.model.table import Table
from tests.helpers.pocket_cases import JAVASCRIPT, Question

TABLES = Path(__file__).parents[2] / "tables"
NAMES = tuple(sorted(p.stem for p in TABLES.glob("*.yaml")))
AT_ONCE = 2000
expect.set_options(timeout=30_000)


@cache
def shipped(name: str) -> Table:
    """A shipped table."""
    return load(str(TABLES / f"{name}.yaml"))[0]


@cache
def page_of(*names: str) -> str:
    """The page of shipped tables."""
    return pocket_html([shipped(n) for n in names])


def opened(context: BrowserContext, folder: Path, text: str) -> tuple[Page, list[str]]:
    """The page opened from a file without network, and everything the browser complains of or asks for."""
    path = folder / "page.html"
    path.write_text(text, encoding="utf-8")
    context.set_offline(True)
    page = context.new_page()
    told: list[str] = []
    page.on("console", lambda m: told.append(m.text))
    page.on("pageerror", lambda e: told.append(str(e)))
    page.on("request", lambda r: told.append(r.url) if r.url != path.as_uri() else None)
    page.goto(path.as_uri())
    return page, told


@contextmanager
def every_table(browser: Browser, folder: Path) -> Iterator[Page]:
    """One page of every shipped table, in the order of NAMES, ready to be asked."""
    page, told = opened(browser.new_context(), folder, page_of(*NAMES))
    page.evaluate(JAVASCRIPT)
    yield page
    page.context.close()
    assert not told


def answers(page: Page, table: Table, questions: Sequence[Question], number: int = 0) -> list[Any]:
    """What a page answers to questions about one of its tables."""
    out: list[Any] = []
    for start in range(0, len(questions), AT_ONCE):
        share = json.dumps([q.data(table) for q in questions[start : start + AT_ONCE]])
        out += json.loads(
            page.evaluate("([n, questions]) => answered(pocketPage.tables[n], questions)", [number, share])
        )
    return out


def asked(browser: Browser, folder: Path, table: Table, questions: Sequence[Question]) -> list[Any]:
    """What the page of one table answers to questions."""
    page, told = opened(browser.new_context(), folder, pocket_html([table]))
    page.evaluate(JAVASCRIPT)
    out = answers(page, table, questions)
    page.context.close()
    assert not told
    return out
