"""Where things can go when a plan is mended: each case with the one way it travels.

In: a trip and a plan. Out: berths. A case in use keeps its way of travel; an empty one could go
in the hold or in the cabin, as two berths of which one may be used; none takes to freight now.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from packer.decide import airline
from packer.decide.airline import Billing, WeightBand
from packer.law import travel_law
from packer.model.plan import Plan, Route
from packer.model.trip import Box, Carry, Case, CaseKind, Gear, Trip

NO_LIMIT_G = 10**9


@dataclass(frozen=True, slots=True)
class Berth:
    """A case on one route. `tare_g`: empty weight + scale margin. Money is for using it at all.

    `bands`: planning weights it may have and what all legs together charge for them.
    """

    case: Case
    route: Route
    in_use: bool
    tare_g: int
    bands: tuple[WeightBand, ...]
    oversize_minor: int

    @property
    def most_g(self) -> int:
        """The most that it may weigh; below 0 where it cannot go at all."""
        return max((band.upto_g for band in self.bands), default=-1)

    @property
    def volume_mm3(self) -> int:
        """Inside volume of a box, 0 for other kinds."""
        box = self.case.kind is CaseKind.BOX and self.case.inside
        return box.volume_mm3 if box else 0


def berths(trip: Trip, plan: Plan) -> tuple[Berth, ...]:
    """All berths, cases in the trip's order."""
    bills = airline.billings(trip)
    routes = {piece.case: piece.route for piece in plan.pieces}
    return tuple(
        _berth(trip, bills, case, route, in_use=case.name in routes)
        for case in trip.cases
        for route in ([routes[case.name]] if case.name in routes else _routes(trip, case))
    )


def _routes(trip: Trip, case: Case) -> Iterator[Route]:
    """The ways that an empty case could still go."""
    rules = [trip.rule_of(leg) for leg in trip.legs]
    lines = [rule.most_linear_mm for rule in rules if rule.most_linear_mm is not None]
    if case.carry is not Carry.CABIN and all(case.outside.linear_mm <= most for most in lines):
        yield Route.HOLD
    if case.carry is not Carry.HOLD and all(_in_cabin(case, rule.cabin_mm) for rule in rules):
        yield Route.CABIN


def _in_cabin(case: Case, cabin_mm: tuple[int, ...]) -> bool:
    limits = sorted(cabin_mm, reverse=True)
    sides = sorted(case.outside.sides, reverse=True)
    return all(side <= limit for side, limit in zip(sides, limits, strict=False))


def _berth(
    trip: Trip, bills: tuple[Billing, ...], case: Case, route: Route, *, in_use: bool
) -> Berth:
    most_g = min(_limits(trip, case, route), default=NO_LIMIT_G)
    in_hold = route is Route.HOLD
    free = (WeightBand(0, NO_LIMIT_G, 0),)
    bands = airline.hold_bands(trip, bills) if in_hold and trip.legs else free
    size = sum(airline.oversize_minor(bill.rule, case) for bill in bills) if in_hold else 0
    within = tuple(
        WeightBand(band.above_g, min(band.upto_g, most_g), band.cost_minor)
        for band in bands
        if band.above_g < most_g
    )
    return Berth(case, route, in_use, case.empty_g + trip.scale_margin_g, within, size)


def _limits(trip: Trip, case: Case, route: Route) -> Iterator[int]:
    if case.most_gross_g is not None:
        yield case.most_gross_g
    if route is Route.FREIGHT:
        if trip.freight is not None and trip.freight.most_weight_g is not None:
            yield trip.freight.most_weight_g
        return
    for leg in trip.legs:
        rule = trip.rule_of(leg)
        grams = rule.most_weight_g if route is Route.HOLD else rule.cabin_weight_g
        if grams is not None:
            yield grams


def fewest_out(berth: Berth, weights_g: Iterable[int]) -> int:
    """The fewest of these objects that must leave a berth for its weight; all if it is no help."""
    heavy = sorted(weights_g, reverse=True)
    excess = berth.tare_g + sum(heavy) - berth.most_g
    for count, grams in enumerate(heavy):
        if excess <= 0:
            return count
        excess -= grams
    return len(heavy)


def most_units(line: Gear, berth: Berth, clearance_mm: int) -> int:
    """An upper bound on the units of a line in a berth; 0 where it may not go there."""
    case = berth.case
    if line.case_kind is not case.kind or not _may_travel(line, berth.route):
        return 0
    if line.only_in is not None and case.name not in line.only_in:
        return 0
    most = line.quantity
    if line.weight_g:
        most = min(most, max(0, berth.most_g - berth.tare_g) // line.weight_g)
    return min(most, _by_room(line, berth, clearance_mm))


def _may_travel(line: Gear, route: Route) -> bool:
    law = travel_law(line)
    if law.cabin_only or law.forbidden or line.carry is Carry.CABIN:
        return route is Route.CABIN and not law.forbidden
    return not (line.carry is Carry.HOLD and route is Route.CABIN)


def _by_room(line: Gear, berth: Berth, clearance_mm: int) -> int:
    case = berth.case
    if case.kind is CaseKind.RACK:
        deep = (line.depth_mm or 0) > (case.rack_depth_mm or 0)
        return 0 if deep else (case.rack_half_units or 0) // (line.rack_half_units or 1)
    if case.kind is CaseKind.SLOTS:
        return (case.slots or 0) if line.slot == case.slot else 0
    if line.size is None or case.inside is None:
        return 0
    return _by_volume(line, line.size, case.inside, 0 if line.soft else clearance_mm)


def _by_volume(line: Gear, size: Box, inside: Box, clearance_mm: int) -> int:
    length, width, height = (side + clearance_mm for side in size.sides)
    upright = line.upright and not line.soft
    if upright:
        flat = zip(sorted((length, width)), sorted(inside.sides[:2]), strict=True)
        fits = height <= inside.height_mm and all(a <= b for a, b in flat)
    else:
        pairs = zip(sorted((length, width, height)), sorted(inside.sides), strict=True)
        fits = all(a <= b for a, b in pairs)
    return inside.volume_mm3 // (length * width * height) if fits else 0
