"""The page Cases: all cases against their limits, and each opened step by step to be ticked.

Everything about all cases stands in the one page, so that nothing has to be fetched when the
phone's network is gone.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from api.desk import Desk
from api.errors import Refusal
from api.pages.frame import go, looking_at, show, step_url
from api.routes.cases import contents_out, list_cases
from api.routes.having import Packer, TheDesk, TheTrip
from api.routes.packing import packing_out, tell_packing
from api.shapes.cases import CaseOut
from api.shapes.packing import ExcuseIn, PackingBatchIn, PackingIn
from api.store.plans import PlanRow
from api.store.trips import TripRow

router = APIRouter(include_in_schema=False)


@router.get("/trips/{trip}/cases")
def cases(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """The page."""
    return _page(request, trip, desk, plan)


def _page(
    request: Request, trip: TripRow, desk: Desk, plan: str | None, refusal: Refusal | None = None
) -> Response:
    looking = looking_at(desk, trip, plan)
    if looking.plan is None:
        return show(request, "no-plan.html", looking, step="cases")
    row = looking.plan
    packing = packing_out(desk, row)
    contents = [contents_out(desk, row, case.case) for case in list_cases(row, desk).cases]
    return show(
        request,
        "cases.html",
        looking,
        step="cases",
        contents=contents,
        bars={one.case.case: bar(one.case) for one in contents},
        packing=packing,
        packed={
            case.case: {f"{unit.gear}#{unit.unit}" for unit in case.packed}
            for case in packing.cases
        },
        progress={case.case: case for case in packing.cases},
        refused=refusal.body if refusal else None,
        status=refusal.status if refusal else 200,
    )


@router.post("/trips/{trip}/cases")
def save_ticks(
    trip: TheTrip,
    desk: TheDesk,
    person: Packer,
    plan: Annotated[str, Form(max_length=40)],
    case: Annotated[str, Form(max_length=200)],
    packed: Annotated[list[str], Form(max_length=10_000)] = [],  # noqa: B006 - read only
) -> Response:
    """Ticks from a browser without script: the whole list of a case as it was sent."""
    row = looking_at(desk, trip, plan).plan
    if row is None:
        raise Refusal(409, "no-plan", "There is no plan yet.")
    batch = PackingBatchIn(entries=list(_changes(desk, row, case, set(packed))))
    tell_packing(row, batch, desk, person)
    return go(step_url(trip.id, "cases", plan) + f"#case-{case}")


@router.post("/trips/{trip}/cases/lid")
def close_or_open(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Packer,
    plan: Annotated[str, Form(max_length=40)],
    case: Annotated[str, Form(max_length=200)],
    closed: Annotated[bool, Form()] = True,
    reason: Annotated[str, Form(max_length=500)] = "",
) -> Response:
    """Close a case, with whatever is still out excused by name and a reason, or open it again."""
    row = looking_at(desk, trip, plan).plan
    if row is None:
        raise Refusal(409, "no-plan", "There is no plan yet.")
    now = next((one for one in packing_out(desk, row).cases if one.case == case), None)
    out = now.out if now and closed else []
    lid = PackingIn(
        key=secrets.token_hex(16),
        kind="lid",
        case=case,
        at=datetime.now(UTC),
        closed=closed,
        excuses=[ExcuseIn(gear=one.gear, unit=one.unit, reason=reason) for one in out],
    )
    after = tell_packing(row, PackingBatchIn(entries=[lid]), desk, person)
    if after.refused:
        found = after.refused[0].findings[0]
        refusal = Refusal(409, found.code, f"{found.message} {found.remedy}".strip())
        return _page(request, trip, desk, plan, refusal)
    return go(step_url(trip.id, "cases", plan) + f"#case-{case}")


def _changes(desk: Desk, row: PlanRow, case: str, wanted: set[str]) -> Iterator[PackingIn]:
    now = next((one for one in packing_out(desk, row).cases if one.case == case), None)
    if now is None:
        return
    moment = datetime.now(UTC)
    for units, packed in ((now.out, True), (now.packed, False)):
        for unit in units:
            if (f"{unit.gear}#{unit.unit}" in wanted) == packed:
                yield PackingIn(
                    key=secrets.token_hex(16),
                    kind="tick",
                    case=case,
                    at=moment,
                    gear=unit.gear,
                    unit=unit.unit,
                    packed=packed,
                )


def bar(case: CaseOut) -> dict[str, float]:
    """Where things stand on a bar 100 wide: empty, contents, the limit, a fee's threshold."""
    limit = min((one.grams for one in case.limits if one.refused), default=None)
    fees = [one.grams for one in case.limits if not one.refused and one.grams != limit]
    full = max(case.planning_g, limit or 0, *fees, 1) * 1.05
    return {
        "empty": 100 * case.empty_g / full,
        "planning": 100 * case.planning_g / full,
        "limit": 100 * (limit or 0) / full,
        "fee": 100 * min(fees, default=0) / full,
    }
