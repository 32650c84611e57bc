"""The proforma invoice: what flies and is used up, and, without a carnet, everything that returns.

Consumables may not travel on a carnet (practice of the issuing chambers), so they are declared
apart, with values and origins, as goods that stay and are used up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from packer.model.plan import Plan
from packer.model.trip import Case, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.customs import CustomsList, rates_used
from packer.papers.tables.flown import FlownUnit, flown_units
from packer.papers.units import natural
from packer.papers.words import money_in_words

CAUTION = (
    "Values for customs purposes only. Merchandise for sale may need an import entry of its own. "
    "The customs authority decides."
)


@dataclass(frozen=True, slots=True)
class ProformaRow:
    """A line of goods: so many of one kind, unit and line figures, and the cases they are in."""

    line: int
    gear: str
    description: str
    hs: str
    origin: str
    quantity: int
    unit_weight_g: int
    unit_value_minor: int | None
    cases: str

    @property
    def weight_g(self) -> int:
        """Weight of the line."""
        return self.quantity * self.unit_weight_g

    @property
    def value_minor(self) -> int | None:
        """Value of the line; None where the user gave none."""
        return None if self.unit_value_minor is None else self.quantity * self.unit_value_minor


def consumable_rows(trip: Trip, plan: Plan) -> tuple[ProformaRow, ...]:
    """The consumables that fly, by id."""
    return _rows(unit for unit in flown_units(trip, plan) if unit.gear.consumable)


def returning_rows(trip: Trip, plan: Plan) -> tuple[ProformaRow, ...]:
    """Everything that flies and comes back, cases apart, by id."""
    return _rows(unit for unit in flown_units(trip, plan) if not unit.gear.consumable)


def has_carnet(trip: Trip) -> bool:
    """True where the Trip sheet names a carnet's holder, number or day of issue."""
    return bool(trip.carnet.holder or trip.carnet.number or trip.carnet.issued)


def proforma_table(trip: Trip, plan: Plan) -> Table[ProformaRow]:
    """The proforma invoice for the consumables."""
    rows = consumable_rows(trip, plan)
    title = "Proforma invoice: consumables, to be used up"
    table = _invoice(trip, "Proforma", title, rows)
    return replace(table, empty="No consumables fly on this trip.")


def returning_table(trip: Trip, plan: Plan, goods: CustomsList) -> Table[ProformaRow]:
    """For a trip without a carnet: a proforma of the goods that enter for a time and return."""
    rows = returning_rows(trip, plan) + _case_rows(trip, goods)
    title = "Proforma invoice: goods that enter for a time and return"
    return _invoice(trip, "Goods without carnet", title, rows)


def beyond_table(trip: Trip, plan: Plan, beyond: Mapping[str, int]) -> Table[ProformaRow]:
    """Goods that a list already issued does not have: units by gear id, cases by their own id.

    Of identical units the last ones are declared; which they are is the same to customs.
    """
    units = sorted(flown_units(trip, plan), key=lambda u: (natural(u.gear.name), -u.unit))
    taken: Counter[str] = Counter()
    chosen = []
    for unit in units:
        if taken[unit.gear.name] < beyond.get(unit.gear.name, 0):
            taken[unit.gear.name] += 1
            chosen.append(unit)
    rows = _rows(chosen)
    cases = [case for case in trip.cases if case.name in beyond]
    rows += _rows_of_cases(cases, len(rows) + 1)
    title = "Proforma invoice: goods that the issued list does not have"
    table = _invoice(trip, "Not on the list", title, rows)
    return replace(table, empty="All that flies is on the list.")


def _invoice(
    trip: Trip, name: str, title: str, rows: tuple[ProformaRow, ...]
) -> Table[ProformaRow]:
    """Rows as an invoice, with the addresses above and the total and the caution below."""
    return Table(
        name=name,
        title=title,
        columns=_COLUMNS,
        rows=rows,
        currency=trip.currency,
        above=_above(trip, rows),
        below=(_total_words(trip, rows), CAUTION),
    )


def _rows(units: Iterable[FlownUnit]) -> tuple[ProformaRow, ...]:
    groups: dict[str, list[FlownUnit]] = {}
    for unit in sorted(units, key=lambda u: (natural(u.gear.name), u.unit)):
        groups.setdefault(unit.gear.name, []).append(unit)
    return tuple(_row(group, line) for line, group in enumerate(groups.values(), start=1))


def _row(group: list[FlownUnit], line: int) -> ProformaRow:
    gear = group[0].gear
    return ProformaRow(
        line=line,
        gear=gear.name,
        description=gear.description or gear.name,
        hs=gear.hs,
        origin=gear.origin,
        quantity=len(group),
        unit_weight_g=gear.weight_g,
        unit_value_minor=gear.value.minor if gear.value else None,
        cases=", ".join(sorted({unit.piece.case for unit in group}, key=natural)),
    )


def _case_rows(trip: Trip, goods: CustomsList) -> tuple[ProformaRow, ...]:
    names = [name for row in goods.rows for name, unit, _ in row.members if unit == 0]
    first = 1 + len({name for row in goods.rows for name, unit, _ in row.members if unit})
    return _rows_of_cases([trip.case_named(name) for name in names], first)


def _rows_of_cases(cases: Iterable[Case], first: int) -> tuple[ProformaRow, ...]:
    return tuple(
        ProformaRow(
            line=line,
            gear=case.name,
            description=case.description or "Transport case",
            hs=case.hs,
            origin=case.origin,
            quantity=1,
            unit_weight_g=case.empty_g,
            unit_value_minor=case.value.minor if case.value else None,
            cases=case.name,
        )
        for line, case in enumerate(cases, start=first)
    )


def _above(trip: Trip, rows: tuple[ProformaRow, ...]) -> tuple[str, ...]:
    prices = [line.value for line in trip.gear if line.name in {row.gear for row in rows}]
    missing = [row.gear for row in rows if row.unit_value_minor is None or not row.origin]
    note = f"NOT COMPLETE: no value or no origin for {', '.join(missing)}." if missing else ""
    return (*rates_used(trip, prices), *([note] if note else []))


def _total_words(trip: Trip, rows: tuple[ProformaRow, ...]) -> str:
    total = sum(row.value_minor or 0 for row in rows)
    return f"Total value in words: {money_in_words(total, trip.currency)}"


_COLUMNS: tuple[Column[ProformaRow], ...] = (
    Column("Line", Kind.COUNT, lambda r: r.line, 6),
    Column("Id", Kind.ID, lambda r: r.gear, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 36),
    Column("HS heading", Kind.ID, lambda r: r.hs, 11),
    Column("Origin", Kind.ID, lambda r: r.origin, 8),
    Column("Quantity", Kind.COUNT, lambda r: r.quantity, 9, summed=True),
    Column("Weight each", Kind.GRAMS, lambda r: r.unit_weight_g, 12),
    Column("Weight", Kind.GRAMS, lambda r: r.weight_g, 12, summed=True),
    Column("Value each", Kind.MONEY, lambda r: r.unit_value_minor, 15),
    Column("Value", Kind.MONEY, lambda r: r.value_minor, 15, summed=True),
    Column("In case", Kind.TEXT, lambda r: r.cases, 18),
)
