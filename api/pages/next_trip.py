"""The page Next trip: the same inventory and cases, new stops and legs."""

from __future__ import annotations

from fastapi import APIRouter, Request, UploadFile
from fastapi.responses import Response

from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.next_trip import begin

router = APIRouter(include_in_schema=False)


@router.get("/trips/{trip}/next")
def next_trip(request: Request, trip: TheTrip, desk: TheDesk, _person: Manager) -> Response:
    """Where to send the new stops and legs."""
    return show(request, "next.html", looking_at(desk, trip, None), step="", refused=None)


@router.post("/trips/{trip}/next")
def start(
    request: Request, trip: TheTrip, workbook: UploadFile, desk: TheDesk, person: Manager
) -> Response:
    """Start it; its page lists what no longer fits or lacks a price."""
    try:
        begun = begin(desk, trip, workbook.file.read(), person.name)
    except Refusal as refusal:
        looking = looking_at(desk, trip, None)
        return show(request, "next.html", looking, refusal.status, step="", refused=refusal.body)
    return go(step_url(begun.trip.id, ""))
