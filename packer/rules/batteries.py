"""Batteries of single lines: what may fly, where, and what the row leaves open.

What comes in: the trip's gear lines, and the plan's pieces for where they ended up. What goes
out: findings. The law behind them binds the plan (`packer.law`); the carrier and the
authority decide in the end. Counts per person stand in `packer.rules.battery_counts`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import shared
from packer.law import is_spare_lithium, thousandths, travel_law
from packer.model.finding import Severity
from packer.model.plan import Piece, Route
from packer.model.trip import Battery, Carry, Chemistry, Gear
from packer.rules.catalogue import Found, rule
from packer.rules.energy import EnergyClass, energy_class, stated_energy_mwh
from packer.rules.scope import Scope, listed

_POWER_BANK = re.compile(r"power[\s-]*banks?\b", re.IGNORECASE)
_LEAST_DIFFERENCE_MWH = 1000  # a maker rounds to full watt-hours


@rule("battery-forbidden-aboard", "batteries", Severity.WARNING)
def battery_forbidden(scope: Scope) -> Iterator[Found]:
    """A battery is above what baggage may hold.

    What: A lithium-ion battery above 160 Wh, a lithium-metal one above 2 g, or a lead-acid one
        above 100 Wh, loose or in a device, on a line that is not hired.
    Why: Such a battery is refused at check-in; the plan lets it fly nowhere.
    Source: IATA leaflet on passengers travelling with lithium batteries (2018); for lead acid
        49 CFR 175.10(a)(18)(iii) (edition of 2018).
    Fails: A lithium-ion block battery of 14.4 V and 11.2 Ah: 161.28 Wh.
    Passes: A lithium-ion battery of exactly 160 Wh.
    Limits: Looks at one battery at a time, by the figures in the row. Cargo under the
        dangerous goods rules is another way and is not planned here.
    Decides: the carrier and its aviation authority.
    """
    for line in scope.lines:
        law = travel_law(line)
        if law.forbidden:
            yield Found(
                f"{line.name}: found a {law.reason}; the plan flies none of it.",
                line.source.cell(_measure(line.battery)),
                line.name,
                "Hire it, or ask a forwarder about declared cargo.",
            )


def _measure(battery: Battery | None) -> str:
    is_metal = battery is not None and battery.chemistry is Chemistry.LITHIUM_METAL
    return "battery_g_lithium" if is_metal else "battery_wh"


@rule("battery-needs-approval", "batteries", Severity.WARNING)
def battery_approval(scope: Scope) -> Iterator[Found]:
    """A lithium-ion battery needs the carrier's approval before the flight.

    What: A lithium-ion battery above 100 Wh, up to and with 160 Wh.
    Why: Without approval it is refused at check-in.
    Source: IATA leaflet on passengers travelling with lithium batteries (2018), table and notes.
    Fails: A lithium-ion battery of 20 V and 6 Ah: 120 Wh.
    Passes: A lithium-ion battery of exactly 100 Wh.
    Limits: Does not know whether approval was given.
    Decides: the carrier.
    """
    small = thousandths(shared.battery_limits().small_most_mwh)
    for line in scope.lines:
        battery = line.battery
        if battery is None or battery.chemistry is not Chemistry.LITHIUM_ION:
            continue
        energy = battery.energy_mwh or 0
        if energy_class(energy) is EnergyClass.APPROVAL:
            yield Found(
                f"{line.name}: found a lithium-ion battery of {thousandths(energy)} Wh, above "
                f"{small} Wh; the carrier must approve it before the flight.",
                line.source.cell("battery_wh"),
                line.name,
                "Ask each carrier in writing and travel with the answer.",
            )


@rule("battery-data-missing", "batteries", Severity.WARNING)
def battery_data(scope: Scope) -> Iterator[Found]:
    """A battery has no figure that would put it in a class.

    What: Lithium ion or lead acid without watt-hours, lithium metal without grams of lithium.
    Why: Limits go by that figure; without it nothing can be said, and the desk asks for it.
    Source: IATA leaflet on passengers travelling with lithium batteries (2018), table.
    Fails: A laptop with a lithium-ion battery and an empty Battery Wh.
    Passes: The same with 74 Wh; a NiMH pack without any figure.
    Limits: Where the description states volts and amp-hours, their product is offered, not used.
    Decides: the carrier, by the print on the battery.
    """
    for line in scope.lines:
        if line.battery is None or not _lacks_measure(line.battery):
            continue
        stated = stated_energy_mwh(line.description)
        offer = f" The description states {thousandths(stated)} Wh." if stated else ""
        unit = "grams of lithium" if _measure(line.battery).endswith("lithium") else "watt-hours"
        yield Found(
            f"{line.name}: found a {line.battery.chemistry} battery without {unit}, so its class "
            f"is not known.{offer}",
            line.source.cell(_measure(line.battery)),
            line.name,
            "Read it off the battery: Wh = V x Ah.",
        )


def _lacks_measure(battery: Battery) -> bool:
    if battery.chemistry is Chemistry.LITHIUM_METAL:
        return battery.lithium_mg is None
    needs = (Chemistry.LITHIUM_ION, Chemistry.LEAD_ACID)
    return battery.chemistry in needs and battery.energy_mwh is None


@rule("battery-energy-mismatch", "batteries", Severity.WARNING)
def battery_mismatch(scope: Scope) -> Iterator[Found]:
    """The watt-hours in the row are not those that the description states.

    What: The description names volts and amp-hours, and their product is more than 1 Wh away
        from Battery Wh.
    Why: The print on the battery counts at the desk; a wrong figure puts it in a wrong class.
    Source: Wh = V x Ah, as at https://en.polexp.com/faq/li-ion-instructions.html (as seen 2026:
        20 V x 6 Ah is 120 Wh).
    Fails: `Battery 3.8 V 1650 mAh` with 67 Wh in the row: the product is 6.27 Wh.
    Passes: `Battery 20 V 1.3 Ah` with 26 Wh.
    Limits: Reads one pair of figures side by side; a maker's rounding of 1 Wh is let pass.
    Decides: the print on the battery.
    """
    for line in scope.lines:
        stated = stated_energy_mwh(line.description)
        if line.battery is None or line.battery.energy_mwh is None or stated is None:
            continue
        energy = line.battery.energy_mwh
        if abs(energy - stated) > _LEAST_DIFFERENCE_MWH:
            yield Found(
                f"{line.name}: found {thousandths(energy)} Wh in the row, but the description "
                f"states volts and amp-hours that make {thousandths(stated)} Wh.",
                line.source.cell("battery_wh"),
                line.name,
                "Read the battery and correct one of them.",
            )


@rule("power-bank-without-battery", "batteries", Severity.WARNING)
def power_bank_undeclared(scope: Scope) -> Iterator[Found]:
    """A line calls itself a power bank, but names no lithium battery.

    What: Category or description says power bank, and Battery is empty or not lithium.
    Why: Power banks are cabin only and counted per person; without a chemistry the plan cannot
        know, and may put them in the hold.
    Source: ICAO Technical Instructions 2025-2026, Addendum 1, from 27 March 2026 (secondary:
        https://www.dgonline.training/addendum-no-1-icao-technical-instructions-2025-2026/).
    Fails: `Power bank 20 Ah` with an empty Battery column.
    Passes: The same with `lithium ion` and 74 Wh.
    Limits: Knows the words `power bank` only.
    Decides: the carrier.
    """
    for line in scope.lines:
        declared = line.battery is not None and line.battery.chemistry.is_lithium
        if not declared and _POWER_BANK.search(f"{line.category} / {line.description}"):
            yield Found(
                f"{line.name}: found a power bank without a lithium battery in the row; it is "
                "not kept in the cabin.",
                line.source.cell("battery"),
                line.name,
                "Fill in Battery and Battery Wh.",
            )


@rule("spare-battery-in-hold", "batteries", Severity.WARNING, looks_at="both")
def spare_in_hold(scope: Scope) -> Iterator[Found]:
    """A spare lithium battery or a power bank is meant for the hold.

    What: Carry says `hold` for spare lithium or a power bank, or a plan has it in a piece that
        does not go in the cabin.
    Why: Loose lithium batteries are carried in the cabin only, where a fire can be fought.
    Source: 49 CFR 175.10(a)(18); IATA leaflet on passengers travelling with lithium batteries
        (2018).
    Fails: A spare lithium-ion battery of 50 Wh with Carry `hold`.
    Passes: The same with Carry `either` or `cabin`; forty NiMH cells in a hold case.
    Limits: The plan keeps such lines in the cabin whatever the row says. A battery that comes
        out of a device is not a spare unless the row says so.
    Decides: the carrier and its aviation authority.
    """
    if scope.plan is None:
        for line in scope.lines:
            if is_spare_lithium(line) and line.carry is Carry.HOLD:
                yield Found(
                    f"{line.name}: found Carry `hold`, but {travel_law(line).reason}; the plan "
                    "keeps it there.",
                    line.source.cell("carry"),
                    line.name,
                    "Put `cabin` in the row.",
                )
    for piece in scope.pieces(Route.HOLD):
        yield from _spares_below(scope, piece)


def _spares_below(scope: Scope, piece: Piece) -> Iterator[Found]:
    for line in scope.lines_in(piece):
        if is_spare_lithium(line):
            yield Found(
                f"{piece.case} goes by hold with {line.name} in it; {travel_law(line).reason}.",
                line.source.cell("battery_spare"),
                line.name,
                "Move it to a cabin piece.",
            )


@rule("device-in-hold-switched-off", "batteries", Severity.NOTE, looks_at="plan")
def devices_in_hold(scope: Scope) -> Iterator[Found]:
    """Devices with lithium batteries travel in the hold and must be fully off.

    What: Pieces in the hold with lithium-powered devices in them, one finding for each piece.
    Why: A device in the hold must be completely off, not asleep, and kept from turning on and
        from damage.
    Source: IATA leaflet on passengers travelling with lithium batteries (2018). Devices up to
        2.7 Wh or 0.3 g of lithium may stay on (ICAO Council, April 2023, secondary).
    Fails: An 80 Wh mixer in a hold case: it must be off, sleep will not do.
    Passes: A 1 Wh bag tracker, which may stay on.
    Limits: Cannot see a switch; it reminds.
    Decides: the carrier.
    """
    for piece in scope.pieces(Route.HOLD):
        lines = [line for line in scope.lines_in(piece) if _must_be_off(line)]
        if lines:
            yield Found(
                f"{piece.case} goes by hold with devices that hold lithium batteries: "
                f"{listed(line.name for line in lines)}.",
                lines[0].source.cell("battery"),
                piece.case,
                "Switch them off completely (not to sleep) and guard the switches.",
            )


def _must_be_off(line: Gear) -> bool:
    battery, limits = line.battery, shared.battery_limits()
    if battery is None or not battery.chemistry.is_lithium or is_spare_lithium(line):
        return False
    if battery.chemistry is Chemistry.LITHIUM_METAL:
        return battery.lithium_mg is None or battery.lithium_mg > limits.left_on_most_mg
    return battery.energy_mwh is None or battery.energy_mwh > limits.left_on_most_mwh


@rule("spare-battery-terminals", "batteries", Severity.NOTE)
def spare_terminals(scope: Scope) -> Iterator[Found]:
    """Spare batteries need their terminals protected, one by one.

    What: All spare batteries and power banks of the trip, in one finding.
    Why: Loose terminals short-circuit. When a cabin bag is taken away at the gate, lithium
        spares and power banks come out of it and stay in the cabin. Power banks are not charged
        on board.
    Source: 49 CFR 175.10(a)(18) (edition of 2018); FAA hazmat entry 23 for bags taken at the
        gate; ICAO Technical Instructions 2025-2026, Addendum 1, for power banks.
    Fails: Four loose camera batteries in a pouch together.
    Passes: A trip without spare batteries.
    Limits: Cannot see the packing; it reminds.
    Decides: the carrier.
    """
    spares = [
        line
        for line in scope.lines
        if is_spare_lithium(line) or (line.battery is not None and line.battery.spare)
    ]
    if spares:
        yield Found(
            f"Found spare batteries: {listed(line.name for line in spares)}.",
            spares[0].source.cell("battery_spare"),
            spares[0].name,
            "Protect each one's terminals (retail pack, tape or a pouch of its own); if a cabin "
            "bag is taken at the gate, lithium spares stay with the passenger.",
        )
