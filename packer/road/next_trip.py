"""Starting the next trip from an old one: what no longer fits, what lacks a price, what to check.

In: the old trip and the new one (same inventory and cases, new stops and legs). Out: findings.
Nothing is decided here; the planner decides, once the list is worked through.
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.model.finding import Finding, Severity, in_order
from packer.model.source import Cell, Source
from packer.model.trip import Carry, Case, Choice, Gear, Leg, Rule, Trip


def look_over(old: Trip, new: Trip) -> tuple[Finding, ...]:
    """All that someone should look at before planning the new trip, in fixed order."""
    return in_order(
        [
            *_prices(new),
            *_kept_prices(old, new),
            *_cases(new),
            *_objects(new),
            *_dates(old, new),
        ]
    )


def kept_needs(needed_at: tuple[str, ...], old: Trip, new_stops: tuple[str, ...]) -> str:
    """What a line's Needed at becomes: empty for all; else the stops that still exist.

    A line that was needed at every old stop is needed at every new one. One that was needed at
    some, of which none is visited again, is needed everywhere until someone says otherwise.
    """
    if set(needed_at) == {stop.name for stop in old.stops}:
        return ""
    return "; ".join(name for name in needed_at if name in new_stops)


def changed_needs(old: Trip, new_stops: tuple[str, ...]) -> tuple[Finding, ...]:
    """Lines that were needed at some stops only: someone must say at which now."""
    everywhere = {stop.name for stop in old.stops}
    return tuple(
        _note(
            "needed-at-unsure",
            Severity.WARNING,
            f"{line.name} was needed at {', '.join(line.needed_at) or 'no stop'} only; now it is "
            f"needed at {kept_needs(line.needed_at, old, new_stops) or 'every stop'}.",
            line.name,
            "Fill in Needed at.",
        )
        for line in old.gear
        if set(line.needed_at) != everywhere
    )


def _prices(new: Trip) -> Iterator[Finding]:
    """Lines that may be hired and have no price at a stop that needs them."""
    priced = {(offer.stop, offer.target) for offer in new.offers}
    for line in new.gear:
        missing = [
            stop
            for stop in line.needed_at
            if (stop, line.name) not in priced and (stop, line.kit) not in priced
        ]
        if not missing or line.choice is Choice.FLY:
            continue
        must = line.choice is Choice.HIRE
        message = f"{line.name} has no price at {', '.join(missing)}" + (
            ", and it never flies." if must else "; without one it can only fly."
        )
        severity = Severity.ERROR if must else Severity.WARNING
        where = line.source.cell("name")
        yield _note("no-price", severity, message, line.name, "Ask for one in the advance.", where)


def _kept_prices(old: Trip, new: Trip) -> Iterator[Finding]:
    """Prices of the old trip that were kept because the stop comes again."""
    before = {(o.stop, o.target, o.supplier, o.price.amount) for o in old.offers}
    kept: dict[str, int] = {}
    for offer in new.offers:
        if (offer.stop, offer.target, offer.supplier, offer.price.amount) in before:
            kept[offer.stop] = kept.get(offer.stop, 0) + 1
    for stop, count in kept.items():
        message = f"{count} prices at {stop} are those of {old.name}."
        yield _note("price-from-old-trip", Severity.NOTE, message, stop, "Have them confirmed.")


def _cases(new: Trip) -> Iterator[Finding]:
    """Cases that some leg takes on no route, by size or by their empty weight."""
    for case in new.cases:
        reasons = [] if new.freight and case.carry is not Carry.CABIN else _refused(new, case)
        if reasons:
            message = f"Case {case.name} cannot travel: {'; '.join(reasons)}."
            where = case.source.cell("name")
            remedy = "Leave it at home, or change the rule of the leg."
            yield _note("case-no-longer-fits", Severity.WARNING, message, case.name, remedy, where)


def _refused(new: Trip, case: Case) -> list[str]:
    """Why a case goes neither in the hold nor in the cabin; [] if it goes."""
    in_hold, in_cabin = _hold_reasons(new, case), _cabin_reasons(new, case)
    if case.carry is Carry.HOLD:
        return in_hold
    if case.carry is Carry.CABIN:
        return in_cabin
    return [*in_hold, *in_cabin] if in_hold and in_cabin else []


def _hold_reasons(new: Trip, case: Case) -> list[str]:
    tare_g = case.empty_g + new.scale_margin_g
    reasons = []
    for leg, rule in _legs(new):
        most = rule.most_linear_mm
        if most is not None and case.outside.linear_mm > most:
            reasons.append(
                f"{leg.name} takes {most} mm in the hold, it has {case.outside.linear_mm}"
            )
        if tare_g >= rule.most_weight_g:
            reasons.append(f"{leg.name} takes {rule.most_weight_g} g, it has {tare_g} empty")
    return reasons


def _cabin_reasons(new: Trip, case: Case) -> list[str]:
    sides = sorted(case.outside.sides, reverse=True)
    reasons = []
    for leg, rule in _legs(new):
        limits = sorted(rule.cabin_mm, reverse=True)
        if any(side > limit for side, limit in zip(sides, limits, strict=False)):
            reasons.append(f"{leg.name} takes {limits} mm in the cabin, it has {sides}")
        if leg.free_cabin_pieces < 1:
            reasons.append(f"{leg.name} takes no cabin pieces")
    return reasons


def _objects(new: Trip) -> Iterator[Finding]:
    """Objects that no case of the right kind holds within the weight of every leg."""
    for line in new.gear:
        if line.choice is Choice.HIRE:
            continue
        fitting = [case for case in new.cases if case.kind is line.case_kind]
        if not any(_weighs_in(new, line, case) for case in fitting):
            must = line.choice is Choice.FLY
            message = f"{line.name} ({line.weight_g} g) is too heavy for every case on these legs."
            severity = Severity.ERROR if must else Severity.WARNING
            where = line.source.cell("name")
            yield _note("object-no-longer-flies", severity, message, line.name, "Hire it.", where)


def _weighs_in(new: Trip, line: Gear, case: Case) -> bool:
    planning_g = line.weight_g + case.empty_g + new.scale_margin_g
    if case.most_gross_g is not None and planning_g > case.most_gross_g:
        return False
    if new.freight is not None and case.carry is not Carry.CABIN:
        return planning_g <= (new.freight.most_weight_g or planning_g)
    hold = min((rule.most_weight_g for _, rule in _legs(new)), default=planning_g)
    cabin = [rule.cabin_weight_g for _, rule in _legs(new) if rule.cabin_weight_g is not None]
    most = min(cabin, default=planning_g) if case.carry is Carry.CABIN else hold
    return planning_g <= most


def _dates(old: Trip, new: Trip) -> Iterator[Finding]:
    """Rules and rates that come from the old trip: they change."""
    kept = [rule.name for rule in new.rules if _same_rule(rule, old.rules)]
    if kept:
        message = f"The rules {', '.join(kept)} are those of {old.name}."
        yield _note(
            "rule-from-old-trip", Severity.NOTE, message, "", "Check them: carriers change them."
        )
    rates = [rate.currency for rate in new.rates if rate in old.rates]
    if rates:
        message = f"The rates of {', '.join(rates)} are those of {old.name}."
        yield _note("rate-from-old-trip", Severity.NOTE, message, "", "Put in the rates of today.")


def _same_rule(rule: Rule, rules: tuple[Rule, ...]) -> bool:
    return any(other.name == rule.name and other.published == rule.published for other in rules)


def _legs(trip: Trip) -> list[tuple[Leg, Rule]]:
    return [(leg, trip.rule_of(leg)) for leg in trip.legs]


def _note(
    code: str,
    severity: Severity,
    message: str,
    subject: str,
    remedy: str,
    where: Cell | None = None,
) -> Finding:
    known = where if where is not None and where != Source().cell("name") else None
    return Finding(code, severity, message, where=known, subject=subject, remedy=remedy)
