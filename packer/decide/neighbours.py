"""Large-neighbourhood search: a few cases and all that is hired set free, the rest held still.

Each neighbourhood is the joint model with the other cases fixed, solved for a second or so: what
needs several moves at once, which ruin and recreate takes one at a time, is one answer here.
Source of the scheme: Shaw 1998, "Using constraint programming and local search methods to solve
vehicle routing problems".
"""

from __future__ import annotations

import random

from ortools.sat.python import cp_model

from packer.decide.joint import JointModel, build_joint
from packer.decide.search import Catcher, Search
from packer.decide.sketch import Sketch

ONE_S = 1.5  # for one neighbourhood
FEWEST, MOST = 3, 8  # cases set free


def search_neighbours(search: Search, share_s: float) -> None:
    """Improves the best plan for at most `share_s` seconds (or deterministic seconds)."""
    rng = random.Random(search.watch.limits.seed)
    begun = search.watch.work
    size = FEWEST
    while not search.watch.over() and not search.proved and search.best is not None:
        left_s = share_s - (search.watch.work - begun)
        if left_s <= 0:
            return
        finished = _one(search, search.best, rng, size, min(ONE_S, left_s))
        # What is solved to the end is too small, what is not is too large.
        size = min(MOST, size + 1) if finished else max(FEWEST, size - 1)


def _one(search: Search, base: Sketch, rng: random.Random, size: int, limit_s: float) -> bool:
    """Searches one neighbourhood; True if it was searched to the end."""
    joint = build_joint(search.problem, ordered=False)
    _hold(joint, base, _free(search, base, rng, size))
    for cut in search.cuts:
        joint.forbid(cut)
    for row in search.rows:
        joint.limit_space(row)
    joint.hint(base)
    if search.best_minor is not None:
        joint.model.add(joint.cost <= search.best_minor - 1)
    solver = cp_model.CpSolver()
    search.watch.configure(solver, limit_s)
    solver.parameters.random_seed = rng.randrange(10**6)
    catcher = Catcher(search, joint, "changing a few cases at once")
    with search.watch.guarding(solver.stop_search, lambda: search.proved):
        status = solver.solve(joint.model, catcher)
    search.watch.spent += solver.response_proto.deterministic_time
    search.add_cuts(catcher.cuts)
    return status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)


def _free(search: Search, base: Sketch, rng: random.Random, size: int) -> set[int]:
    """Cases set free: some in use, most of one kind, and an unused one of each group."""
    used = [load.case for load in base.loads]
    first = rng.choice(used) if used else 0
    kind = search.problem.cases[first].case.kind
    alike = [c for c in used if search.problem.cases[c].case.kind is kind and c != first]
    chosen = {first, *rng.sample(alike, min(len(alike), size - 1))}
    for group in search.problem.groups:
        spare = next((c for c in group if c not in used), None)
        if spare is not None and rng.random() < 0.5:
            chosen.add(spare)
    return chosen


def _hold(joint: JointModel, base: Sketch, free: set[int]) -> None:
    """Fixes contents and route of every case that is not free."""
    loads = {load.case: load for load in base.loads}
    for (i, c), var in joint.x.items():
        if c not in free:
            joint.model.add(var == (loads[c].units_of(i) if c in loads else 0))
    for spec in joint.problem.cases:
        if spec.index not in free:
            joint.model.add(joint.used[spec.index] == int(spec.index in loads))
