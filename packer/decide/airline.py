"""What the airlines charge, as functions a model can hold: by count, by piece, by total weight.

What flies, flies on every leg, so all legs collapse into one table of cost by number of pieces,
one step function of a piece's weight, one fixed charge for its size, and a fee per kilogram for
each leg or ticket that counts weight. Six legs then cost no more to solve than one.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from packer.model.plan import Charge, Piece, Route
from packer.model.trip import Case, Concept, Leg, Rule, Trip


@dataclass(frozen=True, slots=True)
class Billing:
    """One charge: a leg by itself, or all legs of a ticket, by the rule of the first."""

    name: str
    legs: tuple[Leg, ...]
    rule: Rule
    free_pieces: int


@dataclass(frozen=True, slots=True)
class WeightBand:
    """Planning weights above `above_g`, up to and with `upto_g`, cost `cost_minor` a piece."""

    above_g: int
    upto_g: int
    cost_minor: int


def billings(trip: Trip) -> tuple[Billing, ...]:
    """The charges of a trip in flying order; legs that share a ticket make one (contract 5.1)."""
    grouped: dict[str, list[Leg]] = {}
    for leg in trip.legs:
        grouped.setdefault(f"ticket {leg.ticket}" if leg.ticket else f"leg {leg.name}", []).append(
            leg
        )
    return tuple(
        Billing(
            legs[0].ticket or legs[0].name, tuple(legs), trip.rule_of(legs[0]), legs[0].free_pieces
        )
        for legs in grouped.values()
    )


def extra_pieces_minor(bill: Billing, pieces: int) -> int:
    """The fee for pieces beyond the free ones: first, second, then each further one."""
    if bill.rule.concept is not Concept.PIECE:
        return 0
    beyond = max(0, pieces - bill.free_pieces)
    first, second, further = bill.rule.extra_minor
    steps = (first if beyond >= 1 else 0) + (second if beyond >= 2 else 0)
    return steps + further * max(0, beyond - 2)


def pieces_table(bills: tuple[Billing, ...], most: int) -> tuple[int, ...]:
    """Cost by number of hold pieces, 0 to `most`, summed over all charges."""
    return tuple(sum(extra_pieces_minor(bill, n) for bill in bills) for n in range(most + 1))


def overweight_minor(rule: Rule, planning_g: int) -> int | None:
    """The band fee of a piece under the piece concept; None where no band takes its weight."""
    if rule.concept is not Concept.PIECE or planning_g <= rule.free_weight_g:
        return 0
    for band in rule.bands:
        if band.above_g < planning_g <= band.upto_g:
            return band.fee_minor
    return None


def oversize_minor(rule: Rule, case: Case) -> int:
    """The oversize fee of a case under one rule."""
    if rule.free_linear_mm is None or case.outside.linear_mm <= rule.free_linear_mm:
        return 0
    return rule.oversize_minor


def total_weight_minor(bill: Billing, total_g: int) -> int:
    """The weight concept's fee: kilograms beyond the free weight, rounded up, each at the fee."""
    if bill.rule.concept is not Concept.WEIGHT:
        return 0
    excess_g = max(0, total_g - bill.rule.free_weight_g)
    return -(-excess_g // 1000) * bill.rule.per_kg_minor


def hold_bands(trip: Trip, bills: tuple[Billing, ...]) -> tuple[WeightBand, ...]:
    """Every weight the hold takes on all legs, with what all charges together ask for it.

    Neighbouring bands of equal cost are one. Weights that some leg refuses are in no band.
    """
    limit_g = min((trip.rule_of(leg).most_weight_g for leg in trip.legs), default=0)
    edges = {-1, limit_g}  # nothing at all weighs more than -1 g, and is taken
    for bill in bills:
        edges.add(bill.rule.free_weight_g)
        edges.update(edge for band in bill.rule.bands for edge in (band.above_g, band.upto_g))
    marks = sorted(edge for edge in edges if edge <= limit_g)
    bands: list[WeightBand] = []
    for low, high in itertools.pairwise(marks):
        fees = [overweight_minor(bill.rule, high) for bill in bills]
        known = [fee for fee in fees if fee is not None]
        if len(known) < len(fees):
            continue
        _append(bands, WeightBand(low, high, sum(known)))
    return tuple(bands)


def _append(bands: list[WeightBand], new: WeightBand) -> None:
    last = bands[-1] if bands else None
    if last and last.upto_g == new.above_g and last.cost_minor == new.cost_minor:
        bands[-1] = WeightBand(last.above_g, new.upto_g, new.cost_minor)
    else:
        bands.append(new)


def charges(trip: Trip, pieces: tuple[Piece, ...]) -> tuple[Charge, ...]:
    """What each leg or ticket charges for the hold pieces of a plan."""
    hold = [piece for piece in pieces if piece.route is Route.HOLD]
    return tuple(_charge(trip, bill, hold) for bill in billings(trip))


def _charge(trip: Trip, bill: Billing, hold: list[Piece]) -> Charge:
    extra = extra_pieces_minor(bill, len(hold))
    over = sum(overweight_minor(bill.rule, piece.planning_g) or 0 for piece in hold)
    size = sum(oversize_minor(bill.rule, trip.case_named(piece.case)) for piece in hold)
    weight = total_weight_minor(bill, sum(piece.planning_g for piece in hold))
    return Charge(bill.name, len(hold), extra, over, size, weight, extra + over + size + weight)
