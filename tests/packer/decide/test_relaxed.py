"""The relaxation bounds the model from below, whatever the solver's arithmetic does."""

from __future__ import annotations

from random import Random

import pytest
from ortools.sat.python import cp_model
from support.searches import POSSIBLE, solved
from support.trips import generate

from packer.decide.classes import build_classes
from packer.decide.problem import build
from packer.decide.relaxed import Relaxation
from packer.model.solving import Wishes


def test_a_knapsack_is_filled_by_a_fraction() -> None:
    """Cover 10 with things of 4 at 3 each: 2.5 of them, 7.5; whole ones would be 9."""
    model = cp_model.CpModel()
    count = model.new_int_var(0, 5, "")
    model.add(4 * count >= 10)
    model.minimize(3 * count)
    found = Relaxation(model).solve()
    assert found is not None
    assert found.bound == pytest.approx(7.5, abs=1e-6)
    assert found.bound <= 7.5
    assert found.values == [2.5]


def test_clauses_count_and_conditions_as_far_as_limits_go() -> None:
    """Of a or b one is true, of not-b or c one, of a and c at most one; if a, all three are true:
    b + c >= 2 a. That is 1.5 for a + b + c, where all whole answers cost at least 2."""
    model = cp_model.CpModel()
    a, b, c = (model.new_bool_var(name) for name in "abc")
    model.add_bool_or(a, b)
    model.add_implication(b, c)
    model.add_at_most_one(a, c)
    model.add(a + b + c >= 3).only_enforce_if(a)
    model.minimize(a + b + c)
    found = Relaxation(model).solve()
    assert found is not None
    assert found.bound == pytest.approx(1.5, abs=1e-6)


def test_rows_added_later_are_heeded() -> None:
    """The bound rises with a row that comes after the first answer."""
    model = cp_model.CpModel()
    x = model.new_int_var(0, 9, "")
    model.minimize(x)
    relaxation = Relaxation(model)
    first = relaxation.solve()
    model.add(x >= 4)
    second = relaxation.solve()
    assert first is not None
    assert second is not None
    assert (round(first.bound), round(second.bound)) == (0, 4)


@pytest.mark.parametrize("seed", range(40))
def test_the_bound_is_never_above_the_whole_optimum(seed: int) -> None:
    """Random covering and packing rows over many magnitudes, against the exact solver."""
    rng = Random(seed)
    model = cp_model.CpModel()
    xs = [model.new_int_var(rng.randint(-3, 0), rng.randint(0, 9), "") for _ in range(6)]
    for _ in range(5):
        scale = 10 ** rng.randint(0, 8)
        sizes = [scale * rng.randint(-2, 5) + rng.randint(-1, 1) for _ in xs]
        row = sum(size * x for size, x in zip(sizes, xs, strict=True))
        model.add(row <= scale * rng.randint(5, 30)) if rng.random() < 0.5 else model.add(
            row >= scale * rng.randint(0, 9)
        )
    model.minimize(sum(rng.randint(-9, 9) * x for x in xs) + 7)
    solver = solved(model)
    found = Relaxation(model).solve()
    if solver is not None:
        assert found is not None
        assert found.bound <= solver.objective_value


def test_no_answer_gives_no_bound() -> None:
    """Nothing is claimed of a model without an answer; that is for exact arithmetic to say."""
    model = cp_model.CpModel()
    x = model.new_int_var(0, 1, "")
    model.add(x >= 2)
    model.minimize(x)
    assert Relaxation(model).solve() is None


@pytest.mark.parametrize("flavour", POSSIBLE)
def test_relaxed_classes_are_below_whole_classes(flavour: str) -> None:
    """On generated trips."""
    classes = build_classes(build(generate(flavour, "compact", 3), Wishes()))
    solver, found = solved(classes.model), Relaxation(classes.model).solve()
    assert solver is not None
    assert found is not None
    assert found.bound <= solver.objective_value


def test_values_held_bound_these_alone() -> None:
    """x + y >= 3 at 1 and 2 each: 3 in all, 5 with x held at 1; a variable may come later."""
    model = cp_model.CpModel()
    x, y = (model.new_int_var(0, 9, name) for name in "xy")
    model.add(x + y >= 3)
    model.minimize(x + 2 * y)
    relaxation = Relaxation(model)
    free = relaxation.solve()
    held = relaxation.solve(fixed={x.index: 1})
    assert free is not None
    assert held is not None
    assert (round(free.bound, 3), round(held.bound, 3)) == (3.0, 5.0)
    model.add(x <= model.new_int_var(0, 2, "z"))
    later = relaxation.solve()
    assert later is not None
    assert round(later.bound, 3) == 4.0
    assert relaxation.solve(fixed={x.index: 3}) is None
