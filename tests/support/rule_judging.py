"""Invented trips with nothing but one line on them, what the judge says of a plan, what is planned.

In: sheets of `rule_trips` and pieces of a plan made by hand. Out: the judge's refusals and charges
after the plan went through plan.json, and where the solver puts the line.
"""

from __future__ import annotations

from decimal import Decimal

from packer.judge import Verdict, judge, settle
from packer.model.plan import Route
from packer.model.plan_json import plan_from_json, plan_to_json
from packer.model.solving import Limits
from packer.pipeline import Planned, solve
from support.rule_trips import Change, PieceOf, changed, line, plan_of, read
from support.workbooks import Sheets


def alone(*changes: Change) -> Sheets:
    """The sensible trip with no gear and no offers but what these changes add, soft and small."""
    return changed(_emptied, *changes, _soft)


def _emptied(sheets: Sheets) -> None:
    sheets["Gear"] = []
    for name in ("Offers", "Suppliers"):
        del sheets[name]


def _soft(sheets: Sheets) -> None:
    """Soft goods need no place in a plan made by hand."""
    for row in sheets["Gear"]:
        row["Form"] = "soft"


def judged(sheets: Sheets, *pieces: PieceOf) -> Verdict:
    """The judge on a plan.json with these pieces; its weights and money are put right first."""
    trip = read(sheets)
    plan = settle(trip, plan_of(trip, *pieces))
    return judge(trip, plan_from_json(plan_to_json(plan)))


def refusals(sheets: Sheets, *pieces: PieceOf) -> set[str]:
    """The codes of what the judge refuses in such a plan; empty where it accepts it."""
    return {breach.code for breach in judged(sheets, *pieces).breaches}


def in_trunk(route: Route, units: int = 1, gear: str = "NEW") -> PieceOf:
    """The first trunk with so many units of a line; `settle` works out its weight."""
    return PieceOf("TRUNK-1", route, 0, ((gear, units),))


def of_weight(planning_kg: str, **cells: object) -> Change:
    """A line that makes the first trunk weigh so much: 6.5 kg empty and 0.5 kg for the scale."""
    return line(Weight=str(Decimal(planning_kg) - 7), **cells)


def planned(sheets: Sheets) -> Planned:
    """What the whole program makes of the trip, within seconds on one core."""
    return solve(read(sheets), limits=Limits(seconds=10, workers=1))


def routes_of(held: Planned, gear: str = "NEW") -> set[Route]:
    """The routes of the pieces that have a unit of the line in them; none without a plan."""
    pieces = held.plan.pieces if held.plan else ()
    return {piece.route for piece in pieces if gear in {unit.gear for unit in piece.contents}}
