"""What the freight offer costs, once for the whole trip.

In: the freight row and the freight pieces. Out: chargeable half kilograms and the charge in minor
units. Contract, section 2 (Charges) and 5.11. The rounding of lengths and of the chargeable weight
is the practice of air cargo tariffs (standards, section 4).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from packer.model.trip import Freight

GRAMS_A_HALF_KG = 500
MM_A_CM = 10


@dataclass(frozen=True, slots=True)
class FreightPiece:
    """A piece sent by freight: planning weight in grams, outside lengths in mm."""

    case: str
    planning_g: int
    outside_mm: tuple[int, int, int]


def length_cm(length_mm: int) -> int:
    """A length rounded to the full centimetre, halves up: 305 mm is 31 cm, 304 mm is 30 cm."""
    return (length_mm + MM_A_CM // 2) // MM_A_CM


def volume_weight_kg(pieces: Sequence[FreightPiece], divisor: int) -> Fraction:
    """Total volume weight in kg, exact: product of the rounded lengths in cm / divisor."""
    volume_cm3 = 0
    for piece in pieces:
        length, width, height = (length_cm(side) for side in piece.outside_mm)
        volume_cm3 += length * width * height
    return Fraction(volume_cm3, divisor)


def chargeable_half_kg(pieces: Sequence[FreightPiece], divisor: int) -> int:
    """The larger of total weight and total volume weight, up to the next half kg, in halves."""
    gross_halves = Fraction(sum(piece.planning_g for piece in pieces), GRAMS_A_HALF_KG)
    halves = max(gross_halves, 2 * volume_weight_kg(pieces, divisor))
    return -(-halves.numerator // halves.denominator)


def freight_minor(freight: Freight, pieces: Sequence[FreightPiece]) -> int:
    """Handling + the larger of Minimum and rate x chargeable weight, rounded half up once."""
    if not pieces:
        return 0
    half_kg = chargeable_half_kg(pieces, freight.divisor)
    carriage = Fraction(freight.rate_per_kg.minor * half_kg, 2)
    exact = freight.handling.minor + max(Fraction(freight.minimum.minor), carriage)
    return (2 * exact.numerator + exact.denominator) // (2 * exact.denominator)
