"""What covers the units that stay at home: offers, kits, deliveries, at one stop at a time.

Given how many units of each line fly, the cheapest cover at a stop is a small exact model of
its own; the same description also feeds the joint model (contract sections 2, 5.4, 5.15).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from packer.model.trip import Offer, Trip

Key = TypeVar("Key", bound=Hashable)
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class UnitOffer:
    """A price for single units of one line; `most` is how many can be had (capped at Quantity)."""

    line: int
    supplier: str
    price_minor: int
    most: int
    offer: int


@dataclass(frozen=True, slots=True)
class KitOffer:
    """A price for a whole kit at this stop; `lines` are its lines needed here, by row."""

    kit: str
    lines: tuple[int, ...]
    supplier: str
    price_minor: int
    offer: int


@dataclass(frozen=True)
class StopHire:
    """All that can be hired at one stop. `delivery_minor` holds suppliers that charge delivery."""

    stop: str
    lines: tuple[int, ...]
    units: tuple[UnitOffer, ...]
    kits: tuple[KitOffer, ...]
    delivery_minor: dict[str, int]

    def offers_for(self, line: int) -> tuple[UnitOffer, ...]:
        """Single offers for a line, cheapest first."""
        return self._offers.get(line, ())

    @cached_property
    def _offers(self) -> dict[int, tuple[UnitOffer, ...]]:
        ordered = sorted(self.units, key=lambda offer: (offer.price_minor, offer.offer))
        return grouped(ordered, lambda offer: offer.line)

    def kits_for(self, line: int) -> tuple[KitOffer, ...]:
        """Kit offers that cover a line."""
        return tuple(kit for kit in self.kits if line in kit.lines)

    def simple_price(self, line: int) -> int | None:
        """The price of each unit where no kit, delivery or number can change it; else None."""
        offers = self.offers_for(line)
        if len(offers) != 1 or self.kits_for(line):
            return None
        return None if offers[0].supplier in self.delivery_minor else offers[0].price_minor


def grouped(rows: Iterable[Row], key: Callable[[Row], Key]) -> dict[Key, tuple[Row, ...]]:
    """Rows by key, in their order."""
    found: dict[Key, list[Row]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)
    return {each: tuple(them) for each, them in found.items()}


def stop_hires(trip: Trip) -> tuple[StopHire, ...]:
    """What can be hired at each stop, in the order of the stops."""
    return tuple(_stop_hire(trip, stop.name) for stop in trip.stops)


def _stop_hire(trip: Trip, stop: str) -> StopHire:
    index = {gear.name: i for i, gear in enumerate(trip.gear)}
    lines = tuple(i for i, gear in enumerate(trip.gear) if stop in gear.needed_at)
    units: list[UnitOffer] = []
    kits: list[KitOffer] = []
    for number, offer in enumerate(trip.offers):
        if offer.stop != stop:
            continue
        if offer.is_kit:
            kits += _kit_offer(trip, lines, number, offer)
        elif index.get(offer.target) in lines:
            line = index[offer.target]
            most = trip.gear[line].quantity
            if offer.available is not None:
                most = min(most, offer.available)
            units.append(UnitOffer(line, offer.supplier, offer.price.minor, most, number))
    delivery = {
        row.supplier: row.price.minor
        for row in trip.deliveries
        if row.stop == stop and row.price.minor > 0
    }
    return StopHire(stop, lines, _undominated(trip, units, delivery), tuple(kits), delivery)


def _kit_offer(trip: Trip, here: tuple[int, ...], number: int, offer: Offer) -> list[KitOffer]:
    lines = tuple(i for i in here if trip.gear[i].kit == offer.target)
    if not lines or offer.available == 0:
        return []
    return [KitOffer(offer.target, lines, offer.supplier, offer.price.minor, number)]


def _undominated(
    trip: Trip, units: list[UnitOffer], delivery: dict[str, int]
) -> tuple[UnitOffer, ...]:
    """Offers that some plan could want: not beaten by an endless, undelivered, cheaper one."""

    rivals = grouped(units, lambda offer: offer.line)

    def beaten(offer: UnitOffer) -> bool:
        return any(
            other.most >= trip.gear[offer.line].quantity
            and (other.supplier not in delivery or other.supplier == offer.supplier)
            and (other.price_minor, other.offer) < (offer.price_minor, offer.offer)
            for other in rivals[offer.line]
        )

    return tuple(offer for offer in units if offer.most > 0 and not beaten(offer))


def most_covered(hire: StopHire, line: int) -> int:
    """How many units of a line the offers at this stop can cover together (a kit: all)."""
    if hire.kits_for(line):
        return 10**9
    return sum(offer.most for offer in hire.offers_for(line))
