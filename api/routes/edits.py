"""What the user sets by hand on top of the workbook: locks, worths, prices. Kept with history."""

from __future__ import annotations

import json

from fastapi import APIRouter

from api.desk import Desk
from api.errors import ERRORS, Refusal, not_found
from api.routes import API
from api.routes.having import Manager, TheDesk, TheTrip
from api.routes.showing import edit_out
from api.shapes.texts import GearId
from api.shapes.trips import EditsOut, LockIn, PriceIn, WorthIn
from api.store.trips import TripRow
from api.work.edits import BadFigureError, minor_of, offer_key
from packer.model.trip import Choice, Gear, Trip

router = APIRouter(prefix=API, tags=["decisions"], responses=ERRORS)


@router.get("/trips/{trip}/edits")
def list_edits(trip: TheTrip, desk: TheDesk) -> EditsOut:
    """What holds now, and every entry that led there."""
    trips = desk.store.trips
    return EditsOut(
        trip=trip.id,
        standing=[edit_out(edit) for edit in trips.standing_edits(trip.id)],
        history=[edit_out(edit) for edit in trips.edits(trip.id)],
    )


@router.put("/trips/{trip}/locks/{gear}")
def set_lock(trip: TheTrip, gear: GearId, lock: LockIn, desk: TheDesk, who: Manager) -> EditsOut:
    """Lock a line to fly or to hire, or let it go; the next plan keeps to it."""
    line = _line(desk, trip, gear)
    if line.choice is not Choice.EITHER and lock.lock not in ("", str(line.choice)):
        message = f"{gear} has {line.choice!s} as its Source in the workbook."
        raise Refusal(409, "source-fixed", message, remedy="Change the Source cell.")
    desk.store.trips.edit(trip.id, "lock", json.dumps([gear]), lock.lock, lock.why, who.name)
    return list_edits(trip, desk)


@router.put("/trips/{trip}/worths/{gear}")
def set_worth(trip: TheTrip, gear: GearId, worth: WorthIn, desk: TheDesk, who: Manager) -> EditsOut:
    """Say what it is worth to play one's own, per unit and stop."""
    _line(desk, trip, gear)
    setting = _minor_text(worth.worth, _trip(desk, trip).currency)
    desk.store.trips.edit(trip.id, "worth", json.dumps([gear]), setting, worth.why, who.name)
    return list_edits(trip, desk)


@router.put("/trips/{trip}/prices")
def set_price(trip: TheTrip, price: PriceIn, desk: TheDesk, who: Manager) -> EditsOut:
    """Put another price on an offer that the workbook has."""
    key = (price.stop, price.target, price.supplier)
    if key not in [offer_key(offer) for offer in _trip(desk, trip).offers]:
        raise not_found("offer", " / ".join(key))
    setting = _minor_text(price.price, _trip(desk, trip).currency)
    desk.store.trips.edit(trip.id, "price", json.dumps(key), setting, price.why, who.name)
    return list_edits(trip, desk)


def _trip(desk: Desk, trip: TripRow) -> Trip:
    return desk.trip_of(desk.store.trips.upload(trip.id))


def _line(desk: Desk, trip: TripRow, gear: str) -> Gear:
    try:
        return _trip(desk, trip).gear_named(gear)
    except KeyError:
        raise not_found("gear line", gear) from None


def _minor_text(amount: str, currency: str) -> str:
    if not amount.strip():
        return ""
    try:
        return str(minor_of(amount, currency))
    except BadFigureError as error:
        raise Refusal(422, "no-amount", f"{error}.") from error
