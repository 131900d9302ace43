"""Two transcriptions of one page held against each other, cell by cell, whatever the order of their rows and their
own names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import partial
from itertools import product

from selector.table.model.formula import condition_text
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import ANY, Cell, CellWord, Chart, Either, Row, Table
from selector.transcribe.compare.calls import calls_apart
from selector.transcribe.compare.difference import Difference, number_said, ramp_said
from selector.value import Struct, replace

_MOST_CELLS = 200_000


class Comparison(Struct, frozen=True, kw_only=True):
    """What two tables differ in, in the order of the first; how many cells were held against each other; what was
    taken for the same."""

    differences: tuple[Difference, ...]
    cells: int
    taken_as_same: tuple[str, ...] = ()


def compare(a: Table, b: Table) -> Comparison:
    """Every difference of two tables. Charts, selectors and calls of other names are matched by what stands in them,
    and this is said."""
    a, b = (replace(table, charts={**table.charts, **table.along}) for table in (a, b))
    same: list[str] = []
    out: list[Difference] = list(_unit(a, b))
    parts = _match_parts(a, b, same)
    out += _board(a, b, parts)
    charts = _match_charts(a, b, parts, same)
    cells = 0
    for name, chart in a.charts.items():
        other = charts.get(name)
        if other is None:
            out.append(Difference(line_a=chart.line, line_b=0, where=f"chart {name}", a="", b=None))
            continue
        found, count = _chart((a, b), chart, b.charts[other], parts)
        cells += count
        out += found
    for name, chart in b.charts.items():
        if name not in charts.values():
            out.append(Difference(line_a=0, line_b=chart.line, where=f"chart {name}", a=None, b=""))
    out += calls_apart(a, b, {v: k for k, v in charts.items()}, {v: k for k, v in parts.items()}, same)
    return Comparison(differences=tuple(out), cells=cells, taken_as_same=tuple(same))


def _unit(a: Table, b: Table) -> Iterator[Difference]:
    for name, x, y in (
        ("models", " ".join(a.unit.models), " ".join(b.unit.models)),
        ("motor", a.unit.motor, b.unit.motor),
        ("reads", a.unit.reads, b.unit.reads),
        ("unit of airflow", a.units.airflow, b.units.airflow),
        ("unit of pressure", a.units.pressure, b.units.pressure),
        ("manual", a.unit.manual, b.unit.manual),
        ("its pages", a.unit.pages, b.unit.pages),
        ("what airflow means", a.unit.airflow_means, b.unit.airflow_means),
        ("static pressure it holds up to", _rating(a.unit.holds_up_to), _rating(b.unit.holds_up_to)),
    ):
        if x != y:
            yield Difference(line_a=0, line_b=0, where=name, a=x or "nothing", b=y or "nothing")
    for name in dict.fromkeys((*a.ratings, *b.ratings)):
        one, two = a.ratings.get(name), b.ratings.get(name)
        left, right = (r.printed(partial(condition_text, t)) if r else {} for r, t in ((one, a), (two, b)))
        for key in dict.fromkeys((*left, *right)):
            if left.get(key) != right.get(key):
                where = " ".join(w for w in (name, *key) if w)
                yield Difference(
                    line_a=one.line if one else 0,
                    line_b=two.line if two else 0,
                    where=where,
                    a=_rating(left.get(key)),
                    b=_rating(right.get(key)),
                )


def _rating(value: Fraction | tuple[Fraction, Fraction] | None) -> str:
    if value is None:
        return "nothing"
    return " to ".join(number_said(v) for v in value) if isinstance(value, tuple) else number_said(value)


def _match_parts(a: Table, b: Table, same: list[str]) -> dict[str, str]:
    """Name of a part of a -> that of b: by name first, then selectors of the same kind and positions in their order."""
    out: dict[str, str] = {}
    left = {s.name.casefold(): s.name for s in b.selectors.values()}
    later = []
    for selector in a.selectors.values():
        other = left.pop(selector.name.casefold(), None)
        if other is None:
            later.append(selector.name)
        else:
            _pair_parts(a, b, selector.name, other, out)
    for name in later:
        shape = _shape(a, name)
        found = next((n for n in left.values() if _shape(b, n) == shape), None)
        if found is not None:
            del left[found.casefold()]
            same.append(f"selector {name} and {found}")
            _pair_parts(a, b, name, found, out)
    return out


def _shape(table: Table, name: str) -> tuple[object, ...]:
    selector = table.selectors[name]
    return (selector.kind, len(selector.parts), tuple(p.casefold() for p in table.parts[selector.parts[0]].positions))


def _pair_parts(a: Table, b: Table, name: str, other: str, out: dict[str, str]) -> None:
    for i, j in zip(a.selectors[name].parts, b.selectors[other].parts, strict=False):
        out[a.parts[i].name] = b.parts[j].name
    out.setdefault(name, other)


def _board(a: Table, b: Table, parts: Mapping[str, str]) -> Iterator[Difference]:
    by_name = {p.name: p for p in b.parts}
    matched = set(parts.values())
    lines = {p.name: a.selectors[p.selector].line for p in a.parts}
    for part in a.parts:
        other = by_name.get(parts.get(part.name, ""))
        line = lines[part.name]
        if other is None:
            yield Difference(line_a=line, line_b=0, where=part.name, a="", b=None)
            continue
        line_b = b.selectors[other.selector].line
        if [p.casefold() for p in part.positions] != [p.casefold() for p in other.positions]:
            yield Difference(
                line_a=line,
                line_b=line_b,
                where=f"positions of {part.name}",
                a=" ".join(part.positions),
                b=" ".join(other.positions),
            )
        for model in dict.fromkeys((*part.factory, *other.factory)):
            x = part.word(part.factory[model]) if model in part.factory else "not stated"
            y = other.word(other.factory[model]) if model in other.factory else "not stated"
            if x.casefold() != y.casefold():
                where = f"{part.name} factory setting" + (f" on {model}" if model else "")
                yield Difference(line_a=line, line_b=line_b, where=where, a=x, b=y)
        if part.unused != other.unused:
            yield Difference(line_a=line, line_b=line_b, where=part.name, a=_used(part.unused), b=_used(other.unused))
    for part in b.parts:
        if part.name not in matched:
            yield Difference(
                line_a=0,
                line_b=b.selectors[part.selector].line,
                where=part.name,
                a=None,
                b="",
            )


def _used(unused: bool) -> str:
    return "not used" if unused else "used"


def _match_charts(a: Table, b: Table, parts: Mapping[str, str], same: list[str]) -> dict[str, str]:
    """Name of a chart of a -> that of b: by name where the selectors agree, then the most alike of the same shape."""
    out: dict[str, str] = {}
    left = dict.fromkeys(b.charts)
    for name, chart in a.charts.items():
        other = next(
            (n for n in left if n.casefold() == name.casefold() and _set(b.charts[n], {}) == _set(chart, parts)), None
        )
        if other is not None:
            out[name] = other
            del left[other]
    for name, chart in a.charts.items():
        if name in out:
            continue
        alike = [
            (_likeness((a, b), chart, b.charts[n], parts), n)
            for n in left
            if _set(b.charts[n], {}) == _set(chart, parts) and b.charts[n].gives == chart.gives
        ]
        alike = alike or [
            (_likeness((a, b), chart, b.charts[n], parts), n) for n in left if n.casefold() == name.casefold()
        ]
        if alike:
            _, other = max(alike, key=lambda pair: pair[0])
            if other.casefold() != name.casefold():
                same.append(f"chart {name} and {other}")
            out[name] = other
            del left[other]
    return out


def _set(chart: Chart, parts: Mapping[str, str]) -> frozenset[str]:
    return frozenset(parts.get(k.name, k.name).casefold() for k in (*chart.keys, *chart.heads))


def _likeness(tables: tuple[Table, Table], a: Chart, b: Chart, parts: Mapping[str, str]) -> float:
    differences, count = _chart(tables, a, b, parts)
    return 1 - len(differences) / max(1, count)


Place = tuple[tuple[str, str], ...]


class _Cell(Struct, frozen=True, kw_only=True):
    """What a cell says, the line of its row, where it stands in the words of its table, and whether its whole row is
    ruled out."""

    said: str
    line: int
    where: str
    ruled_out: bool


def _cells(table: Table, chart: Chart, parts: Mapping[str, str]) -> dict[Place, _Cell]:
    """Every answer of a chart under the names and words that lead to it: `-` taken apart into the positions it
    stands for."""
    out: dict[Place, _Cell] = {}
    heads = list(product(*(head.values for head in chart.heads)))
    for row in sorted(chart.rows, key=lambda r: r.rest):
        choices = [
            range(len(key.values)) if p == ANY else (p,) for key, p in zip(chart.keys, row.positions, strict=True)
        ]
        total = 1
        for c in choices:
            total *= len(c)
        if len(out) + total * chart.cells_per_row > _MOST_CELLS:
            choices = [(p,) for p in row.positions]
        for at in product(*choices):
            lead = [
                (parts.get(k.name, k.name).casefold(), "-" if p == ANY else k.values[p].casefold())
                for k, p in zip(chart.keys, at, strict=True)
            ]
            for n, words in enumerate(heads):
                for q, quantity in enumerate(chart.gives):
                    across = [
                        (parts.get(k.name, k.name).casefold(), w.casefold())
                        for k, w in zip(chart.heads, words, strict=True)
                    ]
                    place = (*sorted([*lead, *across]), ("", quantity))
                    at_row = [(k.name, "-" if p == ANY else k.values[p]) for k, p in zip(chart.keys, at, strict=True)]
                    named = [
                        *at_row,
                        *(() if row.word else ((k.name, w) for k, w in zip(chart.heads, words, strict=True))),
                    ]
                    said = _said(table, chart, row, n * len(chart.gives) + q)
                    if row.rest and place in out:
                        continue
                    out[place] = _Cell(
                        said=said,
                        line=row.line,
                        where=" ".join(f"{name} {word}" for name, word in named),
                        ruled_out=bool(row.word),
                    )
    return out


def _said(table: Table, chart: Chart, row: Row, cell: int) -> str:
    if row.word:
        return row.word
    if row.like:
        return "as " + " ".join("-" if p == ANY else k.values[p] for k, p in zip(chart.keys, row.like, strict=True))
    note = f" ({row.note})" if row.note else ""
    ramp = table.ramps.get(row.typed[cell]) if chart.gives[cell % len(chart.gives)] == "ramp" else None
    return (ramp_said(ramp) if ramp else _cell(row.cells[cell], chart.gives[cell % len(chart.gives)])) + note


def _cell(cell: Cell, quantity: str) -> str:
    if isinstance(cell, Fraction):
        what = QUANTITIES[quantity]
        return f"{'+' if what.signed and cell > 0 else ''}{number_said(cell)}{' %' if what.unit == 'percent' else ''}"
    return cell.value if isinstance(cell, CellWord) else cell.words if isinstance(cell, Either) else cell


def _chart(tables: tuple[Table, Table], a: Chart, b: Chart, parts: Mapping[str, str]) -> tuple[list[Difference], int]:
    one, two = _cells(tables[0], a, parts), _cells(tables[1], b, {})
    out: dict[object, Difference] = {}
    for place in dict.fromkeys((*one, *two)):
        x, y = one.get(place), two.get(place)
        if (x.said if x else None) == (y.said if y else None):
            continue
        both = [c for c in (x, y) if c]
        where = f"{a.name}, {both[0].where}" + (
            f", {place[-1][1]}" if len(a.gives) > 1 and not both[0].ruled_out else ""
        )
        line_a, line_b = x.line if x else 0, y.line if y else 0
        whole = (line_a, line_b) if all(c.ruled_out for c in both) else place
        told = Difference(
            line_a=line_a, line_b=line_b, where=where, a=x.said if x else "no row", b=y.said if y else "no row"
        )
        out.setdefault(whole, told)
    return list(out.values()), len(one.keys() | two.keys())
