"""An invented large trip and a plan by hand: 60 boxes and 500 objects, eight or nine to a box."""

from __future__ import annotations

from dataclasses import replace

from packer.model.plan import Charge, Costs, Decision, Packed, Piece, Place, Plan, Route, Status
from packer.model.trip import Box, Case, CaseKind, Gear, Trip
from support.sample_trip import STOPS, euro, sample_plan, sample_trip

CASES, UNITS, EACH = 60, 500, 5
_GRID = (3, 3)
_SIDE_MM = 200


def large_trip() -> Trip:
    """500 objects on 100 lines; every box is 62 x 62 x 30 cm inside."""
    gear = tuple(
        Gear(
            f"OBJ-{line:03}",
            f"Invented object of line {line}, with a description of usual length",
            EACH,
            900 + line,
            "invented",
            Box(_SIDE_MM, _SIDE_MM, 120),
            fragile=line % 4 == 0,
            role=f"role {line % 12}",
            role_needs=1,
            needed_at=STOPS,
            value=euro("120"),
            origin="DE",
            serials=tuple(f"S{line:03}-{unit}" for unit in range(1, EACH + 1)),
        )
        for line in range(UNITS // EACH)
    )
    cases = tuple(
        Case(
            f"BOX-{number}",
            "BOX",
            CaseKind.BOX,
            Box(660, 660, 340),
            6000,
            "Invented box",
            inside=Box(620, 620, 300),
            value=euro("90"),
            origin="PL",
        )
        for number in range(1, CASES + 1)
    )
    return replace(sample_trip(), gear=gear, cases=cases, offers=(), deliveries=(), freight=None)


def large_plan(trip: Trip) -> Plan:
    """Units dealt out to the boxes in turn, on a grid of nine places."""
    dealt: dict[str, list[Packed]] = {case.name: [] for case in trip.cases}
    names = list(dealt)
    units = [(line, unit) for line in trip.gear for unit in range(1, line.quantity + 1)]
    for index, (line, unit) in enumerate(units):
        inside = dealt[names[index % CASES]]
        column, row = len(inside) % _GRID[0], len(inside) // _GRID[0]
        at = (column * (_SIDE_MM + 5), row * (_SIDE_MM + 5), 0)
        inside.append(Packed(line.name, unit, Place(at, (_SIDE_MM, _SIDE_MM, 120))))
    pieces = tuple(_piece(trip, case, tuple(packed)) for case, packed in dealt.items())
    return replace(
        sample_plan(),
        status=Status.FEASIBLE,
        costs=Costs(0, 0, 0, 0, 0),
        bound_minor=0,
        decisions=tuple(Decision(line.name, line.quantity) for line in trip.gear),
        pieces=pieces,
        charges=(Charge("F1", CASES, 0, 0, 0, 0, 0), Charge("F2", CASES, 0, 0, 0, 0, 0)),
    )


def _piece(trip: Trip, case: str, packed: tuple[Packed, ...]) -> Piece:
    contents_g = sum(trip.gear_named(one.gear).weight_g for one in packed)
    empty_g = trip.case_named(case).empty_g
    planning_g = empty_g + contents_g + trip.scale_margin_g
    return Piece(case, Route.HOLD, empty_g, contents_g, planning_g, packed)
