"""A sensible invented trip in which the rules find nothing to warn of, and ways to change it.

In: changes to single cells. Out: findings of the rules on the workbook as read, and the cells
they point at. All data in here is invented.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from openpyxl.utils import get_column_letter

from packer.model.finding import Finding, Severity
from packer.model.plan import (
    Costs,
    Decision,
    Packed,
    Piece,
    Plan,
    Route,
    SolverNote,
    Status,
)
from packer.model.trip import Trip
from packer.reading import read_trip
from packer.rules import check_plan, check_trip
from support.workbooks import Sheets, headings_of, minimal_trip, write_csv_folder

Change = Callable[[Sheets], None]


def sensible_trip() -> Sheets:
    """A fresh copy of a trip from Germany to Switzerland with everything filled in."""
    sheets = minimal_trip()
    sheets["Trip"] += [
        {"Field": "Carnet holder", "Value": "Invented Brass Collective"},
        {"Field": "Carnet number", "Value": "INVENTED-7"},
        {"Field": "Carnet issued", "Value": "2026-06-15"},
    ]
    for row in sheets["Legs"]:
        row |= {"Free cabin pieces": 2, "People": 3, "Ticket": None}
    for row in sheets["Gear"]:
        row |= {"Value": 900, "Origin": "DE"}
    for row in sheets["Cases"]:
        row |= {"Description": "Trunk", "Value": 150, "Origin": "DE"}
    return sheets


def line(**cells: Any) -> Change:
    """Add a gear line `NEW` to the trip, with these cells by heading; it can only fly."""

    def change(sheets: Sheets) -> None:
        base = {
            "Gear": "NEW",
            "Description": "Cowbell",
            "Quantity": 1,
            "Weight": 1,
            "Length": 20,
            "Width": 15,
            "Height": 10,
            "Value": 50,
            "Origin": "DE",
            "Source": "fly",
            **dict.fromkeys(("Battery", "Battery Wh", "Battery g lithium", "Battery spare")),
            **dict.fromkeys(("Serials", "Consumable")),
        }
        sheets["Gear"].append(base | {key.replace("_", " "): cell for key, cell in cells.items()})

    return change


def cell(sheet: str, row: int, heading: str, value: Any) -> Change:
    """Set a cell; `row` counts data rows from 0."""

    def change(sheets: Sheets) -> None:
        sheets[sheet][row][heading] = value

    return change


def field(name: str, value: Any) -> Change:
    """Set a field of the Trip sheet; None takes it away."""

    def change(sheets: Sheets) -> None:
        rows = [row for row in sheets["Trip"] if row["Field"] != name]
        sheets["Trip"] = rows if value is None else [*rows, {"Field": name, "Value": value}]

    return change


def add(sheet: str, **cells: Any) -> Change:
    """Add a row to a sheet."""

    def change(sheets: Sheets) -> None:
        row = {
            key.replace("_", " ").replace("Cut off", "Cut-off"): held for key, held in cells.items()
        }
        sheets.setdefault(sheet, []).append(row)

    return change


def changed(*changes: Change) -> Sheets:
    """The sensible trip after these changes."""
    sheets = sensible_trip()
    for change in changes:
        change(sheets)
    return sheets


def read(sheets: Sheets) -> Trip:
    """The trip as read from a folder of these sheets; fails where reading finds an error."""
    with tempfile.TemporaryDirectory() as folder:
        reading = read_trip(write_csv_folder(Path(folder) / "trip", sheets))
    errors = [held.line() for held in reading.findings if held.severity is Severity.ERROR]
    assert reading.trip is not None, errors
    return reading.trip


def place(sheets: Sheets, sheet: str, row: int, heading: str) -> str:
    """The cell as findings print it; `row` counts data rows from 0, -1 is the last."""
    if sheet == "Trip":
        names = [held["Field"] for held in sheets["Trip"]]
        return f"trip!Trip!B{names.index(heading) + 2}"
    rows = sheets[sheet]
    column = get_column_letter(headings_of(rows).index(heading) + 1)
    return f"trip!{sheet}!{column}{(row if row >= 0 else len(rows) + row) + 2}"


def at(findings: Iterable[Finding], code: str) -> list[str]:
    """Where the findings of a code point."""
    return [str(held.where) for held in findings if held.code == code]


@dataclass(frozen=True)
class PieceOf:
    """A piece of a hand-made plan: its case, route, planning weight and units of lines."""

    case: str
    route: Route
    planning_g: int
    units: tuple[tuple[str, int], ...]


def plan_of(trip: Trip, *pieces: PieceOf, made: str = "2026-06-20T10:00:00+00:00") -> Plan:
    """A plan that flies exactly what the pieces hold; its money is not worked out."""
    flown = dict.fromkeys((held.name for held in trip.gear), 0)
    for piece in pieces:
        for name, units in piece.units:
            flown[name] += units
    return Plan(
        holdall="0",
        trip=trip.name,
        input_sha256=trip.input_sha256,
        made=made,
        status=Status.FEASIBLE,
        currency=trip.currency,
        costs=Costs(0, 0, 0, 0, 0),
        bound_minor=0,
        decisions=tuple(Decision(name, units) for name, units in flown.items()),
        pieces=tuple(_piece(piece) for piece in pieces),
        charges=(),
        findings=(),
        solver=SolverNote(0.0, 1, 0, "", 0.0),
    )


def _piece(piece: PieceOf) -> Piece:
    packed = tuple(
        Packed(name, number) for name, units in piece.units for number in range(1, units + 1)
    )
    return Piece(piece.case, piece.route, 0, 0, piece.planning_g, packed)


def trip_findings(sheets: Sheets) -> tuple[Finding, ...]:
    """What the rules find in the trip."""
    return check_trip(read(sheets))


def plan_findings(
    sheets: Sheets, *pieces: PieceOf, made: str = "2026-06-20"
) -> tuple[Finding, ...]:
    """What the rules find in a plan of these pieces, beyond what they find in the trip."""
    trip = read(sheets)
    return check_plan(trip, plan_of(trip, *pieces, made=f"{made}T10:00:00+00:00"))
