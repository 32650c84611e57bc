"""Builds offers, deliveries, freight and rates from their rows."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from packer.model.trip import DEFAULT_DIVISOR, Delivery, Freight, Offer, Price, Rate
from packer.reading.log import Log
from packer.reading.money import Exchange
from packer.reading.names import Names
from packer.reading.tables import Row
from packer.reading.values import shown

_Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Targets:
    """What an offer may be for: gear ids and kits, and those of them that have any units."""

    gear: Names
    kits: frozenset[str]
    alive: frozenset[str]


def targets_of(rows: list[Row], gear: Names) -> Targets:
    """The targets that the gear rows give, unreadable and empty lines included."""
    kits = frozenset(row.get("kit") for row in rows if row.get("kit") is not None)
    alive = set()
    for row in rows:
        if row.get("quantity") != 0:
            alive |= {row.get("name"), row.get("kit")}
    both = Names(gear.code, gear.what)
    for name in (*gear.known, *sorted(kits)):
        both.add(name)
    return Targets(both, kits, frozenset(alive))


def build_offers(
    rows: list[Row], targets: Targets, gear: Names, stops: Names, exchange: Exchange, log: Log
) -> list[Offer]:
    """The offers that could be read; those for lines without units are noted and left out."""
    seen: dict[_Key, Row] = {}
    built = [_offer(row, targets, gear, stops, exchange, seen, log) for row in rows]
    return [offer for offer in built if offer is not None]


def _offer(
    row: Row,
    targets: Targets,
    gear: Names,
    stops: Names,
    exchange: Exchange,
    seen: dict[_Key, Row],
    log: Log,
) -> Offer | None:
    stop = _reference(row, "stop", stops, log)
    target = _reference(row, "for", targets.gear, log)
    if target in targets.kits and target in gear.known:
        expected = f"a gear id or a kit; {shown(target)} is both"
        row.fails(log, "offer-target-ambiguous", "for", expected, "Rename the kit.")
    price = exchange.price(row, "price", "currency", log)
    _once(row, (stop or "", target or "", row.get("supplier", "")), "offer-duplicate", seen, log)
    if row.bad or stop is None or target is None or price is None:
        return None
    if target not in targets.alive:
        message = f"{shown(target)} has Quantity 0, so the offer is left out."
        row.says(log, "offer-for-nothing", "for", message)
        return None
    is_kit = target in targets.kits
    supplier, available = row.get("supplier"), row.get("available")
    return Offer(stop, target, is_kit, supplier, price, available, row.source)


def _reference(row: Row, key: str, names: Names, log: Log) -> str | None:
    text = row.get(key)
    return None if text is None else names.resolve(row, key, text, log)


def _once(row: Row, key: _Key, code: str, seen: dict[_Key, Row], log: Log) -> None:
    if row.bad or not all(key):
        return
    if key in seen:
        expected = f"{', '.join(key)} once; it stands in row {seen[key].source.row} already"
        row.fails(log, code, "name", expected, "Put both into one row.")
    seen.setdefault(key, row)


def build_deliveries(
    rows: list[Row], offers: list[Row], stops: Names, exchange: Exchange, log: Log
) -> list[Delivery]:
    """The delivery charges; one of a supplier that offers nothing there is a warning."""
    offering = {(row.get("supplier"), stops.find(row.get("stop", ""))) for row in offers}
    suppliers = Names("", "")
    for row in offers:
        suppliers.add(row.get("supplier", ""))
    seen: dict[_Key, Row] = {}
    built = [_delivery(row, suppliers, offering, stops, exchange, seen, log) for row in rows]
    return [delivery for delivery in built if delivery is not None]


def _delivery(
    row: Row,
    suppliers: Names,
    offering: set[tuple[str | None, str | None]],
    stops: Names,
    exchange: Exchange,
    seen: dict[_Key, Row],
    log: Log,
) -> Delivery | None:
    stop = _reference(row, "stop", stops, log)
    price = exchange.price(row, "delivery", "currency", log)
    written = row.get("supplier", "")
    supplier = suppliers.find(written) or written
    _once(row, (supplier, stop or ""), "delivery-duplicate", seen, log)
    if row.bad or stop is None or price is None:
        return None
    if supplier != written:
        message = f"{shown(written)} was read as {shown(supplier)}."
        row.says(log, "reference-spelling", "supplier", message)
    if (supplier, stop) not in offering:
        message = f"{shown(supplier)} has no offer at {stop}, so this is never charged."
        remedy = "Spell the supplier as on the Offers sheet."
        row.says(log, "delivery-without-offer", "supplier", message, remedy)
    return Delivery(supplier, stop, price, row.source)


def build_freight(rows: list[Row], exchange: Exchange, log: Log) -> Freight | None:
    """The freight offer; None where there is none or it could not be read."""
    for row in rows[1:]:
        remedy = "Keep the one to reckon with."
        row.fails(log, "freight-several", "rate_per_kg", "one freight offer in all", remedy)
    if not rows:
        return None
    row = rows[0]
    rate = exchange.price(row, "rate_per_kg", "currency", log)
    minimum = exchange.price(row, "minimum", "currency", log, default=0)
    handling = exchange.price(row, "handling", "currency", log, default=0)
    divisor = row.get("divisor", DEFAULT_DIVISOR)
    if divisor == 0:
        row.fails(log, "number-not-above-zero", "divisor", "a divisor above 0", "Usually 6000.")
    if row.bad or rate is None:
        return None
    return Freight(
        rate,
        minimum or _nothing(exchange),
        handling or _nothing(exchange),
        divisor,
        row.get("most_weight"),
        row.get("cut_off"),
        row.source,
    )


def _nothing(exchange: Exchange) -> Price:
    return Price(0, Decimal(0), exchange.currency)


def build_rates(rows: list[Row], log: Log) -> list[Rate]:
    """The rates as the user gave them."""
    for row in rows:
        if not row.bad and row.get("date") is None:
            message = f"The rate of {row.get('currency')} has no date."
            row.says(log, "rate-date-missing", "currency", message)
    return [
        Rate(row.get("currency"), row.get("rate"), row.get("date"), row.source)
        for row in rows
        if not row.bad
    ]
