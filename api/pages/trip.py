"""Pages about trips: all trips, one trip with its findings, sending a workbook again."""

from __future__ import annotations

import json
from typing import Annotated

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import Response

from api.desk import Desk
from api.pages.frame import go, looking_at, show, step_url
from api.pages.phones import base_for_phones, code_for
from api.routes.having import Looker, Manager, TheDesk, TheTrip
from api.routes.people import make_link
from api.routes.showing import trip_out, upload_out
from api.routes.trips import file_name, put_away, remove_trip
from api.shapes.people import LinkIn
from api.shapes.trips import AwayIn
from api.store.trips import Upload
from api.work.sheets import SheetView, sheet_views
from packer.rules import page

router = APIRouter(include_in_schema=False)
_SEVERITIES = (("error", "Errors"), ("warning", "Warnings"), ("note", "Notes"))


@router.get("/")
def all_trips(request: Request, desk: TheDesk, person: Looker, away: bool = False) -> Response:
    """All trips, or those put away, and the place to send one."""
    if person.trip is not None:
        return go(step_url(person.trip, ""))
    rows = desk.store.trips.all()
    shown = [row for row in rows if (row.away is not None) == away]
    return show(
        request,
        "trips.html",
        trips=[trip_out(desk, row) for row in shown],
        away=away,
        others=len(rows) - len(shown),
    )


@router.post("/")
def send_trip(workbook: UploadFile, desk: TheDesk, person: Manager) -> Response:
    """A new trip."""
    incoming, _ = desk.take_in(workbook.file.read(), file_name(workbook))
    return go(step_url(desk.store.trips.add(incoming, person.name).trip, ""))


@router.get("/trips/{trip}")
def one_trip(request: Request, trip: TheTrip, desk: TheDesk, plan: str | None = None) -> Response:
    """One trip: what it holds, what was found in it, and the place to send it again."""
    return _trip_page(request, trip, desk, plan)


@router.post("/trips/{trip}")
def send_again(trip: TheTrip, workbook: UploadFile, desk: TheDesk, person: Manager) -> Response:
    """The same trip with another workbook."""
    incoming, _ = desk.take_in(workbook.file.read(), file_name(workbook))
    desk.store.trips.replace(trip.id, incoming, person.name)
    return go(step_url(trip.id, ""))


@router.post("/trips/{trip}/links")
def new_link(
    request: Request,
    trip: TheTrip,
    desk: TheDesk,
    person: Manager,
    role: Annotated[str, Form(pattern="^(look|pack)$")],
    hours: Annotated[int, Form(ge=1, le=1440)],
) -> Response:
    """A link for the phones of this trip; it is shown once."""
    link = make_link(trip, LinkIn(role=role, hours=hours), desk, person)  # type: ignore[arg-type]
    base = base_for_phones(request, desk.settings)
    address = (base or str(request.base_url).rstrip("/")) + link.path
    return _trip_page(request, trip, desk, None, link=address, reachable=base is not None)


@router.post("/trips/{trip}/away")
def away(
    trip: TheTrip, desk: TheDesk, person: Manager, put: Annotated[str, Form(pattern="^(yes|no)$")]
) -> Response:
    """Put the trip away, or take it out again."""
    put_away(trip, AwayIn(away=put == "yes"), desk, person)
    return go(step_url(trip.id, "") + "#away")


@router.post("/trips/{trip}/remove")
def remove(
    trip: TheTrip, desk: TheDesk, person: Manager, name: Annotated[str, Form(max_length=1000)] = ""
) -> Response:
    """Remove the trip for ever."""
    remove_trip(trip, name.strip(), desk, person)
    return go("/?away=true")


@router.get("/checks/{code}")
def one_check(request: Request, code: str, _person: Looker) -> Response:
    """What a check looks at, why, and who decides in the end; readers' codes have no page."""
    try:
        found = page(code)
    except KeyError:
        found = None
    return show(request, "check.html", code=code, rule=found)


def _trip_page(
    request: Request,
    trip: TheTrip,
    desk: Desk,
    plan: str | None,
    *,
    link: str = "",
    reachable: bool = True,
) -> Response:
    looking = looking_at(desk, trip, plan)
    upload = desk.store.trips.upload(trip.id)
    findings = list(enumerate(json.loads(upload.findings)))
    groups = [
        (severity, name, [pair for pair in findings if pair[1]["severity"] == severity])
        for severity, name in _SEVERITIES
    ]
    return show(
        request,
        "trip.html",
        looking,
        step="",
        about=trip_out(desk, trip),
        uploads=[upload_out(one) for one in desk.store.trips.uploads(trip.id)],
        findings=[finding for _, finding in findings],
        groups=[group for group in groups if group[2]],
        sheets=_sheets(desk, upload),
        link=link,
        code=code_for(link) if link and reachable else "",
        reachable=reachable,
    )


def _sheets(desk: Desk, upload: Upload) -> tuple[SheetView, ...]:
    def make() -> tuple[SheetView, ...]:
        found: tuple[SheetView, ...] = desk.run_reader(
            sheet_views,
            desk.store.trips.original(upload),
            upload.form,
            json.loads(upload.findings),
            seconds=desk.settings.ceilings.read_seconds,
        )
        return found

    return desk.kept(("sheets", upload.trip, upload.number), make)
