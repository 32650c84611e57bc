"""Linear programs in a process of their own: scipy's answers, and an end at any time."""

from __future__ import annotations

import sys
import time
from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import csr_array

from packer.decide import linear
from packer.decide.linear import LinearSolver

PATIENCE_S = 8.0  # what a busy machine may take on top


def task(size: int = 30, seed: int = 1) -> dict[str, Any]:
    """Cover random demands at random costs; the first row is an equation."""
    rng = np.random.default_rng(seed)
    rows, costs = rng.integers(1, 9, (size, size)), rng.integers(1, 9, size)
    return {
        "c": costs.astype(float), "A_ub": csr_array(-rows[1:]), "b_ub": np.full(size - 1, -50.0),
        "A_eq": csr_array(rows[:1]), "b_eq": np.array([400.0]),
        "bounds": np.array([[0.0, 100.0]] * size), "method": "highs", "options": {},
    }  # fmt: skip


@pytest.fixture
def always_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every program counts as large."""
    monkeypatch.setattr(linear, "LARGE", 0)


@pytest.mark.usefixtures("always_apart")
def test_the_process_answers_as_scipy_does() -> None:
    """Values and duals of two programs, one after the other."""
    solver = LinearSolver(lambda: False)
    for seed in (1, 2):
        found, known = solver.solve(task(seed=seed)), linprog(**task(seed=seed))
        assert found is not None
        assert found["solved"]
        assert found["x"] == pytest.approx(known.x)
        assert found["loose"] == pytest.approx(known.ineqlin.marginals)
        assert found["tight"] == pytest.approx(known.eqlin.marginals)
        assert found["nit"] == known.nit
    solver.end()


@pytest.mark.usefixtures("always_apart")
def test_a_program_without_an_answer_says_so() -> None:
    """More than all there is cannot be covered."""
    solver = LinearSolver(lambda: False)
    assert solver.solve({**task(), "b_eq": np.array([10.0**9])}) == {"solved": False}
    solver.end()


@pytest.mark.usefixtures("always_apart")
def test_when_time_is_over_the_process_is_ended() -> None:
    """A program that takes far longer, given up after a moment."""
    begun = time.monotonic()
    solver = LinearSolver(lambda: time.monotonic() - begun > 0.5)
    assert solver.solve(task(1_500)) is None
    assert time.monotonic() - begun < 0.5 + PATIENCE_S
    assert solver._child is None


@pytest.mark.usefixtures("always_apart")
def test_a_process_that_does_not_start_or_dies_changes_no_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It is solved here instead."""
    known = linprog(**task())
    for start in ("raise SystemExit(3)", "print('what?', flush=True)"):
        monkeypatch.setattr(linear, "_START", start)
        found = LinearSolver(lambda: False).solve(task())
        assert found is not None
        assert found["x"] == pytest.approx(known.x)
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    found = LinearSolver(lambda: False).solve(task())
    assert found is not None
    assert found["x"] == pytest.approx(known.x)


def test_small_programs_are_solved_here() -> None:
    """No process is started."""
    solver = LinearSolver(lambda: False)
    assert solver.solve(task()) is not None
    assert solver._child is None
