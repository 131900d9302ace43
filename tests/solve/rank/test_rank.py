"""The ranking against a plain listing of every combination, against a general constraint solver, and against an
example worked by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from selector.solve.rank.rank import Alternative, Factor, Ranked, TooLarge, Variable, lowest, rank
from selector.value import replace

Problem = tuple[list[Variable], list[Factor], int]
"""Variables, factors and a width of groups."""


def every_solution(variables: Sequence[Variable], factors: Sequence[Factor]) -> list[Ranked]:
    """All that fits, by cost, groups not told."""
    choices = [[(value, way) for value, ways in enumerate(variable.values) for way in ways] for variable in variables]
    out = []
    for chosen in product(*choices):
        costs = [factor.costs.get(tuple(chosen[v][0] for v in factor.scope)) for factor in factors]
        if None not in costs:
            ways = tuple(way for _, way in chosen)
            cost = sum(c for c in costs if c is not None)
            out.append(
                Ranked(
                    cost=cost,
                    moves=sum(w.moves for w in ways),
                    order=sum(w.order for w in ways),
                    alternatives=ways,
                    group=0,
                )
            )
    return sorted(out, key=lambda r: r.cost)


def by_listing(variables: Sequence[Variable], factors: Sequence[Factor], *, k: int, near: int) -> list[Ranked]:
    """The meaning of `rank`, word for word, from a list of all solutions."""
    rest = every_solution(variables, factors)
    out: list[Ranked] = []
    group = 0
    while rest and len(out) < k:
        near_enough = [r for r in rest if r.cost <= rest[0].cost + near]
        out += [replace(r, group=group) for r in sorted(near_enough, key=lambda r: (r.moves, r.cost, r.order))]
        rest = rest[len(near_enough) :]
        group += 1
    return out[:k]


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Everything that may happen: ties, values that fit with nothing, empty scopes, single values, several ways to a
    value, parts apart,
    costs of thousands of bits.
    """
    random = Random(draw(st.integers(0, 2**40)))
    unit = draw(st.sampled_from([1, 1, 1 << 3000]))
    most_moves = draw(st.sampled_from([3, 1, 0]))
    most_cost = draw(st.sampled_from([10, 3, 0, 10**6]))
    most_ways = draw(st.sampled_from([1, 3]))
    share = draw(st.sampled_from([1.0, 0.8, 0.5]))
    variables: list[Variable] = []
    weight = 1
    for number in range(random.randint(0, 5)):
        ways = [random.randint(1, most_ways) for _ in range(random.randint(1, 4))]
        orders = random.sample(range(sum(ways)), sum(ways))
        values = []
        for some in ways:
            own, orders = orders[:some], orders[some:]
            made = [
                Alternative(moves=random.randint(0, most_moves), order=weight * o, payload=(number, o)) for o in own
            ]
            values.append(tuple(sorted(made, key=lambda a: (a.moves, a.order))))
        weight *= sum(ways)
        variables.append(Variable(name=f"variable {number}", values=tuple(values)))
    factors = []
    for number in range(random.randint(0, 5)):
        scope = tuple(sorted(random.sample(range(len(variables)), random.randint(0, min(4, len(variables))))))
        keys = [key for key in product(*[range(len(variables[v].values)) for v in scope]) if random.random() <= share]
        if random.randrange(2):
            random.shuffle(keys)
        costs = {key: random.randint(0, most_cost) * unit for key in keys}
        factors.append(Factor(name=f"factor {number}", scope=scope, costs=costs))
    near = random.choice(
        [0, 0, unit, most_cost // 10 * unit, most_cost // 2 * unit, most_cost * unit, 5 * most_cost * unit]
    )
    return variables, factors, near


@settings(max_examples=500, deadline=None)
@given(problems(), st.integers(1, 6))
def test_first_k_are_the_first_k_of_the_whole_list(problem: Problem, k: int) -> None:
    variables, factors, near = problem
    assert rank(variables, factors, k=k, near=near) == by_listing(variables, factors, k=k, near=near)


@settings(max_examples=100, deadline=None)
@given(problems())
def test_lowest_is_the_least_cost_in_the_whole_list(problem: Problem) -> None:
    variables, factors, _ = problem
    costs = [r.cost for r in every_solution(variables, factors)]
    assert lowest(variables, factors) == (costs[0] if costs else None)


def switches(
    random: Random, *, count: int, scopes: Sequence[tuple[int, ...]], most_cost: int, refused: float
) -> tuple[list[Variable], list[Factor]]:
    """Binary variables, moved or not, under factors with these scopes."""
    variables = []
    for number in range(count):
        found = random.randrange(2)
        values = tuple((Alternative(moves=int(bit != found), order=bit << number, payload=bit),) for bit in range(2))
        variables.append(Variable(name=f"switch {number}", values=values))
    factors = []
    for number, scope in enumerate(scopes):
        keys = [key for key in product(range(2), repeat=len(scope)) if random.random() >= refused]
        factors.append(
            Factor(name=f"factor {number}", scope=scope, costs={key: random.randint(0, most_cost) for key in keys})
        )
    return variables, factors


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([3, 100, 10**5]), st.sampled_from([0, 1, 5, 20, 100]), st.integers(1, 6))
def test_large_groups_agree_with_the_whole_list(seed: int, most_cost: int, percent: int, k: int) -> None:
    random = Random(seed)
    scopes = [tuple(sorted(random.sample(range(9), random.randint(1, 4)))) for _ in range(random.randint(2, 7))]
    variables, factors = switches(random, count=9, scopes=scopes, most_cost=most_cost, refused=random.choice([0, 0.1]))
    near = most_cost * percent // 20
    assert rank(variables, factors, k=k, near=near) == by_listing(variables, factors, k=k, near=near)


@settings(max_examples=60, deadline=None)
@given(st.data(), problems())
def test_order_of_variables_values_and_factors_changes_nothing(data: st.DataObject, problem: Problem) -> None:
    variables, factors, near = problem
    places = data.draw(st.permutations(range(len(variables))))
    values = [data.draw(st.permutations(range(len(variable.values)))) for variable in variables]
    moved = [replace(variables[v], values=tuple(variables[v].values[x] for x in values[v])) for v in places]
    other = []
    for factor in data.draw(st.permutations(factors)):
        scope = sorted(factor.scope, key=places.index)
        costs = {
            tuple(values[v].index(key[factor.scope.index(v)]) for v in scope): cost
            for key, cost in factor.costs.items()
        }
        other.append(Factor(name=factor.name, scope=tuple(places.index(v) for v in scope), costs=costs))
    before = rank(variables, factors, k=6, near=near)
    after = rank(moved, other, k=6, near=near)
    back = [
        replace(r, alternatives=tuple(r.alternatives[places.index(v)] for v in range(len(variables)))) for r in after
    ]
    assert back == before


def by_solver(variables: Sequence[Variable], factors: Sequence[Factor]) -> int | None:
    """The least cost as OR-tools CP-SAT finds it, with a table constraint for each factor."""
    model = cp_model.CpModel()
    chosen = [model.new_int_var(0, len(variable.values) - 1, variable.name) for variable in variables]
    costs = []
    for factor in factors:
        if not factor.costs:
            return None
        cost = model.new_int_var(0, max(factor.costs.values()), factor.name)
        model.add_allowed_assignments(
            [*(chosen[v] for v in factor.scope), cost], [(*key, c) for key, c in factor.costs.items()]
        )
        costs.append(cost)
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


@pytest.mark.parametrize("seed", range(24))
def test_optimum_agrees_with_a_constraint_solver(seed: int) -> None:
    random = Random(seed)
    count = (12, 20, 30, 40)[seed % 4]
    step = random.randint(2, 4)
    chain = [tuple(v % count for v in range(start, start + 4)) for start in range(0, count, step)]
    scopes = [tuple(sorted(set(scope))) for scope in chain] + [
        tuple(sorted(random.sample(range(count), 3))) for _ in range(seed % 5)
    ]
    variables, factors = switches(
        random, count=count, scopes=scopes, most_cost=10**6, refused=random.choice([0, 0.2, 0.4])
    )
    optimum = by_solver(variables, factors)
    first = rank(variables, factors, k=1, near=0)
    assert lowest(variables, factors) == optimum
    assert [r.cost for r in first] == ([] if optimum is None else [optimum])


def test_groups_worked_by_hand() -> None:
    """Costs 10, 12, 13, 14, 20, 21 with moves 3, 1, 1, 0, 2, 2; within 3 of 10 are the first three, of 14 only
    itself, of 20 the last two."""
    table = [(10, 3), (12, 1), (13, 1), (14, 0), (20, 2), (21, 2)]
    values = tuple(
        (Alternative(moves=moves, order=6 - number, payload=number),) for number, (_, moves) in enumerate(table)
    )
    variable = Variable(name="dial", values=values)
    factor = Factor(name="cooling", scope=(0,), costs={(number,): cost for number, (cost, _) in enumerate(table)})
    ranked = rank([variable], [factor], k=9, near=3)
    assert [(r.cost, r.moves, r.group) for r in ranked] == [
        (12, 1, 0),
        (13, 1, 0),
        (10, 3, 0),
        (14, 0, 1),
        (20, 2, 2),
        (21, 2, 2),
    ]
    assert [r.alternatives[0].payload for r in rank([variable], [factor], k=4, near=0)] == [0, 1, 2, 3]


def test_two_ways_to_one_value_are_two_solutions() -> None:
    ways = tuple(Alternative(moves=moves, order=order, payload=order) for moves, order in [(0, 4), (1, 2), (1, 3)])
    ranked = rank(
        [Variable(name="bank", values=(ways,))], [Factor(name="fan", scope=(0,), costs={(0,): 7})], k=5, near=0
    )
    assert [(r.cost, r.moves, r.order) for r in ranked] == [(7, 0, 4), (7, 1, 2), (7, 1, 3)]


def test_nothing_to_choose_is_one_solution() -> None:
    assert rank([], [Factor(name="fixed", scope=(), costs={(): 3})], k=5, near=1) == [
        Ranked(cost=3, moves=0, order=0, alternatives=(), group=0)
    ]
    assert lowest([], [Factor(name="fixed", scope=(), costs={})]) is None


class Sealed(Mapping[tuple[int, ...], int]):
    """Costs that must not be looked at."""

    def __init__(self, entries: int) -> None:
        self.entries = entries

    def __getitem__(self, key: tuple[int, ...]) -> int:
        raise AssertionError(f"{key} was read")

    def __iter__(self) -> Iterator[tuple[int, ...]]:
        raise AssertionError("costs were read")

    def __len__(self) -> int:
        return self.entries


def test_too_large_is_said_before_any_table_is_built() -> None:
    way = (Alternative(moves=0, order=0, payload=None),)
    names = ["base", "trim", "fan", "heat"]
    variables = [Variable(name=name, values=(way,) * 100) for name in names]
    scopes = [(0, 1), (1, 2), (2, 3), (0, 3)]
    factors = [
        Factor(name=f"call {number}", scope=scope, costs=Sealed(100 * 100)) for number, scope in enumerate(scopes)
    ]
    with pytest.raises(TooLarge) as caught:
        rank(variables, factors, k=5, near=0, bound=1_500_000)
    # A circle of four: the first variable goes with both its neighbours, the second with the two that are left, then
    # two, then one.
    assert caught.value.entries == 100**3 + 100**3 + 100**2 + 100
    assert len(caught.value.variables) == 3
    assert set(caught.value.variables) < set(names)
    assert "call 0" in caught.value.factors
    assert all(name in str(caught.value) for name in caught.value.variables)
    with pytest.raises(TooLarge):
        lowest(variables, factors, bound=1_500_000)


def test_wide_costs_count_for_more() -> None:
    variables, factors = switches(Random(3), count=6, scopes=[tuple(range(6))], most_cost=9, refused=0)
    assert lowest(variables, factors, bound=200) is not None
    wide = [replace(factor, costs={key: cost << 4000 for key, cost in factor.costs.items()}) for factor in factors]
    with pytest.raises(TooLarge):
        lowest(variables, wide, bound=200)


def test_a_width_that_leaves_too_much_is_refused() -> None:
    pairs = [(a, b) for a in range(18) for b in range(a)]
    variables, factors = switches(Random(4), count=18, scopes=[(b, a) for a, b in pairs], most_cost=100, refused=0)
    assert len(rank(variables, factors, k=3, near=10)) == 3
    with pytest.raises(TooLarge):
        rank(variables, factors, k=3, near=10**6)
