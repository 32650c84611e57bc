"""What a carrier owes for lost goods, against the value that a plan puts in its hands.

What comes in: values of what is in hold and freight pieces, people and date of each leg, and a
rate for the special drawing right (`XDR`) if the user gives one. What goes out: findings on
what is uncovered. Limits by date stand in `shared` (liability). Insurance is the user's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import shared
from packer.model.finding import Severity
from packer.model.plan import Piece, Route
from packer.model.source import Cell
from packer.model.trip import Leg, Trip
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope, kg, listed, money, plural

_SDR = "XDR"


def value_of(scope: Scope, piece: Piece) -> int:
    """Value of a piece in minor units of the trip currency: its case and every unit in it."""
    prices = [scope.case(piece).value, *(line.value for line in scope.units_in(piece))]
    return sum(price.minor for price in prices if price is not None)


def baggage_limit_sdr(leg: Leg) -> int | None:
    """What the party is owed at most for baggage on a leg, in SDR; None before the convention."""
    limits = shared.liability_on(leg.date)
    return limits.baggage_sdr * leg.people if limits else None


def freight_limit_sdr(day: date, weight_g: int) -> int | None:
    """What is owed at most for freight of that weight, in whole SDR, rounded down; None before."""
    limits = shared.liability_on(day)
    return limits.cargo_sdr_per_kg * weight_g // 1000 if limits else None


def sdr_minor(trip: Trip, sdr: int) -> int | None:
    """SDR in minor units of the trip currency by the user's own rate, half up; None without one."""
    held = shared.currency(trip.currency)
    rate = next((rate.rate for rate in trip.rates if rate.currency == _SDR), None)
    if held is None or rate is None:
        return None
    amount = Decimal(sdr) * rate * 10**held.decimals
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))


@dataclass(frozen=True, slots=True)
class _Exposure:
    """What is in the carrier's hands on some legs, and the most that it owes, in SDR."""

    value_minor: int
    limit_sdr: int
    where: Cell
    subject: str
    words: str


def _in_hold(scope: Scope) -> Iterator[_Exposure]:
    """One for each limit that the legs' dates and people bring."""
    value = sum(value_of(scope, piece) for piece in scope.pieces(Route.HOLD))
    by_limit: dict[int, list[Leg]] = {}
    for leg in scope.trip.legs:
        limit = baggage_limit_sdr(leg)
        if limit is not None and value:
            by_limit.setdefault(limit, []).append(leg)
    for limit, legs in sorted(by_limit.items()):
        people = plural(legs[0].people, "person", "people")
        amount = money(value, scope.trip.currency)
        words = f"The hold carries {amount} on {listed(leg.name for leg in legs)}; for {people}"
        yield _Exposure(value, limit, legs[0].source.cell("people"), legs[0].name, words)


def _by_freight(scope: Scope) -> Iterator[_Exposure]:
    """One for the consignment, by the limit of the first leg's date."""
    pieces, freight = list(scope.pieces(Route.FREIGHT)), scope.trip.freight
    value = sum(value_of(scope, piece) for piece in pieces)
    weight_g = sum(piece.planning_g for piece in pieces)
    owed = freight_limit_sdr(scope.trip.legs[0].date, weight_g) if scope.trip.legs else None
    if freight is None or owed is None or not value:
        return
    words = f"Freight carries {money(value, scope.trip.currency)} in {kg(weight_g)};"
    yield _Exposure(value, owed, freight.source.cell("rate_per_kg"), "freight", words)


def _uncovered(trip: Trip, exposures: Iterable[_Exposure], remedy: str) -> Iterator[Found]:
    for held in exposures:
        limit = sdr_minor(trip, held.limit_sdr)
        if limit is not None and held.value_minor > limit:
            yield Found(
                f"{held.words} the limit is {held.limit_sdr} SDR ({money(limit, trip.currency)}), "
                f"so {money(held.value_minor - limit, trip.currency)} is uncovered.",
                held.where,
                held.subject,
                remedy,
            )


@rule("hold-value-above-liability", "liability", Severity.WARNING, looks_at="plan")
def hold_value(scope: Scope) -> Iterator[Found]:
    """The value in the hold is above what the carrier owes at most.

    What: Value of all hold pieces against the limit for each passenger times the people, at the
        date of each leg, by the user's rate for XDR; one finding for each limit.
    Why: The carrier owes no more, unless a higher value was declared when the bags were handed
        over and a supplement paid.
    Source: Montreal Convention 1999, article 22(2): 1,519 SDR a passenger from 28 December 2024,
        1,288 before (sources by date in shared/liability.csv).
    Fails: Goods of 24,000 EUR in the hold and two people in 2025 (3,038 SDR).
    Passes: Goods of 1,000 EUR and two people.
    Limits: Counts values that the workbook gives; where the convention does not apply, other
        limits do. Claims have short time limits.
    Decides: the carrier, its conditions and a court; the insurer for the rest.
    """
    remedy = "See that your insurance covers it, or declare the value at the desk."
    yield from _uncovered(scope.trip, _in_hold(scope), remedy)


@rule("freight-value-above-liability", "liability", Severity.WARNING, looks_at="plan")
def freight_value(scope: Scope) -> Iterator[Found]:
    """The value sent by freight is above what the carrier owes at most.

    What: Value of all freight pieces against the limit for each kilogram, at the first leg's
        date, by the user's rate for XDR.
    Why: The carrier owes no more, unless a higher value was declared with the consignment.
    Source: Montreal Convention 1999, article 22(3): 26 SDR a kilogram from 28 December 2024
        (sources by date in shared/liability.csv).
    Fails: 10 kg worth 2,000 EUR by freight in 2025 (260 SDR).
    Passes: The same worth 100 EUR.
    Limits: Takes the first leg's date, and planning weight for the consignment's.
    Decides: the carrier, its conditions and a court; the insurer for the rest.
    """
    remedy = "See that your insurance covers it, or declare the value to the forwarder."
    yield from _uncovered(scope.trip, _by_freight(scope), remedy)


@rule("liability-not-compared", "liability", Severity.NOTE, looks_at="plan")
def no_sdr_rate(scope: Scope) -> Iterator[Found]:
    """The carrier's limit is not compared with the value, for want of a rate.

    What: Goods with a value in hold or freight, and no rate for XDR on the Rates sheet.
    Why: The limits are in special drawing rights; what is uncovered depends on the day's rate.
    Source: Montreal Convention 1999, articles 22 and 23 (sources by date in shared/liability.csv).
    Fails: Goods of 24,000 EUR in the hold and no rate for XDR.
    Passes: The same with a rate for XDR.
    Limits: No rate is kept here: it changes daily.
    Decides: the International Monetary Fund's rate of the day.
    """
    if sdr_minor(scope.trip, 1) is not None:
        return
    for held in (*_in_hold(scope), *_by_freight(scope)):
        yield Found(
            f"{held.words} the limit is {held.limit_sdr} SDR; no rate for {_SDR} is given.",
            held.where,
            held.subject,
            f"Put a rate for {_SDR} on the Rates sheet to see what is uncovered.",
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
