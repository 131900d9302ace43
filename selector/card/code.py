"""The code of a card: table, edition, the facts that change an answer, the marks and a check, in less than 300 bytes.
What it says is enough to read it back: `selector decode "CODE"`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from selector.problems import Problem, Refused
from selector.solve.board.marks import marks_of, read_marks, setting_of
from selector.table.library.library import listed, load
from selector.table.model.edition import edition
from selector.table.model.table import Setting, Table
from selector.value import Struct

MOST_BYTES = 299
FACTS = ("model", "plate model", "motor", "altitude", "derate", "heat input", "tons")
"""The facts a code carries, by the names they are typed with in a job."""
SIGNS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Thirty-two signs, none of which is taken for another when it is read aloud or off paper."""
_CODE = re.compile(
    r"\s*table\s+(?P<table>[^;]+?)\s*;\s*edition\s+(?P<edition>\d+)\s*;(?P<rest>.*?);?\s*check\s+(?P<check>\w+)\W*",
    re.IGNORECASE | re.DOTALL,
)
_FACT = re.compile(rf"({'|'.join(sorted(FACTS, key=len, reverse=True))})\s+([^=]*)", re.IGNORECASE | re.DOTALL)
Facts = tuple[tuple[str, str], ...]


class CardCode(Struct, frozen=True, kw_only=True):
    """What a code says, as typed."""

    table: str
    edition: str
    facts: Facts
    marks: str

    @property
    def model(self) -> str:
        """The model it names, empty where it names none."""
        return dict(self.facts).get("model", "")


def card_code(table: Table, setting: Setting, facts: Iterable[tuple[str, str]] = ()) -> str:
    """`table corvane-k14; edition 58203117; model 080; altitude 5000 ft; SW1=10011000; check 3F7`.

    Refused where that is longer than 299 bytes.
    """
    kept = [f"{name} {text}" for name, value in facts if name in FACTS and (text := _plain(value))]
    said = "; ".join((f"table {_plain(table.name)}", f"edition {edition(table)}", *kept, marks_of(setting, table)))
    text = f"{said}; check {check_of(said)}"
    if len(text.encode()) > MOST_BYTES:
        message = f"the marks of this board don't fit in {MOST_BYTES} bytes"
        raise Refused([_problem(text, "too-long-for-a-code", message, "type them from the card")])
    return text


def looks_like_a_code(text: str) -> bool:
    """True for what begins and ends as a code does, right or wrong."""
    folded = text.casefold()
    return "edition " in folded and "check " in folded


def parsed_code(text: str) -> CardCode:
    """What a code says. Raises Refused for what is no code and for one mistyped.

    Case, spaces, line ends and the quotation marks around words don't matter.
    """
    found = _CODE.fullmatch(text)
    if found is None:
        help = "type it whole, from `table` to the letters after `check`"
        raise Refused([_problem(text, "no-code", "that is not the code of a card", help)])
    said = text[: text.casefold().rindex("check ")].strip().rstrip(";")
    if found["check"].upper() != check_of(said):
        message = "something in this code is mistyped: the check doesn't agree"
        raise Refused([_problem(text, "mistyped-code", message, "compare it with the card")])
    facts, marks = [], []
    for piece in found["rest"].split(";"):
        fact = _FACT.fullmatch(piece.strip())
        if fact is not None:
            facts.append((fact[1].casefold(), " ".join(fact[2].split())))
        elif piece.strip():
            marks.append(" ".join(piece.split()))
    return CardCode(
        table=" ".join(found["table"].split()), edition=found["edition"], facts=tuple(facts), marks=" ".join(marks)
    )


def table_of_code(code: CardCode) -> Table:
    """The table that a code names, from the library. Raises Refused."""
    mine = code.table.casefold()
    try:
        return load(next((name for name in listed() if name.casefold() == mine), code.table))[0]
    except Refused as refused:
        if any(p.line for p in refused.problems):
            raise
        message = f"this card is of the table {code.table}, which isn't in the library"
        help = 'add its file: selector decode FILE.yaml "CODE"'
        raise Refused([_problem(code.table, "no-table", message, help)]) from refused


def setting_of_code(code: CardCode, table: Table) -> Setting:
    """The setting a code stands for. Raises Refused for a code of another table or edition, and marks this board
    doesn't have."""
    if code.edition != edition(table):
        message = (
            f"this card was written for another table or edition: {code.table} {code.edition}, this is {table.name}"
            f" {edition(table)}"
        )
        help = "use the table the card names, or read the board itself and write a new card"
        raise Refused([_problem(code.table, "other-edition", message, help)])
    return setting_of(read_marks([code.marks], table), table)


def check_of(said: str) -> str:
    """Three signs over everything before the check: FNV-1a, 32 bits (G. Fowler, L. C. Noll, K.-P. Vo, offset basis
    2166136261, prime 16777619), of the text without case, quotation marks, hyphens and spaces.

    >>> check_of("foobar")
    'ADY'
    """
    number = 2166136261
    for byte in re.sub(r"[\"'\s-]", "", said).lower().encode("utf-8", "surrogatepass"):
        number = (number ^ byte) * 16777619 % 2**32
    out = ""
    for _ in range(3):
        number, sign = divmod(number, len(SIGNS))
        out += SIGNS[sign]
    return out


def code_facts(pairs: Sequence[tuple[str, str]]) -> Facts:
    """The facts that a code carries out of those known: everything but what altitude alone makes matter where there is
    none."""
    known = dict(pairs)
    high = known.get("altitude", "").strip() not in ("", "0", "0 ft", "0 m")
    only_high = ("altitude", "derate", "motor")
    return tuple((n, known[n]) for n in FACTS if known.get(n) and (high or n not in only_high))


def _plain(text: str) -> str:
    """A text without what ends a part of the code or begins its marks."""
    return " ".join("".join(" " if c in ";=" or not c.isprintable() else c for c in text).split())


def _problem(text: str, code: str, message: str, help: str) -> Problem:
    return Problem(
        file="card code", line=1, column=1, code=code, message=message, help=help, source=text, length=max(1, len(text))
    )
