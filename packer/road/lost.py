"""A case is lost: what the show lacks, stop by stop, what covering it costs, what no money covers.

In: a trip, a plan and the cases that are gone. Out: a `Loss`. Of a role as many units are wanted
as it needs (and had); of a line without a role, every lost unit that the stop needs. Units of any
line of the role would do. A kit that the plan hires at the stop anyway is there completely, so
what it holds need not be hired again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from packer.model.plan import Plan
from packer.model.trip import Gear, Offer, Trip
from packer.road.cover import (
    Covering,
    KitOffer,
    Market,
    Purchase,
    Short,
    UnitOffer,
    cheapest_cover,
)


@dataclass(frozen=True, slots=True)
class GoneObject:
    """A lost object; `unit` 0 is the case itself. `value_minor` None where none was given."""

    name: str
    unit: int
    description: str
    serial: str
    case: str
    value_minor: int | None


@dataclass(frozen=True, slots=True)
class StopLoss:
    """One stop without the cases: units short, the cheapest cover, and spares that are gone."""

    stop: str
    short: tuple[Short, ...]
    cover: Covering
    no_spare_left: tuple[str, ...]

    @property
    def plays(self) -> bool:
        """True where nothing stays short once the cover is bought."""
        return not self.cover.unmet


@dataclass(frozen=True, slots=True)
class Loss:
    """What losing these cases means for the stops ahead; money in trip currency minor units."""

    cases: tuple[str, ...]
    gone: tuple[GoneObject, ...]
    stops: tuple[StopLoss, ...]

    @property
    def cover_minor(self) -> int:
        """What the cheapest cover at all stops costs."""
        return sum(stop.cover.cost_minor for stop in self.stops)

    @property
    def value_minor(self) -> int:
        """Value of all that is gone and has one, the cases included."""
        return sum(thing.value_minor or 0 for thing in self.gone)

    @property
    def unmet_units(self) -> int:
        """Units, over all stops, that no offer covers."""
        return sum(short.units for stop in self.stops for short in stop.cover.unmet)

    @property
    def badness(self) -> tuple[int, int, int]:
        """For ordering: what no money covers, then what covering costs, then the value gone."""
        return (self.unmet_units, self.cover_minor, self.value_minor)


def lose(trip: Trip, plan: Plan, cases: Iterable[str], ahead: Iterable[str] | None = None) -> Loss:
    """What losing `cases` means at the stops `ahead` (all where None).

    KeyError for a case that the plan does not use or a stop that the trip does not have.
    """
    return _Scene(trip, plan, _stops(trip, ahead)).lose(tuple(cases))


def lose_each(trip: Trip, plan: Plan, ahead: Iterable[str] | None = None) -> tuple[Loss, ...]:
    """What losing each single case would mean, the worst first."""
    scene = _Scene(trip, plan, _stops(trip, ahead))
    return _worst_first(scene.lose((piece.case,)) for piece in plan.pieces)


def lose_pairs(
    trip: Trip, plan: Plan, ahead: Iterable[str] | None = None, most: int = 20
) -> tuple[Loss, ...]:
    """What losing any two cases at once would mean: the `most` worst pairs, the worst first."""
    scene = _Scene(trip, plan, _stops(trip, ahead))
    pairs = combinations([piece.case for piece in plan.pieces], 2)
    return _worst_first(scene.lose(pair) for pair in pairs)[:most]


def stops_ahead(trip: Trip, since: date) -> tuple[str, ...]:
    """The stops on or after a day, by date."""
    stops = sorted(trip.stops, key=lambda stop: stop.date)
    return tuple(stop.name for stop in stops if stop.date >= since)


def _worst_first(losses: Iterable[Loss]) -> tuple[Loss, ...]:
    return tuple(sorted(losses, key=lambda loss: (*(-n for n in loss.badness), loss.cases)))


def _stops(trip: Trip, ahead: Iterable[str] | None) -> tuple[str, ...]:
    names = [stop.name for stop in sorted(trip.stops, key=lambda stop: stop.date)]
    if ahead is None:
        return tuple(names)
    return tuple(trip.stop_named(name).name for name in ahead)


class _Scene:
    """A plan laid out for looking at many losses: units by case, roles and markets by stop."""

    def __init__(self, trip: Trip, plan: Plan, stops: tuple[str, ...]) -> None:
        self.trip = trip
        self.stops = stops
        self.lines = {line.name: line for line in trip.gear}
        self.inside = {
            piece.case: Counter(packed.gear for packed in piece.contents) for piece in plan.pieces
        }
        self.units = {
            piece.case: tuple((p.gear, p.unit) for p in piece.contents) for piece in plan.pieces
        }
        self.flown = sum(self.inside.values(), Counter[str]())
        self.covered = _covered(plan)
        self.roles = _roles(trip)
        self.markets = {stop: _market(trip, plan, stop, self.flown) for stop in stops}

    def lose(self, cases: tuple[str, ...]) -> Loss:
        lost = sum((self.inside[case] for case in cases), Counter[str]())
        stops = tuple(self._at(stop, lost) for stop in self.stops)
        return Loss(cases, tuple(self._gone(cases)), stops)

    def _at(self, stop: str, lost: Counter[str]) -> StopLoss:
        short, bare = [], []
        for role, lines in self.roles.items():
            if stop in {where for line in lines for where in line.needed_at}:
                one, spare_gone = self._role(stop, role, lines, lost)
                short += [one] if one.units else []
                bare += [role] if spare_gone else []
        short += [
            Short(name, (name,), units)
            for name, units in lost.items()
            if stop in self.lines[name].needed_at and not _needy(self.lines[name], self.roles)
        ]
        wanted = tuple(short)
        return StopLoss(stop, wanted, cheapest_cover(wanted, self.markets[stop]), tuple(bare))

    def _role(
        self, stop: str, role: str, lines: tuple[Gear, ...], lost: Counter[str]
    ) -> tuple[Short, bool]:
        """Units of the role short of its need, and whether its spare went and none is left."""
        needs = max(line.role_needs or 0 for line in lines)
        had = sum(self.flown[line.name] for line in lines)
        had += sum(self.covered[line.name, stop] for line in lines)
        left = had - sum(lost[line.name] for line in lines)
        usable = tuple(line.name for line in lines if stop in line.needed_at)
        short = Short(role, usable, max(0, min(needs, had) - left), is_role=True)
        return short, had > needs == left

    def _gone(self, cases: tuple[str, ...]) -> Iterator[GoneObject]:
        for name in cases:
            case = self.trip.case_named(name)
            value = case.value.minor if case.value else None
            yield GoneObject(name, 0, case.description or "case", case.serial, name, value)
            for gear, unit in self.units[name]:
                line = self.lines[gear]
                worth = line.value.minor if line.value else None
                serial = line.serials[unit - 1] if unit <= len(line.serials) else ""
                yield GoneObject(gear, unit, line.description, serial, name, worth)


def _needy(line: Gear, roles: dict[str, tuple[Gear, ...]]) -> bool:
    return line.role in roles


def _roles(trip: Trip) -> dict[str, tuple[Gear, ...]]:
    """The lines of each role that says how many it needs; other lines stand for themselves."""
    names = dict.fromkeys(line.role for line in trip.gear if line.role and line.role_needs)
    return {role: tuple(line for line in trip.gear if line.role == role) for role in names if role}


def _covered(plan: Plan) -> Counter[tuple[str, str]]:
    """Units that the plan covers by offers, by line and stop."""
    covered: Counter[tuple[str, str]] = Counter()
    for decision in plan.decisions:
        for cover in decision.covers:
            covered[decision.gear, cover.stop] += cover.units
    return covered


def _market(trip: Trip, plan: Plan, stop: str, flown: Counter[str]) -> Market:
    """What a stop still offers beyond what the plan takes there."""
    taken = _taken(trip, plan, stop)
    hired = {supplier for supplier, _, _ in taken}
    offers = [offer for offer in trip.offers if offer.stop == stop]
    needed = trip.needed(stop)
    kits_there = {target for _, target, is_kit in taken if is_kit}
    return Market(
        units=tuple(_unit_offers(offers, taken)),
        kits=tuple(_kit_offers(offers, taken, needed)),
        deliveries=_deliveries(trip, stop, hired),
        paid={line.name: flown[line.name] for line in needed if line.kit in kits_there},
    )


_Taken = Counter[tuple[str, str, bool]]
"""What a plan takes at a stop: units (for a kit 1) by supplier, target and whether it is a kit."""


def _taken(trip: Trip, plan: Plan, stop: str) -> _Taken:
    lines = {line.name: line for line in trip.gear}
    taken: _Taken = Counter()
    for decision in plan.decisions:
        for cover in (cover for cover in decision.covers if cover.stop == stop):
            is_kit = cover.target != decision.gear and cover.target == lines[decision.gear].kit
            key = (cover.supplier, cover.target, is_kit)
            taken[key] = 1 if is_kit else taken[key] + cover.units
    return taken


def _unit_offers(offers: list[Offer], taken: _Taken) -> Iterator[UnitOffer]:
    """What is left of the unit offers; the plan has had the cheapest rows first."""
    left = Counter(taken)
    for offer in sorted((o for o in offers if not o.is_kit), key=lambda o: o.price.minor):
        key = (offer.supplier, offer.target, False)
        if offer.available is None:
            yield UnitOffer(offer.target, offer.supplier, offer.price.minor)
            continue
        had = min(left[key], offer.available)
        left[key] -= had
        if offer.available > had:
            price = offer.price.minor
            yield UnitOffer(offer.target, offer.supplier, price, offer.available - had)


def _kit_offers(offers: list[Offer], taken: _Taken, needed: tuple[Gear, ...]) -> Iterator[KitOffer]:
    """Kits that the plan does not hire at the stop; each brings all units of its needed lines."""
    kits_there = {target for _, target, is_kit in taken if is_kit}
    for offer in offers:
        if offer.is_kit and offer.available != 0 and offer.target not in kits_there:
            brings = tuple(
                (line.name, line.quantity) for line in needed if line.kit == offer.target
            )
            yield KitOffer(offer.target, offer.supplier, offer.price.minor, brings)


def _deliveries(trip: Trip, stop: str, hired: set[str]) -> dict[str, int]:
    costs: dict[str, int] = {}
    for row in trip.deliveries:
        if row.stop == stop and row.supplier not in hired:
            costs[row.supplier] = costs.get(row.supplier, 0) + row.price.minor
    return costs


__all__ = [
    "GoneObject",
    "Loss",
    "Purchase",
    "StopLoss",
    "lose",
    "lose_each",
    "lose_pairs",
    "stops_ahead",
]
