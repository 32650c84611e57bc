"""From rows of the store to shapes of the API."""

from __future__ import annotations

import json
from typing import Any

from api.desk import Desk, ask_of_plan
from api.errors import FindingOut
from api.shapes.plans import MoneyOut, PlanOut, SummaryOut
from api.shapes.trips import EditOut, FactsOut, TripOut, UploadOut
from api.store.plans import PlanRow
from api.store.trips import Edit, TripRow, Upload
from packer.model.plan import Plan, Route
from packer.papers.units import decimals_of


def trip_out(desk: Desk, trip: TripRow) -> TripOut:
    """A trip with its newest upload."""
    upload = desk.store.trips.upload(trip.id)
    return TripOut(
        id=trip.id,
        name=trip.name,
        made=trip.made,
        made_by=trip.made_by,
        away=trip.away,
        upload=upload_out(upload),
        facts=FactsOut(**json.loads(upload.facts)),
    )


def upload_out(upload: Upload) -> UploadOut:
    """An upload with its findings counted."""
    severities = [finding["severity"] for finding in json.loads(upload.findings)]
    fields: dict[str, Any] = {name: getattr(upload, name) for name in Upload.__slots__}
    return UploadOut(
        **{name: fields[name] for name in UploadOut.model_fields if name in fields},
        errors=severities.count("error"),
        warnings=severities.count("warning"),
        notes=severities.count("note"),
    )


def findings_out(text: str) -> list[FindingOut]:
    """Findings from the JSON in the store."""
    return [FindingOut(**finding) for finding in json.loads(text)]


def edit_out(edit: Edit) -> EditOut:
    """An edit with its subject taken apart."""
    fields = {name: getattr(edit, name) for name in Edit.__slots__ if name != "trip"}
    return EditOut(**{**fields, "subject": json.loads(edit.subject)})


def plan_out(desk: Desk, row: PlanRow) -> PlanOut:
    """A plan asked for, with its summary once there is one."""
    plan = desk.plan_of(row) if row.plan_json is not None else None
    return PlanOut(
        id=row.id,
        trip=row.trip,
        upload=row.upload,
        state=row.state,  # type: ignore[arg-type]
        ahead=desk.store.plans.count_ahead(row),
        seconds=plan.solver.seconds if plan else row.seconds,
        best_minor=row.best_minor,
        bound_minor=row.bound_minor,
        gap=gap_of(row.best_minor, row.bound_minor),
        doing=row.doing,
        stopping=bool(row.stop_asked) and row.is_open,
        code=row.code,
        message=row.message,
        causes=findings_out(row.causes),
        asked=ask_of_plan(row),
        summary=summary_out(plan) if plan else None,
        made=row.made,
        made_by=row.made_by,
        begun=row.begun,
        ended=row.ended,
    )


def gap_of(best_minor: int | None, bound_minor: int | None) -> float | None:
    """(best - bound) / best; 0 when proved, None while either is unknown."""
    if best_minor is None or bound_minor is None:
        return None
    return 0.0 if best_minor <= bound_minor else (best_minor - bound_minor) / best_minor


def summary_out(plan: Plan) -> SummaryOut:
    """What a plan came to."""
    routes = [piece.route for piece in plan.pieces]
    return SummaryOut(
        status=str(plan.status),  # type: ignore[arg-type]
        money=money_out(plan),
        pieces=len(routes),
        hold=routes.count(Route.HOLD),
        cabin=routes.count(Route.CABIN),
        freight=routes.count(Route.FREIGHT),
        flown=sum(decision.flown for decision in plan.decisions),
        weight_g=sum(piece.planning_g for piece in plan.pieces),
    )


def money_out(plan: Plan) -> MoneyOut:
    """A plan's money."""
    costs = plan.costs
    return MoneyOut(
        currency=plan.currency,
        decimals=decimals_of(plan.currency),
        objective_minor=plan.objective_minor,
        bound_minor=plan.bound_minor,
        cash_minor=costs.cash_minor,
        worth_minor=costs.worth_minor,
        baggage_minor=costs.baggage_minor,
        hire_minor=costs.hire_minor,
        delivery_minor=costs.delivery_minor,
        freight_minor=costs.freight_minor,
    )
