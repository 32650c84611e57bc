"""A plan as a production manager reads it in a terminal: the money, the pieces, what is hired."""

from __future__ import annotations

import textwrap

from packer.cli.talk import counted, table, width
from packer.model.plan import Costs, Cover, Plan, Status
from packer.model.trip import Trip
from packer.papers.units import kg_text, money_text


def plan_lines(trip: Trip, plan: Plan) -> list[str]:
    """The whole plan in some thirty lines."""
    return [
        *_heading(trip, plan),
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


def _heading(trip: Trip, plan: Plan) -> list[str]:
    total_g = sum(piece.planning_g for piece in plan.pieces)
    units = sum(line.quantity for line in trip.gear)
    flown = sum(decision.flown for decision in plan.decisions)
    text = (
        f"{trip.name}: {flown} of {units} units fly in {counted(len(plan.pieces), 'piece')}, "
        f"{kg_text(total_g)} kg."
    )
    return [*textwrap.wrap(text, width()), *textwrap.wrap(proof_text(plan), width())]


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
    """One line a stop and supplier; the hire orders have the rest."""
    covers = [(cover, decision.gear) for decision in plan.decisions for cover in decision.covers]
    if not covers:
        return []
    rows = [("Stop", "Supplier", "Lines", "Units", "Cost")]
    for stop in trip.stops:
        here = [cover for cover, _ in covers if cover.stop == stop.name]
        for supplier in dict.fromkeys(cover.supplier for cover in here):
            taken = [cover for cover in here if cover.supplier == supplier]
            rows.append(_hire_row(stop.name, supplier, taken, plan.currency))
    return ["", *table(rows, right=(2, 3, 4)), "", *_staying_lines(trip, plan)]


def _hire_row(
    stop: str, supplier: str, taken: list[Cover], currency: str
) -> tuple[str, str, str, str, str]:
    units = sum(cover.units for cover in taken)
    cost = money_text(sum(cover.cost_minor for cover in taken), currency)
    return (stop, supplier, str(len(taken)), str(units), cost)


def _staying_lines(trip: Trip, plan: Plan) -> list[str]:
    """The gear that does not fly, or not all of it, wrapped."""
    left = [(trip.gear_named(d.gear), d.flown) for d in plan.decisions]
    staying = [
        line.description if not flown else f"{line.quantity - flown} x {line.description}"
        for line, flown in left
        if flown < line.quantity
    ]
    text = f"Not flown: {'; '.join(staying)}."
    return textwrap.wrap(text, width(), subsequent_indent="  ")
