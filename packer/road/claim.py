"""What to claim from the carrier for lost goods: values, the convention's limit, the deadlines.

In: a trip, a plan, a loss and the day the goods should have arrived. Out: a `Claim`. The figures
stand in `shared`; the carrier's contract and the law that applies decide, not this sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal

import shared
from packer.model.plan import Plan, Route
from packer.model.trip import Leg, Trip
from packer.road.lost import GoneObject, Loss

_SDR = "XDR"  # ISO 4217's code for special drawing rights

CAUTION = (
    "Report at the desk before leaving the airport. The carrier's conditions and the law that "
    "applies decide; have deadlines and limits confirmed."
)


@dataclass(frozen=True, slots=True)
class Deadline:
    """A day by which something must be done, and how well the rule behind it is known."""

    what: str
    by: date
    source: str
    label: str


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim list. Limits in special drawing rights; `limit_minor` where a rate was given."""

    things: tuple[GoneObject, ...]
    value_minor: int
    without_value: tuple[str, ...]
    people: int
    baggage_sdr: int
    freight_sdr: int
    limit_minor: int | None
    limit_source: str
    deadlines: tuple[Deadline, ...]
    caution: str = CAUTION

    @property
    def limit_sdr(self) -> int:
        """The most that the convention makes the carrier pay, without a special declaration."""
        return self.baggage_sdr + self.freight_sdr

    @property
    def beyond_minor(self) -> int | None:
        """Value above the limit, which insurance must bear; None where no rate is known."""
        return None if self.limit_minor is None else max(0, self.value_minor - self.limit_minor)


def claim(trip: Trip, plan: Plan, loss: Loss, day: date, sdr_rate: Decimal | None = None) -> Claim:
    """The claim list for goods that should have arrived on `day`.

    `sdr_rate`: trip currency for one special drawing right, major units; where it is not given,
    the trip's own rate of XDR, if it has one.
    Baggage: the limit is per passenger, for all bags together. Freight: per kilogram.
    """
    limits = shared.liability_on(day)
    leg = leg_on(trip, day)
    people = leg.people if leg else 1
    routes = {piece.case: piece for piece in plan.pieces if piece.case in loss.cases}
    freight_g = sum(p.planning_g for p in routes.values() if p.route is Route.FREIGHT)
    as_baggage = any(piece.route is not Route.FREIGHT for piece in routes.values())
    baggage_sdr = limits.baggage_sdr * people if limits and as_baggage else 0
    freight_sdr = limits.cargo_sdr_per_kg * freight_g // 1000 if limits else 0
    return Claim(
        things=loss.gone,
        value_minor=loss.value_minor,
        without_value=tuple(_label(t) for t in loss.gone if t.value_minor is None),
        people=people,
        baggage_sdr=baggage_sdr,
        freight_sdr=freight_sdr,
        limit_minor=_in_trip_currency(trip, baggage_sdr + freight_sdr, sdr_rate),
        limit_source=limits.source if limits else "",
        deadlines=deadlines(day),
    )


def leg_on(trip: Trip, day: date) -> Leg | None:
    """The last leg flown on or before a day; the first of the trip where there is none."""
    flown = [leg for leg in trip.legs if leg.date <= day]
    return flown[-1] if flown else next(iter(trip.legs), None)


def deadlines(day: date) -> tuple[Deadline, ...]:
    """By when to write: counted from `day`, on which the goods came or should have come."""
    figures = shared.claim_figures()
    rows = (
        ("write to the carrier about damage, if they came that day", "damage_days"),
        ("treat them as lost, if they have not come", "lost_days"),
        ("write to the carrier about delay, if they came that day", "delay_days"),
    )
    return tuple(_deadline(what, name, day, getattr(figures, name)) for what, name in rows)


def _deadline(what: str, name: str, day: date, days: int) -> Deadline:
    origin = shared.origin_of(f"claims.{name}")
    return Deadline(what, day + timedelta(days=days), origin.source, str(origin.label))


def _in_trip_currency(trip: Trip, sdr: int, rate: Decimal | None) -> int | None:
    if rate is None:
        rate = next((each.rate for each in trip.rates if each.currency == _SDR), None)
    known = shared.currency(trip.currency)
    if rate is None or known is None:
        return None
    minor = Decimal(sdr) * rate * Decimal(10) ** known.decimals
    return int(minor.to_integral_value(ROUND_HALF_UP))


def _label(thing: GoneObject) -> str:
    return f"{thing.name} {thing.unit}" if thing.unit else thing.name
