"""Among plans of the same cost, the better one: nearer to an earlier plan, then fewer pieces, less
weight above 23 kg a piece, more room to the tightest limit (contract, sections 2 and 5.14).

The joint model once more, with the cost held and the choice between equals as its objective.
Only the cost is proved; this takes what time is left, at most a little.
"""

from __future__ import annotations

from collections.abc import Mapping

from ortools.sat.python import cp_model

from packer.decide.cuts import Cut
from packer.decide.joint import JointModel, build_joint
from packer.decide.problem import CaseSpec, Problem
from packer.decide.search import Search
from packer.decide.sketch import Sketch, canonical, planning_g, sketch_of
from packer.model.plan import Plan, Route

MOST_S = 2.0
TIE_BREAK_G = 23_000  # contract 5.14
HOLDS_DETERMINISTIC_S = 2.0  # every unit is fixed: presolve answers
MOST_ROUNDS = 12
GRAMS_A_STEP = 10
ROOM_STEPS = 4_000

OldHomes = Mapping[tuple[int, int], int]
"""Units of a line in a case in the earlier plan."""


def polish(search: Search, keep: Plan | None, slack_minor: int) -> Sketch | None:
    """The best of equals that was found; `slack_minor` more may be paid to stay near `keep`."""
    found = search.best
    if found is None or search.best_minor is None or (keep is None and search.watch.over()):
        return found
    old = old_homes(search.problem, keep) if keep is not None else {}
    ceiling = search.best_minor + (slack_minor if keep is not None else 0)
    if keep is not None:
        earlier = sketch_of_plan(search.problem, keep)
        if earlier is not None and search.worth(earlier) <= ceiling:
            found = earlier
    best = (_rank(search.problem, found, old), found)
    cuts = list(search.cuts)
    left_s = MOST_S
    for _ in range(MOST_ROUNDS):
        joint = _model(search, cuts, found, old, ceiling)
        taste = _Taster(search, joint, old, best[1])
        solver = cp_model.CpSolver()
        search.watch.configure(solver, left_s)
        with search.watch.guarding(solver.stop_search):
            solver.solve(joint.model, taste)
        search.watch.spent += solver.response_proto.deterministic_time
        left_s -= solver.wall_time
        rank = _rank(search.problem, taste.best, old)
        cuts += taste.learned
        best = min(best, (rank, taste.best), key=lambda entry: entry[0])
        if not taste.learned or left_s <= 0.05 or search.watch.over():
            break
    return best[1]


class _Taster(cp_model.CpSolverSolutionCallback):
    """Keeps the last solution that really packs; stops to learn from one that does not."""

    def __init__(self, search: Search, joint: JointModel, old: OldHomes, best: Sketch) -> None:
        super().__init__()
        self._search = search
        self._joint = joint
        self._old = old
        self.best = best
        self.learned: list[Cut] = []

    def on_solution_callback(self) -> None:
        found = self._joint.sketch(self)
        cuts = self._search.space.misfits(found)
        if cuts:
            self.learned = cuts
            self.stop_search()
            return
        problem = self._search.problem
        if _rank(problem, found, self._old) < _rank(problem, self.best, self._old):
            self.best = found


def _model(
    search: Search, cuts: list[Cut], start: Sketch, old: OldHomes, ceiling: int
) -> JointModel:
    problem = search.problem
    joint = build_joint(problem, ordered=not old)
    for cut in cuts:
        joint.forbid(cut)
    for row in search.rows:
        joint.limit_space(row)
    joint.hint(start if old else canonical(problem, start))
    joint.model.add(joint.cost <= ceiling)
    over = _over(joint)
    pieces = sum(joint.used)
    moved = _moved(joint, old)
    most_over = 1 + sum(max(0, spec.most_content_g + spec.tare_g) for spec in problem.cases)
    room = _least_room(joint)
    # One number for the order of wishes: each step outweighs all that follow it.
    step_over = ROOM_STEPS + 1
    step_piece = step_over * (most_over // GRAMS_A_STEP + 1)
    step_moved = step_piece * (len(problem.cases) + 1)
    joint.model.minimize(step_moved * moved + step_piece * pieces + step_over * over - room)
    return joint


def _over(joint: JointModel) -> cp_model.LinearExpr | int:
    """Grams above 23 kg, over all hold pieces, in steps of 10 g, rounded up."""
    parts: list[cp_model.IntVar] = []
    for spec in joint.problem.cases:
        most = spec.most_content_g + spec.tare_g - TIE_BREAK_G
        holds = _ways(joint, spec, Route.HOLD)
        if most <= 0 or not holds:
            continue
        steps = joint.model.new_int_var(0, most // GRAMS_A_STEP + 1, f"over {spec.index}")
        planning = joint.content_g[spec.index] + spec.tare_g
        joint.model.add(GRAMS_A_STEP * steps >= planning - TIE_BREAK_G).only_enforce_if(
            joint.used[spec.index], *(~way for way in _others(joint, spec, Route.HOLD))
        )
        parts.append(steps)
    return sum(parts)


def _least_room(joint: JointModel) -> cp_model.IntVar:
    """The smallest distance from planning weight to a piece's limit, in steps of 10 g."""
    room = joint.model.new_int_var(0, ROOM_STEPS, "least room")
    for spec in joint.problem.cases:
        for route in Route:
            ways = _ways(joint, spec, route)
            if not ways:
                continue
            top = max(o.upto_g for o in spec.options if o.route is route)
            left = top - spec.tare_g - joint.content_g[spec.index]
            for way in ways:
                joint.model.add(GRAMS_A_STEP * room <= left).only_enforce_if(way)
    return room


def _ways(joint: JointModel, spec: CaseSpec, route: Route) -> list[cp_model.IntVar]:
    pairs = zip(spec.options, joint.ways[spec.index], strict=True)
    return [way for option, way in pairs if option.route is route]


def _others(joint: JointModel, spec: CaseSpec, route: Route) -> list[cp_model.IntVar]:
    pairs = zip(spec.options, joint.ways[spec.index], strict=True)
    return [way for option, way in pairs if option.route is not route]


def _moved(joint: JointModel, old: OldHomes) -> cp_model.LinearExpr | int:
    """Flown units that are not where the earlier plan had them."""
    if not old:
        return 0
    stayed: list[cp_model.IntVar] = []
    for (i, c), count in old.items():
        if (i, c) in joint.x:
            same = joint.model.new_int_var(0, count, f"same {i},{c}")
            joint.model.add(same <= joint.x[i, c])
            stayed.append(same)
    return sum(joint.flown) - sum(stayed)


def _rank(problem: Problem, found: Sketch, old: OldHomes) -> tuple[int, int, int, int]:
    """What is compared among equals: moved units, pieces, grams above 23 kg, least room."""
    moved = 0
    over = 0
    room = 10**9
    for load in found.loads:
        weight = planning_g(problem, load)
        limits = [o.upto_g for o in problem.cases[load.case].options if o.route is load.route]
        room = min(room, max(limits) - weight)
        if load.route is Route.HOLD:
            over += max(0, weight - TIE_BREAK_G)
        moved += sum(max(0, n - old.get((i, load.case), 0)) for i, n in load.counts)
    return (moved if old else 0, len(found.loads), over, -room)


def old_homes(problem: Problem, plan: Plan) -> dict[tuple[int, int], int]:
    """Where an earlier plan has its units; what this trip does not know is left out."""
    lines = {line.gear.name: line.index for line in problem.lines}
    cases = {spec.case.name: spec.index for spec in problem.cases}
    homes: dict[tuple[int, int], int] = {}
    for piece in plan.pieces:
        for packed in piece.contents:
            if packed.gear in lines and piece.case in cases:
                key = (lines[packed.gear], cases[piece.case])
                homes[key] = homes.get(key, 0) + 1
    return homes


def sketch_of_plan(problem: Problem, plan: Plan) -> Sketch | None:
    """An earlier plan as a sketch if it is one of this trip's, weights and all; else None."""
    homes = old_homes(problem, plan)
    routes = {piece.case: piece.route for piece in plan.pieces}
    loads: dict[int, tuple[Route, dict[int, int]]] = {}
    for (i, c), count in homes.items():
        spec = problem.cases[c]
        loads.setdefault(c, (routes[spec.case.name], {}))[1][i] = count
    found = sketch_of(loads)
    return found if _holds(problem, found) else None


def _holds(problem: Problem, found: Sketch) -> bool:
    """True if the joint model accepts the sketch as it is."""
    joint = build_joint(problem, ordered=False)
    loads = {load.case: load for load in found.loads}
    for (i, c), var in joint.x.items():
        joint.model.add(var == (loads[c].units_of(i) if c in loads else 0))
    wanted = sum(n for load in found.loads for _, n in load.counts)
    for spec in problem.cases:
        for option, way in zip(spec.options, joint.ways[spec.index], strict=True):
            if spec.index not in loads or option.route is not loads[spec.index].route:
                joint.model.add(way == 0)
    if wanted != sum(loads[c].units_of(i) for i, c in joint.x if c in loads):
        return False
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    solver.parameters.max_deterministic_time = HOLDS_DETERMINISTIC_S
    return solver.solve(joint.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
