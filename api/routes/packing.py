"""Packing progress: ticks and lids from many phones, some late, some sent twice."""

from __future__ import annotations

from datetime import UTC, datetime

from fastapi import APIRouter

from api.books import TICKS, enter, entries_of
from api.desk import Desk
from api.errors import ERRORS, FindingOut
from api.routes import API
from api.routes.having import Packer, TheDesk, ThePlan
from api.shapes.packing import (
    CaseProgressOut,
    ExcuseOut,
    PackingBatchIn,
    PackingIn,
    PackingOut,
    RefusedOut,
    RoleProgressOut,
    UnitOut,
)
from api.store.plans import PlanRow
from packer.road.journal import Entered
from packer.road.tick_book import draft_of, events_of, rule_on_packing
from packer.road.ticks import Excuse, Lid, PackingEvent, Progress, Tick, Unit, progress

router = APIRouter(prefix=API, tags=["packing"], responses=ERRORS)


@router.get("/plans/{plan}/packing")
def get_packing(plan: ThePlan, desk: TheDesk) -> PackingOut:
    """How far packing is: by case, by role, what is still out."""
    return packing_out(desk, plan)


@router.post("/plans/{plan}/packing")
def tell_packing(plan: ThePlan, batch: PackingBatchIn, desk: TheDesk, person: Packer) -> PackingOut:
    """Enter ticks and lids; each is taken or refused by itself, and none counts twice."""
    trip, made = desk.trip_of_plan(plan), desk.plan_of(plan)
    drafts = [draft_of(_event(entry, person.name)) for entry in batch.entries]
    outcomes = enter(desk, plan, TICKS, drafts, rule_on_packing(trip, made))
    return packing_out(desk, plan, outcomes)


def packing_out(
    desk: Desk, plan: PlanRow, outcomes: dict[str, Entered] | None = None
) -> PackingOut:
    """How far packing is, with what became of the entries just sent."""
    events = events_of(entries_of(desk, plan, TICKS))
    now = progress(desk.trip_of_plan(plan), desk.plan_of(plan), events)
    return _out(plan.id, now, len(events), outcomes or {})


def _out(plan: str, now: Progress, entries: int, outcomes: dict[str, Entered]) -> PackingOut:
    return PackingOut(
        plan=plan,
        planned=now.planned,
        packed=now.packed,
        entries=entries,
        cases=[
            CaseProgressOut(
                case=case.case,
                planned=case.planned,
                packed=_units(case.packed),
                out=_units(case.out),
                strangers=_units(case.strangers),
                excused=[
                    ExcuseOut(gear=one.gear, unit=one.unit, reason=one.reason)
                    for one in case.excused
                ],
                closed=case.closed,
            )
            for case in now.cases
        ],
        roles=[
            RoleProgressOut(role=role.role, planned=role.planned, out=_units(role.out))
            for role in now.roles
        ],
        doubles=[FindingOut(**finding.to_json()) for finding in now.doubles],
        taken=[key for key, outcome in outcomes.items() if not outcome.refused],
        refused=[_refused(key, outcome) for key, outcome in outcomes.items() if outcome.refused],
    )


def _refused(key: str, outcome: Entered) -> RefusedOut:
    return RefusedOut(key=key, findings=[FindingOut(**f.to_json()) for f in outcome.findings])


def _units(units: tuple[Unit, ...]) -> list[UnitOut]:
    return [UnitOut(gear=gear, unit=unit) for gear, unit in units]


def _event(entry: PackingIn, who: str) -> PackingEvent:
    at = _moment(entry.at)
    if entry.kind == "tick":
        return Tick(entry.gear, entry.unit, entry.case, at, who, entry.packed, entry.key)
    excuses = tuple(Excuse(one.gear, one.unit, one.reason) for one in entry.excuses)
    return Lid(entry.case, at, who, entry.closed, excuses, entry.key)


def _moment(at: datetime) -> str:
    """A phone's time in UTC, never later than now: a fast clock must not win for ever."""
    aware = at if at.tzinfo else at.replace(tzinfo=UTC)
    now = datetime.now(UTC)
    try:
        return min(aware.astimezone(UTC), now).isoformat(timespec="milliseconds")
    except OverflowError:  # a moment at the edge of what a clock can hold
        return now.isoformat(timespec="milliseconds")
