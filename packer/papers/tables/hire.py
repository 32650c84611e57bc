"""What is hired, from whom, where, for how much; and what the house lends.

One order for each supplier and stop, in the supplier's currency as offered and in the trip's.
A kit's offer is one line with its price once and the lines it covers named under it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from packer.model.plan import Cover, Plan
from packer.model.trip import Delivery, Offer, Price, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.units import decimals_of, natural

HOUSE = "house"

_Offers = dict[tuple[str, str, str], list[Offer]]
"""By stop, supplier and what it is for."""


@dataclass(frozen=True, slots=True)
class HireRow:
    """A line of an order: so many of a gear line or one kit, price each and together."""

    line: int
    target: str
    description: str
    units: int
    offer: Price | None
    each_minor: int
    cost_minor: int
    is_kit: bool = False

    @property
    def offered(self) -> str:
        """The price of one in the supplier's own currency: '140 GBP'."""
        return price_text(self.offer.amount, self.offer.currency) if self.offer else ""

    @property
    def offered_together(self) -> str:
        """The price of the line in the supplier's own currency."""
        if self.offer is None:
            return ""
        return price_text(self.offer.amount * self.units, self.offer.currency)


@dataclass(frozen=True, slots=True)
class HireOrder:
    """Everything taken from one supplier at one stop; `delivery` is None where there is no row."""

    supplier: str
    stop: str
    country: str
    venue: str
    day: date
    rows: tuple[HireRow, ...]
    delivery: Price | None

    @property
    def delivery_minor(self) -> int:
        """The delivery charge in the trip's currency."""
        return self.delivery.minor if self.delivery else 0

    @property
    def hire_minor(self) -> int:
        """The hire alone."""
        return sum(row.cost_minor for row in self.rows)

    @property
    def total_minor(self) -> int:
        """Hire and delivery."""
        return self.hire_minor + self.delivery_minor

    @property
    def offered_total(self) -> str:
        """Hire and delivery in the currencies they were offered in: '285 GBP'."""
        sums: dict[str, Decimal] = {}
        for row in self.rows:
            if row.offer:
                cost = row.offer.amount * row.units
                sums[row.offer.currency] = sums.get(row.offer.currency, Decimal()) + cost
        if self.delivery:
            code = self.delivery.currency
            sums[code] = sums.get(code, Decimal()) + self.delivery.amount
        return " + ".join(price_text(amount, code) for code, amount in sorted(sums.items()))

    @property
    def is_house(self) -> bool:
        """True where the festival itself lends."""
        return self.supplier.casefold() == HOUSE


def all_orders(trip: Trip, plan: Plan) -> tuple[HireOrder, ...]:
    """Every supplier and stop with anything taken, the house too, by date, then supplier."""
    covers: dict[tuple[str, str], list[tuple[str, Cover]]] = {}
    for decision in plan.decisions:
        for cover in decision.covers:
            if cover.units:
                key = (cover.stop, cover.supplier)
                covers.setdefault(key, []).append((decision.gear, cover))
    offers = _offers_by_target(trip.offers)
    orders = [
        _order(trip, offers, stop, supplier, taken) for (stop, supplier), taken in covers.items()
    ]
    return tuple(sorted(orders, key=lambda o: (o.day, natural(o.stop), natural(o.supplier))))


def hire_orders(trip: Trip, plan: Plan) -> tuple[HireOrder, ...]:
    """The orders to send to hire companies: all but the house's."""
    return tuple(order for order in all_orders(trip, plan) if not order.is_house)


def order_table(order: HireOrder, currency: str) -> Table[HireRow]:
    """One order as a table; delivery and total stand below it."""
    return Table(
        name=f"{order.supplier} {order.stop}",
        title=f"Hire order: {order.supplier}, {order.stop}",
        columns=_COLUMNS,
        rows=order.rows,
        currency=currency,
        total_label="Hire",
    )


def orders_table(orders: tuple[HireOrder, ...], currency: str) -> Table[HireOrder]:
    """All orders on one page."""
    return Table(
        name="All orders",
        title="Hire orders",
        columns=_ORDER_COLUMNS,
        rows=orders,
        currency=currency,
        empty="Nothing is hired on this trip.",
    )


def _order(
    trip: Trip, offers: _Offers, stop: str, supplier: str, taken: list[tuple[str, Cover]]
) -> HireOrder:
    show = trip.stop_named(stop)
    return HireOrder(
        supplier=supplier,
        stop=stop,
        country=show.country,
        venue=show.venue,
        day=show.date,
        rows=_rows(trip, offers, taken),
        delivery=_delivery(trip.deliveries, supplier, stop),
    )


def _rows(trip: Trip, offers: _Offers, taken: list[tuple[str, Cover]]) -> tuple[HireRow, ...]:
    groups: dict[tuple[bool, str], list[tuple[str, Cover]]] = {}
    for gear, cover in taken:
        offer = _offer(offers, cover, is_line=cover.target == gear)
        kit = offer.is_kit if offer else cover.target != gear
        groups.setdefault((kit, cover.target), []).append((gear, cover))
    ordered = sorted(groups.items(), key=lambda item: (not item[0][0], natural(item[0][1])))
    return tuple(
        _row(trip, offers, kit, group, line) for line, ((kit, _), group) in enumerate(ordered, 1)
    )


def _row(
    trip: Trip, offers: _Offers, is_kit: bool, group: list[tuple[str, Cover]], line: int
) -> HireRow:
    gear, cover = group[0]
    cost = sum(part.cost_minor for _, part in group)
    units = 1 if is_kit else sum(part.units for _, part in group)
    offer = _offer(offers, cover, is_line=not is_kit)
    return HireRow(
        line=line,
        target=cover.target,
        description=_kit_text(trip, group) if is_kit else trip.gear_named(gear).description,
        units=units,
        offer=offer.price if offer else None,
        each_minor=offer.price.minor if offer else cost // units,
        cost_minor=cost,
        is_kit=is_kit,
    )


def _kit_text(trip: Trip, group: list[tuple[str, Cover]]) -> str:
    parts = [
        f"{cover.units} x {trip.gear_named(gear).description or gear}"
        for gear, cover in sorted(group, key=lambda item: natural(item[0]))
    ]
    return "Kit complete: " + "; ".join(parts)


def _offers_by_target(offers: tuple[Offer, ...]) -> _Offers:
    found: _Offers = {}
    for offer in offers:
        found.setdefault((offer.stop, offer.supplier, offer.target), []).append(offer)
    return found


def _offer(offers: _Offers, cover: Cover, *, is_line: bool) -> Offer | None:
    fitting = offers.get((cover.stop, cover.supplier, cover.target), [])
    return min(
        fitting, key=lambda offer: (offer.is_kit == is_line, offer.price.minor), default=None
    )


def _delivery(deliveries: tuple[Delivery, ...], supplier: str, stop: str) -> Price | None:
    for delivery in deliveries:
        if (delivery.supplier, delivery.stop) == (supplier, stop):
            return delivery.price
    return None


def price_text(amount: Decimal, currency: str) -> str:
    """A price as a supplier states it, with at least its currency's decimals: '260.50 EUR'."""
    places = decimals_of(currency)
    exact = -int(amount.normalize().as_tuple().exponent)
    return f"{amount:,.{max(places, exact) if amount % 1 else 0}f} {currency}"


_COLUMNS: tuple[Column[HireRow], ...] = (
    Column("Line", Kind.COUNT, lambda r: r.line, 6),
    Column("Our id", Kind.ID, lambda r: r.target, 14),
    Column("What", Kind.TEXT, lambda r: r.description, 40),
    Column("How many", Kind.COUNT, lambda r: r.units, 9),
    Column("Offered, each", Kind.TEXT, lambda r: r.offered, 13),
    Column("Offered, together", Kind.TEXT, lambda r: r.offered_together, 15),
    Column("Each", Kind.MONEY, lambda r: r.each_minor, 14),
    Column("Cost", Kind.MONEY, lambda r: r.cost_minor, 15, summed=True),
    Column("Confirmed", Kind.BLANK, lambda _: None, 11),
)

_ORDER_COLUMNS: tuple[Column[HireOrder], ...] = (
    Column("Date", Kind.DATE, lambda r: r.day, 12),
    Column("Stop", Kind.TEXT, lambda r: r.stop, 20),
    Column("Supplier", Kind.TEXT, lambda r: r.supplier, 24),
    Column("Lines", Kind.COUNT, lambda r: len(r.rows), 7),
    Column("Hire", Kind.MONEY, lambda r: r.hire_minor, 16, summed=True),
    Column("Delivery", Kind.MONEY, lambda r: r.delivery_minor, 16, summed=True),
    Column("Total", Kind.MONEY, lambda r: r.total_minor, 16, summed=True),
)
