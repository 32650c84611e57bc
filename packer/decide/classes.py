"""The class model: cases counted by class and weight band, objects counted by line.

No individual case is named, so there is no symmetry, and the integer optimum is a strong lower
bound of the objective. What one case cannot take is told by rows that hold for any case and
therefore for sums over cases: capacities, dual feasible functions of them (Fekete & Schepers
2001; Alves et al. 2016), the most of one line in one case, roles. A plan for the joint model
gives a solution here, never the other way round.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.charging import Linear, PieceSums, hire_cost, travel_cost
from packer.decide.dual import scaled_rows
from packer.decide.joint import most_in_case
from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Option, Problem
from packer.decide.rows import SpaceRow, inside_of
from packer.decide.unfold import Dock, DockCut
from packer.model.plan import Route
from packer.model.trip import CaseKind


@dataclass(frozen=True, slots=True)
class Berth:
    """A class of identical cases travelling by one option; `count` is how many do."""

    group: int
    spec: CaseSpec
    option: Option
    count: cp_model.IntVar

    @property
    def room_g(self) -> int:
        """What contents of one case may weigh."""
        return self.option.upto_g - self.spec.tare_g


@dataclass(frozen=True, slots=True)
class ClassModel:
    """The model: `units[i, b]` units of line i travel in berth b."""

    problem: Problem
    model: cp_model.CpModel
    berths: tuple[Berth, ...]
    units: dict[tuple[int, int], cp_model.IntVar]
    flown: list[cp_model.IntVar]
    cost: Linear

    def docks(self, value: Callable[[cp_model.IntVar], int]) -> list[tuple[Dock, dict[int, int]]]:
        """What an answer puts where: units by line for the like cases of each route."""
        found: list[tuple[Dock, dict[int, int]]] = []
        for (group, route), members in _by_dock(self.berths).items():
            rooms = [
                self.berths[b].room_g for b in members for _ in range(value(self.berths[b].count))
            ]
            if rooms:
                content = self._content(members, value)
                found.append((Dock(group, route, tuple(sorted(rooms, reverse=True))), content))
        return found

    def _content(
        self, members: list[int], value: Callable[[cp_model.IntVar], int]
    ) -> dict[int, int]:
        content: dict[int, int] = {}
        for (i, b), var in self.units.items():
            if b in members and (count := value(var)):
                content[i] = content.get(i, 0) + count
        return content

    def forbid(self, cut: DockCut) -> None:
        """Adds: fewer units of some line of the cut, or more or roomier cases in its dock."""
        members = _by_dock(self.berths)[cut.dock.group, cut.dock.route]
        ways: list[cp_model.IntVar] = []
        for lines, count in cut.demands:
            units = [self.units[i, b] for b in members for i in lines if (i, b) in self.units]
            flag = self.model.new_bool_var(f"fewer of {len(lines)} lines")
            self.model.add(sum(units) <= count - 1).only_enforce_if(flag)
            ways.append(flag)
        for room_g in sorted({self.berths[b].room_g for b in members}):
            had = sum(room >= room_g for room in cut.dock.rooms_g)
            now = sum(self.berths[b].count for b in members if self.berths[b].room_g >= room_g)
            flag = self.model.new_bool_var(f"more {room_g}")
            self.model.add(now >= had + 1).only_enforce_if(flag)
            ways.append(flag)
        self.model.add_bool_or(ways)


def build_classes(problem: Problem, rows: Sequence[SpaceRow] = ()) -> ClassModel:
    """The class model; minimises a lower bound of the objective in minor units."""
    model = cp_model.CpModel()
    berths = _berths(model, problem)
    units = {
        (line.index, b): model.new_int_var(0, line.most, f"units {line.index},{b}")
        for b, berth in enumerate(berths)
        for line in problem.lines
        if _berth_takes(line, berth)
    }
    flown = [
        model.new_int_var(line.least, line.most, f"flown {line.index}") for line in problem.lines
    ]
    by_line: list[list[cp_model.IntVar]] = [[] for _ in problem.lines]
    by_berth: list[list[tuple[Line, cp_model.IntVar]]] = [[] for _ in berths]
    for (i, b), var in units.items():
        by_line[i].append(var)
        by_berth[b].append((problem.lines[i], var))
    for line in problem.lines:
        model.add(sum(by_line[line.index]) == flown[line.index])
    for berth, inside in zip(berths, by_berth, strict=True):
        _berth_rows(model, problem, berth, inside)
        _role_rows(model, problem, berth, inside, flown)
    for row in rows:
        _space_row(model, problem, berths, units, row)
    _shared_rows(model, problem, berths, units)
    cost = _objective(model, problem, berths, units, flown)
    model.minimize(cost)
    return ClassModel(problem, model, berths, units, flown, cost)


def _by_dock(berths: tuple[Berth, ...]) -> dict[tuple[int, Route], list[int]]:
    found: dict[tuple[int, Route], list[int]] = {}
    for b, berth in enumerate(berths):
        found.setdefault((berth.group, berth.option.route), []).append(b)
    return found


def _berths(model: cp_model.CpModel, problem: Problem) -> tuple[Berth, ...]:
    berths: list[Berth] = []
    for g, group in enumerate(problem.groups):
        spec = problem.cases[group[0]]
        counts = [
            model.new_int_var(0, len(group), f"cases {g},{k}") for k in range(len(spec.options))
        ]
        model.add(sum(counts) <= len(group))
        berths += [
            Berth(g, spec, option, count)
            for option, count in zip(spec.options, counts, strict=True)
        ]
    return tuple(berths)


def _berth_takes(line: Line, berth: Berth) -> bool:
    if not line.most or berth.spec.index not in line.cases:
        return False
    return berth.option.route in line.routes and line.gear.weight_g <= berth.room_g


def _berth_rows(
    model: cp_model.CpModel,
    problem: Problem,
    berth: Berth,
    inside: list[tuple[Line, cp_model.IntVar]],
) -> None:
    spec, count = berth.spec, berth.count
    total = sum(var for _, var in inside)
    model.add(total >= count)
    for line, var in inside:
        model.add(var <= min(line.most, _most_here(problem, line, berth)) * count)
    _capacity(model, [(line.gear.weight_g, var) for line, var in inside], berth.room_g, count)
    if berth.option.above_g >= spec.tare_g:
        content = sum(line.gear.weight_g * var for line, var in inside)
        model.add(content >= (berth.option.above_g + 1 - spec.tare_g) * count)
    if spec.case.kind is CaseKind.RACK:
        halves = [(line.gear.rack_half_units or 0, var) for line, var in inside]
        _capacity(model, halves, spec.case.rack_half_units or 0, count)
    elif spec.case.kind is CaseKind.SLOTS:
        model.add(total <= (spec.case.slots or 0) * count)
    else:
        _capacity(model, [(line.grown_mm3, var) for line, var in inside], spec.volume_mm3, count)
        filled = [
            (100 * line.soft_mm3 + SOFT_SHARE_PERCENT * line.own_mm3, var) for line, var in inside
        ]
        if any(line.soft_mm3 for line, _ in inside):
            model.add(
                sum(size * var for size, var in filled)
                <= SOFT_SHARE_PERCENT * spec.volume_mm3 * count
            )


def _role_rows(
    model: cp_model.CpModel,
    problem: Problem,
    berth: Berth,
    inside: list[tuple[Line, cp_model.IntVar]],
    flown: list[cp_model.IntVar],
) -> None:
    """A case takes at most base + swing units of a role: two rows that bound the product."""
    alike = len(problem.groups[berth.group])
    members = {line.index: (line, var) for line, var in inside}
    for cap in problem.roles:
        here = [members[i] for i in cap.lines if i in members]
        most_swing = sum(problem.lines[i].most for i in cap.swing)
        if sum(line.most for line, _ in here) <= cap.base:
            continue
        units = sum(var for _, var in here)
        model.add(units <= (cap.base + most_swing) * berth.count)
        if cap.swing:
            swing = sum(flown[i] for i in cap.swing)
            model.add(units <= cap.base * berth.count + alike * swing)


def _space_row(
    model: cp_model.CpModel,
    problem: Problem,
    berths: tuple[Berth, ...],
    units: dict[tuple[int, int], cp_model.IntVar],
    row: SpaceRow,
) -> None:
    """What places impose on one case, summed over the cases of each berth of that size."""
    for b, berth in enumerate(berths):
        if inside_of(problem, berth.spec.index) == row.inside:
            used = sum(v * units[i, b] for i, v in row.values if (i, b) in units)
            model.add(used <= row.whole * berth.count)


def _most_here(problem: Problem, line: Line, berth: Berth) -> int:
    most = most_in_case(problem, line, berth.spec)
    return min(most, berth.room_g // line.gear.weight_g) if line.gear.weight_g else most


def _capacity(
    model: cp_model.CpModel,
    sizes: list[tuple[int, cp_model.IntVar]],
    room: int,
    count: cp_model.IntVar,
) -> None:
    """The capacity row and its images under dual feasible functions."""
    lengths = [size for size, _ in sizes]
    for scaled, limit in scaled_rows(lengths, room):
        model.add(
            sum(s * var for s, (_, var) in zip(scaled, sizes, strict=True) if s) <= limit * count
        )


def _shared_rows(
    model: cp_model.CpModel,
    problem: Problem,
    berths: tuple[Berth, ...],
    units: dict[tuple[int, int], cp_model.IntVar],
) -> None:
    """Cabin pieces in all, and bundles: all flying units of a bundle in one berth."""
    cabin = [berth.count for berth in berths if berth.option.route is Route.CABIN]
    if cabin:
        model.add(sum(cabin) <= problem.cabin_pieces)
    for n, bundle in enumerate(problem.bundles):
        homes = {b: model.new_bool_var(f"bundle {n},{b}") for b in range(len(berths))}
        model.add_at_most_one(homes.values())
        for (i, b), var in units.items():
            if i in bundle:
                model.add(var <= problem.lines[i].most * homes[b])


def _objective(
    model: cp_model.CpModel,
    problem: Problem,
    berths: tuple[Berth, ...],
    units: dict[tuple[int, int], cp_model.IntVar],
    flown: list[cp_model.IntVar],
) -> Linear:
    def total_g(route: Route) -> Linear:
        tare = sum(b.spec.tare_g * b.count for b in berths if b.option.route is route)
        return tare + sum(
            problem.lines[i].gear.weight_g * var
            for (i, b), var in units.items()
            if berths[b].option.route is route
        )

    def per_case(route: Route, value: Callable[[Berth], int]) -> Linear:
        return sum(value(b) * b.count for b in berths if b.option.route is route)

    most_g = sum(line.most * line.gear.weight_g for line in problem.lines)
    most_g += sum(spec.tare_g for spec in problem.cases)
    sums = PieceSums(
        hold_pieces=per_case(Route.HOLD, lambda _: 1),
        hold_g=total_g(Route.HOLD),
        freight_pieces=per_case(Route.FREIGHT, lambda _: 1),
        freight_g=total_g(Route.FREIGHT),
        freight_cm3=per_case(Route.FREIGHT, lambda berth: berth.spec.cm3),
    )
    terms = hire_cost(model, problem, flown)
    terms += [b.option.cost_minor * b.count for b in berths if b.option.cost_minor]
    terms += travel_cost(model, problem, sums, most_g)
    return sum(terms)
