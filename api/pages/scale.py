"""The page Scale: type what the scale says; what it breaks; the fewest moves that mend it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from api.desk import Desk, edits_of_plan
from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.cases import list_cases
from api.routes.having import Packer, TheDesk, TheTrip
from api.routes.scale import scale_out, take_mend, weigh_cases
from api.shapes.road import TakeIn, WeighedCaseIn, WeighedObjectIn, WeighIn
from api.store.trips import TripRow
from api.work.edits import BadFigureError, grams_of

router = APIRouter(include_in_schema=False)


@router.get("/trips/{trip}/scale")
def scale(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    return _page(request, trip, desk, plan)


@router.post("/trips/{trip}/scale")
def weigh(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Packer,
    plan: Annotated[str, Form(max_length=40)],
    case: Annotated[list[str], Form(max_length=1000)],
    kg: Annotated[list[str], Form(max_length=1000)],
    all_fly: Annotated[bool, Form()] = False,
    gear: Annotated[str, Form(max_length=200)] = "",
    gear_kg: Annotated[str, Form(max_length=40)] = "",
) -> Response:
    """What the scale says, a case and its kilograms in turn; empty for what was not weighed."""
    typed = {name: said for name, said in zip(case, kg, strict=False) if said.strip()}
    row = looking_at(desk, trip, plan).plan
    if row is None:
        raise Refusal(409, "no-plan", "There is no plan yet.")
    try:
        weighed = [WeighedCaseIn(case=name, grams=grams_of(said)) for name, said in typed.items()]
        objects = [WeighedObjectIn(gear=gear, grams=grams_of(gear_kg))] if gear_kg.strip() else []
    except BadFigureError as error:
        return _page(request, trip, desk, plan, Refusal(422, "no-weight", f"{error}."), typed)
    if not weighed and not objects:
        refusal = Refusal(
            422, "no-weight", "Type what the scale says of one case or object at least."
        )
        return _page(request, trip, desk, plan, refusal, typed)
    weigh_cases(row, WeighIn(cases=weighed, objects=objects, all_fly=all_fly), desk, person)
    return go(step_url(trip.id, "scale", plan) + "#found")


@router.post("/trips/{trip}/scale/take")
def take(
    trip: TheTrip,
    desk: TheDesk,
    person: Packer,
    plan: Annotated[str, Form(max_length=40)],
    number: Annotated[int, Form(ge=1, le=100)],
) -> Response:
    """Take one of the ways; packing goes on with the new plan."""
    row = looking_at(desk, trip, plan).plan
    if row is None:
        raise Refusal(409, "no-plan", "There is no plan yet.")
    new = take_mend(row, TakeIn(number=number), desk, person)
    return go(step_url(trip.id, "cases", new.id))


def _page(
    request: Request,
    trip: TripRow,
    desk: Desk,
    plan: str | None,
    refusal: Refusal | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="scale")
    about = scale_out(desk, looking.plan)
    before = {one.case: f"{one.grams / 1000:g}" for one in about.weighed}
    return show(
        request,
        "scale.html",
        looking,
        step="scale",
        status=refusal.status if refusal else 200,
        about=about,
        cases=list_cases(looking.plan, desk).cases,
        typed=typed if typed is not None else before,
        flown=[d.gear for d in desk.plan_of(looking.plan).decisions if d.flown],
        has_tares=bool(edits_of_plan(looking.plan).tares) or bool(about.number),
        refused=refusal.body if refusal else None,
    )
