"""Watt-hours of a battery: from volts and amp-hours, and the class they fall in.

What comes in: exact numbers, or a description that states volts and amp-hours. What goes out:
milliwatt-hours as integers, rounded half up, and the class of a lithium-ion battery.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

import shared
from packer.model.energy import energy_of, stated_energy


class EnergyClass(StrEnum):
    """The classes of lithium-ion batteries in passengers' baggage."""

    SMALL = "small"
    APPROVAL = "with the operator's approval"
    FORBIDDEN = "forbidden in baggage"


def watt_hours_mwh(volts: Fraction | int, milliamp_hours: Fraction | int) -> int:
    """Energy in mWh of a battery of so many volts and mAh: Wh = V x Ah, rounded half up.

    ValueError below 0.
    """
    return _rounded(energy_of(volts, milliamp_hours))


def _rounded(energy: Fraction) -> int:
    return int(energy + Fraction(1, 2))


def energy_class(energy_mwh: int) -> EnergyClass:
    """The class of a lithium-ion battery; a limit itself belongs to the lower class."""
    limits = shared.battery_limits()
    if energy_mwh <= limits.small_most_mwh:
        return EnergyClass.SMALL
    return EnergyClass.APPROVAL if energy_mwh <= limits.medium_most_mwh else EnergyClass.FORBIDDEN


def stated_energy_mwh(text: str) -> int | None:
    """The energy that a description states as volts and amp-hours (`14.8 V 9.9 Ah`); else None."""
    stated = stated_energy(text)
    return None if stated is None else _rounded(stated)
