"""The page of lost cases: what each would mean, any two at once, and what to claim for one."""

from __future__ import annotations

from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from api.errors import Refusal
from api.pages.frame import looking_at, show
from api.routes.having import TheDesk, TheTrip
from api.routes.losses import claim_out, losses_out, pairs_out

router = APIRouter(include_in_schema=False)
Words = Annotated[str, Query(max_length=200)]


@router.get("/trips/{trip}/lost")
def lost(
    request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None, since: Words = ""
) -> Response:
    """What losing each case would mean at the stops ahead, then any two at once."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="cases")
    day = _day(since)
    return show(
        request,
        "lost.html",
        looking,
        step="cases",
        about=losses_out(desk, looking.plan, day),
        pairs=pairs_out(desk, looking.plan, day, 10),
        since=day,
    )


@router.get("/trips/{trip}/claim")
def claim(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    case: Words,
    plan: str | None = None,
    also: Words = "",
    day: Words = "",
    rate: Words = "",
) -> Response:
    """The claim list of a case that is gone, perhaps with another."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="cases")
    cases = (case, also) if also else (case,)
    refusal, sdr = None, _rate(rate)
    if rate and sdr is None:
        refusal = Refusal(422, "no-rate", f"{rate!r} is no rate; write it like 1.22.")
    made = desk.plan_of(looking.plan)
    return show(
        request,
        "claim.html",
        looking,
        step="cases",
        status=refusal.status if refusal else 200,
        claim=claim_out(desk, looking.plan, cases, _day(day), sdr),
        cases=[piece.case for piece in made.pieces if piece.contents],
        also=also,
        rate=rate if sdr is not None else "",
        refused=refusal.body if refusal else None,
    )


def _day(text: str) -> date | None:
    """A day as the browser sends it; None for nothing, or nothing that is one."""
    try:
        return date.fromisoformat(text.strip()) if text.strip() else None
    except ValueError:
        return None


def _rate(text: str) -> Decimal | None:
    """Trip currency for one special drawing right; None for what is none."""
    try:
        rate = Decimal(text.strip().replace(",", "."))
    except InvalidOperation:
        return None
    return rate if rate.is_finite() and 0 < rate <= 10**6 else None
