"""The airline's piece list, leg by leg or ticket by ticket: weights, sizes, expected charges.

Charges piece by piece are the judge's own (`packer.judge.charges`); they add up to the plan's.
"""

from __future__ import annotations

from dataclasses import dataclass

from packer.judge.charges import Fare, HoldPiece, fares, piece_charges
from packer.model.plan import Charge, Plan, Route
from packer.model.trip import Concept, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.cases import CaseRow, case_rows
from packer.papers.units import kg_text, money_text, size_text

EXPECTED = "Expected by the rules in the workbook. What the carrier's desk says governs."


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A piece at check-in; cabin pieces carry no charge, freight pieces are not on the list."""

    number: int
    case: str
    description: str
    route: str
    planning_g: int
    outside_mm: tuple[int, int, int]
    extra_minor: int
    overweight_minor: int
    oversize_minor: int

    @property
    def linear_mm(self) -> int:
        """Length + width + height."""
        return sum(self.outside_mm)

    @property
    def total_minor(self) -> int:
        """All that stands on this piece."""
        return self.extra_minor + self.overweight_minor + self.oversize_minor


@dataclass(frozen=True, slots=True)
class PieceList:
    """The list for one charge: a leg by itself, or all legs of a ticket."""

    fare: Fare
    rows: tuple[PieceRow, ...]
    charge: Charge | None

    @property
    def title(self) -> str:
        """'F1: DUB to NCL, 2027-06-17'."""
        first, last = self.fare.legs[0], self.fare.legs[-1]
        return f"{self.fare.name}: {first.origin} to {last.destination}, {first.date.isoformat()}"


def piece_lists(trip: Trip, plan: Plan) -> tuple[PieceList, ...]:
    """One list for each charge, in flying order."""
    rows = [row for row in case_rows(trip, plan) if row.route is not Route.FREIGHT]
    charges = {charge.leg: charge for charge in plan.charges}
    return tuple(PieceList(fare, _rows(fare, rows), charges.get(fare.name)) for fare in fares(trip))


def pieces_table(found: PieceList, currency: str) -> Table[PieceRow]:
    """One piece list as a table; weight charged on the party's total stands below it."""
    return Table(
        name=found.fare.name,
        title=f"Piece list {found.title}",
        columns=_COLUMNS,
        rows=found.rows,
        currency=currency,
        above=_rule_lines(found.fare),
        below=(*_total_lines(found, currency), EXPECTED),
    )


def _rows(fare: Fare, rows: list[CaseRow]) -> tuple[PieceRow, ...]:
    hold = [
        HoldPiece(row.case, row.planning_g, row.linear_mm)
        for row in rows
        if row.route is Route.HOLD
    ]
    paid = {charge.case: charge for charge in piece_charges(fare, hold)}
    found = []
    for number, row in enumerate(rows, start=1):
        charge = paid.get(row.case)
        found.append(
            PieceRow(
                number=number,
                case=row.case,
                description=row.description,
                route=str(row.route),
                planning_g=row.planning_g,
                outside_mm=row.outside_mm,
                extra_minor=charge.extra_minor if charge else 0,
                overweight_minor=charge.overweight_minor if charge else 0,
                oversize_minor=charge.oversize_minor if charge else 0,
            )
        )
    return tuple(found)


def _rule_lines(fare: Fare) -> tuple[str, ...]:
    rule, leg = fare.rule, fare.legs[0]
    if rule.concept is Concept.PIECE:
        free = f"{fare.free_pieces} pieces free, each up to {kg_text(rule.free_weight_g)} kg"
    else:
        free = f"{kg_text(rule.free_weight_g)} kg free for the party together"
    legs = ", ".join(f"{each.name} {each.origin}-{each.destination}" for each in fare.legs)
    return (
        f"Rule {rule.name}: {free}; no piece above {kg_text(rule.most_weight_g)} kg. "
        f"{leg.people} people, {leg.free_cabin_pieces} cabin pieces free.",
        f"Flights: {legs}.",
    )


def _total_lines(found: PieceList, currency: str) -> tuple[str, ...]:
    charge = found.charge
    if charge is None:
        return ("No charge is planned for this leg.",)
    by_weight = (
        (f"By the kilo for the party: {money_text(charge.weight_minor, currency)}.",)
        if charge.weight_minor
        else ()
    )
    return (*by_weight, f"Expected together: {money_text(charge.total_minor, currency)}.")


_COLUMNS: tuple[Column[PieceRow], ...] = (
    Column("No.", Kind.COUNT, lambda r: r.number, 5),
    Column("Case", Kind.ID, lambda r: r.case, 14),
    Column("Description", Kind.TEXT, lambda r: r.description, 22),
    Column("Route", Kind.TEXT, lambda r: r.route, 8),
    Column("Planning weight", Kind.GRAMS, lambda r: r.planning_g, 12, summed=True),
    Column("Outside", Kind.TEXT, lambda r: size_text(r.outside_mm), 20),
    Column("Linear", Kind.CENTIMETRES, lambda r: r.linear_mm, 10),
    Column("Extra piece", Kind.MONEY, lambda r: r.extra_minor, 13, summed=True),
    Column("Overweight", Kind.MONEY, lambda r: r.overweight_minor, 13, summed=True),
    Column("Oversize", Kind.MONEY, lambda r: r.oversize_minor, 13, summed=True),
    Column("Together", Kind.MONEY, lambda r: r.total_minor, 13, summed=True),
    Column("Weighed", Kind.BLANK, lambda _: None, 10),
)
