"""Decisions that were close: lines that fly and whose hiring would have cost hardly more.

For a line that flies whole and could be hired everywhere, taking it out of its cases and hiring
it is a plan too; its cost is an upper bound of what hiring would really cost after packing
anew. Where that bound is within a tenth of the plan's total, the decision was close.
"""

from __future__ import annotations

from dataclasses import dataclass

from packer.judge.charges import HoldPiece, charges
from packer.model.plan import Plan, Route
from packer.model.trip import Choice, Gear, Offer, Trip
from packer.papers.table import Column, Kind, Table
from packer.papers.tables.flown import flown_counts
from packer.papers.units import money_text

CLOSE_TENTHS = 1  # of the plan's total


@dataclass(frozen=True, slots=True)
class CloseDecision:
    """A flown line and the most that hiring it instead would add to the total."""

    gear: str
    description: str
    at_most_minor: int

    def sentence(self, currency: str) -> str:
        """The bound in words."""
        more = money_text(self.at_most_minor, currency)
        return f"at most {more} more: {self.gear} {self.description} hired"


def close_decisions(trip: Trip, plan: Plan) -> tuple[CloseDecision, ...]:
    """The close lines, closest first."""
    counts = flown_counts(plan)
    limit = plan.objective_minor * CLOSE_TENTHS // 10
    found = []
    for line in trip.gear:
        if line.choice is not Choice.EITHER or counts.get(line.name) != line.quantity:
            continue
        hire = _hire_minor(trip, plan, line)
        if hire is None:
            continue
        more = hire - _saved_minor(trip, plan, line)
        if 0 <= more <= limit:
            found.append(CloseDecision(line.name, line.description, more))
    return tuple(sorted(found, key=lambda row: (row.at_most_minor, row.gear)))


def close_table(trip: Trip, plan: Plan) -> Table[CloseDecision]:
    """The close decisions, all of them."""
    return Table(
        name="Close decisions",
        title="Lines that fly and could nearly as well be hired",
        columns=_COLUMNS,
        rows=close_decisions(trip, plan),
        currency=plan.currency,
        below=(
            "Upper bounds: with the line out of its cases and the rest left as packed. "
            "`holdall why` proves the exact figure.",
        ),
        total_label="",
    )


def _hire_minor(trip: Trip, plan: Plan, line: Gear) -> int | None:
    """Hire, delivery where new, and worth at every stop; None where a stop has no such offer."""
    total = 0
    for stop in line.needed_at:
        offers = [offer for offer in trip.offers if _takes(offer, line, stop)]
        if not offers:
            return None
        total += min(_price(trip, plan, offer, line.quantity) for offer in offers)
        total += line.worth_minor * line.quantity
    return total if line.needed_at else None


def _takes(offer: Offer, line: Gear, stop: str) -> bool:
    enough = offer.available is None or offer.available >= line.quantity
    return (offer.stop, offer.target, offer.is_kit) == (stop, line.name, False) and enough


def _price(trip: Trip, plan: Plan, offer: Offer, units: int) -> int:
    known = any(
        cover.units and (cover.stop, cover.supplier) == (offer.stop, offer.supplier)
        for decision in plan.decisions
        for cover in decision.covers
    )
    delivery = sum(
        each.price.minor
        for each in trip.deliveries
        if (each.stop, each.supplier) == (offer.stop, offer.supplier)
    )
    return offer.price.minor * units + (0 if known else delivery)


def _saved_minor(trip: Trip, plan: Plan, line: Gear) -> int:
    """What the airlines charge less with the line out of its cases, emptied cases left at home."""
    now = charges(trip, _hold(trip, plan, None))
    then = charges(trip, _hold(trip, plan, line.name))
    return sum(each.total_minor for each in now) - sum(each.total_minor for each in then)


def _hold(trip: Trip, plan: Plan, without: str | None) -> list[HoldPiece]:
    pieces = []
    for piece in plan.pieces:
        gone = sum(1 for packed in piece.contents if packed.gear == without)
        if piece.route is not Route.HOLD or gone == len(piece.contents):
            continue
        lighter = gone * trip.gear_named(without).weight_g if without else 0
        linear = trip.case_named(piece.case).outside.linear_mm
        pieces.append(HoldPiece(piece.case, piece.planning_g - lighter, linear))
    return pieces


_COLUMNS: tuple[Column[CloseDecision], ...] = (
    Column("Gear", Kind.ID, lambda r: r.gear, 16),
    Column("Description", Kind.TEXT, lambda r: r.description, 40),
    Column("Hiring adds at most", Kind.MONEY, lambda r: r.at_most_minor, 20),
)
