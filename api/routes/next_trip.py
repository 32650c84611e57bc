"""The next trip: from an old one's inventory and cases, with new stops and legs."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter
from fastapi.responses import Response

from api.desk import Desk
from api.errors import ERRORS, FindingOut, Refusal
from api.routes import API
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.showing import trip_out
from api.routes.trips import XLSX_MEDIA, Workbook, attachment
from api.shapes.trips import NextTripOut
from api.store.trips import TripRow
from api.work.next_trip import Begun, begin_next, route_workbook
from api.work.uploads import NotATripError, TooMuchError, form_of

router = APIRouter(prefix=API, tags=["trips"], responses=ERRORS)


@router.get(
    "/trips/{trip}/next/route",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}}}},
)
def get_route(trip: TheTrip, desk: TheDesk) -> Response:
    """The stops, legs and rules of this trip as a workbook, to be changed into the new ones."""
    upload = desk.store.trips.upload(trip.id)
    content: bytes = desk.run_reader(
        route_workbook,
        desk.store.trips.original(upload),
        upload.form,
        seconds=desk.settings.ceilings.read_seconds,
    )
    if not content:
        raise Refusal(409, "not-readable", "This trip's workbook cannot be read.")
    return attachment(content, "stops-and-legs.xlsx", XLSX_MEDIA)


@router.post("/trips/{trip}/next", status_code=201)
def start_next(trip: TheTrip, workbook: Workbook, desk: TheDesk, person: Manager) -> NextTripOut:
    """Start a new trip from this one. The workbook sent holds the new Stops and Legs, and any
    other sheet that is new; the answer lists what no longer fits or lacks a price."""
    return begin(desk, trip, workbook.file.read(), person.name)


def begin(desk: Desk, trip: TripRow, new: bytes, who: str) -> NextTripOut:
    """The new trip, kept, with what to look at among its findings."""
    begun = _begun(desk, trip, new)
    incoming, _ = desk.take_in(begun.content, "next.xlsx")
    found = list(begun.looked)
    incoming = replace(incoming, findings=(*incoming.findings, *found))
    upload = desk.store.trips.add(incoming, who)
    return NextTripOut(
        trip=trip_out(desk, desk.store.trips.get(upload.trip)),
        from_trip=trip.id,
        look_at=[FindingOut(**one) for one in found],
    )


def _begun(desk: Desk, trip: TripRow, new: bytes) -> Begun:
    ceilings, upload = desk.settings.ceilings, desk.store.trips.upload(trip.id)
    if len(new) > ceilings.upload_bytes:
        message = f"This server takes at most {ceilings.upload_bytes:,} bytes at once."
        raise Refusal(413, "too-large", message)
    old = desk.store.trips.original(upload)
    try:
        begun: Begun = desk.run_reader(
            begin_next, old, upload.form, new, form_of(new), ceilings, seconds=ceilings.read_seconds
        )
    except NotATripError as error:
        remedy = "Send an .xlsx workbook or a zip of .csv sheets."
        raise Refusal(422, "not-a-trip", str(error), remedy=remedy) from error
    except TooMuchError as error:
        raise Refusal(413, "too-large", str(error)) from error
    if not begun.content:
        first = begun.looked[0]
        raise Refusal(422, first["code"], first["message"], findings=list(begun.looked))
    return begun
