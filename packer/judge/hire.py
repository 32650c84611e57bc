"""What is paid at the stops: hire, delivery, and the worth given up (sections 2, 5.4, 5.5, 5.15).

In: the plan laid beside its trip. Out: what every cover costs, and totals by stop, in minor units.
A kit's price stands once, on the first line by row that it covers at the stop. Where one supplier
has several rows for the same thing, the cheapest units go first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packer.judge.coverage import OfferKey, key_of, offers_by_key
from packer.judge.matched import Covered, Matched
from packer.judge.verdict import StopCost
from packer.model.trip import Offer


@dataclass(frozen=True, slots=True)
class CoverCost:
    """A cover and what it costs."""

    covered: Covered
    cost_minor: int


def cover_costs(matched: Matched) -> tuple[CoverCost, ...]:
    """What each cover costs; 0 for a cover that no offer of the trip stands behind."""
    offers = offers_by_key(matched)
    unit_prices = {key: _unit_prices(rows) for key, rows in offers.items() if not key[3]}
    kits_paid: set[OfferKey] = set()
    costs = []
    for each in matched.covers:
        key = key_of(each)
        if key is None or key not in offers:
            cost = 0
        elif each.is_kit:
            cost = 0 if key in kits_paid else offers[key][0].price.minor
            kits_paid.add(key)
        else:
            cost = sum(next(unit_prices[key]) for _ in range(each.cover.units))
        costs.append(CoverCost(each, cost))
    return tuple(costs)


def stop_costs(matched: Matched) -> tuple[StopCost, ...]:
    """Hire, delivery and worth given up of every stop, in the trip's order."""
    costs = cover_costs(matched)
    deliveries = delivery_costs(matched)
    names = dict.fromkeys(stop.name for stop in matched.trip.stops)
    names.update(dict.fromkeys(each.covered.cover.stop for each in costs))
    return tuple(
        StopCost(
            stop,
            sum(each.cost_minor for each in costs if each.covered.cover.stop == stop),
            sum(cost for (_, where), cost in deliveries.items() if where == stop),
            sum(_worth(each.covered) for each in costs if each.covered.cover.stop == stop),
        )
        for stop in names
    )


def delivery_costs(matched: Matched) -> dict[tuple[str, str], int]:
    """Delivery by (supplier, stop), once wherever anything is hired and a row asks for it."""
    used = {(each.cover.supplier, each.cover.stop) for each in matched.covers}
    found: dict[tuple[str, str], int] = {}
    for row in matched.trip.deliveries:
        key = (row.supplier, row.stop)
        if key in used:
            found[key] = found.get(key, 0) + row.price.minor
    return found


def _worth(each: Covered) -> int:
    return each.cover.units * each.gear.worth_minor


def _unit_prices(rows: list[Offer]) -> Iterator[int]:
    """Prices unit by unit, cheapest first; beyond what is available at the dearest price."""
    for row in rows:
        if row.available is None:
            break
        for _ in range(row.available):
            yield row.price.minor
    else:
        row = rows[-1]
    while True:
        yield row.price.minor
