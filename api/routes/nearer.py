"""Staying near an earlier plan: how far a plan moved from it, and what nearer still would cost."""

from __future__ import annotations

from fastapi import APIRouter

from api.desk import Desk, ask_of_plan
from api.errors import ERRORS, Refusal
from api.routes import API
from api.routes.having import TheDesk, ThePlan
from api.shapes.plans import NearerOut, NearerStepOut
from api.store.plans import PlanRow
from packer.papers.units import decimals_of
from packer.road.nearer import Nearer, nearer

router = APIRouter(prefix=API, tags=["plans"], responses=ERRORS)
_SECONDS = 30.0


@router.get("/plans/{plan}/nearer")
def get_nearer(plan: ThePlan, desk: TheDesk) -> NearerOut:
    """For a plan that was asked to stay near another: objects moved, and fewer at what price."""
    return nearer_out(desk, plan)


def nearer_out(desk: Desk, plan: PlanRow) -> NearerOut:
    """Worked out in another process and kept, since it never changes; raises Refusal."""
    made, kept = desk.plan_of(plan), ask_of_plan(plan).keep
    if kept is None:
        raise Refusal(409, "not-kept-near", "This plan was not asked to stay near another.")
    keep, trip = desk.plan_of(desk.store.plans.get(kept)), desk.trip_of_plan(plan)
    found: Nearer = desk.kept(
        ("nearer", plan.id), lambda: desk.run_thinker(nearer, trip, keep, made, seconds=_SECONDS)
    )
    return NearerOut(
        plan=plan.id,
        keep=kept,
        currency=made.currency,
        decimals=decimals_of(made.currency),
        moved=found.moved,
        steps=[
            NearerStepOut(moves=step.moves, more_minor=step.more_minor, proved=step.proved)
            for step in found.steps
        ],
    )
