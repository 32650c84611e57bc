"""Linear rows say what the model says, as far as linear rows can."""

from __future__ import annotations

import itertools
from random import Random

import numpy as np
import pytest
from ortools.sat.python import cp_model

from packer.decide.linear import LinearRows


def holds(rows: LinearRows, point: tuple[int, ...]) -> bool:
    """True if a point meets every row."""
    sums = rows.matrix() @ np.array(point, dtype=np.float64)
    return bool(np.all(sums >= rows.least - 1e-9) and np.all(sums <= rows.most + 1e-9))


def solves(model: cp_model.CpModel, point: tuple[int, ...]) -> bool:
    """True if the exact solver takes a point."""
    held = model.clone()
    for index, value in enumerate(point):
        held.add(held.get_int_var_from_proto_index(index) == value)
    return cp_model.CpSolver().solve(held) == cp_model.OPTIMAL


@pytest.mark.parametrize("seed", range(12))
def test_rows_hold_where_the_model_does_and_nowhere_else(seed: int) -> None:
    """Every point of four variables: rows with and without conditions, clauses, at most one."""
    rng = Random(seed)
    model = cp_model.CpModel()
    x, y = (model.new_int_var(-1, 2, name) for name in "xy")
    a, b = (model.new_bool_var(name) for name in "ab")
    low = rng.randint(-4, 1)
    model.add_linear_constraint(
        rng.randint(-3, 3) * x + rng.randint(1, 3) * y, low, low + rng.randint(0, 5)
    ).only_enforce_if(rng.choice([a, ~a]))
    model.add(x + 2 * y <= rng.randint(-1, 4)).only_enforce_if(a, ~b)
    model.add(x - y >= rng.randint(-3, 1))
    rng.choice([model.add_at_most_one, model.add_bool_or, model.add_exactly_one])([a, ~b])
    rows = LinearRows(model)
    rows.refresh()
    for point in itertools.product(range(-1, 3), range(-1, 3), (0, 1), (0, 1)):
        assert holds(rows, point) == solves(model, point), point


def test_rows_and_variables_added_later_are_read() -> None:
    """And those that were read stay as they are."""
    model = cp_model.CpModel()
    x = model.new_int_var(0, 9, "x")
    model.add(2 * x <= 9)
    rows = LinearRows(model)
    rows.refresh()
    assert (len(rows), rows.matrix().shape) == (1, (1, 1))
    flag = model.new_bool_var("flag")
    model.add(x >= 3).only_enforce_if(flag)
    rows.limit([(x, 1), (flag, -5)])
    rows.refresh()
    assert (len(rows), rows.matrix().shape) == (3, (3, 2))
    assert rows.matrix(1).shape == (2, 2)
    assert holds(rows, (4, 1))
    assert not holds(rows, (2, 1))
    assert not holds(rows, (4, 0))
