"""Airline charges, computed by hand beside each test (contract, section 2 and 5.1 to 5.3)."""

from __future__ import annotations

from datetime import date

import pytest

from packer.judge.charges import (
    Fare,
    HoldPiece,
    band_of,
    charge,
    charges,
    extra_minor,
    fares,
    oversize_minor,
    overweight_minor,
    piece_charges,
    weight_minor,
)
from packer.model.trip import Band, Concept, Leg, Rule, Trip

PIECE = Rule(
    "piece",
    Concept.PIECE,
    free_weight_g=23_000,
    free_linear_mm=1580,
    extra_minor=(5000, 6000, 7000),
    bands=(Band(23_000, 32_000, 9000), Band(32_000, 45_000, 20_000)),
    oversize_minor=4500,
)
WEIGHT = Rule("weight", Concept.WEIGHT, free_weight_g=40_000, per_kg_minor=1100)


def leg(name: str, day: int, rule: str = "piece", ticket: str | None = None, free: int = 0) -> Leg:
    """A leg on a day of June."""
    return Leg(name, "A", "B", date(2026, 6, day), rule, free, ticket=ticket)


def trip(*legs: Leg) -> Trip:
    """A trip with no more than legs and rules."""
    return Trip("t", "DE", "EUR", (), legs, (PIECE, WEIGHT), (), ())


@pytest.mark.parametrize(
    ("order", "fee"), [(0, 0), (1, 5000), (2, 6000), (3, 7000), (4, 7000), (90, 7000)]
)
def test_extra_pieces_climb_and_then_stay(order: int, fee: int) -> None:
    """Extra piece 1, Extra piece 2, then Further pieces each."""
    assert extra_minor(PIECE, order) == fee


@pytest.mark.parametrize(
    ("planning_g", "fee"),
    [
        (23_000, 0),  # equal to Free weight is within it
        (23_001, 9000),
        (32_000, 9000),  # a band runs up to and with its second figure
        (32_001, 20_000),
        (45_000, 20_000),
        (45_001, 0),  # in no band: refused elsewhere
    ],
)
def test_overweight_goes_by_band(planning_g: int, fee: int) -> None:
    """Bands of the contract's own example: `23-32: 90; 32-45: 200`."""
    assert overweight_minor(PIECE, planning_g) == fee


def test_no_band_above_the_last() -> None:
    """45.001 kg is in no band."""
    assert band_of(PIECE, 45_001) is None


def test_oversize_begins_above_the_free_size() -> None:
    """1580 mm is free, 1581 mm pays; a rule without a free size charges nothing."""
    assert oversize_minor(PIECE, 1580) == 0
    assert oversize_minor(PIECE, 1581) == 4500
    assert oversize_minor(WEIGHT, 9999) == 0


@pytest.mark.parametrize(
    ("total_g", "fee"),
    [(40_000, 0), (40_001, 1100), (41_000, 1100), (41_001, 2200), (92_300, 53 * 1100)],
)
def test_weight_concept_charges_the_full_kg_begun(total_g: int, fee: int) -> None:
    """Grams beyond 40 kg, up to the full kg, times the fee per kg."""
    assert weight_minor(WEIGHT, total_g) == fee


def test_one_leg_by_hand() -> None:
    """Three pieces, one free: 5000 + 6000; one of 30 kg: 9000; one of 1700 mm: 4500."""
    fare = Fare("L", PIECE, 1, ())
    pieces = [HoldPiece("A", 20_000, 1700), HoldPiece("B", 30_000, 1500), HoldPiece("C", 9, 9)]
    row = charge(fare, pieces)
    assert (row.pieces, row.extra_minor, row.overweight_minor, row.oversize_minor) == (
        3,
        11_000,
        9000,
        4500,
    )
    assert (row.weight_minor, row.total_minor) == (0, 24_500)


def test_charges_of_single_pieces_sum_to_the_row() -> None:
    """The first Free pieces are the free ones; A pays oversize, B extra and its band, C extra."""
    fare = Fare("L", PIECE, 1, ())
    pieces = [HoldPiece("A", 20_000, 1700), HoldPiece("B", 30_000, 1500), HoldPiece("C", 9, 9)]
    paid = piece_charges(fare, pieces)
    assert [(each.case, each.total_minor) for each in paid] == [
        ("A", 4500),
        ("B", 5000 + 9000),
        ("C", 6000),
    ]
    assert sum(each.total_minor for each in paid) == charge(fare, pieces).total_minor


def test_weight_concept_has_no_extra_pieces() -> None:
    """Ten pieces of 4.1 kg are 41 kg: one kg beyond the free 40."""
    row = charge(Fare("L", WEIGHT, 0, ()), [HoldPiece(str(i), 4_100, 1) for i in range(10)])
    assert (row.extra_minor, row.weight_minor, row.total_minor) == (0, 1100, 1100)


def test_ticket_is_one_charge_by_its_first_leg() -> None:
    """Two legs on a ticket pay once, by the first one's rule and free pieces."""
    found = fares(
        trip(leg("L1", 1, "piece", "T", 2), leg("L2", 2, "weight"), leg("L3", 3, "weight", "T", 9))
    )
    assert [(fare.name, fare.rule.name, fare.free_pieces) for fare in found] == [
        ("T", "piece", 2),
        ("L2", "weight", 0),
    ]
    assert [each.name for each in found[0].legs] == ["L1", "L3"]


def test_leg_named_like_a_ticket_stays_apart() -> None:
    """A leg called T without a ticket is no part of the ticket T."""
    assert len(fares(trip(leg("T", 1), leg("L2", 2, ticket="T")))) == 2


def test_trip_without_pieces_has_rows_of_nothing() -> None:
    """Every leg has its row, also where nothing flies."""
    rows = charges(trip(leg("L1", 1), leg("L2", 2)), [])
    assert [(row.leg, row.pieces, row.total_minor) for row in rows] == [("L1", 0, 0), ("L2", 0, 0)]
