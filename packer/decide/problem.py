"""The trip as the solver sees it: lines, cases, ways to travel, roles, bundles, prices.

Everything that can be settled without search is settled here: which case a line may go in, how
a case may travel and at what cost by weight, how many units must fly because nothing covers
them, what nobody needs. All legs are collapsed by `packer.decide.airline`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import permutations

from packer.decide import airline
from packer.decide.airline import Billing
from packer.decide.freight import volume_cm3
from packer.decide.hire import StopHire, most_covered, stop_hires
from packer.law import travel_law
from packer.model.plan import Route
from packer.model.solving import Wishes
from packer.model.trip import Box, Carry, Case, CaseKind, Choice, Freight, Gear, Trip

NO_LIMIT_G = 10**9
SOFT_SHARE_PERCENT = 85  # contract 2.4: soft goods take 85 % of what rigid ones leave


@dataclass(frozen=True, slots=True)
class Option:
    """One way for a case to travel: planning weight above `above_g`, up to and with `upto_g`."""

    route: Route
    above_g: int
    upto_g: int
    cost_minor: int


@dataclass(frozen=True)
class CaseSpec:
    """One case: `tare_g` is empty weight + scale margin; cases of one `group` are identical."""

    index: int
    case: Case
    group: int
    tare_g: int
    options: tuple[Option, ...]
    cm3: int

    @cached_property
    def most_content_g(self) -> int:
        """The most that contents may weigh on any route; below 0 where the case cannot travel."""
        return max((option.upto_g for option in self.options), default=-1) - self.tare_g

    @cached_property
    def volume_mm3(self) -> int:
        """Inside volume of a box, 0 for other kinds."""
        inside = self.case.inside
        return inside.volume_mm3 if self.case.kind is CaseKind.BOX and inside else 0


@dataclass(frozen=True, slots=True)
class Line:
    """One gear line: between `least` and `most` of its units fly; `cases` are indices."""

    index: int
    gear: Gear
    least: int
    most: int
    routes: frozenset[Route]
    cases: tuple[int, ...]
    grown_mm3: int
    stops: tuple[int, ...]

    @property
    def own_mm3(self) -> int:
        """Own volume of one rigid unit in a box, else 0."""
        return self.gear.size.volume_mm3 if self.is_boxed and self.gear.size else 0

    @property
    def soft_mm3(self) -> int:
        """Volume of one soft unit, else 0."""
        soft = self.gear.soft and self.gear.case_kind is CaseKind.BOX
        return self.gear.size.volume_mm3 if soft and self.gear.size else 0

    @property
    def filled(self) -> int:
        """What one unit takes of `SOFT_SHARE_PERCENT` x the volume of a box (contract 2.4)."""
        return 100 * self.soft_mm3 + SOFT_SHARE_PERCENT * self.own_mm3

    @property
    def is_boxed(self) -> bool:
        """True for a rigid unit that needs a place in a box."""
        return self.gear.case_kind is CaseKind.BOX and not self.gear.soft


@dataclass(frozen=True, slots=True)
class RoleCap:
    """One case lost: units of `lines` in any one case <= `base` + flown units of `swing`.

    Derived from contract 5.6: flown outside the case + covered >= needs, where covered =
    Quantity - flown for the lines needed at the stop; `swing` are the role's other lines.
    """

    role: str
    stop: str
    lines: tuple[int, ...]
    base: int
    swing: tuple[int, ...]


@dataclass(frozen=True)
class Problem:
    """Everything the solver works from."""

    trip: Trip
    bills: tuple[Billing, ...]
    lines: tuple[Line, ...]
    cases: tuple[CaseSpec, ...]
    groups: tuple[tuple[int, ...], ...]
    roles: tuple[RoleCap, ...]
    bundles: tuple[tuple[int, ...], ...]
    hires: tuple[StopHire, ...]
    pieces_minor: tuple[int, ...]
    cabin_pieces: int
    freight: Freight | None

    @cached_property
    def worth_minor(self) -> tuple[int, ...]:
        """For each line, the worth given up by one unit that does not fly, over all stops."""
        return tuple(line.gear.worth_minor * len(line.stops) for line in self.lines)


def build(trip: Trip, wishes: Wishes) -> Problem:
    """The problem of a trip under the user's wishes."""
    bills = airline.billings(trip)
    options = [case_options(trip, bills, case) for case in trip.cases]
    tares = [case.empty_g + trip.scale_margin_g for case in trip.cases]
    hires = stop_hires(trip)
    alike = _alike(trip, options, tares)
    lines = tuple(
        _line(trip, index, gear, wishes, hires, _fitting(trip, gear, alike, options, tares))
        for index, gear in enumerate(trip.gear)
    )
    cases, groups = _case_specs(trip, lines, options, tares)
    return Problem(
        trip=trip,
        bills=bills,
        lines=lines,
        cases=cases,
        groups=groups,
        roles=role_caps(trip),
        bundles=_bundles(trip),
        hires=hires,
        pieces_minor=airline.pieces_table(bills, len(cases)),
        cabin_pieces=min((leg.free_cabin_pieces for leg in trip.legs), default=0),
        freight=trip.freight,
    )


def case_options(trip: Trip, bills: tuple[Billing, ...], case: Case) -> tuple[Option, ...]:
    """Every way a case may travel, cheapest weights first within a route."""
    gross_g = case.most_gross_g if case.most_gross_g is not None else NO_LIMIT_G
    tare_g = case.empty_g + trip.scale_margin_g
    found: list[Option] = []
    if case.carry is not Carry.CABIN and _hold_takes(trip, case):
        found += _hold_options(trip, bills, case, gross_g)
    if case.carry is not Carry.HOLD and _cabin_takes(trip, case):
        found.append(Option(Route.CABIN, -1, min(gross_g, _cabin_limit_g(trip)), 0))
    if trip.freight is not None and case.carry is not Carry.CABIN:
        limit_g = trip.freight.most_weight_g
        most_g = min(gross_g, limit_g if limit_g is not None else NO_LIMIT_G)
        found.append(Option(Route.FREIGHT, -1, most_g, 0))
    return tuple(option for option in found if option.upto_g >= tare_g)


def _hold_takes(trip: Trip, case: Case) -> bool:
    limits = [trip.rule_of(leg).most_linear_mm for leg in trip.legs]
    return all(limit is None or case.outside.linear_mm <= limit for limit in limits)


def _cabin_takes(trip: Trip, case: Case) -> bool:
    if min((leg.free_cabin_pieces for leg in trip.legs), default=0) < 1:
        return False
    sides = sorted(case.outside.sides, reverse=True)
    for leg in trip.legs:
        limits = sorted(trip.rule_of(leg).cabin_mm, reverse=True)
        if any(side > limit for side, limit in zip(sides, limits, strict=False)):
            return False
    return True


def _cabin_limit_g(trip: Trip) -> int:
    limits = [trip.rule_of(leg).cabin_weight_g for leg in trip.legs]
    return min((limit for limit in limits if limit is not None), default=NO_LIMIT_G)


def _hold_options(trip: Trip, bills: tuple[Billing, ...], case: Case, gross_g: int) -> list[Option]:
    size = sum(airline.oversize_minor(bill.rule, case) for bill in bills)
    tare_g = case.empty_g + trip.scale_margin_g
    bands = airline.hold_bands(trip, bills) if trip.legs else ()
    if not trip.legs:
        return [Option(Route.HOLD, -1, gross_g, 0)]
    kept = [band for band in bands if band.upto_g >= tare_g and band.above_g < gross_g]
    found: list[Option] = []
    for band in kept:
        below = [other for other in kept if other.upto_g <= band.above_g]
        steady = all(other.cost_minor <= band.cost_minor for other in below)
        covered = _reaches_down(below, band.above_g, tare_g)
        above_g = -1 if steady and covered else band.above_g
        found.append(Option(Route.HOLD, above_g, min(band.upto_g, gross_g), band.cost_minor + size))
    return found


def _reaches_down(below: list[airline.WeightBand], top_g: int, tare_g: int) -> bool:
    """True if every weight from the tare up to `top_g` is in some band below."""
    edge_g = top_g
    for band in sorted(below, key=lambda b: -b.upto_g):
        if band.upto_g < edge_g:
            return False
        edge_g = band.above_g
    return edge_g < tare_g or top_g < tare_g


def _line(
    trip: Trip,
    index: int,
    gear: Gear,
    wishes: Wishes,
    hires: tuple[StopHire, ...],
    fits: tuple[int, ...],
) -> Line:
    law = travel_law(gear)
    routes = _routes(gear, law.cabin_only)
    stops = tuple(s for s, stop in enumerate(trip.stops) if stop.name in gear.needed_at)
    uncovered = max((gear.quantity - most_covered(hires[s], index) for s in stops), default=0)
    flies = gear.choice is Choice.FLY or gear.name in wishes.fly
    stays = gear.choice is Choice.HIRE or gear.name in wishes.hire or law.forbidden or not fits
    idle = not stops and gear.role is None
    least = gear.quantity if flies else max(0, uncovered)
    most = 0 if stays or (idle and not flies) else _most_flown(gear, least, wishes)
    return Line(index, gear, least, most, routes, fits, grown_mm3(gear, trip), stops)


def _alike(
    trip: Trip, options: list[tuple[Option, ...]], tares: list[int]
) -> tuple[tuple[int, ...], ...]:
    """The cases in groups of which each takes the same single units, names aside."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for c, case in enumerate(trip.cases):
        key = (
            case.kind, case.inside, case.rack_half_units, case.rack_depth_mm, case.slot,
            case.slots, tares[c], options[c],
        )  # fmt: skip
        groups.setdefault(key, []).append(c)
    return tuple(tuple(group) for group in groups.values())


def _fitting(
    trip: Trip,
    gear: Gear,
    alike: tuple[tuple[int, ...], ...],
    options: list[tuple[Option, ...]],
    tares: list[int],
) -> tuple[int, ...]:
    """The cases that one unit goes in by itself."""
    routes = _routes(gear, travel_law(gear).cabin_only)
    found: list[int] = []
    for group in alike:
        named = [c for c in group if gear.only_in is None or trip.cases[c].name in gear.only_in]
        first = group[0]
        if named and _goes_in(trip, gear, trip.cases[first], options[first], tares[first], routes):
            found += named
    return tuple(sorted(found))


def _most_flown(gear: Gear, least: int, wishes: Wishes) -> int:
    """All units, or as few as the user asks for; never fewer than must fly."""
    return max(least, min(gear.quantity, dict(wishes.at_most).get(gear.name, gear.quantity)))


def grown_mm3(gear: Gear, trip: Trip) -> int:
    """Volume of a rigid boxed unit with the clearance on each length; 0 for all else."""
    if gear.size is None or gear.soft or gear.case_kind is not CaseKind.BOX:
        return 0
    length, width, height = (side + trip.clearance_mm for side in gear.size.sides)
    return length * width * height


def _routes(gear: Gear, cabin_only: bool) -> frozenset[Route]:
    if cabin_only or gear.carry is Carry.CABIN:
        return frozenset({Route.CABIN})
    if gear.carry is Carry.HOLD:
        return frozenset({Route.HOLD, Route.FREIGHT})
    return frozenset(Route)


def _goes_in(
    trip: Trip,
    gear: Gear,
    case: Case,
    options: tuple[Option, ...],
    tare_g: int,
    routes: frozenset[Route],
) -> bool:
    if gear.case_kind is not case.kind:
        return False
    weight_ok = any(
        option.route in routes and tare_g + gear.weight_g <= option.upto_g for option in options
    )
    return weight_ok and holds_one(gear, case, trip.clearance_mm)


def holds_one(gear: Gear, case: Case, clearance_mm: int) -> bool:
    """True if one unit has room in the empty case, weight aside."""
    if case.kind is CaseKind.RACK:
        return (gear.rack_half_units or 0) <= (case.rack_half_units or 0) and (
            gear.depth_mm or 0
        ) <= (case.rack_depth_mm or 0)
    if case.kind is CaseKind.SLOTS:
        return gear.slot == case.slot and (case.slots or 0) >= 1
    if gear.size is None or case.inside is None:
        return False
    return _box_holds(gear.size, gear, case.inside, clearance_mm)


def _box_holds(size: Box, gear: Gear, inside: Box, clearance_mm: int) -> bool:
    if gear.soft:
        loose = 100 * size.volume_mm3 <= SOFT_SHARE_PERCENT * inside.volume_mm3
        within = zip(sorted(size.sides), sorted(inside.sides), strict=True)
        return loose and all(side <= room for side, room in within)
    grown = tuple(side + clearance_mm for side in size.sides)
    turns = [(0, 1, 2), (1, 0, 2)] if gear.upright else list(permutations(range(3)))
    return any(all(grown[turn[axis]] <= inside.sides[axis] for axis in range(3)) for turn in turns)


def _case_specs(
    trip: Trip, lines: tuple[Line, ...], options: list[tuple[Option, ...]], tares: list[int]
) -> tuple[tuple[CaseSpec, ...], tuple[tuple[int, ...], ...]]:
    takes: list[list[int]] = [[] for _ in trip.cases]
    for line in lines:
        for c in line.cases:
            takes[c].append(line.index)
    keys: dict[tuple[object, ...], int] = {}
    specs: list[CaseSpec] = []
    for c, case in enumerate(trip.cases):
        key = (
            case.kind, case.inside, tares[c], options[c], volume_cm3(case.outside),
            case.rack_half_units, case.rack_depth_mm, case.slots, tuple(takes[c]),
        )  # fmt: skip
        group = keys.setdefault(key, len(keys))
        specs.append(CaseSpec(c, case, group, tares[c], options[c], volume_cm3(case.outside)))
    groups = tuple(tuple(spec.index for spec in specs if spec.group == g) for g in range(len(keys)))
    return tuple(specs), groups


def role_caps(trip: Trip) -> tuple[RoleCap, ...]:
    """The one-case-lost rule as caps on the units of a role in any single case."""
    if not trip.one_case_lost:
        return ()
    found: list[RoleCap] = []
    for role in dict.fromkeys(gear.role for gear in trip.gear if gear.role):
        members = [i for i, gear in enumerate(trip.gear) if gear.role == role]
        needs = role_needs(trip, role)
        for stop in trip.stops:
            here = [i for i in members if stop.name in trip.gear[i].needed_at]
            units = sum(trip.gear[i].quantity for i in here)
            if units > needs:
                swing = tuple(i for i in members if i not in here)
                found.append(RoleCap(role, stop.name, tuple(members), units - needs, swing))
    return _tightest(found)


def _tightest(caps: list[RoleCap]) -> tuple[RoleCap, ...]:
    """Of caps that differ in the stop alone, the tightest."""
    best: dict[tuple[object, ...], RoleCap] = {}
    for cap in caps:
        key = (cap.role, cap.lines, cap.swing)
        if key not in best or cap.base < best[key].base:
            best[key] = cap
    return tuple(best.values())


def role_needs(trip: Trip, role: str) -> int:
    """The largest Role needs on the role's lines; 1 where no line gives a figure."""
    figures = [g.role_needs for g in trip.gear if g.role == role and g.role_needs is not None]
    return max(figures, default=1)


def _bundles(trip: Trip) -> tuple[tuple[int, ...], ...]:
    labels = dict.fromkeys(gear.pack_with for gear in trip.gear if gear.pack_with)
    return tuple(
        tuple(i for i, gear in enumerate(trip.gear) if gear.pack_with == label) for label in labels
    )
