"""A plan in the solver's own terms: how many units of each line are in which case, and the cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from packer.decide import airline
from packer.decide.cover import Coverer
from packer.decide.freight import chargeable_half_kg, freight_minor
from packer.decide.problem import Problem
from packer.decide.tariff import Tariff
from packer.model.plan import Costs, Route


@dataclass(frozen=True, slots=True)
class Load:
    """What is in one case: (line, units) pairs by line, and how the case travels."""

    case: int
    route: Route
    counts: tuple[tuple[int, int], ...]

    def units_of(self, line: int) -> int:
        """Units of a line in this case."""
        return dict(self.counts).get(line, 0)


@dataclass(frozen=True, slots=True)
class Sketch:
    """All loads of a plan, by case."""

    loads: tuple[Load, ...]

    def flown(self, lines: int) -> tuple[int, ...]:
        """Units of each line that fly."""
        totals = [0] * lines
        for load in self.loads:
            for line, count in load.counts:
                totals[line] += count
        return tuple(totals)


@dataclass(frozen=True, slots=True)
class DraftBay:
    """Cases alike inside and what is to go in all of them together: (case, which of its options)
    and (line, units) pairs."""

    cases: tuple[tuple[int, int], ...]
    counts: tuple[tuple[int, int], ...]


Draft = tuple[DraftBay, ...]
"""A plan whose cases are not packed one by one yet."""


def sketch_of(loads: Mapping[int, tuple[Route, Mapping[int, int]]]) -> Sketch:
    """A sketch from (route, units by line) for each case; empty cases are left at home."""
    made = [
        Load(case, route, tuple(sorted((i, n) for i, n in counts.items() if n)))
        for case, (route, counts) in sorted(loads.items())
    ]
    return Sketch(tuple(load for load in made if load.counts))


def canonical(problem: Problem, sketch: Sketch) -> Sketch:
    """The same plan with the loads of identical cases in order: the heaviest in the first."""
    loads: list[Load] = []
    for group in problem.groups:
        members = [load for load in sketch.loads if load.case in group]
        members.sort(key=lambda load: (-planning_g(problem, load), load.case))
        loads += [
            Load(case, load.route, load.counts) for case, load in zip(group, members, strict=False)
        ]
    return Sketch(tuple(sorted(loads, key=lambda load: load.case)))


def planning_g(problem: Problem, load: Load) -> int:
    """Planning weight: tare, scale margin and contents."""
    contents = sum(problem.lines[line].gear.weight_g * count for line, count in load.counts)
    return problem.cases[load.case].tare_g + contents


def costs(problem: Problem, sketch: Sketch, coverer: Coverer) -> Costs:
    """Every kind of cost of a sketch, in minor units."""
    flown = sketch.flown(len(problem.lines))
    cover = coverer.cover(flown)
    return Costs(
        baggage_minor=baggage_minor(problem, sketch),
        hire_minor=cover.hire_minor,
        delivery_minor=cover.delivery_minor,
        freight_minor=freight_cost_minor(problem, sketch),
        worth_minor=_worth_minor(problem, flown),
    )


def objective_minor(problem: Problem, sketch: Sketch, tariffs: Sequence[Tariff]) -> int:
    """The objective of a sketch in minor units, by the tariff of each stop."""
    flown = sketch.flown(len(problem.lines))
    charged = baggage_minor(problem, sketch) + freight_cost_minor(problem, sketch)
    return charged + _worth_minor(problem, flown) + sum(tariff.best(flown) for tariff in tariffs)


def _worth_minor(problem: Problem, flown: Sequence[int]) -> int:
    return sum(
        each * (line.gear.quantity - flown[line.index])
        for each, line in zip(problem.worth_minor, problem.lines, strict=True)
    )


def baggage_minor(problem: Problem, sketch: Sketch) -> int:
    """What the airlines charge for the hold pieces of a sketch."""
    hold = [load for load in sketch.loads if load.route is Route.HOLD]
    weights = [planning_g(problem, load) for load in hold]
    total = problem.pieces_minor[len(hold)]
    for bill in problem.bills:
        total += airline.total_weight_minor(bill, sum(weights))
        for load, weight in zip(hold, weights, strict=True):
            total += airline.overweight_minor(bill.rule, weight) or 0
            total += airline.oversize_minor(bill.rule, problem.cases[load.case].case)
    return total


def freight_cost_minor(problem: Problem, sketch: Sketch) -> int:
    """What freight costs, 0 where nothing goes by freight."""
    sent = [load for load in sketch.loads if load.route is Route.FREIGHT]
    if not sent or problem.freight is None:
        return 0
    total_g = sum(planning_g(problem, load) for load in sent)
    total_cm3 = sum(problem.cases[load.case].cm3 for load in sent)
    return freight_minor(problem.freight, chargeable_half_kg(problem.freight, total_g, total_cm3))
