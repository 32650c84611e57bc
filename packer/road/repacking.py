"""From counts to a plan again: which objects move, and where they lie in their new case.

An object that no case is to hold any more stays behind: its move has no target.

In: a plan and how many units of each line are to be in each case. Out: the moves, and the plan
after them. Of identical units the ones packed last move first, since they lie on top. A case that
only loses objects keeps everything else where it is; one that gains is packed afresh.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import chain, repeat

from packer.geometry import Fitter, Item, Place, arrange
from packer.judge import settle
from packer.model.plan import UNSTATED, Packed, Piece, Plan, Route
from packer.model.trip import Case, CaseKind, Gear, Trip
from packer.road.leaving import with_left

Contents = Mapping[str, Mapping[str, int]]
"""Units by case, then by gear."""


@dataclass(frozen=True, slots=True)
class Move:
    """One object that ends in another case, or stays behind (`target` is empty then)."""

    gear: str
    unit: int
    source: str
    target: str

    @property
    def stays(self) -> bool:
        """True where the object does not travel any more."""
        return not self.target

    @property
    def cases(self) -> tuple[str, ...]:
        """The cases that are opened for it."""
        return (self.source,) if self.stays else (self.source, self.target)


class NoPlaceError(RuntimeError):
    """A case was to be packed with what no packing is known for."""


def contents_of(plan: Plan) -> dict[str, Counter[str]]:
    """Units by case, then by gear, as a plan has them."""
    found: dict[str, Counter[str]] = {}
    for piece in plan.pieces:
        found.setdefault(piece.case, Counter()).update(p.gear for p in piece.contents)
    return found


def moves_between(plan: Plan, wanted: Contents) -> tuple[Move, ...]:
    """The fewest moves from a plan to the wanted contents, by gear, then by case.

    ValueError where more units are wanted than the plan flies.
    """
    here = contents_of(plan)
    moves: list[Move] = []
    for gear in sorted({gear for inside in here.values() for gear in inside}):
        leaving = [
            (piece.case, unit)
            for piece in plan.pieces
            for unit in _leaving(piece, gear, wanted.get(piece.case, {}).get(gear, 0))
        ]
        arriving = [
            case
            for case in wanted
            for _ in range(wanted[case].get(gear, 0) - here.get(case, Counter())[gear])
        ]
        if len(arriving) > len(leaving):
            raise ValueError(f"more of {gear} is wanted than flies")
        moves += [
            Move(gear, unit, source, target)
            for (source, unit), target in zip(leaving, chain(arriving, repeat("")), strict=False)
        ]
    return tuple(moves)


def _leaving(piece: Piece, gear: str, staying: int) -> list[int]:
    units = [packed.unit for packed in piece.contents if packed.gear == gear]
    return units[staying:]


def repacked(
    trip: Trip, plan: Plan, moves: tuple[Move, ...], routes: Mapping[str, Route], fitter: Fitter
) -> Plan:
    """The plan after the moves, its figures put right by the judge; what stays behind is hired.

    `routes`: how a case travels that was empty before. Raises `NoPlaceError` where no packing of
    a case that gains objects is found, ValueError where no offers cover what stays behind.
    """
    known = [piece.case for piece in plan.pieces]
    gaining = dict.fromkeys(move.target for move in moves if not move.stays)
    fresh = [case for case in gaining if case not in known]
    pieces = [_after(trip, piece, moves, fitter) for piece in plan.pieces]
    pieces += [_after(trip, _empty(case, routes[case]), moves, fitter) for case in fresh]
    left = Counter(move.gear for move in moves if move.stays)
    packed = replace(plan, pieces=tuple(piece for piece in pieces if piece.contents))
    return settle(trip, with_left(trip, packed, left))


def _empty(case: str, route: Route) -> Piece:
    return Piece(case, route, UNSTATED, UNSTATED, UNSTATED, ())


def _after(trip: Trip, piece: Piece, moves: tuple[Move, ...], fitter: Fitter) -> Piece:
    gone = {(move.gear, move.unit) for move in moves if move.source == piece.case}
    come = [Packed(move.gear, move.unit) for move in moves if move.target == piece.case]
    kept = tuple(p for p in piece.contents if (p.gear, p.unit) not in gone)
    if not come:
        return replace(piece, contents=kept)
    lines = {line.name: line for line in trip.gear}
    together = [*kept, *come]
    return replace(piece, contents=_packed(trip, piece.case, together, lines, fitter))


def _packed(
    trip: Trip, name: str, units: list[Packed], lines: Mapping[str, Gear], fitter: Fitter
) -> tuple[Packed, ...]:
    case = trip.case_named(name)
    rigid = [unit for unit in units if is_rigid(lines[unit.gear])]
    loose = [replace(unit, place=None) for unit in units if not is_rigid(lines[unit.gear])]
    loose.sort(key=lambda unit: -lines[unit.gear].weight_g)
    return (*_placed(case, rigid, lines, fitter), *loose)


def _placed(
    case: Case, units: list[Packed], lines: Mapping[str, Gear], fitter: Fitter
) -> tuple[Packed, ...]:
    """Rigid units in a box, in the order in which they are lowered in."""
    if not units or case.kind is not CaseKind.BOX or case.inside is None:
        return tuple(units)
    items = [item_of(lines[unit.gear]) for unit in units]
    places = fitter.decide(case.inside.sides, items).places
    if places is None:
        raise NoPlaceError(case.name)
    better = arrange(case.inside.sides, items, fitter.clearance_mm, places, fitter.seed)
    return tuple(replace(units[k], place=_plain(better.places[k])) for k in better.order)


def _plain(place: Place) -> Place:
    """Places from compiled code hold plain integers in plan.json."""
    x, y, z = (int(value) for value in place.at_mm)
    length, width, height = (int(value) for value in place.size_mm)
    return Place((x, y, z), (length, width, height))


def is_rigid(line: Gear) -> bool:
    """True for a unit that needs a place in a box."""
    return line.case_kind is CaseKind.BOX and not line.soft


def item_of(line: Gear) -> Item:
    """The packing core's view of a rigid unit; ValueError without all three lengths."""
    if line.size is None:
        raise ValueError(f"{line.name}: box gear must have all three lengths")
    return Item(line.size.sides, line.upright, line.fragile, line.weight_g)
