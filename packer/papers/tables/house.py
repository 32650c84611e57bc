"""The house list that goes back in the advance: from you we take ..., we bring ..., we hire ..."""

from __future__ import annotations

from dataclasses import dataclass

from packer.model.plan import Plan
from packer.model.trip import Gear, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import flown_counts
from packer.papers.tables.hire import HOUSE
from packer.papers.units import natural


@dataclass(frozen=True, slots=True)
class HouseRow:
    """A line of gear at a stop: how many come from where."""

    category: str
    gear: str
    description: str
    units: int
    source: str
    mains: str = ""


def taken_rows(trip: Trip, plan: Plan, stop: str) -> tuple[HouseRow, ...]:
    """What the house lends at a stop."""
    return _covered(trip, plan, stop, house=True)


def hired_rows(trip: Trip, plan: Plan, stop: str) -> tuple[HouseRow, ...]:
    """What hire companies bring to a stop."""
    return _covered(trip, plan, stop, house=False)


def brought_rows(trip: Trip, plan: Plan, stop: str) -> tuple[HouseRow, ...]:
    """What the party brings of what the stop needs."""
    counts = flown_counts(plan)
    rows = [
        _row(line, counts[line.name], "we bring")
        for line in trip.needed(stop)
        if counts.get(line.name)
    ]
    return _sorted(rows)


def house_tables(
    trip: Trip, plan: Plan, stop: str
) -> tuple[Table[HouseRow], Table[HouseRow], Table[HouseRow]]:
    """From you we take; we bring; hire companies bring."""
    return (
        _table("From you we take", taken_rows(trip, plan, stop), "Nothing."),
        _table("We bring", brought_rows(trip, plan, stop), "Nothing."),
        _table("Hire companies bring", hired_rows(trip, plan, stop), "Nothing.", supplier=True),
    )


def _covered(trip: Trip, plan: Plan, stop: str, *, house: bool) -> tuple[HouseRow, ...]:
    rows = [
        _row(trip.gear_named(decision.gear), cover.units, cover.supplier)
        for decision in plan.decisions
        for cover in decision.covers
        if cover.stop == stop and cover.units and (cover.supplier.casefold() == HOUSE) == house
    ]
    return _sorted(rows)


def _row(line: Gear, units: int, source: str) -> HouseRow:
    description = line.description or line.name
    return HouseRow(line.category, line.name, description, units, source, line.mains)


def _sorted(rows: list[HouseRow]) -> tuple[HouseRow, ...]:
    return tuple(sorted(rows, key=lambda r: (r.category.casefold(), natural(r.gear), r.source)))


def _table(
    title: str, rows: tuple[HouseRow, ...], empty: str, *, supplier: bool = False
) -> Table[HouseRow]:
    columns = (*_COLUMNS, _SUPPLIER if supplier else _AGREED)
    return Table(title, title, columns, rows, empty=empty, total_label="")


_COLUMNS: tuple[Column[HouseRow], ...] = (
    Column("Category", Kind.TEXT, lambda r: r.category, 14),
    Column("Our id", Kind.ID, lambda r: r.gear, 14),
    Column("What", Kind.TEXT, lambda r: r.description, 40),
    Column("How many", Kind.COUNT, lambda r: r.units, 9, summed=True),
    Column("Mains", Kind.TEXT, lambda r: r.mains, 18),
)
_AGREED: Column[HouseRow] = Column("Agreed", Kind.BLANK, lambda _: None, 12)
_SUPPLIER: Column[HouseRow] = Column("From", Kind.TEXT, lambda r: r.source, 22)
