"""Chargeable weight of air freight, as carriers round it.

What comes in: outside lengths in mm, gross weight in grams, the divisor (cm3 for one kilogram).
What goes out: the chargeable weight. Steps of rounding and their sources stand in `shared`
(freight). A calculator for people; the plan's own charge is worked out and judged elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

import shared

Lengths = tuple[int, int, int]


def rounded_length_cm(length_mm: int) -> int:
    """A length in full centimetres, halves up: 305 -> 31, 304 -> 30."""
    step = shared.freight_figures().length_step_mm
    return (2 * length_mm + step) // (2 * step)


def volume_weight_kg(pieces: Iterable[Lengths], divisor: int | None = None) -> Fraction:
    """Volume weight in kg of pieces of (length, width, height) in mm, before its own rounding."""
    by = divisor or shared.freight_figures().usual_divisor
    total = 0
    for lengths in pieces:
        length, width, height = (rounded_length_cm(each) for each in lengths)
        total += length * width * height
    return Fraction(total, by)


def chargeable_weight_g(pieces: Iterable[Lengths], gross_g: int, divisor: int | None = None) -> int:
    """The larger of gross and volume weight of all, up to the next half kilogram, in grams."""
    step = shared.freight_figures().weight_step_g
    larger = max(Fraction(gross_g), volume_weight_kg(pieces, divisor) * 1000)
    return int(-(-larger // step) * step)


def chargeable_pounds(gross_g: Fraction) -> int:
    """A gross weight in full pounds, any fraction up."""
    return int(-(-gross_g // shared.MASS_UNITS["lb"]))
