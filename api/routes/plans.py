"""Plans: ask for one, follow it as it is solved, stop early and keep the best, compare."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response, StreamingResponse

from api.desk import Desk
from api.differences import changes_between
from api.errors import ERRORS
from api.routes import API
from api.routes.having import Looker, Manager, TheDesk, ThePlan, TheTrip
from api.routes.showing import plan_out
from api.safety.identity import check_trip
from api.shapes.plans import ComparisonOut, PlanAsk, PlanOut, PlansOut
from api.store.plans import PlanRow

router = APIRouter(prefix=API, tags=["plans"], responses=ERRORS)
_LOOK_SECONDS = 0.5
# A stream that nobody closes must not last for ever; the browser opens it again by itself.
_MOST_SECONDS = 1800.0
_JSON = "application/json"
PlanQuery = Annotated[str, Query(pattern="^[a-z0-9]{1,40}$", description="A plan's id")]


@router.post("/trips/{trip}/plans", status_code=202)
def ask_for_plan(trip: TheTrip, ask: PlanAsk, desk: TheDesk, person: Manager) -> PlanOut:
    """Start a solve, or put it into the queue. Once answered it is not lost, come what may."""
    return plan_out(desk, desk.ask_plan(trip.id, ask, person.name))


@router.get("/trips/{trip}/plans")
def list_plans(trip: TheTrip, desk: TheDesk) -> PlansOut:
    """The plans of a trip, newest first."""
    rows = desk.store.plans.of_trip(trip.id)
    return PlansOut(trip=trip.id, plans=[plan_out(desk, row) for row in rows])


@router.get("/plans/{plan}")
def get_plan(plan: ThePlan, desk: TheDesk) -> PlanOut:
    """Where a plan stands and what came of it."""
    return plan_out(desk, plan)


@router.get("/plans/{plan}/plan.json", response_class=Response)
def get_plan_file(plan: ThePlan, desk: TheDesk) -> Response:
    """The plan as the command writes it."""
    desk.plan_of(plan)
    return Response(plan.plan_json, media_type=_JSON)


@router.post("/plans/{plan}/stop", status_code=202)
def stop_plan(plan: ThePlan, desk: TheDesk, _person: Manager) -> PlanOut:
    """Stop early and keep the best so far; a plan that has ended stays as it is."""
    desk.queue.stop(plan.id)
    return plan_out(desk, desk.store.plans.get(plan.id))


@router.get(
    "/plans/{plan}/progress",
    response_class=StreamingResponse,
    responses={200: {"content": {"text/event-stream": {}}, "description": "PlanOut per event"}},
)
async def follow_plan(plan: ThePlan, desk: TheDesk) -> StreamingResponse:
    """Server-sent events: `progress` whenever something changed, `end` with the result."""

    def state() -> tuple[str, bool]:
        row = desk.store.plans.get(plan.id)
        return plan_out(desk, row).model_dump_json(), not row.is_open

    return StreamingResponse(told_as_events(state), media_type="text/event-stream")


async def told_as_events(state: Callable[[], tuple[str, bool]]) -> AsyncIterator[str]:
    """A state (its JSON, whether it is the last) as server-sent events, whenever it changes."""
    last = ""
    for _ in range(int(_MOST_SECONDS / _LOOK_SECONDS)):
        text, ended = await asyncio.to_thread(state)
        if text != last:
            last = text
            yield f"event: {'end' if ended else 'progress'}\ndata: {text}\n\n"
        else:
            yield ": still here\n\n"
        if ended:
            return
        await asyncio.sleep(_LOOK_SECONDS)


@router.get("/comparison")
def compare(first: PlanQuery, second: PlanQuery, desk: TheDesk, person: Looker) -> ComparisonOut:
    """Two plans side by side, also of different trips."""
    rows = [desk.store.plans.get(key) for key in (first, second)]
    for row in rows:
        check_trip(person, row.trip)
    return comparison(desk, rows[0], rows[1])


def comparison(desk: Desk, first: PlanRow, second: PlanRow) -> ComparisonOut:
    """What the second plan does otherwise than the first."""
    one, other = desk.plan_of(first), desk.plan_of(second)
    return ComparisonOut(
        first=plan_out(desk, first),
        second=plan_out(desk, second),
        objective_minor=other.objective_minor - one.objective_minor,
        cash_minor=other.costs.cash_minor - one.costs.cash_minor,
        pieces=len(other.pieces) - len(one.pieces),
        changes=changes_between(one, other),
    )
