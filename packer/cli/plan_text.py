"""A plan as a production manager reads it in a terminal: the money, the pieces, what is hired."""

from __future__ import annotations

from packer.cli.talk import counted, table
from packer.model.plan import Costs, Plan, Status
from packer.model.trip import Trip
from packer.papers.units import kg_text, money_text


def plan_lines(trip: Trip, plan: Plan) -> list[str]:
    """The whole plan in some thirty lines."""
    return [
        _heading(trip, plan),
        "",
        *cost_lines(plan.costs, plan.currency),
        "",
        *_piece_lines(trip, plan),
        *_hire_lines(trip, plan),
    ]


def proof_text(plan: Plan) -> str:
    """How good the plan is known to be, as a sentence."""
    if plan.status is Status.OPTIMAL:
        return "Proved: no plan costs less."
    bound = money_text(plan.bound_minor, plan.currency)
    spare = money_text(plan.objective_minor - plan.bound_minor, plan.currency)
    return f"Not proved: the best plan costs at least {bound}, so at most {spare} can be saved."


def cost_lines(costs: Costs, currency: str) -> list[str]:
    """The money by kind, in trip currency."""
    rows = [
        ("Baggage", costs.baggage_minor),
        ("Hire", costs.hire_minor),
        ("Delivery", costs.delivery_minor),
        ("Freight", costs.freight_minor),
        ("Cash", costs.cash_minor),
        ("Worth given up", costs.worth_minor),
        ("In all", costs.objective_minor),
    ]
    return table([(name, money_text(minor, currency)) for name, minor in rows], right=(1,))


def _heading(trip: Trip, plan: Plan) -> str:
    total_g = sum(piece.planning_g for piece in plan.pieces)
    units = sum(line.quantity for line in trip.gear)
    flown = sum(decision.flown for decision in plan.decisions)
    return (
        f"{trip.name}: {flown} of {units} units fly in {counted(len(plan.pieces), 'piece')}, "
        f"{kg_text(total_g)} kg. {proof_text(plan)}"
    )


def _piece_lines(trip: Trip, plan: Plan) -> list[str]:
    rows = [("Case", "Goes by", "kg", "What it is", "Objects")]
    for piece in plan.pieces:
        case = trip.case_named(piece.case)
        rows.append(
            (
                piece.case,
                str(piece.route),
                kg_text(piece.planning_g),
                case.description,
                str(len(piece.contents)),
            )
        )
    return table(rows, right=(2, 4))


def _hire_lines(trip: Trip, plan: Plan) -> list[str]:
    rows = [("Stop", "Supplier", "Units", "What", "Cost")]
    for stop in trip.stops:
        for decision in plan.decisions:
            for cover in decision.covers:
                if cover.stop == stop.name:
                    what = trip.gear_named(decision.gear).description
                    cost = money_text(cover.cost_minor, plan.currency)
                    rows.append((stop.name, cover.supplier, str(cover.units), what, cost))
    return ["", *table(rows, right=(2, 4))] if len(rows) > 1 else []
