"""The judge: every constraint checked, every charge recomputed, every stated figure compared.

In: a `Trip` and any `Plan`. Out: a `Verdict`. Nothing here comes from the solver or the reader.
"""

from __future__ import annotations

from dataclasses import replace

from packer.judge.carry import carry_breaches
from packer.judge.charges import HoldPiece, charges
from packer.judge.contents import contents_breaches, together_breaches
from packer.judge.coverage import choice_breaches, coverage_breaches
from packer.judge.figures import (
    charge_figures,
    cost_figures,
    cover_figures,
    notes,
    proof_figures,
    weight_figures,
)
from packer.judge.freight import FreightPiece, freight_minor
from packer.judge.hire import cover_costs, stop_costs
from packer.judge.identity import identity_breaches
from packer.judge.matched import Matched
from packer.judge.roles import role_breaches
from packer.judge.space import space_breaches
from packer.judge.verdict import Breach, StopCost, Verdict
from packer.judge.weights import size_breaches, weight_breaches
from packer.model.plan import Charge, Costs, Cover, Decision, Piece, Plan, Route
from packer.model.trip import Trip


def judge(trip: Trip, plan: Plan) -> Verdict:
    """Check a plan against its trip; never raises for what is wrong with the plan."""
    matched = Matched(trip, plan)
    charged = charges(trip, hold_pieces(matched))
    stops = stop_costs(matched)
    costs = _costs(matched, charged, stops)
    breaches = (*_constraints(matched), *_figures(matched, charged, costs))
    return Verdict(breaches, costs, charged, stops, tuple(notes(matched)))


def settle(trip: Trip, plan: Plan) -> Plan:
    """The plan with every figure put right: weights, costs of cover, charges, totals, currency.

    Lines that a hand-made plan leaves undecided get a decision. Decisions, cases, places, status
    and bound stay as they are, so the judge may still refuse the result.
    """
    matched = Matched(trip, plan)
    charged = charges(trip, hold_pieces(matched))
    return replace(
        plan,
        trip=plan.trip or trip.name,
        currency=trip.currency,
        costs=_costs(matched, charged, stop_costs(matched)),
        decisions=_settled_decisions(matched),
        pieces=tuple(_settled_piece(matched, piece) for piece in plan.pieces),
        charges=charged,
        stated_objective_minor=None,
        stated_cash_minor=None,
    )


def hold_pieces(matched: Matched) -> tuple[HoldPiece, ...]:
    """The plan's hold pieces as the airline weighs and measures them, in the plan's order."""
    return tuple(
        HoldPiece(piece.name, piece.planning_g, piece.case.outside.linear_mm)
        for piece in matched.by_route(Route.HOLD)
    )


def _constraints(matched: Matched) -> tuple[Breach, ...]:
    return (
        *identity_breaches(matched),
        *weight_breaches(matched),
        *size_breaches(matched),
        *contents_breaches(matched),
        *space_breaches(matched),
        *together_breaches(matched),
        *role_breaches(matched),
        *carry_breaches(matched),
        *choice_breaches(matched),
        *coverage_breaches(matched),
    )


def _figures(matched: Matched, charged: tuple[Charge, ...], costs: Costs) -> tuple[Breach, ...]:
    return (
        *weight_figures(matched),
        *cover_figures(matched),
        *charge_figures(matched, charged),
        *cost_figures(matched, costs),
        *proof_figures(matched, costs),
    )


def _costs(matched: Matched, charged: tuple[Charge, ...], stops: tuple[StopCost, ...]) -> Costs:
    return Costs(
        baggage_minor=sum(charge.total_minor for charge in charged),
        hire_minor=sum(stop.hire_minor for stop in stops),
        delivery_minor=sum(stop.delivery_minor for stop in stops),
        freight_minor=_freight_minor(matched),
        worth_minor=sum(stop.worth_minor for stop in stops),
    )


def _freight_minor(matched: Matched) -> int:
    if matched.trip.freight is None:
        return 0
    pieces = [
        FreightPiece(piece.name, piece.planning_g, piece.case.outside.sides)
        for piece in matched.by_route(Route.FREIGHT)
    ]
    return freight_minor(matched.trip.freight, pieces)


def _settled_decisions(matched: Matched) -> tuple[Decision, ...]:
    covers: dict[str, list[Cover]] = {}
    for each in cover_costs(matched):
        cover = replace(each.covered.cover, cost_minor=each.cost_minor)
        covers.setdefault(each.covered.gear.name, []).append(cover)
    return tuple(
        Decision(line.name, matched.flown[line.name], tuple(covers.get(line.name, ())))
        for line in matched.trip.gear
    )


def _settled_piece(matched: Matched, piece: Piece) -> Piece:
    loaded = next((each for each in matched.pieces if each.piece is piece), None)
    if loaded is None:
        return piece
    return replace(
        piece,
        empty_g=loaded.case.empty_g,
        contents_g=loaded.contents_g,
        planning_g=loaded.planning_g,
    )
