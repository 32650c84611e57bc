"""The linear rows of a model solved in whole numbers, by branch and cut.

Source: HiGHS (Huangfu & Hall 2018), a solver of mixed-integer programmes. It works in floating
point: a bound counts here only less `MARGIN`, which is far above the tolerances to which its
linear programmes are solved, and answers are rounded to whole numbers. On one thread it takes the
same way each time; a limit of work is counted in looks: it asks at fixed points whether to go on.

In: the linear rows of a model, and who wants to hear. Out: `Whole`.
"""

from __future__ import annotations

import enum
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from ortools.sat.python import cp_model

from packer.decide.linear import LinearRows
from packer.decide.relaxed import linear_programme, quiet_solver

MARGIN = 1e-7  # of a bound, for the solver's arithmetic
LEAST_MARGIN = 1e-3  # in the units of the objective, which is whole
GAP = 0.999 - LEAST_MARGIN  # between answer and bound, where the objective is whole


class Status(enum.Enum):
    """How a search in whole numbers ended."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Whole:
    """What is known at the end: an answer by variable if there is one, and a bound; and how often
    the solver asked whether to go on, which measures its work."""

    status: Status
    values: tuple[int, ...]
    bound: float
    looks: int

    def value(self, var: cp_model.IntVar) -> int:
        """The value of a variable of the model."""
        return self.values[var.index]


@dataclass(frozen=True, slots=True)
class Listener:
    """Who hears of bounds and better answers on the way, and says when to stop."""

    on_bound: Callable[[float], None] = lambda _: None
    on_answer: Callable[[tuple[int, ...]], None] = lambda _: None
    over: Callable[[], bool] = lambda: False


def solve_whole(
    rows: LinearRows,
    listener: Listener = Listener(),
    seconds: float | None = None,
    looks: int | None = None,
) -> Whole:
    """The best answer in whole numbers within the limits; the objective must be whole."""
    rows.refresh()
    programme = linear_programme(rows)
    programme.integrality_ = [highspy.HighsVarType.kInteger] * len(rows.low)
    solver = quiet_solver()
    for option, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", GAP)):
        solver.setOptionValue(option, value)
    if seconds is not None:
        solver.setOptionValue("time_limit", max(0.01, seconds))
    solver.passModel(programme)
    looked = _listen(solver, listener, looks)
    solver.run()
    return _answer(solver, len(looked))


def _listen(solver: Any, listener: Listener, most: int | None) -> list[None]:
    """Hands on what the solver tells; returns a list that grows with each look."""
    kinds = highspy.cb.HighsCallbackType
    looked: list[None] = []

    def heard(kind: Any, _text: str, out: Any, back: Any, _data: Any = None) -> None:
        if kind == kinds.kCallbackMipImprovingSolution:
            listener.on_answer(_rounded(out.mip_solution))
        if np.isfinite(out.mip_dual_bound):
            listener.on_bound(less_margin(out.mip_dual_bound))
        if kind == kinds.kCallbackMipInterrupt:
            looked.append(None)
            if listener.over() or (most is not None and len(looked) >= most):
                back.user_interrupt = True

    solver.setCallback(heard, None)
    for kind in (kinds.kCallbackMipImprovingSolution, kinds.kCallbackMipInterrupt):
        solver.startCallback(kind)
    return looked


def less_margin(bound: float) -> float:
    """A bound that holds although it was worked out in floating point."""
    return bound - max(LEAST_MARGIN, MARGIN * abs(bound))


def _answer(solver: Any, looks: int) -> Whole:
    info, status = solver.getInfo(), solver.getModelStatus()
    found = info.primal_solution_status == highspy.kSolutionStatusFeasible
    values = _rounded(solver.getSolution().col_value) if found else ()
    bound = less_margin(info.mip_dual_bound) if np.isfinite(info.mip_dual_bound) else -np.inf
    if status == highspy.HighsModelStatus.kInfeasible:
        return Whole(Status.INFEASIBLE, (), bound, looks)
    if status == highspy.HighsModelStatus.kOptimal:
        return Whole(Status.OPTIMAL, values, bound, looks)
    return Whole(Status.FEASIBLE if found else Status.UNKNOWN, values, bound, looks)


def _rounded(values: Any) -> tuple[int, ...]:
    return tuple(np.rint(np.asarray(values)).astype(np.int64).tolist())
