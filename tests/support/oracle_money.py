"""All charges of the contract in the oracle: airlines, hire with delivery and worth, freight."""

from __future__ import annotations

from typing import Any

from packer.model.trip import Case, Concept, Leg, Rule
from support.oracle_base import Frame

FAR_G = 10**9
FAR_MINOR = 10**10


def baggage_minor(frame: Frame) -> Any:
    """Every leg, and every ticket once by the rule of its first leg."""
    return sum(_fare_minor(frame, leg) for leg in _charging_legs(frame))


def _charging_legs(frame: Frame) -> list[Leg]:
    seen: set[str] = set()
    legs = []
    for leg in frame.trip.legs:
        if leg.ticket is None or leg.ticket not in seen:
            legs.append(leg)
        if leg.ticket is not None:
            seen.add(leg.ticket)
    return legs


def _fare_minor(frame: Frame, leg: Leg) -> Any:
    rule = frame.trip.rule_of(leg)
    parts = [_oversize(frame, rule, case) for case in frame.trip.cases]
    if rule.concept is Concept.WEIGHT:
        return sum(parts) + _by_weight(frame, rule)
    parts += [_overweight(frame, rule, case) for case in frame.trip.cases]
    return sum(parts) + _extra_pieces(frame, rule, leg.free_pieces)


def _oversize(frame: Frame, rule: Rule, case: Case) -> Any:
    long = rule.free_linear_mm is not None and sum(case.outside.sides) > rule.free_linear_mm
    return (rule.oversize_minor if long else 0) * frame.route[case.name, "hold"]


def _extra_pieces(frame: Frame, rule: Rule, free: int) -> Any:
    most = len(frame.trip.cases)
    totals = [0]
    for number in range(1, most + 1):
        fee = rule.extra_minor[min(number - free, 3) - 1] if number > free else 0
        totals.append(totals[-1] + fee)
    cost, pieces = frame.count(totals[-1]), frame.count(most)
    frame.model.add(pieces == sum(frame.by_route("hold")))
    frame.model.add_element(pieces, totals, cost)
    return cost


def _overweight(frame: Frame, rule: Rule, case: Case) -> Any:
    """The fee of the band; above the free weight and in no band a piece cannot go."""
    hold, weight = frame.route[case.name, "hold"], frame.weight(case.name)
    light = frame.flag()
    frame.at_most(weight, rule.free_weight_g, light)
    flags = []
    for band in rule.bands:
        flag = frame.flag()
        frame.model.add(weight > band.above_g).only_enforce_if(flag)
        frame.at_most(weight, band.upto_g, flag)
        flags.append(flag)
    frame.model.add(light + sum(flags) == hold)
    return sum(band.fee_minor * flag for band, flag in zip(rule.bands, flags, strict=True))


def _by_weight(frame: Frame, rule: Rule) -> Any:
    kilos = frame.count(FAR_G // 1000)
    total = sum(_weight_by(frame, case, "hold") for case in frame.trip.cases)
    frame.model.add(1000 * kilos >= total - rule.free_weight_g)
    return rule.per_kg_minor * kilos


def _weight_by(frame: Frame, case: Case, route: str) -> Any:
    """The planning weight of a case where it takes the route, else 0 or more."""
    weight = frame.count(FAR_G)
    frame.model.add(weight >= frame.weight(case.name)).only_enforce_if(
        frame.route[case.name, route]
    )
    return weight


def freight_minor(frame: Frame) -> Any:
    """Handling + the larger of Minimum and rate x chargeable weight, half up at the end."""
    freight = frame.trip.freight
    if freight is None:
        return 0
    goes, cost, halves = frame.flag(), frame.count(FAR_MINOR), frame.count(FAR_G)
    for flag in frame.by_route("freight"):
        frame.model.add_implication(flag, goes)
    volume = 0
    for case in frame.trip.cases:
        length, width, height = ((side + 5) // 10 for side in case.outside.sides)
        volume += length * width * height * frame.route[case.name, "freight"]
    weight = sum(_weight_by(frame, case, "freight") for case in frame.trip.cases)
    frame.model.add(500 * halves >= weight)
    frame.model.add(freight.divisor * halves >= 2 * volume)
    handling, rate = freight.handling.minor, freight.rate_per_kg.minor
    frame.model.add(cost >= handling + freight.minimum.minor).only_enforce_if(goes)
    frame.model.add(2 * (cost - handling) >= rate * halves).only_enforce_if(goes)
    return cost


def hire_minor(frame: Frame) -> Any:
    """Hire, delivery and worth given up; adds what covers the units that stay."""
    kits = _kits_taken(frame)
    parts = [_line_minor(frame, line, stop, kits) for line in frame.trip.gear
             for stop in line.needed_at]  # fmt: skip
    parts += [offer.price.minor * taken for offer, taken in frame.taken if offer.is_kit]
    return sum(parts) + _deliveries(frame)


def _kits_taken(frame: Frame) -> dict[tuple[str, str], Any]:
    """For each stop and kit, whether one of its offers is taken (never two)."""
    found: dict[tuple[str, str], Any] = {}
    for offer in frame.trip.offers:
        if offer.is_kit and offer.available != 0:
            flag = frame.flag()
            frame.taken.append((offer, flag))
            key = (offer.stop, offer.target)
            found[key] = found.get(key, 0) + flag
    for total in found.values():
        frame.model.add(total <= 1)
    return found


def _line_minor(frame: Frame, line: Any, stop: str, kits: dict[tuple[str, str], Any]) -> Any:
    stays = line.quantity - frame.flown(line)
    units, cost = [], []
    for offer in frame.trip.offers:
        if offer.is_kit or (offer.stop, offer.target) != (stop, line.name):
            continue
        most = line.quantity if offer.available is None else min(line.quantity, offer.available)
        count = frame.count(most)
        frame.taken.append((offer, count))
        units.append(count)
        cost.append(offer.price.minor * count)
    kit = kits.get((stop, line.kit), 0) if line.kit else 0
    by_kit = frame.flag()
    frame.model.add(by_kit == kit)
    frame.model.add(sum(units) == stays).only_enforce_if(by_kit.negated())
    frame.model.add(sum(units) == 0).only_enforce_if(by_kit)
    return sum(cost) + line.worth_minor * stays


def _deliveries(frame: Frame) -> Any:
    parts = []
    for row in frame.trip.deliveries:
        due = frame.flag()
        for offer, taken in frame.taken:
            if (offer.supplier, offer.stop) == (row.supplier, row.stop):
                frame.model.add(taken == 0).only_enforce_if(due.negated())
        parts.append(row.price.minor * due)
    return sum(parts)
