"""Searches on small trips, and plans made of sketches, for tests of the solver's parts."""

from __future__ import annotations

from dataclasses import replace

from ortools.sat.python import cp_model

from packer.decide.causes import causes_of
from packer.decide.cover import Coverer
from packer.decide.finish import Effort, plan_of
from packer.decide.problem import Problem, build
from packer.decide.search import Search
from packer.decide.sketch import Sketch
from packer.decide.space import Space
from packer.decide.watch import Watch
from packer.model.plan import Plan
from packer.model.solving import Limits, Wishes
from packer.model.trip import Choice, Trip
from support.by_hand import LIMITS
from support.trips import FLAVOURS, generate

POSSIBLE = tuple(name for name in FLAVOURS if not name.startswith("impossible"))


def search_of(trip: Trip, limits: Limits = LIMITS) -> Search:
    """A search that has found nothing yet."""
    return Search(build(trip, Wishes()), Watch(limits, lambda: False), lambda _: None)


def all_fly(flavour: str, seed: int, size: str = "tiny") -> Trip:
    """A generated trip in which everything must fly, and every second line has a unit more.

    What by itself goes in no case is left out.
    """
    trip = generate(flavour, size, seed)
    gear = tuple(
        replace(line, choice=Choice.FLY, quantity=line.quantity + i % 2, serials=())
        for i, line in enumerate(trip.gear)
    )
    trip = replace(trip, gear=gear, offers=(), deliveries=())
    alone = {cause.subject for cause in causes_of(build(trip, Wishes()))}
    return replace(trip, gear=tuple(line for line in gear if line.name not in alone))


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
