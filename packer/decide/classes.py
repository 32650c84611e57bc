"""The class model: cases counted by class and weight band, objects counted by line.

No individual case is named, so there is no symmetry, and the integer optimum is a strong lower
bound of the objective. Cases that are alike inside (boxes of one inside size, racks of one height
and depth, vaults of one slot) and travel by one route make a bay: units are counted by line and
bay, cases by group and option. What one case cannot take is told by rows that hold for any case
and therefore for sums over the cases of a bay: capacities, superadditive images of them (dual
feasible functions: Fekete & Schepers 2001; Alves et al. 2016), the most of one line in one case,
roles. A plan for the joint model gives a solution here, never the other way round.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from packer.decide.charging import Linear, PieceSums, hire_cost, travel_cost
from packer.decide.dual import images
from packer.decide.joint import most_of_lines
from packer.decide.problem import SOFT_SHARE_PERCENT, CaseSpec, Line, Option, Problem
from packer.decide.rows import RowMaker, SpaceRow, inside_of
from packer.decide.sketch import Draft, DraftBay
from packer.decide.unfold import Dock, DockCut
from packer.model.plan import Route
from packer.model.trip import CaseKind

ENDLESS_G = 10**8  # rooms above this stand for no limit of weight

Value = Callable[[cp_model.IntVar], float]
Inside = list[tuple[Line, cp_model.IntVar]]


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
class Bay:
    """Cases alike inside that travel by one route, whatever they weigh and cost.

    Those that take any weight are a bay of their own: among others they would lend their room.
    """

    spec: CaseSpec
    route: Route
    berths: tuple[Berth, ...]

    @property
    def key(self) -> tuple[object, ...]:
        """What its cases share: the inside, the route, and whether they take any weight."""
        return (_inside_key(self.spec), self.route, self.berths[0].room_g > ENDLESS_G)

    def used(self, least_room_g: int = -1) -> cp_model.LinearExpr:
        """How many of its cases are used whose room is at least so much."""
        return _sum([b.count for b in self.berths if b.room_g >= least_room_g])


@dataclass(frozen=True, slots=True)
class ClassModel:
    """The model: `units[i, d]` units of line i travel in bay d."""

    problem: Problem
    model: cp_model.CpModel
    bays: tuple[Bay, ...]
    units: dict[tuple[int, int], cp_model.IntVar]
    flown: list[cp_model.IntVar]
    cost: Linear

    def docks(self, value: Callable[[cp_model.IntVar], int]) -> list[tuple[Dock, dict[int, int]]]:
        """What an answer puts where: units by line for the cases of each bay."""
        found: list[tuple[Dock, dict[int, int]]] = []
        for d, bay in enumerate(self.bays):
            rooms = [
                (berth.room_g, berth.group)
                for berth in bay.berths
                for _ in range(value(berth.count))
            ]
            rooms.sort(key=lambda room: (-room[0], room[1]))
            if rooms:
                content = {i: n for i, n in self.content(d, value).items() if n}
                groups = tuple(group for _, group in rooms)
                dock = Dock(groups, bay.route, tuple(room for room, _ in rooms))
                found.append((dock, {i: round(n) for i, n in content.items()}))
        return found

    def draft(self, value: Callable[[cp_model.IntVar], int]) -> Draft:
        """An answer as cases by bay and what they hold together."""
        taken = [0] * len(self.problem.groups)
        found: list[DraftBay] = []
        for d, bay in enumerate(self.bays):
            cases: list[tuple[int, int]] = []
            for berth in bay.berths:
                first, count = taken[berth.group], value(berth.count)
                taken[berth.group] += count
                option = berth.spec.options.index(berth.option)
                members = self.problem.groups[berth.group][first : first + count]
                cases += [(case, option) for case in members]
            content = self.content(d, value)
            counts = tuple((i, round(n)) for i, n in content.items() if round(n))
            if cases:
                found.append(DraftBay(tuple(cases), counts))
        return tuple(found)

    def content(self, bay: int, value: Value) -> dict[int, float]:
        """Units by line in a bay; not whole where the answer is of a relaxation."""
        return {i: value(var) for (i, d), var in self.units.items() if d == bay}

    def violated(self, maker: RowMaker, value: Value) -> list[SpaceRow]:
        """Rows of space that an answer, whole or fractional, breaks."""
        contents: list[dict[int, float]] = [{} for _ in self.bays]
        for (i, d), var in self.units.items():
            if count := value(var):
                contents[d][i] = count
        found: list[SpaceRow] = []
        for bay, content in zip(self.bays, contents, strict=True):
            inside = inside_of(self.problem, bay.spec.index)
            cases = sum(value(berth.count) for berth in bay.berths)
            if inside is not None and content:
                found += maker.violated(inside, content, cases)
        return list(dict.fromkeys(found))

    def limit(self, terms: Sequence[tuple[cp_model.IntVar, int]]) -> None:
        """Adds a row: the terms add up to at most 0."""
        self.model.add(_weighted(terms) <= 0)

    def forbid(self, cut: DockCut) -> None:
        """Adds: fewer units of some line of the cut, or more or roomier cases in its bay."""
        inside = _inside_key(self.problem.cases[self.problem.groups[cut.dock.groups[0]][0]])
        key = (inside, cut.dock.route, cut.dock.rooms_g[0] > ENDLESS_G)
        [d] = [d for d, bay in enumerate(self.bays) if bay.key == key]
        bay = self.bays[d]
        ways: list[cp_model.IntVar] = []
        for lines, count in cut.demands:
            units = [self.units[i, d] for i in lines if (i, d) in self.units]
            flag = self.model.new_bool_var(f"fewer of {len(lines)} lines")
            self.model.add(_sum(units) <= count - 1).only_enforce_if(flag)
            ways.append(flag)
        for room_g in sorted({berth.room_g for berth in bay.berths}):
            had = sum(room >= room_g for room in cut.dock.rooms_g)
            flag = self.model.new_bool_var(f"more {room_g}")
            self.model.add(bay.used(room_g) >= had + 1).only_enforce_if(flag)
            ways.append(flag)
        self.model.add_bool_or(ways)

    def limit_space(self, row: SpaceRow) -> None:
        """Adds what places impose on one case, summed over the cases of each bay of that size."""
        for d, bay in enumerate(self.bays):
            if inside_of(self.problem, bay.spec.index) == row.inside:
                used = [(self.units[i, d], v) for i, v in row.values if (i, d) in self.units]
                _at_most_whole(self.model, used, [(b, row.whole) for b in bay.berths])


class StoppedError(Exception):
    """Time ran out while a model was being built."""


def build_classes(
    problem: Problem, rows: Sequence[SpaceRow] = (), over: Callable[[], bool] = lambda: False
) -> ClassModel:
    """The class model; minimises a lower bound of the objective in minor units.

    `over` is asked on the way; where it says yes, `StoppedError` is raised.
    """
    model = cp_model.CpModel()
    bays = _bays(_berths(model, problem))
    most = most_of_lines(problem)
    flown = [
        model.new_int_var(line.least, line.most, f"flown {line.index}") for line in problem.lines
    ]
    units: dict[tuple[int, int], cp_model.IntVar] = {}
    by_line: list[list[cp_model.IntVar]] = [[] for _ in problem.lines]
    for d, bay in enumerate(bays):
        inside: Inside = []
        if over():
            raise StoppedError
        for line in problem.lines:
            taking = [(b, most(line, b.spec, b.room_g)) for b in bay.berths if takes(line, b)]
            if not taking:
                continue
            var = model.new_int_var(0, line.most, f"units {line.index},{d}")
            _at_most_whole(model, [(var, 1)], [(b, min(line.most, n)) for b, n in taking])
            units[line.index, d] = var
            by_line[line.index].append(var)
            inside.append((line, var))
        _bay_rows(model, bay, inside)
        _role_rows(model, problem, bay, inside, flown)
    for line in problem.lines:
        model.add(_sum(by_line[line.index]) == flown[line.index])
    _shared_rows(model, problem, bays, units)
    cost = _objective(model, problem, bays, units, flown)
    model.minimize(cost)
    classes = ClassModel(problem, model, bays, units, flown, cost)
    for row in rows:
        classes.limit_space(row)
    return classes


def _berths(model: cp_model.CpModel, problem: Problem) -> list[Berth]:
    berths: list[Berth] = []
    for g, group in enumerate(problem.groups):
        spec = problem.cases[group[0]]
        counts = [
            model.new_int_var(0, len(group), f"cases {g},{k}") for k in range(len(spec.options))
        ]
        model.add(_sum(counts) <= len(group))
        berths += [
            Berth(g, spec, option, count)
            for option, count in zip(spec.options, counts, strict=True)
        ]
    return berths


def _inside_key(spec: CaseSpec) -> tuple[object, ...]:
    case = spec.case
    return (case.kind, case.inside, case.rack_half_units, case.rack_depth_mm, case.slots, case.slot)


def _bays(berths: list[Berth]) -> tuple[Bay, ...]:
    found: dict[object, list[Berth]] = {}
    for berth in berths:
        key = (_inside_key(berth.spec), berth.option.route, berth.room_g > ENDLESS_G)
        found.setdefault(key, []).append(berth)
    return tuple(
        Bay(members[0].spec, members[0].option.route, tuple(members)) for members in found.values()
    )


def takes(line: Line, berth: Berth) -> bool:
    """True if a unit of the line may go in a case of the berth."""
    if not line.most or line.gear.case_kind is not berth.spec.case.kind:
        return False
    if berth.option.route not in line.routes or line.gear.weight_g > berth.room_g:
        return False
    return berth.spec.index in line.cases


def _bay_rows(model: cp_model.CpModel, bay: Bay, inside: Inside) -> None:
    case = bay.spec.case
    counts = [berth.count for berth in bay.berths]
    total = _sum([var for _, var in inside])
    model.add(total >= _sum(counts))
    _weight_rows(model, bay, inside)
    if case.kind is CaseKind.RACK:
        halves = [line.gear.rack_half_units or 0 for line, _ in inside]
        _like_rows(model, bay, inside, halves, case.rack_half_units or 0)
    elif case.kind is CaseKind.SLOTS:
        model.add(total <= (case.slots or 0) * _sum(counts))
    else:
        volumes = [line.grown_mm3 for line, _ in inside]
        _like_rows(model, bay, inside, volumes, bay.spec.volume_mm3)
        if any(line.soft_mm3 for line, _ in inside):
            filled = [line.filled for line, _ in inside]
            terms = [(var, size) for (_, var), size in zip(inside, filled, strict=True)]
            whole = SOFT_SHARE_PERCENT * bay.spec.volume_mm3
            _at_most_whole(model, terms, [(berth, whole) for berth in bay.berths])


def _weight_rows(model: cp_model.CpModel, bay: Bay, inside: Inside) -> None:
    weights = [line.gear.weight_g for line, _ in inside]
    rooms = [berth.room_g for berth in bay.berths]
    for scaled, limits in images(weights, rooms):
        terms = [(var, size) for (_, var), size in zip(inside, scaled, strict=True) if size]
        _at_most_whole(model, terms, list(zip(bay.berths, limits, strict=True)))
    low = [
        (berth.count, berth.option.above_g + 1 - berth.spec.tare_g)
        for berth in bay.berths
        if berth.option.above_g >= berth.spec.tare_g
    ]
    if low:
        content = _weighted([(var, line.gear.weight_g) for line, var in inside])
        model.add(content >= _weighted(low))


def _like_rows(
    model: cp_model.CpModel, bay: Bay, inside: Inside, sizes: Sequence[int], room: int
) -> None:
    """A capacity that is the same in every case, and its images."""
    for scaled, [limit] in images(sizes, [room]):
        terms = [(var, size) for (_, var), size in zip(inside, scaled, strict=True) if size]
        _at_most_whole(model, terms, [(berth, limit) for berth in bay.berths])


def _role_rows(
    model: cp_model.CpModel,
    problem: Problem,
    bay: Bay,
    inside: Inside,
    flown: list[cp_model.IntVar],
) -> None:
    """A case takes at most base + swing units of a role: two rows that bound the product."""
    alike = sum(len(problem.groups[g]) for g in {berth.group for berth in bay.berths})
    members = {line.index: (line, var) for line, var in inside}
    for cap in problem.roles:
        here = [members[i] for i in cap.lines if i in members]
        most_swing = sum(problem.lines[i].most for i in cap.swing)
        if sum(line.most for line, _ in here) <= cap.base:
            continue
        units = [(var, 1) for _, var in here]
        _at_most_whole(model, units, [(b, cap.base + most_swing) for b in bay.berths])
        if cap.swing:
            swing = _sum([flown[i] for i in cap.swing])
            model.add(_weighted(units) <= cap.base * bay.used() + alike * swing)


def _shared_rows(
    model: cp_model.CpModel,
    problem: Problem,
    bays: tuple[Bay, ...],
    units: dict[tuple[int, int], cp_model.IntVar],
) -> None:
    """Cabin pieces in all, and bundles: all flying units of a bundle in one bay."""
    cabin = [b.count for bay in bays if bay.route is Route.CABIN for b in bay.berths]
    if cabin:
        model.add(_sum(cabin) <= problem.cabin_pieces)
    for n, bundle in enumerate(problem.bundles):
        here = [(i, d) for i in bundle for d in range(len(bays)) if (i, d) in units]
        homes = {d: model.new_bool_var(f"bundle {n},{d}") for d in sorted({d for _, d in here})}
        model.add_at_most_one(homes.values())
        for i, d in here:
            model.add(units[i, d] <= problem.lines[i].most * homes[d])


def _objective(
    model: cp_model.CpModel,
    problem: Problem,
    bays: tuple[Bay, ...],
    units: dict[tuple[int, int], cp_model.IntVar],
    flown: list[cp_model.IntVar],
) -> Linear:
    def berths(route: Route) -> Iterator[Berth]:
        return (berth for bay in bays if bay.route is route for berth in bay.berths)

    def total_g(route: Route) -> Linear:
        terms = [(berth.count, berth.spec.tare_g) for berth in berths(route)]
        terms += [
            (var, problem.lines[i].gear.weight_g)
            for (i, d), var in units.items()
            if bays[d].route is route
        ]
        return _weighted(terms)

    most_g = sum(line.most * line.gear.weight_g for line in problem.lines)
    most_g += sum(spec.tare_g for spec in problem.cases)
    sums = PieceSums(
        hold_pieces=_sum([berth.count for berth in berths(Route.HOLD)]),
        hold_g=total_g(Route.HOLD),
        freight_pieces=_sum([berth.count for berth in berths(Route.FREIGHT)]),
        freight_g=total_g(Route.FREIGHT),
        freight_cm3=_weighted([(berth.count, berth.spec.cm3) for berth in berths(Route.FREIGHT)]),
    )
    terms = hire_cost(model, problem, flown)
    terms += [b.option.cost_minor * b.count for bay in bays for b in bay.berths]
    terms += travel_cost(model, problem, sums, most_g)
    return cp_model.LinearExpr.sum(terms)


def _sum(variables: Sequence[cp_model.IntVar]) -> cp_model.LinearExpr:
    return cp_model.LinearExpr.sum(list(variables))


def _weighted(terms: Sequence[tuple[cp_model.IntVar, int]]) -> cp_model.LinearExpr:
    return cp_model.LinearExpr.weighted_sum([v for v, _ in terms], [c for _, c in terms])


def _at_most_whole(
    model: cp_model.CpModel,
    used: Sequence[tuple[cp_model.IntVar, int]],
    limits: Sequence[tuple[Berth, int]],
) -> None:
    """What is used is within the limit of one case times the cases, berth by berth."""
    model.add(_weighted([*used, *((berth.count, -most) for berth, most in limits)]) <= 0)
