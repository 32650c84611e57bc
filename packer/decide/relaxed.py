"""The linear relaxation of a model: a lower bound within moments, and where it is fractional.

Whole numbers are not asked for. The bound does not trust the solver's arithmetic: any duals give
one by weak duality, which is worked out here with its rounding error taken off (Neumaier &
Shcherbina 2004, "Safe bounds in linear and mixed-integer linear programming"). Solved by HiGHS
(Huangfu & Hall 2018), which goes on from where it stood when rows are added.

In: the linear rows of a model. Out: `Relaxed`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from ortools.sat.python import cp_model

from packer.decide.linear import Floats, LinearRows

ROUNDING = 1e-15  # of the size of all that is added up, for each term of the longest sum


@dataclass(frozen=True, slots=True)
class Relaxed:
    """An answer: a bound that holds, the values by variable, the work in simplex iterations."""

    bound: float
    values: list[float]
    iterations: int


class Relaxation:
    """The relaxation of one model; rows added to the model later are read at the next solve."""

    def __init__(self, model: cp_model.CpModel, over: Callable[[], bool] = lambda: False) -> None:
        """`over` is asked between two iterations; where it says yes, the solver stops."""
        self.rows = LinearRows(model)
        self._known = 0
        self._held: set[int] = set()
        self._solver = quiet_solver()

        def asked(_kind: Any, _text: str, _out: Any, back: Any, _data: Any = None) -> None:
            if over():
                back.user_interrupt = True

        self._solver.setCallback(asked, None)
        self._solver.startCallback(highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt)

    def solve(
        self, seconds: float | None = None, fixed: Mapping[int, int] | None = None
    ) -> Relaxed | None:
        """The optimum of the relaxation; None where the time was too short or there is none.

        `fixed`: values that variables are held to; then the bound holds for these alone.
        """
        self.rows.refresh()
        self._pass_on()
        low, high = self._hold(fixed or {})
        limit = highspy.kHighsInf if seconds is None else max(0.01, seconds)
        self._solver.setOptionValue("time_limit", self._solver.getRunTime() + limit)
        self._solver.run()
        if self._solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        answer = self._solver.getSolution()
        bound = self._safe(np.array(answer.row_dual), low, high)
        iterations = int(self._solver.getInfo().simplex_iteration_count)
        return Relaxed(bound, list(answer.col_value), iterations)

    def _hold(self, fixed: Mapping[int, int]) -> tuple[Floats, Floats]:
        """Holds these variables, and frees those held before; the limits of all."""
        for index in [*(self._held - fixed.keys()), *fixed]:
            low, high = self.rows.low[index], self.rows.high[index]
            least = fixed.get(index, low)
            self._solver.changeColBounds(index, least, fixed.get(index, high))
        self._held = set(fixed)
        lows, highs = self.rows.low.copy(), self.rows.high.copy()
        lows[list(fixed)] = highs[list(fixed)] = list(fixed.values())
        return lows, highs

    def limit(self, terms: Sequence[tuple[cp_model.IntVar, int]]) -> None:
        """Adds a row to the relaxation alone: the terms add up to at most 0."""
        self.rows.limit(terms)

    def _pass_on(self) -> None:
        """Gives the solver the rows that it has not seen."""
        rows, first = self.rows, self._known
        if not first or len(rows.low) > self._solver.getNumCol():
            self._solver.passModel(linear_programme(rows))
        elif len(rows) > first:
            added = rows.matrix(first)
            self._solver.addRows(
                len(rows) - first, rows.least[first:], rows.most[first:],
                added.nnz, added.indptr[:-1], added.indices, added.data,
            )  # fmt: skip
        self._known = len(rows)

    def _safe(self, duals: Floats, low: Floats, high: Floats) -> float:
        """The bound of the duals: b y + the least of (c - A y) x within the limits of x."""
        rows = self.rows
        limits = np.where(duals > 0, rows.least, rows.most)
        held = np.where(np.isfinite(limits), duals, 0.0)
        limits = np.where(np.isfinite(limits), limits, 0.0)
        matrix = rows.matrix()
        reduced = rows.cost - matrix.T @ held
        least = np.minimum(reduced * low, reduced * high)
        widest = np.maximum(abs(low), abs(high))
        added = abs(limits) @ abs(held)
        added += widest @ (abs(rows.cost) + abs(matrix).T @ abs(held))
        terms = max(matrix.shape) + 10
        return float(limits @ held + least.sum() + rows.offset - ROUNDING * terms * added)


def quiet_solver() -> Any:
    """A solver on one thread that prints nothing."""
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", 1)
    return solver


def linear_programme(rows: LinearRows) -> Any:
    """The rows as the solver takes them, without asking for whole numbers."""
    matrix = rows.matrix()
    programme = highspy.HighsLp()
    programme.num_row_, programme.num_col_ = matrix.shape
    programme.col_cost_, programme.offset_ = rows.cost, rows.offset
    programme.col_lower_, programme.col_upper_ = rows.low, rows.high
    programme.row_lower_, programme.row_upper_ = rows.least, rows.most
    programme.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    programme.a_matrix_.start_ = matrix.indptr
    programme.a_matrix_.index_ = matrix.indices
    programme.a_matrix_.value_ = matrix.data
    return programme
