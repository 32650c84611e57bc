"""What battery law makes of a line of gear, read afresh from the shared table.

In: a line of gear. Out: must it be in the cabin, may it not fly at all. Limits and their sources
stand in `shared` (batteries); the carrier and the authority decide in the end. This is written
apart from the solver's reading of the law on purpose: the two must agree.
"""

from __future__ import annotations

import re

import shared
from packer.model.trip import Battery, Chemistry, Gear

POWER_BANK = re.compile(r"power[-\s]*banks?(?!\w)")


def is_forbidden(line: Gear) -> bool:
    """True for a battery above every class that passengers may bring, packed or spare."""
    battery = line.battery
    if battery is None:
        return False
    limits = shared.battery_limits()
    if battery.chemistry is Chemistry.LITHIUM_ION:
        return _above(battery.energy_mwh, limits.medium_most_mwh)
    if battery.chemistry is Chemistry.LITHIUM_METAL:
        return _above(battery.lithium_mg, limits.lithium_metal_most_mg)
    if battery.chemistry is Chemistry.LEAD_ACID:
        return _above(battery.energy_mwh, limits.lead_acid_most_mwh)
    return False


def must_be_in_cabin(line: Gear) -> bool:
    """True for spare lithium batteries and power banks, whatever the row's Carry says."""
    battery = line.battery
    if battery is None or not _is_lithium(battery):
        return False
    return battery.spare or _says_power_bank(line.category) or _says_power_bank(line.description)


def _is_lithium(battery: Battery) -> bool:
    return battery.chemistry in (Chemistry.LITHIUM_ION, Chemistry.LITHIUM_METAL)


def _says_power_bank(text: str) -> bool:
    return POWER_BANK.search(text.casefold()) is not None


def _above(figure: int | None, limit: int) -> bool:
    return figure is not None and figure > limit
