"""A proved lower bound for one-dimensional bin packing, by column generation.

The linear relaxation over all ways to fill a bin is approached by generating them one by one
(P. C. Gilmore and R. E. Gomory, Operations Research 9, 1961). Its prices, rounded down to integers,
are a dual feasible function once divided by the best price of any one bin, which an exact knapsack
finds (A. A. Farley, Operations Research 38, 1990): the bound is a division of integers and owes
nothing to floating point.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Sequence
from datetime import timedelta

import numpy as np
from ortools.linear_solver import pywraplp
from ortools.math_opt.python import mathopt

from packer.geometry.compiling import jit
from packer.geometry.spaces import Ints, as_ints

_PRICE = 1_000_000
"""Integer price units in the value of one bin."""


def fewest_by_columns(
    sizes: Sequence[int],
    capacity: int,
    start: Sequence[Sequence[int]],
    enough: int,
    seconds: float,
) -> tuple[int, tuple[tuple[int, ...], ...]]:
    """A proved number of bins, and the ways to fill a bin that were met.

    `start`: a packing as lists of sizes. Stops at `enough` bins, at the optimum of the
    relaxation, or after `seconds`.
    """
    counts = Counter(sizes)
    kinds = as_ints(sorted(counts, reverse=True))
    most = as_ints([counts[int(size)] for size in kinds])
    master = _Master([int(m) for m in most])
    for pattern in start:
        have = Counter(pattern)
        master.add([have[int(size)] for size in kinds])
    bound = 0
    deadline = time.monotonic() + seconds
    while bound < enough and time.monotonic() < deadline:
        prices = as_ints([int(price * _PRICE) for price in master.prices()])
        found = knapsack(kinds, most, prices, capacity)
        worth = int((found * prices).sum())
        if worth > 0:
            bound = max(bound, -(-int((prices * most).sum()) // worth))
        if worth <= _PRICE + 1:
            break
        master.add(found.tolist())
    met = tuple(
        tuple(int(size) for size, p in zip(kinds, of, strict=True) for _ in range(p))
        for of in master.patterns
    )
    return bound, met


def recombine(
    sizes: Sequence[int], patterns: Sequence[Sequence[int]], seconds: float
) -> tuple[tuple[int, ...], ...] | None:
    """The fewest of `patterns` that cover all sizes, trimmed to them; None if time ran out."""
    demand = Counter(sizes)
    model = mathopt.Model()
    times = [model.add_integer_variable(lb=0) for _ in patterns]
    cover: dict[int, list[mathopt.LinearBase]] = {size: [] for size in demand}
    for often, pattern in zip(times, patterns, strict=True):
        for size, count in Counter(pattern).items():
            cover[size].append(count * often)
    for size, terms in cover.items():
        model.add_linear_constraint(mathopt.fast_sum(terms) >= demand[size])
    model.minimize(mathopt.fast_sum(times))
    limit = mathopt.SolveParameters(time_limit=timedelta(seconds=max(seconds, 0.01)))
    result = mathopt.solve(model, mathopt.SolverType.HIGHS, params=limit)
    if not result.has_primal_feasible_solution():
        return None
    return _trimmed(demand, patterns, [round(result.variable_values(often)) for often in times])


def _trimmed(
    demand: Counter[int], patterns: Sequence[Sequence[int]], times: Sequence[int]
) -> tuple[tuple[int, ...], ...]:
    """The chosen patterns without what is covered already."""
    left = Counter(demand)
    chosen = []
    for pattern, often in zip(patterns, times, strict=True):
        for _ in range(often):
            wanted = list((Counter(pattern) & left).elements())
            left.subtract(wanted)
            chosen.append(tuple(wanted))
    return tuple(of for of in chosen if of)


class _Master:
    """The relaxation over the ways known so far."""

    def __init__(self, demand: Sequence[int]) -> None:
        self.patterns: list[list[int]] = []
        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        self._rows = [self._solver.Constraint(d, self._solver.infinity()) for d in demand]
        self._solver.Objective().SetMinimization()

    def add(self, pattern: list[int]) -> None:
        """Know one more way: how many of each kind."""
        self.patterns.append(pattern)
        column = self._solver.NumVar(0, self._solver.infinity(), "")
        self._solver.Objective().SetCoefficient(column, 1)
        for row, count in zip(self._rows, pattern, strict=True):
            if count:
                row.SetCoefficient(column, count)

    def prices(self) -> list[float]:
        """What one of each kind is worth, in bins."""
        self._solver.Solve()
        return [max(0.0, row.dual_value()) for row in self._rows]


@jit
def knapsack(kinds: Ints, most: Ints, prices: Ints, capacity: int) -> Ints:
    """The exact best-paid content of one bin: how many of each kind (bounded knapsack)."""
    n = kinds.shape[0]
    best = np.zeros((n + 1, capacity + 1), dtype=np.int64)
    for k in range(n):
        size, price = kinds[k], prices[k]
        for room in range(capacity + 1):
            value = best[k, room]
            for count in range(1, most[k] + 1):
                if count * size > room or price == 0:
                    break
                value = max(value, best[k, room - count * size] + count * price)
            best[k + 1, room] = value
    pattern = np.zeros(n, dtype=np.int64)
    room = capacity
    for k in range(n - 1, -1, -1):
        count = 0
        while best[k + 1, room] != best[k, room - count * kinds[k]] + count * prices[k]:
            count += 1
        pattern[k] = count
        room -= count * kinds[k]
    return pattern
