"""The history of a trip: every upload, change, plan and mending, with who, when and why."""

from __future__ import annotations

import json
from collections.abc import Iterator

from fastapi import APIRouter

from api.desk import Desk, ask_of_plan
from api.errors import ERRORS
from api.routes import API
from api.routes.having import TheDesk, TheTrip
from api.shapes.trips import HistoryEntryOut, HistoryOut
from api.store.plans import PlanRow
from api.store.trips import Edit, TripRow, Upload

router = APIRouter(prefix=API, tags=["trips"], responses=ERRORS)


@router.get("/trips/{trip}/history")
def get_history(trip: TheTrip, desk: TheDesk) -> HistoryOut:
    """What happened to a trip, the newest first."""
    return history_out(desk, trip)


def history_out(desk: Desk, trip: TripRow) -> HistoryOut:
    """Uploads, edits and plans in one row, the newest first."""
    entries = [
        *(_sent(upload) for upload in desk.store.trips.uploads(trip.id)),
        *(_edited(edit) for edit in desk.store.trips.edits(trip.id)),
        *_planned(desk.store.plans.of_trip(trip.id)),
    ]
    return HistoryOut(trip=trip.id, entries=sorted(entries, key=lambda one: one.at, reverse=True))


def _sent(upload: Upload) -> HistoryEntryOut:
    what = f"workbook no. {upload.number}" + (f", {upload.file}" if upload.file else "")
    return HistoryEntryOut(at=upload.made, who=upload.made_by, kind="sent", what=what)


def _edited(edit: Edit) -> HistoryEntryOut:
    subject = ", ".join(json.loads(edit.subject))
    what = f"{edit.what} of {subject}: {edit.setting or 'taken back'}"
    return HistoryEntryOut(at=edit.made, who=edit.made_by, kind="changed", what=what, why=edit.why)


def _planned(rows: tuple[PlanRow, ...]) -> Iterator[HistoryEntryOut]:
    for row in rows:
        yield HistoryEntryOut(
            at=row.made,
            who=row.made_by,
            kind="planned",
            what=row.message or row.state,
            why=_reason(row),
            plan=row.id,
            objective_minor=row.best_minor,
        )


def _reason(row: PlanRow) -> str:
    """What was asked for, in words."""
    ask = ask_of_plan(row)
    parts = [
        *([ask.why] if ask.why else []),
        *(["near an earlier plan"] if ask.keep else []),
        *(["with the list issued"] if ask.issued else []),
        *(f"{gear} flies" for gear in ask.fly),
        *(f"{gear} is hired" for gear in ask.hire),
    ]
    return ", ".join(parts)
