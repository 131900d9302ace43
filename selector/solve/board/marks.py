"""Marks as a person reads them off a board, into a setting, and back."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import combinations

from selector.problems import Problem, Refused, close_match
from selector.table.kinds import KINDS
from selector.table.kinds.base import MarkError, may_be, read_one
from selector.table.model.table import ABSENT, No, Part, Setting, Table
from selector.table.text.words import Names


def _problem(text: str, code: str, message: str, help: str = "") -> Problem:
    return Problem(
        file="marks", line=1, column=1, code=code, message=message, help=help, source=text, length=max(1, len(text))
    )


def split_marks(words: Sequence[str], table: Table) -> list[tuple[str, str]]:
    """(name, marks) pairs out of `SW1=1001 J2=off pins` in one text or several. A name that the board doesn't have
    is left in the marks before it."""
    names = Names(table.mark_names)
    known = "|".join(re.escape(n) for n in sorted(names.names, key=len, reverse=True))
    pattern = re.compile(rf"(?:^|(?<=[\s,;]))({known}|[^\s=,;]+)\s*=", re.IGNORECASE)
    out: list[tuple[str, str]] = []
    for word in words:
        found = list(pattern.finditer(word))
        cuts = [m for i, m in enumerate(found) if i == 0 or names.find(m.group(1)) is not None]
        if not cuts or word[: cuts[0].start()].strip(" ,;"):
            raise Refused(
                [
                    _problem(
                        word,
                        "no-name",
                        f"`{word}` doesn't say which selector it is",
                        "type the selector's name, = and its marks: SW1=10010110",
                    )
                ]
            )
        for i, m in enumerate(cuts):
            end = cuts[i + 1].start() if i + 1 < len(cuts) else len(word)
            out.append((m.group(1), word[m.end() : end].strip(" ,;\"'")))
    return out


def no_such_selector(name: str) -> str:
    """What is said of a name that nothing on the board has."""
    return f"this board has no selector `{name}`"


def _part_named(table: Table, name: str) -> Part | None:
    part = table.part(name)
    if part is not None:
        return part
    return next(
        (
            p
            for p in table.parts
            if table.selectors[p.selector].exclusive and p.name[len(p.selector) + 1 :].casefold() == name.casefold()
        ),
        None,
    )


def read_marks(words: Sequence[str], table: Table) -> dict[int, int | None]:
    """Part -> position, or None where `?` was typed. Raises Refused with every mark that can't be on this board."""
    names = Names(table.mark_names)
    out: dict[int, int | None] = {}
    problems: list[Problem] = []
    for name, text in split_marks(words, table):
        known = names.find(name)
        if known is None:
            near = close_match(name, names.names if "-" in name else table.selectors)
            problems.append(
                _problem(
                    f"{name}={text}",
                    "unknown-selector",
                    no_such_selector(name),
                    f"did you mean `{near}`?" if near else f"its selectors are {' '.join(table.selectors)}",
                )
            )
            continue
        selector = table.selectors.get(known)
        if not text and selector is not None and selector.exclusive:
            continue
        try:
            if selector is not None:
                read = KINDS[selector.kind].read_marks(selector, [table.parts[i] for i in selector.parts], text)
            else:
                part = _part_named(table, known)
                assert part is not None
                read = {part.index: read_one(part, text)}
        except MarkError as wrong:
            message, _, help = str(wrong).partition("; ")
            problems.append(_problem(f"{name}={text}", "unknown-mark", message, help))
            continue
        for part_index, at in read.items():
            if part_index in out and at is not None and out[part_index] is not None and out[part_index] != at:
                problems.append(
                    _problem(
                        f"{name}={text}",
                        "doubled-mark",
                        f"{table.parts[part_index].name} is given two different marks",
                        "leave one",
                    )
                )
            if at is not None or part_index not in out:
                out[part_index] = at
    if problems:
        raise Refused(problems)
    return out


def half_read(words: Sequence[str], table: Table) -> dict[int, tuple[int, ...]]:
    """Part -> the positions it may have, where its mark was half read: `D1=3 or 8`. For marks that `read_marks`
    takes."""
    out: dict[int, tuple[int, ...]] = {}
    for name, text in split_marks(words, table):
        known = Names(table.mark_names).find(name)
        part = _part_named(table, known) if known is not None else None
        if part is not None and len(half := may_be(part, text)) > 1:
            out[part.index] = half
    return out


def unread_in(marks: Mapping[int, int | None]) -> frozenset[int]:
    """The parts that were looked at and can't be read."""
    return frozenset(part for part, at in marks.items() if at is None)


def setting_of(marks: dict[int, int | None], table: Table) -> Setting:
    """A whole setting; parts without a mark are not known."""
    return tuple(marks.get(p.index) for p in table.parts)


def mark(table: Table, part: int, at: int | None) -> str:
    """A position as it is printed on the board: `ON`, `CLOSED`, `B`; `?` where it couldn't be read."""
    one = table.parts[part]
    printed = KINDS[table.selectors[one.selector].kind].printed(one)
    if at is None and one.may_be:
        return " or ".join(printed[i] for i in one.may_be)
    if at is None or at == ABSENT:
        return one.word(at)
    return printed[at]


def mark_by_part(setting: Setting, table: Table) -> dict[str, str]:
    """Each part's name to the mark it stands at."""
    return {part.name: mark(table, part.index, at) for part, at in zip(table.parts, setting, strict=True)}


def marks_of(setting: Setting, table: Table, only: Iterable[int] | None = None) -> str:
    """The setting as it would be typed: `SW1=10011000 J2=C`. Banks print 0 and 1 where these mean off and on, else
    the words printed beside them."""
    wanted = None if only is None else set(only)
    out: list[str] = []
    for selector in table.selectors.values():
        parts = [table.parts[i] for i in selector.parts]
        if wanted is not None:
            parts = [p for p in parts if p.index in wanted]
        if not parts:
            continue
        kind = KINDS[selector.kind]
        words = [mark(table, p.index, setting[p.index]) for p in parts]
        bank = kind.upright and len(parts) == len(selector.parts)
        if bank and kind.digits(parts[0]):
            out.append(
                f"{selector.name}=" + "".join("?" if setting[p.index] is None else str(setting[p.index]) for p in parts)
            )
        elif bank and not any(" " in word for word in words):
            out.append(f'{selector.name}="{" ".join(words)}"')
        else:
            out.extend(f"{p.name}={_quoted(word)}" for p, word in zip(parts, words, strict=True))
    return " ".join(out)


def _quoted(text: str) -> str:
    return f'"{text}"' if " " in text else text


def tapped_twice(setting: Setting, table: Table, open_: Collection[int] = ()) -> dict[int, str]:
    """Leads that share a tap with another, with the name of the other, but for those that the page lets share
    (`open_` as in `clashes`). Two leads on one tap burn the winding."""
    out: dict[int, str] = {}
    for a, b in clashes(setting, table, open_):
        out[a] = table.parts[b].name
        out[b] = table.parts[a].name
    return out


def clashes(setting: Setting, table: Table, open_: Collection[int] = ()) -> Iterator[tuple[int, int]]:
    """Pairs of leads on one tap that the page doesn't let share it as the other selectors of the board stand; those in
    `open_` may still stand as it wants them."""
    for selector in table.selectors.values():
        if not selector.exclusive:
            continue
        for a, b in combinations(selector.parts, 2):
            at = setting[a]
            if at is None or at != setting[b] or at == len(table.parts[a].positions) - 1:
                continue
            if not any(
                {a, b} <= leads
                and all(c.part in open_ or (c.part >= 0 and setting[c.part] in c.allowed) for c in conditions)
                for leads, conditions in selector.may_share
            ):
                yield a, b


def deciding_a_tap(setting: Setting, table: Table, leads: Collection[int]) -> tuple[int, ...]:
    """The parts without a position that say whether one of these leads may stand on the tap of another."""
    return tuple(
        dict.fromkeys(
            c.part
            for selector in table.selectors.values()
            for some, conditions in selector.may_share
            for a in some & set(leads)
            if setting[a] is None or any(setting[a] == setting[b] for b in some - {a})
            for c in conditions
            if c.part >= 0 and setting[c.part] is None
        )
    )


def shared_taps(setting: Setting, table: Table) -> tuple[tuple[str, str, str], ...]:
    """(lead, the other lead, their tap) of leads that share one, each pair once."""
    names = {p.name: i for i, p in enumerate(table.parts)}
    pairs = {tuple(sorted((table.parts[p].name, o))) for p, o in tapped_twice(setting, table).items()}
    return tuple((a, b, mark(table, names[a], setting[names[a]])) for a, b in sorted(pairs))


def on_one_tap(lead: str, other: str) -> No:
    """Why a lead that shares its tap gives no airflow."""
    return No(kind="not_usable", why=f"{lead} and {other} share a tap")
