"""The linear rows of a model, as a solver of linear programmes takes them.

All linear rows and clauses of a CP-SAT model are read. A row that holds only under a condition is
written with the least figure that frees it where the condition fails ("big M": Williams 2013,
"Model Building in Mathematical Programming", ch. 9). What is neither is left out, which only
widens the model. Rows are scaled by powers of two, exactly, so that their largest figure is
about 1.

In: a CP-SAT model that minimises. Out: `LinearRows`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model
from scipy.sparse import csr_array

ENDLESS = 2**62  # where the solver's integers stand for no limit

Floats = NDArray[np.float64]
Row = tuple[list[int], list[int], float, float]


class LinearRows:
    """The rows of one model; those added to it later are read by `refresh`."""

    def __init__(self, model: cp_model.CpModel) -> None:
        self._proto: Any = model.proto
        domains = [list(variable.domain) for variable in self._proto.variables]
        self.low: Floats = np.array([domain[0] for domain in domains], dtype=np.float64)
        self.high: Floats = np.array([domain[-1] for domain in domains], dtype=np.float64)
        self.cost: Floats = np.zeros(len(domains))
        objective = self._proto.objective
        np.add.at(self.cost, list(objective.vars), list(objective.coeffs))
        self.offset = float(objective.offset)
        self._read = 0
        self._indices: list[int] = []
        self._sizes: list[float] = []
        self._starts = [0]
        self._from: list[float] = []
        self._upto: list[float] = []

    def __len__(self) -> int:
        """How many rows have been read."""
        return len(self._from)

    @property
    def least(self) -> Floats:
        """The lower limit of each row; minus infinity where it has none."""
        return np.array(self._from)

    @property
    def most(self) -> Floats:
        """The upper limit of each row; infinity where it has none."""
        return np.array(self._upto)

    def matrix(self, first: int = 0) -> Any:
        """The rows from `first` on, as a sparse matrix of (rows, variables)."""
        start = self._starts[first]
        starts = np.array(self._starts[first:], dtype=np.int32) - start
        indices = np.array(self._indices[start:], dtype=np.int32)
        shape = (len(self) - first, len(self.low))
        return csr_array((np.array(self._sizes[start:]), indices, starts), shape=shape)

    def refresh(self) -> None:
        """Reads what has been added to the model: rows, and variables that they speak of."""
        self._read_variables()
        constraints = self._proto.constraints
        for k in range(self._read, len(constraints)):
            for row in self._rows(constraints[k]):
                self._add(row)
        self._read = len(constraints)

    def limit(self, terms: Sequence[tuple[cp_model.IntVar, int]]) -> None:
        """Adds a row that the model itself does not have: the terms add up to at most 0."""
        self._add(([var.index for var, _ in terms], [size for _, size in terms], -np.inf, 0.0))

    def _read_variables(self) -> None:
        new = [list(v.domain) for v in list(self._proto.variables)[len(self.low) :]]
        if new:
            self.low = np.append(self.low, [float(domain[0]) for domain in new])
            self.high = np.append(self.high, [float(domain[-1]) for domain in new])
            self.cost = np.append(self.cost, np.zeros(len(new)))

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

    def _rows(self, constraint: Any) -> Iterator[Row]:
        """The linear rows of one constraint as (variables, sizes, least, most), if it has any."""
        given = list(constraint.enforcement_literal)
        if constraint.has_linear():
            row = _linear_row(constraint.linear)
            yield from self._freed(row, given) if given else [row]
        elif constraint.has_bool_or():
            literals = [~literal for literal in given] + list(constraint.bool_or.literals)
            yield _literals(literals, 1.0)
        elif constraint.has_bool_and():
            for literal in constraint.bool_and.literals:
                yield _literals([*(~each for each in given), literal], 1.0)
        elif constraint.has_at_most_one() and not given:
            yield _literals(list(constraint.at_most_one.literals), -np.inf, 1.0)
        elif constraint.has_exactly_one() and not given:
            yield _literals(list(constraint.exactly_one.literals), 1.0, 1.0)

    def _freed(self, row: Row, given: list[int]) -> Iterator[Row]:
        """A row that holds where all literals of `given` are true, freed where one is not."""
        variables, sizes, low, high = row
        figures = np.array(sizes, dtype=np.float64)
        one, other = figures * self.low[variables], figures * self.high[variables]
        top, bottom = float(np.maximum(one, other).sum()), float(np.minimum(one, other).sum())
        if top > high:
            yield _conditioned(row, given, high - top, -np.inf, high)
        if bottom < low:
            yield _conditioned(row, given, low - bottom, low, np.inf)


def _conditioned(row: Row, given: list[int], free: float, low: float, high: float) -> Row:
    """`low <= the row + free x (how many literals of given are false) <= high`."""
    terms: dict[int, int] = {}
    for variable, size in zip(row[0], row[1], strict=True):
        terms[variable] = terms.get(variable, 0) + size
    shift = 0.0
    for literal in given:
        variable, sign = (literal, -1) if literal >= 0 else (~literal, 1)
        terms[variable] = terms.get(variable, 0) + sign * int(free)
        shift += free if literal >= 0 else 0.0
    return list(terms), list(terms.values()), low - shift, high - shift


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
