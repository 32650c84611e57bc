"""The page Papers: look at, print and download everything that a plan prints."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from api.pages.frame import looking_at, show
from api.routes.having import TheDesk, TheTrip
from api.routes.papers import papers_out

router = APIRouter(include_in_schema=False)

# What each file is for, by the beginning of its name; the longest beginning that fits counts.
PURPOSES = {
    "summary": "One page for the production manager: cost, proof, what was close",
    "manifest": "Every case with its contents and weights",
    "case-sheets": "One page a case: drawing, order of packing, weight against limits",
    "labels": "To stick on cases: id, weight, HEAVY, a code that works offline",
    "customs-list": "The list of goods for the border",
    "proforma": "What is used up, which the customs list may not carry",
    "hire-orders": "One order for each supplier and stop",
    "house-list": "To send back in the advance: what the house lends, what you bring",
    "piece-list": "For the airline: pieces, weights, sizes, expected charges",
    "battery-list": "For check-in: every battery and where it is",
    "insurance": "Values by case and by leg",
    "mains-and-radio": "Voltage, plugs and frequencies, stop by stop",
    "plan": "The plan itself, for other programs",
}


@router.get("/trips/{trip}/papers")
def papers(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="papers")
    about = papers_out(desk, looking.plan)
    return show(
        request,
        "papers.html",
        looking,
        step="papers",
        papers=[(paper, purpose(paper.name)) for paper in about.papers],
    )


def purpose(name: str) -> str:
    """What a file is for; empty for one that no line here knows."""
    known = [start for start in PURPOSES if name.startswith(start)]
    return PURPOSES[max(known, key=len)] if known else ""
