"""The CP-SAT model of a repair: who goes where, what it costs, how many objects move.

In: a trip, a plan, and limits that change from question to question. Out: contents by case that
keep every constraint but places (those come back as cuts) and what they cost. A unit that flies may
also stay behind where offers cover it (`leaving`); nothing that is at home comes along.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from packer.decide import airline
from packer.decide.freight import volume_cm3
from packer.model.plan import Plan, Route
from packer.model.trip import CaseKind, Concept, Freight, Gear, Trip
from packer.road.berths import Berth, berths, fewest_out, most_units
from packer.road.leaving import Leaving
from packer.road.repacking import Contents, contents_of, is_rigid
from packer.road.role_caps import role_caps

_MOST_MINOR = 10**12
_SOFT_PERCENT = 85  # contract, section 2, constraint 4

Linear = cp_model.LinearExprT


@dataclass(frozen=True, slots=True)
class Found:
    """A solution: contents by case and their routes, units left behind by line, and its figures.

    `cost_minor`: baggage and freight, and what hire and worth given up cost more than before.
    """

    contents: Contents
    routes: Mapping[str, Route]
    left: Mapping[str, int]
    cost_minor: int
    moves: int


class RepairModel:
    """The model of a repair in which at most `most` objects move.

    `stay`: how many units of each line may stay behind and be hired instead, by name.
    """

    def __init__(self, trip: Trip, plan: Plan, most: int, stay: Mapping[str, int]) -> None:
        self.trip, self.plan, self.most = trip, plan, most
        self.before = contents_of(plan)
        self.flown = _flown(self.before)
        self.lines = tuple(line for line in trip.gear if line.name in self.flown)
        self.berths = _distinct(berths(trip, plan), self.lines, most)
        self.model = cp_model.CpModel()
        self.leaving = Leaving(
            self.model, trip, plan, {name: min(most, count) for name, count in stay.items()}
        )
        self.x = dict(self._units())
        self.used = [self.model.new_bool_var(f"used {b}") for b in range(len(self.berths))]
        self._reached: dict[tuple[int, int, int], cp_model.IntVar] = {}
        self._none_vanishes()
        for b in range(len(self.berths)):
            self._room(b)
        self._one_way_each()
        self._together()
        self._roles()
        self.moves = self._total("moves", sum(self._leave(b) for b in self._packed()), 0, most)
        self.cost = self._total("cost", self._cost(), -_MOST_MINOR, _MOST_MINOR)
        self._hint()

    def forbid(self, counts: tuple[tuple[int, int], ...], cases: frozenset[str]) -> None:
        """Never again all of these counts (index of a line, units) together in one of the cases."""
        for b, berth in enumerate(self.berths):
            if berth.case.name in cases and all((i, b) in self.x for i, _ in counts):
                self.model.add_bool_or([~self._reaches(i, b, n) for i, n in counts])

    def solve(self, aim: cp_model.IntVar, seconds: float, seed: int) -> tuple[Found | None, bool]:
        """The solution with the least `aim`, and whether that is proved (also: that none is)."""
        self.model.minimize(aim)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        solver.parameters.catch_sigint_signal = False
        solver.parameters.random_seed = seed
        solver.parameters.max_time_in_seconds = seconds
        status = solver.solve(self.model)
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(self.model.validate())
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, status == cp_model.INFEASIBLE
        return self._read(solver), status == cp_model.OPTIMAL

    def _read(self, solver: cp_model.CpSolver) -> Found:
        contents: dict[str, dict[str, int]] = {}
        routes: dict[str, Route] = {}
        for (i, b), var in self.x.items():
            if count := solver.value(var):
                name = self.berths[b].case.name
                contents.setdefault(name, {})[self.lines[i].name] = count
                routes[name] = self.berths[b].route
        left = {name: solver.value(var) for name, var in self.leaving.units.items()}
        return Found(contents, routes, left, solver.value(self.cost), solver.value(self.moves))

    def _units(self) -> Iterator[tuple[tuple[int, int], cp_model.IntVar]]:
        for i, line in enumerate(self.lines):
            for b, berth in enumerate(self.berths):
                now = self._now(i, b)
                most = most_units(line, berth, self.trip.clearance_mm)
                if most := min(most, self.flown[line.name], now + self.most):
                    least = min(most, max(0, now - self.most))
                    yield (i, b), self.model.new_int_var(least, most, f"x{i},{b}")

    def _now(self, i: int, b: int) -> int:
        """Units of a line that are in a berth before anything moves."""
        before = self.before.get(self.berths[b].case.name)
        return before[self.lines[i].name] if before else 0

    def _packed(self) -> Iterator[int]:
        return (b for b, berth in enumerate(self.berths) if berth.in_use)

    def _none_vanishes(self) -> None:
        for i, line in enumerate(self.lines):
            here = [var for (j, _), var in self.x.items() if j == i]
            stays = self.leaving.units.get(line.name, 0)
            self.model.add(sum(here) + stays == self.flown[line.name])

    def _in(self, b: int) -> list[tuple[Gear, cp_model.IntVar]]:
        return [(line, self.x[i, b]) for i, line in enumerate(self.lines) if (i, b) in self.x]

    def _weight(self, b: int) -> Linear:
        """Planning weight of a berth, 0 where it is not used."""
        contents = sum(line.weight_g * var for line, var in self._in(b))
        return contents + self.berths[b].tare_g * self.used[b]

    def _room(self, b: int) -> None:
        inside, berth, used = self._in(b), self.berths[b], self.used[b]
        units = sum(var for _, var in inside)
        self.model.add(units >= used)
        self.model.add(units <= sum(self.flown.values()) * used)
        if berth.case.kind is CaseKind.RACK:
            halves = sum((line.rack_half_units or 0) * var for line, var in inside)
            self.model.add(halves <= (berth.case.rack_half_units or 0))
        elif berth.case.kind is CaseKind.SLOTS:
            self.model.add(units <= (berth.case.slots or 0))
        else:
            self._volume(berth, inside)

    def _volume(self, berth: Berth, inside: list[tuple[Gear, cp_model.IntVar]]) -> None:
        rigid = [(line, var) for line, var in inside if is_rigid(line)]
        grown = sum(_grown_mm3(line, self.trip.clearance_mm) * var for line, var in rigid)
        self.model.add(grown <= berth.volume_mm3)
        soft = sum(_own_mm3(line) * var for line, var in inside if not is_rigid(line))
        firm = sum(_own_mm3(line) * var for line, var in rigid)
        if len(rigid) < len(inside):
            self.model.add(100 * soft + _SOFT_PERCENT * firm <= _SOFT_PERCENT * berth.volume_mm3)

    def _one_way_each(self) -> None:
        """A case goes one way; empty cases of a run are taken in order; the cabin is counted."""
        for case in {berth.case.name for berth in self.berths}:
            self.model.add_at_most_one(
                self.used[b] for b, berth in enumerate(self.berths) if berth.case.name == case
            )
        cabin = [self.used[b] for b, berth in enumerate(self.berths) if berth.route is Route.CABIN]
        free = min((leg.free_cabin_pieces for leg in self.trip.legs), default=len(cabin))
        self.model.add(sum(cabin) <= free)

    def _together(self) -> None:
        for group in dict.fromkeys(line.pack_with for line in self.lines if line.pack_with):
            members = {i for i, line in enumerate(self.lines) if line.pack_with == group}
            homes = {
                b: self.model.new_bool_var(f"home {group} {b}") for i, b in self.x if i in members
            }
            self.model.add_at_most_one(homes.values())
            for (i, b), var in self.x.items():
                if i in members:
                    self.model.add(var <= self.flown[self.lines[i].name] * homes[b])

    def _roles(self) -> None:
        """No case holds so much of a role that losing it leaves a stop below the role's need."""
        for role, caps in role_caps(self.trip, self.plan).items():
            for stop, cap in caps.items():
                gone = sum(
                    self.leaving.units.get(line.name, 0)
                    for line in self.lines
                    if line.role == role and stop not in line.needed_at
                )
                for b in range(len(self.berths)):
                    here = [var for line, var in self._in(b) if line.role == role]
                    if here:
                        self.model.add(sum(here) + gone <= cap)

    def _leave(self, b: int) -> Linear:
        """The number of units that leave a case; at least as many as its weight says."""
        terms: list[Linear] = [0]
        for i in range(len(self.lines)):
            if count := self._now(i, b):
                left = self.model.new_int_var(0, min(count, self.most), f"gone {i},{b}")
                self.model.add(left >= count - self.x.get((i, b), 0))
                terms.append(left)
        total = sum(terms)
        if least := fewest_out(self.berths[b], self._weights_in(b)):
            self.model.add(total >= least)
        return total

    def _weights_in(self, b: int) -> list[int]:
        return [line.weight_g for i, line in enumerate(self.lines) for _ in range(self._now(i, b))]

    def _cost(self) -> Linear:
        return sum([*self._costs(), *self.leaving.costs])

    def _costs(self) -> Iterator[Linear]:
        yield 0
        for b, berth in enumerate(self.berths):
            yield from self._band_cost(b, berth)
            if berth.oversize_minor:
                yield berth.oversize_minor * self.used[b]
        yield from self._hold_cost()
        if self.trip.freight is not None and self._on(Route.FREIGHT):
            yield self._freight_cost(self.trip.freight)

    def _band_cost(self, b: int, berth: Berth) -> Iterator[Linear]:
        """One band is chosen for a berth in use: what its weight may be, and what that costs."""
        chosen = [self.model.new_bool_var(f"band {b},{k}") for k in range(len(berth.bands))]
        self.model.add(sum(chosen) == self.used[b])
        bands = list(zip(berth.bands, chosen, strict=True))
        weight = self._weight(b)
        self.model.add(weight <= sum(band.upto_g * is_in for band, is_in in bands))
        for band, is_in in bands:
            if band.above_g > 0:
                self.model.add(weight >= band.above_g + 1).only_enforce_if(is_in)
            if band.cost_minor:
                yield band.cost_minor * is_in

    def _hold_cost(self) -> Iterator[Linear]:
        """Extra pieces by their number, and the fee per kilogram of rules that count weight."""
        hold = self._on(Route.HOLD)
        bills = airline.billings(self.trip)
        table = airline.pieces_table(bills, len(hold))
        if any(table):
            cost = self.model.new_int_var(min(table), max(table), "extra pieces")
            self.model.add_element(sum(self.used[b] for b in hold), table, cost)
            yield cost
        for bill in bills:
            if bill.rule.concept is Concept.WEIGHT and bill.rule.per_kg_minor:
                kilos = self.model.new_int_var(0, 10**6, f"excess kg {bill.name}")
                total = sum(self._weight(b) for b in hold)
                self.model.add(1000 * kilos >= total - bill.rule.free_weight_g)
                yield bill.rule.per_kg_minor * kilos

    def _freight_cost(self, freight: Freight) -> Linear:
        """Rounded half up once, so twice the cost is at least the sum (contract, section 5.11)."""
        sent = self._on(Route.FREIGHT)
        any_sent = self.model.new_bool_var("freight")
        half_kg = self.model.new_int_var(0, 10**7, "chargeable half kg")
        cost = self.model.new_int_var(0, _MOST_MINOR, "freight cost")
        volume = sum(volume_cm3(self.berths[b].case.outside) * self.used[b] for b in sent)
        self.model.add(sum(self.used[b] for b in sent) <= len(sent) * any_sent)
        self.model.add(500 * half_kg >= sum(self._weight(b) for b in sent))
        self.model.add(freight.divisor * half_kg >= 2 * volume)
        handling = 2 * freight.handling.minor * any_sent
        self.model.add(2 * cost >= handling + freight.rate_per_kg.minor * half_kg)
        self.model.add(2 * cost >= handling + 2 * freight.minimum.minor * any_sent)
        return cost

    def _on(self, route: Route) -> list[int]:
        return [b for b, berth in enumerate(self.berths) if berth.route is route]

    def _total(self, name: str, terms: Linear, least: int, most: int) -> cp_model.IntVar:
        var = self.model.new_int_var(least, most, name)
        self.model.add(var == terms)
        return var

    def _reaches(self, i: int, b: int, count: int) -> cp_model.IntVar:
        """A boolean that is true where at least `count` units of a line are in a berth."""
        key = (i, b, count)
        if key not in self._reached:
            flag = self.model.new_bool_var(f"x{i},{b} >= {count}")
            self.model.add(self.x[i, b] <= count - 1).only_enforce_if(~flag)
            self._reached[key] = flag
        return self._reached[key]

    def _hint(self) -> None:
        """Start from what is packed now."""
        for (i, b), var in self.x.items():
            self.model.add_hint(var, self._now(i, b))


def _distinct(
    all_berths: tuple[Berth, ...], lines: tuple[Gear, ...], most: int
) -> tuple[Berth, ...]:
    """Of identical empty cases no more than can be wanted: one for each object that moves."""
    named = {name for line in lines for name in line.only_in or ()}
    seen: Counter[Berth] = Counter()
    kept = []
    for berth in all_berths:
        if not berth.in_use and berth.case.name not in named:
            alike = replace(berth, case=replace(berth.case, name="", serial=""))
            seen[alike] += 1
            if seen[alike] > most:
                continue
        kept.append(berth)
    return tuple(kept)


def _flown(before: Contents) -> dict[str, int]:
    flown: dict[str, int] = {}
    for inside in before.values():
        for gear, count in inside.items():
            flown[gear] = flown.get(gear, 0) + count
    return flown


def _own_mm3(line: Gear) -> int:
    return line.size.volume_mm3 if line.size else 0


def _grown_mm3(line: Gear, clearance_mm: int) -> int:
    if line.size is None:
        return 0
    length, width, height = (side + clearance_mm for side in line.size.sides)
    return length * width * height
