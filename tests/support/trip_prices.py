"""Offers and deliveries of generated trips: two suppliers a stop, house gear, kits."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from random import Random

from packer.model.trip import Choice, Delivery, Gear, Offer, Stop
from support.trip_money import Purse

SUPPLIERS = ("Hollow Lane Hire", "Blue Crane Rental", "Third Bridge Backline")
HOUSE = "house"


def make_offers(
    rng: Random, flavour: str, lines: Sequence[Gear], stops: Sequence[Stop], purse: Purse
) -> tuple[Offer, ...]:
    """At least one offer without end for every line that may stay, at every stop that needs it."""
    offers: list[Offer] = []
    for line in lines:
        fair = _fair_price(rng, line)
        for stop in line.needed_at:
            if line.choice is not Choice.FLY or rng.random() < 0.3:
                offers += _line_offers(rng, flavour, line, stop, fair, purse)
    offers += _kit_offers(rng, lines, stops, purse)
    return tuple(offers)


def _kit_offers(
    rng: Random, lines: Sequence[Gear], stops: Sequence[Stop], purse: Purse
) -> list[Offer]:
    """One offer a kit at most stops, for somewhat less than its lines cost one by one."""
    offers = []
    for kit in sorted({line.kit for line in lines if line.kit}):
        parts = [line for line in lines if line.kit == kit]
        fair = sum(line.quantity * _fair_price(rng, line) for line in parts)
        for stop in stops:
            needed = any(stop.name in line.needed_at for line in parts)
            if needed and rng.random() < 0.8:
                price = purse.about(max(5, fair * rng.randint(45, 90) // 100), purse.home)
                available = rng.choice((None, 1, 2))
                offers.append(Offer(stop.name, kit, True, rng.choice(SUPPLIERS), price, available))
    return offers


def _fair_price(rng: Random, line: Gear) -> int:
    """Euros a unit and stop: some by weight, some by chance, so that neither way always wins."""
    return max(3, line.weight_g // 1000 * rng.randint(2, 6) + rng.randint(2, 14))


def _line_offers(
    rng: Random, flavour: str, line: Gear, stop: str, fair: int, purse: Purse
) -> list[Offer]:
    tangled = flavour == "tangled-hires"
    code = rng.choice(purse.codes) if tangled or flavour == "tangled-fees" else purse.home
    main = rng.choice(SUPPLIERS[:2])
    euros = max(1, fair * rng.randint(75, 140) // 100)
    offers = [Offer(stop, line.name, False, main, purse.about(euros, code))]
    if rng.random() < (0.6 if tangled else 0.2):
        other = SUPPLIERS[2] if main == SUPPLIERS[0] else SUPPLIERS[0]
        cheaper = max(1, euros * rng.randint(50, 95) // 100)
        some = rng.randint(1, line.quantity)
        offers.append(Offer(stop, line.name, False, other, purse.about(cheaper, code), some))
    if rng.random() < (0.3 if tangled else 0.12):
        free = purse.price(Decimal(0))
        offers.append(Offer(stop, line.name, False, HOUSE, free, rng.randint(1, line.quantity)))
    return offers


def make_deliveries(
    rng: Random, flavour: str, offers: Sequence[Offer], purse: Purse
) -> tuple[Delivery, ...]:
    """A delivery charge for most suppliers at most stops; now and then for the house."""
    pairs = sorted({(offer.supplier, offer.stop) for offer in offers})
    rows = []
    for supplier, stop in pairs:
        chance = 0.15 if supplier == HOUSE else 0.9
        if rng.random() < chance:
            code = rng.choice(purse.codes) if flavour.startswith("tangled") else purse.home
            euros = rng.randint(10, 30) if supplier == HOUSE else rng.randint(35, 140)
            rows.append(Delivery(supplier, stop, purse.about(euros, code)))
    return tuple(rows)
