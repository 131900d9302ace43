"""A page from a file or from the clipboard: read, understood, shown beside what was given, and handed on to a draft."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from selector.table.from_file.rows import TO_TYPE
from selector.table.model.quantities import BUILT_IN_FACTS, CONTINUOUS_FACTS, RESERVED_WORDS
from selector.table.source import LARGEST_BYTES, read_bytes
from selector.transcribe.cells.grid import Grid, refused
from selector.transcribe.cells.grid_text import grid_from_bytes
from selector.transcribe.cells.grid_xlsx import grid_from_xlsx
from selector.transcribe.import_page.rows import LABEL
from selector.transcribe.import_page.understand import Understood
from selector.transcribe.typed.board import MistypedAnswer, TypedSelector, kind_by_label
from selector.transcribe.typed.chart import name_allowed, read_chart, rows_answered
from selector.value import replace

_NUMBER = re.compile(r"\d*\.?\d")
_SELECTOR = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:-\d{1,2})?")


def read_page(path: str, sheet: str = "") -> Grid:
    """The grid of a file: xlsx by its beginning, anything else as text. Refused in plain words where it can't be
    read."""
    return page_from_bytes(read_bytes(path, LARGEST_BYTES * 4), path, sheet)


def page_from_bytes(data: bytes, name: str, sheet: str = "") -> Grid:
    """The same for data that was read already (standard input, the clipboard)."""
    if data.startswith(b"PK\x03\x04"):
        return grid_from_xlsx(data, name, sheet)
    for start, what in (
        (b"%PDF-", "a PDF: open it, mark the chart, copy it and paste it as text"),
        (b"\xd0\xcf\x11\xe0", "an old office file: save it as xlsx or CSV"),
    ):
        if data.startswith(start):
            raise refused(name, "not-text", f"This is {what}.", "Then give that.")
    if b"\0" in data[:4000] and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refused(
            name,
            "not-text",
            "This is no text and no spreadsheet.",
            "Save the chart as CSV or xlsx, or paste it as text.",
        )
    return grid_from_bytes(data, name)


def beside(understood: Understood) -> list[tuple[str, str]]:
    """(what was given, what was understood), row for row, heads first."""
    out = []
    heads = "; ".join(f"{name}: {' '.join(words)}" for name, words in understood.heads)
    head = f"{understood.name}   set: {' '.join(understood.set)}" + (f"   across {heads}" if heads else "")
    out.append(
        (
            "",
            f"{head}   gives {', '.join(understood.gives)}" + (f"   page {understood.page}" if understood.page else ""),
        )
    )
    for row, text in zip(understood.rows, understood.row_lines(), strict=True):
        out.append((row.given, text + "".join(f"   <- {why}" for why in row.left)))
    return out


def across_complaint(page: Understood, at: int, name: str) -> str:
    """What is wrong with a name for what stands along the top (`at` counts from the outermost), "" where nothing is."""
    odd = next((w for w in page.heads[at][1] if not _NUMBER.match(w)), "")
    if name in CONTINUOUS_FACTS and odd:
        return f"`{odd}` is no figure, so these are no {name}; type what they are, such as model"
    return _complaint(
        replace(page, heads=tuple((name if i == at else n, words) for i, (n, words) in enumerate(page.heads))), name
    )


def set_complaint(page: Understood, at: int, name: str) -> str:
    """What is wrong with a name for what sets the rows (`at` counts from the left), "" where nothing is."""
    if name != "model" and not _SELECTOR.fullmatch(name):
        return f"`{name}` is no label; type it as on the board: SW1-1, J1, or model"
    return _complaint(replace(page, set=tuple(name if i == at else n for i, n in enumerate(page.set))), name)


def _complaint(page: Understood, name: str) -> str:
    if name.casefold() in RESERVED_WORDS and name not in BUILT_IN_FACTS:
        return f"`{name}` has a meaning of its own; type what it is on the page, such as model"
    if sum(1 for n, _ in page.heads if n == name) + page.set.count(name) > 1:
        return f"{name} is listed twice. Delete one."
    heads = tuple((f"head{i}" if n == TO_TYPE else n, words) for i, (n, words) in enumerate(page.heads))
    try:
        name_allowed(name)
        _answers(
            [
                replace(
                    page,
                    heads=heads,
                    set=tuple(f"D{i}" if n == TO_TYPE else n for i, n in enumerate(page.set, start=90)),
                )
            ]
        )
    except MistypedAnswer as wrong:
        return str(wrong)
    return ""


def answers_of(pages: Sequence[Understood], *, later: bool = False) -> tuple[dict[str, str], dict[str, str]]:
    """Answers to a draft's questions: those that the pages give, and those to offer (what a page with charts alone
    tells of the board).

    What else is asked is still to be answered. Refused where names are missing; what stands along the top may be typed
    `later`, in the file.
    """
    for page in pages:
        if TO_TYPE in page.set or (not later and any(n == TO_TYPE for n, _ in page.heads)):
            what = f"in {page.name}, what sets the rows, or what the columns are, isn't known"
            raise refused(page.source, "names-missing", what, "Add --set and --across.")
        if page.pressure == "Pa" and not page.airflow and not later:
            what = f"{page.name} has pressures in Pa; its unit of airflow is not stated."
            raise refused(page.source, "names-missing", what, "Add --answer airflow=L/s, or m3/h, or cfm.")
    try:
        return _answers(pages)
    except MistypedAnswer as wrong:
        names = ", ".join(dict.fromkeys(page.source for page in pages))
        what = f"no table can be made of this as it was read: {wrong}"
        raise refused(names, "cannot-go-on", what, "say it by --set, --across or --name") from wrong


def _answers(pages: Sequence[Understood]) -> tuple[dict[str, str], dict[str, str]]:
    known: dict[str, str] = {}
    selectors = _board(pages)
    offered = {f"board {n}": _board_line(s) for n, s in enumerate(selectors, start=1)}
    pressures = {page.pressure for page in pages if page.pressure}
    if len(pressures) == 1:
        offered["pressure"] = pressures.pop()
    units = list(dict.fromkeys(page.airflow for page in pages if page.airflow))
    if len(units) == 1:
        offered["airflow"] = units[0]
    models = next((words for page in pages for name, words in _words_of(page) if name == "model"), ())
    odd = next((m for m in models if " " in m), "")
    if odd:
        raise MistypedAnswer(f"`{odd}` can't be a model, with a blank in it")
    if models:
        known["models"] = " ".join(models)
    labels = [TypedSelector(label=p.name, kind="label", positions=p.labels) for p in pages if p.labels]
    for n, page in enumerate(pages, start=1):
        by = ", ".join(_by(name, words) for name, words in page.heads)
        line = (
            f"{page.name}: {' '.join(page.set)}" + (f" across {by}" if by else "") + f" gives {', '.join(page.gives)}"
        )
        known[f"chart {n}"] = line + (f" page {page.page}" if page.page else "")
        read_chart(known[f"chart {n}"], [*selectors, *labels], models, ())
        known[f"chart {n} rows"] = rows_answered([(row.marks, row.text) for row in page.rows])
    return known, offered


def _by(name: str, words: Sequence[str]) -> str:
    """What stands along the top as a person types it behind `across`: a colon behind a name of several words, strokes
    between heads of several."""
    colon = ":" if " " in name and name not in BUILT_IN_FACTS else ""
    return f"{name}{colon} {(' / ' if any(' ' in w for w in words) else ' ').join(words)}"


def _words_of(page: Understood) -> Iterator[tuple[str, tuple[str, ...]]]:
    """(name, words) of what stands along the top, then down the side."""
    yield from page.heads
    for at, name in enumerate(page.set):
        yield name, page.positions_of(at)


def _board_line(selector: TypedSelector) -> str:
    if selector.kind == "switches":
        senses = "" if selector.positions == ("OFF", "ON") else " " + " ".join(selector.positions)
        return f"{selector.label} switches {selector.count}{senses}"
    return f"{selector.label} {selector.kind} {' '.join(selector.positions)}"


def _board(pages: Sequence[Understood]) -> list[TypedSelector]:
    found: dict[str, TypedSelector] = {}
    labelled = {page.name for page in pages if page.labels}
    for page in pages:
        for at, name in enumerate(page.set):
            if name == "model" or name in labelled:
                continue
            label, dash, number = name.partition("-")
            shown = page.positions_of(at)
            known = found.get(label)
            if dash and number.isdecimal():
                count = max(int(number), known.count if known else 0)
                found[label] = TypedSelector(
                    label=label, kind="switches", positions=shown if len(shown) == 2 else ("OFF", "ON"), count=count
                )
            else:
                kind = kind_by_label(label) or "dial"
                if kind == "switches":
                    raise MistypedAnswer(
                        f"{label} is a bank; say which of its switches set the rows, such as {label}-1"
                    )
                positions = tuple(dict.fromkeys((*(known.positions if known else ()), *shown)))
                found[label] = TypedSelector(label=label, kind=kind, positions=positions)
        for name, words in page.heads:
            if LABEL.fullmatch(name) and any(c.isdigit() for c in name) and "-" not in name:
                found.setdefault(name, TypedSelector(label=name, kind=kind_by_label(name), positions=words))
    return list(found.values())
