"""Trips: send a workbook or a zip of CSV sheets, send it again, see what was found."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, Path, Query, UploadFile
from fastapi.responses import Response
from pydantic import AfterValidator

from api.errors import ERRORS, Refusal
from api.routes import API
from api.routes.having import Looker, Manager, TheDesk, TheTrip
from api.routes.showing import findings_out, trip_out, upload_out
from api.shapes.texts import plain
from api.shapes.trips import AwayIn, FindingsOut, TripOut, TripsOut, UploadsOut
from api.store.trips import Upload
from api.work.marking import empty_workbook, marked_copy
from api.work.uploads import XLSX

router = APIRouter(prefix=API, tags=["trips"], responses=ERRORS)
Workbook = Annotated[UploadFile, File(description="An .xlsx workbook, or a zip of .csv sheets")]
FullName = Annotated[
    str, Query(max_length=1000, description="The trip's name, whole"), AfterValidator(plain)
]
UploadNumber = Annotated[int, Path(ge=1, le=10**9, description="Number of an upload")]
XLSX_MEDIA = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MEDIA = {XLSX: XLSX_MEDIA, "csv-zip": "application/zip"}


@router.get("/trips")
def list_trips(desk: TheDesk, person: Looker, away: bool = False) -> TripsOut:
    """All trips, newest first; with `away` those that were put away instead."""
    rows = [
        row
        for row in desk.store.trips.all()
        if person.trip in (None, row.id) and (row.away is not None) == away
    ]
    return TripsOut(trips=[trip_out(desk, row) for row in rows])


@router.post("/trips", status_code=201)
def send_trip(workbook: Workbook, desk: TheDesk, person: Manager) -> TripOut:
    """Send a new trip. One with errors is kept too (`upload.code` 2), to be sent again."""
    incoming, _ = desk.take_in(workbook.file.read(), file_name(workbook))
    upload = desk.store.trips.add(incoming, person.name)
    return trip_out(desk, desk.store.trips.get(upload.trip))


@router.get("/trips/{trip}")
def get_trip(trip: TheTrip, desk: TheDesk) -> TripOut:
    """A trip with its newest upload."""
    return trip_out(desk, trip)


@router.put("/trips/{trip}/away")
def put_away(trip: TheTrip, away: AwayIn, desk: TheDesk, _person: Manager) -> TripOut:
    """Put a trip away, out of the list, or take it out again; nothing of it is lost."""
    desk.store.trips.put_away(trip.id, away=away.away)
    return trip_out(desk, desk.store.trips.get(trip.id))


@router.delete("/trips/{trip}", status_code=204)
def remove_trip(trip: TheTrip, name: FullName, desk: TheDesk, _person: Manager) -> Response:
    """Remove a trip for ever: originals, plans, ticks and books. It must be put away before,
    nothing of it may be running, and its name is asked for, so that none goes by accident."""
    if trip.away is None:
        remedy = "Put it away first; that keeps everything."
        raise Refusal(409, "not-put-away", "This trip is still in the list.", remedy=remedy)
    if name != trip.name:
        message = f"{name!r} is not the name of this trip."
        raise Refusal(409, "other-name", message, remedy=f"Its name is {trip.name!r}.")
    if desk.is_busy_with(trip.id):
        raise Refusal(409, "still-solving", "A plan is being solved.", remedy="Stop it first.")
    desk.store.trips.remove(trip.id)
    return Response(status_code=204)


@router.post("/trips/{trip}/uploads", status_code=201)
def send_again(trip: TheTrip, workbook: Workbook, desk: TheDesk, person: Manager) -> TripOut:
    """Replace the workbook of a trip; the earlier uploads stay as they are."""
    incoming, _ = desk.take_in(workbook.file.read(), file_name(workbook))
    desk.store.trips.replace(trip.id, incoming, person.name)
    return trip_out(desk, desk.store.trips.get(trip.id))


@router.get("/trips/{trip}/uploads")
def list_uploads(trip: TheTrip, desk: TheDesk) -> UploadsOut:
    """Every upload of a trip, newest first."""
    uploads = [upload_out(upload) for upload in desk.store.trips.uploads(trip.id)]
    return UploadsOut(trip=trip.id, uploads=uploads)


@router.get(
    "/trips/{trip}/uploads/{number}/original",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}, "application/zip": {}}}},
)
def get_original(trip: TheTrip, number: UploadNumber, desk: TheDesk) -> Response:
    """What was sent, byte for byte."""
    upload = desk.store.trips.upload(trip.id, number)
    return attachment(desk.store.trips.original(upload), *_original_name(upload))


@router.get("/trips/{trip}/findings")
def get_findings(trip: TheTrip, desk: TheDesk, upload: int | None = None) -> FindingsOut:
    """What was found in the newest upload, or in the one of a number."""
    row = desk.store.trips.upload(trip.id, upload)
    return FindingsOut(
        trip=trip.id, upload=row.number, code=row.code, findings=findings_out(row.findings)
    )


@router.get(
    "/trips/{trip}/marked",
    response_class=Response,
    responses={200: {"content": {XLSX_MEDIA: {}}}},
)
def get_marked(trip: TheTrip, desk: TheDesk) -> Response:
    """The newest workbook with the findings beside the cells; CSV sheets become one."""
    upload = desk.store.trips.upload(trip.id)
    seconds = desk.settings.ceilings.read_seconds
    content: bytes = desk.run_reader(
        marked_copy, desk.store.trips.original(upload), upload.form, seconds=seconds
    )
    return attachment(content, "marked.xlsx", XLSX_MEDIA)


@router.get("/template", response_class=Response, responses={200: {"content": {XLSX_MEDIA: {}}}})
def get_template(desk: TheDesk, _person: Looker) -> Response:
    """An empty workbook to fill in."""
    seconds = desk.settings.ceilings.read_seconds
    content = desk.kept("template", lambda: desk.run_reader(empty_workbook, seconds=seconds))
    return attachment(content, "trip.xlsx", XLSX_MEDIA)


def file_name(workbook: UploadFile) -> str:
    """The name a file was sent under, for show only: its last part, short, printable."""
    name = (workbook.filename or "").replace("\\", "/").rsplit("/", 1)[-1]
    try:
        return "".join(letter for letter in plain(name) if letter.isprintable())[:100]
    except ValueError:
        return ""


def attachment(content: bytes, name: str, media: str) -> Response:
    """Bytes to be saved under a name of our own making."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media, headers=headers)


def _original_name(upload: Upload) -> tuple[str, str]:
    ending = "xlsx" if upload.form == XLSX else "zip"
    return f"trip-{upload.number}.{ending}", MEDIA[upload.form]
