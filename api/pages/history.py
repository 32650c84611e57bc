"""The page History: who did what to a trip, when and why."""

from __future__ import annotations

import json

from fastapi import APIRouter, Request
from fastapi.responses import Response

from api.pages.frame import looking_at, show
from api.routes.having import TheDesk, TheTrip
from api.routes.history import history_out
from api.store.trips import Upload

router = APIRouter(include_in_schema=False)


@router.get("/trips/{trip}/history")
def history(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    upload = desk.store.trips.upload(trip.id)
    return show(
        request,
        "history.html",
        looking_at(desk, trip, plan),
        step="",
        history=history_out(desk, trip),
        currency=_currency(upload),
    )


def _currency(upload: Upload) -> str:
    return str(json.loads(upload.facts).get("currency", ""))
