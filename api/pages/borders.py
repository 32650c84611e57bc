"""The page Borders: which item numbers went out, in, out, home; what is missing; days left."""

from __future__ import annotations

import secrets
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from api.books import border_plan
from api.desk import Desk
from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.borders import border_out, correct, cross, issue, refused_out
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.papers import get_customs
from api.shapes.road import CorrectionIn, CrossingIn, IssueIn
from api.store.plans import PlanRow
from api.store.trips import TripRow
from packer.road.border_rules import last_valid_day
from packer.road.crossings import Step

router = APIRouter(include_in_schema=False)
Text = Annotated[str, Form(max_length=5000)]


@router.get("/trips/{trip}/borders")
def borders(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    return _page(request, trip, desk, plan)


@router.post("/trips/{trip}/borders/issue")
def issue_list(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    plan: Text,
    issued: Annotated[date, Form()],
    last_day: Annotated[date, Form()],
    reference: Text = "",
) -> Response:
    """The list was issued."""
    entry = IssueIn(key=_key(), reference=reference, issued=issued, last_day=last_day)
    try:
        issue(_row(desk, trip, plan), entry, desk, person)
    except Refusal as refusal:
        return _page(request, trip, desk, plan, refusal)
    return go(step_url(trip.id, "borders", plan))


@router.post("/trips/{trip}/borders/cross")
def enter_stamp(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    plan: Text,
    step: Text,
    country: Text,
    on: Annotated[date, Form()],
    items: Text,
    back_by: Text = "",
    note: Annotated[str, Form(max_length=500)] = "",
) -> Response:
    """A stamp was given."""
    try:
        entry = CrossingIn.model_validate(
            {
                "key": _key(),
                "step": step,
                "country": country.strip().upper(),
                "on": on,
                "items": items,
                "note": note,
                "back_by": back_by or None,
            }
        )
        cross(_row(desk, trip, plan), entry, desk, person)
    except Refusal as refusal:
        return _page(request, trip, desk, plan, refusal)
    except ValueError:
        message = "The country needs two letters, like NO, and the dates a day each."
        return _page(request, trip, desk, plan, Refusal(422, "no-stamp", message))
    return go(step_url(trip.id, "borders", plan))


@router.post("/trips/{trip}/borders/strike")
def strike(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    plan: Text,
    entry: Annotated[int, Form(ge=1)],
    reason: Annotated[str, Form(max_length=500)],
) -> Response:
    """A stamp was entered wrongly."""
    try:
        correction = CorrectionIn(key=_key(), entry=entry, reason=reason)
        correct(_row(desk, trip, plan), correction, desk, person)
    except Refusal as refusal:
        return _page(request, trip, desk, plan, refusal)
    return go(step_url(trip.id, "borders", plan))


def _page(
    request: Request, trip: TripRow, desk: Desk, plan: str | None, refusal: Refusal | None = None
) -> Response:
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="borders")
    today = date.today()
    return show(
        request,
        "borders.html",
        looking,
        step="borders",
        status=refusal.status if refusal else 200,
        border=border_out(desk, looking.plan),
        beyond=refused_out(desk, looking.plan),
        customs=get_customs(border_plan(desk, looking.plan), desk),
        carnet=desk.trip_of_plan(looking.plan).carnet,
        crossing_steps=[str(step) for step in Step],
        refused=refusal.body if refusal else None,
        today=today,
        latest=last_valid_day(today),
    )


def _row(desk: Desk, trip: TripRow, plan: str) -> PlanRow:
    row = looking_at(desk, trip, plan).plan
    assert row is not None
    return row


def _key() -> str:
    # A form sent twice by a double tap is refused by the ledger itself: the pieces are gone.
    return secrets.token_hex(16)
