"""What flies, looked up both ways: the flown units with their cases, and what each is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packer.model.plan import Packed, Piece, Plan, Route
from packer.model.serials import says_no_serial
from packer.model.trip import Case, Gear, Stop, Trip
from packer.papers.units import natural

_ROUTE_ORDER = {Route.HOLD: 0, Route.CABIN: 1, Route.FREIGHT: 2}


@dataclass(frozen=True, slots=True)
class FlownUnit:
    """One flown unit, its line, and the piece it is in."""

    gear: Gear
    unit: int
    piece: Piece
    packed: Packed

    @property
    def serial(self) -> str:
        """The serial of this unit, '' where none is known; serials stand in order of units."""
        return serial_of(self.gear, self.unit)

    @property
    def label(self) -> str:
        """The id of the unit: the line's id, with the unit's number where there are several."""
        return unit_label(self.gear, self.unit)


def serial_of(gear: Gear, unit: int) -> str:
    """The serial of a unit counted from 1; '' where the line gives fewer, or states none."""
    serial = gear.serials[unit - 1].strip() if unit <= len(gear.serials) else ""
    return "" if says_no_serial(serial) else serial


def unit_label(gear: Gear, unit: int) -> str:
    """'TRB-2' for the second of several, the plain id for a line of one."""
    return f"{gear.name}-{unit}" if gear.quantity > 1 else gear.name


def pieces_in_order(plan: Plan) -> tuple[Piece, ...]:
    """The pieces that travel, by route (hold, cabin, freight), then by case id."""
    filled = (piece for piece in plan.pieces if piece.contents)
    return tuple(sorted(filled, key=lambda p: (_ROUTE_ORDER[p.route], natural(p.case))))


def stops_in_order(trip: Trip) -> tuple[Stop, ...]:
    """The stops by date, then name."""
    return tuple(sorted(trip.stops, key=lambda stop: (stop.date, natural(stop.name))))


def flown_units(trip: Trip, plan: Plan) -> tuple[FlownUnit, ...]:
    """Every flown unit, piece by piece in packing order."""
    lines = {line.name: line for line in trip.gear}
    return tuple(_units(lines, plan))


def _units(lines: dict[str, Gear], plan: Plan) -> Iterator[FlownUnit]:
    for piece in pieces_in_order(plan):
        for packed in piece.contents:
            yield FlownUnit(lines[packed.gear], packed.unit, piece, packed)


def flown_counts(plan: Plan) -> dict[str, int]:
    """How many units of each line fly."""
    return {decision.gear: decision.flown for decision in plan.decisions}


def flying_cases(trip: Trip, plan: Plan) -> tuple[tuple[Case, Piece], ...]:
    """The cases that travel, each with its piece, in the order of the pieces."""
    cases = {case.name: case for case in trip.cases}
    return tuple((cases[piece.case], piece) for piece in pieces_in_order(plan))
