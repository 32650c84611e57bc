"""Searches on small trips, and plans made of sketches, for tests of the solver's parts."""

from __future__ import annotations

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
