"""Decisions of a plan: every line fly, hire or house, what each way costs, what is locked."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Query

from api.books import OTHER_WAYS
from api.desk import Desk, edits_of_plan
from api.errors import ERRORS, Refusal, not_found
from api.routes import API
from api.routes.having import Manager, TheDesk, ThePlan
from api.shapes.decisions import (
    CoverOut,
    DecisionOut,
    DecisionsOut,
    OfferOut,
    OtherWayOut,
    OtherWaysOut,
)
from api.shapes.texts import GearId
from api.store.events import EventRow
from api.store.plans import PlanRow
from api.work.edits import Edits, offer_key
from api.work.otherway import OtherWay, all_other_ways, other_way
from packer.model.plan import Cover, Decision
from packer.model.solving import Limits
from packer.model.trip import Choice, Gear, Offer, Trip
from packer.papers.tables.hire import HOUSE
from packer.papers.units import decimals_of

router = APIRouter(prefix=API, tags=["decisions"], responses=ERRORS)
_GRACE_SECONDS = 30.0
Forced = Annotated[Literal["fly", "hire"], Query(description="The way to force the line")]
Seconds = Annotated[float, Query(ge=1, le=60, description="Time for the search")]


@router.get("/plans/{plan}/decisions")
def list_decisions(plan: ThePlan, desk: TheDesk) -> DecisionsOut:
    """Every line of the trip by row, with what each way costs."""
    return decisions_out(desk, plan)


@router.post("/plans/{plan}/other-ways/{gear}")
def ask_other_way(
    plan: ThePlan,
    gear: GearId,
    forced: Forced,
    desk: TheDesk,
    person: Manager,
    seconds: Seconds = 10,
) -> OtherWayOut:
    """What the total would be with this line forced the other way, proved by solving again."""
    made, (trip, wishes) = desk.plan_of(plan), desk.as_asked(plan)
    _check_source(trip, gear, forced)
    limits = Limits(seconds, desk.settings.ceilings.solver_workers)
    found: OtherWay = desk.run_thinker(
        other_way,
        trip,
        made,
        gear,
        forced,
        wishes,
        limits,
        seconds=seconds + _GRACE_SECONDS,
    )
    out = _other_way_out(found)
    _keep(desk, plan, [out], person.name)
    return out


@router.post("/plans/{plan}/other-ways")
def ask_all_other_ways(
    plan: ThePlan, desk: TheDesk, person: Manager, seconds: Seconds = 30
) -> OtherWaysOut:
    """The other way of every line at once, and the hire price at which each decision turns."""
    made, (trip, wishes) = desk.plan_of(plan), desk.as_asked(plan)
    limits = Limits(seconds, desk.settings.ceilings.solver_workers)
    found: tuple[OtherWay, ...] = desk.run_thinker(
        all_other_ways,
        trip,
        made,
        limits,
        wishes,
        seconds=seconds + 2 * _GRACE_SECONDS,
    )
    out = [_other_way_out(one) for one in found]
    _keep(desk, plan, out, person.name)
    return OtherWaysOut(plan=plan.id, ways=out)


def _check_source(trip: Trip, gear: str, forced: str) -> None:
    try:
        choice = trip.gear_named(gear).choice
    except KeyError:
        raise not_found("gear line", gear) from None
    if choice is not Choice.EITHER and forced != str(choice):
        message = f"{gear} has {choice!s} as its Source in the workbook."
        raise Refusal(409, "source-fixed", message, remedy="Change the Source cell.")


def _keep(desk: Desk, plan: PlanRow, out: list[OtherWayOut], who: str) -> None:
    def entries(rows: tuple[EventRow, ...]) -> list[tuple[str, str]]:
        numbered = enumerate(out, start=len(rows) + 1)
        return [(f"{number}", one.model_dump_json()) for number, one in numbered]

    desk.store.events.enter(plan.trip, plan.id, OTHER_WAYS, entries, who)


def decisions_out(desk: Desk, plan: PlanRow) -> DecisionsOut:
    """Every line by row, as the plan has it, with what is locked and edited now."""
    made, trip = desk.plan_of(plan), desk.trip_of_plan(plan)
    decided = {decision.gear: decision for decision in made.decisions}
    standing = desk.standing_edits(plan.trip)
    asked = _asked(desk, plan)
    return DecisionsOut(
        plan=plan.id,
        currency=trip.currency,
        decimals=decimals_of(trip.currency),
        decisions=[
            _decision_out(trip, line, decided[line.name], standing, edits_of_plan(plan), asked)
            for line in trip.gear
            if line.name in decided
        ],
    )


def _asked(desk: Desk, plan: PlanRow) -> dict[str, list[OtherWayOut]]:
    """The last answer for each line and way."""
    rows = desk.store.events.of(plan.id, OTHER_WAYS)
    found = (OtherWayOut(**json.loads(row.entry)) for row in rows)
    last = {(one.gear, one.forced): one for one in found}
    by_line: dict[str, list[OtherWayOut]] = {}
    for (gear, _), one in sorted(last.items()):
        by_line.setdefault(gear, []).append(one)
    return by_line


def _decision_out(
    trip: Trip,
    line: Gear,
    decision: Decision,
    standing: Edits,
    used: Edits,
    asked: Mapping[str, list[OtherWayOut]],
) -> DecisionOut:
    covers = [cover for cover in decision.covers if cover.units]
    offers = [offer for offer in trip.offers if offer.target in (line.name, line.kit)]
    prices = dict(used.prices)
    return DecisionOut(
        gear=line.name,
        description=line.description,
        category=line.category,
        quantity=line.quantity,
        flown=decision.flown,
        way=way_of(line, decision),  # type: ignore[arg-type]
        source=str(line.choice),  # type: ignore[arg-type]
        lock=dict(standing.locks).get(line.name, ""),  # type: ignore[arg-type]
        weight_g=line.weight_g,
        worth_minor=line.worth_minor,
        worth_edited=line.name in dict(used.worths),
        needed_at=list(line.needed_at),
        covers=[_cover_out(cover) for cover in covers],
        cost_minor=sum(cover.cost_minor for cover in covers),
        worth_given_up_minor=line.worth_minor * sum(cover.units for cover in covers),
        cheapest_hire_minor=_cheapest(line, offers),
        offers=[_offer_out(offer, offer_key(offer) in prices) for offer in offers],
        other_ways=asked.get(line.name, []),
    )


def way_of(line: Gear, decision: Decision) -> str:
    """In a word: fly, hire, house, part (some of each) or home (not needed, stays)."""
    suppliers = {cover.supplier.casefold() for cover in decision.covers if cover.units}
    if decision.flown == line.quantity:
        return "fly"
    if decision.flown:
        return "part"
    if not suppliers:
        return "home"
    return "house" if suppliers == {HOUSE} else "hire"


def _cheapest(line: Gear, offers: list[Offer]) -> int | None:
    """The least that covering all units at all stops costs by this line's own offers."""
    total = 0
    for stop in line.needed_at:
        own = sorted(
            (offer for offer in offers if offer.stop == stop and not offer.is_kit),
            key=lambda offer: offer.price.minor,
        )
        left = line.quantity
        for offer in own:
            units = left if offer.available is None else min(left, offer.available)
            total, left = total + units * offer.price.minor, left - units
        if left:
            return None
    return total


def _cover_out(cover: Cover) -> CoverOut:
    return CoverOut(
        stop=cover.stop,
        supplier=cover.supplier,
        target=cover.target,
        units=cover.units,
        cost_minor=cover.cost_minor,
    )


def _offer_out(offer: Offer, edited: bool) -> OfferOut:
    return OfferOut(
        stop=offer.stop,
        target=offer.target,
        supplier=offer.supplier,
        price_minor=offer.price.minor,
        available=offer.available,
        edited=edited,
    )


def _other_way_out(found: OtherWay) -> OtherWayOut:
    return OtherWayOut(
        gear=found.gear,
        forced=found.forced,  # type: ignore[arg-type]
        code=found.code,
        least_minor=found.least_minor,
        most_minor=found.most_minor,
        exact=found.least_minor is not None and found.least_minor == found.most_minor,
        turns_least_minor=found.turns_least_minor,
        turns_most_minor=found.turns_most_minor,
        message=found.message,
    )
