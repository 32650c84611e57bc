"""The page Decisions: every line by stop, both ways priced, locks, and the effect on the total."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import Response

from api.desk import Desk, ask_of_plan, edits_of_plan
from api.pages.frame import Looking, go, looking_at, show, step_url
from api.routes.decisions import ask_all_other_ways, ask_other_way, decisions_out
from api.routes.edits import set_lock, set_price, set_worth
from api.routes.having import Manager, TheDesk, TheTrip
from api.shapes.decisions import DecisionOut
from api.shapes.plans import PlanAsk
from api.shapes.trips import LockIn, PriceIn, WorthIn
from api.store.plans import PlanRow
from api.work.edits import Edits

router = APIRouter(include_in_schema=False)
Text = Annotated[str, Form(max_length=500)]
_CLOSE = 0.10  # of what hiring the line costs and gives up: as near to turning as a manager acts on


def is_close(line: DecisionOut) -> bool:
    """The other way was asked for and costs within a tenth of what is at stake on the line."""
    stake = line.cost_minor + line.worth_given_up_minor or line.cheapest_hire_minor or 0
    known = (other.most_minor for other in line.other_ways if other.most_minor is not None)
    return any(minor <= max(_CLOSE * stake, 1) for minor in known)


def is_surprising(line: DecisionOut) -> bool:
    """Flies though hiring costs nothing, or is hired though playing one's own has a worth."""
    if line.source != "either":
        return False
    if line.way == "fly":
        return line.cheapest_hire_minor == 0
    return line.worth_given_up_minor > 0


FILTERS: tuple[tuple[str, str, Callable[[DecisionOut], bool]], ...] = (
    ("all", "All lines", lambda _: True),
    ("covered", "Hired or house", lambda line: bool(line.covers)),
    ("fly", "Flies", lambda line: line.way in ("fly", "part")),
    ("locked", "Locked", lambda line: bool(line.lock)),
    ("close", "Close", is_close),
    ("surprising", "Surprising", is_surprising),
)


@router.get("/trips/{trip}/decisions")
def decisions(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    plan: str | None = None,
    show_only: Annotated[str, Query(alias="show")] = "all",
) -> Response:
    """The page."""
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="decisions")
    about = decisions_out(desk, looking.plan)
    wanted = next((one for one in FILTERS if one[0] == show_only), FILTERS[0])
    return show(
        request,
        "decisions.html",
        looking,
        step="decisions",
        about=about,
        lines=[line for line in about.decisions if wanted[2](line)],
        filters=[(k, name, sum(map(test, about.decisions))) for k, name, test in FILTERS],
        chosen=wanted[0],
        stops=[stop.name for stop in desk.trip_of_plan(looking.plan).stops],
        unsolved=count_unsolved(desk, looking.plan),
        before=_before(desk, looking),
    )


@router.post("/trips/{trip}/decisions/lock")
def lock(
    trip: TheTrip, desk: TheDesk, person: Manager, gear: Text, lock: Text, back: Text
) -> Response:
    """Lock a line, or let it go."""
    set_lock(trip, gear, LockIn(lock=lock), desk, person)  # type: ignore[arg-type]
    return go(_back(trip.id, back))


@router.post("/trips/{trip}/decisions/worth")
def worth(
    trip: TheTrip, desk: TheDesk, person: Manager, gear: Text, back: Text, worth: Text = ""
) -> Response:
    """Say what playing one's own is worth."""
    set_worth(trip, gear, WorthIn(worth=worth), desk, person)
    return go(_back(trip.id, back))


@router.post("/trips/{trip}/decisions/price")
def price(
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    stop: Text,
    target: Text,
    supplier: Text,
    back: Text,
    price: Text = "",
) -> Response:
    """Put another price on an offer."""
    set_price(trip, PriceIn(stop=stop, target=target, supplier=supplier, price=price), desk, person)
    return go(_back(trip.id, back))


@router.post("/trips/{trip}/decisions/other-way")
def other_way(
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    plan: Text,
    gear: Text,
    forced: Annotated[str, Form(pattern="^(fly|hire)$")],
    back: Text,
) -> Response:
    """What would the other way cost?"""
    row = looking_at(desk, trip, plan).plan
    assert row is not None
    ask_other_way(row, gear, forced, desk, person)  # type: ignore[arg-type]
    return go(_back(trip.id, back))


@router.post("/trips/{trip}/decisions/other-ways")
def all_other_ways(
    trip: TheTrip, desk: TheDesk, person: Manager, plan: Text, back: Text
) -> Response:
    """What would the other way cost, for every line at once?"""
    row = looking_at(desk, trip, plan).plan
    assert row is not None
    ask_all_other_ways(row, desk, person)
    return go(_back(trip.id, back))


@router.post("/trips/{trip}/decisions/solve")
def solve_again(trip: TheTrip, desk: TheDesk, person: Manager, plan: Text) -> Response:
    """Solve again from this plan, with all locks and prices that hold now."""
    looked_at = looking_at(desk, trip, plan).plan
    assert looked_at is not None
    asked = ask_of_plan(looked_at)
    kept = ("seconds", "most_pieces", "fly", "hire", "issued")
    ask = PlanAsk(keep=plan, **{name: getattr(asked, name) for name in kept})
    row = desk.ask_plan(trip.id, ask, person.name)
    return go(step_url(trip.id, "solve", row.id))


def count_unsolved(desk: Desk, plan: PlanRow) -> int:
    """How many locks, worths and prices differ from those that the plan was made with."""
    return len(_set(desk.standing_edits(plan.trip)) ^ _set(edits_of_plan(plan)))


def _set(edits: Edits) -> set[object]:
    return {*edits.locks, *edits.worths, *edits.prices}


def _before(desk: Desk, looking: Looking) -> int | None:
    """The change of the total since the finished plan before this one; None for the first."""
    assert looking.plan is not None
    rows = [row for row in desk.store.plans.of_trip(looking.trip.id) if row.plan_json is not None]
    older = [row for row in rows if row.seq < looking.plan.seq]
    if not older:
        return None
    now, before = desk.plan_of(looking.plan), desk.plan_of(older[0])
    return now.objective_minor - before.objective_minor


def _back(trip: str, query: str) -> str:
    """Back to the line on the page; the words come from our own form, and stay on our page."""
    return f"/trips/{trip}/decisions?{query.lstrip('?')}"
