"""What the user changed by hand on top of a workbook: locks, worths and prices, put on a trip.

In: a `Trip` and settings; out: the trip with them, and the wishes they mean. Money is an exact
decimal text in the trip currency and turns into minor units half up, as the contract says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal, InvalidOperation

from packer.model.trip import Offer, Price, Trip
from packer.papers.units import decimals_of

MOST_MONEY = Decimal(10) ** 12
OfferKey = tuple[str, str, str]  # stop, gear or kit, supplier


class BadFigureError(ValueError):
    """A text that is no amount of money, or no weight; the message says why."""


@dataclass(frozen=True, slots=True)
class Edits:
    """Locks by gear id (`fly` or `hire`), worths by gear id, prices by offer, in minor units.

    `tares` say how many grams more a case weighs than its list does, once it was on a scale;
    `weights` what one object of a line weighs, in grams.
    """

    locks: tuple[tuple[str, str], ...] = ()
    worths: tuple[tuple[str, int], ...] = ()
    prices: tuple[tuple[OfferKey, int], ...] = ()
    tares: tuple[tuple[str, int], ...] = ()
    weights: tuple[tuple[str, int], ...] = ()

    def locked(self, way: str) -> tuple[str, ...]:
        """The gear ids locked this way."""
        return tuple(gear for gear, lock in self.locks if lock == way)


NO_EDITS = Edits()


def with_edits(trip: Trip, edits: Edits) -> Trip:
    """The trip as edited; what names gear or offers that are no longer there changes nothing."""
    worths, prices = dict(edits.worths), dict(edits.prices)
    weights = dict(edits.weights)
    gear = tuple(
        replace(
            line,
            worth_minor=worths.get(line.name, line.worth_minor),
            weight_g=weights.get(line.name, line.weight_g),
        )
        for line in trip.gear
    )
    offers = tuple(_priced(offer, prices, trip.currency) for offer in trip.offers)
    tares = dict(edits.tares)
    cases = tuple(
        replace(case, empty_g=case.empty_g + tares.get(case.name, 0)) for case in trip.cases
    )
    return replace(trip, gear=gear, offers=offers, cases=cases)


def offer_key(offer: Offer) -> OfferKey:
    """What names an offer."""
    return (offer.stop, offer.target, offer.supplier)


def _priced(offer: Offer, prices: Mapping[OfferKey, int], currency: str) -> Offer:
    minor = prices.get(offer_key(offer))
    if minor is None:
        return offer
    amount = Decimal(minor).scaleb(-decimals_of(currency))
    return replace(offer, price=Price(minor, amount, currency))


def minor_of(amount: str, currency: str) -> int:
    """Minor units of an amount written in major units; raises BadFigureError."""
    try:
        value = Decimal(amount.strip().replace(",", ".").replace(" ", ""))
    except InvalidOperation:
        raise BadFigureError(f"{amount!r} is no amount; write it like 120.50") from None
    if not value.is_finite() or not 0 <= value <= MOST_MONEY:
        raise BadFigureError(f"{amount!r} is not between 0 and {MOST_MONEY:,}")
    scaled = value.scaleb(decimals_of(currency))
    return int(scaled.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def grams_of(kg: str) -> int:
    """Grams of a weight written in kilograms, rounded up; raises BadFigureError."""
    try:
        value = Decimal(kg.strip().lower().removesuffix("kg").strip().replace(",", "."))
    except InvalidOperation:
        raise BadFigureError(f"{kg!r} is no weight; write it in kg, like 23.4") from None
    if not value.is_finite() or not 0 < value <= 2000:
        raise BadFigureError(f"{kg!r} is not between 0 and 2000 kg")
    return int((value * 1000).quantize(Decimal(1), rounding=ROUND_CEILING))
