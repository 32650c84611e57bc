"""Random small stops with kits, deliveries and scarce units, and their cheapest cover by trial.

The trial looks at every way to take units and kits, and shares no code with the solver.
"""

from __future__ import annotations

from itertools import product
from random import Random

from packer.model.trip import Delivery, Gear, Offer, Trip
from support.by_hand import price, thing, trip_of
from support.worked import eur

SUPPLIERS = ("house", "Reed Hire", "Blue Crane Rental")


def random_stop(seed: int) -> Trip:
    """Up to three lines of up to three units at one stop, up to five offers, two kits at most."""
    rng = Random(seed)
    lines = [
        thing(f"L{n}", rng.randint(1, 3), kit=rng.choice((None, "K", "M")))
        for n in range(rng.randint(1, 3))
    ]
    offers = [_offer(rng, lines) for _ in range(rng.randint(1, 5))]
    deliveries = tuple(
        Delivery(supplier, "Quay", eur(rng.randint(0, 30) * 100))
        for supplier in SUPPLIERS
        if rng.random() < 0.6
    )
    return trip_of(lines, [], offers=tuple(offers), deliveries=deliveries)


def _offer(rng: Random, lines: list[Gear]) -> Offer:
    cents, supplier = rng.randint(0, 40) * 100, rng.choice(SUPPLIERS)
    available = rng.choice((None, None, 0, 1, 2))
    line = rng.choice(lines)
    if line.kit and rng.random() < 0.5:
        return price(line.kit, 2 * cents, supplier, is_kit=True, available=available)
    return price(line.name, cents, supplier, available=available)


def cheapest_by_trial(trip: Trip, missing: tuple[int, ...]) -> int | None:
    """Hire and deliveries for so many missing units of each line; None where offers fall short.

    Contract 5.4: kits cover their lines whole, several offers may share a line's units.
    """
    best: int | None = None
    most = [_most(trip, offer, missing) for offer in trip.offers]
    for taken in product(*(range(n + 1) for n in most)):
        if _covers(trip, taken, missing):
            cost = _cost(trip, taken)
            best = cost if best is None else min(best, cost)
    return best


def _most(trip: Trip, offer: Offer, missing: tuple[int, ...]) -> int:
    wanted = (
        1
        if offer.is_kit
        else sum(n for g, n in zip(trip.gear, missing, strict=True) if g.name == offer.target)
    )
    return wanted if offer.available is None else min(wanted, offer.available)


def _covers(trip: Trip, taken: tuple[int, ...], missing: tuple[int, ...]) -> bool:
    for gear, wanted in zip(trip.gear, missing, strict=True):
        singles = sum(
            n
            for offer, n in zip(trip.offers, taken, strict=True)
            if not offer.is_kit and offer.target == gear.name
        )
        by_kit = any(
            n and offer.is_kit and offer.target == gear.kit
            for offer, n in zip(trip.offers, taken, strict=True)
        )
        if not by_kit and singles < wanted:
            return False
    return True


def _cost(trip: Trip, taken: tuple[int, ...]) -> int:
    suppliers = {offer.supplier for offer, n in zip(trip.offers, taken, strict=True) if n}
    hire = sum(n * offer.price.minor for offer, n in zip(trip.offers, taken, strict=True))
    return hire + sum(row.price.minor for row in trip.deliveries if row.supplier in suppliers)
