"""Watt-hours from volts and amp-hours, as batteries and their makers state them.

What comes in: exact numbers, or a text such as `14.8 V 9.9 Ah`. What goes out: milliwatt-hours.
"""

from __future__ import annotations

import re
from fractions import Fraction

_VOLTS = r"(?P<volts>\d+(?:[.,]\d+)?)\s*V\b"
_CHARGE = r"(?<![\d.,])(?P<charge>\d+(?:[.,]\d+)?)\s*(?P<unit>m?Ah)\b"
_BETWEEN = r"[^\d]{0,12}"
_AT = r"\s*(?:at\b|[(/x×@])?\s*"  # close by: a power bank's 5 V output is another figure
_STATED = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (f"{_VOLTS}{_BETWEEN}{_CHARGE}", f"{_CHARGE}{_AT}{_VOLTS}")
)
_THOUSANDS = re.compile(r"\d{1,3}[.,]\d{3}")


def stated_energy(text: str) -> Fraction | None:
    """The exact milliwatt-hours of volts and amp-hours in a text, in any order; None without."""
    found = next((held for held in (each.search(text) for each in _STATED) if held), None)
    if found is None:
        return None
    volts = Fraction(found["volts"].replace(",", "."))
    return energy_of(volts, _milliamp_hours(found["charge"], found["unit"]))


def _milliamp_hours(charge: str, unit: str) -> Fraction:
    """`20,000 mAh` and `20.000 mAh` are twenty thousand: nobody states thousandths of them."""
    is_milli = unit.lower() == "mah"
    if is_milli and _THOUSANDS.fullmatch(charge):
        return Fraction(re.sub(r"[.,]", "", charge))
    return Fraction(charge.replace(",", ".")) * (1 if is_milli else 1000)


def energy_of(volts: Fraction | int, milliamp_hours: Fraction | int) -> Fraction:
    """Exact milliwatt-hours: Wh = V x Ah. ValueError below 0."""
    if volts < 0 or milliamp_hours < 0:
        raise ValueError("volts and milliamp-hours must not be below 0")
    return Fraction(volts) * Fraction(milliamp_hours)
