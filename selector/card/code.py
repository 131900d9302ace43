"""The code of a card: the setting in the marks that decode reads, with the table's title, its edition and a check,
in less than 300 bytes."""

from __future__ import annotations

import re

from selector.problems import Problem, Refused
from selector.solve.board.marks import marks_of, read_marks, setting_of
from selector.table.model.edition import edition, mark_of
from selector.table.model.table import Setting, Table

MOST_BYTES = 299
_LONGEST_TITLE = 60
_CODE = re.compile(
    r"\s*(?:table\s+(?P<title>[^;]*);)?\s*edition\s+(?P<edition>[\w-]+)\s*;?\s*(?:model\s+(?P<model>[^;]*);)?\s*(?P<marks>.*?)\s*;?\s*check\s+(?P<check>\w+)\W*",
    re.IGNORECASE | re.DOTALL,
)


def card_code(table: Table, setting: Setting, model: str = "") -> str:
    """`table Two-stage gas furnace; edition K7QM-2R4T; model 080; SW1=10011000; check 3F7`.

    The title is cut where the whole would be longer than 299 bytes; Refused where even so it is.
    """
    marks, mark = marks_of(setting, table), edition(table)
    believed = f"model {_plain(model)}; " if model else ""
    rest = f"edition {mark}; {believed}{marks}; check {_check(mark, _plain(model), marks)}"
    title = _plain(f"{table.unit.maker} {table.unit.title}")
    while len(title) > _LONGEST_TITLE:
        title = title.rpartition(" ")[0] or title[:_LONGEST_TITLE]
    while title and len(f"table {title}; {rest}".encode()) > MOST_BYTES:
        title = title.rpartition(" ")[0]
    text = f"table {title}; {rest}" if title else rest
    if len(text.encode()) > MOST_BYTES:
        raise Refused(
            [
                _problem(
                    marks,
                    "too-long-for-a-code",
                    f"the marks of this board don't fit in {MOST_BYTES} bytes",
                    "type them from the card",
                )
            ]
        )
    return text


def read_card_code(text: str, table: Table) -> Setting:
    """The setting a code stands for. Raises Refused for a code of another table or edition, one mistyped, and marks
    this board doesn't have.

    Case, blanks, line ends and the quotation marks around words don't matter.
    """
    found = _CODE.fullmatch(text)
    if found is None:
        raise Refused(
            [
                _problem(
                    text,
                    "no-code",
                    "that is not the code of a card",
                    "type it whole, from `edition` to the letters after `check`",
                )
            ]
        )
    mine = edition(table)
    if _folded(found["edition"]) != _folded(mine):
        whose = f" ({' '.join(found['title'].split())})" if found["title"] else ""
        raise Refused(
            [
                _problem(
                    text,
                    "other-edition",
                    f"this card was written for another table or edition{whose}: {found['edition'].upper()}, this table"
                    f" is {mine}",
                    "use the table the card names, or read the board itself and write a new card",
                )
            ]
        )
    if _folded(found["check"]) != _folded(_check(mine, found["model"] or "", found["marks"])):
        raise Refused(
            [
                _problem(
                    text,
                    "mistyped-code",
                    "something in this code is mistyped: the check doesn't agree",
                    "compare it with the card",
                )
            ]
        )
    return setting_of(read_marks([" ".join(found["marks"].split())], table), table)


def code_model(text: str) -> str:
    """The model named in a code, empty where it names none."""
    found = _CODE.fullmatch(text)
    return " ".join((found["model"] or "").split()) if found is not None else ""


def _check(mark: str, model: str, marks: str) -> str:
    """Three signs over everything that matters in a code."""
    return mark_of("|".join(_folded(part) for part in (mark, model, marks)), 3)


def _folded(text: str) -> str:
    return " ".join(re.sub(r"[\"'-]", "", text).split()).casefold()


def _plain(text: str) -> str:
    """A text without what ends a part of the code."""
    return " ".join("".join(" " if c == ";" or not c.isprintable() else c for c in text).split())


def _problem(text: str, code: str, message: str, help: str) -> Problem:
    return Problem(
        file="card code", line=1, column=1, code=code, message=message, help=help, source=text, length=max(1, len(text))
    )
