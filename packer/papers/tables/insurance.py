"""The insurance list: values object by object, case by case and leg by leg."""

from __future__ import annotations

from dataclasses import dataclass

from packer.model.plan import Plan, Route
from packer.model.trip import Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import FlownUnit, flown_units, flying_cases
from packer.papers.units import natural

CAUTION = "Values as stated in the workbook. What the policy says is covered governs."


@dataclass(frozen=True, slots=True)
class InsuredRow:
    """An object or a case; `value_minor` None where the user gave none."""

    case: str
    label: str
    description: str
    serial: str
    origin: str
    value_minor: int | None


@dataclass(frozen=True, slots=True)
class CaseValueRow:
    """A case with everything in it."""

    case: str
    route: str
    objects: int
    contents_minor: int
    case_minor: int
    unvalued: int

    @property
    def total_minor(self) -> int:
        """Case and contents."""
        return self.contents_minor + self.case_minor


@dataclass(frozen=True, slots=True)
class LegValueRow:
    """What is at risk on a leg, by where it travels; freight travels apart from the legs."""

    leg: str
    day: str
    hold_minor: int
    cabin_minor: int

    @property
    def total_minor(self) -> int:
        """Hold and cabin."""
        return self.hold_minor + self.cabin_minor


def insured_rows(trip: Trip, plan: Plan) -> tuple[InsuredRow, ...]:
    """Every flown object and every case, case by case."""
    rows: list[InsuredRow] = []
    units = flown_units(trip, plan)
    for case, piece in flying_cases(trip, plan):
        value = case.value.minor if case.value else None
        rows.append(
            InsuredRow(
                case.name, case.name, f"{case.description} (case)", case.serial, case.origin, value
            )
        )
        inside = sorted((u for u in units if u.piece is piece), key=lambda u: natural(u.label))
        rows += [_unit_row(unit) for unit in inside]
    return tuple(rows)


def case_value_rows(trip: Trip, plan: Plan) -> tuple[CaseValueRow, ...]:
    """The value of each case with its contents."""
    return tuple(
        CaseValueRow(
            case=piece.case,
            route=str(piece.route),
            objects=len(piece.contents),
            contents_minor=sum(_value(trip, packed.gear) or 0 for packed in piece.contents),
            case_minor=case.value.minor if case.value else 0,
            unvalued=sum(1 for p in piece.contents if _value(trip, p.gear) is None)
            + (case.value is None),
        )
        for case, piece in flying_cases(trip, plan)
    )


def leg_value_rows(trip: Trip, plan: Plan) -> tuple[LegValueRow, ...]:
    """What is at risk on each leg: the same pieces fly on all of them."""
    cases = case_value_rows(trip, plan)
    hold = sum(row.total_minor for row in cases if row.route == Route.HOLD)
    cabin = sum(row.total_minor for row in cases if row.route == Route.CABIN)
    return tuple(LegValueRow(leg.name, leg.date.isoformat(), hold, cabin) for leg in trip.legs)


def insurance_tables(
    trip: Trip, plan: Plan
) -> tuple[Table[CaseValueRow], Table[LegValueRow], Table[InsuredRow]]:
    """By case, by leg, object by object."""
    currency = plan.currency
    return (
        Table("By case", "Value by case", _CASE, case_value_rows(trip, plan), currency),
        Table("By leg", "Value at risk by leg", _LEG, leg_value_rows(trip, plan), currency),
        Table(
            "Objects",
            "Object by object",
            _OBJECT,
            insured_rows(trip, plan),
            currency,
            below=(CAUTION,),
        ),
    )


def _unit_row(unit: FlownUnit) -> InsuredRow:
    gear = unit.gear
    value = gear.value.minor if gear.value else None
    return InsuredRow(
        unit.piece.case, unit.label, gear.description, unit.serial, gear.origin, value
    )


def _value(trip: Trip, gear: str) -> int | None:
    value = trip.gear_named(gear).value
    return value.minor if value else None


_CASE: tuple[Column[CaseValueRow], ...] = (
    Column("Case", Kind.ID, lambda r: r.case, 14),
    Column("Route", Kind.TEXT, lambda r: r.route, 8),
    Column("Objects", Kind.COUNT, lambda r: r.objects, 30, summed=True),
    Column("Contents", Kind.MONEY, lambda r: r.contents_minor, 16, summed=True),
    Column("Case itself", Kind.MONEY, lambda r: r.case_minor, 16, summed=True),
    Column("Together", Kind.MONEY, lambda r: r.total_minor, 16, summed=True),
    Column("Without value", Kind.COUNT, lambda r: r.unvalued, 9, summed=True),
)

_LEG: tuple[Column[LegValueRow], ...] = (
    Column("Leg", Kind.ID, lambda r: r.leg, 14),
    Column("Date", Kind.TEXT, lambda r: r.day, 11),
    Column("In the hold", Kind.MONEY, lambda r: r.hold_minor, 30),
    Column("In the cabin", Kind.MONEY, lambda r: r.cabin_minor, 16),
    Column("Together", Kind.MONEY, lambda r: r.total_minor, 16),
)

_OBJECT: tuple[Column[InsuredRow], ...] = (
    Column("In case", Kind.ID, lambda r: r.case, 14),
    Column("Id", Kind.ID, lambda r: r.label, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 32),
    Column("Serial", Kind.ID, lambda r: r.serial, 16),
    Column("Origin", Kind.ID, lambda r: r.origin, 9),
    Column("Value", Kind.MONEY, lambda r: r.value_minor, 16, summed=True),
)
