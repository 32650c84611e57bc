"""The freight charge, exactly: chargeable half kilograms from grams and cubic centimetres.

Source of the rounding: contract sections 2 and 5.11 (cargo practice: each length to the full
centimetre, halves up; volume over the divisor; the consignment up to the half kilogram).
"""

from __future__ import annotations

from packer.model.trip import Box, Freight


def volume_cm3(outside: Box) -> int:
    """The volume of a piece with each outside length rounded to the cm, halves up."""
    length, width, height = ((side + 5) // 10 for side in outside.sides)
    return length * width * height


def chargeable_half_kg(freight: Freight, total_g: int, total_cm3: int) -> int:
    """Half kilograms charged: the larger of gross and volume weight, rounded up."""
    by_weight = -(-total_g // 500)
    by_volume = -(-2 * total_cm3 // freight.divisor)
    return max(by_weight, by_volume)


def freight_minor(freight: Freight, half_kg: int) -> int:
    """Handling + the larger of Minimum and rate x weight, rounded half up once, at the end."""
    twice = 2 * freight.handling.minor + max(
        2 * freight.minimum.minor, freight.rate_per_kg.minor * half_kg
    )
    return (twice + 1) // 2
