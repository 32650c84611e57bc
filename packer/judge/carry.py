"""Routes: which way a case and its contents may travel, and what the law adds (constraint 7).

In: the plan laid beside its trip. Out: breaches. Freight is open to every case that is not a cabin
case, where the trip has a freight row; gear for the cabin and spare lithium never go by freight
(section 5.10).
"""

from __future__ import annotations

from collections.abc import Iterator

from packer.judge.batteries import is_forbidden, must_be_in_cabin
from packer.judge.matched import Loaded, Matched, Unit
from packer.judge.verdict import Breach
from packer.model.plan import Route
from packer.model.trip import Carry

ROUTES = {
    Carry.HOLD: (Route.HOLD, Route.FREIGHT),
    Carry.CABIN: (Route.CABIN,),
    Carry.EITHER: (Route.HOLD, Route.CABIN, Route.FREIGHT),
}


def carry_breaches(matched: Matched) -> Iterator[Breach]:
    """Routes of cases, routes of gear, and cabin pieces of every leg."""
    for piece in matched.pieces:
        yield from _case_route(matched, piece)
        for unit in piece.units:
            yield from _gear_route(piece, unit)
    yield from _cabin_pieces(matched)


def _case_route(matched: Matched, piece: Loaded) -> Iterator[Breach]:
    if piece.route not in ROUTES[piece.case.carry]:
        message = (
            f"Case {piece.name} is for {piece.case.carry}; the plan sends it by {piece.route}."
        )
        yield Breach("route-not-for-case", piece.name, message)
    if piece.route is Route.FREIGHT and matched.trip.freight is None:
        message = f"Case {piece.name} goes by freight, and the trip has no freight offer."
        yield Breach("no-freight-offer", piece.name, message)


def _gear_route(piece: Loaded, unit: Unit) -> Iterator[Breach]:
    line, where = unit.gear, f"case {piece.name}, which goes by {piece.route}"
    if is_forbidden(line):
        message = f"{unit.name} has a battery that no passenger may bring; it is in {where}."
        yield Breach("forbidden-battery-flies", line.name, message)
    if must_be_in_cabin(line):
        if piece.route is not Route.CABIN:
            message = f"{unit.name} is a spare lithium battery and in {where}, not by cabin."
            yield Breach("spare-lithium-outside-cabin", line.name, message)
    elif line.carry is Carry.CABIN and piece.route is not Route.CABIN:
        message = f"{unit.name} flies only in the cabin; it is in {where}."
        yield Breach("cabin-gear-outside-cabin", line.name, message)
    elif line.carry is Carry.HOLD and piece.route is Route.CABIN:
        message = f"{unit.name} never flies in the cabin; it is in {where}."
        yield Breach("hold-gear-in-cabin", line.name, message)


def _cabin_pieces(matched: Matched) -> Iterator[Breach]:
    count = len(matched.by_route(Route.CABIN))
    for leg in matched.trip.legs:
        if count > leg.free_cabin_pieces:
            message = (
                f"{count} pieces go in the cabin; leg {leg.name} allows {leg.free_cabin_pieces}."
            )
            yield Breach("too-many-cabin-pieces", leg.name, message, count, leg.free_cabin_pieces)
