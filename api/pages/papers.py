"""The page Papers: look at, print and download everything that a plan prints."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from fastapi import APIRouter, Request
from fastapi.responses import Response

from api.pages.frame import looking_at, show
from api.routes.having import TheDesk, TheTrip
from api.routes.papers import papers_out
from api.shapes.cases import PaperOut

router = APIRouter(include_in_schema=False)

# What each paper is for, by its file's name without the ending, in the order people want them.
PURPOSES = {
    "summary": ("Summary", "One page for the production manager: cost, proof, what was close"),
    "case-sheets": ("Case sheets", "One page a case: drawing, order of packing, limits"),
    "manifest": ("Manifest", "Every case with its contents and weights"),
    "labels-a6": ("Case labels, A6", "Id, weight, HEAVY, a code that works offline"),
    "labels-a5": ("Case labels, A5", "The same, larger"),
    "object-labels-a6": ("Object labels", "One for every object that flies"),
    "customs-list": ("Customs list", "The list of goods for the border"),
    "proforma": ("Proforma", "What is used up, which the customs list may not carry"),
    "hire-orders": ("Hire orders", "One for each supplier and stop"),
    "house-list": ("House list", "To send back in the advance: what we take, what we bring"),
    "airline-piece-list": ("Airline piece list", "Pieces, weights, sizes, expected charges by leg"),
    "battery-list": ("Battery list", "For check-in: every battery and where it is"),
    "insurance-list": ("Insurance list", "Values by case and by leg"),
    "mains-and-radio": ("Mains and radio", "Voltage, plugs and frequencies, stop by stop"),
    "weights": ("Picture of weights", "All cases against their limits"),
    "money": ("Picture of money", "By stop"),
    "plan": ("The plan itself", "For other programs"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One paper in each form that it was written in."""

    name: str
    purpose: str
    forms: tuple[PaperOut, ...]


@router.get("/trips/{trip}/papers")
def papers(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="papers")
    about = papers_out(desk, looking.plan)
    return show(request, "papers.html", looking, step="papers", rows=rows_of(about.papers))


def rows_of(papers: Iterable[PaperOut]) -> list[Row]:
    """The papers that belong together on one row, known ones first."""
    forms: dict[str, list[PaperOut]] = {stem: [] for stem in PURPOSES}
    for paper in papers:
        forms.setdefault(PurePosixPath(paper.name).stem, []).append(paper)
    return [
        Row(*PURPOSES.get(stem, (stem, "")), tuple(sorted(found, key=_looked_at_first)))
        for stem, found in forms.items()
        if found
    ]


def _looked_at_first(paper: PaperOut) -> tuple[bool, str]:
    return (not paper.name.endswith((".pdf", ".svg")), paper.name)
