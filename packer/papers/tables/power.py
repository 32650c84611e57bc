"""Mains and radio, stop by stop: what we bring beside what the country and the stop have."""

from __future__ import annotations

from dataclasses import dataclass

from packer.model.plan import Plan
from packer.model.plugs import adapter, parse_plugs
from packer.model.trip import Gear, RadioRange, Stop, Trip
from packer.papers.table import Column, Fact, Kind, Table
from packer.papers.tables.flown import flown_counts
from packer.papers.units import natural
from shared import country, mains

MAINS_CAUTION = (
    "Household mains as public lists have them; stage supplies differ. Have a competent person "
    "check voltage, frequency, earthing and adapters before anything is plugged in."
)
RADIO_CAUTION = (
    "Ranges as the stop's own data in the workbook has them. Permission to transmit is the "
    "radio authority's; a licence may be needed even inside the range."
)


@dataclass(frozen=True, slots=True)
class MainsRow:
    """A flown line with a mains plug, at one stop."""

    gear: str
    description: str
    units: int
    mains: str
    plug: str
    plug_note: str


@dataclass(frozen=True, slots=True)
class RadioRow:
    """A flown line that transmits, at one stop."""

    gear: str
    description: str
    units: int
    ranges: str
    verdict: str


def mains_rows(trip: Trip, plan: Plan, stop: Stop) -> tuple[MainsRow, ...]:
    """Everything with mains that we bring to a stop."""
    local = mains(stop.country)
    plugs = local.plugs if local else ()
    return tuple(
        MainsRow(
            gear.name, gear.description, units, gear.mains, gear.plug, _plug_note(gear.plug, plugs)
        )
        for gear, units in _brought(trip, plan, stop)
        if gear.mains or gear.plug
    )


def radio_rows(trip: Trip, plan: Plan, stop: Stop) -> tuple[RadioRow, ...]:
    """Everything that transmits and that we bring to a stop."""
    return tuple(
        RadioRow(
            gear.name,
            gear.description,
            units,
            ranges_mhz(gear.radio),
            _radio_verdict(gear.radio, stop.radio_ranges),
        )
        for gear, units in _brought(trip, plan, stop)
        if gear.radio
    )


def stop_facts(stop: Stop) -> tuple[Fact, ...]:
    """What the country's mains and the stop's radio are."""
    local, land = mains(stop.country), country(stop.country)
    supply = "not in the table: ask the stop"
    if local:
        volts = " or ".join(str(volt) for volt in local.volts)
        hertz = " or ".join(str(each) for each in local.hertz)
        supply = f"{volts} V, {hertz} Hz, plugs {', '.join(local.plugs)} ({local.agreement})"
    ranges = "not stated: ask the stop" if stop.radio_ranges is None else ""
    return (
        Fact("Show", f"{stop.date.isoformat()} {stop.name}, {stop.venue}".rstrip(", ")),
        Fact("Country", f"{land.name} ({stop.country})" if land else stop.country),
        Fact("Mains there", supply),
        Fact("Radio there", ranges or f"{ranges_mhz(stop.radio_ranges or ())}"),
        Fact("Source for radio", stop.radio_source or "not stated"),
    )


def power_tables(trip: Trip, plan: Plan, stop: Stop) -> tuple[Table[MainsRow], Table[RadioRow]]:
    """Mains, then radio, at one stop."""
    return (
        Table(
            f"Mains {stop.name}",
            "Mains",
            _MAINS,
            mains_rows(trip, plan, stop),
            below=(MAINS_CAUTION,),
            empty="Nothing we bring needs mains.",
            total_label="",
        ),
        Table(
            f"Radio {stop.name}",
            "Radio",
            _RADIO,
            radio_rows(trip, plan, stop),
            below=(RADIO_CAUTION,),
            empty="Nothing we bring transmits.",
            total_label="",
        ),
    )


def ranges_mhz(ranges: tuple[RadioRange, ...]) -> str:
    """'470-608; 863-865 MHz'."""
    if not ranges:
        return "none"
    return "; ".join(f"{r.low_khz / 1000:g}-{r.high_khz / 1000:g}" for r in ranges) + " MHz"


def _brought(trip: Trip, plan: Plan, stop: Stop) -> list[tuple[Gear, int]]:
    counts = flown_counts(plan)
    lines = [line for line in trip.needed(stop.name) if counts.get(line.name)]
    return [(line, counts[line.name]) for line in sorted(lines, key=lambda g: natural(g.name))]


def _plug_note(plug: str, local: tuple[str, ...]) -> str:
    if not plug:
        return "plug not stated"
    if not local:
        return "plugs there not known"
    letters = parse_plugs(plug)
    if not letters:
        return f"compare: {' or '.join(local)} there"
    needs = adapter(letters, local)
    return f"adapter {needs}" if needs else "fits there"


def _radio_verdict(ranges: tuple[RadioRange, ...], allowed: tuple[RadioRange, ...] | None) -> str:
    if allowed is None:
        return "ask the stop"
    outside = [one for one in ranges if not any(_within(one, other) for other in allowed)]
    return f"OUTSIDE: {ranges_mhz(tuple(outside))}" if outside else "within the stop's ranges"


def _within(one: RadioRange, other: RadioRange) -> bool:
    return other.low_khz <= one.low_khz and one.high_khz <= other.high_khz


_MAINS: tuple[Column[MainsRow], ...] = (
    Column("Id", Kind.ID, lambda r: r.gear, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 36),
    Column("Units", Kind.COUNT, lambda r: r.units, 7, summed=True),
    Column("Needs", Kind.TEXT, lambda r: r.mains, 22),
    Column("Plug", Kind.ID, lambda r: r.plug, 7),
    Column("There", Kind.TEXT, lambda r: r.plug_note, 22),
)

_RADIO: tuple[Column[RadioRow], ...] = (
    Column("Id", Kind.ID, lambda r: r.gear, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 36),
    Column("Units", Kind.COUNT, lambda r: r.units, 7, summed=True),
    Column("Uses", Kind.TEXT, lambda r: r.ranges, 22),
    Column("There", Kind.TEXT, lambda r: r.verdict, 26),
    Column("Set to", Kind.BLANK, lambda _: None, 12),
)
