"""Batteries counted per person on each leg.

What comes in: the lines that can only fly, or with a plan those that do, and the people of each
leg. What goes out: one finding for each kind of battery that is too many, at the leg where it
is tightest. The carrier decides, and may allow more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import shared
from packer.law import is_power_bank, is_spare_lithium, thousandths
from packer.model.finding import Severity
from packer.model.trip import Chemistry, Gear
from packer.rules.catalogue import Found, rule
from packer.rules.scope import Scope, listed, plural

_ASK = "Leave some at home, spread them over more people, or ask the carrier for approval of more."
_EVEN_WITH_APPROVAL = (
    "Leave some at home or spread them over more people; the carrier's approval allows no more."
)
_NO_MORE = "Leave some at home or spread them over more people."


def _over(
    scope: Scope,
    belongs: Callable[[Gear], bool],
    each: int,
    what: str,
    since: date = date.min,
    remedy: str = _ASK,
) -> Iterator[Found]:
    lines = [line for line in scope.trip.gear if belongs(line) and scope.units(line)]
    units = sum(scope.units(line) for line in lines)
    legs = [leg for leg in scope.trip.legs if leg.date >= since and units > each * leg.people]
    if not legs:
        return
    tightest = min(legs, key=lambda leg: leg.people)
    yield Found(
        f"Found {units} {what} ({listed(line.name for line in lines)}) for "
        f"{plural(tightest.people, 'person', 'people')} on {listed(leg.name for leg in legs)}; "
        f"the rule is {each} a person, {each * tightest.people} in all.",
        tightest.source.cell("people"),
        tightest.name,
        remedy,
    )


def _small() -> str:
    return thousandths(shared.battery_limits().small_most_mwh)


def _energy(line: Gear) -> int:
    return (line.battery.energy_mwh or 0) if line.battery else 0


def _is_medium_spare(line: Gear) -> bool:
    is_ion = line.battery is not None and line.battery.chemistry is Chemistry.LITHIUM_ION
    is_medium = _energy(line) > shared.battery_limits().small_most_mwh
    return is_ion and is_medium and is_spare_lithium(line)


def _is_other_spare(line: Gear) -> bool:
    is_spare = line.battery is not None and line.battery.spare
    return (
        is_spare
        and is_spare_lithium(line)
        and not _is_medium_spare(line)
        and not is_power_bank(line)
    )


def _is_device(line: Gear) -> bool:
    is_lithium = line.battery is not None and line.battery.chemistry.is_lithium
    return is_lithium and not is_spare_lithium(line)


def _is_lead_acid_spare(line: Gear) -> bool:
    battery = line.battery
    return battery is not None and battery.spare and battery.chemistry is Chemistry.LEAD_ACID


@rule("too-many-spare-batteries", "batteries", Severity.WARNING, looks_at="both")
def spare_count(scope: Scope) -> Iterator[Found]:
    """More small spare lithium batteries than the party may carry without approval.

    What: Spare lithium batteries up to 100 Wh or 2 g, per person on each leg, more than 20.
    Why: The carrier may take them away at the desk.
    Source: Per-person table said to be from the IATA Dangerous Goods Regulations, 66th edition,
        2025 (secondary: https://onflygo.com/pt/help/passenger-battery-limits-table).
    Fails: 21 spare batteries of 50 Wh and one person on the leg.
    Passes: 20 of them, or 21 and two people.
    Limits: Counts the party's own list, not what people carry in their pockets. Dry cells that
        are not lithium are left out: the FAA page knows no limit for them. The FAA text gives
        no count for small lithium batteries.
    Decides: the carrier, who may allow more.
    """
    each = shared.battery_limits().small_spares_each
    yield from _over(scope, _is_other_spare, each, f"spare lithium batteries up to {_small()} Wh")


@rule("too-many-medium-batteries", "batteries", Severity.WARNING, looks_at="both")
def medium_count(scope: Scope) -> Iterator[Found]:
    """More spare batteries above 100 Wh than two a person.

    What: Spare lithium-ion batteries above 100 Wh and up to 160 Wh, per person on each leg.
    Why: Two a person is the limit even with the carrier's approval, which each one needs.
    Source: IATA leaflet on passengers travelling with lithium batteries (2018); FAA hazmat entry
        23, citing 49 CFR 175.10(a)(18).
    Fails: Three spares of 120 Wh and one person on the leg.
    Passes: Two of them.
    Limits: Counts the party's own list only.
    Decides: the carrier and its aviation authority.
    """
    each = shared.battery_limits().medium_spares_each
    what = f"spare batteries above {_small()} Wh"
    yield from _over(scope, _is_medium_spare, each, what, remedy=_EVEN_WITH_APPROVAL)


@rule("too-many-power-banks", "batteries", Severity.WARNING, looks_at="both")
def power_bank_count(scope: Scope) -> Iterator[Found]:
    """More power banks than two a person.

    What: Power banks per person, on legs from 27 March 2026 on.
    Why: From that day power banks are counted apart from other spares.
    Source: ICAO Technical Instructions 2025-2026, Addendum 1, from 27 March 2026 (secondary:
        https://www.dgonline.training/addendum-no-1-icao-technical-instructions-2025-2026/; the
        UK CAA's page on the change).
    Fails: Three power banks of 37 Wh and one person on a leg of 1 April 2026.
    Passes: Two of them; three on a leg before 27 March 2026.
    Limits: Whether every state follows is not verified here.
    Decides: the carrier and its aviation authority.
    """
    limits = shared.battery_limits()
    yield from _over(
        scope,
        is_power_bank,
        limits.power_banks_each,
        "power banks",
        limits.power_banks_from,
        _NO_MORE,
    )


@rule("too-many-battery-devices", "batteries", Severity.WARNING, looks_at="both")
def device_count(scope: Scope) -> Iterator[Found]:
    """More devices with lithium batteries than 15 a person.

    What: Devices with a lithium battery in them, hold and cabin together, per person on each leg.
    Why: Above that number the carrier's approval is needed.
    Source: Per-person table said to be from the IATA Dangerous Goods Regulations, 66th edition,
        2025 (secondary: https://onflygo.com/pt/help/passenger-battery-limits-table).
    Fails: 16 devices and one person on the leg.
    Passes: 15 of them.
    Limits: Leaves out phones and the like that are not on the gear list. The FAA text knows no
        such count.
    Decides: the carrier, who may allow more.
    """
    each = shared.battery_limits().devices_each
    yield from _over(scope, _is_device, each, "devices with lithium batteries")


@rule("too-many-lead-acid-batteries", "batteries", Severity.WARNING, looks_at="both")
def lead_acid_count(scope: Scope) -> Iterator[Found]:
    """More spare lead-acid batteries than two a person.

    What: Spare lead-acid batteries per person on each leg.
    Why: Non-spillable spares are two a person, each protected; spillable ones do not fly.
    Source: 49 CFR 175.10(a)(18)(iii) (edition of 2018): at most 12 V and 100 Wh each.
    Fails: Three sealed 12 V batteries and one person on the leg.
    Passes: Two of them.
    Limits: Cannot know volts or whether a battery is sealed.
    Decides: the carrier and its aviation authority.
    """
    each = shared.battery_limits().lead_acid_spares_each
    what = "spare lead-acid batteries"
    yield from _over(scope, _is_lead_acid_spare, each, what, remedy=_NO_MORE)
