"""The battery list for check-in: what flies with batteries, how strong, where it is."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from packer.model.plan import Plan
from packer.model.trip import Battery, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import FlownUnit, flown_units
from packer.papers.units import natural
from shared import battery_limits

CAUTION = (
    "Spare lithium batteries and power banks go in the cabin only, terminals protected one by one; "
    "devices in checked baggage are switched off. Limits per person and approvals are the "
    "carrier's: ask before travel. The carrier's dangerous goods desk decides."
)


@dataclass(frozen=True, slots=True)
class BatteryRow:
    """So many units of a line in one case, each with a battery like this."""

    gear: str
    description: str
    units: int
    chemistry: str
    watt_hours: str
    lithium: str
    state: str
    case: str
    route: str
    remark: str


def battery_rows(trip: Trip, plan: Plan) -> tuple[BatteryRow, ...]:
    """Everything that flies with a battery, by line and case."""
    groups: dict[tuple[str, str], list[FlownUnit]] = {}
    for unit in flown_units(trip, plan):
        if unit.gear.battery:
            groups.setdefault((unit.gear.name, unit.piece.case), []).append(unit)
    ordered = sorted(groups, key=lambda key: (natural(key[0]), natural(key[1])))
    return tuple(_row(groups[key]) for key in ordered)


def batteries_table(trip: Trip, plan: Plan) -> Table[BatteryRow]:
    """The battery list."""
    return Table(
        name="Batteries",
        title="Battery list for check-in",
        columns=_COLUMNS,
        rows=battery_rows(trip, plan),
        below=(CAUTION,),
        empty="Nothing that flies has a battery.",
    )


def _row(units: list[FlownUnit]) -> BatteryRow:
    gear, piece = units[0].gear, units[0].piece
    battery = gear.battery
    if battery is None:
        raise ValueError(f"{gear.name} has no battery")
    return BatteryRow(
        gear=gear.name,
        description=gear.description,
        units=len(units),
        chemistry=str(battery.chemistry),
        watt_hours=_plain(battery.energy_mwh, "Wh"),
        lithium=_plain(battery.lithium_mg, "g"),
        state="spare" if battery.spare else "installed",
        case=piece.case,
        route=str(piece.route),
        remark=_remark(battery),
    )


def _plain(thousandths: int | None, unit: str) -> str:
    if thousandths is None:
        return "not stated"
    return f"{(Decimal(thousandths) / 1000).normalize():f} {unit}"


def _remark(battery: Battery) -> str:
    """What a desk will ask about; classes by `shared.battery_limits`, bounds included."""
    limits = battery_limits()
    if not battery.chemistry.is_lithium:
        return ""
    if battery.energy_mwh is None and battery.lithium_mg is None:
        return "rating not stated: have it to hand"
    if (battery.energy_mwh or 0) > limits.medium_most_mwh:
        return "above the passenger limit"
    if (battery.energy_mwh or 0) > limits.small_most_mwh:
        return "needs the carrier's approval"
    if (battery.lithium_mg or 0) > limits.lithium_metal_most_mg:
        return "above the passenger limit"
    return ""


_COLUMNS: tuple[Column[BatteryRow], ...] = (
    Column("Id", Kind.ID, lambda r: r.gear, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 30),
    Column("Units", Kind.COUNT, lambda r: r.units, 7, summed=True),
    Column("Chemistry", Kind.TEXT, lambda r: r.chemistry, 14),
    Column("Energy each", Kind.TEXT, lambda r: r.watt_hours, 11),
    Column("Lithium each", Kind.TEXT, lambda r: r.lithium, 11),
    Column("State", Kind.TEXT, lambda r: r.state, 10),
    Column("In case", Kind.ID, lambda r: r.case, 14),
    Column("Route", Kind.TEXT, lambda r: r.route, 8),
    Column("To mind", Kind.TEXT, lambda r: r.remark, 22),
)
