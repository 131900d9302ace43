"""Times `rank` on made-up boards of 8 to 40 switches beside general solvers. Run: python -m tests.bench.rank_bench
[--quick]

A figure is the median over 21 boards (7 with --quick), each solved once; the first is solved before, not counted.
`rank` gives the first 5 settings
with `near` one percentage point and moves; the others give the optimum only, and the run ends with an error if one of
them disagrees about
it. Building a model counts, importing a library doesn't. Of the CP-SAT models the one that is best on 3 boards is run
on all; a solve is
given up after 2 s and counted as that. python-constraint and numpy go through every combination of outcomes (there are
fewer of them
than of switches), where that is few enough. Costs are thousandths of a percentage point, small numbers that suit every
solver.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from random import Random
from statistics import median
from time import perf_counter

import constraint
import numpy as np
from ortools.sat.python import cp_model
from tabulate import tabulate

from selector.solve.rank.rank import Alternative, Factor, Variable, lowest, rank

CALLS = {8: 3, 16: 4, 24: 4, 32: 5, 40: 6}
"""Calls of a board of so many switches."""
WIDEST_PERCENT = 40
"""Outcomes further from the target than this are refused, as a limit of the unit would."""
POINT = 1000
"""The unit of cost in a percentage point."""
CP_SAT_SECONDS = 2
MOST_FOR_CONSTRAINT = 20_000
MOST_FOR_NUMPY = 20_000_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Board:
    """The problem that a made-up board and its targets come to."""

    variables: list[Variable]
    factors: list[Factor]


@dataclass(frozen=True, kw_only=True, slots=True)
class Chart:
    """Switches set together and what their positions are drawn from: airflow added, or percent where it is the trim."""

    switches: list[int]
    figures: list[int]


def outcomes(random: Random, chart: Chart, found: Sequence[int]) -> dict[int, list[Alternative]]:
    """The ways to each different figure of a chart, nearest to the board as found first."""
    ways: dict[int, list[Alternative]] = {}
    for bits in product((0, 1), repeat=len(chart.switches)):
        moves = sum(bit != found[s] for bit, s in zip(bits, chart.switches, strict=True))
        order = sum(bit << s for bit, s in zip(bits, chart.switches, strict=True))
        ways.setdefault(random.choice(chart.figures), []).append(Alternative(moves=moves, order=order, payload=bits))
    return {figure: sorted(some, key=lambda way: (way.moves, way.order))[:5] for figure, some in ways.items()}


def board(
    random: Random, switches: int, charts: Sequence[Chart], calls: Sequence[Sequence[int]], trim: int | None = None
) -> Board:
    """The charts that each call reads, added up, times the trim; targets a few cfm off what some setting gives."""
    found = [random.randrange(2) for _ in range(switches)]
    tables = [outcomes(random, chart, found) for chart in charts]
    figures = [list(table) for table in tables]
    hidden = [random.choice(some) for some in figures]

    def percents(reads: Sequence[int], chosen: Sequence[int]) -> int:
        airflow = sum(figure for chart, figure in zip(reads, chosen, strict=True) if chart != trim)
        return airflow * (100 + sum(figure for chart, figure in zip(reads, chosen, strict=True) if chart == trim))

    aims = [
        max(50, round(percents(reads, [hidden[c] for c in reads]) / 1000) * 10 + random.choice([-10, 0, 10]))
        for reads in calls
    ]
    factors = []
    for number, (reads, aim) in enumerate(zip(calls, aims, strict=True)):
        costs = {}
        for key in product(*[range(len(figures[c])) for c in reads]):
            off = abs(percents(reads, [figures[c][value] for c, value in zip(reads, key, strict=True)]) - 100 * aim)
            if off <= WIDEST_PERCENT * aim:
                costs[key] = off * POINT // aim
        factors.append(Factor(name=f"call {number}", scope=tuple(reads), costs=costs))
    variables = [
        Variable(name=f"chart {number}", values=tuple(tuple(ways) for ways in table.values()))
        for number, table in enumerate(tables)
    ]
    return Board(variables=variables, factors=factors)


def base(random: Random, switches: list[int]) -> Chart:
    return Chart(switches=switches, figures=[random.randrange(300, 1700, 5) for _ in range(16)])


def apart(random: Random, switches: int) -> Board:
    """Every call has charts of its own, of four switches at most; one trim is read by all."""
    calls = CALLS[switches]
    shared = 2 if switches > 8 else 1
    charts = [Chart(switches=list(range(shared)), figures=[0, 6, -6, 12])]
    reads: list[list[int]] = []
    rest = list(range(shared, switches))
    for call in range(calls):
        own = rest[call * len(rest) // calls : (call + 1) * len(rest) // calls]
        reads.append([0])
        for start in range(0, len(own), 4):
            reads[-1].append(len(charts))
            charts.append(base(random, own[start : start + 4]))
    return board(random, switches, charts, reads, trim=0)


def shared(random: Random, switches: int) -> Board:
    """Charts of three switches, most of them read by two calls; a call reads up to four."""
    calls = CALLS[switches]
    width = 3 if switches > 8 else 2
    charts = [
        Chart(
            switches=list(range(start, min(start + width, switches))),
            figures=[random.randrange(100, 700, 5) for _ in range(8)],
        )
        for start in range(0, switches, width)
    ]
    reads: list[list[int]] = [list(range(call, len(charts), calls)) for call in range(calls)]
    for chart in random.sample(range(len(charts)), len(charts)):
        free = [call for call in range(calls) if len(reads[call]) < 4 and chart not in reads[call]]
        if free:
            reads[random.choice(free)].append(chart)
    return board(random, switches, charts, [sorted(some) for some in reads])


def overlapping(random: Random, switches: int) -> Board:
    """Calls in a circle, each sharing single switches with the next, the larger boards with calls further off too."""
    calls = CALLS[switches]
    pairs = [(call, (call + 1) % calls) for call in range(calls)] * (2 if switches > 8 else 1)
    if switches >= 32:
        pairs += [(0, 3), (1, 4), (0, 2)]
    charts = [Chart(switches=[number], figures=[0, random.randrange(50, 300, 5)]) for number in range(len(pairs))]
    reads: list[list[int]] = [[number for number, pair in enumerate(pairs) if call in pair] for call in range(calls)]
    rest = list(range(len(pairs), switches))
    for call in range(calls):
        own = rest[call * len(rest) // calls : (call + 1) * len(rest) // calls]
        for start in range(0, len(own), 4):
            reads[call].append(len(charts))
            charts.append(base(random, own[start : start + 4]))
    return board(random, switches, charts, reads)


def cp_sat(
    problem: Board, model_of: Callable[[cp_model.CpModel, Board], cp_model.LinearExprT], workers: int = 1
) -> int | None:
    """The least cost as CP-SAT finds it with one of the models below, None when it takes too long."""
    model = cp_model.CpModel()
    model.minimize(model_of(model, problem))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = CP_SAT_SECONDS
    status = solver.solve(model)
    if status in (cp_model.INFEASIBLE, cp_model.MODEL_INVALID):
        raise RuntimeError(solver.status_name(status))
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def values_of(model: cp_model.CpModel, problem: Board) -> list[cp_model.IntVar]:
    return [model.new_int_var(0, len(variable.values) - 1, variable.name) for variable in problem.variables]


def with_tables(model: cp_model.CpModel, problem: Board) -> cp_model.LinearExprT:
    """A table constraint over the values and the cost of each call."""
    values = values_of(model, problem)
    costs = []
    for factor in problem.factors:
        cost = model.new_int_var(0, max(factor.costs.values()), factor.name)
        model.add_allowed_assignments(
            [*(values[v] for v in factor.scope), cost], [(*key, c) for key, c in factor.costs.items()]
        )
        costs.append(cost)
    return sum(costs)


def with_elements(model: cp_model.CpModel, problem: Board) -> cp_model.LinearExprT:
    """An element constraint: the place in a list of costs, worked out from the values."""
    values = values_of(model, problem)
    costs = []
    for factor in problem.factors:
        sizes = [len(problem.variables[v].values) for v in factor.scope]
        most = max(factor.costs.values())
        cost = model.new_int_var(0, most, factor.name)
        place = sum(values[v] * prod(sizes[number + 1 :]) for number, v in enumerate(factor.scope))
        index = model.new_int_var(0, prod(sizes) - 1, factor.name)
        model.add(index == place)
        model.add_element(index, [factor.costs.get(key, most + 1) for key in product(*map(range, sizes))], cost)
        costs.append(cost)
    return sum(costs)


def with_choices(model: cp_model.CpModel, problem: Board) -> cp_model.LinearExprT:
    """A Boolean for each value and for each entry, exactly one of each true, an entry only with its values."""
    values = [[model.new_bool_var(variable.name) for _ in variable.values] for variable in problem.variables]
    for some in values:
        model.add_exactly_one(some)
    terms = []
    for factor in problem.factors:
        entries = [(key, cost, model.new_bool_var(factor.name)) for key, cost in factor.costs.items()]
        model.add_exactly_one([chosen for _, _, chosen in entries])
        for number, variable in enumerate(factor.scope):
            for value, literal in enumerate(values[variable]):
                model.add(sum(chosen for key, _, chosen in entries if key[number] == value) == literal)
        terms += [cost * chosen for _, cost, chosen in entries]
    return sum(terms)


Task = Callable[[Board], int | None]
MODELS: dict[str, Task] = {
    "tables": lambda problem: cp_sat(problem, with_tables),
    "tables, 2 workers": lambda problem: cp_sat(problem, with_tables, workers=2),
    "elements": lambda problem: cp_sat(problem, with_elements),
    "choices": lambda problem: cp_sat(problem, with_choices),
    "choices, 2 workers": lambda problem: cp_sat(problem, with_choices, workers=2),
}


def by_constraint(problem: Board) -> int:
    """The least cost of all solutions that python-constraint lists."""
    listing = constraint.Problem()
    for number, variable in enumerate(problem.variables):
        listing.addVariable(number, list(range(len(variable.values))))
    for factor in problem.factors:
        costs = factor.costs
        listing.addConstraint(lambda *key, costs=costs: key in costs, factor.scope)
    solutions = listing.getSolutions()
    return min(sum(f.costs[tuple(solution[v] for v in f.scope)] for f in problem.factors) for solution in solutions)


def by_numpy(problem: Board) -> int:
    """The least of the costs of all combinations, added up as one array."""
    sizes = [len(variable.values) for variable in problem.variables]
    refused = 1 + sum(max(factor.costs.values()) for factor in problem.factors)
    whole = np.zeros(sizes, dtype=np.int64)
    for factor in problem.factors:
        own = [sizes[v] for v in factor.scope]
        costs = np.fromiter(
            (factor.costs.get(key, refused) for key in product(*map(range, own))), dtype=np.int64, count=prod(own)
        )
        whole += costs.reshape([size if v in factor.scope else 1 for v, size in enumerate(sizes)])
    return int(whole.min())


def by_rank(problem: Board) -> int | None:
    """The first 5 settings; not an optimum, so there is none to compare."""
    rank(problem.variables, problem.factors, k=5, near=POINT)
    return None


def by_lowest(problem: Board) -> int | None:
    """The least cost alone."""
    return lowest(problem.variables, problem.factors)


def milliseconds(task: Task, boards: Sequence[Board]) -> list[float]:
    """The time that each board takes. What is found is held to the optimum."""
    times = []
    task(boards[0])
    for problem in boards:
        start = perf_counter()
        found = task(problem)
        times.append((perf_counter() - start) * 1e3)
        if found is not None and found != by_lowest(problem):
            raise RuntimeError(f"{found} instead of {by_lowest(problem)}")
    return times


def line(family: Callable[[Random, int], Board], switches: int, count: int) -> list[object]:
    """One row of the table."""
    boards = [family(Random(1000 * switches + seed), switches) for seed in range(count)]
    combinations = max(prod(len(variable.values) for variable in problem.variables) for problem in boards)
    entries = median(sum(len(factor.costs) for factor in problem.factors) for problem in boards)
    times = milliseconds(by_rank, boards)
    ours = median(times)
    best = min(MODELS, key=lambda name: median(milliseconds(MODELS[name], boards[:3])))
    others = {
        "CP-SAT": median(milliseconds(MODELS[best], boards)),
        "constraint": median(milliseconds(by_constraint, boards)) if combinations <= MOST_FOR_CONSTRAINT else None,
        "numpy": median(milliseconds(by_numpy, boards)) if combinations <= MOST_FOR_NUMPY else None,
    }
    alone = median(milliseconds(by_lowest, boards))
    out: list[object] = [family.__name__, switches, round(entries), f"{ours:.2f}", f"{max(times):.2f}", f"{alone:.2f}"]
    for other in others.values():
        out += ["-", "-"] if other is None else [f"{other:.1f}", f"{other / ours:.0f}"]
    return [*out, best]


HEADS = ["family", "switches", "entries", "rank ms", "worst", "lowest ms"]
for _other in ("CP-SAT", "constraint", "numpy"):
    HEADS += [f"{_other} ms", "/ rank"]
HEADS.append("CP-SAT model")


def main() -> None:
    """Prints the table, each row as it comes to standard error first."""
    parser = argparse.ArgumentParser(description="Times rank beside general solvers.")
    parser.add_argument("--quick", action="store_true", help="7 boards instead of 21")
    count = 7 if parser.parse_args().quick else 21
    rows = []
    for family in (apart, shared, overlapping):
        for switches in CALLS:
            rows.append(line(family, switches, count))
            print(*rows[-1], file=sys.stderr)  # noqa: T201
    print(tabulate(rows, headers=HEADS, disable_numparse=True))  # noqa: T201


if __name__ == "__main__":
    main()
