"""Fly or hire: who covers what stays at home, stop by stop (section 2, sections 5.4 and 5.12).

In: the plan laid beside its trip. Out: breaches. At a stop that needs a line exactly
Quantity - flown units are covered, elsewhere none; a kit's offer covers every needed line of the
kit completely.
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.judge.matched import Covered, Matched
from packer.judge.verdict import Breach
from packer.judge.words import units
from packer.model.trip import Choice, Gear, Offer

OfferKey = tuple[str, str, str, bool]
"""Stop, supplier, gear id or kit, and whether it is a kit."""


def choice_breaches(matched: Matched) -> Iterator[Breach]:
    """Source `fly`: all units fly; Source `hire`: none does."""
    for line in matched.trip.gear:
        flown = matched.flown[line.name]
        if line.choice is Choice.FLY and flown != line.quantity:
            message = f"{line.name} must fly whole: {flown} of {units(line.quantity)} are packed."
            yield Breach("must-fly-stays", line.name, message, flown, line.quantity)
        if line.choice is Choice.HIRE and flown:
            message = f"{line.name} is to be hired and never flown; {units(flown)} are packed."
            yield Breach("must-stay-flies", line.name, message, flown, 0)


def coverage_breaches(matched: Matched) -> Iterator[Breach]:
    """Units covered at every stop, and every cover by an offer that the trip has."""
    for line in matched.trip.gear:
        for stop in _stops_to_look_at(matched, line):
            yield from _units_at(matched, line, stop)
    offers = offers_by_key(matched)
    for each in matched.covers:
        yield from _has_offer(offers, each)
        yield from _has_units(each)
    yield from _overdrawn(matched, offers)
    yield from _kits(matched)


def offers_by_key(matched: Matched) -> dict[OfferKey, list[Offer]]:
    """The trip's offers by stop, supplier and target, the cheapest first."""
    found: dict[OfferKey, list[Offer]] = {}
    for offer in sorted(matched.trip.offers, key=lambda offer: offer.price.minor):
        key = (offer.stop, offer.supplier, offer.target, offer.is_kit)
        found.setdefault(key, []).append(offer)
    return found


def key_of(each: Covered) -> OfferKey | None:
    """The offer that a cover names; None where that is for neither the line nor its kit."""
    if each.cover.target not in (each.gear.name, each.gear.kit):
        return None
    return (each.cover.stop, each.cover.supplier, each.cover.target, each.is_kit)


def _stops_to_look_at(matched: Matched, line: Gear) -> list[str]:
    named = [each.cover.stop for each in matched.covers_of.get(line.name, ())]
    return list(dict.fromkeys([*line.needed_at, *named]))


def _units_at(matched: Matched, line: Gear, stop: str) -> Iterator[Breach]:
    covered = matched.covered_units.get((line.name, stop), 0)
    stays = max(0, line.quantity - matched.flown[line.name])
    if stop not in line.needed_at:
        if covered:
            message = f"{stop} does not need {line.name}; {units(covered)} are covered there."
            yield Breach("covered-where-not-needed", line.name, message, covered, 0)
        return
    message = (
        f"{stop} needs {units(line.quantity)} of {line.name}: flown "
        f"{matched.flown[line.name]}, covered there {covered}, to be covered {stays}."
    )
    if covered < stays:
        yield Breach("units-uncovered", line.name, message, covered, stays)
    if covered > stays:
        yield Breach("units-overcovered", line.name, message, covered, stays)


def _has_offer(offers: dict[OfferKey, list[Offer]], each: Covered) -> Iterator[Breach]:
    if key_of(each) not in offers:
        cover = each.cover
        message = (
            f"At {cover.stop} there is no offer of {cover.supplier} for {cover.target} "
            f"that could cover {each.gear.name}."
        )
        yield Breach("no-such-offer", each.gear.name, message)


def _has_units(each: Covered) -> Iterator[Breach]:
    if each.cover.units < 1 and not each.is_kit:
        cover = each.cover
        message = f"At {cover.stop} {cover.supplier} covers no unit of {each.gear.name}."
        yield Breach("cover-without-units", each.gear.name, message, cover.units, 1)


def _overdrawn(matched: Matched, by_key: dict[OfferKey, list[Offer]]) -> Iterator[Breach]:
    taken: dict[OfferKey, int] = {}
    for each in matched.covers:
        key = key_of(each)
        if key is not None:
            taken[key] = 1 if each.is_kit else taken.get(key, 0) + each.cover.units
    for key, offers in by_key.items():
        available = _available(offers)
        if available is not None and taken.get(key, 0) > available:
            stop, supplier, target, _ = key
            message = f"{supplier} at {stop} has {available} of {target}; {taken[key]} are taken."
            yield Breach("offer-overdrawn", target, message, taken[key], available)


def _available(offers: list[Offer]) -> int | None:
    counts = [offer.available for offer in offers]
    known = [count for count in counts if count is not None]
    return sum(known) if len(known) == len(counts) else None


def _kits(matched: Matched) -> Iterator[Breach]:
    used = dict.fromkeys(
        (each.cover.stop, each.cover.supplier, each.cover.target)
        for each in matched.covers
        if each.is_kit
    )
    for stop, supplier, kit in used:
        for line in matched.trip.gear:
            if line.kit == kit and stop in line.needed_at:
                yield from _kit_line(matched, line, (stop, supplier, kit, True))


def _kit_line(matched: Matched, line: Gear, key: OfferKey) -> Iterator[Breach]:
    stop, supplier, kit, _ = key
    by_kit = sum(
        each.cover.units for each in matched.covers if each.gear is line and key_of(each) == key
    )
    stays = max(0, line.quantity - matched.flown[line.name])
    if by_kit != stays:
        message = (
            f"The offer of {supplier} for kit {kit} at {stop} covers {units(by_kit)} of "
            f"{line.name}; it must cover all {stays} that do not fly."
        )
        yield Breach("kit-offer-incomplete", line.name, message, by_kit, stays)
