"""Searches on small trips, and plans made of sketches, for tests of the solver's parts."""

from __future__ import annotations

from ortools.sat.python import cp_model

from packer.decide.cover import Coverer
from packer.decide.finish import Effort, plan_of
from packer.decide.problem import Problem, build
from packer.decide.search import Search
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.decide.watch import Watch
from packer.model.plan import Plan
from packer.model.solving import Limits, Wishes
from packer.model.trip import Trip
from support.by_hand import LIMITS
from support.trips import FLAVOURS

POSSIBLE = tuple(name for name in FLAVOURS if not name.startswith("impossible"))


def search_of(trip: Trip, limits: Limits = LIMITS) -> Search:
    """A search that has found nothing yet."""
    return Search(build(trip, Wishes()), Watch(limits, lambda: False), lambda _: None)


def plan_from(problem: Problem, found: Sketch, keep: Plan | None = None) -> Plan:
    """The plan of a sketch, nothing proved."""
    coverer = Coverer(problem.trip, problem.hires)
    return plan_of(problem, found, Space(problem), coverer, 0, LIMITS, Effort(0.0, 0.0), keep)


def solved(model: cp_model.CpModel) -> cp_model.CpSolver | None:
    """A model solved to the end by one worker; None where it has no answer."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return solver if status == cp_model.OPTIMAL else None
