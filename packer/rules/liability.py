"""What a carrier owes for lost goods, against the value that a plan puts in its hands.

What comes in: values of what is in hold and freight pieces, people and date of each leg, and a
rate for the special drawing right (`XDR`) if the user gives one. What goes out: findings on
what is uncovered. Limits by date stand in `shared` (liability). Insurance is the user's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

import shared
from packer.model.finding import Severity
from packer.model.plan import Piece, Route
from packer.model.trip import Leg, Trip
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope, kg, listed, money, plural

_SDR = "XDR"


def value_of(trip: Trip, piece: Piece) -> int:
    """Value of a piece in minor units of the trip currency: its case and every unit in it."""
    prices = [trip.case_named(piece.case).value]
    prices += [trip.gear_named(packed.gear).value for packed in piece.contents]
    return sum(price.minor for price in prices if price is not None)


def baggage_limit_sdr(leg: Leg) -> int | None:
    """What the party is owed at most for baggage on a leg, in SDR; None before the convention."""
    limits = shared.liability_on(leg.date)
    return limits.baggage_sdr * leg.people if limits else None


def sdr_minor(trip: Trip, sdr: int) -> int | None:
    """SDR in minor units of the trip currency by the user's own rate, half up; None without one."""
    held = shared.currency(trip.currency)
    rate = next((rate.rate for rate in trip.rates if rate.currency == _SDR), None)
    if held is None or rate is None:
        return None
    amount = Decimal(sdr) * rate * 10**held.decimals
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))


def _compared(trip: Trip, value: int, sdr: int) -> str | None:
    """Value against the limit in words; None where the value is within it."""
    limit = sdr_minor(trip, sdr)
    if limit is None:
        return f"the limit is {sdr} SDR; give a rate for {_SDR} to see what is uncovered"
    if value <= limit:
        return None
    uncovered = money(value - limit, trip.currency)
    return f"the limit is {sdr} SDR ({money(limit, trip.currency)}), so {uncovered} is uncovered"


@rule("hold-value-above-liability", "liability", Severity.WARNING, looks_at="plan")
def hold_value(scope: Scope) -> Iterator[Found]:
    """The value in the hold is above what the carrier owes at most.

    What: Value of all hold pieces against the limit for each passenger times the people, at the
        date of each leg; one finding for each limit. Without a rate for XDR both are given.
    Why: The carrier owes no more, unless a higher value was declared when the bags were handed
        over and a supplement paid.
    Source: Montreal Convention 1999, article 22(2): 1,519 SDR a passenger from 28 December 2024,
        1,288 before (sources by date in shared/liability.csv).
    Fails: Goods of 24,000 EUR in the hold and two people in 2025 (3,038 SDR).
    Passes: Goods of 1,000 EUR, two people, and a rate for XDR.
    Limits: Counts values that the workbook gives; where the convention does not apply, other
        limits do. Claims have short time limits.
    Decides: the carrier, its conditions and a court; the insurer for the rest.
    """
    pieces = list(scope.pieces(Route.HOLD))
    value = sum(value_of(scope.trip, piece) for piece in pieces)
    by_limit: dict[int, list[Leg]] = {}
    for leg in scope.trip.legs:
        limit = baggage_limit_sdr(leg)
        if limit is not None:
            by_limit.setdefault(limit, []).append(leg)
    for limit, legs in sorted(by_limit.items()):
        compared = _compared(scope.trip, value, limit)
        if value and compared:
            yield Found(
                f"The hold carries {money(value, scope.trip.currency)} on "
                f"{listed(leg.name for leg in legs)}; for "
                f"{plural(legs[0].people, 'person', 'people')} {compared}.",
                legs[0].source.cell("people"),
                legs[0].name,
                "See that your insurance covers it, or declare the value at the desk.",
            )


@rule("freight-value-above-liability", "liability", Severity.WARNING, looks_at="plan")
def freight_value(scope: Scope) -> Iterator[Found]:
    """The value sent by freight is above what the carrier owes at most.

    What: Value of all freight pieces against the limit for each kilogram, at the first leg's
        date.
    Why: The carrier owes no more, unless a higher value was declared with the consignment.
    Source: Montreal Convention 1999, article 22(3): 26 SDR a kilogram from 28 December 2024
        (sources by date in shared/liability.csv).
    Fails: 10 kg worth 2,000 EUR by freight in 2025 (260 SDR).
    Passes: The same worth 100 EUR, and a rate for XDR.
    Limits: Takes the first leg's date, and the weight of whole kilograms below.
    Decides: the carrier, its conditions and a court; the insurer for the rest.
    """
    pieces = list(scope.pieces(Route.FREIGHT))
    if not pieces or not scope.trip.legs:
        return
    limits = shared.liability_on(scope.trip.legs[0].date)
    if limits is None:
        return
    weight_g = sum(piece.planning_g for piece in pieces)
    value = sum(value_of(scope.trip, piece) for piece in pieces)
    compared = _compared(scope.trip, value, limits.cargo_sdr_per_kg * weight_g // 1000)
    if value and compared:
        yield Found(
            f"Freight carries {money(value, scope.trip.currency)} in {kg(weight_g)}; {compared}.",
            scope.trip.freight.source.cell("rate_per_kg") if scope.trip.freight else None,
            "freight",
            "See that your insurance covers it, or declare the value to the forwarder.",
        )


@rule("value-not-known-for-insurance", "liability", Severity.NOTE, looks_at="plan")
def unknown_value(scope: Scope) -> Iterator[Found]:
    """Something in the hold or in freight has no value in the workbook.

    What: Lines with units in hold or freight pieces and an empty Value, in one finding.
    Why: Neither the insurer nor the sums here count what has no value.
    Source: common practice, no published source: the insurance list names every object's value.
    Fails: A drum machine in the hold with an empty Value.
    Passes: The same with Value 650.
    Limits: Consumables are left out.
    Decides: the insurer.
    """
    lines = {
        line.name: line
        for piece in scope.pieces(Route.HOLD, Route.FREIGHT)
        for line in scope.lines_in(piece)
        if line.value is None and not line.consumable
    }
    if lines:
        first = next(iter(lines.values()))
        yield Found(
            f"Found no value for {listed(lines)}, which "
            f"{'travels' if len(lines) == 1 else 'travel'} in hold or freight.",
            first.source.cell("value"),
            first.name,
            "Fill in what it would cost to replace.",
        )
