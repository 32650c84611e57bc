"""The joint model: one CP-SAT model of deciding and packing, case by case.

Identical objects are counted, not named: `x[i, c]` is the number of units of line i in case c.
Identical cases are ordered by load. Places are not in the model: sets that the geometry has
shown not to fit come in as cuts (logic-based Benders decomposition, Hooker & Ottosson 2003).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from packer.decide.charging import Linear, PieceSums, hire_cost, travel_cost
from packer.decide.cuts import Cut
from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Problem
from packer.decide.rows import SpaceRow, inside_of
from packer.decide.sketch import Sketch, sketch_of
from packer.geometry.counting import most_alike
from packer.geometry.items import Item
from packer.model.plan import Route
from packer.model.trip import CaseKind


@dataclass(slots=True)
class JointModel:
    """The model and its variables; `ways[c][k]` says that case c travels by its option k."""

    problem: Problem
    model: cp_model.CpModel
    x: dict[tuple[int, int], cp_model.IntVar]
    ways: list[list[cp_model.IntVar]]
    used: list[cp_model.IntVar]
    content_g: list[cp_model.LinearExpr | int]
    flown: list[cp_model.IntVar]
    cost: Linear = 0
    at_least: dict[tuple[tuple[int, ...], int, int], cp_model.IntVar] = field(default_factory=dict)

    def sketch(self, value: cp_model.CpSolverSolutionCallback | cp_model.CpSolver) -> Sketch:
        """The sketch that a solution stands for."""
        loads: dict[int, tuple[Route, dict[int, int]]] = {}
        for spec in self.problem.cases:
            for way, option in zip(self.ways[spec.index], spec.options, strict=True):
                if value.value(way):
                    loads[spec.index] = (option.route, {})
        for (i, c), var in self.x.items():
            if (count := value.value(var)) and c in loads:
                loads[c][1][i] = count
        return sketch_of(loads)

    def hint(self, sketch: Sketch) -> None:
        """Offers a known plan to the solver as a starting point."""
        loads = {load.case: load for load in sketch.loads}
        weights = {
            c: self.problem.cases[c].tare_g
            + sum(self.problem.lines[i].gear.weight_g * n for i, n in load.counts)
            for c, load in loads.items()
        }
        for (i, c), var in self.x.items():
            self.model.add_hint(var, loads[c].units_of(i) if c in loads else 0)
        for spec in self.problem.cases:
            chosen = (
                _option_index(spec, loads[spec.index].route, weights[spec.index])
                if (spec.index in loads)
                else None
            )
            for k, way in enumerate(self.ways[spec.index]):
                self.model.add_hint(way, k == chosen)
            self.model.add_hint(self.used[spec.index], spec.index in loads)
        for var, count in zip(self.flown, sketch.flown(len(self.problem.lines)), strict=True):
            self.model.add_hint(var, count)

    def forbid(self, cut: Cut) -> None:
        """Adds: in no case that the cut speaks of are all its demands met together."""
        for c in cut.cases:
            met = [self._meets(lines, c, count) for lines, count in cut.demands]
            if all(flag is not None for flag in met):
                self.model.add_bool_or([~flag for flag in met if flag is not None])

    def limit_space(self, row: SpaceRow) -> None:
        """Adds what places impose on each case of the row's inside size."""
        for spec in self.problem.cases:
            if inside_of(self.problem, spec.index) == row.inside:
                c = spec.index
                filled = sum(v * self.x[i, c] for i, v in row.values if (i, c) in self.x)
                self.model.add(filled <= row.whole * self.used[c])

    def _meets(self, lines: frozenset[int], case: int, count: int) -> cp_model.IntVar | None:
        """True where at least `count` units of the lines are in the case; None if never."""
        inside = tuple(sorted(i for i in lines if (i, case) in self.x))
        key = (inside, case, count)
        if not inside:
            return None
        if key not in self.at_least:
            flag = self.model.new_bool_var(f"{len(inside)} lines,{case}>={count}")
            units = sum(self.x[i, case] for i in inside)
            self.model.add(units <= count - 1).only_enforce_if(~flag)
            self.at_least[key] = flag
        return self.at_least[key]


def _option_index(spec: CaseSpec, route: Route, weight_g: int) -> int | None:
    fitting = [
        (option.cost_minor, k)
        for k, option in enumerate(spec.options)
        if option.route is route and option.above_g < weight_g <= option.upto_g
    ]
    return min(fitting)[1] if fitting else None


def build_joint(problem: Problem, *, ordered: bool = True) -> JointModel:
    """The joint model without cuts; minimises the objective in minor units."""
    model = cp_model.CpModel()
    x = _unit_vars(model, problem)
    ways = [
        [model.new_bool_var(f"way {spec.index},{k}") for k in range(len(spec.options))]
        for spec in problem.cases
    ]
    used = [model.new_bool_var(f"used {spec.index}") for spec in problem.cases]
    flown = [
        model.new_int_var(line.least, line.most, f"flown {line.index}") for line in problem.lines
    ]
    content = [_content(problem, x, spec) for spec in problem.cases]
    joint = JointModel(problem, model, x, ways, used, content, flown)
    for line in problem.lines:
        model.add(
            sum(x[line.index, c] for c in line.cases if (line.index, c) in x) == flown[line.index]
        )
    for spec in problem.cases:
        _case_rows(joint, spec)
    _route_rows(joint)
    _together_rows(joint)
    _role_rows(joint)
    if ordered:
        _order_rows(joint)
    joint.cost = _objective(joint)
    model.minimize(joint.cost)
    return joint


def _unit_vars(model: cp_model.CpModel, problem: Problem) -> dict[tuple[int, int], cp_model.IntVar]:
    most = most_of_lines(problem)

    def limit(line: Line, spec: CaseSpec) -> int:
        limits = (o.upto_g for o in spec.options if o.route in line.routes)
        return most(line, spec, max(limits, default=-1) - spec.tare_g)

    return {
        (line.index, c): model.new_int_var(0, limit(line, problem.cases[c]), f"x{line.index},{c}")
        for line in problem.lines
        if line.most
        for c in line.cases
    }


def most_in_case(problem: Problem, line: Line, spec: CaseSpec) -> int:
    """An upper bound on the units of a line in one case: weight, volume, units, slots, roles."""
    limit_g = max((o.upto_g for o in spec.options if o.route in line.routes), default=-1)
    return most_of_lines(problem)(line, spec, limit_g - spec.tare_g)


def most_of_lines(problem: Problem) -> Callable[[Line, CaseSpec, int], int]:
    """A function of (line, case, grams of room): an upper bound on the line's units in the case.

    Weight, volume, rack units, slots and roles bound it; places do where the case is a box.
    """
    caps = [line.most for line in problem.lines]
    for cap in problem.roles:
        for i in cap.lines if not cap.swing else ():
            caps[i] = min(caps[i], cap.base)
    known: dict[tuple[int, object], int] = {}

    def most(line: Line, spec: CaseSpec, room_g: int) -> int:
        key = (line.index, inside_of(problem, spec.index) or spec.group)
        if key not in known:
            known[key] = min(caps[line.index], _most_inside(problem, line, spec))
        weight_g = line.gear.weight_g
        return max(0, min(known[key], room_g // weight_g) if weight_g else known[key])

    return most


def _most_inside(problem: Problem, line: Line, spec: CaseSpec) -> int:
    """The most units of a line that one case has room for, weight aside."""
    most = line.most
    gear = line.gear
    if line.grown_mm3:
        most = min(most, spec.volume_mm3 // line.grown_mm3)
    if line.soft_mm3:
        most = min(most, SOFT_SHARE_PERCENT * spec.volume_mm3 // (100 * line.soft_mm3))
    if gear.rack_half_units:
        most = min(most, (spec.case.rack_half_units or 0) // gear.rack_half_units)
    if gear.slot is not None:
        most = min(most, spec.case.slots or 0)
    inside = inside_of(problem, spec.index)
    if most > 1 and line.is_boxed and gear.size is not None and inside is not None:
        item = Item(gear.size.sides, gear.upright, gear.fragile)
        most = min(most, most_alike(inside, item, problem.trip.clearance_mm))
    return most


def _content(
    problem: Problem, x: dict[tuple[int, int], cp_model.IntVar], spec: CaseSpec
) -> cp_model.LinearExpr | int:
    return sum(
        line.gear.weight_g * x[line.index, spec.index]
        for line in problem.lines
        if (line.index, spec.index) in x
    )


def _case_rows(joint: JointModel, spec: CaseSpec) -> None:
    model, c, used = joint.model, spec.index, joint.used[spec.index]
    inside = [
        (line, joint.x[line.index, c]) for line in joint.problem.lines if (line.index, c) in joint.x
    ]
    model.add_exactly_one([*joint.ways[c], ~used])
    model.add(sum(var for _, var in inside) >= used)
    ways = list(zip(spec.options, joint.ways[c], strict=True))
    model.add(joint.content_g[c] <= sum((o.upto_g - spec.tare_g) * way for o, way in ways))
    low = [(max(0, o.above_g + 1 - spec.tare_g), way) for o, way in ways]
    if any(bound for bound, _ in low):
        model.add(joint.content_g[c] >= sum(bound * way for bound, way in low))
    if spec.case.kind is CaseKind.RACK:
        halves = sum((line.gear.rack_half_units or 0) * var for line, var in inside)
        model.add(halves <= (spec.case.rack_half_units or 0) * used)
    elif spec.case.kind is CaseKind.SLOTS:
        model.add(sum(var for _, var in inside) <= (spec.case.slots or 0) * used)
    else:
        _volume_rows(model, spec, inside, used)


def _volume_rows(
    model: cp_model.CpModel,
    spec: CaseSpec,
    inside: list[tuple[Line, cp_model.IntVar]],
    used: cp_model.IntVar,
) -> None:
    rigid = [(line, var) for line, var in inside if line.grown_mm3]
    soft = [(line, var) for line, var in inside if line.soft_mm3]
    model.add(sum(line.grown_mm3 * var for line, var in rigid) <= spec.volume_mm3 * used)
    if soft:
        loose = 100 * sum(line.soft_mm3 * var for line, var in soft)
        firm = SOFT_SHARE_PERCENT * sum(line.own_mm3 * var for line, var in rigid)
        model.add(loose + firm <= SOFT_SHARE_PERCENT * spec.volume_mm3)


def _route_rows(joint: JointModel) -> None:
    """Units go only where their case's route lets them; cabin pieces are counted."""
    cabin: list[cp_model.IntVar] = []
    for spec in joint.problem.cases:
        for option, way in zip(spec.options, joint.ways[spec.index], strict=True):
            if option.route is Route.CABIN:
                cabin.append(way)
            for line in joint.problem.lines:
                var = joint.x.get((line.index, spec.index))
                if var is not None and option.route not in line.routes:
                    joint.model.add(var == 0).only_enforce_if(way)
    if cabin:
        joint.model.add(sum(cabin) <= joint.problem.cabin_pieces)


def _together_rows(joint: JointModel) -> None:
    for n, bundle in enumerate(joint.problem.bundles):
        cases = sorted({c for i, c in joint.x if i in bundle})
        homes = {c: joint.model.new_bool_var(f"bundle {n},{c}") for c in cases}
        joint.model.add_at_most_one(homes.values())
        for (i, c), var in joint.x.items():
            if i in bundle:
                joint.model.add(var == 0).only_enforce_if(~homes[c])


def _role_rows(joint: JointModel) -> None:
    for cap in joint.problem.roles:
        swing = sum(joint.flown[i] for i in cap.swing)
        for spec in joint.problem.cases:
            here = [joint.x[i, spec.index] for i in cap.lines if (i, spec.index) in joint.x]
            if here:
                joint.model.add(sum(here) <= cap.base + swing)


def _order_rows(joint: JointModel) -> None:
    """Of identical cases the first is used first and is the heaviest."""
    for group in joint.problem.groups:
        for first, second in itertools.pairwise(group):
            joint.model.add_implication(joint.used[second], joint.used[first])
            joint.model.add(joint.content_g[first] >= joint.content_g[second])


def _objective(joint: JointModel) -> Linear:
    problem, model = joint.problem, joint.model
    terms = hire_cost(model, problem, joint.flown)
    terms += [
        option.cost_minor * way
        for spec in problem.cases
        for option, way in zip(spec.options, joint.ways[spec.index], strict=True)
        if option.cost_minor
    ]
    most_g = sum(line.most * line.gear.weight_g for line in problem.lines) + sum(
        spec.tare_g for spec in problem.cases
    )
    sums = PieceSums(
        hold_pieces=_count(joint, Route.HOLD),
        hold_g=_route_weight(joint, Route.HOLD, most_g) if _weighs(problem) else 0,
        freight_pieces=_count(joint, Route.FREIGHT),
        freight_g=_route_weight(joint, Route.FREIGHT, most_g) if problem.freight else 0,
        freight_cm3=sum(spec.cm3 * way for spec, way in _ways(joint, Route.FREIGHT)),
    )
    terms += travel_cost(model, problem, sums, most_g)
    return sum(terms)


def _weighs(problem: Problem) -> bool:
    return any(bill.rule.per_kg_minor for bill in problem.bills)


def _ways(joint: JointModel, route: Route) -> list[tuple[CaseSpec, cp_model.IntVar]]:
    return [
        (spec, way)
        for spec in joint.problem.cases
        for option, way in zip(spec.options, joint.ways[spec.index], strict=True)
        if option.route is route
    ]


def _count(joint: JointModel, route: Route) -> Linear:
    return sum(way for _, way in _ways(joint, route))


def _route_weight(joint: JointModel, route: Route, most_g: int) -> Linear:
    """Total planning weight of the pieces on a route."""
    parts: list[Linear] = []
    for spec in joint.problem.cases:
        ways = [
            w for o, w in zip(spec.options, joint.ways[spec.index], strict=True) if o.route is route
        ]
        others = len(spec.options) - len(ways)
        if not ways:
            continue
        planning = joint.content_g[spec.index] + spec.tare_g * joint.used[spec.index]
        if not others:
            parts.append(planning)
            continue
        limit_g = max(0, spec.most_content_g) + spec.tare_g
        weight = joint.model.new_int_var(0, min(limit_g, most_g), f"{route} g {spec.index}")
        joint.model.add(weight >= planning - limit_g * (1 - sum(ways)))
        joint.model.add(weight <= limit_g * sum(ways))
        parts.append(weight)
    return sum(parts)
