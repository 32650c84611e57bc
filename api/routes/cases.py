"""Cases of a plan: weights against limits, contents step by step, the drawing."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import Response

from api.desk import Desk
from api.errors import ERRORS, not_found
from api.routes import API
from api.routes.having import TheDesk, ThePlan
from api.shapes.cases import CaseContentsOut, CaseOut, CasesOut, LimitOut, StepOut
from api.shapes.texts import CaseId
from api.store.plans import PlanRow
from packer.model.plan import Packed, Piece, Plan
from packer.model.trip import Trip
from packer.papers.drawing import case_svg
from packer.papers.tables.cases import CaseRow, ContentRow, case_rows, content_rows, limits_of

router = APIRouter(prefix=API, tags=["cases"], responses=ERRORS)
KEEP = "private, max-age=604800, immutable"
Upto = Annotated[int | None, Query(ge=1, le=10_000, description="So many objects only")]


@router.get("/plans/{plan}/cases")
def list_cases(plan: ThePlan, desk: TheDesk) -> CasesOut:
    """All cases that travel, each against its limits."""
    trip, made = desk.trip_of_plan(plan), desk.plan_of(plan)
    pieces = {piece.case: piece for piece in made.pieces}
    cases = [case_out(trip, pieces[row.case], row) for row in case_rows(trip, made)]
    return CasesOut(plan=plan.id, cases=cases)


@router.get("/plans/{plan}/cases/{case}")
def get_case(plan: ThePlan, case: CaseId, desk: TheDesk) -> CaseContentsOut:
    """One case with its contents in packing order."""
    return contents_out(desk, plan, case)


def contents_out(desk: Desk, row: PlanRow, case: str) -> CaseContentsOut:
    """One case; raises Refusal where the plan does not use it."""
    trip, plan = desk.trip_of_plan(row), desk.plan_of(row)
    piece = piece_named(plan, case)
    about = next(found for found in case_rows(trip, plan) if found.case == case)
    inside = trip.case_named(case).inside
    return CaseContentsOut(
        plan=row.id,
        case=case_out(trip, piece, about),
        inside_mm=list(inside.sides) if inside else None,
        steps=[
            step_out(packed, content)
            for packed, content in zip(piece.contents, content_rows(trip, piece), strict=True)
        ],
    )


def piece_named(plan: Plan, case: str) -> Piece:
    """The piece of a case; raises Refusal where the plan does not use it."""
    for piece in plan.pieces:
        if piece.case == case and piece.contents:
            return piece
    raise not_found("case", case)


def case_out(trip: Trip, piece: Piece, row: CaseRow) -> CaseOut:
    """A case against its limits."""
    return CaseOut(
        case=row.case,
        description=row.description,
        number=row.number,
        count=row.count,
        route=str(row.route),  # type: ignore[arg-type]
        objects=row.objects,
        empty_g=row.empty_g,
        contents_g=row.contents_g,
        margin_g=row.margin_g,
        planning_g=row.planning_g,
        limits=[
            LimitOut(grams=limit.grams, origin=limit.origin, refused=limit.refused)
            for limit in limits_of(trip, piece)
        ],
        left_g=row.left_g,
        outside_mm=list(row.outside_mm),
    )


def step_out(packed: Packed, row: ContentRow) -> StepOut:
    """One object of a case."""
    place = packed.place
    return StepOut(
        number=row.number,
        gear=row.gear,
        unit=packed.unit,
        label=row.label,
        description=row.description,
        serial=row.serial,
        weight_g=row.weight_g,
        turn=row.turn,
        at_mm=list(place.at_mm) if place else None,
        size_mm=list(place.size_mm) if place else None,
        marks=row.marks,
        role=row.role,
    )


@router.get(
    "/plans/{plan}/cases/{case}/drawing.svg",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {}}}},
)
def get_drawing(plan: ThePlan, case: CaseId, desk: TheDesk, upto: Upto = None) -> Response:
    """The open case with its contents; `upto` shows one step of packing, that object dark."""
    piece = piece_named(desk.plan_of(plan), case)
    svg = case_svg(desk.trip_of_plan(plan), piece, upto=upto)
    # A plan never changes, so a phone may keep its drawings for when the network is gone.
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": KEEP})
