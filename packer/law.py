"""What the law makes of an object: must it be in the cabin, may it not fly at all.

What comes in: a gear line. What goes out: a `TravelLaw`, which binds the plan. It covers
batteries only, and only as far as the row tells: without watt-hours or grams of lithium nothing
can be said of the class. The carrier and the authority decide in the end.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import shared
from packer.model.trip import Battery, Chemistry, Gear

_POWER_BANK = re.compile(r"power[\s-]*banks?\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class TravelLaw:
    """What binds a gear line: `forbidden` flies nowhere, `cabin_only` never in hold or freight.

    `reason` is one sentence, `source` the published rule; both empty where nothing binds.
    """

    cabin_only: bool
    forbidden: bool
    reason: str = ""
    source: str = ""


_FREE = TravelLaw(cabin_only=False, forbidden=False)


def is_power_bank(gear: Gear) -> bool:
    """True for lithium gear that calls itself a power bank in category or description."""
    if gear.battery is None or not gear.battery.chemistry.is_lithium:
        return False
    return bool(_POWER_BANK.search(f"{gear.category} / {gear.description}"))


def is_spare_lithium(gear: Gear) -> bool:
    """True for loose lithium batteries and power banks: cabin only, whatever the row says."""
    battery = gear.battery
    if battery is None or not battery.chemistry.is_lithium:
        return False
    return battery.spare or is_power_bank(gear)


def travel_law(gear: Gear) -> TravelLaw:
    """What the law makes of a gear line; limits and sources stand in `shared`."""
    if gear.battery is None:
        return _FREE
    forbidden = _forbidden(gear.battery)
    if forbidden is not None:
        return forbidden
    return _cabin(gear) if is_spare_lithium(gear) else _FREE


def _forbidden(battery: Battery) -> TravelLaw | None:
    limits = shared.battery_limits()
    energy, lithium = battery.energy_mwh or 0, battery.lithium_mg or 0
    over = {
        Chemistry.LITHIUM_ION: (energy > limits.medium_most_mwh, "medium_most_mwh"),
        Chemistry.LITHIUM_METAL: (lithium > limits.lithium_metal_most_mg, "lithium_metal_most_mg"),
        Chemistry.LEAD_ACID: (energy > limits.lead_acid_most_mwh, "lead_acid_most_mwh"),
    }
    is_over, limit = over.get(battery.chemistry, (False, ""))
    if not is_over:
        return None
    most = getattr(limits, limit)
    found = f"{thousandths(lithium)} g" if limit.endswith("_mg") else f"{thousandths(energy)} Wh"
    bound = f"{thousandths(most)} {'g' if limit.endswith('_mg') else 'Wh'}"
    reason = f"{battery.chemistry} battery of {found}, above the {bound} that baggage may hold"
    return TravelLaw(True, True, reason, shared.origin_of(f"batteries.{limit}").source)


def _cabin(gear: Gear) -> TravelLaw:
    what = "power bank" if is_power_bank(gear) else "spare lithium battery"
    source = shared.origin_of("batteries.spares_in_cabin").source
    return TravelLaw(True, False, f"a {what} goes in the cabin only", source)


def thousandths(amount: int) -> str:
    """A count of thousandths as a plain decimal: 1500 -> `1.5`, 160000 -> `160`."""
    whole, rest = divmod(amount, 1000)
    return f"{whole}.{rest:03d}".rstrip("0") if rest else str(whole)
