"""A chart as a person describes it in one line: `cooling airflow: 1-3 across model`, `run-on: SW1-7 gives seconds`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import product

from selector.table.from_file.rows import REFUSING, TO_TYPE
from selector.table.model.quantities import QUANTITIES, RESERVED_WORDS
from selector.table.text.quoting import quoted
from selector.transcribe.typed.board import MistypedAnswer, TypedSelector, combinations_of, spread
from selector.transcribe.typed.text import noted, odd_word
from selector.value import Struct, replace

MOST_ROWS = 4096
_GUESSES = (
    ("per ton", "airflow per ton"),
    ("offset", "offset"),
    ("adjust", "trim"),
    ("trim", "trim"),
    ("least", "least airflow"),
    ("fan", "share"),
    ("share", "share"),
    ("delay", "seconds"),
    ("after", "seconds"),
    ("run-on", "seconds"),
    ("run on", "seconds"),
    ("wait", "seconds"),
    ("seconds", "seconds"),
    ("start", "ramp"),
    ("comes up", "ramp"),
)
_SWITCHES = re.compile(r"(.*?)(\d{1,2})(?:-|\.\.)(\d{1,2})")


class TypedChart(Struct, frozen=True, kw_only=True):
    """A chart to be laid out: `parts` with the positions of each, `heads` with their words, `rows` the figures typed so
    far (None: still to type,
    "" : left out); `given` are whole rows of a page that was read, in place of them. `first_fastest` where the first
    position changes
    from row to row."""

    name: str
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...] = ()
    gives: tuple[str, ...] = ("airflow",)
    page: str = ""
    taps: bool = False
    first_fastest: bool = True
    rows: tuple[str | None, ...] = ()
    conditions: str = ""
    given: tuple[tuple[tuple[str, ...], str], ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The words above the figures of a row, with the quantity where there are several."""
        heads = [" ".join(c) for c in product(*(words for _, words in self.heads))]
        if len(self.gives) == 1:
            return tuple(heads) if self.heads else self.gives
        return tuple(f"{h} {q}".strip() for h in heads for q in self.gives)

    @property
    def labels(self) -> tuple[str, ...]:
        """The labels typed so far of a chart that gives nothing else, which other charts may go by."""
        typed = [text for _, text in self.given] or [text or "" for text in self.rows]
        words = [text.partition("  (")[0].strip() for text in typed if self.gives == ("label",)]
        return tuple(dict.fromkeys(w for w in words if w not in ("", "-", TO_TYPE, *REFUSING)))

    def as_selector(self) -> TypedSelector:
        """Its labels as what another chart is set by."""
        return TypedSelector(label=self.name, kind="label", positions=self.labels)

    def positions(self) -> tuple[tuple[str, ...], ...]:
        """The positions of every row, in the manual's order."""
        if self.first_fastest:
            return tuple(tuple(reversed(c)) for c in product(*(p for _, p in reversed(self.parts))))
        return tuple(product(*(p for _, p in self.parts)))

    def lines(self, indent: int = 2) -> list[str]:
        """Its lines under `charts:`: every row with its positions, `_` for what is still to type."""
        pad = " " * indent
        out = [f"{pad}{self.name}:"]
        if self.page:
            out.append(f"{pad}  page: {self.page}")
        if self.parts:
            out.append(f"{pad}  set: {' '.join(n for n, _ in self.parts)}")
        if self.heads:
            out.append(f"{pad}  across: {{{', '.join(f'{n}: {listed(words)}' for n, words in self.heads)}}}")
        out.append(f"{pad}  gives: {', '.join(self.gives)}")
        if self.conditions:
            out.append(f"{pad}  conditions: {quoted(self.conditions)}")
        body = laid_out(self._body())
        return (
            [*out, f"{pad}  rows: |", *(f"{pad}    {line}" for line in body)]
            if body
            else [*out, f"{pad}  rows: {TO_TYPE}"]
        )

    def _body(self) -> list[tuple[tuple[str, ...], str]]:
        if self.given:
            return list(self.given)
        body: list[tuple[tuple[str, ...], str]] = []
        for at, marks in enumerate(self.positions()):
            figures = self.rows[at] if at < len(self.rows) else None
            if figures != "":
                body.append((marks, " ".join(TO_TYPE for _ in self.columns) if figures is None else figures))
        return body


def rows_answered(rows: Sequence[tuple[tuple[str, ...], str]]) -> str:
    """Whole rows as one answer: bars behind each position, semicolons between the rows.

    >>> rows_answered([(("OFF", "ON"), "540 720"), (("ON", "ON"), "do not use")])
    'OFF | ON | 540 720; ON | ON | do not use'
    """
    return "; ".join(
        " | ".join([*marks, " ".join(text.replace("|", "/").replace(";", ",").split())]) for marks, text in rows
    )


def rows_given(answer: str, parts: int) -> tuple[tuple[tuple[str, ...], str], ...]:
    """The rows that `rows_answered` made an answer of, each with the positions of so many parts."""
    pieces = [[cell.strip() for cell in row.split("|", parts)] for row in answer.split(";") if row.strip()]
    return tuple((tuple(cells[:parts]), cells[-1]) for cells in pieces if len(cells) == parts + 1)


def listed(words: Sequence[str]) -> str:
    """Words as a list of a table file: commas in brackets where one holds a blank."""
    return f"[{', '.join(words)}]" if any(" " in w for w in words) else " ".join(words)


def laid_out(rows: Sequence[tuple[tuple[str, ...], str]]) -> list[str]:
    """Rows with their positions below each other and their figures to the right."""
    if not rows:
        return []
    widths = [max(len(marks[i]) for marks, _ in rows) for i in range(len(rows[0][0]))]
    split = [figures.partition("(")[0] for _, figures in rows]
    cells = [figures.split() if _plain(figures) else [figures.rstrip()] for figures in split]
    count = max(len(c) for c in cells)
    columns = [max((len(c[i]) for c in cells if len(c) == count), default=0) for i in range(count)]
    out = []
    for (marks, figures), row in zip(rows, cells, strict=True):
        left = " ".join(m.ljust(w) for m, w in zip(marks, widths, strict=True))
        right = " ".join(t.rjust(w) for t, w in zip(row, columns, strict=True)) if len(row) == count else " ".join(row)
        note = figures.partition("(")[2]
        out.append(f"{left}  {right}{f'  ({note}' if note else ''}".strip())
    return out


def _plain(figures: str) -> bool:
    """True for a row of single words."""
    return all(re.fullmatch(r"[-+_?]?[\d.]*", word) for word in figures.split())


def read_chart(
    text: str, board: Sequence[TypedSelector], models: Sequence[str], taken: Sequence[str] = ()
) -> TypedChart:
    """The chart of a line: NAME: SELECTORS [across HEADS] [gives QUANTITIES] [page N] [(what it holds for)]. Mistyped
    says what is wrong."""
    text, conditions = noted(text)
    name, colon, rest = text.partition(":")
    name = " ".join(name.split())
    if not colon or not name:
        raise MistypedAnswer(
            "type a name, a colon and the selectors that set it: cooling airflow: SW1-2 SW1-3 SW1-4 across model"
        )
    name_allowed(name)
    if name.casefold() in RESERVED_WORDS or name.casefold().startswith("call "):
        raise MistypedAnswer(f"`{name}` has a meaning of its own; call it `{name} chart`, or `cooling {name}`")
    if name.casefold() in [t.casefold() for t in taken]:
        raise MistypedAnswer(f"the name {name} stands already")
    pieces: dict[str, list[str]] = {"": []}
    at = ""
    for word in rest.split():
        if word in ("across", "by", "gives", "page"):
            at = "across" if word == "by" else word
            pieces[at] = []
        else:
            pieces[at].append(word)
    chart = TypedChart(
        name=name,
        parts=_parts(pieces[""], board, models),
        heads=_heads(" ".join(pieces.get("across", [])), models),
        gives=read_gives(name, " ".join(pieces.get("gives", []))),
        page=" ".join(pieces.get("page", [])),
        conditions=conditions,
        taps=any(s.kind == "taps" and s.label in pieces[""] for s in board),
    )
    if not chart.parts and not chart.heads:
        raise MistypedAnswer("which selectors set it? type them after the colon, or `across` the columns")
    if combinations_of(chart.parts) > MOST_ROWS:
        raise MistypedAnswer(f"that makes {combinations_of(chart.parts):,} rows; no page has more than {MOST_ROWS:,}")
    return replace(chart, first_fastest=first_fastest(chart, board))


def name_allowed(name: str) -> None:
    """Mistyped for a name that a table's lists couldn't hold."""
    odd = next((c for c in name if c in ",:#{}[]|\"'`"), "") or ("" if name[:1].isalnum() else name[:1])
    if odd:
        raise MistypedAnswer(f"`{odd}` can't stand in the name {name}; letters, figures, blanks and dashes can")
    if re.fullmatch(r"[\d. %-]+", name):
        raise MistypedAnswer(f"`{name}` is a figure and can't be a name; put a word to it")


def first_fastest(chart: TypedChart, board: Sequence[TypedSelector]) -> bool:
    """True where pages commonly let the first position change from row to row: banks of switches."""
    banks = {name for s in board if s.kind == "switches" for name, _ in s.parts()}
    return all(name in banks for name, _ in chart.parts)


def _parts(
    words: Sequence[str], board: Sequence[TypedSelector], models: Sequence[str]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The selectors of a row; `model` among them where the models stand down the side."""
    known: dict[str, tuple[str, tuple[str, ...]]] = {"model": ("model", tuple(models))} if models else {}
    known |= {name.casefold(): (name, positions) for s in board for name, positions in s.parts()}
    banks = [s for s in board if s.kind == "switches"]
    out: list[tuple[str, tuple[str, ...]]] = []
    for word in words:
        span = _SWITCHES.fullmatch(word)
        names = [word]
        if span and word.casefold() not in known:
            start = span.group(1) or (f"{banks[0].label}-" if len(banks) == 1 else "")
            names = [f"{start}{i}" for i in spread([f"{span.group(2)}-{span.group(3)}"])]
        elif word.isdecimal() and len(banks) == 1:
            names = [f"{banks[0].label}-{word}"]
        for name in names:
            found = known.get(name.casefold())
            if found is None:
                raise MistypedAnswer(
                    f"`{name}` is not on the board; there are {', '.join(s.label for s in board) or 'no selectors'}"
                )
            out.append(found)
    if len({n for n, _ in out}) < len(out):
        raise MistypedAnswer("a selector is listed twice. Delete one.")
    return tuple(out)


def _heads(text: str, models: Sequence[str]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    out: list[tuple[str, tuple[str, ...]]] = []
    for piece in (_head_words(p) for p in text.split(",")):
        if not piece:
            continue
        odd = odd_word(word for phrase in piece[piece[0] == TO_TYPE :] for word in phrase.split())
        if odd:
            raise MistypedAnswer(f"`{odd}` can't stand above a column; type the heads in letters and figures")
        first = piece[0].casefold()
        if first in ("model", "models"):
            words = tuple(piece[1:]) or tuple(models)
            if not words:
                raise MistypedAnswer("which models? type them after it: across model 060 080 110")
            out.append(("model", words))
        elif first in ("static", "pressure", "stage", "stages", "firing"):
            kind = {"static": "static pressure", "pressure": "static pressure", "firing": "firing rate"}.get(
                first, "stage"
            )
            words = tuple(w for w in piece[1:] if w.casefold() not in ("pressure", "rate"))
            if not words:
                raise MistypedAnswer(
                    f"which? type the heads after it: across {first} "
                    + ("low high" if kind == "stage" else "25 75 125")
                )
            out.append((kind, words))
        elif len(piece) > 1:
            out.append(("outdoor tons" if first == "tons" else piece[0], tuple(piece[1:])))
        else:
            raise MistypedAnswer(f"what stands above the columns of {piece[0]}? type the heads after it")
    return tuple(out)


def _head_words(text: str) -> list[str]:
    """The name and the heads: words, or phrases where strokes part them: `mode Without heat pump / With heat pump`.

    A name of several words ends with a colon: `return air: 60 70 80`.
    """
    name, colon, heads = text.partition(":")
    if colon:
        return [" ".join(name.split()), *_head_words(f"heads {heads}")[1:]]
    words = text.split()
    if "/" not in words:
        return words
    return [words[0], *(" ".join(phrase.split()) for phrase in " ".join(words[1:]).split(" / "))]


def read_gives(name: str, text: str) -> tuple[str, ...]:
    """The quantities of a chart: those named, by their beginning too; else what the chart's name says. Mistyped for
    a word that is none."""
    if not text:
        folded = name.casefold()
        plain = "airflow" in folded and "per ton" not in folded and "least" not in folded
        return ("airflow" if plain else next((q for word, q in _GUESSES if word in folded), "airflow"),)
    out = []
    for word in (w.strip() for w in text.split(",")):
        found = (
            word
            if word in QUANTITIES
            else next((q for q in QUANTITIES if q.startswith(word) or q.endswith(f" {word}")), "")
        )
        if not found:
            raise MistypedAnswer(f"`{word}` is nothing a chart gives; type one of {', '.join(QUANTITIES)}")
        out.append(found)
    return tuple(out)
