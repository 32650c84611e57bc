"""The linear relaxation of a model: a lower bound within moments, and where it is fractional.

All linear rows and clauses without conditions are taken, whole numbers are not asked for; what
is left out only lowers the bound. The bound does not trust the solver's arithmetic: any duals
of the right sign give one by weak duality, which is worked out here with its rounding error
taken off (Neumaier & Shcherbina 2004, "Safe bounds in linear and mixed-integer linear
programming"). Solved by HiGHS (Huangfu & Hall 2018) through scipy.

In: a CP-SAT model that minimises. Out: `Relaxed`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model
from scipy.optimize import linprog
from scipy.sparse import csr_array, vstack

ENDLESS = 2**62  # where the solver's integers stand for no limit
ROUNDING = 1e-15  # of the size of all that is added up, for each term of the longest sum

Floats = NDArray[np.float64]
Row = tuple[list[int], list[int], float, float]


@dataclass(frozen=True, slots=True)
class Relaxed:
    """An answer: a bound that holds, the values by variable, the work in simplex iterations."""

    bound: float
    values: list[float]
    iterations: int


class Relaxation:
    """The relaxation of one model; rows added to the model later are read at the next solve."""

    def __init__(self, model: cp_model.CpModel) -> None:
        self._proto: Any = model.proto
        self._low = self._high = self._cost = np.zeros(0)
        self._read_variables()
        objective = self._proto.objective
        np.add.at(self._cost, list(objective.vars), list(objective.coeffs))
        self._offset = float(objective.offset)
        self._read = 0
        self._indices: list[int] = []
        self._sizes: list[float] = []
        self._starts = [0]
        self._from: list[float] = []
        self._upto: list[float] = []

    def solve(
        self, seconds: float | None = None, fixed: Mapping[int, int] | None = None
    ) -> Relaxed | None:
        """The optimum of the relaxation; None where the time was too short or there is none.

        `fixed`: values that variables are held to; then the bound holds for these alone.
        """
        self._refresh()
        low, high = self._low.copy(), self._high.copy()
        for index, value in (fixed or {}).items():
            low[index] = high[index] = value
        matrix, limits, equal = self._matrix()
        tight = matrix[equal]
        loose = matrix[~equal]
        found = linprog(
            self._cost,
            A_ub=loose,
            b_ub=limits[~equal],
            A_eq=tight,
            b_eq=limits[equal],
            bounds=np.column_stack([low, high]),
            method="highs",
            options={} if seconds is None else {"time_limit": max(0.01, seconds)},
        )
        if found.status != 0:
            return None
        duals = np.zeros(len(limits))
        duals[~equal] = np.minimum(found.ineqlin.marginals, 0.0)
        duals[equal] = found.eqlin.marginals
        bound = self._safe(matrix, limits, duals, low, high)
        return Relaxed(bound, found.x.tolist(), int(found.nit))

    def _safe(self, matrix: Any, limits: Floats, duals: Floats, low: Floats, high: Floats) -> float:
        """The bound of the duals: b y + the least of (c - A y) x within the limits of x."""
        reduced = self._cost - matrix.T @ duals
        least = np.minimum(reduced * low, reduced * high)
        widest = np.maximum(abs(low), abs(high))
        added = abs(limits) @ abs(duals)
        added += widest @ (abs(self._cost) + abs(matrix).T @ abs(duals))
        terms = max(matrix.shape) + 10
        return float(limits @ duals + least.sum() + self._offset - ROUNDING * terms * added)

    def _matrix(self) -> tuple[Any, Floats, NDArray[np.bool_]]:
        """(rows, limits, which are equations): `rows x <= limits`, ranges as two rows."""
        shape = (len(self._from), len(self._low))
        whole = csr_array((self._sizes, self._indices, self._starts), shape=shape)
        low, high = np.array(self._from), np.array(self._upto)
        equal = low == high
        above = np.isfinite(high)
        below = np.isfinite(low) & ~equal
        matrix = vstack([whole[above], -whole[below]], format="csr")
        limits = np.concatenate([high[above], -low[below]])
        return matrix, limits, np.concatenate([equal[above], np.zeros(below.sum(), dtype=bool)])

    def limit(self, terms: Sequence[tuple[cp_model.IntVar, int]]) -> None:
        """Adds a row to the relaxation alone: the terms add up to at most 0."""
        self._add(([var.index for var, _ in terms], [size for _, size in terms], -np.inf, 0.0))

    def _read_variables(self) -> None:
        new = list(self._proto.variables)[len(self._low) :]
        domains = [list(variable.domain) for variable in new]
        self._low = np.append(self._low, [float(domain[0]) for domain in domains])
        self._high = np.append(self._high, [float(domain[-1]) for domain in domains])
        self._cost = np.append(self._cost, np.zeros(len(new)))

    def _refresh(self) -> None:
        self._read_variables()
        constraints = self._proto.constraints
        for k in range(self._read, len(constraints)):
            for row in _rows(constraints[k]):
                self._add(row)
        self._read = len(constraints)

    def _add(self, row: Row) -> None:
        variables, sizes, low, high = row
        if not variables:
            return
        scale = 2.0 ** -max(abs(size) for size in sizes).bit_length()  # exact
        self._indices += variables
        self._sizes += [size * scale for size in sizes]
        self._starts.append(len(self._indices))
        self._from.append(low * scale)
        self._upto.append(high * scale)


def _rows(constraint: Any) -> Iterator[Row]:
    """The linear rows of one constraint as (variables, sizes, least, most); none if it has no."""
    given = list(constraint.enforcement_literal)
    if constraint.has_linear():
        if not given:
            yield _linear_row(constraint.linear)
    elif constraint.has_bool_or():
        yield _literals([~literal for literal in given] + list(constraint.bool_or.literals), 1.0)
    elif constraint.has_bool_and():
        for literal in constraint.bool_and.literals:
            yield _literals([*(~each for each in given), literal], 1.0)
    elif constraint.has_at_most_one() and not given:
        yield _literals(list(constraint.at_most_one.literals), -np.inf, 1.0)
    elif constraint.has_exactly_one() and not given:
        yield _literals(list(constraint.exactly_one.literals), 1.0, 1.0)


def _linear_row(linear: Any) -> Row:
    domain = list(linear.domain)
    low = float(domain[0]) if domain[0] > -ENDLESS else -np.inf
    high = float(domain[-1]) if domain[-1] < ENDLESS else np.inf
    return list(linear.vars), list(linear.coeffs), low, high


def _literals(literals: list[int], low: float, high: float = np.inf) -> Row:
    """At least, or at most, so many of these are true; a negative number is a variable's no."""
    negated = sum(literal < 0 for literal in literals)
    variables = [literal if literal >= 0 else ~literal for literal in literals]
    sizes = [1 if literal >= 0 else -1 for literal in literals]
    return variables, sizes, low - negated, high - negated
