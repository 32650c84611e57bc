"""What routes ask for: the desk, the person with a role, the trip and the plan of the path."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends

from api.desk import Desk, desk_of
from api.safety.identity import Person, Role, check_trip, needs
from api.shapes.texts import PlanId, TripId
from api.store.plans import PlanRow
from api.store.trips import TripRow

TheDesk = Annotated[Desk, Depends(desk_of)]
Looker = Annotated[Person, Depends(needs(Role.LOOK))]
Packer = Annotated[Person, Depends(needs(Role.PACK))]
Manager = Annotated[Person, Depends(needs(Role.MANAGE))]


def _the_trip(trip: TripId, desk: TheDesk, person: Looker) -> TripRow:
    check_trip(person, trip)
    return desk.store.trips.get(trip)


def _the_plan(plan: PlanId, desk: TheDesk, person: Looker) -> PlanRow:
    row = desk.store.plans.get(plan)
    check_trip(person, row.trip)
    return row


TheTrip = Annotated[TripRow, Depends(_the_trip)]
ThePlan = Annotated[PlanRow, Depends(_the_plan)]
