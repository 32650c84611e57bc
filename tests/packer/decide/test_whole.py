"""Whole numbers by branch and cut, against the exact solver."""

from __future__ import annotations

from random import Random

import pytest
from ortools.sat.python import cp_model
from support.searches import POSSIBLE, solved
from support.trips import generate

from packer.decide.classes import build_classes
from packer.decide.linear import LinearRows
from packer.decide.problem import build
from packer.decide.whole import Listener, Status, Whole, less_margin, solve_whole
from packer.model.solving import Wishes


def cost_of(rows: LinearRows, found: Whole) -> float:
    """What an answer costs."""
    return float(rows.cost @ found.values + rows.offset)


@pytest.mark.parametrize("flavour", POSSIBLE)
@pytest.mark.parametrize("size", ["tiny", "compact"])
def test_classes_have_the_optimum_of_the_exact_solver(flavour: str, size: str) -> None:
    """On generated trips: CP-SAT (OR-tools) works in whole numbers only."""
    model = build_classes(build(generate(flavour, size, 4), Wishes())).model
    rows = LinearRows(model)
    found, exact = solve_whole(rows), solved(model)
    assert exact is not None
    assert found.status is Status.OPTIMAL
    assert round(cost_of(rows, found)) == round(exact.objective_value)
    assert exact.objective_value - 1 <= found.bound <= exact.objective_value


@pytest.mark.parametrize("seed", range(40))
def test_random_models_of_many_magnitudes(seed: int) -> None:
    """Verdict, optimum and bound agree with the exact solver's."""
    rng = Random(seed)
    model = cp_model.CpModel()
    xs = [model.new_int_var(rng.randint(-3, 0), rng.randint(0, 9), "") for _ in range(7)]
    flag = model.new_bool_var("")
    for _ in range(5):
        scale = 10 ** rng.randint(0, 6)
        row = sum((scale * rng.randint(-2, 5) + rng.randint(-1, 1)) * x for x in xs)
        if rng.random() < 0.3:
            model.add(row >= scale * rng.randint(5, 30)).only_enforce_if(flag)
        else:
            model.add(row <= scale * rng.randint(-2, 30))
    model.minimize(sum(rng.randint(-9, 9) * x for x in xs) - 20 * flag)
    rows = LinearRows(model)
    found, exact = solve_whole(rows), solved(model)
    if exact is None:
        assert found.status is Status.INFEASIBLE
    else:
        assert round(cost_of(rows, found)) == round(exact.objective_value)
        assert found.bound <= exact.objective_value


def test_listeners_hear_and_stop() -> None:
    """Bounds rise to the optimum, answers come, and who says so ends it."""
    model = build_classes(build(generate("messy", "small", 2), Wishes())).model
    bounds: list[float] = []
    answers: list[tuple[int, ...]] = []
    rows = LinearRows(model)
    found = solve_whole(rows, Listener(bounds.append, answers.append))
    assert answers
    assert max(bounds) <= found.bound
    assert solve_whole(rows, Listener(over=lambda: True)).looks < found.looks


def test_counted_work_ends_alike() -> None:
    """A limit of looks gives the same answer each time."""
    rows = LinearRows(build_classes(build(generate("roles", "small", 2), Wishes())).model)
    one, other = (solve_whole(rows, looks=20) for _ in range(2))
    assert one == other


def test_a_bound_is_taken_less_its_margin() -> None:
    """A ten-millionth of it, a thousandth of a minor unit at least."""
    assert less_margin(1e6) == pytest.approx(1e6 - 0.1)
    assert less_margin(10.0) == pytest.approx(9.999)
