"""Where every figure of an answer comes from: a chain of steps from row and page to the answer, as data and as text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from selector.air.figure import Figure, Worked, arithmetic, chain, written
from selector.answers.remarks.way_words import WAY_SHORT, note_words
from selector.answers.words.arithmetic import in_table_name, in_table_units
from selector.job.board.expected import Expected
from selector.job.board.solution import Solution
from selector.job.plan.plan import Plan
from selector.job.targets.aims import StageAim
from selector.table.model.table import Table

Named = tuple[str, Figure]


def plan_figures(plan: Plan) -> Iterator[Named]:
    """Every figure a plan prints, each with the name it is printed under."""
    yield from solution_figures(plan.solution)
    yield from ((figure.name.replace("_", " "), figure) for figure in plan.watts)


def solution_figures(found: Solution) -> Iterator[Named]:
    """Every figure of a setting, or of the nearest miss where there is none."""
    for one in found.house.aims:
        yield from _aim(one)
    choice = found.best or found.nearest
    for stage in choice.stages if choice is not None else ():
        yield from expected_figures(stage)
    for pressure in found.pressures:
        where = f"{pressure.call} {pressure.stage}".strip()
        yield f"static in {where}", pressure.measured


def _aim(one: StageAim) -> Iterator[Named]:
    aim = one.aim
    named = (
        ("delivered heat", one.heat),
        ("running tons", one.tons),
        ("rise aimed at", aim.rise_f),
        ("standard airflow aimed at", aim.standard),
        ("volume aimed at", aim.volume),
        ("charted airflow aimed at", aim.charted),
    )
    yield from ((f"{one.title}, {name}", figure) for name, figure in named if figure is not None)
    for end, bound in (("lower", one.low), ("upper", one.high)):
        if bound is not None:
            yield f"{one.title}, {end} end of the window", bound.figure


def expected_figures(one: Expected) -> Iterator[Named]:
    """Every figure expected of a stage."""
    named: list[tuple[str, Figure | None]] = [("charted airflow", one.charted)]
    for read in one.read_as:
        by = f", {WAY_SHORT[read.way.way]}" if len(one.read_as) > 1 else ""
        named += [
            (f"standard airflow{by}", read.standard),
            (f"actual airflow{by}", read.actual),
            (f"rise{by}", read.rise),
        ]
        named += [
            (f"leaving air{by}", read.leaving),
            (f"airflow per ton{by}", read.per_ton),
            (f"cooling split{by}", read.split),
        ]
    named += [(f"airflow per ton at {written(s.per_ton)}", s.per_ton) for s in one.states if s.seconds is not None]
    named += [("seconds of the ramp below the floor", one.below_s), ("average airflow over a call", one.average)]
    if one.coming is not None and hasattr(one.coming, "full"):
        named.append(("full airflow after", one.coming.full()))
    yield from ((f"{one.title}, {name}", figure) for name, figure in named if figure is not None)


def why_data(figures: Iterable[Named]) -> dict[str, object]:
    """`{"answers": [{what, step, value, unit, printed}], "steps": [{id, name, value, unit, printed, ...}]}`.

    A step that was computed has `expression` and `inputs` (name in the expression -> id of its step), a leaf has
    `source`. Steps stand after those
    they rest on, each once. A value is a number; one that no float holds exactly stands as `"numerator/denominator"`
    under `exact` too.
    """
    ids: dict[Figure, int] = {}
    steps: list[dict[str, object]] = []
    answers: list[dict[str, object]] = []
    for what, figure in figures:
        for one in chain(figure):
            if one not in ids:
                ids[one] = len(steps) + 1
                steps.append(_step(one, ids))
        answers.append(
            {
                "what": what,
                "step": ids[figure],
                "value": _number(figure.value),
                "unit": figure.unit,
                "printed": written(figure),
            }
        )
    return {"answers": answers, "steps": steps}


def _step(one: Figure, ids: dict[Figure, int]) -> dict[str, object]:
    out: dict[str, object] = {
        "id": ids[one],
        "name": one.name,
        "value": _number(one.value),
        "unit": one.unit,
        "printed": written(one),
    }
    if Fraction(_number(one.value)) != one.value:
        out["exact"] = f"{one.value.numerator}/{one.value.denominator}"
    if isinstance(one, Worked):
        out["expression"] = one.expression
        out["inputs"] = {deeper.name: ids[deeper] for deeper in one.inputs}
        out["arithmetic"] = f"{arithmetic(one)} = {written(one)}"
    else:
        out["source"] = one.source
    if one.note:
        out["note"] = note_words(one.note)
    return out


def _number(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)


def asked_for(named: Iterable[Named], name: str) -> tuple[Named, ...]:
    """The figures whose printed name has every word of `name`: a call, a stage, `rise`; all of them for an empty
    one."""
    words = name.casefold().replace("_", " ").replace(",", " ").split()
    return tuple(one for one in named if all(word in one[0].casefold().replace(",", "").split() for word in words))


def why_lines(figures: Iterable[Named], table: Table | None = None) -> Iterator[str]:
    """Each answer with its chain below it: leaves with their source, computed figures with their arithmetic; what was
    shown isn't shown again.

    `table`: the one whose units are shown, where it is metric.
    """
    shown: set[Figure] = set()
    for what, figure in figures:
        own = figure if table is None else in_table_units(figure, table)
        lines = [line for one in chain(own) if one not in shown and (line := _line(one, table))]
        again = isinstance(own, Worked) and own in shown
        yield f"{what}: {written(own)}" + (" (worked out above)" if again else "")
        yield from (f"  {line}" for line in lines)
        shown.update(chain(own))


def _line(one: Figure, table: Table | None) -> str:
    """A figure's own line; none for one that only takes another's place."""
    name = one.name.replace("_", " ") if table is None else in_table_name(one.name, table)
    if not isinstance(one, Worked):
        said = f"{name} {written(one)}" + (f": {one.source}" if one.source else "")
    elif arithmetic(one) == written(one):
        return ""
    else:
        said = f"{name} = {arithmetic(one)} = {written(one)}"
    note = note_words(one.note)
    return said + (f" ({note})" if note else "")
