"""Studies of a plan: asked for, followed, stopped, and the sweep's picture."""

from __future__ import annotations

import json
from typing import Annotated

from fastapi import APIRouter, Depends
from fastapi.responses import Response, StreamingResponse

from api.desk import Desk
from api.errors import ERRORS, Refusal
from api.routes import API
from api.routes.having import Looker, Manager, TheDesk, ThePlan
from api.routes.plans import told_as_events
from api.safety.identity import check_trip
from api.shapes.studies import MarginOut, StudiesOut, StudyAsk, StudyOut, WhatIfOut
from api.shapes.texts import StudyId
from api.store.studies import StudyRow
from api.work.studying import MARGINS, SWEEP
from packer.papers.drawing.what_if import Figures, what_if_picture
from packer.papers.units import decimals_of

router = APIRouter(prefix=API, tags=["studies"], responses=ERRORS)


def _the_study(study: StudyId, desk: TheDesk, person: Looker) -> StudyRow:
    row = desk.store.studies.get(study)
    check_trip(person, desk.store.plans.get(row.plan).trip)
    return row


TheStudy = Annotated[StudyRow, Depends(_the_study)]


@router.post("/plans/{plan}/studies", status_code=202)
def ask_for_study(plan: ThePlan, ask: StudyAsk, desk: TheDesk, person: Manager) -> StudyOut:
    """Start a study beside everything else, or put it into the queue."""
    return study_out(desk, desk.ask_study(plan, ask.kind, ask.seconds, person.name))


@router.get("/plans/{plan}/studies")
def list_studies(plan: ThePlan, desk: TheDesk) -> StudiesOut:
    """The studies of a plan, newest first."""
    rows = desk.store.studies.of_plan(plan.id)
    return StudiesOut(plan=plan.id, studies=[study_out(desk, row) for row in rows])


@router.get("/studies/{study}")
def get_study(study: TheStudy, desk: TheDesk) -> StudyOut:
    """How far it has come, with every line found."""
    return study_out(desk, study)


@router.post("/studies/{study}/stop", status_code=202)
def stop_study(study: TheStudy, desk: TheDesk, _person: Manager) -> StudyOut:
    """Stop with what is there; one that has ended stays as it is."""
    desk.studies.stop(study.id)
    return study_out(desk, desk.store.studies.get(study.id))


@router.get(
    "/studies/{study}/progress",
    response_class=StreamingResponse,
    responses={200: {"content": {"text/event-stream": {}}, "description": "StudyOut per event"}},
)
async def follow_study(study: TheStudy, desk: TheDesk) -> StreamingResponse:
    """Server-sent events: `progress` whenever something changed, `end` with the result."""

    def state() -> tuple[str, bool]:
        row = desk.store.studies.get(study.id)
        return study_out(desk, row).model_dump_json(), not row.is_open

    return StreamingResponse(told_as_events(state), media_type="text/event-stream")


@router.get(
    "/studies/{study}/picture.svg",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {}}}},
)
def get_picture(study: TheStudy, desk: TheDesk) -> Response:
    """A sweep's totals as bars of cash and worth given up, the plan as it stands first."""
    if study.kind != SWEEP:
        raise Refusal(409, "no-picture", "Only a sweep has a picture.")
    row = desk.store.plans.get(study.plan)
    plan = desk.plan_of(row)
    rows = [
        Figures("as it stands", plan.costs.cash_minor, plan.costs.worth_minor),
        *(
            Figures(line["name"], line["cash_minor"], line["worth_minor"])
            for line in json.loads(study.result)
        ),
    ]
    picture = what_if_picture(plan.trip, plan.currency, rows)
    return Response(picture, media_type="image/svg+xml", headers={"Cache-Control": "no-cache"})


def study_out(desk: Desk, row: StudyRow) -> StudyOut:
    """A study as a shape."""
    plan = desk.plan_of(desk.store.plans.get(row.plan))
    lines = json.loads(row.result)
    margins = [MarginOut(**line) for line in lines] if row.kind == MARGINS else []
    margins.sort(key=lambda m: (-(m.saves_least_minor or 0), -m.saves_most_minor, m.name))
    return StudyOut(
        id=row.id,
        plan=row.plan,
        kind=row.kind,  # type: ignore[arg-type]
        seconds=row.seconds,
        state=row.state,  # type: ignore[arg-type]
        doing=row.doing,
        stopping=bool(row.stop_asked) and row.is_open,
        code=row.code,
        message=row.message,
        currency=plan.currency,
        decimals=decimals_of(plan.currency),
        objective_minor=plan.objective_minor,
        what_ifs=[WhatIfOut(**line) for line in lines] if row.kind == SWEEP else [],
        margins=margins,
        made=row.made,
        made_by=row.made_by,
        ended=row.ended,
    )
