"""What the airlines charge for the hold pieces, leg by leg or ticket by ticket, piece by piece.

In: a trip's legs and rules, and the hold pieces with their planning weight and linear size.
Out: one `Fare` for each leg or ticket, its `Charge`, and what each single piece adds to it.
Contract, section 2 (Charges), 5.1, 5.2, 5.3 and 5.15. All money in minor units of the trip
currency.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packer.model.plan import Charge
from packer.model.trip import Band, Concept, Leg, Rule, Trip

GRAMS_A_KG = 1000


@dataclass(frozen=True, slots=True)
class Fare:
    """One charge and one allowance: a leg, or all legs of a ticket by the rule of the first."""

    name: str
    rule: Rule
    free_pieces: int
    legs: tuple[Leg, ...]


@dataclass(frozen=True, slots=True)
class HoldPiece:
    """A piece at the check-in desk: planning weight in grams, length + width + height in mm."""

    case: str
    planning_g: int
    linear_mm: int


@dataclass(frozen=True, slots=True)
class PieceCharge:
    """What one piece pays on a fare. Weight charged on the party's total stands on no piece."""

    case: str
    extra_minor: int
    overweight_minor: int
    oversize_minor: int

    @property
    def total_minor(self) -> int:
        """All three together."""
        return self.extra_minor + self.overweight_minor + self.oversize_minor


def fares(trip: Trip) -> tuple[Fare, ...]:
    """The trip's legs and tickets in flying order; a ticket stands where its first leg does."""
    groups: dict[tuple[bool, str], list[Leg]] = {}
    for leg in trip.legs:
        key = (leg.ticket is not None, leg.ticket if leg.ticket is not None else leg.name)
        groups.setdefault(key, []).append(leg)
    return tuple(
        Fare(name, trip.rule_of(legs[0]), legs[0].free_pieces, tuple(legs))
        for (_, name), legs in groups.items()
    )


def band_of(rule: Rule, planning_g: int) -> Band | None:
    """The overweight band of a weight: above its first figure, up to and with its second."""
    for band in rule.bands:
        if band.above_g < planning_g <= band.upto_g:
            return band
    return None


def extra_minor(rule: Rule, order: int) -> int:
    """The fee of the piece that comes `order`th (from 1) beyond the free ones."""
    if order < 1 or not rule.extra_minor:
        return 0
    return rule.extra_minor[min(order, len(rule.extra_minor)) - 1]


def overweight_minor(rule: Rule, planning_g: int) -> int:
    """The fee of a piece's band; 0 up to the free weight, and where no band takes the weight."""
    if rule.concept is not Concept.PIECE or planning_g <= rule.free_weight_g:
        return 0
    band = band_of(rule, planning_g)
    return band.fee_minor if band else 0


def oversize_minor(rule: Rule, linear_mm: int) -> int:
    """The oversize fee of a piece; 0 where the rule has no free linear size or it is within."""
    if rule.free_linear_mm is None or linear_mm <= rule.free_linear_mm:
        return 0
    return rule.oversize_minor


def weight_minor(rule: Rule, total_g: int) -> int:
    """The weight concept's fee: grams beyond the free weight, up to the full kg, times the fee."""
    if rule.concept is not Concept.WEIGHT:
        return 0
    excess_g = max(0, total_g - rule.free_weight_g)
    return -(-excess_g // GRAMS_A_KG) * rule.per_kg_minor


def piece_charges(fare: Fare, pieces: Sequence[HoldPiece]) -> tuple[PieceCharge, ...]:
    """What each piece pays, in the order given: the first Free pieces of them are the free ones.

    Which piece counts as extra makes no difference to the total.
    """
    by_piece = fare.rule.concept is Concept.PIECE
    return tuple(
        PieceCharge(
            piece.case,
            extra_minor(fare.rule, order - fare.free_pieces) if by_piece else 0,
            overweight_minor(fare.rule, piece.planning_g),
            oversize_minor(fare.rule, piece.linear_mm),
        )
        for order, piece in enumerate(pieces, start=1)
    )


def charge(fare: Fare, pieces: Sequence[HoldPiece]) -> Charge:
    """The charge row of a leg or ticket for these hold pieces."""
    paid = piece_charges(fare, pieces)
    extra = sum(each.extra_minor for each in paid)
    overweight = sum(each.overweight_minor for each in paid)
    oversize = sum(each.oversize_minor for each in paid)
    weight = weight_minor(fare.rule, sum(piece.planning_g for piece in pieces))
    total = extra + overweight + oversize + weight
    return Charge(fare.name, len(pieces), extra, overweight, oversize, weight, total)


def charges(trip: Trip, pieces: Sequence[HoldPiece]) -> tuple[Charge, ...]:
    """The charge rows of the whole trip for these hold pieces, in flying order."""
    return tuple(charge(fare, pieces) for fare in fares(trip))
