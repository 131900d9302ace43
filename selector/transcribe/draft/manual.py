"""The manual of a page as a person types it: `K-14 23-24`, `4012 pages 23, 25`, `9`."""

from __future__ import annotations

import re

_PAGES = re.compile(r"\d{1,4}(?:-\d{1,4})?")


def number_and_pages(text: str) -> tuple[str, str]:
    """Its number and its pages: what stands behind the word page, else the figures at the end."""
    number, page, pages = re.sub(
        r"(?:^|\s)p(?:ages?|p?\.)(?:\s|$)", "\n", text.replace(",", " "), count=1, flags=re.IGNORECASE
    ).partition("\n")
    words = number.split()
    if page:
        return " ".join(words), " ".join(pages.split())
    first = next((i for i in range(len(words)) if all(_PAGES.fullmatch(w) for w in words[i:])), len(words))
    first = max(first, 1) if len(words) > 1 else first
    return " ".join(words[:first]), " ".join(words[first:])


def only_page(text: str) -> str:
    """The page of a manual of which one page alone was named, "" for others."""
    pages = number_and_pages(text)[1]
    return pages if pages.isdecimal() else ""
