"""The page Solve: the best so far, the bound, the gap closing, stop now; and all plans made."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from api.books import border_plan, issued_list
from api.desk import ask_of_plan
from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.nearer import nearer_out
from api.routes.plans import comparison
from api.routes.showing import plan_out
from api.shapes.plans import ComparisonOut, NearerOut, PlanAsk
from api.store.plans import PlanRow

router = APIRouter(include_in_schema=False)
_CHOICES = ((10, "10 seconds"), (30, "half a minute"), (120, "2 minutes"), (600, "10 minutes"))


@router.get("/trips/{trip}/solve")
def solve(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    plan: str | None = None,
    first: str | None = None,
    second: str | None = None,
) -> Response:
    """The page."""
    rows = desk.store.plans.of_trip(trip.id)
    looking = looking_at(desk, trip, plan)
    running = next((row for row in reversed(rows) if row.is_open), None)
    watched = looking.plan if plan else running or (rows[0] if rows else None)
    upload = desk.store.trips.upload(trip.id)
    return show(
        request,
        "solve.html",
        looking,
        step="solve",
        watched=plan_out(desk, watched) if watched else None,
        plans=[plan_out(desk, row) for row in rows],
        currency=desk.trip_of(upload).currency if not upload.code else "",
        upload=upload,
        choices=[one for one in _CHOICES if one[0] <= desk.settings.ceilings.solve_seconds],
        issued=_issued(desk, looking.plan),
        near=_near(desk, watched),
        compared=_compared(desk, rows, first, second),
        sides=(first, second),
    )


@router.post("/trips/{trip}/solve")
def start(
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    seconds: Annotated[float, Form(ge=1, le=3600)],
    keep: Annotated[str, Form(max_length=40)] = "",
    issued: Annotated[str, Form(max_length=40)] = "",
    why: Annotated[str, Form(max_length=500)] = "",
    pieces: Annotated[str, Form(pattern="^[0-9]{0,4}$")] = "",
) -> Response:
    """Ask for a plan."""
    ask = PlanAsk(
        seconds=seconds,
        keep=keep or None,
        issued=issued or None,
        why=why,
        most_pieces=int(pieces) if pieces else None,
    )
    row = desk.ask_plan(trip.id, ask, person.name)
    return go(step_url(trip.id, "solve", row.id))


@router.post("/trips/{trip}/solve/stop")
def stop(
    trip: TheTrip, desk: TheDesk, _person: Manager, plan: Annotated[str, Form(max_length=40)]
) -> Response:
    """Stop and keep the best so far."""
    row = desk.store.plans.get(plan)
    if row.trip != trip.id:
        raise Refusal(404, "not-found", f"There is no plan {plan!r} of this trip.")
    desk.queue.stop(plan)
    return go(step_url(trip.id, "solve", plan))


def _issued(desk: TheDesk, row: PlanRow | None) -> str | None:
    """The plan whose customs list was issued, where the one looked at goes by one."""
    holder = border_plan(desk, row) if row else None
    return holder.id if holder and issued_list(desk, holder) else None


def _near(desk: TheDesk, row: PlanRow | None) -> NearerOut | None:
    """What staying nearer still costs, where the plan looked at was asked to stay near one."""
    if row is None or row.plan_json is None or ask_of_plan(row).keep is None:
        return None
    try:
        return nearer_out(desk, row)
    except Refusal:  # it took too long: the page is of use without it
        return None


def _compared(
    desk: TheDesk, rows: tuple[PlanRow, ...], first: str | None, second: str | None
) -> ComparisonOut | None:
    by_id = {row.id: row for row in rows if row.plan_json is not None}
    if first not in by_id or second not in by_id:
        return None
    return comparison(desk, by_id[first], by_id[second])
