"""The page What if: one thing changed at a time, and what a little more would save."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.studies import study_out
from api.shapes.studies import StudyOut
from api.work.studying import MARGINS, SWEEP

router = APIRouter(include_in_schema=False)
SECONDS = 5.0


@router.get("/trips/{trip}/what-if")
def what_if(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None or looking.plan.plan_json is None:
        return show(request, "no-plan.html", looking, step="decisions")
    studies = [study_out(desk, row) for row in desk.store.studies.of_plan(looking.plan.id)]
    return show(
        request,
        "what-if.html",
        looking,
        step="decisions",
        sweep=_newest(studies, SWEEP),
        margins=_newest(studies, MARGINS),
    )


@router.post("/trips/{trip}/what-if")
def ask(
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    plan: Annotated[str, Form(max_length=40)],
    kind: Annotated[str, Form(pattern="^(sweep|margins)$")],
) -> Response:
    """Ask for a study."""
    row = looking_at(desk, trip, plan).plan
    if row is None:
        raise Refusal(409, "no-plan", "There is no plan yet.")
    desk.ask_study(row, kind, SECONDS, person.name)
    return go(step_url(trip.id, "what-if", plan) + f"#{kind}")


@router.post("/trips/{trip}/what-if/stop")
def stop(
    trip: TheTrip, desk: TheDesk, _person: Manager, study: Annotated[str, Form(max_length=40)]
) -> Response:
    """Stop with what is there."""
    row = desk.store.studies.get(study)
    if desk.store.plans.get(row.plan).trip != trip.id:
        raise Refusal(404, "not-found", f"There is no study {study!r} of this trip.")
    desk.studies.stop(study)
    return go(step_url(trip.id, "what-if", row.plan) + f"#{row.kind}")


def _newest(studies: list[StudyOut], kind: str) -> StudyOut | None:
    return next((one for one in studies if one.kind == kind), None)
