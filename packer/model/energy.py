"""Watt-hours from volts and amp-hours, as batteries and their makers state them.

What comes in: exact numbers, or a text such as `14.8 V 9.9 Ah`. What goes out: milliwatt-hours.
"""

from __future__ import annotations

import re
from fractions import Fraction

_STATED = re.compile(
    r"(?P<volts>\d+(?:[.,]\d+)?)\s*V\b[^\d]{0,12}(?P<charge>\d+(?:[.,]\d+)?)\s*(?P<unit>m?Ah)\b",
    re.IGNORECASE,
)


def stated_energy(text: str) -> Fraction | None:
    """The exact milliwatt-hours of volts and amp-hours in a text, volts first; None without."""
    found = _STATED.search(text)
    if found is None:
        return None
    volts, charge = (Fraction(found[name].replace(",", ".")) for name in ("volts", "charge"))
    return energy_of(volts, charge if found["unit"].lower() == "mah" else charge * 1000)


def energy_of(volts: Fraction | int, milliamp_hours: Fraction | int) -> Fraction:
    """Exact milliwatt-hours: Wh = V x Ah. ValueError below 0."""
    if volts < 0 or milliamp_hours < 0:
        raise ValueError("volts and milliamp-hours must not be below 0")
    return Fraction(volts) * Fraction(milliamp_hours)
